/* Expressions and types on one line, as the standard form writes them. */
#include "syntax/faircopy.h"

bool expr_has_block(const Expr *expr)
{
    if (expr == NULL) {
        return false;
    }
    if (expr->kind == EXPR_ANY_OF || expr->kind == EXPR_ALL_OF) {
        return true;
    }
    for (const Expr *member = expr->list; member != NULL; member = member->next) {
        if (expr_has_block(member)) {
            return true;
        }
    }
    return expr_has_block(expr->a) || expr_has_block(expr->b) || expr_has_block(expr->c);
}

static const char *compare_word(const Expr *expr)
{
    switch ((CompareOp)expr->op) {
    case COMPARE_LESS: return expr->flag ? "before" : "<";
    case COMPARE_LESS_EQUAL: return expr->flag ? "on or before" : "<=";
    case COMPARE_GREATER: return expr->flag ? "after" : ">";
    case COMPARE_GREATER_EQUAL: return expr->flag ? "on or after" : ">=";
    case COMPARE_EQUAL: return expr->flag ? "is" : "=";
    case COMPARE_NOT_EQUAL: return expr->flag ? "is not" : "!=";
    }
    return "";
}

static const char *quantifier_word(const Expr *expr)
{
    switch ((QuantifierOp)expr->op) {
    case QUANTIFIER_EVERY: return "every";
    case QUANTIFIER_SOME: return "some";
    case QUANTIFIER_NO: return "no";
    }
    return "";
}

static const char *aggregate_word(const Expr *expr)
{
    switch ((AggregateOp)expr->op) {
    case AGGREGATE_TOTAL: return "total of";
    case AGGREGATE_LEAST: return "least of";
    case AGGREGATE_GREATEST: return "greatest of";
    case AGGREGATE_COUNT: return "count of";
    }
    return "";
}

static const char *round_word(const Expr *expr)
{
    switch ((RoundOp)expr->op) {
    case ROUND_UP: return "round up to";
    case ROUND_DOWN: return "round down to";
    case ROUND_HALF_UP:
    case ROUND_HALF_EVEN: return "round to nearest";
    }
    return "";
}

const char *expr_operator(const Expr *expr)
{
    switch (expr->kind) {
    case EXPR_OR: return "or";
    case EXPR_AND: return "and";
    case EXPR_NOT: return "not";
    case EXPR_COMPARE: return compare_word(expr);
    case EXPR_AMONG: return "among";
    case EXPR_WITHIN: return "within";
    case EXPR_ADD: return "+";
    case EXPR_SUBTRACT: return "-";
    case EXPR_MULTIPLY: return expr->flag ? "of" : "*";
    case EXPR_DIVIDE: return "/";
    case EXPR_SIZE: return "x";
    case EXPR_HOLDS: return "holds";
    case EXPR_COVERS: return "covers";
    case EXPR_OVERLAPS: return "overlaps";
    case EXPR_COVERED: return "that";
    case EXPR_QUANTIFIER: return quantifier_word(expr);
    case EXPR_AGGREGATE: return aggregate_word(expr);
    case EXPR_THOSE: return "those";
    case EXPR_FIRST: return "first";
    case EXPR_ANY_OF: return "any of";
    case EXPR_ALL_OF: return "all of";
    case EXPR_ROUND: return round_word(expr);
    default: return "";
    }
}

static void put_list(Buffer *out, const Expr *list)
{
    buffer_char(out, '(');
    for (const Expr *member = list; member != NULL; member = member->next) {
        expr_flat_into(out, member);
        buffer_string(out, member->next != NULL ? ", " : "");
    }
    buffer_char(out, ')');
}

/* `name of list`, with what selects. */
static void put_over(Buffer *out, const Expr *expr)
{
    buffer_text(out, expr->name->text);
    buffer_string(out, " of ");
    expr_flat_into(out, expr->a);
    if (expr->b != NULL) {
        buffer_string(out, " where ");
        expr_flat_into(out, expr->b);
    }
}

