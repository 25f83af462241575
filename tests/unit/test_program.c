/* program: the program's own keys in a spec (names, dates, permits, tolerances, what officials
 * decided), and settings put over a spec by worked examples and by the command line. */
#include "spec_help.h"

static const char full[] =
    "vocabulary: mobile_unit\n"
    "unit_name: Lantern Noodle\n"
    "builder: ' Galley Works '\n"
    "cycle: \"2\"\n"
    "jurisdictions: [quillmark, osprey_fork]\n"
    "submitted: 2026-03-01\n"
    "permits:\n"
    "  - {jurisdiction: quillmark, date: 2019-06}\n"
    "  - {jurisdiction: osprey_fork, date: none}\n"
    "built_to: {sheet_metal: 1/16 in, framing: 1/4 in}\n"
    "approvals:\n"
    "  - {of: plastic pipe, jurisdiction: quillmark, date: 2025-01-01, document: A-9}\n"
    "decisions:\n"
    "  - section: 6-1\n"
    "    part: size\n"
    "    line: width\n"
    "    jurisdiction: quillmark\n"
    "    office: plan review\n"
    "    decision: refused\n"
    "    date: 2025-02-03\n"
    "    document: D-1\n"
    "    items: [serving, pickup]\n"
    "variances:\n"
    "  - section: 6-14.2(B)\n"
    "    jurisdiction: quillmark\n"
    "    office: health\n"
    "    granted: 2025-01-01\n"
    "    expires: 2027-12-31\n"
    "    document: V-7\n"
    "    items: all items\n"
    "    limit: 26 in\n"
    "  - {section: 3-1, jurisdiction: quillmark, office: health, granted: 2025-01-01, expires: "
    "none, document: V-8, limit: 12 x 12 x 10 in}\n"
    "  - {section: 3-2, jurisdiction: quillmark, office: health, granted: 2025-01-01, document: "
    "V-9, limit: 2026-01-01, items: serving}\n";

static void check_text(Text found, const char *expected)
{
    ck_assert_msg(text_equal(found, text_of(expected)), "expected '%s', found '%.*s'", expected,
                  TEXT_ARG(found));
}

START_TEST(test_full)
{
    Bench bench = bench_usual();
    bench_read(&bench, full);
    bench_expect(&bench, "");
    const Spec *spec = bench.spec;
    check_text(spec->unit_name, "Lantern Noodle");
    check_text(spec->builder, "Galley Works");
    check_text(spec->cycle, "2");
    ck_assert_uint_eq(spec->jurisdiction_count, 2);
    check_text(spec->jurisdictions[1], "osprey_fork");
    check_text(place_text(spec->jurisdiction_places[1]), "osprey_fork");
    ck_assert(spec->has_submitted);
    ck_assert_int_eq(spec->submitted, date_day(2026, 3, 1));
    ck_assert(spec->permits_stated);
    ck_assert_uint_eq(spec->permit_count, 1); /* none: no permit there */
    ck_assert_int_eq(spec->permits[0].first, date_day(2019, 6, 1));
    ck_assert_int_eq(spec->permits[0].last, date_day(2019, 6, 30));
    ck_assert_uint_eq(spec->tolerance_count, 2);
    check_text(spec->tolerances[0].class->text, "sheet_metal");
    ck_assert_int_eq(rational_order(spec->tolerances[1].amount, RATIONAL(635, 100000)), 0);
    ck_assert_uint_eq(spec->decision_count, 5);
    bench_close(&bench);
}
END_TEST

/* Variances, then decisions, then approvals, whatever the order of the keys. */
START_TEST(test_decisions)
{
    Bench bench = bench_usual();
    bench_read(&bench, full);
    const Decision *variance = &bench.spec->decisions[0];
    ck_assert_uint_eq(variance->kind, DECISION_VARIANCE);
    check_text(variance->section, "6-14.2(B)");
    check_text(variance->office, "health");
    check_text(variance->part, "");
    ck_assert_int_eq(variance->from, date_day(2025, 1, 1));
    ck_assert_int_eq(variance->until, date_day(2027, 12, 31));
    ck_assert(variance->all_items);
    ck_assert(variance->has_limit);
    ck_assert_uint_eq(variance->limit.kind, VALUE_RANGE);
    ck_assert_int_eq(rational_order(variance->limit.range.low, RATIONAL(6604, 10000)), 0);
    check_text(variance->limit_unit->spelling, "in");
    ck_assert_uint_eq(source_position(bench.source, variance->place.span.start).line, 24);
    ck_assert_int_eq(bench.spec->decisions[1].until, DAY_FOREVER);
    ck_assert_uint_eq(bench.spec->decisions[1].limit.kind, VALUE_SIZE);
    const Decision *dated = &bench.spec->decisions[2];
    ck_assert_int_eq(rational_order(dated->limit.range.low, RATIONAL(date_day(2026, 1, 1), 1)), 0);
    check_text(dated->items->name, "serving");
    const Decision *decision = &bench.spec->decisions[3];
    ck_assert_uint_eq(decision->kind, DECISION_REFUSED);
    check_text(decision->part, "size");
    check_text(decision->line, "width");
    check_text(decision->items->next->name, "pickup");
    check_text(place_text(decision->items->next->place), "pickup");
    ck_assert(!decision->all_items);
    const Decision *approval = &bench.spec->decisions[4];
    ck_assert_uint_eq(approval->kind, DECISION_APPROVAL);
    check_text(approval->of, "plastic pipe");
    check_text(approval->document, "A-9");
    bench_close(&bench);
}
END_TEST

