/* Range: every value between two exact rationals, either end open or without bound. A stated
 * value is a range of width zero, flagged exact, and takes the fast path. Ends are what
 * meaning.md asks: outward, never losing a possible value; 0 times infinity is 0. */
#ifndef NUMBER_RANGE_H
#define NUMBER_RANGE_H

#include "number/rational.h"

enum {
    RANGE_EXACT = 1,    /* low is the value, high is not read */
    RANGE_LOW_OPEN = 2, /* low itself is not possible */
    RANGE_HIGH_OPEN = 4,
    RANGE_NO_LOW = 8, /* no lower bound; low is not read */
    RANGE_NO_HIGH = 16
};

typedef struct Range {
    Rational low;
    Rational high;
    uint8_t flags;
} Range;

/* What can be said of a relation between two ranges. */
typedef enum Truth { TRUTH_FALSE = 0, TRUTH_UNKNOWN = 1, TRUTH_TRUE = 2 } Truth;

Range range_exact(Rational value);
Range range_between(Rational low, Rational high); /* closed; equal ends give an exact range */
Range range_everything(void);
bool range_is_exact(const Range *a);
bool range_contains(const Range *a, Rational value);
bool range_within(const Range *inner, const Range *outer);
bool range_meet(Arena *arena, const Range *a, const Range *b, Range *out); /* false: empty */
Range range_hull(const Range *a, const Range *b);

Range range_add(Arena *arena, const Range *a, const Range *b);
Range range_sub(Arena *arena, const Range *a, const Range *b);
Range range_mul(Arena *arena, const Range *a, const Range *b);
Range range_negate(Arena *arena, const Range *a);
/* Division: *hit tells how b meets zero. RANGE_DIV_NEVER: out holds a/b. RANGE_DIV_MAYBE: out
 * holds the hull of a/b over b without zero. RANGE_DIV_ALWAYS: b is exactly zero, no out. */
typedef enum RangeDivision { RANGE_DIV_NEVER, RANGE_DIV_MAYBE, RANGE_DIV_ALWAYS } RangeDivision;
RangeDivision range_div(Arena *arena, const Range *a, const Range *b, Range *out);
Range range_min(const Range *a, const Range *b);
Range range_max(const Range *a, const Range *b);
/* End by end with a rational function that never decreases (rounding steps). */
typedef Rational (*RationalMap)(Arena *arena, Rational value, const void *data);
Range range_map(Arena *arena, const Range *a, RationalMap map, const void *data);

Truth range_less(const Range *a, const Range *b);       /* a <  b for all, none, some */
Truth range_less_equal(const Range *a, const Range *b); /* a <= b */
Truth range_equal(const Range *a, const Range *b);
Truth truth_not(Truth a);
Truth truth_and(Truth a, Truth b);
Truth truth_or(Truth a, Truth b);

#endif
