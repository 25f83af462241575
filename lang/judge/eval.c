/* The evaluator: one small function per kind of code, over values that say what they do not
 * know. Takes checked code (law/code.h) and a spec; gives a value; cannot fail and cannot loop:
 * the code is a finite tree without recursion and lists are finite. */
#include <string.h>

#include "judge/eval.h"

/* ---- values ---- */

Value value_truth(Truth truth, const Waits *waits)
{
    return (Value){
        .kind = VALUE_TRUTH, .can = CAN_BE_PRESENT, .truth = (uint8_t)truth, .waits = waits};
}

Value value_exact(Rational number)
{
    return (Value){.kind = VALUE_RANGE, .can = CAN_BE_PRESENT, .range = range_exact(number)};
}

/* A value that cannot be present still holds a range that can be printed and compared. */
static Value value_void(uint8_t kind, uint8_t can, const Waits *waits)
{
    Value value = {.kind = kind, .can = can, .truth = TRUTH_UNKNOWN, .waits = waits};
    if (kind == VALUE_RANGE)
        value.range = range_everything();
    return value;
}

Value value_nothing(uint8_t kind, const Waits *waits)
{
    return value_void(kind, CAN_BE_NOTHING, waits);
}

Value value_none(uint8_t kind, const Waits *waits)
{
    return value_void(kind, CAN_BE_NONE, waits);
}

Value value_item(const Item *item)
{
    return (Value){.kind = VALUE_ITEM, .can = CAN_BE_PRESENT, .known = true, .item = item};
}

/* Two texts, sizes, items or lists joined: what both agree on, else nothing is known. */
static void join_payload(Eval *e, const Value *a, const Value *b, Value *out)
{
    switch ((ValueKind)a->kind) {
    case VALUE_RANGE: {
        Value left = *a, right = *b;
        if (left.root != right.root) {
            number_settle(e, &left);
            number_settle(e, &right);
            out->root = 0;
        }
        out->range = range_hull(&left.range, &right.range);
        break;
    }
    case VALUE_TRUTH: out->truth = a->truth == b->truth ? a->truth : (uint8_t)TRUTH_UNKNOWN; break;
    case VALUE_WORDS: out->words = a->words | b->words; break;
    case VALUE_TEXT: out->known = a->known && b->known && text_equal(a->text, b->text); break;
    case VALUE_SIZE: {
        Range *size = ARENA_ARRAY(e->arena, Range, 3);
        for (int i = 0; i < 3; i++)
            size[i] = range_hull(&a->size[i], &b->size[i]);
        out->size = size;
        break;
    }
    case VALUE_ITEM:
    case VALUE_LIST: break; /* the checker allows no choice between these */
    }
}

void value_join(Eval *e, const Value *a, const Value *b, const Waits *waits, Value *out)
{
    Value joined = *a;
    if ((a->can & CAN_BE_PRESENT) == 0)
        joined = *b;
    else if ((b->can & CAN_BE_PRESENT) != 0)
        join_payload(e, a, b, &joined);
    joined.can = a->can | b->can;
    joined.waits = waits_join(e->arena, waits, waits_join(e->arena, a->waits, b->waits));
    bool one = (joined.kind == VALUE_RANGE && range_is_exact(&joined.range)) ||
               (joined.kind == VALUE_WORDS && (joined.words & (joined.words - 1)) == 0);
    if (one && joined.can == CAN_BE_PRESENT)
        joined.waits = NULL; /* all cases agree */
    *out = joined;
}

uint64_t words_all(const Choice *choice)
{
    return choice->count >= 64 ? UINT64_MAX : (UINT64_C(1) << choice->count) - 1;
}

Value value_of_words(uint64_t words)
{
    return (Value){.kind = VALUE_WORDS, .can = CAN_BE_PRESENT, .words = words};
}

