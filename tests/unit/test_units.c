/* For units where, and the rows of a place: which text of a section stands for a unit, what is told
 * where none does, and when that changes. All law here is invented. */
#include <check.h>

#include "judge/judge.h"

#include "law_world.h"

static const char kitchen[] = "vocabulary kitchen\n"
                              "  record opening\n"
                              "    name text always present key\n"
                              "    width length always present at least 0 in\n"
                              "  end\n"
                              "  record hood\n"
                              "    height length always present at least 0 in\n"
                              "  end\n"
                              "  fact openings list of opening always present\n"
                              "  fact aisle length always present at least 0 in\n"
                              "  fact power one of battery, mains always present\n"
                              "  fact tows yes/no always present\n"
                              "  fact hood hood\n"
                              "  fact set_up_in text always present\n"
                              "  fact tag date always present\n"
                              "  topic space.aisle \"Aisle\"\n"
                              "  topic space.other \"Other\"\n"
                              "end\n";

typedef struct Court {
    World world;
    const Law *law;
    const Spec *spec;
    const Review *review;
} Court;

/* The law of a jurisdiction, or of one in a place ("ferry/county"). */
static void hold_law(Court *court, const char *where, const char *on)
{
    World *world = &court->world;
    const char *slash = strchr(where, '/');
    const JurisdictionTree *jurisdiction =
        library_jurisdiction(world->library, text_of(slash == NULL ? where : slash + 1));
    ck_assert_ptr_nonnull(jurisdiction);
    LawTree *tree = NULL;
    if (slash != NULL) {
        const PlaceTree *place =
            library_place(world->library, (Text){where, (size_t)(slash - where)});
        ck_assert_ptr_nonnull(place);
        tree = law_assemble_in(world->arena, world->library, place, jurisdiction, world_day(on),
                               &world->diags);
    } else {
        tree =
            law_assemble(world->arena, world->library, jurisdiction, world_day(on), &world->diags);
    }
    court->law = law_check(world->arena, world->library, tree, false, &world->diags);
}

static Court court_of(const char *law, const char *where, const char *on, const char *spec)
{
    Court court = {.world = WORLD(kitchen, law)};
    World *world = &court.world;
    ck_assert_str_eq(world_errors(world), "");
    hold_law(&court, where, on);
    ck_assert_str_eq(world_errors(world), "");
    const Source *source = source_of(world->arena, TEXT("spec.yaml"), text_of(spec));
    court.spec =
        spec_read(world->arena, world->names, court.law->vocabulary, source, &world->diags);
    ck_assert_str_eq(world_errors(world), "");
    const ReviewOptions options = {.on = world_day(on), .stage = STAGE_PLAN};
    court.review = review_make(world->arena, court.law, court.spec, &options);
    return court;
}

static void adjourn(Court *court)
{
    world_free(&court->world);
}

static const Finding *finding_of(const Court *court, const char *number)
{
    for (uint32_t i = 0; i < court->review->finding_count; i++)
        if (text_equal(court->review->findings[i].section->number, text_of(number)))
            return &court->review->findings[i];
    ck_abort_msg("no finding of section %s", number);
    return NULL;
}

/* "correction", "information required (power)", "not applicable (other units)". */
static const char *told(Court *court, const Finding *finding)
{
    static const char *const outside[] = {"", " (other units)", " (another decides)"};
    Arena *arena = court->world.arena;
    Buffer out = buffer_make(arena);
    buffer_format(&out, "%s%s", outcome_word((Outcome)finding->outcome), outside[finding->outside]);
    for (uint32_t i = 0; i < finding->wanted_count; i++) {
        const Wanted *wanted = &finding->wanted[i];
        Text what =
            wanted->item == NULL ? wanted->what : spec_path(arena, wanted->item, wanted->field);
        buffer_format(&out, "%s%.*s", i == 0 ? " (" : ", ", TEXT_ARG(what));
    }
    buffer_string(&out, finding->wanted_count > 0 ? ")" : "");
    return text_string(arena, buffer_done(&out));
}

typedef struct Told {
    const char *spec;
    const char *outcome;
} Told;

