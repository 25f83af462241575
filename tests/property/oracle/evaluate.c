/* Evaluates expressions as they are written: ranges, three-valued logic, cases for what is unknown. */
#include "oracle.h"

#include <string.h>

/* ---- names ---- */

static const Define *define_find(const Vec *defines, const char *name)
{
    for (int i = 0; defines != NULL && i < defines->n; i++) {
        const Define *d = defines->at[i];
        if (same(d->name, name)) {
            return d;
        }
    }
    return NULL;
}

static const Define *define_here(const Env *env, const char *name)
{
    const Define *d = define_find(env->local, name);
    return d != NULL ? d : define_find(env->reading, name);
}

static const Define *define_beside(const Env *env, const char *name)
{
    const Define *d = define_find(env->shared, name);
    for (const Holder *h = env->holders; h != NULL && d == NULL; h = h->next) {
        d = define_find(&h->defines, name);
    }
    return d;
}

static const Table *table_find(const Env *env, const char *name)
{
    for (const Holder *h = env->holders; h != NULL; h = h->next) {
        for (int i = 0; i < h->tables.n; i++) {
            const Table *t = h->tables.at[i];
            if (same(t->name, name)) {
                return t;
            }
        }
    }
    return NULL;
}

static const Worksheet *sheet_find(const Env *env, const char *name)
{
    for (const Holder *h = env->holders; h != NULL; h = h->next) {
        for (int i = 0; i < h->sheets.n; i++) {
            const Worksheet *w = h->sheets.at[i];
            if (same(w->name, name)) {
                return w;
            }
        }
    }
    return NULL;
}

static const Var *var_find(const Env *env, const char *name)
{
    const Var *v = env->vars;
    while (v != NULL && !same(v->name, name)) {
        v = v->next;
    }
    return v;
}

static const Val *fact_find(const Env *env, const char *name)
{
    const Item *facts = env->review->facts;
    for (int i = 0; i < facts->record->n; i++) {
        if (same(facts->record->field[i].name, name)) {
            return facts->field[i];
        }
    }
    if (same(name, "review_date")) {
        return val_number(env->review->date, env->review->known_date ? 0 : WHY_FACT, false);
    }
    return same(name, "permit_date") ? env->review->permit : NULL;
}

/* A choice is found by its name where no variable, definition or fact has it. */
const Choice *words_meant(const Env *env, const Expr *list)
{
    bool named = list->op == OP_NAME && var_find(env, list->text) == NULL &&
                 define_here(env, list->text) == NULL && define_beside(env, list->text) == NULL &&
                 fact_find(env, list->text) == NULL;
    const Choice *choice = named ? choice_find(env->review->vocabulary, list->text) : NULL;
    return choice != NULL && choice->ordered ? choice : NULL;
}

static bool choice_has(const Choice *choice, const char *word)
{
    for (int i = 0; choice != NULL && i < choice->n; i++) {
        if (same(choice->word[i], word)) {
            return true;
        }
    }
    return false;
}

/* The surroundings of a definition: its own, not those where it is used. */
static Env define_env(const Env *env, bool here)
{
    Env inner = *env;
    inner.vars = env->each;
    if (!here) {
        inner.vars = inner.each = NULL;
        inner.local = inner.reading = NULL;
    }
    return inner;
}

static const Val *evaluate_name(const Env *env, const char *name)
{
    const Var *var = var_find(env, name);
    if (var != NULL) {
        return var->value;
    }
    const Define *here = define_here(env, name),
                 *d = here != NULL ? here : define_beside(env, name);
    if (d != NULL) {
        Env inner = define_env(env, here != NULL);
        return evaluate(&inner, d->expr);
    }
    const Val *fact = fact_find(env, name);
    return fact != NULL ? fact : val_word(name, NULL);
}

const Val *evaluate_against(const Env *env, const Expr *e, const Val *other)
{
    if (e->op == OP_NAME && choice_has(other->choice, e->text)) {
        return val_word(e->text, other->choice);
    }
    return evaluate(env, e);
}

