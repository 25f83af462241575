/* Units: finding them by spelling, compounds included, and converting to SI and back.
 *
 * The table is unit.def. A compound is factors joined by "/" or "per" ("Btu/h", "lb per gal",
 * "per in"); all that follow the first divide. A length or time takes a power as a trailing
 * digit ("mi2", "s2"). Points, gauge and absolute pressures stand only alone. */
#include "number/unit.h"

#include <string.h>

#include "number/dimension.h"

#define LEN(literal) (sizeof(literal) - 1)
#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

/* The exponents of each dimension as constants, for the table of units. */
enum {
#define DIMENSION(name, l, m, t, k, a, c, kind_word, shown)                         \
    name##_L = (l), name##_M = (m), name##_T = (t), name##_K = (k), name##_A = (a), \
    name##_C = (c), name##_KIND = KIND_##kind_word,
#include "number/unit.def"
};

#define DIMENSION_OF(name)                                                               \
    {                                                                                    \
        .length = name##_L, .mass = name##_M, .time = name##_T, .temperature = name##_K, \
        .current = name##_A, .luminous = name##_C, .kind = name##_KIND                   \
    }

static const Unit units[] = {
#define UNIT(word, dimension_word, n, d)        \
    {.spelling = {(word), LEN(word)},           \
     .dimension = DIMENSION_OF(dimension_word), \
     .factor = {.den = (d), {.num = (n)}},      \
     .offset = {.den = 1, {.num = 0}}},
#define POINT(word, n, d, offset_n, offset_d) \
    {.spelling = {(word), LEN(word)},         \
     .dimension = DIMENSION_OF(temperature),  \
     .factor = {.den = (d), {.num = (n)}},    \
     .offset = {.den = (offset_d), {.num = (offset_n)}}},
#include "number/unit.def"
};

typedef struct Alias {
    Text word;
    Text spelling;
} Alias;

static const Alias aliases[] = {
#define ALIAS(wrong, right) {{(wrong), LEN(wrong)}, {(right), LEN(right)}},
#include "number/unit.def"
};

const Unit *unit_find_simple(Text spelling)
{
    for (size_t i = 0; i < COUNT(units); i++) {
        Text known = units[i].spelling;
        if (known.len == spelling.len && known.data[0] == spelling.data[0] &&
            memcmp(known.data, spelling.data, known.len) == 0) {
            return &units[i];
        }
    }
    return NULL;
}

/* "mi2", "s2": a length or time with a power that the table does not hold. */
static bool find_power(Arena *arena, Text spelling, Unit *out)
{
    char digit = spelling.len > 1 ? spelling.data[spelling.len - 1] : '0';
    if (digit < '2' || digit > '4') {
        return false;
    }
    const Unit *base = unit_find_simple((Text){spelling.data, spelling.len - 1});
    if (base == NULL || ascii_is_digit(spelling.data[spelling.len - 2])) {
        return false;
    }
    const Dimension *of = &base->dimension;
    bool is_length = dimension_equal(*of, (Dimension)DIMENSION_OF(length));
    if (!is_length && !dimension_equal(*of, (Dimension)DIMENSION_OF(time))) {
        return false;
    }
    unsigned power = (unsigned)(digit - '0');
    *out = (Unit){.spelling = spelling,
                  .factor = rational_power(arena, base->factor, power),
                  .offset = RATIONAL_ZERO};
    for (unsigned i = 0; i < power; i++) {
        out->dimension = dimension_multiply(out->dimension, *of, 1);
    }
    return true;
}

/* One factor of a compound. */
static bool find_factor(Arena *arena, Text spelling, Unit *out)
{
    const Unit *simple = unit_find_simple(spelling);
    if (simple == NULL) {
        return find_power(arena, spelling, out);
    }
    *out = *simple;
    if (out->dimension.kind == KIND_POINT) {
        out->dimension.kind = KIND_PLAIN;
        out->offset = RATIONAL_ZERO;
    }
    return out->dimension.kind == KIND_PLAIN && !text_equal(spelling, TEXT("%"));
}

/* Cuts the first factor off; *rest is what follows the "/" or "per", with data NULL at the end. */
static Text cut_factor(Text text, Text *rest)
{
    for (size_t i = 0; i < text.len; i++) {
        Text after = {text.data + i, text.len - i};
        if (text.data[i] == '/') {
            *rest = (Text){after.data + 1, after.len - 1};
            return (Text){text.data, i};
        }
        bool is_word = (i == 0 || ascii_is_space(text.data[i - 1])) && after.len > 3 &&
                       ascii_is_space(after.data[3]);
        if (is_word && text_starts(after, TEXT("per"))) {
            *rest = text_trim((Text){after.data + 4, after.len - 4});
            return text_trim((Text){text.data, i});
        }
    }
    *rest = (Text){NULL, 0};
    return text;
}

