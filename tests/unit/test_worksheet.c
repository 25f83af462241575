/* Worksheets: which one a name means, the rows of schedules and sheets (pairs, conditions that are
 * not known, further items), where conditions of each lines hold, and tables on paper. How sheets
 * look is in tests/cases/worksheet. All law here is invented. */
#include <check.h>
#include <string.h>

#include "report/worksheet.h"

#include "law_world.h"

static const char vocabulary[] = "vocabulary bench\n"
                                 "  record sink\n"
                                 "    name text key always present\n"
                                 "    volume volume always present at least 0 gal\n"
                                 "    hot yes/no always present\n"
                                 "    depth length\n"
                                 "  end\n"
                                 "  fact sinks list of sink always present\n"
                                 "  fact tank volume always present at least 0 gal\n"
                                 "end\n";

/* The worksheets of the code, and those of the county between them and the end. */
#define LAW(code, county)                                                       \
    "code trial edition 1\n  vocabulary bench\n  basis invented\n" code "end\n" \
    "jurisdiction state \"State\"\n"                                            \
    "  adopts trial edition 1 in force from 2020-01-01 by \"Act 1\"\nend\n"     \
    "jurisdiction north \"North\" within state\n" county                        \
    "  amends trial edition 1 in force from 2020-01-01 by \"Ord. 1\"\n  end\n"

#define TWO_SINKS                                            \
    "vocabulary: bench\nsinks:\n"                            \
    "  - {name: a, volume: 4 gal, hot: yes, depth: 10 in}\n" \
    "  - {name: b, volume: 6 gal, hot: yes, depth: none}\ntank: 9 gal\n"

typedef struct Sheets {
    World world;
    const Law *law;
    const Review *review;
    const WorksheetResult *list;
    uint32_t count;
    const Worksheet *overflow;
} Sheets;

static Sheets sheets_of(const char *law_text, const char *spec_text)
{
    Arena *arena = arena_new();
    char *whole = text_string(arena, text_format(arena, "%s%s", vocabulary, law_text));
    Sheets sheets = {.world = WORLD(whole)};
    World *world = &sheets.world;
    Day day, last;
    const char *reason;
    ck_assert(date_parse(TEXT("2025-01-01"), &day, &last, &reason));
    const JurisdictionTree *where = library_jurisdiction(world->library, TEXT("north"));
    ck_assert_str_eq(world_errors(world), "");
    LawTree *tree = law_assemble(world->arena, world->library, where, day, &world->diags);
    sheets.law = law_check(world->arena, world->library, tree, false, &world->diags);
    ck_assert_str_eq(world_errors(world), "");
    const Source *source = source_of(world->arena, TEXT("spec.yaml"), text_of(spec_text));
    const Spec *spec =
        spec_read(world->arena, world->names, sheets.law->vocabulary, source, &world->diags);
    ck_assert_str_eq(world_errors(world), "");
    ReviewOptions options = {.on = day, .stage = STAGE_PLAN};
    sheets.review = review_make(world->arena, sheets.law, spec, &options);
    sheets.list =
        review_worksheets(world->arena, sheets.review, NULL, &sheets.count, &sheets.overflow);
    ck_assert_ptr_null(sheets.overflow);
    arena_free(arena);
    return sheets;
}

static void close_sheets(Sheets *sheets)
{
    arena_free(sheets->world.arena);
}

static Text value_of(const Sheets *sheets, const SheetRow *row, uint32_t step)
{
    bool known = false;
    const StepResult *result = &row->steps[step];
    return numbers_value(sheets->world.arena, &result->value, &result->step->value->type,
                         result->step->unit, &known);
}

#define assert_text(text, expected) ck_assert_str_eq(text_string(arena, text), expected)

/* ---- names ---- */

