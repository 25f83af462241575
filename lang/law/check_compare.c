/* Comparisons. Left is what is measured and must rest on facts, right is the limit. Words win
 * over variables on the right. Equality is refused where it could never be met: on facts that
 * can carry a tolerance, and on roots (meaning.md rule 19). */
#include "law/check.h"

bool check_is_comparison(const Expr *e)
{
    return e->kind == EXPR_COMPARE || e->kind == EXPR_AMONG || e->kind == EXPR_WITHIN;
}

static bool is_equality(const Expr *e)
{
    return e->op == COMPARE_EQUAL || e->op == COMPARE_NOT_EQUAL;
}

/* ---- sides ---- */

/* The measured side, with its fallback. */
static const Code *check_left(Check *c, const Expr *e, const Expr *fallback)
{
    uint32_t facts = c->context.facts;
    uint32_t mark = c->absent_count;
    const Code *left = check_value(c, e->a, NULL);
    if (is_bad(left)) {
        return left;
    }
    if (c->context.facts == facts) {
        diagnostic_error(c->diags, "nothing is measured", code_place(left),
                         "the left side of a comparison is what is measured, and '%.*s' rests on "
                         "no fact: write the limit on the right",
                         TEXT_ARG(quote_code(c->arena, left)));
        return code_bad(c, e->a);
    }
    return fallback == NULL ? left : absence_fallback(c, e->a, left, mark, fallback);
}

static const Choice *words_of(const Code *code)
{
    return code->type.class == CLASS_CHOICE ? code->type.choice : NULL;
}

/* A name that is not a word of the choice: the nearest word is told, not the nearest fact. */
static bool is_known(const Check *c, const Name *name)
{
    for (const Variable *v = c->context.variables; v != NULL; v = v->outer) {
        if (v->name == name) {
            return true;
        }
    }
    const Scope *scope = c->context.scope;
    const Scope *home = NULL;
    return scope_local(scope, name) != NULL || scope_find(scope, name, &home) != NULL ||
           record_field(&c->vocabulary->unit, name) != NULL;
}

static bool report_word(Check *c, const Expr *e, const Code *left)
{
    const Choice *choice = words_of(left);
    if (choice == NULL || e == NULL || e->kind != EXPR_NAME || choice_index(choice, e->name) >= 0 ||
        is_known(c, e->name)) {
        return false;
    }
    Text hint = choice_hint(c, choice, e->name->text);
    Diagnostic *diag = diagnostic_error(c->diags, "unknown word", check_place(c, e->span),
                                        "'%.*s' is no word for '%.*s'%.*s", TEXT_ARG(e->name->text),
                                        TEXT_ARG(quote_code(c->arena, left)), TEXT_ARG(hint));
    diagnostic_note(c->diags, diag, code_place(left), "'%.*s' is %.*s",
                    TEXT_ARG(quote_code(c->arena, left)),
                    TEXT_ARG(type_words(c->arena, &left->type)));
    return true;
}

static const Code *check_right(Check *c, const Expr *e, const Code *left)
{
    if (report_word(c, e, left)) {
        return code_bad(c, e);
    }
    return check_value(c, e, words_of(left));
}

/* What the adopting jurisdiction has not filled in: of the kind of what is measured, no value. */
static const Code *check_blank(Check *c, const Expr *e, const Code *left)
{
    if (is_bad(left)) {
        return left;
    }
    Text *what = ARENA_NEW(c->arena, Text);
    *what =
        text_format(c->arena, "the blank \"%.*s\", which nobody has filled in", TEXT_ARG(e->text));
    Code *code = code_make(c, CODE_BLANK, e, left->type);
    code->text = what;
    proof_blank(c, check_place(c, e->span), e->text);
    return code;
}

/* The right side of a whole line may be left open. */
static const Code *check_line_limit(Check *c, const Expr *e, const Expr *limit, const Code *left)
{
    bool blank = e == c->requirement && limit != NULL && limit->kind == EXPR_BLANK;
    return blank ? check_blank(c, limit, left) : check_right(c, limit, left);
}

/* The limit of a line that an amendment replaces is written elsewhere. */
static const Code *check_limit(Check *c, const Expr *e, const Code *left)
{
    if (e != c->limited) {
        return check_line_limit(c, e, e->b, left);
    }
    const Scope *scope = c->context.scope;
    const Source *source = c->context.source;
    c->context.scope = c->limit_scope;
    c->context.source = c->limit_scope->source;
    const Code *right = check_line_limit(c, e, c->limit, left);
    c->context.scope = scope;
    c->context.source = source;
    return right;
}

