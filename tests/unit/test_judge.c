/* judge/: what a worked example cannot say: cautions, stages, advice, standing questions, the
 * next date of change, what a verdict rests on, and the same result whatever the order of keys.
 * The outcomes themselves are proved in tests/meaning. All law here is invented. */
#include <check.h>
#include <stdio.h>

#include "judge/judge.h"

#include "law_world.h"

static const char bench[] =
    "vocabulary bench\n"
    "  record opening\n"
    "    name text always present key\n"
    "    clear_width length always present at least 0 in built as sheet_metal\n"
    "    clear_height length always present at least 0 in built as framing\n"
    "  end\n"
    "  fact openings list of opening always present\n"
    "  fact aisle length always present at least 0 in at most 60 in\n"
    "  fact tag_date date always present\n"
    "  fact cover yes/no always present\n"
    "  topic test.width \"Width\"\n"
    "  topic test.other \"Other\"\n"
    "end\n"
    "code trial edition 1\n"
    "  vocabulary bench\n"
    "  basis invented\n"
    "  section \"1\" \"Width\" topic test.width\n"
    "    each o of openings\n"
    "    shall width: o.clear_width <= 24 in\n"
    "    shall area: o.clear_width * o.clear_height <= 576 in2\n"
    "  end\n"
    "  section \"2\" \"Aisle\" topic test.other shall aisle <= 72 in end\n"
    "  section \"3\" \"Tag\" topic test.other stage final\n"
    "    shall tag_date + 180 day >= review_date end\n"
    "  section \"4\" \"Advice\" topic test.other authority housing may advise\n"
    "    shall cover is yes end\n"
    "  section \"5\" \"Finish\" topic test.other\n"
    "    at the discretion of \"inspector\" \"smooth\" end\n"
    "end\n"
    "code rival edition 1\n"
    "  vocabulary bench\n"
    "  basis invented\n"
    "  section \"9\" \"Width\" topic test.width\n"
    "    each o of openings shall o.clear_width <= 20 in end\n"
    "end\n"
    "jurisdiction north \"North\"\n"
    "  adopts trial edition 1 in force from 2020-01-01 by \"Ord. 1\"\n"
    "  amends trial edition 1 in force from 2027-07-01 by \"Ord. 2\"\n"
    "    amend \"1\" limit width to 20 in\n"
    "end\n"
    "jurisdiction south \"South\"\n"
    "  adopts trial edition 1 in force from 2020-01-01 by \"Ord. 1\"\n"
    "  adopts rival edition 1 in force from 2020-01-01 by \"Ord. 1\"\n"
    "end\n";

typedef struct Court {
    World world;
    const Review *review;
} Court;

static Court judge_with(const char *jurisdiction, const char *on, const char *spec_text,
                        const ReviewOptions *with)
{
    Court court = {.world = WORLD(bench)};
    World *world = &court.world;
    Day day, last;
    const char *reason;
    ck_assert(date_parse(text_of(on), &day, &last, &reason));
    const JurisdictionTree *where = library_jurisdiction(world->library, text_of(jurisdiction));
    LawTree *tree = law_assemble(world->arena, world->library, where, day, &world->diags);
    const Law *law = law_check(world->arena, world->library, tree, false, &world->diags);
    const Source *source = source_of(world->arena, TEXT("spec.yaml"), text_of(spec_text));
    const Spec *spec =
        spec_read(world->arena, world->names, law->vocabulary, source, &world->diags);
    ck_assert_str_eq(world_errors(world), "");
    ReviewOptions options = *with;
    options.on = day;
    court.review = review_make(world->arena, law, spec, &options);
    return court;
}

static Court judge(const char *jurisdiction, const char *on, const char *spec_text)
{
    const ReviewOptions options = {.stage = STAGE_PLAN};
    return judge_with(jurisdiction, on, spec_text, &options);
}

static const Finding *finding_of(const Review *review, const char *number, uint32_t nth)
{
    for (uint32_t i = 0; i < review->finding_count; i++)
        if (text_equal(review->findings[i].section->number, text_of(number)) && nth-- == 0)
            return &review->findings[i];
    ck_abort_msg("no finding of section %s", number);
    return NULL;
}

#define GOOD "tag_date: 2026-01-01\ncover: yes\naisle: 30 in\npermits: none\n"
#define ONE(width, height) \
    "openings:\n  - {name: a, clear_width: " width ", clear_height: " height "}\n"

static size_t cautions_of(const Review *review, CautionKind kind)
{
    size_t count = 0;
    for (uint32_t i = 0; i < review->caution_count; i++)
        count += review->cautions[i].kind == kind;
    return count;
}

