/* Which texts of a section may stand for the unit: its permit date must lie in the text's window,
 * and the text's conditions on units must hold. A condition and its opposite are one atom, so a
 * section amended for some units only is covered whatever is not stated. Whether none may stand is
 * asked for each part of the permit dates, by trying what is unknown both ways: where a text can
 * be missing, the section applies by meaning.md rule 2; where several may stand, they are judged
 * by cases (rule 3). */
#include <stdlib.h>

#include "judge/eval.h"

enum { LOOKS_MAX = 1000000 }; /* a section amended so often that more are needed is left unknown */

/* ---- permit dates ---- */

static Value permit_compare(Eval *e, CompareOp op, Day day)
{
    Value limit = value_exact(RATIONAL(day, 1));
    return number_compare(e, op, &e->permit, &limit);
}

static Value in_days(Eval *e, Day from, Day before)
{
    Value in = value_truth(TRUTH_TRUE, NULL);
    if (from != INT32_MIN)
        in = permit_compare(e, COMPARE_GREATER_EQUAL, from);
    if (before != DAY_FOREVER) {
        Value not_after = permit_compare(e, COMPARE_LESS, before);
        in = truth_of_and(e, &in, &not_after);
    }
    return in;
}

Value text_not_exempt(Eval *e, const TextTree *tree)
{
    if (e->permit_new || tree->exempt.kind == PERMIT_ALL)
        return value_truth(TRUTH_TRUE, NULL);
    CompareOp op = tree->exempt.kind == PERMIT_NOT_ON ? COMPARE_LESS_EQUAL : COMPARE_LESS;
    return truth_of_not(permit_compare(e, op, tree->exempt.day));
}

/* ---- conditions on units ---- */

Value scope_holds(Eval *e, const ScopeCode *scope)
{
    Value all = value_truth(TRUTH_TRUE, NULL);
    eval_reset(e);
    for (uint32_t i = 0; i < scope->count && all.truth != TRUTH_FALSE; i++) {
        Value one = eval_truth(e, scope->conditions[i]);
        all = truth_of_and(e, &all, &one);
    }
    return all;
}

static Value literal(const Value *atoms, const ScopeCode *scope)
{
    return scope->negated ? truth_of_not(atoms[scope->atom]) : atoms[scope->atom];
}

/* ---- may there be none? ---- */

typedef struct Tries {
    const Section *section;
    uint8_t *truths;       /* by atom, as tried */
    const bool *in_window; /* by text: it may stand as far as the permit date goes */
    uint64_t looks;        /* at a condition, so far */
} Tries;

static Truth tried(const Tries *tries, const ScopeCode *scope)
{
    Truth truth = (Truth)tries->truths[scope->atom];
    return scope->negated ? truth_not(truth) : truth;
}

/* How many conditions of the text are still unknown; UINT32_MAX when one does not hold. */
static uint32_t unknown_left(Tries *tries, const TextInForce *text, uint32_t *atom)
{
    uint32_t count = 0;
    tries->looks++;
    for (uint32_t i = 0; i < text->scope_count; i++) {
        tries->looks++;
        Truth truth = tried(tries, &text->scopes[i]);
        if (truth == TRUTH_FALSE)
            return UINT32_MAX;
        if (truth == TRUTH_UNKNOWN) {
            *atom = text->scopes[i].atom;
            count++;
        }
    }
    return count;
}

static bool may_be_none(Tries *tries)
{
    uint32_t least = UINT32_MAX, atom = 0;
    for (uint32_t t = 0; t < tries->section->text_count; t++) {
        uint32_t one = 0;
        if (!tries->in_window[t])
            continue;
        uint32_t unknown = unknown_left(tries, &tries->section->texts[t], &one);
        if (unknown < least) {
            least = unknown;
            atom = one;
        }
    }
    if (least == 0)
        return false;
    if (least == UINT32_MAX || tries->looks > LOOKS_MAX)
        return true;
    bool none = false;
    static const uint8_t ways[2] = {TRUTH_FALSE, TRUTH_TRUE};
    for (int i = 0; i < 2 && !none; i++) {
        tries->truths[atom] = ways[i];
        none = may_be_none(tries);
    }
    tries->truths[atom] = TRUTH_UNKNOWN;
    return none;
}

/* ---- part by part of the permit dates ---- */

typedef struct Sought {
    Eval *e;
    const Section *section;
    const Value *atoms;
    Stands *out;
    bool floor;
} Sought;

static bool is_sought(const Sought *s, uint32_t text)
{
    return s->section->texts[text].tree->floor == s->floor;
}

static int day_order(const void *a, const void *b)
{
    const Day *x = a, *y = b;
    return *x < *y ? -1 : *x > *y;
}

/* The days on which windows begin or end, ascending. */
static Day *window_days(const Sought *s, uint32_t *count)
{
    Day *days = ARENA_ARRAY(s->e->arena, Day, 2 * (size_t)s->section->text_count + 2);
    *count = 0;
    days[(*count)++] = INT32_MIN;
    for (uint32_t t = 0; t < s->section->text_count; t++) {
        const TextTree *tree = s->section->texts[t].tree;
        if (!is_sought(s, t))
            continue;
        if (tree->permitted_from != INT32_MIN)
            days[(*count)++] = tree->permitted_from;
        if (tree->permitted_before != DAY_FOREVER)
            days[(*count)++] = tree->permitted_before;
    }
    qsort(days, *count, sizeof *days, day_order);
    return days;
}

