/* Expressions, by recursive descent; each function reads one level of binding, loosest first. */
#include "oracle.h"

#include <string.h>

static Expr *read_or(Reader *r);
static Expr *read_unary(Reader *r);

Expr *expr_new(Op op, Expr *a, Expr *b)
{
    Expr *e = NEW(Expr);
    e->op = op;
    e->a = a;
    e->b = b;
    return e;
}

static Expr *expr_at(const Reader *r, Op op)
{
    Expr *e = expr_new(op, NULL, NULL);
    e->file = r->file;
    e->line = r->token.line;
    return e;
}

/* Can an operator follow here? On a new line of any of, all of only what can be nothing else. */
static bool goes_on(const Reader *r)
{
    static const char *const WORDS[] = {"and", "or", "is", "if", "otherwise", "x"};
    static const char *const SIGNS[] = {"<=", "<", ">=", ">", "=", "!=", "+", "-", "*", "/"};
    bool operator= !(r->lines && r->token.first);
    for (size_t i = 0; i < sizeof WORDS / sizeof WORDS[0]; i++) {
        operator= operator|| at_word(r, WORDS[i]);
    }
    for (size_t i = 0; i < sizeof SIGNS / sizeof SIGNS[0]; i++) {
        operator= operator|| at_sign(r, SIGNS[i]);
    }
    return operator;
}

static bool next_word(Reader *r, const char *word)
{
    return goes_on(r) && take_word(r, word);
}

static bool next_sign(Reader *r, const char *sign)
{
    return goes_on(r) && take_sign(r, sign);
}

static Expr *read_path(Reader *r)
{
    Expr *path = expr_at(r, OP_NAME);
    path->text = want_name(r);
    for (;;) {
        Expr *outer = expr_at(r, OP_DOT);
        if (next_sign(r, ".")) {
            outer->text = want_name(r);
        } else if (next_sign(r, "[")) {
            outer->op = OP_INDEX;
            outer->text = want_text(r);
            want_sign(r, "]");
        } else {
            return path;
        }
        outer->a = path;
        path = outer;
    }
}

/* ", or VALUE if none", where it stands; otherwise the expression as it is. */
Expr *read_fallback(Reader *r, Expr *whole, bool speaks_of_left)
{
    Reader before = *r;
    if (!at_sign(r, ",")) {
        return whole;
    }
    read_next(r);
    if (!take_word(r, "or")) {
        *r = before;
        return whole;
    }
    if (at_word(r, "yes") || at_word(r, "no")) { /* may be "or yes if empty" of a quantifier */
        Reader look = *r;
        read_next(&look);
        if (take_word(&look, "if") && at_word(&look, "empty")) {
            *r = before;
            return whole;
        }
    }
    Expr *fallback = expr_at(r, OP_FALLBACK);
    fallback->b = read_sum(r);
    want_word(r, "if");
    want_word(r, "none");
    bool comparison = (whole->op >= OP_LE && whole->op <= OP_NE) || whole->op == OP_AMONG ||
                      whole->op == OP_WITHIN || whole->op == OP_HOLDS || whole->op == OP_HOLDS_ANY;
    if (comparison && speaks_of_left) {
        fallback->a = whole->a;
        whole->a = fallback;
        return whole;
    }
    fallback->a = whole;
    return fallback;
}

static void read_emptiness(Reader *r, Expr *e)
{
    Reader before = *r;
    if (!take_sign(r, ",")) {
        return;
    }
    if (take_word(r, "at")) {
        want_word(r, "least");
        e->empty = EMPTY_AT_LEAST;
        e->least = 1;
        if (!take_word(r, "one")) {
            Quantity n = want_quantity(r, false);
            e->least = mpz_get_si(mpq_numref(n.range.lo.v));
        }
        return;
    }
    if (take_word(r, "or") && (at_word(r, "yes") || at_word(r, "no"))) {
        e->empty = at_word(r, "yes") ? EMPTY_YES : EMPTY_NO;
        read_next(r);
        want_word(r, "if");
        want_word(r, "empty");
        return;
    }
    *r = before;
}

