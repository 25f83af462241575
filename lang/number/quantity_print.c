/* Quantities: printing, and the check of printed twins.
 *
 * A value is printed as people in the trade write it, never so that two different values look
 * equal: when the digits agree, places are added until they do not. Both of a pair add the
 * same number of places, since each is printed with the other at hand. */
#include "number/quantity.h"

enum {
    PLACES_SHOWN = 3,  /* places of a value that decimals cannot give in full */
    PLACES_EXACT = 6,  /* places printed when they give the value in full */
    PLACES_MAX = 40,   /* values that agree so far are printed as fractions */
    SIXTY_FOURTHS = 64 /* the finest mark of a tape measure */
};

/* "1400.5" with commas: "1,400.5". */
static void write_grouped(Buffer *buffer, Text digits)
{
    size_t sign = digits.len > 0 && digits.data[0] == '-' ? 1 : 0;
    size_t whole = sign;
    while (whole < digits.len && digits.data[whole] != '.') {
        whole++;
    }
    for (size_t i = 0; i < digits.len; i++) {
        if (i > sign && i < whole && (whole - i) % 3 == 0) {
            buffer_char(buffer, ',');
        }
        buffer_char(buffer, digits.data[i]);
    }
}

static void write_unit(Buffer *buffer, const Unit *unit)
{
    if (unit == NULL || unit->spelling.len == 0) {
        return;
    }
    if (!text_equal(unit->spelling, TEXT("%"))) {
        buffer_char(buffer, ' ');
    }
    buffer_text(buffer, unit->spelling);
}

/* A whole number of sixty-fourths of an inch as "6-1/2 in". */
static void write_inches(Buffer *buffer, int64_t parts)
{
    int64_t whole = parts / SIXTY_FOURTHS;
    Rational rest = rational_reduce(buffer->arena, RATIONAL(parts % SIXTY_FOURTHS, SIXTY_FOURTHS));
    if (whole > 0 || rest.num == 0) {
        write_grouped(buffer, text_format(buffer->arena, "%lld", (long long)whole));
    }
    if (rest.num != 0) {
        buffer_format(buffer, "%s%lld/%lld", whole > 0 ? "-" : "", (long long)rest.num,
                      (long long)rest.den);
    }
    buffer_string(buffer, " in");
}

/* Prints a length in inches or feet as on a tape measure, when that is exact. */
static bool write_tape(Buffer *buffer, Rational number, const Unit *unit)
{
    bool is_feet = unit != NULL && text_equal(unit->spelling, TEXT("ft"));
    if (!is_feet && (unit == NULL || !text_equal(unit->spelling, TEXT("in")))) {
        return false;
    }
    int64_t in_foot = is_feet ? 12 : 1;
    Rational parts = rational_reduce(
        buffer->arena, rational_mul(buffer->arena, number, RATIONAL(SIXTY_FOURTHS * in_foot, 1)));
    if (parts.den != 1 || parts.num == INT64_MIN) {
        return false;
    }
    int64_t magnitude = parts.num < 0 ? -parts.num : parts.num;
    buffer_string(buffer, parts.num < 0 ? "-" : "");
    int64_t foot = in_foot * SIXTY_FOURTHS;
    int64_t feet = is_feet ? magnitude / foot : 0;
    int64_t rest = is_feet ? magnitude % foot : magnitude;
    if (feet > 0 || (is_feet && rest == 0)) {
        write_grouped(buffer, text_format(buffer->arena, "%lld", (long long)feet));
        buffer_string(buffer, rest > 0 ? " ft " : " ft");
    }
    if (rest > 0 || !is_feet) {
        write_inches(buffer, rest);
    }
    return true;
}

/* The places at which two different numbers begin to print differently; more than PLACES_MAX
 * when they are closer than that. */
static unsigned count_places(Arena *arena, Rational a, const Rational *b)
{
    unsigned places = PLACES_SHOWN;
    if (b == NULL || rational_order(a, *b) == 0) {
        return places;
    }
    while (places <= PLACES_MAX && text_equal(rational_print(arena, a, places, 0, NULL),
                                              rational_print(arena, *b, places, 0, NULL))) {
        places++;
    }
    return places;
}

