/* Findings: violated = applies and not requirement and not excused, line by line; exceptions, permit
 * texts and readings by cases. One finding per section and tuple of items, as bad as its worst line. */
#include "oracle.h"

#include <string.h>

typedef struct Judge {
    const Review *review;
    const Vec *law;
    const Active *active, *top; /* the text judged, and the newest one of its section */
    Vec *out;
    const Vec *shared; /* of the code's reading that is judged */
} Judge;

const char *outcome_name(Outcome outcome, bool spaced)
{
    static const char *const JOINED[] = {"correction",       "information_required",
                                         "official_decides", "complies",
                                         "excused",          "not_applicable"};
    static const char *const SPACED[] = {"correction",       "information required",
                                         "official decides", "complies",
                                         "excused",          "not applicable"};
    return spaced ? SPACED[outcome] : JOINED[outcome];
}

/* ---- outcomes ---- */

static Result open_result(unsigned why)
{
    return (Result){why == WHY_OFFICIAL ? OFFICIAL_DECIDES : INFORMATION_REQUIRED, why, false,
                    false};
}

Result result_of(Truth applies, Truth requirement, Truth excused)
{
    Truth violated = truth_and(applies, truth_and(truth_not(requirement), truth_not(excused)));
    if (truth_is(violated, CAN_YES)) {
        return (Result){CORRECTION, 0, false, false};
    }
    if (truth_is(violated, CAN_BOTH)) {
        return open_result(violated.why);
    }
    if (truth_is(applies, CAN_NO)) {
        return (Result){NOT_APPLICABLE, 0, false, false};
    }
    return (Result){truth_is(requirement, CAN_YES) ? COMPLIES : EXCUSED, 0, false, false};
}

typedef enum Class { CLASS_FAIL, CLASS_OPEN, CLASS_PASS } Class;

static Class class_of(Result r)
{
    return r.outcome == CORRECTION         ? CLASS_FAIL
           : r.outcome <= OFFICIAL_DECIDES ? CLASS_OPEN
                                           : CLASS_PASS;
}

Result result_worse(Result a, Result b)
{
    Result r = a.outcome <= b.outcome ? a : b;
    r.why = a.why | b.why;
    return r;
}

static unsigned open_why(Result r)
{
    return class_of(r) == CLASS_OPEN ? r.why : 0;
}

/* Both cases are judged where it is not known which holds: the same class is that class. */
Result result_cases(Truth which, Result yes, Result no)
{
    if (!truth_is(which, CAN_BOTH)) {
        return truth_is(which, CAN_YES) ? yes : no;
    }
    if (class_of(yes) == class_of(no) && class_of(yes) != CLASS_OPEN) {
        return result_worse(yes, no);
    }
    return open_result(which.why | open_why(yes) | open_why(no));
}

/* A reading that nobody chose: the same class is that class, otherwise an official decides. */
Result result_readings(Result a, Result b)
{
    if (!a.split && !b.split && class_of(a) == class_of(b)) {
        return result_worse(a, b);
    }
    bool open = (class_of(a) == CLASS_OPEN && !a.split) || (class_of(b) == CLASS_OPEN && !b.split);
    bool either = a.either || b.either || open;
    return (Result){OFFICIAL_DECIDES, WHY_OFFICIAL, true, either};
}

/* ---- permits ---- */

static Truth permit_truth(const Review *review, const Permit *permit, long since)
{
    const Val *now = val_number(review->date, review->known_date ? 0 : WHY_FACT, false);
    const Val *date = val_number(permit->date, 0, false);
    switch (permit->kind) {
    case PERMIT_FROM: return val_compare(OP_GE, review->permit, date, false);
    case PERMIT_BEFORE: return val_compare(OP_LT, review->permit, date, false);
    case PERMIT_NOT_BEFORE: return truth_not(val_compare(OP_LT, review->permit, date, false));
    case PERMIT_NOT_ON: return truth_not(val_compare(OP_LE, review->permit, date, false));
    case PERMIT_EXISTING: /* a new unit is none of those permitted before, whichever the day */
        return review->unpermitted
                   ? truth_of(true)
                   : truth_or(val_compare(OP_GE, now, date, false),
                              val_compare(OP_GE, review->permit,
                                          val_number(range_small(since * 86400, 1), 0, false),
                                          false));
    }
    return truth_of(true);
}

