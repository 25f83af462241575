/* number: quantities as people write them, read, refused and printed. */
#include <check.h>
#include <stdlib.h>
#include <string.h>

#include "number/quantity.h"

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

enum { RULE = QUANTITY_RULE, SPEC = QUANTITY_SPEC, BOTH = 2 };

static uint32_t next_random(uint32_t *state)
{
    *state = *state * 1664525u + 1013904223u;
    return *state >> 8;
}

static Quantity read_or_fail(Arena *arena, const char *text, QuantityStyle style)
{
    Quantity quantity;
    QuantityFault fault;
    bool read = quantity_parse(arena, text_of(text), style, &quantity, &fault);
    ck_assert_msg(read, "'%s': %.*s", text, TEXT_ARG(fault.message));
    return quantity;
}

static void check_text(Text text, const char *expected, const char *what)
{
    ck_assert_msg(text_equal(text, text_of(expected)), "%s: '%.*s' instead of '%s'", what,
                  TEXT_ARG(text), expected);
}

/* ---- what is read ---------------------------------------------------------------------------- */

typedef struct Reading {
    int style;
    const char *text;
    const char *si; /* exact, in SI units */
    const char *dimension;
} Reading;

static const Reading readings[] = {
    {BOTH, "3", "3", "number"},
    {BOTH, "0.75", "3/4", "number"},
    {BOTH, "1/2", "1/2", "number"},
    {BOTH, "3/2", "3/2", "number"},
    {BOTH, "0", "0", "number"},
    {BOTH, "-5", "-5", "number"},
    {BOTH, "1,400", "1400", "number"},
    {BOTH, "1,400,000.5", "2800001/2", "number"},
    {BOTH, "115%", "23/20", "number"},
    {BOTH, "0.5%", "1/200", "number"},
    {BOTH, "-5%", "-1/20", "number"},
    {BOTH, "1/3%", "1/300", "number"},
    {BOTH, "200 ppm", "1/5000", "number"},
    {BOTH, "  24 in ", "381/625", "length"},
    {BOTH, "24\tin", "381/625", "length"},
    {BOTH, "2 ft", "381/625", "length"},
    {BOTH, "6-1/2 in", "1651/10000", "length"},
    {BOTH, "7 ft 6-1/2 in", "22987/10000", "length"},
    {BOTH, "1 yd 1 ft 1 in", "6223/5000", "length"},
    {BOTH, "5 lb 3 oz", "3764816671/1600000000", "mass"},
    {BOTH, "1 h 30 min", "5400", "time"},
    {BOTH, "2 days 3 h", "183600", "time"},
    {BOTH, "1 gal 2 qt", "1419529419/250000000000", "volume"},
    {BOTH, "41 degF", "5563/20", "temperature"},
    {BOTH, "-40 degF", "4663/20", "temperature"},
    {BOTH, "-40 degC", "4663/20", "temperature"},
    {BOTH, "0 degC", "5463/20", "temperature"},
    {BOTH, "-24 in", "-381/625", "length"}, /* a place before the front of the box */
    {BOTH, "-24.5 in", "-6223/10000", "length"},
    {BOTH, "60 degF rise", "100/3", "temperature difference"},
    {BOTH, "60 degC rise", "60", "temperature difference"},
    {BOTH, "60 K", "60", "temperature difference"},
    {BOTH, "30 psig", "26689329691563/129032000", "gauge pressure"},
    {BOTH, "16 per in", "80000/127", "mesh"},
    {BOTH, "1/8 in per ft", "1/96", "number"},
    {BOTH, "250 cfm/ft", "96774/250000", "flow per length"},
    {BOTH, "15000 Btu/h", "52752792631/12000000", "power"},
    {BOTH, "216 in2", "435483/3125000", "area"},
    {BOTH, "8.33 lb per gal", "12267611825/12290298", "concentration"},
    {BOTH, "8.33 lb  per\tgal", "12267611825/12290298", "concentration"},
    {BOTH, "5 lb/ft/s", "28349523125/3810000000", "mass/length/time"},
    {SPEC, "24in", "381/625", "length"},
    {SPEC, "6 1/2 in", "1651/10000", "length"},
    {SPEC, "24\"", "381/625", "length"},
    {SPEC, "2'", "381/625", "length"},
    {SPEC, "7'-6 1/2\"", "22987/10000", "length"},
    {SPEC, "7'-6-1/2\"", "22987/10000", "length"},
    {SPEC, "7' 6-1/2\"", "22987/10000", "length"},
    {SPEC, "7'6.5\"", "22987/10000", "length"},
    {SPEC, "7' 6 1/2 in", "22987/10000", "length"},
    {SPEC, "7\xe2\x80\xb2 6\xc2\xbd\xe2\x80\xb3", "22987/10000", "length"},  /* primes, half */
    {SPEC, "7\xe2\x80\x99 6 \xc2\xbd\xe2\x80\x9d", "22987/10000", "length"}, /* quote marks */
    {SPEC, "\xe2\x85\x9b in", "127/40000", "length"},                        /* one eighth */
    {SPEC, "24\xc2\xa0in", "381/625", "length"},                             /* unbroken space */
    {SPEC,
     "\xe2\x88\x92"
     "40 degF",
     "4663/20", "temperature"}, /* minus sign */
};

