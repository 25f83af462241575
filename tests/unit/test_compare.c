/* compare: what is claimed of two rules, and what is not. No published source: the relations are
 * those of docs/compare.md, and each case is the smallest pair of rules that shows one. */
#include <stdio.h>

#include "check_world.h"

#include "command/command.h"
#include "judge/compare_findings.h"

typedef struct Pair {
    const char *a, *b; /* what stands in section "1" */
    Relation relation; /* of b, seen from a, of its one line */
} Pair;

#define EACH "each o of openings where o.use is service "

static const Pair pairs[] = {
    /* limits that are constants, in whatever unit */
    {"shall aisle <= 24 in", "shall aisle <= 24 in", RELATION_SAME},
    {"shall aisle <= 24 in", "shall aisle <= 2 ft", RELATION_SAME},
    {"shall aisle <= 24 in", "shall aisle <= 20 in", RELATION_STRICTER},
    {"shall aisle >= 24 in", "shall aisle >= 20 in", RELATION_LOOSER},
    {"shall aisle <= 24 in", "shall aisle < 24 in", RELATION_STRICTER},
    {"shall aisle <= 24 in", "shall aisle < 24.000001 in", RELATION_LOOSER},
    {"shall aisle <= 24 in", "shall not aisle > 24 in", RELATION_SAME},
    {"shall aisle >= 24 in", "shall aisle <= 24 in", RELATION_DIFFERENT},
    {"shall cold <= 41 degF", "shall cold <= 5 degC", RELATION_SAME},
    {"shall cold <= 41 degF", "shall cold <= 4 degC", RELATION_STRICTER},
    {"shall main_duty <= heavy", "shall main_duty <= medium", RELATION_STRICTER},
    {"shall built on or after 2020-01-01", "shall built after 2019-12-31", RELATION_LOOSER},
    {"shall built >= review_date - 270 day", "shall built >= review_date - 180 day",
     RELATION_STRICTER},
    /* products and sums: by the bounds of the vocabulary, or not at all */
    {"shall floor <= 3 * aisle * aisle", "shall floor <= 2 * aisle * aisle", RELATION_STRICTER},
    {"shall aisle <= 3 * aisle", "shall aisle <= aisle * 3", RELATION_SAME},
    {"shall aisle >= 150% of pass_width, required", "shall aisle >= 120% of pass_width, required",
     RELATION_LOOSER},
    {"shall aisle >= pass_width + 2 in, required", "shall aisle >= pass_width + 3 in, required",
     RELATION_STRICTER},
    {"shall aisle >= 150% of headroom, required", "shall aisle >= 120% of headroom, required",
     RELATION_NOT_DECIDED}, /* nothing says that it is not below zero */
    {"shall aisle >= pass_width, required", "shall aisle >= 61 in", RELATION_DIFFERENT},
    {"shall floor >= aisle * 1 in", "shall floor >= 2 in2", RELATION_NOT_DECIDED},
    /* max, min, choices, rounding, tables */
    {"shall aisle >= 30 in", "shall aisle >= max(30 in, 20% of aisle)", RELATION_STRICTER},
    {"shall aisle >= 30 in", "shall aisle >= min(30 in, 20% of aisle)", RELATION_LOOSER},
    {"shall aisle >= (30 in if tested is yes otherwise 40 in)",
     "shall aisle >= (32 in if tested is yes otherwise 40 in)", RELATION_STRICTER},
    {"shall aisle >= (30 in if tested is yes otherwise 40 in)",
     "shall aisle >= (32 in if tested is yes otherwise 38 in)", RELATION_NOT_DECIDED},
    {"shall seats >= round up to 1 of aisle / 10 in",
     "shall seats >= round up to 1 of aisle / 5 in", RELATION_STRICTER},
    /* conditions: one more asks less, a wider one asks more */
    {"shall aisle >= 24 in", "when tested is yes shall aisle >= 24 in", RELATION_LOOSER},
    {"when floor < 18 in2 shall aisle >= 24 in", "when floor < 24 in2 shall aisle >= 24 in",
     RELATION_STRICTER},
    {"when tested is yes shall aisle >= 24 in", "when tested is no shall aisle >= 24 in",
     RELATION_DIFFERENT},
    {"when tested is yes shall aisle >= 24 in", "when tested is yes shall aisle >= 25 in",
     RELATION_STRICTER},
    {"when tested is yes shall aisle >= 24 in", "shall aisle >= 23 in", RELATION_DIFFERENT},
    {"each t of tanks shall t.capacity >= 5 gal",
     "each v of tanks where v.holds is waste shall v.capacity >= 5 gal", RELATION_LOOSER},
    {"each t of tanks where t.holds is waste shall t.capacity >= 5 gal",
     "each v of tanks when v.holds is waste shall v.capacity >= 5 gal", RELATION_SAME},
    {"not for units under permit before 1998-01-01 shall aisle >= 24 in",
     "not for units under permit before 1996-01-01 shall aisle >= 24 in", RELATION_STRICTER},
    {"not for units under permit on 1997-12-31 shall aisle >= 24 in",
     "not for units under permit before 1998-01-01 shall aisle >= 24 in", RELATION_SAME},
    {"shall aisle >= 24 in", "for units where tested is yes shall aisle >= 24 in", RELATION_LOOSER},
    /* exceptions */
    {"shall aisle >= 24 in", "shall aisle >= 24 in except where tested is yes", RELATION_LOOSER},
    {"shall aisle >= 24 in", "shall aisle >= 24 in except with approval of \"the chief\"",
     RELATION_LOOSER},
    {"shall aisle >= 24 in", "shall aisle >= 24 in except where tested is yes shall aisle >= 20 in",
     RELATION_LOOSER},
    {"shall aisle >= 24 in", "shall aisle >= 24 in except where tested is yes shall aisle >= 28 in",
     RELATION_DIFFERENT},
    {"shall aisle >= 24 in except where floor > 9 in2",
     "shall aisle >= 24 in except where floor > 4 in2", RELATION_LOOSER},
    {"shall aisle >= 24 in except where tested is yes",
     "shall aisle >= 24 in except where tested is no", RELATION_DIFFERENT},
    /* absence */
    {"shall headroom >= 6 ft, if provided", "shall headroom >= 6 ft, required", RELATION_STRICTER},
    {"shall headroom >= 6 ft, required", "shall headroom >= 6 ft, or 0 ft if none",
     RELATION_DIFFERENT},
    /* what is asked, where it is no limit */
    {"shall tested is yes", "shall tested is yes and aisle >= 24 in", RELATION_STRICTER},
    {"shall every t of tanks: t.capacity >= 5 gal", "shall every v of tanks: v.capacity >= 6 gal",
     RELATION_STRICTER},
    {"shall no t of tanks: t.capacity >= 5 gal", "shall no t of tanks: t.capacity >= 6 gal",
     RELATION_LOOSER},
    {"shall no t of tanks: t.capacity < 5 gal", "shall no t of tanks: t.capacity <= 5 gal",
     RELATION_STRICTER},
    {"shall main_duty among (light, medium)", "shall main_duty among (medium)", RELATION_STRICTER},
    {"shall basin holds 9 in x 9 in x 5 in", "shall basin holds 9 in x 10 in x 5 in",
     RELATION_STRICTER},
    {"shall basin holds 9 in x 9 in x 5 in",
     "shall basin holds 9 in x 9 in x 5 in in any orientation", RELATION_LOOSER},
    {"shall aisle within 1 in of 24 in", "shall aisle within 1/2 in of 24 in", RELATION_STRICTER},
    {"shall tested is yes or aisle >= 24 in", "shall aisle >= 24 in or tested is yes",
     RELATION_SAME},
    {"shall tested is yes", "shall floor >= 4 in2", RELATION_DIFFERENT},
    {"at the discretion of \"chief\" \"smooth\"", "at the discretion of \"chief\" \"smooth\"",
     RELATION_SAME},
    {"at the discretion of \"chief\" \"smooth\"", "at the discretion of \"clerk\" \"smooth\"",
     RELATION_DIFFERENT},
    /* definitions are seen through, whatever they are called */
    {"define most = aisle * 2 shall most >= 24 in", "define wide = 2 * aisle shall wide >= 25 in",
     RELATION_STRICTER},
    {"define twice(of_it: length) = 2 * of_it shall twice(aisle) >= 24 in",
     "define double(an: length) = 2 * an shall double(aisle) >= 24 in", RELATION_SAME},
    {"define most = aisle * 2 shall aisle >= most", "define most = aisle * 3 shall aisle >= most",
     RELATION_STRICTER},
    /* readings that are open: the same, or different in kind */
    {"reading a define most = 1 in reading b define most = 2 in shall aisle >= most",
     "reading a define most = 1 in reading b define most = 2 in shall aisle >= most",
     RELATION_SAME},
    {"reading a define most = 1 in reading b define most = 2 in shall aisle >= most",
     "reading a define most = 1 in reading b define most = 3 in shall aisle >= most",
     RELATION_DIFFERENT},
};

