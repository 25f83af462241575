/* A state and a county with two editions of one code, for the tests of acts and adoptions: which
 * sections are in force on some days, and which errors a day brings. All demo law is invented. */
#ifndef ACTS_WORLD_H
#define ACTS_WORLD_H

#include "law_world.h"

#define E1 ADOPTS("1", "2020-01-01", "Reg. 1")
#define E2 ADOPTS("2", "2024-01-01", "Reg. 2")
#define A AMENDS("1", "2022-01-01", "Ord. 1")
#define B(from) AMENDS("1", from, "Ord. 2")
#define C(from) AMENDS("1", from, "Ord. 3")
#define ENDING(from, until, by) \
    "amends larder edition 1 in force from " from " until " until " by \"" by "\"\n"
#define STAY(from, until) ENDING(from, until, "Ord. 2") "repeals \"Ord. 1\"\n"
#define READ(number, limit) "amend \"" number "\" to read shall width <= " limit " end\n"
#define INSERT(number) "insert section \"" number "\" shall width <= 9 in end\n"
#define TWO_EDITIONS                                        \
    CODE("1", SECTION("1") SECTION("2(A)") SECTION("2(B)")) \
    CODE("2", SECTION("1") SECTION("22"))

static inline World make(const char *state, const char *county)
{
    Arena *arena = arena_new();
    Text outer = text_format(arena, "jurisdiction halloway \"H\"\n%send\n", state);
    Text inner =
        text_format(arena, "jurisdiction quillmark \"Q\" within halloway\n%send\n", county);
    World world =
        WORLD(VOCABULARY, TWO_EDITIONS, text_string(arena, outer), text_string(arena, inner));
    arena_free(arena);
    expect_none(&world);
    return world;
}

/* The numbers in force in the county on each of the days:
 * "2019-12-31: | 2020-01-01: 1 2(A) 2(B)". */
static inline const char *told(World *world, const char *const *days, size_t count)
{
    Buffer out = buffer_make(world->arena);
    for (size_t i = 0; i < count; i++) {
        LawTree *law = world_law(world, "quillmark", days[i]);
        buffer_format(&out, "%s%s: %s", i == 0 ? "" : " | ", days[i], law_numbers(world, law));
    }
    return text_string(world->arena, buffer_done(&out));
}

static inline void expect_days(const char *state, const char *county, const char *const *days,
                               size_t count, const char *expected, int line)
{
    World world = make(state, county);
    const char *found = told(&world, days, count);
    world_expect_none(&world, line);
    ck_assert_msg(strcmp(found, expected) == 0, "line %d: %s instead of %s", line, found, expected);
    world_free(&world);
}
#define DAYS(...) \
    (const char *const[]){__VA_ARGS__}, sizeof((const char *const[]){__VA_ARGS__}) / sizeof(char *)
#define ck_days(state, county, days, expected) \
    expect_days((state), (county), days, (expected), __LINE__)

/* The text of one section on a day, without an error. */
static inline void expect_section(const char *state, const char *county, const char *on,
                                  const char *number, const char *expected, int line)
{
    World world = make(state, county);
    const char *found = law_section(&world, world_law(&world, "quillmark", on), number);
    world_expect_none(&world, line);
    ck_assert_msg(strcmp(found, expected) == 0, "line %d: %s instead of %s", line, found, expected);
    world_free(&world);
}
#define ck_section(state, county, on, number, expected) \
    expect_section((state), (county), (on), (number), (expected), __LINE__)

static inline void expect_dates(const char *state, const char *county, const char *expected,
                                int line)
{
    World world = make(state, county);
    uint32_t count = 0;
    const JurisdictionTree *tree = library_jurisdiction(world.library, TEXT("quillmark"));
    const Day *days = law_dates(world.arena, world.library, tree, &count);
    const char *found = law_days(&world, days, count);
    ck_assert_msg(strcmp(found, expected) == 0, "line %d: %s instead of %s", line, found, expected);
    /* what is to come, seen from any day, is the rest of these days */
    for (uint32_t i = 0; i < count; i++) {
        Day on = days[i];
        LawTree *law = law_assemble(world.arena, world.library, tree, on, &world.diags);
        ck_assert_str_eq(law_days(&world, law->events, law->event_count),
                         law_days(&world, days + i + 1, count - i - 1));
    }
    world_free(&world);
}
#define ck_dates(state, county, expected) expect_dates((state), (county), (expected), __LINE__)

/* One error on that day, and none on the day before. */
static inline void expect_error(const char *state, const char *county, const char *on,
                                const char *name, const char *at, const char *also,
                                const char *words, int line)
{
    World world = make(state, county);
    const JurisdictionTree *tree = library_jurisdiction(world.library, TEXT("quillmark"));
    (void)law_assemble(world.arena, world.library, tree, world_day(on) - 1, &world.diags);
    world_expect_none(&world, line);
    (void)world_law(&world, "quillmark", on);
    world_expect(&world, name, at, also, words, line);
    world_free(&world);
}
#define ck_error(state, county, on, name, at, also, words) \
    expect_error((state), (county), (on), (name), (at), (also), (words), __LINE__)

#endif
