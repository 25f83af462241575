/* The order of files never matters, nor how a jurisdiction or a code is parted into files. The demo
 * law, and libraries made by chance, are taken apart: every block of a jurisdiction and the later
 * sections of every code into pieces of their own (`continued`). Whatever the order in which the
 * files are given, the JSON of a review and the codebook are the same, byte for byte; and they say
 * what they say for the files as they were, places aside. COUNT rounds (60), SEED (1). Prints
 * "N passed, N failed". */
#include <jansson.h>

#include "law_world_make.h"
#include "report/codebook.h"

enum { FILES_MAX = 400, SHOWN_MAX = 5 };

typedef struct Files {
    const Source *list[FILES_MAX];
    size_t count;
} Files;

/* What one set of files says of one spec in one jurisdiction on one day. */
typedef struct Said {
    Text json, book;
    bool has_errors;
} Said;

typedef struct Bench {
    unsigned long passed, failed, passed_over, findings;
    Random random;
} Bench;

typedef struct Question {
    const Source *spec;
    Text jurisdiction;
    Day on;
    Text what; /* for messages */
} Question;

static void add_file(Files *files, Arena *arena, Text path, Text text)
{
    if (files->count == FILES_MAX) {
        fprintf(stderr, "too many files\n");
        exit(1);
    }
    files->list[files->count++] = source_of(arena, path, text);
}

static Files shuffled(Bench *bench, const Files *files)
{
    Files out = *files;
    for (size_t i = out.count; i > 1; i--) {
        size_t j = random_below(&bench->random, (uint32_t)i);
        const Source *kept = out.list[i - 1];
        out.list[i - 1] = out.list[j];
        out.list[j] = kept;
    }
    return out;
}

/* ---- taking apart ---- */

/* A name that sorts anywhere. */
static Text any_path(Bench *bench, Arena *arena)
{
    return text_format(arena, "%08x.shall", (unsigned)random_next(&bench->random));
}

static void blank(char *bytes, Span span)
{
    for (uint32_t i = span.start; i < span.end; i++) {
        bytes[i] = bytes[i] == '\n' ? '\n' : ' ';
    }
}

static void part_jurisdiction(Bench *bench, Arena *arena, const Source *source,
                              const JurisdictionTree *jurisdiction, char *left, Files *out)
{
    for (const BlockTree *block = jurisdiction->blocks; block != NULL; block = block->next) {
        Text text = text_format(arena, "jurisdiction %.*s continued\n%.*s\nend\n",
                                TEXT_ARG(jurisdiction->name->text),
                                TEXT_ARG(place_text((Place){source, block->span})));
        add_file(out, arena, any_path(bench, arena), text);
        blank(left, block->span);
    }
}

/* The sections of a code stand in the order of its pieces, so that it is the last ones that go, in
 * order of path. */
static void part_code(Bench *bench, Arena *arena, const Source *source, const CodeTree *code,
                      char *left, Files *out)
{
    uint32_t at = 0;
    uint32_t kept = 1 + random_below(&bench->random, 6);
    for (const SectionTree *section = code->sections; section != NULL; section = section->next) {
        if (at++ < kept) {
            continue;
        }
        Text text = text_format(arena, "code %.*s edition \"%.*s\" continued\n%.*s\nend\n",
                                TEXT_ARG(code->name->text), TEXT_ARG(code->edition),
                                TEXT_ARG(place_text((Place){source, section->span})));
        Text path = text_format(arena, "%.*s-%.*s-%04u.shall", TEXT_ARG(code->name->text),
                                TEXT_ARG(code->edition), at);
        add_file(out, arena, path, text);
        blank(left, section->span);
    }
}

static Files parted(Bench *bench, Arena *arena, const Files *files)
{
    Files out = {.count = 0};
    for (size_t i = 0; i < files->count; i++) {
        const Source *source = files->list[i];
        Diagnostics diags = diagnostics_make(arena);
        const FileTree *file = syntax_parse(arena, names_new(arena), source, &diags);
        char *left = text_string(arena, source->bytes);
        for (const ItemTree *item = file->items; item != NULL; item = item->next) {
            if (item->kind == ITEM_JURISDICTION) {
                part_jurisdiction(bench, arena, source, item->jurisdiction, left, &out);
            } else if (item->kind == ITEM_CODE) {
                part_code(bench, arena, source, item->code, left, &out);
            }
        }
        add_file(&out, arena, any_path(bench, arena), (Text){left, source->bytes.len});
    }
    return out;
}

