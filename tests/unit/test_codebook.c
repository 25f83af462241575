/* report/codebook: sections in order, the text in force, windows, history; report/html: escapes.
 * Expected texts follow docs/language.md, sections 5 to 8; HTML the syntax of its standard. All law
 * is invented. */
#include <string.h>

#include "law_world.h"
#include "report/codebook.h"
#include "report/html.h"

static const JurisdictionTree *find(World *world, const char *name)
{
    const JurisdictionTree *found = library_jurisdiction(world->library, text_of(name));
    ck_assert_ptr_nonnull(found);
    return found;
}

static const LawTree *law_on(World *world, const char *name, int year, int month, int day)
{
    const LawTree *law = law_assemble(world->arena, world->library, find(world, name),
                                      date_day(year, month, day), &world->diags);
    ck_assert_uint_eq(world->diags.errors, 0);
    return law;
}

static void expect_text(World *world, Text got, const char *want)
{
    ck_assert_str_eq(text_string(world->arena, got), want);
}

/* "2 3* 3.1 4": a star for what is deleted. */
static Text entries_words(World *world, const LawTree *law)
{
    uint32_t count = 0;
    const BookEntry *entries = book_entries(world->arena, law, law->codes[0], &count);
    Buffer out = buffer_make(world->arena);
    for (uint32_t i = 0; i < count; i++) {
        ck_assert((entries[i].deleted == NULL) != (entries[i].in_force == NULL));
        buffer_format(&out, "%s%.*s%s", i > 0 ? " " : "", TEXT_ARG(entries[i].section->number),
                      entries[i].deleted != NULL ? "*" : "");
    }
    return buffer_done(&out);
}

/* ---- order ---- */

START_TEST(deleted_sections_stand_where_they_stood)
{
    World world = WORLD(VOCABULARY, CODE("1", SECTION("2") SECTION("3") SECTION("10") SECTION("4")),
                        STATE(ADOPTS("1", "2020-01-01", "R 1") "insert " SECTION(
                            "3.1") "insert " SECTION("3.2") "insert " SECTION("1")),
                        COUNTY(AMENDS("1", "2021-01-01", "O 1") "delete \"3\"\n"
                                                                "delete \"4\"\n"));
    /* a target covers subdivisions: "3" takes 3.1 and 3.2 along */
    expect_text(&world, entries_words(&world, law_on(&world, "quillmark", 2021, 1, 1)),
                "1 2 3* 3.1* 3.2* 10 4*");
    expect_text(&world, entries_words(&world, law_on(&world, "halloway", 2021, 1, 1)),
                "1 2 3 3.1 3.2 10 4");
    world_free(&world);
}
END_TEST

START_TEST(all_sections_deleted)
{
    World world = WORLD(VOCABULARY, CODE("1", SECTION("2") SECTION("3")),
                        STATE(ADOPTS("1", "2020-01-01", "R 1") "delete \"3\", \"2\"\n"));
    expect_text(&world, entries_words(&world, law_on(&world, "halloway", 2020, 1, 1)), "2* 3*");
    world_free(&world);
}
END_TEST

/* ---- texts ---- */

static Text clauses(World *world, const LawTree *law, uint32_t section, uint32_t text, size_t width)
{
    return book_clauses(world->arena, &law->sections[section].texts[text], width);
}

START_TEST(limits_stand_in_the_text)
{
    World world = WORLD(
        VOCABULARY,
        CODE("1", "section \"1\" \"A\"\n"
                  "  basis invented\n"
                  "  shall one: width <= 24 in\n"
                  "  except to one where height > 2 in shall two: width <= 30 in\n"
                  "end\n"),
        STATE(ADOPTS("1", "2020-01-01", "R 1") "amend \"1\" limit one to 20 in\n"
                                               "amend \"1\" limit two to 4 in if height < 3 in "
                                               "otherwise height\n"));
    const LawTree *law = law_on(&world, "halloway", 2020, 1, 1);
    /* docs/language.md, section 2: `if ... otherwise` binds loosest, so it needs parentheses */
    expect_text(&world, clauses(&world, law, 0, 0, 100),
                "shall   one: width <= 20 in\n"
                "except  to one where height > 2 in\n"
                "        shall two: width <= (4 in if height < 3 in otherwise height)");
    world_free(&world);
}
END_TEST

