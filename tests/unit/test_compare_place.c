/* compare: the law of a place as one law. No published source: what is expected follows from
 * docs/language.md, "Places" (exactly one jurisdiction decides for each unit) and docs/compare.md;
 * all law is invented. */
#include <stdlib.h>

#include "judge/compare_findings.h"
#include "law_world.h"

#define FACTS                                                                                  \
    "vocabulary unit\n record box\n  name text key always present\n  side length always "      \
    "present\n end\n fact boxes list of box\n fact width length always present\n fact height " \
    "length always "                                                                           \
    "present\n fact depth length always present\n topic a.b \"A\"\nend\n"
#define LARDER(sections) "code larder edition 2024\n basis invented\n" sections "end\n"
#define DEPTH(number, authority) \
    " section \"" number "\" topic a.b " authority " shall depth <= 24 in end\n"
#define ALL "adopts larder edition 2024 in force from 2024-01-01 by \"Reg. 1\"\n"
#define AMEND(changes) "amends larder edition 2024 in force from 2024-02-01 by \"Ord. 1\"\n" changes
#define BRIM(blocks) "jurisdiction brim \"Brim\" within halloway\n" blocks "end\n"
#define PLACE(rows) "place landing \"Landing\"\n" rows "end\n"

/* ---- laws ---- */

static const LawUnion *law_of_place(World *world, const char *name)
{
    const PlaceTree *place = library_place(world->library, text_of(name));
    uint32_t count = 0;
    const JurisdictionTree **list =
        place_jurisdictions(world->arena, world->library, place, &count);
    const Law **laws = ARENA_ARRAY(world->arena, const Law *, count);
    for (uint32_t i = 0; i < count; i++) {
        LawTree *tree = law_assemble_in(world->arena, world->library, place, list[i],
                                        world_day("2024-06-01"), &world->diags);
        laws[i] = law_check(world->arena, world->library, tree, false, &world->diags);
    }
    expect_none(world);
    return law_unite(world->arena, laws, count);
}

static const LawUnion *whole_law(World *world)
{
    return law_of_place(world, "landing");
}

static const Law *plain_law(World *world, const char *name)
{
    LawTree *tree = world_law(world, name, "2024-06-01");
    const Law *law = law_check(world->arena, world->library, tree, false, &world->diags);
    expect_none(world);
    return law;
}

/* "3: 2 of quillmark brim", a line for each section: how many texts, and whose. */
static const char *texts_words(World *world, const Law *law)
{
    Buffer out = buffer_make(world->arena);
    for (uint32_t i = 0; i < law->section_count; i++) {
        const Section *section = &law->sections[i];
        buffer_format(&out, "%.*s: %u", TEXT_ARG(section->number), section->text_count);
        for (uint32_t t = 0; t < section->text_count; t++) {
            const JurisdictionTree *whose = section->texts[t].decides;
            if (whose != NULL) {
                buffer_format(&out, "%s %.*s", t == 0 ? " of" : "", TEXT_ARG(whose->name->text));
            }
        }
        buffer_char(&out, '\n');
    }
    return text_string(world->arena, buffer_done(&out));
}

static void expect_same(World *world, const Law *a, const Law *b)
{
    ck_assert(law_comparison_is_same(law_compare(world->arena, a, b, NULL, 0)));
}

/* ---- one law ---- */

START_TEST(test_one_section)
{
    World world =
        WORLD(FACTS,
              LARDER(DEPTH("1", "") DEPTH("2", "") DEPTH("3", "authority fire")
                         DEPTH("4", "authority fire") DEPTH("5", "authority health")),
              STATE(ALL) COUNTY(AMEND("amend \"2\" limit to 20 in amend \"3\" limit to 22 in\n"))
                  BRIM(""),
              PLACE("fire decided by brim where width > 1 in\n"
                    "fire decided by quillmark otherwise\nhealth decided by halloway\n"));
    const LawUnion *law = whole_law(&world);
    /* 1 and 4 say the same whoever decides; the 2 of the county is another than that of the rest */
    ck_assert_str_eq(texts_words(&world, law->law),
                     "1: 1\n2: 1\n3: 2 of brim quillmark\n4: 1\n2: 1\n5: 1\n");
    ck_assert_uint_eq(law->law->sections[3].texts[0].scope_count, 0);
    ck_assert_uint_eq(law->part_count, 3);
    ck_assert_str_eq(text_string(world.arena, law->law->tree->jurisdiction->title), "Landing");
    expect_same(&world, law->law, law->law);
    expect_same(&world, law->law, whole_law(&world)->law);
    world_free(&world);
}
END_TEST

