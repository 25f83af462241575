/* Gathers from rule files what a made-up spec should state to be worth judging: for each field the
 * numbers, dates and texts with which rules compare it, and the approvals that exceptions ask for. */
#include "cases.h"

#include <string.h>

typedef struct Gather {
    Harvest *h;
    Vec defines; /* Define, of all texts */
    Vec tables;
} Gather;

static void kids_of(const Expr *e, Vec *kids)
{
    Expr *const direct[] = {e->a, e->b, e->c};
    for (int i = 0; i < 3; i++) {
        if (direct[i] != NULL) {
            vec_add(kids, direct[i]);
        }
    }
    for (int i = 0; i < e->args.n; i++) {
        vec_add(kids, e->args.at[i]);
    }
}

static bool listed(const Vec *names, const char *name)
{
    for (int i = 0; i < names->n; i++) {
        if (same(names->at[i], name)) {
            return true;
        }
    }
    return false;
}

/* The names that an expression asks about, through definitions too. */
static void names_of(const Gather *g, const Expr *e, Vec *names, int depth)
{
    if (e->op == OP_DOT || e->op == OP_NAME || e->op == OP_CALL) {
        if (!listed(names, e->text)) {
            vec_add(names, pool_format("%s", e->text));
        }
        for (int i = 0; depth < 4 && i < g->defines.n; i++) {
            const Define *d = g->defines.at[i];
            if (e->op != OP_DOT && same(d->name, e->text)) {
                names_of(g, d->expr, names, depth + 1);
            }
        }
    }
    Vec kids = {0};
    kids_of(e, &kids);
    for (int i = 0; i < kids.n; i++) {
        names_of(g, kids.at[i], names, depth);
    }
}

static void add_number(Vec *to, const char *field, mpq_srcptr number)
{
    for (int i = 0; i < to->n; i++) {
        const Beside *b = to->at[i];
        if (same(b->field, field) && mpq_equal(b->number, number)) {
            return;
        }
    }
    Beside *b = NEW(Beside);
    b->field = field;
    mpq_init(b->number);
    mpq_set(b->number, number);
    vec_add(to, b);
}

static void values_of(Gather *g, const Expr *e, const Vec *names)
{
    for (int i = 0; i < names->n; i++) {
        if (e->op == OP_NUMBER) {
            add_number(&g->h->numbers, names->at[i], e->range.lo.v);
        } else if (e->op == OP_DATE) {
            add_number(&g->h->dates, names->at[i], e->range.lo.v);
        } else if (e->op == OP_TEXT) {
            Beside *b = NEW(Beside);
            b->field = names->at[i];
            b->text = e->text;
            vec_add(&g->h->texts, b);
        }
    }
    Vec kids = {0};
    kids_of(e, &kids);
    for (int i = 0; i < kids.n; i++) {
        values_of(g, kids.at[i], names);
    }
}

static void labels_of(Gather *g, const Vec *labels, const Vec *names)
{
    for (int i = 0; i < labels->n; i++) {
        const Label *label = labels->at[i];
        for (int k = 0; label->word == NULL && k < names->n; k++) {
            if (!label->range.lo.inf) {
                add_number(&g->h->numbers, names->at[k], label->range.lo.v);
            }
            if (!label->range.hi.inf) {
                add_number(&g->h->numbers, names->at[k], label->range.hi.v);
            }
        }
    }
}

static void gather_call(Gather *g, const Expr *e)
{
    for (int i = 0; i < g->tables.n; i++) {
        const Table *t = g->tables.at[i];
        for (int k = 0; same(t->name, e->text) && k < e->args.n && k < 2; k++) {
            Vec names = {0};
            names_of(g, e->args.at[k], &names, 0);
            labels_of(g, k == 0 ? &t->rows : &t->columns, &names);
        }
    }
}

static void gather(Gather *g, const Expr *e)
{
    if (e == NULL) {
        return;
    }
    bool compares = (e->op >= OP_LE && e->op <= OP_NE) || e->op == OP_AMONG || e->op == OP_WITHIN ||
                    e->op == OP_HOLDS || e->op == OP_HOLDS_ANY;
    if (compares) {
        Vec names = {0};
        names_of(g, e, &names, 0);
        values_of(g, e, &names);
    } else if (e->op == OP_CALL) {
        gather_call(g, e);
    } else if (e->op == OP_APPROVAL) {
        vec_add(&g->h->approvals, pool_format("%s", e->text));
    }
    Vec kids = {0};
    kids_of(e, &kids);
    for (int i = 0; i < kids.n; i++) {
        gather(g, kids.at[i]);
    }
}

