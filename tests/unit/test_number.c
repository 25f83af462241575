/* number: rationals and ranges.
 *
 * Rationals are held against GMP's own on random operands, half of them at the edges of the
 * small form. Ranges are held against a brute model: every pair of points out of a fine grid,
 * computed by GMP, must lie in the result (nothing possible is lost), each closed end must be
 * reached and each open or infinite one approached (nothing impossible is kept). */
#include <check.h>
#include <stdlib.h>
#include <string.h>

#include "number/date.h"
#include "number/range.h"

static uint32_t next_random(uint32_t *state)
{
    *state = *state * 1664525u + 1013904223u;
    return *state >> 8;
}

static uint64_t random_bits(uint32_t *state)
{
    return (uint64_t)next_random(state) << 40 ^ (uint64_t)next_random(state) << 20 ^
           next_random(state);
}

static int64_t random_small(uint32_t *state)
{
    static const int64_t edges[] = {
        0,         1,         -1,   2,  INT64_MAX, INT64_MIN, INT64_MIN + 1, INT64_MAX - 1,
        INT32_MAX, INT32_MIN, 5000, 127};
    uint32_t kind = next_random(state) % 4;
    if (kind == 0) {
        return edges[next_random(state) % (sizeof edges / sizeof edges[0])];
    }
    int64_t value = (int64_t)(random_bits(state) >> (kind == 1 ? 1 : kind == 2 ? 32 : 52));
    return next_random(state) % 2 == 0 ? value : -value;
}

/* A rational and the same number in GMP's form; some are big. */
static Rational random_rational(Arena *arena, uint32_t *state, mpq_t same)
{
    int64_t den = random_small(state) & INT64_MAX;
    Rational small = RATIONAL(random_small(state), den == 0 ? 1 : den);
    rational_to_mpq(small, same);
    if (next_random(state) % 5 != 0) {
        return small;
    }
    mpz_mul_2exp(mpq_numref(same), mpq_numref(same), next_random(state) % 90);
    mpz_ui_pow_ui(mpq_denref(same), 10, next_random(state) % 40);
    mpq_canonicalize(same);
    return rational_from_mpq(arena, same);
}

/* The result must be the number, and small exactly when the reduced number fits. */
static void check_same(Rational found, const mpq_t expected, const char *what)
{
    mpq_t value;
    mpq_init(value);
    rational_to_mpq(found, value);
    ck_assert_msg(mpq_equal(value, expected), "%s", what);
    bool fits = mpz_fits_slong_p(mpq_numref(expected)) && mpz_fits_slong_p(mpq_denref(expected));
    ck_assert_msg((found.den != 0) == fits, "%s: the wrong form", what);
    ck_assert_msg(found.den >= 0, "%s: a negative denominator", what);
    mpq_clear(value);
}

START_TEST(rationals_agree_with_gmp)
{
    enum { ROUNDS = 20000 };
    Arena *arena = arena_new();
    ArenaMark mark = arena_mark(arena);
    uint32_t state = 1;
    mpq_t a;
    mpq_t b;
    mpq_t expected;
    mpq_inits(a, b, expected, NULL);
    for (int round = 0; round < ROUNDS; round++) {
        Rational x = random_rational(arena, &state, a);
        Rational y = random_rational(arena, &state, b);
        mpq_add(expected, a, b);
        check_same(rational_add(arena, x, y), expected, "sum");
        mpq_sub(expected, a, b);
        check_same(rational_sub(arena, x, y), expected, "difference");
        mpq_mul(expected, a, b);
        check_same(rational_mul(arena, x, y), expected, "product");
        if (mpq_sgn(b) != 0) {
            mpq_div(expected, a, b);
            check_same(rational_div(arena, x, y), expected, "quotient");
        }
        mpq_neg(expected, a);
        check_same(rational_negate(arena, x), expected, "negative");
        check_same(rational_reduce(arena, x), a, "reduced");
        mpz_set_ui(mpq_denref(expected), 1);
        mpz_fdiv_q(mpq_numref(expected), mpq_numref(a), mpq_denref(a));
        check_same(rational_floor(arena, x), expected, "floor");
        mpz_cdiv_q(mpq_numref(expected), mpq_numref(a), mpq_denref(a));
        check_same(rational_ceil(arena, x), expected, "ceiling");
        int order = mpq_cmp(a, b);
        ck_assert_int_eq(rational_order(x, y), (order > 0) - (order < 0));
        ck_assert_int_eq(rational_order(x, x), 0);
        ck_assert_int_eq(rational_sign(x), mpq_sgn(a));
        ck_assert_int_eq(rational_is_whole(x), mpz_cmp_ui(mpq_denref(a), 1) == 0);
        arena_reset(arena, mark);
    }
    mpq_clears(a, b, expected, NULL);
    arena_free(arena);
}
END_TEST