void value_unstated(Eval *e, const Item *item, const Field *field, const Waits *waits, Value *out)
{
    Value value = {.can = CAN_BE_PRESENT, .waits = waits, .truth = TRUTH_UNKNOWN};
    switch ((TypeClass)field->type.class) {
    case CLASS_NUMBER:
        value.kind = VALUE_RANGE;
        value.range = field->bounds;
        break;
    case CLASS_DATE:
        value.kind = VALUE_RANGE;
        value.range = range_everything();
        break;
    case CLASS_BAD:
    case CLASS_YES_NO: value.kind = VALUE_TRUTH; break;
    case CLASS_CHOICE:
        value.kind = VALUE_WORDS;
        value.words = words_all(field->type.choice);
        break;
    case CLASS_TEXT: value.kind = VALUE_TEXT; break;
    case CLASS_SIZE: {
        Range *size = ARENA_ARRAY(e->arena, Range, 3);
        for (int i = 0; i < 3; i++)
            size[i] = (Range){.low = RATIONAL_ZERO, .flags = RANGE_NO_HIGH};
        value.kind = VALUE_SIZE;
        value.size = size;
        break;
    }
    case CLASS_ITEM:
        value.kind = VALUE_ITEM;
        value.known = true;
        value.item = phantom_item(e, item, field, field->type.record);
        break;
    case CLASS_LIST: {
        List *list = ARENA_NEW(e->arena, List);
        list->record = field->type.record;
        list->open = true;
        list->waits = waits;
        value.kind = VALUE_LIST;
        value.list = list;
        break;
    }
    }
    if (!field->always_present)
        value.can |= CAN_BE_NONE;
    *out = value;
}

/* ---- facts ---- */

/* The shop's tolerance for a drawn length, or NULL. */
static const Tolerance *tolerance_for(const Spec *spec, const Field *field)
{
    static const Dimension length = {.length = 1};
    if (field->type.class != CLASS_NUMBER || !dimension_equal(field->type.dimension, length))
        return NULL;
    const Tolerance *any = NULL;
    for (uint32_t i = 0; i < spec->tolerance_count; i++) {
        const Tolerance *tolerance = &spec->tolerances[i];
        if (tolerance->class == NULL)
            any = tolerance;
        else if (tolerance->class == field->built_as)
            return tolerance;
    }
    return any;
}

static void widen_fact(Eval *e, const Item *item, const Field *field, Value *out)
{
    const Tolerance *tolerance = tolerance_for(e->spec, field);
    if (tolerance == NULL || out->kind != VALUE_RANGE || !range_is_exact(&out->range))
        return;
    Rational value = out->range.low;
    out->range = range_between(rational_sub(e->arena, value, tolerance->amount),
                               rational_add(e->arena, value, tolerance->amount));
    out->waits = waits_fact(e->arena, REASON_STRADDLES, item, field);
}

static void open_list(Eval *e, const Item *item, const Field *field, Value *out)
{
    List *list = ARENA_NEW(e->arena, List);
    *list = *out->list;
    list->waits = waits_fact(e->arena, REASON_MORE_ITEMS, item, field);
    out->list = list;
    out->waits = list->waits;
}

static void read_fact(Eval *e, const Item *item, const Field *field, Value *out)
{
    if (field->gathers) {
        eval_gather(e, item, field, out);
        return;
    }
    const Fact *fact = item->phantom ? NULL : &item->facts[field->index];
    if (fact == NULL || fact->state == FACT_UNSTATED) {
        value_unstated(e, item, field, waits_fact(e->arena, REASON_NOT_STATED, item, field), out);
        return;
    }
    *out = fact->value;
    if (fact->state == FACT_NONE) {
        *out = value_none(value_kind(&field->type), NULL);
        return;
    }
    if (fact->inexact)
        out->waits = waits_fact(e->arena, REASON_STRADDLES, item, field);
    if (out->kind == VALUE_LIST && out->list->open)
        open_list(e, item, field, out);
    if (e->widen)
        widen_fact(e, item, field, out);
}

