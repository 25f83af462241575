/* Amending and amending back gives the original findings. A county of the demo law changes sections
 * picked by chance (a limit, a whole text, a deletion, an insertion), and takes it back: by an act
 * that says again what stood there, by a repeal, or by its own end. From that day on the demo specs
 * find what they find without either act, citations and the days of acts aside; in between, some
 * must find something else, or the test would prove nothing. COUNT rounds (60), SEED (1). Prints
 * "N passed, N failed". */
#include <jansson.h>

#include "law_world_make.h"
#include "report/codebook.h"

enum { SPECS = 4, FILES_MAX = 64, SHOWN_MAX = 5, CHANGES = 3, ATTEMPTS = 12, WORDS_WIDTH = 4000 };

typedef enum Way { WAY_LIMIT, WAY_READ, WAY_REPEAL, WAY_UNTIL, WAYS } Way;

static const char *const way_words[WAYS] = {"a limit and back", "a text and back", "repealed",
                                            "ended"};

/* A set of rule files and what is wanted of it. */
typedef struct World {
    Arena *arena;
    Names *names;
    const Library *library;
    Diagnostics diags;
} World;

typedef struct Bench {
    unsigned long passed, failed, passed_over, between, between_changed;
    Random random;
    Arena *arena;
    const Source *files[FILES_MAX + 1]; /* the last one: the acts that are tried */
    size_t file_count;
    const Source *specs[SPECS];
    World base; /* without any act that is tried */
} Bench;

typedef struct Trial {
    Way way;
    Text county;
    Day first, second; /* the days of the act and of what takes it back */
    Buffer act, back;  /* their changes, of `code` */
    const CodeTree *code;
    uint32_t changes;
} Trial;

static World world_of(const Bench *bench, Text acts)
{
    World world = {.arena = arena_new()};
    const Source *files[FILES_MAX + 1];
    size_t count = bench->file_count;
    memcpy(files, bench->files, count * sizeof *files);
    if (acts.len > 0) {
        files[count++] = source_of(world.arena, TEXT("tried.shall"), acts);
    }
    world.names = names_new(world.arena);
    world.diags = diagnostics_make(world.arena);
    world.library = library_of(world.arena, world.names, files, count, &world.diags);
    return world;
}

/* The same library, with an arena of its own for what is made of it. */
static World world_again(const World *world)
{
    World again = *world;
    again.arena = arena_new();
    again.diags = diagnostics_make(again.arena);
    return again;
}

static const LawTree *world_law(World *world, Text county, Day on)
{
    return law_assemble(world->arena, world->library, library_jurisdiction(world->library, county),
                        on, &world->diags);
}

/* ---- findings as text ---- */

/* Places, citations, acts; and "requirement", which is a line as its text words it: where a limit was
 * replaced before, a text that is said again has the limit in itself. */
static bool is_beside(const char *key)
{
    static const char *const beside[] = {"confirmed", "place",       "digests",
                                         "chain",     "citation",    "law",
                                         "basis",     "next_change", "requirement"};
    for (size_t i = 0; i < sizeof beside / sizeof *beside; i++) {
        if (strcmp(key, beside[i]) == 0) {
            return true;
        }
    }
    return false;
}

static void drop_beside(json_t *json)
{
    const char *key = NULL;
    json_t *value = NULL;
    void *next = NULL;
    size_t index = 0;
    json_object_foreach_safe(json, next, key, value)
    {
        if (is_beside(key)) {
            (void)json_object_del(json, key);
        } else {
            drop_beside(value);
        }
    }
    json_array_foreach(json, index, value)
    {
        drop_beside(value);
    }
}

/* What a spec finds, without citations and days; "" when the law has errors. */
static Text find(World *world, Text county, Day on, const Source *source)
{
    const LawTree *tree = world_law(world, county, on);
    const Law *law = law_check(world->arena, world->library, tree, false, &world->diags);
    if (world->diags.errors > 0) {
        return TEXT("");
    }
    const Spec *spec =
        spec_read(world->arena, world->names, law->vocabulary, source, &world->diags);
    ReviewOptions options = {.on = on, .stage = STAGE_OPERATION};
    Reviewed reviewed = {.review = review_make(world->arena, law, spec, &options),
                         .origin = DATE_GIVEN};
    JsonReport *report = json_report_start(world->arena);
    json_report_add(report, &reviewed);
    Text text = json_report_end(report);
    json_t *json = json_loadb(text.data, text.len, 0, NULL);
    drop_beside(json);
    char *dump = json_dumps(json, JSON_SORT_KEYS);
    Text copy = text_copy(world->arena, text_of(dump));
    free(dump);
    json_decref(json);
    return copy;
}