START_TEST(test_the_innermost_worksheet_of_a_name)
{
    Sheets sheets = sheets_of(LAW("  reading plain define half = 2 gal\n"
                                  "  reading other define half = 3 gal\n"
                                  "  worksheet w \"Of the code\" step v \"X\" tank end\n"
                                  "  worksheet r \"Readings\" step v \"X\" half end\n",
                                  "  worksheet w \"Of the county\" step v \"X\" 2 * tank end\n"
                                  "  worksheet own \"Own\" step v \"X\" 3 * r.v end\n"),
                              TWO_SINKS);
    Names *names = sheets.world.names;
    uint32_t count = 0;
    const Worksheet *found = law_worksheet(sheets.law, names_intern(names, TEXT("w")), &count);
    ck_assert_ptr_nonnull(found->jurisdiction);
    ck_assert_uint_eq(count, 1);
    found = law_worksheet(sheets.law, names_intern(names, TEXT("r")), &count);
    ck_assert_ptr_nonnull(found->code);
    ck_assert_uint_eq(count, 2); /* one for each reading */
    ck_assert(found[0].reading != found[1].reading);
    found = law_worksheet(sheets.law, names_intern(names, TEXT("own")), &count);
    ck_assert_uint_eq(count, 2); /* a county's sum under each reading of the code's */
    ck_assert_ptr_null(law_worksheet(sheets.law, names_intern(names, TEXT("z")), &count));
    close_sheets(&sheets);
}
END_TEST

/* ---- rows ---- */

#define PAIRS                                                                                  \
    LAW("  worksheet w \"W\"\n"                                                                \
        "    step all \"All\" total of s.volume for s of sinks in gal\n"                       \
        "    schedule one \"One\" each s of sinks where s.hot\n"                               \
        "      column v \"X\" s.volume in gal column y \"Y\" v + all in gal end\n"             \
        "    schedule two \"Two\" each pair s, t of sinks column v \"X\" s.volume + t.volume " \
        "end\n"                                                                                \
        "  end\n",                                                                             \
        "")

START_TEST(test_rows_and_pairs)
{
    Sheets sheets = sheets_of(PAIRS, TWO_SINKS);
    Arena *arena = sheets.world.arena;
    ck_assert_uint_eq(sheets.count, 1);
    const ScheduleResult *schedules = sheets.list[0].schedules;
    ck_assert_uint_eq(sheets.list[0].schedule_count, 2);
    ck_assert_uint_eq(schedules[0].row_count, 2);
    assert_text(value_of(&sheets, &schedules[0].rows[1], 0), "6 gal");
    assert_text(value_of(&sheets, &schedules[0].rows[1], 1), "16 gal");
    ck_assert_uint_eq(schedules[1].row_count, 1);
    ck_assert_uint_eq(schedules[1].rows[0].item_count, 2);
    assert_text(value_of(&sheets, &schedules[1].rows[0], 0), "10 gal");
    close_sheets(&sheets);
}
END_TEST

START_TEST(test_doubtful_and_further_rows)
{
    Sheets sheets = sheets_of(PAIRS, "vocabulary: bench\nsinks:\n"
                                     "  - {name: a, volume: 4 gal, hot: no}\n"
                                     "  - {name: b, volume: 6 gal}\n"
                                     "  - and more\n");
    Arena *arena = sheets.world.arena;
    const ScheduleResult *one = &sheets.list[0].schedules[0];
    ck_assert_uint_eq(one->row_count, 2); /* b, of which it is not known; further ones */
    assert_text(one->rows[0].items[0]->key, "b");
    ck_assert_ptr_nonnull(one->rows[0].waits);
    ck_assert_ptr_nonnull(one->rows[0].steps);
    ck_assert_ptr_null(one->rows[1].steps);
    uint32_t count = 0;
    const Wanted *wanted = waits_flatten(arena, one->rows[1].waits, &count);
    ck_assert_uint_eq(count, 1);
    ck_assert_uint_eq(wanted[0].reason, REASON_MORE_ITEMS);
    close_sheets(&sheets);
}
END_TEST

START_TEST(test_a_sheet_for_each_item)
{
    const char *law = LAW("  worksheet w \"W\" each s of sinks where s.depth is not none\n"
                          "    step deep \"Deep\" s.depth in ft\n"
                          "    step enough \"Enough\" s.depth >= 1 ft in in end\n",
                          "");
    Sheets sheets = sheets_of(law, TWO_SINKS);
    Arena *arena = sheets.world.arena;
    ck_assert_uint_eq(sheets.count, 1); /* b has none */
    ck_assert_uint_eq(sheets.list[0].row.item_count, 1);
    const StepResult *enough = &sheets.list[0].row.steps[1];
    ck_assert_ptr_nonnull(enough->step->line);
    ck_assert_int_eq(enough->value.truth, TRUTH_FALSE);
    assert_text(enough->step->unit->spelling, "in");
    close_sheets(&sheets);
    Sheets open = sheets_of(law, "vocabulary: bench\ntank: 9 gal\n");
    ck_assert_uint_eq(open.count, 1); /* for the sinks that are not stated */
    ck_assert_ptr_null(open.list[0].row.steps);
    ck_assert_ptr_nonnull(open.list[0].row.waits);
    close_sheets(&open);
    Sheets none = sheets_of(law, "vocabulary: bench\nsinks: []\n");
    ck_assert_uint_eq(none.count, 0);
    close_sheets(&none);
}
END_TEST