/* ---- asking ---- */

static Said ask(Bench *bench, Arena *arena, const Files *files, const Question *question)
{
    Said said = {.has_errors = true};
    Names *names = names_new(arena);
    Diagnostics diags = diagnostics_make(arena);
    const Library *library = library_of(arena, names, files->list, files->count, &diags);
    const JurisdictionTree *jurisdiction = library_jurisdiction(library, question->jurisdiction);
    const LawTree *tree = law_assemble(arena, library, jurisdiction, question->on, &diags);
    const Law *law = law_check(arena, library, tree, false, &diags);
    const Vocabulary *vocabulary = library_vocabulary(library, NULL);
    const Spec *spec =
        vocabulary == NULL ? NULL : spec_read(arena, names, vocabulary, question->spec, &diags);
    if (spec == NULL || law->vocabulary == NULL || diags.errors > 0) {
        Style style = {WIDTH_USUAL, false};
        said.json = report_diagnostics(arena, &diags, style);
        return said;
    }
    ReviewOptions options = {.on = question->on, .stage = STAGE_OPERATION};
    const Review *review = review_make(arena, law, spec, &options);
    Reviewed reviewed = {.review = review, .origin = DATE_GIVEN};
    reviewed.has_change = review_next_change(arena, library, review, &reviewed.change);
    JsonReport *report = json_report_start(arena);
    json_report_add(report, &reviewed);
    said.json = json_report_end(report);
    Codebook book = {.library = library, .law = tree, .origin = DATE_GIVEN};
    Style style = {WIDTH_USUAL, false};
    said.book = codebook_text(arena, &book, style);
    said.has_errors = false;
    bench->findings += review->finding_count;
    return said;
}

/* ---- comparing, places aside ---- */

static void drop_places(json_t *json)
{
    const char *key = NULL;
    json_t *value = NULL;
    size_t index = 0;
    if (json_is_object(json)) {
        (void)json_object_del(json, "place");
        (void)json_object_del(json, "digests");
        json_object_foreach(json, key, value)
        {
            drop_places(value);
        }
    }
    json_array_foreach(json, index, value)
    {
        drop_places(value);
    }
}

static Text without_places(Arena *arena, Text text)
{
    json_t *json = json_loadb(text.data, text.len, 0, NULL);
    if (json == NULL) {
        return text;
    }
    drop_places(json);
    char *dump = json_dumps(json, JSON_SORT_KEYS);
    Text copy = text_copy(arena, text_of(dump));
    free(dump);
    json_decref(json);
    return copy;
}

/* The words of a codebook, but for the places in files; where lines break follows from those. */
static Text words_alone(Arena *arena, Text text)
{
    Buffer out = buffer_make(arena);
    size_t start = 0;
    for (size_t i = 0; i <= text.len; i++) {
        if (i < text.len && !ascii_is_space(text.data[i])) {
            continue;
        }
        Text word = {text.data + start, i - start};
        start = i + 1;
        bool is_place = false;
        for (size_t at = 0; at + 6 <= word.len; at++) {
            is_place = is_place || memcmp(word.data + at, ".shall", 6) == 0;
        }
        if (!is_place && word.len > 0) {
            buffer_text(&out, word);
        }
    }
    return buffer_done(&out);
}

static void judge(Bench *bench, const Question *question, const char *what, Text one, Text other)
{
    if (text_equal(one, other)) {
        bench->passed++;
        return;
    }
    if (bench->failed++ >= SHOWN_MAX) {
        return;
    }
    size_t at = 0;
    while (at < one.len && at < other.len && one.data[at] == other.data[at]) {
        at++;
    }
    size_t start = at < 60 ? 0 : at - 60;
    printf("%.*s: %s\n  one:   ...%.*s\n  other: ...%.*s\n", TEXT_ARG(question->what), what,
           (int)(one.len - start < 160 ? one.len - start : 160), one.data + start,
           (int)(other.len - start < 160 ? other.len - start : 160), other.data + start);
}