START_TEST(quantities_are_read)
{
    Arena *arena = arena_new();
    for (size_t i = 0; i < COUNT(readings); i++) {
        const Reading *wanted = &readings[i];
        for (int style = RULE; style <= SPEC; style++) {
            if (wanted->style != BOTH && wanted->style != style) {
                continue;
            }
            Quantity quantity = read_or_fail(arena, wanted->text, (QuantityStyle)style);
            ck_assert(range_is_exact(&quantity.range));
            mpq_t same;
            mpq_init(same);
            mpq_set_str(same, wanted->si, 10);
            mpq_canonicalize(same);
            int order = rational_order(quantity.range.low, rational_from_mpq(arena, same));
            mpq_clear(same);
            Text si = rational_print_exact(arena, quantity.range.low);
            ck_assert_msg(order == 0, "'%s' gives %.*s", wanted->text, TEXT_ARG(si));
            check_text(dimension_name(arena, quantity.dimension), wanted->dimension, wanted->text);
            ck_assert(!quantity.measured && quantity.twin == NULL);
        }
    }
    arena_free(arena);
}
END_TEST

START_TEST(quantities_tell_how_they_were_written)
{
    Arena *arena = arena_new();
    Quantity quantity = read_or_fail(arena, "19.10 mm", QUANTITY_RULE);
    ck_assert_uint_eq(quantity.decimals, 2);
    ck_assert_int_eq(rational_order(quantity.step, RATIONAL(1, 100)), 0);
    check_text(quantity.unit->spelling, "mm", "unit");
    ck_assert(!quantity.fraction && !quantity.percent);
    quantity = read_or_fail(arena, "7 ft 6-3/16 in", QUANTITY_RULE);
    ck_assert(quantity.fraction);
    check_text(quantity.unit->spelling, "ft", "unit"); /* the first of several */
    ck_assert_int_eq(rational_order(quantity.step, RATIONAL(1, 192)), 0);
    quantity = read_or_fail(arena, "7 ft 6.5 in", QUANTITY_RULE);
    ck_assert_uint_eq(quantity.decimals, 1);
    ck_assert_int_eq(rational_order(quantity.step, RATIONAL(1, 120)), 0);
    quantity = read_or_fail(arena, "115%", QUANTITY_RULE);
    ck_assert(quantity.percent);
    check_text(quantity.unit->spelling, "%", "unit");
    quantity = read_or_fail(arena, "115", QUANTITY_RULE);
    ck_assert_ptr_null(quantity.unit);
    quantity = read_or_fail(arena, "16 per  in", QUANTITY_RULE);
    check_text(quantity.unit->spelling, "per in", "unit");
    quantity = read_or_fail(arena, "60 degF rise", QUANTITY_RULE);
    check_text(quantity.unit->spelling, "degF rise", "unit");
    arena_free(arena);
}
END_TEST

