/* Numbers: literals, dimensions of sums and products, roots, rounding, sizes. Constants are in
 * SI units and keep the unit in which they were written. Points on a scale (temperatures, gauge
 * and absolute pressures) are moved by differences and are neither added nor multiplied. */
#include "law/check.h"

enum { POWER_MAX = 9 };

#define SECONDS_PER_DAY RATIONAL(86400, 1)

static const Dimension dimension_length = {.length = 1};
static const Dimension dimension_time = {.time = 1};

/* ---- literals ---- */

void check_twin(Check *c, const Quantity *quantity, Place place)
{
    if (c->proofread && quantity->twin != NULL && !quantity_twin_agrees(c->arena, quantity)) {
        proof_warning(c, "printed twin disagrees", place,
                      "the printed twin in '%.*s' is not the value before it, rounded",
                      TEXT_ARG(quote_span(c->arena, place)));
    }
}

const Code *check_quantity(Check *c, const Expr *e)
{
    const Quantity *quantity = e->quantity;
    if (quantity->measured) {
        diagnostic_error(c->diags, "tolerance in a rule", check_place(c, e->span),
                         "'%.*s': what the law states has no tolerance; write 'within ... of'",
                         TEXT_ARG(quote_span(c->arena, check_place(c, e->span))));
        return code_bad(c, e);
    }
    check_twin(c, quantity, check_place(c, e->span));
    Type type = type_number(quantity->dimension);
    type.percent = quantity->percent;
    type.whole = !quantity->percent && dimension_is_number(quantity->dimension) &&
                 rational_is_whole(quantity->range.low);
    Value value = {.kind = VALUE_RANGE, .range = quantity->range};
    return code_constant(c, e, type, value, quantity->unit);
}

static bool is_percent_literal(const Expr *e)
{
    return e != NULL && e->kind == EXPR_QUANTITY && e->quantity->percent;
}

/* ---- sums ---- */

static const Code *cannot(Check *c, const Expr *e, const char *verb, const Code *a, const Code *b)
{
    Diagnostic *diag =
        diagnostic_error(c->diags, "different kinds", check_place(c, e->span),
                         "cannot %s %.*s %s %.*s", verb, TEXT_ARG(type_words(c->arena, &a->type)),
                         verb[0] == 's' ? "less" : "and", TEXT_ARG(type_words(c->arena, &b->type)));
    note_types(c, diag, a, b);
    return code_bad(c, e);
}

static const Code *point_literal_hint(Check *c, const Expr *e, const Code *a, const Code *b)
{
    Diagnostic *diag = diagnostic_error(
        c->diags, "points are not added", check_place(c, e->span), "cannot add %.*s and %.*s",
        TEXT_ARG(type_words(c->arena, &a->type)), TEXT_ARG(type_words(c->arena, &b->type)));
    note_types(c, diag, a, b);
    const Code *literal = b->op == CODE_CONSTANT ? b : a;
    if (literal->op == CODE_CONSTANT && literal->type.dimension.kind == KIND_POINT) {
        diagnostic_note(c->diags, diag, (Place){0}, "a difference is written '%.*s rise'",
                        TEXT_ARG(quote_code(c->arena, literal)));
    }
    return code_bad(c, e);
}

static const Unit *sum_unit(const Code *a, const Code *b)
{
    if (a->unit == NULL || (b->op == CODE_CONSTANT && a->op != CODE_CONSTANT && b->unit != NULL)) {
        return b->unit;
    }
    return a->unit;
}

/* The dimension of a sum or difference; false when there is none. */
static bool sum_dimension(bool subtract, Dimension a, Dimension b, Dimension *out)
{
    bool a_special = is_special(a);
    bool b_special = is_special(b);
    if (a_special && b_special) {
        *out = plain_dimension(a);
        return subtract && dimension_equal(a, b);
    }
    if (b_special) {
        *out = b;
        return !subtract && dimension_equal(plain_dimension(b), a);
    }
    *out = a;
    return dimension_equal(plain_dimension(a), b);
}

