/* law/assembly: changes of sections, floors, guards, permit dates, limits, readings, order. The
 * rules are those of docs/language.md, sections 7 and 8; numbers like 5-401.11(A) are its own
 * examples. All demo law is invented. */
#include <check.h>
#include <stdio.h>
#include <stdlib.h>

#include "law_world.h"

/* A code of one edition, adopted by the state with `state`, changed by the county with `county`. */
static World make(const char *sections, const char *state, const char *county)
{
    Arena *arena = arena_new();
    Text code = text_format(arena, "code larder edition 1\n%send\n", sections);
    Text outer = text_format(arena, "jurisdiction halloway \"H\"\n%s%send\n",
                             ADOPTS("1", "2025-01-01", "Reg. 1"), state);
    Text inner =
        text_format(arena, "jurisdiction quillmark \"Q\" within halloway\n%send\n", county);
    World world = WORLD(VOCABULARY, text_string(arena, code), text_string(arena, outer),
                        text_string(arena, inner));
    arena_free(arena);
    expect_none(&world);
    return world;
}

#define C1 AMENDS("1", "2025-02-01", "Ord. 1") /* two ordinances of one day, and a later one */
#define C2 AMENDS("1", "2025-02-01", "Ord. 2")
#define C3 AMENDS("1", "2025-03-01", "Ord. 3")
#define S2 AMENDS("1", "2025-06-01", "Reg. 2")
#define READ(number, limit) "amend \"" number "\" to read shall width <= " limit " end\n"
#define INSERT(number) "insert section \"" number "\" shall width <= 9 in end\n"
#define BASE " : adopted halloway Reg. 1 from 2025-01-01"

static void expect_section(const char *state, const char *county, const char *number,
                           const char *expected, int line)
{
    World world = make(SECTION("1") SECTION("2"), state, county);
    LawTree *law = world_law(&world, "quillmark", "2026-01-01");
    world_expect_none(&world, line);
    const char *found = law_section(&world, law, number);
    ck_assert_msg(strcmp(found, expected) == 0, "line %d: %s instead of %s", line, found, expected);
    world_free(&world);
}
#define ck_section(state, county, number, expected) \
    expect_section((state), (county), (number), (expected), __LINE__)

static void expect_error(const char *sections, const char *state, const char *county,
                         const char *name, const char *at, const char *also, const char *words,
                         int line)
{
    World world = make(sections, state, county);
    (void)world_law(&world, "quillmark", "2026-01-01");
    world_expect(&world, name, at, also, words, line);
    world_free(&world);
}
#define ck_error(sections, state, county, name, at, also, words) \
    expect_error((sections), (state), (county), (name), (at), (also), (words), __LINE__)

static void expect_numbers(const char *sections, const char *state, const char *county,
                           const char *expected, int line)
{
    World world = make(sections, state, county);
    LawTree *law = world_law(&world, "quillmark", "2026-01-01");
    world_expect_none(&world, line);
    const char *found = law_numbers(&world, law);
    ck_assert_msg(strcmp(found, expected) == 0, "line %d: %s instead of %s", line, found, expected);
    world_free(&world);
}
#define ck_numbers(sections, state, county, expected) \
    expect_numbers((sections), (state), (county), (expected), __LINE__)

/* ---- targets ---- */

static bool covers(const char *target, const char *number)
{
    return target_covers(text_of(target), NULL, text_of(number), NULL);
}

START_TEST(a_target_covers_parts_and_subdivisions)
{
    ck_assert(covers("5-401.11", "5-401.11"));
    ck_assert(covers("5-401.11", "5-401.11(A)"));
    ck_assert(covers("5-401.11", "5-401.11(A)(1)"));
    ck_assert(covers("5-401.11(A)", "5-401.11(A)(1)"));
    ck_assert(covers("5-401", "5-401.11(A)"));
    ck_assert(covers("507.5", "507.5 (b)"));
    ck_assert(covers("507", "507\xc2\xa7"
                            "2")); /* a section sign */
    ck_assert(covers("507", "507\xe2\x80\x93"
                            "9")); /* an en dash */
    ck_assert(!covers("5-401.11", "5-401.110"));
    ck_assert(!covers("5-401.11", "5-401.11a"));
    ck_assert(!covers("5-401.11", "5-401.11\xc3\xa4")); /* a letter beyond ASCII */
    ck_assert(!covers("5-401.11", "5-401.1"));
    ck_assert(!covers("5-401.11(A)", "5-401.11(B)"));
    ck_assert(!covers("5-401.11(A", "5-401.11(A)"));
    ck_assert(!covers("", "5-401.11"));
    ck_assert(!covers("5-401.11(A)", "5-401.11"));

    Arena *arena = arena_new();
    Names *names = names_new(arena);
    const Name *size = names_intern(names, TEXT("size"));
    const Name *gap = names_intern(names, TEXT("gap"));
    ck_assert(target_covers(TEXT("9"), NULL, TEXT("9"), size));
    ck_assert(target_covers(TEXT("9"), size, TEXT("9"), size));
    ck_assert(target_covers(TEXT("9"), size, TEXT("9(a)"), size));
    ck_assert(!target_covers(TEXT("9"), size, TEXT("9"), gap));
    ck_assert(!target_covers(TEXT("9"), size, TEXT("9"), NULL));
    arena_free(arena);
}
END_TEST

