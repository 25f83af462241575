/* The law changes only on days that are named. Libraries are made by chance; the law of every
 * jurisdiction is assembled for each day of two years: it says the same as on the day before unless
 * the day is among law_dates, and what it gives as its coming events are the dates after the day.
 * On the way, every law is looked at for exactly one text. COUNT libraries (24), SEED (1),
 * LIBRARY=number for one of them, with its text. Prints "N passed, N failed". */
#include "law/one_text.h"
#include "law_content.h"
#include "law_world_make.h"

enum { SHOWN_MAX = 5 };

typedef struct Bench {
    unsigned long passed, failed, changes, looked_at;
    const Made *made;
    const char *level;
} Bench;

static bool is_told(Bench *bench, Day on, const char *what)
{
    if (bench->failed++ >= SHOWN_MAX) {
        return false;
    }
    Text day = date_print(bench->made->arena, on);
    printf("library %llu: %s on %.*s: %s\n", (unsigned long long)bench->made->seed, bench->level,
           TEXT_ARG(day), what);
    return true;
}

static bool is_named(const Day *days, uint32_t count, Day day)
{
    for (uint32_t i = 0; i < count; i++) {
        if (days[i] == day) {
            return true;
        }
    }
    return false;
}

static bool has_events(const LawTree *law, const Day *days, uint32_t count)
{
    uint32_t at = 0;
    for (uint32_t i = 0; i < count; i++) {
        if (days[i] > law->on) {
            if (at == law->event_count || law->events[at++] != days[i]) {
                return false;
            }
        }
    }
    return at == law->event_count;
}

static void run_level(Bench *bench, const Library *library)
{
    Arena *kept = arena_new();
    const JurisdictionTree *jurisdiction = library_jurisdiction(library, text_of(bench->level));
    uint32_t count = 0;
    const Day *days = law_dates(kept, library, jurisdiction, &count);
    Arena *before_arena = arena_new();
    Text before = TEXT("");
    const Day first = made_start() - 5;
    for (Day on = first; on <= made_start() + MADE_DAYS + 60; on++) {
        Arena *arena = arena_new();
        Diagnostics diags = diagnostics_make(arena);
        const LawTree *law = law_assemble(arena, library, jurisdiction, on, &diags);
        Diagnostics told = diagnostics_make(arena);
        bench->looked_at += one_text_check(arena, law, &told);
        Text now = law_content(arena, law, true);
        bool changes = on > first && !text_equal(before, now);
        bench->changes += changes;
        if (changes && !is_named(days, count, on)) {
            if (is_told(bench, on, "changes on a day that is not named")) {
                content_differ(before, now);
            }
        } else if (!has_events(law, days, count)) {
            (void)is_told(bench, on, "its events are not the dates to come");
        } else if (told.errors > 0) {
            if (is_told(bench, on, "not exactly one text")) {
                made_complain(&told);
            }
        } else {
            bench->passed++;
        }
        arena_free(before_arena);
        before_arena = arena;
        before = now;
    }
    arena_free(before_arena);
    arena_free(kept);
}

static void run(Bench *bench, uint64_t seed, bool shows)
{
    Arena *arena = arena_new();
    const Made *made = made_new(arena, seed);
    Text text = made_text(arena, made);
    Diagnostics diags = diagnostics_make(arena);
    const Library *library = made_library(arena, text, &diags);
    bench->made = made;
    bench->level = "the library";
    if (shows) {
        printf("%.*s\n", TEXT_ARG(text));
    }
    if (diags.errors > 0 && is_told(bench, made_start(), "has errors")) {
        made_complain(&diags);
    }
    for (uint32_t level = 0; level < made->levels && diags.errors == 0; level++) {
        bench->level = made_levels[level];
        run_level(bench, library);
    }
    arena_free(arena);
}

int main(void)
{
    uint64_t seed = setting("SEED", 1);
    uint64_t count = setting("COUNT", 24);
    uint64_t one = setting("LIBRARY", 0);
    Bench bench = {.passed = 0};
    if (one != 0) {
        run(&bench, one, true);
    }
    for (uint64_t i = 0; i < count && one == 0; i++) {
        run(&bench, seed * 100000 + i, false);
    }
    printf("%lu days on which a law changes; one text for each of %lu sections and spans of permit "
           "dates\n",
           bench.changes, bench.looked_at);
    if (bench.changes < count) {
        printf("too few changes to mean anything\n");
        bench.failed++;
    }
    printf("%lu passed, %lu failed\n", bench.passed, bench.failed);
    return bench.failed == 0 && bench.passed > 0 ? 0 : 1;
}