/* NAME of LIST [where CONDITION] */
static void read_over(Reader *r, Expr *e)
{
    e->text = want_name(r);
    want_word(r, "of");
    e->a = read_or(r);
    if (next_word(r, "where")) {
        e->b = read_or(r);
    }
}

static Expr *read_quantifier(Reader *r, Op op)
{
    Expr *e = expr_at(r, op);
    read_next(r);
    read_over(r, e);
    read_emptiness(r, e);
    want_sign(r, ":");
    e->c = read_or(r);
    return e;
}

static Expr *read_aggregate(Reader *r, Op op)
{
    Expr *e = expr_at(r, op);
    read_next(r);
    want_word(r, "of");
    e->c = read_or(r);
    want_word(r, "for");
    read_over(r, e);
    return e;
}

static Expr *read_count(Reader *r)
{
    Expr *e = expr_at(r, OP_COUNT);
    read_next(r);
    want_word(r, "of");
    Reader look = *r;
    read_next(&look);
    if (at_word(&look, "of")) {
        read_over(r, e);
    } else {
        e->text = "";
        e->a = read_path(r);
    }
    return e;
}

static Expr *read_block(Reader *r, Op op)
{
    Expr *e = NULL;
    bool lines = r->lines;
    read_next(r);
    want_word(r, "of");
    r->lines = true;
    while (!at_word(r, "end")) {
        Expr *next = read_expr(r);
        e = e == NULL ? next : expr_new(op, e, next);
    }
    r->lines = lines;
    want_word(r, "end");
    return e;
}

static Expr *read_round(Reader *r)
{
    Expr *e = expr_at(r, OP_ROUND);
    read_next(r);
    if (take_word(r, "to")) {
        want_word(r, "nearest");
        e->range = want_quantity(r, true).range;
        want_word(r, "of");
        e->a = read_sum(r);
        want_word(r, "half");
        e->rounding = at_word(r, "even") ? ROUND_HALF_EVEN : ROUND_HALF_UP;
        read_next(r);
        return e;
    }
    e->rounding = at_word(r, "up") ? ROUND_UP : ROUND_DOWN;
    read_next(r);
    want_word(r, "to");
    e->range = want_quantity(r, true).range;
    want_word(r, "of");
    e->a = read_sum(r);
    return e;
}

static Expr *read_plan(Reader *r, Op op, const char *first, const char *second)
{
    Expr *e = expr_at(r, op);
    read_next(r);
    want_word(r, first);
    e->a = read_path(r);
    want_word(r, second);
    e->b = read_path(r);
    return e;
}

static Expr *read_call(Reader *r)
{
    Expr *e = expr_at(r, OP_CALL);
    e->text = want_name(r);
    want_sign(r, "(");
    bool lines = r->lines;
    r->lines = false;
    do {
        vec_add(&e->args, read_expr(r));
    } while (take_sign(r, ","));
    r->lines = lines;
    want_sign(r, ")");
    return e;
}

static Expr *read_first(Reader *r)
{
    Expr *e = expr_at(r, OP_FIRST);
    read_next(r);
    read_over(r, e);
    want_word(r, "by");
    e->c = read_or(r);
    return e;
}

static Expr *read_those(Reader *r)
{
    Expr *e = expr_at(r, OP_THOSE);
    read_next(r);
    read_over(r, e);
    return e;
}

static Expr *read_name(Reader *r)
{
    Reader look = *r;
    read_next(&look);
    if (at_sign(&look, "(") && goes_on(&look)) {
        return read_call(r);
    }
    Expr *path = read_path(r);
    if (goes_on(r) && at_word(r, "that")) {
        Expr *e = expr_at(r, OP_COVERED);
        read_next(r);
        e->a = path;
        e->b = read_path(r);
        want_word(r, "covers");
        return e;
    }
    return path;
}