START_TEST(an_amendment_that_hits_nothing_names_both_places_and_the_nearest)
{
    ck_error(SECTION("6-14.2(B)") SECTION("6-15.1"), "", C1 READ("6-14.2(D)", "9 in"),
             "no such section", "\"6-14.2(D)\"", "larder", "edition '1' is here");
    ck_error(SECTION("6-14.2(B)") SECTION("6-15.1"), "", C1 READ("6-14.2(D)", "9 in"),
             "no such section", "\"6-14.2(D)\"", "\"6-14.2(B)\"",
             "the nearest number is '6-14.2(B)'");
    ck_error(SECTION("6-14.2(B)"), "", C1 READ("6-14.2", "9 in"), "no such section", "\"6-14.2\"",
             "\"6-14.2(B)\"", "there is '6-14.2(B)'");
    ck_error("section \"9\" part size shall width <= 1 in end\n", "",
             C1 "amend \"9\" part gap limit to 2 in\n", "no such section", "\"9\" part gap",
             "\"9\"", "there is '9' part size");
    ck_error(SECTION("5-401.110"), "", C1 "delete \"5-401.11\"\n", "no such section",
             "\"5-401.11\"", "\"5-401.110\"", "the nearest number");
    ck_error(SECTION("1"), "", C1 "locally at least as strict in \"7\"\n", "no such section",
             "\"7\"", "larder", "");
    ck_error(SECTION("1"), "", C1 "not to be amended locally \"1\", \"7\"\n", "no such section",
             "\"7\"", "larder", "");
}
END_TEST

START_TEST(an_amendment_names_exactly_one_section)
{
    static const char parts[] = "section \"9\" part size shall width <= 1 in end\n"
                                "section \"9\" part gap shall width <= 2 in end\n";
    ck_error(parts, "", C1 "amend \"9\" limit to 3 in\n", "several sections", "\"9\"", "\"9\"",
             "'9' part gap");
    World world = make(parts, "", C1 "amend \"9\" part gap limit to 3 in\n");
    LawTree *law = world_law(&world, "quillmark", "2026-01-01");
    expect_none(&world);
    ck_assert_str_eq(law_section(&world, law, "9"),
                     "1/9 part size\n  {shall width <= 1 in}" BASE "\n"
                     "1/9 part gap\n  {shall width <= 2 in} (shall width <= 2 in -> 3 in)" BASE
                     ", limit quillmark Ord. 1 from 2025-02-01\n");
    world_free(&world);
}
END_TEST

/* ---- amend, delete, insert ---- */

START_TEST(a_text_carries_its_whole_chain)
{
    ck_section("", "", "1", "1/1\n  {shall width <= 24 in}" BASE "\n");
    ck_section(S2 READ("1", "20 in"), C1 READ("1", "18 in"), "1",
               "1/1\n  {shall width <= 18 in}" BASE ", amended halloway Reg. 2 from 2025-06-01, "
               "amended quillmark Ord. 1 from 2025-02-01\n");
    ck_section("", C3 "amend \"1\" limit to 3 in\n" C1 READ("1", "18 in"), "1",
               "1/1\n  {shall width <= 18 in} (shall width <= 18 in -> 3 in)" BASE
               ", amended quillmark Ord. 1 from 2025-02-01, limit quillmark Ord. 3 from "
               "2025-03-01\n");
    ck_section("", C3 READ("1", "18 in") C1 "amend \"1\" limit to 3 in\n", "1",
               "1/1\n  {shall width <= 18 in}" BASE ", limit quillmark Ord. 1 from 2025-02-01, "
               "amended quillmark Ord. 3 from 2025-03-01\n");
    ck_section("", C1 INSERT("1(B)"), "1(B)",
               "1/1(B)\n  {shall width <= 9 in}" BASE ", inserted quillmark Ord. 1 from "
               "2025-02-01\n");
    ck_section("", ADOPTS("1", "2025-04-01", "Ord. 9") READ("1", "3 in"), "1",
               "1/1\n  {shall width <= 3 in}" BASE ", adopted quillmark Ord. 9 from 2025-04-01, "
               "amended quillmark Ord. 9 from 2025-04-01\n");
    ck_section("", ADOPTS("1", "2025-04-01", "Ord. 9"), "1",
               "1/1\n  {shall width <= 24 in}" BASE ", adopted quillmark Ord. 9 from 2025-04-01\n");
}
END_TEST

