/* law/assembly: texts for some units beside those for others, existing units that follow later, and
 * what is never waived. The rules are those of docs/language.md, section 8. That two texts of one
 * section stand side by side for units of two kinds, and that existing units are given a later
 * day, is in the trade facts on how rules change. All demo law is invented. */
#include "changes_world.h"

/* ---- waivers ---- */

static const char *never_waived(World *world, const LawTree *law)
{
    Buffer out = buffer_make(world->arena);
    for (uint32_t i = 0; i < law->section_count; i++) {
        const SectionTreeInForce *section = &law->sections[i];
        if (section->never_waived) {
            Text words = place_text(section->never_waived_place);
            buffer_format(&out, "%.*s: %.*s\n", TEXT_ARG(section->section->number),
                          TEXT_ARG(words));
        }
    }
    return text_string(world->arena, buffer_done(&out));
}

static void expect_waived(const char *code, const char *state, const char *county,
                          const char *expected, int line)
{
    World world = make(code, state, county);
    LawTree *law = world_law(&world, "quillmark", "2026-01-01");
    world_expect_none(&world, line);
    const char *found = never_waived(&world, law);
    ck_assert_msg(strcmp(found, expected) == 0, "line %d: %s instead of %s", line, found, expected);
    world_free(&world);
}

START_TEST(what_is_not_to_be_waived_is_known_with_its_place)
{
    expect_waived("section \"1\" not to be waived shall width <= 1 in end\n" SECTION("2"), "", "",
                  "1: not to be waived\n", __LINE__);
    expect_waived(SECTION("1") SECTION("1(a)") SECTION("10"), S2 "not to be waived \"1\"\n", "",
                  "1: not to be waived \"1\"\n1(a): not to be waived \"1\"\n", __LINE__);
    expect_waived(
        "section \"9\" part a shall width <= 1 in end section \"9\" part b shall width <= "
        "1 in end\n",
        S2 "not to be waived \"9\" part b\n", "", "9: not to be waived \"9\" part b\n", __LINE__);
    /* sections inserted and renumbered later as well */
    expect_waived(SECTION("1") SECTION("2"), S2 "not to be waived \"1\"\n",
                  C1 INSERT("1(z)") INSERT("3") RENUMBER("1", "8"),
                  "1(z): not to be waived \"1\"\n8: not to be waived \"1\"\n", __LINE__);
    expect_waived(SECTION("1"), S2 "not to be waived \"1\"\n", C1 READ("1", "9 in"),
                  "1: not to be waived \"1\"\n", __LINE__);
    expect_waived(SECTION("1"), "", C1 "not to be waived \"1\"\n", "1: not to be waived \"1\"\n",
                  __LINE__);
    expect_waived(SIZES, PREEMPTS("size"), C1 "not to be waived \"1\", \"2\"\n",
                  "2: not to be waived \"1\", \"2\"\n", __LINE__);
    ck_error(SECTION("1"), "", C1 "not to be waived \"2\"\n", "no such section", "\"2\"", "larder",
             "");
}
END_TEST

/* ---- units ---- */

#define FOR_NEW(number, day, limit)                                                              \
    "amend \"" number "\" to read for units permitted on or after " day " shall width <= " limit \
    " end\n"

START_TEST(a_code_and_its_sections_are_for_some_units)
{
    static const char scoped[] =
        "for units where " TALL "\n" SECTION("1") "section \"2\" for units where " WIDE
                                                  " shall width <= 2 in end\n";
    ck_section(scoped, "", "", "1", "1/1\n  where height > 6 ft {shall width <= 24 in}" BASE "\n");
    ck_section(scoped, "", "", "2",
               "1/2\n  where height > 6 ft where width > 8 ft {shall width <= 2 in}" BASE "\n");
    /* `to read` replaces the section's own words on units, not the code's */
    ck_section(scoped, "", C1 READ("2", "9 in"), "2",
               "1/2\n  where height > 6 ft {shall width <= 9 in}" BASE BY1 "\n");
    ck_section(scoped, "",
               C1 "insert section \"3\" for units where " WIDE " shall width <= 3 in "
                  "end\n",
               "3",
               "1/3\n  where height > 6 ft where width > 8 ft {shall width <= 3 in}" BASE
               ", inserted "
               "quillmark Ord. 1 from 2025-02-01\n");
    World world = make(scoped, "", "");
    const CodeTree *code = world.library->codes[0];
    LawTree *law = law_of_code(world.arena, world.library, code);
    ck_assert_uint_eq(law->sections[1].texts[0].scope_count, 2);
    ck_assert_ptr_null(law->sections[1].texts[0].scopes[1].jurisdiction);
    ck_assert_ptr_eq(law->sections[1].texts[0].scopes[1].code, code);
    world_free(&world);
}
END_TEST

