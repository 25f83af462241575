/* law/assembly: editions, what becomes of changes when one gives way, readings, dates, and what
 * holds for every law: the order of files and what is not in force do not matter, and the work
 * grows linearly. The rules are those of docs/language.md, section 8. All demo law is invented. */
#include <check.h>
#include <stdio.h>
#include <stdlib.h>

#include "law_world.h"

#define E1 ADOPTS("1", "2020-01-01", "Reg. 1")
#define E2 ADOPTS("2", "2024-01-01", "Reg. 2")
#define C1 AMENDS("1", "2022-01-01", "Ord. 1")
#define READ(number, limit) "amend \"" number "\" to read shall width <= " limit " end "
#define INSERT(number) "insert section \"" number "\" shall width <= 9 in end "
#define TWO_EDITIONS \
    CODE("1", SECTION("1") SECTION("2")) CODE("2", SECTION("1") SECTION("22") SECTION("23"))

static World make(const char *state, const char *county)
{
    Arena *arena = arena_new();
    Text outer = text_format(arena, "jurisdiction halloway \"H\"\n%send\n", state);
    Text inner =
        text_format(arena, "jurisdiction quillmark \"Q\" within halloway\n%send\n", county);
    World world =
        WORLD(VOCABULARY, TWO_EDITIONS, text_string(arena, outer), text_string(arena, inner));
    arena_free(arena);
    expect_none(&world);
    return world;
}

/* The whole law on a date, without an error. */
static void expect_law(const char *state, const char *county, const char *on, const char *expected,
                       int line)
{
    World world = make(state, county);
    LawTree *law = world_law(&world, "quillmark", on);
    const char *found = law_words(&world, law);
    ck_assert_msg(strcmp(found, expected) == 0, "line %d: %s instead of %s", line, found, expected);
    world_free(&world);
}
#define ck_law(state, county, on, expected) \
    expect_law((state), (county), (on), (expected), __LINE__)

static void expect_error(const char *state, const char *county, const char *on, const char *name,
                         const char *at, const char *also, const char *words, int line)
{
    World world = make(state, county);
    (void)world_law(&world, "quillmark", on);
    world_expect(&world, name, at, also, words, line);
    world_free(&world);
}
#define ck_error(state, county, on, name, at, also, words) \
    expect_error((state), (county), (on), (name), (at), (also), (words), __LINE__)

/* ---- which edition is in force ---- */

#define TEXT1 "1/1\n  {shall width <= 24 in} : adopted halloway Reg. 1 from 2020-01-01\n"
#define FIRST                          \
    "larder 1 from 2020-01-01\n" TEXT1 \
    "1/2\n  {shall width <= 24 in} : adopted halloway Reg. 1 from 2020-01-01\n"
#define BASE2 " : adopted halloway Reg. 2 from 2024-01-01"
#define TEXT22 "2/22\n  {shall width <= 24 in}" BASE2 "\n"
#define TEXT23 "2/23\n  {shall width <= 24 in}" BASE2 "\n"
#define SECOND "larder 2 from 2024-01-01\n2/1\n  {shall width <= 24 in}" BASE2 "\n" TEXT22 TEXT23

START_TEST(an_edition_gives_way_on_the_day_of_the_next)
{
    ck_law(E1 E2, "", "2019-12-31", "");
    ck_law(E1 E2, "", "2020-01-01", FIRST);
    ck_law(E1 E2, "", "2023-12-31", FIRST);
    ck_law(E1 E2, "", "2024-01-01", SECOND);
    ck_law(E2 E1, "", "2024-01-01", SECOND);
}
END_TEST

#define ENDS "adopts larder edition 1 in force from 2020-01-01 until 2023-06-30 by \"Reg. 1\"\n"

START_TEST(a_code_ends_with_its_until_that_day_included)
{
    ck_law(ENDS E2, "", "2023-06-30", FIRST);
    ck_law(ENDS E2, "", "2023-07-01", "");
    ck_law(ENDS E2, "", "2024-01-01", SECOND);
    /* what has given way does not come back when the next one ends */
    ck_law(E1 "adopts larder edition 2 in force from 2024-01-01 until 2024-12-31 by \"Reg. 2\"\n",
           "", "2025-01-01", "");
}
END_TEST

