/* A code, the state that adopts it and a county that changes it, for the tests of law/assembly: each
 * as text, and what is in force on a day as text. All demo law is invented. */
#ifndef CHANGES_WORLD_H
#define CHANGES_WORLD_H

#include "law_world.h"

#define TOPICS                                                     \
    "vocabulary unit\n  fact width length\n  fact height length\n" \
    "  topic size \"Size\"\n  topic size.width \"Width\"\n  topic sizes \"Sizes\"\nend\n"

/* A code of one edition, adopted by the state with `state`, changed by the county with `county`. */
static inline World make(const char *code, const char *state, const char *county)
{
    Arena *arena = arena_new();
    Text inner = text_format(arena, "code larder edition 1\n%send\n", code);
    Text outer = text_format(arena, "jurisdiction halloway \"H\"\n%s%send\n",
                             ADOPTS("1", "2025-01-01", "Reg. 1"), state);
    Text local =
        text_format(arena, "jurisdiction quillmark \"Q\" within halloway\n%send\n", county);
    World world = WORLD(TOPICS, text_string(arena, inner), text_string(arena, outer),
                        text_string(arena, local));
    arena_free(arena);
    expect_none(&world);
    return world;
}

#define C1 AMENDS("1", "2025-02-01", "Ord. 1") /* two ordinances of one day, and a later one */
#define C2 AMENDS("1", "2025-02-01", "Ord. 2")
#define C3 AMENDS("1", "2025-03-01", "Ord. 3")
#define S2 AMENDS("1", "2025-06-01", "Reg. 2")
#define BASE " : adopted halloway Reg. 1 from 2025-01-01"
#define BY1 ", amended quillmark Ord. 1 from 2025-02-01"
#define LIMIT1 ", limit quillmark Ord. 1 from 2025-02-01"
#define READ(number, limit) "amend \"" number "\" to read shall width <= " limit " end\n"
#define READ_FOR(number, units, limit) \
    "amend \"" number "\" to read for units where " units " shall width <= " limit " end\n"
#define INSERT(number) "insert section \"" number "\" shall width <= 9 in end\n"
#define LIMIT(number, limit) "amend \"" number "\" limit to " limit "\n"
#define TALL "height > 6 ft"
#define WIDE "width > 8 ft"

static inline void expect_on(const char *on, const char *code, const char *state,
                             const char *county, const char *number, const char *expected, int line)
{
    World world = make(code, state, county);
    LawTree *law = world_law(&world, "quillmark", on);
    world_expect_none(&world, line);
    const char *found = law_section(&world, law, number);
    ck_assert_msg(strcmp(found, expected) == 0, "line %d: %s instead of %s", line, found, expected);
    world_free(&world);
}
#define ck_section(code, state, county, number, expected) \
    expect_on("2026-01-01", (code), (state), (county), (number), (expected), __LINE__)
#define ck_on(on, code, state, county, number, expected) \
    expect_on((on), (code), (state), (county), (number), (expected), __LINE__)

static inline void expect_error(const char *code, const char *state, const char *county,
                                const char *name, const char *at, const char *also,
                                const char *words, int line)
{
    World world = make(code, state, county);
    (void)world_law(&world, "quillmark", "2026-01-01");
    world_expect(&world, name, at, also, words, line);
    world_free(&world);
}
#define ck_error(code, state, county, name, at, also, words) \
    expect_error((code), (state), (county), (name), (at), (also), (words), __LINE__)

static inline void expect_numbers(const char *code, const char *state, const char *county,
                                  const char *expected, int line)
{
    World world = make(code, state, county);
    LawTree *law = world_law(&world, "quillmark", "2026-01-01");
    world_expect_none(&world, line);
    const char *found = law_numbers(&world, law);
    ck_assert_msg(strcmp(found, expected) == 0, "line %d: %s instead of %s", line, found, expected);
    world_free(&world);
}
#define ck_numbers(code, state, county, expected) \
    expect_numbers((code), (state), (county), (expected), __LINE__)

#define EXCEPTED                                                           \
    "section \"1\" shall width <= 24 in except where height > 9 by \"2\" " \
    "except where height > 8 by \"3\" shall low: width <= 30 in end\n" SECTION("2") SECTION("3")
#define RENUMBER(from, to) "renumber \"" from "\" as \"" to "\"\n"
#define SIZED(number, topic) "section \"" number "\" topic " topic " shall width <= 24 in end\n"
#define PREEMPTS(topics) AMENDS("1", "2025-01-15", "Act 5") "preempts local law on " topics "\n"
#define SIZES SIZED("1", "size.width") SIZED("2", "sizes") SECTION("3")

#endif