void eval_field(Eval *e, const Value *item, const Field *field, Value *out)
{
    if ((item->can & CAN_BE_PRESENT) == 0) {
        value_unstated(e, NULL, field, item->waits, out);
        out->can = item->can;
        return;
    }
    if (item->known) {
        read_fact(e, item->item, field, out);
    } else { /* one of several candidates */
        const List *list = item->list;
        read_fact(e, list->members[0].item, field, out);
        for (uint32_t i = 1; i < list->count; i++) {
            Value other;
            read_fact(e, list->members[i].item, field, &other);
            value_join(e, out, &other, item->waits, out);
        }
    }
    if (item->can != CAN_BE_PRESENT) {
        out->can |= item->can & (CAN_BE_NONE | CAN_BE_NOTHING);
        out->waits = waits_join(e->arena, item->waits, out->waits);
    }
}

static void eval_by_key(Eval *e, const Code *code, Value *out)
{
    Value list;
    eval(e, code->a, &list);
    *out = value_none(VALUE_ITEM, NULL);
    if ((list.can & CAN_BE_PRESENT) == 0)
        return;
    for (uint32_t i = 0; i < list.list->count; i++) {
        const Member *member = &list.list->members[i];
        if (!text_equal(member->item->key, *code->text))
            continue;
        *out = value_item(member->item);
        if (member->doubt != NULL) {
            out->can |= CAN_BE_NONE;
            out->waits = member->doubt;
        }
        return;
    }
    if (!list.list->open)
        return;
    *out = value_item(phantom_item(e, NULL, NULL, list.list->record));
    out->can |= CAN_BE_NONE;
    out->waits = list.list->waits;
}

/* ---- truths ---- */

Value truth_of_not(Value a)
{
    a.truth = (uint8_t)truth_not((Truth)a.truth);
    return a;
}

Value truth_of_and(Eval *e, const Value *a, const Value *b)
{
    if (a->truth == TRUTH_FALSE && b->truth == TRUTH_FALSE)
        return a->waits == NULL ? *a : *b;
    if (a->truth == TRUTH_FALSE)
        return *a;
    if (b->truth == TRUTH_FALSE)
        return *b;
    if (a->truth == b->truth)
        return value_truth((Truth)a->truth, waits_join(e->arena, a->waits, b->waits));
    return a->truth == TRUTH_UNKNOWN ? *a : *b;
}

Value truth_of_or(Eval *e, const Value *a, const Value *b)
{
    Value left = truth_of_not(*a), right = truth_of_not(*b);
    return truth_of_not(truth_of_and(e, &left, &right));
}

Value truth_of_choice(Eval *e, const Value *c, const Value *x, const Value *y)
{
    if (c->truth == TRUTH_TRUE)
        return value_truth((Truth)x->truth, waits_join(e->arena, c->waits, x->waits));
    if (c->truth == TRUTH_FALSE)
        return value_truth((Truth)y->truth, waits_join(e->arena, c->waits, y->waits));
    if (x->truth == y->truth && x->truth != TRUTH_UNKNOWN)
        return value_truth((Truth)x->truth, waits_join(e->arena, x->waits, y->waits));
    const Waits *waits = c->waits;
    if (x->truth == TRUTH_UNKNOWN)
        waits = waits_join(e->arena, waits, x->waits);
    if (y->truth == TRUTH_UNKNOWN)
        waits = waits_join(e->arena, waits, y->waits);
    return value_truth(TRUTH_UNKNOWN, waits);
}

Value eval_truth(Eval *e, const Code *code)
{
    Value value;
    eval(e, code, &value);
    if ((value.can & CAN_BE_PRESENT) == 0)
        value.truth = TRUTH_UNKNOWN;
    return value;
}

static void eval_and(Eval *e, const Code *code, Value *out)
{
    Value a = eval_truth(e, code->a);
    if (a.truth == TRUTH_FALSE) {
        *out = a;
        return;
    }
    Value b = eval_truth(e, code->b);
    *out = truth_of_and(e, &a, &b);
}

