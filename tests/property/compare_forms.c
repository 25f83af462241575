/* What a comparison claims, held against judging. Every demo jurisdiction compared with itself
 * differs in nothing; compared one way and the other, stricter and looser change places; and no
 * build contradicts a relation: where two requirements are the same they come out alike, and where
 * one is stricter, what it passes the other does not fault. Laws are those of the demo, and the
 * same with one thing changed in a rule, by chance.
 * usage: compare_forms [SPEC]...   environment: SEED (1), COUNT (150 changed laws)
 * Prints "N passed, N failed". */
#include <glob.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "judge/judge.h"
#include "law/compare_law.h"

enum { RULES_MAX = 64, SPECS_MAX = 64, SHOWN_MAX = 12 };

static const char *const places[] = {"quillmark", "osprey_fork", "halloway"};
enum { PLACE_COUNT = 3 };

typedef struct Bench {
    Arena *arena;
    const Source *rules[RULES_MAX];
    size_t rule_count;
    const Source *specs[SPECS_MAX];
    size_t spec_count;
    unsigned long passed, failed;
    uint64_t random;
} Bench;

typedef struct World {
    Names *names;
    const Library *library;
} World;

static void fault(Bench *bench, const char *what, const ComparedLine *line, const Source *spec)
{
    bench->failed++;
    if (bench->failed > SHOWN_MAX) {
        return;
    }
    const Section *one = line == NULL ? NULL : line->side[0].section;
    const Section *other = line == NULL ? NULL : line->side[1].section;
    Text none = TEXT("-");
    Text path = spec == NULL ? none : spec->path;
    Text a = one == NULL ? none : one->number;
    Text b = other == NULL ? none : other->number;
    printf("%s: %.*s / %.*s, %.*s\n", what, TEXT_ARG(a), TEXT_ARG(b), TEXT_ARG(path));
}

static void expect(Bench *bench, bool holds, const char *what, const ComparedLine *line,
                   const Source *spec)
{
    if (holds) {
        bench->passed++;
    } else {
        fault(bench, what, line, spec);
    }
}

/* ---- laws ---- */

static bool read_world(Arena *arena, const Source *const *sources, size_t count, World *out)
{
    Diagnostics diags = diagnostics_make(arena);
    out->names = names_new(arena);
    out->library = library_of(arena, out->names, sources, count, &diags);
    return diags.errors == 0;
}

static const Law *law_of(Arena *arena, const World *world, const char *place, Day on)
{
    Diagnostics diags = diagnostics_make(arena);
    const JurisdictionTree *tree = library_jurisdiction(world->library, text_of(place));
    if (tree == NULL) {
        return NULL;
    }
    const LawTree *law = law_assemble(arena, world->library, tree, on, &diags);
    if (diags.errors > 0 || law->code_count == 0) {
        return NULL;
    }
    const Law *checked = law_check(arena, world->library, law, false, &diags);
    return diags.errors > 0 ? NULL : checked;
}

/* ---- one way and the other ---- */

static void check_mirror(Bench *bench, Arena *arena, const Law *a, const Law *b)
{
    const LawComparison *there = law_compare(arena, a, b, NULL, 0);
    const LawComparison *back = law_compare(arena, b, a, NULL, 0);
    bool same = there->counts[RELATION_STRICTER] == back->counts[RELATION_LOOSER] &&
                there->counts[RELATION_LOOSER] == back->counts[RELATION_STRICTER] &&
                there->counts[RELATION_SAME] == back->counts[RELATION_SAME] &&
                there->counts[RELATION_DIFFERENT] == back->counts[RELATION_DIFFERENT] &&
                there->counts[RELATION_NOT_DECIDED] == back->counts[RELATION_NOT_DECIDED] &&
                there->only[0] == back->only[1] && there->only[1] == back->only[0] &&
                there->noted == back->noted;
    expect(bench, same, "does not mirror", NULL, NULL);
}