START_TEST(adoptions_that_overlap_are_an_error_at_both_places)
{
    static const char overlap[] = "adoptions overlap";
    ck_error(E1 ADOPTS("2", "2020-01-01", "Reg. 2"), "", "2020-01-01", overlap, "larder", "larder",
             "the other adoption");
    ck_error(E1 ADOPTS("1", "2022-01-01", "Reg. 2"), "", "2022-01-01", overlap, "larder", "larder",
             "the other adoption");
    ck_error("adopts larder edition 1 in force from 2020-01-01 until 2024-06-30 by \"Reg. 1\"\n" E2,
             "", "2024-06-30", overlap, "larder", "2024-06-30", "in force until 2024-06-30");
    World world = make(E1 ADOPTS("2", "2020-01-01", "Reg. 2"), "");
    (void)world_law(&world, "quillmark", "2020-01-01");
    ck_assert(strstr(world_errors(&world), "adopted twice from 2020-01-01") != NULL);
    world_free(&world);
    world = make(E1 ADOPTS("1", "2022-01-01", "Reg. 2"), "");
    (void)world_law(&world, "quillmark", "2022-01-01");
    ck_assert(strstr(world_errors(&world), "while it is in force already") != NULL);
    world_free(&world);
    world =
        make("adopts larder edition 1 in force from 2020-01-01 until 2024-06-30 by \"R\"\n" E2, "");
    (void)world_law(&world, "quillmark", "2023-12-31");
    (void)world_law(&world, "quillmark", "2024-07-01");
    expect_none(&world); /* on these days only one of them is in force */
    world_free(&world);
    /* one code adopted at two levels is no overlap */
    ck_law(E1, ADOPTS("1", "2021-01-01", "Ord. 1") "delete \"2\"\n", "2022-01-01",
           "larder 1 from 2020-01-01\n1/1\n  {shall width <= 24 in} : adopted halloway Reg. 1 from "
           "2020-01-01, adopted quillmark Ord. 1 from 2021-01-01\ndeleted 2 by Ord. 1\n");
}
END_TEST

START_TEST(the_later_adoption_governs_whoever_makes_it)
{
    /* a county ahead of its state */
    ck_law(E1, ADOPTS("2", "2022-01-01", "Ord. 2"), "2022-01-01",
           "larder 2 from 2022-01-01\n"
           "2/1\n  {shall width <= 24 in} : adopted quillmark Ord. 2 from 2022-01-01\n"
           "2/22\n  {shall width <= 24 in} : adopted quillmark Ord. 2 from 2022-01-01\n"
           "2/23\n  {shall width <= 24 in} : adopted quillmark Ord. 2 from 2022-01-01\n");
    /* the state's changes of another edition are no part of it */
    ck_law(E1 "delete \"2\"\n", ADOPTS("2", "2022-01-01", "Ord. 2") "delete \"1\", \"22\"\n",
           "2022-01-01",
           "larder 2 from 2022-01-01\n"
           "2/23\n  {shall width <= 24 in} : adopted quillmark Ord. 2 from 2022-01-01\n"
           "deleted 1 by Ord. 2\ndeleted 22 by Ord. 2\n");
    /* a county whose own adoption is older than the state's next edition */
    ck_law(E1 E2, ADOPTS("1", "2022-01-01", "Ord. 2"), "2024-01-01", SECOND);
    ck_law(E1, "adopts larder edition 2 in force from 2022-01-01 until 2022-12-31 by \"Ord. 2\"\n",
           "2023-01-01", FIRST);
    ck_law(E1, ADOPTS("2", "2020-01-01", "Ord. 2") "delete \"1\", \"22\"\n", "2020-01-01",
           "larder 2 from 2020-01-01\n"
           "2/23\n  {shall width <= 24 in} : adopted quillmark Ord. 2 from 2020-01-01\n"
           "deleted 1 by Ord. 2\ndeleted 22 by Ord. 2\n"); /* of one day, the inner one */
    /* what the state carries over to its own next edition is no part of the county's */
    ck_law(E1 "delete \"1\" carries over\n" E2, ADOPTS("1", "2025-01-01", "Ord. 2"), "2025-01-01",
           "larder 1 from 2025-01-01\n"
           "1/1\n  {shall width <= 24 in} : adopted quillmark Ord. 2 from 2025-01-01\n"
           "1/2\n  {shall width <= 24 in} : adopted quillmark Ord. 2 from 2025-01-01\n");
    ck_law(E1 "amends larder edition 1 in force from 2021-01-01 until 2021-12-31 by \"Reg. 9\"\n"
              "not to be amended locally \"2\"\n",
           ADOPTS("2", "2021-06-01", "Ord. 2") "delete \"1\", \"22\"\n", "2022-01-01",
           "larder 2 from 2021-06-01\n"
           "2/23\n  {shall width <= 24 in} : adopted quillmark Ord. 2 from 2021-06-01\n"
           "deleted 1 by Ord. 2\ndeleted 22 by Ord. 2\n"); /* it keeps nothing any more */
    /* not over what the state keeps */
    ck_error(E1 "not to be amended locally \"2\"\n", ADOPTS("2", "2022-01-01", "Ord. 2"),
             "2022-01-01", "edition not to be replaced locally", "larder",
             "not to be amended locally", "");
    ck_error(E1 "locally at least as strict in \"2\"\n", ADOPTS("2", "2022-01-01", "Ord. 2"),
             "2022-01-01", "edition not to be replaced locally", "larder", "locally at least", "");
}
END_TEST

