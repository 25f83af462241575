/* Geometry of the plan. An item's outline runs along from its first field by its length, and across from
 * another by its width where the record says so; two outlines are compared on the axes that both have. */
#include "oracle.h"

typedef struct Span {
    const Val *from, *length, *to;
} Span;

typedef struct Outline {
    Span axis[2];
    int axes;
    bool placed;
} Outline;

static const Val *placed_field(const Val *v, int field, bool *placed)
{
    const Val *f = val_field(v, v->item[0]->record->field[field].name);
    if (f->kind != VAL_NUMBER) {
        *placed = false;
        return f;
    }
    Val *present = NEW(Val);
    *present = *f;
    present->absent = false;
    return present;
}

static Span span_of(const Val *v, int from, int length, bool *placed)
{
    Span s = {placed_field(v, from, placed), placed_field(v, length, placed), NULL};
    s.to = *placed ? val_arithmetic(OP_ADD, s.from, s.length) : s.from;
    return s;
}

static Outline outline_of(const Val *v)
{
    Outline o = {.placed = v->kind == VAL_ITEM && v->items > 0};
    if (!o.placed) {
        return o;
    }
    const Record *record = v->item[0]->record;
    if (record->along < 0) {
        give_up("'%s' has no place in the plan", record->name);
    }
    o.axis[o.axes++] = span_of(v, record->along, record->length, &o.placed);
    if (record->across >= 0) {
        o.axis[o.axes++] = span_of(v, record->across, record->width, &o.placed);
    }
    return o;
}

static const Val *greater(const Val *a, const Val *b, bool most)
{
    Val *v = NEW(Val);
    *v = *a;
    v->range = most ? range_max(a->range, b->range) : range_min(a->range, b->range);
    v->broken = a->broken || b->broken;
    v->why = a->why | b->why;
    return v;
}

/* The clear distance on one axis: zero where the spans meet. */
static const Val *span_gap(const Span *a, const Span *b)
{
    const Val *before = val_arithmetic(OP_SUB, b->from, a->to),
              *after = val_arithmetic(OP_SUB, a->from, b->to);
    return greater(val_number(range_small(0, 1), 0, false), greater(before, after, true), true);
}

static const Val *outline_gap(const Outline *a, const Outline *b)
{
    if (!a->placed || !b->placed) {
        return val_broken(WHY_NO_RULE);
    }
    const Val *along = span_gap(&a->axis[0], &b->axis[0]);
    if (a->axes < 2 || b->axes < 2) {
        return along;
    }
    const Val *across = span_gap(&a->axis[1], &b->axis[1]);
    Val *v = NEW(Val);
    *v = *val_arithmetic(OP_ADD, val_arithmetic(OP_MUL, along, along),
                         val_arithmetic(OP_MUL, across, across));
    bool nothing = false;
    v->range = range_power(v->range, 1, 2, &v->broken, &nothing);
    return v;
}

/* From what is absent there is no distance: it is absent too. */
static const Val *absent_with(const Val *v, const Val *a, const Val *b)
{
    if (!a->absent && !b->absent) {
        return v;
    }
    bool none = (a->kind == VAL_VOID && a->absent) || (b->kind == VAL_VOID && b->absent);
    Val *out = NEW(Val);
    if (!none) {
        *out = *v;
    }
    out->absent = true;
    return out;
}

const Val *plan_gap(const Val *a, const Val *b)
{
    Outline x = outline_of(a), y = outline_of(b);
    return absent_with(outline_gap(&x, &y), a, b);
}

static int common_axes(const Outline *a, const Outline *b)
{
    return a->axes < b->axes ? a->axes : b->axes;
}

const Val *plan_overhang(const Val *a, const Val *b)
{
    Outline over = outline_of(a), under = outline_of(b);
    const Val *out = NULL;
    if (!over.placed || !under.placed) {
        return absent_with(val_broken(WHY_NO_RULE), a, b);
    }
    for (int i = 0; i < common_axes(&over, &under); i++) {
        const Val *first = val_arithmetic(OP_SUB, under.axis[i].from, over.axis[i].from);
        const Val *last = val_arithmetic(OP_SUB, over.axis[i].to, under.axis[i].to);
        const Val *here = greater(first, last, false);
        out = out == NULL ? here : greater(out, here, false);
    }
    return absent_with(out, a, b);
}

Truth plan_covers(const Val *a, const Val *b)
{
    Outline over = outline_of(a), under = outline_of(b);
    Truth t = truth_of(true);
    if (!over.placed || !under.placed) {
        return truth_open(WHY_NO_RULE);
    }
    for (int i = 0; i < common_axes(&over, &under); i++) {
        t = truth_and(t, val_compare(OP_LE, over.axis[i].from, under.axis[i].from, false));
        t = truth_and(t, val_compare(OP_LE, under.axis[i].to, over.axis[i].to, false));
    }
    return t;
}

/* They share an area: each begins before the other ends, and neither is a line. */
Truth plan_overlaps(const Val *a, const Val *b)
{
    Outline x = outline_of(a), y = outline_of(b);
    Truth t = truth_of(true);
    if (!x.placed || !y.placed) {
        return truth_open(WHY_NO_RULE);
    }
    const Val *zero = val_number(range_small(0, 1), 0, false);
    for (int i = 0; i < common_axes(&x, &y); i++) {
        t = truth_and(t, val_compare(OP_LT, x.axis[i].from, y.axis[i].to, false));
        t = truth_and(t, val_compare(OP_LT, y.axis[i].from, x.axis[i].to, false));
        t = truth_and(t, val_compare(OP_GT, x.axis[i].length, zero, false));
        t = truth_and(t, val_compare(OP_GT, y.axis[i].length, zero, false));
    }
    return t;
}