START_TEST(stages_and_status)
{
    Court court = judge("north", "2026-08-01", GOOD ONE("20 in", "20 in"));
    /* The tag is looked at later: listed, and no correction (rule 27). */
    ck_assert_int_eq(finding_of(court.review, "3", 0)->outcome, OUTCOME_CORRECTION);
    ck_assert(finding_of(court.review, "3", 0)->later_stage);
    ck_assert_uint_eq(court.review->later, 1);
    ck_assert_int_eq(review_status(court.review), 2); /* the inspector's question */
    world_free(&court.world);

    Text standing = TEXT("5");
    ReviewOptions options = {.stage = STAGE_PLAN, .standing = &standing, .standing_count = 1};
    court = judge_with("north", "2026-08-01", GOOD ONE("20 in", "20 in"), &options);
    ck_assert_uint_eq(court.review->standing, 1);
    ck_assert_int_eq(review_status(court.review), 0);
    world_free(&court.world);

    options.stage = STAGE_FINAL;
    court = judge_with("north", "2026-08-01", GOOD ONE("20 in", "20 in"), &options);
    ck_assert_uint_eq(court.review->later, 0);
    ck_assert_int_eq(review_status(court.review), 1);
    world_free(&court.world);
}
END_TEST

START_TEST(advice_sets_no_status)
{
    Text standing = TEXT("5");
    ReviewOptions options = {.stage = STAGE_PLAN, .standing = &standing, .standing_count = 1};
    Court court = judge_with("north", "2026-02-01",
                             "tag_date: 2026-01-01\ncover: no\naisle: 30 in\npermits: none\n"
                             "openings: []\n",
                             &options);
    ck_assert_int_eq(finding_of(court.review, "4", 0)->outcome, OUTCOME_CORRECTION);
    ck_assert_uint_eq(court.review->advisory, 1);
    ck_assert_int_eq(review_status(court.review), 0);
    world_free(&court.world);
}
END_TEST

START_TEST(a_verdict_says_what_bound_it_rests_on)
{
    Court court = judge("north", "2026-02-01", "openings: []\n");
    const Finding *aisle = finding_of(court.review, "2", 0);
    ck_assert_int_eq(aisle->outcome, OUTCOME_COMPLIES);
    ck_assert_ptr_nonnull(aisle->parts[0].bounds);
    world_free(&court.world);
    court = judge("north", "2026-02-01", "openings: []\naisle: 30 in\n");
    ck_assert_ptr_null(finding_of(court.review, "2", 0)->parts[0].bounds);
    world_free(&court.world);
}
END_TEST

START_TEST(shop_tolerance_is_a_caution)
{
    /* 24 in drawn, built to 1/8 in: complies, with a caution; 576 in2 = 24 x 24 as well. */
    Court court = judge("north", "2026-02-01",
                        GOOD ONE("24 in", "24 in") "built_to: {sheet_metal: 1/8 in}\n");
    ck_assert_int_eq(finding_of(court.review, "1", 0)->outcome, OUTCOME_COMPLIES);
    ck_assert_uint_eq(cautions_of(court.review, CAUTION_TIGHT_TOLERANCE), 2);
    ck_assert(court.review->cautions[0].has_slack);
    ck_assert_int_eq(rational_sign(court.review->cautions[0].slack), 0);
    world_free(&court.world);
    court = judge("north", "2026-02-01",
                  GOOD ONE("23-7/8 in", "20 in") "built_to: {sheet_metal: 1/8 in}\n");
    ck_assert_uint_eq(cautions_of(court.review, CAUTION_TIGHT_TOLERANCE), 0);
    world_free(&court.world);
    court = judge("north", "2026-02-01", GOOD ONE("24 in", "20 in") "built_to: {framing: 1 in}\n");
    ck_assert_uint_eq(cautions_of(court.review, CAUTION_TIGHT_TOLERANCE), 0);
    world_free(&court.world);
}
END_TEST

#define VARIANCE(section, granted, expires)                                            \
    "variances:\n  - {section: \"" section                                             \
    "\", jurisdiction: north, office: Health, granted: " granted ", expires: " expires \
    ", document: V-1, items: all items}\n"