/* Nobody may decide where the condition does not hold: then the condition is told. */
START_TEST(test_not_all)
{
    World world = WORLD(FACTS, LARDER(DEPTH("3", "authority fire")), STATE(ALL) COUNTY("") BRIM(""),
                        PLACE("fire decided by brim where width > 1 in\n"
                              "fire decided by quillmark where height > 2 in\n"));
    const LawUnion *law = whole_law(&world);
    ck_assert_str_eq(texts_words(&world, law->law), "3: 2 of brim quillmark\n");
    expect_same(&world, law->law, whole_law(&world)->law);
    world_free(&world);
}
END_TEST

/* A section that another silences in one law alone stays apart from that of the others. */
START_TEST(test_silenced_in_one)
{
    World world = WORLD(
        FACTS, LARDER(DEPTH("3", "authority fire") DEPTH("4", "authority fire")),
        STATE(ALL) COUNTY(AMEND("insert section \"5\" topic a.b authority fire notwithstanding "
                                "\"3\" shall depth <= 20 in basis invented end\n")) BRIM(""),
        PLACE("fire decided by brim where width > 1 in\n"
              "fire decided by quillmark otherwise\n"));
    const LawUnion *law = whole_law(&world);
    ck_assert_str_eq(texts_words(&world, law->law), "3: 1\n4: 1\n3: 1\n5: 1\n");
    const Section *five = &law->law->sections[3];
    ck_assert_uint_eq(five->prevail_count, 1);
    ck_assert_uint_eq(five->prevails[0], 2);
    expect_same(&world, law->law, whole_law(&world)->law);
    world_free(&world);
}
END_TEST

START_TEST(test_deleted_in_one)
{
    World world = WORLD(FACTS, LARDER(DEPTH("3", "authority fire")),
                        STATE(ALL) COUNTY(AMEND("delete \"3\"\n")) BRIM(""),
                        PLACE("fire decided by brim where width > 1 in\n"
                              "fire decided by quillmark otherwise\n"));
    const LawUnion *law = whole_law(&world);
    ck_assert_uint_eq(law->law->tree->deleted_count, 1);
    const LawComparison *c = law_compare(world.arena, plain_law(&world, "brim"), law->law, NULL, 0);
    ck_assert_uint_eq(c->counts[RELATION_LOOSER], 1); /* asked of fewer units */
    ck_assert_uint_eq(c->counts[RELATION_ONLY_HERE], 0);
    world_free(&world);
}
END_TEST

/* ---- judged ---- */

static const Review *review_place(World *world, const LawUnion *law, const char *facts)
{
    const Source *source = source_of(world->arena, TEXT("x.yaml"), text_of(facts));
    const Spec *spec =
        spec_read(world->arena, world->names, law->law->vocabulary, source, &world->diags);
    expect_none(world);
    ReviewOptions how = {.on = world_day("2024-06-01"), .stage = STAGE_PLAN};
    const Review **reviews = ARENA_ARRAY(world->arena, const Review *, law->part_count);
    for (uint32_t i = 0; i < law->part_count; i++) {
        reviews[i] = review_make(world->arena, law->parts[i], spec, &how);
    }
    return reviews_unite(world->arena, law, reviews);
}

START_TEST(test_findings_once)
{
    World world = WORLD(FACTS, LARDER(DEPTH("1", "") DEPTH("3", "authority fire")),
                        STATE(ALL) COUNTY(AMEND("amend \"3\" limit to 22 in\n")) BRIM(""),
                        PLACE("fire decided by brim where width > 1 in\n"
                              "fire decided by quillmark otherwise\nhealth decided by halloway\n"));
    const LawUnion *law = whole_law(&world);
    static const struct {
        const char *facts;
        Outcome first, second; /* of section 1, which all three have, and of 3 */
    } cases[] = {
        {"permits: none\nwidth: 2 in\ndepth: 23 in\n", OUTCOME_COMPLIES, OUTCOME_COMPLIES},
        {"permits: none\nwidth: 1 in\ndepth: 23 in\n", OUTCOME_COMPLIES, OUTCOME_CORRECTION},
        {"permits: none\ndepth: 23 in\n", OUTCOME_COMPLIES, OUTCOME_INFORMATION_REQUIRED},
        {"permits: none\ndepth: 25 in\n", OUTCOME_CORRECTION, OUTCOME_INFORMATION_REQUIRED},
        {"permits: none\ndepth: 22 in\n", OUTCOME_COMPLIES, OUTCOME_COMPLIES},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const Review *review = review_place(&world, law, cases[i].facts);
        ck_assert_uint_eq(review->finding_count, 2);
        ck_assert_ptr_eq(review->findings[0].section, &law->law->sections[0]);
        ck_assert_ptr_eq(review->findings[1].section, &law->law->sections[1]);
        ck_assert_int_eq(review->findings[0].outcome, cases[i].first);
        ck_assert_int_eq(review->findings[1].outcome, cases[i].second);
        uint32_t all = 0;
        for (int k = OUTCOME_COMPLIES; k <= OUTCOME_NOT_APPLICABLE; k++) {
            all += review->counts[k];
        }
        ck_assert_uint_eq(all, 2);
        ck_assert_uint_eq(review->counts[OUTCOME_CORRECTION] > 0, review_status(review) == 1);
    }
    world_free(&world);
}
END_TEST