static void check_itself(Bench *bench, Arena *arena, const Law *law, const Law *again)
{
    expect(bench, law_comparison_is_same(law_compare(arena, law, law, NULL, 0)),
           "differs from itself", NULL, NULL);
    expect(bench, law_comparison_is_same(law_compare(arena, law, again, NULL, 0)),
           "differs from itself, read again", NULL, NULL);
}

/* ---- claims against judging ---- */

static int class_of(uint8_t outcome)
{
    switch ((Outcome)outcome) {
    case OUTCOME_CORRECTION: return 1;
    case OUTCOME_INFORMATION_REQUIRED:
    case OUTCOME_OFFICIAL_DECIDES: return 2;
    case OUTCOME_COMPLIES:
    case OUTCOME_EXCUSED:
    case OUTCOME_NOT_APPLICABLE: break;
    }
    return 0;
}

static bool same_items(Arena *arena, const Finding *a, const Finding *b)
{
    if (a->item_count != b->item_count || (a->list_field == NULL) != (b->list_field == NULL)) {
        return false;
    }
    if (a->list_field != NULL && !text_equal(spec_path(arena, a->list_item, a->list_field),
                                             spec_path(arena, b->list_item, b->list_field))) {
        return false;
    }
    for (uint32_t i = 0; i < a->item_count; i++) {
        if (a->items[i]->phantom != b->items[i]->phantom ||
            (!a->items[i]->phantom && !text_equal(spec_path(arena, a->items[i], NULL),
                                                  spec_path(arena, b->items[i], NULL)))) {
            return false;
        }
    }
    return true;
}

static const Finding *find_same(Arena *arena, const Review *review, const ComparedSide *side,
                                const Finding *like)
{
    for (uint32_t i = 0; i < review->finding_count; i++) {
        const Finding *finding = &review->findings[i];
        if (finding->section == side->section && finding->tree == side->text->tree &&
            same_items(arena, finding, like)) {
            return finding;
        }
    }
    return NULL;
}

static const Part *part_of(const Finding *finding, const Line *line)
{
    for (uint32_t i = 0; finding != NULL && i < finding->part_count; i++) {
        if (finding->parts[i].line == line) {
            return &finding->parts[i];
        }
    }
    return NULL;
}

/* -1: another line stands in its place. A law that does not speak of the items passes them. */
static int line_class(const Finding *finding, const Line *line)
{
    if (finding == NULL) {
        return 0;
    }
    const Part *part = part_of(finding, line);
    if (part == NULL) {
        return finding->part_count == 0 ? class_of(finding->outcome) : -1;
    }
    return class_of(part->outcome);
}

/* Judged by cases, a line answers for those in its place too: it comes out alike where the whole
 * section is the same, and is never contradicted where it alone is. */
static void check_line(Bench *bench, Arena *arena, const Review *const *reviews,
                       const ComparedLine *line, bool whole)
{
    for (int side = 0; side < 2; side++) {
        const Review *own = reviews[side];
        const Review *its = reviews[1 - side];
        for (uint32_t i = 0; i < own->finding_count; i++) {
            const Finding *finding = &own->findings[i];
            if (finding->section != line->side[side].section ||
                finding->tree != line->side[side].text->tree) {
                continue;
            }
            const Finding *other = find_same(arena, its, &line->side[1 - side], finding);
            int classes[2] = {line_class(finding, line->side[side].line),
                              line_class(other, line->side[1 - side].line)};
            int first = classes[side];
            int second = classes[1 - side];
            if (first < 0 || second < 0) {
                continue;
            }
            bool stricter = !(first == 1 && second == 0);
            bool looser = !(first == 0 && second == 1);
            Relation relation = (Relation)line->relation;
            if (relation == RELATION_SAME) {
                expect(bench, whole ? first == second : stricter && looser,
                       "the same, and comes out otherwise", line, own->spec->source);
            } else if (relation == RELATION_STRICTER) {
                expect(bench, stricter, "stricter, and passes what the other faults", line,
                       own->spec->source);
            } else {
                expect(bench, looser, "looser, and faults what the other passes", line,
                       own->spec->source);
            }
        }
    }
}

