/* law/assembly: acts on acts: what they repeal, suspend, extend and postpone, and the days on which
 * this changes the law. The rules are those of docs/language.md, section 8; how law is postponed,
 * extended and repealed is told in the facts on the trade, section 5 (effective, operative and
 * expiry dates apart; emergency rules). All demo law is invented. */
#include <check.h>
#include <stdio.h>
#include <stdlib.h>

#include "acts_world.h"

/* ---- repeals ---- */

START_TEST(a_repealed_act_is_no_more_from_that_day)
{
    ck_days(E1, A INSERT("3") B("2023-01-01") "repeals \"Ord. 1\"\n",
            DAYS("2021-12-31", "2022-01-01", "2022-12-31", "2023-01-01", "2023-01-02"),
            "2021-12-31: 1 2(A) 2(B) | 2022-01-01: 1 2(A) 2(B) 3 | 2022-12-31: 1 2(A) 2(B) 3 | "
            "2023-01-01: 1 2(A) 2(B) | 2023-01-02: 1 2(A) 2(B)");
    /* the files come in any order */
    ck_days(E1, B("2023-01-01") "repeals \"Ord. 1\"\n" A INSERT("3"),
            DAYS("2022-12-31", "2023-01-01"),
            "2022-12-31: 1 2(A) 2(B) 3 | 2023-01-01: 1 2(A) 2(B)");
    /* what it changed, the repealing act may change anew on the same day */
    ck_section(E1, A READ("1", "9 in") B("2023-01-01") "repeals \"Ord. 1\"\n" READ("1", "7 in"),
               "2023-01-01", "1",
               "1/1\n  {shall width <= 7 in} : adopted halloway Reg. 1 from 2020-01-01, amended "
               "quillmark Ord. 2 from 2023-01-01\n");
    /* a deleted section is there again */
    ck_days(E1, A "delete \"1\"\n" B("2023-01-01") "repeals \"Ord. 1\"\n",
            DAYS("2022-12-31", "2023-01-01"), "2022-12-31: 2(A) 2(B) | 2023-01-01: 1 2(A) 2(B)");
    ck_dates(E1, A INSERT("3") B("2023-01-01") "repeals \"Ord. 1\"\n",
             "2020-01-01 2022-01-01 2023-01-01");
}
END_TEST

START_TEST(an_act_is_all_its_blocks_of_one_level_and_code)
{
    static const char county[] = AMENDS("1", "2022-01-01", "Ord. 1") INSERT("3")
        AMENDS("1", "2022-06-01", "Ord. 1") INSERT("4") AMENDS("1", "2024-06-01", "Ord. 1")
            INSERT("5") B("2023-01-01") "repeals \"Ord. 1\"\n";
    ck_days(E1, county, DAYS("2022-12-31", "2023-01-01", "2024-06-01"),
            "2022-12-31: 1 2(A) 2(B) 3 4 | 2023-01-01: 1 2(A) 2(B) | 2024-06-01: 1 2(A) 2(B)");
    /* what a level above does by an act of the same name stays */
    ck_days(E1 AMENDS("1", "2021-01-01", "Ord. 1") INSERT("7"), county,
            DAYS("2022-12-31", "2023-01-01"),
            "2022-12-31: 1 2(A) 2(B) 3 4 7 | 2023-01-01: 1 2(A) 2(B) 7");
}
END_TEST

START_TEST(an_act_repealed_before_it_begins_never_has_effect)
{
    static const char county[] = C("2023-06-01") INSERT("3") B("2023-01-01") "repeals \"Ord. 3\"\n";
    ck_days(E1, county, DAYS("2023-05-31", "2023-06-01", "2026-01-01"),
            "2023-05-31: 1 2(A) 2(B) | 2023-06-01: 1 2(A) 2(B) | 2026-01-01: 1 2(A) 2(B)");
    ck_dates(E1, county, "2020-01-01 2023-01-01"); /* its own day is none */
    ck_days(E1, C("2023-06-01") INSERT("3") B("2023-06-01") "repeals \"Ord. 3\"\n",
            DAYS("2023-06-01"), "2023-06-01: 1 2(A) 2(B)");
    /* a repeal that never has effect repeals nothing */
    ck_days(
        E1,
        A INSERT("3") B("2023-01-01") "repeals \"Ord. 1\"\n" C("2022-06-01") "repeals \"Ord. 2\"\n",
        DAYS("2022-12-31", "2023-01-01"), "2022-12-31: 1 2(A) 2(B) 3 | 2023-01-01: 1 2(A) 2(B) 3");
}
END_TEST

START_TEST(a_repeal_of_a_repeal_does_not_revive)
{
    ck_days(E1,
            A INSERT("3")
                B("2023-01-01") "repeals \"Ord. 1\"\n" C("2024-01-01") "repeals \"Ord. 2\"\n",
            DAYS("2022-12-31", "2023-01-01", "2023-12-31", "2024-01-01"),
            "2022-12-31: 1 2(A) 2(B) 3 | 2023-01-01: 1 2(A) 2(B) | 2023-12-31: 1 2(A) 2(B) | "
            "2024-01-01: 1 2(A) 2(B)");
}
END_TEST