START_TEST(tolerances_make_ranges)
{
    static const struct {
        int style;
        const char *text;
        const char *shown;
    } cases[] = {
        {BOTH, "24 in +- 1/8 in", "23-7/8 in to 24-1/8 in"},
        {BOTH, "24 in+-1/8 in", "23-7/8 in to 24-1/8 in"},
        {BOTH, "7 ft 6 in +- 1 in", "7 ft 5 in to 7 ft 7 in"},
        {BOTH, "24 in +- 3 mm", "about 23.882 in to about 24.118 in"},
        {BOTH, "41 degF +- 2 degF", "39 degF to 43 degF"}, /* a difference, not a point */
        {BOTH, "41 degF +- 2 degF rise", "39 degF to 43 degF"},
        {BOTH, "41 degF +- 1 degC", "39.2 degF to 42.8 degF"}, /* food_code.md 14: 1 C is 1.8 F */
        {BOTH, "41 degF +- 1 K", "39.2 degF to 42.8 degF"},
        {BOTH, "30 psig +- 1 psi", "29 psig to 31 psig"},
        {BOTH, "30 psig +- 1 psig", "29 psig to 31 psig"},
        {BOTH, "7 +- 0.1", "6.9 to 7.1"},
        {BOTH, "50% +- 2%", "48% to 52%"},
        {BOTH, "24 in +- 0 in", "24 in"},
        {SPEC, "24 in \xc2\xb1 1/8 in", "23-7/8 in to 24-1/8 in"},
        {SPEC, "24\" +/- 1/8\"", "23-7/8 in to 24-1/8 in"},
    };
    Arena *arena = arena_new();
    for (size_t i = 0; i < COUNT(cases); i++) {
        for (int style = RULE; style <= SPEC; style++) {
            if (cases[i].style == BOTH || cases[i].style == style) {
                Quantity quantity = read_or_fail(arena, cases[i].text, (QuantityStyle)style);
                ck_assert(quantity.measured);
                check_text(range_print(arena, &quantity.range, quantity.unit), cases[i].shown,
                           cases[i].text);
            }
        }
    }
    arena_free(arena);
}
END_TEST

/* In rule files a word that is no unit, and whatever else the grammar has, ends a quantity. */
START_TEST(rule_quantities_end_where_they_should)
{
    static const struct {
        const char *text;
        size_t len;
    } cases[] = {{"24 in, or 0 in if none", 5},
                 {"10 in in any orientation", 5},
                 {"12 in x 12 in x 10 in", 5},
                 {"1/3 of ice_cabinet.volume", 3},
                 {"150% of potable", 4},
                 {"25 .. 49 mg/L", 2},
                 {"8 < pH", 1},
                 {"3 tanks", 1},
                 {"100 - 3 in", 3},
                 {"1 - 2", 1},
                 {"2 in / 2 in", 4},
                 {"1 / 2", 1},
                 {"24 in per tank", 5},
                 {"30 days of use", 7},
                 {"16 per item", 2},
                 {"7 ft\n6 in", 4},
                 {"24 in\nper ft", 5},
                 {"24 in -- a comment", 5},
                 {"24 in--a comment", 5},
                 {"24 in (610 mm) or less", 14},
                 {"24 in (a + b)", 5},
                 {"24 in (2 + b)", 5},
                 {"24 in (2 in + b)", 5},
                 {"4 ft 200 cfm", 4},
                 {"4 ft 200", 4},
                 {"4 ft 200 by", 4},
                 {"4 ft 1e3", 4}, /* the fault belongs to the next quantity */
                 {"41 degF 5 degF", 7},
                 {"24 in rise", 5},
                 {"60 degF rise in 5 min", 12},
                 {"24 in)", 5},
                 {"15, 20", 2},
                 {"250 cfm/ft * 3", 10}};
    Arena *arena = arena_new();
    for (size_t i = 0; i < COUNT(cases); i++) {
        Quantity quantity;
        QuantityFault fault;
        size_t len = quantity_scan(arena, text_of(cases[i].text), QUANTITY_RULE, &quantity, &fault);
        ck_assert_msg(len == cases[i].len, "'%s': %zu", cases[i].text, len);
    }
    arena_free(arena);
}
END_TEST

/* ---- what is refused ------------------------------------------------------------------------- */

typedef struct Refusal {
    int style;
    const char *text;
    unsigned start;
    unsigned end;
    const char *message;
    const char *hint;
} Refusal;

static const Refusal refusals[] = {
#include "test_quantity_refusals.def"
};