START_TEST(big_numbers_come_back_small)
{
    Arena *arena = arena_new();
    Rational big = RATIONAL(INT64_MAX, 1);
    for (int i = 0; i < 20; i++) {
        big = rational_mul(arena, big, RATIONAL(INT64_MAX, 3));
    }
    ck_assert_int_eq(big.den, 0);
    for (int i = 0; i < 20; i++) {
        big = rational_div(arena, big, RATIONAL(INT64_MAX, 3));
    }
    ck_assert(big.den == 1 && big.num == INT64_MAX);
    Rational least = rational_negate(arena, RATIONAL(INT64_MIN, 1)); /* 2^63 does not fit */
    ck_assert_int_eq(least.den, 0);
    least = rational_negate(arena, least);
    ck_assert(least.den == 1 && least.num == INT64_MIN);
    Rational half = rational_div(arena, RATIONAL(1, 1), RATIONAL(INT64_MIN, 1));
    ck_assert_int_eq(half.den, 0);
    ck_assert_int_eq(rational_sign(half), -1);
    Text text = rational_print_exact(arena, half);
    ck_assert(text_equal(text, TEXT("-1/9223372036854775808")));
    arena_free(arena);
}
END_TEST

START_TEST(powers_and_roots)
{
    Arena *arena = arena_new();
    mpq_t expected;
    mpq_init(expected);
    for (int num = -9; num <= 9; num++) {
        for (unsigned exponent = 0; exponent <= 30; exponent++) {
            rational_to_mpq(RATIONAL(num, 7), expected);
            mpz_pow_ui(mpq_numref(expected), mpq_numref(expected), exponent);
            mpz_pow_ui(mpq_denref(expected), mpq_denref(expected), exponent);
            Rational power = rational_power(arena, RATIONAL(num * 2, 14), exponent);
            check_same(power, expected, "power");
            Rational root = RATIONAL_ZERO;
            if (num >= 0 && exponent > 0) {
                ck_assert(rational_root_exact(arena, power, exponent, &root));
                ck_assert_int_eq(rational_order(root, RATIONAL(num, 7)), 0);
            }
        }
    }
    Rational root;
    ck_assert(!rational_root_exact(arena, RATIONAL(2, 1), 2, &root));
    ck_assert(!rational_root_exact(arena, RATIONAL(4, 3), 2, &root));
    ck_assert(rational_root_exact(arena, RATIONAL(8, 18), 2, &root)); /* 4/9, not reduced */
    ck_assert_int_eq(rational_order(root, RATIONAL(2, 3)), 0);
    mpq_clear(expected);
    arena_free(arena);
}
END_TEST