START_TEST(a_repeal_that_ends_suspends)
{
    ck_days(E1, A INSERT("3") STAY("2023-01-01", "2023-06-30"),
            DAYS("2022-12-31", "2023-01-01", "2023-06-30", "2023-07-01"),
            "2022-12-31: 1 2(A) 2(B) 3 | 2023-01-01: 1 2(A) 2(B) | 2023-06-30: 1 2(A) 2(B) | "
            "2023-07-01: 1 2(A) 2(B) 3");
    ck_dates(E1, A INSERT("3") STAY("2023-01-01", "2023-06-30"),
             "2020-01-01 2022-01-01 2023-01-01 2023-07-01");
    /* revived, it keeps its own day, and its place before a later act */
    ck_section(
        E1, A READ("1", "9 in") STAY("2023-01-01", "2023-06-30") C("2023-03-01") READ("1", "7 in"),
        "2023-07-01", "1",
        "1/1\n  {shall width <= 7 in} : adopted halloway Reg. 1 from 2020-01-01, amended "
        "quillmark Ord. 1 from 2022-01-01, amended quillmark Ord. 3 from 2023-03-01\n");
    /* suspended when it would begin, it begins afterwards */
    ck_section(E1, A READ("1", "9 in") STAY("2021-12-01", "2022-01-31"), "2022-02-01", "1",
               "1/1\n  {shall width <= 9 in} : adopted halloway Reg. 1 from 2020-01-01, amended "
               "quillmark Ord. 1 from 2022-02-01\n");
    ck_days(E1, A INSERT("3") STAY("2021-12-01", "2022-01-31"),
            DAYS("2022-01-01", "2022-01-31", "2022-02-01"),
            "2022-01-01: 1 2(A) 2(B) | 2022-01-31: 1 2(A) 2(B) | 2022-02-01: 1 2(A) 2(B) 3");
    /* it ends on its own day, suspended or not */
    ck_days(E1,
            ENDING("2022-01-01", "2023-03-31", "Ord. 1") INSERT("3")
                STAY("2023-01-01", "2023-06-30"),
            DAYS("2022-12-31", "2023-01-01", "2023-07-01"),
            "2022-12-31: 1 2(A) 2(B) 3 | 2023-01-01: 1 2(A) 2(B) | 2023-07-01: 1 2(A) 2(B)");
    /* repealing the act that suspends revives nothing before its day */
    ck_days(E1,
            A INSERT("3") STAY("2023-01-01", "2023-06-30") C("2023-03-01") "repeals \"Ord. 2\"\n",
            DAYS("2023-03-01", "2023-06-30", "2023-07-01"),
            "2023-03-01: 1 2(A) 2(B) | 2023-06-30: 1 2(A) 2(B) | 2023-07-01: 1 2(A) 2(B) 3");
    ck_dates(E1,
             A INSERT("3") STAY("2023-01-01", "2023-06-30") C("2023-03-01") "repeals \"Ord. 2\"\n",
             "2020-01-01 2022-01-01 2023-01-01 2023-03-01 2023-07-01");
    /* extending it extends the suspension */
    ck_days(E1,
            A INSERT("3") STAY("2023-01-01", "2023-06-30")
                C("2023-07-01") "extends \"Ord. 2\" until 2023-09-30\n",
            DAYS("2023-07-01", "2023-09-30", "2023-10-01"),
            "2023-07-01: 1 2(A) 2(B) | 2023-09-30: 1 2(A) 2(B) | 2023-10-01: 1 2(A) 2(B) 3");
}
END_TEST

START_TEST(one_act_is_suspended_twice)
{
    static const char county[] = A INSERT("3") STAY("2023-01-01", "2023-06-30")
        ENDING("2023-05-01", "2023-08-31", "Ord. 4") "repeals \"Ord. 1\"\n" ENDING(
            "2024-01-01", "2024-01-31", "Ord. 5") "repeals \"Ord. 1\"\n";
    ck_days(E1, county,
            DAYS("2023-07-01", "2023-08-31", "2023-09-01", "2023-12-31", "2024-01-01", "2024-01-31",
                 "2024-02-01"),
            "2023-07-01: 1 2(A) 2(B) | 2023-08-31: 1 2(A) 2(B) | 2023-09-01: 1 2(A) 2(B) 3 | "
            "2023-12-31: 1 2(A) 2(B) 3 | 2024-01-01: 1 2(A) 2(B) | 2024-01-31: 1 2(A) 2(B) | "
            "2024-02-01: 1 2(A) 2(B) 3");
    /* suspended twice before it begins */
    ck_days(E1,
            AMENDS("1", "2023-03-01", "Ord. 1") INSERT("3") STAY("2023-01-01", "2023-06-30")
                ENDING("2023-05-01", "2023-08-31", "Ord. 4") "repeals \"Ord. 1\"\n",
            DAYS("2023-07-01", "2023-08-31", "2023-09-01"),
            "2023-07-01: 1 2(A) 2(B) | 2023-08-31: 1 2(A) 2(B) | 2023-09-01: 1 2(A) 2(B) 3");
    /* and repealed while it is suspended */
    ck_days(
        E1, A INSERT("3") STAY("2023-01-01", "2023-06-30") C("2023-03-01") "repeals \"Ord. 1\"\n",
        DAYS("2022-12-31", "2023-07-01"), "2022-12-31: 1 2(A) 2(B) 3 | 2023-07-01: 1 2(A) 2(B)");
}
END_TEST

