/* law/one_text: exactly one text for each section, review date and permit date (meaning.md 7). The
 * assembly makes no law that breaks the rule, so laws are broken here by hand. All demo law is
 * invented. */
#include <check.h>

#include "law/one_text.h"
#include "law_world.h"

#define FOR_CARTS "for units where width <= 10 in "
#define C1 AMENDS("1", "2025-03-01", "Ord. 1")

/* Section "1" is amended for units permitted on or after 2025-03-01; "2" is made for units
 * permitted on or after 2024-07-01; "3" is deleted; "4" is as it always was; "5" is for carts. */
static World make(void)
{
    World world = WORLD(VOCABULARY,
                        CODE("1", SECTION("1") "section \"2\" for units permitted on or after "
                                               "2024-07-01 shall width <= 9 in end\n" SECTION("3")
                                                   SECTION("4") "section \"5\" " FOR_CARTS
                                                                "shall width <= 8 in end\n"),
                        STATE(ADOPTS("1", "2025-01-01", "Reg. 1")),
                        COUNTY(C1 "amend \"1\" to read for units permitted on or after 2025-03-01 "
                                  "shall width <= 20 in end\ndelete \"3\"\n"));
    expect_none(&world);
    return world;
}

static LawTree *make_law(World *world)
{
    LawTree *law = world_law(world, "quillmark", "2025-06-01");
    expect_none(world);
    ck_assert_uint_eq(law->sections[0].text_count, 2);
    return law;
}

static const char *units_law = "in the law of 'quillmark' on 2025-06-01";

static void expect_broken(World *world, const LawTree *law, const char *name, const char *at,
                          const char *also, const char *note, const char *says, int line)
{
    (void)one_text_check(world->arena, law, &world->diags);
    world_expect(world, name, at, also, note, line);
    const char *message = text_string(world->arena, world->diags.first->message);
    ck_assert_msg(strstr(message, says) != NULL, "line %d: not '%s': %s", line, says, message);
    ck_assert_msg(strstr(message, units_law) != NULL, "line %d: not on which day: %s", line,
                  message);
}
#define ck_broken(world, law, name, at, also, note, says) \
    expect_broken((world), (law), (name), (at), (also), (note), (says), __LINE__)

static void expect_whole(World *world, const LawTree *law, int line)
{
    uint64_t looked_at = one_text_check(world->arena, law, &world->diags);
    world_expect_none(world, line);
    ck_assert_msg(looked_at >= law->section_count, "line %d: not every section", line);
}
#define ck_whole(world, law) expect_whole((world), (law), __LINE__)

START_TEST(a_law_as_it_is_assembled_is_whole)
{
    World world = make();
    const LawTree *law = make_law(&world);
    ck_assert_uint_eq(one_text_check(world.arena, law, &world.diags), 6); /* "1" and "2" twice */
    expect_none(&world);
    for (uint32_t i = 0; i < world.library->jurisdiction_count; i++) {
        ck_assert_uint_gt(
            law_one_text(world.arena, world.library, world.library->jurisdictions[i], &world.diags),
            0);
    }
    ck_whole(&world, law_of_code(world.arena, world.library, world.library->codes[0]));
    world_free(&world);
}
END_TEST

START_TEST(texts_that_overlap_by_one_day_are_told_with_the_day)
{
    World world = make();
    LawTree *law = make_law(&world);
    law->sections[0].texts[0].permitted_before = world_day("2025-03-02");
    ck_broken(&world, law, "two texts", "amend", "\"1\"", "the other text",
              "section '1' has two texts for units permitted on 2025-03-01");
    world_free(&world);
    world = make();
    law = make_law(&world);
    law->sections[0].texts[1].permitted_from = world_day("2025-02-28");
    ck_broken(&world, law, "two texts", "amend", "\"1\"", "the other text",
              "units permitted on 2025-02-28");
    world_free(&world);
    world = make();
    law = make_law(&world);
    law->sections[0].texts[1].permitted_from = INT32_MIN;
    ck_broken(&world, law, "two texts", "amend", "\"1\"", "the other text",
              "units permitted on 2025-02-28"); /* the last day before the next text */
    world_free(&world);
}
END_TEST