START_TEST(root_bounds_enclose_closely)
{
    Arena *arena = arena_new();
    ArenaMark mark = arena_mark(arena);
    uint32_t state = 5;
    mpq_t same;
    mpq_init(same);
    Rational tiny = rational_power(arena, RATIONAL(1, 2), 120);
    mark = arena_mark(arena);
    for (int round = 0; round < 600; round++) {
        Rational value = random_rational(arena, &state, same);
        if (rational_sign(value) < 0) {
            value = rational_negate(arena, value);
        }
        unsigned degree = 2 + next_random(&state) % 5;
        Rational low;
        Rational high;
        rational_root_bounds(arena, value, degree, &low, &high);
        ck_assert_int_le(rational_order(rational_power(arena, low, degree), value), 0);
        ck_assert_int_ge(rational_order(rational_power(arena, high, degree), value), 0);
        Rational width = rational_sub(arena, high, low);
        ck_assert_int_le(rational_order(width, rational_mul(arena, high, tiny)), 0);
        arena_reset(arena, mark);
    }
    mpq_clear(same);
    arena_free(arena);
}
END_TEST

START_TEST(decimals_are_read_exactly)
{
    static const struct {
        const char *text;
        const char *value; /* NULL: refused */
    } cases[] = {
        {"0", "0"},
        {"1400", "1400"},
        {"0.125", "1/8"},
        {"007.50", "15/2"},
        {"123456789012345678", "123456789012345678"},
        {"9223372036854775808", "9223372036854775808"},
        {"1234567890.12345678901234567890", "12345678901234567890123456789/10000000000000000000"},
        {"0.00000000000000000000000000000000000001", "1/100000000000000000000000000000000000000"},
        {"12.", NULL},
        {".5", NULL},
        {"", NULL},
        {".", NULL},
        {"1.2.3", NULL},
        {"-1", NULL},
        {"1,000", NULL},
        {"1e3", NULL},
        {" 1", NULL},
        {"0x1", NULL}};
    Arena *arena = arena_new();
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        Rational value = RATIONAL(-7, 1);
        bool read = rational_parse_decimal(arena, text_of(cases[i].text), &value);
        ck_assert_msg(read == (cases[i].value != NULL), "%s", cases[i].text);
        if (read) {
            Text text = rational_print_exact(arena, value);
            ck_assert_msg(text_equal(text, text_of(cases[i].value)), "%s gives %.*s", cases[i].text,
                          TEXT_ARG(text));
        }
    }
    arena_free(arena);
}
END_TEST

/* The text of a decimal as a number: sign and digits through rational_parse_decimal. */
static Rational read_signed(Arena *arena, Text text)
{
    bool minus = text_starts(text, TEXT("-"));
    Rational value = RATIONAL_ZERO;
    Text digits = {text.data + minus, text.len - minus};
    ck_assert_msg(rational_parse_decimal(arena, digits, &value), "'%.*s'", TEXT_ARG(text));
    return minus ? rational_negate(arena, value) : value;
}

static void check_print(Arena *arena, Rational value, unsigned places, int direction)
{
    bool exact = false;
    Text text = rational_print(arena, value, places, direction, &exact);
    Rational shown = read_signed(arena, text);
    Rational step =
        rational_div(arena, RATIONAL_ONE, rational_power(arena, RATIONAL(10, 1), places));
    Rational error = rational_sub(arena, shown, value);
    ck_assert_int_eq(exact, rational_sign(error) == 0);
    if (direction < 0) {
        ck_assert_int_le(rational_sign(error), 0);
    } else if (direction > 0) {
        ck_assert_int_ge(rational_sign(error), 0);
    }
    Rational size = rational_sign(error) < 0 ? rational_negate(arena, error) : error;
    if (direction == 0) {
        int order = rational_order(rational_mul(arena, size, RATIONAL(2, 1)), step);
        ck_assert_int_le(order, 0);
        if (order == 0) { /* a tie goes away from zero */
            ck_assert_int_eq(rational_sign(error), rational_sign(value));
        }
    } else {
        ck_assert_int_lt(rational_order(size, step), 0);
    }
    size_t point = 0;
    while (point < text.len && text.data[point] != '.') {
        point++;
    }
    ck_assert_uint_le(text.len - point, places + 1);
    ck_assert(point == text.len || text.data[text.len - 1] != '0');
    ck_assert(!text_equal(text, TEXT("-0")));
}

