/* The assembly of the law in force, shared by law.c, acts.c and change.c. */
#ifndef ORACLE_LAW_H
#define ORACLE_LAW_H

#include "oracle.h"

/* A time in which a block, or what it changes in one section and its subdivisions, is not in force. */
typedef struct Hole {
    long from, until;
    const Target *target; /* NULL: the whole block */
} Hole;

/* When a block is in force, after all that other acts of its level do to it. */
typedef struct Force {
    const Block *block;
    long from, until;
    Vec holes; /* Hole */
} Force;

/* acts.c */
Vec acts_settled(const Jurisdiction *j); /* Force, in the order of the blocks */
bool force_whole(const Force *force, long day);
bool force_covers(const Force *force, long day, const char *number, const char *part);
bool force_began(const Force *force, long day);

typedef struct Adoption {
    const char *code, *edition;
    long from;
    int level;
    const Block *block;
} Adoption;

typedef struct Floor {
    const char *code;
    const Target *target;
    int level;
} Floor;

/* Of an upper level: from the day on, what lower ones change here is displaced. */
typedef struct Bar {
    int level;
    const char *code;     /* not to be amended locally: a section of this code, */
    const Target *target; /* or any, if NULL; */
    const char *topic;    /* or preempted: a topic */
} Bar;

typedef struct Dated {
    const Force *force;
    const Block *block;
    const Change *change;
    int level;
} Dated;

typedef struct Assembly {
    const Law *law;
    long day;
    Vec levels; /* Jurisdiction, from the outside in */
    Vec forces; /* Vec of Force, level by level */
    Vec actives, adoptions, floors, bars;
    Vec readings, overs, unwaived; /* Dated */
    int level;
} Assembly;

const Adoption *adoption_of(const Assembly *a, const char *code);
const Holder *level_holders(const Assembly *a, const Code *code);
Gate adoption_gate(const Assembly *a, const Adoption *adoption);
Active *active_new(const Section *text, const Code *code, const Holder *holders);

/* change.c */
void change_apply(Assembly *a, const Dated *d);
bool barred(const Assembly *a, const char *code, const char *number, const char *part,
            const char *topic);

#endif