START_TEST(an_adoption_is_for_some_units)
{
    static const char code[] = SECTION("1") SECTION("2");
    World world = WORLD(
        VOCABULARY, CODE("1", SECTION("1") SECTION("2")),
        STATE(ADOPTS("1", "2025-01-01", "Reg. 1") "for units where " TALL "\n" READ(
            "2", "9 in") "locally at least as strict in \"1\"\n"),
        COUNTY(ADOPTS("1", "2025-02-01", "Ord. 1") "for units where " WIDE "\n" READ("1", "8 in")));
    LawTree *law = world_law(&world, "quillmark", "2026-01-01");
    expect_none(&world);
    /* all texts of the code, whoever wrote them; the floor is as the state has it */
    ck_assert_str_eq(law_section(&world, law, "1"),
                     "1/1\n  where height > 6 ft where width > 8 ft {shall width <= 8 in}" BASE
                     ", adopted quillmark Ord. 1 from 2025-02-01" BY1
                     "\n  floor where height > 6 ft {shall width <= 24 in}" BASE "\n");
    ck_assert_str_eq(law_section(&world, law, "2"),
                     "1/2\n  where height > 6 ft where width > 8 ft {shall width <= 9 in}" BASE
                     ", amended halloway Reg. 1 from 2025-01-01, adopted quillmark Ord. 1 from "
                     "2025-02-01\n");
    ck_assert_ptr_eq(law->sections[0].texts[0].scopes[1].jurisdiction, law->levels[1]);
    world_free(&world);
    /* several conditions: all of them */
    ck_section(code, "",
               ADOPTS("1", "2025-02-01", "Ord. 1") "for units where " TALL "\nfor units where " WIDE
                                                   "\n",
               "1",
               "1/1\n  where height > 6 ft, width > 8 ft {shall width <= 24 in}" BASE
               ", adopted quillmark Ord. 1 from 2025-02-01\n");
}
END_TEST