static const Code *sum_numbers(Check *c, const Expr *e, const Code *a, const Code *b)
{
    bool subtract = e->kind == EXPR_SUBTRACT;
    Type type = type_number(DIMENSION_NUMBER);
    if (!sum_dimension(subtract, a->type.dimension, b->type.dimension, &type.dimension)) {
        if (is_special(a->type.dimension) &&
            dimension_equal(a->type.dimension, b->type.dimension)) {
            return point_literal_hint(c, e, a, b);
        }
        if (!is_special(a->type.dimension) && !is_special(b->type.dimension)) {
            (void)check_same(c, e, subtract ? "subtract" : "add", a, b);
            return code_bad(c, e);
        }
        return cannot(c, e, subtract ? "subtract" : "add", a, b);
    }
    type.whole = a->type.whole && b->type.whole;
    type.percent = a->type.percent && b->type.percent;
    Code *code = code_make(c, subtract ? CODE_SUBTRACT : CODE_ADD, e, type);
    code->a = a;
    code->b = b;
    const Unit *unit = is_special(b->type.dimension) && !subtract ? b->unit : sum_unit(a, b);
    if (unit != NULL && dimension_equal(unit->dimension, type.dimension)) {
        code->unit = unit;
    }
    return code_done(c, code);
}

static const Code *in_days(Check *c, const Expr *e, const Code *time)
{
    return code_binary(c, CODE_DIVIDE, e, type_number(DIMENSION_NUMBER), time,
                       code_number(c, e, SECONDS_PER_DAY));
}

static bool is_time(const Code *code)
{
    return code->type.class == CLASS_NUMBER &&
           dimension_equal(code->type.dimension, dimension_time);
}

/* Dates count days, times are seconds: the days are written into the code. */
static const Code *sum_dates(Check *c, const Expr *e, const Code *a, const Code *b)
{
    bool subtract = e->kind == EXPR_SUBTRACT;
    bool a_date = a->type.class == CLASS_DATE;
    bool b_date = b->type.class == CLASS_DATE;
    Type date = type_of_class(CLASS_DATE);
    if (a_date && b_date && subtract) {
        const Code *days = code_binary(c, CODE_SUBTRACT, e, type_number(DIMENSION_NUMBER), a, b);
        Code *time = code_make(c, CODE_MULTIPLY, e, type_number(dimension_time));
        time->a = days;
        time->b = code_number(c, e, SECONDS_PER_DAY);
        time->unit = unit_find(c->arena, TEXT("day"), false);
        return code_done(c, time);
    }
    if (a_date && is_time(b)) {
        return code_binary(c, subtract ? CODE_SUBTRACT : CODE_ADD, e, date, a, in_days(c, e, b));
    }
    if (b_date && is_time(a) && !subtract) {
        return code_binary(c, CODE_ADD, e, date, in_days(c, e, a), b);
    }
    return cannot(c, e, subtract ? "subtract" : "add", a, b);
}

static const Code *check_sum(Check *c, const Expr *e)
{
    const Code *a = check_value(c, e->a, NULL);
    const Code *b = check_value(c, e->b, NULL);
    if (is_bad(a) || is_bad(b)) {
        return code_bad(c, e);
    }
    bool add = e->kind == EXPR_ADD;
    if (is_percent_literal(e->a) || is_percent_literal(e->b)) {
        const Code *percent = is_percent_literal(e->b) ? b : a;
        const Code *of = percent == b ? a : b;
        diagnostic_error(
            c->diags, "percent of what", code_place(percent),
            "'%.*s' of what? write '%.*s %s %.*s of %.*s'", TEXT_ARG(quote_code(c->arena, percent)),
            TEXT_ARG(quote_code(c->arena, of)), add ? "+" : "-",
            TEXT_ARG(quote_code(c->arena, percent)), TEXT_ARG(quote_code(c->arena, of)));
        return code_bad(c, e);
    }
    if (a->type.class == CLASS_DATE || b->type.class == CLASS_DATE) {
        return sum_dates(c, e, a, b);
    }
    if (a->type.class != CLASS_NUMBER || b->type.class != CLASS_NUMBER) {
        return cannot(c, e, add ? "add" : "subtract", a, b);
    }
    return sum_numbers(c, e, a, b);
}

