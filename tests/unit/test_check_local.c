/* What adopting jurisdictions write into a text: exceptions of their own, and the blanks that a
 * model code leaves to them. All law here is invented. */
#include <check.h>

#include "judge/judge.h"

#include "law_world.h"

static const char stall[] = "vocabulary stall\n"
                            "  choice duty one of light < medium < heavy\n"
                            "  record opening\n"
                            "    name text always present key\n"
                            "    width length always present at least 0 in\n"
                            "  end\n"
                            "  fact openings list of opening always present\n"
                            "  fact aisle length always present at least 0 in\n"
                            "  fact depth length at least 0 in\n"
                            "  fact cook_duty duty always present\n"
                            "  fact tag date always present\n"
                            "  fact count_of_doors count always present\n"
                            "  fact tows yes/no always present\n"
                            "  topic stall.all \"All\"\n"
                            "end\n";

#define CODE_OF(sections) "code model edition 1\n basis invented\n" sections "end\n"
#define TOPIC(number, body) "section \"" number "\" topic stall.all " body " end\n"
#define STATE_OF(blocks)                                             \
    "jurisdiction state \"State\"\n define narrow = aisle < 20 in\n" \
    " adopts model edition 1 in force from 2020-01-01 by \"Act 1\"\n" blocks "end\n"
#define ACT(changes) " amends model edition 1 in force from 2021-01-01 by \"Act 2\"\n" changes

typedef struct Hearing {
    World world;
    const Law *law;
    const Review *review;
} Hearing;

static Hearing hear(const char *code, const char *state, const char *where, bool proofread)
{
    Hearing hearing = {.world = WORLD(stall, code, state)};
    World *world = &hearing.world;
    ck_assert_str_eq(world_errors(world), "");
    const JurisdictionTree *tree = library_jurisdiction(world->library, text_of(where));
    LawTree *law =
        law_assemble(world->arena, world->library, tree, world_day("2024-01-01"), &world->diags);
    hearing.law = law_check(world->arena, world->library, law, proofread, &world->diags);
    diagnostics_sort(&world->diags);
    return hearing;
}

static const Finding *judge_unit(Hearing *hearing, const char *unit)
{
    World *world = &hearing->world;
    ck_assert_msg(world->diags.errors == 0, "%s", world_errors(world));
    const Source *source = source_of(world->arena, TEXT("unit.yaml"), text_of(unit));
    const Spec *spec =
        spec_read(world->arena, world->names, hearing->law->vocabulary, source, &world->diags);
    ck_assert_msg(world->diags.errors == 0, "%s", world_errors(world));
    const ReviewOptions options = {.on = world_day("2024-01-01"), .stage = STAGE_PLAN};
    hearing->review = review_make(world->arena, hearing->law, spec, &options);
    ck_assert_uint_ge(hearing->review->finding_count, 1);
    return &hearing->review->findings[0];
}

/* ---- exceptions ---- */

/* It sees the items and definitions of the section, and the names of its own jurisdiction. */
START_TEST(an_exception_of_an_ordinance)
{
    static const char code[] =
        CODE_OF(TOPIC("1", "each o of openings define least = 30 in shall o.width >= least"));
    static const char state[] = STATE_OF(ACT("amend \"1\" to add except where o.name is \"hatch\" "
                                             "and narrow by \"A-1\" unless tows is yes"
                                             " shall o.width >= least - 10 in end\n"));
    static const struct {
        const char *unit;
        Outcome outcome;
    } cases[] = {
        {"openings: [{name: hatch, width: 22 in}]\naisle: 19 in\ntows: no\n", OUTCOME_COMPLIES},
        {"openings: [{name: hatch, width: 19 in}]\naisle: 19 in\ntows: no\n", OUTCOME_CORRECTION},
        {"openings: [{name: hatch, width: 22 in}]\naisle: 19 in\ntows: yes\n", OUTCOME_CORRECTION},
        {"openings: [{name: hatch, width: 22 in}]\naisle: 20 in\ntows: no\n", OUTCOME_CORRECTION},
        {"openings: [{name: door, width: 22 in}]\naisle: 19 in\ntows: no\n", OUTCOME_CORRECTION},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        Hearing hearing = hear(code, state, "state", false);
        ck_assert_msg(judge_unit(&hearing, cases[i].unit)->outcome == cases[i].outcome, "case %zu",
                      i);
        world_free(&hearing.world);
    }
}
END_TEST

