/* Arithmetic and comparison of quantities. Exact values take the short way; ranges are computed
 * outward, so that a doubt may grow but a possible value is never lost. Roots keep their
 * radicand: compared with a rational they are compared by powers (meaning.md rule 19). */
#include "judge/eval.h"

/* Definite, present, no root: the common case. */
static bool plain(const Value *a)
{
    return a->can == CAN_BE_PRESENT && (a->range.flags & RANGE_EXACT) != 0 && a->root <= 1;
}

/* What the result of an operation on a and b can be, and what it waits for. */
static bool combine(Eval *e, const Value *a, const Value *b, Value *out)
{
    bool present = (a->can & b->can & CAN_BE_PRESENT) != 0;
    out->kind = VALUE_RANGE;
    out->root = 0;
    out->can = (uint8_t)((present ? CAN_BE_PRESENT : 0) |
                         ((a->can | b->can) & (CAN_BE_NONE | CAN_BE_NOTHING)));
    out->waits = waits_join(e->arena, a->waits, b->waits);
    return present;
}

/* A result that came out exact waits for nothing: no fact could change it. */
static void close_value(Value *out)
{
    if (out->can == CAN_BE_PRESENT && range_is_exact(&out->range))
        out->waits = NULL;
}

void number_settle(Eval *e, Value *value)
{
    if (value->root <= 1)
        return;
    Range in = value->range, result = {.flags = in.flags & (RANGE_NO_LOW | RANGE_NO_HIGH |
                                                            RANGE_LOW_OPEN | RANGE_HIGH_OPEN)};
    unsigned degree = value->root;
    value->root = 0;
    bool exact = range_is_exact(&in);
    Rational low, high;
    if (exact && rational_root_exact(e->arena, in.low, degree, &low)) {
        value->range = range_exact(low);
        return;
    }
    if ((in.flags & RANGE_NO_LOW) == 0)
        rational_root_bounds(e->arena, in.low, degree, &result.low, &high);
    if (exact)
        in.high = in.low;
    if ((in.flags & RANGE_NO_HIGH) == 0)
        rational_root_bounds(e->arena, in.high, degree, &low, &result.high);
    value->range = result;
    if (exact && value->waits == NULL)
        value->waits = waits_word(e->arena, REASON_PRECISION, TEXT("an irrational root"));
}

static void binary(Eval *e, const Value *a, const Value *b,
                   Range (*operation)(Arena *, const Range *, const Range *), Value *out)
{
    Value left = *a, right = *b;
    number_settle(e, &left);
    number_settle(e, &right);
    Value result = value_none(VALUE_RANGE, NULL);
    if (combine(e, &left, &right, &result)) {
        result.range = operation(e->arena, &left.range, &right.range);
        close_value(&result);
    }
    *out = result;
}

void number_add(Eval *e, const Value *a, const Value *b, Value *out)
{
    if (plain(a) && plain(b))
        *out = value_exact(rational_add(e->arena, a->range.low, b->range.low));
    else
        binary(e, a, b, range_add, out);
}

void number_subtract(Eval *e, const Value *a, const Value *b, Value *out)
{
    if (plain(a) && plain(b))
        *out = value_exact(rational_sub(e->arena, a->range.low, b->range.low));
    else
        binary(e, a, b, range_sub, out);
}

void number_multiply(Eval *e, const Value *a, const Value *b, Value *out)
{
    if (plain(a) && plain(b))
        *out = value_exact(rational_mul(e->arena, a->range.low, b->range.low));
    else
        binary(e, a, b, range_mul, out);
}

static void number_divide(Eval *e, const Value *a, const Value *b, Value *out)
{
    Value left = *a, right = *b;
    number_settle(e, &left);
    number_settle(e, &right);
    Value result = value_none(VALUE_RANGE, NULL);
    if (!combine(e, &left, &right, &result)) {
        *out = result;
        return;
    }
    switch (range_div(e->arena, &left.range, &right.range, &result.range)) {
    case RANGE_DIV_NEVER: break;
    case RANGE_DIV_MAYBE: result.can |= CAN_BE_NOTHING; break;
    case RANGE_DIV_ALWAYS:
        result = value_nothing(VALUE_RANGE,
                               waits_word(e->arena, REASON_NO_RULE, TEXT("a division by zero")));
        break;
    }
    close_value(&result);
    *out = result;
}

