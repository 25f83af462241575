/* law/: places. Which sections a jurisdiction's law has in a place, for which units, and what is
 * wrong with a place. The rules are those of docs/language.md, "Places"; all law is invented. */
#include <check.h>

#include "judge/judge.h"
#include "law_world.h"

#define PLACE(rows) "place landing \"Ferry Landing\"\n" rows "end\n"
#define BY(number, authority) \
    "section \"" number "\" authority " authority " shall width <= 24 in end\n"
#define HEALTH_AND_FIRE CODE("2024", SECTION("1") BY("2", "health") BY("3", "fire") BY("4", "gas"))
#define ALL_OF_STATE STATE(ADOPTS("2024", "2024-01-01", "Reg. 1"))
#define DISTRICT(blocks) "jurisdiction district \"Fire District\" within halloway\n" blocks "end\n"
#define REST "health decided by quillmark\ngas decided by halloway\n"

static const PlaceTree *the_place(World *world)
{
    const PlaceTree *place = library_place(world->library, TEXT("landing"));
    ck_assert_ptr_nonnull(place);
    return place;
}

static LawTree *law_in(World *world, const char *jurisdiction)
{
    const JurisdictionTree *tree = library_jurisdiction(world->library, text_of(jurisdiction));
    ck_assert_ptr_nonnull(tree);
    return law_assemble_in(world->arena, world->library, the_place(world), tree,
                           world_day("2024-06-01"), &world->diags);
}

/* "2: width > 1 in; not height > 2 in", a line for each section: of its first text, the scopes */
static const char *scopes_in(World *world, const char *jurisdiction)
{
    LawTree *law = law_in(world, jurisdiction);
    Buffer out = buffer_make(world->arena);
    for (uint32_t i = 0; i < law->section_count; i++) {
        const TextTree *text = &law->sections[i].texts[0];
        buffer_format(&out, "%.*s:", TEXT_ARG(law->sections[i].section->number));
        for (uint32_t s = 0; s < text->scope_count; s++) {
            const ScopeTree *scope = &text->scopes[s];
            Text words = syntax_print_expr(world->arena, scope->conditions);
            buffer_format(&out, "%s%s %.*s%s", s > 0 ? ";" : "", scope->negated ? " not" : "",
                          TEXT_ARG(words), scope->holder == NULL ? " (text)" : "");
        }
        buffer_char(&out, '\n');
    }
    return text_string(world->arena, buffer_done(&out));
}

/* ---- what is kept ---- */

START_TEST(each_keeps_what_it_decides_and_what_nobody_is_named_for)
{
    World world = WORLD(VOCABULARY, HEALTH_AND_FIRE, ALL_OF_STATE COUNTY("") DISTRICT(""),
                        PLACE("fire decided by district\n" REST));
    expect_none(&world);
    ck_assert_str_eq(scopes_in(&world, "quillmark"), "1:\n2:\n");
    ck_assert_str_eq(scopes_in(&world, "district"), "1:\n3:\n");
    ck_assert_str_eq(scopes_in(&world, "halloway"), "1:\n4:\n");
    ck_assert_ptr_eq(law_in(&world, "district")->place, the_place(&world));
    expect_none(&world);
    uint32_t count = 0;
    const JurisdictionTree **all =
        place_jurisdictions(world.arena, world.library, the_place(&world), &count);
    ck_assert_uint_eq(count, 3);
    ck_assert(text_equal(all[0]->name->text, TEXT("district"))); /* in order of the rows */
    ck_assert(text_equal(all[1]->name->text, TEXT("quillmark")));
    world_free(&world);
}
END_TEST

/* The authority of the code stands for sections that name none; a piece's for those of the piece. */
START_TEST(the_authority_may_be_that_of_the_code_or_of_a_piece)
{
    World world =
        WORLD(VOCABULARY, CODE("2024", "authority fire\n" SECTION("1") BY("2", "health")),
              "code larder edition 2024 continued authority gas " SECTION("3") "end\n",
              ALL_OF_STATE COUNTY("") DISTRICT(""), PLACE("fire decided by district\n" REST));
    expect_none(&world);
    ck_assert_str_eq(scopes_in(&world, "district"), "1:\n");
    ck_assert_str_eq(scopes_in(&world, "quillmark"), "2:\n");
    ck_assert_str_eq(scopes_in(&world, "halloway"), "3:\n");
    world_free(&world);
}
END_TEST

