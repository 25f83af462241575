/* How long a law takes, in time of the processor: a county within a state, three codes, 200 sections and 60 amendments by both;
 * and four times all of it. Each round assembles, checks and compares the small and the large law in
 * turn, so that the ratio of the medians is one of the same minute.
 * environment: ROUNDS (31). Ends with status 1 when the large law takes more than four times as long
 * and a quarter, or the small one more than 50 ms. */
#include <malloc.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "law/compare_law.h"

enum { CODES = 3, SMALL = 200, LARGE = 4 * SMALL, AMENDMENTS = 60, ROUNDS_MAX = 999 };

typedef struct World {
    Arena *arena;
    Library *library;
    double read_ms;
} World;

typedef struct Times {
    double assemble[ROUNDS_MAX], check[ROUNDS_MAX], compare[ROUNDS_MAX], whole[ROUNDS_MAX];
    uint64_t steps, compare_steps;
} Times;

static double now_ms(void)
{
    struct timespec now;
    (void)clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return (double)now.tv_sec * 1e3 + (double)now.tv_nsec / 1e6;
}

/* ---- a library of so many sections ---- */

static void put_vocabulary(Buffer *out)
{
    buffer_string(out, "vocabulary unit\n"
                       "  record opening\n"
                       "    name text always present key\n"
                       "    use one of service, entry always present\n"
                       "    width length always present at least 0 in\n"
                       "    height length at least 0 in\n"
                       "  end\n"
                       "  fact openings list of opening always present\n"
                       "  fact exhaust flow always present at least 0 cfm\n"
                       "  fact length length always present at least 0 ft\n"
                       "  fact tank volume at least 0 gal\n"
                       "  fact cart yes/no always present\n");
    for (unsigned i = 0; i < 40; i++) {
        buffer_format(out, "  topic bench.t%u \"Topic %u\"\n", i, i);
    }
    buffer_string(out, "end\n");
}

static void put_section(Buffer *out, unsigned index, const char *word)
{
    buffer_format(out, "%s section \"%u-%u.1(A)\" \"Section %u\"\n  topic bench.t%u\n", word,
                  index / 20, index, index, index % 40);
    switch (index % 3) {
    case 0:
        buffer_format(out,
                      "  each o of openings where o.use is service\n"
                      "  define area = o.width * (o.height, or 0 in if none)\n"
                      "  shall area <= %u in2\n"
                      "  except where o.width <= %u in by \"Note\" shall area <= %u in2\n",
                      200 + index, 10 + index % 9, 400 + index);
        break;
    case 1:
        buffer_format(out,
                      "  define needed = %u cfm/ft * length\n  when cart is no\n"
                      "  shall exhaust >= needed\n",
                      100 + index % 90);
        break;
    default:
        buffer_format(out, "  shall tank >= max(%u gal, share * 20 gal), if provided\n",
                      5 + index % 40);
    }
    buffer_format(out, "  remedy \"Change it to {limit}.\"\nend\n");
}

/* One amendment of a section, of a kind that goes round. */
static void put_amendment(Buffer *out, unsigned nth, unsigned index)
{
    static const char *const limits[] = {"150 in2", "130 cfm", "9 gal"};
    switch (nth % 4) {
    case 0:
        buffer_format(out, "amend \"%u-%u.1(A)\" limit to %s\n", index / 20, index,
                      limits[index % 3]);
        break;
    case 1:
        buffer_format(out,
                      "amend \"%u-%u.1(A)\" to read\n  for units permitted on or after "
                      "2024-01-01\n  shall exhaust >= %u cfm\nend\n",
                      index / 20, index, 300 + nth);
        break;
    case 2: buffer_format(out, "delete \"%u-%u.1(A)\"\n", index / 20, index); break;
    default: put_section(out, 10000 + index, "insert"); break;
    }
}

static void put_level(Buffer *out, const char *head, unsigned sections, unsigned first)
{
    bool is_state = first == 0;
    buffer_string(out, head);
    for (unsigned code = 0; code < CODES; code++) {
        buffer_format(out, "%s code_%u edition 1 in force from 202%u-01-01 by \"Act %u\"\n",
                      is_state ? "adopts" : "amends", code, is_state ? 0u : 1u, code);
        unsigned of_code = sections / CODES;
        unsigned amendments = AMENDMENTS * (sections / SMALL) / 2 / CODES;
        for (unsigned i = 0; i < amendments; i++) {
            put_amendment(out, i, first + i * (of_code / amendments));
        }
    }
    buffer_string(out, "end\n");
}