/* ---- does a section apply? ---- */

Truth condition(const Env *env, const Expr *e)
{
    Env inner = *env;
    inner.condition = true;
    inner.presence = NULL;
    return evaluate_truth(&inner, e);
}

/* Is the unit one of those that the words of a code, level or row speak of? */
static Truth unit_in(const Review *review, const Gate *gate)
{
    const Env env = {.holders = gate->holders, .review = review};
    Truth t = truth_of(true);
    for (int i = 0; gate->units != NULL && i < gate->units->n; i++) {
        t = truth_and(t, condition(&env, gate->units->at[i]));
    }
    return t;
}

static Truth seat_held(const Review *review, const Expr *seat)
{
    const Env env = {.review = review};
    return seat == NULL ? truth_of(true) : condition(&env, seat);
}

/* What chooses between a text and the former one. */
static Truth text_chosen(const Review *review, const Active *active)
{
    const Section *s = active->then != NULL ? NULL : active->text; /* those choose by themselves */
    Truth t = unit_in(review, &active->made);
    for (int i = 0; s != NULL && i < s->permits.n; i++) {
        if (permit_chooses(s->permits.at[i])) {
            t = truth_and(t, permit_truth(review, s->permits.at[i], active->born));
        }
    }
    return s == NULL ? t : truth_and(t, unit_in(review, &(Gate){&s->units, active->holders}));
}

/* As far as the unit and its permit alone decide it. */
static Truth unit_applies(const Judge *j)
{
    const Active *active = j->active;
    const Section *s = active->text;
    Truth t =
        truth_and(unit_in(j->review, &active->gates[0]), unit_in(j->review, &active->gates[1]));
    t = truth_and(t, seat_held(j->review, active->seat));
    if (active->former == NULL) { /* else this text has been chosen */
        t = truth_and(t, text_chosen(j->review, active));
    }
    for (int i = 0; i < s->permits.n; i++) {
        const Permit *permit = s->permits.at[i];
        t = permit_chooses(permit) ? t : truth_and(t, permit_truth(j->review, permit, 0));
    }
    return t;
}

static Truth section_applies(const Judge *j, const Env *env)
{
    const Section *s = j->active->text;
    Truth t = unit_applies(j);
    for (int i = 0; i < s->whens.n; i++) {
        t = truth_and(t, condition(env, s->whens.at[i]));
    }
    return t;
}

static Env judge_env(const Judge *j)
{
    return (Env){.local = &j->active->text->defines,
                 .shared = j->shared,
                 .holders = j->active->holders,
                 .review = j->review};
}

Env bind_each(const Env *env, const char *name, const Item *item)
{
    Env inner = env_bind(env, name, item, NEW(Var));
    inner.each = inner.vars;
    return inner;
}

Truth each_where(const Env *env, const Each *each)
{
    return each->where == NULL ? truth_of(true) : condition(env, each->where);
}

/* Of a list whose items are not stated: can the section apply to an item, as far as is known? Neither the
 * where of the each clauses is asked, nor what those behind go over. */
static Truth applies_further(const Judge *j, const Env *env, int depth, Truth applies)
{
    const Section *s = j->active->text;
    if (depth == s->eachs.n) {
        return truth_and(applies, section_applies(j, env));
    }
    const Each *each = s->eachs.at[depth];
    const Val *list = evaluate(env, each->list);
    if (list->kind != VAL_LIST || list->list->further == NULL) {
        return applies;
    }
    Env inner = bind_each(env, each->a, list->list->further);
    if (each->b != NULL) {
        inner = bind_each(&inner, each->b, list->list->further);
    }
    return applies_further(j, &inner, depth + 1, applies);
}

