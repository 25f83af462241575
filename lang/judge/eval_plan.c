/* Geometry in plan: each item with a position and sizes (the vocabulary's `plan` line) is a
 * rectangle with its sides along the unit. Where one of two items has no depth in plan, both are
 * taken along the unit's length alone. */
#include "judge/eval.h"

typedef struct Extent {
    Value start, end;
} Extent;

typedef struct Outline {
    Extent along, across;
    bool has_across;
} Outline;

static void extent_of(Eval *e, const Value *item, const Field *at, const Field *size, Extent *out)
{
    Value length;
    eval_field(e, item, at, &out->start);
    eval_field(e, item, size, &length);
    number_add(e, &out->start, &length, &out->end);
}

static const Record *record_of(const Value *item)
{
    if ((item->can & CAN_BE_PRESENT) == 0)
        return NULL;
    if (!item->known)
        return item->list->record;
    return item->item == NULL ? NULL : item->item->record;
}

static bool outline_of(Eval *e, const Value *item, Outline *out)
{
    const Record *record = record_of(item);
    if (record == NULL || record->plan_x == NULL || record->plan_along == NULL)
        return false;
    extent_of(e, item, record->plan_x, record->plan_along, &out->along);
    out->has_across = record->plan_y != NULL && record->plan_across != NULL;
    if (out->has_across)
        extent_of(e, item, record->plan_y, record->plan_across, &out->across);
    return true;
}

static Value extent_covers(Eval *e, const Extent *outer, const Extent *inner)
{
    Value before = number_compare(e, COMPARE_LESS_EQUAL, &outer->start, &inner->start);
    Value after = number_compare(e, COMPARE_LESS_EQUAL, &inner->end, &outer->end);
    return truth_of_and(e, &before, &after);
}

static Value extent_overlaps(Eval *e, const Extent *a, const Extent *b)
{
    Value left = number_compare(e, COMPARE_LESS, &a->start, &b->end);
    Value right = number_compare(e, COMPARE_LESS, &b->start, &a->end);
    return truth_of_and(e, &left, &right);
}

/* The clear distance along one direction: zero where they overlap. */
static void extent_gap(Eval *e, const Extent *a, const Extent *b, Value *out)
{
    Value one, other, wider, zero = value_exact(RATIONAL_ZERO);
    number_subtract(e, &b->start, &a->end, &one);
    number_subtract(e, &a->start, &b->end, &other);
    number_extreme(e, &one, &other, true, &wider);
    number_extreme(e, &wider, &zero, true, out);
}

static void extent_overhang(Eval *e, const Extent *outer, const Extent *inner, Value *out)
{
    Value before, after;
    number_subtract(e, &inner->start, &outer->start, &before);
    number_subtract(e, &outer->end, &inner->end, &after);
    number_extreme(e, &before, &after, false, out);
}

static bool is_zero(const Value *value)
{
    return value->can == CAN_BE_PRESENT && range_is_exact(&value->range) &&
           rational_sign(value->range.low) == 0;
}

/* Straight across when one direction is clear, else the square root of the sum of squares,
 * kept as a root so that comparisons stay exact. */
static void plan_gap(Eval *e, const Outline *a, const Outline *b, Value *out)
{
    Value along, across, along2, across2;
    extent_gap(e, &a->along, &b->along, &along);
    *out = along;
    if (!a->has_across || !b->has_across)
        return;
    extent_gap(e, &a->across, &b->across, &across);
    if (is_zero(&across))
        return;
    if (is_zero(&along)) {
        *out = across;
        return;
    }
    number_multiply(e, &along, &along, &along2);
    number_multiply(e, &across, &across, &across2);
    number_add(e, &along2, &across2, out);
    Rational root;
    if ((out->can & CAN_BE_PRESENT) == 0)
        return;
    if (range_is_exact(&out->range) && rational_root_exact(e->arena, out->range.low, 2, &root))
        out->range = range_exact(root);
    else
        out->root = 2;
}

static Value combine_truths(Eval *e, const Outline *a, const Outline *b,
                            Value (*relate)(Eval *, const Extent *, const Extent *))
{
    Value truth = relate(e, &a->along, &b->along);
    if (!a->has_across || !b->has_across)
        return truth;
    Value across = relate(e, &a->across, &b->across);
    return truth_of_and(e, &truth, &across);
}

static Value no_outline(Eval *e, const Value *a, const Value *b)
{
    const Waits *waits = waits_join(e->arena, a->waits, b->waits);
    if (waits == NULL)
        waits = waits_word(e->arena, REASON_NO_RULE, TEXT("a place in plan"));
    return value_truth(TRUTH_UNKNOWN, waits);
}

Value plan_covers(Eval *e, const Value *outer, const Value *inner)
{
    Outline a, b;
    if (!outline_of(e, outer, &a) || !outline_of(e, inner, &b))
        return no_outline(e, outer, inner);
    return combine_truths(e, &a, &b, extent_covers);
}

void eval_plan(Eval *e, const Code *code, Value *out)
{
    Value left, right;
    Outline a, b;
    eval(e, code->a, &left);
    eval(e, code->b, &right);
    bool number = code->op == CODE_GAP || code->op == CODE_OVERHANG;
    if (!outline_of(e, &left, &a) || !outline_of(e, &right, &b)) {
        *out = no_outline(e, &left, &right);
        if (number)
            *out = value_nothing(VALUE_RANGE, out->waits);
        return;
    }
    if (code->op == CODE_COVERS) {
        *out = combine_truths(e, &a, &b, extent_covers);
    } else if (code->op == CODE_OVERLAPS) {
        *out = combine_truths(e, &a, &b, extent_overlaps);
    } else if (code->op == CODE_GAP) {
        plan_gap(e, &a, &b, out);
    } else {
        Value across, least;
        extent_overhang(e, &a.along, &b.along, out);
        if (!a.has_across || !b.has_across)
            return;
        extent_overhang(e, &a.across, &b.across, &across);
        number_extreme(e, out, &across, false, &least);
        *out = least;
    }
}