/* The text with each run of white space as one space. */
static Text squeeze(Arena *arena, Text text)
{
    Buffer buffer = buffer_make(arena);
    for (size_t i = 0; i < text.len; i++) {
        if (!ascii_is_space(text.data[i])) {
            buffer_char(&buffer, text.data[i]);
        } else if (!ascii_is_space(text.data[i - 1])) { /* a trimmed text begins with none */
            buffer_char(&buffer, ' ');
        }
    }
    return buffer_done(&buffer);
}

enum { FACTORS_MAX = 4 }; /* "Btu/h/ft2/K" is the longest that the trade writes */

static const Unit *find_compound(Arena *arena, Text spelling)
{
    Unit total = {.factor = RATIONAL_ONE, .offset = RATIONAL_ZERO};
    Text rest = spelling;
    size_t count = 0;
    do {
        Text word = cut_factor(rest, &rest);
        Unit factor;
        if (count == 0 && word.len == 0 && spelling.data[0] != '/') {
            count++; /* "per in": nothing stands over the line */
            continue;
        }
        if (count == FACTORS_MAX || !find_factor(arena, word, &factor)) {
            return NULL;
        }
        total.dimension =
            dimension_multiply(total.dimension, factor.dimension, count == 0 ? 1 : -1);
        total.factor =
            count == 0 ? factor.factor : rational_div(arena, total.factor, factor.factor);
        count++;
    } while (rest.data != NULL);
    Unit *unit = ARENA_NEW(arena, Unit);
    *unit = total;
    unit->factor = rational_reduce(arena, total.factor);
    unit->spelling = squeeze(arena, spelling);
    return unit;
}

const Unit *unit_find(Arena *arena, Text spelling, bool difference)
{
    spelling = text_trim(spelling);
    if (spelling.len == 0) {
        return NULL;
    }
    if (difference && text_equal(spelling, TEXT("degF"))) {
        spelling = TEXT("degF rise");
    } else if (difference && text_equal(spelling, TEXT("degC"))) {
        spelling = TEXT("degC rise");
    }
    const Unit *simple = unit_find_simple(spelling);
    return simple != NULL ? simple : find_compound(arena, spelling);
}

size_t unit_names(Text *out, size_t max)
{
    for (size_t i = 0; i < COUNT(units) && i < max; i++) {
        out[i] = units[i].spelling;
    }
    return COUNT(units);
}

bool unit_suggest(Text word, Text *spelling, bool *is_alias)
{
    for (size_t i = 0; i < COUNT(aliases); i++) {
        if (text_equal(aliases[i].word, word)) {
            *spelling = aliases[i].spelling;
            if (is_alias != NULL) {
                *is_alias = true;
            }
            return true;
        }
    }
    if (is_alias != NULL) {
        *is_alias = false;
    }
    Text names[COUNT(units)];
    long nearest = text_nearest(word, names, unit_names(names, COUNT(units)));
    if (nearest >= 0) {
        *spelling = names[nearest];
        return true;
    }
    Text words[COUNT(aliases)];
    for (size_t i = 0; i < COUNT(aliases); i++) {
        words[i] = aliases[i].word;
    }
    nearest = text_nearest(word, words, COUNT(aliases));
    if (nearest >= 0) {
        *spelling = aliases[nearest].spelling;
    }
    return nearest >= 0;
}

const Unit *unit_default(Arena *arena, Dimension dimension)
{
    if (dimension_is_number(dimension)) {
        return NULL;
    }
    Text shown = dimension_default_unit(dimension);
    if (shown.len > 0) {
        return unit_find(arena, shown, false);
    }
    Unit *unit = ARENA_NEW(arena, Unit);
    *unit = (Unit){.spelling = dimension_coherent_unit(arena, dimension),
                   .dimension = dimension,
                   .factor = RATIONAL_ONE,
                   .offset = RATIONAL_ZERO};
    return unit;
}

Rational unit_to_si(Arena *arena, const Unit *unit, Rational number)
{
    if (rational_sign(unit->offset) != 0) {
        number = rational_add(arena, number, unit->offset);
    }
    return rational_mul(arena, number, unit->factor);
}

Rational unit_from_si(Arena *arena, const Unit *unit, Rational si)
{
    Rational number = rational_div(arena, si, unit->factor);
    if (rational_sign(unit->offset) != 0) {
        number = rational_sub(arena, number, unit->offset);
    }
    return rational_reduce(arena, number);
}