/* ---- repeals of parts ---- */

#define MANY A INSERT("3") INSERT("4") "delete \"2(A)\", \"2(B)\"\n" READ("1", "9 in")

START_TEST(a_part_of_an_act_is_repealed)
{
    ck_days(E1, MANY B("2023-01-01") "repeals \"Ord. 1\" in \"3\"\n",
            DAYS("2022-12-31", "2023-01-01"), "2022-12-31: 1 3 4 | 2023-01-01: 1 4");
    ck_days(E1, MANY B("2023-01-01") "repeals \"Ord. 1\" in \"2(B)\", \"4\"\n",
            DAYS("2022-12-31", "2023-01-01"), "2022-12-31: 1 3 4 | 2023-01-01: 1 2(B) 3");
    /* a target covers subdivisions */
    ck_days(E1, MANY B("2023-01-01") "repeals \"Ord. 1\" in \"2\"\n",
            DAYS("2022-12-31", "2023-01-01"), "2022-12-31: 1 3 4 | 2023-01-01: 1 2(A) 2(B) 3 4");
    ck_section(E1, MANY B("2023-01-01") "repeals \"Ord. 1\" in \"1\"\n", "2023-01-01", "1",
               "1/1\n  {shall width <= 24 in} : adopted halloway Reg. 1 from 2020-01-01\n");
    /* an act that adopts stays an adoption */
    ck_days(E1 "delete \"1\"\n" INSERT("3")
                AMENDS("1", "2021-01-01", "Reg. 9") "repeals \"Reg. 1\" in \"1\"\n",
            "", DAYS("2020-12-31", "2021-01-01"),
            "2020-12-31: 2(A) 2(B) 3 | 2021-01-01: 1 2(A) 2(B) 3");
    /* suspended, it comes back; and a part that was to begin then begins later */
    ck_days(E1, MANY ENDING("2023-01-01", "2023-06-30", "Ord. 2") "repeals \"Ord. 1\" in \"3\"\n",
            DAYS("2023-01-01", "2023-06-30", "2023-07-01"),
            "2023-01-01: 1 4 | 2023-06-30: 1 4 | 2023-07-01: 1 3 4");
    static const char before[] =
        MANY ENDING("2021-06-01", "2022-06-30", "Ord. 2") "repeals \"Ord. 1\" in \"1\", \"2\"\n";
    ck_days(E1, before, DAYS("2022-01-01", "2022-06-30", "2022-07-01"),
            "2022-01-01: 1 2(A) 2(B) 3 4 | 2022-06-30: 1 2(A) 2(B) 3 4 | 2022-07-01: 1 3 4");
    ck_section(E1, before, "2022-07-01", "1",
               "1/1\n  {shall width <= 9 in} : adopted halloway Reg. 1 from 2020-01-01, amended "
               "quillmark Ord. 1 from 2022-07-01\n");
    ck_dates(E1, before, "2020-01-01 2021-06-01 2022-01-01 2022-07-01");
    /* first a part, then the rest */
    ck_days(
        E1,
        MANY B("2023-01-01") "repeals \"Ord. 1\" in \"3\"\n" C("2024-01-01") "repeals \"Ord. 1\"\n",
        DAYS("2023-01-01", "2024-01-01"), "2023-01-01: 1 4 | 2024-01-01: 1 2(A) 2(B)");
}
END_TEST

START_TEST(a_part_word_repeals_that_part)
{
    static const char code[] = CODE("1", "section \"9\" part a shall width <= 1 in end\n"
                                         "section \"9\" part b shall width <= 2 in end\n");
    World world =
        WORLD(VOCABULARY, code,
              STATE(E1 AMENDS(
                  "1", "2021-01-01",
                  "Reg. 3") "amend \"9\" part a limit to 7 in amend \"9\" part b limit to 8 in\n"
                            "delete \"9\" part c\n" AMENDS(
                                "1", "2022-01-01",
                                "Reg. 4") "repeals \"Reg. 3\" in \"9\" part b, \"9\" part c\n"));
    LawTree *law = world_law(&world, "halloway", "2022-01-01");
    expect_none(&world);
    ck_assert_uint_eq(law->sections[0].texts[0].limit_count, 1);
    ck_assert_uint_eq(law->sections[1].texts[0].limit_count, 0);
    world_free(&world);
}
END_TEST