START_TEST(decimals_are_printed_to_the_chosen_side)
{
    Arena *arena = arena_new();
    ArenaMark mark = arena_mark(arena);
    uint32_t state = 9;
    mpq_t same;
    mpq_init(same);
    for (int round = 0; round < 4000; round++) {
        Rational value = random_rational(arena, &state, same);
        if (round % 4 == 0) { /* many ties */
            value = RATIONAL((int64_t)(next_random(&state) % 2001) - 1000, 200);
        }
        unsigned places = next_random(&state) % 25;
        check_print(arena, value, round % 4 == 0 ? places % 3 : places,
                    (int)(next_random(&state) % 3) - 1);
        arena_reset(arena, mark);
    }
    static const struct {
        int64_t num;
        int64_t den;
        unsigned places;
        int direction;
        const char *text;
    } cases[] = {{1, 2, 0, 0, "1"},        {-1, 2, 0, 0, "-1"},     {1, 2, 0, -1, "0"},
                 {-1, 2, 0, 1, "0"},       {-1, 2, 0, -1, "-1"},    {2, 3, 3, 0, "0.667"},
                 {2, 3, 3, -1, "0.666"},   {-2, 3, 3, 1, "-0.666"}, {1200, 1, 3, 0, "1200"},
                 {1, 1000, 3, 0, "0.001"}, {1, 10000, 3, 0, "0"},   {100, 4, 2, 0, "25"},
                 {575, 10, 14, 0, "57.5"}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        Text text = rational_print(arena, RATIONAL(cases[i].num, cases[i].den), cases[i].places,
                                   cases[i].direction, NULL);
        ck_assert_msg(text_equal(text, text_of(cases[i].text)), "%zu: %.*s", i, TEXT_ARG(text));
    }
    mpq_clear(same);
    arena_free(arena);
}
END_TEST

/* ---- ranges ---------------------------------------------------------------------------------- */

enum {
    HALVES = 4, /* the grid goes from -2 to 2 by halves */
    POINTS = (2 * HALVES + 1) * 3 + 4,
    FINE = 10000, /* 1/FINE stands for as near as one likes, FINE^2 for as far */
};

typedef struct Points {
    Rational at[POINTS];
    size_t count;
} Points;

/* The model's own reading of the flags. */
static bool is_member(const Range *range, Rational x)
{
    if (range->flags & RANGE_EXACT) {
        return rational_order(x, range->low) == 0;
    }
    int above = range->flags & RANGE_NO_LOW ? 1 : rational_order(x, range->low);
    int below = range->flags & RANGE_NO_HIGH ? 1 : rational_order(range->high, x);
    return (above > 0 || (above == 0 && !(range->flags & RANGE_LOW_OPEN))) &&
           (below > 0 || (below == 0 && !(range->flags & RANGE_HIGH_OPEN)));
}

static void add_point(Points *points, const Range *range, Rational x)
{
    if (is_member(range, x)) {
        points->at[points->count++] = x;
    }
}

static Points sample(const Range *range)
{
    Points points = {.count = 0};
    for (int64_t half = -HALVES; half <= HALVES; half++) {
        for (int64_t off = -1; off <= 1; off++) {
            add_point(&points, range, RATIONAL(half * FINE + off * 2, 2 * FINE));
        }
    }
    add_point(&points, range, RATIONAL(FINE * FINE, 1));
    add_point(&points, range, RATIONAL(-FINE * FINE, 1));
    add_point(&points, range, RATIONAL(50, 1));
    add_point(&points, range, RATIONAL(-50, 1));
    return points;
}

