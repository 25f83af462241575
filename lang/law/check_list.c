/* Lists and places: quantifiers, totals, extremes, selections, and the relations of items in the
 * plan. A variable is bound while its condition and body are checked; what may be none in an item
 * must be answered there, since nobody outside can speak of the item. */
#include "law/check.h"

/* A choice's name where a list is due; NULL when it is none, or when something else has it. */
static const Choice *choice_named(const Check *c, const Expr *e)
{
    bool is_free = e->kind == EXPR_NAME && !name_is_known(c, e->name);
    return is_free ? map_get(c->vocabulary->choice_by_name, e->name) : NULL;
}

const Code *check_list(Check *c, const Expr *e)
{
    const Choice *choice = choice_named(c, e);
    if (choice != NULL) {
        Diagnostic *diag = diagnostic_error(
            c->diags, "not a list", check_place(c, e->span),
            "'%.*s' is a choice; only 'least of' and 'greatest of' go through its words",
            TEXT_ARG(e->name->text));
        diagnostic_note(c->diags, diag, choice->place, "declared here");
        return code_bad(c, e);
    }
    const Code *list = check_value(c, e, NULL);
    if (is_bad(list) || list->type.class == CLASS_LIST) {
        return list;
    }
    diagnostic_error(c->diags, "not a list", code_place(list), "'%.*s' is %.*s, and a list is due",
                     TEXT_ARG(quote_code(c->arena, list)),
                     TEXT_ARG(type_words(c->arena, &list->type)));
    return code_bad(c, e);
}

/* `least of s for s of pipe_size where …`: the words of a choice, where nothing else has its
 * name; NULL when it is none. */
static const Code *check_words(Check *c, const Expr *e)
{
    bool extreme =
        e->kind == EXPR_AGGREGATE && (e->op == AGGREGATE_LEAST || e->op == AGGREGATE_GREATEST);
    const Choice *choice = extreme ? choice_named(c, e->a) : NULL;
    if (choice == NULL) {
        return NULL;
    }
    return code_done(
        c, code_make(c, CODE_WORDS, e->a, (Type){.class = CLASS_CHOICE, .choice = choice}));
}

/* ---- the members of a list ---- */

/* What is saved while a variable is bound. */
typedef struct Binder {
    const Variable *variables;
    uint32_t mark; /* of the absents: the list's own are before `inner` */
    uint32_t inner;
    uint32_t guards;
    uint32_t slot;
    const Code *list;
    const Code *where;
    bool good;
} Binder;

static Type member_type(const Code *list)
{
    if (is_bad(list)) {
        return type_of_class(CLASS_BAD);
    }
    if (list->op == CODE_WORDS) {
        return list->type;
    }
    return (Type){.class = CLASS_ITEM, .record = list->type.record};
}

/* Binds the variable, checks the condition and puts it in force. */
static Binder open_binder(Check *c, const Expr *e)
{
    Binder binder = {.variables = c->context.variables, .mark = c->absent_count};
    uint32_t alternatives = c->context.alternatives;
    c->context.alternatives = 0;
    const Code *words = check_words(c, e);
    binder.list = words != NULL ? words : check_list(c, e->a);
    c->context.alternatives = alternatives;
    binder.inner = c->absent_count;
    binder.guards = c->guard_count;
    binder.slot = e->name == NULL
                      ? slot_new(c)
                      : variable_bind(c, e->name, e->name_span, member_type(binder.list))->slot;
    binder.good = !is_bad(binder.list);
    if (e->b != NULL) {
        binder.where = check_condition(c, e->b);
        binder.good = binder.good && !is_bad(binder.where);
        (void)guards_push(c, binder.where, true);
    } else if (words == NULL) {
        (void)guards_push_member(c, binder.list);
    }
    return binder;
}

static void close_binder(Check *c, const Binder *binder)
{
    guards_pop(c, binder->guards);
    absents_close_binder(c, binder->inner, binder->slot, binder->slot + 1);
    absents_deepen(c, binder->mark);
    c->context.variables = binder->variables;
}

static Code *binder_code(Check *c, CodeOp op, const Expr *e, Type type, const Binder *binder)
{
    Code *code = code_make(c, op, e, type);
    code->slot = binder->slot;
    code->a = binder->list;
    code->b = binder->where;
    return code;
}

/* ---- every, some, no ---- */

/* True of an empty list, and nobody has said that this is meant. */
static bool is_vacuous(const Expr *e)
{
    return e->op != QUANTIFIER_SOME && e->emptiness == EMPTY_UNSAID;
}

static bool check_emptiness(Check *c, const Expr *e)
{
    if (!is_vacuous(e)) {
        return true;
    }
    if (c->context.alternatives == 0) {
        c->context.vacuous = c->context.vacuous == NULL ? e : c->context.vacuous;
        return true;
    }
    Diagnostic *diag = diagnostic_error(
        c->diags, "empty list in an alternative", check_place(c, e->span),
        "'%s' holds for an empty list, which would settle this alternative by itself",
        e->op == QUANTIFIER_NO ? "no" : "every");
    diagnostic_note(
        c->diags, diag, (Place){0},
        "say what an empty list means: ', at least one' or ', or no if empty' after "
        "'%.*s'",
        TEXT_ARG(quote_span(c->arena, check_place(c, e->b != NULL ? e->b->span : e->a->span))));
    return false;
}