START_TEST(repeals_that_repeal_nothing_are_errors)
{
    ck_error(E1, A INSERT("3") B("2023-01-01") "repeals \"Ord 1\"\n", "2023-01-01", "unknown act",
             "\"Ord 1\"", "\"Ord. 1\"", "did you mean 'Ord. 1'?");
    /* of another level, of another code: no act of this one */
    ck_error(E1 AMENDS("1", "2021-01-01", "Reg. 77") INSERT("3"),
             A INSERT("4") B("2023-01-01") "repeals \"Reg. 77\"\n", "2023-01-01", "unknown act",
             "\"Reg. 77\"", NULL, "");
    ck_error(E1, A INSERT("3") B("2023-01-01") "repeals \"Ord. 2\"\n", "2023-01-01",
             "acts on itself", "\"Ord. 2\"", "\"Ord. 2\"", "the act is here");
    ck_error(E1,
             A INSERT("3")
                 B("2023-01-01") "repeals \"Ord. 1\"\n" C("2024-01-01") "repeals \"Ord. 1\"\n",
             "2024-01-01", "already repealed", "\"Ord. 1\"", "\"Ord. 1\"",
             "repealed here from 2023-01-01");
    ck_error(E1,
             ENDING("2022-01-01", "2022-12-31", "Ord. 1") INSERT("3")
                 B("2023-01-01") "repeals \"Ord. 1\"\n",
             "2023-01-01", "already ended", "\"Ord. 1\"", "2022-12-31",
             "in force until 2022-12-31");
    ck_error(E1, MANY B("2023-01-01") "repeals \"Ord. 1\" in \"5\"\n", "2023-01-01",
             "nothing to repeal", "\"5\"", "\"Ord. 1\"", "the act is here");
    ck_error(E1, MANY B("2023-01-01") "repeals \"Ord. 1\" in \"2(C)\"\n", "2023-01-01",
             "nothing to repeal", "\"2(C)\"", "delete", "the nearest change is of '2(A)'");
    ck_error(E1,
             MANY B("2023-01-01") "repeals \"Ord. 1\" in \"3\"\n" C(
                 "2024-01-01") "repeals \"Ord. 1\" in \"3\"\n",
             "2024-01-01", "already repealed", "\"3\"", "\"Ord. 1\"",
             "repealed here from 2023-01-01");
    ck_error(
        E1,
        MANY B("2023-01-01") "repeals \"Ord. 1\"\n" C("2024-01-01") "repeals \"Ord. 1\" in \"3\"\n",
        "2024-01-01", "already repealed", "\"3\"", "\"Ord. 1\"", "repealed here from 2023-01-01");
    /* on the last day of its act there is still something to repeal */
    ck_days(E1,
            ENDING("2022-01-01", "2022-12-31", "Ord. 1") INSERT("3")
                B("2022-12-31") "repeals \"Ord. 1\"\n",
            DAYS("2022-12-30", "2022-12-31"),
            "2022-12-30: 1 2(A) 2(B) 3 | 2022-12-31: 1 2(A) 2(B)");
}
END_TEST

START_TEST(acts_do_not_act_on_each_other)
{
    ck_error(E1, B("2023-01-01") "repeals \"Ord. 3\"\n" C("2024-01-01") "repeals \"Ord. 2\"\n",
             "2023-01-01", "circle of acts", "\"Ord. 2\"", "\"Ord. 3\"", "'Ord. 2' repeals");
    World world = make(
        E1,
        B("2023-01-01") "repeals \"Ord. 3\"\n" C("2023-01-01") "repeals \"Ord. 4\"\n" AMENDS(
            "1", "2023-01-01", "Ord. 4") "postpones \"Ord. 2\" until 2024-01-01\nrepeals \"Ord. "
                                         "5\"\n" AMENDS("1", "2022-01-01", "Ord. 5") INSERT("3"));
    LawTree *law = world_law(&world, "quillmark", "2023-01-01");
    expect(&world, "circle of acts", "\"Ord. 4\"", "\"Ord. 2\"", "'Ord. 4' postpones 'Ord. 2'");
    /* what is left out is the circle alone */
    ck_assert_str_eq(law_numbers(&world, law), "1 2(A) 2(B)");
    world_free(&world);
}
END_TEST

/* ---- ends and beginnings ---- */

#define EMERGENCY ENDING("2022-01-01", "2022-06-30", "Ord. 1") INSERT("3")

START_TEST(an_end_is_extended)
{
    ck_days(E1, EMERGENCY B("2022-06-01") "extends \"Ord. 1\" until 2022-12-31\n",
            DAYS("2022-06-30", "2022-07-01", "2022-12-31", "2023-01-01"),
            "2022-06-30: 1 2(A) 2(B) 3 | 2022-07-01: 1 2(A) 2(B) 3 | 2022-12-31: 1 2(A) 2(B) 3 | "
            "2023-01-01: 1 2(A) 2(B)");
    ck_dates(E1, EMERGENCY B("2022-06-01") "extends \"Ord. 1\" until 2022-12-31\n",
             "2020-01-01 2022-01-01 2022-06-01 2023-01-01");
    /* on the day after its end, at the latest; and once more */
    ck_days(E1,
            EMERGENCY B("2022-07-01") "extends \"Ord. 1\" until 2022-12-31\n" C(
                "2023-01-01") "extends \"Ord. 1\" until 2023-03-31\n",
            DAYS("2022-06-30", "2022-07-01", "2023-01-01", "2023-03-31", "2023-04-01"),
            "2022-06-30: 1 2(A) 2(B) 3 | 2022-07-01: 1 2(A) 2(B) 3 | 2023-01-01: 1 2(A) 2(B) 3 | "
            "2023-03-31: 1 2(A) 2(B) 3 | 2023-04-01: 1 2(A) 2(B)");
    /* an adoption too; the next edition need not wait for it any longer than before */
    ck_days(
        "adopts larder edition 1 in force from 2020-01-01 until 2023-06-30 by \"Reg. 1\"\n" AMENDS(
            "1", "2023-06-01", "Reg. 3") "extends \"Reg. 1\" until 2023-12-31\n" E2,
        "", DAYS("2023-07-01", "2023-12-31", "2024-01-01"),
        "2023-07-01: 1 2(A) 2(B) | 2023-12-31: 1 2(A) 2(B) | 2024-01-01: 1 22");
}
END_TEST