static bool none_within(const Sought *s, Day from, Day before)
{
    uint32_t atom_count = s->section->atom_count;
    bool *in_window = ARENA_ARRAY(s->e->arena, bool, s->section->text_count + 1);
    uint8_t *truths = ARENA_ARRAY(s->e->arena, uint8_t, atom_count + 1);
    for (uint32_t t = 0; t < s->section->text_count; t++) {
        const TextTree *tree = s->section->texts[t].tree;
        in_window[t] =
            is_sought(s, t) && tree->permitted_from <= from && tree->permitted_before >= before;
    }
    for (uint32_t i = 0; i < atom_count; i++)
        truths[i] = s->atoms[i].truth;
    Tries tries = {s->section, truths, in_window, 0};
    return may_be_none(&tries);
}

static bool none_anywhere(const Sought *s)
{
    uint32_t count = 0;
    const Day *days = window_days(s, &count);
    for (uint32_t i = 0; i < count; i++) {
        Day before = i + 1 < count ? days[i + 1] : DAY_FOREVER;
        if (days[i] < before && in_days(s->e, days[i], before).truth != TRUTH_FALSE &&
            none_within(s, days[i], before))
            return true;
    }
    return false;
}

/* ---- why none stands ---- */

static bool is_kept_out(const Sought *s, const TextInForce *text, bool by_place)
{
    for (uint32_t i = 0; i < text->scope_count; i++) {
        const ScopeCode *scope = &text->scopes[i];
        if ((scope->tree->holder != NULL) == by_place &&
            literal(s->atoms, scope).truth == TRUTH_FALSE)
            return true;
    }
    return false;
}

/* The text to show as not applicable, and why: that another jurisdiction decides is said before
 * that the section is for other units, and this before what the permit date keeps out. */
static void find_reason(const Sought *s)
{
    Stands *out = s->out;
    bool found = false;
    out->shown = UINT32_MAX;
    for (uint32_t t = 0; t < s->section->text_count; t++) {
        const TextInForce *text = &s->section->texts[t];
        if (!is_sought(s, t))
            continue;
        Outside outside = OUTSIDE_NOT;
        if (is_kept_out(s, text, true))
            outside = OUTSIDE_PLACE;
        else if (is_kept_out(s, text, false) &&
                 in_days(s->e, text->tree->permitted_from, text->tree->permitted_before).truth !=
                     TRUTH_FALSE)
            outside = OUTSIDE_UNITS;
        if (!found || outside > out->outside) {
            out->shown = t;
            out->outside = (uint8_t)outside;
        }
        found = true;
    }
}

/* ---- all ---- */

/* Kleene's answer, save that a text which asks that a condition hold and that it do not stands for
 * no unit: a later act has spoken of the same ones. `said` is by atom: the last text that named it,
 * twice, and one more where it was negated. */
static Value text_stands(const Sought *s, uint32_t index, uint32_t *said)
{
    const TextInForce *text = &s->section->texts[index];
    Value stands = in_days(s->e, text->tree->permitted_from, text->tree->permitted_before);
    for (uint32_t i = 0; i < text->scope_count; i++) {
        const ScopeCode *scope = &text->scopes[i];
        uint32_t mark = 2 * (index + 1) + (scope->negated ? 1 : 0);
        if (said[scope->atom] == (mark ^ 1u))
            return value_truth(TRUTH_FALSE, NULL);
        said[scope->atom] = mark;
        Value one = literal(s->atoms, scope);
        stands = truth_of_and(s->e, &stands, &one);
    }
    return stands;
}

static void find_covered(const Sought *s)
{
    Stands *out = s->out;
    bool some = false, sure = false;
    for (uint32_t t = 0; t < s->section->text_count; t++) {
        if (!is_sought(s, t) || out->texts[t].truth == TRUTH_FALSE)
            continue;
        some = true;
        sure = sure || out->texts[t].truth == TRUTH_TRUE;
        if (out->texts[t].truth == TRUTH_UNKNOWN)
            out->waits = waits_join(s->e->arena, out->waits, out->texts[t].waits);
    }
    Truth covered = TRUTH_TRUE;
    if (!some)
        covered = TRUTH_FALSE;
    else if (!sure && none_anywhere(s))
        covered = TRUTH_UNKNOWN;
    out->covered = value_truth(covered, covered == TRUTH_UNKNOWN ? out->waits : NULL);
    if (!some)
        find_reason(s);
}

void section_stands(Eval *e, const Section *section, bool floor, Stands *out)
{
    Value *atoms = ARENA_ARRAY(e->arena, Value, section->atom_count + 1);
    for (uint32_t i = 0; i < section->atom_count; i++)
        atoms[i] = scope_holds(e, section->atoms[i]);
    *out = (Stands){.texts = ARENA_ARRAY(e->arena, Value, section->text_count + 1)};
    Sought sought = {e, section, atoms, out, floor};
    uint32_t *said = ARENA_ARRAY(e->arena, uint32_t, section->atom_count + 1);
    for (uint32_t t = 0; t < section->text_count; t++)
        if (is_sought(&sought, t))
            out->texts[t] = text_stands(&sought, t, said);
    find_covered(&sought);
}

const Held *holdings_held(Eval *e)
{
    const Law *law = e->law;
    Held *held = ARENA_ARRAY(e->arena, Held, law->holding_count + 1);
    for (uint32_t i = 0; i < law->holding_count; i++) {
        const Holding *holding = &law->holdings[i];
        Value all = value_truth(TRUTH_TRUE, NULL);
        for (uint32_t k = 0; k < holding->scope_count; k++) {
            Value one = scope_holds(e, &holding->scopes[k]);
            if (holding->scopes[k].negated)
                one = truth_of_not(one);
            all = truth_of_and(e, &all, &one);
        }
        held[i] = (Held){holding, all.truth, all.waits};
    }
    return held;
}
