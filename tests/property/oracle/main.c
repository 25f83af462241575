/* oracle RULES... --in JURISDICTION --on DATE ...    RULES are files
 *   --spec FILE.json       judges one spec: one finding a line; section, part, items, outcome, lines
 *   --stream               judges specs on standard input, one a line; an empty line ends each answer
 *   --against REPORT       holds the program's report (--json) of JSON specs against its own findings
 *   --shrink SPEC --program SHALL --to FOLDER     the smallest spec on which the two disagree
 *   --make specs --count N --seed N --to FOLDER [--whole] [--twin order|spelling|narrow]
 *                          makes specs in FOLDER/a, and twins of them in FOLDER/b
 *   --make edge-specs --count N --seed N --to FOLDER
 * oracle RULES... --examples [--specs FOLDER]        runs worked examples; FOLDER holds specs/
 * oracle --make rules|edge-rules --seed N            prints a rule file made by chance
 * oracle --same REPORT REPORT, --narrowed REPORT REPORT, --shown REPORT */
#include "cases.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct Word {
    const char *name;
    const char **value;
} Word;

static bool take_option(Options *o, const char *name, const char *value)
{
    const Word words[] = {{"--in", &o->in},       {"--on", &o->on}, {"--spec", &o->spec},
                          {"--specs", &o->specs}, {"--to", &o->to}, {"--program", &o->program},
                          {"--make", &o->make}};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        if (same(words[i].name, name)) {
            *words[i].value = value;
            return true;
        }
    }
    if (same(name, "--count") && value != NULL) {
        o->count = strtol(value, NULL, 10);
    } else if (same(name, "--seed") && value != NULL) {
        o->seed = strtoull(value, NULL, 10);
    } else if (same(name, "--twin")) {
        o->twin = same(value, "order")      ? TWIN_ORDER
                  : same(value, "spelling") ? TWIN_SPELLING
                                            : TWIN_NARROW;
    } else if (same(name, "--shrink")) {
        o->check = name;
        o->spec = value;
    } else if (same(name, "--against") || same(name, "--shown") || same(name, "--same") ||
               same(name, "--narrowed")) {
        o->check = name;
        o->review[0] = value;
    } else {
        return false;
    }
    return true;
}

static void read_options(Options *o, int argc, char **argv)
{
    for (int i = 1; i < argc; i++) {
        if (same(argv[i], "--stream")) {
            o->stream = true;
        } else if (same(argv[i], "--examples")) {
            o->examples = true;
        } else if (same(argv[i], "--whole")) {
            o->whole = true;
        } else if (argv[i][0] == '-') {
            const char *value = i + 1 < argc ? argv[i + 1] : NULL;
            if (value == NULL || !take_option(o, argv[i], value)) {
                give_up("%s is no option, or wants a value", argv[i]);
            }
            i++;
            if (o->check != NULL && o->review[0] == value && i + 1 < argc &&
                strcmp(o->check, "--against") != 0) {
                o->review[1] = argv[++i];
            }
        } else if (o->n < 1024) {
            o->rules[o->n++] = argv[i];
        }
    }
}

/* Does a vocabulary, or a piece of one, stand in the file? */
static bool is_vocabulary(const char *path)
{
    char line[4096];
    bool found = false;
    FILE *f = fopen(path, "r");
    while (f != NULL && !found && fgets(line, sizeof line, f) != NULL) {
        found = strncmp(line, "vocabulary ", 11) == 0;
    }
    if (f != NULL) {
        (void)fclose(f);
    }
    return found;
}

static void judge_one(const Law *law, const Vec *shares, const Options *o, json_t *spec)
{
    const char *name = json_string_value(json_object_get(spec, "vocabulary"));
    for (int i = 0; i < shares->n; i++) {
        const Share *share = shares->at[i];
        Review review;
        review_start(&review, law, vocabulary_find(law, name), spec, share->jurisdiction, &o->date);
        Vec findings = judge_all(&review, &share->actives);
        findings_print(&findings);
    }
}

