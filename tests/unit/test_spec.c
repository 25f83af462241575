/* spec: facts into slots, and every message that a fact can earn. Doors of YAML itself are in
 * test_yaml.c. The traps are those of the project's rules on YAML, percent, counts and bounds. */
#include "spec_help.h"

/* ---- values ---- */

typedef struct Stated {
    const char *yaml;
    const char *name; /* of a fact; of a field of the only tank when the text begins "tanks" */
    const char *value;
} Stated;

static const Stated stated[] = {
    /* not stated, absent, empty */
    {"menu:\n", "menu", "unstated"},
    {"menu: ~\n", "menu", "unstated"},
    {"menu: null\n", "menu", "unstated"},
    {"menu: Null\n", "menu", "unstated"},
    {"menu: none\n", "menu", "none"},
    {"menu: \"none\"\n", "menu", "none"}, /* the text, see test_quoted_none */
    {"menu: 'null'\n", "menu", "null"},
    {"menu: \"\"\n", "menu", ""},
    {"menu: no\n", "menu", "no"},
    {"menu: 12:30\n", "menu", "12:30"},
    {"hood: none\n", "hood", "none"},
    {"hood: \"none\"\n", "hood", "none"}, /* quoted is plain but for texts */
    {"hood: {}\n", "hood", "item"},
    {"tanks: none\n", "tanks", "none"},
    {"tanks: []\n", "tanks", "0"},
    {"tanks: [and more]\n", "tanks", "0 and more"},
    {"tanks: [{holds: fresh}, and more]\n", "tanks", "1 and more"},
    {"tanks:\n  - holds: fresh\n  - and more\n", "tanks", "1 and more"},
    {"exhaust: ''\n", "exhaust", "unstated"},
    {"exhaust: 'null'\n", "exhaust", "unstated"},
    {"exhaust: none\n", "exhaust", "none"},
    {"duty: none\n", "duty", "none"},
    /* quantities as the trade writes them */
    {"exhaust: 1,400 cfm\n", "exhaust", "1,400 cfm"},
    {"exhaust: \"1,400 cfm\"\n", "exhaust", "1,400 cfm"},
    {"exhaust: ' 1400 cfm '\n", "exhaust", "1,400 cfm"},
    {"{exhaust: \"1,400 cfm\"}\n", "exhaust", "1,400 cfm"},
    {"exhaust: >\n  1400\n  cfm\n", "exhaust", "1,400 cfm"},
    {"water: 41 degF\n", "water", "41 degF"},
    {"water: -4 degF\n", "water", "-4 degF"},
    {"rise: 60 degF rise\n", "rise", "60 degF rise"},
    {"gas: 11 psig\n", "gas", "11 psig"},
    {"weight: 3 lb\n", "weight", "3 lb"},
    {"weight: 100 lb +- 1 lb\n", "weight", "99 lb to 101 lb"},
    /* words and dates */
    {"duty: extra_heavy\n", "duty", "extra_heavy"},
    {"duty: 'light'\n", "duty", "light"},
    {"opened: 2025-07-01\n", "opened", "20,270"}, /* days since 1970 */
    {"opened: 2025-07\n", "opened", "20,270 to 20,300"},
    {"opened: 2025\n", "opened", "20,089 to 20,453"},
    /* fields */
    {"tanks: [{lids: 3}]\n", "lids", "3"},
    {"tanks: [{lids: \"3\"}]\n", "lids", "3"},
    {"tanks: [{fill: 80%}]\n", "fill", "80%"},
    {"tanks: [{slope: 0.5}]\n", "slope", "0.5"},
    {"tanks: [{slope: 1/2}]\n", "slope", "0.5"},
    {"tanks: [{capacity: 40 gal}]\n", "capacity", "40 gal"},
    {"tanks: [{installed: 2019-06}]\n", "installed", "18,048 to 18,077"},
    {"tanks: [{inner: [{lids: 1}, {lids: 2}]}]\n", "inner", "2"},
    /* a tolerance is cut to the bounds */
    {"tanks: [{fill: 99% +- 3%}]\n", "fill", "96% to 100%"},
};

START_TEST(test_stated)
{
    const Stated *row = &stated[_i];
    Bench bench = bench_usual();
    bench_read(&bench, row->yaml);
    bench_expect(&bench, "");
    bool of_tank = strncmp(row->yaml, "tanks", 5) == 0 && strcmp(row->name, "tanks") != 0;
    bench_expect_value(&bench, of_tank ? bench_item(&bench, "tanks", 0) : bench.spec->unit,
                       row->name, row->value);
    bench_close(&bench);
}
END_TEST

