/* Sections and the clauses of a section. */
#include "oracle.h"

#include <string.h>

const char *read_dotted(Reader *r)
{
    const char *dotted = want_name(r);
    while (take_sign(r, ".")) {
        dotted = pool_format("%s.%s", dotted, want_name(r));
    }
    return dotted;
}

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
        "existing", "formerly",  "also",       "cited",     "confirmed"};
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

Each *read_each(Reader *r)
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

/* By whom the reading is confirmed; in a jurisdiction, of which sections. It decides nothing. */
void read_confirmed(Reader *r, bool targets)
{
    Vec ignored = {0};
    if (targets) {
        read_targets(r, &ignored);
    }
    want_word(r, "by");
    (void)want_text(r);
    want_word(r, "on");
    (void)want_date(r);
    want_word(r, "letter");
    (void)want_text(r);
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
    } else if (at_word(r, "also") && next_is(r, "at")) {
        want_words(r, "also at");
        read_targets(r, &history);
    } else if (take_word(r, "confirmed")) {
        read_confirmed(r, false);
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
