/* What the files of shall compare share. */
#ifndef COMMAND_COMPARE_INNER_H
#define COMMAND_COMPARE_INNER_H

#include "command/command.h"
#include "report/compare.h"

typedef struct Comparer {
    Run *run;
    Session sessions[2]; /* jurisdictions: the first alone; states: before and after */
    const char **specs;
    size_t spec_count;
    Text *names; /* of jurisdictions */
    size_t name_count;
    const Text *topics;
    size_t topic_count;
    Status status; /* the worst of what went wrong */
} Comparer;

/* Opens a session for laws, whether or not there are specs. False after messages. */
bool comparer_open(Comparer *comparer, Run *run, Session *session);

/* ---- compare_operand.c ---- */

/* What a name stands for in a library: a jurisdiction, or a place with those that decide there. */
typedef struct Operand {
    Text name, title;
    Venue *venues; /* NULL: the library has neither */
    size_t venue_count;
} Operand;

/* No message for a name that is not there; false after others. */
bool operand_find(Comparer *comparer, Session *session, Text name, Operand *operand);
/* How many of those that decide in it must have law in force. */
typedef enum Wanting { WANT_ANY, WANT_SOME, WANT_ALL } Wanting;

/* Its law on a day; NULL: none of them has any, and none was wanted. False after messages. */
bool operand_law(Comparer *comparer, Session *session, const Operand *operand, Day on,
                 Wanting wanting, const LawUnion **law);

/* ---- compare_build.c ---- */

/* A spec to be judged for one side. */
typedef struct Seat {
    Session *session;
    const Operand *operand;
    Docket docket; /* spec, date and where it comes from */
} Seat;

Seat seat_of(Session *session, const Operand *operand, const Spec *spec);
/* The spec judged for every side; false after messages. */
bool comparer_build(Comparer *comparer, const Seat *seats, uint32_t count, Wanting wanting,
                    CompareBuild *out);

/* compare_states.c: --between. False after messages. */
bool compare_states(Comparer *comparer, const Given *between, Compared *out);

#endif