START_TEST(faults_say_what_and_where)
{
    Arena *arena = arena_new();
    for (size_t i = 0; i < COUNT(refusals); i++) {
        const Refusal *wanted = &refusals[i];
        for (int style = RULE; style <= SPEC; style++) {
            if (wanted->style != BOTH && wanted->style != style) {
                continue;
            }
            Quantity quantity;
            QuantityFault fault;
            bool read = quantity_parse(arena, text_of(wanted->text), (QuantityStyle)style,
                                       &quantity, &fault);
            ck_assert_msg(!read, "'%s' is read", wanted->text);
            check_text(fault.message, wanted->message, wanted->text);
            check_text(fault.hint, wanted->hint, wanted->text);
            ck_assert_msg(fault.span.start == wanted->start && fault.span.end == wanted->end,
                          "'%s': %u..%u", wanted->text, fault.span.start, fault.span.end);
        }
    }
    arena_free(arena);
}
END_TEST

START_TEST(long_numbers_are_bounded)
{
    Arena *arena = arena_new();
    char text[200];
    static const char *const tails[] = {"", " in", ".5", "/3", "-1/2 in", "%"};
    for (size_t digits = 55; digits < 70; digits++) {
        for (size_t i = 0; i < COUNT(tails); i++) {
            memset(text, '7', digits);
            strcpy(text + digits, tails[i]);
            Quantity quantity;
            QuantityFault fault;
            bool read = quantity_parse(arena, text_of(text), QUANTITY_RULE, &quantity, &fault);
            size_t most = strcmp(tails[i], ".5") == 0 ? 58 : 60; /* the point counts too */
            ck_assert_msg(read == (digits <= most), "%zu digits%s", digits, tails[i]);
            ck_assert(read || text_starts(fault.message, TEXT("a number has at most 60 digits")));
        }
    }
    memset(text, '3', 199);
    text[0] = '1';
    text[1] = '/';
    text[199] = '\0';
    Quantity quantity;
    QuantityFault fault;
    ck_assert(!quantity_parse(arena, text_of(text), QUANTITY_RULE, &quantity, &fault));
    check_text(fault.message, "a number has at most 60 digits", "fraction");
    arena_free(arena);
}
END_TEST

/* Random pieces put together: whatever comes, the answer is sound. */
START_TEST(any_text_is_answered)
{
    static const char *const pieces[] = {"0",    "1",       "24",       "1,400",    ".",
                                         "/",    "-",       " ",        " in",      " ft",
                                         "in",   "'",       "\"",       "%",        "+-",
                                         "(",    ")",       " per",     " rise",    "degF",
                                         " x ",  "..",      ":",        "e3",       "_",
                                         ",",    "1/2",     "\xc2\xbd", "\xc2\xb1", "\xe2\x80\xb2",
                                         "\xff", " cfm/ft", "\n",       "0x",       " lb",
                                         " oz",  "=",       "\xc3\x97", " 6",       "/h"};
    Arena *arena = arena_new();
    ArenaMark mark = arena_mark(arena);
    uint32_t state = 29;
    for (int round = 0; round < 40000; round++) {
        Buffer buffer = buffer_make(arena);
        buffer_string(&buffer, round % 3 == 0 ? "" : "24");
        for (uint32_t count = next_random(&state) % 7; count > 0; count--) {
            buffer_string(&buffer, pieces[next_random(&state) % COUNT(pieces)]);
        }
        Text text = text_copy(arena, buffer_done(&buffer)); /* exact, for the red zone */
        QuantityStyle style = round % 2 == 0 ? QUANTITY_RULE : QUANTITY_SPEC;
        Quantity quantity;
        Quantity again;
        QuantityFault fault = {.span = {9999, 9999}};
        size_t len = quantity_scan(arena, text, style, &quantity, &fault);
        ck_assert_uint_le(len, text.len);
        if (len == 0) {
            ck_assert_uint_le(fault.span.start, fault.span.end);
            ck_assert_uint_le(fault.span.end, text.len);
            ck_assert_uint_gt(fault.message.len, 0);
        } else { /* what was read stands for itself */
            Text part = text_copy(arena, (Text){text.data, len});
            ck_assert_msg(quantity_scan(arena, part, style, &again, &fault) == len, "'%.*s'",
                          TEXT_ARG(text));
            ck_assert(range_within(&again.range, &quantity.range) &&
                      range_within(&quantity.range, &again.range));
        }
        arena_reset(arena, mark);
    }
    arena_free(arena);
}
END_TEST