/* ---- changes ---- */

static void put_target(Buffer *out, const SectionTree *section)
{
    buffer_format(out, " \"%.*s\"", TEXT_ARG(section->number));
    if (section->part != NULL) {
        buffer_format(out, " part %.*s", TEXT_ARG(section->part->text));
    }
}

static const Expr *limit_of(const TextTree *text, const LineTree *line)
{
    for (uint32_t i = 0; i < text->limit_count; i++) {
        if (text->limits[i].line == line) {
            return text->limits[i].limit;
        }
    }
    return line->requirement->b;
}

static const LineTree *pick_line(Bench *bench, const BodyTree *body)
{
    const LineTree *found = NULL;
    uint32_t count = 0;
    for (const LineTree *line = body->lines; line != NULL; line = line->next) {
        if (line->requirement != NULL && line->requirement->kind == EXPR_COMPARE &&
            random_below(&bench->random, ++count) == 0) {
            found = line;
        }
    }
    return found;
}

/* "amend ... limit to" something else, and what it was. The forms are tried by chance: one that does
 * not fit the kind of the value makes a law with errors, and another trial is made. */
static bool put_limits(Bench *bench, Trial *trial, const SectionTreeInForce *section)
{
    const LineTree *line = pick_line(bench, section->texts[0].body);
    if (line == NULL) {
        return false;
    }
    Text limit = syntax_print_expr(bench->arena, limit_of(&section->texts[0], line));
    Text label = line->label == NULL ? TEXT("") : line->label->text;
    Buffer *outs[] = {&trial->act, &trial->back};
    for (size_t i = 0; i < 2; i++) {
        buffer_string(outs[i], "amend");
        put_target(outs[i], section->section);
        buffer_format(outs[i], " limit %.*s to ", TEXT_ARG(label));
    }
    switch (random_below(&bench->random, 5)) { /* a format is to be a literal */
    case 0: buffer_format(&trial->act, "130%% of (%.*s)", TEXT_ARG(limit)); break;
    case 1: buffer_format(&trial->act, "(%.*s) / 2", TEXT_ARG(limit)); break;
    case 2: buffer_format(&trial->act, "(%.*s) + 20 degF rise", TEXT_ARG(limit)); break;
    case 3: buffer_format(&trial->act, "1 + (%.*s)", TEXT_ARG(limit)); break;
    default: buffer_format(&trial->act, "2 * (%.*s)", TEXT_ARG(limit)); break;
    }
    buffer_string(&trial->act, "\n");
    buffer_format(&trial->back, "%.*s\n", TEXT_ARG(limit));
    return true;
}

/* The same with "not" at its first line. */
static bool put_turned(Buffer *out, Text body)
{
    for (size_t i = 0; i + 6 <= body.len; i++) {
        Text rest = {body.data + i, body.len - i};
        if ((i == 0 || ascii_is_space(body.data[i - 1])) && text_starts(rest, TEXT("shall "))) {
            buffer_text(out, (Text){body.data, i});
            size_t behind = i + 6;
            while (behind < body.len && body.data[behind] == ' ') {
                behind++;
            }
            rest = (Text){body.data + behind, body.len - behind};
            if (text_starts(rest, TEXT("not "))) {
                buffer_format(out, "shall %.*s", (int)(rest.len - 4), rest.data + 4);
            } else {
                buffer_format(out, "shall not %.*s", TEXT_ARG(rest));
            }
            return true;
        }
    }
    return false;
}

static bool put_texts(Bench *bench, Trial *trial, const SectionTreeInForce *section)
{
    const TextTree *text = &section->texts[0];
    Text body = book_clauses(bench->arena, text, WORDS_WIDTH);
    if (text->body->permit.kind != PERMIT_ALL) { /* stands beside the clauses */
        body = text_format(bench->arena, "%.*s\n%.*s", TEXT_ARG(body),
                           TEXT_ARG(place_text((Place){text->source, text->body->permit.span})));
    }
    Buffer turned = buffer_make(bench->arena);
    if (!put_turned(&turned, body)) {
        return false;
    }
    buffer_string(&trial->act, "amend");
    put_target(&trial->act, section->section);
    buffer_format(&trial->act, " to read\n%.*s\nend\n", TEXT_ARG(buffer_done(&turned)));
    buffer_string(&trial->back, "amend");
    put_target(&trial->back, section->section);
    buffer_format(&trial->back, " to read\n%.*s\nend\n", TEXT_ARG(body));
    return true;
}