static void expect_told(const char *law, const char *where, const char *number, const Told *cases,
                        size_t count)
{
    for (size_t i = 0; i < count; i++) {
        Court court = court_of(law, where, "2024-01-01", cases[i].spec);
        const char *words = told(&court, finding_of(&court, number));
        ck_assert_msg(strcmp(words, cases[i].outcome) == 0, "%s: %s", cases[i].spec, words);
        adjourn(&court);
    }
}

#define EXPECT_TOLD(law, where, number, cases) \
    expect_told(law, where, number, cases, sizeof(cases) / sizeof *(cases))

#define AISLE(number, words, limit) \
    "section \"" number "\" topic space.aisle " words " shall aisle >= " limit " in end\n"
#define COUNTY_OF(blocks)              \
    "jurisdiction county \"County\"\n" \
    "  adopts trial edition 1 in force from 2020-01-01 by \"Act 1\"\n" blocks "end\n"
#define TRIAL(sections) "code trial edition 1\n basis invented\n" sections "end\n"

/* Outside its units a section says nothing (rule 2: it does not apply). */
START_TEST(a_section_for_some_units)
{
    static const char law[] =
        TRIAL(AISLE("1", "for units where power is battery", "30")) COUNTY_OF("");
    static const Told cases[] = {
        {"power: battery\naisle: 29 in\n", "correction"},
        {"power: battery\naisle: 30 in\n", "complies"},
        {"power: mains\naisle: 29 in\n", "not applicable (other units)"},
        {"aisle: 29 in\n", "information required (power)"},
        {"aisle: 30 in\n", "complies"},
        {"unit_name: x\n", "information required (aisle, power)"},
    };
    EXPECT_TOLD(law, "county", "1", cases);
}
END_TEST

/* A whole code, and a whole adoption: both conditions must hold. */
START_TEST(a_code_and_its_adoption_for_some_units)
{
    static const char law[] =
        "code trial edition 1\n basis invented\n for units where power is battery\n" AISLE(
            "1", "", "30") "end\n"
                           "jurisdiction county \"County\"\n"
                           " adopts trial edition 1 in force from 2020-01-01 by \"Act 1\"\n"
                           "  for units where tows is yes\n"
                           "end\n";
    static const Told cases[] = {
        {"power: battery\ntows: yes\naisle: 29 in\n", "correction"},
        {"power: battery\ntows: no\naisle: 29 in\n", "not applicable (other units)"},
        {"power: battery\naisle: 29 in\n", "information required (tows)"},
        {"power: mains\naisle: 29 in\n", "not applicable (other units)"},
        {"aisle: 29 in\n", "information required (power, tows)"},
    };
    EXPECT_TOLD(law, "county", "1", cases);
}
END_TEST

/* Units outside a change keep the former text: unknown units are judged by cases (rule 3). */
#define AMENDED                                                             \
    TRIAL(AISLE("1", "", "30"))                                             \
    COUNTY_OF(" amends trial edition 1 in force from 2021-01-01 by \"A\"\n" \
              "  for units where power is battery\n"                        \
              "  amend \"1\" to read shall aisle >= 36 in end\n"            \
              " amends trial edition 1 in force from 2022-01-01 by \"B\"\n" \
              "  for units where tows is yes\n"                             \
              "  amend \"1\" to read shall aisle >= 24 in end\n")

START_TEST(three_texts_by_their_units)
{
    static const Told cases[] = {
        {"power: mains\ntows: no\naisle: 30 in\n", "complies"},
        {"power: mains\ntows: no\naisle: 29 in\n", "correction"},
        {"power: battery\ntows: no\naisle: 30 in\n", "correction"},
        {"power: battery\ntows: yes\naisle: 30 in\n", "complies"},
        {"power: battery\ntows: yes\naisle: 23 in\n", "correction"},
        {"tows: no\naisle: 36 in\n", "complies"},
        {"tows: no\naisle: 29 in\n", "correction"},
        {"tows: no\naisle: 33 in\n", "information required (power)"},
        {"aisle: 40 in\n", "complies"},
        {"aisle: 20 in\n", "correction"},
        {"aisle: 30 in\n", "information required (power, tows)"},
        {"power: mains\naisle: 27 in\n", "information required (tows)"},
    };
    EXPECT_TOLD(AMENDED, "county", "1", cases);
}
END_TEST

