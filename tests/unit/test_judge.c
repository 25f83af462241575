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

static Court judge_under(const char *law_text, const char *jurisdiction, const char *on,
                         const char *spec_text, const ReviewOptions *with)
{
    Court court = {.world = WORLD(law_text)};
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

static Court judge_with(const char *jurisdiction, const char *on, const char *spec_text,
                        const ReviewOptions *with)
{
    return judge_under(bench, jurisdiction, on, spec_text, with);
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

/* ---- two codes on one topic ---- */

#define VOCABULARY_OF_TWO                              \
    "vocabulary kitchen\n"                             \
    "  record opening\n"                               \
    "    name text always present key\n"               \
    "    width length always present at least 0 in\n"  \
    "    height length always present at least 0 in\n" \
    "  end\n"                                          \
    "  fact openings list of opening always present\n" \
    "  fact mobile yes/no always present\n"            \
    "  fact cooks yes/no always present\n"             \
    "  topic space.opening \"Opening\"\n"              \
    "  topic space.aisle \"Aisle\"\n"                  \
    "end\n"
#define TWO(first, second, county)                                                            \
    VOCABULARY_OF_TWO "code health edition 1\n basis invented\n" first                        \
                      "end\ncode fire edition 1\n basis invented\n" second                    \
                      "end\njurisdiction county \"County\"\n"                                 \
                      " adopts health edition 1 in force from 2020-01-01 by \"Act 1\"\n"      \
                      " adopts fire edition 1 in force from 2020-01-01 by \"Act 2\"\n" county \
                      "end\n"
#define OPENING(number, words, requirement)                                                      \
    "section \"" number "\" topic space.opening " words " each o of openings shall " requirement \
    " end\n"
#define MAX_24 OPENING("H1", "", "o.width <= 24 in")
#define MAX_20 OPENING("F1", "", "o.width <= 20 in")
#define UNIT_OF(width) "openings: [{name: a, width: " width ", height: 9 in}]\nmobile: yes\n"

static Court judge_two(const char *law, const char *spec)
{
    const ReviewOptions options = {.stage = STAGE_PLAN};
    return judge_under(law, "county", "2024-01-01", spec, &options);
}

START_TEST(rivals_measure_the_same_and_differ)
{
    static const struct {
        const char *law, *spec;
        size_t rivals;
    } cases[] = {
        /* fails one, passes the other; passes both by different limits; fails both by them */
        {TWO(MAX_24, MAX_20, ""), UNIT_OF("22 in"), 1},
        {TWO(MAX_24, MAX_20, ""), UNIT_OF("18 in"), 1},
        {TWO(MAX_24, MAX_20, ""), UNIT_OF("30 in"), 1},
        /* one caution for a pair and item */
        {TWO(MAX_24, MAX_20, ""),
         "openings: [{name: a, width: 22 in, height: 9 in}, {name: b, width: 22 in, height: 9 "
         "in}]\n",
         2},
        {TWO(MAX_24, OPENING("F1", "", "o.width <= 24 in"), ""), UNIT_OF("22 in"), 0},
        {TWO(MAX_24, OPENING("F1", "", "o.height <= 5 in"), ""), UNIT_OF("22 in"), 0},
        {TWO(MAX_24, OPENING("F1", "when mobile is no", "o.width <= 20 in"), ""), UNIT_OF("22 in"),
         0},
        {TWO(MAX_24 OPENING("H2", "", "o.width <= 20 in"), "", ""), UNIT_OF("22 in"), 0},
        /* through definitions, whatever their names */
        {TWO("define size(w: length, h: length) = w * h\n" OPENING("H1", "",
                                                                   "size(o.width, o.height) <= "
                                                                   "200 in2"),
             "define area(a: length, b: length) = a * b\n" OPENING("F1", "",
                                                                   "area(o.width, o.height) <= "
                                                                   "100 in2"),
             ""),
         UNIT_OF("22 in"), 1},
        {TWO("define size(w: length, h: length) = w * h\n" OPENING("H1", "",
                                                                   "size(o.width, o.height) <= "
                                                                   "200 in2"),
             "define area(a: length, b: length) = a * b\n" OPENING("F1", "",
                                                                   "area(o.width, o.width) <= "
                                                                   "100 in2"),
             ""),
         UNIT_OF("22 in"), 0},
        /* one of them says that it prevails */
        {TWO(MAX_24, OPENING("F1", "notwithstanding \"H1\"", "o.width <= 20 in"), ""),
         UNIT_OF("22 in"), 0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        Court court = judge_two(cases[i].law, cases[i].spec);
        ck_assert_msg(cautions_of(court.review, CAUTION_RIVALS) == cases[i].rivals, "case %zu", i);
        world_free(&court.world);
    }
}
END_TEST

#define PREVAILS(topics)                                                \
    " amends health edition 1 in force from 2021-01-01 by \"Ord. 9\"\n" \
    "  prevails over fire" topics "\n"

START_TEST(one_code_prevails_over_another)
{
    static const struct {
        const char *law, *spec;
        bool silent;
    } cases[] = {
        {TWO(MAX_24, MAX_20, PREVAILS("")), UNIT_OF("22 in"), true},
        {TWO(MAX_24, MAX_20, PREVAILS(" on space")), UNIT_OF("22 in"), true},
        {TWO(MAX_24, MAX_20, PREVAILS(" on space.opening")), UNIT_OF("22 in"), true},
        {TWO(MAX_24, MAX_20, PREVAILS(" on space.aisle")), UNIT_OF("22 in"), false},
        /* silent only where the winner applies */
        {TWO(OPENING("H1", "when mobile is no", "o.width <= 24 in"), MAX_20, PREVAILS("")),
         UNIT_OF("22 in"), false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        Court court = judge_two(cases[i].law, cases[i].spec);
        const Finding *loser = finding_of(court.review, "F1", 0);
        ck_assert_msg(loser->silenced == cases[i].silent, "case %zu", i);
        ck_assert_int_eq(loser->outcome,
                         cases[i].silent ? OUTCOME_NOT_APPLICABLE : OUTCOME_CORRECTION);
        world_free(&court.world);
    }
}
END_TEST

/* Whether the winner applies is not stated, or an official reads it: the loser waits for that, and
 * there is a word on which prevails, so that they are no rivals. */
START_TEST(whether_the_winner_applies_is_open)
{
    static const char reads[] = "reading strict define covered = mobile is yes\n"
                                "reading lax define covered = mobile is no\n"
                                "each o of openings when covered shall o.width <= 24 in\n";
    static const struct {
        const char *law, *spec;
        Outcome outcome;
    } cases[] = {
        {TWO(OPENING("H1", "when mobile is yes", "o.width <= 24 in"), MAX_20, PREVAILS("")),
         "openings: [{name: a, width: 22 in, height: 9 in}]\n", OUTCOME_INFORMATION_REQUIRED},
        {TWO(OPENING("H1", "", "o.width <= 20 in"),
             OPENING("F1", "notwithstanding \"H1\" when mobile is yes", "o.width <= 24 in"), ""),
         "openings: [{name: a, width: 22 in, height: 9 in}]\n", OUTCOME_INFORMATION_REQUIRED},
        {NULL, UNIT_OF("22 in"), OUTCOME_OFFICIAL_DECIDES},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        Arena *arena = arena_new();
        Text law = cases[i].law != NULL
                       ? text_of(cases[i].law)
                       : text_format(arena,
                                     TWO("section \"H1\" topic space.opening %s end\n", MAX_20,
                                         PREVAILS("")),
                                     reads);
        Court court = judge_two(text_string(arena, law), cases[i].spec);
        const Finding *loser = finding_of(court.review, i == 1 ? "H1" : "F1", 0);
        ck_assert_msg(loser->outcome == cases[i].outcome, "case %zu", i);
        ck_assert_uint_eq(loser->wanted_count, 1);
        ck_assert_uint_eq(cautions_of(court.review, CAUTION_RIVALS), 0);
        world_free(&court.world);
        arena_free(arena);
    }
}
END_TEST

/* The winner has two texts; whether it applies follows from the one that stands. */
START_TEST(a_winner_of_two_texts)
{
    static const char law[] =
        TWO(MAX_24, MAX_20,
            PREVAILS("") " amends health edition 1 in force from 2022-01-01 by \"Ord. 10\"\n"
                         "  for units where mobile is yes\n"
                         "  amend \"H1\" to read each o of openings where o.height > 12 in\n"
                         "   shall o.width <= 24 in end\n");
    static const struct {
        const char *spec;
        Outcome outcome;
    } cases[] = {
        {"openings: [{name: a, width: 22 in, height: 9 in}]\nmobile: no\n", OUTCOME_NOT_APPLICABLE},
        {"openings: [{name: a, width: 22 in, height: 9 in}]\nmobile: yes\n", OUTCOME_CORRECTION},
        {"openings: [{name: a, width: 22 in, height: 9 in}]\n", OUTCOME_INFORMATION_REQUIRED},
        {"openings: [{name: a, width: 22 in, height: 13 in}]\n", OUTCOME_NOT_APPLICABLE},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        Court court = judge_two(law, cases[i].spec);
        ck_assert_msg(finding_of(court.review, "F1", 0)->outcome == cases[i].outcome, "case %zu",
                      i);
        world_free(&court.world);
    }
}
END_TEST

START_TEST(a_winner_whose_texts_apply_differently)
{
    static const char law[] =
        TWO(MAX_24, MAX_20,
            PREVAILS("") " amends health edition 1 in force from 2022-01-01 by \"Ord. 10\"\n"
                         "  for units where mobile is yes\n"
                         "  amend \"H1\" to read each o of openings when cooks is yes\n"
                         "   shall o.width <= 24 in end\n");
#define OF_22 "openings: [{name: a, width: 22 in, height: 9 in}]\n"
    static const struct {
        const char *spec;
        Outcome outcome;
    } cases[] = {
        {OF_22 "cooks: no\nmobile: no\n", OUTCOME_NOT_APPLICABLE},
        {OF_22 "cooks: no\nmobile: yes\n", OUTCOME_CORRECTION},
        {OF_22 "cooks: no\n", OUTCOME_INFORMATION_REQUIRED},
        {OF_22 "cooks: yes\n", OUTCOME_NOT_APPLICABLE},
    };
#undef OF_22
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        Court court = judge_two(law, cases[i].spec);
        ck_assert_msg(finding_of(court.review, "F1", 0)->outcome == cases[i].outcome, "case %zu",
                      i);
        world_free(&court.world);
    }
}
END_TEST

START_TEST(what_prevails_is_checked)
{
    static const struct {
        const char *law, *name, *at;
    } cases[] = {
        {TWO(MAX_24, OPENING("F1", "notwithstanding \"H1\"", "o.width <= 20 in"), PREVAILS("")),
         "each prevails over the other", ""},
        {TWO(MAX_24, MAX_20, PREVAILS(" on spice")), "unknown topic", "spice"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        World world = WORLD(cases[i].law);
        const JurisdictionTree *county = library_jurisdiction(world.library, TEXT("county"));
        LawTree *tree =
            law_assemble(world.arena, world.library, county, world_day("2024-01-01"), &world.diags);
        (void)law_check(world.arena, world.library, tree, false, &world.diags);
        ck_assert_msg(world_find(&world, cases[i].name, cases[i].at) != NULL, "%s",
                      world_errors(&world));
        ck_assert_uint_eq(world.diags.errors, 1);
        world_free(&world);
    }
}
END_TEST

/* ---- never waived, displaced ---- */

#define NEVER_LAW(clause)                                                      \
    VOCABULARY_OF_TWO "code health edition 1\n basis invented\n"               \
                      "section \"5-1.1\" topic space.opening " clause          \
                      " each o of openings shall o.width <= 24 in end\n"       \
                      "section \"5-1.2\" topic space.opening\n"                \
                      " each o of openings shall o.height <= 8 in end\n"       \
                      "section \"5-1.3\" topic space.aisle not to be waived\n" \
                      " at the discretion of \"inspector\" \"smooth\" end\n"   \
                      "end\njurisdiction county \"County\"\n"                  \
                      " adopts health edition 1 in force from 2020-01-01 by \"Act 1\"\n"
#define PAPER(section, granted, expires)                                            \
    "variances: [{section: \"" section "\", jurisdiction: county, office: Health, " \
    "granted: " granted ", expires: " expires ", document: V-1, items: all items}]\n"

START_TEST(a_section_that_is_never_waived)
{
    static const char in_code[] = NEVER_LAW("not to be waived") "end\n";
    static const char by_act[] =
        NEVER_LAW("") " amends health edition 1 in force from 2021-01-01 by \"Ord. 2\"\n"
                      "  not to be waived \"5-1.1\"\nend\n";
    static const char *const laws[] = {in_code, by_act};
    for (size_t i = 0; i < 2; i++) {
        /* One paper on both: it excuses what may be waived. */
        Court court = judge_two(
            laws[i],
            UNIT_OF("30 in")
                PAPER("5-1", "2023-01-01",
                      "2025-01-01") "decisions: [{section: \"5-1.3\", jurisdiction: county, "
                                    "office: Health, "
                                    "decision: approved, date: 2023-01-01, document: D-1}]\n");
        ck_assert_int_eq(finding_of(court.review, "5-1.1", 0)->outcome, OUTCOME_CORRECTION);
        ck_assert_int_eq(finding_of(court.review, "5-1.2", 0)->outcome, OUTCOME_EXCUSED);
        ck_assert_int_eq(finding_of(court.review, "5-1.3", 0)->outcome, OUTCOME_COMPLIES);
        /* 5-1.3 is covered by the paper too, and never waived either. */
        ck_assert_uint_eq(cautions_of(court.review, CAUTION_VARIANCE_NEVER), 2);
        ck_assert_uint_eq(court.review->caution_count, 2);
        ck_assert(text_equal(court.review->cautions[0].finding->section->number, TEXT("5-1.1")));
        world_free(&court.world);
        /* On it alone, lapsed or not: that it is never waived is all there is to say. */
        court = judge_two(laws[i], UNIT_OF("30 in") PAPER("5-1.1", "2023-01-01", "2023-02-01"));
        ck_assert_int_eq(finding_of(court.review, "5-1.1", 0)->outcome, OUTCOME_CORRECTION);
        ck_assert_uint_eq(cautions_of(court.review, CAUTION_VARIANCE_NEVER), 1);
        ck_assert_uint_eq(court.review->caution_count, 1);
        world_free(&court.world);
    }
}
END_TEST

START_TEST(papers_of_one_code)
{
    static const char law[] =
        TWO(OPENING("7", "", "o.width <= 24 in"), OPENING("7", "", "o.width <= 20 in"), "");
    static const struct {
        const char *spec;
        Outcome health, fire;
        size_t unmatched;
    } cases[] = {
        {"", OUTCOME_EXCUSED, OUTCOME_EXCUSED, 0},
        {"code: fire, ", OUTCOME_CORRECTION, OUTCOME_EXCUSED, 0},
        {"code: health, ", OUTCOME_EXCUSED, OUTCOME_CORRECTION, 0},
        {"code: plumbing, ", OUTCOME_CORRECTION, OUTCOME_CORRECTION, 1},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char spec[512];
        snprintf(spec, sizeof spec,
                 UNIT_OF("30 in") "variances: [{%ssection: \"7\", jurisdiction: county, office: "
                                  "Health, granted: 2023-01-01, document: V, items: [a]}]\n",
                 cases[i].spec);
        Court court = judge_two(law, spec);
        bool fire_first =
            text_equal(court.review->findings[0].section->tree->code->name->text, TEXT("fire"));
        ck_assert_int_eq(court.review->findings[fire_first ? 1 : 0].outcome, cases[i].health);
        ck_assert_int_eq(court.review->findings[fire_first ? 0 : 1].outcome, cases[i].fire);
        ck_assert_uint_eq(cautions_of(court.review, CAUTION_VARIANCE_UNMATCHED),
                          cases[i].unmatched);
        world_free(&court.world);
    }
}
END_TEST

START_TEST(what_is_displaced_is_told)
{
    static const char law[] =
        VOCABULARY_OF_TWO "code health edition 1\n basis invented\n" MAX_24 "end\n"
                          "jurisdiction state \"State\"\n"
                          " adopts health edition 1 in force from 2020-01-01 by \"Act 1\"\n"
                          " amends health edition 1 in force from 2022-01-01 by \"Act 2\"\n"
                          "  preempts local law on space\nend\n"
                          "jurisdiction county \"County\" within state\n"
                          " amends health edition 1 in force from 2021-01-01 by \"Ord. 5\"\n"
                          "  amend \"H1\" limit to 20 in\nend\n";
    Court court = judge_two(law, UNIT_OF("22 in"));
    ck_assert_int_eq(finding_of(court.review, "H1", 0)->outcome, OUTCOME_COMPLIES);
    ck_assert_uint_eq(cautions_of(court.review, CAUTION_DISPLACED), 1);
    ck_assert(text_equal(court.review->cautions[0].displaced->local.by, TEXT("Ord. 5")));
    ck_assert(text_equal(court.review->cautions[0].displaced->by.by, TEXT("Act 2")));
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
    tcase_add_test(tcase, rivals_measure_the_same_and_differ);
    tcase_add_test(tcase, one_code_prevails_over_another);
    tcase_add_test(tcase, whether_the_winner_applies_is_open);
    tcase_add_test(tcase, a_winner_of_two_texts);
    tcase_add_test(tcase, a_winner_whose_texts_apply_differently);
    tcase_add_test(tcase, what_prevails_is_checked);
    tcase_add_test(tcase, a_section_that_is_never_waived);
    tcase_add_test(tcase, papers_of_one_code);
    tcase_add_test(tcase, what_is_displaced_is_told);
    tcase_add_test(tcase, next_date_of_change);
    tcase_add_test(tcase, wanted_facts_most_wanted_first);
    suite_add_tcase(suite, tcase);
    return suite;
}
