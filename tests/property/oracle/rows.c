/* Findings of either side as rows that can be compared: the oracle's and the program's of one spec, or
 * one side's of a spec and of the same spec narrowed. */
#include "cases.h"

#include <stdlib.h>
#include <string.h>

static int by_key(const void *a, const void *b)
{
    const Row *const *x = a;
    const Row *const *y = b;
    int order = strcmp((*x)->key, (*y)->key);
    order = order != 0 ? order : (int)(*x)->outcome - (int)(*y)->outcome;
    return order != 0 ? order : (int)(*x)->unsure - (int)(*y)->unsure;
}

static bool of_one_section(const Row *a, const Row *b)
{
    size_t n = 0;
    for (int bars = 0; bars < 3; bars++) { /* code, number and part */
        n += strcspn(a->key + n, "|") + 1;
    }
    return strncmp(a->key, b->key, n) == 0;
}

/* Of a list: told before under the same name, or not applicable where something else is told. */
static bool needless(const Vec *rows, int i)
{
    const Row *row = rows->at[i];
    for (int k = 0; row->at_list && k < rows->n; k++) {
        const Row *other = rows->at[k];
        bool alike =
            other->at_list && other->outcome == row->outcome && other->unsure == row->unsure;
        if (k < i && alike && strcmp(other->key, row->key) == 0) {
            return true;
        }
        bool empty = other->at_list && other->outcome == NOT_APPLICABLE;
        if (!row->unsure && row->outcome == NOT_APPLICABLE && of_one_section(row, other) &&
            (!empty || k < i || other->unsure)) {
            return true;
        }
    }
    return false;
}

static Vec sorted(Vec rows)
{
    Vec out = {0};
    if (rows.n > 0) {
        qsort(rows.at, (size_t)rows.n, sizeof *rows.at, by_key);
    }
    for (int i = 0; i < rows.n; i++) {
        if (!needless(&rows, i)) {
            vec_add(&out, rows.at[i]);
        }
    }
    return out;
}

Vec rows_of(const Vec *findings)
{
    Vec rows = {0};
    for (int i = 0; i < findings->n; i++) {
        const Finding *f = findings->at[i];
        Row *row = NEW(Row);
        const char *key = pool_format("%s|%s|%s|", f->active->code->name, f->number,
                                      f->part == NULL ? "" : f->part);
        for (int k = 0; k < f->items; k++) {
            key = pool_format("%s%s|", key, finding_name(f, k));
        }
        const char *lines = "";
        for (int k = 0; !f->mixed && k < f->lines; k++) {
            lines = pool_format("%s%s=%s ", lines, f->line[k].label == NULL ? "" : f->line[k].label,
                                outcome_name(f->line[k].result.outcome, false));
        }
        *row = (Row){key,
                     lines,
                     f->result.outcome,
                     f->at_list,
                     f->at_list && f->mixed,
                     f->result.either,
                     f->by_cases,
                     f->mixed};
        if (f->active->text->standing.stage <= 2) {
            vec_add(&rows, row);
        }
    }
    return sorted(rows);
}

static Outcome outcome_read(const char *name)
{
    for (int i = CORRECTION; i <= NOT_APPLICABLE; i++) {
        if (same(name, outcome_name((Outcome)i, false))) {
            return (Outcome)i;
        }
    }
    give_up("'%s' is no outcome", name == NULL ? "" : name);
}

static const char *text_at(const json_t *object, const char *key)
{
    const char *text = json_string_value(json_object_get(object, key));
    return text == NULL ? "" : text;
}

Vec rows_of_review(const json_t *review)
{
    Vec rows = {0};
    const json_t *findings = json_object_get(review, "findings");
    for (size_t i = 0; i < json_array_size(findings); i++) {
        const json_t *f = json_array_get(findings, i);
        const json_t *items = json_object_get(f, "items"), *lines = json_object_get(f, "lines");
        const char *key =
            pool_format("%s|%s|%s|", text_at(f, "code"), text_at(f, "section"), text_at(f, "part"));
        for (size_t k = 0; k < json_array_size(items); k++) {
            key = pool_format("%s%s|", key, json_string_value(json_array_get(items, k)));
        }
        const char *shown = "";
        for (size_t k = 0; k < json_array_size(lines); k++) {
            const json_t *line = json_array_get(lines, k);
            shown =
                pool_format("%s%s=%s ", shown, text_at(line, "label"), text_at(line, "outcome"));
        }
        Row *row = NEW(Row);
        /* where another text silences the section, the program still shows what its lines would be */
        bool silenced = json_is_true(json_object_get(f, "silenced"));
        *row = (Row){key,
                     silenced ? "" : shown,
                     outcome_read(json_string_value(json_object_get(f, "outcome"))),
                     json_array_size(lines) == 0,
                     false,
                     false,
                     false,
                     false};
        if (!json_is_true(json_object_get(f, "later_stage"))) {
            vec_add(&rows, row);
        }
    }
    return sorted(rows);
}