START_TEST(an_end_that_cannot_be_extended_is_an_error)
{
    ck_error(E1, A INSERT("3") B("2023-01-01") "extends \"Ord. 1\" until 2024-01-01\n",
             "2023-01-01", "act without an end", "\"Ord. 1\"", "\"Ord. 1\"", "without an 'until'");
    ck_error(E1, EMERGENCY B("2022-07-02") "extends \"Ord. 1\" until 2022-12-31\n", "2022-07-02",
             "extended too late", "\"Ord. 1\"", "2022-06-30", "in force until 2022-06-30");
    ck_error(E1, EMERGENCY B("2022-06-01") "extends \"Ord. 1\" until 2022-06-30\n", "2022-06-01",
             "not extended", "2022-06-30", "2022-06-30", "in force until 2022-06-30");
    ck_error(E1,
             EMERGENCY B("2022-03-01") "repeals \"Ord. 1\"\n" C(
                 "2022-06-01") "extends \"Ord. 1\" until 2022-12-31\n",
             "2022-06-01", "already repealed", "\"Ord. 1\"", "\"Ord. 1\"",
             "repealed here from 2022-03-01");
    ck_error(E1,
             EMERGENCY B("2022-06-01") "extends \"Ord. 1\" until 2022-12-31\n" C(
                 "2022-06-01") "extends \"Ord. 1\" until 2023-12-31\n",
             "2022-06-01", "two changes on one day", "\"Ord. 1\"", "\"Ord. 1\"", "the other one");
    ck_error(E1, EMERGENCY B("2022-06-01") "extends \"Ord. 7\" until 2022-12-31\n", "2022-06-01",
             "unknown act", "\"Ord. 7\"", "\"Ord. 1\"", "did you mean");
    ck_error(E1,
             ENDING("2022-01-01", "2022-06-30", "Ord. 1") "extends \"Ord. 1\" until 2022-12-31\n",
             "2022-01-01", "acts on itself", "\"Ord. 1\"", "\"Ord. 1\"", "the act is here");
}
END_TEST

#define LATE(by, from, until) AMENDS("1", from, by) "postpones \"Ord. 1\" until " until "\n"

START_TEST(a_beginning_is_postponed)
{
    ck_days(E1, A INSERT("3") LATE("Ord. 2", "2021-06-01", "2022-07-01"),
            DAYS("2021-12-31", "2022-01-01", "2022-06-30", "2022-07-01"),
            "2021-12-31: 1 2(A) 2(B) | 2022-01-01: 1 2(A) 2(B) | 2022-06-30: 1 2(A) 2(B) | "
            "2022-07-01: 1 2(A) 2(B) 3");
    ck_dates(E1, A INSERT("3") LATE("Ord. 2", "2021-06-01", "2022-07-01"),
             "2020-01-01 2021-06-01 2022-07-01");
    /* on its first day, at the latest; and once more */
    static const char twice[] = A READ("1", "9 in") LATE("Ord. 2", "2022-01-01", "2022-07-01")
        LATE("Ord. 3", "2022-07-01", "2023-01-01");
    ck_section(E1, twice, "2022-12-31", "1",
               "1/1\n  {shall width <= 24 in} : adopted halloway Reg. 1 from 2020-01-01\n");
    ck_section(E1, twice, "2023-01-01", "1",
               "1/1\n  {shall width <= 9 in} : adopted halloway Reg. 1 from 2020-01-01, amended "
               "quillmark Ord. 1 from 2023-01-01\n");
    /* it comes after what has begun in the meantime */
    ck_section(E1,
               A READ("1", "9 in") LATE("Ord. 2", "2021-06-01", "2022-07-01") C("2022-03-01")
                   READ("1", "7 in"),
               "2022-07-01", "1",
               "1/1\n  {shall width <= 9 in} : adopted halloway Reg. 1 from 2020-01-01, amended "
               "quillmark Ord. 3 from 2022-03-01, amended quillmark Ord. 1 from 2022-07-01\n");
    /* the repeal of what postponed it does not bring it forward */
    ck_days(E1,
            A INSERT("3") LATE("Ord. 2", "2021-06-01", "2022-07-01")
                C("2021-09-01") "repeals \"Ord. 2\"\n",
            DAYS("2022-01-01", "2022-07-01"),
            "2022-01-01: 1 2(A) 2(B) | 2022-07-01: 1 2(A) 2(B) 3");
    /* a postponed repeal repeals later, a postponed postponement comes too late */
    ck_days(E1,
            A INSERT("3") B("2023-01-01") "repeals \"Ord. 1\"\n" C(
                "2022-06-01") "postpones \"Ord. 2\" until 2023-07-01\n",
            DAYS("2023-06-30", "2023-07-01"),
            "2023-06-30: 1 2(A) 2(B) 3 | 2023-07-01: 1 2(A) 2(B)");
    /* an adoption is postponed by an act that comes before it; what amends it waits */
    static const char adoption[] =
        E1 E2 AMENDS("2", "2023-06-01", "Reg. 3") "postpones \"Reg. 2\" until 2024-07-01\n";
    static const char waits[] = AMENDS("2", "2024-01-01", "Ord. 1") "delete \"22\"\n";
    ck_days(adoption, waits, DAYS("2023-12-31", "2024-01-01", "2024-06-30", "2024-07-01"),
            "2023-12-31: 1 2(A) 2(B) | 2024-01-01: 1 2(A) 2(B) | 2024-06-30: 1 2(A) 2(B) | "
            "2024-07-01: 1");
    ck_dates(adoption, "", "2020-01-01 2023-06-01 2024-07-01");
    World world = make(adoption, "");
    LawTree *law = world_law(&world, "quillmark", "2024-07-01");
    ck_assert_int_eq(law->code_from[0], world_day("2024-07-01"));
    ck_assert_int_eq(law->sections[0].texts[0].chain[0].from, world_day("2024-07-01"));
    ck_assert_int_eq(law->sections[0].texts[0].chain[0].block->from, world_day("2024-07-01"));
    world_free(&world);
}
END_TEST

