/* law/assembly: changes of exceptions and numbers, and what levels above displace. The rules are
 * those of docs/language.md, section 8. That a state preempts counties from a day, and that
 * sections are renumbered, is in the trade facts on how rules change. All demo law is invented. */
#include "changes_world.h"

static void expect_displaced(const char *on, const char *code, const char *state,
                             const char *county, const char *numbers, const char *displaced,
                             int line)
{
    World world = make(code, state, county);
    LawTree *law = world_law(&world, "quillmark", on);
    world_expect_none(&world, line);
    const char *found = law_numbers(&world, law);
    ck_assert_msg(strcmp(found, numbers) == 0, "line %d: %s instead of %s", line, found, numbers);
    found = law_displaced(&world, law);
    ck_assert_msg(strcmp(found, displaced) == 0, "line %d: %s instead of %s", line, found,
                  displaced);
    world_free(&world);
}
#define ck_displaced(on, code, state, county, numbers, displaced) \
    expect_displaced((on), (code), (state), (county), (numbers), (displaced), __LINE__)

/* ---- exceptions ---- */

static Text exceptions_of(World *world, const LawTree *law, uint32_t text)
{
    Buffer out = buffer_make(world->arena);
    const TextTree *tree = &law->sections[0].texts[text];
    for (const ExceptionTree *at = tree->body->exceptions; at != NULL; at = at->next) {
        Text by = place_text((Place){at->source != NULL ? at->source : tree->source, at->by_span});
        buffer_format(&out, "%s%.*s%s", at == tree->body->exceptions ? "" : " ", TEXT_ARG(by),
                      at->source == NULL ? "" : "*");
    }
    return buffer_done(&out);
}

static void expect_exceptions(const char *county, const char *expected, int line)
{
    World world = make(EXCEPTED, "", county);
    LawTree *law = world_law(&world, "quillmark", "2026-01-01");
    world_expect_none(&world, line);
    Text found = exceptions_of(&world, law, 0);
    ck_assert_msg(text_equal(found, text_of(expected)), "line %d: %.*s instead of %s", line,
                  TEXT_ARG(found), expected);
    world_free(&world);
}
#define ck_exceptions(county, expected) expect_exceptions((county), (expected), __LINE__)

START_TEST(an_exception_is_made_anew_taken_out_or_put_in)
{
    ck_exceptions("", "\"2\" \"3\"");
    ck_exceptions(C1 "amend \"1\" exception \"2\" to read except where height > 7 by \"Ord. 1-1\" "
                     "end\n",
                  "\"Ord. 1-1\"* \"3\"");
    ck_exceptions(C1 "amend \"1\" to delete exception \"3\"\n", "\"2\"");
    /* the first that holds governs: the new words speak before the old */
    ck_exceptions(C1 "amend \"1\" to add except where height > 7 by \"new\" end\n",
                  "\"new\"* \"2\" \"3\"");
    ck_exceptions(C1 "amend \"1\" to add except where height > 7 by \"new\" end\n" C3
                     "amend \"1\" to add except where height > 6 by \"newer\" end\n",
                  "\"newer\"* \"new\"* \"2\" \"3\"");
    /* of one act the first in writing comes first */
    ck_exceptions(C1 "amend \"1\" to add except where height > 7 by \"a\" end\n"
                     "amend \"1\" to add except where height > 6 by \"b\" end\n"
                     "amend \"1\" to delete exception \"2\"\n"
                     "amend \"1\" exception \"3\" to read except where height > 5 by \"3\" end\n",
                  "\"a\"* \"b\"* \"3\"*");
    ck_exceptions(C1 "amend \"1\" exception \"2\" to read except where height > 7 by \"x\" end\n" C3
                     "amend \"1\" exception \"x\" to read except where height > 6 by \"y\" end\n",
                  "\"y\"* \"3\"");
}
END_TEST

START_TEST(an_exception_of_an_act_knows_its_author_and_source)
{
    ck_section(EXCEPTED, "", C1 "amend \"1\" exception \"2\" to read except where height > 7 end\n",
               "1",
               "1/1\n  {shall width <= 24 in} [quillmark except where height > 7]" BASE
               ", exception quillmark Ord. 1 from 2025-02-01\n");
    World world = make(EXCEPTED, "", C1 "amend \"1\" to delete exception \"2\"\n");
    LawTree *law = world_law(&world, "quillmark", "2026-01-01");
    const SectionTreeInForce *section = &law->sections[0];
    ck_assert_ptr_eq(section->jurisdiction, law->levels[1]);
    ck_assert_ptr_null(section->texts[0].jurisdiction); /* the code wrote the rest */
    ck_assert_ptr_ne(section->texts[0].body, &section->section->body);
    ck_assert_ptr_nonnull(section->section->body.exceptions->next); /* left as it was */
    world_free(&world);
}
END_TEST