/* What another jurisdiction asks of other items is not told of a unit that it does not decide for. */
START_TEST(test_other_items)
{
    World world = WORLD(
        FACTS, LARDER(DEPTH("3", "authority fire")),
        STATE(ALL) COUNTY(AMEND("amend \"3\" to read each b of boxes shall b.side <= 9 in "
                                "basis invented end\n")) BRIM(""),
        PLACE("fire decided by brim where width > 1 in\nfire decided by quillmark otherwise\n"));
    const LawUnion *law = whole_law(&world);
    static const struct {
        const char *facts;
        uint32_t count;
        Outcome first;
    } cases[] = {
        {"permits: none\nwidth: 2 in\ndepth: 23 in\nboxes: [{name: a, side: 8 in}, {name: b, side: "
         "10 "
         "in}]\n",
         1, OUTCOME_COMPLIES},
        {"permits: none\nwidth: 1 in\ndepth: 23 in\nboxes: [{name: a, side: 10 in}, {name: b, "
         "side: 8 "
         "in}]\n",
         2, OUTCOME_CORRECTION},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const Review *review = review_place(&world, law, cases[i].facts);
        ck_assert_uint_eq(review->finding_count, cases[i].count);
        ck_assert_int_eq(review->findings[0].outcome, cases[i].first);
    }
    world_free(&world);
}
END_TEST

/* ---- what is claimed, held against judging ---- */

enum { RANDOM_PLACES = 60, CONDITIONS = 3, JURISDICTIONS = 3 };

static const char *const conditions[] = {"width > 1 in", "height > 2 in",
                                         "width > 1 in or height > 2 in"};
static const char *const deciders[] = {"halloway", "quillmark", "brim"};

static uint32_t next(uint32_t *seed)
{
    *seed = *seed * 1664525u + 1013904223u;
    return *seed >> 16;
}

static const char *random_place(Arena *arena, uint32_t *seed, const char *name)
{
    Buffer out = buffer_make(arena);
    buffer_format(&out, "place %s \"A place\"\n", name);
    for (uint32_t n = next(seed) % 4; n > 0; n--) {
        const char *who = deciders[next(seed) % JURISDICTIONS];
        buffer_format(&out, "fire decided by %s where %s\n", who,
                      conditions[next(seed) % CONDITIONS]);
    }
    buffer_format(&out, "fire decided by %s\nend\n", deciders[next(seed) % JURISDICTIONS]);
    return text_string(arena, buffer_done(&out));
}

static const char *random_level(Arena *arena, uint32_t *seed, const char *head)
{
    static const char *const limits[] = {"20 in", "22 in", "24 in", "26 in"};
    Text change = next(seed) % 4 == 0
                      ? TEXT("delete \"4\"\n")
                      : text_format(arena, "amend \"4\" limit to %s\n", limits[next(seed) % 4]);
    return text_string(arena, text_format(arena,
                                          "jurisdiction %s within halloway\n" AMEND(
                                              "amend \"3\" limit to %s\n") "%.*send\n",
                                          head, limits[next(seed) % 4], TEXT_ARG(change)));
}

/* True when nothing is asked of the unit, or it meets it. */
static bool passes(const Review *review, const char *number)
{
    bool good = true;
    for (uint32_t i = 0; i < review->finding_count; i++) {
        const Finding *finding = &review->findings[i];
        if (text_equal(finding->section->number, text_of(number))) {
            good = good && finding_class(finding) == FINDING_PASSES;
        }
    }
    return good;
}

/* Who decides for the unit of a place's review. */
static const Name *decider(const LawUnion *law, World *world, const char *facts)
{
    if (law->part_count == 1) {
        return law->parts[0]->tree->jurisdiction->name;
    }
    const Source *source = source_of(world->arena, TEXT("x.yaml"), text_of(facts));
    const Spec *spec =
        spec_read(world->arena, world->names, law->law->vocabulary, source, &world->diags);
    ReviewOptions how = {.on = world_day("2024-06-01"), .stage = STAGE_PLAN};
    for (uint32_t i = 0; i < law->part_count; i++) {
        const Review *review = review_make(world->arena, law->parts[i], spec, &how);
        for (uint32_t k = 0; k < law->parts[i]->holding_count; k++) {
            if (review->held[k].truth == TRUTH_TRUE) {
                return law->parts[i]->tree->jurisdiction->name;
            }
        }
    }
    ck_abort_msg("nobody decides");
    return NULL;
}