static Expr *read_word(Reader *r)
{
    Reader look = *r;
    read_next(&look);
    bool of = at_word(&look, "of"), same_line = goes_on(&look);
    read_next(&look);
    bool named = at_word(&look, "of");
    if (at_word(r, "every") || at_word(r, "some") || (at_word(r, "no") && named && same_line)) {
        return read_quantifier(r, at_word(r, "every")  ? OP_EVERY
                                  : at_word(r, "some") ? OP_SOME
                                                       : OP_NO_ONE);
    }
    if (at_word(r, "yes") || at_word(r, "no")) {
        Expr *e = expr_at(r, at_word(r, "yes") ? OP_YES : OP_NO);
        read_next(r);
        return e;
    }
    if (of && (at_word(r, "total") || at_word(r, "least") || at_word(r, "greatest"))) {
        return read_aggregate(r, at_word(r, "total")   ? OP_TOTAL
                                 : at_word(r, "least") ? OP_LEAST
                                                       : OP_GREATEST);
    }
    if (of && at_word(r, "count")) {
        return read_count(r);
    }
    if (of && (at_word(r, "any") || at_word(r, "all"))) {
        return read_block(r, at_word(r, "any") ? OP_OR : OP_AND);
    }
    if (at_word(r, "those")) {
        return read_those(r);
    }
    if (at_word(r, "first") && named) {
        return read_first(r);
    }
    if (at_word(r, "gap")) {
        return read_plan(r, OP_GAP, "between", "and");
    }
    if (at_word(r, "overhang")) {
        return read_plan(r, OP_OVERHANG, "of", "beyond");
    }
    if (at_word(r, "round")) {
        return read_round(r);
    }
    if (of && at_word(r, "approval")) {
        Expr *e = expr_at(r, OP_APPROVAL);
        read_next(r);
        read_next(r);
        e->text = want_text(r);
        return e;
    }
    if (at_word(r, "blank") && next_is(r, "\"")) {
        Expr *e = expr_at(r, OP_BLANK);
        read_next(r);
        e->text = want_text(r);
        return e;
    }
    return read_name(r);
}

static Expr *read_literal(Reader *r)
{
    Expr *e = expr_at(r, OP_NUMBER);
    Quantity quantity = want_quantity(r, true);
    e->range = quantity.range;
    e->tolerance = quantity.tolerance;
    e->whole =
        quantity.bare && range_exact(&e->range) && mpz_cmp_ui(mpq_denref(e->range.lo.v), 1) == 0;
    if (next_word(r, "of")) {
        return expr_new(OP_MUL, e, read_unary(r));
    }
    return e;
}

static Expr *read_primary(Reader *r)
{
    Expr *e = NULL;
    switch (r->token.kind) {
    case TOKEN_NUMBER: return read_literal(r);
    case TOKEN_DATE:
        e = expr_at(r, OP_DATE);
        e->range = want_date(r);
        return e;
    case TOKEN_TEXT:
        e = expr_at(r, OP_TEXT);
        e->text = want_text(r);
        return e;
    case TOKEN_WORD: return read_word(r);
    case TOKEN_SIGN:
        if (take_sign(r, "(")) {
            bool lines = r->lines;
            r->lines = false;
            e = read_fallback(r, read_expr(r), true);
            r->lines = lines;
            want_sign(r, ")");
            return e;
        }
        break;
    case TOKEN_END: break;
    }
    read_error(r, "a value is expected");
}

static Expr *read_unary(Reader *r)
{
    if (!at_sign(r, "-")) {
        return read_primary(r);
    }
    if (r->token.start[1] >= '0' && r->token.start[1] <= '9') {
        return read_literal(r); /* the sign belongs to the literal */
    }
    read_next(r);
    return expr_new(OP_MINUS, read_unary(r), NULL);
}

static Expr *read_size(Reader *r)
{
    Expr *first = read_unary(r);
    if (!(goes_on(r) && at_word(r, "x"))) {
        return first;
    }
    Expr *e = expr_at(r, OP_SIZE);
    vec_add(&e->args, first);
    while (next_word(r, "x")) {
        vec_add(&e->args, read_unary(r));
    }
    return e;
}

static Expr *read_product(Reader *r)
{
    Expr *e = read_size(r);
    for (;;) {
        if (next_sign(r, "*")) {
            e = expr_new(OP_MUL, e, read_size(r));
        } else if (next_sign(r, "/")) {
            e = expr_new(OP_DIV, e, read_size(r));
        } else {
            return e;
        }
    }
}