START_TEST(test_quoted_none)
{
    Bench bench = bench_usual();
    bench_read(&bench, "menu: \"none\"\n");
    const Fact *fact = bench_fact(&bench, bench.spec->unit, "menu");
    ck_assert_uint_eq(fact->state, FACT_STATED);
    ck_assert_uint_eq(fact->value.can, CAN_BE_PRESENT);
    ck_assert(fact->value.known);
    bench_read(&bench, "menu: none\n");
    fact = bench_fact(&bench, bench.spec->unit, "menu");
    ck_assert_uint_eq(fact->state, FACT_NONE);
    ck_assert_uint_eq(fact->value.can, CAN_BE_NONE);
    ck_assert_uint_eq(fact->value.kind, VALUE_TEXT);
    bench_close(&bench);
}
END_TEST

/* What judge/ relies on: kinds, `can`, units, ranges, truth, words. */
START_TEST(test_value_forms)
{
    Bench bench = bench_usual();
    bench_read(&bench, "openings:\n"
                       "  - name: serving\n"
                       "    use: delivery\n"
                       "    clear_width: 24 in +- 1/8 in\n"
                       "    self_closing: no\n"
                       "    pan: 12 in x 14 in x 10 in\n"
                       "    guard: {height: 6 in}\n"
                       "tanks: none\n"
                       "opened: 2025-07\n");
    bench_expect(&bench, "");
    const Item *opening = bench_item(&bench, "openings", 0);
    const Fact *width = bench_fact(&bench, opening, "clear_width");
    ck_assert(width->inexact);
    ck_assert(text_equal(width->unit->spelling, TEXT("in")));
    ck_assert_int_eq(rational_order(width->value.range.low, RATIONAL(6064250, 10000000)), 0);
    ck_assert_int_eq(rational_order(width->value.range.high, RATIONAL(6127750, 10000000)), 0);
    ck_assert_uint_eq(bench_fact(&bench, opening, "use")->value.words, 2);
    ck_assert_uint_eq(bench_fact(&bench, opening, "self_closing")->value.truth, TRUTH_FALSE);
    const Fact *pan = bench_fact(&bench, opening, "pan");
    ck_assert_uint_eq(pan->value.kind, VALUE_SIZE);
    ck_assert_int_eq(rational_order(pan->value.size[1].low, RATIONAL(3556, 10000)), 0);
    ck_assert(!pan->inexact);
    const Fact *guard = bench_fact(&bench, opening, "guard");
    ck_assert_uint_eq(guard->value.kind, VALUE_ITEM);
    ck_assert(guard->value.known);
    ck_assert_ptr_eq(guard->value.item->parent, opening);
    ck_assert(!guard->value.item->in_list);
    bench_expect_value(&bench, guard->value.item, "height", "6 in");
    const Fact *tanks = bench_fact(&bench, bench.spec->unit, "tanks");
    ck_assert_uint_eq(tanks->value.kind, VALUE_LIST);
    ck_assert_uint_eq(tanks->value.can, CAN_BE_NONE);
    ck_assert_uint_eq(tanks->value.list->count, 0);
    ck_assert(bench_fact(&bench, bench.spec->unit, "opened")->inexact);
    const Fact *menu = bench_fact(&bench, bench.spec->unit, "menu");
    ck_assert_uint_eq(menu->state, FACT_UNSTATED);
    ck_assert_uint_eq(menu->value.can, 0);
    bench_close(&bench);
}
END_TEST

START_TEST(test_sizes)
{
    static const char *const same[] = {
        "12 in x 14 in x 10 in", "12 x 14 x 10 in",     "12x14x10 in",
        "1 ft x 14 in x 10 in",  "12\" x 14\" x 10\"",  "12 in \xc3\x97 14 in \xc3\x97 10 in",
        "12 in X 14 in X 10 in", "\"12 x 14 x 10 in\"",
    };
    Bench bench = bench_usual();
    for (size_t i = 0; i < sizeof same / sizeof same[0]; i++) {
        Text yaml = text_format(bench.arena, "openings: [{pan: %s}]\n", same[i]);
        bench_read(&bench, text_string(bench.arena, yaml));
        bench_expect(&bench, "");
        const Value *pan = &bench_fact(&bench, bench_item(&bench, "openings", 0), "pan")->value;
        ck_assert_int_eq(rational_order(pan->size[0].low, RATIONAL(3048, 10000)), 0);
        ck_assert_int_eq(rational_order(pan->size[2].low, RATIONAL(254, 1000)), 0);
    }
    bench_close(&bench);
}
END_TEST