START_TEST(other_units_keep_the_former_text)
{
    static const char both[] = "1/1\n  where height > 6 ft {shall width <= 9 in}" BASE BY1
                               "\n  not where height > 6 ft {shall width <= 24 in}" BASE "\n";
    ck_section(SECTION("1"), "", C1 READ_FOR("1", TALL, "9 in"), "1", both);
    ck_section(SECTION("1"), "", C1 "for units where " TALL "\n" READ("1", "9 in"), "1", both);
    /* the words of the act and those of the text: both must hold */
    ck_section(SECTION("1"), "", C1 "for units where " TALL "\n" READ_FOR("1", WIDE, "9 in"), "1",
               "1/1\n  where height > 6 ft, width > 8 ft {shall width <= 9 in}" BASE BY1
               "\n  not where height > 6 ft, width > 8 ft {shall width <= 24 in}" BASE "\n");
    /* for some units and permit dates */
    ck_section(SECTION("1"), "",
               C1 "amend \"1\" to read for units permitted on or after 2025-07-01 for units "
                  "where " TALL " shall width <= 9 in end\n",
               "1",
               "1/1\n  before 2025-07-01 {shall width <= 24 in}" BASE
               "\n  from 2025-07-01 where height > 6 ft {shall width <= 9 in}" BASE BY1
               "\n  from 2025-07-01 not where height > 6 ft {shall width <= 24 in}" BASE "\n");
    ck_section(SECTION("1"), "",
               C1 FOR_NEW("1", "2025-07-01", "9 in") C3 READ_FOR("1", TALL, "8 in"), "1",
               "1/1\n  where height > 6 ft {shall width <= 8 in}" BASE BY1
               ", amended quillmark Ord. 3 from 2025-03-01"
               "\n  before 2025-07-01 not where height > 6 ft {shall width <= 24 in}" BASE
               "\n  from 2025-07-01 not where height > 6 ft {shall width <= 9 in}" BASE BY1 "\n");
    ck_section(SECTION("1"), "", C1 READ_FOR("1", TALL, "9 in") C3 READ("1", "8 in"), "1",
               "1/1\n  {shall width <= 8 in}" BASE BY1
               ", amended quillmark Ord. 3 from 2025-03-01\n");
    ck_section(SECTION("1"), "", C1 READ_FOR("1", TALL, "9 in") C3 READ_FOR("1", WIDE, "8 in"), "1",
               "1/1\n  where width > 8 ft {shall width <= 8 in}" BASE BY1
               ", amended quillmark Ord. 3 from 2025-03-01"
               "\n  where height > 6 ft not where width > 8 ft {shall width <= 9 in}" BASE BY1
               "\n  not where height > 6 ft not where width > 8 ft {shall width <= 24 in}" BASE
               "\n");
    /* one act may write a text for each kind of unit */
    ck_section(SECTION("1"), "", C1 READ_FOR("1", TALL, "9 in") READ_FOR("1", WIDE, "8 in"), "1",
               "1/1\n  where width > 8 ft {shall width <= 8 in}" BASE BY1 BY1
               "\n  where height > 6 ft not where width > 8 ft {shall width <= 9 in}" BASE BY1
               "\n  not where height > 6 ft not where width > 8 ft {shall width <= 24 in}" BASE
               "\n");
    ck_error(SECTION("1"), "", C1 READ_FOR("1", TALL, "9 in") READ("1", "8 in"), "changed twice",
             "amend \"1\" to read shall", "amend \"1\" to read for", "");
}
END_TEST