static void gather_lines(Gather *g, const Vec *lines)
{
    for (int i = 0; i < lines->n; i++) {
        gather(g, ((const Line *)lines->at[i])->expr);
    }
}

static void gather_exceptions(Gather *g, const Vec *exceptions)
{
    for (int i = 0; i < exceptions->n; i++) {
        const Exception *x = exceptions->at[i];
        gather(g, x->where);
        if (x->approval != NULL) {
            vec_add(&g->h->approvals, pool_format("%s", x->approval));
        }
        for (int k = 0; k < x->unless.n; k++) {
            gather(g, x->unless.at[k]);
        }
        gather_lines(g, &x->lines);
    }
}

static void gather_defines(Gather *g, const Vec *defines)
{
    for (int i = 0; i < defines->n; i++) {
        gather(g, ((const Define *)defines->at[i])->expr);
    }
}

static void gather_section(Gather *g, Section *s)
{
    for (int i = 0; i < s->eachs.n; i++) {
        gather(g, ((const Each *)s->eachs.at[i])->where);
    }
    for (int i = 0; i < s->whens.n; i++) {
        gather(g, s->whens.at[i]);
    }
    for (int i = 0; i < s->permits.n; i++) {
        add_number(&g->h->dates, "permit_date", ((const Permit *)s->permits.at[i])->date.lo.v);
    }
    gather_defines(g, &s->defines);
    gather_lines(g, &s->lines);
    gather_exceptions(g, &s->exceptions);
    vec_add(&g->h->sections, s);
}

/* The new limit of an amendment beside the names of the text that it amends. */
static void gather_limit(Gather *g, const Change *c)
{
    const Target *t = c->targets.at[0];
    for (int i = 0; i < g->h->sections.n; i++) {
        const Section *s = g->h->sections.at[i];
        for (int k = 0; same(s->number, t->number) && k < s->lines.n; k++) {
            const Line *line = s->lines.at[k];
            Vec names = {0};
            if (line->expr != NULL && (c->label == NULL || same(c->label, line->label))) {
                names_of(g, line->expr, &names, 0);
                values_of(g, c->limit, &names);
            }
        }
    }
}

static void add_all(Vec *to, const Vec *from)
{
    for (int i = 0; i < from->n; i++) {
        vec_add(to, from->at[i]);
    }
}

static void known_holder(Gather *g, const Holder *h)
{
    add_all(&g->defines, &h->defines);
    add_all(&g->tables, &h->tables);
    for (int i = 0; i < h->sheets.n; i++) {
        add_all(&g->defines, &((const Worksheet *)h->sheets.at[i])->defines);
    }
}

static void known_section(Gather *g, const Section *s)
{
    add_all(&g->defines, &s->defines);
    for (int i = 0; i < s->readings.n; i++) {
        add_all(&g->defines, &((const Reading *)s->readings.at[i])->defines);
    }
}

static void gather_jurisdiction(Gather *g, const Jurisdiction *j)
{
    gather_defines(g, &j->holder.defines);
    for (int i = 0; i < j->blocks.n; i++) {
        const Block *block = j->blocks.at[i];
        for (int k = 0; k < block->changes.n; k++) {
            const Change *c = block->changes.at[k];
            if (c->section != NULL) {
                known_section(g, c->section);
                Section *s = NEW(Section);
                *s = *c->section;
                s->number =
                    s->number != NULL ? s->number : ((const Target *)c->targets.at[0])->number;
                gather_section(g, s);
            } else if (c->limit != NULL) {
                gather_limit(g, c);
            }
        }
    }
}

const Harvest *harvest_law(const Law *law)
{
    Gather g = {.h = NEW(Harvest)};
    g.h->law = law;
    for (int i = 0; i < law->codes.n; i++) {
        const Code *code = law->codes.at[i];
        known_holder(&g, &code->holder);
        for (int k = 0; k < code->sections.n; k++) {
            known_section(&g, code->sections.at[k]);
        }
    }
    for (int i = 0; i < law->jurisdictions.n; i++) {
        known_holder(&g, &((const Jurisdiction *)law->jurisdictions.at[i])->holder);
    }
    for (int i = 0; i < law->codes.n; i++) {
        const Code *code = law->codes.at[i];
        gather_defines(&g, &code->holder.defines);
        for (int k = 0; k < code->sections.n; k++) {
            gather_section(&g, code->sections.at[k]);
        }
    }
    for (int i = 0; i < law->jurisdictions.n; i++) {
        gather_jurisdiction(&g, law->jurisdictions.at[i]);
    }
    return g.h;
}
