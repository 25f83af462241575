/* What was measured, what is required and by how much it misses: numbers and their words. */
#ifndef REPORT_MEASURE_H
#define REPORT_MEASURE_H

#include "judge/judge.h"

/* Which way a comparison bounds what is measured, `shall not` taken into account. */
typedef enum Bound { BOUND_UPPER, BOUND_LOWER, BOUND_EQUAL, BOUND_UNEQUAL } Bound;

/* The distance between measured and limit. */
typedef struct Margin {
    bool known;       /* low is set */
    bool spare;       /* on the allowed side (or at the limit); else it misses */
    bool exact;       /* one value; else it is at least low */
    bool root;        /* low is the near end of an enclosure: exact but for its digits */
    Rational low;     /* SI, >= 0 */
    bool has_percent; /* of a limit other than zero, of a kind that has ratios */
    Rational percent;
} Margin;

Bound line_bound(const Line *line);
bool line_is_strict(const Line *line); /* the limit itself is not allowed */
bool type_is_date(const Type *type);

/* The range of a value; of a root its enclosure, and *root says so. */
Range value_range(Arena *arena, const Value *value, bool *root);

/* A value of a type in words: "24 in", "2025-06-30", "light or medium", "none". Where two values
 * differ their words differ: `other` may be NULL. Unit NULL: the one the type is shown in. */
Text value_words(Arena *arena, const Value *value, const Type *type, const Unit *unit,
                 const Value *other);

Text measured_words(Arena *arena, const Part *part);
/* False of a number of which no more is known than that it is not below zero. */
bool value_says_something(const Value *value);
/* One possible value, which is present. */
bool value_is_point(const Value *value);
/* "at most 24 in", "on or after 2025-01-01", "at least heavy". */
Text limit_words(Arena *arena, const Part *part);
Margin measure_margin(Arena *arena, const Part *part);
/* "over by 1 in (4.2%)", "1 in (4.2%) to spare", "exactly at the limit"; "" when there is none. */
Text margin_words(Arena *arena, const Part *part);
/* The unit in which a difference of two values of a line is told. */
const Unit *margin_unit(Arena *arena, const Part *part);
const Unit *measure_unit(Arena *arena, const Part *part);
/* "4.2%", never "0%" for what is not zero. */
Text percent_words(Arena *arena, Rational percent);
/* A name with spaces for its underscores. */
Text spaced_words(Arena *arena, Text name);
/* What is measured, in words: "clear width"; "" when it has no name of its own. */
Text measure_name(Arena *arena, const Part *part);
/* The limit rounded so that who follows it is not caught out by the digits left off. */
Text limit_safe(Arena *arena, const Part *part);

#endif