/* Both of the program: what is told of a list that has nothing to judge counts too. */
const char *rows_changed(const Vec *a, const Vec *b)
{
    for (int i = 0; i < a->n || i < b->n; i++) {
        const Row *x = i < a->n ? a->at[i] : NULL, *y = i < b->n ? b->at[i] : NULL;
        if (x == NULL || y == NULL || strcmp(x->key, y->key) != 0) {
            return pool_format("%s has no twin", x != NULL ? x->key : y->key);
        }
        if (x->outcome != y->outcome || strcmp(x->lines, y->lines) != 0) {
            return pool_format("%s: %s (%s), and its twin %s (%s)", x->key,
                               outcome_name(x->outcome, false), x->lines,
                               outcome_name(y->outcome, false), y->lines);
        }
    }
    return NULL;
}

static bool is_open(const Row *row)
{
    return row->outcome == INFORMATION_REQUIRED || row->outcome == OFFICIAL_DECIDES;
}

static bool agree(const Row *oracle, const Row *program)
{
    bool passes = oracle->outcome >= COMPLIES && program->outcome >= COMPLIES;
    return oracle->outcome == program->outcome || (oracle->mixed && passes) ||
           (oracle->either && is_open(oracle) && is_open(program)) ||
           (oracle->by_cases && is_open(program)) ||
           (oracle->unsure &&
            (program->outcome == NOT_APPLICABLE || program->outcome == INFORMATION_REQUIRED));
}

/* Nothing applies here, whichever items are named for it. */
static bool idle(const Vec *rows, const Row *like)
{
    for (int i = 0; i < rows->n; i++) {
        const Row *row = rows->at[i];
        if (of_one_section(like, row) && row->outcome != NOT_APPLICABLE) {
            return false;
        }
    }
    return true;
}

/* Where two texts of a section have findings with the same names, which is which cannot be told: each of
 * the oracle's must agree with one of the program's. What is unsure takes what is left. */
static const char *group_differs(const Vec *oracle, int i, int n, const Vec *program, int k)
{
    bool used[64] = {false};
    for (int pass = 0; pass < 2; pass++) {
        for (int a = i; a < i + n; a++) {
            const Row *o = oracle->at[a];
            const Row *found = NULL;
            for (int b = 0; o->unsure == (pass == 1) && found == NULL && b < n && b < 64; b++) {
                const Row *p = program->at[k + b];
                if (!used[b] && (o->unsure || agree(o, p))) {
                    used[b] = true;
                    found = p;
                }
            }
            if (found == NULL && o->unsure == (pass == 1)) {
                const Row *p = program->at[k];
                return pool_format("%s: oracle %s, program %s%s", o->key,
                                   outcome_name(o->outcome, false), outcome_name(p->outcome, false),
                                   n > 1 ? " (of several)" : "");
            }
            if (n == 1 && found != NULL && found->outcome != NOT_APPLICABLE &&
                o->lines[0] != '\0' && found->lines[0] != '\0' &&
                strcmp(o->lines, found->lines) != 0) {
                return pool_format("%s: oracle's lines %s; program's lines %s", o->key, o->lines,
                                   found->lines);
            }
        }
    }
    return NULL;
}

static int alike_from(const Vec *rows, int i)
{
    int n = 0;
    while (i + n < rows->n &&
           strcmp(((const Row *)rows->at[i])->key, ((const Row *)rows->at[i + n])->key) == 0) {
        n++;
    }
    return n;
}

static const char *lonely(const Row *row, bool mine, const Vec *oracle, const Vec *program)
{
    bool case_only = mine && row->mixed && row->outcome == NOT_APPLICABLE; /* in one of two cases */
    if (row->unsure || case_only || (idle(oracle, row) && idle(program, row))) {
        return NULL;
    }
    return pool_format("%s: %s %s, %s has no such finding", row->key, mine ? "oracle" : "program",
                       outcome_name(row->outcome, false), mine ? "program" : "oracle");
}