START_TEST(the_last_to_change_a_section_and_the_author_of_a_text_are_known)
{
    World world =
        make(SECTION("1") SECTION("2"), S2 READ("1", "9 in"), C1 "amend \"1\" limit to 8 in\n");
    LawTree *law = world_law(&world, "quillmark", "2026-01-01");
    expect_none(&world);
    ck_assert_ptr_eq(law->sections[0].jurisdiction, law->levels[1]);
    ck_assert_ptr_eq(law->sections[0].texts[0].jurisdiction, law->levels[0]);
    ck_assert_ptr_eq(law->sections[0].texts[0].limits[0].jurisdiction, law->levels[1]);
    ck_assert_ptr_null(law->sections[1].jurisdiction);
    ck_assert_ptr_null(law->sections[1].texts[0].jurisdiction);
    ck_assert(text_equal(law->levels[0]->name->text, TEXT("halloway")));
    world_free(&world);
}
END_TEST

START_TEST(a_deletion_covers_subdivisions_and_is_kept_in_mind)
{
    static const char sections[] =
        SECTION("5-401.11(A)") SECTION("5-401.11(B)") SECTION("5-401.110") SECTION("5-402");
    ck_numbers(sections, "", C1 "delete \"5-401.11\"\n", "5-401.110 5-402");
    ck_numbers(sections, "", C1 "delete \"5-401.11(B)\", \"5-402\"\n", "5-401.11(A) 5-401.110");
    ck_numbers(sections, "", C1 "delete \"5\"\n", "");
    World world = make(sections, "", C1 "delete \"5-401.11\"\n");
    LawTree *law = world_law(&world, "quillmark", "2026-01-01");
    ck_assert_uint_eq(law->deleted_count, 2);
    ck_assert(text_equal(law->deleted[1].section->number, TEXT("5-401.11(B)")));
    ck_assert(text_equal(law->deleted[1].link.by, TEXT("Ord. 1")));
    world_free(&world);
    ck_error(sections, S2 "delete \"5-401.11(A)\"\n", C1 READ("5-401.11(A)", "1 in"),
             "already deleted", "\"5-401.11(A)\"", "delete", "'halloway' deletes it here");
    ck_error(sections, S2 "delete \"5-401.11\"\n", C1 "delete \"5-401.11\"\n", "already deleted",
             "\"5-401.11\"", "delete", "'halloway' deletes it here");
    ck_numbers(sections, S2 "delete \"5-401.11(A)\"\n", C1 "delete \"5-401.11\"\n",
               "5-401.110 5-402");
}
END_TEST

START_TEST(an_inserted_section_follows_the_number_before_it)
{
    static const char sections[] = SECTION("6-14.2(B)") SECTION("6-14.10") SECTION("6-3");
    ck_numbers(sections, "", C1 INSERT("6-14.2(D)") INSERT("6-14.9") INSERT("6-14.11"),
               "6-14.2(B) 6-14.2(D) 6-14.9 6-14.10 6-14.11 6-3");
    ck_numbers(sections, "", C1 INSERT("5") INSERT("2") INSERT("6-4"),
               "2 5 6-14.2(B) 6-14.10 6-3 6-4");
    ck_numbers(sections, S2 INSERT("6-14.2(D)"), C1 INSERT("6-14.2(C)"),
               "6-14.2(B) 6-14.2(C) 6-14.2(D) 6-14.10 6-3");
    ck_numbers(sections, "", C1 "delete \"6-14.10\"\n" INSERT("6-14.10"), "6-14.2(B) 6-14.10 6-3");
    ck_numbers("section \"9\" part a shall width <= 1 in end\n", "",
               C1 "insert section \"9\" part b shall width <= 1 in end\n", "9/a 9/b");
    ck_numbers(SECTION("5-1") SECTION("5-B"), "", C1 INSERT("5-A") INSERT("5-20"),
               "5-1 5-20 5-A 5-B");
    ck_numbers(SECTION("007") SECTION("08"), "", C1 INSERT("7") INSERT("9"), "007 7 08 9");
    ck_error(sections, "", C1 INSERT("6-3"), "section already there", "\"6-3\"", "\"6-3\"",
             "is here");
    ck_error("section \"9\" part a shall width <= 1 in end\n", "",
             C1 "insert section \"9\" part a shall width <= 1 in end\n", "section already there",
             "\"9\"", "\"9\"", "'9' part a is here");
    ck_error("section \"9\" part a shall width <= 1 in end\n", "", C1 INSERT("9"),
             "section already there", "\"9\"", "\"9\"", "'9' part a is here");
}
END_TEST