START_TEST(a_beginning_that_cannot_be_postponed_is_an_error)
{
    ck_error(E1, A INSERT("3") LATE("Ord. 2", "2022-01-02", "2022-07-01"), "2022-01-02",
             "postponed too late", "\"Ord. 1\"", "2022-01-01", "in force from 2022-01-01");
    ck_error(E1, A INSERT("3") LATE("Ord. 2", "2021-06-01", "2022-01-01"), "2021-06-01",
             "not postponed", "2022-01-01", "2022-01-01", "in force from 2022-01-01");
    ck_error(E1, EMERGENCY LATE("Ord. 2", "2021-06-01", "2022-07-01"), "2021-06-01",
             "postponed past its end", "2022-07-01", "2022-06-30", "in force until 2022-06-30");
    ck_error(E1,
             A INSERT("3")
                 B("2021-03-01") "repeals \"Ord. 1\"\n" LATE("Ord. 3", "2021-06-01", "2022-07-01"),
             "2021-06-01", "already repealed", "\"Ord. 1\"", "\"Ord. 1\"",
             "repealed here from 2021-03-01");
    ck_error(E1,
             A INSERT("3") LATE("Ord. 2", "2021-06-01", "2022-07-01")
                 LATE("Ord. 3", "2021-06-01", "2022-08-01"),
             "2021-06-01", "two changes on one day", "\"Ord. 1\"", "\"Ord. 1\"", "the other one");
    ck_error(E1, LATE("Ord. 1", "2021-06-01", "2022-07-01"), "2021-06-01", "acts on itself",
             "\"Ord. 1\"", "\"Ord. 1\"", "the act is here");
    ck_error(E1,
             A INSERT("3") LATE("Ord. 2", "2022-01-01", "2022-07-01")
                 C("2021-06-01") "postpones \"Ord. 2\" until 2022-03-01\n",
             "2022-03-01", "postponed too late", "\"Ord. 1\"", "2022-01-01",
             "in force from 2022-01-01");
    /* on one day the end moves first: together they may pass the old end */
    ck_days(E1,
            EMERGENCY AMENDS("1", "2021-06-01",
                             "Ord. 2") "postpones \"Ord. 1\" until 2022-07-01\nextends \"Ord. 1\" "
                                       "until 2022-12-31\n",
            DAYS("2022-06-30", "2022-07-01", "2022-12-31", "2023-01-01"),
            "2022-06-30: 1 2(A) 2(B) | 2022-07-01: 1 2(A) 2(B) 3 | 2022-12-31: 1 2(A) 2(B) 3 | "
            "2023-01-01: 1 2(A) 2(B)");
}
END_TEST

/* ---- what holds for all acts ---- */

static uint32_t next_random(uint32_t *state)
{
    *state = *state * 1664525u + 1013904223u;
    return *state >> 8;
}

enum { ACTS = 9, MONTHS = 60, ACTIONS = 2, WORLDS = 120 };

typedef struct RandomAction {
    char kind; /* 'e', 'p', 'r'; 0: none */
    int target;
    Day day;
} RandomAction;

typedef struct RandomGap {
    Day from;
    const struct RandomAct *by; /* ends with it, extended or not */
} RandomGap;

/* An act and, as the days pass, what has become of it. */
typedef struct RandomAct {
    Day from, until, repealed;
    RandomGap gaps[ACTS * ACTIONS];
    int gap_count;
    RandomAction actions[ACTIONS];
} RandomAct;

static Day month(uint32_t number)
{
    return date_day(2020 + (int)(number / 12), 1 + (int)(number % 12), 1);
}

/* Each acts on acts before it in the file, so that there is no circle. */
static void make_acts(RandomAct *acts, uint32_t *random)
{
    for (int i = 0; i < ACTS; i++) {
        RandomAct *act = &acts[i];
        *act = (RandomAct){.repealed = DAY_FOREVER};
        uint32_t from = 1 + next_random(random) % (MONTHS - 12);
        act->from = month(from);
        act->until = next_random(random) % 2 == 0 ? DAY_FOREVER
                                                  : month(from + 1 + next_random(random) % 12) - 1;
        for (int k = 0; k < ACTIONS && i > 0; k++) {
            act->actions[k] = (RandomAction){"eprr\0"[next_random(random) % 5],
                                             (int)(next_random(random) % (uint32_t)i),
                                             month(next_random(random) % MONTHS)};
            act->actions[k].day -= act->actions[k].kind == 'e';
        }
    }
}

