/* Quantities as people write them: "24 in", "7 ft 6-1/2 in", "1,400 cfm", "115%",
 * "24 in +- 1/8 in", "60 degF rise", "16 per in", "1/8 in per ft", and in specs also
 * 7'-6 1/2" and 24". One reader serves rule files and specs. */
#ifndef NUMBER_QUANTITY_H
#define NUMBER_QUANTITY_H

#include "base/source.h"
#include "number/range.h"
#include "number/unit.h"

typedef struct Quantity {
    Range range; /* in SI units */
    Dimension dimension;
    const Unit *unit; /* as written (the first of several), for display; the unit "%" for a
                           * percentage, NULL for a bare number */
    bool percent;     /* written with %: the range holds the ratio (115% is 1.15) */
    bool measured;    /* written with +- */
    const struct Quantity *twin; /* "24 in (610 mm)": the printed twin, never governs */
    uint8_t decimals;            /* decimals written, so that a twin can be checked for rounding */
    bool fraction;               /* written with a fraction */
    Rational step; /* one in the last place written, in `unit` (0.1, 1/16, 1/12 of ft in) */
} Quantity;

typedef enum QuantityStyle {
    QUANTITY_RULE, /* rule files: no ' and ", mixed numbers as 6-1/2 */
    QUANTITY_SPEC  /* build specs: ' and " are feet and inches, "6 1/2" is allowed too */
} QuantityStyle;

/* What was wrong: a span within the text given, a message, perhaps a hint ("" if none). */
typedef struct QuantityFault {
    Span span;
    Text message;
    Text hint;
} QuantityFault;

/* Reads the longest quantity at the start of text. Returns the bytes read, 0 with a fault. A
 * word after the number that is no unit ends the quantity in rule style (it may be a keyword),
 * and is a fault in spec style. */
size_t quantity_scan(Arena *arena, Text text, QuantityStyle style, Quantity *out,
                     QuantityFault *fault) __attribute__((warn_unused_result));

/* Reads the whole text as one quantity. */
bool quantity_parse(Arena *arena, Text text, QuantityStyle style, Quantity *out,
                    QuantityFault *fault) __attribute__((warn_unused_result));

/* True when the twin is the governing value rounded (halves away from zero) to the last place that the twin
 * writes, or, for a whole number ending in zeros, to the place of its last digit that is not
 * zero: 150 mm for 6 in, 1200 mm for 48 in. True when there is no twin. */
bool quantity_twin_agrees(Arena *arena, const Quantity *quantity);

/* An SI value in a unit. Lengths in in and ft are printed with halves to sixty-fourths of an
 * inch when that is exact ("6-1/2 in", "7 ft 6 in"), all else as decimals: in full when 6 places
 * are enough, otherwise "about " and 3 places. More places are printed where `other` (may be
 * NULL) would print the same digits for a different value: different values never look equal.
 * A unit of NULL prints the bare number. Thousands are parted by commas, as people write them. */
Text quantity_print(Arena *arena, Rational si, const Unit *unit, const Rational *other);
/* A range: "24 in", "23-7/8 in to 24-1/8 in", "at least 3 gal", "any". */
Text range_print(Arena *arena, const Range *range, const Unit *unit);

#endif
