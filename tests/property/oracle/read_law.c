/* Vocabularies, sections and the clauses of a section. */
#include "oracle.h"

#include <string.h>

/* ---- vocabularies ---- */

static void read_words(Reader *r, Choice *choice)
{
    do {
        if (choice->n == 64) {
            read_error(r, "too many words");
        }
        choice->word[choice->n++] = want_name(r);
        choice->ordered = choice->ordered || at_sign(r, "<");
    } while (take_sign(r, ",") || take_sign(r, "<"));
}

const Choice *choice_find(const Vocabulary *v, const char *name)
{
    for (int i = 0; v != NULL && i < v->choices.n; i++) {
        const Choice *choice = v->choices.at[i];
        if (same(choice->name, name)) {
            return choice;
        }
    }
    return NULL;
}

Vocabulary *vocabulary_find(const Law *law, const char *name)
{
    for (int i = 0; i < law->vocabularies.n; i++) {
        Vocabulary *v = law->vocabularies.at[i];
        if (name == NULL || same(v->name, name)) {
            return v;
        }
    }
    return NULL;
}

static Record *record_find(const Vocabulary *v, const char *name)
{
    for (int i = 0; v != NULL && i < v->records.n; i++) {
        Record *record = v->records.at[i];
        if (same(record->name, name)) {
            return record;
        }
    }
    return NULL;
}

static Type type_named(const Vocabulary *v, const char *name)
{
    const Choice *choice = choice_find(v, name);
    Record *record = record_find(v, name);
    if (choice != NULL) {
        return (Type){.kind = TYPE_CHOICE, .choice = choice};
    }
    if (record != NULL) {
        return (Type){.kind = TYPE_RECORD, .record = record};
    }
    if (same(name, "text")) {
        return (Type){.kind = TYPE_TEXT};
    }
    if (same(name, "date")) {
        return (Type){.kind = TYPE_DATE};
    }
    if (same(name, "size")) {
        return (Type){.kind = TYPE_SIZE};
    }
    return (Type){.kind = same(name, "count") ? TYPE_COUNT : TYPE_NUMBER, .dimension = name};
}

Type read_type(Reader *r)
{
    if (take_word(r, "yes")) {
        want_sign(r, "/");
        want_word(r, "no");
        return (Type){.kind = TYPE_YES_NO};
    }
    if (take_word(r, "one")) {
        want_word(r, "of");
        Choice *choice = NEW(Choice);
        read_words(r, choice);
        return (Type){.kind = TYPE_CHOICE, .choice = choice};
    }
    bool list = take_word(r, "list");
    if (list) {
        want_word(r, "of");
    }
    Type type = type_named(r->vocabulary, want_name(r));
    type.kind = list ? TYPE_LIST : type.kind;
    return type;
}

static void read_bound(Reader *r, Field *f, bool low, bool open)
{
    Range q = want_quantity(r, true).range;
    End *end = low ? &f->bounds.lo : &f->bounds.hi;
    *end = low ? q.lo : q.hi;
    end->open = open;
}

/* A qualifier's word may name the next field: its second word tells. */
static bool take_two(Reader *r, const char *first, const char *second)
{
    if (!at_word(r, first) || !next_is(r, second)) {
        return false;
    }
    read_next(r);
    read_next(r);
    return true;
}

static void read_qualifiers(Reader *r, Field *f)
{
    for (;;) {
        if (take_two(r, "always", "present")) {
            f->always = true;
        } else if (take_word(r, "key")) {
            f->key = true;
        } else if (take_two(r, "at", "least")) {
            read_bound(r, f, true, false);
        } else if (take_two(r, "at", "most")) {
            read_bound(r, f, false, false);
        } else if (take_two(r, "more", "than")) {
            read_bound(r, f, true, true);
        } else if (take_two(r, "less", "than")) {
            read_bound(r, f, false, true);
        } else if (take_two(r, "in", "steps")) {
            want_word(r, "of");
            (void)want_quantity(r, true);
        } else if (take_two(r, "built", "as")) {
            (void)want_name(r);
        } else if (at_word(r, "ask") && next_is(r, "\"")) {
            read_next(r);
            (void)want_text(r);
        } else {
            return;
        }
    }
}