static void eval_or(Eval *e, const Code *code, Value *out)
{
    Value a = eval_truth(e, code->a);
    if (a.truth == TRUTH_TRUE) {
        *out = a;
        return;
    }
    Value b = eval_truth(e, code->b);
    *out = truth_of_or(e, &a, &b);
}

/* any of, all of: stops at the first member that decides. */
static void eval_block(Eval *e, const Code *code, Value *out)
{
    bool any = code->op == CODE_ANY_OF;
    Value result = value_truth(any ? TRUTH_FALSE : TRUTH_TRUE, NULL);
    for (uint32_t i = 0; i < code->count; i++) {
        Value member = eval_truth(e, code->args[i]);
        result = any ? truth_of_or(e, &result, &member) : truth_of_and(e, &result, &member);
        if (result.truth == (any ? TRUTH_TRUE : TRUTH_FALSE))
            break;
    }
    *out = result;
}

static void eval_is_none(Eval *e, const Code *code, Value *out)
{
    Value a;
    eval(e, code->a, &a);
    Truth truth = (a.can & CAN_BE_NONE) == 0 ? TRUTH_FALSE
                  : a.can == CAN_BE_NONE     ? TRUTH_TRUE
                                             : TRUTH_UNKNOWN;
    if (truth != TRUTH_FALSE && (a.can & CAN_BE_NOTHING) != 0)
        truth = TRUTH_UNKNOWN;
    const Waits *waits = truth == TRUTH_UNKNOWN ? a.waits : NULL;
    if (code->flag)
        truth = truth_not(truth);
    *out = value_truth(truth, waits);
}

/* ---- words, yes/no, texts: absent is no word ---- */

typedef struct Sides {
    bool maybe_none; /* one side can be absent and is not assumed present */
    bool sure_none;  /* one side is absent, or has no value */
    bool nothing;    /* one side can have no value */
    const Waits *waits;
} Sides;

static Sides sides_of(Eval *e, const Value *a, const Value *b)
{
    Sides sides = {0};
    bool a_present = (a->can & CAN_BE_PRESENT) != 0, b_present = (b->can & CAN_BE_PRESENT) != 0;
    sides.sure_none = !a_present || !b_present;
    sides.nothing = ((a->can | b->can) & CAN_BE_NOTHING) != 0;
    sides.maybe_none = ((a->can | b->can) & CAN_BE_NONE) != 0 && !e->assume_present;
    sides.waits = waits_join(e->arena, a->waits, b->waits);
    return sides;
}

/* An equality that is `present` where both sides are there, false where one is absent. */
static Value equality(const Sides *sides, Truth present)
{
    if (sides->nothing)
        return value_truth(TRUTH_UNKNOWN, sides->waits);
    if (sides->sure_none)
        return value_truth(TRUTH_FALSE, sides->waits);
    if (sides->maybe_none && present != TRUTH_FALSE)
        present = TRUTH_UNKNOWN;
    return value_truth(present, sides->waits);
}

static Truth words_equal(uint64_t a, uint64_t b)
{
    if ((a & b) == 0)
        return TRUTH_FALSE;
    bool single = (a & (a - 1)) == 0 && (b & (b - 1)) == 0;
    return single ? TRUTH_TRUE : TRUTH_UNKNOWN;
}

/* Words of an ordered choice, least first, are bits in rising order. */
static Range words_range(uint64_t words)
{
    int low = __builtin_ctzll(words), high = 63 - __builtin_clzll(words);
    return range_between(RATIONAL(low, 1), RATIONAL(high, 1));
}