static void put_deletion(Trial *trial, const SectionTreeInForce *section)
{
    buffer_string(&trial->act, "delete");
    put_target(&trial->act, section->section);
    buffer_string(&trial->act, "\n");
}

static void put_insertion(Bench *bench, Trial *trial, const SectionTreeInForce *section)
{
    Text topic = section->section->topic->text;
    buffer_format(&trial->act,
                  "insert section \"77.%u\" \"Tried\" topic %.*s shall menu.meals_per_day <= 3 "
                  "end\n",
                  random_below(&bench->random, 100000), TEXT_ARG(topic));
}

/* A level keeps the text as a floor: beside a local one that says the same, it would be judged too. */
static bool has_floor(const LawTree *law, const SectionTree *section)
{
    for (uint32_t i = 0; i < law->level_count; i++) {
        for (const BlockTree *block = law->levels[i]->blocks; block != NULL; block = block->next) {
            for (const ChangeTree *change = block->changes; change != NULL; change = change->next) {
                const TargetTree *target =
                    change->kind == CHANGE_LOCAL_FLOOR ? change->targets : NULL;
                for (; target != NULL; target = target->next) {
                    if (target_covers(target->number, target->part, section->number,
                                      section->part)) {
                        return true;
                    }
                }
            }
        }
    }
    return false;
}

/* One change of a section; false when the section is not one that can be changed that way. */
static bool put_changes(Bench *bench, Trial *trial, const LawTree *law,
                        const SectionTreeInForce *section)
{
    bool is_plain = section->text_count == 1 && !has_floor(law, section->section);
    if (section->code != trial->code || (!is_plain && trial->way < WAY_REPEAL)) {
        return false;
    }
    switch (trial->way) {
    case WAY_LIMIT: return put_limits(bench, trial, section);
    case WAY_READ: return put_texts(bench, trial, section);
    case WAY_REPEAL:
    case WAY_UNTIL:
    case WAYS: break;
    }
    switch (random_below(&bench->random, 4)) {
    case 0: put_deletion(trial, section); return true;
    case 1: put_insertion(bench, trial, section); return true;
    case 2: return put_limits(bench, trial, section);
    default: return put_texts(bench, trial, section);
    }
}

static void pick_changes(Bench *bench, Trial *trial, const LawTree *law)
{
    bool taken[4096] = {false};
    trial->code = law->codes[random_below(&bench->random, law->code_count)];
    for (uint32_t i = 0; i < 60 && trial->changes < CHANGES; i++) {
        uint32_t at = random_below(&bench->random, law->section_count);
        if (!taken[at] && put_changes(bench, trial, law, &law->sections[at])) {
            trial->changes++;
        }
        taken[at] = true;
    }
}

/* ---- trials ---- */

static void put_head(const Trial *trial, Buffer *out, Day from, Day until, const char *by)
{
    buffer_format(out, "amends %.*s edition \"%.*s\" in force", TEXT_ARG(trial->code->name->text),
                  TEXT_ARG(trial->code->edition));
    put_date(out, "from", from);
    if (until != DAY_FOREVER) {
        put_date(out, "until", until);
    }
    buffer_format(out, " by \"%s\"\n", by);
}

static Text trial_acts(Arena *arena, const Trial *trial)
{
    Buffer out = buffer_make(arena);
    buffer_format(&out, "jurisdiction %.*s continued\n", TEXT_ARG(trial->county));
    put_head(trial, &out, trial->first, trial->way == WAY_UNTIL ? trial->second - 1 : DAY_FOREVER,
             "Tried 1");
    buffer_text(&out, buffer_done(&trial->act));
    if (trial->way != WAY_UNTIL) {
        put_head(trial, &out, trial->second, DAY_FOREVER, "Tried 2");
    }
    if (trial->way == WAY_REPEAL) {
        buffer_string(&out, "repeals \"Tried 1\"\n");
    } else if (trial->way != WAY_UNTIL) {
        buffer_text(&out, buffer_done(&trial->back));
    }
    buffer_string(&out, "end\n");
    return buffer_done(&out);
}