const Code *check_quantifier(Check *c, const Expr *e)
{
    bool good = check_emptiness(c, e);
    Binder binder = open_binder(c, e);
    const Code *body = check_truth(c, e->c);
    close_binder(c, &binder);
    if (!good || !binder.good || is_bad(body)) {
        return code_bad(c, e);
    }
    Code *code = binder_code(c, CODE_QUANTIFIER, e, type_of_class(CLASS_YES_NO), &binder);
    code->sub = e->op;
    code->emptiness = e->emptiness;
    code->number = e->emptiness == EMPTY_AT_LEAST_NUMBER ? (uint32_t)e->number : 0;
    code->c = body;
    return code_done(c, code);
}

/* ---- total, least, greatest, count ---- */

static const Code *check_count(Check *c, const Expr *e)
{
    Binder binder = open_binder(c, e);
    close_binder(c, &binder);
    if (!binder.good) {
        return code_bad(c, e);
    }
    Type type = type_number(DIMENSION_NUMBER);
    type.whole = true;
    return code_done(c, binder_code(c, CODE_COUNT, e, type, &binder));
}

static bool may_total(Check *c, const Code *value)
{
    if (value->type.class == CLASS_NUMBER && !is_special(value->type.dimension)) {
        return true;
    }
    diagnostic_error(c->diags, "cannot be totalled", code_place(value),
                     "'%.*s' is %.*s, of which there is no total",
                     TEXT_ARG(quote_code(c->arena, value)),
                     TEXT_ARG(type_words(c->arena, &value->type)));
    return false;
}

static bool may_order(Check *c, const Code *value, bool choices)
{
    if (value->type.class == CLASS_NUMBER || value->type.class == CLASS_DATE ||
        (choices && value->type.class == CLASS_CHOICE && value->type.choice->ordered)) {
        return true;
    }
    Diagnostic *diag = diagnostic_error(
        c->diags, "no order", code_place(value), "'%.*s' is %.*s, which has no order",
        TEXT_ARG(quote_code(c->arena, value)), TEXT_ARG(type_words(c->arena, &value->type)));
    if (choices && value->type.class == CLASS_CHOICE) {
        diagnostic_note(c->diags, diag, value->type.choice->place,
                        "words have an order when they are written with '<', the least first");
    }
    return false;
}

const Code *check_aggregate(Check *c, const Expr *e)
{
    if (e->op == AGGREGATE_COUNT) {
        return check_count(c, e);
    }
    Binder binder = open_binder(c, e);
    const Code *value = check_value(c, e->c, NULL);
    close_binder(c, &binder);
    bool total = e->op == AGGREGATE_TOTAL;
    if (!binder.good || is_bad(value) ||
        !(total ? may_total(c, value) : may_order(c, value, true))) {
        return code_bad(c, e);
    }
    CodeOp op = total ? CODE_TOTAL : e->op == AGGREGATE_LEAST ? CODE_LEAST : CODE_GREATEST;
    Code *code = binder_code(c, op, e, value->type, &binder);
    code->c = value;
    code->unit = value->unit;
    const Code *done = code_done(c, code);
    if (!total) { /* of no members there is none */
        absent_add(c, done);
    }
    return done;
}

/* ---- those, that ... covers, first ---- */

const Code *check_those(Check *c, const Expr *e)
{
    Binder binder = open_binder(c, e);
    close_binder(c, &binder);
    if (!binder.good) {
        return code_bad(c, e);
    }
    return code_done(c, binder_code(c, CODE_THOSE, e, binder.list->type, &binder));
}

const Code *check_first(Check *c, const Expr *e)
{
    Binder binder = open_binder(c, e);
    uint32_t inexact = c->context.inexact;
    const Code *key = check_value(c, e->c, NULL);
    c->context.inexact = inexact;
    close_binder(c, &binder);
    if (!binder.good || is_bad(key) || !may_order(c, key, false)) {
        return code_bad(c, e);
    }
    Code *code = binder_code(c, CODE_FIRST, e, member_type(binder.list), &binder);
    code->c = key;
    const Code *done = code_done(c, code);
    absent_add(c, done);
    return done;
}

/* ---- places in the plan ---- */

static bool has_place(Check *c, const Record *record, Place place, Text what)
{
    if (record->plan_x != NULL && record->plan_along != NULL) {
        return true;
    }
    Diagnostic *diag = diagnostic_error(
        c->diags, "no place in the plan", place, "'%.*s' is %.*s, which has no place in the plan",
        TEXT_ARG(what),
        TEXT_ARG(type_words(c->arena, &(Type){.class = CLASS_ITEM, .record = record})));
    if (record->place.source != NULL) {
        diagnostic_note(c->diags, diag, record->place,
                        "it has one when it says 'plan ... along ..., ... across ...'");
    }
    return false;
}

