/* law/assembly: adoptions that acts end, suspend and postpone, rolling adoptions, amendments dated
 * before their edition, and the days that clauses name themselves. The rules are those of
 * docs/language.md, section 8; rolling adoption is told in the facts on the trade, section 5. All
 * demo law is invented. */
#include <check.h>
#include <stdio.h>
#include <stdlib.h>

#include "acts_world.h"

/* ---- adoptions ---- */

START_TEST(a_repealed_adoption_ends)
{
    static const char state[] = E1 E2 AMENDS("2", "2025-01-01", "Reg. 3") "repeals \"Reg. 2\"\n";
    ck_days(state, "", DAYS("2023-12-31", "2024-01-01", "2024-12-31", "2025-01-01"),
            "2023-12-31: 1 2(A) 2(B) | 2024-01-01: 1 22 | 2024-12-31: 1 22 | 2025-01-01: ");
    /* cleared away after it has given way */
    ck_days(E1
            "delete \"1\" lapses\n" E2 AMENDS("2", "2024-06-01", "Reg. 3") "repeals \"Reg. 1\"\n",
            "", DAYS("2023-12-31", "2024-01-01", "2024-06-01"),
            "2023-12-31: 2(A) 2(B) | 2024-01-01: 1 22 | 2024-06-01: 1 22");
    /* repealed before it begins, it is no adoption */
    ck_days(E1 E2 AMENDS("1", "2023-06-01", "Reg. 3") "repeals \"Reg. 2\"\n", "",
            DAYS("2024-01-01"), "2024-01-01: 1 2(A) 2(B)");
    ck_error(E1 E2 AMENDS("1", "2023-06-01", "Reg. 3") "repeals \"Reg. 2\"\n",
             AMENDS("2", "2024-03-01", "Ord. 1") "delete \"22\"\n", "2024-03-01",
             "edition not adopted", "larder", "larder", "'halloway' adopts edition '1'");
}
END_TEST

#define PAUSE                                                                           \
    "amends larder edition 2 in force from 2024-06-01 until 2024-12-31 by \"Reg. 3\"\n" \
    "repeals \"Reg. 2\"\n"

START_TEST(a_suspended_adoption_comes_back)
{
    ck_days(E1 E2 PAUSE, "", DAYS("2024-05-31", "2024-06-01", "2024-12-31", "2025-01-01"),
            "2024-05-31: 1 22 | 2024-06-01:  | 2024-12-31:  | 2025-01-01: 1 22");
    /* with the former edition in its place for the time */
    ck_days(E1 E2 PAUSE "adopts larder edition 1 in force from 2024-06-01 until 2024-12-31 "
                        "by \"Reg. 3\"\n",
            "", DAYS("2024-05-31", "2024-06-01", "2024-12-31", "2025-01-01"),
            "2024-05-31: 1 22 | 2024-06-01: 1 2(A) 2(B) | 2024-12-31: 1 2(A) 2(B) | "
            "2025-01-01: 1 22");
    /* another edition for good takes its place for good */
    ck_days(E1 E2 PAUSE ADOPTS("1", "2024-09-01", "Reg. 4"), "",
            DAYS("2024-08-31", "2024-09-01", "2025-01-01"),
            "2024-08-31:  | 2024-09-01: 1 2(A) 2(B) | 2025-01-01: 1 2(A) 2(B)");
}
END_TEST

START_TEST(an_edition_may_be_adopted_again_after_another)
{
    ck_days(E1 E2 ADOPTS("1", "2025-01-01", "Reg. 3"), "", DAYS("2024-12-31", "2025-01-01"),
            "2024-12-31: 1 22 | 2025-01-01: 1 2(A) 2(B)");
    ck_error(E1 ADOPTS("1", "2025-01-01", "Reg. 3"), "", "2025-01-01", "adoptions overlap",
             "larder", "larder", "the other adoption");
}
END_TEST