START_TEST(exactly_one_exception_is_named)
{
    static const char none[] = "no such exception";
    ck_error(EXCEPTED, "", C1 "amend \"1\" to delete exception \"4\"\n", none, "\"4\"",
             "except where height > 9", "an exception by '2'");
    ck_error(EXCEPTED, "", C1 "amend \"1\" exception \"4\" to read except where height > 7 end\n",
             none, "\"4\"", "except where height > 8", "an exception by '3'");
    ck_error(SECTION("1"), "", C1 "amend \"1\" to delete exception \"4\"\n", none, "\"4\"", "\"1\"",
             "this text has no exception");
    ck_error("section \"1\" shall width <= 24 in except where height > 9 end\n", "",
             C1 "amend \"1\" to delete exception \"4\"\n", none, "\"4\"", "except where",
             "an exception that says no 'by'");
    ck_error("section \"1\" shall width <= 24 in except where height > 9 by \"4\" except where "
             "height > 8 by \"4\" end\n",
             "", C1 "amend \"1\" to delete exception \"4\"\n", "several exceptions", "\"4\"",
             "except where height > 8", "an exception by '4'");
    ck_error(EXCEPTED, "", C1 "amend \"9\" to delete exception \"4\"\n", "no such section", "\"9\"",
             "larder", "");
}
END_TEST

START_TEST(an_exception_is_changed_in_every_text_or_in_none)
{
    static const char split[] =
        C1 "amend \"1\" to read for units permitted on or after 2025-07-01 shall width <= 9 in "
           "except where height > 9 by \"2\" end\n";
    Arena *arena = arena_new();
    Text good = text_format(arena, "%s%samend \"1\" to delete exception \"2\"\n", split, C3);
    World world = make(EXCEPTED, "", text_string(arena, good));
    LawTree *law = world_law(&world, "quillmark", "2026-01-01");
    expect_none(&world);
    ck_assert(text_equal(exceptions_of(&world, law, 0), TEXT("\"3\"")));
    ck_assert_uint_eq(law->sections[0].text_count, 2);
    ck_assert_ptr_null(law->sections[0].texts[1].body->exceptions);
    world_free(&world);

    Text bad = text_format(arena, "%s%samend \"1\" to delete exception \"3\"\n", split, C3);
    world = make(EXCEPTED, "", text_string(arena, bad));
    law = world_law(&world, "quillmark", "2026-01-01");
    expect(&world, "no such exception", "\"3\"", "except where height > 9 by \"2\"", "");
    ck_assert(text_equal(exceptions_of(&world, law, 0), TEXT("\"2\" \"3\"")));
    world_free(&world);
    arena_free(arena);
}
END_TEST

START_TEST(an_exception_and_limits_do_not_disturb_each_other)
{
    static const char limits[] = C1 "amend \"1\" limit low to 29 in\namend \"1\" limit to 20 in\n";
    Arena *arena = arena_new();
    World world = make(EXCEPTED, "",
                       text_string(arena, text_format(arena,
                                                      "%s%samend \"1\" to delete exception "
                                                      "\"2\"\n",
                                                      limits, C3)));
    LawTree *law = world_law(&world, "quillmark", "2026-01-01");
    expect_none(&world);
    const TextTree *text = &law->sections[0].texts[0];
    ck_assert_uint_eq(text->limit_count, 2);
    ck_assert_ptr_eq(text->limits[0].line, text->body->exceptions->lines); /* still one of it */
    world_free(&world);
    /* a limit goes with the exception in which it stands */
    world =
        make(EXCEPTED, "",
             text_string(arena, text_format(arena, "%s%samend \"1\" to delete exception \"3\"\n",
                                            limits, C3)));
    law = world_law(&world, "quillmark", "2026-01-01");
    expect_none(&world);
    ck_assert_uint_eq(law->sections[0].texts[0].limit_count, 1);
    ck_assert_ptr_eq(law->sections[0].texts[0].limits[0].line,
                     law->sections[0].texts[0].body->lines);
    world_free(&world);
    /* an exception of an act may have its limit changed in its turn */
    world = make(EXCEPTED, "",
                 C1 "amend \"1\" to add except where height > 7 by \"new\" shall high: "
                    "width <= 40 in end\n" C3 "amend \"1\" limit high to 41 in\n");
    law = world_law(&world, "quillmark", "2026-01-01");
    expect_none(&world);
    text = &law->sections[0].texts[0];
    ck_assert_uint_eq(text->limit_count, 1);
    ck_assert_ptr_eq(text->limits[0].line, text->body->exceptions->lines);
    world_free(&world);
    arena_free(arena);
}
END_TEST

START_TEST(one_act_changes_an_exception_once)
{
    static const char twice[] = "changed twice";
    ck_error(EXCEPTED, "",
             C1 "amend \"1\" exception \"2\" to read except where height > 7 by \"2\" end\n"
                "amend \"1\" to delete exception \"2\"\n",
             twice, "amend \"1\" to delete", "except where height > 7", "changed here");
    ck_error(EXCEPTED, "",
             C1 "amend \"1\" limit low to 29 in\namend \"1\" to delete exception \"3\"\n", twice,
             "amend \"1\" to delete", "amend \"1\" limit low", "changed here");
    ck_error(EXCEPTED, "", C1 "amend \"1\" to delete exception \"2\"\n" READ("1", "9 in"), twice,
             "amend \"1\" to read", "amend \"1\" to delete", "");
    ck_error(EXCEPTED, "",
             C1 "amend \"1\" to delete exception \"2\"\n" C2
                "amend \"1\" to delete exception \"3\"\n",
             "two changes on one day", "amend \"1\" to delete exception \"3\"",
             "amend \"1\" to delete exception \"2\"", "");
    ck_section(EXCEPTED, "",
               C1 READ("1", "9 in") "amend \"1\" to add except where height > 7 end\n", "1",
               "1/1\n  {shall width <= 9 in} [quillmark except where height > 7]" BASE BY1
               ", exception quillmark Ord. 1 from 2025-02-01\n");
}
END_TEST