START_TEST(a_gap_of_one_day_is_told_with_the_day)
{
    World world = make();
    LawTree *law = make_law(&world);
    law->sections[0].texts[1].permitted_from = world_day("2025-03-02");
    ck_broken(&world, law, "no text", "\"1\"", "amend", "a text that it has for others",
              "section '1' has no text for units permitted on 2025-03-01");
    world_free(&world);
    world = make();
    law = make_law(&world);
    law->sections[0].texts[0].permitted_before = world_day("2025-02-28");
    ck_broken(&world, law, "no text", "\"1\"", "\"1\"", "a text that it has for others",
              "units permitted on 2025-02-28");
    world_free(&world);
    world = make();
    law = make_law(&world);
    law->sections[0].texts[0].permitted_from = world_day("1990-01-01");
    ck_broken(&world, law, "no text", "\"1\"", "\"1\"", "a text that it has for others",
              "units permitted on 1989-12-31");
    world_free(&world);
    world = make();
    law = make_law(&world);
    law->sections[3 - 1].text_count = 0; /* "4": "3" is deleted */
    ck_broken(&world, law, "no text", "\"4\"", NULL, "",
              "section '4' has no text for units whenever permitted");
    world_free(&world);
    world = make();
    law = make_law(&world);
    law->sections[2].texts[0].floor = true; /* a floor is beside a text, not instead of one */
    ck_broken(&world, law, "no text", "\"4\"", NULL, "", "section '4' has no text");
    world_free(&world);
}
END_TEST

START_TEST(a_section_made_for_later_units_needs_no_text_for_earlier_ones)
{
    World world = make();
    LawTree *law = make_law(&world);
    TextTree *text = &law->sections[1].texts[0];
    ck_assert_int_eq(text->permitted_from, world_day("2024-07-01"));
    ck_whole(&world, law);
    text->permitted_from = world_day("2024-06-30"); /* more than it must */
    ck_whole(&world, law);
    text->permitted_from = world_day("2024-07-02");
    ck_broken(&world, law, "no text", "\"2\"", "\"2\"", "", "units permitted on 2024-07-01");
    world_free(&world);
}
END_TEST

/* ---- units ---- */

/* Conditions as the trees hold them, of the code's fifth section and of nowhere. */
static ScopeTree scope_of(const Expr *conditions, const Source *source, bool negated)
{
    return (ScopeTree){.conditions = conditions, .source = source, .negated = negated};
}

typedef struct Split { /* section "4" with texts for different units */
    World world;
    LawTree *law;
    TextTree texts[4];
    ScopeTree scopes[4][2];
    Expr low, wide; /* two conditions, written nowhere */
} Split;

static Split *split_make(Arena *arena, uint32_t count)
{
    Split *split = ARENA_NEW(arena, Split);
    split->world = make();
    split->law = make_law(&split->world);
    for (uint32_t i = 0; i < count; i++) {
        split->texts[i] = split->law->sections[2].texts[0];
        split->texts[i].scopes = split->scopes[i];
    }
    split->law->sections[2].texts = split->texts;
    split->law->sections[2].text_count = count;
    return split;
}

static void split_put(Split *split, uint32_t text, const Expr *conditions, bool negated)
{
    TextTree *tree = &split->texts[text];
    split->scopes[text][tree->scope_count++] = scope_of(conditions, NULL, negated);
}

