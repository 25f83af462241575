/* Prints units for units.sh, one a line: spelling, numerator, denominator and offset of the factor,
 * the coherent SI unit in the words of GNU units. Without arguments all the simple units. */
#include <stdio.h>

#include "number/unit.h"

enum { UNITS_MAX = 500 };

static int dump(Arena *arena, Text spelling)
{
    const Unit *unit = unit_find(arena, spelling, false);
    if (unit == NULL) {
        fprintf(stderr, "unit_dump: no unit is called '%.*s'\n", TEXT_ARG(spelling));
        return 1;
    }
    Dimension of = unit->dimension;
    Text factor = rational_print_exact(arena, unit->factor);
    Text offset = rational_print_exact(arena, unit->offset);
    printf("%.*s\t%.*s\t%.*s\tm^%d kg^%d s^%d K^%d A^%d lm^%d\n", TEXT_ARG(spelling),
           TEXT_ARG(factor), TEXT_ARG(offset), of.length, of.mass, of.time, of.temperature,
           of.current, of.luminous);
    return 0;
}

int main(int argc, char **argv)
{
    Arena *arena = arena_new();
    Text names[UNITS_MAX];
    size_t count = argc > 1 ? 0 : unit_names(names, UNITS_MAX);
    int failed = count > UNITS_MAX;
    for (int i = 1; i < argc; i++) {
        failed |= dump(arena, text_of(argv[i]));
    }
    for (size_t i = 0; i < count && i < UNITS_MAX; i++) {
        failed |= dump(arena, names[i]);
    }
    arena_free(arena);
    return failed;
}