START_TEST(floors_guards_and_fates_hold_for_exceptions)
{
    ck_section(EXCEPTED, S2 "locally at least as strict in \"1\"\n",
               C1 "amend \"1\" to delete exception \"2\"\n", "1",
               "1/1\n  {shall width <= 24 in}" BASE ", exception quillmark Ord. 1 from 2025-02-01\n"
               "  floor {shall width <= 24 in}" BASE "\n");
    ck_error(EXCEPTED, S2 "not to be amended locally \"1\"\n",
             C1 "amend \"1\" to delete exception \"2\"\n", "not to be amended locally",
             "amend \"1\" to delete", "not to be", "");
    World world = WORLD(
        VOCABULARY, CODE("1", SECTION("1")),
        CODE("2", "section \"7\" shall width <= 1 in except where height > 1 by "
                  "\"2\" end\n"),
        STATE(ADOPTS("1", "2020-01-01", "R1") ADOPTS("2", "2024-01-01", "R2")),
        COUNTY(AMENDS("1", "2021-01-01",
                      "Ord. 1") "amend \"1\" to delete exception \"2\" carries over to \"7\"\n"));
    LawTree *law = world_law(&world, "quillmark", "2025-01-01");
    expect_none(&world);
    ck_assert_str_eq(
        law_section(&world, law, "7"),
        "2/7\n  {shall width <= 1 in} : adopted halloway R2 from 2024-01-01, exception "
        "quillmark Ord. 1 from 2021-01-01\n");
    world_free(&world);
}
END_TEST

/* The clause and the section that it rests on stand in files of their own. */
START_TEST(a_clause_of_an_act_is_looked_for_in_the_act)
{
    ck_error(EXCEPTED SECTION("4"), "",
             C1 "amend \"1\" to add except where height > 7 by \"4\" end\ndelete \"4\"\n",
             "rests on a deleted section", "\"4\"", "delete \"4\"", "'quillmark' deletes it here");
    ck_numbers(EXCEPTED, "", C1 "amend \"1\" to delete exception \"2\"\ndelete \"2\"\n", "1 3");
}
END_TEST

/* ---- numbers ---- */

START_TEST(a_renumbered_section_is_found_under_its_new_number)
{
    ck_section(SECTION("1") SECTION("2"), "", C1 RENUMBER("1", "7"), "7",
               "1/7 formerly 1\n  {shall width <= 24 in}" BASE
               ", renumbered quillmark Ord. 1 from 2025-02-01\n");
    ck_section(SECTION("1"), "", C1 RENUMBER("1", "7") C3 LIMIT("7", "9 in"), "7",
               "1/7 formerly 1\n  {shall width <= 24 in} (shall width <= 24 in -> 9 in)" BASE
               ", renumbered quillmark Ord. 1 from 2025-02-01, limit quillmark Ord. 3 from "
               "2025-03-01\n");
    /* in one act too, before and after */
    ck_section(SECTION("1"), "", C1 RENUMBER("1", "7") READ("7", "9 in"), "7",
               "1/7 formerly 1\n  {shall width <= 9 in}" BASE
               ", renumbered quillmark Ord. 1 from 2025-02-01" BY1 "\n");
    ck_section(SECTION("1"), "", C1 READ("1", "9 in") RENUMBER("1", "7"), "7",
               "1/7 formerly 1\n  {shall width <= 9 in}" BASE BY1
               ", renumbered quillmark Ord. 1 from 2025-02-01\n");
    /* twice, and by another level; the code's number is the former one */
    ck_section(SECTION("1"), S2 RENUMBER("1", "7"), C1 RENUMBER("7", "8"), "8",
               "1/8 formerly 1\n  {shall width <= 24 in}" BASE
               ", renumbered halloway Reg. 2 from 2025-06-01, renumbered quillmark Ord. 1 from "
               "2025-02-01\n");
    /* it stands where its number does; the old number is free for another */
    ck_numbers(SECTION("1") SECTION("2") SECTION("3"), "", C1 RENUMBER("1", "2.5"), "2 2.5 3");
    ck_numbers(SECTION("1") SECTION("2"), "", C1 RENUMBER("1", "7") INSERT("1"), "1 2 7");
    ck_numbers(SECTION("1") SECTION("2"), "", C1 RENUMBER("2", "3") RENUMBER("1", "2"), "2 3");
    ck_numbers(SECTION("1") SECTION("2"), "", C1 "delete \"2\"\n" C3 RENUMBER("1", "2"), "2");
}
END_TEST