/* ---- what may be compared ---- */

static bool refuse(Check *c, const Expr *e, const char *name, const char *why)
{
    diagnostic_error(c->diags, name, check_place(c, e->span), "%s", why);
    return false;
}

static bool missing_percent(Check *c, const Code *sign, const Code *bare)
{
    if (!sign->type.percent || sign->op == CODE_CONSTANT || bare->op != CODE_CONSTANT ||
        bare->type.percent || rational_sign(bare->value->range.low) == 0) {
        return false;
    }
    Diagnostic *diag = diagnostic_error(c->diags, "unit missing", code_place(bare),
                                        "'%.*s' has no %% sign, and a percentage is due",
                                        TEXT_ARG(quote_code(c->arena, bare)));
    note_types(c, diag, sign, bare);
    return true;
}

static bool numbers_allowed(Check *c, const Expr *e, const Code *a, const Code *b, bool inexact)
{
    if (missing_percent(c, a, b) || missing_percent(c, b, a)) {
        return false;
    }
    if (!is_equality(e) || !inexact || (a->type.whole && b->type.whole)) {
        return true;
    }
    Text unit = a->unit != NULL   ? a->unit->spelling
                : b->unit != NULL ? b->unit->spelling
                                  : TEXT("");
    Diagnostic *diag =
        diagnostic_error(c->diags, "equality with a tolerance", check_place(c, e->span),
                         "a measured value is never exactly equal: write '%.*s within ... of %.*s'",
                         TEXT_ARG(quote_code(c->arena, a)), TEXT_ARG(quote_code(c->arena, b)));
    diagnostic_note(c->diags, diag, (Place){0}, "for example 'within 1/8%s%.*s of'",
                    unit.len > 0 ? " " : "", TEXT_ARG(unit));
    return false;
}

static bool choices_allowed(Check *c, const Expr *e, const Code *a)
{
    if (is_equality(e) || a->type.choice->ordered) {
        return true;
    }
    Diagnostic *diag =
        diagnostic_error(c->diags, "no order", check_place(c, e->span),
                         "the words of '%.*s' have no order", TEXT_ARG(quote_code(c->arena, a)));
    diagnostic_note(c->diags, diag, a->type.choice->place,
                    "they have one when they are written with '<', the least first");
    return false;
}

static bool may_compare(Check *c, const Expr *e, const Code *a, const Code *b, bool inexact)
{
    if (!check_same(c, e, "compare", a, b)) {
        return false;
    }
    if (e->flag && !is_equality(e) && a->type.class != CLASS_DATE) {
        return refuse(c, e, "not a date", "'before', 'after' and 'on or ...' compare dates");
    }
    switch ((TypeClass)a->type.class) {
    case CLASS_NUMBER: return numbers_allowed(c, e, a, b, inexact);
    case CLASS_CHOICE: return choices_allowed(c, e, a);
    case CLASS_YES_NO:
        return is_equality(e) || refuse(c, e, "no order", "yes and no have no order");
    case CLASS_TEXT:
        return is_equality(e) || refuse(c, e, "no order", "texts are compared with 'is' only");
    case CLASS_DATE: return true;
    case CLASS_SIZE: return refuse(c, e, "cannot be compared", "sizes are compared with 'holds'");
    case CLASS_ITEM:
    case CLASS_LIST:
        return refuse(c, e, "cannot be compared", "items are not compared: compare their facts");
    case CLASS_BAD: break;
    }
    return false;
}

static CodeOp compare_code(const Code *a)
{
    switch ((TypeClass)a->type.class) {
    case CLASS_CHOICE: return CODE_COMPARE_WORDS;
    case CLASS_YES_NO: return CODE_COMPARE_TRUTH;
    case CLASS_TEXT: return CODE_COMPARE_TEXT;
    case CLASS_BAD:
    case CLASS_NUMBER:
    case CLASS_DATE:
    case CLASS_SIZE:
    case CLASS_ITEM:
    case CLASS_LIST: break;
    }
    return CODE_COMPARE;
}