/* The facts that give the place are read too, and may be none. */
static void add_place_absents(Check *c, const Code *item)
{
    const Record *record = item->type.record;
    const Field *fields[4] = {record->plan_x, record->plan_along, record->plan_y,
                              record->plan_across};
    for (int i = 0; i < 4; i++) {
        if (fields[i] != NULL && !fields[i]->always_present) {
            Code *field = code_make(c, CODE_FIELD, item->expr, fields[i]->type);
            field->a = item;
            field->field = fields[i];
            absent_add(c, code_done(c, field));
        }
    }
}

static const Code *check_placed(Check *c, const Expr *e)
{
    const Code *item = check_value(c, e, NULL);
    if (is_bad(item)) {
        return item;
    }
    if (item->type.class != CLASS_ITEM) {
        diagnostic_error(c->diags, "not an item", code_place(item),
                         "'%.*s' is %.*s: name one item, which has a place in the plan",
                         TEXT_ARG(quote_code(c->arena, item)),
                         TEXT_ARG(type_words(c->arena, &item->type)));
        return code_bad(c, e);
    }
    if (!has_place(c, item->type.record, code_place(item), quote_code(c->arena, item))) {
        return code_bad(c, e);
    }
    add_place_absents(c, item);
    return item;
}

/* Both in the plan, or both along one line. */
static bool same_plan(Check *c, const Expr *e, const Record *a, const Record *b)
{
    if ((a->plan_y == NULL) == (b->plan_y == NULL)) {
        return true;
    }
    const Record *narrow = a->plan_y == NULL ? a : b;
    Diagnostic *diag = diagnostic_error(
        c->diags, "no place in the plan", check_place(c, e->span),
        "%.*s has a place along a line only, and the other one in the plan",
        TEXT_ARG(type_words(c->arena, &(Type){.class = CLASS_ITEM, .record = narrow})));
    if (narrow->place.source != NULL) {
        diagnostic_note(c->diags, diag, narrow->place, "its plan does not say 'across'");
    }
    return false;
}

static const Code *check_holds(Check *c, const Expr *e)
{
    uint32_t mark = c->absent_count;
    uint32_t inexact = c->context.inexact;
    const Code *sides[2] = {check_value(c, e->a, NULL), check_value(c, e->b, NULL)};
    absents_deepen(c, mark);
    c->context.inexact = inexact;
    for (int i = 0; i < 2; i++) {
        if (is_bad(sides[i])) {
            return code_bad(c, e);
        }
        if (sides[i]->type.class != CLASS_SIZE) {
            diagnostic_error(c->diags, "not a size", code_place(sides[i]),
                             "'%.*s' is %.*s, and 'holds' compares sizes",
                             TEXT_ARG(quote_code(c->arena, sides[i])),
                             TEXT_ARG(type_words(c->arena, &sides[i]->type)));
            return code_bad(c, e);
        }
    }
    Code *code = code_make(c, CODE_HOLDS, e, type_of_class(CLASS_YES_NO));
    code->a = sides[0];
    code->b = sides[1];
    code->flag = e->flag;
    return code_done(c, code);
}

const Code *check_plan(Check *c, const Expr *e)
{
    if (e->kind == EXPR_HOLDS) {
        return check_holds(c, e);
    }
    bool covers = e->kind == EXPR_COVERS || e->kind == EXPR_OVERLAPS;
    uint32_t mark = c->absent_count;
    const Code *a = check_placed(c, e->a);
    const Code *b = check_placed(c, e->b);
    if (covers) { /* what has no place covers nothing: in a condition, false */
        absents_soften(c, mark);
    }
    absents_deepen(c, mark);
    if (is_bad(a) || is_bad(b) || !same_plan(c, e, a->type.record, b->type.record)) {
        return code_bad(c, e);
    }
    if (covers) {
        return code_binary(c, e->kind == EXPR_COVERS ? CODE_COVERS : CODE_OVERLAPS, e,
                           type_of_class(CLASS_YES_NO), a, b);
    }
    c->context.inexact++;
    Code *code = code_make(c, e->kind == EXPR_GAP ? CODE_GAP : CODE_OVERHANG, e,
                           type_number((Dimension){.length = 1}));
    code->a = a;
    code->b = b;
    code->unit = a->type.record->plan_x->unit;
    return code_done(c, code);
}

const Code *check_covered(Check *c, const Expr *e)
{
    uint32_t mark = c->absent_count;
    const Code *list = check_list(c, e->a);
    const Code *item = check_placed(c, e->b);
    absents_deepen(c, mark);
    if (is_bad(list) || is_bad(item) ||
        !has_place(c, list->type.record, code_place(list), quote_code(c->arena, list)) ||
        !same_plan(c, e, list->type.record, item->type.record)) {
        return code_bad(c, e);
    }
    return code_binary(c, CODE_COVERED, e, list->type, list, item);
}