void evaluate_pair(const Env *env, const Expr *e, const Val **left, const Val **right)
{
    bool order = e->op == OP_LE || e->op == OP_LT || e->op == OP_GE || e->op == OP_GT;
    if (order && e->a->op == OP_NAME) {
        *right = evaluate(env, e->b);
        *left = evaluate_against(env, e->a, *right);
        *right = evaluate_against(env, e->b, *left);
        return;
    }
    *left = evaluate(env, e->a);
    *right = evaluate_against(env, e->b, *left);
}

const Val *val_field(const Val *v, const char *name)
{
    const Val *out = NULL;
    for (int i = 0; i < v->items; i++) {
        const Record *record = v->item[i]->record;
        const Val *field = NULL;
        for (int k = 0; k < record->n; k++) {
            field = same(record->field[k].name, name) ? v->item[i]->field[k] : field;
        }
        if (field == NULL) {
            give_up("'%s' is no field of '%s'", name, record->name);
        }
        out = out == NULL ? field : val_join(out, field);
    }
    if (v->kind != VAL_VOID && out == NULL) {
        give_up("'.%s' of what is no record", name);
    }
    if (out != NULL && !v->absent && !v->broken && v->items == 1) {
        return out;
    }
    Val *copy = NEW(Val);
    if (out != NULL) {
        *copy = *out;
    }
    copy->absent = copy->absent || v->absent;
    copy->broken = copy->broken || v->broken;
    copy->why |= v->why;
    return copy;
}

static const Val *evaluate_dot(const Env *env, const Expr *e)
{
    if (e->a->op == OP_NAME && var_find(env, e->a->text) == NULL) {
        const Worksheet *sheet = sheet_find(env, e->a->text);
        const Define *step = sheet == NULL ? NULL : define_find(&sheet->defines, e->text);
        if (step != NULL) {
            bool own =
                env->local == &sheet->defines; /* a step of the same sheet, for the same items */
            Env inner = define_env(env, own);
            inner.local = &sheet->defines;
            return evaluate(&inner, step->expr);
        }
    }
    return val_field(evaluate(env, e->a), e->text);
}

static const Val *evaluate_index(const Env *env, const Expr *e)
{
    const Items *items = evaluate_list(env, e->a);
    for (int i = 0; i < items->n; i++) {
        if (same(items->member[i].item->name, e->text)) {
            return val_item(items->member[i].item);
        }
    }
    if (!items->more) {
        return val_absent();
    }
    return val_join(val_item(items->further), val_absent());
}

/* ---- numbers ---- */

static const Val *void_of(const Val *a, const Val *b)
{
    Val *v = val_new(VAL_VOID);
    v->absent = a->absent || b->absent;
    v->broken = a->broken || b->broken;
    v->why = a->why | b->why;
    return v;
}

static Range divide(const Val *a, const Val *b, bool *broken, bool *nothing)
{
    *nothing = range_is_zero(&b->range);
    *broken = range_has_zero(&b->range);
    return *nothing ? a->range : range_multiply(a->range, range_inverse(b->range));
}

const Val *val_arithmetic(Op op, const Val *a, const Val *b)
{
    if (a->kind == VAL_VOID || b->kind == VAL_VOID) {
        return void_of(a, b);
    }
    if (a->kind != VAL_NUMBER || b->kind != VAL_NUMBER) {
        give_up("arithmetic on what is no number");
    }
    Val *v = val_new(VAL_NUMBER);
    bool rooted = false, broken = false, nothing = false;
    Range x = range_rational(a->range, &rooted), y = range_rational(b->range, &rooted);
    v->absent = a->absent || b->absent;
    v->why = a->why | b->why | (rooted ? (unsigned)WHY_ROOT : 0);
    v->whole = a->whole && b->whole && op != OP_DIV;
    if (op == OP_ADD) {
        v->range = range_add(x, y);
    } else if (op == OP_SUB) {
        v->range = range_add(x, range_minus(y));
    } else if (op == OP_MUL) {
        v->range = range_multiply(x, y);
    } else {
        v->range = divide(a, b, &broken, &nothing);
    }
    v->broken = a->broken || b->broken || broken;
    return nothing ? val_broken(v->why) : v;
}

