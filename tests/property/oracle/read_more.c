/* Files, codes, places, tables and worksheets. */
#include "oracle.h"

#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- tables ---- */

static Key read_key(Reader *r)
{
    Key key = {.name = want_name(r)};
    if (take_sign(r, ":")) {
        Type type = read_type(r);
        key.choice = type.choice;
        key.whole = type.kind == TYPE_COUNT;
    }
    if (take_word(r, "next")) {
        key.mode = at_word(r, "higher") ? KEY_HIGHER : KEY_LOWER;
        read_next(r);
    } else if (take_word(r, "interpolated")) {
        key.mode = KEY_STRAIGHT;
    } else {
        (void)take_word(r, "exact");
    }
    return key;
}

/* The unit behind a number in the text, or "" */
static const char *unit_behind(const char *start)
{
    mpq_t number, factor, offset;
    mpq_inits(number, factor, offset, NULL);
    const char *p = start;
    if (!number_read(&p, number, false)) {
        return "";
    }
    const char *unit = p;
    return unit_read(&p, factor, offset) ? pool_text(unit, (size_t)(p - unit)) : "";
}

typedef struct Bound {
    Range range;
    bool bare;
    const char *unit;
} Bound;

static Bound read_bound(Reader *r)
{
    Bound bound = {.unit = unit_behind(r->token.start)};
    Quantity q = want_quantity(r, false);
    bound.range = q.range;
    bound.bare = q.bare;
    return bound;
}

/* "25 .. 49 mg/L": the first takes the unit of the second. */
static void share_unit(Bound *first, const Bound *second)
{
    if (first->bare && !second->bare && second->unit[0] != '\0') {
        mpq_t value;
        mpq_init(value);
        if (unit_apply(second->unit, first->range.lo.v, value)) {
            first->range = range_of(value);
        }
    }
}

static bool take_relation(Reader *r, bool *less, bool *open)
{
    *less = at_sign(r, "<") || at_sign(r, "<=");
    *open = at_sign(r, "<") || at_sign(r, ">");
    if (!*less && !at_sign(r, ">") && !at_sign(r, ">=")) {
        return false;
    }
    read_next(r);
    return true;
}

static void limit_range(Range *range, const Bound *bound, bool upper, bool open)
{
    End *end = upper ? &range->hi : &range->lo;
    *end = bound->range.lo;
    end->open = open;
}

static Label *read_table_label(Reader *r)
{
    Label *label = NEW(Label);
    bool less = false, open = false;
    label->range = range_whole_line();
    if (r->token.kind == TOKEN_WORD) {
        label->word = want_name(r);
        if (!r->token.first && take_relation(r, &less, &open)) {
            label->word = NULL;
            Bound bound = read_bound(r);
            limit_range(&label->range, &bound, less, open);
        }
        return label;
    }
    Bound first = read_bound(r);
    if (take_sign(r, "..")) {
        Bound second = read_bound(r);
        share_unit(&first, &second);
        limit_range(&label->range, &first, false, false);
        limit_range(&label->range, &second, true, false);
        return label;
    }
    if (!take_relation(r, &less, &open)) {
        label->range = first.range;
        return label;
    }
    (void)want_name(r);
    bool again_less = false, again_open = false;
    if (!r->token.first && take_relation(r, &again_less, &again_open)) {
        Bound second = read_bound(r);
        share_unit(&first, &second);
        limit_range(&label->range, &second, again_less, again_open);
    }
    limit_range(&label->range, &first, !less, open);
    return label;
}

static Expr *read_cell(Reader *r, const char *unit)
{
    Expr *e = expr_new(OP_NUMBER, NULL, NULL);
    if (r->token.kind != TOKEN_WORD) {
        Quantity q = want_quantity(r, false);
        e->range = q.range;
        if (q.bare && unit != NULL) {
            mpq_t value;
            mpq_init(value);
            if (!unit_apply(unit, q.range.lo.v, value)) {
                read_error(r, "the unit of the table is not known");
            }
            e->range = range_of(value);
        }
        return e;
    }
    e->text = want_name(r);
    e->op = same(e->text, "none")  ? OP_NOTHING
            : same(e->text, "yes") ? OP_YES
            : same(e->text, "no")  ? OP_NO
                                   : OP_NAME;
    return e;
}