/* A tolerance makes a size a range; one unit after the last serves all three. */
START_TEST(test_measured_size)
{
    Bench bench = bench_usual();
    bench_read(&bench, "openings: [{pan: 12 +- 1 x 14 x 10 in}]\n");
    bench_expect(&bench, "");
    const Fact *pan = bench_fact(&bench, bench_item(&bench, "openings", 0), "pan");
    ck_assert(pan->inexact);
    ck_assert_int_eq(rational_order(pan->value.size[0].low, RATIONAL(2794, 10000)), 0);
    ck_assert_int_eq(rational_order(pan->value.size[0].high, RATIONAL(3302, 10000)), 0);
    ck_assert(range_is_exact(&pan->value.size[1]));
    bench_close(&bench);
}
END_TEST

/* ---- refusals ---- */

typedef struct Case {
    const char *yaml;
    const char *expected;
} Case;

static const Case refused[] = {
    /* unknown facts */
    {"opennings: []\n",
     "1:1 unknown fact: the vocabulary has no fact 'opennings' | 34:8 did you mean 'openings'?\n"},
    {"bulider: x\n",
     "1:1 unknown fact: the vocabulary has no fact 'bulider' | did you mean 'builder'?\n"},
    {"zzz: 1\n", "1:1 unknown fact: the vocabulary has no fact 'zzz'\n"},
    {"tanks:\n  - capcity: 3 gal\n",
     "2:5 unknown fact: 'tank' has no field 'capcity' | 23:5 did you mean 'capacity'?\n"},
    /* quantities */
    {"exhaust: 1400\n",
     "1:10 no unit: '1400' has no unit: a flow is due | did you mean '1400 cfm'?\n"},
    {"openings: [{clear_width: 24}]\n",
     "1:26 no unit: '24' has no unit: a length is due | did you mean '24 in'?\n"},
    {"openings: [{clear_width: 0}]\n",
     "1:26 no unit: '0' has no unit: a length is due | did you mean '0 in'?\n"},
    {"openings: [{clear_width: 24 gal}]\n",
     "1:26 wrong unit: '24 gal' is a volume: a length is due | units: in, ft, yd, mi\n"},
    {"rise: 60 degF\n", "1:7 wrong unit: '60 degF' is a temperature: a temperature difference is "
                        "due | write 'rise' after a difference: 60 degF rise\n"},
    {"water: 41 degF rise\n",
     "1:8 wrong unit: '41 degF rise' is a temperature difference: a temperature is due | a "
     "temperature is written without 'rise': 41 degF\n"},
    {"thrust: 3 lb\n",
     "1:9 wrong unit: '3 lb' is a mass: a force is due | 'lb' is a mass, 'lbf' a force\n"},
    {"gas: 11 psi\n", "1:6 wrong unit: '11 psi' is a pressure: a gauge pressure is due | units: "
                      "psig\n"},
    {"tanks: [{capacity: 8 oz}]\n",
     "1:20 wrong unit: '8 oz' is a mass: a volume is due | 'oz' is a mass, 'floz' a volume\n"},
    {"exhaust: 50%\n",
     "1:10 wrong unit: '50%' is a percentage: a flow is due | units: cfm, cfh, gpm, gph\n"},
    /* percent, counts, numbers */
    {"tanks: [{fill: 80}]\n",
     "1:16 no percent sign: '80' has no percent sign | did you mean '80%'?\n"},
    {"tanks: [{slope: 50%}]\n", "1:17 wrong unit: '50%' is a percentage: a number is due\n"},
    {"tanks: [{lids: 50%}]\n", "1:16 wrong unit: '50%' is a percentage: a count is due\n"},
    {"tanks: [{lids: 1.5}]\n", "1:16 not a whole number: '1.5' is a count: a whole number\n"},
    {"tanks: [{lids: 3 +- 1}]\n",
     "1:16 not a whole number: '3 +- 1' is a count: a whole number, without a tolerance\n"},
    {"tanks: [{slope: 3 in}]\n", "1:17 wrong unit: '3 in' is a length: a number is due\n"},
    /* bounds */
    {"openings: [{clear_height: 0 in}]\n",
     "1:27 out of bounds: '0 in' is outside what 'clear_height' can be: more than 0 in, at most "
     "120 in | 7:5 declared here\n"},
    {"openings: [{clear_height: 121 in}]\n",
     "1:27 out of bounds: '121 in' is outside what 'clear_height' can be: more than 0 in, at most "
     "120 in | 7:5 declared here\n"},
    {"tanks: [{fill: 120%}]\n",
     "1:16 out of bounds: '120%' is outside what 'fill' can be: 0% to 100% | 25:5 declared "
     "here\n"},
    {"tanks: [{fill: 120% +- 10%}]\n",
     "1:16 out of bounds: '120% +- 10%' is outside what 'fill' can be: 0% to 100% | 25:5 "
     "declared here\n"},
    /* none, no, kinds */
    {"weight: none\n", "1:9 cannot be none: 'weight' is always present | 43:8 declared here\n"},
    {"hood: no\n", "1:7 wrong kind: a guard is due, not 'no' | write none if there is none\n"},
    {"tanks: no\n",
     "1:8 wrong kind: a list of tank is due, not 'no' | write none if there is none\n"},
    {"tanks: false\n",
     "1:8 wrong kind: a list of tank is due, not 'false' | write none if there is none\n"},
    {"tanks: {holds: fresh}\n", "1:8 wrong kind: a list of tank is due, not a map | begin each "
                                "item of a list with '- '\n"},
    {"hood: 6 in\n",
     "1:7 wrong kind: a guard is due, not '6 in' | write its fields as 'key: value'\n"},
    {"hood: [{height: 6 in}]\n", "1:7 wrong kind: a guard is due, not a list\n"},
    {"tanks: [none]\n", "1:9 wrong kind: a tank is due, not 'none' | write [] or none for the "
                        "whole list if there is none\n"},
    {"tanks: [3 gal]\n", "1:9 wrong kind: a tank is due, not '3 gal'\n"},
    {"exhaust: [1 cfm]\n", "1:10 wrong kind: a flow is due, not a list\n"},
    {"exhaust: {sheet: A-2}\n", "1:10 wrong kind: a flow is due, not a map\n"},
    {"menu: [noodles]\n", "1:7 wrong kind: a text is due, not a list\n"},
    {"- menu: x\n", "1:1 wrong kind: a map of facts is due, not a list\n"},
    {"noodles\n", "1:1 wrong kind: a map of facts is due, not 'noodles'\n"},
    /* yes and no */
    {"openings: [{self_closing: Yes}]\n",
     "1:27 wrong kind: yes or no is due, not 'Yes' | write 'yes'\n"},
    {"openings: [{self_closing: off}]\n",
     "1:27 wrong kind: yes or no is due, not 'off' | write 'no'\n"},
    {"openings: [{self_closing: [yes]}]\n", "1:27 wrong kind: yes or no is due, not a list\n"},
    {"duty: [light]\n", "1:7 wrong kind: one of light < medium < extra_heavy is due, not a list\n"},
    {"openings: [{self_closing: 1}]\n", "1:27 wrong kind: yes or no is due, not '1'\n"},
    {"duty: yes\n", "1:7 unknown word: 'yes' is no word of 'duty': one of light < medium < "
                    "extra_heavy\n"},
    /* choices */
    {"duty: Extra heavy\n", "1:7 unknown word: 'Extra heavy' is no word of 'duty': one of light < "
                            "medium < extra_heavy | did you mean 'extra_heavy'?\n"},
    {"duty: mdium\n", "1:7 unknown word: 'mdium' is no word of 'duty': one of light < medium < "
                      "extra_heavy | did you mean 'medium'?\n"},
    /* dates */
    {"opened: 2025-02-30\n",
     "1:9 not a date: '2025-02-30' is no date: that month has no such day\n"},
    {"opened: 7/1/2025\n", "1:9 not a date: '7/1/2025' is no date: a date is written "
                           "year-month-day, as 2025-07-01, 2025-07 or 2025\n"},
    /* sizes */
    {"openings: [{pan: 12 in x 14 in}]\n",
     "1:18 not a size: '12 in x 14 in' is no size: it has three lengths, with x between them | "
     "as 12 in x 14 in x 10 in\n"},
    {"openings: [{pan: 12 x 14 x 10}]\n",
     "1:18 not a size: '12 x 14 x 10' is no size: give each side a unit, or all the one after "
     "the last | as 12 in x 14 in x 10 in\n"},
    {"openings: [{pan: 12 in x 14 x 10 in}]\n",
     "1:18 not a size: '12 in x 14 x 10 in' is no size: give each side a unit, or all the one "
     "after the last | as 12 in x 14 in x 10 in\n"},
    {"openings: [{pan: 12 ni x 14 in x 10 in}]\n", NULL}, /* a unit's fault is the unit's */
    {"openings: [{pan: 12 gal x 14 in x 10 in}]\n",
     "1:18 not a size: '12 gal x 14 in x 10 in' is no size: each side is a length | as 12 in x 14 "
     "in x 10 in\n"},
    {"openings: [{pan: 12 in x  x 10 in}]\n",
     "1:18 not a size: '12 in x  x 10 in' is no size: a length is missing beside an x | as 12 in "
     "x 14 in x 10 in\n"},
    {"openings: [{pan: -12 x 14 x 10 in}]\n",
     "1:18 not a size: '-12 x 14 x 10 in' is no size: no side is less than zero | as 12 in "
     "x 14 in x 10 in\n"},
    /* lists */
    {"openings:\n  - name: a\n  - name: b\n  - name: a\n",
     "4:11 duplicate item: two items of this list have the name 'a' | 2:11 the first of them\n"},
    {"tanks: [{number: 1}, {number: 01}]\n", NULL}, /* 01 is refused as a number */
    {"tanks: [and more, {lids: 1}]\n",
     "1:9 misplaced 'and more': 'and more' is the last item of its list\n"},
    /* where a value comes from */
    {"exhaust: {value: 1 cfm, shet: A-2}\n",
     "1:25 unknown key: a fact with its source has no 'shet' | did you mean 'sheet'?\n"},
    {"exhaust: {value: 1 cfm, source: guess}\n",
     "1:33 unknown word: 'guess' is no source of a fact | sources: drawing, cut_sheet, measured, "
     "promised\n"},
    {"exhaust: {value: {value: 1 cfm}}\n", "1:18 wrong kind: a flow is due, not a map\n"},
    {"exhaust: {value: 1 cfm, noise: 3, source: [x]}\n",
     "1:25 unknown key: a fact with its source has no 'noise' | its keys: value, sheet, item, "
     "source\n1:43 unknown word: a list is no source of a fact | sources: drawing, cut_sheet, "
     "measured, promised\n"},
    {"duty: 0123456789012345678901234567890123456789012345678901234567890123456789\n",
     "1:7 unknown word: '012345678901234567890123456789012345678901234567890123456789...' is no "
     "word of 'duty': one of light < medium < extra_heavy\n"},
    /* cautions */
    {"menu: None\n", "1:7 caution text none: 'None' is read as a text | write none for what is "
                     "absent, or quote the text\n"},
};

