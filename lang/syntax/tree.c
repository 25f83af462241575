/* Expressions: the constructors that the grammar calls.
 *
 * Every node knows its depth; what would be deeper than TREE_DEPTH_MAX becomes EXPR_BAD with one
 * message, for whoever walks a tree recurses. A node with a bad part is bad itself, silently. */
#include "syntax/parse.h"

static Expr *make(Parse *parse, Span span, ExprKind kind)
{
    Expr *expr = ARENA_NEW(parse->arena, Expr);
    expr->kind = (uint8_t)kind;
    expr->span = span;
    expr->depth = 1;
    return expr;
}

Expr *expr_bad(Parse *parse, Span span)
{
    return make(parse, span, EXPR_BAD);
}

static bool is_bad(const Expr *expr)
{
    return expr != NULL && expr->kind == EXPR_BAD;
}

static uint16_t deeper(uint16_t depth, const Expr *part)
{
    return part != NULL && part->depth > depth ? part->depth : depth;
}

/* Makes a node bad if a part of it is, or if it lies too deep; else sets its depth. */
static Expr *finish(Parse *parse, Expr *expr)
{
    uint16_t depth = deeper(deeper(deeper(0, expr->a), expr->b), expr->c);
    bool bad = is_bad(expr->a) || is_bad(expr->b) || is_bad(expr->c);
    for (const Expr *member = expr->list; member != NULL; member = member->next) {
        depth = deeper(depth, member);
        bad = bad || is_bad(member);
    }
    if (bad) {
        return expr_bad(parse, expr->span);
    }
    expr->depth = (uint16_t)(depth + 1);
    if (expr->depth > TREE_DEPTH_MAX) {
        complain_depth(parse, expr->span);
        return expr_bad(parse, expr->span);
    }
    return expr;
}

/* ---- leaves ---- */

Expr *expr_quantity(Parse *parse, Span span, Amount amount)
{
    Expr *expr = make(parse, span, EXPR_QUANTITY);
    expr->quantity = amount.quantity;
    expr->text = source_spelling(parse, amount.span);
    return expr;
}

Expr *expr_text(Parse *parse, Span span, Text text)
{
    Expr *expr = make(parse, span, EXPR_TEXT);
    expr->text = text;
    return expr;
}

Expr *expr_date(Parse *parse, Span span, Day day)
{
    Expr *expr = make(parse, span, EXPR_DATE);
    expr->day = day;
    return expr;
}

Expr *expr_word(Parse *parse, Span span, ExprKind kind)
{
    return make(parse, span, kind);
}

Expr *expr_name(Parse *parse, Named name)
{
    Expr *expr = make(parse, name.span, EXPR_NAME);
    expr->name = name.name;
    expr->name_span = name.span;
    return expr;
}

Expr *expr_approval(Parse *parse, Span span, Text of)
{
    Expr *expr = make(parse, span, EXPR_APPROVAL);
    expr->text = of;
    return expr;
}

Expr *expr_blank(Parse *parse, Span span, Text what)
{
    Expr *expr = make(parse, span, EXPR_BLANK);
    expr->text = what;
    return expr;
}

/* ---- nodes ---- */

Expr *expr_field(Parse *parse, Span span, Expr *of, Named name)
{
    Expr *expr = make(parse, span, EXPR_FIELD);
    expr->a = of;
    expr->name = name.name;
    expr->name_span = name.span;
    return finish(parse, expr);
}

Expr *expr_item(Parse *parse, Span span, Expr *list, Text key)
{
    Expr *expr = make(parse, span, EXPR_ITEM);
    expr->a = list;
    expr->text = key;
    return finish(parse, expr);
}

Expr *expr_one(Parse *parse, Span span, ExprKind kind, bool flag, Expr *a)
{
    Expr *expr = make(parse, span, kind);
    expr->flag = flag;
    expr->a = a;
    return finish(parse, expr);
}

Expr *expr_two(Parse *parse, Span span, ExprKind kind, Expr *a, Expr *b)
{
    Expr *expr = make(parse, span, kind);
    expr->a = a;
    expr->b = b;
    return finish(parse, expr);
}

Expr *expr_three(Parse *parse, Span span, ExprKind kind, Expr *a, Expr *b, Expr *c)
{
    Expr *expr = make(parse, span, kind);
    expr->a = a;
    expr->b = b;
    expr->c = c;
    return finish(parse, expr);
}

Expr *expr_compare(Parse *parse, Span span, CompareOp op, bool worded, Expr *a, Expr *b)
{
    Expr *expr = make(parse, span, EXPR_COMPARE);
    expr->op = (uint8_t)op;
    expr->flag = worded;
    expr->a = a;
    expr->b = b;
    return finish(parse, expr);
}