/* A failure under each text shows the laxest limit, a pass the strictest (rule 3). */
START_TEST(the_limit_that_is_shown)
{
    static const struct {
        const char *spec;
        int limit;
    } cases[] = {{"aisle: 20 in\n", 24}, {"aisle: 40 in\n", 36}, {"tows: no\naisle: 20 in\n", 30}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        Court court = court_of(AMENDED, "county", "2024-01-01", cases[i].spec);
        const Part *part = &finding_of(&court, "1")->parts[0];
        Rational inches =
            rational_mul(court.world.arena, RATIONAL(cases[i].limit, 1), RATIONAL(254, 10000));
        ck_assert_int_eq(rational_order(part->limit.range.low, inches), 0);
        adjourn(&court);
    }
}
END_TEST

/* Windows of permit dates and conditions on units together. */
START_TEST(permit_dates_and_units)
{
    static const char law[] = TRIAL(AISLE("1", "", "30"))
        COUNTY_OF(" amends trial edition 1 in force from 2021-01-01 by \"A\"\n"
                  "  amend \"1\" to read for units permitted on or after 2021-01-01\n"
                  "   for units where power is battery shall aisle >= 36 in end\n");
#define PERMIT "permits (the date of a permit here, or none)"
    static const Told cases[] = {
        {"permits: none\npower: battery\naisle: 33 in\n", "correction"},
        {"permits: none\npower: mains\naisle: 33 in\n", "complies"},
        {"permits: [{jurisdiction: county, date: 2020-06-01}]\npower: battery\naisle: 33 in\n",
         "complies"},
        {"permits: [{jurisdiction: county, date: 2020-06-01}]\naisle: 33 in\n", "complies"},
        {"permits: none\naisle: 33 in\n", "information required (power)"},
        {"power: battery\naisle: 33 in\n", "information required (" PERMIT ")"},
        {"power: mains\naisle: 33 in\n", "complies"},
        {"aisle: 33 in\n", "information required (power, " PERMIT ")"},
        {"aisle: 29 in\n", "correction"},
    };
#undef PERMIT
    EXPECT_TOLD(law, "county", "1", cases);
}
END_TEST

/* In the case that a text stands, the permit date is one of those for which it does. */
START_TEST(permit_dates_within_a_case)
{
    static const char law[] = TRIAL(AISLE("1", "", "30"))
        COUNTY_OF(" amends trial edition 1 in force from 2021-01-01 by \"A\"\n"
                  "  amend \"1\" to read for units permitted on or after 2021-01-01\n"
                  "   when permit_date on or after 2021-01-01 shall aisle >= 36 in end\n");
    static const Told cases[] = {{"aisle: 20 in\n", "correction"}};
    EXPECT_TOLD(law, "county", "1", cases);
}
END_TEST

/* A later act for the same units: no unit stands under the earlier one any more. */
START_TEST(the_same_units_again)
{
    static const char law[] = TRIAL(AISLE("1", "", "30"))
        COUNTY_OF(" amends trial edition 1 in force from 2021-01-01 by \"A\"\n"
                  "  for units where power is battery\n"
                  "  amend \"1\" to read shall aisle >= 60 in end\n"
                  " amends trial edition 1 in force from 2022-01-01 by \"B\"\n"
                  "  for units where power is battery\n"
                  "  amend \"1\" to read shall aisle >= 36 in end\n");
    static const Told cases[] = {
        {"aisle: 40 in\n", "complies"},
        {"aisle: 33 in\n", "information required (power)"},
        {"power: battery\naisle: 40 in\n", "complies"},
    };
    EXPECT_TOLD(law, "county", "1", cases);
}
END_TEST