static Range random_range(uint32_t *state)
{
    for (;;) {
        Range range = {.low = RATIONAL((int64_t)(next_random(state) % 5) - 2, 1),
                       .high = RATIONAL((int64_t)(next_random(state) % 5) - 2, 1),
                       .flags = (uint8_t)(next_random(state) % 4 << 1)};
        if (next_random(state) % 5 == 0) {
            return range_exact(range.low);
        }
        range.flags |= next_random(state) % 4 == 0 ? RANGE_NO_LOW : 0;
        range.flags |= next_random(state) % 4 == 0 ? RANGE_NO_HIGH : 0;
        range.flags &= (uint8_t) ~(range.flags & RANGE_NO_LOW ? RANGE_LOW_OPEN : 0);
        range.flags &= (uint8_t) ~(range.flags & RANGE_NO_HIGH ? RANGE_HIGH_OPEN : 0);
        if ((range.flags & (RANGE_NO_LOW | RANGE_NO_HIGH)) ||
            rational_order(range.low, range.high) < 0) {
            return range;
        }
    }
}

/* What the pairs gave: the least and greatest values, by GMP. */
typedef struct Seen {
    mpq_t least;
    mpq_t greatest;
    bool any;
} Seen;

static void see(Seen *seen, const mpq_t value)
{
    if (!seen->any || mpq_cmp(value, seen->least) < 0) {
        mpq_set(seen->least, value);
    }
    if (!seen->any || mpq_cmp(value, seen->greatest) > 0) {
        mpq_set(seen->greatest, value);
    }
    seen->any = true;
}

/* One end of the result against the outermost value seen; `side` -1 is the low end. */
static void check_end(const Range *result, const mpq_t outermost, int side, const char *what)
{
    bool low = side < 0;
    if (result->flags & (low ? RANGE_NO_LOW : RANGE_NO_HIGH)) {
        ck_assert_msg(mpq_cmp_si(outermost, side * 1000, 1) * side > 0, "%s: a false infinity",
                      what);
        return;
    }
    bool open = (result->flags & (low ? RANGE_LOW_OPEN : RANGE_HIGH_OPEN)) != 0;
    mpq_t end;
    mpq_init(end);
    rational_to_mpq(low || (result->flags & RANGE_EXACT) ? result->low : result->high, end);
    mpq_sub(end, end, outermost);
    if (open && !(result->flags & RANGE_EXACT)) {
        ck_assert_msg(mpq_sgn(end) == side, "%s: an open end was reached", what);
        mpq_abs(end, end);
        ck_assert_msg(mpq_cmp_si(end, 1, 100) < 0, "%s: an end too far out", what);
    } else {
        ck_assert_msg(mpq_sgn(end) == 0, "%s: a closed end was not reached", what);
    }
    mpq_clear(end);
}

static void check_result(const Range *result, const Seen *seen, const char *what)
{
    ck_assert_msg(seen->any, "%s: nothing seen", what);
    check_end(result, seen->least, -1, what);
    check_end(result, seen->greatest, 1, what);
}

typedef void (*Operation)(mpq_t out, const mpq_t a, const mpq_t b);

static void take_min(mpq_t out, const mpq_t a, const mpq_t b)
{
    mpq_set(out, mpq_cmp(a, b) < 0 ? a : b);
}

static void take_max(mpq_t out, const mpq_t a, const mpq_t b)
{
    mpq_set(out, mpq_cmp(a, b) > 0 ? a : b);
}

/* Every pair of points through GMP, against the range computed. */
static void check_operation(const Range *result, const Points *as, const Points *bs,
                            Operation operation, bool divides, const char *what)
{
    Seen seen = {.any = false};
    mpq_t a;
    mpq_t b;
    mpq_t value;
    mpq_inits(a, b, value, seen.least, seen.greatest, NULL);
    for (size_t i = 0; i < as->count; i++) {
        rational_to_mpq(as->at[i], a);
        for (size_t j = 0; j < bs->count; j++) {
            rational_to_mpq(bs->at[j], b);
            if (!divides || mpq_sgn(b) != 0) {
                operation(value, a, b);
                see(&seen, value);
            }
        }
    }
    check_result(result, &seen, what);
    mpq_clears(a, b, value, seen.least, seen.greatest, NULL);
}