START_TEST(test_refused)
{
    Bench bench = bench_usual();
    bench_read(&bench, refused[_i].yaml);
    if (refused[_i].expected == NULL) {
        ck_assert_uint_ge(bench.diags.errors, 1);
    } else {
        bench_expect(&bench, refused[_i].expected);
    }
    ck_assert_ptr_nonnull(bench.spec);
    bench_close(&bench);
}
END_TEST

/* Numbers that YAML 1.1 would read as another number mean what a fabricator means or nothing. */
START_TEST(test_number_traps)
{
    static const char *const never[] = {"0x10",  "010",   "0o17", "1e3",  "12:30",
                                        "1_000", ".inf",  "nan",  "1,40", "1.400,0",
                                        "1 000", "three", "+-3",  "--3"};
    Bench bench = bench_usual();
    for (size_t i = 0; i < sizeof never / sizeof never[0]; i++) {
        Text yaml = text_format(bench.arena, "tanks:\n  - lids: %s\n", never[i]);
        bench_read(&bench, text_string(bench.arena, yaml));
        ck_assert_msg(bench.diags.errors == 1, "%s: %.*s", never[i],
                      TEXT_ARG(bench_messages(&bench)));
        bench_expect_value(&bench, bench_item(&bench, "tanks", 0), "lids", "unstated");
    }
    bench_read(&bench, "tanks:\n  - lids: 1,400\n");
    bench_expect(&bench, "");
    bench_expect_value(&bench, bench_item(&bench, "tanks", 0), "lids", "1,400");
    bench_close(&bench);
}
END_TEST