/* ---- changes and editions ---- */

START_TEST(a_change_takes_effect_on_its_day_and_ends_with_its_block)
{
    static const char county[] =
        "amends larder edition 1 in force from 2022-01-01 until 2022-12-31 by \"Ord. 1\"\n"
        "delete \"2\"\n";
    ck_law(E1, county, "2021-12-31", FIRST);
    ck_law(E1, county, "2022-01-01", "larder 1 from 2020-01-01\n" TEXT1 "deleted 2 by Ord. 1\n");
    ck_law(E1, county, "2022-12-31", "larder 1 from 2020-01-01\n" TEXT1 "deleted 2 by Ord. 1\n");
    ck_law(E1, county, "2023-01-01", FIRST);
    ck_law(E1 E2, county, "2024-01-01", SECOND); /* it has ended: there is no fate to say */
}
END_TEST

/* meaning.md 8 */
START_TEST(a_change_must_say_what_becomes_of_it)
{
    ck_law(E1 E2, C1 "delete \"2\"\n", "2023-12-31",
           "larder 1 from 2020-01-01\n" TEXT1 "deleted 2 by Ord. 1\n");
    ck_error(E1 E2, C1 "delete \"2\"\n", "2024-01-01", "fate not said", "delete \"2\"", "larder",
             "edition '2' from 2024-01-01");
    ck_error(E1 READ("1", "9 in") E2, "", "2024-01-01", "fate not said", "amend \"1\"", "larder",
             "edition '2'");
    ck_error(E1 E2, C1 INSERT("3"), "2024-01-01", "fate not said", "insert", "larder",
             "edition '2'");
    ck_error(E1 E2, C1 "amend \"1\" limit to 3 in\n", "2024-01-01", "fate not said", "amend \"1\"",
             "larder", "edition '2'");
    ck_law(E1 E2, C1 "delete \"2\" lapses\n", "2024-01-01", SECOND);
    /* `until` says that the block of an edition ends, and its changes with it */
    ck_law("adopts larder edition 1 in force from 2020-01-01 until 2023-12-31 by \"Reg. 1\"\n"
           "delete \"2\"\n" E2,
           "", "2024-01-01", SECOND);
}
END_TEST

START_TEST(a_change_carries_over_to_the_later_edition)
{
    ck_law(E1 E2, C1 READ("1", "9 in") "carries over\n", "2024-01-01",
           "larder 2 from 2024-01-01\n2/1\n  {shall width <= 9 in}" BASE2
           ", amended quillmark Ord. 1 from 2022-01-01\n" TEXT22 TEXT23);
    ck_law(E1 E2, C1 READ("2", "9 in") "carries over to \"22\"\n", "2024-01-01",
           "larder 2 from 2024-01-01\n2/1\n  {shall width <= 24 in}" BASE2
           "\n2/22\n  {shall width <= 9 in}" BASE2
           ", amended quillmark Ord. 1 from 2022-01-01\n" TEXT23);
    ck_law(E1 E2, C1 "amend \"2\" limit to 7 in carries over to \"22\"\n", "2024-01-01",
           "larder 2 from 2024-01-01\n2/1\n  {shall width <= 24 in}" BASE2
           "\n2/22\n  {shall width <= 24 in} (shall width <= 24 in -> 7 in)" BASE2
           ", limit quillmark Ord. 1 from 2022-01-01\n" TEXT23);
    ck_law(E1 E2, C1 "delete \"1\" carries over delete \"2\" carries over to \"22\"\n",
           "2024-01-01",
           "larder 2 from 2024-01-01\n" TEXT23 "deleted 1 by Ord. 1\ndeleted 22 by Ord. 1\n");
    ck_law(E1 E2, C1 INSERT("3") "carries over to \"22(b)\"\n", "2024-01-01",
           "larder 2 from 2024-01-01\n2/1\n  {shall width <= 24 in}" BASE2 "\n" TEXT22
           "2/22(b)\n  {shall width <= 9 in}" BASE2
           ", inserted quillmark Ord. 1 from 2022-01-01\n" TEXT23);
    /* a change of the later edition comes after it */
    ck_law(E1 E2,
           AMENDS("2", "2024-06-01", "Ord. 2") READ("1", "8 in")
               C1 READ("1", "9 in") "carries over\n",
           "2024-06-01",
           "larder 2 from 2024-01-01\n2/1\n  {shall width <= 8 in}" BASE2
           ", amended quillmark Ord. 1 from 2022-01-01, amended quillmark Ord. 2 from "
           "2024-06-01\n" TEXT22 TEXT23);
    ck_error(E1 E2, C1 READ("2", "9 in") "carries over\n", "2024-01-01", "no such section", "\"2\"",
             "larder", "edition '2' is here");
    ck_error(E1 E2, C1 READ("2", "9 in") "carries over to \"24\"\n", "2024-01-01",
             "no such section", "carries over", "\"22\"", "the nearest number is '22'");
    ck_error(E1 E2, C1 "delete \"1\", \"2\" carries over to \"22\"\n", "2024-01-01",
             "one number for several", "carries over", "\"2\"", "");
    ck_law(E1 E2, C1 READ("2", "9 in") "carries over to \"22\"\n", "2023-12-31",
           "larder 1 from 2020-01-01\n" TEXT1
           "1/2\n  {shall width <= 9 in} : adopted halloway Reg. 1 "
           "from 2020-01-01, amended quillmark Ord. 1 from 2022-01-01\n");
}
END_TEST