void number_extreme(Eval *e, const Value *a, const Value *b, bool greatest, Value *out)
{
    if (plain(a) && plain(b)) {
        int order = rational_order(a->range.low, b->range.low);
        *out = (greatest ? order >= 0 : order <= 0) ? *a : *b;
        return;
    }
    Value left = *a, right = *b, result = value_none(VALUE_RANGE, NULL);
    number_settle(e, &left);
    number_settle(e, &right);
    if (combine(e, &left, &right, &result)) {
        result.range =
            greatest ? range_max(&left.range, &right.range) : range_min(&left.range, &right.range);
        close_value(&result);
    }
    *out = result;
}

/* ---- roots and powers ---- */

static Rational map_power(Arena *arena, Rational value, const void *data)
{
    const unsigned *exponent = data;
    Rational power = rational_power(arena, value, *exponent);
    /* Rising over all numbers: an even power of a negative counts as its mirror image. */
    return rational_sign(value) < 0 && *exponent % 2 == 0 ? rational_negate(arena, power) : power;
}

/* Rising without a flat stretch, so an open end stays open. */
static Range range_signed_power(Eval *e, const Range *range, unsigned exponent)
{
    if (exponent <= 1)
        return *range;
    Range power = range_map(e->arena, range, map_power, &exponent);
    power.flags |= range->flags & (RANGE_LOW_OPEN | RANGE_HIGH_OPEN);
    return power;
}

static void number_root(Eval *e, const Value *a, unsigned degree, Value *out)
{
    *out = *a;
    number_settle(e, out);
    if ((out->can & CAN_BE_PRESENT) == 0 || degree <= 1)
        return;
    Range never_negative = {.low = RATIONAL_ZERO, .flags = RANGE_NO_HIGH}, kept;
    if (!range_within(&out->range, &never_negative)) {
        if (!range_meet(e->arena, &out->range, &never_negative, &kept)) {
            const Waits *waits =
                waits_word(e->arena, REASON_NO_RULE, TEXT("a root of a negative number"));
            *out = value_nothing(VALUE_RANGE, waits_join(e->arena, out->waits, waits));
            return;
        }
        out->range = kept;
        out->can |= CAN_BE_NOTHING;
    }
    Rational root;
    if (range_is_exact(&out->range) && rational_root_exact(e->arena, out->range.low, degree, &root))
        out->range = range_exact(root);
    else
        out->root = (uint8_t)degree;
}

/* Even powers of a range that contains zero start at zero. */
static void number_power(Eval *e, const Value *a, unsigned exponent, Value *out)
{
    *out = *a;
    if (a->root > 1 && a->root == exponent) { /* the square of a square root */
        out->root = 0;
        close_value(out);
        return;
    }
    number_settle(e, out);
    if ((out->can & CAN_BE_PRESENT) == 0)
        return;
    if (exponent == 0) {
        out->range = range_exact(RATIONAL_ONE);
    } else if (exponent % 2 == 1) {
        out->range = range_signed_power(e, &out->range, exponent);
    } else {
        Range mirror = range_negate(e->arena, &out->range);
        Range zero = range_exact(RATIONAL_ZERO);
        Range size = range_max(&out->range, &mirror);
        size = range_max(&size, &zero);
        Range low = range_contains(&out->range, RATIONAL_ZERO) ? range_hull(&zero, &size) : size;
        out->range = range_signed_power(e, &low, exponent);
    }
    close_value(out);
}

/* ---- rounding ---- */

typedef struct Rounding {
    Rational step;
    RoundOp op;
} Rounding;

static Rational map_round(Arena *arena, Rational value, const void *data)
{
    const Rounding *rounding = data;
    Rational ratio = rational_div(arena, value, rounding->step);
    Rational half = RATIONAL(1, 2), whole;
    switch (rounding->op) {
    case ROUND_UP: whole = rational_ceil(arena, ratio); break;
    case ROUND_DOWN: whole = rational_floor(arena, ratio); break;
    case ROUND_HALF_UP:
    case ROUND_HALF_EVEN:
    default: {
        whole = rational_floor(arena, rational_add(arena, ratio, half));
        Rational rest = rational_sub(arena, whole, ratio);
        bool tie = rational_order(rest, half) == 0;
        bool odd = !rational_is_whole(rational_div(arena, whole, RATIONAL(2, 1)));
        if (rounding->op == ROUND_HALF_EVEN && tie && odd)
            whole = rational_sub(arena, whole, RATIONAL_ONE);
        break;
    }
    }
    return rational_mul(arena, whole, rounding->step);
}