START_TEST(variances_that_do_not_serve)
{
    static const struct {
        const char *variance;
        CautionKind kind;
        Outcome outcome;
    } cases[] = {
        {VARIANCE("1", "2025-01-01", "2026-01-31"), CAUTION_VARIANCE_LAPSED, OUTCOME_CORRECTION},
        {VARIANCE("1", "2026-02-02", "2026-12-31"), CAUTION_VARIANCE_EARLY, OUTCOME_CORRECTION},
        {VARIANCE("77", "2025-01-01", "2026-12-31"), CAUTION_VARIANCE_UNMATCHED,
         OUTCOME_CORRECTION},
        {VARIANCE("1", "2019-01-01", "2026-12-31"), CAUTION_VARIANCE_OLD_TEXT, OUTCOME_CORRECTION},
        {VARIANCE("2", "2025-01-01", "2026-12-31"), CAUTION_VARIANCE_UNNEEDED, OUTCOME_CORRECTION},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char spec[1024];
        snprintf(spec, sizeof spec, "%s%s", GOOD ONE("25 in", "20 in"), cases[i].variance);
        Court court = judge("north", "2026-02-01", spec);
        ck_assert_int_eq(finding_of(court.review, "1", 0)->outcome, cases[i].outcome);
        ck_assert_uint_eq(cautions_of(court.review, cases[i].kind), 1);
        ck_assert_uint_eq(court.review->caution_count, 1);
        world_free(&court.world);
    }
    Court court = judge("north", "2026-02-01",
                        GOOD ONE("25 in", "20 in") VARIANCE("1", "2025-01-01", "2026-02-01"));
    ck_assert_int_eq(finding_of(court.review, "1", 0)->parts[0].outcome, OUTCOME_EXCUSED);
    ck_assert_ptr_nonnull(finding_of(court.review, "1", 0)->parts[0].decision);
    ck_assert_uint_eq(court.review->caution_count, 0);
    world_free(&court.world);
}
END_TEST

START_TEST(rival_texts_are_told)
{
    Court court = judge("south", "2026-02-01", GOOD ONE("22 in", "20 in"));
    ck_assert_int_eq(finding_of(court.review, "1", 0)->outcome, OUTCOME_COMPLIES);
    ck_assert_int_eq(finding_of(court.review, "9", 0)->outcome, OUTCOME_CORRECTION);
    ck_assert_uint_eq(cautions_of(court.review, CAUTION_RIVALS), 1);
    world_free(&court.world);
}
END_TEST

static void expect_change(const char *on, const char *spec, const char *expected)
{
    Court court = judge("north", on, spec);
    Day day = 0;
    bool changes = review_next_change(court.world.arena, court.world.library, court.review, &day);
    Text found = changes ? date_print(court.world.arena, day) : TEXT("none");
    ck_assert_str_eq(text_string(court.world.arena, found), expected);
    world_free(&court.world);
}

START_TEST(next_date_of_change)
{
    /* The tag of 2026-01-01 is good for 180 days, to 2026-06-30. */
    expect_change("2026-02-01", GOOD ONE("18 in", "20 in"), "2026-07-01");
    expect_change("2026-06-30", GOOD ONE("18 in", "20 in"), "2026-07-01");
    /* It has lapsed: then the amendment, for an opening that it touches, and nothing else. */
    expect_change("2026-07-01", GOOD ONE("22 in", "20 in"), "2027-07-01");
    expect_change("2026-07-01", GOOD ONE("18 in", "20 in"), "none");
    /* A variance that lapses the day after its last. */
    expect_change("2026-07-01",
                  GOOD ONE("25 in", "20 in") VARIANCE("1", "2026-01-01", "2026-09-30"),
                  "2026-10-01");
    /* A tag that is not stated changes nothing by growing old. */
    expect_change("2026-07-01", "cover: yes\naisle: 30 in\npermits: none\nopenings: []\n", "none");
}
END_TEST

START_TEST(wanted_facts_most_wanted_first)
{
    Court court = judge("south", "2026-02-01",
                        "openings:\n  - {name: a, clear_height: 20 in}\ncover: yes\n"
                        "tag_date: 2026-01-01\npermits: none\n");
    ck_assert_uint_ge(court.review->wanted_count, 1);
    ck_assert_uint_eq(court.review->wanted_by[0], 2); /* sections 1 and 9 */
    Text path =
        spec_path(court.world.arena, court.review->wanted[0].item, court.review->wanted[0].field);
    ck_assert(text_equal(path, TEXT("openings[\"a\"].clear_width")));
    world_free(&court.world);
}
END_TEST

Suite *judge_suite(void);

Suite *judge_suite(void)
{
    Suite *suite = suite_create("judge");
    TCase *tcase = tcase_create("review");
    tcase_add_test(tcase, stages_and_status);
    tcase_add_test(tcase, advice_sets_no_status);
    tcase_add_test(tcase, a_verdict_says_what_bound_it_rests_on);
    tcase_add_test(tcase, shop_tolerance_is_a_caution);
    tcase_add_test(tcase, variances_that_do_not_serve);
    tcase_add_test(tcase, rival_texts_are_told);
    tcase_add_test(tcase, next_date_of_change);
    tcase_add_test(tcase, wanted_facts_most_wanted_first);
    suite_add_tcase(suite, tcase);
    return suite;
}