/* ---- sections that are silent where another applies ---- */

static bool agrees(const Finding *f, const Item *item)
{
    bool same_list = false;
    for (int i = 0; i < f->items; i++) {
        if (f->item[i] == item) {
            return true;
        }
        same_list = same_list || (f->item[i]->list != NULL && f->item[i]->list == item->list);
    }
    return !same_list;
}

static Truth applies_beside(const Judge *j, const Env *env, int depth, Truth applies,
                            const Finding *f);

/* The section beside, for one item or pair of its each. */
static Truth applies_to(const Judge *j, const Env *env, int depth, Truth applies, const Finding *f,
                        const Member *a, const Member *b)
{
    const Each *each = j->active->text->eachs.at[depth];
    if (!agrees(f, a->item) || (b != NULL && !agrees(f, b->item))) {
        return truth_of(false);
    }
    Env inner = bind_each(env, each->a, a->item);
    Truth in = truth_and(applies, a->in);
    if (b != NULL) {
        inner = bind_each(&inner, each->b, b->item);
        in = truth_and(in, b->in);
    }
    return applies_beside(j, &inner, depth + 1, truth_and(in, each_where(&inner, each)), f);
}

static Truth applies_beside(const Judge *j, const Env *env, int depth, Truth applies,
                            const Finding *f)
{
    const Section *s = j->active->text;
    if (depth == s->eachs.n) {
        return truth_and(applies, section_applies(j, env));
    }
    const Each *each = s->eachs.at[depth];
    const Items *items = evaluate_list(env, each->list);
    Truth t = items->more ? truth_and(applies_further(j, env, depth, applies), truth_open(WHY_FACT))
                          : truth_of(false);
    for (int i = 0; i < items->n; i++) {
        const Member *a = &items->member[i];
        if (each->b == NULL) {
            t = truth_or(t, applies_to(j, env, depth, applies, f, a, NULL));
        }
        for (int k = i + 1; each->b != NULL && k < items->n; k++) {
            t = truth_or(t, applies_to(j, env, depth, applies, f, a, &items->member[k]));
        }
    }
    return t;
}

/* Does a text, wherever it applies, silence the section judged? By its own words, or since its code prevails. */
static bool speaks_before(const Active *other, const Judge *j)
{
    for (int k = 0; k < other->text->notwithstanding.n; k++) {
        const Target *t = other->text->notwithstanding.at[k];
        if (active_named(j->top, t->number, t->part)) {
            return true;
        }
    }
    for (int k = 0; k < other->over.n; k++) {
        const Over *over = other->over.at[k];
        if (same(over->code, j->active->code->name) && same(over->topic, j->active->text->topic)) {
            return true;
        }
    }
    return false;
}

/* Where another section applies: that of its texts which is for the unit. Of a list whose items are not
 * stated (at_list), one that goes by items says nothing for sure. */
static Truth silenced_by(const Judge *j, const Active *active, const Finding *f, bool at_list,
                         bool cases)
{
    Judge other = {.review = j->review, .law = j->law, .active = active};
    other.shared = active->code == j->active->code ? j->shared : NULL; /* consistently */
    Truth silent = truth_of(false);
    if (active->then != NULL) {
        silent = silenced_by(j, active->then, f, at_list, cases);
    } else if (active->text != NULL && speaks_before(active, j)) {
        Env env = judge_env(&other);
        silent = applies_beside(&other, &env, 0, unit_applies(&other), f);
        if (at_list && active->text->eachs.n > 0 && truth_is(silent, CAN_YES)) {
            silent = truth_open(WHY_FACT);
        }
    }
    if (active->former == NULL) {
        return silent;
    }
    Truth chosen = text_chosen(j->review, active);
    Truth former = silenced_by(j, active->former, f, at_list, cases);
    return cases ? truth_cases(chosen, silent, former)
                 : truth_or(truth_and(chosen, silent), truth_and(truth_not(chosen), former));
}