START_TEST(each_text_of_a_renumbered_section_says_so)
{
    ck_section(SECTION("1"), "",
               C1 "amend \"1\" to read for units permitted on or after 2025-07-01 shall width <= 9 "
                  "in end\n" C3 RENUMBER("1", "7"),
               "7",
               "1/7 formerly 1\n  before 2025-07-01 {shall width <= 24 in}" BASE
               ", renumbered quillmark Ord. 3 from 2025-03-01"
               "\n  from 2025-07-01 {shall width <= 9 in}" BASE BY1
               ", renumbered quillmark Ord. 3 from 2025-03-01\n");
    /* the floor is the upper level's text, whatever the lower one calls it */
    ck_section(SECTION("1"), S2 "locally at least as strict in \"1\"\n", C1 RENUMBER("1", "7"), "7",
               "1/7 formerly 1\n  {shall width <= 24 in}" BASE
               ", renumbered quillmark Ord. 1 from 2025-02-01\n");
    ck_section(SECTION("1"), S2 "locally at least as strict in \"1\"\n",
               C1 RENUMBER("1", "7") C3 READ("7", "9 in"), "7",
               "1/7 formerly 1\n  {shall width <= 9 in}" BASE
               ", renumbered quillmark Ord. 1 from 2025-02-01, amended quillmark Ord. 3 from "
               "2025-03-01\n  floor {shall width <= 24 in}" BASE "\n");
    ck_section(SECTION("1"), S2 "locally at least as strict in \"1\"\n",
               C1 "amend \"1\" to read for units permitted on or after 2025-07-01 shall width <= 9 "
                  "in end\n" C3 RENUMBER("1", "7"),
               "7",
               "1/7 formerly 1\n  before 2025-07-01 {shall width <= 24 in}" BASE
               ", renumbered quillmark Ord. 3 from 2025-03-01"
               "\n  from 2025-07-01 {shall width <= 9 in}" BASE BY1
               ", renumbered quillmark Ord. 3 from 2025-03-01"
               "\n  floor from 2025-07-01 {shall width <= 24 in}" BASE "\n");
}
END_TEST

START_TEST(the_old_number_says_what_became_of_it)
{
    static const char gone[] = "renumbered";
    ck_error(SECTION("1"), "", C1 RENUMBER("1", "7") C3 LIMIT("1", "9 in"), gone, "\"1\"",
             "renumber \"1\"", "'quillmark' renumbers it here");
    ck_error(SECTION("1"), S2 RENUMBER("1", "7"), C1 "delete \"1\"\n", gone, "\"1\"",
             "renumber \"1\"", "'halloway' renumbers it here");
    ck_error(SECTION("1"), S2 RENUMBER("1", "7"), C1 "locally at least as strict in \"1\"\n", gone,
             "\"1\"", "renumber \"1\"", "");
    World world = make(SECTION("1"), "", C1 RENUMBER("1", "7") C3 LIMIT("1", "9 in"));
    (void)world_law(&world, "quillmark", "2026-01-01");
    ck_assert_ptr_nonnull(strstr(world_errors(&world), "'1' was renumbered as '7' by 'Ord. 1'"));
    world_free(&world);
    ck_error(SECTION("1") SECTION("2"), "", C1 RENUMBER("1", "2"), "section already there", "\"2\"",
             "\"2\"", "'2' is here");
    ck_error(SECTION("1"), "", C1 RENUMBER("1", "7") RENUMBER("7", "8"), "changed twice",
             "renumber \"7\"", "renumber \"1\"", "");
    ck_error(SECTION("1") SECTION("2"), "", C1 "delete \"2\"\n" C2 RENUMBER("1", "2"),
             "two changes on one day", "renumber", "delete", "");
    ck_error(SECTION("1"), "", C1 RENUMBER("1", "7") C2 LIMIT("7", "9 in"),
             "two changes on one day", "amend", "renumber", "");
    ck_error(SECTION("1") SECTION("2"), S2 "not to be amended locally \"2\"\n",
             C1 RENUMBER("1", "2(a)"), "not to be amended locally", "renumber", "not to be", "");
    ck_error(SECTION("1"), S2 "not to be amended locally \"1\"\n", C1 RENUMBER("1", "2"),
             "not to be amended locally", "renumber", "not to be", "");
    /* what rests on the section by its old number rests on a section in force */
    ck_numbers(EXCEPTED, "", C1 RENUMBER("2", "7"), "1 3 7");
    ck_error(EXCEPTED, "", C1 RENUMBER("2", "7") C3 "delete \"7\"\n", "rests on a deleted section",
             "\"2\"", "delete \"7\"", "");
}
END_TEST

START_TEST(a_target_does_not_reach_a_section_by_its_old_number)
{
    /* under "1" and under "1(a)": neither covers what is now "7" */
    ck_numbers(SECTION("1(a)") SECTION("1(b)"), "", C1 RENUMBER("1(a)", "7") C3 "delete \"1\"\n",
               "7");
    ck_numbers(SECTION("1") SECTION("7"), "", C1 RENUMBER("1", "7(a)") C3 "delete \"7\"\n", "");
    ck_section(SECTION("1"), S2 RENUMBER("1", "7") "locally at least as strict in \"7\"\n",
               C1 READ("7", "9 in"), "7",
               "1/7 formerly 1\n  {shall width <= 9 in}" BASE
               ", renumbered halloway Reg. 2 from 2025-06-01" BY1 "\n  floor {shall width <= 24 "
               "in}" BASE ", renumbered halloway Reg. 2 from 2025-06-01\n");
    ck_numbers("section \"9\" part a shall width <= 1 in end\n"
               "section \"9\" part b shall width <= 1 in end\n",
               "", C1 "renumber \"9\" part a as \"8\"\n", "8/a 9/b");
}
END_TEST