/* A number that had parts may have none in the later edition, or the same ones. */
START_TEST(a_part_carries_over_with_its_number)
{
    static const char first[] = CODE("1", "section \"1\" part a shall width <= 1 in end\n"
                                          "section \"1\" part b shall width <= 2 in end\n");
    static const char state[] =
        STATE(E1 "amend \"1\" part b limit to 9 in carries over to \"7\"\n" E2);
    World world = WORLD(VOCABULARY, first, CODE("2", SECTION("7")), state);
    LawTree *law = world_law(&world, "halloway", "2024-01-01");
    expect_none(&world);
    ck_assert_uint_eq(law->sections[0].texts[0].limit_count, 1);
    world_free(&world);
    world = WORLD(VOCABULARY, first,
                  CODE("2", "section \"7\" part a shall width <= 1 in end\n"
                            "section \"7\" part b shall width <= 2 in end\n"),
                  state);
    law = world_law(&world, "halloway", "2024-01-01");
    expect_none(&world);
    ck_assert_uint_eq(law->sections[0].texts[0].limit_count, 0);
    ck_assert_uint_eq(law->sections[1].texts[0].limit_count, 1);
    world_free(&world);
    world = WORLD(VOCABULARY, first,
                  CODE("2", "section \"7\" part c shall width <= 1 in end\n"
                            "section \"7\" part d shall width <= 2 in end\n"),
                  state);
    (void)world_law(&world, "halloway", "2024-01-01");
    expect(&world, "several sections", "carries over", "\"7\"", "'7' part d");
    world_free(&world);
}
END_TEST

START_TEST(only_an_edition_at_its_level_or_above_takes_the_place_of_another)
{
    /* the county's own edition does not ask the state what becomes of its changes */
    World world = make(E1 "delete \"2\"\n", ADOPTS("2", "2022-01-01", "Ord. 2"));
    (void)world_law(&world, "quillmark", "2022-01-01");
    (void)world_law(&world, "halloway", "2022-01-01");
    expect_none(&world);
    world_free(&world);
    ck_error(E1 E2, ADOPTS("1", "2022-01-01", "Ord. 2") "delete \"2\"\n", "2024-01-01",
             "fate not said", "delete", "larder", "edition '2'");
}
END_TEST

START_TEST(what_is_amended_must_be_adopted)
{
    ck_error("", C1 "delete \"2\"\n", "2022-01-01", "code not adopted", "larder", "larder",
             "the code is here");
    ck_error(E2, C1 "delete \"2\"\n", "2024-01-01", "edition not adopted", "larder", "larder",
             "'halloway' adopts edition '2'");
    /* an adoption of a level below is none */
    World world = make(AMENDS("1", "2022-01-01", "Reg. 3") "delete \"2\"\n", E1);
    (void)world_law(&world, "quillmark", "2022-01-01");
    expect(&world, "code not adopted", "larder", "larder", "");
    world_free(&world);
    ck_error(E1 E2, AMENDS("2", "2022-01-01", "Ord. 2") "delete \"22\"\n", "2022-01-01",
             "amended before it is adopted", "2022-01-01", "larder", "from 2024-01-01");
}
END_TEST

/* ---- readings ---- */

#define SHARED                                                             \
    "reading broad define share = 1/2 reading narrow define share = 1/3\n" \
    "reading gross define base = 2 reading net define base = 3\n"
#define TWO_READINGS                                                                              \
    "section \"1\" reading inner define w = 1 in reading outer define w = 2 in shall width <= w " \
    "end\n" SECTION("2")

static World make_readings(const char *state, const char *county)
{
    Arena *arena = arena_new();
    Text outer = text_format(arena, "jurisdiction halloway \"H\"\n%s%send\n", E1, state);
    Text inner =
        text_format(arena, "jurisdiction quillmark \"Q\" within halloway\n%send\n", county);
    World world = WORLD(VOCABULARY, CODE("1", SHARED TWO_READINGS), text_string(arena, outer),
                        text_string(arena, inner));
    arena_free(arena);
    expect_none(&world);
    return world;
}