START_TEST(test_left_out)
{
    Bench bench = bench_usual();
    bench_read(&bench, "menu: x\n");
    ck_assert(!bench.spec->permits_stated);
    ck_assert(!bench.spec->has_submitted);
    check_text(bench.spec->unit_name, "");
    ck_assert_uint_eq(bench.spec->decision_count, 0);
    bench_read(&bench, "permits: none\nbuilt_to: 1/8 in\njurisdictions: quillmark\nunit_name:\n"
                       "submitted: ~\nvariances: none\ndecisions: []\napprovals:\n");
    bench_expect(&bench, "");
    ck_assert(bench.spec->permits_stated);
    ck_assert_uint_eq(bench.spec->permit_count, 0);
    ck_assert_uint_eq(bench.spec->tolerance_count, 1);
    ck_assert_ptr_null(bench.spec->tolerances[0].class);
    ck_assert_uint_eq(bench.spec->jurisdiction_count, 1);
    bench_close(&bench);
}
END_TEST

typedef struct Case {
    const char *yaml;
    const char *expected;
} Case;

static const Case refused[] = {
    {"vocabulary: boats\n",
     "1:13 unknown vocabulary: the spec is read with vocabulary 'mobile_unit', not 'boats'\n"},
    {"unit_name: [x]\n", "1:12 wrong kind: a text is due, not a list\n"},
    {"submitted: 2026-03\n", "1:12 not a date: '2026-03' is not a date in full: year, month and "
                             "day are due\n"},
    {"submitted: [2026-03-01]\n", "1:12 wrong kind: a date is due, not a list\n"},
    {"submitted: soon\n", "1:12 not a date: 'soon' is no date: a date is written year-month-day, "
                          "as 2025-07-01, 2025-07 or 2025\n"},
    {"jurisdictions: [a, b, a]\n", "1:23 duplicate item: 'a' is listed twice\n"},
    {"permits: no\n",
     "1:10 wrong kind: a list of permits is due, not 'no' | write 'none' for a new "
     "unit, or '- {jurisdiction: ..., date: ...}'\n"},
    {"permits: [2019]\n", "1:11 wrong kind: a map that describes a permit is due, not '2019'\n"},
    {"permits: [{jurisdiction: a, date: []}]\n", "1:35 wrong kind: a date is due, not a list\n"},
    {"permits: [{jurisdiction: a}]\n", "1:11 missing key: a permit names its 'date'\n"},
    {"permits: [{date: 2019}]\n", "1:11 missing key: a permit names its 'jurisdiction'\n"},
    {"permits: [{jurisdiction: a, date: 2019, dat: 3}]\n",
     "1:41 unknown key: a permit has no 'dat' | did you mean 'date'?\n"},
    {"permits: [{jurisdiction: a, date: 2019}, {jurisdiction: a, date: 2020}]\n",
     "1:42 duplicate item: two permits of 'a' | 1:11 the first of them\n"},
    {"built_to: {sheet_meta: 1/16 in}\n", "1:12 unknown key: nothing in the vocabulary is built as "
                                          "'sheet_meta' | did you mean 'sheet_metal'?\n"},
    {"built_to: [1/8 in]\n", "1:11 wrong kind: a length is due, not a list\n"},
    {"built_to: x\n", NULL},
    {"variances: [x]\n", "1:13 wrong kind: a map that describes a variance is due, not 'x'\n"},
    {"decisions: [x]\n", "1:13 wrong kind: a map that describes a decision is due, not 'x'\n"},
    {"approvals: [x]\n", "1:13 wrong kind: a map that describes an approval is due, not 'x'\n"},
    {"variances:\n  - {section: a, jurisdiction: b, document: c, office: d, granted: 2025-01-02,\n"
     "     limit: [3 in]}\n",
     "3:13 wrong kind: a quantity, a date or a size is due, not a list\n"},
    {"built_to: 3 gal\n",
     "1:11 wrong unit: '3 gal' is no tolerance: a length, as 1/8 in, is due\n"},
    {"built_to: 1/8\n", "1:11 wrong unit: '1/8' is no tolerance: a length, as 1/8 in, is due\n"},
    {"variances: {section: x}\n", "1:12 wrong kind: a list of variances is due, not a map\n"},
    {"variances: [{}]\n", "1:13 missing key: a variance names its 'section'\n"
                          "1:13 missing key: a variance names its 'jurisdiction'\n"
                          "1:13 missing key: a variance names its 'document'\n"
                          "1:13 missing key: a variance names its 'office'\n"
                          "1:13 missing key: a variance names its 'granted'\n"},
    {"variances:\n  - {section: a, jurisdiction: b, document: c, office: d, granted: 2025-01-02,\n"
     "     expires: 2025-01-01}\n",
     "3:15 not a date: a variance expires before it begins\n"},
    {"variances:\n  - {section: a, jurisdiction: b, document: c, office: d, granted: 2025-01-02,\n"
     "     limit: 3 in +- 1 in}\n",
     "3:13 wrong limit: a limit is exact: '3 in +- 1 in' is a range\n"},
    {"variances:\n  - {section: a, jurisdiction: b, document: c, office: d, granted: 2025-01-02,\n"
     "     items: {a: b}}\n",
     "3:13 wrong kind: a list of names is due, not a map | or write 'all items'\n"},
    {"variances:\n  - {section: a, jurisdiction: b, document: c, office: d, granted: 2025-01-02,\n"
     "     limt: 3}\n",
     "3:6 unknown key: a variance has no 'limt' | did you mean 'limit'?\n"},
    {"decisions: [{section: a, jurisdiction: b, document: c, office: d, date: 2025-01-02, "
     "decision: maybe}]\n",
     "1:95 unknown word: 'maybe' is no decision | decisions: approved, refused\n"},
    {"approvals: [{jurisdiction: b, document: c, date: 2025-01-02}]\n",
     "1:13 missing key: an approval names its 'of'\n"},
};

