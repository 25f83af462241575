/* Expressions: the walk over the tree, conditions, and what is neither number, comparison nor
 * list. Every function gives code; after a message it gives bad code, and bad code silences
 * whatever would follow from it. */
#include "law/check.h"

/* ---- conditions ---- */

/* A yes/no that may be none, where a condition is due, is asked whether it is yes. */
static const Code *ask_yes(Check *c, const Code *code, uint32_t mark)
{
    if (!absent_since(c, mark)) {
        return code;
    }
    Code *ask = code_make(c, CODE_COMPARE_TRUTH, code->expr, type_of_class(CLASS_YES_NO));
    ask->source = code->source;
    ask->sub = COMPARE_EQUAL;
    ask->a = code;
    ask->b = code_truth(c, code->expr, true);
    absents_soften(c, mark);
    absents_deepen(c, mark);
    return code_done(c, ask);
}

const Code *check_truth(Check *c, const Expr *e)
{
    uint32_t mark = c->absent_count;
    const Code *code = check_value(c, e, NULL);
    if (is_bad(code)) {
        return code;
    }
    if (code->type.class != CLASS_YES_NO) {
        diagnostic_error(
            c->diags, "not a condition", code_place(code), "'%.*s' is %.*s, and a condition is due",
            TEXT_ARG(quote_code(c->arena, code)), TEXT_ARG(type_words(c->arena, &code->type)));
        return code_bad(c, e);
    }
    return ask_yes(c, code, mark);
}

const Code *check_condition(Check *c, const Expr *e)
{
    Context *context = &c->context;
    uint32_t alternatives = context->alternatives, inexact = context->inexact;
    bool condition = context->condition;
    const Expr *vacuous = context->vacuous;
    context->alternatives = 0;
    context->condition = true;
    uint32_t mark = c->absent_count;
    const Code *code = check_truth(c, e);
    absents_close_condition(c, mark);
    /* What only picks has no part in the value that is picked. */
    context->alternatives = alternatives;
    context->condition = condition;
    context->vacuous = vacuous;
    context->inexact = inexact;
    return code;
}

static const Code *check_and(Check *c, const Expr *e)
{
    bool is_or = e->kind == EXPR_OR;
    c->context.alternatives += is_or ? 1 : 0;
    const Code *a = check_truth(c, e->a);
    uint32_t guards = guards_push(c, a, !is_or);
    const Code *b = check_truth(c, e->b);
    guards_pop(c, guards);
    c->context.alternatives -= is_or ? 1 : 0;
    if (is_bad(a) || is_bad(b)) {
        return code_bad(c, e);
    }
    return code_binary(c, is_or ? CODE_OR : CODE_AND, e, type_of_class(CLASS_YES_NO), a, b);
}

static const Code *check_block(Check *c, const Expr *e)
{
    bool any = e->kind == EXPR_ANY_OF;
    uint32_t count = 0;
    for (const Expr *member = e->list; member != NULL; member = member->next) {
        count++;
    }
    Code *block = code_make(c, any ? CODE_ANY_OF : CODE_ALL_OF, e, type_of_class(CLASS_YES_NO));
    block->args = ARENA_ARRAY(c->arena, const Code *, count + 1);
    c->context.alternatives += any ? 1 : 0;
    uint32_t guards = c->guard_count;
    bool good = true;
    for (const Expr *member = e->list; member != NULL; member = member->next) {
        const Code *code = check_truth(c, member);
        good = good && !is_bad(code);
        block->args[block->count++] = code;
        (void)guards_push(c, code, !any); /* members are asked in the order written */
    }
    guards_pop(c, guards);
    c->context.alternatives -= any ? 1 : 0;
    return good ? code_done(c, block) : code_bad(c, e);
}

static const Code *check_not(Check *c, const Expr *e)
{
    const Code *a = check_truth(c, e->a);
    return is_bad(a) ? a : code_unary(c, CODE_NOT, e, type_of_class(CLASS_YES_NO), a);
}