Expr *read_sum(Reader *r)
{
    Expr *e = read_product(r);
    for (;;) {
        if (next_sign(r, "+")) {
            e = expr_new(OP_ADD, e, read_product(r));
        } else if (next_sign(r, "-")) {
            e = expr_new(OP_SUB, e, read_product(r));
        } else {
            return e;
        }
    }
}

static Expr *read_is(Reader *r, Expr *left)
{
    bool not = take_word(r, "not");
    if (at_word(r, "none") || at_word(r, "absent") || at_word(r, "present")) {
        not = not != at_word(r, "present");
        read_next(r);
        Expr *e = expr_new(OP_IS_NONE, left, NULL);
        return not ? expr_new(OP_NOT, e, NULL) : e;
    }
    return expr_new(not ? OP_NE : OP_EQ, left, read_sum(r));
}

static Expr *read_among(Reader *r, Expr *left)
{
    Expr *e = expr_at(r, OP_AMONG);
    e->a = left;
    want_sign(r, "(");
    do {
        vec_add(&e->args, read_expr(r));
    } while (take_sign(r, ","));
    want_sign(r, ")");
    return e;
}

static Expr *read_holds(Reader *r, Expr *left)
{
    Expr *e = expr_new(OP_HOLDS, left, read_sum(r));
    if (next_word(r, "in")) {
        want_word(r, "any");
        want_word(r, "orientation");
        e->op = OP_HOLDS_ANY;
    }
    return e;
}

static Expr *read_within(Reader *r, Expr *left)
{
    Expr *e = expr_new(OP_WITHIN, left, NULL);
    e->c = expr_at(r, OP_NUMBER);
    e->c->range = want_quantity(r, true).range;
    want_word(r, "of");
    e->b = read_sum(r);
    return e;
}

static Expr *read_comparison(Reader *r)
{
    static const struct {
        const char *sign;
        Op op;
    } SIGNS[] = {{"<=", OP_LE}, {"<", OP_LT}, {">=", OP_GE},
                 {">", OP_GT},  {"=", OP_EQ}, {"!=", OP_NE}};
    Expr *left = read_sum(r);
    for (size_t i = 0; i < sizeof SIGNS / sizeof SIGNS[0]; i++) {
        if (next_sign(r, SIGNS[i].sign)) {
            return expr_new(SIGNS[i].op, left, read_sum(r));
        }
    }
    if (next_word(r, "is")) {
        return read_is(r, left);
    }
    if (next_word(r, "among")) {
        return read_among(r, left);
    }
    if (next_word(r, "before")) {
        return expr_new(OP_LT, left, read_sum(r));
    }
    if (next_word(r, "after")) {
        return expr_new(OP_GT, left, read_sum(r));
    }
    if (next_word(r, "on")) {
        want_word(r, "or");
        Op op = at_word(r, "after") ? OP_GE : OP_LE;
        read_next(r);
        return expr_new(op, left, read_sum(r));
    }
    if (next_word(r, "within")) {
        return read_within(r, left);
    }
    if (next_word(r, "holds")) {
        return read_holds(r, left);
    }
    if (next_word(r, "covers")) {
        return expr_new(OP_COVERS, left, read_path(r));
    }
    if (next_word(r, "overlaps")) {
        return expr_new(OP_OVERLAPS, left, read_path(r));
    }
    return left;
}

static Expr *read_not(Reader *r)
{
    if (take_word(r, "not")) {
        return expr_new(OP_NOT, read_not(r), NULL);
    }
    return read_comparison(r);
}

static Expr *read_and(Reader *r)
{
    Expr *e = read_not(r);
    while (next_word(r, "and")) {
        e = expr_new(OP_AND, e, read_not(r));
    }
    return e;
}

static Expr *read_or(Reader *r)
{
    Expr *e = read_and(r);
    while (next_word(r, "or")) {
        e = expr_new(OP_OR, e, read_and(r));
    }
    return e;
}

Expr *read_expr(Reader *r)
{
    Expr *yes = read_or(r);
    if (!next_word(r, "if")) {
        return yes;
    }
    Expr *e = expr_at(r, OP_IF);
    e->a = read_or(r);
    want_word(r, "otherwise");
    e->b = yes;
    e->c = read_expr(r);
    return e;
}