/* A claim that judging can be held against: the day of a permit is the review's (a new unit), and
 * one reading on either side. */
static bool can_hold(const ComparedLine *line, Day on)
{
    bool claimed = line->relation == RELATION_SAME || line->relation == RELATION_STRICTER ||
                   line->relation == RELATION_LOOSER;
    return claimed && !line->parted && line->permitted_from <= on && on < line->permitted_before &&
           line->side[0].text->reading_count == 1 && line->side[1].text->reading_count == 1;
}

static void check_section(Bench *bench, Arena *arena, const Review *const *reviews,
                          const ComparedSection *section, Day on)
{
    bool whole = true;
    for (uint32_t i = 0; i < section->line_count; i++) {
        whole = whole && section->lines[i].relation == RELATION_SAME;
    }
    for (uint32_t i = 0; i < section->line_count; i++) {
        if (can_hold(&section->lines[i], on)) {
            check_line(bench, arena, reviews, &section->lines[i], whole);
        }
    }
}

static const Spec *read_spec(Arena *arena, const World *world, const Law *law, const Source *source)
{
    Diagnostics diags = diagnostics_make(arena);
    Spec *spec = spec_read(arena, world->names, law->vocabulary, source, &diags);
    if (spec == NULL || diags.errors > 0) {
        return NULL;
    }
    spec->permits_stated = true; /* what one jurisdiction alone recorded is left aside */
    spec->permit_count = 0;
    spec->decision_count = 0;
    return spec;
}

static void check_claims(Bench *bench, const World *a_world, const Law *a, const World *b_world,
                         const Law *b, Day on)
{
    const LawComparison *comparison = law_compare(bench->arena, a, b, NULL, 0);
    for (size_t s = 0; s < bench->spec_count; s++) {
        Arena *arena = arena_new();
        const Spec *specs[2] = {read_spec(arena, a_world, a, bench->specs[s]),
                                read_spec(arena, b_world, b, bench->specs[s])};
        ReviewOptions options = {.on = on, .stage = STAGE_OPERATION};
        if (specs[0] != NULL && specs[1] != NULL) {
            const Review *reviews[2] = {review_make(arena, a, specs[0], &options),
                                        review_make(arena, b, specs[1], &options)};
            for (uint32_t t = 0; t < comparison->topic_count; t++) {
                for (uint32_t i = 0; i < comparison->topics[t].section_count; i++) {
                    check_section(bench, arena, reviews, &comparison->topics[t].sections[i], on);
                }
            }
        }
        arena_free(arena);
    }
}

/* ---- one thing changed ---- */

static uint64_t next_random(Bench *bench, uint64_t below)
{
    bench->random = bench->random * 6364136223846793005U + 1442695040888963407U;
    return (bench->random >> 33) % below;
}

/* A place in the text where a word stands, by chance; the length when there is none. */
static size_t find_word(Bench *bench, Text text, const char *word)
{
    size_t start = (size_t)next_random(bench, text.len);
    for (size_t n = 0; n < text.len; n++) {
        size_t at = (start + n) % text.len;
        Text rest = {text.data + at, text.len - at};
        if (text_starts(rest, text_of(word))) {
            return at;
        }
    }
    return text.len;
}

static Text replace(Arena *arena, Text text, size_t at, size_t length, const char *with)
{
    Buffer out = buffer_make(arena);
    buffer_text(&out, (Text){text.data, at});
    buffer_string(&out, with);
    buffer_text(&out, (Text){text.data + at + length, text.len - at - length});
    return buffer_done(&out);
}