static Truth model_truth(const Points *as, const Points *bs, int relation)
{
    bool some = false;
    bool all = true;
    for (size_t i = 0; i < as->count; i++) {
        for (size_t j = 0; j < bs->count; j++) {
            int order = rational_order(as->at[i], bs->at[j]);
            bool holds = relation == 0 ? order < 0 : relation == 1 ? order <= 0 : order == 0;
            some = some || holds;
            all = all && holds;
        }
    }
    return all ? TRUTH_TRUE : some ? TRUTH_UNKNOWN : TRUTH_FALSE;
}

static void check_sets(Arena *arena, const Range *a, const Range *b, const Points *as)
{
    bool within = true;
    bool common = false;
    Range meet;
    bool met = range_meet(arena, a, b, &meet);
    Range hull = range_hull(a, b);
    for (size_t i = 0; i < as->count; i++) {
        Rational x = as->at[i];
        bool both = is_member(b, x);
        within = within && both;
        common = common || both;
        ck_assert(range_contains(a, x));
        ck_assert_int_eq(range_contains(b, x), both);
        ck_assert_int_eq(met && range_contains(&meet, x), both);
        ck_assert(range_contains(&hull, x));
    }
    ck_assert_int_eq(range_within(a, b), within);
    ck_assert_int_eq(met, common);
    if (met) {
        ck_assert(range_within(&meet, a) && range_within(&meet, b));
    }
    ck_assert(range_within(a, &hull) && range_within(b, &hull));
    Range everything = range_everything();
    ck_assert(range_within(a, &everything));
    ck_assert(!range_within(&everything, a) || (a->flags == (RANGE_NO_LOW | RANGE_NO_HIGH)));
}

static void check_pair(Arena *arena, const Range *a, const Range *b)
{
    Points as = sample(a);
    Points bs = sample(b);
    Range result = range_add(arena, a, b);
    check_operation(&result, &as, &bs, mpq_add, false, "sum");
    result = range_sub(arena, a, b);
    check_operation(&result, &as, &bs, mpq_sub, false, "difference");
    result = range_mul(arena, a, b);
    check_operation(&result, &as, &bs, mpq_mul, false, "product");
    result = range_min(a, b);
    check_operation(&result, &as, &bs, take_min, false, "least");
    result = range_max(a, b);
    check_operation(&result, &as, &bs, take_max, false, "greatest");
    RangeDivision division = range_div(arena, a, b, &result);
    bool zero = is_member(b, RATIONAL_ZERO);
    bool only_zero = zero && (b->flags & RANGE_EXACT);
    ck_assert_int_eq(division, only_zero ? RANGE_DIV_ALWAYS
                               : zero    ? RANGE_DIV_MAYBE
                                         : RANGE_DIV_NEVER);
    if (!only_zero) {
        check_operation(&result, &as, &bs, mpq_div, true, "quotient");
    }
    ck_assert_int_eq(range_less(a, b), model_truth(&as, &bs, 0));
    ck_assert_int_eq(range_less_equal(a, b), model_truth(&as, &bs, 1));
    ck_assert_int_eq(range_equal(a, b), model_truth(&as, &bs, 2));
    check_sets(arena, a, b, &as);
}

START_TEST(ranges_agree_with_a_brute_model)
{
    Arena *arena = arena_new();
    ArenaMark mark = arena_mark(arena);
    uint32_t state = 17;
    for (int round = 0; round < 300; round++) {
        Range a = random_range(&state);
        Range b = random_range(&state);
        check_pair(arena, &a, &b);
        arena_reset(arena, mark);
    }
    arena_free(arena);
}
END_TEST