/* cases: where a text silences whichever is chosen; otherwise that stays open while the choice is. */
static Truth silenced(const Judge *j, const Finding *f, bool at_list, bool cases)
{
    Truth t = truth_of(false);
    for (int i = 0; i < j->law->n; i++) {
        if (j->law->at[i] != j->top) {
            t = truth_or(t, silenced_by(j, j->law->at[i], f, at_list, cases));
        }
    }
    return t;
}

/* ---- tuples ---- */

static void worst_line(Finding *f)
{
    f->result = (Result){NOT_APPLICABLE, 0, false, false};
    for (int i = 0; i < f->lines; i++) {
        f->result = result_worse(f->result, f->line[i].result);
    }
}

static bool substitutes(const Section *s)
{
    for (int i = 0; i < s->exceptions.n; i++) {
        if (((const Exception *)s->exceptions.at[i])->lines.n > 0) {
            return true;
        }
    }
    return false;
}

static bool asks_absence(const Expr *e)
{
    if (e == NULL) {
        return false;
    }
    bool asks =
        e->op == OP_IS_NONE || asks_absence(e->a) || asks_absence(e->b) || asks_absence(e->c);
    for (int i = 0; i < e->args.n; i++) {
        asks = asks || asks_absence(e->args.at[i]);
    }
    return asks;
}

/* Does an exception ask whether something is absent? Whether a line that answers for it too then complies
 * or is excused is not said. */
static bool excepts_absence(const Section *s)
{
    for (int i = 0; i < s->exceptions.n; i++) {
        if (asks_absence(((const Exception *)s->exceptions.at[i])->where)) {
            return true;
        }
    }
    return false;
}

static void judge_tuple(const Judge *j, const Env *env, Truth applies, const Finding *start)
{
    const Section *s = j->active->text;
    Finding *f = NEW(Finding);
    *f = *start;
    applies = truth_and(applies, section_applies(j, env));
    Truth silent = silenced(j, f, false, true);
    f->by_cases = truth_is(silent, CAN_YES) && !truth_is(silenced(j, f, false, false), CAN_YES);
    f->mixed =
        !truth_is(silent, CAN_NO) || s->readings.n > 1 || substitutes(s) || excepts_absence(s);
    applies = truth_and(applies, truth_not(silent));
    f->lines = s->lines.n;
    f->line = ARRAY(Judged, s->lines.n + 1);
    for (int i = 0; i < s->lines.n; i++) {
        const Line *line = s->lines.at[i];
        f->line[i] = (Judged){.label = line->label, .result = {NOT_APPLICABLE, 0, false, false}};
        if (!truth_is(applies, CAN_NO)) {
            f->line[i] = judge_line(env, j->active, line, f->item, f->items, applies);
        }
    }
    worst_line(f);
    vec_add(j->out, f);
}

static void finding_at_list(const Judge *j, const Finding *start, Outcome outcome, bool mixed)
{
    Finding *f = NEW(Finding);
    *f = *start;
    f->mixed = mixed;
    f->at_list = true;
    f->result = (Result){outcome, outcome == INFORMATION_REQUIRED ? WHY_FACT : 0, false, false};
    vec_add(j->out, f);
}

static void walk(const Judge *j, const Env *env, int depth, Truth applies, const Finding *f);

/* One item, or one pair, of an each. */
static void walk_one(const Judge *j, const Env *env, int depth, Truth applies, const Finding *f,
                     const Member *a, const Member *b)
{
    const Each *each = j->active->text->eachs.at[depth];
    Finding next = *f;
    if (next.items + 2 > 8) {
        give_up("too many each clauses");
    }
    Env inner = bind_each(env, each->a, a->item);
    Truth in = a->in;
    next.item[next.items++] = a->item;
    if (b != NULL) {
        inner = bind_each(&inner, each->b, b->item);
        in = truth_and(in, b->in);
        next.item[next.items++] = b->item;
    }
    in = truth_and(in, each_where(&inner, each));
    if (!truth_is(in, CAN_NO)) {
        walk(j, &inner, depth + 1, truth_and(applies, in), &next);
    }
}