START_TEST(windows_name_the_units)
{
    World world =
        WORLD(VOCABULARY, CODE("1", SECTION("1")),
              STATE(ADOPTS("1", "2020-01-01", "R 1") "locally at least as strict in \"1\"\n"),
              COUNTY(AMENDS("1", "2021-01-01",
                            "O 1") "amend \"1\" to read\n"
                                   "for units permitted on or after 2021-01-01\n"
                                   "shall width <= 20 in end\n" AMENDS(
                                       "1", "2022-01-01",
                                       "O 2") "amend \"1\" to read\n"
                                              "for units permitted on or after 2022-01-01\n"
                                              "shall width <= 10 in end\n"));
    const LawTree *law = law_on(&world, "quillmark", 2022, 1, 1);
    const SectionTreeInForce *section = &law->sections[0];
    static const char *const windows[] = {
        "for units permitted before 2021-01-01",
        "for units permitted on or after 2021-01-01 and before 2022-01-01",
        "for units permitted on or after 2022-01-01",
        "kept beside it by State of Halloway, locally at least as strict, for units permitted on "
        "or after 2021-01-01"};
    ck_assert_uint_eq(section->text_count, sizeof windows / sizeof *windows);
    for (uint32_t i = 0; i < section->text_count; i++) {
        expect_text(&world, book_window(world.arena, law, section, &section->texts[i]), windows[i]);
    }
    ck_assert(!book_same_history(&section->texts[0], &section->texts[1]));
    ck_assert(book_same_history(&section->texts[0], &section->texts[0]));
    world_free(&world);
}
END_TEST

START_TEST(who_is_exempt_is_told)
{
    World world = WORLD(VOCABULARY,
                        CODE("1", "section \"1\" not for units under permit before 1998-01-01\n"
                                  "shall width <= 24 in end\n"
                                  "section \"2\" not for units under permit on 1998-01-01\n"
                                  "shall width <= 24 in end\n"),
                        STATE(ADOPTS("1", "2020-01-01", "R 1")));
    const LawTree *law = law_on(&world, "halloway", 2020, 1, 1);
    expect_text(&world, book_window(world.arena, law, &law->sections[0], law->sections[0].texts),
                "not for units under permit before 1998-01-01");
    expect_text(&world, book_window(world.arena, law, &law->sections[1], law->sections[1].texts),
                "not for units under permit on 1998-01-01");
    world_free(&world);
}
END_TEST

/* ---- history ---- */

/* "1: 2020-01-01 in, 2021-01-01 deleted, 2022-01-01 absent" for each section. */
static Text history_told(World *world, const char *name, const char *number, const char *code)
{
    uint32_t count = 0;
    const JurisdictionTree *jurisdiction = find(world, name);
    const Day *days = law_dates(world->arena, world->library, jurisdiction, &count);
    const LawTree **laws = ARENA_ARRAY(world->arena, const LawTree *, count + 1);
    for (uint32_t i = 0; i < count; i++) {
        laws[i] = law_assemble(world->arena, world->library, jurisdiction, days[i], &world->diags);
    }
    ck_assert_uint_eq(world->diags.errors, 0);
    BookHistory history = {.library = world->library,
                           .jurisdiction = jurisdiction,
                           .laws = laws,
                           .law_count = count,
                           .code = code == NULL ? NULL : names_find(world->names, text_of(code))};
    if (!history_add(world->arena, &history, text_of(number), NULL)) {
        return text_format(world->arena, "none; near '%.*s'",
                           TEXT_ARG(history_nearest(world->arena, &history, text_of(number))));
    }
    (void)history_add(world->arena, &history, text_of(number), NULL); /* adds nothing more */
    static const char *const words[] = {"absent", "in", "deleted"};
    Buffer out = buffer_make(world->arena);
    for (uint32_t i = 0; i < history.track_count; i++) {
        const BookTrack *track = &history.tracks[i];
        buffer_format(&out, "%s%.*s:", i > 0 ? "; " : "", TEXT_ARG(track->number));
        for (uint32_t s = 0; s < track->state_count; s++) {
            const BookState *state = &track->states[s];
            buffer_format(&out, " %.*s %s", TEXT_ARG(date_print(world->arena, state->from)),
                          words[state->kind]);
            Day until = s + 1 < track->state_count ? track->states[s + 1].from - 1 : DAY_FOREVER;
            ck_assert_int_eq(state->until, until);
        }
    }
    return buffer_done(&out);
}

START_TEST(states_of_sections)
{
    World world = WORLD(
        VOCABULARY, CODE("1", SECTION("1") SECTION("2")), CODE("2", SECTION("1.1") SECTION("2")),
        STATE(ADOPTS("1", "2020-01-01", "R 1") ADOPTS("2", "2023-01-01", "R 2")),
        COUNTY("amends larder edition 1 in force from 2021-01-01 until 2021-12-31 by \"O 1\"\n"
               "delete \"1\"\n"
               "insert " SECTION("9")));
    /* deleted while the ordinance lasts, gone with the edition; the number covers 1.1 */
    expect_text(&world, history_told(&world, "quillmark", "1", NULL),
                "1: 2020-01-01 in 2021-01-01 deleted 2022-01-01 in 2023-01-01 absent; "
                "1.1: 2023-01-01 in");
    /* a new edition is a new state, though it says the same */
    expect_text(&world, history_told(&world, "quillmark", "2", NULL),
                "2: 2020-01-01 in 2023-01-01 in");
    /* a number that existed for one year only */
    expect_text(&world, history_told(&world, "quillmark", "9", NULL),
                "9: 2021-01-01 in 2022-01-01 absent");
    /* the county's ordinance is no matter of the state */
    expect_text(&world, history_told(&world, "halloway", "1", NULL),
                "1: 2020-01-01 in 2023-01-01 absent; 1.1: 2023-01-01 in");
    expect_text(&world, history_told(&world, "quillmark", "1.2", NULL), "none; near '1.1'");
    world_free(&world);
}
END_TEST