START_TEST(an_edition_is_not_amended_before_it_is_adopted)
{
    static const char early[] = "amended before it is adopted";
    ck_error(E1 E2, AMENDS("2", "2023-12-31", "Ord. 1") "delete \"22\"\n", "2023-12-31", early,
             "2023-12-31", "larder", "'halloway' adopts it from 2024-01-01");
    ck_error(E1 E2, AMENDS("2", "2023-12-31", "Ord. 1") "delete \"22\"\n", "2023-12-31", early,
             "2023-12-31", "", "write 'in force from 2024-01-01' or a later day");
    ck_days(E1 E2, AMENDS("2", "2024-01-01", "Ord. 1") "delete \"22\"\n",
            DAYS("2023-12-31", "2024-01-01"), "2023-12-31: 1 2(A) 2(B) | 2024-01-01: 1");
    /* it stays an error when the edition is in force, and has no effect */
    World world = make(E1 E2, AMENDS("2", "2023-12-31", "Ord. 1") "delete \"22\"\n");
    LawTree *law = world_law(&world, "quillmark", "2025-01-01");
    expect(&world, early, "2023-12-31", "larder", "");
    ck_assert_str_eq(law_numbers(&world, law), "1 22");
    world_free(&world);
    /* the first level that adopts it counts, of those that the block's level hears of */
    ck_days(E1 E2,
            ADOPTS("2", "2023-01-01", "Ord. 1")
                AMENDS("2", "2023-06-01", "Ord. 2") "delete \"22\"\n",
            DAYS("2023-05-31", "2023-06-01", "2024-01-01"),
            "2023-05-31: 1 22 | 2023-06-01: 1 | 2024-01-01: 1");
    ck_error(E1 E2 AMENDS("2", "2023-06-01", "Reg. 3") "delete \"22\"\n",
             ADOPTS("2", "2023-01-01", "Ord. 1"), "2023-06-01", early, "2023-06-01", "larder",
             "'halloway' adopts it");
    /* a code that is adopted once only, and later */
    ck_error(E2, C("2022-01-01") "delete \"1\"\n" ADOPTS("1", "2023-01-01", "Ord. 1"), "2022-01-01",
             early, "2022-01-01", "larder", "'quillmark' adopts it from 2023-01-01");
}
END_TEST

/* ---- rolling adoptions ---- */

#define PUBLISHED(edition, day, sections) \
    "code larder edition " edition "\npublished " day "\n" sections "end\n"
#define ROLLING(day) \
    "adopts larder each edition in force from " day " after publication by \"Reg. 1\"\n"
#define THREE                                  \
    PUBLISHED("1", "2018-12-31", SECTION("1")) \
    PUBLISHED("2", "2021-01-01", SECTION("2")) \
    PUBLISHED("3", "2024-07-15", SECTION("3") SECTION("4"))

static World roll(const char *codes, const char *state)
{
    World world = WORLD(VOCABULARY, codes, state, COUNTY(""));
    expect_none(&world);
    return world;
}

static void expect_rolling(const char *codes, const char *state, const char *const *days,
                           size_t count, const char *expected, int line)
{
    World world = roll(codes, state);
    const char *found = told(&world, days, count);
    world_expect_none(&world, line);
    ck_assert_msg(strcmp(found, expected) == 0, "line %d: %s instead of %s", line, found, expected);
    world_free(&world);
}
#define ck_rolling(codes, state, days, expected) \
    expect_rolling((codes), (state), days, (expected), __LINE__)