static Value compare_words(Eval *e, CompareOp op, const Value *a, const Value *b)
{
    Sides sides = sides_of(e, a, b);
    bool present = !sides.sure_none;
    if (op == COMPARE_EQUAL || op == COMPARE_NOT_EQUAL) {
        Value equal = equality(&sides, present ? words_equal(a->words, b->words) : TRUTH_FALSE);
        return op == COMPARE_EQUAL ? equal : truth_of_not(equal);
    }
    if (!present)
        return value_truth(TRUTH_UNKNOWN, sides.waits);
    Value left = *a, right = *b;
    left.kind = right.kind = VALUE_RANGE;
    left.root = right.root = 0;
    left.range = words_range(a->words);
    right.range = words_range(b->words);
    return number_compare(e, op, &left, &right);
}

static Value compare_truths(Eval *e, CompareOp op, const Value *a, const Value *b)
{
    Sides sides = sides_of(e, a, b);
    Truth present = a->truth == TRUTH_UNKNOWN || b->truth == TRUTH_UNKNOWN ? TRUTH_UNKNOWN
                    : a->truth == b->truth                                 ? TRUTH_TRUE
                                                                           : TRUTH_FALSE;
    Value equal = equality(&sides, present);
    return op == COMPARE_EQUAL ? equal : truth_of_not(equal);
}

static Value compare_texts(Eval *e, CompareOp op, const Value *a, const Value *b)
{
    Sides sides = sides_of(e, a, b);
    Truth present = !a->known || !b->known         ? TRUTH_UNKNOWN
                    : text_equal(a->text, b->text) ? TRUTH_TRUE
                                                   : TRUTH_FALSE;
    Value equal = equality(&sides, present);
    return op == COMPARE_EQUAL ? equal : truth_of_not(equal);
}

Value compare_values(Eval *e, CompareOp op, const Value *a, const Value *b)
{
    switch ((ValueKind)a->kind) {
    case VALUE_WORDS: return compare_words(e, op, a, b);
    case VALUE_TRUTH: return compare_truths(e, op, a, b);
    case VALUE_TEXT: return compare_texts(e, op, a, b);
    case VALUE_RANGE: return number_compare(e, op, a, b);
    case VALUE_SIZE:
    case VALUE_ITEM:
    case VALUE_LIST: break;
    }
    return value_truth(TRUTH_UNKNOWN, a->waits);
}

static void eval_compare(Eval *e, const Code *code, Value *out)
{
    Value a, b;
    eval(e, code->a, &a);
    eval(e, code->b, &b);
    *out = compare_values(e, (CompareOp)code->sub, &a, &b);
}

/* among: words are one set, so that "a or b" is sure of a choice that is a or b. */
static void eval_among(Eval *e, const Code *code, Value *out)
{
    Value a;
    eval(e, code->a, &a);
    Value result = value_truth(TRUTH_FALSE, NULL);
    uint64_t set = 0;
    for (uint32_t i = 0; i < code->count; i++) {
        Value member;
        eval(e, code->args[i], &member);
        if (a.kind == VALUE_WORDS && member.can == CAN_BE_PRESENT &&
            (member.words & (member.words - 1)) == 0) {
            set |= member.words;
            continue;
        }
        Value one = compare_values(e, COMPARE_EQUAL, &a, &member);
        result = truth_of_or(e, &result, &one);
    }
    if (set != 0) {
        Sides sides = sides_of(e, &a, &a);
        Truth present = sides.sure_none         ? TRUTH_FALSE
                        : (a.words & ~set) == 0 ? TRUTH_TRUE
                        : (a.words & set) == 0  ? TRUTH_FALSE
                                                : TRUTH_UNKNOWN;
        Value one = equality(&sides, present);
        result = truth_of_or(e, &result, &one);
    }
    *out = result;
}

static void eval_within(Eval *e, const Code *code, Value *out)
{
    Value a, b, low, high;
    eval(e, code->a, &a);
    eval(e, code->b, &b);
    number_subtract(e, &b, code->value, &low);
    number_add(e, &b, code->value, &high);
    Value above = number_compare(e, COMPARE_GREATER_EQUAL, &a, &low);
    Value below = number_compare(e, COMPARE_LESS_EQUAL, &a, &high);
    *out = truth_of_and(e, &above, &below);
}