/* ---- exact ties and traps -------------------------------------------------------------------- */

static int order_of(Arena *arena, const char *a, const char *b)
{
    Quantity left = read_or_fail(arena, a, QUANTITY_RULE);
    Quantity right = read_or_fail(arena, b, QUANTITY_RULE);
    ck_assert_msg(dimension_equal(left.dimension, right.dimension), "%s, %s", a, b);
    return rational_order(left.range.low, right.range.low);
}

START_TEST(lengths_tie_exactly)
{
    Arena *arena = arena_new();
    ArenaMark mark = arena_mark(arena);
    ck_assert_int_eq(order_of(arena, "0.75 in", "0.0625 ft"), 0);
    ck_assert_int_eq(order_of(arena, "1/16 in", "1.5875 mm"), 0);
    for (int n = 1; n <= 16 * 12; n++) { /* each sixteenth of a foot's inches */
        const char *inches = text_string(arena, text_format(arena, "%d/16 in", n));
        const char *feet = text_string(arena, text_format(arena, "%d/192 ft", n));
        /* 25.4 mm / 16 = 1.5875 mm */
        const char *mm = text_string(
            arena, text_format(arena, "%d.%04d mm", n * 15875 / 10000, n * 15875 % 10000));
        ck_assert_int_eq(order_of(arena, inches, feet), 0);
        ck_assert_int_eq(order_of(arena, inches, mm), 0);
        const char *next = text_string(arena, text_format(arena, "%d/16 in", n + 1));
        ck_assert_int_eq(order_of(arena, feet, next), -1);
        arena_reset(arena, mark);
    }
    arena_free(arena);
}
END_TEST

START_TEST(temperatures_tie_exactly)
{
    Arena *arena = arena_new();
    ArenaMark mark = arena_mark(arena);
    for (int c = -60; c <= 260; c += 5) { /* 5 C are 9 F: these are whole in both */
        int f = c * 9 / 5 + 32;
        const char *celsius = text_string(arena, text_format(arena, "%d degC", c));
        ck_assert_int_eq(
            order_of(arena, celsius, text_string(arena, text_format(arena, "%d degF", f))), 0);
        ck_assert_int_eq(
            order_of(arena, celsius, text_string(arena, text_format(arena, "%d degF", f + 1))), -1);
        arena_reset(arena, mark);
    }
    /* food_code.md section 14: the printed Celsius twin is another value than the F limit */
    ck_assert_int_eq(order_of(arena, "77.0 degC", "171 degF"), -1);
    ck_assert_int_eq(order_of(arena, "57.0 degC", "135 degF"), -1);
    ck_assert_int_eq(order_of(arena, "194 degF", "90 degC"), 0);
    ck_assert_int_eq(order_of(arena, "41 degF", "5 degC"), 0);
    ck_assert_int_eq(order_of(arena, "1 degC rise", "1.8 degF rise"), 0);
    arena_free(arena);
}
END_TEST

/* food_code.md section 14: eight pairs that are 15 % apart, where binary arithmetic fails. */
START_TEST(fifteen_percent_ties)
{
    static const char *const pairs[][2] = {{"25", "28.75"}, {"30", "34.5"}, {"40", "46"},
                                           {"42", "48.3"},  {"50", "57.5"}, {"55", "63.25"},
                                           {"60", "69"},    {"100", "115"}};
    Arena *arena = arena_new();
    Range percent = read_or_fail(arena, "115%", QUANTITY_RULE).range;
    Range excess = read_or_fail(arena, "15%", QUANTITY_RULE).range;
    for (size_t i = 0; i < COUNT(pairs); i++) {
        const char *fresh_text = text_string(arena, text_format(arena, "%s gal", pairs[i][0]));
        const char *waste_text = text_string(arena, text_format(arena, "%s gal", pairs[i][1]));
        Range fresh = read_or_fail(arena, fresh_text, QUANTITY_RULE).range;
        Range waste = read_or_fail(arena, waste_text, QUANTITY_RULE).range;
        Range limit = range_mul(arena, &percent, &fresh);
        ck_assert_int_eq(range_equal(&waste, &limit), TRUTH_TRUE);
        Range ratio;
        Range difference = range_sub(arena, &waste, &fresh);
        ck_assert_int_eq(range_div(arena, &difference, &fresh, &ratio), RANGE_DIV_NEVER);
        ck_assert_int_eq(range_equal(&ratio, &excess), TRUTH_TRUE);
        const Unit *gal = unit_find(arena, TEXT("gal"), false);
        check_text(quantity_print(arena, limit.low, gal, NULL), waste_text, "printed");
    }
    arena_free(arena);
}
END_TEST