START_TEST(two_changes_of_one_section_on_one_day_are_an_error)
{
    static const char tie[] = "two changes on one day";
    static const char sections[] = SECTION("1") SECTION("2(a)") SECTION("2(b)");
    ck_error(sections, "", C1 READ("1", "1 in") C2 READ("1", "2 in"), tie,
             "amend \"1\" to read shall width <= 2", "amend \"1\" to read shall width <= 1",
             "the other change");
    ck_error(sections, "", C1 READ("1", "1 in") C2 "amend \"1\" limit to 2 in\n", tie,
             "amend \"1\" limit", "amend \"1\" to read", "");
    ck_error(sections, "", C1 READ("2(b)", "1 in") C2 "delete \"2\"\n", tie, "delete", "amend", "");
    ck_error(sections, "", C1 "delete \"1\"\n" C2 INSERT("1"), tie, "insert", "delete", "");
    ck_error(sections, "", C1 INSERT("3") C2 READ("3", "1 in"), tie, "amend", "insert", "");
    ck_section("", C1 READ("1", "1 in") C2 READ("2", "2 in") C3 READ("1", "3 in"), "1",
               "1/1\n  {shall width <= 3 in}" BASE ", amended quillmark Ord. 1 from 2025-02-01, "
               "amended quillmark Ord. 3 from 2025-03-01\n");
    /* the same day at two levels is no tie: the inner level comes after the outer one */
    ck_section(AMENDS("1", "2025-02-01", "Reg. 5") READ("1", "5 in"), C1 READ("1", "1 in"), "1",
               "1/1\n  {shall width <= 1 in}" BASE ", amended halloway Reg. 5 from 2025-02-01, "
               "amended quillmark Ord. 1 from 2025-02-01\n");
}
END_TEST

START_TEST(one_block_does_not_undo_its_own_change)
{
    static const char sections[] = SECTION("1") SECTION("2");
    ck_error(sections, "", C1 READ("1", "1 in") READ("1", "2 in"), "changed twice",
             "amend \"1\" to read shall width <= 2", "amend \"1\" to read shall width <= 1", "");
    ck_error(sections, "", C1 "amend \"1\" limit to 1 in\n" READ("1", "2 in"), "changed twice",
             "amend \"1\" to read", "amend \"1\" limit", "");
    ck_error(sections, "", C1 "amend \"1\" limit to 1 in\namend \"1\" limit to 2 in\n",
             "changed twice", "amend \"1\" limit to 2", "amend \"1\" limit to 1", "");
    ck_error(sections, "", C1 READ("1", "1 in") "delete \"1\"\n", "changed twice", "delete",
             "amend", "");
    ck_section("", C1 READ("1", "1 in") "amend \"1\" limit to 2 in\n", "1",
               "1/1\n  {shall width <= 1 in} (shall width <= 1 in -> 2 in)" BASE
               ", amended quillmark Ord. 1 from 2025-02-01, limit quillmark Ord. 1 from "
               "2025-02-01\n");
}
END_TEST

#define RIGHT "delete \"3\"\n" C3 "amend \"2\" limit to 3 in\n"

/* A change with an error has no effect; those beside it have. */
static void expect_left_out(const char *state, const char *county, int line)
{
    static const char sections[] = SECTION("1") SECTION("2") SECTION("3");
    Arena *arena = arena_new();
    Text both = text_format(arena, "%s%s", county, RIGHT);
    Text alone = text_format(arena, "%s%s", C1, RIGHT);
    World with = make(sections, state, text_string(arena, both));
    World without = make(sections, state, text_string(arena, alone));
    LawTree *law = world_law(&with, "quillmark", "2026-01-01");
    ck_assert_msg(with.diags.errors == 1, "line %d: %s", line, world_errors(&with));
    with.diags = diagnostics_make(with.arena);
    LawTree *expected = world_law(&without, "quillmark", "2026-01-01");
    ck_assert_str_eq(law_words(&with, law), law_words(&without, expected));
    for (uint32_t i = 0; i < law->section_count; i++) {
        bool was_changed = law->sections[i].jurisdiction != NULL;
        ck_assert_int_eq(was_changed, expected->sections[i].jurisdiction != NULL);
    }
    world_free(&with);
    world_free(&without);
    arena_free(arena);
}

START_TEST(a_change_with_an_error_is_left_out_alone)
{
    static const char *const wrong[][2] = {
        {S2 "not to be amended locally \"1\"\n", C1 READ("1", "1 in")},
        {S2 "not to be amended locally \"1\"\n", C1 INSERT("1(b)")},
        {S2 "locally at least as strict in \"1\"\n", C1 "delete \"1\"\n"},
        {"", C1 "amend \"1\" limit high to 3 in\n"},
        {"", C1 READ("4", "1 in")},
        {"", C1 INSERT("1")},
        {S2 "locally at least as strict in \"1\"\n", C1 "amend \"1\" limit high to 3 in\n"},
    };
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        expect_left_out(wrong[i][0], wrong[i][1], (int)i);
    }
    World world = make(SECTION("1"), "", C1 READ("1", "1 in") C2 READ("1", "2 in"));
    LawTree *law = world_law(&world, "quillmark", "2026-01-01");
    ck_assert_str_eq(law_section(&world, law, "1"), "1/1\n  {shall width <= 1 in}" BASE
                                                    ", amended quillmark Ord. 1 from 2025-02-01\n");
    world_free(&world);
    world = make(SECTION("1"), "", C1 "amend \"1\" limit to 1 in\namend \"1\" limit to 2 in\n");
    law = world_law(&world, "quillmark", "2026-01-01");
    ck_assert_str_eq(law_section(&world, law, "1"),
                     "1/1\n  {shall width <= 24 in} (shall width <= 24 in -> 1 in)" BASE
                     ", limit quillmark Ord. 1 from 2025-02-01\n");
    world_free(&world);
}
END_TEST