static Relation turned(Relation relation)
{
    return relation == RELATION_STRICTER ? RELATION_LOOSER
           : relation == RELATION_LOOSER ? RELATION_STRICTER
                                         : relation;
}

static const Law *law_of_section(Checked *checked, const char *body)
{
    static char text[2048];
    ck_assert_int_lt(snprintf(text, sizeof text,
                              "code larder edition 2024\n  ranks core, priority\n  basis invented\n"
                              "section \"1\" topic space.aisle %s end\nend\n",
                              body),
                     (int)sizeof text);
    *checked = check_text_of(text, false);
    ck_assert_msg(checked->world.diags.errors == 0, "%s\n%s", body, world_errors(&checked->world));
    return checked->law;
}

static void expect_relation(const char *a, const char *b, Relation relation)
{
    Checked one;
    Checked other;
    Arena *arena = arena_new();
    const Law *first = law_of_section(&one, a);
    const Law *second = law_of_section(&other, b);
    const LawComparison *comparison = law_compare(arena, first, second, NULL, 0);
    for (int i = 0; i < RELATION_COUNT; i++) {
        ck_assert_msg((comparison->counts[i] > 0) == (i == (int)relation),
                      "relation %d, not %d:\n%s\n%s", i, (int)relation, a, b);
    }
    arena_free(arena);
    done(&one);
    done(&other);
}

