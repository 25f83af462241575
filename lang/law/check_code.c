/* Making code: nodes with their place, and what can be read off finished code (the slots it
 * reads, the values that the vocabulary's bounds leave it). */
#include "law/check.h"

Code *code_make(Check *c, CodeOp op, const Expr *at, Type type)
{
    Code *code = ARENA_NEW(c->arena, Code);
    code->op = (uint8_t)op;
    code->type = type;
    code->expr = at;
    code->source = c->context.source;
    code->depth = 1;
    return code;
}

const Code *code_bad(Check *c, const Expr *at)
{
    return code_make(c, CODE_BAD, at, type_of_class(CLASS_BAD));
}

static void deepen(uint32_t *depth, const Code *part)
{
    if (part != NULL && part->depth >= *depth) {
        *depth = part->depth + 1;
    }
}

const Code *code_done(Check *c, Code *code)
{
    deepen(&code->depth, code->a);
    deepen(&code->depth, code->b);
    deepen(&code->depth, code->c);
    for (uint32_t i = 0; i < code->count && code->args != NULL; i++) {
        deepen(&code->depth, code->args[i]);
    }
    if (code->depth <= CODE_DEPTH_MAX) {
        return code;
    }
    diagnostic_error(c->diags, "nested too deeply", code_place(code),
                     "this rests on definitions within definitions, more than %d deep",
                     CODE_DEPTH_MAX);
    return code_bad(c, code->expr);
}

const Code *code_unary(Check *c, CodeOp op, const Expr *at, Type type, const Code *a)
{
    Code *code = code_make(c, op, at, type);
    code->a = a;
    code->unit = a->unit;
    return code_done(c, code);
}

const Code *code_binary(Check *c, CodeOp op, const Expr *at, Type type, const Code *a,
                        const Code *b)
{
    Code *code = code_make(c, op, at, type);
    code->a = a;
    code->b = b;
    return code_done(c, code);
}

const Code *code_constant(Check *c, const Expr *at, Type type, Value value, const Unit *unit)
{
    Code *code = code_make(c, CODE_CONSTANT, at, type);
    Value *copy = ARENA_NEW(c->arena, Value);
    *copy = value;
    copy->can = CAN_BE_PRESENT;
    code->value = copy;
    code->unit = unit;
    return code;
}

const Code *code_number(Check *c, const Expr *at, Rational number)
{
    Value value = {.kind = VALUE_RANGE, .range = range_exact(number)};
    return code_constant(c, at, type_number(DIMENSION_NUMBER), value, NULL);
}

const Code *code_word(Check *c, const Expr *at, const Choice *choice, uint32_t index)
{
    Type type = {.class = CLASS_CHOICE, .choice = choice};
    Value value = {.kind = VALUE_WORDS, .words = UINT64_C(1) << index};
    return code_constant(c, at, type, value, NULL);
}

const Code *code_truth(Check *c, const Expr *at, bool truth)
{
    Value value = {.kind = VALUE_TRUTH, .truth = truth ? TRUTH_TRUE : TRUTH_FALSE};
    return code_constant(c, at, type_of_class(CLASS_YES_NO), value, NULL);
}

uint32_t slot_new(Check *c)
{
    return c->slots++;
}

/* Definitions are not entered: they are compiled outside every quantifier. */
bool code_uses_slots(const Code *code, uint32_t first, uint32_t end)
{
    if (code == NULL) {
        return false;
    }
    if (code->op == CODE_VARIABLE) {
        return code->slot >= first && code->slot < end;
    }
    if (code->op == CODE_DEFINED) {
        return false;
    }
    for (uint32_t i = 0; i < code->count && code->args != NULL; i++) {
        if (code_uses_slots(code->args[i], first, end)) {
            return true;
        }
    }
    if (code->op == CODE_CALL) {
        return false;
    }
    return code_uses_slots(code->a, first, end) || code_uses_slots(code->b, first, end) ||
           code_uses_slots(code->c, first, end);
}

/* ---- what the vocabulary's bounds leave ---- */

enum { RANGE_STEPS_MAX = 200 };

static bool range_of(Check *c, const Code *code, Range *out, unsigned *steps);

static bool range_of_pair(Check *c, const Code *code, Range *out, unsigned *steps)
{
    Range a;
    Range b;
    if (!range_of(c, code->a, &a, steps) || !range_of(c, code->b, &b, steps)) {
        return false;
    }
    switch ((int)code->op) {
    case CODE_ADD: *out = range_add(c->arena, &a, &b); return true;
    case CODE_SUBTRACT: *out = range_sub(c->arena, &a, &b); return true;
    case CODE_MULTIPLY: *out = range_mul(c->arena, &a, &b); return true;
    default: *out = range_hull(&a, &b); return true; /* if none */
    }
}

static bool range_of_extreme(Check *c, const Code *code, Range *out, unsigned *steps)
{
    for (uint32_t i = 0; i < code->count; i++) {
        Range arg;
        if (!range_of(c, code->args[i], &arg, steps)) {
            return false;
        }
        if (i == 0) {
            *out = arg;
        } else {
            *out = code->op == CODE_MAX ? range_max(out, &arg) : range_min(out, &arg);
        }
    }
    return code->count > 0;
}

static bool range_of(Check *c, const Code *code, Range *out, unsigned *steps)
{
    if (code == NULL || code->type.class != CLASS_NUMBER || (*steps)++ > RANGE_STEPS_MAX) {
        return false;
    }
    switch ((int)code->op) {
    case CODE_CONSTANT: *out = code->value->range; return true;
    case CODE_FACT:
    case CODE_FIELD: *out = code->field->bounds; return true;
    case CODE_DEFINED: return range_of(c, code->a, out, steps);
    case CODE_COUNT: *out = (Range){.low = RATIONAL_ZERO, .flags = RANGE_NO_HIGH}; return true;
    case CODE_LEAST:
    case CODE_GREATEST: return range_of(c, code->c, out, steps);
    case CODE_ADD:
    case CODE_SUBTRACT:
    case CODE_MULTIPLY:
    case CODE_IF_NONE: return range_of_pair(c, code, out, steps);
    case CODE_MIN:
    case CODE_MAX: return range_of_extreme(c, code, out, steps);
    default: return false;
    }
}

bool code_range(Check *c, const Code *code, Range *out)
{
    unsigned steps = 0;
    return range_of(c, code, out, &steps);
}