START_TEST(texts_for_units_that_exclude_each_other_are_one_text)
{
    Arena *arena = arena_new();
    Split *split = split_make(arena, 2); /* low | not low */
    split_put(split, 0, &split->low, false);
    split_put(split, 1, &split->low, true);
    ck_whole(&split->world, split->law);
    world_free(&split->world);
    split = split_make(arena, 3); /* low | not low, wide | not low, not wide */
    split_put(split, 0, &split->low, false);
    split_put(split, 1, &split->low, true);
    split_put(split, 1, &split->wide, false);
    split_put(split, 2, &split->wide, true);
    split_put(split, 2, &split->low, true);
    ck_whole(&split->world, split->law);
    world_free(&split->world);
    split = split_make(arena, 2); /* low and wide | not both */
    split->low.next = &split->wide;
    split_put(split, 0, &split->low, false);
    split_put(split, 1, &split->low, true);
    ck_whole(&split->world, split->law);
    world_free(&split->world);
    split = split_make(arena, 2); /* low and wide | not both, for other permit dates */
    split->low.next = &split->wide;
    split_put(split, 0, &split->low, false);
    split->texts[0].permitted_before = split->texts[1].permitted_from = 0;
    (void)one_text_check(arena, split->law, &split->world.diags);
    expect(&split->world, "no text", "\"4\"", "\"4\"", "");
    world_free(&split->world);
    arena_free(arena);
}
END_TEST

START_TEST(texts_for_the_same_units_are_two)
{
    Arena *arena = arena_new();
    Split *split = split_make(arena, 2); /* low | low */
    split_put(split, 0, &split->low, false);
    split_put(split, 1, &split->low, false);
    ck_broken(&split->world, split->law, "two texts", "\"4\"", "\"4\"", "the other text",
              "section '4' has two texts for units whenever permitted");
    world_free(&split->world);
    split = split_make(arena, 2); /* low | wide: some are both */
    split_put(split, 0, &split->low, false);
    split_put(split, 1, &split->wide, false);
    ck_broken(&split->world, split->law, "two texts", "\"4\"", "\"4\"", "the other text", "");
    world_free(&split->world);
    split = split_make(arena, 2); /* low and wide | not wide and not low both: one that is low */
    split->low.next = &split->wide;
    split_put(split, 0, &split->low, false);
    split_put(split, 1, &split->wide, false);
    ck_broken(&split->world, split->law, "two texts", "\"4\"", "\"4\"", "the other text", "");
    world_free(&split->world);
    split = split_make(arena, 2); /* low | everybody */
    split_put(split, 0, &split->low, false);
    ck_broken(&split->world, split->law, "two texts", "\"4\"", "\"4\"", "the other text", "");
    world_free(&split->world);
    arena_free(arena);
}
END_TEST

START_TEST(units_that_no_text_names_are_told)
{
    Arena *arena = arena_new();
    Split *split = split_make(arena, 1); /* low | nobody */
    split_put(split, 0, &split->low, false);
    ck_broken(&split->world, split->law, "no text", "\"4\"", "\"4\"",
              "a text that it has for others", "no text for some units whenever permitted");
    world_free(&split->world);
    split = split_make(arena, 2); /* low | not low, wide */
    split_put(split, 0, &split->low, false);
    split_put(split, 1, &split->low, true);
    split_put(split, 1, &split->wide, false);
    ck_broken(&split->world, split->law, "no text", "\"4\"", "\"4\"",
              "a text that it has for others", "no text for some units");
    world_free(&split->world);
    split = split_make(arena, 2); /* low and wide | not low: a low one that is not wide */
    split_put(split, 1, &split->low, true);
    split->low.next = &split->wide;
    split_put(split, 0, &split->low, false);
    split->scopes[1][0].conditions = &(Expr){.next = NULL};
    (void)one_text_check(arena, split->law, &split->world.diags);
    ck_assert_uint_eq(split->world.diags.errors, 1);
    world_free(&split->world);
    arena_free(arena);
}
END_TEST

START_TEST(a_section_for_some_units_needs_no_text_for_others)
{
    World world = make();
    LawTree *law = make_law(&world);
    SectionTreeInForce *section = &law->sections[3];
    const SectionTree *tree = section->section;
    ck_assert(text_equal(tree->number, TEXT("5")));
    ScopeTree carts = scope_of(tree->body.scopes, tree->source, false);
    TextTree text = section->texts[0];
    text.scopes = &carts;
    text.scope_count = 1;
    section->texts = &text;
    ck_whole(&world, law);
    carts.negated = true; /* the text of those for whom there is none */
    ck_broken(&world, law, "no text", "\"5\"", "\"5\"", "", "no text for some units");
    world_free(&world);
}
END_TEST

