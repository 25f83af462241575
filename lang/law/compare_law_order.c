/* The order of two limits, whatever the unit: by their forms, by what a sum or a product of
 * constants with the same facts can be within the bounds of the vocabulary, and through max, min,
 * conditions, rounding and tables of one layout. What is not surely so is not said. */
#include "law/compare_law_inner.h"

/* ---- what code can be ---- */

static Range not_negative(const Range *of)
{
    Range range = range_everything();
    if ((of->flags & RANGE_NO_LOW) == 0 && rational_sign(of->low) >= 0) {
        range = (Range){.low = RATIONAL_ZERO, .flags = RANGE_NO_HIGH};
    }
    return range;
}

static Range bounds_of_pair(Comparing *c, const Code *code)
{
    Range a = bounds_of(c, code->a);
    Range b = bounds_of(c, code->b);
    Range out = range_everything();
    switch ((int)code->op) {
    case CODE_ADD: return range_add(c->arena, &a, &b);
    case CODE_SUBTRACT: return range_sub(c->arena, &a, &b);
    case CODE_MULTIPLY: return range_mul(c->arena, &a, &b);
    case CODE_IF_NONE: return range_hull(&a, &b);
    default: return range_div(c->arena, &a, &b, &out) == RANGE_DIV_NEVER ? out : range_everything();
    }
}

static Range bounds_of_args(Comparing *c, const Code *code)
{
    Range out = range_everything();
    for (uint32_t i = 0; i < code->count; i++) {
        Range arg = bounds_of(c, code->args[i]);
        out = i == 0 ? arg : code->op == CODE_MAX ? range_max(&out, &arg) : range_min(&out, &arg);
    }
    return out;
}

static Range bounds_of_table(const Table *table)
{
    uint32_t count = table->columns * (table->columns == 0 ? 0 : table->keys[0].count);
    Range out = range_everything();
    bool first = true;
    for (uint32_t i = 0; i < count + (table->has_otherwise ? 1 : 0); i++) {
        const Value *cell = i < count ? &table->cells[i] : &table->otherwise;
        if ((cell->can & CAN_BE_PRESENT) != 0) {
            out = first ? cell->range : range_hull(&out, &cell->range);
            first = false;
        }
    }
    return out;
}

static Range bounds_of_inner(Comparing *c, const Code *code)
{
    Range a;
    Range b;
    switch ((int)code->op) {
    case CODE_CONSTANT:
        return code->value->can == CAN_BE_PRESENT ? code->value->range : range_everything();
    case CODE_FACT:
    case CODE_FIELD: return code->field->bounds;
    case CODE_DEFINED:
    case CODE_CALL: return bounds_of(c, code->a);
    case CODE_COUNT: return (Range){.low = RATIONAL_ZERO, .flags = RANGE_NO_HIGH};
    case CODE_TOTAL:
    case CODE_ROUND:
    case CODE_ROOT:
    case CODE_POWER:
        a = bounds_of(c, code->op == CODE_TOTAL ? code->c : code->a);
        return not_negative(&a);
    case CODE_LEAST:
    case CODE_GREATEST: return bounds_of(c, code->c);
    case CODE_NEGATE: a = bounds_of(c, code->a); return range_negate(c->arena, &a);
    case CODE_IF:
        a = bounds_of(c, code->a);
        b = bounds_of(c, code->c);
        return range_hull(&a, &b);
    case CODE_ADD:
    case CODE_SUBTRACT:
    case CODE_MULTIPLY:
    case CODE_DIVIDE:
    case CODE_IF_NONE: return bounds_of_pair(c, code);
    case CODE_MIN:
    case CODE_MAX: return bounds_of_args(c, code);
    case CODE_TABLE: return bounds_of_table(code->table);
    default: return range_everything();
    }
}

Range bounds_of(Comparing *c, const Code *code)
{
    c->steps++;
    if (code == NULL || code->type.class != CLASS_NUMBER || c->budget == 0) {
        return range_everything();
    }
    c->budget--;
    return bounds_of_inner(c, code);
}

/* ---- sums ---- */

enum { TERMS_MAX = 12, FACTORS_MAX = 8 };

typedef struct SumTerm {
    const Form *form;
    Range bounds; /* of what has the form; of either law, whose vocabularies may differ */
    Rational factor;
} SumTerm;

typedef struct Sum {
    SumTerm terms[TERMS_MAX];
    uint32_t count;
    Rational constant;
    bool full; /* too many terms */
} Sum;

/* A product of a constant and what is none. */
typedef struct Product {
    Rational constant;
    const Code *factors[FACTORS_MAX];
    uint32_t count;
    bool full;
} Product;

static bool exact_constant(const Code *code, Rational *out)
{
    code = code_through(code);
    bool exact = code->op == CODE_CONSTANT && code->value->kind == VALUE_RANGE &&
                 code->value->can == CAN_BE_PRESENT && range_is_exact(&code->value->range);
    *out = exact ? code->value->range.low : RATIONAL_ZERO;
    return exact;
}