START_TEST(test_pair)
{
    expect_relation(pairs[_i].a, pairs[_i].b, pairs[_i].relation);
    expect_relation(pairs[_i].b, pairs[_i].a, turned(pairs[_i].relation));
    expect_relation(pairs[_i].a, pairs[_i].a, RELATION_SAME);
}
END_TEST

/* ---- laws ---- */

#define HEAD "code larder edition 2024\n ranks core, priority\n basis invented\n"

static const LawComparison *compare_codes(Arena *arena, Checked *one, Checked *other, const char *a,
                                          const char *b, const char *topic)
{
    *one = check_text_of(a, false);
    *other = check_text_of(b, false);
    ck_assert_uint_eq(one->world.diags.errors, 0);
    ck_assert_uint_eq(other->world.diags.errors, 0);
    Text topics[1] = {text_of(topic)};
    return law_compare(arena, one->law, other->law, topics, topic == NULL ? 0 : 1);
}

static const char first_code[] = HEAD
    "section \"1\" topic space.aisle rank core shall a: aisle >= 1 in shall b: aisle <= 9 in end\n"
    "section \"2\" topic space.hood shall tested is yes end\n"
    "section \"3\" topic space.hood shall headroom >= 6 ft, required end\nend\n";
static const char second_code[] =
    HEAD "section \"1\" topic space.aisle rank priority shall a: aisle >= 2 in end\n"
         "section \"2\" topic space.aisle shall floor >= 4 in2 end\n"
         "section \"33\" topic space.hood shall headroom >= 7 ft, required end\nend\n";

/* A number that both have of two topics is two sections; what measures one thing in one topic is
 * one requirement, whatever its number; a line that one side lacks is only there. */
START_TEST(test_alignment)
{
    Arena *arena = arena_new();
    Checked one;
    Checked other;
    const LawComparison *c = compare_codes(arena, &one, &other, first_code, second_code, NULL);
    ck_assert_uint_eq(c->counts[RELATION_STRICTER], 2);
    ck_assert_uint_eq(c->only[0], 2);
    ck_assert_uint_eq(c->only[1], 1);
    ck_assert_uint_eq(c->counts[RELATION_ONLY_HERE], 3);
    ck_assert_uint_eq(c->noted, 1);
    ck_assert(!law_comparison_is_same(c));
    const ComparedSection *hood = &c->topics[1].sections[1];
    ck_assert_uint_eq(hood->aligned, ALIGNED_TOPIC);
    ck_assert(text_equal(hood->section[1]->number, TEXT("33")));
    ck_assert_uint_eq(c->topics[0].sections[0].notes, NOTE_RANK);
    done(&one);
    done(&other);
    arena_free(arena);
}
END_TEST

START_TEST(test_topics)
{
    Arena *arena = arena_new();
    Checked one;
    Checked other;
    const LawComparison *c =
        compare_codes(arena, &one, &other, first_code, second_code, "space.hood");
    ck_assert_uint_eq(c->counts[RELATION_STRICTER], 1);
    ck_assert_uint_eq(c->only[0], 1);
    ck_assert_uint_eq(c->only[1], 0);
    done(&one);
    done(&other);
    c = compare_codes(arena, &one, &other, first_code, second_code, "space");
    ck_assert_uint_eq(c->only[0], 2);
    done(&one);
    done(&other);
    ck_assert(topic_covers(TEXT("space"), TEXT("space.hood")));
    ck_assert(!topic_covers(TEXT("space.ho"), TEXT("space.hood")));
    arena_free(arena);
}
END_TEST