/* ---- words ---- */

START_TEST(test_numbers_put_in)
{
    static const struct {
        const char *formula, *numbers;
    } cases[] = {
        {"2 * tank + 1 gal", "2 * 9 gal + 1 gal"},
        {"total of s.volume for s of sinks", "(4 gal + 6 gal)"},
        {"3 * total of s.volume for s of sinks", "3 * (4 gal + 6 gal)"},
        {"greatest of s.volume for s of sinks, or 0 gal if none", "greatest of (4 gal, 6 gal)"},
        {"tank / count of sinks", "9 gal / 2"},
        {"tank * 2 if tank > 8 gal otherwise tank", "9 gal * 2"},
        {"(tank -- the comment\n      + 1 gal) * 2", "(9 gal + 1 gal) * 2"},
        {"least of (s.depth, or 3 in if none) for s of sinks, or 0 in if none",
         "least of (10 in, 3 in)"},
        {"tank >= 2 * tank", "9 gal >= 2 * 9 gal"},
        {"max(tank, 12 gal)", "max(9 gal, 12 gal)"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        Arena *arena = arena_new();
        char *law = text_string(
            arena, text_format(arena, LAW("  worksheet w \"W\" step v \"X\" %s end\n", ""),
                               cases[i].formula));
        Sheets sheets = sheets_of(law, TWO_SINKS);
        Numbers n = {.arena = arena,
                     .review = sheets.review,
                     .again = again_of_sheet(arena, sheets.review, &sheets.list[0]),
                     .sheet = sheets.list[0].worksheet,
                     .told = map_new(arena)};
        assert_text(numbers_words(&n, sheets.list[0].worksheet->steps[0].value->a),
                    cases[i].numbers);
        close_sheets(&sheets);
        arena_free(arena);
    }
}
END_TEST

START_TEST(test_bare_words)
{
    Arena *arena = arena_new();
    assert_text(bare_words(TEXT("(1 + 2)")), "1 + 2");
    assert_text(bare_words(TEXT("(1) + (2)")), "(1) + (2)");
    assert_text(bare_words(TEXT("1 + (2)")), "1 + (2)");
    assert_text(bare_words(TEXT("")), "");
    arena_free(arena);
}
END_TEST

static Text table_at(Arena *arena, unsigned width)
{
    static const Text heads[] = {{"Item", 4}, {"Needed volume", 13}};
    static const bool right[] = {false, true};
    static const Text cells[] = {{"hand sink", 9}, {"4 gal", 5}, {"w", 1}, {"1,250 gal", 9}};
    Paper paper = paper_make(arena, (Style){width, false});
    paper_table(&paper, 2, &(PaperTable){heads, right, 2, cells, 2});
    return buffer_done(&paper.out);
}

START_TEST(test_tables_fit_the_paper)
{
    Arena *arena = arena_new();
    assert_text(table_at(arena, 40), "  Item       Needed volume\n"
                                     "  ---------  -------------\n"
                                     "  hand sink          4 gal\n"
                                     "  w              1,250 gal\n");
    assert_text(table_at(arena, 20), "  Item        Needed\n"
                                     "              volume\n"
                                     "  --------  --------\n"
                                     "  hand         4 gal\n"
                                     "  sink\n"
                                     "  w            1,250\n"
                                     "                 gal\n");
    assert_text(table_at(arena, 10), "  hand\n    sink\n    Needed\n      volume:\n      4 gal\n"
                                     "  w\n    Needed\n      volume:\n      1,250 gal\n");
    arena_free(arena);
}
END_TEST

Suite *worksheet_suite(void)
{
    Suite *suite = suite_create("worksheet");
    TCase *tcase = tcase_create("worksheet");
    tcase_add_test(tcase, test_the_innermost_worksheet_of_a_name);
    tcase_add_test(tcase, test_rows_and_pairs);
    tcase_add_test(tcase, test_doubtful_and_further_rows);
    tcase_add_test(tcase, test_a_sheet_for_each_item);
    tcase_add_test(tcase, test_numbers_put_in);
    tcase_add_test(tcase, test_bare_words);
    tcase_add_test(tcase, test_tables_fit_the_paper);
    suite_add_tcase(suite, tcase);
    return suite;
}