static void expect_readings(const char *state, const char *county, const char *number,
                            const char *expected, int line)
{
    World world = make_readings(state, county);
    LawTree *law = world_law(&world, "quillmark", "2025-01-01");
    world_expect_none(&world, line);
    const char *found = law_section(&world, law, number);
    found = text_string(world.arena, (Text){found, strcspn(found, "\n")});
    ck_assert_msg(strcmp(found, expected) == 0, "line %d: %s instead of %s", line, found, expected);
    world_free(&world);
}
#define ck_readings(state, county, number, expected) \
    expect_readings((state), (county), (number), (expected), __LINE__)

static void expect_reading_error(const char *state, const char *county, const char *name,
                                 const char *at, const char *also, const char *words, int line)
{
    World world = make_readings(state, county);
    (void)world_law(&world, "quillmark", "2025-01-01");
    world_expect(&world, name, at, also, words, line);
    world_free(&world);
}
#define ck_reading_error(state, county, name, at, also, words) \
    expect_reading_error((state), (county), (name), (at), (also), (words), __LINE__)

START_TEST(of_alternative_readings_one_governs)
{
    ck_readings("", "", "1", "1/1");
    ck_readings("applies reading inner in \"1\"\n", "", "1", "1/1 reading inner");
    ck_readings("applies reading inner in \"1\"\n", "", "2", "1/2");
    ck_readings("applies reading inner\n", "", "1", "1/1 reading inner");
    ck_readings("applies reading inner\n", C1 "applies reading outer\n", "1", "1/1 reading outer");
    ck_readings("applies reading inner in \"1\"\n", C1 "applies reading outer\n", "1",
                "1/1 reading outer");
    ck_readings("applies reading inner in \"1\" applies reading outer\n", "", "1",
                "1/1 reading inner");
    ck_readings(AMENDS("1", "2021-01-01", "R") "applies reading outer\n" AMENDS(
                    "1", "2023-01-01", "R") "applies reading inner\n",
                "", "1", "1/1 reading inner");
    ck_readings(
        "applies reading inner\n",
        C1 "amend \"1\" to read for units permitted on or after 2024-01-01 reading inner define "
           "w = 3 in reading outer define w = 4 in shall width <= w end\n",
        "1", "1/1 reading inner"); /* in two texts, named once */
    /* a text kept as a floor keeps its readings */
    ck_readings("applies reading inner\nlocally at least as strict in \"1\"\n",
                C1 READ("1", "9 in"), "1", "1/1 reading inner");
    ck_readings("applies reading broad applies reading net\n", "", "2",
                "1/2 reading broad reading net"); /* they do not exclude each other */
    ck_readings("applies reading broad\n", C1 "applies reading narrow\n", "2",
                "1/2 reading narrow");
}
END_TEST

/* A reading was there to be applied, whatever a later day or a level below makes of its section. */
START_TEST(a_reading_may_be_applied_in_what_is_changed_later)
{
    ck_readings("applies reading inner in \"1\"\n", C1 READ("1", "9 in"), "1", "1/1");
    ck_readings("applies reading inner in \"1\"\n" AMENDS("1", "2023-01-01", "R") READ("1", "9 in"),
                "", "1", "1/1");
    ck_readings("applies reading inner in \"1\"\n" AMENDS("1", "2023-01-01",
                                                          "R") "renumber \"1\" as \"9\"\n",
                "", "9", "1/9 formerly 1 reading inner");
    ck_readings("applies reading inner in \"1\"\n" AMENDS("1", "2023-01-01", "R") "delete \"1\"\n",
                "", "2", "1/2");
}
END_TEST

START_TEST(readings_that_are_not_there_or_contradict_are_errors)
{
    ck_reading_error("applies reading iner\n", "", "unknown reading", "iner", "", "'inner'");
    ck_reading_error("applies reading brod\n", "", "unknown reading", "brod", "", "'broad'");
    ck_reading_error("applies reading iner in \"1\"\n", "", "unknown reading", "iner", "larder",
                     "");
    ck_reading_error("applies reading inner in \"2\"\n", "", "unknown reading", "inner", "larder",
                     "");
    ck_reading_error("applies reading inner in \"3\"\n", "", "no such section", "\"3\"", "larder",
                     "");
    ck_reading_error("applies reading broad in \"1\"\n", "", "shared reading",
                     "applies reading broad", "broad", "shared here");
    ck_reading_error("applies reading inner\napplies reading outer\n", "", "two readings at once",
                     "applies reading outer", "applies reading inner", "the other one");
    ck_reading_error("applies reading narrow\napplies reading broad\n", "", "two readings at once",
                     "applies reading broad", "applies reading narrow", "the other one");
}
END_TEST

