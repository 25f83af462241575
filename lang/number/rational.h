/* Rational: exact numbers. Small form int64/int64 with 128-bit intermediates and no gcd on
 * the common path; what does not fit is reduced, and what then does not fit lives as a GMP
 * number in the arena. A rational never loses anything and never overflows.
 *
 * Small numbers need not be reduced: compare with rational_order, never field by field. */
#ifndef NUMBER_RATIONAL_H
#define NUMBER_RATIONAL_H

#include <gmp.h>

#include "base/text.h"

typedef struct BigRational BigRational;

typedef struct Rational {
    int64_t den; /* > 0: small; 0: big */
    union {
        int64_t num;
        const BigRational *big; /* owned by an arena; its limbs too */
    };
} Rational;

#define RATIONAL(n, d) ((Rational){.den = (d), .num = (n)})
#define RATIONAL_ZERO RATIONAL(0, 1)
#define RATIONAL_ONE RATIONAL(1, 1)

__extension__ typedef __int128 Wide; /* holds any product of two int64, and the sum of two */

/* The other halves of the functions below: what is big, or does not fit. */
int rational_order_big(Rational a, Rational b);
Rational rational_add_big(Arena *arena, Rational a, Rational b);
Rational rational_mul_big(Arena *arena, Rational a, Rational b);
Rational rational_from_wide_big(Arena *arena, Wide num, Wide den);

static inline Rational rational_from_wide(Arena *arena, Wide num, Wide den) /* den > 0 */
{
    if (num >= INT64_MIN && num <= INT64_MAX && den <= INT64_MAX) {
        return RATIONAL((int64_t)num, (int64_t)den);
    }
    return rational_from_wide_big(arena, num, den);
}

static inline int rational_order(Rational a, Rational b) /* -1, 0, 1 */
{
    if (a.den == 0 || b.den == 0) {
        return rational_order_big(a, b);
    }
    Wide left = (Wide)a.num * b.den;
    Wide right = (Wide)b.num * a.den;
    return (left > right) - (left < right);
}

/* Results live in the arena when they are big. */
static inline Rational rational_add(Arena *arena, Rational a, Rational b)
{
    if (a.den == 0 || b.den == 0) {
        return rational_add_big(arena, a, b);
    }
    if (a.den == b.den) {
        return rational_from_wide(arena, (Wide)a.num + b.num, a.den);
    }
    return rational_from_wide(arena, (Wide)a.num * b.den + (Wide)b.num * a.den,
                              (Wide)a.den * b.den);
}

static inline Rational rational_mul(Arena *arena, Rational a, Rational b)
{
    if (a.den == 0 || b.den == 0) {
        return rational_mul_big(arena, a, b);
    }
    return rational_from_wide(arena, (Wide)a.num * b.num, (Wide)a.den * b.den);
}

int rational_sign(Rational a); /* -1, 0, 1 */
bool rational_is_whole(Rational a);
Rational rational_sub(Arena *arena, Rational a, Rational b);
Rational rational_div(Arena *arena, Rational a, Rational b); /* b must not be zero */
Rational rational_negate(Arena *arena, Rational a);
Rational rational_power(Arena *arena, Rational a, unsigned exponent); /* 0 to the 0 is 1 */
Rational rational_floor(Arena *arena, Rational a);
Rational rational_ceil(Arena *arena, Rational a);
Rational rational_reduce(Arena *arena, Rational a);

/* a to the 1/degree: true with the exact root when there is one. a must be >= 0. */
bool rational_root_exact(Arena *arena, Rational a, unsigned degree, Rational *root);
/* Enclosure of the root, rounded outward by MPFR at 128 bits; a must be >= 0. */
void rational_root_bounds(Arena *arena, Rational a, unsigned degree, Rational *low, Rational *high);

void rational_to_mpq(Rational a, mpq_t out); /* out is initialised by the caller */
Rational rational_from_mpq(Arena *arena, const mpq_t in);

/* Exact reading of decimal digits: "1400", "0.125", "12." is refused. No sign, no commas. */
bool rational_parse_decimal(Arena *arena, Text digits, Rational *out);

/* Decimal text with at most `places` decimals, trailing zeros dropped; *exact (may be NULL)
 * tells whether nothing was cut. Rounding is to the nearest, halves away from zero; toward
 * minus infinity with direction < 0, toward plus infinity with direction > 0. No "-0". */
Text rational_print(Arena *arena, Rational a, unsigned places, int direction, bool *exact);
/* "n/d" or "n", reduced: for machines and tests. */
Text rational_print_exact(Arena *arena, Rational a);

#endif