static void read_rows(Reader *r, Table *t, const char *unit)
{
    if (t->keys == 2) {
        do {
            vec_add(&t->columns, read_table_label(r));
        } while (!r->token.first);
    }
    while (!at_word(r, "end") && !at_word(r, "otherwise")) {
        vec_add(&t->rows, read_table_label(r));
        do {
            vec_add(&t->cells, read_cell(r, unit));
        } while (!r->token.first);
    }
    if (take_word(r, "otherwise")) {
        if (take_word(r, "no")) {
            want_word(r, "rule");
        } else {
            t->otherwise = read_cell(r, unit);
        }
    }
    want_word(r, "end");
    if (t->cells.n != t->rows.n * (t->keys == 2 ? t->columns.n : 1)) {
        read_error(r, pool_format("the table '%s' has rows of another length", t->name));
    }
}

Table *read_table(Reader *r)
{
    Table *t = NEW(Table);
    const char *unit = NULL;
    t->name = want_name(r);
    want_word(r, "by");
    do {
        if (t->keys == 2) {
            read_error(r, "a table has one key or two");
        }
        t->key[t->keys++] = read_key(r);
    } while (take_sign(r, ","));
    if (at_word(r, "in")) {
        const char *p = r->at;
        mpq_t factor, offset;
        mpq_inits(factor, offset, NULL);
        const char *start = p;
        if (!unit_read(&p, factor, offset)) {
            read_error(r, "a unit is expected");
        }
        unit = pool_text(start, (size_t)(p - start));
        read_from(r, p);
    }
    if (take_word(r, "cites")) {
        (void)want_text(r);
    }
    read_rows(r, t, unit);
    return t;
}

/* ---- worksheets ---- */

/* The name, title, value and unit of a step or column. */
static Define *read_value(Reader *r)
{
    Define *d = NEW(Define);
    d->name = want_name(r);
    (void)want_text(r);
    d->expr = read_fallback(r, read_expr(r), true);
    if (at_word(r, "in")) {
        const char *p = r->at;
        mpq_t factor, offset;
        mpq_inits(factor, offset, NULL);
        (void)unit_read(&p, factor, offset);
        read_from(r, p);
        (void)take_word(r, "percent");
    }
    return d;
}

static void read_step(Reader *r, Worksheet *w)
{
    Define *d = read_value(r);
    if (take_word(r, "cites")) {
        (void)want_text(r);
    }
    vec_add(&w->defines, d);
}

/* No rule can name what stands in a schedule. */
static void read_schedule(Reader *r)
{
    (void)want_name(r);
    (void)want_text(r);
    while (!take_word(r, "end")) {
        if (take_word(r, "each")) {
            (void)read_each(r);
        } else {
            want_word(r, "column");
            (void)read_value(r);
        }
    }
}

Worksheet *read_worksheet(Reader *r)
{
    Worksheet *w = NEW(Worksheet);
    w->name = want_name(r);
    (void)want_text(r);
    while (!take_word(r, "end")) {
        if (take_word(r, "define")) {
            vec_add(&w->defines, read_define(r));
        } else if (take_word(r, "step")) {
            read_step(r, w);
        } else if (take_word(r, "each")) {
            vec_add(&w->eachs, read_each(r));
        } else if (take_word(r, "when")) {
            vec_add(&w->whens, read_expr(r));
        } else if (take_word(r, "schedule")) {
            read_schedule(r);
        } else {
            want_word(r, "note");
            (void)want_text(r);
        }
    }
    return w;
}

bool read_shared(Reader *r, Holder *h)
{
    if (take_word(r, "define")) {
        vec_add(&h->defines, read_define(r));
    } else if (take_word(r, "table")) {
        vec_add(&h->tables, read_table(r));
    } else if (take_word(r, "worksheet")) {
        vec_add(&h->sheets, read_worksheet(r));
    } else {
        return false;
    }
    return true;
}

bool read_worked(Reader *r, Vec *examples)
{
    if (!take_word(r, "worked")) {
        return false;
    }
    want_word(r, "example");
    vec_add(examples, read_example(r));
    return true;
}

/* ---- codes ---- */

