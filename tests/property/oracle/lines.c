/* One line of a section: its requirement, the exceptions that cover it, variances and decisions. */
#include "oracle.h"

typedef struct Case {
    const Env *env;
    const Active *active;
    const Line *line;
    const Item *const *items;
    int count;
    Truth applies;
    Judged *judged;
    const Exception *by; /* what puts its lines in the place of the line, or NULL */
} Case;

static bool is_order(const Expr *e)
{
    return e != NULL && e->op >= OP_LE && e->op <= OP_NE;
}

/* A variance that names a line covers what an exception puts in its place; in the place of all lines, one
 * that names any. */
static bool variance_speaks(const Case *c, json_t *paper)
{
    const Vec *lines = &c->active->text->lines;
    bool all = c->by != NULL && c->by->to == NULL;
    for (int i = 0; all && i < lines->n; i++) {
        if (review_paper(c->env->review, paper, "granted", c->active,
                         ((const Line *)lines->at[i])->label, c->items, c->count)) {
            return true;
        }
    }
    return review_paper(c->env->review, paper, "granted", c->active, c->line->label, c->items,
                        c->count);
}

/* Excused by a variance in force; where the paper sets a limit, within that limit. */
static Truth by_variance(const Case *c, const Line *line)
{
    json_t *papers = json_object_get(c->env->review->spec, "variances");
    Truth t = truth_of(false);
    for (size_t i = 0; !c->active->not_waived && i < json_array_size(papers); i++) {
        json_t *paper = json_array_get(papers, i);
        if (!variance_speaks(c, paper)) {
            continue;
        }
        const char *limit = json_string_value(json_object_get(paper, "limit"));
        Quantity q;
        if (limit == NULL) {
            t = truth_of(true);
        } else if (is_order(line->expr) && quantity_read(&limit, true, true, &q)) {
            Truth met = val_compare(line->expr->op, evaluate(c->env, line->expr->a),
                                    val_number(q.range, 0, false), false);
            t = truth_or(t, line->negated ? truth_not(met) : met);
        }
    }
    return t;
}

static Truth by_decision(const Case *c, const Line *line)
{
    json_t *papers = json_object_get(c->env->review->spec, "decisions");
    Truth t = truth_open(WHY_OFFICIAL);
    for (size_t i = 0; i < json_array_size(papers); i++) {
        json_t *paper = json_array_get(papers, i);
        if (review_paper(c->env->review, paper, "date", c->active, line->label, c->items,
                         c->count)) {
            bool yes = same(json_string_value(json_object_get(paper, "decision")), "approved");
            t = truth_is(t, CAN_NO) ? t : truth_of(yes); /* the refusal counts */
        }
    }
    return t;
}

static void note_measure(const Case *c, const Line *line)
{
    if (is_order(line->expr)) {
        evaluate_pair(c->env, line->expr, &c->judged->measured, &c->judged->limit);
    }
}

/* A line by itself: own requirement, absence, variance; excused adds an exception's word. */
static Result line_result(const Case *c, const Line *line, Truth excused)
{
    excused = truth_or(excused, by_variance(c, line));
    if (line->expr == NULL) {
        return result_of(c->applies, by_decision(c, line), excused);
    }
    Truth present = truth_of(true), applies = c->applies;
    Env env = *c->env;
    env.condition = false;
    env.presence = &present;
    Truth requirement = evaluate_truth(&env, line->expr);
    requirement = line->negated ? truth_not(requirement) : requirement;
    if (line->absence == ABSENT_FAILS) {
        requirement = truth_and(present, requirement);
    } else if (line->absence == ABSENT_SKIPS) {
        applies = truth_and(applies, present);
    }
    return result_of(applies, requirement, excused);
}

static Truth exception_holds(const Case *c, const Exception *x)
{
    Env env = *c->env;
    env.holders = x->holders != NULL ? x->holders : env.holders;
    env.condition = true;
    env.presence = NULL;
    Truth t = x->approval != NULL ? review_approval(env.review, x->approval) : truth_of(true);
    if (x->where != NULL) {
        t = truth_and(t, evaluate_truth(&env, x->where));
    }
    for (int i = 0; i < x->unless.n; i++) {
        t = truth_and(t, truth_not(evaluate_truth(&env, x->unless.at[i])));
    }
    return t;
}

/* What an exception does where it governs: excuses, or puts its lines in the place of the line. */
static Result governed(const Case *outer, const Exception *x)
{
    if (x->lines.n == 0) {
        note_measure(outer, outer->line);
        return line_result(outer, outer->line, truth_of(true));
    }
    Case inner = *outer, *c = &inner;
    Env env = *outer->env;
    env.holders = x->holders != NULL ? x->holders : env.holders;
    c->env = &env;
    c->by = x;
    Result r = {NOT_APPLICABLE, 0, false, false};
    for (int i = 0; i < x->lines.n; i++) {
        r = result_worse(r, line_result(c, x->lines.at[i], truth_of(false)));
        note_measure(c, x->lines.at[i]);
    }
    return r;
}

/* The first exception in writing whose condition is true governs; unknown conditions by cases. */
static Result by_exceptions(const Case *c, int from)
{
    const Vec *exceptions = &c->active->text->exceptions;
    for (int i = from; i < exceptions->n; i++) {
        const Exception *x = exceptions->at[i];
        if (x->to != NULL && !same(x->to, c->line->label)) {
            continue;
        }
        Truth holds = exception_holds(c, x);
        if (truth_is(holds, CAN_YES)) {
            return governed(c, x);
        }
        if (truth_is(holds, CAN_BOTH)) {
            Result yes = governed(c, x), no = by_exceptions(c, i + 1);
            c->judged->measured = c->judged->limit = NULL; /* of two texts */
            return result_cases(holds, yes, no);
        }
    }
    note_measure(c, c->line);
    return line_result(c, c->line, truth_of(false));
}

Judged judge_line(const Env *env, const Active *active, const Line *line, const Item *const *items,
                  int count, Truth applies)
{
    Judged judged = {.label = line->label};
    Case c = {env, active, line, items, count, applies, &judged, NULL};
    judged.result = by_exceptions(&c, 0);
    return judged;
}