static const Val *evaluate_extreme(const Env *env, const Expr *e, bool most)
{
    const Val *out = evaluate(env, e->args.at[0]);
    for (int i = 1; i < e->args.n; i++) {
        const Val *next = evaluate(env, e->args.at[i]);
        if (out->kind == VAL_VOID || next->kind == VAL_VOID) {
            out = void_of(out, next);
            continue;
        }
        Val *v = val_new(VAL_NUMBER);
        v->range = most ? range_max(out->range, next->range) : range_min(out->range, next->range);
        v->absent = out->absent || next->absent;
        v->broken = out->broken || next->broken;
        v->why = out->why | next->why;
        v->whole = out->whole && next->whole;
        out = v;
    }
    return out;
}

static const Val *val_power(const Val *x, long p, unsigned long q)
{
    if (x->kind == VAL_VOID) {
        return x;
    }
    Val *v = NEW(Val);
    *v = *x;
    bool nothing = false;
    v->range = range_power(x->range, p, q, &v->broken, &nothing);
    v->whole = x->whole && q == 1 && p >= 0;
    return nothing ? val_broken(x->why) : v;
}

static const Val *evaluate_power(const Env *env, const Expr *e)
{
    const Val *x = evaluate(env, e->args.at[0]);
    if (same(e->text, "sqrt")) {
        return val_power(x, 1, 2);
    }
    const Val *exponent = evaluate(env, e->args.at[1]);
    mpq_srcptr q = exponent->range.lo.v;
    return val_power(x, mpz_get_si(mpq_numref(q)), mpz_get_ui(mpq_denref(q)));
}

static const Val *evaluate_round(const Env *env, const Expr *e)
{
    const Val *x = evaluate(env, e->a);
    if (x->kind == VAL_VOID) {
        return x;
    }
    Val *v = NEW(Val);
    *v = *x;
    v->range = range_round(x->range, e->range.lo.v, e->rounding);
    v->whole = false;
    return v;
}

/* ---- calls ---- */

static bool table_has_word(const Table *t, int key, const char *word)
{
    const Vec *labels = key == 0 ? &t->rows : &t->columns;
    for (int i = 0; i < labels->n; i++) {
        if (same(((const Label *)labels->at[i])->word, word)) {
            return true;
        }
    }
    return choice_has(t->key[key].choice, word);
}

static const Val *evaluate_table(const Env *env, const Expr *e, const Table *t)
{
    const Val *key[2] = {NULL, NULL};
    if (e->args.n != t->keys) {
        give_up("the table '%s' is asked with another number of keys", t->name);
    }
    for (int i = 0; i < t->keys; i++) {
        const Expr *arg = e->args.at[i];
        bool word = arg->op == OP_NAME && table_has_word(t, i, arg->text);
        key[i] = word ? val_word(arg->text, t->key[i].choice) : evaluate(env, arg);
    }
    return table_ask(env, t, key);
}

static const Val *evaluate_call(const Env *env, const Expr *e)
{
    if (same(e->text, "max") || same(e->text, "min")) {
        return evaluate_extreme(env, e, same(e->text, "max"));
    }
    if (same(e->text, "sqrt") || same(e->text, "power")) {
        return evaluate_power(env, e);
    }
    const Define *here = define_here(env, e->text),
                 *d = here != NULL ? here : define_beside(env, e->text);
    if (d == NULL) {
        const Table *t = table_find(env, e->text);
        if (t == NULL) {
            give_up("'%s' is neither a table nor a definition", e->text);
        }
        return evaluate_table(env, e, t);
    }
    Env inner = define_env(env, here != NULL);
    if (d->params.n != e->args.n) {
        give_up("'%s' is asked with another number of values", e->text);
    }
    for (int i = 0; i < d->params.n; i++) {
        const Param *param = d->params.at[i];
        const Val other = {.choice = param->choice};
        Var *var = NEW(Var);
        *var = (Var){param->name, evaluate_against(env, e->args.at[i], &other), inner.vars};
        inner.vars = var;
    }
    return evaluate(&inner, d->expr);
}

/* ---- truth ---- */

static void note_presence(const Env *env, const Val *v)
{
    if (!env->condition && env->presence != NULL && v->absent) {
        *env->presence = truth_and(*env->presence, truth_not(val_is_absent(v)));
    }
}