static Rational map_floor(Arena *arena, Rational value, const void *data)
{
    (void)data;
    return rational_floor(arena, value);
}

START_TEST(ranges_map_end_by_end)
{
    Arena *arena = arena_new();
    uint32_t state = 23;
    for (int round = 0; round < 300; round++) {
        Range a = random_range(&state);
        Points as = sample(&a);
        Range mapped = range_map(arena, &a, map_floor, NULL);
        for (size_t i = 0; i < as.count; i++) {
            ck_assert(range_contains(&mapped, rational_floor(arena, as.at[i])));
        }
        ck_assert_int_eq((mapped.flags ^ a.flags) & (RANGE_NO_LOW | RANGE_NO_HIGH), 0);
    }
    Range narrow = range_between(RATIONAL(11, 10), RATIONAL(19, 10));
    Range one = range_map(arena, &narrow, map_floor, NULL);
    ck_assert(range_is_exact(&one)); /* rounding can make a doubtful value sure */
    ck_assert_int_eq(rational_order(one.low, RATIONAL_ONE), 0);
    arena_free(arena);
}
END_TEST

/* meaning.md, rule 16: 0 times infinity is 0; 40 over [0, 10] is possibly no value. */
START_TEST(ranges_handle_zero_and_infinity)
{
    Arena *arena = arena_new();
    Range everything = range_everything();
    Range zero = range_exact(RATIONAL_ZERO);
    Range product = range_mul(arena, &zero, &everything);
    ck_assert(range_is_exact(&product) && rational_sign(product.low) == 0);
    Range forty = range_exact(RATIONAL(40, 1));
    Range ten = range_between(RATIONAL_ZERO, RATIONAL(10, 1));
    Range quotient;
    ck_assert_int_eq(range_div(arena, &forty, &ten, &quotient), RANGE_DIV_MAYBE);
    ck_assert_int_eq(rational_order(quotient.low, RATIONAL(4, 1)), 0);
    ck_assert_int_eq(quotient.flags, RANGE_NO_HIGH);
    ten.flags = RANGE_LOW_OPEN; /* "more than 0": never zero */
    ck_assert_int_eq(range_div(arena, &forty, &ten, &quotient), RANGE_DIV_NEVER);
    ck_assert_int_eq(range_div(arena, &forty, &zero, &quotient), RANGE_DIV_ALWAYS);
    Range point = range_between(RATIONAL(3, 2), RATIONAL(6, 4));
    ck_assert(range_is_exact(&point));
    Range minus = range_negate(arena, &ten);
    ck_assert_int_eq(minus.flags, RANGE_HIGH_OPEN);
    arena_free(arena);
}
END_TEST

START_TEST(truths_are_kleene_s)
{
    for (int a = 0; a < 3; a++) {
        ck_assert_int_eq(truth_not((Truth)a), 2 - a);
        for (int b = 0; b < 3; b++) {
            Truth both = a == 0 || b == 0   ? TRUTH_FALSE
                         : a == 2 && b == 2 ? TRUTH_TRUE
                                            : TRUTH_UNKNOWN;
            Truth either = a == 2 || b == 2   ? TRUTH_TRUE
                           : a == 0 && b == 0 ? TRUTH_FALSE
                                              : TRUTH_UNKNOWN;
            ck_assert_int_eq(truth_and((Truth)a, (Truth)b), both);
            ck_assert_int_eq(truth_or((Truth)a, (Truth)b), either);
        }
    }
}
END_TEST

/* ---- dates ----------------------------------------------------------------------------------- */