static void add_factor(Comparing *c, Product *product, const Code *code)
{
    Rational number = RATIONAL_ZERO;
    code = code_through(code);
    if (c->budget == 0 || product->count == FACTORS_MAX) {
        product->full = true;
        return;
    }
    c->budget--;
    if (exact_constant(code, &number)) {
        product->constant = rational_mul(c->arena, product->constant, number);
    } else if (code->op == CODE_MULTIPLY) {
        add_factor(c, product, code->a);
        add_factor(c, product, code->b);
    } else if (code->op == CODE_NEGATE) {
        product->constant = rational_negate(c->arena, product->constant);
        add_factor(c, product, code->a);
    } else if (code->op == CODE_DIVIDE && exact_constant(code->b, &number) &&
               rational_sign(number) != 0) {
        product->constant = rational_div(c->arena, product->constant, number);
        add_factor(c, product, code->a);
    } else {
        product->factors[product->count++] = code;
    }
}

/* In whatever order the factors are written. */
static const Form *form_of_product(Comparing *c, const Product *product)
{
    uint32_t numbers[FACTORS_MAX];
    for (uint32_t i = 0; i < product->count; i++) {
        const Form *form = form_known(c, product->factors[i]);
        if (form == NULL) {
            return NULL;
        }
        uint32_t at = i;
        for (; at > 0 && numbers[at - 1] > form->number; at--) {
            numbers[at] = numbers[at - 1];
        }
        numbers[at] = form->number;
    }
    Buffer out = buffer_make(c->arena);
    buffer_string(&out, "product");
    for (uint32_t i = 0; i < product->count; i++) {
        buffer_format(&out, " %u", numbers[i]);
    }
    return form_of_words(c, buffer_done(&out));
}

static void add_term(Comparing *c, Sum *sum, const Product *product, Rational factor)
{
    const Form *form = product->full ? NULL : form_of_product(c, product);
    Range bounds = range_exact(RATIONAL_ONE);
    for (uint32_t i = 0; i < product->count; i++) {
        Range one = bounds_of(c, product->factors[i]);
        bounds = range_mul(c->arena, &bounds, &one);
    }
    factor = rational_mul(c->arena, factor, product->constant);
    for (uint32_t i = 0; form != NULL && i < sum->count; i++) {
        SumTerm *term = &sum->terms[i];
        if (term->form == form) {
            term->factor = rational_add(c->arena, term->factor, factor);
            term->bounds = range_hull(&term->bounds, &bounds);
            return;
        }
    }
    if (form == NULL || sum->count == TERMS_MAX) {
        sum->full = true;
        return;
    }
    sum->terms[sum->count++] = (SumTerm){form, bounds, factor};
}

static void add_code(Comparing *c, Sum *sum, const Code *code, Rational factor)
{
    Arena *arena = c->arena;
    Rational number = RATIONAL_ZERO;
    code = code_through(code);
    if (sum->full || c->budget == 0) {
        sum->full = true;
        return;
    }
    c->budget--;
    if (exact_constant(code, &number)) {
        sum->constant = rational_add(arena, sum->constant, rational_mul(arena, factor, number));
    } else if (code->op == CODE_ADD || code->op == CODE_SUBTRACT) {
        add_code(c, sum, code->a, factor);
        add_code(c, sum, code->b, code->op == CODE_ADD ? factor : rational_negate(arena, factor));
    } else if (code->op == CODE_NEGATE) {
        add_code(c, sum, code->a, rational_negate(arena, factor));
    } else if (code->op == CODE_MULTIPLY && exact_constant(code->a, &number)) {
        add_code(c, sum, code->b, rational_mul(arena, factor, number));
    } else if (code->op == CODE_MULTIPLY && exact_constant(code->b, &number)) {
        add_code(c, sum, code->a, rational_mul(arena, factor, number));
    } else if (code->op == CODE_DIVIDE && exact_constant(code->b, &number) &&
               rational_sign(number) != 0) {
        add_code(c, sum, code->a, rational_div(arena, factor, number));
    } else {
        Product product = {.constant = RATIONAL_ONE};
        add_factor(c, &product, code);
        add_term(c, sum, &product, factor);
    }
}

