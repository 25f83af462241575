/* Implication by form: where it is said that x implies y, no unit makes x true and y false. It
 * goes through and, or, not and the quantifiers, and ends at comparisons of one measure, at lists
 * of words, at sizes and tolerances. */
#include "law/compare_law_inner.h"

static Claim claim_through(Claim claim)
{
    for (;;) {
        claim.code = code_through(claim.code);
        if (claim.code->op != CODE_NOT) {
            return claim;
        }
        claim = (Claim){claim.code->a, !claim.negated};
    }
}

/* The comparison as it is meant, `not` taken into account. */
static uint8_t meant_op(Claim claim)
{
    static const uint8_t turned[] = {COMPARE_GREATER_EQUAL, COMPARE_GREATER,   COMPARE_LESS_EQUAL,
                                     COMPARE_LESS,          COMPARE_NOT_EQUAL, COMPARE_EQUAL};
    return claim.negated ? turned[claim.code->sub] : claim.code->sub;
}

static bool same_form(const Comparing *c, const Code *x, const Code *y)
{
    const Form *form = form_known(c, x);
    return form != NULL && form == form_known(c, y);
}

bool claim_is_same(const Comparing *c, Claim x, Claim y)
{
    x = claim_through(x);
    y = claim_through(y);
    if (x.negated == y.negated) {
        return same_form(c, x.code, y.code);
    }
    return x.code->op == CODE_COMPARE && y.code->op == CODE_COMPARE && meant_op(x) == meant_op(y) &&
           same_form(c, x.code->a, y.code->a) && same_form(c, x.code->b, y.code->b);
}

/* ---- and, or ---- */

static bool is_joint(Claim claim)
{
    uint8_t op = claim.code->op;
    return claim.negated ? op == CODE_OR || op == CODE_ANY_OF : op == CODE_AND || op == CODE_ALL_OF;
}

static bool is_choice(Claim claim)
{
    return is_joint((Claim){claim.code, !claim.negated});
}

static uint32_t part_count(Claim claim)
{
    uint8_t op = claim.code->op;
    return op == CODE_AND || op == CODE_OR ? 2 : claim.code->count;
}

static Claim part_of(Claim claim, uint32_t index)
{
    const Code *code = claim.code;
    if (code->op == CODE_AND || code->op == CODE_OR) {
        return (Claim){index == 0 ? code->a : code->b, claim.negated};
    }
    return (Claim){code->args[index], claim.negated};
}

static bool parts_imply(Comparing *c, Claim x, Claim y, bool all)
{
    for (uint32_t i = 0; i < part_count(x); i++) {
        if (claim_implies(c, part_of(x, i), y) != all) {
            return !all;
        }
    }
    return all;
}

static bool implies_parts(Comparing *c, Claim x, Claim y, bool all)
{
    for (uint32_t i = 0; i < part_count(y); i++) {
        if (claim_implies(c, x, part_of(y, i)) != all) {
            return !all;
        }
    }
    return all;
}

/* ---- comparisons ---- */

char claim_bound(Claim claim, bool *strict)
{
    static const char bounds[] = {'<', '<', '>', '>', '=', '!'};
    const Code *code = claim.code;
    bool ordered = code->op == CODE_COMPARE_WORDS && code->a->type.choice->ordered;
    if (code->op != CODE_COMPARE && !ordered) {
        return 0;
    }
    uint8_t op = meant_op(claim);
    *strict = op == COMPARE_LESS || op == COMPARE_GREATER;
    return bounds[op];
}

/* x is met by values up to its limit; y lets more in. */
static bool comparisons_imply(Comparing *c, Claim x, Claim y)
{
    bool x_strict = false;
    bool y_strict = false;
    char x_bound = claim_bound(x, &x_strict);
    char y_bound = claim_bound(y, &y_strict);
    if (x_bound == 0 || y_bound == 0 || !same_form(c, x.code->a, y.code->a) ||
        (x_bound != y_bound && x_bound != '=') || (y_bound != '<' && y_bound != '>')) {
        return false;
    }
    bool strict = y_strict && !x_strict;
    return y_bound == '<' ? limit_at_most(c, x.code->b, y.code->b, strict)
                          : limit_at_most(c, y.code->b, x.code->b, strict);
}

/* ---- other ends ---- */

static bool same_a(const Comparing *c, const Code *x, const Code *y)
{
    return same_form(c, x->a, y->a);
}

static bool among_implies(const Comparing *c, const Code *x, const Code *y)
{
    if (!same_a(c, x, y)) {
        return false;
    }
    for (uint32_t i = 0; i < x->count; i++) {
        uint32_t j = 0;
        while (j < y->count && form_known(c, x->args[i]) != form_known(c, y->args[j])) {
            j++;
        }
        if (j == y->count) {
            return false;
        }
    }
    return true;
}

/* What holds the larger size holds the smaller. */
static bool holds_implies(Comparing *c, const Code *x, const Code *y)
{
    const Code *large = code_through(x->b);
    const Code *small = code_through(y->b);
    if (!same_a(c, x, y) || (x->flag && !y->flag)) {
        return false;
    }
    if (same_form(c, x->b, y->b)) {
        return true;
    }
    if (large->op != CODE_SIZE || small->op != CODE_SIZE) {
        return false;
    }
    for (uint32_t i = 0; i < 3; i++) {
        if (!limit_at_most(c, small->args[i], large->args[i], false)) {
            return false;
        }
    }
    return true;
}

static bool within_implies(const Comparing *c, const Code *x, const Code *y)
{
    return same_a(c, x, y) && same_form(c, x->b, y->b) &&
           rational_order(x->value->range.low, y->value->range.low) <= 0;
}

static bool quantifiers_imply(Comparing *c, const Code *x, const Code *y)
{
    bool alike = x->sub == y->sub && same_a(c, x, y) && x->emptiness == y->emptiness &&
                 x->number == y->number &&
                 (x->b == NULL || y->b == NULL ? x->b == y->b : same_form(c, x->b, y->b));
    if (!alike) {
        return false;
    }
    bool turned = x->sub == QUANTIFIER_NO;
    return claim_implies(c, (Claim){turned ? y->c : x->c, false},
                         (Claim){turned ? x->c : y->c, false});
}

static bool ends_imply(Comparing *c, Claim x, Claim y)
{
    if (comparisons_imply(c, x, y)) {
        return true;
    }
    if (x.code->op != y.code->op || x.negated != y.negated) {
        return false;
    }
    const Code *from = x.negated ? y.code : x.code;
    const Code *to = x.negated ? x.code : y.code;
    switch ((int)from->op) {
    case CODE_AMONG: return among_implies(c, from, to);
    case CODE_HOLDS: return holds_implies(c, from, to);
    case CODE_WITHIN: return within_implies(c, from, to);
    case CODE_QUANTIFIER: return quantifiers_imply(c, from, to);
    default: return false;
    }
}

bool claim_implies(Comparing *c, Claim x, Claim y)
{
    c->steps++;
    if (c->budget == 0) {
        return false;
    }
    c->budget--;
    x = claim_through(x);
    y = claim_through(y);
    if (claim_is_same(c, x, y)) {
        return true;
    }
    if (is_choice(x)) {
        return parts_imply(c, x, y, true);
    }
    if (is_joint(y)) {
        return implies_parts(c, x, y, true);
    }
    return (is_joint(x) && parts_imply(c, x, y, false)) ||
           (is_choice(y) && implies_parts(c, x, y, false)) || ends_imply(c, x, y);
}