static void walk(const Judge *j, const Env *env, int depth, Truth applies, const Finding *f)
{
    if (depth == j->active->text->eachs.n) {
        judge_tuple(j, env, applies, f);
        return;
    }
    const Each *each = j->active->text->eachs.at[depth];
    const Items *items = evaluate_list(env, each->list);
    for (int i = 0; i < items->n; i++) {
        if (each->b == NULL) {
            walk_one(j, env, depth, applies, f, &items->member[i], NULL);
            continue;
        }
        for (int k = i + 1; k < items->n; k++) {
            walk_one(j, env, depth, applies, f, &items->member[i], &items->member[k]);
        }
    }
    if (items->more) {
        Truth silent = silenced(j, f, true, true);
        bool never =
            truth_is(applies_further(j, env, depth, applies), CAN_NO) || truth_is(silent, CAN_YES);
        finding_at_list(j, f, never ? NOT_APPLICABLE : INFORMATION_REQUIRED,
                        !truth_is(silent, CAN_NO) || j->active->text->eachs.n > 1);
    }
}

/* ---- cases of whole texts ---- */

static bool same_items(const Finding *a, const Finding *b)
{
    if (a->items != b->items || a->at_list != b->at_list) {
        return false;
    }
    return a->items == 0 || memcmp(a->item, b->item, sizeof(Item *) * (size_t)a->items) == 0;
}

static Finding *merge_two(const Finding *a, const Finding *b, const Truth *which)
{
    const Result none = {NOT_APPLICABLE, 0, false, false};
    const Finding *base = a != NULL ? a : b;
    Finding *f = NEW(Finding);
    *f = *base;
    Result ra = a != NULL ? a->result : none, rb = b != NULL ? b->result : none;
    f->result = which != NULL ? result_cases(*which, ra, rb) : result_readings(ra, rb);
    f->line = ARRAY(Judged, base->lines + 1);
    f->mixed = !base->at_list || (a != NULL && a->mixed) || (b != NULL && b->mixed);
    f->by_cases = (a != NULL && a->by_cases) || (b != NULL && b->by_cases);
    f->lines = a != NULL && b != NULL && a->lines != b->lines ? 0 : base->lines;
    for (int i = 0; i < f->lines; i++) {
        Result la = a != NULL ? a->line[i].result : none, lb = b != NULL ? b->line[i].result : none;
        f->line[i].label = base->line[i].label;
        f->line[i].result = which != NULL ? result_cases(*which, la, lb) : result_readings(la, lb);
    }
    return f;
}

Vec judge_merge(const Vec *a, const Vec *b, const Truth *which)
{
    Vec out = {0};
    bool *used = ARRAY(bool, b->n + 1);
    for (int i = 0; i < a->n; i++) {
        const Finding *other = NULL;
        for (int k = 0; other == NULL && k < b->n; k++) {
            if (!used[k] && same_items(a->at[i], b->at[k])) {
                used[k] = true;
                other = b->at[k];
            }
        }
        vec_add(&out, merge_two(a->at[i], other, which));
    }
    for (int k = 0; k < b->n; k++) {
        if (!used[k]) {
            vec_add(&out, merge_two(NULL, b->at[k], which));
        }
    }
    return out;
}

static const Reading *reading_at(const Vec *readings, const char *applied, int i)
{
    if (applied == NULL) {
        return readings->n == 0 ? NULL : readings->at[i];
    }
    for (int k = 0; k < readings->n; k++) {
        if (same(((const Reading *)readings->at[k])->name, applied)) {
            return readings->at[k];
        }
    }
    return NULL;
}