START_TEST(readings_of_a_whole_code_are_listed_with_it)
{
    World world = make_readings(
        "applies reading broad applies reading inner\n",
        C1 "applies reading narrow\n" AMENDS("1", "2023-01-01", "O") "applies reading broad\n");
    LawTree *law = world_law(&world, "quillmark", "2025-01-01");
    expect_none(&world);
    ck_assert_uint_eq(law->reading_count, 3);
    ck_assert(text_equal(law->readings[0]->text, TEXT("inner")));
    ck_assert(text_equal(law->readings[1]->text, TEXT("narrow")));
    ck_assert(text_equal(law->readings[2]->text, TEXT("broad"))); /* the last one governs */
    ck_assert_ptr_eq(law->reading_codes[2], law->codes[0]);
    world_free(&world);
}
END_TEST

/* ---- a code by itself, dates ---- */

START_TEST(a_code_by_itself_is_all_its_sections_without_chains)
{
    World world = WORLD(
        VOCABULARY, CODE("1", SECTION("2") "section \"1\" for units permitted before 2020-01-01 "
                                           "shall width <= 9 in end\n"));
    LawTree *law = law_of_code(world.arena, world.library, world.library->codes[0]);
    ck_assert_str_eq(law_numbers(&world, law), "2 1");
    ck_assert_str_eq(law_section(&world, law, "1"),
                     "1/1\n  before 2020-01-01 {shall width <= 9 in}\n");
    ck_assert_ptr_null(law->jurisdiction);
    ck_assert_uint_eq(law->level_count, 0);
    ck_assert_uint_eq(law->event_count, 0);
    ck_assert_uint_eq(law->code_count, 1);
    world_free(&world);
}
END_TEST

START_TEST(dates_tell_when_the_law_changes)
{
    World world = make(
        ENDS E2,
        "amends larder edition 1 in force from 2022-01-01 until 2022-12-31 by \"Ord. 1\"\n"
        "amend \"1\" to read for units permitted on or after 2022-07-01 shall width <= 1 in end\n"
        "amend \"2\" to read not for units under permit on 2022-08-31 shall width <= 1 in end\n"
        "insert section \"3\" for units permitted before 2021-01-01 shall width <= 1 in end\n"
        "insert section \"4\" for units permitted before 2022-03-01 shall width <= 1 in end\n"
        "insert section \"5\" for units permitted before 2023-03-01 shall width <= 1 in end\n");
    uint32_t count = 0;
    const JurisdictionTree *county = library_jurisdiction(world.library, TEXT("quillmark"));
    const Day *days = law_dates(world.arena, world.library, county, &count);
    /* a permit date that comes before its block, or after it, changes nothing */
    ck_assert_str_eq(
        law_days(&world, days, count),
        "2020-01-01 2022-01-01 2022-03-01 2022-07-01 2022-09-01 2023-01-01 2023-07-01 2024-01-01");
    LawTree *law = world_law(&world, "quillmark", "2022-07-01");
    ck_assert_int_eq(law->on, world_day("2022-07-01"));
    ck_assert_str_eq(law_days(&world, law->events, law->event_count),
                     "2022-09-01 2023-01-01 2023-07-01 2024-01-01");
    const JurisdictionTree *state = library_jurisdiction(world.library, TEXT("halloway"));
    days = law_dates(world.arena, world.library, state, &count);
    ck_assert_str_eq(law_days(&world, days, count), "2020-01-01 2023-07-01 2024-01-01");
    world_free(&world);

    world = WORLD(VOCABULARY,
                  CODE("1", "section \"1\" for units permitted on or after 2026-07-01 "
                            "shall width <= 1 in end\n"),
                  STATE(E1));
    law = world_law(&world, "halloway", "2025-01-01");
    ck_assert_str_eq(law_days(&world, law->events, law->event_count), "2026-07-01");
    world_free(&world);
}
END_TEST

/* ---- what holds for every law ---- */

static uint32_t next_random(uint32_t *state)
{
    *state = *state * 1664525u + 1013904223u;
    return *state >> 8;
}

enum { RANDOM_BLOCKS = 10, RANDOM_LAWS = 150 };

typedef struct RandomBlock {
    Text text;
    bool amends;
    Day from, until;
    bool county;
} RandomBlock;

static void put_random_change(Buffer *out, uint32_t *random, bool insert)
{
    static const char *const fates[] = {"", " carries over", " lapses"};
    unsigned number = 1 + next_random(random) % 6;
    switch (next_random(random) % (insert ? 7 : 6)) {
    case 0: buffer_format(out, "delete \"%u\"", number); break;
    case 1: buffer_format(out, "amend \"%u\" limit to %u in", number, number + 30); break;
    case 2:
        buffer_format(out,
                      "amend \"%u\" to read for units permitted on or after 202%u-05-01 shall "
                      "width <= %u in end",
                      number, next_random(random) % 6, number + 20);
        break;
    case 3: buffer_format(out, "not to be amended locally \"%u\"\n", number); return;
    case 4: buffer_format(out, "locally at least as strict in \"%u\"\n", number); return;
    case 5:
        buffer_format(out, "amend \"%u\" to read shall width <= %u in end", number, number);
        break;
    default: buffer_format(out, "insert section \"%u\" shall width <= 9 in end", number + 4); break;
    }
    buffer_format(out, "%s\n", fates[next_random(random) % 3]);
}

