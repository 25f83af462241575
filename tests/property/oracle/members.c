/* Quantifiers, aggregates and lists. A member may be sure, doubtful or out; a list may have further
 * items of which nothing is known. Doubtful members count as in or out. */
#include "oracle.h"

#include <string.h>

Env env_bind(const Env *env, const char *name, const Item *item, Var *room)
{
    Env inner = *env;
    *room = (Var){name, val_item(item), env->vars};
    inner.vars = room;
    return inner;
}

static Env bind_word(const Env *env, const char *name, const Val *word, Var *room)
{
    Env inner = *env;
    *room = (Var){name, word, env->vars};
    inner.vars = room;
    return inner;
}

const Items *evaluate_list(const Env *env, const Expr *e)
{
    static const Items EMPTY = {0};
    const Val *v = evaluate(env, e);
    if (v->kind == VAL_LIST) {
        return v->list;
    }
    if (v->kind != VAL_VOID) {
        give_up("line %d: a list is expected", e->line);
    }
    return &EMPTY;
}

Truth member_holds(const Env *env, const Expr *where, const char *name, const Member *m)
{
    if (where == NULL || truth_is(m->in, CAN_NO)) {
        return m->in;
    }
    Var room;
    Env inner = env_bind(env, name, m->item, &room);
    inner.condition = true;
    return truth_and(m->in, evaluate_truth(&inner, where));
}

static const Val *value_for(const Env *env, const Expr *e, const Item *item)
{
    Var *room = NEW(Var);
    Env inner = env_bind(env, e->text, item, room);
    return evaluate(&inner, e->c);
}

static Truth truth_for(const Env *env, const Expr *e, const Item *item)
{
    Var room;
    Env inner = env_bind(env, e->text, item, &room);
    return evaluate_truth(&inner, e->c);
}

typedef struct Tally {
    long sure, doubtful;
    bool more;
} Tally;

static void tally_add(Tally *tally, Truth t)
{
    tally->sure += truth_is(t, CAN_YES);
    tally->doubtful += truth_is(t, CAN_BOTH);
}

/* Are there at least so many? */
static Truth tally_reaches(const Tally *tally, long least)
{
    if (tally->sure >= least) {
        return truth_of(true);
    }
    return tally->more || tally->sure + tally->doubtful >= least ? truth_open(WHY_FACT)
                                                                 : truth_of(false);
}

static Truth quantify(const Env *env, const Expr *e)
{
    const Items *items = evaluate_list(env, e->a);
    Truth every = truth_of(true), some = truth_of(false);
    Tally members = {.more = items->more}, holding = {.more = items->more};
    for (int i = 0; i < items->n; i++) {
        Truth in = member_holds(env, e->b, e->text, &items->member[i]);
        tally_add(&members, in);
        if (truth_is(in, CAN_NO)) {
            continue;
        }
        Truth t = truth_for(env, e, items->member[i].item);
        every = truth_and(every, truth_or(truth_not(in), t));
        some = truth_or(some, truth_and(in, t));
        tally_add(&holding, truth_and(in, t));
    }
    if (items->more) {
        every = truth_and(every, truth_open(WHY_FACT));
        some = truth_or(some, truth_open(WHY_FACT));
    }
    if (e->op == OP_SOME && e->empty == EMPTY_AT_LEAST) {
        return tally_reaches(&holding, e->least);
    }
    Truth t = e->op == OP_EVERY ? every : e->op == OP_SOME ? some : truth_not(some);
    if (e->empty == EMPTY_AT_LEAST) {
        return truth_and(t, tally_reaches(&members, e->least));
    }
    if (e->empty == EMPTY_YES || e->empty == EMPTY_NO) {
        return truth_cases(tally_reaches(&members, 1), t, truth_of(e->empty == EMPTY_YES));
    }
    return t;
}

static const Val *count_members(const Env *env, const Expr *e)
{
    const Items *items = evaluate_list(env, e->a);
    Tally tally = {.more = items->more};
    for (int i = 0; i < items->n; i++) {
        tally_add(&tally, member_holds(env, e->b, e->text, &items->member[i]));
    }
    Range range = {.lo = range_small(tally.sure, 1).lo,
                   .hi = range_small(tally.sure + tally.doubtful, 1).hi};
    if (tally.more) {
        range.hi = range_whole_line().hi;
    }
    return val_number(range, tally.doubtful > 0 || tally.more ? WHY_FACT : 0, true);
}