static int judge_stream(const Law *law, const Vec *shares, const Options *o)
{
    char *line = NULL;
    size_t room = 0;
    json_error_t error;
    while (getline(&line, &room, stdin) > 0) {
        size_t mark = pool_mark();
        json_t *spec = json_loads(line, 0, &error);
        if (spec == NULL) {
            give_up("standard input: %s", error.text);
        }
        judge_one(law, shares, o, spec);
        puts("");
        json_decref(spec);
        pool_reset(mark);
    }
    free(line);
    return 0;
}

static void write_spec(const Options *o, const char *folder, long number, const json_t *spec)
{
    char *path = pool_format("%s/%s/%06ld.json", o->to, folder, number);
    if (json_dump_file(spec, path, JSON_COMPACT) != 0) {
        give_up("%s: cannot be written", path);
    }
}

static int make_specs(const Law *law, const Options *o)
{
    const Harvest *h = harvest_law(law);
    const Vec shares = law_shares(law, o->in, o->day);
    const Vocabulary *v = vocabulary_find(law, NULL);
    for (long i = 0; i < o->count; i++) {
        size_t mark = pool_mark();
        uint64_t seed = o->seed * 1000003 + (uint64_t)i;
        const Share *share = shares.at[i % shares.n];
        json_t *spec = same(o->make, "edge-specs")
                           ? make_edge_spec(v, law, seed)
                           : make_spec(h, v, share->jurisdiction, o->day, seed, o->whole);
        write_spec(o, "a", i, spec);
        if (o->twin != TWIN_NONE) {
            json_t *twin = make_twin(h, v, spec, o->twin, seed);
            write_spec(o, "b", i, twin);
            json_decref(twin);
        }
        json_decref(spec);
        pool_reset(mark);
    }
    return 0;
}

static int in_jurisdiction(const Law *law, Options *o)
{
    const char *p = o->on;
    if (o->in == NULL || p == NULL || !date_read(&p, &o->date)) {
        give_up("--in JURISDICTION and --on DATE are wanted");
    }
    o->day = mpz_get_si(mpq_numref(o->date.lo.v)) / 86400;
    if (o->make != NULL) {
        return make_specs(law, o);
    }
    Vec shares = law_shares(law, o->in, o->day);
    if (same(o->check, "--against")) {
        return check_against(law, &shares, o);
    }
    if (same(o->check, "--shrink")) {
        return shrink_spec(law, &shares, o);
    }
    if (o->stream) {
        return judge_stream(law, &shares, o);
    }
    json_error_t error;
    json_t *spec = o->spec == NULL ? NULL : json_load_file(o->spec, 0, &error);
    if (spec == NULL) {
        give_up("%s: %s", o->spec == NULL ? "--spec" : o->spec,
                o->spec == NULL ? "is wanted" : error.text);
    }
    judge_one(law, &shares, o, spec);
    json_decref(spec);
    return 0;
}

static int without_rules(const Options *o)
{
    Writer w = {0};
    if (same(o->make, "rules")) {
        make_rules(&w, o->seed);
    } else if (same(o->make, "edge-rules")) {
        make_edge_rules(&w, o->seed);
    } else if (same(o->check, "--shown")) {
        return check_shown(o);
    } else if (o->check != NULL && o->review[1] != NULL) {
        return check_twins(o, same(o->check, "--narrowed"));
    } else {
        give_up("rule files are wanted");
    }
    fputs(w.text, stdout);
    return 0;
}

/* Vocabularies first, for all that names their words; with what else stands in their files, which is
 * read again when all pieces are there. */
static void read_all(Law *law, const Options *o)
{
    for (int i = 0; i < o->n; i++) {
        if (is_vocabulary(o->rules[i])) {
            read_law_file(law, o->rules[i]);
        }
    }
    vocabularies_join(law);
    law->codes = law->jurisdictions = law->places = (Vec){0};
    for (int i = 0; i < o->n; i++) {
        read_law_file(law, o->rules[i]);
    }
    law_join(law);
}

int main(int argc, char **argv)
{
    static Options options;
    static Law law;
    pool_start();
    read_options(&options, argc, argv);
    if (options.n == 0) {
        return without_rules(&options);
    }
    read_all(&law, &options);
    return options.examples ? examples_run(&law, options.specs) : in_jurisdiction(&law, &options);
}