/* Of one line of a comparison, for a unit of which it speaks. */
static void check_line(const ComparedLine *line, const Review *a, const Review *b,
                       const char *number)
{
    bool one = passes(a, number);
    bool other = passes(b, number);
    switch ((Relation)line->relation) {
    case RELATION_SAME: ck_assert(one == other); break;
    case RELATION_STRICTER: ck_assert(one || !other); break;
    case RELATION_LOOSER: ck_assert(!one || other); break;
    case RELATION_DIFFERENT:
    case RELATION_ONLY_HERE:
    case RELATION_NOT_DECIDED: break;
    }
}

static void check_unit(World *world, const LawComparison *c, const LawUnion *a, const LawUnion *b,
                       const char *facts)
{
    const Review *one = review_place(world, a, facts);
    const Review *other = review_place(world, b, facts);
    const Name *who[2] = {decider(a, world, facts), decider(b, world, facts)};
    for (uint32_t t = 0; t < c->topic_count; t++) {
        for (uint32_t i = 0; i < c->topics[t].section_count; i++) {
            const ComparedSection *section = &c->topics[t].sections[i];
            const Section *named = section->section[section->section[0] == NULL];
            for (uint32_t k = 0; k < section->line_count; k++) {
                const ComparedLine *line = &section->lines[k];
                bool spoken = true;
                for (int side = 0; side < 2; side++) {
                    const TextInForce *text = line->side[side].text;
                    spoken = spoken && (text == NULL || text->decides == NULL ||
                                        text_equal(text->decides->name->text, who[side]->text));
                }
                if (spoken) {
                    check_line(line, one, other, text_string(world->arena, named->number));
                }
            }
        }
    }
}

static const LawUnion *one_law(World *world, const char *name)
{
    const Law **laws = ARENA_ARRAY(world->arena, const Law *, 1);
    laws[0] = plain_law(world, name);
    return law_unite(world->arena, laws, 1);
}

static void check_claims(World *world, const LawUnion *a, const LawUnion *b)
{
    const LawComparison *there = law_compare(world->arena, a->law, b->law, NULL, 0);
    const LawComparison *back = law_compare(world->arena, b->law, a->law, NULL, 0);
    ck_assert_uint_eq(there->counts[RELATION_STRICTER], back->counts[RELATION_LOOSER]);
    ck_assert_uint_eq(there->counts[RELATION_LOOSER], back->counts[RELATION_STRICTER]);
    ck_assert_uint_eq(there->counts[RELATION_SAME], back->counts[RELATION_SAME]);
    ck_assert_uint_eq(there->counts[RELATION_DIFFERENT], back->counts[RELATION_DIFFERENT]);
    ck_assert_uint_eq(there->only[0], back->only[1]);
    static const int depths[] = {20, 22, 23, 24, 25, 26, 27};
    for (int units = 0; units < 4; units++) {
        for (size_t d = 0; d < sizeof depths / sizeof *depths; d++) {
            Text facts = text_format(world->arena,
                                     "permits: none\nwidth: %d in\nheight: %d in\ndepth: %d in\n",
                                     units & 1 ? 2 : 1, units & 2 ? 3 : 2, depths[d]);
            check_unit(world, there, a, b, text_string(world->arena, facts));
        }
    }
}

START_TEST(test_claims)
{
    uint32_t seed = 5;
    for (int n = 0; n < RANDOM_PLACES; n++) {
        Arena *arena = arena_new();
        World world =
            WORLD(FACTS, LARDER(DEPTH("3", "authority fire") DEPTH("4", "authority fire")),
                  STATE(ALL), random_level(arena, &seed, "quillmark \"Quillmark County\""),
                  random_level(arena, &seed, "brim \"Brim\""),
                  random_place(arena, &seed, "landing"), random_place(arena, &seed, "other"));
        expect_none(&world);
        const LawUnion *law = whole_law(&world);
        expect_same(&world, law->law, law->law);
        expect_same(&world, law->law, whole_law(&world)->law);
        check_claims(&world, law, law_of_place(&world, "other"));
        for (int i = 0; i < JURISDICTIONS; i++) {
            check_claims(&world, law, one_law(&world, deciders[i]));
        }
        world_free(&world);
        arena_free(arena);
    }
}
END_TEST

Suite *compare_place_suite(void);

Suite *compare_place_suite(void)
{
    Suite *suite = suite_create("compare_place");
    TCase *tcase = tcase_create("compare_place");
    tcase_add_test(tcase, test_one_section);
    tcase_add_test(tcase, test_not_all);
    tcase_add_test(tcase, test_silenced_in_one);
    tcase_add_test(tcase, test_deleted_in_one);
    tcase_add_test(tcase, test_findings_once);
    tcase_add_test(tcase, test_other_items);
    tcase_add_test(tcase, test_claims);
    suite_add_tcase(suite, tcase);
    return suite;
}