/* Another number in the place of the first one after a `shall`, `when` or `where`. */
static Text change_number(Bench *bench, Arena *arena, Text text, const char *after)
{
    static const char *const numbers[] = {"1", "2", "3", "10", "25", "120", "0", "41", "6"};
    size_t at = find_word(bench, text, after);
    while (at < text.len && !(ascii_is_digit(text.data[at]) && text.data[at - 1] == ' ')) {
        at++;
    }
    size_t end = at;
    while (end < text.len && ascii_is_digit(text.data[end])) {
        end++;
    }
    return at == text.len ? text
                          : replace(arena, text, at, end - at, numbers[next_random(bench, 9)]);
}

static Text drop_line(Bench *bench, Arena *arena, Text text, const char *word)
{
    size_t at = find_word(bench, text, word);
    size_t end = at;
    while (end < text.len && text.data[end] != '\n') {
        end++;
    }
    return at == text.len ? text : replace(arena, text, at, end - at, "");
}

static Text change(Bench *bench, Arena *arena, Text text)
{
    static const char *const swaps[][2] = {{" <= ", " < "},
                                           {" >= ", " > "},
                                           {" > ", " >= "},
                                           {" and ", " or "},
                                           {" or ", " and "},
                                           {"every ", "some "},
                                           {", required", ", if provided"},
                                           {"shall ", "shall not "},
                                           {" is yes", " is no"},
                                           {" <= ", " >= "},
                                           {" in any orientation", ""},
                                           {", at least one", ", or yes if empty"}};
    static const char *const lines[] = {"    when ", "    except ", "    for units permitted",
                                        " where "};
    uint64_t kind = next_random(bench, 12);
    if (kind < 6) {
        return change_number(bench, arena, text,
                             kind < 4    ? "shall "
                             : kind == 4 ? "when "
                                         : "where ");
    }
    if (kind < 8) {
        return drop_line(bench, arena, text, lines[next_random(bench, 4)]);
    }
    const char *const *swap = swaps[next_random(bench, sizeof swaps / sizeof *swaps)];
    size_t at = find_word(bench, text, swap[0]);
    return at == text.len ? text : replace(arena, text, at, strlen(swap[0]), swap[1]);
}

/* The demo's rules with one thing changed in one file, compared with the demo's own. */
static void try_change(Bench *bench, const World *world, const Law *const *laws, Day on,
                       unsigned long *tried)
{
    Arena *arena = arena_new();
    Arena *outer = bench->arena;
    bench->arena = arena;
    const Source *sources[RULES_MAX];
    memcpy(sources, bench->rules, sizeof sources);
    size_t which = (size_t)next_random(bench, bench->rule_count);
    Text text = change(bench, arena, sources[which]->bytes);
    sources[which] = source_of(arena, sources[which]->path, text);
    World changed;
    if (read_world(arena, sources, bench->rule_count, &changed)) {
        size_t place = (size_t)next_random(bench, PLACE_COUNT);
        const Law *law = law_of(arena, &changed, places[place], on);
        if (law != NULL) {
            (*tried)++;
            check_mirror(bench, arena, laws[place], law);
            if (which == 0) { /* bounds of a vocabulary are no part of a rule */
                bench->arena = outer;
                arena_free(arena);
                return;
            }
            check_claims(bench, world, laws[place], &changed, law, on);
        }
    }
    bench->arena = outer;
    arena_free(arena);
}

/* ---- the run ---- */

static unsigned long setting(const char *name, unsigned long otherwise)
{
    const char *value = getenv(name);
    return value == NULL || value[0] == '\0' ? otherwise : strtoul(value, NULL, 10);
}

static const Source *read_file(Arena *arena, const char *path)
{
    Text reason = TEXT("");
    const Source *source = source_read(arena, path, &reason);
    if (source == NULL) {
        fprintf(stderr, "cannot read %s\n", path);
        exit(1);
    }
    return source;
}