const char *rows_differ(const Vec *oracle, const Vec *program)
{
    const char *fault = NULL;
    for (int i = 0, k = 0; fault == NULL && (i < oracle->n || k < program->n);) {
        int n = i < oracle->n ? alike_from(oracle, i) : 0,
            m = k < program->n ? alike_from(program, k) : 0;
        int order = n == 0   ? 1
                    : m == 0 ? -1
                             : strcmp(((const Row *)oracle->at[i])->key,
                                      ((const Row *)program->at[k])->key);
        if (order == 0 && n == m) {
            fault = group_differs(oracle, i, n, program, k);
            i += n;
            k += n;
        } else if (order < 0 ||
                   (order == 0 && n > m)) { /* the last of alike ones is the unsure one */
            fault = lonely(oracle->at[i + n - 1], true, oracle, program);
            i++;
        } else {
            fault = lonely(program->at[k], false, oracle, program);
            k++;
        }
    }
    return fault;
}

typedef enum Class { FAILS, OPEN, PASSES } Class;

static Class class_of(const Row *row)
{
    return row->outcome == CORRECTION ? FAILS : row->outcome <= OFFICIAL_DECIDES ? OPEN : PASSES;
}

static const Row *row_like(const Vec *rows, const Row *like)
{
    for (int i = 0; i < rows->n; i++) {
        const Row *row = rows->at[i];
        if (strcmp(row->key, like->key) == 0 && row->at_list == like->at_list) {
            return row;
        }
    }
    return NULL;
}

/* Two texts of one section (an upper one beside a local one, or for old units) may each have a finding
 * with these names: which is which cannot be told, and they are left out. */
static bool twice(const Vec *rows, const Row *like)
{
    int n = 0;
    for (int i = 0; i < rows->n; i++) {
        const Row *row = rows->at[i];
        n += strcmp(row->key, like->key) == 0 && !row->at_list;
    }
    return n > 1;
}

/* An item that stands alone has the name of its fact until its key is stated: "stool", and then "b0". */
static bool same_alone(const char *wide, const char *narrow)
{
    while (*wide != '\0' && *narrow != '\0') {
        size_t n = strcspn(wide, "|"), m = strcspn(narrow, "|");
        bool fact = n > 0 && strcspn(wide, "0123456789[|") == n;
        if (!fact && (n != m || strncmp(wide, narrow, n) != 0)) {
            return false;
        }
        wide += n + (wide[n] == '|');
        narrow += m + (narrow[m] == '|');
    }
    return *wide == *narrow;
}

/* Did an open finding at a list stand for this one? Its key is a beginning of this key. */
static bool stood_for(const Vec *rows, const Row *row)
{
    for (int i = 0; i < rows->n; i++) {
        const Row *list = rows->at[i];
        size_t n = 0;
        for (int bars = 0; bars < 3; bars++) { /* of the same code, number and part */
            n += strcspn(row->key + n, "|") + 1;
        }
        bool one = class_of(list) == OPEN && strncmp(list->key, row->key, n) == 0;
        if (one && same_alone(list->key + n, row->key + n)) {
            return true;
        }
        if (list->at_list && class_of(list) == OPEN &&
            strncmp(list->key, row->key, strlen(list->key)) == 0) {
            return true;
        }
    }
    return false;
}

const char *rows_narrowed(const Vec *wide, const Vec *narrow)
{
    for (int i = 0; i < wide->n; i++) {
        const Row *w = wide->at[i], *n = row_like(narrow, w);
        if (w->at_list || class_of(w) == OPEN || twice(wide, w) || twice(narrow, w)) {
            continue;
        }
        if (n == NULL ? class_of(w) == FAILS : class_of(n) != class_of(w)) {
            return pool_format("%s: was %s, is %s", w->key, outcome_name(w->outcome, false),
                               n == NULL ? "gone" : outcome_name(n->outcome, false));
        }
    }
    for (int i = 0; i < narrow->n; i++) {
        const Row *n = narrow->at[i];
        if (!n->at_list && class_of(n) != PASSES && row_like(wide, n) == NULL &&
            !stood_for(wide, n)) {
            return pool_format("%s: is %s, nothing stood for it", n->key,
                               outcome_name(n->outcome, false));
        }
    }
    return NULL;
}