static RandomBlock random_block(Arena *arena, uint32_t *random)
{
    RandomBlock block = {.amends = true, .county = next_random(random) % 2 == 0};
    unsigned edition = 1 + next_random(random) % 2;
    int year = edition == 1 ? 2020 + (int)(next_random(random) % 6)
                            : 2024 + (int)(next_random(random) % 2);
    block.from = date_day(year, 1 + (int)(next_random(random) % 3), 1);
    block.until =
        next_random(random) % 3 == 0 ? block.from + (Day)(next_random(random) % 900) : DAY_FOREVER;
    Buffer out = buffer_make(arena);
    Text from = date_print(arena, block.from);
    buffer_format(&out, "amends larder edition %u in force from %.*s", edition, TEXT_ARG(from));
    if (block.until != DAY_FOREVER) {
        Text until = date_print(arena, block.until);
        buffer_format(&out, " until %.*s", TEXT_ARG(until));
    }
    buffer_format(&out, " by \"Act %u\"\n", next_random(random) % 1000);
    for (uint32_t i = 1 + next_random(random) % 3; i > 0; i--) {
        put_random_change(&out, random, true);
    }
    block.text = buffer_done(&out);
    return block;
}

#define NUMBERED SECTION("1") SECTION("2") SECTION("3") SECTION("4") SECTION("5")

/* The files of a random law; with `only` set, no block but those in force on that day. */
static World random_world(const RandomBlock *blocks, const Day *only, bool backwards)
{
    Arena *arena = arena_new();
    Buffer state = buffer_make(arena);
    Buffer county = buffer_make(arena);
    buffer_string(&state, "jurisdiction halloway \"H\"\n");
    buffer_string(&county, "jurisdiction quillmark \"Q\" within halloway\n");
    for (int i = 0; i < RANDOM_BLOCKS; i++) {
        if (only == NULL || (blocks[i].from <= *only && *only <= blocks[i].until)) {
            buffer_text(blocks[i].county ? &county : &state, blocks[i].text);
        }
    }
    buffer_string(&state, "end\n");
    buffer_string(&county, "end\n");
    const char *outer = text_string(arena, buffer_done(&state));
    const char *inner = text_string(arena, buffer_done(&county));
    World world =
        WORLD_TURNED(backwards, VOCABULARY, CODE("1", NUMBERED), CODE("2", NUMBERED), outer, inner);
    arena_free(arena);
    expect_none(&world);
    return world;
}

/* docs/house.md: law in force on a date equals law assembled from that date's files; files come in
 * any order. Errors are compared too: they belong to the law; their notes may name acts that are
 * not in force. */
START_TEST(what_is_not_in_force_and_the_order_of_files_do_not_matter)
{
    Arena *arena = arena_new();
    uint32_t random = 20251125;
    uint32_t without_error = 0;
    for (int law = 0; law < RANDOM_LAWS; law++) {
        RandomBlock blocks[RANDOM_BLOCKS];
        blocks[0] = (RandomBlock){text_of(E1), false, date_day(2020, 1, 1), DAY_FOREVER, false};
        blocks[1] = (RandomBlock){text_of(E2), false, date_day(2024, 1, 1), DAY_FOREVER, false};
        int used = 2 + (int)(next_random(&random) % (RANDOM_BLOCKS - 2));
        for (int i = 2; i < RANDOM_BLOCKS; i++) {
            blocks[i] = i < used ? random_block(arena, &random)
                                 : (RandomBlock){TEXT(""), true, 0, DAY_FOREVER, true};
        }
        Day on = date_day(2019 + (int)(next_random(&random) % 8), 1, 1) +
                 (Day)(next_random(&random) % 365);
        const char *when = text_string(arena, date_print(arena, on));
        World all = random_world(blocks, NULL, false);
        World some = random_world(blocks, &on, false);
        World turned = random_world(blocks, NULL, true);
        all.without_notes = some.without_notes = turned.without_notes = true;
        const char *expected = law_words(&all, world_law(&all, "quillmark", when));
        ck_assert_str_eq(law_words(&some, world_law(&some, "quillmark", when)), expected);
        ck_assert_str_eq(law_words(&turned, world_law(&turned, "quillmark", when)), expected);
        without_error += all.diags.errors == 0;
        world_free(&all);
        world_free(&some);
        world_free(&turned);
    }
    ck_assert_uint_gt(without_error, RANDOM_LAWS / 5);
    ck_assert_uint_lt(without_error, RANDOM_LAWS);
    arena_free(arena);
}
END_TEST