static void complain(Bench *bench, const Trial *trial, Text acts, Text one, Text other)
{
    if (bench->failed++ >= SHOWN_MAX) {
        return;
    }
    size_t at = 0;
    while (at < one.len && at < other.len && one.data[at] == other.data[at]) {
        at++;
    }
    size_t start = at < 100 ? 0 : at - 100;
    printf("%s, by %.*s:\n%.*s  without: ...%.*s\n  with:    ...%.*s\n", way_words[trial->way],
           TEXT_ARG(trial->county), TEXT_ARG(acts),
           (int)(one.len - start < 200 ? one.len - start : 200), one.data + start,
           (int)(other.len - start < 200 ? other.len - start : 200), other.data + start);
}

/* False when the acts cannot be made: they meddle with what the state keeps, or do not fit. */
static bool try_acts(Bench *bench, const Trial *trial, Text acts)
{
    World base = world_again(&bench->base);
    World tried = world_of(bench, acts);
    const Source *spec = bench->specs[random_below(&bench->random, SPECS)];
    Day between =
        trial->first + (Day)random_below(&bench->random, (uint32_t)(trial->second - trial->first));
    Day after = trial->second + (Day)random_below(&bench->random, 400);
    Text one = find(&tried, trial->county, between, spec);
    bool fits = one.len > 0;
    if (fits) {
        Text other = find(&base, trial->county, between, spec);
        bench->between++;
        bench->between_changed += !text_equal(one, other);
        Text before = find(&base, trial->county, after, spec);
        Text now = find(&tried, trial->county, after, spec);
        if (now.len == 0) {
            made_complain(&tried.diags);
        }
        if (text_equal(before, now)) {
            bench->passed++;
        } else {
            complain(bench, trial, acts, before, now);
        }
    }
    arena_free(base.arena);
    arena_free(tried.arena);
    return fits;
}

static void run(Bench *bench, Way way)
{
    for (uint32_t attempt = 0; attempt < ATTEMPTS; attempt++) {
        Arena *arena = bench->arena = arena_new();
        Trial trial = {.way = way,
                       .county = random_chance(&bench->random, 50) ? TEXT("quillmark")
                                                                   : TEXT("osprey_fork"),
                       .act = buffer_make(arena),
                       .back = buffer_make(arena)};
        trial.first = date_day(2025, 6, 1) + (Day)random_below(&bench->random, 800);
        trial.second = trial.first + 1 + (Day)random_below(&bench->random, 300);
        World base = world_again(&bench->base);
        pick_changes(bench, &trial, world_law(&base, trial.county, trial.second));
        bool done = trial.changes > 0 && try_acts(bench, &trial, trial_acts(arena, &trial));
        arena_free(base.arena);
        arena_free(arena);
        if (done) {
            return;
        }
    }
    bench->passed_over++;
}

static void read_files(Bench *bench, Arena *arena)
{
    static const char *const paths[] = {"rules/vocabulary", "rules/demo"};
    static const char *const specs[SPECS] = {
        "specs/lantern-noodle.yaml", "specs/lantern-noodle-faults.yaml",
        "specs/lantern-noodle-gaps.yaml", "specs/lantern-noodle-measured.yaml"};
    Diagnostics diags = diagnostics_make(arena);
    const Library *library = library_read(arena, names_new(arena), paths, 2, &diags);
    const FileTree *file = library->files;
    for (; file != NULL && bench->file_count < FILES_MAX; file = file->next) {
        bench->files[bench->file_count++] = file->source;
    }
    for (size_t i = 0; i < SPECS; i++) {
        Text reason;
        bench->specs[i] = source_read(arena, specs[i], &reason);
        if (bench->specs[i] == NULL || diags.errors > 0 || file != NULL) {
            fprintf(stderr, "the demo rules and specs cannot be read\n");
            exit(1);
        }
    }
}

int main(void)
{
    uint64_t seed = setting("SEED", 1);
    uint64_t count = setting("COUNT", 60);
    Bench bench = {.random = {seed}};
    Arena *arena = arena_new();
    read_files(&bench, arena);
    bench.base = world_of(&bench, TEXT(""));
    for (uint64_t i = 0; i < count; i++) {
        run(&bench, (Way)(i % WAYS));
    }
    arena_free(bench.base.arena);
    arena_free(arena);
    printf("seed %llu: in between, findings changed %lu times of %lu; %lu trials found no fitting "
           "act\n",
           (unsigned long long)seed, bench.between_changed, bench.between, bench.passed_over);
    if (bench.between_changed * 2 < bench.between || bench.passed_over * 4 > count) {
        printf("too few acts that change anything\n");
        bench.failed++;
    }
    printf("%lu passed, %lu failed\n", bench.passed, bench.failed);
    return bench.failed == 0 && bench.passed > 0 ? 0 : 1;
}
