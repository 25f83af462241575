/* What the makers of rule files share: sections as far as later changes must know them. */
#ifndef ORACLE_MAKE_H
#define ORACLE_MAKE_H

#include "cases.h"

/* A section; what is said of it holds for every text that it may have on any day. */
typedef struct Made {
    const char *number, *label; /* a label of one of its lines, or NULL */
    const char *topic, *cite;   /* words by which one exception is known, or NULL */
    int lines;
    long day;          /* of its text; no change before */
    long lock;         /* the day from which lower levels may not change it; 0: never */
    bool length_limit; /* its one line, or the one labelled l1, compares lengths */
    bool one_per_unit; /* no each: where it applies is plain */
    bool split;        /* two texts, for two kinds of unit */
    bool fixed;        /* not to be split: a floor, or split already */
    bool silences;     /* another section: stays one per unit */
    bool kept;         /* named by another section, or a floor: not to be deleted */
    bool gone;         /* nothing may be changed here any more */
    bool readings, may_be_blank;
} Made;

enum { MADE = 12, SETS = 3 };

/* A code's edition and its sections. */
typedef struct Set {
    const char *code, *edition;
    Made made[MADE];
    int n;
    long published;   /* 0: not said */
    long from, until; /* in force; until the next edition, or 0 */
    int level;        /* that adopts it; -1: none */
    bool units;       /* its head says for which units it is */
    const char *left; /* a number that a section had, or NULL */
    long left_on;
    bool locked; /* some lower level's changes are displaced: nothing that others build upon */
} Set;

void write_vocabulary(Scene *s);
void write_code(Scene *s, Set *set, const Set *from, const char *const *numbers, int n);
void write_standing(Scene *s, Made *m, const char *authority);
void write_body(const Scene *outer, Made *m);
void write_exception(Scene *s, const char *to, const char *cite);
void write_unit_condition(Scene *s, bool named);

#endif
