/* What the property tests add to the oracle: cases made by chance, and findings held against findings. */
#ifndef ORACLE_CASES_H
#define ORACLE_CASES_H

#include "oracle.h"

/* ---- random.c, make_spec.c, make_rules.c, make_expr.c: cases by chance, the same for one seed ---- */

typedef struct Chance {
    uint64_t state;
} Chance;

unsigned chance(Chance *c, unsigned below); /* 0 .. below - 1 */
bool chance_in(Chance *c, unsigned percent);

typedef struct Writer {
    char *text;
    size_t length, room;
} Writer;
void writef(Writer *w, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* What the rules ask about: numbers and texts by the field beside which they stand, and papers. */
typedef struct Beside {
    const char *field, *text;
    mpq_t number;
} Beside;

typedef struct Harvest {
    const Law *law;
    Vec numbers, texts; /* Beside */
    Vec approvals;      /* texts */
    Vec dates;          /* Beside, in days */
    Vec sections;       /* Section */
} Harvest;

const Harvest *harvest_law(const Law *law);
json_t *make_spec(const Harvest *h, const Vocabulary *v, const char *jurisdiction, long day,
                  uint64_t seed, bool whole);
json_t *narrow_spec(const Harvest *h, const Vocabulary *v, json_t *spec, uint64_t seed);
json_t *make_fact(const Harvest *h, const Field *field, Chance *c, bool whole);

const char *date_text(long days);

/* spell.c */
const char *spell_number(const Field *field, mpq_srcptr si, Chance *c);
const char *spell_again(const Field *field, const char *text, Chance *c);
const char *spell_unit(const Field *field); /* the usual one, or NULL */
void spell_step(const Field *field, mpq_t step);
int spell_units(const char *const **dimensions, const char *const **first,
                const char *const **second);

/* twins.c: a spec and another that must be judged alike, or that narrows it */
typedef enum Twin { TWIN_NONE, TWIN_ORDER, TWIN_SPELLING, TWIN_NARROW } Twin;
json_t *make_twin(const Harvest *h, const Vocabulary *v, json_t *spec, Twin twin, uint64_t seed);

/* edges.c: comparisons of values that meet their limits, or nearly */
void make_edge_rules(Writer *w, uint64_t seed);
json_t *make_edge_spec(const Vocabulary *v, const Law *law, uint64_t seed);

/* What an expression that is being made up may speak of. */
typedef struct Scene {
    Chance *c;
    Writer *w;
    const char *part[6], *group; /* variables */
    int parts;
    const char *length[6]; /* definitions that are lengths */
    int lengths;
    bool guarded;   /* a condition in force may already answer for absence */
    bool condition; /* absent words are answered there */
    bool unit;      /* no each: of the unit as a whole */
    bool any;       /* in any of: every and no must say what an empty list means */
    int *fresh;     /* numbers the variables */
} Scene;

void make_condition(const Scene *s, int depth);
void make_length(const Scene *s, int depth);
void make_length_asked(const Scene *s, int depth); /* with a fact on it */
const char *list_name(const Scene *s);             /* its name */
void make_list_of_parts(const Scene *s, int depth);
unsigned make_some(const Scene *s, unsigned below);
void make_rules(Writer *w, uint64_t seed);

/* ---- rows.c: findings from either side, to be compared ---- */

typedef struct Row {
    const char *key;   /* section, part, items; parted by bars */
    const char *lines; /* label=outcome, … */
    Outcome outcome;
    bool at_list;  /* of a list, not of its items */
    bool unsure;   /* of a list, where the reference does not say if it is not applicable or open */
    bool either;   /* readings differ, one is open: the reference does not say what is lacking */
    bool by_cases; /* silenced in every case of an unknown condition: may be left open */
    bool mixed;    /* of cases: which word a pass gets is not said either */
} Row;

Vec rows_of(const Vec *findings);                               /* of the oracle */
Vec rows_of_review(const json_t *review);                       /* of the program */
const char *rows_differ(const Vec *oracle, const Vec *program); /* NULL: they agree */
const char *rows_narrowed(const Vec *wide, const Vec *narrow); /* NULL: no definite class changed */
const char *rows_changed(const Vec *a, const Vec *b);          /* NULL: the same in all */

/* ---- check.c, shrink.c: what the commands of the tests do; each gives the exit status ---- */

typedef struct Options {
    const char *rules[1024];
    int n;
    const char *in, *on, *spec, *specs, *to, *review[2], *program;
    const char *make, *check; /* what to make, what to check */
    long count;
    uint64_t seed;
    Twin twin;
    bool stream, examples, whole;
    Range date;
    long day;
} Options;

int check_against(const Law *law, const Vec *shares, const Options *o);
int check_twins(const Options *o, bool narrow);
int check_shown(const Options *o);
int shrink_spec(const Law *law, const Vec *shares, const Options *o);
Vec rows_now(const Law *law, const Vec *shares, const json_t *review, const Options *o,
             json_t *spec); /* those of the jurisdiction of the program's review */

#endif