Truth val_condition(const Env *env, const Val *v)
{
    note_presence(env, v);
    unsigned can = v->kind == VAL_TRUTH ? v->can : 0;
    if (v->absent && env->condition) {
        can |= CAN_NO;
    }
    if (v->broken || can == 0) {
        return truth_open(v->why | (v->broken ? (unsigned)WHY_NO_RULE : (unsigned)WHY_FACT));
    }
    return can == CAN_BOTH ? truth_open(v->why | (v->why == 0 ? (unsigned)WHY_FACT : 0))
                           : (Truth){.can = can};
}

static Truth compare(const Env *env, const Expr *e)
{
    const Val *a = NULL, *b = NULL;
    evaluate_pair(env, e, &a, &b);
    note_presence(env, a);
    note_presence(env, b);
    return val_compare(e->op, a, b, env->condition);
}

static Truth among(const Env *env, const Expr *e)
{
    const Val *a = evaluate(env, e->a);
    Truth t = truth_of(false);
    note_presence(env, a);
    for (int i = 0; i < e->args.n; i++) {
        t = truth_or(
            t, val_compare(OP_EQ, a, evaluate_against(env, e->args.at[i], a), env->condition));
    }
    return t;
}

static Truth within(const Env *env, const Expr *e)
{
    const Val *a = evaluate(env, e->a), *b = evaluate(env, e->b);
    note_presence(env, a);
    note_presence(env, b);
    const Val *d = val_arithmetic(OP_SUB, a, b);
    if (d->kind == VAL_VOID) {
        return truth_open(d->why | WHY_NO_RULE);
    }
    Val *distance = NEW(Val);
    *distance = *d;
    distance->range = range_max(d->range, range_minus(d->range));
    return val_compare(OP_LE, distance, val_number(e->c->range, 0, false), false);
}

static Truth sides_hold(const Val *a, const Val *b, const int *order)
{
    Truth t = truth_of(true);
    for (int i = 0; i < a->sides && i < b->sides; i++) {
        t = truth_and(t, val_compare(OP_LE, b->side[order[i]], a->side[i], false));
    }
    return t;
}

static Truth holds(const Env *env, const Expr *e)
{
    static const int ORDERS[6][3] = {{0, 1, 2}, {0, 2, 1}, {1, 0, 2},
                                     {1, 2, 0}, {2, 0, 1}, {2, 1, 0}};
    const Val *a = evaluate(env, e->a), *b = evaluate(env, e->b);
    note_presence(env, a);
    note_presence(env, b);
    if (a->kind != VAL_SIZE || b->kind != VAL_SIZE) {
        return truth_open(a->why | b->why | WHY_FACT);
    }
    Truth t = sides_hold(a, b, ORDERS[0]);
    for (int i = 1; e->op == OP_HOLDS_ANY && i < 6; i++) {
        if (b->sides == 3 || (b->sides == 2 && i == 2)) {
            t = truth_or(t, sides_hold(a, b, ORDERS[i]));
        }
    }
    return a->broken || b->broken ? truth_and(t, truth_open(WHY_NO_RULE)) : t;
}

Truth evaluate_truth(const Env *env, const Expr *e)
{
    switch ((int)e->op) {
    case OP_OR: return truth_or(evaluate_truth(env, e->a), evaluate_truth(env, e->b));
    case OP_AND: return truth_and(evaluate_truth(env, e->a), evaluate_truth(env, e->b));
    case OP_NOT: return truth_not(evaluate_truth(env, e->a));
    case OP_LE:
    case OP_LT:
    case OP_GE:
    case OP_GT:
    case OP_EQ:
    case OP_NE: return compare(env, e);
    case OP_IS_NONE: return val_is_absent(evaluate(env, e->a));
    case OP_AMONG: return among(env, e);
    case OP_WITHIN: return within(env, e);
    case OP_HOLDS:
    case OP_HOLDS_ANY: return holds(env, e);
    case OP_COVERS: return plan_covers(evaluate(env, e->a), evaluate(env, e->b));
    case OP_OVERLAPS: return plan_overlaps(evaluate(env, e->a), evaluate(env, e->b));
    case OP_APPROVAL: return review_approval(env->review, e->text);
    default: return val_condition(env, evaluate(env, e));
    }
}