/* `x >= 5 in if c otherwise 4 in` chooses between a comparison and a length. */
static const Code *wrong_choice(Check *c, const Expr *e, const Code *a, const Code *b)
{
    uint32_t errors = (uint32_t)c->diags->errors;
    (void)check_same(c, e, "choose between", a, b);
    if (c->diags->errors > errors && e->a->kind == EXPR_COMPARE && !e->a->parens) {
        Text right = quote_span(c->arena, check_place(c, (Span){e->a->b->span.start, e->span.end}));
        diagnostic_note(c->diags, c->diags->last, (Place){0},
                        "'if' reaches further than a comparison: write '(%.*s)'", TEXT_ARG(right));
    }
    return code_bad(c, e);
}

static const Code *check_choice(Check *c, const Expr *e, const Choice *words)
{
    const Code *condition = check_condition(c, e->b);
    uint32_t guards = guards_push(c, condition, true);
    const Code *a = check_value(c, e->a, words);
    guards_pop(c, guards);
    guards = guards_push(c, condition, false);
    const Code *b = check_value(c, e->c, a->type.class == CLASS_CHOICE ? a->type.choice : words);
    guards_pop(c, guards);
    if (is_bad(condition) || is_bad(a) || is_bad(b)) {
        return code_bad(c, e);
    }
    if (!type_matches(&a->type, &b->type)) {
        return wrong_choice(c, e, a, b);
    }
    if (a->type.class == CLASS_ITEM || a->type.class == CLASS_LIST) {
        diagnostic_error(c->diags, "cannot be chosen", check_place(c, e->span),
                         "'if ... otherwise' chooses values; '%.*s' is %.*s",
                         TEXT_ARG(quote_code(c->arena, a)),
                         TEXT_ARG(type_words(c->arena, &a->type)));
        return code_bad(c, e);
    }
    Type type = a->type;
    type.whole = a->type.whole && b->type.whole;
    type.percent = a->type.percent && b->type.percent;
    Code *code = code_make(c, CODE_IF, e, type);
    code->a = a;
    code->b = condition;
    code->c = b;
    code->unit = a->unit != NULL ? a->unit : b->unit;
    return code_done(c, code);
}

const Code *check_is_none(Check *c, const Expr *e)
{
    uint32_t mark = c->absent_count;
    const Code *a = check_value(c, e->a, NULL);
    if (is_bad(a)) {
        return a;
    }
    bool list = a->type.class == CLASS_LIST;
    if (!list && !absent_since(c, mark)) {
        proof_warning(c, "never none", check_place(c, e->span), "'%.*s' is never none here",
                      TEXT_ARG(quote_code(c->arena, a)));
    }
    absents_drop_direct(c, mark);
    Code *code = code_make(c, CODE_IS_NONE, e, type_of_class(CLASS_YES_NO));
    code->a = a;
    code->flag = e->flag;
    return code_done(c, code);
}

static const Code *check_if_none(Check *c, const Expr *e, const Choice *words)
{
    return check_with_fallback(c, e->a, e->b, words);
}

const Code *check_with_fallback(Check *c, const Expr *e, const Expr *fallback, const Choice *words)
{
    if (fallback == NULL) {
        return check_value(c, e, words);
    }
    if (check_is_comparison(e)) {
        return check_comparison(c, e, fallback);
    }
    uint32_t mark = c->absent_count;
    const Code *a = check_value(c, e, words);
    return absence_fallback(c, e, a, mark, fallback);
}

/* ---- literals ---- */

static const Code *check_text_literal(Check *c, const Expr *e)
{
    Value value = {.kind = VALUE_TEXT, .known = true, .text = e->text};
    return code_constant(c, e, type_of_class(CLASS_TEXT), value, NULL);
}

static const Code *check_date_literal(Check *c, const Expr *e)
{
    Value value = {.kind = VALUE_RANGE, .range = range_exact(RATIONAL(e->day, 1))};
    return code_constant(c, e, type_of_class(CLASS_DATE), value, NULL);
}