/* ---- limits ---- */

#define LINES                                                                                      \
    "section \"1\" shall wide: width <= 24 in shall high: height <= 20 in shall width is present " \
    "except to wide where height > 9 in shall other: width <= 30 in end\n"

START_TEST(a_limit_is_replaced_in_exactly_one_line)
{
    static const char lines[] = LINES;
    World world =
        make(lines, "", C1 "amend \"1\" limit high to 9 in\namend \"1\" limit other to 8 in\n");
    LawTree *law = world_law(&world, "quillmark", "2026-01-01");
    expect_none(&world);
    const TextTree *text = &law->sections[0].texts[0];
    ck_assert_uint_eq(text->limit_count, 2);
    ck_assert_ptr_eq(text->limits[0].line, text->body->lines->next);
    ck_assert_ptr_eq(text->limits[1].line, text->body->exceptions->lines);
    world_free(&world);

    ck_error(lines, "", C1 "amend \"1\" limit to 9 in\n", "line not named", "amend \"1\" limit",
             "shall high: height", "line 'high'");
    ck_error(lines, "", C1 "amend \"1\" limit hgh to 9 in\n", "no such line", "hgh", "",
             "did you mean 'high'?");
    ck_error(lines, "", C1 "amend \"1\" limit deep to 9 in\n", "no such line", "deep",
             "shall other: width", "line 'other'");
    world = make(lines, "", C1 "amend \"1\" limit deep to 9 in\n");
    (void)world_law(&world, "quillmark", "2026-01-01");
    ck_assert(strstr(world_errors(&world), "did you mean") == NULL); /* nothing is near */
    world_free(&world);
    ck_error("section \"1\" shall width is present end\n", "", C1 "amend \"1\" limit to 9 in\n",
             "no limit to replace", "amend \"1\" limit", "\"1\"", "the section");
    ck_error("section \"1\" shall a: width is present end\n", "",
             C1 "amend \"1\" limit a to 9 in\n", "no limit to replace", "a",
             "shall a:", "line 'a'");
    ck_error("section \"1\" shall a: width <= 1 in shall a: height <= 1 in end\n", "",
             C1 "amend \"1\" limit a to 9 in\n", "several lines", "a", "shall a: height",
             "line 'a'");
    /* one comparison outside exceptions needs no label, whatever stands beside it */
    ck_section("", C1 "amend \"1\" limit to 9 in\n", "1",
               "1/1\n  {shall width <= 24 in} (shall width <= 24 in -> 9 in)" BASE
               ", limit quillmark Ord. 1 from 2025-02-01\n");
}
END_TEST

START_TEST(a_later_limit_of_a_line_takes_the_place_of_the_earlier_one)
{
    ck_section(S2 "amend \"1\" limit to 9 in\n",
               C1 "amend \"1\" limit to 8 in\n" C3 "amend \"1\" limit to 7 in\n", "1",
               "1/1\n  {shall width <= 24 in} (shall width <= 24 in -> 7 in)" BASE
               ", limit halloway Reg. 2 from 2025-06-01, limit quillmark Ord. 1 from 2025-02-01, "
               "limit quillmark Ord. 3 from 2025-03-01\n");
}
END_TEST

/* ---- permit dates ---- */

#define FOR_NEW(number, day, limit)                                                              \
    "amend \"" number "\" to read for units permitted on or after " day " shall width <= " limit \
    " end\n"