START_TEST(more_conditions_than_can_be_told_apart_are_an_error)
{
    Arena *arena = arena_new();
    Split *split = split_make(arena, 1);
    Expr *conditions = ARENA_ARRAY(arena, Expr, 64);
    for (uint32_t i = 0; i + 1 < 64; i++) {
        conditions[i].next = &conditions[i + 1];
    }
    split_put(split, 0, conditions, false);
    (void)one_text_check(arena, split->law, &split->world.diags);
    expect(&split->world, "too many conditions", "\"4\"", NULL, "");
    world_free(&split->world);
    arena_free(arena);
}
END_TEST

/* ---- sections ---- */

START_TEST(a_section_that_is_lost_or_stands_twice_is_told)
{
    World world = make();
    LawTree *law = make_law(&world);
    law->section_count--; /* "5" */
    ck_broken(&world, law, "no text", "\"5\"", NULL, "",
              "section '5' is neither in force nor deleted");
    world_free(&world);
    world = make();
    law = make_law(&world);
    law->deleted_count = 0;
    ck_broken(&world, law, "no text", "\"3\"", NULL, "", "section '3' is neither");
    world_free(&world);
    world = make();
    law = make_law(&world);
    SectionTree twin = *law->sections[2].section;
    SectionTreeInForce more[5];
    memcpy(more, law->sections, 4 * sizeof *more);
    more[4] = more[2];
    more[4].section = &twin;
    law->sections = more;
    law->section_count = 5;
    ck_broken(&world, law, "two texts", "\"4\"", "\"4\"", "the other section",
              "two sections in force have the number '4'");
    world.diags = diagnostics_make(world.arena);
    SectionTree other = twin; /* a part of its own beside one without */
    twin.part = names_intern(world.names, TEXT("size"));
    ck_broken(&world, law, "two texts", "\"4\"", "\"4\"", "the other section", "'4' part size");
    world.diags = diagnostics_make(world.arena);
    other.part = names_intern(world.names, TEXT("gap"));
    more[2].section = &other;
    ck_whole(&world, law);
    world_free(&world);
}
END_TEST

/* ---- through the program's own door ---- */

START_TEST(every_day_of_a_law_is_looked_at)
{
    World world = WORLD(VOCABULARY, CODE("1", SECTION("1") SECTION("2")),
                        STATE(ADOPTS("1", "2025-01-01", "Reg. 1")),
                        COUNTY(AMENDS("1", "2025-03-01", "Ord. 1") "amend \"1\" limit to 9 in\n"));
    expect_none(&world);
    const JurisdictionTree *county = library_jurisdiction(world.library, TEXT("quillmark"));
    /* the day before the first: nothing; two days with two sections each */
    ck_assert_uint_eq(law_one_text(world.arena, world.library, county, &world.diags), 4);
    expect_none(&world);
    world_free(&world);
}
END_TEST

/* ---- work ---- */

