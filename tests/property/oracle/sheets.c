/* Steps of worksheets, as worked examples prove them: worked out once for the unit, or for each tuple of
 * the worksheet's items, under each of its readings. */
#include "oracle.h"

#include <string.h>

typedef struct Proof {
    const Sheets *sheets;
    const Expected *x;
    const Worksheet *sheet;
    int tuples; /* that are meant */
    const char *fault;
} Proof;

static const Define *step_find(const Worksheet *sheet, const char *name)
{
    for (int i = 0; i < sheet->defines.n; i++) {
        const Define *d = sheet->defines.at[i];
        if (same(d->name, name)) {
            return d;
        }
    }
    return NULL;
}

static const Worksheet *sheet_of(const Holder *h, const char *name, bool alone)
{
    for (; h != NULL; h = alone ? NULL : h->next) {
        for (int i = 0; i < h->sheets.n; i++) {
            const Worksheet *w = h->sheets.at[i];
            if (same(w->name, name)) {
                return w;
            }
        }
    }
    return NULL;
}

static const char *shown(const Val *v)
{
    const char *kind = v->kind == VAL_VOID    ? (v->broken ? "no value" : "none")
                       : v->kind == VAL_TRUTH ? (v->can == CAN_YES  ? "yes"
                                                 : v->can == CAN_NO ? "no"
                                                                    : "yes or no")
                                              : "something else";
    if (v->kind != VAL_NUMBER) {
        return kind;
    }
    return pool_format("%s .. %s%s", end_show(&v->range.lo), end_show(&v->range.hi),
                       v->absent ? ", or none" : "");
}

/* Is a number the one written, or off by no more than is said? */
static bool number_is(const Val *v, const char *text, const Range *within)
{
    Quantity q;
    Range date;
    const char *p = text;
    Range wanted = {.lo = {.inf = false}};
    if (date_read(&p, &date) && *p == '\0' && strlen(text) > 4) {
        wanted = date;
    } else {
        p = text;
        if (!quantity_read(&p, true, true, &q)) {
            return false;
        }
        wanted = q.range;
    }
    if (within == NULL) {
        return end_order(&v->range.lo, -1, &wanted.lo, -1) == 0 &&
               end_order(&v->range.hi, 1, &wanted.hi, 1) == 0;
    }
    const Val *off = val_arithmetic(OP_SUB, v, val_number(wanted, 0, false));
    Range distance = range_max(off->range, range_minus(off->range));
    return range_less(&distance, within, true) == CAN_YES;
}

static bool value_is(const Val *v, const Expected *x)
{
    const char *text = x->value == NULL ? "" : x->value;
    if (v->kind == VAL_VOID) {
        return v->absent && !v->broken && same(text, "none");
    }
    if (v->absent || v->broken) {
        return false;
    }
    if (v->kind == VAL_TRUTH) {
        return (v->can == CAN_YES && same(text, "yes")) || (v->can == CAN_NO && same(text, "no"));
    }
    if (v->kind == VAL_WORD) {
        return truth_is(val_compare(OP_EQ, v, val_word(text, v->choice), false), CAN_YES);
    }
    return v->kind == VAL_TEXT ? same(v->text, text)
                               : v->kind == VAL_NUMBER && number_is(v, text, x->within);
}

static bool names_meant(const Vec *names, const Item *const *item, int items)
{
    bool meant = names->n == 0 || names->n == items;
    for (int i = 0; i < names->n; i++) {
        bool found = false;
        for (int k = 0; k < items; k++) {
            const char *name = item[k]->name != NULL ? item[k]->name : item[k]->path;
            found = found || same(names->at[i], name);
        }
        meant = meant && found;
    }
    return meant;
}

static void prove(Proof *p, const Env *env, const Item *const *item, int items)
{
    const Define *step = step_find(p->sheet, p->x->step);
    if (step == NULL || !names_meant(&p->x->names, item, items)) {
        return;
    }
    for (int i = 0; i < p->sheet->whens.n; i++) {
        if (truth_is(condition(env, p->sheet->whens.at[i]), CAN_NO)) {
            return; /* there is no such sheet */
        }
    }
    const Val *v = evaluate(env, step->expr);
    p->tuples++;
    if (!value_is(v, p->x)) {
        p->fault = shown(v);
    }
}