/* What another jurisdiction decides is also not listed as deleted here. */
START_TEST(deleted_sections_go_with_their_authority)
{
    World world = WORLD(
        VOCABULARY, HEALTH_AND_FIRE,
        ALL_OF_STATE COUNTY(AMENDS("2024", "2024-02-01", "Ord. 2") "delete \"2\"\ndelete \"3\"\n")
            DISTRICT(""),
        PLACE("fire decided by district\n" REST));
    LawTree *law = law_in(&world, "quillmark");
    expect_none(&world);
    ck_assert_uint_eq(law->deleted_count, 1);
    ck_assert(text_equal(law->deleted[0].section->number, TEXT("2")));
    world_free(&world);
}
END_TEST

/* ---- under which conditions ---- */

START_TEST(the_first_row_that_holds_governs)
{
    World world = WORLD(VOCABULARY, HEALTH_AND_FIRE, ALL_OF_STATE COUNTY("") DISTRICT(""),
                        PLACE("fire decided by district where width > 1 in\n"
                              "fire decided by halloway where height > 2 in\n"
                              "fire decided by quillmark otherwise\n" REST));
    expect_none(&world);
    ck_assert_str_eq(scopes_in(&world, "district"), "1:\n3: width > 1 in\n");
    ck_assert_str_eq(scopes_in(&world, "halloway"), "1:\n3: not width > 1 in; height > 2 in\n4:\n");
    ck_assert_str_eq(scopes_in(&world, "quillmark"),
                     "1:\n2:\n3: not width > 1 in; not height > 2 in\n");
    world_free(&world);
}
END_TEST