START_TEST(each_edition_is_adopted_from_the_next_such_day)
{
    ck_rolling(
        THREE, STATE(ROLLING("1 January")),
        DAYS("2018-12-31", "2019-01-01", "2021-12-31", "2022-01-01", "2024-12-31", "2025-01-01"),
        "2018-12-31:  | 2019-01-01: 1 | 2021-12-31: 1 | 2022-01-01: 2 | 2024-12-31: 2 | "
        "2025-01-01: 3 4");
    /* published on a rolling day: from the next one */
    ck_rolling(PUBLISHED("1", "2020-07-01", SECTION("1")), STATE(ROLLING("1 July")),
               DAYS("2020-07-01", "2021-06-30", "2021-07-01"),
               "2020-07-01:  | 2021-06-30:  | 2021-07-01: 1");
    ck_rolling(PUBLISHED("1", "2020-06-30", SECTION("1")), STATE(ROLLING("1 July")),
               DAYS("2020-06-30", "2020-07-01"), "2020-06-30:  | 2020-07-01: 1");
    ck_rolling(PUBLISHED("1", "2021-03-01", SECTION("1")), STATE(ROLLING("29 February")),
               DAYS("2024-02-28", "2024-02-29"), "2024-02-28:  | 2024-02-29: 1");
    ck_rolling(PUBLISHED("1", "1896-02-29", SECTION("1")), STATE(ROLLING("29 February")),
               DAYS("1904-02-28", "1904-02-29"), "1904-02-28:  | 1904-02-29: 1");
    ck_rolling(PUBLISHED("1", "0101-06-01", SECTION("1")), STATE(ROLLING("1 January")),
               DAYS("0101-12-31", "0102-01-01"), "0101-12-31:  | 0102-01-01: 1");
    ck_rolling(PUBLISHED("1", "9998-06-01", SECTION("1")), STATE(ROLLING("1 January")),
               DAYS("9998-12-31", "9999-01-01"), "9998-12-31:  | 9999-01-01: 1");
    World world = roll(THREE, STATE(ROLLING("1 January")));
    uint32_t count = 0;
    const JurisdictionTree *tree = library_jurisdiction(world.library, TEXT("halloway"));
    const Day *days = law_dates(world.arena, world.library, tree, &count);
    ck_assert_str_eq(law_days(&world, days, count), "2019-01-01 2022-01-01 2025-01-01");
    LawTree *law = world_law(&world, "halloway", "2023-01-01");
    ck_assert_str_eq(law_section(&world, law, "2"),
                     "2/2\n  {shall width <= 24 in} : adopted halloway Reg. 1 from 2022-01-01\n");
    ck_assert_uint_eq(law->act_count, 3);
    world_free(&world);
}
END_TEST

START_TEST(a_rolling_edition_is_amended_postponed_and_repealed_like_any_other)
{
    ck_rolling(THREE,
               STATE(ROLLING("1 January") AMENDS("2", "2022-01-01", "Reg. 2")
                         INSERT("9") "delete \"2\" lapses\n"),
               DAYS("2021-12-31", "2022-01-01"), "2021-12-31: 1 | 2022-01-01: 9");
    World world =
        roll(THREE, STATE(ROLLING("1 January") AMENDS("2", "2021-12-31", "Reg. 2") INSERT("9")));
    (void)world_law(&world, "halloway", "2021-12-31");
    expect(&world, "amended before it is adopted", "2021-12-31", "",
           "write 'in force from 2022-01-01'");
    world_free(&world);
    ck_rolling(THREE,
               STATE(ROLLING("1 January") AMENDS(
                   "2", "2024-09-01", "Reg. 2") "postpones \"Reg. 1\" until 2025-07-01\n"),
               DAYS("2024-12-31", "2025-01-01", "2025-06-30", "2025-07-01"),
               "2024-12-31: 2 | 2025-01-01: 2 | 2025-06-30: 2 | 2025-07-01: 3 4");
    ck_rolling(THREE,
               STATE(ROLLING("1 January")
                         AMENDS("2", "2024-09-01", "Reg. 2") "repeals \"Reg. 1\"\n" ADOPTS(
                             "2", "2024-09-01", "Reg. 2")),
               DAYS("2024-08-31", "2024-09-01", "2025-01-01"),
               "2024-08-31: 2 | 2024-09-01: 2 | 2025-01-01: 2");
}
END_TEST