static void put_act(Buffer *out, const RandomAct *act, int number, bool acts)
{
    Text from = date_print(out->arena, act->from);
    buffer_format(out, "amends larder edition 1 in force from %.*s", TEXT_ARG(from));
    if (act->until != DAY_FOREVER) {
        Text until = date_print(out->arena, act->until);
        buffer_format(out, " until %.*s", TEXT_ARG(until));
    }
    buffer_format(out, " by \"Act %d\"\ninsert section \"%d\" shall width <= 1 in end\n", number,
                  number + 10);
    buffer_format(out, "amend \"1\" limit to %d in\n", number + 1);
    for (int k = 0; k < ACTIONS && acts; k++) {
        const RandomAction *action = &act->actions[k];
        Text day = date_print(out->arena, action->day);
        if (action->kind == 'r') {
            buffer_format(out, "repeals \"Act %d\"\n", action->target);
        } else if (action->kind != 0) {
            buffer_format(out, "%s \"Act %d\" until %.*s\n",
                          action->kind == 'e' ? "extends" : "postpones", action->target,
                          TEXT_ARG(day));
        }
    }
}

static bool begins(const RandomAct *act, Day day)
{
    return act->from == day && act->repealed > day && act->until >= day;
}

/* An act that is suspended when it would begin begins afterwards. */
static void shift(RandomAct *act)
{
    for (int g = 0; g < act->gap_count; g++) {
        if (act->gaps[g].from <= act->from && act->from <= act->gaps[g].by->until) {
            act->from = act->gaps[g].by->until + 1;
        }
    }
}

static void do_action(RandomAct *target, const RandomAction *action, const RandomAct *by, Day day)
{
    bool gone = target->repealed <= day;
    if (action->kind == 'e' && !gone && target->until != DAY_FOREVER && day <= target->until + 1 &&
        action->day > target->until) {
        target->until = action->day;
    } else if (action->kind == 'p' && !gone && day <= target->from && action->day > target->from &&
               action->day <= target->until) {
        target->from = action->day;
    } else if (action->kind == 'r' && !gone && target->until >= day) {
        if (by->until == DAY_FOREVER) {
            target->repealed = day;
        } else {
            target->gaps[target->gap_count++] = (RandomGap){day, by};
            shift(target);
        }
    }
}

/* One day: whatever begins acts on the acts before it, the last of these first. Of two acts that
 * move one end or one beginning, the first counts. */
static void pass_day(RandomAct *acts, Day day)
{
    static const char kinds[] = "epr";
    for (int t = ACTS - 1; t >= 0; t--) {
        shift(&acts[t]);
        for (int kind = 0; kind < 3; kind++) {
            bool done = false;
            for (int i = t + 1; i < ACTS; i++) {
                for (int k = 0; k < ACTIONS && begins(&acts[i], day); k++) {
                    const RandomAction *action = &acts[i].actions[k];
                    if (action->kind == kinds[kind] && action->target == t &&
                        (kinds[kind] == 'r' || !done)) {
                        do_action(&acts[t], action, &acts[i], day);
                        done = true;
                    }
                }
            }
        }
    }
}

static bool in_force(const RandomAct *act, Day day)
{
    bool found = act->from <= day && day <= act->until && day < act->repealed;
    for (int g = 0; g < act->gap_count; g++) {
        found = found && !(act->gaps[g].from <= day && day <= act->gaps[g].by->until);
    }
    return found;
}

static const char *all_sections(World *world, Day on)
{
    const JurisdictionTree *tree = library_jurisdiction(world->library, TEXT("halloway"));
    LawTree *law = law_assemble(world->arena, world->library, tree, on, &world->diags);
    Buffer out = buffer_make(world->arena);
    for (uint32_t i = 0; i < law->section_count; i++) {
        put_law_section(&out, &law->sections[i]);
    }
    return text_string(world->arena, buffer_done(&out));
}

static World act_world(const RandomAct *acts, const Day *only)
{
    Arena *arena = arena_new();
    Buffer state = buffer_make(arena);
    buffer_string(&state, "jurisdiction halloway \"H\"\n" E1);
    for (int i = 0; i < ACTS; i++) {
        if (only == NULL) {
            put_act(&state, &acts[i], i, true);
        } else if (in_force(&acts[i], *only)) {
            RandomAct as_is = acts[i];
            as_is.until = DAY_FOREVER;
            put_act(&state, &as_is, i, false);
        }
    }
    buffer_string(&state, "end\n");
    const char *rules = text_string(arena, buffer_done(&state));
    World world = WORLD(VOCABULARY, CODE("1", SECTION("1")), rules);
    arena_free(arena);
    expect_none(&world);
    return world;
}

static bool is_among(const Day *days, uint32_t count, Day day)
{
    for (uint32_t i = 0; i < count; i++) {
        if (days[i] == day) {
            return true;
        }
    }
    return false;
}

/* The law on each day is that of the blocks that a walk from day to day finds in force, from the
 * days that it finds for them; and it changes on no day that law_dates does not tell. */