START_TEST(one_code_of_several)
{
    World world =
        WORLD(VOCABULARY, CODE("1", SECTION("1")), "code basin edition 1\n" SECTION("1") "end\n",
              STATE(ADOPTS("1", "2020-01-01",
                           "R 1") "adopts basin edition 1 in force from 2021-01-01 by \"R 2\"\n"));
    expect_text(&world, history_told(&world, "halloway", "1", NULL),
                "1: 2021-01-01 in; 1: 2020-01-01 in");
    expect_text(&world, history_told(&world, "halloway", "1", "larder"), "1: 2020-01-01 in");
    world_free(&world);
}
END_TEST

/* ---- pages ---- */

START_TEST(pages_are_escaped)
{
    Arena *arena = arena_new();
    Buffer out = buffer_make(arena);
    html_text(&out, TEXT("<a href=\"x\">'&'\x1b[1m\n\xe2\x80\xae"));
    ck_assert_str_eq(text_string(arena, buffer_done(&out)),
                     "&lt;a href=&quot;x&quot;&gt;&#39;&amp;&#39;&lt;U+001B&gt;[1m &lt;U+202E&gt;");
    out = buffer_make(arena);
    html_lines(&out, TEXT("a\n  <b>\n"));
    ck_assert_str_eq(text_string(arena, buffer_done(&out)), "a\n  &lt;b&gt;\n");
    out = buffer_make(arena);
    html_words(&out, TEXT("from 2025-07-01, not 12025-07-01 or 2025-07"));
    ck_assert_str_eq(text_string(arena, buffer_done(&out)),
                     "from <span class=\"day\">2025-07-01</span>, not 12025-07-01 or 2025-07");
    /* different numbers give different names, whatever stands in them */
    ck_assert_str_eq(text_string(arena, html_id(arena, TEXT("5-1(A) part x"))),
                     "5-1~28A~29~20part~20x");
    ck_assert_str_eq(text_string(arena, html_id(arena, TEXT("\"~28"))), "~22~7e28");
    arena_free(arena);
}
END_TEST

START_TEST(a_page_is_whole)
{
    Arena *arena = arena_new();
    static const Text heads[] = {{"a<", 2}, {"b", 1}};
    Buffer out = buffer_make(arena);
    html_open(&out, TEXT("<x>"));
    html_heading(&out, 2, TEXT("id"), TEXT("&"));
    html_table_open(&out, NULL, heads, 2);
    html_row_open(&out);
    html_row_head(&out, TEXT("1"));
    html_cell(&out, "number", TEXT("<2>"));
    html_row_close(&out);
    html_table_close(&out);
    html_link(&out, TEXT("id"), TEXT(">"));
    html_close(&out);
    const char *page = text_string(arena, buffer_done(&out));
    ck_assert(strncmp(page, "<!DOCTYPE html>\n<html lang=\"en\">\n", 33) == 0);
    ck_assert_ptr_nonnull(strstr(page, "<meta charset=\"utf-8\">"));
    ck_assert_ptr_nonnull(strstr(page, "<title>&lt;x&gt;</title>"));
    ck_assert_ptr_nonnull(strstr(page, "default-src 'none'"));
    ck_assert_ptr_nonnull(strstr(page, "prefers-color-scheme: dark"));
    ck_assert_ptr_nonnull(strstr(page, "@media print"));
    ck_assert_ptr_null(strstr(page, "<script"));
    ck_assert_ptr_nonnull(strstr(page, "<main>\n<h2 id=\"id\">&amp;</h2>\n"
                                       "<div class=\"wide\"><table>\n<thead><tr>"
                                       "<th scope=\"col\">a&lt;</th><th scope=\"col\">b</th>"
                                       "</tr></thead>\n<tbody>\n<tr><th scope=\"row\">1</th>"
                                       "<td class=\"number\">&lt;2&gt;</td></tr>\n"
                                       "</tbody></table></div>\n<a href=\"#id\">&gt;</a></main>\n"
                                       "</body>\n</html>\n"));
    arena_free(arena);
}
END_TEST

Suite *codebook_suite(void)
{
    Suite *suite = suite_create("codebook");
    TCase *told = tcase_create("told");
    tcase_add_test(told, deleted_sections_stand_where_they_stood);
    tcase_add_test(told, all_sections_deleted);
    tcase_add_test(told, limits_stand_in_the_text);
    tcase_add_test(told, windows_name_the_units);
    tcase_add_test(told, who_is_exempt_is_told);
    suite_add_tcase(suite, told);
    TCase *history = tcase_create("history");
    tcase_add_test(history, states_of_sections);
    tcase_add_test(history, one_code_of_several);
    suite_add_tcase(suite, history);
    TCase *pages = tcase_create("pages");
    tcase_add_test(pages, pages_are_escaped);
    tcase_add_test(pages, a_page_is_whole);
    suite_add_tcase(suite, pages);
    return suite;
}