/* The code's own exceptions do not see what the jurisdiction names. */
START_TEST(places_of_faults_in_exceptions)
{
    static const struct {
        const char *code, *change, *name, *at, *file;
    } cases[] = {
        {CODE_OF(TOPIC("1", "shall tows is yes")),
         "amend \"1\" to add except where size > 3 in end\n", "unknown name", "size", "2.shall"},
        {CODE_OF(TOPIC("1", "shall tows is yes")),
         "amend \"1\" to add except where depth > 3 in end\n", "absence is not answered", "depth",
         "2.shall"},
        {CODE_OF(TOPIC("1", "shall tows is yes")),
         "amend \"1\" to add except to width where tows is no end\n", "unknown label", "width",
         "2.shall"},
        {CODE_OF(TOPIC("1", "shall tows is yes")),
         "amend \"1\" to add except where tows is no shall aisle end\n", "not a condition", "aisle",
         "2.shall"},
        {CODE_OF(TOPIC("1", "shall tows is yes except where narrow by \"old\"")), "",
         "unknown name", "narrow", "1.shall"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        Arena *arena = arena_new();
        const char *state = text_string(
            arena, text_format(arena, "%s%s%send\n",
                               "jurisdiction state \"State\"\n define narrow = aisle < 20 in\n"
                               " adopts model edition 1 in force from 2020-01-01 by \"Act 1\"\n",
                               cases[i].change[0] == '\0' ? "" : ACT(""), cases[i].change));
        Hearing hearing = hear(cases[i].code, state, "state", false);
        const Diagnostic *diag = world_find(&hearing.world, cases[i].name, cases[i].at);
        ck_assert_msg(diag != NULL && hearing.world.diags.errors == 1, "case %zu: %s", i,
                      world_errors(&hearing.world));
        ck_assert(text_equal(diag->place.source->path, text_of(cases[i].file)));
        world_free(&hearing.world);
        arena_free(arena);
    }
}
END_TEST

/* ---- blanks ---- */

START_TEST(a_blank_has_no_value)
{
    static const struct {
        const char *body, *unit;
    } cases[] = {
        {"shall aisle >= blank \"the width\"", "aisle: 30 in\n"},
        {"shall not aisle < blank \"the width\"", "aisle: 30 in\n"},
        {"shall cook_duty <= blank \"the duty\"", "cook_duty: light\n"},
        {"shall tag on or after blank \"the day\"", "tag: 2024-01-01\n"},
        {"shall count_of_doors = blank \"how many\"", "count_of_doors: 2\n"},
        {"shall depth >= blank \"the depth\", or 0 in if none", "depth: none\n"},
        {"shall tows is yes except where aisle > 3 in shall aisle >= blank \"the width\"",
         "tows: no\naisle: 30 in\n"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        Arena *arena = arena_new();
        const char *code =
            text_string(arena, text_format(arena,
                                           "code model edition 1\n basis invented\n"
                                           "section \"1\" topic stall.all %s end\nend\n",
                                           cases[i].body));
        Hearing hearing = hear(code, STATE_OF(""), "state", false);
        const Finding *finding = judge_unit(&hearing, cases[i].unit);
        ck_assert_msg(finding->outcome == OUTCOME_INFORMATION_REQUIRED, "case %zu", i);
        ck_assert_uint_eq(finding->wanted_count, 1);
        ck_assert_int_eq(finding->wanted[0].reason, REASON_NO_RULE);
        ck_assert(text_starts(finding->wanted[0].what, TEXT("the blank \"")));
        ck_assert_ptr_nonnull(strstr(text_string(hearing.world.arena, finding->wanted[0].what),
                                     "\", which nobody has filled in"));
        world_free(&hearing.world);
        arena_free(arena);
    }
}
END_TEST

START_TEST(a_blank_is_filled_in)
{
    static const char code[] = CODE_OF(TOPIC("1", "shall aisle >= blank \"the width\""));
    static const char state[] = STATE_OF(ACT("amend \"1\" limit to 30 in\n"));
    Hearing hearing = hear(code, state, "state", true);
    ck_assert_ptr_null(world_find(&hearing.world, "blank not filled in", ""));
    ck_assert_int_eq(judge_unit(&hearing, "aisle: 29 in\n")->outcome, OUTCOME_CORRECTION);
    world_free(&hearing.world);
    /* The state passes it on to its counties, of which one fills it in. */
    static const char passed_on[] = STATE_OF(ACT("amend \"1\" limit to blank \"as the county "
                                                 "says\"\n")) "jurisdiction county \"County\" "
                                                              "within state\n"
                                                              " amends model edition 1 in force "
                                                              "from 2022-01-01 by \"Ord. 3\"\n"
                                                              "  amend \"1\" limit to 24 in\nend\n";
    hearing = hear(code, passed_on, "state", false);
    const Finding *finding = judge_unit(&hearing, "aisle: 29 in\n");
    ck_assert_int_eq(finding->outcome, OUTCOME_INFORMATION_REQUIRED);
    ck_assert_ptr_nonnull(
        strstr(text_string(hearing.world.arena, finding->wanted[0].what), "as the county says"));
    world_free(&hearing.world);
    hearing = hear(code, passed_on, "county", false);
    ck_assert_int_eq(judge_unit(&hearing, "aisle: 29 in\n")->outcome, OUTCOME_COMPLIES);
    world_free(&hearing.world);
}
END_TEST

START_TEST(blanks_out_of_place)
{
    static const char *const bodies[] = {
        "shall blank \"x\" >= aisle",
        "shall aisle >= max(blank \"x\", 3 in)",
        "shall tows is yes or aisle >= blank \"x\"",
        "when aisle >= blank \"x\" shall tows is yes",
        "define w = blank \"x\" shall aisle >= w",
    };
    for (size_t i = 0; i < sizeof bodies / sizeof *bodies; i++) {
        Arena *arena = arena_new();
        const char *code =
            text_string(arena, text_format(arena,
                                           "code model edition 1\n basis invented\n"
                                           "section \"1\" topic stall.all %s end\nend\n",
                                           bodies[i]));
        Hearing hearing = hear(code, STATE_OF(""), "state", false);
        ck_assert_msg(world_find(&hearing.world, "blank out of place", "blank") != NULL, "%s: %s",
                      bodies[i], world_errors(&hearing.world));
        ck_assert_uint_eq(hearing.world.diags.errors, 1);
        world_free(&hearing.world);
        arena_free(arena);
    }
}
END_TEST

START_TEST(an_unfilled_blank_is_proofread)
{
    static const char open[] = CODE_OF(TOPIC("1", "shall aisle >= blank \"the width\""));
    Hearing hearing = hear(open, STATE_OF(""), "state", true);
    const Diagnostic *diag =
        world_find(&hearing.world, "blank not filled in", "blank \"the width\"");
    ck_assert_ptr_nonnull(diag);
    ck_assert_ptr_nonnull(diag->notes); /* at the block that adopts it */
    ck_assert(text_equal(diag->notes->place.source->path, TEXT("2.shall")));
    world_free(&hearing.world);
    static const char silent[] =
        CODE_OF(TOPIC("1", "shall aisle >= blank \"the width\"\n"
                           " stet \"blank not filled in\" \"the counties do\""));
    hearing = hear(silent, STATE_OF(""), "state", true);
    ck_assert_ptr_null(world_find(&hearing.world, "blank not filled in", ""));
    ck_assert_ptr_null(world_find(&hearing.world, "unknown message", ""));
    world_free(&hearing.world);
    /* A code by itself is not at fault. */
    World world = WORLD(stall, open);
    LawTree *tree = law_of_code(world.arena, world.library, world.library->codes[0]);
    (void)law_check(world.arena, world.library, tree, true, &world.diags);
    ck_assert_ptr_null(world_find(&world, "blank not filled in", ""));
    world_free(&world);
}
END_TEST

Suite *check_local_suite(void);

Suite *check_local_suite(void)
{
    Suite *suite = suite_create("check_local");
    TCase *tcase = tcase_create("local words");
    tcase_add_test(tcase, an_exception_of_an_ordinance);
    tcase_add_test(tcase, places_of_faults_in_exceptions);
    tcase_add_test(tcase, a_blank_has_no_value);
    tcase_add_test(tcase, a_blank_is_filled_in);
    tcase_add_test(tcase, blanks_out_of_place);
    tcase_add_test(tcase, an_unfilled_blank_is_proofread);
    suite_add_tcase(suite, tcase);
    return suite;
}
