/* Range: arithmetic and comparison of sets of possible values.
 *
 * Exact ranges take a short way at the top of each function. The others are handled as two
 * ends, each a value or an infinity, open or closed. A result holds every value that some pair
 * of members gives; its ends are the tightest there are, open exactly when no pair reaches
 * them (range_map alone closes them, since a rounding step can reach its end from within). */
#include "number/range.h"

typedef struct End {
    Rational value; /* not read when infinite */
    int infinite;   /* -1, 0, 1 */
    bool open;
} End;

static const End MINUS_INFINITY = {.value = {.den = 1}, .infinite = -1, .open = true};
static const End PLUS_INFINITY = {.value = {.den = 1}, .infinite = 1, .open = true};

static End low_end(const Range *a)
{
    if ((a->flags & RANGE_EXACT) != 0) {
        return (End){.value = a->low};
    }
    if ((a->flags & RANGE_NO_LOW) != 0) {
        return MINUS_INFINITY;
    }
    return (End){.value = a->low, .open = (a->flags & RANGE_LOW_OPEN) != 0};
}

static End high_end(const Range *a)
{
    if ((a->flags & RANGE_EXACT) != 0) {
        return (End){.value = a->low};
    }
    if ((a->flags & RANGE_NO_HIGH) != 0) {
        return PLUS_INFINITY;
    }
    return (End){.value = a->high, .open = (a->flags & RANGE_HIGH_OPEN) != 0};
}

/* Order of the places of two ends, whether open or not. */
static int order_ends(End a, End b)
{
    if (a.infinite != 0 || b.infinite != 0) {
        return (a.infinite > b.infinite) - (a.infinite < b.infinite);
    }
    return rational_order(a.value, b.value);
}

static Range join_ends(End low, End high)
{
    if (low.infinite == 0 && high.infinite == 0 && rational_order(low.value, high.value) == 0) {
        return range_exact(low.value);
    }
    unsigned flags = 0;
    if (low.infinite != 0) {
        flags |= RANGE_NO_LOW;
    } else if (low.open) {
        flags |= RANGE_LOW_OPEN;
    }
    if (high.infinite != 0) {
        flags |= RANGE_NO_HIGH;
    } else if (high.open) {
        flags |= RANGE_HIGH_OPEN;
    }
    return (Range){.low = low.value, .high = high.value, .flags = (uint8_t)flags};
}

/* The lesser or greater of two ends; where they meet, `open` if `open_if_either` asks for one
 * open end to be enough, otherwise only when both are open. */
static End choose_end(End a, End b, int sign, bool open_if_either)
{
    int order = order_ends(a, b) * sign;
    if (order != 0) {
        return order > 0 ? a : b;
    }
    a.open = open_if_either ? a.open || b.open : a.open && b.open;
    return a;
}

Range range_exact(Rational value)
{
    return (Range){.low = value, .high = value, .flags = RANGE_EXACT};
}

Range range_between(Rational low, Rational high)
{
    return join_ends((End){.value = low}, (End){.value = high});
}

Range range_everything(void)
{
    return (Range){
        .low = RATIONAL_ZERO, .high = RATIONAL_ZERO, .flags = RANGE_NO_LOW | RANGE_NO_HIGH};
}

bool range_is_exact(const Range *a)
{
    return (a->flags & RANGE_EXACT) != 0;
}

bool range_contains(const Range *a, Rational value)
{
    End point = {.value = value};
    End low = low_end(a);
    End high = high_end(a);
    int above = order_ends(point, low);
    int below = order_ends(high, point);
    return (above > 0 || (above == 0 && !low.open)) && (below > 0 || (below == 0 && !high.open));
}

/* `sign` 1 compares low ends, -1 high ends: is the inner end no further out than the outer? */
static bool is_end_within(End inner, End outer, int sign)
{
    int order = order_ends(inner, outer) * sign;
    return order > 0 || (order == 0 && (inner.open || !outer.open));
}

bool range_within(const Range *inner, const Range *outer)
{
    return is_end_within(low_end(inner), low_end(outer), 1) &&
           is_end_within(high_end(inner), high_end(outer), -1);
}