/* The same files in another order, and the parted ones in two orders. */
static void compare(Bench *bench, Arena *arena, const Files *files, const Question *question)
{
    Said whole = ask(bench, arena, files, question);
    if (whole.has_errors) {
        bench->passed_over++;
        return;
    }
    Files turned = shuffled(bench, files);
    Said again = ask(bench, arena, &turned, question);
    judge(bench, question, "JSON, files in another order", whole.json, again.json);
    judge(bench, question, "codebook, files in another order", whole.book, again.book);
    Files pieces = parted(bench, arena, files);
    Files first = shuffled(bench, &pieces);
    Files second = shuffled(bench, &pieces);
    Said one = ask(bench, arena, &first, question);
    Said other = ask(bench, arena, &second, question);
    judge(bench, question, "JSON, pieces in another order", one.json, other.json);
    judge(bench, question, "codebook, pieces in another order", one.book, other.book);
    judge(bench, question, "JSON, parted into pieces", without_places(arena, whole.json),
          without_places(arena, one.json));
    judge(bench, question, "codebook, parted into pieces", words_alone(arena, whole.book),
          words_alone(arena, one.book));
}

/* ---- what is asked ---- */

static void try_demo(Bench *bench, const Files *demo)
{
    static const char *const specs[] = {
        "specs/lantern-noodle.yaml", "specs/lantern-noodle-faults.yaml",
        "specs/lantern-noodle-gaps.yaml", "specs/lantern-noodle-measured.yaml"};
    static const char *const counties[] = {"halloway", "quillmark", "osprey_fork"};
    Arena *arena = arena_new();
    Text reason;
    const char *path = specs[random_below(&bench->random, 4)];
    Question question = {.spec = source_read(arena, path, &reason),
                         .jurisdiction = text_of(counties[random_below(&bench->random, 3)]),
                         .on = date_day(2022, 8, 1) + (Day)random_below(&bench->random, 2000)};
    if (question.spec == NULL) {
        fprintf(stderr, "%s: %.*s\n", path, TEXT_ARG(reason));
        exit(1);
    }
    question.what =
        text_format(arena, "demo law of %.*s, %s", TEXT_ARG(question.jurisdiction), path);
    compare(bench, arena, demo, &question);
    arena_free(arena);
}

static void try_made(Bench *bench, uint64_t seed)
{
    Arena *arena = arena_new();
    const Made *made = made_new(arena, seed);
    Files files = {.count = 0};
    add_file(&files, arena, TEXT("made.shall"), made_text(arena, made));
    Text spec = text_format(
        arena, "vocabulary: unit\nwidth: %u in\nheight: %u in\nkind: %s\nscreened: %s\n%s",
        5 + random_below(&bench->random, 50), 5 + random_below(&bench->random, 50),
        random_chance(&bench->random, 50) ? "cart" : "trailer",
        random_chance(&bench->random, 50) ? "yes" : "no",
        random_chance(&bench->random, 50) ? "permits: none\n" : "");
    Question question = {.spec = source_of(arena, TEXT("spec.yaml"), spec),
                         .jurisdiction =
                             text_of(made_levels[random_below(&bench->random, made->levels)]),
                         .on = made_start() + (Day)random_below(&bench->random, MADE_DAYS),
                         .what = text_format(arena, "library %llu", (unsigned long long)seed)};
    compare(bench, arena, &files, &question);
    arena_free(arena);
}

static void read_demo(Arena *arena, Files *files)
{
    static const char *const paths[] = {"rules/vocabulary", "rules/demo"};
    Diagnostics diags = diagnostics_make(arena);
    const Library *library = library_read(arena, names_new(arena), paths, 2, &diags);
    for (const FileTree *file = library->files; file != NULL; file = file->next) {
        add_file(files, arena, file->source->path, file->source->bytes);
    }
    if (diags.errors > 0 || files->count == 0) {
        fprintf(stderr, "the demo rules cannot be read\n");
        exit(1);
    }
}

int main(void)
{
    uint64_t seed = setting("SEED", 1);
    uint64_t count = setting("COUNT", 60);
    Bench bench = {.random = {seed}};
    Arena *arena = arena_new();
    Files demo = {.count = 0};
    read_demo(arena, &demo);
    for (uint64_t i = 0; i < count; i++) {
        if (i % 6 == 0) { /* the demo law is large */
            try_demo(&bench, &demo);
        }
        try_made(&bench, seed * 100000 + i);
    }
    arena_free(arena);
    printf("seed %llu: %lu laws passed over: they have errors; %lu findings compared\n",
           (unsigned long long)seed, bench.passed_over, bench.findings);
    if (bench.passed_over > count / 2) {
        printf("too few laws are worth comparing\n");
        bench.failed++;
    }
    printf("%lu passed, %lu failed\n", bench.passed, bench.failed);
    return bench.failed == 0 && bench.passed > 0 ? 0 : 1;
}