void expr_put_emptiness(Buffer *out, const Expr *expr)
{
    switch ((Emptiness)expr->emptiness) {
    case EMPTY_UNSAID: break;
    case EMPTY_AT_LEAST_ONE: buffer_string(out, ", at least one"); break;
    case EMPTY_AT_LEAST_NUMBER: buffer_format(out, ", at least %ld", expr->number); break;
    case EMPTY_YES: buffer_string(out, ", or yes if empty"); break;
    case EMPTY_NO: buffer_string(out, ", or no if empty"); break;
    }
    buffer_char(out, ':');
}

/* A sign does not touch a digit, which would make it part of a number, nor another sign, which
 * would make a comment of the two. */
static void put_negated(Buffer *out, const Expr *inner)
{
    Text text = expr_flat(out->arena, inner);
    bool touches = text.len > 0 && (ascii_is_digit(text.data[0]) || text.data[0] == '-');
    buffer_string(out, touches ? "- " : "-");
    buffer_text(out, text);
}

static void put_aggregate(Buffer *out, const Expr *expr)
{
    buffer_format(out, "%s ", aggregate_word(expr));
    if (expr->name == NULL) {
        expr_flat_into(out, expr->a);
        return;
    }
    if (expr->c != NULL) {
        expr_flat_into(out, expr->c);
        buffer_string(out, " for ");
    }
    put_over(out, expr);
}

static void put_listed(Buffer *out, const Expr *expr)
{
    switch (expr->kind) {
    case EXPR_QUANTIFIER:
        buffer_format(out, "%s ", quantifier_word(expr));
        put_over(out, expr);
        expr_put_emptiness(out, expr);
        buffer_char(out, ' ');
        expr_flat_into(out, expr->c);
        break;
    case EXPR_AGGREGATE: put_aggregate(out, expr); break;
    default:
        buffer_format(out, "%s ", expr_operator(expr));
        put_over(out, expr);
        if (expr->c != NULL) {
            buffer_string(out, " by ");
            expr_flat_into(out, expr->c);
        }
        break;
    }
}

/* Word, part, word, part, ... ; a word of NULL is left out with its part. */
static void put_mixed(Buffer *out, const char *first, const Expr *a, const char *second,
                      const Expr *b, const char *third, const Expr *c)
{
    buffer_string(out, first);
    expr_flat_into(out, a);
    buffer_string(out, second);
    if (b != NULL) {
        expr_flat_into(out, b);
    }
    buffer_string(out, third);
    if (c != NULL) {
        expr_flat_into(out, c);
    }
}

static void put_binary(Buffer *out, const Expr *expr)
{
    expr_flat_into(out, expr->a);
    buffer_format(out, " %s ", expr_operator(expr));
    expr_flat_into(out, expr->b);
}

/* Only where lines do not matter: in messages. */
static void put_alternatives(Buffer *out, const Expr *expr)
{
    buffer_format(out, "%s ", expr_operator(expr));
    for (const Expr *member = expr->list; member != NULL; member = member->next) {
        expr_flat_into(out, member);
        buffer_string(out, member->next != NULL ? "; " : " end");
    }
}

static void put_rounded(Buffer *out, const Expr *expr)
{
    buffer_format(out, "%s ", round_word(expr));
    expr_flat_into(out, expr->a);
    buffer_string(out, " of ");
    expr_flat_into(out, expr->b);
    if (expr->op == ROUND_HALF_UP || expr->op == ROUND_HALF_EVEN) {
        buffer_string(out, expr->op == ROUND_HALF_UP ? " half up" : " half even");
    }
}

