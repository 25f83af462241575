/* number: dimensions and units. Their factors are checked against GNU units, by
 * tests/facts/units.sh. */
#include <check.h>

#include "number/unit.h"

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static void check_text(Text text, const char *expected, const char *what)
{
    ck_assert_msg(text_equal(text, text_of(expected)), "%s: '%.*s' instead of '%s'", what,
                  TEXT_ARG(text), expected);
}

START_TEST(units_are_found_and_invert)
{
    Arena *arena = arena_new();
    Text names[300];
    size_t count = unit_names(names, COUNT(names));
    ck_assert_uint_ge(count, 90);
    ck_assert_uint_eq(unit_names(NULL, 0), count);
    for (size_t i = 0; i < count; i++) {
        const Unit *unit = unit_find(arena, names[i], false);
        ck_assert_ptr_nonnull(unit);
        ck_assert(text_equal(unit->spelling, names[i]));
        ck_assert_ptr_eq(unit_find(arena, names[i], false), unit); /* one object each */
        Rational reduced = rational_reduce(arena, unit->factor);
        ck_assert_msg(reduced.num == unit->factor.num && reduced.den == unit->factor.den,
                      "%.*s is not in lowest terms", TEXT_ARG(names[i]));
        for (int64_t n = -3; n <= 3; n++) {
            Rational number = RATIONAL(n * 7, 5);
            Rational back = unit_from_si(arena, unit, unit_to_si(arena, unit, number));
            ck_assert_int_eq(rational_order(back, number), 0);
        }
        for (size_t j = 0; j < i; j++) {
            ck_assert_msg(!text_equal(names[i], names[j]), "%.*s twice", TEXT_ARG(names[i]));
        }
    }
    arena_free(arena);
}
END_TEST

START_TEST(compounds_are_built_of_their_parts)
{
    static const char *const equal[][2] = {{"ft3/min", "cfm"},
                                           {"gal/min", "gpm"},
                                           {"gal/h", "gph"},
                                           {"lbf/in2", "psi"},
                                           {"ft/min", "fpm"},
                                           {"mi/h", "mph"},
                                           {"lm/ft2", "fc"},
                                           {"per s", "Hz"},
                                           {"per min", "rpm"},
                                           {"Btu per h", "Btu/h"},
                                           {"cfm per ft", "cfm/ft"},
                                           {"cfm/ft2", "fpm"},
                                           {"in2/in", "in"},
                                           {"m2", "m2"},
                                           {"W/V", "A"},
                                           {"V/A", "ohm"},
                                           {"Wh/h", "W"},
                                           {"mg per L", "mg/L"},
                                           {"ft3/ft/ft", "ft"}};
    static const char *const unknown[] = {"",        "foo",        "in/",     "/in",     "in//ft",
                                          "per",     "per per in", "in per",  "IN",      "in5",
                                          "lb2",     "in22",       "psig/ft", "ft/psia", "%/ft",
                                          "in / ft", "m/s/s/s/s",  "2in",     "degF2",   "Btu h"};
    Arena *arena = arena_new();
    for (size_t i = 0; i < COUNT(equal); i++) {
        const Unit *a = unit_find(arena, text_of(equal[i][0]), false);
        const Unit *b = unit_find(arena, text_of(equal[i][1]), false);
        ck_assert_msg(a != NULL && b != NULL, "%s", equal[i][0]);
        ck_assert_msg(dimension_equal(a->dimension, b->dimension), "%s", equal[i][0]);
        ck_assert_msg(rational_order(a->factor, b->factor) == 0, "%s", equal[i][0]);
        check_text(a->spelling, equal[i][0], "spelling");
    }
    for (size_t i = 0; i < COUNT(unknown); i++) {
        ck_assert_msg(unit_find(arena, text_of(unknown[i]), false) == NULL, "'%s'", unknown[i]);
    }
    const Unit *gain = unit_find(arena, TEXT("Btu/h/ft2/degF"), false); /* a difference inside */
    ck_assert_ptr_nonnull(gain);
    ck_assert_int_eq(gain->dimension.kind, KIND_PLAIN);
    ck_assert_int_eq(rational_sign(gain->offset), 0);
    const Unit *mi2 = unit_find(arena, TEXT("mi2"), false);
    const Unit *acre = unit_find(arena, TEXT("yd2"), false);
    Rational acres = rational_div(arena, mi2->factor, acre->factor);
    ck_assert_int_eq(rational_order(acres, RATIONAL(640 * 4840, 1)), 0); /* HB44: 640 acres */
    arena_free(arena);
}
END_TEST