/* ---- products ---- */

/* A number that may be scaled. */
static bool is_scalable(Check *c, const Code *code, const char *verb)
{
    if (code->type.class != CLASS_NUMBER) {
        diagnostic_error(c->diags, "not a number", code_place(code), "cannot %s '%.*s': it is %.*s",
                         verb, TEXT_ARG(quote_code(c->arena, code)),
                         TEXT_ARG(type_words(c->arena, &code->type)));
        return false;
    }
    if (is_special(code->type.dimension)) {
        diagnostic_error(c->diags, "points are not scaled", code_place(code),
                         "cannot %s '%.*s': it is %.*s, a point on a scale; take a difference of "
                         "two points",
                         verb, TEXT_ARG(quote_code(c->arena, code)),
                         TEXT_ARG(type_words(c->arena, &code->type)));
        return false;
    }
    return true;
}

static const Code *check_product(Check *c, const Expr *e)
{
    bool divide = e->kind == EXPR_DIVIDE;
    const Code *a = check_value(c, e->a, NULL);
    const Code *b = check_value(c, e->b, NULL);
    if (is_bad(a) || is_bad(b)) {
        return code_bad(c, e);
    }
    const char *verb = divide ? "divide" : e->flag ? "take a part of" : "multiply";
    bool good = is_scalable(c, a, verb);
    if (!is_scalable(c, b, divide ? "divide by" : verb) || !good) {
        return code_bad(c, e);
    }
    Type type =
        type_number(dimension_multiply(a->type.dimension, b->type.dimension, divide ? -1 : 1));
    type.whole = !divide && a->type.whole && b->type.whole;
    type.percent = e->flag && b->type.percent;
    Code *code = code_make(c, divide ? CODE_DIVIDE : CODE_MULTIPLY, e, type);
    code->a = a;
    code->b = b;
    if (dimension_is_number(b->type.dimension)) {
        code->unit = dimension_is_number(a->type.dimension) ? NULL : a->unit;
    } else if (!divide && dimension_is_number(a->type.dimension)) {
        code->unit = b->unit;
    }
    return code_done(c, code);
}

const Code *check_arithmetic(Check *c, const Expr *e)
{
    if (e->kind == EXPR_ADD || e->kind == EXPR_SUBTRACT) {
        return check_sum(c, e);
    }
    if (e->kind != EXPR_NEGATE) {
        return check_product(c, e);
    }
    const Code *a = check_value(c, e->a, NULL);
    if (is_bad(a) || !is_scalable(c, a, "negate")) {
        return code_bad(c, e);
    }
    return code_unary(c, CODE_NEGATE, e, a->type, a);
}

/* ---- rounding ---- */

const Code *check_round(Check *c, const Expr *e)
{
    const Code *step = check_value(c, e->a, NULL);
    const Code *a = check_value(c, e->b, NULL);
    if (is_bad(step) || is_bad(a) || !is_scalable(c, a, "round") ||
        !is_scalable(c, step, "round to") || !check_same(c, e, "round", a, step)) {
        return code_bad(c, e);
    }
    if (rational_sign(step->value->range.low) <= 0) {
        diagnostic_error(c->diags, "no step", code_place(step), "a step to round to is above zero");
        return code_bad(c, e);
    }
    Type type = a->type;
    type.whole = step->type.whole;
    Code *code = code_make(c, CODE_ROUND, e, type);
    code->sub = e->op;
    code->a = a;
    code->value = step->value;
    code->unit = step->unit != NULL ? step->unit : a->unit;
    return code_done(c, code);
}

/* ---- max, min, sqrt, power ---- */

static uint32_t count_args(const Expr *e)
{
    uint32_t count = 0;
    for (const Expr *arg = e->list; arg != NULL; arg = arg->next) {
        count++;
    }
    return count;
}

