/* Dimensions and units. A dimension is a product of SI base dimensions with a kind: a
 * temperature point is not a temperature difference, gauge pressure is not absolute pressure.
 * Units carry exact factors to the coherent SI unit (sources: NIST SP 811, NIST HB 44). */
#ifndef NUMBER_UNIT_H
#define NUMBER_UNIT_H

#include "number/rational.h"

typedef enum DimensionKind {
    KIND_PLAIN,
    KIND_POINT,   /* a temperature on a scale */
    KIND_GAUGE,   /* pressure above the air's */
    KIND_ABSOLUTE /* pressure above vacuum */
} DimensionKind;

typedef struct Dimension {
    int8_t length, mass, time, temperature, current, luminous;
    uint8_t kind; /* DimensionKind */
    uint8_t unused;
} Dimension;

typedef struct Unit {
    Text spelling; /* as written: "in", "cfm/ft", "per in"; a difference is "degF rise" */
    Dimension dimension;
    Rational factor; /* SI value = (number + offset) * factor */
    Rational offset; /* zero but for temperature points */
} Unit;

extern const Dimension DIMENSION_NUMBER;

bool dimension_equal(Dimension a, Dimension b);
bool dimension_is_number(Dimension a);
Dimension dimension_multiply(Dimension a, Dimension b,
                             int sign);         /* sign -1 divides; kinds must be plain */
Text dimension_name(Arena *arena, Dimension a); /* "length", "flow per length", "mass^2/time" */
/* A dimension by its name in a vocabulary: "length", "temperature", "flow_per_length", ... */
bool dimension_find(Text name, Dimension *out);
/* All names, for suggestions and docs: writes up to `max` of them, returns how many there are. */
size_t dimension_names(Text *out, size_t max);

/* A unit by its spelling, compounds included: "in", "cfm/ft", "mg/L", "lb per gal", "in2".
 * Bare degF and degC are points; pass difference to read them as differences ("degF rise" is
 * one always, and within a compound they are differences too). "%" is a unit of numbers.
 * Compound units are made in the arena; simple ones are static. NULL when unknown. */
const Unit *unit_find(Arena *arena, Text spelling, bool difference);
/* The spellings of the simple units: writes up to `max` of them, returns how many there are. */
/* The same for simple units alone: no compounds, no arena. */
const Unit *unit_find_simple(Text spelling);
size_t unit_names(Text *out, size_t max);
/* The unit that a mistaken spelling most likely meant ("inches", "lbs", "btu/h"): true with
 * its spelling. *is_alias (may be NULL) tells that the word is a known one, not just near. */
bool unit_suggest(Text word, Text *spelling, bool *is_alias);

/* The unit in which a dimension is shown when nothing was written: in, in2, gal, lb, cfm, ...;
 * NULL for a plain number; for a dimension without a name a coherent SI unit is made. */
const Unit *unit_default(Arena *arena, Dimension dimension);

Rational unit_to_si(Arena *arena, const Unit *unit, Rational number);
Rational unit_from_si(Arena *arena, const Unit *unit, Rational si);

#endif