START_TEST(twins_are_checked_for_rounding)
{
    static const struct {
        const char *text;
        bool agrees;
    } cases[] = {
        {"24 in (610 mm)", true},  /* 609.6 */
        {"76 in (188 cm)", false}, /* 193.04: a fault that was printed, language.md */
        {"76 in (193 cm)", true},
        /* food_code.md section 14, metric twins */
        {"1/32 in (1 mm)", true}, /* 0.79 */
        {"1/2 in (13 mm)", true},
        {"3/4 in (19.1 mm)", true}, /* 19.05, half up */
        {"3/4 in (19.0 mm)", false},
        {"1 in (25 mm)", true},
        {"4 in (100 mm)", true},
        {"6 in (150 mm)", true}, /* 152.4, to tens */
        {"30 in (762 mm)", true},
        {"30 in (750 mm)", false}, /* no rounding of 762 */
        {"20 in (508 mm)", true},
        {"20 in (500 mm)", true},
        {"5 ft (1500 mm)", true},
        {"30 psi (200 kPa)", true},
        {"5 psi (35 kPa)", false}, /* 34.47: printed law that rounds twice */
        {"85 degF (29.4 degC)", true},
        {"100 degF (38 degC)", true},
        {"120 degF (49 degC)", true},
        {"135 degF (57 degC)", true},
        {"165 degF (74 degC)", true},
        {"165 degF (73 degC)", false},
        {"171 degF (77 degC)", true},
        {"180 degF (82 degC)", true},
        {"194 degF (90 degC)", true},
        {"41 degF (5 degC)", true},
        {"45 degF (7 degC)", true},
        {"31.1 degF (-1 degC)", true}, /* -0.5: a half goes away from zero */
        {"31.1 degF (0 degC)", false},
        {"0 degF (-18 degC)", true}, /* -17.78 */
        /* engineering.md section 0, item 4 */
        {"10 fc (108 lx)", true},
        {"20 fc (215 lx)", true},
        {"50 fc (540 lx)", true}, /* 538.2, to tens */
        {"50 fc (538 lx)", true},
        {"48 in (1200 mm)", true}, /* printed both ways in two codes */
        {"48 in (1219 mm)", true},
        {"48 in (1220 mm)", true},
        {"48 in (1210 mm)", false},
        {"10 ft (3 m)", true},
        {"10 ft (3048 mm)", true},
        {"10 ft (3000 mm)", true},
        {"10 ft (4 m)", false},
        /* the other way round, with fractions and in parts */
        {"610 mm (24 in)", true},
        {"19 mm (3/4 in)", true},
        {"22 mm (3/4 in)", true}, /* 0.87, to quarters */
        {"23 mm (3/4 in)", false},
        {"2299 mm (7 ft 6-1/2 in)", true},
        {"2299 mm (7 ft 6 in)", false}, /* 7 ft 6.51 in is 7 ft 7 in to the inch */
        {"2299 mm (7 ft 7 in)", true},
        {"60 degF rise (33 degC)", true},
        {"60 degF rise (33 degC rise)", true},
        {"1/4 in per ft (2%)", true},
        {"24 in +- 1/8 in (610 mm)", true},
        {"24 in", true},
    };
    Arena *arena = arena_new();
    for (size_t i = 0; i < COUNT(cases); i++) {
        Quantity quantity = read_or_fail(arena, cases[i].text, QUANTITY_RULE);
        ck_assert_msg(quantity_twin_agrees(arena, &quantity) == cases[i].agrees, "%s",
                      cases[i].text);
    }
    arena_free(arena);
}
END_TEST

/* ---- printing -------------------------------------------------------------------------------- */