static bool wants_args(Check *c, const Expr *e, bool enough, const char *what)
{
    if (!enough) {
        diagnostic_error(c->diags, "parameters missing", check_place(c, e->span), "'%.*s' takes %s",
                         TEXT_ARG(e->name->text), what);
    }
    return enough;
}

static bool is_extremable(Check *c, const Expr *e, const Code *code)
{
    if (code->type.class == CLASS_NUMBER || code->type.class == CLASS_DATE) {
        return true;
    }
    diagnostic_error(c->diags, "not a number", code_place(code),
                     "'%.*s' is %.*s; '%.*s' takes quantities or dates",
                     TEXT_ARG(quote_code(c->arena, code)),
                     TEXT_ARG(type_words(c->arena, &code->type)), TEXT_ARG(e->name->text));
    return false;
}

static const Code *check_extreme(Check *c, const Expr *e, CodeOp op)
{
    uint32_t count = count_args(e);
    if (!wants_args(c, e, count >= 2, "two values or more")) {
        return code_bad(c, e);
    }
    Code *code = code_make(c, op, e, type_of_class(CLASS_BAD));
    code->args = ARENA_ARRAY(c->arena, const Code *, count);
    bool good = true;
    for (const Expr *arg = e->list; arg != NULL; arg = arg->next) {
        const Code *value = check_value(c, arg, NULL);
        code->args[code->count++] = value;
        good = !is_bad(value) && is_extremable(c, e, value) &&
               check_same(c, arg, "compare", code->args[0], value) && good;
    }
    if (!good) {
        return code_bad(c, e);
    }
    code->type = code->args[0]->type;
    code->unit = code->args[0]->unit;
    for (uint32_t i = 1; i < count; i++) {
        code->type.whole = code->type.whole && code->args[i]->type.whole;
        code->type.percent = code->type.percent && code->args[i]->type.percent;
        if (code->unit == NULL ||
            (code->args[i]->op == CODE_CONSTANT && code->args[i]->unit != NULL)) {
            code->unit = code->args[i]->unit;
        }
    }
    return code_done(c, code);
}

static bool root_dimension(Dimension a, int power, int degree, Dimension *out)
{
    int parts[6] = {a.length, a.mass, a.time, a.temperature, a.current, a.luminous};
    for (size_t i = 0; i < 6; i++) {
        if (parts[i] * power % degree != 0) {
            return false;
        }
        parts[i] = parts[i] * power / degree;
    }
    *out = (Dimension){.length = (int8_t)parts[0],
                       .mass = (int8_t)parts[1],
                       .time = (int8_t)parts[2],
                       .temperature = (int8_t)parts[3],
                       .current = (int8_t)parts[4],
                       .luminous = (int8_t)parts[5]};
    return true;
}

/* a to the power/degree; a negative power divides one by it. */
static const Code *make_power(Check *c, const Expr *e, const Code *a, int power, int degree)
{
    if (is_bad(a) || !is_scalable(c, a, "raise or root")) {
        return code_bad(c, e);
    }
    Dimension dimension = DIMENSION_NUMBER;
    if (!root_dimension(a->type.dimension, power, degree, &dimension)) {
        Diagnostic *diag = diagnostic_error(c->diags, "no such root", check_place(c, e->span),
                                            "this root of %.*s is no quantity",
                                            TEXT_ARG(type_words(c->arena, &a->type)));
        diagnostic_note(c->diags, diag, code_place(a), "'%.*s' is %.*s",
                        TEXT_ARG(quote_code(c->arena, a)),
                        TEXT_ARG(type_words(c->arena, &a->type)));
        return code_bad(c, e);
    }
    int up = power < 0 ? -power : power;
    const Code *result = a;
    if (up != 1) {
        Dimension raised = DIMENSION_NUMBER;
        (void)root_dimension(a->type.dimension, up, 1, &raised);
        Code *code = code_make(c, CODE_POWER, e, type_number(raised));
        code->type.whole = a->type.whole;
        code->sub = (uint8_t)up;
        code->a = a;
        result = code_done(c, code);
    }
    if (degree != 1) {
        c->context.inexact++;
        Code *code = code_make(c, CODE_ROOT, e, type_number(dimension));
        code->sub = (uint8_t)degree;
        code->a = result;
        result = code_done(c, code);
    }
    if (power < 0) {
        result = code_binary(c, CODE_DIVIDE, e, type_number(dimension),
                             code_number(c, e, RATIONAL_ONE), result);
    }
    return result;
}