/* A law over three codes with `sections` sections in all, a fifth of them deleted, a fifth amended,
 * a fifth of them limited, and as many inserted. */
static void measure(unsigned sections, uint64_t *steps, size_t *bytes)
{
    Arena *arena = arena_new();
    Buffer rules = buffer_make(arena);
    Buffer state = buffer_make(arena);
    buffer_string(&state, "jurisdiction halloway \"H\"\n");
    for (unsigned code = 0; code < 3; code++) {
        buffer_format(&rules, "code larder_%u edition 1\n", code);
        buffer_format(&state, "adopts larder_%u edition 1 in force from 2020-01-01 by \"R\"\n",
                      code);
        for (unsigned i = 0; i < sections / 3; i++) {
            buffer_format(&rules, "section \"%u-%u.1(A)\" shall width <= 24 in end\n", i / 20, i);
            switch (i % 5) {
            case 0: buffer_format(&state, "delete \"%u-%u\"\n", i / 20, i); break;
            case 1: buffer_format(&state, "amend \"%u-%u.1(A)\" limit to 9 in\n", i / 20, i); break;
            case 2:
                buffer_format(&state, "amend \"%u-%u.1(A)\" to read shall width <= 1 in end\n",
                              i / 20, i);
                break;
            case 3:
                buffer_format(&state, "insert section \"%u-%u.1(B)\" shall width <= 1 in end\n",
                              i / 20, i);
                break;
            default: break;
            }
        }
        buffer_string(&rules, "end\n");
    }
    buffer_string(&state, "end\n");
    World world = WORLD(VOCABULARY, text_string(arena, buffer_done(&rules)),
                        text_string(arena, buffer_done(&state)));
    expect_none(&world);
    size_t before = arena_used(world.arena);
    LawTree *law = world_law(&world, "halloway", "2025-01-01");
    expect_none(&world);
    ck_assert_uint_eq(law->section_count, 3 * (sections / 3)); /* as many inserted as deleted */
    *steps = law->steps;
    *bytes = arena_used(world.arena) - before;
    world_free(&world);
    arena_free(arena);
}

START_TEST(the_work_grows_linearly_with_the_sections)
{
    uint64_t steps[3];
    size_t bytes[3];
    for (unsigned i = 0; i < 3; i++) {
        measure(210u << (2 * i), &steps[i], &bytes[i]); /* 210, 840, 3360 sections */
    }
    ck_assert_uint_gt(steps[0], 210);
    ck_assert_uint_lt(steps[0], 210 * 10);
    for (unsigned i = 1; i < 3;
         i++) { /* four times the sections: more than three, less than five */
        ck_assert_uint_gt(steps[i], 3 * steps[i - 1]);
        ck_assert_uint_lt(steps[i], 5 * steps[i - 1]);
        ck_assert_uint_lt(bytes[i], 5 * bytes[i - 1]);
    }
}
END_TEST

Suite *editions_suite(void)
{
    Suite *suite = suite_create("editions");
    TCase *tcase = tcase_create("editions");
    tcase_add_test(tcase, an_edition_gives_way_on_the_day_of_the_next);
    tcase_add_test(tcase, a_code_ends_with_its_until_that_day_included);
    tcase_add_test(tcase, adoptions_that_overlap_are_an_error_at_both_places);
    tcase_add_test(tcase, the_later_adoption_governs_whoever_makes_it);
    tcase_add_test(tcase, a_change_takes_effect_on_its_day_and_ends_with_its_block);
    tcase_add_test(tcase, a_change_must_say_what_becomes_of_it);
    tcase_add_test(tcase, a_change_carries_over_to_the_later_edition);
    tcase_add_test(tcase, a_part_carries_over_with_its_number);
    tcase_add_test(tcase, only_an_edition_at_its_level_or_above_takes_the_place_of_another);
    tcase_add_test(tcase, what_is_amended_must_be_adopted);
    tcase_add_test(tcase, of_alternative_readings_one_governs);
    tcase_add_test(tcase, a_reading_may_be_applied_in_what_is_changed_later);
    tcase_add_test(tcase, readings_that_are_not_there_or_contradict_are_errors);
    tcase_add_test(tcase, readings_of_a_whole_code_are_listed_with_it);
    tcase_add_test(tcase, a_code_by_itself_is_all_its_sections_without_chains);
    tcase_add_test(tcase, dates_tell_when_the_law_changes);
    suite_add_tcase(suite, tcase);
    TCase *every = tcase_create("every law");
    tcase_set_timeout(every, 60);
    tcase_add_test(every, what_is_not_in_force_and_the_order_of_files_do_not_matter);
    tcase_add_test(every, the_work_grows_linearly_with_the_sections);
    suite_add_tcase(suite, every);
    return suite;
}