Expr *expr_holds(Parse *parse, Span span, Expr *a, Expr *b, bool any_orientation)
{
    Expr *expr = make(parse, span, EXPR_HOLDS);
    expr->flag = any_orientation;
    expr->a = a;
    expr->b = b;
    return finish(parse, expr);
}

/* The grammar reads a x b x c from the left: a third side joins the two before it. */
Expr *expr_size(Parse *parse, Span span, Expr *a, Expr *b)
{
    bool is_third = a->kind == EXPR_SIZE && !a->parens;
    if (is_third && a->c != NULL) {
        parse_error(parse, "size", span, "a size has two or three sides");
        return expr_bad(parse, span);
    }
    Expr *expr = make(parse, span, EXPR_SIZE);
    expr->a = is_third ? a->a : a;
    expr->b = is_third ? a->b : b;
    expr->c = is_third ? b : NULL;
    return finish(parse, expr);
}

Expr *expr_share(Parse *parse, Span span, Amount share, Expr *of)
{
    Expr *expr = make(parse, span, EXPR_MULTIPLY);
    expr->flag = true;
    expr->a = expr_quantity(parse, share.span, share);
    expr->b = of;
    return finish(parse, expr);
}

Expr *expr_within(Parse *parse, Span span, Expr *a, Amount slack, Expr *of)
{
    return expr_three(parse, span, EXPR_WITHIN, a, expr_quantity(parse, slack.span, slack), of);
}

Expr *expr_round(Parse *parse, Span span, RoundOp op, Amount step, Expr *value)
{
    Expr *expr = make(parse, span, EXPR_ROUND);
    expr->op = (uint8_t)op;
    expr->a = expr_quantity(parse, step.span, step);
    expr->b = value;
    return finish(parse, expr);
}

Expr *expr_among(Parse *parse, Span span, Expr *a, ExprList list)
{
    Expr *expr = make(parse, span, EXPR_AMONG);
    expr->a = a;
    expr->list = list.first;
    return finish(parse, expr);
}

Expr *expr_listed(Parse *parse, Span span, ExprKind kind, ExprList list)
{
    Expr *expr = make(parse, span, kind);
    expr->list = list.first;
    return finish(parse, expr);
}

Expr *expr_call(Parse *parse, Span span, Named name, ExprList arguments)
{
    Expr *expr = make(parse, span, EXPR_CALL);
    expr->name = name.name;
    expr->name_span = name.span;
    expr->list = arguments.first;
    return finish(parse, expr);
}

static Expr *make_over(Parse *parse, Span span, ExprKind kind, Named name, Expr *list, Expr *where,
                       Expr *body)
{
    Expr *expr = make(parse, span, kind);
    expr->name = name.name;
    expr->name_span = name.span;
    expr->a = list;
    expr->b = where;
    expr->c = body;
    return expr;
}

Expr *expr_over(Parse *parse, Span span, ExprKind kind, Named name, Expr *list, Expr *where,
                Expr *body)
{
    return finish(parse, make_over(parse, span, kind, name, list, where, body));
}

Expr *expr_aggregate(Parse *parse, Span span, AggregateOp op, Named name, Expr *list, Expr *where,
                     Expr *value)
{
    Expr *expr = make_over(parse, span, EXPR_AGGREGATE, name, list, where, value);
    expr->op = (uint8_t)op;
    return finish(parse, expr);
}

/* The whole number of `at least 3`; 0 with a message. */
static long count_of(Parse *parse, Amount amount)
{
    enum { COUNT_MAX = 1000000 };
    const Quantity *quantity = amount.quantity;
    Rational value = quantity->range.low;
    bool fits = range_is_exact(&quantity->range) && !quantity->percent &&
                rational_is_whole(value) && rational_sign(value) > 0 &&
                rational_order(value, RATIONAL(COUNT_MAX, 1)) <= 0;
    if (!fits) {
        parse_error(parse, "quantity", amount.span,
                    "'at least' asks here for a whole number of items");
        return 0;
    }
    Rational reduced = rational_reduce(parse->arena, value);
    return (long)reduced.num;
}

Expr *expr_quantifier(Parse *parse, Span span, QuantifierOp op, Named name, Expr *list, Expr *where,
                      Empty empty, Expr *body)
{
    Expr *expr = make_over(parse, span, EXPR_QUANTIFIER, name, list, where, body);
    expr->op = (uint8_t)op;
    expr->emptiness = empty.kind;
    if (empty.kind == EMPTY_AT_LEAST_NUMBER) {
        expr->number = count_of(parse, empty.number);
        if (op != QUANTIFIER_SOME) {
            Diagnostic *diag = parse_error(parse, "quantifier", empty.number.span,
                                           "'at least' a number of items goes with 'some' only");
            parse_hint(parse, diag, "write 'at least one', or 'some ..., at least 3: ...'");
        }
    }
    return finish(parse, expr);
}

Expr *expr_parens(Span span, Expr *inner)
{
    inner->parens = true;
    inner->span = span;
    return inner;
}