/* A step function: an end that is open may still round to the same step, so ends close. */
static void number_round(Eval *e, const Code *code, Value *out)
{
    eval(e, code->a, out);
    number_settle(e, out);
    if ((out->can & CAN_BE_PRESENT) == 0)
        return;
    Rounding rounding = {code->value->range.low, (RoundOp)code->sub};
    out->range = range_map(e->arena, &out->range, map_round, &rounding);
    out->range.flags &= (uint8_t) ~(RANGE_LOW_OPEN | RANGE_HIGH_OPEN);
    if ((out->range.flags & (RANGE_EXACT | RANGE_NO_LOW | RANGE_NO_HIGH)) == 0)
        out->range = range_between(out->range.low, out->range.high);
    close_value(out);
}

static void eval_extreme(Eval *e, const Code *code, Value *out)
{
    eval(e, code->args[0], out);
    for (uint32_t i = 1; i < code->count; i++) {
        Value other, result;
        eval(e, code->args[i], &other);
        number_extreme(e, out, &other, code->op == CODE_MAX, &result);
        *out = result;
    }
}

static void eval_unary(Eval *e, const Code *code, Value *out)
{
    Value a;
    eval(e, code->a, &a);
    if (code->op == CODE_ROOT) {
        number_root(e, &a, code->sub, out);
    } else if (code->op == CODE_POWER) {
        number_power(e, &a, code->sub, out);
    } else {
        *out = a;
        number_settle(e, out);
        if ((out->can & CAN_BE_PRESENT) != 0)
            out->range = range_negate(e->arena, &out->range);
    }
}

void eval_arithmetic(Eval *e, const Code *code, Value *out)
{
    if (code->op == CODE_MIN || code->op == CODE_MAX) {
        eval_extreme(e, code, out);
        return;
    }
    if (code->op == CODE_ROUND) {
        number_round(e, code, out);
        return;
    }
    if (code->b == NULL) {
        eval_unary(e, code, out);
        return;
    }
    Value a, b;
    eval(e, code->a, &a);
    eval(e, code->b, &b);
    switch (code->op) {
    case CODE_ADD: number_add(e, &a, &b, out); break;
    case CODE_SUBTRACT: number_subtract(e, &a, &b, out); break;
    case CODE_MULTIPLY: number_multiply(e, &a, &b, out); break;
    default: number_divide(e, &a, &b, out); break;
    }
}

/* ---- comparison ---- */

static Truth truth_of_order(CompareOp op, int order)
{
    bool holds = false;
    switch (op) {
    case COMPARE_LESS: holds = order < 0; break;
    case COMPARE_LESS_EQUAL: holds = order <= 0; break;
    case COMPARE_GREATER: holds = order > 0; break;
    case COMPARE_GREATER_EQUAL: holds = order >= 0; break;
    case COMPARE_EQUAL: holds = order == 0; break;
    case COMPARE_NOT_EQUAL: holds = order != 0; break;
    }
    return holds ? TRUTH_TRUE : TRUTH_FALSE;
}

Value number_compare(Eval *e, CompareOp op, const Value *a, const Value *b)
{
    if (plain(a) && plain(b))
        return value_truth(truth_of_order(op, rational_order(a->range.low, b->range.low)), NULL);
    const Waits *waits = waits_join(e->arena, a->waits, b->waits);
    if ((a->can & b->can & CAN_BE_PRESENT) == 0)
        return value_truth(TRUTH_UNKNOWN, waits);
    Range left = a->range, right = b->range;
    unsigned left_root = a->root <= 1 ? 1 : a->root, right_root = b->root <= 1 ? 1 : b->root;
    if (left_root != right_root) { /* compared by powers; of equal roots the radicands are */
        left = range_signed_power(e, &left, right_root);
        right = range_signed_power(e, &right, left_root);
    }
    Truth truth = range_relate(op, &left, &right);
    if (((a->can | b->can) & CAN_BE_NOTHING) != 0)
        truth = TRUTH_UNKNOWN;
    return value_truth(truth, waits);
}