/* A fault within a quantity is pointed at within it. */
START_TEST(test_place_within)
{
    Bench bench = bench_usual();
    bench_read(&bench, "menu: \xc3\xa9\nexhaust: 1400 cfn\n");
    ck_assert_uint_eq(bench.diags.errors, 1);
    ck_assert(text_equal(place_text(bench.diags.first->place), TEXT("cfn")));
    bench_read(&bench, "exhaust: \"14\\x300 cfn\"\n"); /* escaped: the whole value */
    ck_assert_uint_eq(bench.diags.errors, 1);
    ck_assert(text_equal(place_text(bench.diags.first->place), TEXT("\"14\\x300 cfn\"")));
    bench_close(&bench);
}
END_TEST

START_TEST(test_sources)
{
    Bench bench = bench_usual();
    bench_read(&bench, "exhaust: {value: 1400 cfm, sheet: A-2, item: 7, source: cut_sheet}\n"
                       "hood:\n"
                       "  value: {height: 6 in, item: x}\n"
                       "  source: promised\n"
                       "tanks: {value: [{lids: 1}], sheet: P-1}\n"
                       "menu: {value: none, source: drawing}\n"
                       "duty: {value: , sheet: A-1}\n");
    bench_expect(&bench, "");
    const Fact *exhaust = bench_fact(&bench, bench.spec->unit, "exhaust");
    ck_assert_uint_eq(exhaust->provenance->source, SOURCE_CUT_SHEET);
    ck_assert(text_equal(exhaust->provenance->sheet, TEXT("A-2")));
    ck_assert(text_equal(exhaust->provenance->item, TEXT("7")));
    ck_assert(
        text_equal(place_text(fact_place(bench.spec->unit,
                                         bench_field(&bench, bench.spec->unit->record, "exhaust"))),
                   TEXT("1400 cfm")));
    const Fact *hood = bench_fact(&bench, bench.spec->unit, "hood");
    ck_assert_uint_eq(hood->provenance->source, SOURCE_PROMISED);
    bench_expect_value(&bench, hood->value.item, "item", "x");
    bench_expect_value(&bench, bench_item(&bench, "tanks", 0), "lids", "1");
    bench_expect_value(&bench, bench.spec->unit, "menu", "none");
    bench_expect_value(&bench, bench.spec->unit, "duty", "unstated");
    ck_assert_ptr_null(bench_fact(&bench, bench.spec->unit, "weight")->provenance);
    bench_close(&bench);
}
END_TEST