START_TEST(dates_walk_the_calendar)
{
    static const int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    Arena *arena = arena_new();
    ArenaMark mark = arena_mark(arena);
    ck_assert_int_eq(date_day(1970, 1, 1), 0);
    ck_assert_int_eq(date_day(2000, 1, 1), 10957);  /* POSIX time 946684800 */
    ck_assert_int_eq(date_day(2038, 1, 19), 24855); /* the day of POSIX time 2^31 */
    Day expected = date_day(1, 1, 1);
    for (int year = 1; year <= 2500; year++) {
        for (int month = 1; month <= 12; month++) {
            bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
            for (int day = 1; day <= days[month - 1] + (month == 2 && leap); day++, expected++) {
                ck_assert_int_eq(date_day(year, month, day), expected);
                if (year % 97 == 0 || (month == 2 && day > 27)) {
                    Text wanted = text_format(arena, "%04d-%02d-%02d", year, month, day);
                    ck_assert(text_equal(date_print(arena, expected), wanted));
                    arena_reset(arena, mark);
                }
            }
        }
    }
    arena_free(arena);
}
END_TEST

START_TEST(dates_are_read_as_spans)
{
    static const struct {
        const char *text;
        const char *first;
        const char *last;
    } good[] = {
        {"2025-07-01", "2025-07-01", "2025-07-01"}, {"2024-02", "2024-02-01", "2024-02-29"},
        {"2023-02", "2023-02-01", "2023-02-28"},    {"2019", "2019-01-01", "2019-12-31"},
        {"2019-12", "2019-12-01", "2019-12-31"},    {"2000-02-29", "2000-02-29", "2000-02-29"}};
    static const struct {
        const char *text;
        const char *reason;
    } bad[] = {{"2025-13-01", "months are numbered 01 to 12"},
               {"2025-00", "months are numbered 01 to 12"},
               {"2025-06-31", "that month has no such day"},
               {"2025-06-00", "that month has no such day"},
               {"1900-02-29", "February has 28 days in that year"},
               {"0000-01-01", "there is no year 0"},
               {"2025-7-1", "a date is written year-month-day, as 2025-07-01, 2025-07 or 2025"},
               {"07/01/2025", "a date is written year-month-day, as 2025-07-01, 2025-07 or 2025"},
               {"2025/07/01", "a date is written year-month-day, as 2025-07-01, 2025-07 or 2025"},
               {"2025-07-0x", "a date is written year-month-day, as 2025-07-01, 2025-07 or 2025"},
               {"", "a date is written year-month-day, as 2025-07-01, 2025-07 or 2025"}};
    Arena *arena = arena_new();
    Day first;
    Day last;
    const char *reason = NULL;
    for (size_t i = 0; i < sizeof good / sizeof good[0]; i++) {
        ck_assert_msg(date_parse(text_of(good[i].text), &first, &last, &reason), "%s",
                      good[i].text);
        ck_assert(text_equal(date_print(arena, first), text_of(good[i].first)));
        ck_assert(text_equal(date_print(arena, last), text_of(good[i].last)));
        Range range = date_range(first, last);
        ck_assert_int_eq(range_is_exact(&range), first == last);
    }
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        ck_assert_msg(!date_parse(text_of(bad[i].text), &first, &last, &reason), "%s", bad[i].text);
        ck_assert_str_eq(reason, bad[i].reason);
    }
    arena_free(arena);
}
END_TEST

Suite *number_suite(void)
{
    const TTest *const tests[] = {rationals_agree_with_gmp,
                                  big_numbers_come_back_small,
                                  powers_and_roots,
                                  root_bounds_enclose_closely,
                                  decimals_are_read_exactly,
                                  decimals_are_printed_to_the_chosen_side,
                                  ranges_agree_with_a_brute_model,
                                  ranges_map_end_by_end,
                                  ranges_handle_zero_and_infinity,
                                  truths_are_kleene_s,
                                  dates_walk_the_calendar,
                                  dates_are_read_as_spans};
    TCase *tcase = tcase_create("number");
    tcase_set_timeout(tcase, 120);
    for (size_t i = 0; i < sizeof tests / sizeof tests[0]; i++) {
        tcase_add_test(tcase, tests[i]);
    }
    Suite *suite = suite_create("number");
    suite_add_tcase(suite, tcase);
    return suite;
}