bool range_meet(Arena *arena, const Range *a, const Range *b, Range *out)
{
    (void)arena; /* ends are chosen, not computed */
    End low = choose_end(low_end(a), low_end(b), 1, true);
    End high = choose_end(high_end(a), high_end(b), -1, true);
    int order = order_ends(low, high);
    if (order > 0 || (order == 0 && (low.open || high.open))) {
        return false;
    }
    *out = join_ends(low, high);
    return true;
}

Range range_hull(const Range *a, const Range *b)
{
    return join_ends(choose_end(low_end(a), low_end(b), -1, false),
                     choose_end(high_end(a), high_end(b), 1, false));
}

static End add_ends(Arena *arena, End a, End b)
{
    if (a.infinite != 0) {
        return a;
    }
    if (b.infinite != 0) {
        return b;
    }
    return (End){.value = rational_add(arena, a.value, b.value), .open = a.open || b.open};
}

Range range_add(Arena *arena, const Range *a, const Range *b)
{
    if ((a->flags & b->flags & RANGE_EXACT) != 0) {
        return range_exact(rational_add(arena, a->low, b->low));
    }
    return join_ends(add_ends(arena, low_end(a), low_end(b)),
                     add_ends(arena, high_end(a), high_end(b)));
}

Range range_sub(Arena *arena, const Range *a, const Range *b)
{
    if ((a->flags & b->flags & RANGE_EXACT) != 0) {
        return range_exact(rational_sub(arena, a->low, b->low));
    }
    Range minus = range_negate(arena, b);
    return range_add(arena, a, &minus);
}

static End negate_end(Arena *arena, End a)
{
    a.value = rational_negate(arena, a.value);
    a.infinite = -a.infinite;
    return a;
}

Range range_negate(Arena *arena, const Range *a)
{
    if (range_is_exact(a)) {
        return range_exact(rational_negate(arena, a->low));
    }
    return join_ends(negate_end(arena, high_end(a)), negate_end(arena, low_end(a)));
}

static int sign_of_end(End a)
{
    return a.infinite != 0 ? a.infinite : rational_sign(a.value);
}

/* The product of two ends. A zero that is reached makes the product zero reached, whatever the
 * other end; a zero that is not reached makes it zero not reached, even against infinity. */
static End multiply_ends(Arena *arena, End a, End b)
{
    int sign = sign_of_end(a) * sign_of_end(b);
    if (sign == 0) {
        bool reached = (sign_of_end(a) == 0 && !a.open) || (sign_of_end(b) == 0 && !b.open);
        return (End){.value = RATIONAL_ZERO, .open = !reached};
    }
    if (a.infinite != 0 || b.infinite != 0) {
        return sign < 0 ? MINUS_INFINITY : PLUS_INFINITY;
    }
    return (End){.value = rational_mul(arena, a.value, b.value), .open = a.open || b.open};
}

Range range_mul(Arena *arena, const Range *a, const Range *b)
{
    if ((a->flags & b->flags & RANGE_EXACT) != 0) {
        return range_exact(rational_mul(arena, a->low, b->low));
    }
    const End as[2] = {low_end(a), high_end(a)};
    const End bs[2] = {low_end(b), high_end(b)};
    End low = multiply_ends(arena, as[0], bs[0]);
    End high = low;
    for (unsigned i = 1; i < 4; i++) {
        End product = multiply_ends(arena, as[i / 2], bs[i % 2]);
        low = choose_end(low, product, -1, false);
        high = choose_end(high, product, 1, false);
    }
    return join_ends(low, high);
}

/* 1 over an end of a range that lies on one side of zero. */
static End invert_end(Arena *arena, End a, int side)
{
    if (a.infinite != 0) {
        return (End){.value = RATIONAL_ZERO, .open = true};
    }
    if (rational_sign(a.value) == 0) {
        return side < 0 ? MINUS_INFINITY : PLUS_INFINITY;
    }
    return (End){.value = rational_div(arena, RATIONAL_ONE, a.value), .open = a.open};
}