START_TEST(parts_of_a_text_are_changed_for_some_units)
{
    static const char tall[] = C1 "for units where " TALL "\n";
    Arena *arena = arena_new();
    ck_section(SECTION("1"), "",
               text_string(arena, text_format(arena, "%s%s", tall, LIMIT("1", "9 in"))), "1",
               "1/1\n  where height > 6 ft {shall width <= 24 in} (shall width <= 24 in -> 9 "
               "in)" BASE LIMIT1 "\n  not where height > 6 ft {shall width <= 24 in}" BASE "\n");
    /* two parts by one act are changed for the same units: two texts, not four */
    ck_section(EXCEPTED, "",
               text_string(arena, text_format(arena, "%s%samend \"1\" to delete exception \"2\"\n",
                                              tall, LIMIT("1", "9 in"))),
               "1",
               "1/1\n  where height > 6 ft {shall width <= 24 in} (shall width <= 24 in -> 9 "
               "in)" BASE LIMIT1 ", exception quillmark Ord. 1 from 2025-02-01"
               "\n  not where height > 6 ft {shall width <= 24 in}" BASE "\n");
    ck_section(SECTION("1"), "",
               text_string(arena, text_format(arena, "%s%s%s", tall, READ("1", "8 in"),
                                              LIMIT("1", "9 in"))),
               "1",
               "1/1\n  where height > 6 ft {shall width <= 8 in} (shall width <= 8 in -> 9 "
               "in)" BASE BY1 LIMIT1 "\n  not where height > 6 ft {shall width <= 24 in}" BASE
               "\n");
    /* an exception after a limit, in the texts of both */
    ck_section(EXCEPTED, "",
               text_string(arena, text_format(arena,
                                              "%s%s%samend \"1\" to delete exception "
                                              "\"2\"\n",
                                              tall, LIMIT("1", "9 in"), C3)),
               "1",
               "1/1\n  where height > 6 ft {shall width <= 24 in} (shall width <= 24 in -> 9 "
               "in)" BASE LIMIT1 ", exception quillmark Ord. 3 from 2025-03-01"
               "\n  not where height > 6 ft {shall width <= 24 in}" BASE
               ", exception quillmark Ord. 3 from 2025-03-01\n");
    /* taken away for some units; the section stands for the others, and its number is taken */
    Text deletes = text_format(arena, "%sdelete \"1\"\n", tall);
    ck_section(SECTION("1"), "", text_string(arena, deletes), "1",
               "1/1\n  not where height > 6 ft {shall width <= 24 in}" BASE
               "\n  deleted where height > 6 ft {shall width <= 24 in}" BASE BY1 "\n");
    /* a later text for all units is one for these too; a later limit is not */
    ck_section(
        SECTION("1"), "",
        text_string(arena, text_format(arena, "%.*s%s", TEXT_ARG(deletes), C3 READ("1", "8 in"))),
        "1",
        "1/1\n  {shall width <= 8 in}" BASE BY1 ", amended quillmark Ord. 3 from 2025-03-01\n");
    ck_section(
        SECTION("1"), "",
        text_string(arena, text_format(arena, "%.*s%s", TEXT_ARG(deletes), C3 LIMIT("1", "8 in"))),
        "1",
        "1/1\n  not where height > 6 ft {shall width <= 24 in} (shall width <= 24 in -> 8 "
        "in)" BASE ", limit quillmark Ord. 3 from 2025-03-01"
        "\n  deleted where height > 6 ft {shall width <= 24 in}" BASE BY1 "\n");
    ck_section(SECTION("1"), "",
               text_string(arena, text_format(arena, "%.*s%s", TEXT_ARG(deletes),
                                              C3 READ_FOR("1", WIDE, "8 in"))),
               "1",
               "1/1\n  where width > 8 ft {shall width <= 8 in}" BASE BY1
               ", amended quillmark Ord. 3 from 2025-03-01"
               "\n  not where height > 6 ft not where width > 8 ft {shall width <= 24 in}" BASE
               "\n  deleted where height > 6 ft not where width > 8 ft {shall width <= 24 "
               "in}" BASE BY1 "\n");
    ck_error(SECTION("1"), "",
             text_string(arena, text_format(arena, "%.*s%s", TEXT_ARG(deletes), C3 INSERT("1"))),
             "section already there", "\"1\"", "\"1\"", "");
    ck_section(EXCEPTED, "", text_string(arena, text_format(arena, "%sdelete \"2\"\n", tall)), "1",
               "1/1\n  {shall width <= 24 in}" BASE "\n"); /* rests on what is still there */
    ck_section(
        SECTION("1"), "", text_string(arena, text_format(arena, "%s%s", tall, INSERT("2"))), "2",
        "1/2\n  where height > 6 ft {shall width <= 9 in}" BASE ", inserted quillmark Ord. 1 from "
        "2025-02-01\n");
    arena_free(arena);
}
END_TEST