START_TEST(what_a_rolling_adoption_cannot_date_is_an_error)
{
    World world = roll(PUBLISHED("1", "2020-06-01", SECTION("1")) CODE("2", SECTION("2")),
                       STATE(ROLLING("1 January")));
    LawTree *law = world_law(&world, "halloway", "2022-01-01");
    expect(&world, "publication not said", "larder", "larder", "each edition is adopted here");
    ck_assert_str_eq(law_numbers(&world, law), "1");
    world_free(&world);
    world = roll(CODE("1", SECTION("1")) CODE("2", SECTION("2")), STATE(ROLLING("1 January")));
    (void)world_law(&world, "halloway", "2022-01-01");
    expect(&world, "no edition published", "larder", "larder", "edition '2' is here");
    world_free(&world);
    /* two editions of one year are adopted on one day, and neither comes first */
    world =
        roll(PUBLISHED("1", "2020-06-01", SECTION("1")) PUBLISHED("2", "2020-09-01", SECTION("2")),
             STATE(ROLLING("1 January")));
    (void)world_law(&world, "halloway", "2021-01-01");
    expect(&world, "adoptions overlap", "larder", "larder",
           "edition '1' was published on 2020-06-01");
    world_free(&world);
    world = roll(PUBLISHED("1", "2020-06-01", SECTION("1")),
                 STATE(ROLLING("1 January") ADOPTS("1", "2022-01-01", "Reg. 2")));
    (void)world_law(&world, "halloway", "2022-01-01");
    expect(&world, "adoptions overlap", "larder", "larder", "");
    world_free(&world);
}
END_TEST

/* ---- days on which law changes ---- */

START_TEST(clauses_with_days_of_their_own_tell_them)
{
    ck_dates(E1,
             A "amend \"1\" to read existing units from 2027-01-01 shall width <= 1 in end\n"
               "insert section \"3\" existing units from 2028-01-01 shall width <= 1 in end\n",
             "2020-01-01 2022-01-01 2027-01-01 2028-01-01");
    ck_dates(
        E1 AMENDS("1", "2021-01-01",
                  "Reg. 2") "not to be amended locally \"1\" from "
                            "2021-06-01\nnot to be amended locally in any section from 2021-07-01\n"
                            "preempts local law on light from 2021-08-01\n",
        "", "2020-01-01 2021-01-01 2021-06-01 2021-07-01 2021-08-01");
    /* without a day of their own, on their block's; a day before it, or past its end, is none */
    ck_dates(E1 "amends larder edition 1 in force from 2021-01-01 until 2021-12-31 by \"Reg. 2\"\n"
                "not to be amended locally \"1\"\npreempts local law on light\n"
                "not to be amended locally \"2\" from 2020-06-01\n"
                "preempts local law on space from 2022-06-01\n"
                "insert section \"3\" existing units from 2022-03-01 shall width <= 1 in end\n",
             "", "2020-01-01 2021-01-01 2022-01-01");
    World world = WORLD(VOCABULARY,
                        CODE("1", "section \"1\" existing units from 2026-07-01 "
                                  "shall width <= 1 in end\n"),
                        STATE(E1));
    LawTree *law = world_law(&world, "halloway", "2025-01-01");
    ck_assert_str_eq(law_days(&world, law->events, law->event_count), "2026-07-01");
    world_free(&world);
    /* a suspended act's permit dates are still to come */
    ck_dates(E1,
             A "amend \"1\" to read for units permitted on or after 2024-01-01 shall width <= "
               "1 in end\n" STAY("2023-01-01", "2023-06-30"),
             "2020-01-01 2022-01-01 2023-01-01 2023-07-01 2024-01-01");
    ck_dates(
        E1,
        A "amend \"1\" to read for units permitted on or after 2024-01-01 shall width <= "
          "1 in end\n" ENDING("2023-01-01", "2023-06-30", "Ord. 2") "repeals \"Ord. 1\" in \"1\"\n",
        "2020-01-01 2022-01-01 2023-01-01 2023-07-01 2024-01-01");
}
END_TEST

Suite *adoptions_suite(void)
{
    Suite *suite = suite_create("adoptions");
    TCase *tcase = tcase_create("adoptions");
    tcase_add_test(tcase, a_repealed_adoption_ends);
    tcase_add_test(tcase, a_suspended_adoption_comes_back);
    tcase_add_test(tcase, an_edition_may_be_adopted_again_after_another);
    tcase_add_test(tcase, an_edition_is_not_amended_before_it_is_adopted);
    tcase_add_test(tcase, each_edition_is_adopted_from_the_next_such_day);
    tcase_add_test(tcase, a_rolling_edition_is_amended_postponed_and_repealed_like_any_other);
    tcase_add_test(tcase, what_a_rolling_adoption_cannot_date_is_an_error);
    tcase_add_test(tcase, clauses_with_days_of_their_own_tell_them);
    suite_add_tcase(suite, tcase);
    return suite;
}