START_TEST(test_paths)
{
    Bench bench = bench_usual();
    bench_read(&bench, "openings:\n"
                       "  - name: serving\n"
                       "    clear_width: 24 in\n"
                       "    guard: {behind: {height: 3 in}}\n"
                       "  - name: 'a\"b'\n"
                       "  - clear_width: 3 in\n"
                       "tanks: [{number: 12}]\n"
                       "lights: [{lamp: x}, {zone: rear}]\n");
    bench_expect(&bench, "");
    const Item *serving = bench_item(&bench, "openings", 0);
    const Field *width = bench_field(&bench, serving->record, "clear_width");
    const Item *guard = bench_fact(&bench, serving, "guard")->value.item;
    const Item *behind = bench_fact(&bench, guard, "behind")->value.item;
    struct {
        const Item *item;
        const Field *field;
        const char *path;
    } rows[] = {
        {bench.spec->unit, NULL, ""},
        {bench.spec->unit, bench_field(&bench, bench.spec->unit->record, "menu"), "menu"},
        {serving, NULL, "openings[\"serving\"]"},
        {serving, width, "openings[\"serving\"].clear_width"},
        {bench_item(&bench, "openings", 1), width, "openings[\"a\\\"b\"].clear_width"},
        {bench_item(&bench, "openings", 2), width, "openings[3].clear_width"},
        {behind, bench_field(&bench, behind->record, "height"),
         "openings[\"serving\"].guard.behind.height"},
        {bench_item(&bench, "tanks", 0), NULL, "tanks[\"12\"]"},
        {bench_item(&bench, "lights", 0), NULL, "lights[1]"},
        {bench_item(&bench, "lights", 1), NULL, "lights[\"rear\"]"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        Text path = spec_path(bench.arena, rows[i].item, rows[i].field);
        ck_assert_msg(text_equal(path, text_of(rows[i].path)), "%s: %.*s", rows[i].path,
                      TEXT_ARG(path));
    }
    ck_assert(text_equal(place_text(fact_place(serving, width)), TEXT("24 in")));
    /* what is not stated is missing in its item */
    const Field *use = bench_field(&bench, serving->record, "use");
    ck_assert_uint_eq(source_position(bench.source, fact_place(serving, use).span.start).line, 2);
    Item phantom = {.record = guard->record,
                    .parent = serving,
                    .phantom = true,
                    .field = bench_field(&bench, serving->record, "guard")};
    ck_assert_ptr_null(item_fact(&phantom, bench_field(&bench, guard->record, "height")));
    Place missing = fact_place(&phantom, bench_field(&bench, guard->record, "height"));
    ck_assert_uint_eq(source_position(bench.source, missing.span.start).line, 4);
    bench_close(&bench);
}
END_TEST

/* The order of keys says nothing. */
START_TEST(test_key_order)
{
    Bench bench = bench_usual();
    bench_read(&bench, "openings: [{clear_height: 3 in, name: a, use: entry, clear_width: 4 in}]\n"
                       "menu: x\nhood: none\nexhaust: 3 cfm\nlights: []\nduty: light\n");
    bench_expect(&bench, "");
    const Item *item = bench_item(&bench, "openings", 0);
    bench_expect_value(&bench, item, "clear_height", "3 in");
    bench_expect_value(&bench, item, "clear_width", "4 in");
    bench_expect_value(&bench, item, "use", "entry");
    ck_assert(text_equal(item->key, TEXT("a")));
    bench_expect_value(&bench, bench.spec->unit, "duty", "light");
    bench_expect_value(&bench, bench.spec->unit, "exhaust", "3 cfm");
    bench_close(&bench);
}
END_TEST

/* Control characters are kept in a text, and never reach a message. */
START_TEST(test_control_characters)
{
    Bench bench = bench_usual();
    bench_read(&bench, "menu: \"a\\eb\"\nduty: \"\\e[31m\xe2\x80\xae\"\n");
    bench_expect_value(&bench, bench.spec->unit, "menu", "a\033b");
    bench_expect(&bench, "2:7 unknown word: '?[31m?' is no word of 'duty': one of light < medium "
                         "< extra_heavy\n");
    bench_close(&bench);
}
END_TEST

/* A thousand items of the same name, and none: no pairwise comparing. */
START_TEST(test_many_items)
{
    Bench bench = bench_usual();
    Buffer yaml = buffer_make(bench.arena);
    buffer_string(&yaml, "openings:\n");
    for (int i = 0; i < 30000; i++) {
        buffer_format(&yaml, "- {name: o%d}\n", i == 29999 ? 7 : i);
    }
    bench_read_bytes(&bench, buffer_done(&yaml));
    bench_expect(&bench, "30001:10 duplicate item: two items of this list have the name 'o7' | "
                         "9:10 the first of them\n");
    ck_assert_uint_eq(bench_fact(&bench, bench.spec->unit, "openings")->value.list->count, 30000);
    bench_close(&bench);
}
END_TEST

/* Files in which everything is wrong end soon, and small. */
START_TEST(test_many_faults)
{
    static const struct {
        const char *begin, *again, *end;
    } rows[] = {
        {"", "x%d: 1\n", ""},
        {"openings:\n", "- {clear_width: %d}\n", ""},
        {"openings:\n", "- x%d\n", ""},
        {"tanks: [{}", ", [%d]", "]"},
        {"openings:\n", "- {name: a} # %d\n", ""},
        {"permits:\n", "- {date: %d}\n", ""},
        {"jurisdictions:\n", "- a # %d\n", ""},
        {"built_to:\n", "  x%d: 1 in\n", ""},
        {"variances:\n", "- {section: s%d}\n", ""},
        {"decisions:\n- items:\n", "  - [%d]\n", ""},
        {"hood:\n", "  x%d: 1 in\n", ""},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        Bench bench = bench_usual();
        Arena *arena = arena_new();
        Buffer yaml = buffer_make(arena);
        buffer_string(&yaml, rows[i].begin);
        for (int j = 0; j < 40000; j++) {
            const char *mark = strstr(rows[i].again, "%d");
            buffer_text(&yaml, (Text){rows[i].again, (size_t)(mark - rows[i].again)});
            buffer_format(&yaml, "%d%s", j, mark + 2);
        }
        buffer_string(&yaml, rows[i].end);
        size_t before = arena_used(bench.arena);
        bench_read_bytes(&bench, buffer_done(&yaml));
        ck_assert_uint_ge(bench.diags.errors, 1000);
        ck_assert_uint_le(bench.diags.errors, 1010);
        bool said = false;
        for (const Diagnostic *diag = bench.diags.first; diag != NULL; diag = diag->next) {
            said = said || strcmp(diag->name, "too many faults") == 0;
        }
        ck_assert_msg(said, "row %zu", i);
        ck_assert_uint_lt(arena_used(bench.arena) - before, 64u << 20);
        arena_free(arena);
        bench_close(&bench);
    }
}
END_TEST

/* One length, in all the ways in which a spec may write it. */
START_TEST(test_lengths)
{
    static const char *const same[] = {
        "90-1/2 in",   "90 1/2 in",     "90.5 in",          "7 ft 6-1/2 in", "7'-6 1/2\"",
        "7' 6-1/2\"",  "7'6.5\"",       "90.5\"",           "2298.7 mm",     "2.2987 m",
        "'90-1/2 in'", "\"90-1/2 in\"", "\"7'-6 1/2\\\"\"", "181/2 in",
    };
    Bench bench = bench_usual();
    for (size_t i = 0; i < sizeof same / sizeof same[0]; i++) {
        Text yaml = text_format(bench.arena, "openings:\n  - clear_width: %s\n", same[i]);
        bench_read(&bench, text_string(bench.arena, yaml));
        bench_expect(&bench, "");
        const Fact *fact = bench_fact(&bench, bench_item(&bench, "openings", 0), "clear_width");
        ck_assert_msg(rational_order(fact->value.range.low, RATIONAL(22987, 10000)) == 0, "%s",
                      same[i]);
        ck_assert(!fact->inexact);
    }
    bench_close(&bench);
}
END_TEST

/* Data that no reader of files has made may be nested as it likes: the walk ends. */
START_TEST(test_deep_data)
{
    Bench bench = bench_usual();
    Datum *root = ARENA_NEW(bench.arena, Datum);
    Datum *at = root;
    root->kind = DATUM_MAP;
    for (int i = 0; i < 300; i++) {
        Datum *member = ARENA_NEW(bench.arena, Datum);
        member->kind = DATUM_MAP;
        member->key = i == 0 ? TEXT("hood") : TEXT("behind");
        member->key_place.span = (Span){0, 4};
        at->first = member;
        at->count = 1;
        at = member;
    }
    bench.spec =
        spec_from_data(bench.arena, bench.names, bench.vocabulary, root, NULL, &bench.diags);
    bench_expect(&bench, "nested too deeply: a spec is nested at most 64 deep\n");
    bench_close(&bench);
}
END_TEST

START_TEST(test_slot_limit)
{
    Bench bench = bench_usual();
    Buffer yaml = buffer_make(bench.arena);
    buffer_string(&yaml, "openings: [{}");
    for (int i = 0; i < 190000; i++) {
        buffer_string(&yaml, ",{}");
    }
    buffer_string(&yaml, "]\n");
    bench_read_bytes(&bench, buffer_done(&yaml));
    bench_expect(&bench, "1:11 too many values: a spec has at most 1000000 facts, stated or not, "
                         "in all its items\n");
    bench_close(&bench);
}
END_TEST

Suite *spec_suite(void);

Suite *spec_suite(void)
{
    Suite *suite = suite_create("spec");
    TCase *tcase = tcase_create("spec");
    tcase_add_loop_test(tcase, test_stated, 0, sizeof stated / sizeof stated[0]);
    tcase_add_test(tcase, test_quoted_none);
    tcase_add_test(tcase, test_value_forms);
    tcase_add_test(tcase, test_sizes);
    tcase_add_test(tcase, test_measured_size);
    tcase_add_test(tcase, test_deep_data);
    tcase_add_loop_test(tcase, test_refused, 0, sizeof refused / sizeof refused[0]);
    tcase_add_test(tcase, test_number_traps);
    tcase_add_test(tcase, test_place_within);
    tcase_add_test(tcase, test_sources);
    tcase_add_test(tcase, test_paths);
    tcase_add_test(tcase, test_key_order);
    tcase_add_test(tcase, test_control_characters);
    tcase_add_test(tcase, test_many_items);
    tcase_add_test(tcase, test_many_faults);
    tcase_add_test(tcase, test_lengths);
    tcase_add_test(tcase, test_slot_limit);
    tcase_set_timeout(tcase, 60); /* for sanitizers and valgrind */
    suite_add_tcase(suite, tcase);
    return suite;
}