static Truth size_fits(const Range *outer, const Range *inner, const int *order)
{
    Truth all = TRUTH_TRUE;
    for (int i = 0; i < 3; i++)
        all = truth_and(all, range_less_equal(&inner[order[i]], &outer[i]));
    return all;
}

static void eval_holds(Eval *e, const Code *code, Value *out)
{
    static const int orders[6][3] = {{0, 1, 2}, {0, 2, 1}, {1, 0, 2},
                                     {1, 2, 0}, {2, 0, 1}, {2, 1, 0}};
    Value a, b;
    eval(e, code->a, &a);
    eval(e, code->b, &b);
    const Waits *waits = waits_join(e->arena, a.waits, b.waits);
    Truth truth = TRUTH_UNKNOWN;
    if ((a.can & b.can & CAN_BE_PRESENT) != 0) {
        truth = TRUTH_FALSE;
        for (int i = 0; i < (code->flag ? 6 : 1); i++)
            truth = truth_or(truth, size_fits(a.size, b.size, orders[i]));
        if (((a.can | b.can) & CAN_BE_NOTHING) != 0)
            truth = TRUTH_UNKNOWN;
    }
    *out = value_truth(truth, waits);
}

static void eval_size(Eval *e, const Code *code, Value *out)
{
    Range *size = ARENA_ARRAY(e->arena, Range, 3);
    *out = (Value){.kind = VALUE_SIZE, .can = CAN_BE_PRESENT, .size = size};
    for (uint32_t i = 0; i < 3; i++) {
        Value side;
        eval(e, code->args[i], &side);
        number_settle(e, &side);
        size[i] = side.range;
        if ((side.can & CAN_BE_PRESENT) == 0)
            out->can &= (uint8_t)~CAN_BE_PRESENT;
        out->can |= side.can & (CAN_BE_NONE | CAN_BE_NOTHING);
        out->waits = waits_join(e->arena, out->waits, side.waits);
    }
}

/* ---- conditions between values ---- */

static void eval_if(Eval *e, const Code *code, Value *out)
{
    Value c = eval_truth(e, code->b);
    if (c.truth == TRUTH_TRUE) {
        eval(e, code->a, out);
    } else if (c.truth == TRUTH_FALSE) {
        eval(e, code->c, out);
    } else {
        Value x, y;
        eval(e, code->a, &x);
        eval(e, code->c, &y);
        if (x.kind == VALUE_TRUTH && ((x.can | y.can) & CAN_BE_NONE) == 0)
            *out = truth_of_choice(e, &c, &x, &y);
        else
            value_join(e, &x, &y, c.waits, out);
    }
}

static void eval_if_none(Eval *e, const Code *code, Value *out)
{
    eval(e, code->a, out);
    if ((out->can & CAN_BE_NONE) == 0)
        return;
    Value fallback, present = *out;
    eval(e, code->b, &fallback);
    if (out->can == CAN_BE_NONE) {
        *out = fallback;
        return;
    }
    present.can &= (uint8_t)~CAN_BE_NONE;
    value_join(e, &present, &fallback, NULL, out);
}

/* ---- names and dates ---- */

static void eval_defined(Eval *e, const Code *code, Value *out)
{
    if (!e->ready[code->slot]) {
        eval(e, code->a, &e->frame[code->slot]);
        e->ready[code->slot] = 1;
    }
    *out = e->frame[code->slot];
}

static void eval_call(Eval *e, const Code *code, Value *out)
{
    Value *args = ARENA_ARRAY(e->arena, Value, code->count + 1);
    for (uint32_t i = 0; i < code->count; i++)
        eval(e, code->args[i], &args[i]);
    memcpy(&e->frame[code->slot], args, code->count * sizeof *args);
    eval(e, code->a, out);
}