/* Texts that are each open wait for what chooses between them too (rule 3). */
START_TEST(two_texts_that_are_open)
{
    static const char law[] = TRIAL("section \"1\" topic space.other\n"
                                    " at the discretion of \"inspector\" \"clean\" end\n")
        COUNTY_OF(" amends trial edition 1 in force from 2021-01-01 by \"A\"\n"
                  "  for units where power is battery\n"
                  "  amend \"1\" to read shall tows is yes end\n");
    static const Told cases[] = {
        {"power: mains\n", "official decides (inspector: clean)"},
        {"power: battery\n", "information required (tows)"},
        {"unit_name: x\n", "information required (power, tows, inspector: clean)"},
        {"tows: yes\n", "information required (power, inspector: clean)"},
    };
    EXPECT_TOLD(law, "county", "1", cases);
}
END_TEST

/* A floor is judged beside the local text, for the units of either. */
START_TEST(floors_for_some_units)
{
    static const char law[] =
        TRIAL(AISLE("1", "for units where power is battery",
                    "30")) "jurisdiction state \"State\"\n"
                           " adopts trial edition 1 in force from 2020-01-01 by \"Act 1\"\n"
                           "  locally at least as strict in \"1\"\nend\n"
                           "jurisdiction county \"County\" within state\n"
                           " amends trial edition 1 in force from 2021-01-01 by \"A\"\n"
                           "  amend \"1\" to read shall aisle >= 24 in end\nend\n";
    static const struct {
        const char *spec;
        uint32_t corrections, open;
    } cases[] = {
        {"power: battery\naisle: 27 in\n", 1, 0},
        {"power: mains\naisle: 27 in\n", 0, 0},
        {"aisle: 27 in\n", 0, 1},
        {"aisle: 30 in\n", 0, 0},
        {"power: battery\naisle: 20 in\n", 2, 0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        Court court = court_of(law, "county", "2024-01-01", cases[i].spec);
        const uint32_t *counts = court.review->counts;
        ck_assert_msg(counts[OUTCOME_CORRECTION] == cases[i].corrections &&
                          counts[OUTCOME_INFORMATION_REQUIRED] == cases[i].open,
                      "case %zu: %u %u", i, counts[OUTCOME_CORRECTION],
                      counts[OUTCOME_INFORMATION_REQUIRED]);
        adjourn(&court);
    }
}
END_TEST

/* What the condition rules out needs no other answer in the lines. */
START_TEST(absence_ruled_out_by_the_units)
{
    static const char law[] =
        TRIAL("section \"1\" topic space.other for units where hood is not none\n"
              " shall hood.height >= 3 in end\n") COUNTY_OF("");
    static const Told cases[] = {
        {"hood: none\n", "not applicable (other units)"},
        {"hood: {height: 2 in}\n", "correction"},
        {"unit_name: x\n", "information required (hood)"},
    };
    EXPECT_TOLD(law, "county", "1", cases);
}
END_TEST

typedef struct Fault {
    const char *law;
    const char *name, *at;
} Fault;

START_TEST(faults_in_conditions)
{
    static const Fault faults[] = {
        {TRIAL(AISLE("1", "for units where aisle", "30")) COUNTY_OF(""), "not a condition",
         "aisle"},
        {TRIAL("section \"1\" topic space.other for units where hood.height > 3 in\n"
               " shall tows is yes end\n") COUNTY_OF(""),
         "absence is not answered", "hood.height"},
        {TRIAL("section \"1\" topic space.other each o of openings for units where o.width > 3 in\n"
               " shall o.width <= 9 in end\n") COUNTY_OF(""),
         "unknown name", "o"},
        {TRIAL("reading narrow define least = 2 in\nreading broad define least = 3 in\n" AISLE(
             "1", "for units where aisle > least", "30")) COUNTY_OF(""),
         "units by a reading", "aisle > least"},
    };
    for (size_t i = 0; i < sizeof faults / sizeof *faults; i++) {
        Court court = {.world = WORLD(kitchen, faults[i].law)};
        hold_law(&court, "county", "2024-01-01");
        world_expect(&court.world, faults[i].name, faults[i].at, NULL, NULL, (int)i);
        adjourn(&court);
    }
}
END_TEST

/* ---- places ---- */

#define FIRE_CODE \
    "code trial edition 1\n basis invented\n authority fire\n" AISLE("1", "", "30") "end\n"

static const char ferry[] =
    FIRE_CODE "jurisdiction county \"County\"\n"
              " adopts trial edition 1 in force from 2020-01-01 by \"Act 1\"\nend\n"
              "jurisdiction district \"District\"\n"
              " adopts trial edition 1 in force from 2020-01-01 by \"Act 1\"\nend\n"
              "place ferry \"Ferry\"\n"
              " fire decided by district where set_up_in is \"Landing\"\n"
              " fire decided by county otherwise\nend\n";

START_TEST(who_decides_in_a_place)
{
    static const Told county[] = {
        {"set_up_in: Landing\naisle: 20 in\n", "not applicable (another decides)"},
        {"set_up_in: Hill\naisle: 20 in\n", "correction"},
        {"aisle: 20 in\n", "information required (set_up_in)"},
        {"aisle: 30 in\n", "complies"},
    };
    EXPECT_TOLD(ferry, "ferry/county", "1", county);
    static const Told district[] = {
        {"set_up_in: Landing\naisle: 20 in\n", "correction"},
        {"set_up_in: Hill\naisle: 20 in\n", "not applicable (another decides)"},
        {"aisle: 20 in\n", "information required (set_up_in)"},
    };
    EXPECT_TOLD(ferry, "ferry/district", "1", district);
}
END_TEST

START_TEST(what_is_held_in_a_place)
{
    static const struct {
        const char *where, *spec;
        Truth truth;
    } cases[] = {
        {"ferry/county", "set_up_in: Landing\n", TRUTH_FALSE},
        {"ferry/county", "set_up_in: Hill\n", TRUTH_TRUE},
        {"ferry/district", "set_up_in: Landing\n", TRUTH_TRUE},
        {"ferry/district", "set_up_in: Hill\n", TRUTH_FALSE},
        {"ferry/county", "unit_name: x\n", TRUTH_UNKNOWN},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        Court court = court_of(ferry, cases[i].where, "2024-01-01", cases[i].spec);
        ck_assert_uint_eq(court.law->holding_count, 1);
        ck_assert_ptr_eq(court.review->held[0].holding, &court.law->holdings[0]);
        ck_assert_int_eq(court.review->held[0].truth, cases[i].truth);
        ck_assert_int_eq(court.review->held[0].waits != NULL, cases[i].truth == TRUTH_UNKNOWN);
        adjourn(&court);
    }
}
END_TEST

/* A row sees facts alone: a jurisdiction's own word would mean another thing next door. */
START_TEST(rows_of_a_place_see_facts_alone)
{
    static const char law[] =
        FIRE_CODE "jurisdiction county \"County\"\n define wide = aisle >= 40 in\n"
                  " adopts trial edition 1 in force from 2020-01-01 by \"Act 1\"\nend\n"
                  "place ferry \"Ferry\"\n fire decided by county where wide\nend\n";
    Court court = {.world = WORLD(kitchen, law)};
    hold_law(&court, "ferry/county", "2024-01-01");
    ck_assert_ptr_nonnull(world_find(&court.world, "unknown name", "wide"));
    adjourn(&court);
}
END_TEST

/* A paper of the state on what the district decides is not missed in the county's law. */
START_TEST(papers_in_a_place)
{
#define PAPER(number)                                                                      \
    "aisle: 40 in\nvariances: [{section: \"" number "\", jurisdiction: state, office: x, " \
    "granted: 2021-01-01, document: V}]\n"
    static const char law[] =
        FIRE_CODE "jurisdiction state \"State\"\n"
                  " adopts trial edition 1 in force from 2020-01-01 by \"Act 1\"\nend\n"
                  "jurisdiction county \"County\" within state\nend\n"
                  "jurisdiction district \"District\" within state\nend\n"
                  "place hill \"Hill\"\n fire decided by district\n gas decided by county\nend\n";
    static const struct {
        const char *where, *spec;
        uint32_t cautions;
    } cases[] = {{"hill/county", PAPER("1"), 0},
                 {"hill/county", PAPER("9"), 1},
                 {"hill/district", PAPER("1"), 1}, /* not needed */
                 {"hill/district", PAPER("9"), 1}};
#undef PAPER
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        Court court = court_of(law, cases[i].where, "2024-01-01", cases[i].spec);
        ck_assert_msg(court.review->caution_count == cases[i].cautions, "case %zu", i);
        adjourn(&court);
    }
}
END_TEST