START_TEST(a_renumbering_carries_over)
{
    World world = WORLD(VOCABULARY, CODE("1", SECTION("1")), CODE("2", SECTION("5")),
                        STATE(ADOPTS("1", "2020-01-01", "R1") ADOPTS("2", "2024-01-01", "R2")),
                        COUNTY(AMENDS("1", "2021-01-01",
                                      "Ord. 1") "renumber \"1\" as \"7\" carries over to \"5\"\n"));
    ck_assert_str_eq(law_numbers(&world, world_law(&world, "quillmark", "2023-01-01")), "7");
    LawTree *law = world_law(&world, "quillmark", "2025-01-01");
    expect_none(&world);
    ck_assert_str_eq(law_section(&world, law, "7"),
                     "2/7 formerly 5\n  {shall width <= 24 in} : adopted halloway R2 from "
                     "2024-01-01, renumbered quillmark Ord. 1 from 2021-01-01\n");
    world_free(&world);
}
END_TEST

static void expect_left(const char *county, const char *also, int line)
{
    World world = make(SECTION("1") SECTION("1(a)") SECTION("1(b)"), "", county);
    (void)world_law(&world, "quillmark", "2026-01-01");
    world_expect_none(&world, line);
    const Diagnostic *diag = world_find(&world, "subdivisions keep their numbers", "renumber");
    ck_assert_msg((diag != NULL) == (also != NULL), "line %d: %s", line, world_errors(&world));
    if (diag != NULL) {
        ck_assert_msg(diag->severity == SEVERITY_WARNING &&
                          text_starts(place_text(diag->notes->place), text_of(also)),
                      "line %d: %s", line, world_errors(&world));
    }
    world_free(&world);
}

START_TEST(subdivisions_that_keep_their_numbers_are_told)
{
    expect_left(C1 RENUMBER("1", "7"), "\"1(a)\"", __LINE__);
    expect_left(C1 RENUMBER("1", "7") RENUMBER("1(a)", "7(a)"), "\"1(b)\"", __LINE__);
    expect_left(C1 RENUMBER("1", "7") RENUMBER("1(a)", "7(a)") "delete \"1(b)\"\n", NULL, __LINE__);
    expect_left(C1 RENUMBER("1(a)", "1(c)"), NULL, __LINE__);
}
END_TEST

START_TEST(reserved_numbers_are_free_and_say_so)
{
    static const char code[] = SECTION("1") "reserved \"2\", \"3\"\n";
    ck_error(code, "", C1 LIMIT("2", "9 in"), "reserved", "\"2\"", "\"2\"",
             "'larder' holds the number free");
    ck_error(code, "", C1 "delete \"3(a)\"\n", "reserved", "\"3(a)\"", "\"3\"", "");
    ck_error(code, "", C1 "not to be waived \"3\"\n", "reserved", "\"3\"", "\"3\"", "");
    ck_numbers(code, "", C1 INSERT("2") C3 LIMIT("2", "8 in"), "1 2");
    ck_numbers(code, "", C1 RENUMBER("1", "3"), "3");
    ck_error(code, "", C1 "delete and reserve \"1\"\n" C3 LIMIT("1", "9 in"),
             "deleted and reserved", "\"1\"", "delete and reserve", "'quillmark' deletes it here");
    ck_numbers(code, "", C1 "delete and reserve \"1\"\n" C3 INSERT("1"), "1");
    ck_error(code, "", C1 INSERT("2") C3 "delete \"2\"\ndelete \"2\"\n", "already deleted", "\"2\"",
             "delete", "");
}
END_TEST

/* ---- guards ---- */

#define KEPT(from) AMENDS("1", "2025-01-15", "Reg. 2") "not to be amended locally \"1\"" from "\n"
#define KEPT_ALL(from) \
    AMENDS("1", "2025-01-15", "Reg. 2") "not to be amended locally in any section" from "\n"