START_TEST(test_refused)
{
    Bench bench = bench_usual();
    bench_read(&bench, refused[_i].yaml);
    if (refused[_i].expected == NULL) { /* in the words of the quantity's reader */
        ck_assert_uint_eq(bench.diags.errors, 1);
    } else {
        bench_expect(&bench, refused[_i].expected);
    }
    bench_close(&bench);
}
END_TEST

START_TEST(test_approved)
{
    Bench bench = bench_usual();
    bench_read(&bench, "decisions: [{section: a, jurisdiction: b, document: c, office: d, date: "
                       "2025-01-02, decision: approved, items: all items}]\nbuilt_to: {framing: "
                       "none}\n");
    bench_expect(&bench, "");
    ck_assert_uint_eq(bench.spec->decisions[0].kind, DECISION_APPROVED);
    ck_assert(bench.spec->decisions[0].all_items);
    ck_assert_uint_eq(bench.spec->tolerance_count, 0);
    bench_close(&bench);
}
END_TEST

/* What is wrong with its paper is not taken as recorded. */
START_TEST(test_faulty_paper)
{
    Bench bench = bench_usual();
    bench_read(&bench, "variances: [{section: a}]\npermits: [{jurisdiction: a, date: x}]\n");
    ck_assert_uint_eq(bench.spec->decision_count, 0);
    ck_assert_uint_eq(bench.spec->permit_count, 0);
    bench_close(&bench);
}
END_TEST

/* No fact can have the name of one of these keys: the vocabulary refuses all of them. */
START_TEST(test_keys_are_taken)
{
    static const char *const keys[] = {"vocabulary",    "unit_name", "builder",  "cycle",
                                       "jurisdictions", "submitted", "permits",  "built_to",
                                       "variances",     "decisions", "approvals"};
    Arena *arena = arena_new();
    for (size_t i = 0; i < sizeof keys / sizeof keys[0]; i++) {
        Names *names = names_new(arena);
        Diagnostics diags = diagnostics_make(arena);
        FieldTree fact = {.name = names_intern(names, text_of(keys[i])),
                          .type = {.kind = TYPE_TEXT}};
        VocabularyTree tree = {.name = names_intern(names, TEXT("v")), .facts = &fact};
        (void)vocabulary_make(arena, names, &tree, NULL, &diags);
        ck_assert_msg(diags.errors == 1, "%s", keys[i]);
    }
    arena_free(arena);
}
END_TEST