/* A section that another one silences is silent for the same units, or it asks something else. */
START_TEST(test_silenced)
{
    static const char plain[] = HEAD "section \"1\" topic space.aisle shall aisle >= 1 in end\n"
                                     "section \"2\" topic space.hood when tested is yes "
                                     "shall floor >= 4 in2 end\nend\n";
    static const char silent[] = HEAD "section \"1\" topic space.aisle shall aisle >= 1 in end\n"
                                      "section \"2\" topic space.hood notwithstanding \"1\" "
                                      "when tested is yes shall floor >= 4 in2 end\nend\n";
    Arena *arena = arena_new();
    Checked one;
    Checked other;
    const LawComparison *c = compare_codes(arena, &one, &other, plain, silent, NULL);
    ck_assert_uint_eq(c->counts[RELATION_LOOSER], 1);
    ck_assert_uint_eq(c->counts[RELATION_SAME], 1);
    done(&one);
    done(&other);
    arena_free(arena);
}
END_TEST

/* ---- tables ---- */

START_TEST(test_tables)
{
    static const char *const cells[] = {"800 1100 1400", "800 1200 1400", "900 1000 1500"};
    static const Relation expected[3][3] = {
        {RELATION_SAME, RELATION_STRICTER, RELATION_NOT_DECIDED},
        {RELATION_LOOSER, RELATION_SAME, RELATION_NOT_DECIDED},
        {RELATION_NOT_DECIDED, RELATION_NOT_DECIDED, RELATION_SAME}};
    static char texts[3][512];
    for (int i = 0; i < 3; i++) {
        int light = 0;
        int medium = 0;
        int heavy = 0;
        ck_assert_int_eq(sscanf(cells[i], "%d %d %d", &light, &medium, &heavy), 3);
        (void)snprintf(texts[i], sizeof texts[i],
                       HEAD "table rate by duty: duty in cfm\n  light %d\n  medium %d\n  heavy %d\n"
                            "end\nsection \"1\" topic space.hood shall flow >= rate(main_duty) "
                            "end\nend\n",
                       light, medium, heavy);
    }
    for (int i = 0; i < 3; i++) {
        for (int j = 0; j < 3; j++) {
            Arena *arena = arena_new();
            Checked one;
            Checked other;
            const LawComparison *c = compare_codes(arena, &one, &other, texts[i], texts[j], NULL);
            ck_assert_uint_eq(c->counts[expected[i][j]], 1);
            done(&one);
            done(&other);
            arena_free(arena);
        }
    }
}
END_TEST

/* ---- permits and floors ---- */

static const char state[] = "code larder edition 2024\n basis invented\n"
                            "section \"1\" topic space.aisle shall aisle >= 24 in end\nend\n"
                            "jurisdiction halloway \"State of Halloway\"\n"
                            "adopts larder edition 2024 in force from 2024-01-01 by \"Reg. 1\"\n"
                            "locally at least as strict in \"1\"\nend\n"
                            "jurisdiction quillmark \"Quillmark\" within halloway\n"
                            "amends larder edition 2024 in force from 2025-01-01 by \"Ord. 1\"\n"
                            "amend \"1\" to read for units permitted on or after 2025-01-01 shall "
                            "aisle >= 30 in end\nend\n";

/* The county's text for new units is stricter, the state's stands for the others and beside it. */
START_TEST(test_permits)
{
    World world = WORLD(check_vocabulary, state);
    expect_none(&world);
    const Law *laws[2];
    static const char *const names[] = {"halloway", "quillmark"};
    for (int i = 0; i < 2; i++) {
        LawTree *tree = world_law(&world, names[i], "2025-06-01");
        laws[i] = law_check(world.arena, world.library, tree, false, &world.diags);
    }
    expect_none(&world);
    const LawComparison *c = law_compare(world.arena, laws[0], laws[1], NULL, 0);
    ck_assert_uint_eq(c->counts[RELATION_STRICTER], 1);
    ck_assert_uint_eq(c->counts[RELATION_ONLY_HERE], 0);
    ck_assert_uint_ge(c->counts[RELATION_SAME], 2); /* older units, and the floor */
    const ComparedSection *section = &c->topics[0].sections[0];
    ck_assert_int_eq(section->lines[0].permitted_before, world_day("2025-01-01"));
    ck_assert_uint_eq(section->lines[0].relation, RELATION_SAME);
    ck_assert_uint_eq(section->lines[1].relation, RELATION_STRICTER);
    ck_assert(section->lines[section->line_count - 1].floor);
    world_free(&world);
}
END_TEST