static const Code *check_compare(Check *c, const Expr *e, const Expr *fallback)
{
    uint32_t mark = c->absent_count;
    uint32_t inexact = c->context.inexact;
    const Code *a = check_left(c, e, fallback);
    const Code *b = check_limit(c, e, a);
    if (!may_compare(c, e, a, b, c->context.inexact > inexact)) {
        return code_bad(c, e);
    }
    Code *code = code_make(c, compare_code(a), e, type_of_class(CLASS_YES_NO));
    code->sub = e->op;
    code->a = a;
    code->b = b;
    if (code->op != CODE_COMPARE && is_equality(e)) {
        absents_soften(c, mark);
    }
    absents_deepen(c, mark);
    c->context.inexact = inexact;
    proof_compare(c, e, code);
    return code_done(c, code);
}

static const Code *check_among(Check *c, const Expr *e, const Expr *fallback)
{
    uint32_t mark = c->absent_count;
    uint32_t inexact = c->context.inexact;
    const Code *a = check_left(c, e, fallback);
    uint32_t count = 0;
    for (const Expr *member = e->list; member != NULL; member = member->next) {
        count++;
    }
    Code *code = code_make(c, CODE_AMONG, e, type_of_class(CLASS_YES_NO));
    code->a = a;
    code->args = ARENA_ARRAY(c->arena, const Code *, count + 1);
    Expr equality = {.kind = EXPR_COMPARE, .op = COMPARE_EQUAL, .flag = true};
    bool good = !is_bad(a);
    for (const Expr *member = e->list; member != NULL; member = member->next) {
        const Code *b = check_right(c, member, a);
        equality.span = member->span;
        good = may_compare(c, &equality, a, b, c->context.inexact > inexact) && good;
        code->args[code->count++] = b;
    }
    if (a->type.class == CLASS_CHOICE || a->type.class == CLASS_TEXT ||
        a->type.class == CLASS_YES_NO) {
        absents_soften(c, mark);
    }
    absents_deepen(c, mark);
    c->context.inexact = inexact;
    return good ? code_done(c, code) : code_bad(c, e);
}

/* The tolerance of a point is a difference. */
static bool check_tolerance(Check *c, const Expr *e, const Code *a, const Code *tolerance)
{
    Dimension due = plain_dimension(a->type.dimension);
    if (dimension_equal(tolerance->type.dimension, due)) {
        if (rational_sign(tolerance->value->range.low) >= 0) {
            return true;
        }
        diagnostic_error(c->diags, "negative tolerance", code_place(tolerance),
                         "a tolerance is not negative");
        return false;
    }
    if (dimension_equal(tolerance->type.dimension, a->type.dimension)) {
        diagnostic_error(c->diags, "a point where a difference is due", code_place(tolerance),
                         "'%.*s' is %.*s, and a tolerance is a difference: write '%.*s rise'",
                         TEXT_ARG(quote_code(c->arena, tolerance)),
                         TEXT_ARG(type_words(c->arena, &tolerance->type)),
                         TEXT_ARG(quote_code(c->arena, tolerance)));
        return false;
    }
    return check_same(c, e, "compare", a, tolerance);
}

static const Code *check_within(Check *c, const Expr *e, const Expr *fallback)
{
    uint32_t mark = c->absent_count;
    uint32_t inexact = c->context.inexact;
    const Code *a = check_left(c, e, fallback);
    const Code *tolerance = check_value(c, e->b, NULL);
    const Code *b = check_value(c, e->c, NULL);
    absents_deepen(c, mark);
    c->context.inexact = inexact;
    if (is_bad(tolerance) || !check_same(c, e, "compare", a, b)) {
        return code_bad(c, e);
    }
    if (a->type.class != CLASS_NUMBER) {
        (void)refuse(c, e, "cannot be compared", "'within ... of' compares quantities");
        return code_bad(c, e);
    }
    if (!check_tolerance(c, e, a, tolerance)) {
        return code_bad(c, e);
    }
    Code *code = code_make(c, CODE_WITHIN, e, type_of_class(CLASS_YES_NO));
    code->a = a;
    code->b = b;
    code->value = tolerance->value;
    return code_done(c, code);
}

const Code *check_comparison(Check *c, const Expr *e, const Expr *fallback)
{
    if (e->kind == EXPR_AMONG) {
        return check_among(c, e, fallback);
    }
    return e->kind == EXPR_WITHIN ? check_within(c, e, fallback) : check_compare(c, e, fallback);
}