static Truth approval_state(const Eval *e, Text of)
{
    for (uint32_t i = 0; i < e->spec->decision_count; i++) {
        const Decision *decision = &e->spec->decisions[i];
        if (decision->kind != DECISION_APPROVAL || !text_equal(decision->of, of))
            continue;
        if (!decision_in_law(e->law, decision))
            continue;
        if (decision->from > e->on || decision->until < e->on)
            continue;
        if (decision->section.len > 0 &&
            (e->section == NULL || !decision_names(decision, e->section)))
            continue;
        return TRUTH_TRUE;
    }
    return TRUTH_FALSE;
}

static void eval_blank(Eval *e, const Code *code, Value *out)
{
    const Waits *waits = waits_word(e->arena, REASON_NO_RULE, *code->text);
    *out = value_nothing(value_kind(&code->type), waits);
}

void eval_reset(Eval *e)
{
    memset(e->ready, 0, e->frame_size);
}

void eval(Eval *e, const Code *code, Value *out)
{
    switch ((CodeOp)code->op) {
    case CODE_CONSTANT: *out = *code->value; break;
    case CODE_FACT: read_fact(e, e->spec->unit, code->field, out); break;
    case CODE_FIELD: {
        Value item;
        eval(e, code->a, &item);
        eval_field(e, &item, code->field, out);
        break;
    }
    case CODE_BY_KEY: eval_by_key(e, code, out); break;
    case CODE_VARIABLE: *out = e->frame[code->slot]; break;
    case CODE_WORDS: *out = value_of_words(words_all(code->type.choice)); break;
    case CODE_DEFINED: eval_defined(e, code, out); break;
    case CODE_CALL: eval_call(e, code, out); break;
    case CODE_REVIEW_DATE: *out = e->today; break;
    case CODE_PERMIT_DATE: *out = e->permit; break;
    case CODE_NOT: *out = truth_of_not(eval_truth(e, code->a)); break;
    case CODE_AND: eval_and(e, code, out); break;
    case CODE_OR: eval_or(e, code, out); break;
    case CODE_ANY_OF:
    case CODE_ALL_OF: eval_block(e, code, out); break;
    case CODE_COMPARE:
    case CODE_COMPARE_WORDS:
    case CODE_COMPARE_TRUTH:
    case CODE_COMPARE_TEXT: eval_compare(e, code, out); break;
    case CODE_IS_NONE: eval_is_none(e, code, out); break;
    case CODE_AMONG: eval_among(e, code, out); break;
    case CODE_WITHIN: eval_within(e, code, out); break;
    case CODE_ADD:
    case CODE_SUBTRACT:
    case CODE_MULTIPLY:
    case CODE_DIVIDE:
    case CODE_NEGATE:
    case CODE_MIN:
    case CODE_MAX:
    case CODE_ROOT:
    case CODE_POWER:
    case CODE_ROUND: eval_arithmetic(e, code, out); break;
    case CODE_SIZE: eval_size(e, code, out); break;
    case CODE_HOLDS: eval_holds(e, code, out); break;
    case CODE_COVERS:
    case CODE_OVERLAPS:
    case CODE_GAP:
    case CODE_OVERHANG: eval_plan(e, code, out); break;
    case CODE_QUANTIFIER: eval_quantifier(e, code, out); break;
    case CODE_TOTAL:
    case CODE_LEAST:
    case CODE_GREATEST:
    case CODE_COUNT: eval_aggregate(e, code, out); break;
    case CODE_THOSE:
    case CODE_COVERED: eval_selection(e, code, out); break;
    case CODE_FIRST: eval_first(e, code, out); break;
    case CODE_IF: eval_if(e, code, out); break;
    case CODE_IF_NONE: eval_if_none(e, code, out); break;
    case CODE_TABLE: eval_table(e, code, out); break;
    case CODE_APPROVAL: *out = value_truth(approval_state(e, *code->text), NULL); break;
    case CODE_BLANK: eval_blank(e, code, out); break;
    case CODE_BAD: *out = value_truth(TRUTH_UNKNOWN, NULL); break;
    }
}