static void put_node(Buffer *out, const Expr *expr)
{
    switch (expr->kind) {
    case EXPR_NOT: put_mixed(out, "not ", expr->a, "", NULL, "", NULL); break;
    case EXPR_NEGATE: put_negated(out, expr->a); break;
    case EXPR_IS_NONE:
        put_mixed(out, "", expr->a, expr->flag ? " is not none" : " is none", NULL, "", NULL);
        break;
    case EXPR_AMONG:
        put_mixed(out, "", expr->a, " among ", NULL, "", NULL);
        put_list(out, expr->list);
        break;
    case EXPR_WITHIN: put_mixed(out, "", expr->a, " within ", expr->b, " of ", expr->c); break;
    case EXPR_SIZE:
        put_mixed(out, "", expr->a, " x ", expr->b, expr->c != NULL ? " x " : "", expr->c);
        break;
    case EXPR_HOLDS:
        put_mixed(out, "", expr->a, " holds ", expr->b, expr->flag ? " in any orientation" : "",
                  NULL);
        break;
    case EXPR_COVERED: put_mixed(out, "", expr->a, " that ", expr->b, " covers", NULL); break;
    case EXPR_GAP: put_mixed(out, "gap between ", expr->a, " and ", expr->b, "", NULL); break;
    case EXPR_OVERHANG:
        put_mixed(out, "overhang of ", expr->a, " beyond ", expr->b, "", NULL);
        break;
    case EXPR_CHOICE: put_mixed(out, "", expr->a, " if ", expr->b, " otherwise ", expr->c); break;
    case EXPR_IF_NONE: put_mixed(out, "", expr->a, ", or ", expr->b, " if none", NULL); break;
    case EXPR_QUANTIFIER:
    case EXPR_AGGREGATE:
    case EXPR_THOSE:
    case EXPR_FIRST: put_listed(out, expr); break;
    case EXPR_ANY_OF:
    case EXPR_ALL_OF: put_alternatives(out, expr); break;
    case EXPR_ROUND: put_rounded(out, expr); break;
    case EXPR_CALL:
        buffer_text(out, expr->name->text);
        put_list(out, expr->list);
        break;
    default: put_binary(out, expr); break;
    }
}

static bool put_leaf(Buffer *out, const Expr *expr)
{
    switch (expr->kind) {
    case EXPR_BAD: buffer_string(out, "?"); return true;
    case EXPR_QUANTITY: buffer_text(out, expr->text); return true;
    case EXPR_TEXT: buffer_text(out, text_quoted(out->arena, expr->text)); return true;
    case EXPR_DATE: buffer_text(out, date_print(out->arena, expr->day)); return true;
    case EXPR_YES: buffer_string(out, "yes"); return true;
    case EXPR_NO: buffer_string(out, "no"); return true;
    case EXPR_NAME: buffer_text(out, expr->name->text); return true;
    case EXPR_FIELD:
        expr_flat_into(out, expr->a);
        buffer_char(out, '.');
        buffer_text(out, expr->name->text);
        return true;
    case EXPR_ITEM:
        expr_flat_into(out, expr->a);
        buffer_char(out, '[');
        buffer_text(out, text_quoted(out->arena, expr->text));
        buffer_char(out, ']');
        return true;
    case EXPR_BLANK:
    case EXPR_APPROVAL:
        buffer_string(out, expr->kind == EXPR_BLANK ? "blank " : "approval of ");
        buffer_text(out, text_quoted(out->arena, expr->text));
        return true;
    default: return false;
    }
}

void expr_flat_into(Buffer *out, const Expr *expr)
{
    buffer_string(out, expr->parens ? "(" : "");
    if (!put_leaf(out, expr)) {
        put_node(out, expr);
    }
    buffer_string(out, expr->parens ? ")" : "");
}

Text expr_flat(Arena *arena, const Expr *expr)
{
    Buffer out = buffer_make(arena);
    expr_flat_into(&out, expr);
    return buffer_done(&out);
}

/* ---- types ---- */

Text type_flat(Arena *arena, const TypeTree *type)
{
    Buffer out = buffer_make(arena);
    switch ((TypeKind)type->kind) {
    case TYPE_NAMED: return type->name->text;
    case TYPE_TEXT: return TEXT("text");
    case TYPE_YES_NO: return TEXT("yes/no");
    case TYPE_DATE: return TEXT("date");
    case TYPE_COUNT: return TEXT("count");
    case TYPE_PERCENT: return TEXT("percent");
    case TYPE_SIZE: return TEXT("size");
    case TYPE_LIST:
    case TYPE_EVERY:
        buffer_string(&out, type->kind == TYPE_LIST ? "list of " : "every ");
        buffer_text(&out, type->name->text);
        break;
    case TYPE_ONE_OF:
        buffer_string(&out, "one of ");
        for (const Word *word = type->words; word != NULL; word = word->next) {
            buffer_text(&out, word->name->text);
            buffer_string(&out, word->next == NULL ? "" : (type->ordered ? " < " : ", "));
        }
        break;
    }
    return buffer_done(&out);
}