START_TEST(a_changed_text_leaves_the_former_one_to_older_permits)
{
    ck_section("", C1 FOR_NEW("1", "2025-07-01", "9 in"), "1",
               "1/1\n  before 2025-07-01 {shall width <= 24 in}" BASE
               "\n  from 2025-07-01 {shall width <= 9 in}" BASE
               ", amended quillmark Ord. 1 from 2025-02-01\n");
    ck_section("", C1 FOR_NEW("1", "2025-07-01", "9 in") C3 FOR_NEW("1", "2025-09-01", "8 in"), "1",
               "1/1\n  before 2025-07-01 {shall width <= 24 in}" BASE
               "\n  from 2025-07-01 before 2025-09-01 {shall width <= 9 in}" BASE
               ", amended quillmark Ord. 1 from 2025-02-01"
               "\n  from 2025-09-01 {shall width <= 8 in}" BASE
               ", amended quillmark Ord. 1 from 2025-02-01, amended quillmark Ord. 3 from "
               "2025-03-01\n");
    /* a later text for earlier permits takes all that the former ones had from its day on */
    ck_section("", C1 FOR_NEW("1", "2025-07-01", "9 in") C3 FOR_NEW("1", "2025-05-01", "8 in"), "1",
               "1/1\n  before 2025-05-01 {shall width <= 24 in}" BASE
               "\n  from 2025-05-01 {shall width <= 8 in}" BASE
               ", amended quillmark Ord. 1 from 2025-02-01, amended quillmark Ord. 3 from "
               "2025-03-01\n");
    ck_section("", C1 FOR_NEW("1", "2025-07-01", "9 in") C3 READ("1", "8 in"), "1",
               "1/1\n  {shall width <= 8 in}" BASE ", amended quillmark Ord. 1 from 2025-02-01, "
               "amended quillmark Ord. 3 from 2025-03-01\n");
    ck_section("",
               C1 "amend \"1\" to read for units permitted before 2020-01-01 shall width <= 9 in "
                  "end\n",
               "1",
               "1/1\n  before 2020-01-01 {shall width <= 9 in}" BASE
               ", amended quillmark Ord. 1 from 2025-02-01\n  from 2020-01-01 {shall width <= 24 "
               "in}" BASE "\n");
}
END_TEST

START_TEST(a_limit_is_changed_in_every_text_or_in_none)
{
    ck_section("", C1 FOR_NEW("1", "2025-07-01", "9 in") C3 "amend \"1\" limit to 5 in\n", "1",
               "1/1\n  before 2025-07-01 {shall width <= 24 in} (shall width <= 24 in -> 5 in)" BASE
               ", limit quillmark Ord. 3 from 2025-03-01"
               "\n  from 2025-07-01 {shall width <= 9 in} (shall width <= 9 in -> 5 in)" BASE
               ", amended quillmark Ord. 1 from 2025-02-01, limit quillmark Ord. 3 from "
               "2025-03-01\n");
    ck_error(SECTION("1"), "",
             C1 "amend \"1\" to read for units permitted on or after 2025-07-01 "
                "shall new: width <= 9 in end\n" C3 "amend \"1\" limit new to 5 in\n",
             "no such line", "new", "\"1\"", "the section");
}
END_TEST

START_TEST(permit_clauses_of_a_section_are_kept_apart)
{
    static const char sections[] =
        "section \"1\" for units permitted on or after 2025-07-01 shall width <= 1 in end\n"
        "section \"2\" not for units under permit before 1996-01-01 shall width <= 2 in end\n"
        "section \"3\" not for units under permit on 1996-01-01 shall width <= 3 in end\n"
        "section \"4\" for units permitted before 2025-07-01 shall width <= 4 in end\n";
    World world = make(sections, "", C1 READ("2", "9 in"));
    LawTree *law = world_law(&world, "quillmark", "2026-01-01");
    ck_assert_str_eq(law_section(&world, law, "1"),
                     "1/1\n  from 2025-07-01 {shall width <= 1 in}" BASE "\n");
    ck_assert_str_eq(
        law_section(&world, law, "2"),
        "1/2\n  {shall width <= 9 in}" BASE
        ", amended quillmark Ord. 1 from 2025-02-01\n"); /* the clause is replaced too */
    ck_assert_str_eq(law_section(&world, law, "3"),
                     "1/3\n  not on 1996-01-01 {shall width <= 3 in}" BASE "\n");
    ck_assert_str_eq(law_section(&world, law, "4"),
                     "1/4\n  before 2025-07-01 {shall width <= 4 in}" BASE "\n");
    LawTree *upper = world_law(&world, "halloway", "2026-01-01");
    ck_assert_str_eq(law_section(&world, upper, "2"),
                     "1/2\n  not before 1996-01-01 {shall width <= 2 in}" BASE "\n");
    world_free(&world);
}
END_TEST

/* ---- floors and guards ---- */

#define FLOOR S2 "locally at least as strict in \"1\"\n"
#define GUARD S2 "not to be amended locally \"1\"\n"