START_TEST(a_local_change_before_the_day_of_a_guard_stands_until_then)
{
    static const char code[] = SECTION("1") SECTION("2");
    static const char from[] = KEPT(" from 2025-09-01");
    static const char changed[] =
        "1/1\n  {shall width <= 24 in} (shall width <= 24 in -> 9 in)" BASE LIMIT1 "\n";
    ck_on("2025-08-31", code, from, C1 LIMIT("1", "9 in"), "1", changed);
    ck_on("2025-09-01", code, from, C1 LIMIT("1", "9 in"), "1",
          "1/1\n  {shall width <= 24 in}" BASE "\n");
    ck_displaced("2025-08-31", code, from, C1 LIMIT("1", "9 in"), "1 2", "");
    ck_displaced("2025-09-01", code, from, C1 LIMIT("1", "9 in"), "1 2",
                 "larder 1 of Ord. 1: Reg. 2 from 2025-09-01\n");
    ck_displaced("2026-01-01", code, from, C1 "delete \"1\", \"2\"\n", "1",
                 "larder 1 of Ord. 1: Reg. 2 from 2025-09-01\n");
    ck_displaced("2026-01-01", code, from, C1 INSERT("1(a)") C3 LIMIT("1(a)", "8 in"), "1 2",
                 "larder 1(a) of Ord. 1: Reg. 2 from 2025-09-01\n"
                 "larder 1(a) of Ord. 3: Reg. 2 from 2025-09-01\n");
    /* later acts of the level call the section by the number that they gave it */
    ck_displaced("2026-01-01", code, from, C1 RENUMBER("1", "7") C3 READ("7", "9 in"), "1 2",
                 "larder 1 of Ord. 1: Reg. 2 from 2025-09-01\n"
                 "larder 1 of Ord. 3: Reg. 2 from 2025-09-01\n");
    ck_displaced("2026-01-01", code, from, C1 RENUMBER("2", "1(a)") C3 LIMIT("1(a)", "9 in"), "1 2",
                 "larder 2 of Ord. 1: Reg. 2 from 2025-09-01\n");
}
END_TEST

START_TEST(a_local_change_from_the_day_of_a_guard_is_an_error)
{
    static const char kept[] = "not to be amended locally";
    static const char code[] = SECTION("1") SECTION("2");
    static const char late[] = AMENDS("1", "2025-09-01", "Ord. 9") LIMIT("1", "9 in");
    ck_error(code, KEPT(" from 2025-09-01"), late, kept, "amend", kept, "from 2025-09-01");
    ck_error(code, KEPT_ALL(" from 2025-09-01"), late, kept, "amend", kept, "from 2025-09-01");
    ck_error(code, KEPT_ALL(" from 2025-09-01"), AMENDS("1", "2025-09-01", "Ord. 9") INSERT("3"),
             kept, "insert", kept, "");
    /* without a day: whatever the day of the change */
    ck_error(code, KEPT_ALL(""), C1 LIMIT("2", "9 in"), kept, "amend", kept, "keeps it for itself");
    ck_error(code, KEPT_ALL(""), C1 INSERT("3"), kept, "insert", kept, "");
    ck_error(code, KEPT("") "not to be amended locally in any section from 2025-09-01\n",
             C1 LIMIT("1", "9 in"), kept, "amend", kept, "");
    ck_displaced("2026-01-01", code, KEPT_ALL(" from 2025-09-01"),
                 C1 LIMIT("2", "9 in") INSERT("3"), "1 2",
                 "larder 2 of Ord. 1: Reg. 2 from 2025-09-01\n"
                 "larder 3 of Ord. 1: Reg. 2 from 2025-09-01\n");
    ck_displaced("2025-08-31", code, KEPT_ALL(" from 2025-09-01"),
                 C1 LIMIT("2", "9 in") INSERT("3"), "1 2 3", "");
    /* the level's own changes are its own affair */
    ck_displaced("2026-01-01", code, KEPT_ALL("") LIMIT("2", "9 in") INSERT("3"), "", "1 2 3", "");
}
END_TEST

/* An edition that a county adopts replaces every section of the other one. */
START_TEST(another_edition_is_adopted_locally_until_the_day_of_a_guard)
{
    World world =
        WORLD(VOCABULARY, CODE("1", SECTION("1")), CODE("2", SECTION("1")),
              STATE(ADOPTS("1", "2025-01-01",
                           "Reg. 1") "not to be amended locally in any section from 2025-09-01\n"),
              COUNTY(ADOPTS("2", "2025-02-01", "Ord. 1")));
    ck_assert_str_eq(law_numbers(&world, world_law(&world, "quillmark", "2025-08-31")), "1");
    expect_none(&world);
    (void)world_law(&world, "quillmark", "2025-09-01");
    expect(&world, "edition not to be replaced locally", "larder", "not to be amended", "");
    world_free(&world);
}
END_TEST

/* ---- preemption ---- */

START_TEST(local_law_on_a_preempted_topic_is_displaced)
{
    ck_displaced("2026-01-01", SIZES, PREEMPTS("size"),
                 C1 LIMIT("1", "9 in") LIMIT("2", "9 in") LIMIT("3", "9 in"), "1 2 3",
                 "larder 1 of Ord. 1: Act 5 from 2025-01-15\n");
    ck_displaced("2026-01-01", SIZES, PREEMPTS("sizes, size.width"),
                 C1 "delete \"1\", \"2\", \"3\"\n", "1 2",
                 "larder 1 of Ord. 1: Act 5 from 2025-01-15\n"
                 "larder 2 of Ord. 1: Act 5 from 2025-01-15\n");
    /* an inserted section, and what the level goes on to do with it */
    ck_displaced("2026-01-01", SIZES, PREEMPTS("size"),
                 C1 "insert section \"4\" topic size shall width <= 1 in end\n" INSERT("5")
                     C3 LIMIT("4", "2 in") "locally at least as strict in \"4\"\n"
                                           "amend \"5\" limit to 3 in\n",
                 "1 2 3 5",
                 "larder 4 of Ord. 1: Act 5 from 2025-01-15\n"
                 "larder 4 of Ord. 3: Act 5 from 2025-01-15\n");
    /* from its day on; a later local act is displaced too, and no error */
    ck_displaced("2025-08-31", SIZES, PREEMPTS("size from 2025-09-01"), C1 "delete \"1\"\n", "2 3",
                 "");
    ck_displaced("2025-09-01", SIZES, PREEMPTS("size from 2025-09-01"), C1 "delete \"1\"\n",
                 "1 2 3", "larder 1 of Ord. 1: Act 5 from 2025-09-01\n");
    ck_displaced("2026-01-01", SIZES, PREEMPTS("size"),
                 AMENDS("1", "2025-11-01", "Ord. 9") "delete \"1\"\n", "1 2 3",
                 "larder 1 of Ord. 9: Act 5 from 2025-01-15\n");
    ck_displaced("2026-01-01", SIZES, PREEMPTS("size") "not to be amended locally \"1\"\n",
                 C1 "delete \"1\"\n", "1 2 3", "larder 1 of Ord. 1: Act 5 from 2025-01-15\n");
    /* its own changes, and sections without a topic, are left alone */
    ck_displaced("2026-01-01", SIZES, PREEMPTS("size") LIMIT("1", "9 in"), C1 "delete \"3\"\n",
                 "1 2", "");
}
END_TEST