START_TEST(a_floor_stands_for_the_units_that_have_another_text)
{
    static const char floor[] = S2 "locally at least as strict in \"1\"\n";
    ck_section(SECTION("1"), floor, C1 READ_FOR("1", TALL, "9 in"), "1",
               "1/1\n  where height > 6 ft {shall width <= 9 in}" BASE BY1
               "\n  not where height > 6 ft {shall width <= 24 in}" BASE
               "\n  floor where height > 6 ft {shall width <= 24 in}" BASE "\n");
    ck_section(SECTION("1"), floor, C1 "for units where " TALL "\n" LIMIT("1", "9 in"), "1",
               "1/1\n  where height > 6 ft {shall width <= 24 in} (shall width <= 24 in -> 9 "
               "in)" BASE LIMIT1 "\n  not where height > 6 ft {shall width <= 24 in}" BASE
               "\n  floor where height > 6 ft {shall width <= 24 in}" BASE "\n");
    ck_section(
        SECTION("1"), floor, C1 READ_FOR("1", TALL, "9 in") C3 READ_FOR("1", WIDE, "8 in"), "1",
        "1/1\n  where width > 8 ft {shall width <= 8 in}" BASE BY1
        ", amended quillmark Ord. 3 from 2025-03-01"
        "\n  where height > 6 ft not where width > 8 ft {shall width <= 9 in}" BASE BY1
        "\n  not where height > 6 ft not where width > 8 ft {shall width <= 24 in}" BASE
        "\n  floor where height > 6 ft {shall width <= 24 in}" BASE
        "\n  floor not where height > 6 ft where width > 8 ft {shall width <= 24 in}" BASE "\n");
    /* by permit date and by unit */
    ck_section(SECTION("1"), floor,
               C1 "amend \"1\" to read for units permitted on or after 2025-07-01 for units "
                  "where " TALL " shall width <= 9 in end\n",
               "1",
               "1/1\n  before 2025-07-01 {shall width <= 24 in}" BASE
               "\n  from 2025-07-01 where height > 6 ft {shall width <= 9 in}" BASE BY1
               "\n  from 2025-07-01 not where height > 6 ft {shall width <= 24 in}" BASE
               "\n  floor from 2025-07-01 where height > 6 ft {shall width <= 24 in}" BASE "\n");
    /* a floor with texts for some units of its own */
    ck_section(SECTION("1"),
               S2 READ_FOR("1", TALL, "20 in") "locally at least as strict in \"1\"\n",
               C1 READ("1", "9 in"), "1",
               "1/1\n  {shall width <= 9 in}" BASE ", amended halloway Reg. 2 from 2025-06-01" BY1
               "\n  floor where height > 6 ft {shall width <= 20 in}" BASE
               ", amended halloway Reg. 2 from 2025-06-01"
               "\n  floor not where height > 6 ft {shall width <= 24 in}" BASE "\n");
    /* where the upper level has no text it keeps none */
    ck_section(SECTION("1"),
               S2 "for units where " TALL "\ndelete \"1\"\n" AMENDS(
                   "1", "2025-07-01", "Reg. 3") "locally at least as strict in \"1\"\n",
               C1 READ("1", "9 in"), "1",
               "1/1\n  {shall width <= 9 in}" BASE ", amended halloway Reg. 2 from 2025-06-01" BY1
               "\n  floor not where height > 6 ft {shall width <= 24 in}" BASE "\n");
    ck_error(SECTION("1"), floor, C1 "for units where " TALL "\ndelete \"1\"\n", "floor deleted",
             "delete", "locally", "");
}
END_TEST

START_TEST(what_is_not_for_some_units_is_an_error)
{
    static const char units[] = C1 "for units where " TALL "\n";
    static const char *const all[] = {
        RENUMBER("1", "2"),
        "locally at least as strict in \"1\"\n",
        "not to be amended locally \"1\"\n",
        "not to be amended locally in any section\n",
        "not to be waived \"1\"\n",
        "preempts local law on size\n",
        "prevails over cart\n",
    };
    for (size_t i = 0; i < sizeof all / sizeof *all; i++) {
        Arena *arena = arena_new();
        const char *county = text_string(arena, text_format(arena, "%s%s", units, all[i]));
        World world = make(SIZES, "", county);
        LawTree *law = world_law(&world, "quillmark", "2026-01-01");
        world_expect(&world, "not for some units", "", "for units where", "said of all changes",
                     (int)i);
        ck_assert_str_eq(law_numbers(&world, law), "1 2 3");
        ck_assert(!law->sections[0].never_waived);
        world_free(&world);
        arena_free(arena);
    }
    /* in an adoption they are said of the code as it is adopted */
    World world = make(SECTION("1"), "",
                       ADOPTS("1", "2025-02-01", "Ord. 1") "for units where " TALL
                                                           "\nnot to be waived \"1\"\n");
    LawTree *law = world_law(&world, "quillmark", "2026-01-01");
    expect_none(&world);
    ck_assert(law->sections[0].never_waived);
    world_free(&world);
}
END_TEST