static void write_decimal(Buffer *buffer, Rational number, const Rational *other)
{
    unsigned places = count_places(buffer->arena, number, other);
    unsigned full = places > PLACES_EXACT ? places : PLACES_EXACT;
    bool exact = false;
    Text digits = rational_print(buffer->arena, number, full, 0, &exact);
    if (exact) {
        write_grouped(buffer, digits);
    } else if (places > PLACES_MAX) {
        buffer_text(buffer, rational_print_exact(buffer->arena, number));
    } else {
        buffer_string(buffer, "about ");
        write_grouped(buffer, rational_print(buffer->arena, number, places, 0, NULL));
    }
}

Text quantity_print(Arena *arena, Rational si, const Unit *unit, const Rational *other)
{
    Buffer buffer = buffer_make(arena);
    Rational number = unit == NULL ? rational_reduce(arena, si) : unit_from_si(arena, unit, si);
    if (write_tape(&buffer, number, unit)) {
        return buffer_done(&buffer);
    }
    Rational other_number = RATIONAL_ZERO;
    if (other != NULL) {
        other_number = unit == NULL ? *other : unit_from_si(arena, unit, *other);
    }
    write_decimal(&buffer, number, other == NULL ? NULL : &other_number);
    write_unit(&buffer, unit);
    return buffer_done(&buffer);
}

Text range_print(Arena *arena, const Range *range, const Unit *unit)
{
    if (range_is_exact(range)) {
        return quantity_print(arena, range->low, unit, NULL);
    }
    bool has_low = (range->flags & RANGE_NO_LOW) == 0;
    bool has_high = (range->flags & RANGE_NO_HIGH) == 0;
    bool low_open = (range->flags & RANGE_LOW_OPEN) != 0;
    bool high_open = (range->flags & RANGE_HIGH_OPEN) != 0;
    if (!has_low && !has_high) {
        return TEXT("any");
    }
    Text low = has_low ? quantity_print(arena, range->low, unit, has_high ? &range->high : NULL)
                       : TEXT("");
    Text high = has_high ? quantity_print(arena, range->high, unit, has_low ? &range->low : NULL)
                         : TEXT("");
    if (has_low && has_high && !low_open && !high_open) {
        return text_format(arena, "%.*s to %.*s", TEXT_ARG(low), TEXT_ARG(high));
    }
    Buffer buffer = buffer_make(arena);
    if (has_low) {
        buffer_format(&buffer, "%s %.*s", low_open ? "more than" : "at least", TEXT_ARG(low));
    }
    if (has_high) {
        buffer_format(&buffer, "%s%s %.*s", has_low ? ", " : "",
                      high_open ? "less than" : "at most", TEXT_ARG(high));
    }
    return buffer_done(&buffer);
}

/* Rounds to a multiple of the step, halves away from zero. */
static Rational round_to(Arena *arena, Rational number, Rational step)
{
    Rational steps = rational_div(arena, number, step);
    Rational half = RATIONAL(1, 2);
    Rational whole = rational_sign(steps) < 0
                         ? rational_ceil(arena, rational_sub(arena, steps, half))
                         : rational_floor(arena, rational_add(arena, steps, half));
    return rational_mul(arena, whole, step);
}

/* The place value of the last digit of a whole number that is not zero; 1 for others. */
static Rational last_place(Arena *arena, Rational number)
{
    Rational place = RATIONAL_ONE;
    Rational next = RATIONAL(10, 1);
    while (rational_sign(number) != 0 && rational_is_whole(rational_div(arena, number, next))) {
        place = next;
        next = rational_mul(arena, next, RATIONAL(10, 1));
    }
    return place;
}

bool quantity_twin_agrees(Arena *arena, const Quantity *quantity)
{
    const Quantity *twin = quantity->twin;
    if (twin == NULL) {
        return true;
    }
    Rational si = quantity->range.low;
    if (!range_is_exact(&quantity->range)) {
        si = rational_mul(arena, rational_add(arena, si, quantity->range.high), RATIONAL(1, 2));
    }
    Rational governing = unit_from_si(arena, twin->unit, si);
    Rational printed = unit_from_si(arena, twin->unit, twin->range.low);
    if (rational_order(round_to(arena, governing, twin->step), printed) == 0) {
        return true;
    }
    bool is_whole = rational_order(twin->step, RATIONAL_ONE) == 0;
    return is_whole &&
           rational_order(round_to(arena, governing, last_place(arena, printed)), printed) == 0;
}