START_TEST(a_number_displaced_is_free_for_other_law)
{
    ck_displaced("2026-01-01", SIZES, PREEMPTS("size"),
                 C1 "insert section \"4\" topic size shall width <= 1 in end\n" C3
                    "insert section \"4\" topic sizes shall width <= 2 in end\n",
                 "1 2 3 4", "larder 4 of Ord. 1: Act 5 from 2025-01-15\n");
    ck_displaced("2026-01-01", SIZES, PREEMPTS("size"),
                 C1 "renumber \"1\" as \"9\"\n" C3 "amend \"9\" limit to 2 in\n", "1 2 3",
                 "larder 1 of Ord. 1: Act 5 from 2025-01-15\n"
                 "larder 1 of Ord. 3: Act 5 from 2025-01-15\n");
    /* on the same day too: what is displaced contradicts nothing */
    ck_displaced("2026-01-01", SIZES, PREEMPTS("size"),
                 C1 "insert section \"4\" topic size shall width <= 1 in end\n" C2
                    "insert section \"4\" topic sizes shall width <= 2 in end\n",
                 "1 2 3 4", "larder 4 of Ord. 1: Act 5 from 2025-01-15\n");
    /* a target that covers both numbers of a section is displaced once */
    ck_displaced("2026-01-01", SIZES, PREEMPTS("size"),
                 C1 RENUMBER("1", "1(a)") C3 "delete \"1\"\n", "1 2 3",
                 "larder 1 of Ord. 1: Act 5 from 2025-01-15\n"
                 "larder 1 of Ord. 3: Act 5 from 2025-01-15\n");
}
END_TEST

/* A state that adopts one code, and a county that adopts another by itself. */
static World local_code(const char *state, const char *county)
{
    Arena *arena = arena_new();
    Text outer = text_format(arena, "jurisdiction halloway \"H\"\n%s%send\n",
                             ADOPTS("1", "2025-01-01", "Reg. 1"), state);
    Text inner = text_format(arena,
                             "jurisdiction quillmark \"Q\" within halloway\n"
                             "adopts cart edition 1 in force from 2025-02-01 by \"Ord. 1\"\n"
                             "%send\n",
                             county);
    World world = WORLD(TOPICS, CODE("1", SIZES),
                        "code cart edition 1\n" SIZED("c1", "size.width") SIZED("c2", "sizes")
                            SECTION("c3") "end\n",
                        text_string(arena, outer), text_string(arena, inner));
    arena_free(arena);
    expect_none(&world);
    return world;
}

START_TEST(sections_of_a_code_adopted_locally_are_preempted)
{
    World world = local_code(PREEMPTS("size"), "amend \"c1\" limit to 1 in\n"
                                               "amend \"c2\" limit to 1 in\n");
    LawTree *law = world_law(&world, "quillmark", "2026-01-01");
    expect_none(&world);
    ck_assert_str_eq(law_numbers(&world, law), "c2 c3 1 2 3");
    ck_assert_str_eq(law_displaced(&world, law), "cart c1 of Ord. 1: Act 5 from 2025-01-15 whole\n"
                                                 "cart c1 of Ord. 1: Act 5 from 2025-01-15\n");
    ck_assert_ptr_null(law->displaced[0].change);
    ck_assert_ptr_nonnull(law->displaced[1].change);
    ck_assert_uint_eq(law->displaced[0].local.verb, LINK_ADOPTED);
    LawTree *upper = world_law(&world, "halloway", "2026-01-01");
    ck_assert_uint_eq(upper->displaced_count, 0);
    world_free(&world);

    /* a code that the state adopts is not local, whoever else adopts it */
    world = local_code("adopts cart edition 1 in force from 2025-01-01 by \"Reg. 7\"\n"
                       "preempts local law on size\n",
                       "");
    law = world_law(&world, "quillmark", "2026-01-01");
    expect_none(&world);
    ck_assert_str_eq(law_numbers(&world, law), "c1 c2 c3 1 2 3");
    world_free(&world);
}
END_TEST

