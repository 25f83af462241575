/* Cautions: what deserves a word but has no outcome of its own. Variances that do not serve,
 * lines that comply as drawn but not as the shop may build them (meaning.md rule 26), texts of
 * two codes on one topic that judge one item differently (rule 20). */
#include <stdlib.h>
#include <string.h>

#include "judge/eval.h"

typedef struct Cautions {
    Arena *arena;
    Caution *list;
    uint32_t count, cap;
} Cautions;

static Caution *caution_add(Cautions *cautions, CautionKind kind)
{
    if (cautions->count == cautions->cap) {
        uint32_t cap = cautions->cap == 0 ? 8 : cautions->cap * 2;
        Caution *grown = ARENA_ARRAY(cautions->arena, Caution, cap);
        if (cautions->count > 0)
            memcpy(grown, cautions->list, cautions->count * sizeof *grown);
        cautions->list = grown;
        cautions->cap = cap;
    }
    Caution *caution = &cautions->list[cautions->count++];
    caution->kind = (uint8_t)kind;
    return caution;
}

/* ---- variances and decisions ---- */

/* A variance on sections that are never waived: one caution for each of them. */
static void caution_never(Cautions *cautions, const Review *review, const Decision *decision)
{
    const Section *told = NULL;
    for (uint32_t i = 0; i < review->finding_count; i++) {
        const Finding *finding = &review->findings[i];
        if (!finding->section->never_waived || finding->section == told ||
            !decision_names(decision, finding->section) ||
            !decision_has_items(decision, finding->items, finding->item_count))
            continue;
        told = finding->section;
        Caution *caution = caution_add(cautions, CAUTION_VARIANCE_NEVER);
        caution->decision = decision;
        caution->finding = finding;
    }
}

static bool is_held(const LawTree *tree, const Name *authority)
{
    for (const HolderTree *row = tree->place->holders; row != NULL; row = row->next)
        if (row->authority == authority && row->jurisdiction == tree->jurisdiction->name)
            return true;
    return authority == NULL;
}

/* A paper of a level above may be on a section that another jurisdiction of the place decides: it
 * is answered there. */
static bool is_decided_elsewhere(const LawTree *tree, const Decision *decision)
{
    if (tree->place == NULL || tree->jurisdiction == NULL)
        return false;
    for (uint32_t i = 0; i < tree->code_count; i++) {
        const CodeTree *code = tree->codes[i];
        for (const SectionTree *section = code->sections; section != NULL;
             section = section->next) {
            const Name *authority = section->standing.authority != NULL
                                        ? section->standing.authority
                                        : code->standing.authority;
            if (target_covers(decision->section, NULL, section->number, section->part) &&
                !is_held(tree, authority))
                return true;
        }
    }
    return false;
}

static void caution_decision(Eval *e, Cautions *cautions, const Decision *decision)
{
    uint8_t use = e->decision_use[decision - e->spec->decisions];
    bool variance = decision->kind == DECISION_VARIANCE;
    if (use == USE_NEVER)
        return; /* no other section is meant */
    if (use == 0 && is_decided_elsewhere(e->law->tree, decision))
        return;
    CautionKind kind;
    if ((use & USE_MATCHED) == 0)
        kind = variance ? CAUTION_VARIANCE_UNMATCHED : CAUTION_DECISION_UNMATCHED;
    else if ((use & USE_LAPSED) != 0)
        kind = CAUTION_VARIANCE_LAPSED;
    else if ((use & USE_EARLY) != 0)
        kind = CAUTION_VARIANCE_EARLY;
    else if ((use & USE_OLD_TEXT) != 0)
        kind = CAUTION_VARIANCE_OLD_TEXT;
    else if (variance && (use & USE_NEEDED) == 0)
        kind = CAUTION_VARIANCE_UNNEEDED;
    else
        return;
    caution_add(cautions, kind)->decision = decision;
}

static void caution_decisions(Eval *e, Cautions *cautions, const Review *review)
{
    for (uint32_t i = 0; i < e->spec->decision_count; i++) {
        const Decision *decision = &e->spec->decisions[i];
        if (decision->kind == DECISION_APPROVAL || !decision_in_law(e->law, decision))
            continue;
        if ((e->decision_use[i] & USE_NEVER) != 0)
            caution_never(cautions, review, decision);
        caution_decision(e, cautions, decision);
    }
}