static Field read_field(Reader *r)
{
    Field f = {.bounds = range_whole_line()};
    f.name = want_name(r);
    f.type = read_type(r);
    read_qualifiers(r, &f);
    return f;
}

static int field_place(const Reader *r, const Record *record, const char *name)
{
    for (int i = 0; i < record->n; i++) {
        if (same(record->field[i].name, name)) {
            return i;
        }
    }
    read_error(r, pool_format("'%s' is no field of '%s'", name, record->name));
}

static void record_add(const Reader *r, Record *record, Field field)
{
    if (record->n == 128) {
        read_error(r, "too many fields");
    }
    record->key = field.key ? record->n : record->key;
    record->field[record->n++] = field;
}

static void record_clear(Record *record)
{
    record->key = record->along = record->length = record->across = record->width = -1;
}

static void read_record(Reader *r, Vocabulary *v)
{
    Record *record = NEW(Record);
    record_clear(record);
    record->name = want_name(r);
    vec_add(&v->records, record);
    while (!at_word(r, "end")) {
        Reader look = *r;
        read_next(&look);
        if (!at_word(r, "plan") || !next_is(&look, "along")) {
            record_add(r, record, read_field(r));
            continue;
        }
        read_next(r);
        record->along = field_place(r, record, want_name(r));
        want_word(r, "along");
        record->length = field_place(r, record, want_name(r));
        if (take_sign(r, ",")) {
            record->across = field_place(r, record, want_name(r));
            want_word(r, "across");
            record->width = field_place(r, record, want_name(r));
        }
    }
    read_next(r);
}

const char *read_dotted(Reader *r)
{
    const char *dotted = want_name(r);
    while (take_sign(r, ".")) {
        dotted = pool_format("%s.%s", dotted, want_name(r));
    }
    return dotted;
}

/* Names of records and choices that were declared behind their first use. */
static void resolve_types(const Vocabulary *v, Record *record)
{
    for (int i = 0; i < record->n; i++) {
        Type *type = &record->field[i].type;
        if (type->dimension != NULL && type->record == NULL) {
            Type named = type_named(v, type->dimension);
            named.kind = type->kind == TYPE_LIST ? TYPE_LIST : named.kind;
            *type = named;
        }
    }
}

void read_vocabulary(Reader *r)
{
    Vocabulary *v = NEW(Vocabulary);
    record_clear(&v->facts);
    v->name = want_name(r);
    vec_add(&r->law->vocabularies, v);
    r->vocabulary = v;
    while (!take_word(r, "end")) {
        if (take_word(r, "choice")) {
            Choice *choice = NEW(Choice);
            choice->name = want_name(r);
            want_word(r, "one");
            want_word(r, "of");
            read_words(r, choice);
            vec_add(&v->choices, choice);
        } else if (take_word(r, "record")) {
            read_record(r, v);
        } else if (take_word(r, "fact")) {
            record_add(r, &v->facts, read_field(r));
        } else {
            want_word(r, "topic");
            (void)read_dotted(r);
            (void)want_text(r);
        }
    }
    resolve_types(v, &v->facts);
    for (int i = 0; i < v->records.n; i++) {
        resolve_types(v, v->records.at[i]);
    }
    for (int i = 0; i < v->records.n; i++) {
        (void)item_unknown(v->records.at[i]);
    }
    (void)item_unknown(&v->facts);
}

/* ---- clauses ---- */

static const char *const STAGES[] = {"", "intake", "plan", "rough_in", "final", "operation"};

static int stage_number(const char *name)
{
    for (int i = 1; i < 6; i++) {
        if (same(STAGES[i], name)) {
            return i;
        }
    }
    return 0;
}