/* ---- work ---- */

static uint64_t steps_of(unsigned sections)
{
    Arena *arena = arena_new();
    Buffer out = buffer_make(arena);
    buffer_string(&out, "code larder edition 2024\n basis invented\n");
    for (unsigned i = 1; i <= sections; i++) {
        buffer_format(&out,
                      "section \"%u\" topic space.aisle each t of tanks where t.holds is waste "
                      "define most = 110%% of t.capacity + %u gal shall most >= %u gal "
                      "except where tested is yes shall most >= %u gal end\n",
                      i, i, i * 2, i);
    }
    buffer_string(&out, "end\njurisdiction halloway \"Halloway\"\n"
                        "adopts larder edition 2024 in force from 2024-01-01 by \"Reg. 1\"\nend\n");
    for (int county = 0; county < 2; county++) {
        buffer_format(&out,
                      "jurisdiction county%d \"County\" within halloway\n"
                      "amends larder edition 2024 in force from 2025-01-01 by \"Ord. 1\"\n",
                      county);
        for (unsigned i = 1; i <= sections; i += 2) {
            buffer_format(&out, "amend \"%u\" limit to %u gal\n", i, i * 3 + (unsigned)county);
        }
        buffer_string(&out, "end\n");
    }
    char *text = text_string(arena, buffer_done(&out));
    World world = WORLD(check_vocabulary, text);
    expect_none(&world);
    const Law *laws[2];
    static const char *const names[] = {"county0", "county1"};
    for (int i = 0; i < 2; i++) {
        LawTree *tree = world_law(&world, names[i], "2025-06-01");
        laws[i] = law_check(world.arena, world.library, tree, false, &world.diags);
    }
    expect_none(&world);
    const LawComparison *c = law_compare(world.arena, laws[0], laws[1], NULL, 0);
    ck_assert_uint_eq(c->counts[RELATION_STRICTER], (sections + 1) / 2);
    uint64_t steps = c->steps;
    world_free(&world);
    arena_free(arena);
    return steps;
}

/* Issue: two counties of 200 sections, linear in sections. */
START_TEST(test_linear)
{
    uint64_t small = steps_of(100);
    uint64_t large = steps_of(200);
    uint64_t larger = steps_of(400);
    ck_assert_uint_le(large, small * 21 / 10);
    ck_assert_uint_le(larger, large * 21 / 10);
    ck_assert_uint_le(large, 200 * 400);
}
END_TEST

/* ---- --between ---- */

static bool read_words(Arena *arena, const char *const *words, Run *run)
{
    static const Option options[] = {
        {"--between", "FROM TO", "two"}, {"--on", "DATE", "one"}, {NULL, NULL, NULL}};
    static const Command command = {.name = "try", .operands = "", .about = "", .options = options};
    *run = (Run){.arena = arena, .program = "shall", .command = &command};
    return arguments_read(run, words);
}

START_TEST(test_two_values)
{
    Arena *arena = arena_new();
    Run run;
    const char *const apart[] = {"--between", "a", "b", "c", NULL};
    const char *const joined[] = {"--between=a", "b", "--on", "x", "c", NULL};
    const char *const one[] = {"--between", "a", NULL};
    const char *const half[] = {"--between=a", NULL};
    ck_assert(read_words(arena, apart, &run));
    ck_assert_str_eq(run.arguments.given[0].value, "a");
    ck_assert_str_eq(run.arguments.given[0].second, "b");
    ck_assert_uint_eq(run.arguments.operand_count, 1);
    ck_assert(read_words(arena, joined, &run));
    ck_assert_str_eq(run.arguments.given[0].second, "b");
    ck_assert_ptr_null(run.arguments.given[1].second);
    ck_assert_str_eq(run.arguments.operands[0], "c");
    ck_assert(!read_words(arena, one, &run));
    ck_assert(!read_words(arena, half, &run));
    arena_free(arena);
}
END_TEST

Suite *compare_suite(void);

Suite *compare_suite(void)
{
    Suite *suite = suite_create("compare");
    TCase *tcase = tcase_create("compare");
    LOOP(tcase, test_pair, pairs);
    tcase_add_test(tcase, test_alignment);
    tcase_add_test(tcase, test_topics);
    tcase_add_test(tcase, test_silenced);
    tcase_add_test(tcase, test_tables);
    tcase_add_test(tcase, test_permits);
    tcase_add_test(tcase, test_linear);
    tcase_add_test(tcase, test_two_values);
    suite_add_tcase(suite, tcase);
    return suite;
}