static void read_inputs(Bench *bench, int argc, char **argv)
{
    static const char *const rules[] = {
        "rules/demo/basin_code_2024.shall",  "rules/demo/halloway.shall",
        "rules/demo/hearth_code_2024.shall", "rules/demo/larder_code_2021.shall",
        "rules/demo/larder_code_2024.shall", "rules/demo/osprey_fork.shall",
        "rules/demo/quillmark.shall",        "rules/demo/wagon_code_2024.shall"};
    static const char *const specs[] = {
        "specs/lantern-noodle.yaml", "specs/lantern-noodle-faults.yaml",
        "specs/lantern-noodle-gaps.yaml", "specs/lantern-noodle-measured.yaml"};
    glob_t vocabulary;
    if (glob("rules/vocabulary/*.shall", 0, NULL, &vocabulary) != 0) {
        fputs("no vocabulary\n", stderr);
        exit(1);
    }
    for (size_t i = 0; i < vocabulary.gl_pathc && bench->rule_count < RULES_MAX / 2; i++) {
        bench->rules[bench->rule_count++] = read_file(bench->arena, vocabulary.gl_pathv[i]);
    }
    globfree(&vocabulary);
    for (size_t i = 0; i < sizeof rules / sizeof *rules; i++) {
        bench->rules[bench->rule_count++] = read_file(bench->arena, rules[i]);
    }
    for (size_t i = 0; i < sizeof specs / sizeof *specs; i++) {
        bench->specs[bench->spec_count++] = read_file(bench->arena, specs[i]);
    }
    for (int i = 1; i < argc && bench->spec_count < SPECS_MAX; i++) {
        bench->specs[bench->spec_count++] = read_file(bench->arena, argv[i]);
    }
}

static void check_days(Bench *bench, const World *world, const World *again)
{
    const Day days[] = {date_day(2022, 8, 1),  date_day(2023, 6, 1), date_day(2024, 12, 31),
                        date_day(2025, 1, 1),  date_day(2025, 3, 1), date_day(2025, 4, 1),
                        date_day(2025, 9, 15), date_day(2026, 6, 1)};
    const Law *former[PLACE_COUNT] = {NULL};
    for (size_t d = 0; d < sizeof days / sizeof *days; d++) {
        const Law *laws[PLACE_COUNT];
        for (size_t i = 0; i < PLACE_COUNT; i++) {
            laws[i] = law_of(bench->arena, world, places[i], days[d]);
            const Law *twin = law_of(bench->arena, again, places[i], days[d]);
            if (laws[i] == NULL || twin == NULL) {
                fault(bench, "no law", NULL, NULL);
                continue;
            }
            check_itself(bench, bench->arena, laws[i], twin);
            if (former[i] != NULL) {
                check_mirror(bench, bench->arena, former[i], laws[i]);
                check_claims(bench, world, former[i], world, laws[i], days[d]);
            }
            for (size_t j = 0; j < i; j++) {
                check_mirror(bench, bench->arena, laws[j], laws[i]);
                check_claims(bench, world, laws[j], world, laws[i], days[d]);
            }
            former[i] = laws[i];
        }
    }
}

int main(int argc, char **argv)
{
    Bench bench = {.arena = arena_new(), .random = setting("SEED", 1)};
    unsigned long count = setting("COUNT", 150);
    read_inputs(&bench, argc, argv);
    World world;
    World again;
    if (!read_world(bench.arena, bench.rules, bench.rule_count, &world) ||
        !read_world(bench.arena, bench.rules, bench.rule_count, &again)) {
        fprintf(stderr, "the demo rules have errors\n");
        return 1;
    }
    check_days(&bench, &world, &again);
    Day on = date_day(2025, 9, 15);
    const Law *laws[PLACE_COUNT];
    for (size_t i = 0; i < PLACE_COUNT; i++) {
        laws[i] = law_of(bench.arena, &world, places[i], on);
    }
    unsigned long tried = 0;
    for (unsigned long i = 0; i < count; i++) {
        try_change(&bench, &world, laws, on, &tried);
    }
    if (tried * 4 < count) {
        fault(&bench, "most changes are refused", NULL, NULL);
    }
    printf("%lu changed laws; %lu passed, %lu failed\n", tried, bench.passed, bench.failed);
    arena_free(bench.arena);
    return bench.failed > 0 || bench.passed == 0;
}