static bool at_clause(const Reader *r)
{
    static const char *const WORDS[] = {
        "topic",    "rank",      "authority",  "stage",     "rework",          "basis",
        "for",      "not",       "each",       "when",      "define",          "reading",
        "shall",    "except",    "at",         "remedy",    "notwithstanding", "stet",
        "end",      "section",   "table",      "worksheet", "omitted",         "worked",
        "title",    "publisher", "vocabulary", "ranks",     "published",       "reserved",
        "existing", "formerly"};
    for (size_t i = 0; i < sizeof WORDS / sizeof WORDS[0]; i++) {
        if (at_word(r, WORDS[i])) {
            return true;
        }
    }
    return r->token.kind != TOKEN_WORD;
}

static bool read_basis(Reader *r)
{
    if (!take_word(r, "basis")) {
        return false;
    }
    if (take_word(r, "read")) {
        (void)want_text(r);
        want_word(r, "on");
        (void)want_date(r);
    } else {
        (void)want_name(r);
    }
    return true;
}

void read_phrase(Reader *r)
{
    do {
        read_next(r);
    } while (!at_clause(r));
}

/* rank, authority, stage, rework, basis: only authority and stage matter here. */
bool read_standing(Reader *r, Standing *standing)
{
    if (take_word(r, "rank")) {
        read_phrase(r);
    } else if (take_word(r, "rework")) {
        (void)want_name(r);
    } else if (take_word(r, "authority")) {
        standing->authority = want_name(r);
        if (take_word(r, "may")) {
            (void)want_name(r);
        }
    } else if (take_word(r, "stage")) {
        standing->stage = 0;
        do {
            int number = stage_number(want_name(r));
            standing->stage =
                standing->stage == 0 || number < standing->stage ? number : standing->stage;
        } while (take_sign(r, ","));
    } else {
        return read_basis(r);
    }
    return true;
}

bool read_units(Reader *r, Vec *units)
{
    Reader before = *r;
    if (take_word(r, "for") && take_word(r, "units") && take_word(r, "where")) {
        vec_add(units, read_expr(r));
        return true;
    }
    *r = before;
    return false;
}

static bool at_permit(const Reader *r)
{
    return at_word(r, "for") || (at_word(r, "not") && next_is(r, "for")) ||
           (at_word(r, "existing") && next_is(r, "units"));
}

bool read_permit(Reader *r, Section *s)
{
    if (read_units(r, &s->units)) {
        return true;
    }
    if (!at_permit(r)) {
        return false;
    }
    Permit *permit = NEW(Permit);
    if (take_word(r, "for")) {
        want_words(r, "units permitted");
        permit->kind = at_word(r, "before") ? PERMIT_BEFORE : PERMIT_FROM;
        if (take_word(r, "on")) {
            want_word(r, "or");
        }
        read_next(r);
    } else if (take_word(r, "existing")) {
        want_words(r, "units from");
        permit->kind = PERMIT_EXISTING;
    } else {
        want_words(r, "not for units under permit");
        permit->kind = at_word(r, "before") ? PERMIT_NOT_BEFORE : PERMIT_NOT_ON;
        read_next(r);
    }
    permit->date = want_date(r);
    vec_add(&s->permits, permit);
    return true;
}

static Each *read_each(Reader *r)
{
    Each *each = NEW(Each);
    bool pair = take_word(r, "pair");
    each->a = want_name(r);
    if (pair) {
        want_sign(r, ",");
        each->b = want_name(r);
    }
    want_word(r, "of");
    each->list = read_expr(r);
    if (take_word(r, "where")) {
        each->where = read_expr(r);
    }
    return each;
}

Define *read_define(Reader *r)
{
    Define *d = NEW(Define);
    d->name = want_name(r);
    if (take_sign(r, "(")) {
        do {
            Param *param = NEW(Param);
            param->name = want_name(r);
            want_sign(r, ":");
            param->choice = read_type(r).choice;
            vec_add(&d->params, param);
        } while (take_sign(r, ","));
        want_sign(r, ")");
    }
    want_sign(r, "=");
    d->expr = read_fallback(r, read_expr(r), true);
    return d;
}

static Reading *read_reading(Reader *r)
{
    Reading *reading = NEW(Reading);
    reading->name = want_name(r);
    while (take_word(r, "define")) {
        vec_add(&reading->defines, read_define(r));
    }
    return reading;
}