static World make_world(unsigned sections)
{
    World world = {.arena = arena_new()};
    Buffer rules = buffer_make(world.arena);
    put_vocabulary(&rules);
    for (unsigned code = 0; code < CODES; code++) {
        buffer_format(&rules, "code code_%u edition 1\n  basis invented\n  define share = 3/2\n",
                      code);
        for (unsigned i = 0; i < sections / CODES + (code < sections % CODES); i++) {
            put_section(&rules, i, "");
        }
        buffer_string(&rules, "end\n");
    }
    put_level(&rules, "jurisdiction state \"State\"\n", sections, 0);
    put_level(&rules, "jurisdiction county \"County\" within state\n", sections, 1);
    put_level(&rules, "jurisdiction other \"Other County\" within state\n", sections, 2);
    Diagnostics diags = diagnostics_make(world.arena);
    double began = now_ms();
    const Source *source = source_of(world.arena, TEXT("bench.shall"), buffer_done(&rules));
    world.library = library_of(world.arena, names_new(world.arena), &source, 1, &diags);
    world.read_ms = now_ms() - began;
    if (diags.errors > 0) {
        fprintf(stderr, "%.*s\n", TEXT_ARG(diags.first->message));
        exit(1);
    }
    return world;
}

/* ---- measuring ---- */

static const Law *make_law(Arena *arena, const World *world, const char *county, Times *times,
                           unsigned round)
{
    Diagnostics diags = diagnostics_make(arena);
    double began = now_ms();
    const LawTree *tree =
        law_assemble(arena, world->library, library_jurisdiction(world->library, text_of(county)),
                     date_day(2025, 1, 1), &diags);
    double assembled = now_ms();
    const Law *law = law_check(arena, world->library, tree, false, &diags);
    times->assemble[round] = assembled - began;
    times->check[round] = now_ms() - assembled;
    times->steps = tree->steps;
    if (diags.errors > 0) {
        fprintf(stderr, "%.*s\n", TEXT_ARG(diags.first->message));
        exit(1);
    }
    return law;
}

static void measure(const World *world, Times *times, unsigned round)
{
    Arena *arena = arena_new();
    double began = now_ms();
    const Law *a = make_law(arena, world, "county", times, round);
    const Law *b = make_law(arena, world, "other", times, round);
    double compared = now_ms();
    const LawComparison *comparison = law_compare(arena, a, b, NULL, 0);
    double ended = now_ms();
    times->compare[round] = ended - compared;
    times->whole[round] = ended - began;
    times->compare_steps = comparison->steps;
    arena_free(arena);
}

static int order_times(const void *left, const void *right)
{
    const double *a = left;
    const double *b = right;
    return (*a > *b) - (*a < *b);
}

static double median(double *times, unsigned count)
{
    qsort(times, count, sizeof *times, order_times);
    return times[count / 2];
}

static bool tell(const char *what, double *small, double *large, unsigned rounds, bool judged)
{
    double a = median(small, rounds);
    double b = median(large, rounds);
    bool fine = !judged || (b <= a * 5 && a <= 50);
    printf("  %-28s %8.2f ms  %8.2f ms  %5.2f times%s\n", what, a, b, b / a,
           fine ? "" : "   TOO SLOW");
    return fine;
}

int main(void)
{
    const char *asked = getenv("ROUNDS");
    unsigned rounds = asked == NULL ? 31 : (unsigned)strtoul(asked, NULL, 10);
    rounds = rounds < 1 ? 1 : rounds > ROUNDS_MAX ? ROUNDS_MAX : rounds;
    /* Memory once had is kept: else the large law alone would ask the system for it in each round. */
    (void)mallopt(M_MMAP_THRESHOLD, 1 << 30);
    (void)mallopt(M_TRIM_THRESHOLD, 1 << 30);
    static Times small; /* too large for a stack */
    static Times large;
    World few = make_world(SMALL);
    World many = make_world(LARGE);
    for (unsigned round = 0; round < rounds; round++) {
        measure(&few, &small, round);
        measure(&many, &large, round);
    }
    printf("law     %u and %u sections over %u codes, %u and %u amendments, %u rounds\n", SMALL,
           LARGE, CODES, AMENDMENTS, 4 * AMENDMENTS, rounds);
    printf("  %-28s %8.2f ms  %8.2f ms  (once)\n", "reading", few.read_ms, many.read_ms);
    bool fine = tell("assembling", small.assemble, large.assemble, rounds, false);
    fine = tell("checking", small.check, large.check, rounds, false) && fine;
    fine = tell("comparing", small.compare, large.compare, rounds, false) && fine;
    fine = tell("two laws, and compared", small.whole, large.whole, rounds, true) && fine;
    printf("  %-28s %8.0f     %8.0f     %5.2f times\n", "looks at a section", (double)small.steps,
           (double)large.steps, (double)large.steps / (double)small.steps);
    printf("  %-28s %8.0f     %8.0f     %5.2f times\n", "looks in comparing",
           (double)small.compare_steps, (double)large.compare_steps,
           (double)large.compare_steps / (double)small.compare_steps);
    arena_free(few.arena);
    arena_free(many.arena);
    return fine ? 0 : 1;
}
