/* Dimensions: products of SI base dimensions, their names and their arithmetic.
 *
 * The names are the DIMENSION lines of unit.def. A dimension without a name is written as a
 * product of the base ones ("mass^2/time"). */
#include "number/dimension.h"

#define LEN(literal) (sizeof(literal) - 1)
#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

typedef struct Named {
    Text name;
    Text unit;
    Dimension dimension;
} Named;

static const Named named[] = {
#define DIMENSION(word, l, m, t, k, a, c, kind_word, shown) \
    {.name = {#word, LEN(#word)},                           \
     .unit = {(shown), LEN(shown)},                         \
     .dimension = {.length = (l),                           \
                   .mass = (m),                             \
                   .time = (t),                             \
                   .temperature = (k),                      \
                   .current = (a),                          \
                   .luminous = (c),                         \
                   .kind = KIND_##kind_word}},
#include "number/unit.def"
};

const Dimension DIMENSION_NUMBER = {.kind = KIND_PLAIN};

bool dimension_equal(Dimension a, Dimension b)
{
    return a.length == b.length && a.mass == b.mass && a.time == b.time &&
           a.temperature == b.temperature && a.current == b.current && a.luminous == b.luminous &&
           a.kind == b.kind;
}

bool dimension_is_number(Dimension a)
{
    return dimension_equal(a, DIMENSION_NUMBER);
}

/* A power that no real quantity has is kept at the edge, so that it never wraps to another. */
static int8_t add_powers(int a, int b, int sign)
{
    int sum = a + (sign < 0 ? -b : b);
    return (int8_t)(sum > INT8_MAX ? INT8_MAX : sum < INT8_MIN ? INT8_MIN : sum);
}

Dimension dimension_multiply(Dimension a, Dimension b, int sign)
{
    return (Dimension){.length = add_powers(a.length, b.length, sign),
                       .mass = add_powers(a.mass, b.mass, sign),
                       .time = add_powers(a.time, b.time, sign),
                       .temperature = add_powers(a.temperature, b.temperature, sign),
                       .current = add_powers(a.current, b.current, sign),
                       .luminous = add_powers(a.luminous, b.luminous, sign),
                       .kind = KIND_PLAIN};
}

static const Named *find_named(Dimension a)
{
    for (size_t i = 0; i < COUNT(named); i++) {
        if (dimension_equal(named[i].dimension, a)) {
            return &named[i];
        }
    }
    return NULL;
}

typedef struct Power {
    const char *name;
    const char *unit;
    int exponent;
} Power;

enum { BASES = 6 };

static void list_powers(Dimension a, Power powers[BASES])
{
    powers[0] = (Power){"mass", "kg", a.mass};
    powers[1] = (Power){"length", "m", a.length};
    powers[2] = (Power){"time", "s", a.time};
    powers[3] = (Power){"temperature", "K", a.temperature};
    powers[4] = (Power){"current", "A", a.current};
    powers[5] = (Power){"luminous flux", "lm", a.luminous};
}

/* The powers of one sign, joined; gives how many there were. */
static size_t write_powers(Buffer *buffer, const Power *powers, int sign, bool units)
{
    size_t count = 0;
    for (size_t i = 0; i < BASES; i++) {
        int exponent = powers[i].exponent * sign;
        if (exponent <= 0) {
            continue;
        }
        if (count++ > 0) {
            buffer_string(buffer, units ? (sign > 0 ? " " : "/") : (sign > 0 ? " * " : "/"));
        }
        buffer_string(buffer, units ? powers[i].unit : powers[i].name);
        if (exponent > 1) {
            buffer_format(buffer, units ? "%d" : "^%d", exponent);
        }
    }
    return count;
}

static Text write_product(Arena *arena, Dimension a, bool units)
{
    Power powers[BASES];
    list_powers(a, powers);
    Buffer above = buffer_make(arena);
    Buffer below = buffer_make(arena);
    size_t count_above = write_powers(&above, powers, 1, units);
    size_t count_below = write_powers(&below, powers, -1, units);
    if (count_below == 0) {
        return buffer_done(&above);
    }
    if (count_above == 0) {
        buffer_string(&above, units ? "per " : "1/");
    } else {
        buffer_char(&above, '/');
    }
    buffer_text(&above, buffer_done(&below));
    return buffer_done(&above);
}

Text dimension_name(Arena *arena, Dimension a)
{
    const Named *found = find_named(a);
    if (found == NULL) {
        return write_product(arena, a, false);
    }
    Buffer buffer = buffer_make(arena);
    for (size_t i = 0; i < found->name.len; i++) {
        buffer_char(&buffer, found->name.data[i] == '_' ? ' ' : found->name.data[i]);
    }
    return buffer_done(&buffer);
}

bool dimension_find(Text name, Dimension *out)
{
    for (size_t i = 0; i < COUNT(named); i++) {
        if (text_equal(named[i].name, name)) {
            *out = named[i].dimension;
            return true;
        }
    }
    return false;
}

size_t dimension_names(Text *out, size_t max)
{
    for (size_t i = 0; i < COUNT(named) && i < max; i++) {
        out[i] = named[i].name;
    }
    return COUNT(named);
}

Text dimension_default_unit(Dimension a)
{
    const Named *found = find_named(a);
    return found == NULL ? (Text){"", 0} : found->unit;
}

Text dimension_coherent_unit(Arena *arena, Dimension a)
{
    return write_product(arena, a, true);
}
