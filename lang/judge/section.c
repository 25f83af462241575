/* One text of a section: its items, one finding for each tuple of them. Nothing to judge is not
 * a pass in silence, and a list that is not stated is one finding at the list (meaning.md 5). */
#include <string.h>

#include "judge/eval.h"

Finding *findings_add(Arena *arena, Findings *findings)
{
    if (findings->count == findings->cap) {
        uint32_t cap = findings->cap == 0 ? 1 : findings->cap * 2; /* most sections give one */
        Finding *grown = ARENA_ARRAY(arena, Finding, cap);
        if (findings->count > 0)
            memcpy(grown, findings->list, findings->count * sizeof *grown);
        findings->list = grown;
        findings->cap = cap;
    }
    Finding *finding = &findings->list[findings->count++];
    memset(finding, 0, sizeof *finding);
    return finding;
}

bool outcome_passes(uint8_t outcome)
{
    return outcome == OUTCOME_COMPLIES || outcome == OUTCOME_EXCUSED ||
           outcome == OUTCOME_NOT_APPLICABLE;
}

int outcome_severity(Outcome outcome)
{
    switch (outcome) {
    case OUTCOME_CORRECTION: return 0;
    case OUTCOME_INFORMATION_REQUIRED: return 1;
    case OUTCOME_OFFICIAL_DECIDES: return 2;
    case OUTCOME_COMPLIES: return 3;
    case OUTCOME_EXCUSED: return 4;
    case OUTCOME_NOT_APPLICABLE: break;
    }
    return 5;
}

void finding_conclude(Eval *e, Finding *finding)
{
    finding->outcome = OUTCOME_NOT_APPLICABLE;
    for (uint32_t i = 0; i < finding->part_count; i++) {
        const Part *part = &finding->parts[i];
        if (outcome_severity(part->outcome) < outcome_severity(finding->outcome))
            finding->outcome = part->outcome;
        if (!outcome_passes(part->outcome) && part->outcome != OUTCOME_CORRECTION)
            finding->waits = waits_join(e->arena, finding->waits, part->waits);
    }
}

typedef struct Walk {
    Eval *e;
    const SectionText *text;
    const TextTree *tree;
    Findings *out;
    Tuple tuple;
    uint32_t made; /* findings so far */
} Walk;

static Finding *walk_finding(Walk *walk, const Tuple *tuple)
{
    Finding *finding = findings_add(walk->e->arena, walk->out);
    finding->section = walk->e->section;
    finding->text = walk->text;
    finding->tree = walk->tree;
    finding->floor = walk->tree->floor;
    memcpy(finding->items, tuple->items, sizeof finding->items);
    finding->item_count = tuple->count;
    finding->applies = tuple->applies.truth;
    finding->applies_waits = tuple->applies.waits;
    walk->made++;
    return finding;
}

static Value with_whens(Walk *walk, Value applies)
{
    for (uint32_t i = 0; i < walk->text->when_count && applies.truth != TRUTH_FALSE; i++) {
        Value when = eval_truth(walk->e, walk->text->whens[i]);
        applies = truth_of_and(walk->e, &applies, &when);
    }
    return applies;
}

static void judge_tuple(Walk *walk)
{
    Tuple tuple = walk->tuple;
    tuple.applies = with_whens(walk, tuple.applies);
    Finding *finding = walk_finding(walk, &tuple);
    judge_lines(walk->e, walk->text, walk->tree, &tuple, finding);
}

static void walk_each(Walk *walk, uint32_t level);

static void bind_member(Walk *walk, uint32_t slot, const Member *member)
{
    walk->e->frame[slot] = value_item(member->item);
    if (walk->tuple.count < FINDING_ITEMS_MAX)
        walk->tuple.items[walk->tuple.count++] = member->item;
    if (member->doubt == NULL)
        return;
    Value doubt = value_truth(TRUTH_UNKNOWN, member->doubt);
    walk->tuple.applies = truth_of_and(walk->e, &walk->tuple.applies, &doubt);
}