/* One jurisdiction in several rows of one authority: the rows that are its own or another's. */
START_TEST(several_rows_of_one_jurisdiction_are_joined)
{
    static const struct {
        const char *rows, *county, *state;
    } cases[] = {
        {"fire decided by quillmark where width > 1 in\nfire decided by halloway where height > 2 "
         "in\n"
         "fire decided by quillmark otherwise\n",
         "3: width > 1 in or not height > 2 in\n", "3: not width > 1 in; height > 2 in\n"},
        {"fire decided by quillmark where width > 1 in\nfire decided by halloway where height > 2 "
         "in\n"
         "fire decided by quillmark where width > 3 in\nfire decided by halloway otherwise\n",
         "3: width > 1 in or (not height > 2 in and width > 3 in)\n",
         "3: not width > 1 in; height > 2 in or not width > 3 in\n"},
        {"fire decided by halloway where width > 9 in\nfire decided by quillmark where width > 1 "
         "in\n"
         "fire decided by quillmark where height > 2 in or height < 1 in\n",
         "3: not width > 9 in; width > 1 in or (height > 2 in or height < 1 in)\n",
         "3: width > 9 in\n"},
        {"fire decided by halloway where width > 9 in\nfire decided by quillmark where width > 1 "
         "in\n"
         "fire decided by quillmark\n",
         "3: not width > 9 in\n", "3: width > 9 in\n"},
        {"fire decided by quillmark where width > 1 in\n"
         "fire decided by halloway where height > 2 in or height < 1 in\n"
         "fire decided by quillmark where width > 3 in\n",
         "3: width > 1 in or (not (height > 2 in or height < 1 in) and width > 3 in)\n",
         "3: not width > 1 in; height > 2 in or height < 1 in\n"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        Arena *arena = arena_new();
        Text place = text_format(arena, "place landing \"L\"\n%s%send\n", cases[i].rows, REST);
        World world = WORLD(VOCABULARY, CODE("2024", BY("3", "fire")), ALL_OF_STATE COUNTY(""),
                            text_string(arena, place));
        expect_none(&world);
        ck_assert_str_eq(scopes_in(&world, "quillmark"), cases[i].county);
        ck_assert_str_eq(scopes_in(&world, "halloway"), cases[i].state);
        world_free(&world);
        arena_free(arena);
    }
}
END_TEST

/* Beside the units for which the text itself stands; floors too. */
START_TEST(the_places_conditions_join_those_of_every_text)
{
    World world =
        WORLD(VOCABULARY,
              CODE("2024", "section \"3\" authority fire for units where height > 9 in "
                           "shall width <= 24 in end\n"),
              STATE(ADOPTS("2024", "2024-01-01", "Reg. 1") "locally at least as strict in \"3\"\n")
                  COUNTY(AMENDS("2024", "2024-02-01",
                                "Ord. 2") "amend \"3\" to read for units where height > 9 in shall "
                                          "width <= 20 in end\n"),
              PLACE("fire decided by quillmark where width > 1 in\n" REST));
    expect_none(&world);
    LawTree *law = law_in(&world, "quillmark");
    expect_none(&world);
    ck_assert_uint_eq(law->section_count, 1);
    ck_assert_uint_ge(law->sections[0].text_count, 2);
    for (uint32_t t = 0; t < law->sections[0].text_count; t++) {
        const TextTree *text = &law->sections[0].texts[t];
        ck_assert_uint_ge(text->scope_count, 2);
        const ScopeTree *last = &text->scopes[text->scope_count - 1];
        ck_assert_ptr_eq(last->conditions, the_place(&world)->holders->where);
        ck_assert_ptr_eq(last->holder, the_place(&world)->holders);
        ck_assert_ptr_null(text->scopes[0].holder);
    }
    world_free(&world);
}
END_TEST

/* ---- bad input ---- */

START_TEST(an_authority_that_nobody_has_is_an_error_with_place_and_section)
{
    World world = WORLD(VOCABULARY, HEALTH_AND_FIRE, ALL_OF_STATE COUNTY(""),
                        PLACE("health decided by quillmark\nfire decided by quillmark\n"));
    expect_none(&world);
    (void)law_in(&world, "quillmark");
    expect(&world, "nobody decides", "landing", "\"4\"", "in section '4'");
    world_free(&world);
}
END_TEST

START_TEST(places_that_are_wrong_whatever_the_law)
{
    World world = WORLD(VOCABULARY, ALL_OF_STATE, CODE("2024", SECTION("1")),
                        PLACE("fire decided by haloway\n"));
    expect(&world, "unknown jurisdiction", "haloway", "", "did you mean 'halloway'?");
    world_free(&world);

    world = WORLD(VOCABULARY, ALL_OF_STATE, CODE("2024", SECTION("1")),
                  "place halloway \"H\"\n fire decided by halloway\nend\n");
    expect(&world, "defined twice", "halloway", "halloway", "the jurisdiction");
    world_free(&world);

    world = WORLD(VOCABULARY, ALL_OF_STATE, CODE("2024", SECTION("1")),
                  PLACE("fire decided by halloway\n"), PLACE("gas decided by halloway\n"));
    expect(&world, "defined twice", "landing", "landing", "first defined here");
    ck_assert_uint_eq(world.library->place_count, 1);
    world_free(&world);

    world = WORLD(VOCABULARY, ALL_OF_STATE COUNTY(""), CODE("2024", SECTION("1")),
                  PLACE("fire decided by halloway otherwise\ngas decided by halloway\n"
                        "fire decided by quillmark where width > 1 in\n"));
    expect(&world, "never reached", "fire decided by quillmark", "fire decided by halloway",
           "no condition");
    world_free(&world);

    world = WORLD(PLACE(""));
    expect(&world, "nobody decides", "landing", NULL, "");
    world_free(&world);

    world = WORLD(PLACE("fire decided by landing\n")); /* a place decides nothing itself */
    expect(&world, "unknown jurisdiction", "landing", NULL, "");
    world_free(&world);
}
END_TEST

START_TEST(the_nearest_name_may_be_that_of_a_place)
{
    World world = WORLD(VOCABULARY, ALL_OF_STATE, CODE("2024", SECTION("1")),
                        PLACE("fire decided by halloway\n"));
    ck_assert(
        text_equal(library_nearest_jurisdiction(world.library, TEXT("landin")), TEXT("landing")));
    ck_assert(
        text_equal(library_nearest_jurisdiction(world.library, TEXT("hallowa")), TEXT("halloway")));
    ck_assert_ptr_null(library_place(world.library, TEXT("halloway")));
    ck_assert_ptr_null(library_jurisdiction(world.library, TEXT("landing")));
    world_free(&world);
}
END_TEST

/* ---- proofreading ---- */

#define FACTS                                              \
    "vocabulary unit\n fact width length always present\n" \
    " fact height length always present\n topic a.b \"A\"\nend\n"
#define RULE(number, authority) \
    "section \"" number "\" topic a.b authority " authority " shall width <= 24 in end\n"
#define RULES \
    "code larder edition 2024\nbasis invented\n" RULE("2", "health") RULE("3", "fire") "end\n"
#define OLD_RULES "code larder edition 2021\nbasis invented\n" RULE("2", "police") "end\n"

static World proofread(const char *state, const char *place)
{
    World world = WORLD(FACTS, RULES, OLD_RULES, state, place);
    expect_none(&world);
    place_proofread(world.arena, world.library, the_place(&world), &world.diags);
    return world;
}

#define NOW STATE(ADOPTS("2024", "2024-01-01", "Reg. 1"))

START_TEST(a_place_in_order_has_no_message)
{
    World world = proofread(NOW COUNTY(""), PLACE("health decided by quillmark\n"
                                                  "fire decided by halloway where width > 1 in\n"
                                                  "fire decided by quillmark otherwise\n"));
    ck_assert_msg(world.diags.errors + world.diags.warnings == 0, "%s", world_errors(&world));
    world_free(&world);
}
END_TEST

START_TEST(rows_are_held_against_what_the_sections_name)
{
    World world = proofread(NOW, PLACE("health decided by halloway\nfire decided by halloway\n"
                                       "fyre decided by halloway\n"));
    expect(&world, "unknown authority", "fyre", "", "did you mean 'fire'?");
    world_free(&world);

    world = proofread(NOW, PLACE("health decided by halloway\n"
                                 "fire decided by halloway where width > 1 in\n"));
    ck_assert_uint_eq(world.diags.errors, 0);
    ck_assert_uint_eq(world.diags.warnings, 1);
    ck_assert_ptr_nonnull(world_find(&world, "perhaps nobody decides", "fire decided"));
    world_free(&world);

    world = proofread(NOW "jurisdiction brim \"Brim\" end\n",
                      PLACE("health decided by halloway\nfire decided by brim\n"));
    ck_assert_uint_eq(world.diags.errors, 0);
    ck_assert_ptr_nonnull(world_find(&world, "decides without a rule", "fire decided by brim"));
    world_free(&world);

    world =
        WORLD(FACTS, RULES, OLD_RULES, NOW,
              "jurisdiction brim \"Brim\"\n" ADOPTS("2021", "2021-01-01", "Ord. 1") "end\n",
              PLACE("health decided by halloway\nfire decided by brim\npolice decided by brim\n"));
    place_proofread(world.arena, world.library, the_place(&world), &world.diags);
    ck_assert_uint_eq(world.diags.errors, 0);
    ck_assert_uint_eq(world.diags.warnings, 1);
    ck_assert_ptr_nonnull(world_find(&world, "decides without a rule", "fire decided by brim"));
    world_free(&world);
}
END_TEST

/* Of every date: an older edition named an authority that the newer one lacks. */
START_TEST(every_date_of_the_law_is_looked_at)
{
    const char *state =
        STATE(ADOPTS("2021", "2021-01-01", "Reg. 1") ADOPTS("2024", "2024-01-01", "Reg. 2"));
    World world = proofread(state, PLACE("health decided by halloway\nfire decided by halloway\n"));
    expect(&world, "nobody decides", "landing", "\"2\"", "in section '2'");
    world_free(&world);
    world = proofread(state, PLACE("health decided by halloway\nfire decided by halloway\n"
                                   "police decided by halloway\n"));
    ck_assert_msg(world.diags.errors + world.diags.warnings == 0, "%s", world_errors(&world));
    world_free(&world);
}
END_TEST

/* Rows see facts; a name of the county's own would mean something else in the next law. */
START_TEST(conditions_are_checked)
{
    World world = proofread(NOW COUNTY("define low = 1 in\n"),
                            PLACE("health decided by quillmark\n"
                                  "fire decided by halloway where width > low\n"
                                  "fire decided by quillmark otherwise\n"));
    ck_assert_ptr_nonnull(world_find(&world, "unknown name", "low"));
    world_free(&world);
    world = proofread(NOW, PLACE("health decided by halloway\n"
                                 "fire decided by halloway where width > 1 gal\n"
                                 "fire decided by halloway otherwise\n"));
    ck_assert_ptr_nonnull(world_find(&world, "different kinds", "width > 1 gal"));
    world_free(&world);
}
END_TEST

/* ---- judged ---- */

enum { RANDOM_PLACES = 150, ROWS_MAX = 5, JURISDICTIONS = 3 };

static const char *const deciders[JURISDICTIONS] = {"halloway", "quillmark", "brim"};
static const char *const conditions[] = {"width > 10 in", "height > 10 in",
                                         "width > 10 in or height > 10 in",
                                         "width > 10 in and height > 10 in"};

static uint32_t draw(uint32_t *seed, uint32_t below)
{
    *seed = *seed * 1664525u + 1013904223u;
    return (*seed >> 16) % below;
}

static bool condition_holds(uint32_t condition, bool wide, bool high)
{
    const bool truths[] = {wide, high, wide || high, wide && high};
    return truths[condition];
}

/* Rows of one authority: the jurisdiction of each and its condition, the last one perhaps without. */
typedef struct Rows {
    uint32_t count;
    uint32_t decider[ROWS_MAX];
    uint32_t condition[ROWS_MAX]; /* beyond the conditions: none */
} Rows;

enum { CONDITIONS = sizeof conditions / sizeof *conditions };

static Rows random_rows(uint32_t *seed)
{
    Rows rows = {.count = 1 + draw(seed, ROWS_MAX)};
    for (uint32_t i = 0; i < rows.count; i++) {
        rows.decider[i] = draw(seed, JURISDICTIONS);
        rows.condition[i] = draw(seed, CONDITIONS);
    }
    if (draw(seed, 2) == 0) {
        rows.condition[rows.count - 1] = CONDITIONS;
    }
    return rows;
}

static const char *rows_text(Arena *arena, const Rows *rows)
{
    Buffer out = buffer_make(arena);
    buffer_string(&out, "place landing \"L\"\n");
    for (uint32_t i = 0; i < rows->count; i++) {
        bool always = rows->condition[i] == CONDITIONS;
        buffer_format(&out, "fire decided by %s%s%s\n", deciders[rows->decider[i]],
                      always ? " otherwise" : " where ",
                      always ? "" : conditions[rows->condition[i]]);
    }
    buffer_string(&out, "end\n");
    return text_string(arena, buffer_done(&out));
}

/* Who decides where all is known; JURISDICTIONS: nobody. */
static uint32_t decider_of(const Rows *rows, bool wide, bool high)
{
    for (uint32_t i = 0; i < rows->count; i++) {
        if (rows->condition[i] == CONDITIONS || condition_holds(rows->condition[i], wide, high)) {
            return rows->decider[i];
        }
    }
    return JURISDICTIONS;
}

/* The outcome of the one section in the law of a jurisdiction; -1: it is not in that law. */
static int judged(World *world, const char *jurisdiction, const char *facts)
{
    LawTree *tree = law_in(world, jurisdiction);
    const Law *law = law_check(world->arena, world->library, tree, false, &world->diags);
    expect_none(world);
    if (law->section_count == 0) {
        return -1;
    }
    const Source *source = source_of(world->arena, TEXT("x.yaml"), text_of(facts));
    const Spec *spec =
        spec_read(world->arena, world->names, law->vocabulary, source, &world->diags);
    expect_none(world);
    ReviewOptions how = {.on = tree->on, .stage = STAGE_PLAN};
    const Review *review = review_make(world->arena, law, spec, &how);
    ck_assert_uint_eq(review->finding_count, 1);
    return review->findings[0].outcome;
}

/* The section fails wherever it applies: so exactly the one who decides finds a correction. Where a
 * fact is not stated, nothing is found that is not so in both cases. */
START_TEST(exactly_one_decides)
{
    uint32_t seed = 7;
    for (int n = 0; n < RANDOM_PLACES; n++) {
        Arena *arena = arena_new();
        Rows rows = random_rows(&seed);
        World world =
            WORLD("vocabulary unit\n fact width length always present\n"
                  " fact height length always present\n topic a.b \"A\"\nend\n",
                  "code larder edition 2024\n basis invented\n section \"3\" topic a.b "
                  "authority fire shall width >= 900 in end\nend\n",
                  STATE(ADOPTS("2024", "2024-01-01", "Reg. 1")) COUNTY(""),
                  "jurisdiction brim \"Brim\" within halloway end\n", rows_text(arena, &rows));
        expect_none(&world);
        for (uint32_t who = 0; who < JURISDICTIONS; who++) {
            for (int wide = 0; wide <= 1; wide++) {
                int outcomes[2];
                for (int high = 0; high <= 1; high++) {
                    const char *facts =
                        text_string(arena, text_format(arena, "width: %d in\nheight: %d in\n",
                                                       wide ? 11 : 10, high ? 11 : 10));
                    bool decides = decider_of(&rows, wide == 1, high == 1) == who;
                    outcomes[high] = judged(&world, deciders[who], facts);
                    ck_assert_msg(outcomes[high] == -1
                                      ? !decides
                                      : outcomes[high] ==
                                            (decides ? OUTCOME_CORRECTION : OUTCOME_NOT_APPLICABLE),
                                  "place %d, %s, %s: %d\n%s", n, deciders[who], facts,
                                  outcomes[high], rows_text(arena, &rows));
                }
                int open =
                    judged(&world, deciders[who], wide ? "width: 11 in\n" : "width: 10 in\n");
                ck_assert_msg(open == OUTCOME_INFORMATION_REQUIRED ||
                                  (open == outcomes[0] && open == outcomes[1]),
                              "place %d, %s, height not stated: %d, not %d and %d", n,
                              deciders[who], open, outcomes[0], outcomes[1]);
            }
        }
        world_free(&world);
        arena_free(arena);
    }
}
END_TEST

Suite *place_suite(void)
{
    Suite *suite = suite_create("place");
    TCase *kept = tcase_create("kept");
    tcase_add_test(kept, each_keeps_what_it_decides_and_what_nobody_is_named_for);
    tcase_add_test(kept, the_authority_may_be_that_of_the_code_or_of_a_piece);
    tcase_add_test(kept, deleted_sections_go_with_their_authority);
    suite_add_tcase(suite, kept);
    TCase *under = tcase_create("conditions");
    tcase_add_test(under, the_first_row_that_holds_governs);
    tcase_add_test(under, several_rows_of_one_jurisdiction_are_joined);
    tcase_add_test(under, the_places_conditions_join_those_of_every_text);
    suite_add_tcase(suite, under);
    TCase *judging = tcase_create("judged");
    tcase_add_test(judging, exactly_one_decides);
    suite_add_tcase(suite, judging);
    TCase *wrong = tcase_create("wrong");
    tcase_add_test(wrong, an_authority_that_nobody_has_is_an_error_with_place_and_section);
    tcase_add_test(wrong, places_that_are_wrong_whatever_the_law);
    tcase_add_test(wrong, the_nearest_name_may_be_that_of_a_place);
    suite_add_tcase(suite, wrong);
    TCase *proof = tcase_create("proofreading");
    tcase_add_test(proof, a_place_in_order_has_no_message);
    tcase_add_test(proof, rows_are_held_against_what_the_sections_name);
    tcase_add_test(proof, every_date_of_the_law_is_looked_at);
    tcase_add_test(proof, conditions_are_checked);
    suite_add_tcase(suite, proof);
    return suite;
}
