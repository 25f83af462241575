/* Variances, decisions and approvals that the spec records. A variance is as narrow as its
 * paper (meaning.md rule 13): it names section, items and dates, and works only in the law of
 * the jurisdiction that its office serves. */
#include "judge/eval.h"

bool decision_in_law(const Law *law, const Decision *decision)
{
    const LawTree *tree = law->tree;
    if (tree->jurisdiction == NULL)
        return true; /* a code judged by itself */
    for (uint32_t i = 0; i < tree->level_count; i++)
        if (text_equal(tree->levels[i]->name->text, decision->jurisdiction))
            return true;
    return false;
}

bool decision_names(const Decision *decision, const Section *section)
{
    if (!section_answers(section, decision->section, NULL))
        return false;
    if (decision->code.len > 0 && !text_equal(section->tree->code->name->text, decision->code))
        return false;
    if (decision->part.len == 0)
        return true;
    return section->part != NULL && text_equal(section->part->text, decision->part);
}

static bool names_item(const Decision *decision, const Item *item)
{
    for (const ItemPick *pick = decision->items; pick != NULL; pick = pick->next)
        for (const Item *at = item; at != NULL; at = at->parent)
            if (at->key.len > 0 && text_equal(at->key, pick->name))
                return true;
    return false;
}

bool decision_has_items(const Decision *decision, const Item *const *items, uint32_t item_count)
{
    if (decision->all_items || item_count == 0)
        return true;
    for (uint32_t i = 0; i < item_count; i++)
        if (names_item(decision, items[i]))
            return true;
    return false;
}

static bool speaks_of(const Decision *decision, const Name *label, const Item *const *items,
                      uint32_t item_count)
{
    if (decision->line.len > 0 && (label == NULL || !text_equal(label->text, decision->line)))
        return false;
    return decision_has_items(decision, items, item_count);
}

const Decision *decision_find(Eval *e, DecisionKind kind, const Name *label,
                              const Item *const *items, uint32_t item_count, Day text_from)
{
    const Decision *found = NULL;
    for (uint32_t i = 0; i < e->spec->decision_count; i++) {
        const Decision *decision = &e->spec->decisions[i];
        uint8_t *use = &e->decision_use[i];
        if (decision->kind != kind || !decision_in_law(e->law, decision))
            continue;
        if (!decision_names(decision, e->section))
            continue;
        if (!speaks_of(decision, label, items, item_count))
            continue;
        if (kind == DECISION_VARIANCE && e->section->never_waived) {
            *use |= USE_NEVER;
            continue;
        }
        *use |= USE_MATCHED;
        if (decision->until < e->on)
            *use |= USE_LAPSED;
        else if (decision->from > e->on)
            *use |= USE_EARLY;
        else if (decision->from < text_from)
            *use |= USE_OLD_TEXT;
        else if (found == NULL)
            found = decision;
    }
    return found;
}