static void walk_sheet(Proof *p, const Env *env, int depth, const Item **item, int items);

static void walk_item(Proof *p, const Env *env, int depth, const Item **item, int items,
                      const Member *a, const Member *b)
{
    const Each *each = p->sheet->eachs.at[depth];
    Env inner = bind_each(env, each->a, a->item);
    Truth in = a->in;
    item[items++] = a->item;
    if (b != NULL) {
        inner = bind_each(&inner, each->b, b->item);
        in = truth_and(in, b->in);
        item[items++] = b->item;
    }
    if (!truth_is(truth_and(in, each_where(&inner, each)), CAN_NO)) {
        walk_sheet(p, &inner, depth + 1, item, items);
    }
}

static void walk_sheet(Proof *p, const Env *env, int depth, const Item **item, int items)
{
    if (depth == p->sheet->eachs.n) {
        prove(p, env, item, items);
        return;
    }
    const Each *each = p->sheet->eachs.at[depth];
    const Items *list = evaluate_list(env, each->list);
    for (int i = 0; i < list->n; i++) {
        if (each->b == NULL) {
            walk_item(p, env, depth, item, items, &list->member[i], NULL);
        }
        for (int k = i + 1; each->b != NULL && k < list->n; k++) {
            walk_item(p, env, depth, item, items, &list->member[i], &list->member[k]);
        }
    }
}

/* Under each reading of the code, or none. */
static const char *prove_all(Proof *p, const Holder *holders, const Vec *readings)
{
    const Item *item[16];
    for (int i = 0; i < (readings->n == 0 ? 1 : readings->n); i++) {
        const Reading *reading = readings->n == 0 ? NULL : readings->at[i];
        Env env = {.local = &p->sheet->defines,
                   .shared = reading == NULL ? NULL : &reading->defines,
                   .holders = holders,
                   .review = p->sheets->review};
        walk_sheet(p, &env, 0, item, 0);
    }
    return p->fault != NULL ? p->fault : p->tuples == 0 ? "no such items" : NULL;
}

/* The jurisdiction's names, then those of each of its codes. */
static const Holder *all_holders(const Holder *own, const Vec *codes)
{
    Vec order = {0};
    for (const Holder *h = own; h != NULL; h = h->next) {
        vec_add(&order, NEW(Holder));
        *(Holder *)order.at[order.n - 1] = *h;
    }
    for (int i = 0; i < codes->n; i++) {
        vec_add(&order, NEW(Holder));
        *(Holder *)order.at[order.n - 1] = ((const Code *)codes->at[i])->holder;
    }
    for (int i = 0; i < order.n; i++) {
        ((Holder *)order.at[i])->next = i + 1 < order.n ? order.at[i + 1] : NULL;
    }
    return order.n == 0 ? NULL : order.at[0];
}

const char *step_differs(const Sheets *sheets, const Expected *x)
{
    static const Vec NO_READINGS = {0};
    Proof p = {.sheets = sheets, .x = x};
    p.sheet = sheet_of(sheets->holders, x->sheet, false);
    const Holder *holders = NULL;
    const Vec *readings = &NO_READINGS;
    if (p.sheet != NULL) {
        holders = all_holders(sheets->holders, &sheets->codes);
        for (int i = 0; i < sheets->codes.n; i++) {
            const Vec *own = &((const Code *)sheets->codes.at[i])->holder.readings;
            readings = readings->n == 0 ? own : readings;
        }
    }
    for (int i = 0; p.sheet == NULL && i < sheets->codes.n; i++) {
        const Code *code = sheets->codes.at[i];
        p.sheet = sheet_of(&code->holder, x->sheet, true);
        holders = &code->holder;
        readings = &code->holder.readings;
    }
    if (p.sheet == NULL || step_find(p.sheet, x->step) == NULL) {
        return "no such step";
    }
    return prove_all(&p, holders, readings);
}