/* ---- precedence of codes ---- */

static const char *precedences(World *world, const LawTree *law)
{
    Buffer out = buffer_make(world->arena);
    for (uint32_t i = 0; i < law->precedence_count; i++) {
        const PrecedenceTree *at = &law->precedences[i];
        buffer_format(&out, "%.*s > %.*s", TEXT_ARG(at->winner->name->text),
                      TEXT_ARG(at->loser->name->text));
        for (const Word *topic = at->topics; topic != NULL; topic = topic->next) {
            buffer_format(&out, " %.*s", TEXT_ARG(topic->name->text));
        }
        buffer_format(&out, " by %.*s\n", TEXT_ARG(at->link.by));
    }
    return text_string(world->arena, buffer_done(&out));
}

START_TEST(a_code_prevails_over_another)
{
    World world = local_code("", "prevails over larder on size, sizes\n");
    LawTree *law = world_law(&world, "quillmark", "2026-01-01");
    expect_none(&world);
    ck_assert_str_eq(precedences(&world, law), "cart > larder size sizes by Ord. 1\n");
    ck_assert(text_starts(place_text(law->precedences[0].place), TEXT("prevails over larder")));
    world_free(&world);
    world = local_code(S2 "prevails over cart\n", "");
    ck_assert_str_eq(precedences(&world, world_law(&world, "quillmark", "2026-01-01")),
                     "larder > cart by Reg. 2\n");
    ck_assert_str_eq(precedences(&world, world_law(&world, "quillmark", "2025-05-31")), "");
    /* where the other is not in force, it prevails over nothing */
    ck_assert_str_eq(precedences(&world, world_law(&world, "halloway", "2026-01-01")), "");
    expect_none(&world);
    world_free(&world);
}
END_TEST

static void expect_no_precedence(const char *state, const char *county, const char *name,
                                 const char *at, const char *also, const char *words, int line)
{
    World world = local_code(state, county);
    LawTree *law = world_law(&world, "quillmark", "2026-01-01");
    world_expect(&world, name, at, also, words, line);
    ck_assert_uint_le(law->precedence_count, 1);
    world_free(&world);
}

START_TEST(a_precedence_names_another_code)
{
    expect_no_precedence("", "prevails over lrder\n", "unknown code", "lrder", "",
                         "did you mean 'larder'?", __LINE__);
    expect_no_precedence("", "prevails over cart\n", "prevails over itself", "cart", NULL, "",
                         __LINE__);
    expect_no_precedence(S2 "prevails over cart\n", "prevails over larder on size\n",
                         "each prevails over the other", "prevails over", "prevails over",
                         "the other way round", __LINE__);
    World world = local_code(S2 "prevails over cart on sizes\n", "prevails over larder on size\n");
    (void)world_law(&world, "quillmark", "2026-01-01");
    expect_none(&world);
    world_free(&world);
}
END_TEST

Suite *changes_suite(void)
{
    Suite *suite = suite_create("changes");
    TCase *tcase = tcase_create("exceptions");
    tcase_add_test(tcase, an_exception_is_made_anew_taken_out_or_put_in);
    tcase_add_test(tcase, an_exception_of_an_act_knows_its_author_and_source);
    tcase_add_test(tcase, exactly_one_exception_is_named);
    tcase_add_test(tcase, an_exception_is_changed_in_every_text_or_in_none);
    tcase_add_test(tcase, an_exception_and_limits_do_not_disturb_each_other);
    tcase_add_test(tcase, one_act_changes_an_exception_once);
    tcase_add_test(tcase, floors_guards_and_fates_hold_for_exceptions);
    tcase_add_test(tcase, a_clause_of_an_act_is_looked_for_in_the_act);
    suite_add_tcase(suite, tcase);
    tcase = tcase_create("numbers");
    tcase_add_test(tcase, a_renumbered_section_is_found_under_its_new_number);
    tcase_add_test(tcase, each_text_of_a_renumbered_section_says_so);
    tcase_add_test(tcase, the_old_number_says_what_became_of_it);
    tcase_add_test(tcase, a_target_does_not_reach_a_section_by_its_old_number);
    tcase_add_test(tcase, a_renumbering_carries_over);
    tcase_add_test(tcase, subdivisions_that_keep_their_numbers_are_told);
    tcase_add_test(tcase, reserved_numbers_are_free_and_say_so);
    suite_add_tcase(suite, tcase);
    tcase = tcase_create("levels above");
    tcase_add_test(tcase, a_local_change_before_the_day_of_a_guard_stands_until_then);
    tcase_add_test(tcase, a_local_change_from_the_day_of_a_guard_is_an_error);
    tcase_add_test(tcase, another_edition_is_adopted_locally_until_the_day_of_a_guard);
    tcase_add_test(tcase, local_law_on_a_preempted_topic_is_displaced);
    tcase_add_test(tcase, a_number_displaced_is_free_for_other_law);
    tcase_add_test(tcase, sections_of_a_code_adopted_locally_are_preempted);
    tcase_add_test(tcase, a_code_prevails_over_another);
    tcase_add_test(tcase, a_precedence_names_another_code);
    suite_add_tcase(suite, tcase);
    return suite;
}