static const Code *check_approval(Check *c, const Expr *e)
{
    c->context.facts++;
    Code *code = code_make(c, CODE_APPROVAL, e, type_of_class(CLASS_YES_NO));
    code->text = &e->text;
    return code;
}

static const Code *check_word(Check *c, const Expr *e, const Choice *words)
{
    if (words != NULL) {
        int index = choice_index(words, e->name);
        if (index >= 0) {
            return code_word(c, e, words, (uint32_t)index);
        }
    }
    return check_name(c, e);
}

/* What the adopting jurisdiction fills in stands only where a limit can be put in its place. */
static const Code *check_blank(Check *c, const Expr *e)
{
    Diagnostic *diag = diagnostic_error(c->diags, "blank out of place", check_place(c, e->span),
                                        "a blank is the whole right side of a line's comparison");
    diagnostic_note(c->diags, diag, (Place){0}, "write 'shall width <= blank \"the width\"'");
    return code_bad(c, e);
}

/* ---- the walk ---- */

static const Code *check_kind(Check *c, const Expr *e, const Choice *words)
{
    switch ((ExprKind)e->kind) {
    case EXPR_BAD: return code_bad(c, e);
    case EXPR_QUANTITY: return check_quantity(c, e);
    case EXPR_TEXT: return check_text_literal(c, e);
    case EXPR_DATE: return check_date_literal(c, e);
    case EXPR_YES: return code_truth(c, e, true);
    case EXPR_NO: return code_truth(c, e, false);
    case EXPR_NAME: return check_word(c, e, words);
    case EXPR_FIELD: return check_field(c, e);
    case EXPR_ITEM: return check_item(c, e);
    case EXPR_OR:
    case EXPR_AND: return check_and(c, e);
    case EXPR_NOT: return check_not(c, e);
    case EXPR_COMPARE:
    case EXPR_AMONG:
    case EXPR_WITHIN: return check_comparison(c, e, NULL);
    case EXPR_IS_NONE: return check_is_none(c, e);
    case EXPR_ADD:
    case EXPR_SUBTRACT:
    case EXPR_MULTIPLY:
    case EXPR_DIVIDE:
    case EXPR_NEGATE: return check_arithmetic(c, e);
    case EXPR_SIZE: return check_size(c, e);
    case EXPR_HOLDS:
    case EXPR_COVERS:
    case EXPR_OVERLAPS:
    case EXPR_GAP:
    case EXPR_OVERHANG: return check_plan(c, e);
    case EXPR_QUANTIFIER: return check_quantifier(c, e);
    case EXPR_AGGREGATE: return check_aggregate(c, e);
    case EXPR_THOSE: return check_those(c, e);
    case EXPR_COVERED: return check_covered(c, e);
    case EXPR_FIRST: return check_first(c, e);
    case EXPR_ANY_OF:
    case EXPR_ALL_OF: return check_block(c, e);
    case EXPR_ROUND: return check_round(c, e);
    case EXPR_CHOICE: return check_choice(c, e, words);
    case EXPR_APPROVAL: return check_approval(c, e);
    case EXPR_BLANK: return check_blank(c, e);
    case EXPR_CALL: return check_call(c, e);
    case EXPR_IF_NONE: return check_if_none(c, e, words);
    }
    return code_bad(c, e);
}

const Code *check_value(Check *c, const Expr *e, const Choice *words)
{
    if (e == NULL) { /* left out after a syntax error */
        static const Expr nothing = {.kind = EXPR_BAD};
        return code_bad(c, &nothing);
    }
    if (c->depth >= CODE_DEPTH_MAX) {
        diagnostic_error(c->diags, "nested too deeply", check_place(c, e->span),
                         "this rests on definitions within definitions, more than %d deep",
                         CODE_DEPTH_MAX);
        return code_bad(c, e);
    }
    uint32_t mark = c->absent_count;
    c->depth++;
    const Code *code = check_kind(c, e, words);
    c->depth--;
    if (is_bad(code)) {
        c->absent_count = mark; /* what is bad has no absence to answer */
    }
    return code;
}