/* ---- when it changes ---- */

static void expect_change(const char *law, const char *where, const char *spec, const char *day)
{
    Court court = court_of(law, where, "2024-01-01", spec);
    Day found = 0;
    bool any = review_next_change(court.world.arena, court.world.library, court.review, &found);
    Text words = any ? date_print(court.world.arena, found) : TEXT("none");
    ck_assert_str_eq(text_string(court.world.arena, words), day);
    adjourn(&court);
}

START_TEST(conditions_that_grow_old)
{
    /* A tag of 2023-12-01 and 180 days reach to 2024-05-29: the section is for later days. */
    static const char law[] =
        TRIAL(AISLE("1", "for units where tag + 180 day < review_date", "30")) COUNTY_OF("");
    expect_change(law, "county", "tag: 2023-12-01\naisle: 20 in\n", "2024-05-30");
    expect_change(law, "county", "tag: 2023-12-01\naisle: 30 in\n", "2024-05-30");
    expect_change(law, "county", "tag: 2020-12-01\naisle: 20 in\n", "none");
}
END_TEST

/* The law that follows is that of the place: the district's later act is not the county's. */
START_TEST(changes_of_the_law_in_a_place)
{
    static const char law[] =
        FIRE_CODE "jurisdiction county \"County\"\n"
                  " adopts trial edition 1 in force from 2020-01-01 by \"Act 1\"\n"
                  " amends trial edition 1 in force from 2024-06-01 by \"Act 2\"\n"
                  "  amend \"1\" limit to 18 in\nend\n"
                  "place ferry \"Ferry\"\n fire decided by county\nend\n"
                  "jurisdiction district \"District\"\n"
                  " adopts trial edition 1 in force from 2020-01-01 by \"Act 1\"\nend\n"
                  "place hill \"Hill\"\n fire decided by district\n gas decided by county\nend\n";
    expect_change(law, "ferry/county", "aisle: 20 in\n", "2024-06-01");
    expect_change(law, "ferry/county", "aisle: 10 in\n", "none");
    expect_change(law, "hill/district", "aisle: 20 in\n", "none");
    expect_change(law, "hill/county", "aisle: 20 in\n", "none");
    expect_change(law, "county", "aisle: 20 in\n", "2024-06-01");
}
END_TEST

