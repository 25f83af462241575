/* The command line: what every command shares. Only this floor prints, reads the environment and
 * the clock, and says with which status the program ends. */
#ifndef COMMAND_COMMAND_H
#define COMMAND_COMMAND_H

#include "report/report.h"

/* Exit statuses; docs/shall.1 has the table. From 64 on as in sysexits.h. */
typedef enum Status {
    STATUS_COMPLIES = 0,   /* every applicable requirement complies or is excused */
    STATUS_CORRECTION = 1, /* at least one correction; an example failed; a copy is not fair */
    STATUS_OPEN = 2,       /* no correction, but information is required or an official decides */
    STATUS_MISUSE = 64,
    STATUS_BAD_INPUT = 65,
    STATUS_NO_INPUT = 66,
    STATUS_FAULT = 70,       /* of the program itself */
    STATUS_NOT_CREATED = 73, /* a file to be written */
    STATUS_NOT_WRITTEN = 74
} Status;

/* ---- options (options.c) ---- */

typedef struct Option {
    const char *name;  /* "--in" */
    const char *value; /* "JURISDICTION"; "FROM TO" for two; NULL for a switch */
    const char *help;
} Option;

/* One option as given, in order. */
typedef struct Given {
    const Option *option;
    const char *value;
    const char *second; /* NULL but for an option that takes two */
} Given;

typedef struct Arguments {
    Given *given;
    size_t given_count;
    const char **operands;
    size_t operand_count;
} Arguments;

bool has_option(const Arguments *arguments, const char *name);
const char *last_value(const Arguments *arguments, const char *name); /* NULL */
/* Every value of an option, in order; a list parted by `part` (0: none) counts as several. */
Text *all_values(Arena *arena, const Arguments *arguments, const char *name, char part,
                 size_t *count);

/* ---- commands ---- */

typedef struct Command Command;

/* One run of the program. */
typedef struct Run {
    Arena *arena;
    const char *program; /* argv[0] */
    const Command *command;
    Arguments arguments;
} Run;

struct Command {
    const char *name;
    const char *summary;   /* for the list of commands: lower case, no full stop */
    const char *operands;  /* "SPEC..." */
    const char *about;     /* paragraphs, parted by an empty line */
    const Option *options; /* ended by one without a name */
    Status (*run)(Run *run);
};

extern const Command command_review;
extern const Command command_worksheet;
extern const Command command_proofread;
extern const Command command_examples;
extern const Command command_faircopy;
extern const Command command_codebook;
extern const Command command_compare;

/* Reads the words after the command's name. False after a message: misuse. */
bool arguments_read(Run *run, const char *const *words); /* ended by NULL */
Text command_help(Arena *arena, const Command *command, Style style);

/* ---- output (output.c) ---- */

Style style_of(int descriptor); /* 1 or 2: width, marks on a terminal, NO_COLOR */
void put_out(Text text);        /* to standard output; finish_output tells if it arrived */
void put_error(Text text);
/* "shall: ..." on standard error. */
void complain(const Run *run, const char *format, ...) __attribute__((format(printf, 2, 3)));
/* The same, and how to get help; gives STATUS_MISUSE. */
Status misuse(const Run *run, const char *format, ...) __attribute__((format(printf, 2, 3)));
void put_diagnostics(Arena *arena, Diagnostics *diags);
/* Flushes standard output; `status`, or STATUS_NOT_WRITTEN when something was lost. */
Status finish_output(Status status);
/* Writes a file whole or not at all: on failure the former file stays as it was. "-" is standard
 * output. STATUS_COMPLIES, or a message and another status. */
Status write_file(const Run *run, const char *path, Text content);

/* ---- paths (path.c) ---- */

/* Links followed, dots resolved; NULL when nothing is there. */
const char *path_full(Arena *arena, const char *path);
/* The same, relative where it lies below the working directory; `path` itself when nothing is
 * there. */
const char *path_shortened(Arena *arena, const char *path);

/* ---- days (day.c) ---- */

/* The date that an option gives; *given tells whether it does. False after a message. */
bool read_day(const Run *run, const char *name, bool *given, Day *day);
Day today(void);

/* ---- rule files (rules.c) ---- */

typedef struct Rules {
    Library *library;
    Names *names;
    Diagnostics diags;
    bool told; /* the diagnostics have been shown, or it was said that there are some */
} Rules;