/* An adoption for some units that gives way: what carries over does so for those units. */
START_TEST(a_change_carries_its_units_over)
{
    World world =
        WORLD(VOCABULARY, CODE("1", SECTION("1")), CODE("2", SECTION("1")),
              STATE(ADOPTS("1", "2020-01-01", "R1") ADOPTS("2", "2024-01-01", "R2")),
              COUNTY(ADOPTS("1", "2021-01-01", "Ord. 1") "for units where " TALL
                                                         "\namend \"1\" limit to 9 in carries "
                                                         "over\n"));
    LawTree *law = world_law(&world, "quillmark", "2023-01-01");
    expect_none(&world);
    ck_assert_str_eq(law_section(&world, law, "1"),
                     "1/1\n  where height > 6 ft {shall width <= 24 in} (shall width <= 24 in -> 9 "
                     "in) : adopted halloway R1 from 2020-01-01, adopted quillmark Ord. 1 from "
                     "2021-01-01, limit quillmark Ord. 1 from 2021-01-01\n");
    law = world_law(&world, "quillmark", "2025-01-01");
    expect_none(&world);
    ck_assert_str_eq(law_section(&world, law, "1"),
                     "2/1\n  where height > 6 ft {shall width <= 24 in} (shall width <= 24 in -> 9 "
                     "in) : adopted halloway R2 from 2024-01-01, limit quillmark Ord. 1 from "
                     "2021-01-01\n  not where height > 6 ft {shall width <= 24 in} : adopted "
                     "halloway R2 from 2024-01-01\n");
    world_free(&world);
}
END_TEST

START_TEST(a_section_has_not_texts_without_end)
{
    Arena *arena = arena_new();
    Buffer county = buffer_make(arena);
    for (unsigned day = 1; day <= 9; day++) { /* each act parts every text in two: 2, 4, ... 512 */
        buffer_format(&county,
                      "amends larder edition 1 in force from 2025-02-%02u by \"Ord. %u\"\n"
                      "for units where height > %u ft\n" LIMIT("1", "9 in"),
                      day, day, day);
    }
    World world = make(SECTION("1"), "", text_string(arena, buffer_done(&county)));
    LawTree *law = world_law(&world, "quillmark", "2026-01-01");
    expect(&world, "too many texts", "amend \"1\"", NULL, "");
    ck_assert_uint_eq(law->sections[0].text_count, 256);
    world_free(&world);
    arena_free(arena);
}
END_TEST

/* ---- existing units ---- */

#define EXISTING(number, day, limit) \
    "amend \"" number "\" to read existing units from " day " shall width <= " limit " end\n"

START_TEST(existing_units_follow_later)
{
    static const char late[] = C1 EXISTING("1", "2026-01-01", "9 in");
    ck_on("2025-12-31", SECTION("1"), "", late, "1",
          "1/1\n  before 2025-02-01 {shall width <= 24 in}" BASE
          "\n  from 2025-02-01 {shall width <= 9 in}" BASE BY1 "\n");
    ck_on("2026-01-01", SECTION("1"), "", late, "1", "1/1\n  {shall width <= 9 in}" BASE BY1 "\n");
    /* a section of a code: since the code came in force here; before that day, no text */
    static const char code[] =
        "section \"1\" existing units from 2026-01-01 shall width <= 1 in end\n";
    ck_on("2025-12-31", code, "", "", "1",
          "1/1\n  from 2025-01-01 {shall width <= 1 in}" BASE "\n");
    ck_on("2026-01-01", code, "", "", "1", "1/1\n  {shall width <= 1 in}" BASE "\n");
    ck_on("2025-12-31", SECTION("1"), "",
          C1 "insert section \"2\" existing units from 2026-01-01 shall width <= 2 in end\n", "2",
          "1/2\n  from 2025-02-01 {shall width <= 2 in}" BASE ", inserted quillmark Ord. 1 from "
          "2025-02-01\n");
    /* with units: the others keep the former text, whatever the day */
    static const char tall[] = C1 "for units where " TALL "\n" EXISTING("1", "2026-01-01", "9 in");
    ck_on("2025-12-31", SECTION("1"), "", tall, "1",
          "1/1\n  before 2025-02-01 {shall width <= 24 in}" BASE
          "\n  from 2025-02-01 where height > 6 ft {shall width <= 9 in}" BASE BY1
          "\n  from 2025-02-01 not where height > 6 ft {shall width <= 24 in}" BASE "\n");
    ck_on("2026-01-01", SECTION("1"), "", tall, "1",
          "1/1\n  where height > 6 ft {shall width <= 9 in}" BASE BY1
          "\n  not where height > 6 ft {shall width <= 24 in}" BASE "\n");
    World world = make(code, "", "");
    LawTree *law = law_of_code(world.arena, world.library, world.library->codes[0]);
    ck_assert_int_eq(law->sections[0].texts[0].permitted_from, INT32_MIN);
    LawTree *now = world_law(&world, "quillmark", "2025-06-01");
    ck_assert_str_eq(law_days(&world, now->events, now->event_count), "2026-01-01");
    world_free(&world);
}
END_TEST