/* ---- settings ---- */

static const char base[] = "openings:\n"
                           "  - name: serving\n"
                           "    clear_width: 24 in\n"
                           "    guard: none\n"
                           "  - {name: pickup, clear_width: {value: 20 in, sheet: A-1}}\n"
                           "tanks: [{number: 1, lids: 2}]\n"
                           "menu: noodles\n";

/* Reads `yaml`, puts the settings over it and reads the result. */
static void apply(Bench *bench, const char *yaml, const char *settings)
{
    bench_clear(bench);
    bench->source = source_of(bench->arena, TEXT("s.yaml"), text_of(yaml));
    const Datum *data = spec_data(bench->arena, bench->source, &bench->diags);
    const Source *with = source_of(bench->arena, TEXT("with"), text_of(settings));
    const SettingTree *tree =
        syntax_parse_settings(bench->arena, bench->names, with, &bench->diags);
    ck_assert_msg(tree != NULL, "%.*s", TEXT_ARG(bench_messages(bench)));
    const Datum *changed =
        spec_apply(bench->arena, bench->vocabulary, data, tree, with, &bench->diags);
    bench->spec = spec_from_data(bench->arena, bench->names, bench->vocabulary, changed,
                                 data == NULL ? with : bench->source, &bench->diags);
}

START_TEST(test_settings)
{
    Bench bench = bench_usual();
    apply(&bench, base,
          "openings[\"serving\"].clear_width = 25 in, openings[\"pickup\"].clear_width = 21 in, "
          "tanks[\"1\"].lids = none, hood.height = 8 in, hood.behind.height = 1 in, "
          "exhaust = 1,400 cfm, permits = none, duty = light, tanks[\"1\"].lids = 4, "
          "lights = [{lamp: \"a\"}, and more], openings[\"pickup\"] = {name: \"pickup\", use: "
          "entry}");
    bench_expect(&bench, "");
    const Item *serving = bench_item(&bench, "openings", 0);
    bench_expect_value(&bench, serving, "clear_width", "25 in");
    bench_expect_value(&bench, serving, "guard", "none");
    const Item *pickup = bench_item(&bench, "openings", 1);
    bench_expect_value(&bench, pickup, "clear_width", "unstated"); /* a whole item is replaced */
    bench_expect_value(&bench, pickup, "use", "entry");
    bench_expect_value(&bench, bench_item(&bench, "tanks", 0), "lids", "4"); /* the last one */
    const Item *hood = bench_fact(&bench, bench.spec->unit, "hood")->value.item;
    bench_expect_value(&bench, hood, "height", "8 in");
    bench_expect_value(&bench, bench_fact(&bench, hood, "behind")->value.item, "height", "1 in");
    bench_expect_value(&bench, bench.spec->unit, "exhaust", "1,400 cfm");
    bench_expect_value(&bench, bench.spec->unit, "menu", "noodles");
    bench_expect_value(&bench, bench.spec->unit, "lights", "1 and more");
    ck_assert(bench.spec->permits_stated);
    /* a changed fact is still shown at its line of the spec */
    Place place = fact_place(serving, bench_field(&bench, serving->record, "clear_width"));
    ck_assert_ptr_eq(place.source, bench.source);
    ck_assert_uint_eq(source_position(place.source, place.span.start).line, 3);
    /* an added one, where it was added to */
    place = fact_place(bench.spec->unit, bench_field(&bench, bench.spec->unit->record, "duty"));
    ck_assert_ptr_eq(place.source, bench.source);
    bench_close(&bench);
}
END_TEST

START_TEST(test_base_is_kept)
{
    Bench bench = bench_usual();
    bench.source = source_of(bench.arena, TEXT("s.yaml"), text_of(base));
    const Datum *data = spec_data(bench.arena, bench.source, &bench.diags);
    const Source *with = source_of(bench.arena, TEXT("with"),
                                   TEXT("openings[\"serving\"].clear_width = 25 in, menu = none"));
    const SettingTree *tree = syntax_parse_settings(bench.arena, bench.names, with, &bench.diags);
    ck_assert_ptr_nonnull(
        spec_apply(bench.arena, bench.vocabulary, data, tree, with, &bench.diags));
    bench.spec = spec_from_data(bench.arena, bench.names, bench.vocabulary, data, bench.source,
                                &bench.diags);
    bench_expect(&bench, "");
    bench_expect_value(&bench, bench_item(&bench, "openings", 0), "clear_width", "24 in");
    bench_expect_value(&bench, bench.spec->unit, "menu", "noodles");
    bench_close(&bench);
}
END_TEST