START_TEST(the_law_of_acts_is_that_of_a_walk_through_the_days)
{
    uint32_t random = 20260214;
    uint32_t changed = 0;
    for (int w = 0; w < WORLDS; w++) {
        RandomAct acts[ACTS];
        make_acts(acts, &random);
        World world = act_world(acts, NULL);
        uint32_t count = 0;
        const JurisdictionTree *tree = library_jurisdiction(world.library, TEXT("halloway"));
        const Day *days = law_dates(world.arena, world.library, tree, &count);
        const char *before = all_sections(&world, month(0));
        for (uint32_t m = 1; m < MONTHS + 12; m++) {
            Day on = month(m);
            pass_day(acts, on);
            World only = act_world(acts, &on);
            const char *found = all_sections(&world, on);
            const char *expected = all_sections(&only, on);
            ck_assert_msg(strcmp(found, expected) == 0, "world %d, month %u: %s instead of %s", w,
                          m, found, expected);
            ck_assert(strcmp(found, before) == 0 || is_among(days, count, on));
            ck_assert_str_eq(all_sections(&world, on - 1), before); /* to the last day */
            changed += strcmp(found, before) != 0;
            before = found;
            world_free(&only);
        }
        world_free(&world);
    }
    ck_assert_uint_gt(changed, WORLDS * 5);
}
END_TEST

/* A chain of acts, each of which repeals the one before it, inserts and deletes; and at the end
 * one that repeals a part of each. */
static uint64_t count_steps(unsigned acts)
{
    Arena *arena = arena_new();
    Buffer state = buffer_make(arena);
    buffer_string(&state, "jurisdiction halloway \"H\"\n" E1);
    for (unsigned i = 0; i < acts; i++) {
        Text from = date_print(arena, date_day(2020, 1, 2) + (Day)i);
        buffer_format(&state, "amends larder edition 1 in force from %.*s by \"Act %u\"\n",
                      TEXT_ARG(from), i);
        buffer_format(&state, "insert section \"7-%u\" shall width <= 1 in end\n", i);
        if (i > 0 && i % 2 == 0) {
            buffer_format(&state, "repeals \"Act %u\"\n", i - 1);
        } else if (i > 0) {
            buffer_format(&state, "repeals \"Act %u\" in \"7-%u\"\n", i - 1, i - 1);
        }
    }
    buffer_string(&state, "amends larder edition 1 in force from 2100-01-01 by \"Big\"\n");
    for (unsigned i = 0; i < acts; i++) {
        buffer_format(&state, "insert section \"8-%u\" shall width <= 1 in end\n", i);
    }
    buffer_string(&state, "amends larder edition 1 in force from 2101-01-01 by \"Small\"\n");
    for (unsigned i = 0; i < acts; i += 2) {
        buffer_format(&state, "repeals \"Big\" in \"8-%u\"\n", i);
    }
    buffer_string(&state, "end\n");
    World world =
        WORLD(VOCABULARY, CODE("1", SECTION("1")), text_string(arena, buffer_done(&state)));
    LawTree *law = world_law(&world, "halloway", "2101-01-01");
    expect_none(&world);
    uint64_t steps = law->steps;
    ck_assert_uint_eq(law->section_count, 1 + 1 + acts / 2); /* the last act's, and half of Big */
    world_free(&world);
    arena_free(arena);
    return steps;
}

START_TEST(the_work_grows_linearly_with_the_acts)
{
    uint64_t steps[3];
    for (unsigned i = 0; i < 3; i++) {
        steps[i] = count_steps(250u << (2 * i)); /* 250, 1000, 4000 acts */
    }
    for (unsigned i = 1; i < 3; i++) {
        ck_assert_uint_gt(steps[i], 3 * steps[i - 1]);
        ck_assert_uint_lt(steps[i], 5 * steps[i - 1]);
    }
}
END_TEST

static void add_repeals(Suite *suite)
{
    TCase *tcase = tcase_create("repeals");
    tcase_add_test(tcase, a_repealed_act_is_no_more_from_that_day);
    tcase_add_test(tcase, an_act_is_all_its_blocks_of_one_level_and_code);
    tcase_add_test(tcase, an_act_repealed_before_it_begins_never_has_effect);
    tcase_add_test(tcase, a_repeal_of_a_repeal_does_not_revive);
    tcase_add_test(tcase, a_repeal_that_ends_suspends);
    tcase_add_test(tcase, one_act_is_suspended_twice);
    tcase_add_test(tcase, a_part_of_an_act_is_repealed);
    tcase_add_test(tcase, a_part_word_repeals_that_part);
    tcase_add_test(tcase, repeals_that_repeal_nothing_are_errors);
    tcase_add_test(tcase, acts_do_not_act_on_each_other);
    suite_add_tcase(suite, tcase);
}

Suite *acts_suite(void)
{
    Suite *suite = suite_create("acts");
    add_repeals(suite);
    TCase *tcase = tcase_create("days");
    tcase_add_test(tcase, an_end_is_extended);
    tcase_add_test(tcase, an_end_that_cannot_be_extended_is_an_error);
    tcase_add_test(tcase, a_beginning_is_postponed);
    tcase_add_test(tcase, a_beginning_that_cannot_be_postponed_is_an_error);
    suite_add_tcase(suite, tcase);
    TCase *every = tcase_create("all acts");
    tcase_set_timeout(every, 120);
    tcase_add_test(every, the_law_of_acts_is_that_of_a_walk_through_the_days);
    tcase_add_test(every, the_work_grows_linearly_with_the_acts);
    suite_add_tcase(suite, every);
    return suite;
}