static int reading_count(const Vec *readings, const char *applied)
{
    return applied != NULL || readings->n == 0 ? 1 : readings->n;
}

/* Each reading of the section and of the code, unless the jurisdiction applies one. */
static Vec judge_text(const Review *review, const Vec *law, const Active *active, const Active *top)
{
    const Section *s = active->text;
    Vec all = {0};
    int own = reading_count(&s->readings, active->reading);
    int shared = reading_count(&active->code->holder.readings, active->shared);
    for (int i = 0; i < own * shared; i++) {
        Vec findings = {0};
        const Reading *reading = reading_at(&s->readings, active->reading, i / shared);
        const Reading *beside =
            reading_at(&active->code->holder.readings, active->shared, i % shared);
        Judge j = {review, law, active, top, &findings, beside == NULL ? NULL : &beside->defines};
        Env env = judge_env(&j);
        env.reading = reading == NULL ? NULL : &reading->defines;
        Finding start = {.active = active, .number = top->number, .part = top->part};
        walk(&j, &env, 0, truth_of(true), &start);
        if (findings.n == 0) { /* no such item stated */
            finding_at_list(&j, &start, NOT_APPLICABLE, false);
        }
        all = i == 0 ? findings : judge_merge(&all, &findings, NULL);
    }
    return all;
}

/* What alone chooses between two texts, if it is the permit date; NULL otherwise. */
static const Permit *permit_alone(const Active *active)
{
    const Permit *found = NULL;
    if (active->text == NULL || active->text->units.n > 0 ||
        (active->made.units != NULL && active->made.units->n > 0)) {
        return NULL;
    }
    for (int i = 0; i < active->text->permits.n; i++) {
        const Permit *permit = active->text->permits.at[i];
        if (permit_chooses(permit) && found != NULL) {
            return NULL;
        }
        found = permit_chooses(permit) ? permit : found;
    }
    return found;
}

/* The review of a unit whose permit date is on one side only of what chooses between two texts. */
static Review on_one_side(const Review *review, const Active *active, bool chosen)
{
    const Permit *permit = permit_alone(active);
    Review side = *review;
    if (permit == NULL) {
        return side;
    }
    Range part = range_whole_line(), since = range_small(active->born * 86400, 1);
    bool from = (permit->kind != PERMIT_BEFORE) == chosen;
    End *end = from ? &part.lo : &part.hi;
    *end = permit->kind == PERMIT_EXISTING ? since.lo : permit->date.lo;
    end->open = !from;
    side.permit = val_number(range_cut(review->permit->range, &part), review->permit->why, false);
    return side;
}

static Vec judge_active(const Review *review, const Vec *law, const Active *active,
                        const Active *top);

static Vec judge_chosen(const Review *review, const Vec *law, const Active *active,
                        const Active *top)
{
    const Vec nothing = {0};
    if (active->then != NULL) {
        return judge_active(review, law, active->then, top);
    }
    return active->text == NULL ? nothing : judge_text(review, law, active, top);
}

static Vec judge_active(const Review *review, const Vec *law, const Active *active,
                        const Active *top)
{
    Truth which = active->former == NULL ? truth_of(true) : text_chosen(review, active);
    if (truth_is(which, CAN_YES)) {
        return judge_chosen(review, law, active, top);
    }
    if (truth_is(which, CAN_NO)) {
        return judge_active(review, law, active->former, top);
    }
    Review chosen = on_one_side(review, active, true), other = on_one_side(review, active, false);
    Vec text = judge_chosen(&chosen, law, active, top);
    Vec former = judge_active(&other, law, active->former, top);
    return judge_merge(&text, &former, &which);
}

Vec judge_all(const Review *review, const Vec *law)
{
    Vec all = {0};
    for (int i = 0; i < law->n; i++) {
        Vec findings = judge_active(review, law, law->at[i], law->at[i]);
        for (int k = 0; k < findings.n; k++) {
            vec_add(&all, findings.at[k]);
        }
    }
    return all;
}