/* The source of a replaced value is not that of the new one. */
START_TEST(test_source_is_dropped)
{
    Bench bench = bench_usual();
    apply(&bench, base, "openings[\"pickup\"].clear_width = 21 in");
    bench_expect(&bench, "");
    const Item *pickup = bench_item(&bench, "openings", 1);
    bench_expect_value(&bench, pickup, "clear_width", "21 in");
    ck_assert_ptr_null(bench_fact(&bench, pickup, "clear_width")->provenance);
    bench_close(&bench);
}
END_TEST

START_TEST(test_no_base)
{
    Bench bench = bench_usual();
    apply(&bench, "", "tanks = [{number: 1, capacity: 40 gal}], tanks[\"1\"].lids = 2");
    bench_expect(&bench, "");
    bench_expect_value(&bench, bench_item(&bench, "tanks", 0), "capacity", "40 gal");
    bench_expect_value(&bench, bench_item(&bench, "tanks", 0), "lids", "2");
    bench_close(&bench);
}
END_TEST

static const Case misled[] = {
    {"opennings = none",
     "1:1 unknown fact: the vocabulary has no fact 'opennings' | 34:8 did you mean 'openings'?\n"},
    {"permit = none",
     "1:1 unknown fact: the vocabulary has no fact 'permit' | did you mean 'permits'?\n"},
    {"hood.heigth = 3 in",
     "1:6 unknown fact: 'guard' has no field 'heigth' | 16:5 did you mean 'height'?\n"},
    {"hood.behind.heigth = 3 in",
     "1:13 unknown fact: 'guard' has no field 'heigth' | 16:5 did you mean 'height'?\n"},
    {"openings[\"servng\"].clear_width = 3 in",
     "1:1 unknown path: 'openings' has no item named 'servng' | did you mean 'serving'?\n"},
    {"lights[\"a\"].lamp = \"x\"", "1:1 unknown path: 'lights' has no item named 'a'\n"},
    {"hood[\"a\"].height = 3 in", "1:1 unknown path: 'hood' is no list whose items have names\n"},
    {"opennings[\"a\"].name = \"b\"",
     "1:1 unknown fact: the vocabulary has no fact 'opennings' | 34:8 did you mean 'openings'?\n"},
    {"openings.clear_width = 3 in",
     "1:1 unknown path: 'openings' is a list: name the item, openings[\"...\"]\n"},
    {"menu.x = 3", "1:1 unknown path: 'menu' has no fields: it is a text\n"},
    {"built_to.framing = 1/8 in", "1:1 unknown path: 'built_to' is set as a whole\n"},
    {"openings[\"serving\"].guard.height = 3 in",
     "1:21 unknown path: 'guard' is stated to be none: set it as a whole\n"},
    {"openings[\"serving\"].clear_width = 3 gal",
     "1:35 wrong unit: '3 gal' is a volume: a length is due | units: in, ft, yd, mi\n"},
    {"hood = {height: 3 in, height: 4 in}",
     "1:23 duplicate key: 'height' is stated twice | 1:17 first stated here\n"},
};

START_TEST(test_misled)
{
    Bench bench = bench_usual();
    apply(&bench, base, misled[_i].yaml);
    bench_expect(&bench, misled[_i].expected);
    bench_close(&bench);
}
END_TEST

Suite *program_suite(void);

Suite *program_suite(void)
{
    Suite *suite = suite_create("program");
    TCase *tcase = tcase_create("program");
    tcase_add_test(tcase, test_full);
    tcase_add_test(tcase, test_decisions);
    tcase_add_test(tcase, test_left_out);
    tcase_add_loop_test(tcase, test_refused, 0, sizeof refused / sizeof refused[0]);
    tcase_add_test(tcase, test_approved);
    tcase_add_test(tcase, test_faulty_paper);
    tcase_add_test(tcase, test_keys_are_taken);
    tcase_add_test(tcase, test_settings);
    tcase_add_test(tcase, test_base_is_kept);
    tcase_add_test(tcase, test_source_is_dropped);
    tcase_add_test(tcase, test_no_base);
    tcase_add_loop_test(tcase, test_misled, 0, sizeof misled / sizeof misled[0]);
    suite_add_tcase(suite, tcase);
    return suite;
}