START_TEST(a_floor_stays_in_force_beside_the_local_text)
{
    ck_section(FLOOR, C1 READ("1", "9 in"), "1",
               "1/1\n  {shall width <= 9 in}" BASE ", amended quillmark Ord. 1 from 2025-02-01\n"
               "  floor {shall width <= 24 in}" BASE "\n");
    /* what the level itself changes belongs to the floor, be it before or after the declaration */
    ck_section(
        FLOOR READ("1", "20 in") AMENDS("1", "2025-08-01", "Reg. 3") "amend \"1\" limit to 19 in\n",
        C1 "amend \"1\" limit to 9 in\n", "1",
        "1/1\n  {shall width <= 20 in} (shall width <= 20 in -> 9 in)" BASE
        ", amended halloway Reg. 2 from 2025-06-01, limit halloway Reg. 3 from 2025-08-01, "
        "limit quillmark Ord. 1 from 2025-02-01\n"
        "  floor {shall width <= 20 in} (shall width <= 20 in -> 19 in)" BASE
        ", amended halloway Reg. 2 from 2025-06-01, limit halloway Reg. 3 from 2025-08-01\n");
    ck_section(FLOOR, C1 READ("1", "9 in") C3 READ("1", "8 in"), "1",
               "1/1\n  {shall width <= 8 in}" BASE ", amended quillmark Ord. 1 from 2025-02-01, "
               "amended quillmark Ord. 3 from 2025-03-01\n  floor {shall width <= 24 in}" BASE
               "\n");
    ck_section(FLOOR, C1 READ("2", "9 in"), "1", "1/1\n  {shall width <= 24 in}" BASE "\n");
    /* where older permits keep the upper text there is nothing beside it */
    ck_section(FLOOR, C1 FOR_NEW("1", "2025-07-01", "9 in"), "1",
               "1/1\n  before 2025-07-01 {shall width <= 24 in}" BASE
               "\n  from 2025-07-01 {shall width <= 9 in}" BASE
               ", amended quillmark Ord. 1 from 2025-02-01\n"
               "  floor from 2025-07-01 {shall width <= 24 in}" BASE "\n");
    ck_section(FLOOR, C1 INSERT("1(z)"), "1(z)",
               "1/1(z)\n  {shall width <= 9 in}" BASE ", inserted quillmark Ord. 1 from "
               "2025-02-01\n");
    ck_section(FLOOR, ADOPTS("1", "2025-04-01", "Ord. 9") READ("1", "3 in"), "1",
               "1/1\n  {shall width <= 3 in}" BASE ", adopted quillmark Ord. 9 from 2025-04-01, "
               "amended quillmark Ord. 9 from 2025-04-01\n  floor {shall width <= 24 in}" BASE
               "\n");
}
END_TEST

START_TEST(a_floor_may_not_be_deleted)
{
    ck_error(SECTION("1(a)") SECTION("2"), FLOOR, C1 "delete \"1\"\n", "floor deleted", "delete",
             "locally at least as strict", "'halloway' says");
    ck_numbers(SECTION("1") SECTION("2"), FLOOR "delete \"2\"\n", C1 INSERT("3"), "1 3");
}
END_TEST

/* Three levels: what a county keeps in its turn is the county's text. */
START_TEST(each_level_may_keep_a_floor)
{
    World world =
        WORLD(VOCABULARY, CODE("1", SECTION("1")),
              STATE(ADOPTS("1", "2025-01-01", "Reg. 1") "locally at least as strict in \"1\"\n"),
              COUNTY(C1 READ("1", "9 in") "locally at least as strict in \"1\"\n"),
              TOWN(AMENDS("1", "2025-04-01", "By-law") READ("1", "8 in")));
    LawTree *law = world_law(&world, "brim", "2026-01-01");
    expect_none(&world);
    ck_assert_str_eq(law_section(&world, law, "1"),
                     "1/1\n  {shall width <= 8 in}" BASE
                     ", amended quillmark Ord. 1 from 2025-02-01, amended brim By-law from "
                     "2025-04-01\n  floor {shall width <= 24 in}" BASE
                     "\n  floor {shall width <= 9 in}" BASE
                     ", amended quillmark Ord. 1 from 2025-02-01\n");
    world_free(&world);
}
END_TEST

START_TEST(what_is_not_to_be_amended_locally_is_not)
{
    static const char guarded[] = "not to be amended locally";
    static const char sections[] = SECTION("1(a)") SECTION("2");
    ck_error(sections, GUARD, C1 READ("1(a)", "1 in"), guarded, "amend \"1(a)\"", guarded,
             "'halloway' keeps");
    ck_error(sections, GUARD, C1 "amend \"1(a)\" limit to 1 in\n", guarded, "amend", guarded, "");
    ck_error(sections, GUARD, C1 "delete \"1\"\n", guarded, "delete", guarded, "");
    ck_error(sections, GUARD, C1 INSERT("1(b)"), guarded, "insert", guarded, "");
    /* a date does not help: the guard is of a level above */
    ck_error(sections, GUARD, AMENDS("1", "2025-12-01", "Ord. 7") READ("1(a)", "1 in"), guarded,
             "amend", guarded, "");
    ck_numbers(sections,
               GUARD INSERT("1(b)") "delete \"1(a)\"\n"
                                    "not to be amended locally \"2\"\n",
               C1 INSERT("3"), "1(b) 2 3");
    ck_numbers(SECTION("1(a)") SECTION("10"), GUARD, C1 "delete \"10\"\n", "1(a)");
}
END_TEST