/* a over the part of b on one side of zero; false when b has no such part. */
static bool divide_side(Arena *arena, const Range *a, const Range *b, int side, Range *out)
{
    End low = low_end(b);
    End high = high_end(b);
    if (side > 0 ? sign_of_end(high) <= 0 : sign_of_end(low) >= 0) {
        return false;
    }
    End zero = {.value = RATIONAL_ZERO, .open = true};
    if (side > 0 && sign_of_end(low) < 0) {
        low = zero;
    }
    if (side < 0 && sign_of_end(high) > 0) {
        high = zero;
    }
    Range inverse = join_ends(invert_end(arena, high, side), invert_end(arena, low, side));
    *out = range_mul(arena, a, &inverse);
    return true;
}

RangeDivision range_div(Arena *arena, const Range *a, const Range *b, Range *out)
{
    if (range_is_exact(b)) {
        if (rational_sign(b->low) == 0) {
            return RANGE_DIV_ALWAYS;
        }
        if (range_is_exact(a)) {
            *out = range_exact(rational_div(arena, a->low, b->low));
            return RANGE_DIV_NEVER;
        }
    }
    Range negative;
    Range positive;
    bool has_negative = divide_side(arena, a, b, -1, &negative);
    bool has_positive = divide_side(arena, a, b, 1, &positive);
    if (has_negative && has_positive) {
        *out = range_hull(&negative, &positive);
    } else {
        *out = has_negative ? negative : positive;
    }
    return range_contains(b, RATIONAL_ZERO) ? RANGE_DIV_MAYBE : RANGE_DIV_NEVER;
}

/* Where the low ends meet, one that is reached is enough; where the high ends meet, the least
 * of two values reaches them only if both do. */
Range range_min(const Range *a, const Range *b)
{
    return join_ends(choose_end(low_end(a), low_end(b), -1, false),
                     choose_end(high_end(a), high_end(b), -1, true));
}

Range range_max(const Range *a, const Range *b)
{
    return join_ends(choose_end(low_end(a), low_end(b), 1, true),
                     choose_end(high_end(a), high_end(b), 1, false));
}

static End map_end(Arena *arena, End a, RationalMap map, const void *data)
{
    return a.infinite != 0 ? a : (End){.value = map(arena, a.value, data)};
}

Range range_map(Arena *arena, const Range *a, RationalMap map, const void *data)
{
    if (range_is_exact(a)) {
        return range_exact(map(arena, a->low, data));
    }
    return join_ends(map_end(arena, low_end(a), map, data), map_end(arena, high_end(a), map, data));
}

Truth range_less(const Range *a, const Range *b)
{
    if ((a->flags & b->flags & RANGE_EXACT) != 0) {
        return rational_order(a->low, b->low) < 0 ? TRUTH_TRUE : TRUTH_FALSE;
    }
    End greatest = high_end(a);
    End least = low_end(b);
    int order = order_ends(greatest, least);
    if (order < 0 || (order == 0 && (greatest.open || least.open))) {
        return TRUTH_TRUE;
    }
    return order_ends(low_end(a), high_end(b)) >= 0 ? TRUTH_FALSE : TRUTH_UNKNOWN;
}

Truth range_less_equal(const Range *a, const Range *b)
{
    return truth_not(range_less(b, a));
}

Truth range_equal(const Range *a, const Range *b)
{
    if ((a->flags & b->flags & RANGE_EXACT) != 0) {
        return rational_order(a->low, b->low) == 0 ? TRUTH_TRUE : TRUTH_FALSE;
    }
    bool apart = range_less(a, b) == TRUTH_TRUE || range_less(b, a) == TRUTH_TRUE;
    return apart ? TRUTH_FALSE : TRUTH_UNKNOWN;
}

Truth truth_not(Truth a)
{
    return (Truth)(TRUTH_TRUE - a);
}

Truth truth_and(Truth a, Truth b)
{
    return a < b ? a : b;
}

Truth truth_or(Truth a, Truth b)
{
    return a > b ? a : b;
}