/* Binds one item (or a pair), joins its membership and `where`, goes on to the next level. */
static void walk_bind(Walk *walk, uint32_t level, const Member *a, const Member *b)
{
    Eval *e = walk->e;
    const EachCode *each = &walk->text->eachs[level];
    Tuple before = walk->tuple;
    bind_member(walk, each->slot_a, a);
    if (b != NULL)
        bind_member(walk, each->slot_b, b);
    eval_reset(e);
    Value where = value_truth(TRUTH_TRUE, NULL);
    if (each->where != NULL)
        where = eval_truth(e, each->where);
    if (where.truth != TRUTH_FALSE) {
        walk->tuple.applies = truth_of_and(e, &walk->tuple.applies, &where);
        walk_each(walk, level + 1);
    }
    walk->tuple = before;
}

/* One finding for all the items that a list may still have: it stands at the list. */
static void walk_open(Walk *walk, uint32_t level, const Value *list)
{
    Eval *e = walk->e;
    const EachCode *each = &walk->text->eachs[level];
    Tuple tuple = walk->tuple;
    Value further = value_truth(TRUTH_UNKNOWN, list->list->waits);
    tuple.applies = truth_of_and(e, &tuple.applies, &further);
    const Item *item = phantom_item(e, NULL, NULL, list->list->record);
    e->frame[each->slot_a] = value_item(item);
    if (each->pair)
        e->frame[each->slot_b] = value_item(item);
    for (uint32_t i = level + 1; i < walk->text->each_count; i++) {
        const EachCode *inner = &walk->text->eachs[i]; /* unknown too, for the conditions */
        const Item *unknown = phantom_item(e, NULL, NULL, inner->list->type.record);
        e->frame[inner->slot_a] = value_item(unknown);
        if (inner->pair)
            e->frame[inner->slot_b] = value_item(unknown);
    }
    eval_reset(e);
    Value applies = with_whens(walk, tuple.applies);
    tuple.applies = applies;
    Finding *finding = walk_finding(walk, &tuple);
    finding->outcome =
        applies.truth == TRUTH_FALSE ? OUTCOME_NOT_APPLICABLE : OUTCOME_INFORMATION_REQUIRED;
    if (applies.truth == TRUTH_UNKNOWN)
        finding->waits = list->list->waits;
    const Waits *leaf = list->list->waits;
    while (leaf != NULL && leaf->left != NULL)
        leaf = leaf->left;
    if (leaf == NULL)
        return;
    finding->list_item = leaf->item;
    finding->list_field = leaf->field;
}

static bool is_full(Walk *walk)
{
    if (walk->made < FINDINGS_MAX)
        return false;
    walk->e->overflow = walk->e->section;
    return true;
}

static void walk_each(Walk *walk, uint32_t level)
{
    if (level == walk->text->each_count) {
        judge_tuple(walk);
        return;
    }
    const EachCode *each = &walk->text->eachs[level];
    Value list;
    eval(walk->e, each->list, &list);
    if ((list.can & CAN_BE_PRESENT) == 0)
        return;
    const List *members = list.list;
    for (uint32_t i = 0; i < members->count && !is_full(walk); i++) {
        if (!each->pair)
            walk_bind(walk, level, &members->members[i], NULL);
        for (uint32_t j = i + 1; each->pair && j < members->count && !is_full(walk); j++)
            walk_bind(walk, level, &members->members[i], &members->members[j]);
    }
    if (members->open)
        walk_open(walk, level, &list);
}

void judge_text(Eval *e, const SectionText *text, const TextTree *tree, const Value *applies,
                Findings *out)
{
    Walk walk = {.e = e, .text = text, .tree = tree, .out = out};
    walk.tuple.applies = *applies;
    eval_reset(e);
    walk_each(&walk, 0);
    if (walk.made > 0)
        return;
    Finding *finding = walk_finding(&walk, &walk.tuple);
    finding->outcome = OUTCOME_NOT_APPLICABLE;
    finding->applies = TRUTH_FALSE;
    finding->nothing_to_judge = true;
}