/* A law of `count` sections in which acts do all that acts can do, to a section in eight each. */
static void measure(unsigned count, uint64_t *steps, uint64_t *looked_at)
{
    Arena *arena = arena_new();
    Buffer code = buffer_make(arena);
    Buffer first = buffer_make(arena);
    Buffer second = buffer_make(arena);
    Buffer third = buffer_make(arena);
    buffer_string(&code, "code larder edition 1\n");
    buffer_string(&third, "amends larder edition 1 in force from 2024-06-01 by \"Ord. 3\"\n");
    for (unsigned i = 0; i < count; i++) {
        buffer_format(&code,
                      "section \"%u.%u\" shall width <= 24 in\nexcept where height <= 9 in by "
                      "\"Note\" end\n",
                      i / 20, i);
        static const char *const changes[] = {
            "to read for units permitted on or after 2024-03-01 shall width <= 1 in end",
            "to read for units where height <= 3 in shall width <= 2 in end",
            "exception \"Note\" to read except where height <= 8 in by \"Note\" end",
            "to read existing units from 2025-09-01 shall width <= 3 in end", "limit to 4 in"};
        if (i % 8 < 5) {
            buffer_format(&first, "amend \"%u.%u\" %s\n", i / 20, i, changes[i % 8]);
        } else if (i % 8 == 5) {
            buffer_format(&first, "renumber \"%u.%u\" as \"r.%u\"\n", i / 20, i, i);
            buffer_format(&second, "amend \"r.%u\" limit to 5 in\n", i);
        } else if (i % 8 == 6) {
            buffer_format(&second, "delete and reserve \"%u.%u\"\n", i / 20, i);
            buffer_format(&first, "not to be waived \"%u.%u\"\n", i / 20, i);
            buffer_format(&third, "repeals \"Ord. 2\" in \"%u.%u\"\n", i / 20, i);
        }
    }
    buffer_string(&code, "end\n");
    Text state = text_format(arena, "jurisdiction halloway \"H\"\n%send\n",
                             ADOPTS("1", "2020-01-01", "Reg. 1"));
    Text county =
        text_format(arena, "jurisdiction quillmark \"Q\" within halloway\n%s%.*s%s%.*s%.*send\n",
                    AMENDS("1", "2024-01-01", "Ord. 1"), TEXT_ARG(buffer_done(&first)),
                    AMENDS("1", "2024-02-01", "Ord. 2"), TEXT_ARG(buffer_done(&second)),
                    TEXT_ARG(buffer_done(&third)));
    World world = WORLD(VOCABULARY, text_string(arena, buffer_done(&code)),
                        text_string(arena, state), text_string(arena, county));
    LawTree *law = world_law(&world, "quillmark", "2025-01-01");
    expect_none(&world);
    *looked_at = one_text_check(world.arena, law, &world.diags);
    expect_none(&world);
    ck_assert_uint_eq(law->section_count, count); /* what was deleted has come back */
    *steps = law->steps;
    world_free(&world);
    arena_free(arena);
}

START_TEST(the_work_grows_linearly_whatever_the_acts_do)
{
    uint64_t steps[3];
    uint64_t looked_at[3];
    for (unsigned i = 0; i < 3; i++) {
        measure(80U << (2 * i), &steps[i], &looked_at[i]); /* 80, 320, 1280 sections */
    }
    for (unsigned i = 1; i < 3; i++) {
        ck_assert_uint_gt(steps[i], 3 * steps[i - 1]);
        ck_assert_uint_lt(steps[i], 5 * steps[i - 1]);
        ck_assert_uint_eq(looked_at[i], 4 * looked_at[i - 1]);
    }
}
END_TEST

Suite *one_text_suite(void)
{
    Suite *suite = suite_create("one_text");
    TCase *tcase = tcase_create("one_text");
    tcase_add_test(tcase, a_law_as_it_is_assembled_is_whole);
    tcase_add_test(tcase, texts_that_overlap_by_one_day_are_told_with_the_day);
    tcase_add_test(tcase, a_gap_of_one_day_is_told_with_the_day);
    tcase_add_test(tcase, a_section_made_for_later_units_needs_no_text_for_earlier_ones);
    tcase_add_test(tcase, texts_for_units_that_exclude_each_other_are_one_text);
    tcase_add_test(tcase, texts_for_the_same_units_are_two);
    tcase_add_test(tcase, units_that_no_text_names_are_told);
    tcase_add_test(tcase, a_section_for_some_units_needs_no_text_for_others);
    tcase_add_test(tcase, more_conditions_than_can_be_told_apart_are_an_error);
    tcase_add_test(tcase, a_section_that_is_lost_or_stands_twice_is_told);
    tcase_add_test(tcase, every_day_of_a_law_is_looked_at);
    tcase_add_test(tcase, the_work_grows_linearly_whatever_the_acts_do);
    suite_add_tcase(suite, tcase);
    return suite;
}