static int end_sign(const End *e, int side)
{
    return e->inf ? side : mpq_sgn(e->v);
}

/* What the sum of further items can add: nothing, or more of their sign without end (of zeros too). */
static Range further_sum(const Range *one)
{
    Range out = range_small(0, 1), line = range_whole_line();
    if (end_sign(&one->hi, 1) > 0 || end_sign(&one->lo, -1) >= 0) {
        out.hi = line.hi;
    }
    if (end_sign(&one->lo, -1) < 0) {
        out.lo = line.lo;
    }
    return out;
}

static const Val *total_members(const Env *env, const Expr *e)
{
    const Items *items = evaluate_list(env, e->a);
    const Val *sum = val_number(range_small(0, 1), 0, true);
    for (int i = 0; i < items->n + items->more; i++) {
        bool further = i == items->n;
        Truth in =
            further ? truth_open(WHY_FACT) : member_holds(env, e->b, e->text, &items->member[i]);
        if (truth_is(in, CAN_NO)) {
            continue;
        }
        const Val *v = value_for(env, e, further ? items->further : items->member[i].item);
        if (v->kind == VAL_VOID && truth_is(in, CAN_YES)) {
            return val_broken(v->why | WHY_FACT);
        }
        Val *part = NEW(Val);
        *part = *v;
        if (v->kind == VAL_VOID) {
            part->kind = VAL_NUMBER;
            part->range = range_small(0, 1);
            part->broken = true;
        } else if (further) {
            part->range = further_sum(&v->range);
        } else if (truth_is(in, CAN_BOTH)) {
            part->range = range_hull(range_small(0, 1), v->range);
        }
        part->absent = false;
        part->why |= truth_is(in, CAN_BOTH) ? in.why : 0;
        sum = val_arithmetic(OP_ADD, sum, part);
    }
    return sum;
}

/* ---- least and greatest ---- */

/* The least or greatest of things of which some are sure to count and others may. */
typedef struct Extreme {
    bool most, any, sure, broken;
    const Val *value;
    unsigned why;
} Extreme;

static Range extreme_range(const Range *a, const Range *b, bool most, bool both_sure)
{
    Range meet = most ? range_max(*a, *b) : range_min(*a, *b);
    return both_sure ? meet : range_hull(*a, meet);
}

static void extreme_add(Extreme *x, const Val *v, Truth in)
{
    if (truth_is(in, CAN_NO)) {
        return;
    }
    bool sure = truth_is(in, CAN_YES);
    x->why |= v->why | (sure ? 0 : in.why);
    x->broken = x->broken || v->broken;
    if (v->kind == VAL_VOID) {
        x->broken = true;
        return;
    }
    if (x->value == NULL) {
        x->value = v;
        x->sure = sure;
        return;
    }
    Val *out = NEW(Val);
    *out = *x->value;
    if (!sure && !x->sure) { /* each alone, or both */
        out = NEW(Val);
        *out = *val_join(x->value, v);
    } else if (v->kind == VAL_WORD) {
        const Val *first = x->sure ? x->value : v, *second = x->sure ? v : x->value;
        *out = *val_greater_words(first, second, x->most, sure && x->sure);
    } else {
        const Val *first = x->sure ? x->value : v, *second = x->sure ? v : x->value;
        out->range = extreme_range(&first->range, &second->range, x->most, sure && x->sure);
        out->whole = first->whole && second->whole;
    }
    x->sure = x->sure || sure;
    x->value = out;
}

static const Val *extreme_value(const Extreme *x)
{
    if (x->value == NULL) {
        return x->broken ? val_broken(x->why) : val_absent();
    }
    Val *v = NEW(Val);
    *v = *x->value;
    v->absent = !x->sure;
    v->broken = x->broken;
    v->why = x->why;
    return v;
}

/* Through the words of an ordered choice, each a member where the condition holds. */
static const Val *extreme_words(const Env *env, const Expr *e, const Choice *choice)
{
    Extreme x = {.most = e->op == OP_GREATEST};
    for (int pass = 0; pass < 2; pass++) { /* the sure ones first */
        for (int i = 0; i < choice->n; i++) {
            Env inner = bind_word(env, e->text, val_word(choice->word[i], choice), NEW(Var));
            Env where = inner;
            where.condition = true;
            Truth in = e->b == NULL ? truth_of(true) : evaluate_truth(&where, e->b);
            if (!truth_is(in, CAN_NO) && truth_is(in, CAN_YES) == (pass == 0)) {
                extreme_add(&x, evaluate(&inner, e->c), in);
            }
        }
    }
    return extreme_value(&x);
}