/* ---- every unit and permit date, one by one ---- */

/* Libraries by chance: the state's acts, its floor, the county's acts, each for units of three
 * conditions and for permit dates of three spans. For each unit and permit date the law must have
 * the one text that an act-by-act reckoning gives, and the floor where that is not the state's. */

enum { CONDITIONS = 3, UNITS = 1 << CONDITIONS, SPANS = 3, ACTS_MAX = 5, WORLDS = 300 };

static const char *const conditions[CONDITIONS] = {"height > 1 ft", "height > 2 ft",
                                                   "height > 3 ft"};
static const char *const span_days[SPANS] = {"2020-06-01", "2025-08-01", "2025-10-01"};

/* What a text says, as the acts make it: a number for each act that last wrote it; 0 none. */
typedef struct Reckoned {
    unsigned texts[UNITS][SPANS];
} Reckoned;

typedef struct Chance {
    uint32_t state;
} Chance;

static uint32_t chance(Chance *chances, uint32_t below)
{
    chances->state = chances->state * 1664525u + 1013904223u;
    return (chances->state >> 16) % below;
}

/* Writes an act, and what it does. An act for all units has condition CONDITIONS; each limit is a
 * number of its own, told apart by it. */
static void make_act(Chance *chances, Buffer *out, Reckoned *law, unsigned number, unsigned day,
                     bool may_delete)
{
    uint32_t condition = chance(chances, CONDITIONS + 1);
    uint32_t kind = chance(chances, may_delete && condition < CONDITIONS ? 4 : 3);
    uint32_t span = kind == 1 ? chance(chances, SPANS) : 0; /* the first one it is for */
    buffer_format(out, "amends larder edition 1 in force from 2025-03-%02u by \"A%u\"\n", day,
                  number);
    if (condition < CONDITIONS) {
        buffer_format(out, "for units where %s\n", conditions[condition]);
    }
    if (kind == 0) {
        buffer_format(out, "amend \"1\" to read shall width <= %u in end\n", number);
    } else if (kind == 1) {
        buffer_format(out,
                      "amend \"1\" to read for units permitted on or after %s shall width <= %u "
                      "in end\n",
                      span_days[span], number);
    } else {
        buffer_format(out, kind == 2 ? "amend \"1\" limit to %u in\n" : "delete \"1\"\n", number);
    }
    for (uint32_t unit = 0; unit < UNITS; unit++) {
        bool is_for = condition == CONDITIONS || (unit >> condition & 1) != 0;
        for (uint32_t at = span; at < SPANS && is_for; at++) {
            unsigned *text = &law->texts[unit][at];
            bool has_any = *text != 0 || kind < 2;
            *text = kind == 3 || !has_any ? 0 : number;
        }
    }
}

static bool stands_for(const TextTree *text, uint32_t unit, Day permit)
{
    bool stands = text->permitted_from <= permit && permit < text->permitted_before;
    for (uint32_t i = 0; i < text->scope_count && stands; i++) {
        bool all = true;
        for (const Expr *at = text->scopes[i].conditions; at != NULL; at = at->next) {
            Text words = place_text((Place){text->scopes[i].source, at->span});
            for (uint32_t c = 0; c < CONDITIONS; c++) {
                bool is_it = text_equal(words, text_of(conditions[c]));
                all = all && (!is_it || (unit >> c & 1) != 0);
            }
        }
        stands = all != text->scopes[i].negated;
    }
    return stands;
}

/* The number in the limit that is in force. */
static unsigned number_of(const TextTree *text)
{
    const Expr *limit =
        text->limit_count > 0 ? text->limits[0].limit : text->body->lines->requirement->b;
    unsigned number = 0;
    for (size_t i = 0; i < limit->text.len && ascii_is_digit(limit->text.data[i]); i++) {
        number = number * 10 + (unsigned)(limit->text.data[i] - '0');
    }
    return number;
}