START_TEST(quantities_are_printed_as_the_trade_writes)
{
    static const char *const same[] = {/* printed as they are written */
                                       "24 in",
                                       "1/2 in",
                                       "6-1/2 in",
                                       "23-63/64 in",
                                       "0 in",
                                       "7 ft",
                                       "7 ft 6-1/2 in",
                                       "6 in",
                                       "1,400 cfm",
                                       "15,000 Btu/h",
                                       "1,234,567.25 ft2",
                                       "115%",
                                       "0.5%",
                                       "41 degF",
                                       "-40 degC",
                                       "60 degF rise",
                                       "16 per in",
                                       "250 cfm/ft",
                                       "8.33 lb per gal",
                                       "-5",
                                       "-1,234.5",
                                       "0.001",
                                       "999",
                                       "1,000",
                                       "30 psig",
                                       "0.000001 in",
                                       "1,000-1/2 in",
                                       "200 ppm"};
    static const char *const other[][2] = {{"2 ft 0 in", "2 ft"},
                                           {"0.5 ft", "6 in"},
                                           {"0.1 in", "0.1 in"},
                                           {"1/3 in", "about 0.333 in"},
                                           {"2/3", "about 0.667"},
                                           {"0 ft", "0 ft"},
                                           {"13/2", "6.5"},
                                           {"0.0625 ft", "3/4 in"},
                                           {"1/128 in", "about 0.008 in"},
                                           {"0.0000001", "about 0"},
                                           {"0.00049 mm", "0.00049 mm"}};
    Arena *arena = arena_new();
    for (size_t i = 0; i < COUNT(same) + COUNT(other); i++) {
        const char *text = i < COUNT(same) ? same[i] : other[i - COUNT(same)][0];
        const char *shown = i < COUNT(same) ? same[i] : other[i - COUNT(same)][1];
        Quantity quantity = read_or_fail(arena, text, QUANTITY_RULE);
        check_text(quantity_print(arena, quantity.range.low, quantity.unit, NULL), shown, text);
    }
    const Unit *in = unit_find(arena, TEXT("in"), false);
    const Unit *ft = unit_find(arena, TEXT("ft"), false);
    Rational minus = unit_to_si(arena, in, RATIONAL(-13, 2)); /* a margin */
    check_text(quantity_print(arena, minus, in, NULL), "-6-1/2 in", "margin");
    check_text(quantity_print(arena, minus, ft, NULL), "-6-1/2 in", "margin");
    minus = unit_to_si(arena, ft, RATIONAL(-15, 2));
    check_text(quantity_print(arena, minus, ft, NULL), "-7 ft 6 in", "margin");
    arena_free(arena);
}
END_TEST

START_TEST(different_values_look_different)
{
    Arena *arena = arena_new();
    ArenaMark mark = arena_mark(arena);
    uint32_t state = 31;
    Text names[300];
    size_t count = unit_names(names, COUNT(names));
    ck_assert_uint_lt(count, COUNT(names));
    for (int round = 0; round < 4000; round++) {
        const Unit *unit = unit_find(arena, names[next_random(&state) % count], false);
        Rational a = RATIONAL((int64_t)(next_random(&state) % 3000), 1 + next_random(&state) % 64);
        /* as near as 10^-1 to 10^-59, also nearer than all printed places */
        Rational gap = rational_power(arena, RATIONAL(1, 10), 1 + next_random(&state) % 59);
        gap = rational_mul(arena, gap, RATIONAL(1 + (int64_t)(next_random(&state) % 9), 3));
        Rational x = unit_to_si(arena, unit, a);
        Rational y = unit_to_si(arena, unit, rational_add(arena, a, gap));
        Text left = quantity_print(arena, x, unit, &y);
        Text right = quantity_print(arena, y, unit, &x);
        Text about = TEXT("about ");
        if (text_starts(left, about)) {
            left = (Text){left.data + about.len, left.len - about.len};
        }
        if (text_starts(right, about)) { /* the digits differ, not only that word */
            right = (Text){right.data + about.len, right.len - about.len};
        }
        ck_assert_msg(!text_equal(left, right), "%.*s", TEXT_ARG(left));
        arena_reset(arena, mark);
    }
    const Unit *in = unit_find(arena, TEXT("in"), false);
    Rational limit = unit_to_si(arena, in, RATIONAL(24, 1));
    Rational over = unit_to_si(arena, in, RATIONAL(240001, 10000));
    check_text(quantity_print(arena, over, in, &limit), "24.0001 in", "just over");
    check_text(quantity_print(arena, limit, in, &over), "24 in", "the limit");
    over = unit_to_si(arena, in, RATIONAL(2400000001, 100000000));
    check_text(quantity_print(arena, over, in, &limit), "24.00000001 in", "in full");
    over = unit_to_si(arena, in, RATIONAL(720001, 30000));
    check_text(quantity_print(arena, over, in, &limit), "about 24.00003 in", "by a third");
    arena_free(arena);
}
END_TEST