static const Val *extreme_members(const Env *env, const Expr *e)
{
    const Choice *choice = words_meant(env, e->a);
    if (choice != NULL) {
        return extreme_words(env, e, choice);
    }
    const Items *items = evaluate_list(env, e->a);
    Extreme x = {.most = e->op == OP_GREATEST};
    for (int pass = 0; pass < 2; pass++) { /* the sure ones first */
        for (int i = 0; i < items->n; i++) {
            Truth in = member_holds(env, e->b, e->text, &items->member[i]);
            if (!truth_is(in, CAN_NO) && truth_is(in, CAN_YES) == (pass == 0)) {
                extreme_add(&x, value_for(env, e, items->member[i].item), in);
            }
        }
    }
    if (items->more) {
        extreme_add(&x, value_for(env, e, items->further), truth_open(WHY_FACT));
    }
    return extreme_value(&x);
}

/* ---- lists ---- */

static const Val *list_of(const Env *env, const Expr *e)
{
    const Items *items = evaluate_list(env, e->a);
    Items *out = NEW(Items);
    out->more = items->more;
    out->further = items->further;
    out->member = ARRAY(Member, items->n + 1);
    const Val *coverer = e->op == OP_COVERED ? evaluate(env, e->b) : NULL;
    for (int i = 0; i < items->n; i++) {
        const Member *m = &items->member[i];
        Truth in = coverer == NULL ? member_holds(env, e->b, e->text, m)
                                   : truth_and(m->in, plan_covers(coverer, val_item(m->item)));
        if (!truth_is(in, CAN_NO)) {
            out->member[out->n++] = (Member){m->item, in};
        }
    }
    Val *v = val_new(VAL_LIST);
    v->list = out;
    return v;
}

typedef struct Candidate {
    const Item *item;
    const Val *key;
    Truth in;
} Candidate;

static bool can_be_first(const Candidate *c, int n, int which)
{
    for (int i = 0; i < n; i++) {
        bool rival = i != which && truth_is(c[i].in, CAN_YES);
        if (rival && (val_compare(OP_LE, c[which].key, c[i].key, false).can & CAN_YES) == 0) {
            return false;
        }
    }
    return true;
}

static const Val *first_member(const Env *env, const Expr *e)
{
    const Items *items = evaluate_list(env, e->a);
    Candidate *c = ARRAY(Candidate, items->n + 1);
    int n = 0;
    bool sure = false;
    for (int i = 0; i < items->n + items->more; i++) {
        bool further = i == items->n;
        const Item *item = further ? items->further : items->member[i].item;
        Truth in =
            further ? truth_open(WHY_FACT) : member_holds(env, e->b, e->text, &items->member[i]);
        if (!truth_is(in, CAN_NO)) {
            c[n++] = (Candidate){item, value_for(env, e, item), in};
            sure = sure || truth_is(in, CAN_YES);
        }
    }
    const Val *out = NULL;
    for (int i = 0; i < n; i++) {
        if (can_be_first(c, n, i)) {
            const Val *item = val_item(c[i].item);
            out = out == NULL ? item : val_join(out, item);
        }
    }
    if (out == NULL) {
        return val_absent();
    }
    Val *v = NEW(Val);
    *v = *out;
    v->absent = !sure;
    v->why |= v->items > 1 || !sure ? (unsigned)WHY_FACT : 0;
    return v;
}

const Val *evaluate_members(const Env *env, const Expr *e)
{
    if (e->op == OP_TOTAL) {
        return total_members(env, e);
    }
    if (e->op == OP_COUNT) {
        return count_members(env, e);
    }
    if (e->op == OP_LEAST || e->op == OP_GREATEST) {
        return extreme_members(env, e);
    }
    if (e->op == OP_THOSE || e->op == OP_COVERED) {
        return list_of(env, e);
    }
    return e->op == OP_FIRST ? first_member(env, e) : val_truth(quantify(env, e));
}
