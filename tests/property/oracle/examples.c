/* Runs the worked examples of rule files: each is judged, and what it finds is compared. */
#include "oracle.h"

#include <limits.h>
#include <stdio.h>
#include <string.h>

typedef struct Tally {
    int passed, failed;
} Tally;

static const Field *field_of(const Record *record, const char *name)
{
    for (int i = 0; record != NULL && i < record->n; i++) {
        if (same(record->field[i].name, name)) {
            return &record->field[i];
        }
    }
    return NULL;
}

/* The item of a list that the key names. */
static json_t *item_named(json_t *list, const Record *record, const char *name)
{
    const char *key = record != NULL && record->key >= 0 ? record->field[record->key].name : "name";
    for (size_t i = 0; i < json_array_size(list); i++) {
        json_t *item = json_array_get(list, i);
        if (same(json_string_value(json_object_get(item, key)), name)) {
            return item;
        }
    }
    give_up("no item is called '%s'", name);
}

static void set_path(json_t *spec, const Record *record, const Setting *s)
{
    json_t *at = spec;
    for (int i = 0; i < s->path.n; i++) {
        const Step *step = s->path.at[i];
        if (step->key) {
            at = item_named(at, record, step->name);
            continue;
        }
        const Field *field = field_of(record, step->name);
        record = field != NULL ? field->type.record : NULL;
        if (i + 1 == s->path.n) {
            (void)json_object_set_new(at, step->name, json_deep_copy(s->value));
            return;
        }
        json_t *inner = json_object_get(at, step->name);
        if (inner == NULL || json_is_string(inner)) {
            inner = json_object();
            (void)json_object_set_new(at, step->name, inner);
        }
        at = inner;
    }
}

/* specs/x.yaml, in the folder given */
static json_t *spec_from(const char *from, const char *folder)
{
    return from == NULL ? json_object()
                        : yaml_load(pool_format("%s/%s", folder == NULL ? "." : folder, from));
}

static bool names_match(const Finding *f, const Vec *names)
{
    if (names->n != f->items) {
        return false;
    }
    for (int i = 0; i < names->n; i++) {
        bool found = false;
        for (int k = 0; k < f->items; k++) {
            found = found || same(names->at[i], finding_name(f, k));
        }
        if (!found) {
            return false;
        }
    }
    return true;
}

/* The label of the line that an exception's line with this label may stand for; the label itself. */
static const char *covered_label(const Finding *f, const char *label)
{
    const Vec *exceptions = &f->active->text->exceptions;
    for (int i = 0; i < exceptions->n; i++) {
        const Exception *x = exceptions->at[i];
        for (int k = 0; k < x->lines.n; k++) {
            if (same(((const Line *)x->lines.at[k])->label, label) && x->to != NULL) {
                return x->to;
            }
        }
    }
    return label;
}

static const Judged *line_labelled(const Finding *f, const char *label)
{
    const char *covered = covered_label(f, label);
    for (int i = 0; i < f->lines; i++) {
        if (same(f->line[i].label, label) || same(f->line[i].label, covered)) {
            return &f->line[i];
        }
    }
    return NULL;
}

static bool value_matches(const Val *v, const char *text)
{
    Quantity q;
    Range date;
    const char *p = text;
    if (text == NULL || v == NULL || v->kind != VAL_NUMBER) {
        return true; /* a word, or a line that is no comparison: not checked */
    }
    if (date_read(&p, &date) && *p == '\0' && strlen(text) > 4) {
        return range_equal(&v->range, &date) != CAN_NO;
    }
    p = text;
    if (!quantity_read(&p, true, true, &q)) {
        return true;
    }
    return end_order(&v->range.lo, -1, &q.range.lo, -1) == 0 &&
           end_order(&v->range.hi, 1, &q.range.hi, 1) == 0;
}

static const char *check(const Vec *findings, const Expected *x)
{
    const Finding *worst = NULL;
    const char *found = "no such finding";
    for (int i = 0; i < findings->n; i++) {
        const Finding *f = findings->at[i];
        bool meant = same(f->number, x->number) && (x->part == NULL || same(f->part, x->part)) &&
                     (x->names.n == 0 || names_match(f, &x->names));
        if (meant && (worst == NULL || f->result.outcome < worst->result.outcome)) {
            worst = f;
        }
    }
    if (worst == NULL) {
        return found;
    }
    const Judged *line = x->label != NULL ? line_labelled(worst, x->label) : NULL;
    if (x->label != NULL && line == NULL && worst->lines > 0) {
        return "no such line";
    }
    Outcome outcome = line != NULL ? line->result.outcome : worst->result.outcome;
    if (outcome != x->outcome) {
        return outcome_name(outcome, true);
    }
    line = line == NULL && worst->lines == 1 ? &worst->line[0] : line;
    if (line != NULL && !value_matches(line->measured, x->measured)) {
        return line->measured == NULL
                   ? "?"
                   : pool_format("measured %s", end_show(&line->measured->range.lo));
    }
    if (line != NULL && !value_matches(line->limit, x->limit)) {
        return pool_format("limit %s", end_show(&line->limit->range.lo));
    }
    return NULL;
}