static const Code *check_sqrt(Check *c, const Expr *e)
{
    if (!wants_args(c, e, count_args(e) == 1, "one value")) {
        return code_bad(c, e);
    }
    return make_power(c, e, check_value(c, e->list, NULL), 1, 2);
}

/* The exponent as a fraction of small whole numbers. */
static bool read_exponent(Check *c, const Expr *e, int *power, int *degree)
{
    const Expr *literal = e->kind == EXPR_NEGATE ? e->a : e;
    bool good = literal->kind == EXPR_QUANTITY && !literal->quantity->measured &&
                dimension_is_number(literal->quantity->dimension) && !literal->quantity->percent;
    Rational value = RATIONAL_ZERO;
    if (good) {
        value = rational_reduce(c->arena, literal->quantity->range.low);
        good = value.den > 0 && value.den <= POWER_MAX && value.num >= -POWER_MAX &&
               value.num <= POWER_MAX;
    }
    if (!good) {
        diagnostic_error(c->diags, "not an exponent", check_place(c, e->span),
                         "the exponent of 'power' is a written number or fraction, with at most %d "
                         "above and below, as in power(x, 2/3)",
                         POWER_MAX);
        return false;
    }
    *power = (int)value.num * (literal == e ? 1 : -1);
    *degree = (int)value.den;
    return true;
}

static const Code *check_power(Check *c, const Expr *e)
{
    int power = 1;
    int degree = 1;
    if (!wants_args(c, e, count_args(e) == 2, "a value and an exponent") ||
        !read_exponent(c, e->list->next, &power, &degree)) {
        return code_bad(c, e);
    }
    return make_power(c, e, check_value(c, e->list, NULL), power, degree);
}

const Code *check_builtin(Check *c, const Expr *e, bool *found)
{
    Text name = e->name->text;
    *found = true;
    if (text_equal(name, TEXT("max"))) {
        return check_extreme(c, e, CODE_MAX);
    }
    if (text_equal(name, TEXT("min"))) {
        return check_extreme(c, e, CODE_MIN);
    }
    if (text_equal(name, TEXT("sqrt"))) {
        return check_sqrt(c, e);
    }
    if (text_equal(name, TEXT("power"))) {
        return check_power(c, e);
    }
    *found = false;
    return NULL;
}

/* ---- sizes ---- */

const Code *check_size(Check *c, const Expr *e)
{
    const Expr *sides[3] = {e->a, e->b, e->c};
    if (e->c == NULL) {
        diagnostic_error(c->diags, "not a size", check_place(c, e->span),
                         "a size has three sides; an area is written with '*'");
        return code_bad(c, e);
    }
    Code *code = code_make(c, CODE_SIZE, e, type_of_class(CLASS_SIZE));
    code->args = ARENA_ARRAY(c->arena, const Code *, 3);
    code->count = 3;
    bool good = true;
    for (int i = 0; i < 3; i++) {
        const Code *side = check_value(c, sides[i], NULL);
        code->args[i] = side;
        if (is_bad(side)) {
            good = false;
        } else if (side->type.class != CLASS_NUMBER ||
                   !dimension_equal(side->type.dimension, dimension_length)) {
            good = false;
            diagnostic_error(c->diags, "different kinds", code_place(side),
                             "'%.*s' is %.*s, and the sides of a size are lengths",
                             TEXT_ARG(quote_code(c->arena, side)),
                             TEXT_ARG(type_words(c->arena, &side->type)));
        }
    }
    code->unit = code->args[0]->unit;
    return good ? code_done(c, code) : code_bad(c, e);
}