const char *read_edition(Reader *r)
{
    want_word(r, "edition");
    if (r->token.kind == TOKEN_TEXT) {
        return want_text(r);
    }
    const char *p = r->token.start;
    size_t n = strspn(p, "0123456789."
                         "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ");
    const char *edition = pool_text(p, n);
    read_from(r, p + n); /* no unit: "edition 2024 in force" */
    return edition;
}

static void read_shared_reading(Reader *r, Holder *h)
{
    Reading *reading = NEW(Reading);
    reading->name = want_name(r);
    while (take_word(r, "define")) {
        vec_add(&reading->defines, read_define(r));
    }
    vec_add(&h->readings, reading);
}

static bool read_head(Reader *r, Code *c)
{
    if (take_word(r, "title") || take_word(r, "publisher")) {
        (void)want_text(r);
    } else if (take_word(r, "cited")) {
        want_word(r, "as");
        (void)want_text(r);
    } else if (take_word(r, "published")) {
        c->published = want_days(r);
    } else if (take_word(r, "vocabulary")) {
        c->vocabulary = want_name(r);
        r->vocabulary = vocabulary_find(r->law, c->vocabulary);
    } else if (at_word(r, "ranks")) {
        do {
            read_phrase(r);
        } while (at_sign(r, ","));
    } else {
        return false;
    }
    return true;
}

static bool read_part(Reader *r, Code *c)
{
    if (take_word(r, "section")) {
        vec_add(&c->sections, read_section(r));
    } else if (take_word(r, "omitted")) {
        want_word(r, "section");
        vec_add(&c->without, read_target(r));
        (void)want_text(r);
    } else if (take_word(r, "reserved")) {
        read_targets(r, &c->without);
    } else if (take_word(r, "reading")) {
        read_shared_reading(r, &c->holder);
    } else {
        return read_head(r, c) || read_units(r, &c->units) || read_shared(r, &c->holder) ||
               read_worked(r, &c->examples) || read_standing(r, &c->standing);
    }
    return true;
}

void read_code(Reader *r)
{
    Code *c = NEW(Code);
    c->file = r->file;
    c->name = want_name(r);
    c->edition = read_edition(r);
    c->continued = take_word(r, "continued");
    if (take_word(r, "as")) {
        c->as = read_edition(r);
    }
    c->published = LONG_MIN;
    vec_add(&r->law->codes, c);
    while (!take_word(r, "end")) {
        if (!read_part(r, c)) {
            read_error(r, "a part of a code is expected");
        }
    }
}

/* ---- places ---- */

static void read_place(Reader *r)
{
    Place *place = NEW(Place);
    place->name = want_name(r);
    (void)want_text(r);
    vec_add(&r->law->places, place);
    while (!take_word(r, "end")) {
        Seat *seat = NEW(Seat);
        seat->authority = want_name(r);
        want_words(r, "decided by");
        seat->jurisdiction = want_name(r);
        if (take_word(r, "where")) {
            seat->where = read_expr(r);
        } else {
            (void)take_word(r, "otherwise");
        }
        if (take_word(r, "by")) {
            (void)want_text(r);
        }
        vec_add(&place->seats, seat);
    }
}

/* ---- files ---- */

static char *file_text(const char *path)
{
    FILE *f = fopen(path, "rb");
    if (f == NULL || fseek(f, 0, SEEK_END) != 0) {
        give_up("%s: cannot be read", path);
    }
    long size = ftell(f);
    char *text = pool_get((size_t)size + 16);
    rewind(f);
    if (fread(text, 1, (size_t)size, f) != (size_t)size) {
        give_up("%s: cannot be read", path);
    }
    (void)fclose(f);
    return text;
}

void read_law_file(Law *law, const char *path)
{
    Reader r = {.file = path, .at = file_text(path), .line = 1, .law = law};
    r.vocabulary = vocabulary_find(law, NULL);
    read_next(&r);
    while (r.token.kind != TOKEN_END) {
        if (take_word(&r, "vocabulary")) {
            read_vocabulary(&r);
        } else if (take_word(&r, "code")) {
            read_code(&r);
        } else if (take_word(&r, "jurisdiction")) {
            read_jurisdiction(&r);
        } else if (take_word(&r, "place")) {
            read_place(&r);
        } else {
            read_error(&r, "vocabulary, code, jurisdiction or place is expected");
        }
    }
}