Suite *units_suite(void);

Suite *units_suite(void)
{
    Suite *suite = suite_create("units");
    TCase *tcase = tcase_create("written laws");
    tcase_add_test(tcase, a_section_for_some_units);
    tcase_add_test(tcase, a_code_and_its_adoption_for_some_units);
    tcase_add_test(tcase, three_texts_by_their_units);
    tcase_add_test(tcase, the_limit_that_is_shown);
    tcase_add_test(tcase, permit_dates_and_units);
    tcase_add_test(tcase, permit_dates_within_a_case);
    tcase_add_test(tcase, the_same_units_again);
    tcase_add_test(tcase, two_texts_that_are_open);
    tcase_add_test(tcase, floors_for_some_units);
    tcase_add_test(tcase, absence_ruled_out_by_the_units);
    tcase_add_test(tcase, faults_in_conditions);
    tcase_add_test(tcase, who_decides_in_a_place);
    tcase_add_test(tcase, what_is_held_in_a_place);
    tcase_add_test(tcase, rows_of_a_place_see_facts_alone);
    tcase_add_test(tcase, papers_in_a_place);
    tcase_add_test(tcase, conditions_that_grow_old);
    tcase_add_test(tcase, changes_of_the_law_in_a_place);
    suite_add_tcase(suite, tcase);
    return suite;
}