START_TEST(printed_quantities_read_back)
{
    Arena *arena = arena_new();
    ArenaMark mark = arena_mark(arena);
    uint32_t state = 37;
    Text names[300];
    size_t count = unit_names(names, COUNT(names));
    for (int round = 0; round < 6000; round++) {
        const Unit *unit = unit_find(arena, names[(size_t)round % count], false);
        int64_t num = next_random(&state) % 4000000;
        Rational number = RATIONAL(num, round % 2 == 0 ? 64 : 1000);
        Rational si = unit_to_si(arena, unit, number);
        Text text = quantity_print(arena, si, unit, NULL);
        const char *string = text_string(arena, text);
        Quantity quantity =
            read_or_fail(arena, string, round % 3 == 0 ? QUANTITY_SPEC : QUANTITY_RULE);
        ck_assert_msg(rational_order(quantity.range.low, si) == 0, "%s", string);
        ck_assert(dimension_equal(quantity.dimension, unit->dimension));
        arena_reset(arena, mark);
    }
    arena_free(arena);
}
END_TEST

START_TEST(ranges_are_printed)
{
    Arena *arena = arena_new();
    const Unit *gal = unit_find(arena, TEXT("gal"), false);
    Rational three = unit_to_si(arena, gal, RATIONAL(3, 1));
    Rational five = unit_to_si(arena, gal, RATIONAL(5, 1));
    static const struct {
        uint8_t flags;
        const char *text;
    } cases[] = {{0, "3 gal to 5 gal"},
                 {RANGE_EXACT, "3 gal"},
                 {RANGE_NO_HIGH, "at least 3 gal"},
                 {RANGE_NO_HIGH | RANGE_LOW_OPEN, "more than 3 gal"},
                 {RANGE_NO_LOW, "at most 5 gal"},
                 {RANGE_NO_LOW | RANGE_HIGH_OPEN, "less than 5 gal"},
                 {RANGE_LOW_OPEN, "more than 3 gal, at most 5 gal"},
                 {RANGE_HIGH_OPEN, "at least 3 gal, less than 5 gal"},
                 {RANGE_LOW_OPEN | RANGE_HIGH_OPEN, "more than 3 gal, less than 5 gal"},
                 {RANGE_NO_LOW | RANGE_NO_HIGH, "any"}};
    for (size_t i = 0; i < COUNT(cases); i++) {
        Range range = {.low = three, .high = five, .flags = cases[i].flags};
        check_text(range_print(arena, &range, gal), cases[i].text, "range");
    }
    Range close = range_between(RATIONAL(1, 3), RATIONAL(10001, 30000));
    check_text(range_print(arena, &close, NULL), "about 0.3333 to about 0.3334", "close");
    arena_free(arena);
}
END_TEST

Suite *quantity_suite(void)
{
    const TTest *const tests[] = {quantities_are_read,
                                  quantities_tell_how_they_were_written,
                                  tolerances_make_ranges,
                                  rule_quantities_end_where_they_should,
                                  faults_say_what_and_where,
                                  long_numbers_are_bounded,
                                  any_text_is_answered,
                                  lengths_tie_exactly,
                                  temperatures_tie_exactly,
                                  fifteen_percent_ties,
                                  twins_are_checked_for_rounding,
                                  quantities_are_printed_as_the_trade_writes,
                                  different_values_look_different,
                                  printed_quantities_read_back,
                                  ranges_are_printed};
    TCase *tcase = tcase_create("quantity");
    tcase_set_timeout(tcase, 120);
    for (size_t i = 0; i < COUNT(tests); i++) {
        tcase_add_test(tcase, tests[i]);
    }
    Suite *suite = suite_create("quantity");
    suite_add_tcase(suite, tcase);
    return suite;
}