/* ---- the shop's tolerance ---- */

static const Part *same_part(const Finding *finding, const Part *part)
{
    for (uint32_t i = 0; i < finding->part_count; i++)
        if (finding->parts[i].line == part->line)
            return &finding->parts[i];
    return NULL;
}

static const Finding *same_finding(const Findings *findings, const Finding *like)
{
    for (uint32_t i = 0; i < findings->count; i++) {
        const Finding *finding = &findings->list[i];
        if (finding->tree == like->tree && finding->text == like->text &&
            finding_same_items(finding, like))
            return finding;
    }
    return NULL;
}

static void set_slack(Eval *e, Caution *caution, const Part *part)
{
    const Value *measured = &part->measured, *limit = &part->limit;
    if (!part->has_measure || measured->kind != VALUE_RANGE || measured->root > 1 ||
        !range_is_exact(&measured->range) || !range_is_exact(&limit->range))
        return;
    Rational slack = rational_sub(e->arena, limit->range.low, measured->range.low);
    caution->slack = rational_sign(slack) < 0 ? rational_negate(e->arena, slack) : slack;
    caution->has_slack = true;
}

static void caution_tight(Eval *e, Cautions *cautions, const Finding *finding,
                          const Finding *widened)
{
    for (uint32_t i = 0; i < finding->part_count; i++) {
        const Part *part = &finding->parts[i];
        const Part *other = same_part(widened, part);
        if (part->outcome != OUTCOME_COMPLIES || other == NULL)
            continue;
        if (outcome_passes(other->outcome))
            continue;
        Caution *caution = caution_add(cautions, CAUTION_TIGHT_TOLERANCE);
        caution->finding = finding;
        caution->part = part;
        set_slack(e, caution, part);
    }
}

static int slack_order(const void *a, const void *b)
{
    const Caution *x = a, *y = b;
    if (x->has_slack != y->has_slack)
        return x->has_slack ? -1 : 1;
    int order = x->has_slack ? rational_order(x->slack, y->slack) : 0;
    if (order != 0)
        return order;
    return x->finding < y->finding ? -1 : x->finding > y->finding;
}

static void caution_tolerance(Eval *e, Cautions *cautions, const Review *review)
{
    if (e->spec->tolerance_count == 0)
        return;
    uint32_t from = cautions->count;
    uint8_t *use = e->decision_use;
    e->decision_use = ARENA_ARRAY(e->arena, uint8_t, e->spec->decision_count + 1);
    e->widen = true;
    uint32_t at = 0;
    for (uint32_t s = 0; s < e->law->section_count; s++) {
        Findings widened = {0};
        judge_section(e, &e->law->sections[s], &widened);
        for (; at < review->finding_count && review->findings[at].section == &e->law->sections[s];
             at++) {
            const Finding *other = same_finding(&widened, &review->findings[at]);
            if (other != NULL)
                caution_tight(e, cautions, &review->findings[at], other);
        }
    }
    e->widen = false;
    e->decision_use = use;
    if (cautions->count > from)
        qsort(cautions->list + from, cautions->count - from, sizeof *cautions->list, slack_order);
}

/* ---- rival texts, and what is displaced ---- */

static void caution_rivals(Cautions *cautions, const Review *review)
{
    uint32_t count = 0;
    const Rivals *rivals = review_rivals(cautions->arena, review, &count);
    for (uint32_t i = 0; i < count; i++) {
        Caution *caution = caution_add(cautions, CAUTION_RIVALS);
        caution->finding = rivals[i].one;
        caution->other = rivals[i].other;
    }
}

static void caution_displaced(Cautions *cautions, const LawTree *tree)
{
    for (uint32_t i = 0; i < tree->displaced_count; i++)
        caution_add(cautions, CAUTION_DISPLACED)->displaced = &tree->displaced[i];
}

void review_cautions(Eval *e, Review *review)
{
    Cautions cautions = {.arena = e->arena};
    caution_decisions(e, &cautions, review);
    caution_tolerance(e, &cautions, review);
    caution_rivals(&cautions, review);
    caution_displaced(&cautions, review->law->tree);
    review->cautions = cautions.list;
    review->caution_count = cautions.count;
}