START_TEST(temperature_units_are_points_or_differences)
{
    Arena *arena = arena_new();
    const Unit *point = unit_find(arena, TEXT("degF"), false);
    const Unit *difference = unit_find(arena, TEXT("degF"), true);
    ck_assert_int_eq(point->dimension.kind, KIND_POINT);
    ck_assert_int_eq(difference->dimension.kind, KIND_PLAIN);
    ck_assert(!dimension_equal(point->dimension, difference->dimension));
    ck_assert_ptr_eq(unit_find(arena, TEXT("degF rise"), false), difference);
    Dimension gauge = unit_find(arena, TEXT("psig"), false)->dimension;
    Dimension absolute = unit_find(arena, TEXT("psia"), false)->dimension;
    Dimension plain = unit_find(arena, TEXT("psi"), false)->dimension;
    ck_assert(!dimension_equal(gauge, absolute) && !dimension_equal(gauge, plain) &&
              !dimension_equal(absolute, plain));
    arena_free(arena);
}
END_TEST

START_TEST(dimensions_have_names_and_default_units)
{
    Arena *arena = arena_new();
    Text names[100];
    size_t count = dimension_names(names, COUNT(names));
    ck_assert_uint_lt(count, COUNT(names));
    for (size_t i = 0; i < count; i++) {
        Dimension dimension;
        ck_assert(dimension_find(names[i], &dimension));
        Text shown = dimension_name(arena, dimension);
        ck_assert_uint_gt(shown.len, 0);
        const Unit *unit = unit_default(arena, dimension);
        if (dimension_is_number(dimension)) {
            ck_assert_ptr_null(unit);
        } else {
            ck_assert_msg(unit != NULL && dimension_equal(unit->dimension, dimension), "%.*s",
                          TEXT_ARG(names[i]));
        }
    }
    Dimension mass;
    Dimension time;
    Dimension flow;
    ck_assert(dimension_find(TEXT("mass"), &mass) && dimension_find(TEXT("time"), &time));
    ck_assert(dimension_find(TEXT("flow_per_length"), &flow));
    ck_assert(!dimension_find(TEXT("flow per length"), &flow));
    ck_assert(!dimension_find(TEXT("lenght"), &flow));
    check_text(dimension_name(arena, flow), "flow per length", "name");
    Dimension odd = dimension_multiply(dimension_multiply(mass, mass, 1), time, -1);
    check_text(dimension_name(arena, odd), "mass^2/time", "name");
    check_text(unit_default(arena, odd)->spelling, "kg2/s", "unit");
    odd = dimension_multiply(DIMENSION_NUMBER, odd, -1);
    check_text(dimension_name(arena, odd), "time/mass^2", "name");
    odd = dimension_multiply(DIMENSION_NUMBER, mass, -1);
    check_text(dimension_name(arena, odd), "1/mass", "name");
    check_text(unit_default(arena, odd)->spelling, "per kg", "unit");
    for (int i = 0; i < 300; i++) { /* a power never wraps round to another dimension */
        odd = dimension_multiply(odd, mass, -1);
    }
    ck_assert_int_eq(odd.mass, INT8_MIN);
    arena_free(arena);
}
END_TEST

START_TEST(misspelt_units_are_guessed)
{
    static const struct {
        const char *word;
        const char *unit; /* NULL: no guess */
        bool known;
    } cases[] = {{"inches", "in", true},
                 {"lbs", "lb", true},
                 {"BTU/hr", "Btu/h", true},
                 {"\xc2\xb0"
                  "F",
                  "degF", true},
                 {"ft\xc2\xb2", "ft2", true},
                 {"btu/h", "Btu/h", false},
                 {"degf", "degF", false},
                 {"galon", "gal", false},
                 {"inwg", "inwc", false},
                 {"MBH", "kBtu/h", true},
                 {"furlong", NULL, false}};
    Arena *arena = arena_new();
    for (size_t i = 0; i < COUNT(cases); i++) {
        Text spelling = TEXT("");
        bool known = false;
        bool found = unit_suggest(text_of(cases[i].word), &spelling, &known);
        ck_assert_msg(found == (cases[i].unit != NULL), "%s", cases[i].word);
        if (found) {
            check_text(spelling, cases[i].unit, cases[i].word);
            ck_assert_int_eq(known, cases[i].known);
            ck_assert_ptr_nonnull(unit_find(arena, spelling, false));
        }
    }
    arena_free(arena);
}
END_TEST

Suite *unit_suite(void)
{
    const TTest *const tests[] = {units_are_found_and_invert, compounds_are_built_of_their_parts,
                                  temperature_units_are_points_or_differences,
                                  dimensions_have_names_and_default_units,
                                  misspelt_units_are_guessed};
    TCase *tcase = tcase_create("unit");
    for (size_t i = 0; i < COUNT(tests); i++) {
        tcase_add_test(tcase, tests[i]);
    }
    Suite *suite = suite_create("unit");
    suite_add_tcase(suite, tcase);
    return suite;
}
