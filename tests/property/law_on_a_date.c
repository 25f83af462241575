/* The law on a date is the law assembled from that date's text alone. Libraries are made by chance;
 * for some days of each, a second library is written that holds only what is in force on the day,
 * and the two laws of every jurisdiction must say the same. Laws with errors are passed over, and
 * counted. COUNT libraries (400), SEED (1). LIBRARY=number runs one
 * library again, and shows its text. Prints "N passed, N failed". */
#include "law_content.h"
#include "law_world_make.h"
#include "law_world_reduce.h"

enum { DAYS_OF_EACH = 10, SHOWN_MAX = 5 };

typedef struct Bench {
    unsigned long passed, failed, passed_over, changed;
    bool shows; /* the text of the library, at the first failure */
} Bench;

/* A failure: the first few are told, with the seed that makes the library by COUNT=1. */
static bool is_told(Bench *bench, const Made *made, const char *level, Day on)
{
    if (bench->failed++ >= SHOWN_MAX) {
        return false;
    }
    Text day = date_print(made->arena, on);
    printf("library %llu: the law of %s on %.*s is not that of its own text\n",
           (unsigned long long)made->seed, level, TEXT_ARG(day));
    return true;
}

static void show_text(Bench *bench, Text full, Text reduced)
{
    if (bench->shows) {
        printf("%.*s\n-- of the day alone:\n%.*s\n", TEXT_ARG(full), TEXT_ARG(reduced));
        bench->shows = false;
    }
}

static void compare(Bench *bench, const Made *made, const Library *library, Text text, Day on)
{
    Arena *arena = arena_new();
    Text reduced = made_text(arena, made_reduce(arena, made, on));
    Diagnostics told = diagnostics_make(arena);
    const Library *other = made_library(arena, reduced, &told);
    for (uint32_t level = 0; level < made->levels; level++) {
        Text name = text_of(made_levels[level]);
        Diagnostics diags = diagnostics_make(arena);
        const LawTree *law =
            law_assemble(arena, library, library_jurisdiction(library, name), on, &diags);
        if (diags.errors > 0) {
            bench->passed_over++;
            continue;
        }
        const LawTree *alone =
            told.errors > 0
                ? NULL
                : law_assemble(arena, other, library_jurisdiction(other, name), on, &told);
        if (told.errors > 0) {
            if (is_told(bench, made, made_levels[level], on)) {
                show_text(bench, text, reduced);
                made_complain(&told);
            }
            break;
        }
        Text one = law_content(arena, law, false);
        Text two = law_content(arena, alone, false);
        bench->changed += law->deleted_count > 0 || law->section_count > 0;
        if (text_equal(one, two)) {
            bench->passed++;
        } else if (is_told(bench, made, made_levels[level], on)) {
            show_text(bench, text, reduced);
            content_differ(one, two);
        }
    }
    arena_free(arena);
}

static void run(Bench *bench, uint64_t seed)
{
    Arena *arena = arena_new();
    const Made *made = made_new(arena, seed);
    Text text = made_text(arena, made);
    Diagnostics diags = diagnostics_make(arena);
    const Library *library = made_library(arena, text, &diags);
    if (diags.errors > 0 && is_told(bench, made, "the whole library", made_start())) {
        show_text(bench, text, TEXT(""));
        made_complain(&diags);
    }
    Random random = {seed ^ UINT64_C(0x5eed)};
    for (uint32_t i = 0; i < DAYS_OF_EACH && diags.errors == 0; i++) {
        Day on = made_start() - 10 + (Day)random_below(&random, MADE_DAYS + 60);
        if (i % 2 == 0) { /* a day on which some act begins, or the day before */
            on = made->acts[random_below(&random, made->act_count)].from -
                 (Day)random_below(&random, 2);
        }
        compare(bench, made, library, text, on);
    }
    arena_free(arena);
}

int main(void)
{
    uint64_t seed = setting("SEED", 1);
    uint64_t count = setting("COUNT", 400);
    uint64_t one = setting("LIBRARY", 0);
    Bench bench = {.shows = one != 0};
    if (one != 0) {
        run(&bench, one);
    }
    for (uint64_t i = 0; i < count && one == 0; i++) {
        run(&bench, seed * 100000 + i);
    }
    printf("%lu laws passed over: they have errors; %lu with sections\n", bench.passed_over,
           bench.changed);
    if (bench.passed_over > bench.passed || bench.changed < bench.passed / 2) {
        printf("too few laws are worth comparing\n");
        bench.failed++;
    }
    printf("%lu passed, %lu failed\n", bench.passed, bench.failed);
    return bench.failed == 0 && bench.passed > 0 ? 0 : 1;
}