/* ---- clauses that rest on deleted sections ---- */

#define RESTS                                                                                     \
    "section \"6-1\" shall width <= 1 in except where height > 1 in by \"6-2(C)\" unless height " \
    "> 9 "                                                                                        \
    "in by \"7\" end\n"                                                                           \
    "section \"6-2(C)\" shall width <= 2 in end\n" SECTION("7") SECTION("8")                      \
        SECTION("8-1") "section \"9\" shall width <= 1 in notwithstanding \"8\" end\n"

START_TEST(a_clause_does_not_rest_on_a_deleted_section)
{
    static const char rests[] = "rests on a deleted section";
    static const char sections[] = RESTS;
    ck_error(sections, "", C1 "delete \"6-2(C)\"\n", rests, "", "delete \"6-2(C)\"", "deletes it");
    ck_error(sections, "", C1 "delete \"6-2\"\n", rests, "", "delete \"6-2\"", "deletes it");
    ck_error(sections, "", C1 "delete \"7\"\n", rests, "", "delete \"7\"", "deletes it");
    ck_error(sections, "", C1 "delete \"8\"\n", rests, "\"8\"", "delete \"8\"", "deletes it");
    ck_numbers(sections, "", C1 "delete \"8-1\"\n", "6-1 6-2(C) 7 8 9");
    ck_numbers(sections, "", C1 "delete \"6-2(C)\"\n" READ("6-1", "1 in"), "6-1 7 8 8-1 9");
    ck_numbers(sections, "", C1 "delete \"7\"\n" C3 INSERT("7"), "6-1 6-2(C) 7 8 8-1 9");
    ck_numbers(sections, "", C1 "delete \"6\", \"7\"\n", "8 8-1 9");
    /* a subdivision that was never written goes with what it stands in; a part by itself */
    ck_error(
        "section \"1\" shall width <= 1 in except where height > 1 in by \"5(A)(1)\" end\n" SECTION(
            "5"),
        "", C1 "delete \"5\"\n", rests, "", "delete \"5\"", "deletes it");
    ck_error(
        "section \"1\" shall width <= 1 in notwithstanding \"5\" part a end\n"
        "section \"5\" part a shall width <= 1 in end section \"5\" part b shall width <= 1 in "
        "end\n",
        "", C1 "delete \"5\" part a\n", rests, "\"5\" part a", "delete \"5\"", "deletes it");
    ck_numbers(
        "section \"1\" shall width <= 1 in notwithstanding \"5\" part b end\n"
        "section \"5\" part a shall width <= 1 in end section \"5\" part b shall width <= 1 in "
        "end\n",
        "", C1 "delete \"5\" part a\n", "1 5/b");
    /* what the files never held is only a citation */
    ck_numbers(
        "section \"1\" shall width <= 1 in except where height > 1 in by \"5-5\" end\n" SECTION(
            "5-6"),
        "", C1 "delete \"5-6\"\n", "1");
}
END_TEST

Suite *law_suite(void)
{
    Suite *suite = suite_create("law");
    TCase *tcase = tcase_create("changes");
    tcase_add_test(tcase, a_target_covers_parts_and_subdivisions);
    tcase_add_test(tcase, an_amendment_that_hits_nothing_names_both_places_and_the_nearest);
    tcase_add_test(tcase, an_amendment_names_exactly_one_section);
    tcase_add_test(tcase, a_text_carries_its_whole_chain);
    tcase_add_test(tcase, the_last_to_change_a_section_and_the_author_of_a_text_are_known);
    tcase_add_test(tcase, a_deletion_covers_subdivisions_and_is_kept_in_mind);
    tcase_add_test(tcase, an_inserted_section_follows_the_number_before_it);
    tcase_add_test(tcase, two_changes_of_one_section_on_one_day_are_an_error);
    tcase_add_test(tcase, one_block_does_not_undo_its_own_change);
    tcase_add_test(tcase, a_change_with_an_error_is_left_out_alone);
    tcase_add_test(tcase, a_limit_is_replaced_in_exactly_one_line);
    tcase_add_test(tcase, a_later_limit_of_a_line_takes_the_place_of_the_earlier_one);
    tcase_add_test(tcase, a_changed_text_leaves_the_former_one_to_older_permits);
    tcase_add_test(tcase, a_limit_is_changed_in_every_text_or_in_none);
    tcase_add_test(tcase, permit_clauses_of_a_section_are_kept_apart);
    tcase_add_test(tcase, a_floor_stays_in_force_beside_the_local_text);
    tcase_add_test(tcase, a_floor_may_not_be_deleted);
    tcase_add_test(tcase, each_level_may_keep_a_floor);
    tcase_add_test(tcase, what_is_not_to_be_amended_locally_is_not);
    tcase_add_test(tcase, a_clause_does_not_rest_on_a_deleted_section);
    suite_add_tcase(suite, tcase);
    return suite;
}