/* Is b - a surely at least zero? */
static bool difference_at_least_zero(Comparing *c, const Code *a, const Code *b, bool strict)
{
    Sum sum = {.constant = RATIONAL_ZERO};
    add_code(c, &sum, b, RATIONAL_ONE);
    add_code(c, &sum, a, RATIONAL(-1, 1));
    if (sum.full) {
        return false;
    }
    Range total = range_exact(sum.constant);
    for (uint32_t i = 0; i < sum.count; i++) {
        if (rational_sign(sum.terms[i].factor) == 0) {
            continue;
        }
        Range factor = range_exact(sum.terms[i].factor);
        Range term = range_mul(c->arena, &factor, &sum.terms[i].bounds);
        total = range_add(c->arena, &total, &term);
    }
    if (!range_is_exact(&total) && (total.flags & RANGE_NO_LOW) != 0) {
        return false;
    }
    int sign = rational_sign(total.low);
    bool open = !range_is_exact(&total) && (total.flags & RANGE_LOW_OPEN) != 0;
    return sign > 0 || (sign == 0 && (!strict || open));
}

/* ---- tables ---- */

static bool cells_at_most(const Value *a, const Value *b, bool strict)
{
    if (a->can != b->can || a->kind != VALUE_RANGE || b->kind != VALUE_RANGE) {
        return false;
    }
    if ((a->can & CAN_BE_PRESENT) == 0) {
        return true;
    }
    return range_is_exact(&a->range) && range_is_exact(&b->range) &&
           rational_order(a->range.low, b->range.low) < (strict ? 0 : 1);
}

static bool tables_at_most(Comparing *c, const Code *a, const Code *b, bool strict)
{
    const Table *one = a->table;
    const Table *other = b->table;
    if (a->count != b->count || one->has_otherwise != other->has_otherwise ||
        form_of_keys(c, one) != form_of_keys(c, other)) {
        return false;
    }
    for (uint32_t i = 0; i < a->count; i++) {
        if (form_known(c, a->args[i]) != form_known(c, b->args[i])) {
            return false;
        }
    }
    uint32_t count = one->columns * (one->columns == 0 ? 0 : one->keys[0].count);
    for (uint32_t i = 0; i < count; i++) {
        if (!cells_at_most(&one->cells[i], &other->cells[i], strict)) {
            return false;
        }
    }
    return !one->has_otherwise || cells_at_most(&one->otherwise, &other->otherwise, strict);
}

/* ---- the order ---- */

static bool any_arg(Comparing *c, const Code *of, const Code *other, bool of_is_less, bool strict)
{
    for (uint32_t i = 0; i < of->count; i++) {
        if (of_is_less ? limit_at_most(c, of->args[i], other, strict)
                       : limit_at_most(c, other, of->args[i], strict)) {
            return true;
        }
    }
    return false;
}

static bool all_args(Comparing *c, const Code *of, const Code *other, bool of_is_less, bool strict)
{
    for (uint32_t i = 0; i < of->count; i++) {
        if (!(of_is_less ? limit_at_most(c, of->args[i], other, strict)
                         : limit_at_most(c, other, of->args[i], strict))) {
            return false;
        }
    }
    return of->count > 0;
}

/* Of two choices or roundings of one kind, their values decide. */
static bool alike_at_most(Comparing *c, const Code *a, const Code *b, bool strict)
{
    if (a->op != b->op) {
        return false;
    }
    if (a->op == CODE_TABLE) {
        return tables_at_most(c, a, b, strict);
    }
    if (a->op == CODE_ROUND && !strict) {
        return a->sub == b->sub && rational_order(a->value->range.low, b->value->range.low) == 0 &&
               limit_at_most(c, a->a, b->a, false);
    }
    return a->op == CODE_IF && form_known(c, a->b) != NULL &&
           form_known(c, a->b) == form_known(c, b->b) && limit_at_most(c, a->a, b->a, strict) &&
           limit_at_most(c, a->c, b->c, strict);
}

static bool words_at_most(const Code *a, const Code *b, bool strict)
{
    if (a->op != CODE_CONSTANT || b->op != CODE_CONSTANT || a->value->kind != VALUE_WORDS ||
        b->value->kind != VALUE_WORDS) {
        return false;
    }
    uint64_t x = a->value->words; /* one word each: the greater one has the higher bit */
    uint64_t y = b->value->words;
    return strict ? x < y : x <= y;
}

bool limit_at_most(Comparing *c, const Code *a, const Code *b, bool strict)
{
    c->steps++;
    if (c->budget == 0) {
        return false;
    }
    c->budget--;
    a = code_through(a);
    b = code_through(b);
    const Form *form = form_known(c, a);
    if (form != NULL && form == form_known(c, b)) {
        return !strict;
    }
    if (a->type.class == CLASS_CHOICE) {
        return words_at_most(a, b, strict);
    }
    if ((a->op == CODE_MIN && any_arg(c, a, b, true, strict)) ||
        (b->op == CODE_MAX && any_arg(c, b, a, false, strict)) ||
        (a->op == CODE_MAX && all_args(c, a, b, true, strict)) ||
        (b->op == CODE_MIN && all_args(c, b, a, false, strict))) {
        return true;
    }
    return alike_at_most(c, a, b, strict) || difference_at_least_zero(c, a, b, strict);
}