/* The one text, or floor, that stands; 0 none. */
static unsigned find_text(const SectionTreeInForce *section, bool floor, uint32_t unit, Day permit,
                          uint32_t seed)
{
    unsigned found = 0;
    for (uint32_t i = 0; i < section->text_count; i++) {
        const TextTree *text = &section->texts[i];
        if (text->floor == floor && stands_for(text, unit, permit)) {
            ck_assert_msg(found == 0, "seed %u: two texts for unit %u", seed, unit);
            found = number_of(text);
        }
    }
    return found;
}

static void compare_all(const LawTree *law, const Reckoned *upper, const Reckoned *local,
                        uint32_t seed)
{
    const SectionTreeInForce *section = &law->sections[0];
    for (uint32_t unit = 0; unit < UNITS; unit++) {
        for (uint32_t span = 0; span < SPANS; span++) {
            Day permit = world_day(span_days[span]);
            unsigned kept = upper->texts[unit][span];
            unsigned expected = local->texts[unit][span];
            unsigned found = find_text(section, false, unit, permit, seed);
            ck_assert_msg(found == expected, "seed %u, unit %u, span %u: %u, not %u", seed, unit,
                          span, found, expected);
            unsigned floor = kept == expected ? 0 : kept;
            found = find_text(section, true, unit, permit, seed);
            ck_assert_msg(found == floor, "seed %u, unit %u, span %u: floor %u, not %u", seed, unit,
                          span, found, floor);
        }
    }
}

static void try_world(uint32_t seed)
{
    Arena *arena = arena_new();
    Chance chances = {seed};
    Reckoned upper;
    for (size_t i = 0; i < (size_t)UNITS * SPANS; i++) {
        upper.texts[i / SPANS][i % SPANS] = 24;
    }
    Buffer state = buffer_make(arena);
    Buffer county = buffer_make(arena);
    uint32_t first = chance(&chances, 3);
    for (uint32_t i = 0; i < first; i++) {
        make_act(&chances, &state, &upper, 100 + i, 1 + i, true);
    }
    buffer_format(&state, "amends larder edition 1 in force from 2025-04-01 by \"F\"\n"
                          "locally at least as strict in \"1\"\n");
    Reckoned local = upper;
    uint32_t second = 1 + chance(&chances, ACTS_MAX);
    for (uint32_t i = 0; i < second; i++) {
        make_act(&chances, &county, &local, 200 + i, 1 + i, false);
    }
    const char *outer = text_string(arena, buffer_done(&state));
    const char *inner = text_string(arena, buffer_done(&county));
    World world = make(SECTION("1"), outer, inner);
    LawTree *law = world_law(&world, "quillmark", "2026-01-01");
    expect_none(&world);
    compare_all(law, &upper, &local, seed);
    law = world_law(&world, "halloway", "2026-01-01");
    compare_all(law, &upper, &upper, seed);
    world_free(&world);
    arena_free(arena);
}

START_TEST(each_unit_and_permit_date_has_the_text_that_the_acts_give_it)
{
    for (uint32_t seed = 1; seed <= WORLDS; seed++) {
        try_world(seed);
    }
}
END_TEST

Suite *scopes_suite(void)
{
    Suite *suite = suite_create("scopes");
    TCase *tcase = tcase_create("waivers");
    tcase_add_test(tcase, what_is_not_to_be_waived_is_known_with_its_place);
    suite_add_tcase(suite, tcase);
    tcase = tcase_create("units");
    tcase_add_test(tcase, a_code_and_its_sections_are_for_some_units);
    tcase_add_test(tcase, an_adoption_is_for_some_units);
    tcase_add_test(tcase, other_units_keep_the_former_text);
    tcase_add_test(tcase, parts_of_a_text_are_changed_for_some_units);
    tcase_add_test(tcase, a_floor_stands_for_the_units_that_have_another_text);
    tcase_add_test(tcase, what_is_not_for_some_units_is_an_error);
    tcase_add_test(tcase, a_change_carries_its_units_over);
    tcase_add_test(tcase, a_section_has_not_texts_without_end);
    tcase_add_test(tcase, each_unit_and_permit_date_has_the_text_that_the_acts_give_it);
    tcase_add_test(tcase, existing_units_follow_later);
    suite_add_tcase(suite, tcase);
    return suite;
}