static const char *read_label(Reader *r)
{
    Reader look = *r;
    if (r->token.kind != TOKEN_WORD) {
        return NULL;
    }
    read_next(&look);
    if (!at_sign(&look, ":")) {
        return NULL;
    }
    const char *label = want_name(r);
    want_sign(r, ":");
    return label;
}

static Line *read_line(Reader *r)
{
    Line *line = NEW(Line);
    line->negated = take_word(r, "not");
    line->label = read_label(r);
    line->expr = read_fallback(r, read_expr(r), true);
    if (take_sign(r, ",")) {
        if (take_word(r, "if")) {
            want_word(r, "provided");
            line->absence = ABSENT_SKIPS;
        } else {
            want_word(r, "required");
            line->absence = ABSENT_FAILS;
        }
    }
    return line;
}

static const char *read_by(Reader *r)
{
    return take_word(r, "by") ? want_text(r) : NULL;
}

Exception *read_exception(Reader *r)
{
    Exception *x = NEW(Exception);
    if (take_word(r, "to")) {
        x->to = want_name(r);
    }
    if (take_word(r, "with")) {
        want_word(r, "approval");
        want_word(r, "of");
        x->approval = want_text(r);
    }
    if (take_word(r, "where")) {
        x->where = read_expr(r);
    }
    x->by = read_by(r);
    while (take_word(r, "unless")) {
        vec_add(&x->unless, read_expr(r));
        (void)read_by(r);
    }
    while (take_word(r, "shall")) {
        vec_add(&x->lines, read_line(r));
    }
    return x;
}

static Line *read_discretion(Reader *r)
{
    Line *line = NEW(Line);
    want_word(r, "the");
    want_word(r, "discretion");
    want_word(r, "of");
    (void)want_text(r);
    line->label = read_label(r);
    (void)want_text(r);
    return line;
}

bool read_body(Reader *r, Section *s)
{
    if (take_word(r, "each")) {
        vec_add(&s->eachs, read_each(r));
    } else if (take_word(r, "when")) {
        vec_add(&s->whens, read_expr(r));
    } else if (take_word(r, "define")) {
        vec_add(&s->defines, read_define(r));
    } else if (take_word(r, "reading")) {
        vec_add(&s->readings, read_reading(r));
    } else if (take_word(r, "shall")) {
        vec_add(&s->lines, read_line(r));
    } else if (take_word(r, "except")) {
        vec_add(&s->exceptions, read_exception(r));
    } else if (take_word(r, "at")) {
        vec_add(&s->lines, read_discretion(r));
    } else if (take_word(r, "remedy")) {
        (void)want_text(r);
    } else {
        return read_basis(r);
    }
    return true;
}

Target *read_target(Reader *r)
{
    Target *t = NEW(Target);
    t->number = want_text(r);
    if (take_word(r, "part")) {
        t->part = want_name(r);
    }
    return t;
}

void read_targets(Reader *r, Vec *targets)
{
    do {
        vec_add(targets, read_target(r));
    } while (take_sign(r, ","));
}

static bool read_clause(Reader *r, Section *s)
{
    Vec history = {0};
    if (take_word(r, "topic")) {
        s->topic = read_dotted(r);
    } else if (take_word(r, "notwithstanding")) {
        read_targets(r, &s->notwithstanding);
    } else if (take_word(r, "formerly")) {
        read_targets(r, &history);
    } else if (at_word(r, "not") && next_is(r, "to")) {
        want_words(r, "not to be waived");
        s->not_waived = true;
    } else if (take_word(r, "stet")) {
        (void)want_text(r);
        (void)want_text(r);
    } else {
        return read_standing(r, &s->standing) || read_permit(r, s) || read_body(r, s);
    }
    return true;
}

Section *read_section(Reader *r)
{
    Section *s = NEW(Section);
    s->number = want_text(r);
    if (take_word(r, "part")) {
        s->part = want_name(r);
    }
    if (r->token.kind == TOKEN_TEXT) {
        read_next(r);
    }
    while (!take_word(r, "end")) {
        if (!read_clause(r, s)) {
            read_error(r, "a clause is expected");
        }
    }
    return s;
}