typedef struct Under {
    const Law *law;
    const Vec *actives;
    const char *jurisdiction, *vocabulary, *folder;
    const Holder *holders; /* of the jurisdiction */
    Vec codes;
    long day;
} Under;

static bool proves_steps(const Example *e)
{
    bool steps = false;
    for (int i = 0; i < e->expected.n; i++) {
        steps = steps || ((const Expected *)e->expected.at[i])->sheet != NULL;
    }
    return steps;
}

static void tell(const Example *e, const Expected *x, const char *found, Tally *tally)
{
    tally->passed += found == NULL;
    tally->failed += found != NULL;
    if (found != NULL && x->sheet != NULL) {
        printf("%s:%d: \"%s\": %s.%s: expected %s, found %s\n", e->file, x->line, e->title,
               x->sheet, x->step, x->value, found);
    } else if (found != NULL) {
        printf("%s:%d: \"%s\": %s%s%s: expected %s, found %s\n", e->file, x->line, e->title,
               x->number, x->label != NULL ? " " : "", x->label != NULL ? x->label : "",
               outcome_name(x->outcome, true), found);
    }
}

static void run_one(const Under *u, const Example *e, Tally *tally)
{
    size_t mark = pool_mark();
    json_t *spec = spec_from(e->from, u->folder);
    const Vocabulary *v = vocabulary_find(u->law, u->vocabulary);
    for (int i = 0; i < e->settings.n; i++) {
        set_path(spec, &v->facts, e->settings.at[i]);
    }
    Review review;
    Range date = {.lo = range_small(u->day == LONG_MIN ? 0 : u->day * 86400, 1).lo};
    date.hi = date.lo;
    review_start(&review, u->law, v, spec, u->jurisdiction, u->day == LONG_MIN ? NULL : &date);
    Vec findings = judge_all(&review, u->actives);
    const Sheets sheets = {&review, u->holders, u->codes};
    for (int i = 0; i < e->expected.n; i++) {
        const Expected *x = e->expected.at[i];
        tell(e, x, x->sheet != NULL ? step_differs(&sheets, x) : check(&findings, x), tally);
    }
    json_decref(spec);
    pool_reset(mark);
}

/* The latest date in force in the file's blocks. */
static long latest_in(const Jurisdiction *j, const char *file)
{
    long latest = LONG_MIN;
    for (int i = 0; i < j->blocks.n; i++) {
        const Block *block = j->blocks.at[i];
        latest = same(block->file, file) && block->from > latest ? block->from : latest;
    }
    return latest;
}

/* The names of the levels, the inner first. */
static const Holder *holders_of(const Law *law, const char *jurisdiction)
{
    Vec chain = law_chain(law, jurisdiction);
    const Holder *holders = NULL;
    for (int i = chain.n - 1; i >= 0; i--) {
        Holder *h = NEW(Holder);
        *h = ((const Jurisdiction *)chain.at[i])->holder;
        h->next = holders;
        holders = h;
    }
    return holders;
}

static void run_jurisdiction(const Law *law, const Jurisdiction *j, const char *folder,
                             Tally *tally)
{
    for (int i = 0; i < j->examples.n; i++) {
        const Example *e = j->examples.at[i];
        Under u = {.law = law, .jurisdiction = j->name, .folder = folder};
        u.day = e->on != LONG_MIN ? e->on : latest_in(j, e->file);
        Vec actives = law_in_force(law, j->name, u.day);
        u.actives = &actives;
        u.vocabulary = actives.n > 0 ? ((const Active *)actives.at[0])->code->vocabulary : NULL;
        if (proves_steps(e)) {
            u.holders = holders_of(law, j->name);
            u.codes = law_codes(law, j->name, u.day);
        }
        run_one(&u, e, tally);
    }
}

int examples_run(const Law *law, const char *folder)
{
    Tally tally = {0, 0};
    for (int i = 0; i < law->codes.n; i++) {
        const Code *code = law->codes.at[i];
        Vec actives = law_of_code(code);
        for (int k = 0; k < code->examples.n; k++) {
            const Example *e = code->examples.at[k];
            Under u = {law, &actives, NULL, code->vocabulary, folder, NULL, {0}, e->on};
            vec_add(&u.codes, law->codes.at[i]);
            run_one(&u, e, &tally);
        }
    }
    for (int i = 0; i < law->jurisdictions.n; i++) {
        run_jurisdiction(law, law->jurisdictions.at[i], folder, &tally);
    }
    printf("%d passed, %d failed\n", tally.passed, tally.failed);
    return tally.failed > 0;
}