/* ---- the rest ---- */

static const Val *evaluate_if(const Env *env, const Expr *e)
{
    Env inner = *env;
    inner.condition = true;
    Truth which = evaluate_truth(&inner, e->a);
    if (!truth_is(which, CAN_BOTH)) {
        return evaluate(env, truth_is(which, CAN_YES) ? e->b : e->c);
    }
    const Val *yes = evaluate(env, e->b), *no = evaluate(env, e->c);
    Val *v = NEW(Val);
    *v = *val_join(yes, no);
    bool agree = v->kind == VAL_NUMBER && range_exact(&v->range) && !v->absent && !v->broken;
    v->why |= agree ? 0 : which.why;
    return v;
}

static const Val *evaluate_fallback(const Env *env, const Expr *e)
{
    const Val *v = evaluate(env, e->a);
    if (!v->absent) {
        return v;
    }
    const Val *instead = evaluate_against(env, e->b, v);
    if (v->kind == VAL_VOID && !v->broken) {
        return instead;
    }
    Val *present = NEW(Val);
    *present = *v;
    present->absent = false;
    present->why |= WHY_FACT;
    return val_join(present, instead);
}

static const Val *evaluate_size(const Env *env, const Expr *e)
{
    Val *v = val_new(VAL_SIZE);
    for (int i = 0; i < e->args.n && i < 3; i++) {
        const Val *side = evaluate(env, e->args.at[i]);
        if (side->kind == VAL_VOID) {
            return side;
        }
        v->side[v->sides++] = side;
        v->absent = v->absent || side->absent;
        v->broken = v->broken || side->broken;
        v->why |= side->why;
    }
    return v;
}

static const Val *evaluate_text(const char *text)
{
    Val *v = val_new(VAL_TEXT);
    v->text = text;
    return v;
}

static const Val *evaluate_minus(const Env *env, const Expr *e)
{
    mpq_t zero;
    mpq_init(zero);
    return val_arithmetic(OP_SUB, val_number(range_of(zero), 0, true), evaluate(env, e->a));
}

const Val *evaluate(const Env *env, const Expr *e)
{
    Env inner = *env;
    switch ((int)e->op) {
    case OP_NUMBER: return val_number(e->range, e->tolerance ? WHY_SPREAD : 0, e->whole);
    case OP_DATE: return val_number(e->range, 0, false);
    case OP_TEXT: return evaluate_text(e->text);
    case OP_YES:
    case OP_NO: return val_truth(truth_of(e->op == OP_YES));
    case OP_NOTHING: return val_absent();
    case OP_BLANK: return val_broken(WHY_NO_RULE);
    case OP_NAME: return evaluate_name(env, e->text);
    case OP_DOT: return evaluate_dot(env, e);
    case OP_INDEX: return evaluate_index(env, e);
    case OP_ADD:
    case OP_SUB:
    case OP_MUL:
    case OP_DIV: return val_arithmetic(e->op, evaluate(env, e->a), evaluate(env, e->b));
    case OP_MINUS: return evaluate_minus(env, e);
    case OP_SIZE: return evaluate_size(env, e);
    case OP_EVERY:
    case OP_SOME:
    case OP_NO_ONE:
    case OP_TOTAL:
    case OP_LEAST:
    case OP_GREATEST:
    case OP_COUNT:
    case OP_THOSE:
    case OP_COVERED:
    case OP_FIRST: return evaluate_members(env, e);
    case OP_GAP: return plan_gap(evaluate(env, e->a), evaluate(env, e->b));
    case OP_OVERHANG: return plan_overhang(evaluate(env, e->a), evaluate(env, e->b));
    case OP_ROUND: return evaluate_round(env, e);
    case OP_IF: return evaluate_if(env, e);
    case OP_CALL: return evaluate_call(env, e);
    case OP_FALLBACK: return evaluate_fallback(env, e);
    case OP_IN_SCOPE: inner.holders = e->holders; return evaluate(&inner, e->a);
    default: return val_truth(evaluate_truth(env, e));
    }
}