/* The library that --rules, SHALL_RULES or the place of the program gives. False after a message,
 * when there is none. */
/* venues: the names of jurisdictions and places whose law alone is wanted; NULL: of all. */
bool rules_read(Run *run, Rules *rules, const Text *venues, size_t venue_count);
/* The library of the files named, completed by the files of the one above that they need. `asked`
 * then holds the sources that were named. */
void rules_read_asked(Run *run, const char *const *paths, size_t count, Rules *rules, Map **asked);
/* True when no file that the law of a jurisdiction is made of has an error; the first time that
 * there are errors, here or in other files, says so. */
bool rules_sound(Run *run, Rules *rules, const JurisdictionTree *jurisdiction);
/* The same for a place and all its jurisdictions. */
bool rules_place_sound(Run *run, Rules *rules, const PlaceTree *place);
/* True when a file that was asked for holds some of it. */
bool asked_code(const Map *asked, const CodeTree *code);
bool asked_jurisdiction(const Map *asked, const JurisdictionTree *jurisdiction);
/* The jurisdiction of that name; NULL after a message, which names those that decide where it is
 * a place's. */
const JurisdictionTree *rules_jurisdiction(Run *run, Rules *rules, Text name);
/* The vocabulary in which the law of a jurisdiction is written; NULL when it is not known. */
const Vocabulary *rules_vocabulary(const Rules *rules, const JurisdictionTree *jurisdiction);

/* ---- specs and their law (session.c) ---- */

/* Under whose law: a jurisdiction's, perhaps as one of those that decide in a place. */
typedef struct Venue {
    const PlaceTree *place; /* NULL: the jurisdiction by itself */
    const JurisdictionTree *jurisdiction;
} Venue;

typedef struct LawKept { /* assembled and checked once for each venue and date */
    Venue venue;
    Day on;
    const Law *law; /* NULL: it has errors, which have been shown */
    struct LawKept *next;
} LawKept;

/* What the options --in, --on, --stage and --rules say, and the laws used so far. */
typedef struct Session {
    Run *run;
    Rules rules;
    Venue *venues; /* of --in, or that the command chose: those of a place stand together; none:
                      each spec's own */
    size_t venue_count;
    bool has_on;
    Day on;
    Stage stage;
    LawKept *laws;
    const Digest *digests; /* NULL until they are asked for */
    uint32_t digest_count;
    Status status; /* the worst of what could not be judged */
} Session;

/* A spec to be judged in some jurisdictions on one date. */
typedef struct Docket {
    const Spec *spec;
    const Law **laws; /* in the order asked for, those of a place together; those with errors are
                         left out */
    size_t law_count;
    Day on;
    DateOrigin origin;
} Docket;

/* False after messages: nothing can be judged, and status says why. */
/* whole: all rules are read, not only those that the specs or --in name. */
bool session_open(Run *run, Session *session, bool whole);
/* Reads a spec and finds its laws; all of the spec lives in `arena`. False after messages. */
bool session_docket(Session *session, Arena *arena, const char *path, Docket *docket);
/* The parts of it, for a command that finds the laws itself. A spec, in the vocabulary that it
 * names, else that of the first venue; NULL after messages. */
const Spec *session_spec(Session *session, Arena *arena, const char *path);
void session_date(const Session *session, Docket *docket); /* on which docket->spec is judged */
/* Made once; without vocabulary when no code is in force; NULL after messages. */
const Law *session_law(Session *session, Venue venue, Day on);
/* A law in force, in the spec's vocabulary; false after a message. */
bool session_fits(Session *session, const Spec *spec, const Law *law);
/* Of the session's libraries, made when first asked for. */
const Digest *session_digests(Session *session, uint32_t *count);
/* The worse of two statuses, as a run that judged several things ends. */
Status worse_status(Status a, Status b);

/* Options that every command with a session has. */
#define SESSION_OPTIONS                                                                            \
    {"--in", "JURISDICTION",                                                                       \
     "whose law, or the place whose authorities decide; again, or parted by commas, for several; " \
     "without it, those that the spec names"},                                                     \
        {"--on", "DATE", "the law of this date; without it, the spec's 'submitted', else today"},  \
        {"--stage", "STAGE", "intake, plan, rough_in, final or operation; without it, plan"},      \
    {                                                                                              \
        "--rules", "PATH", "a rule file or a directory of them; again for several"                 \
    }

#endif
