/* A review: every section in force judged, precedence between sections applied, findings counted
 * and the facts wanted put in order. */
#include <stdlib.h>
#include <string.h>

#include "judge/eval.h"

/* ---- the permit date in this law ---- */

/* The permit of the innermost level that has granted one (meaning.md rule 7). */
static const Permit *permit_of(const Law *law, const Spec *spec)
{
    for (uint32_t level = law->tree->level_count; level-- > 0;) {
        Text name = law->tree->levels[level]->name->text;
        for (uint32_t i = 0; i < spec->permit_count; i++)
            if (text_equal(spec->permits[i].jurisdiction, name))
                return &spec->permits[i];
    }
    if (law->tree->jurisdiction == NULL && spec->permit_count > 0)
        return &spec->permits[0];
    return NULL;
}

static void set_permit(Eval *e)
{
    const Permit *permit = permit_of(e->law, e->spec);
    if (permit != NULL) {
        e->permit = value_exact(RATIONAL(permit->first, 1));
        e->permit.range = date_range(permit->first, permit->last);
        if (permit->first != permit->last)
            e->permit.waits =
                waits_word(e->arena, REASON_STRADDLES, TEXT("the permit's full date"));
    } else if (e->spec->permits_stated) { /* a new unit: as if permitted on the review date */
        e->permit = value_exact(RATIONAL(e->on, 1));
        e->permit_new = true;
    } else {
        e->permit = value_exact(RATIONAL(e->on, 1));
        e->permit.range = range_everything();
        e->permit.waits = waits_word(e->arena, REASON_NOT_STATED,
                                     TEXT("permits (the date of a permit here, or none)"));
    }
}

Eval *eval_new(Arena *arena, const Law *law, const Spec *spec, Day on)
{
    Eval *e = ARENA_NEW(arena, Eval);
    e->arena = arena;
    e->law = law;
    e->spec = spec;
    e->on = on;
    e->today = value_exact(RATIONAL(on, 1));
    e->frame_size = law->max_slots + 1;
    e->frame = ARENA_ARRAY(arena, Value, e->frame_size);
    e->ready = ARENA_ARRAY(arena, uint8_t, e->frame_size);
    e->decision_use = ARENA_ARRAY(arena, uint8_t, spec->decision_count + 1);
    set_permit(e);
    return e;
}

/* ---- precedence ---- */

/* The findings of each section stand together: those of section s are [from[s], from[s + 1]). */
typedef struct Order {
    Eval *e;
    Findings *all;
    const uint32_t *from;
} Order;

static uint32_t index_of(const Order *order, const Section *section)
{
    return (uint32_t)(section - order->e->law->sections);
}

static bool has_item(const Finding *finding, const Item *item)
{
    for (uint32_t i = 0; i < finding->item_count; i++)
        if (finding->items[i] == item)
            return true;
    return false;
}

/* Of what record the section speaks with an item of its: of things, say, where this one is a part. */
static const Record *kind_of(const Finding *finding, uint32_t item)
{
    uint32_t at = 0;
    for (uint32_t i = 0; finding->text != NULL && i < finding->text->each_count; i++) {
        const EachCode *each = &finding->text->eachs[i];
        at += each->pair ? 2 : 1;
        if (item < at && each->list->type.record != NULL)
            return each->list->type.record;
    }
    return finding->items[item]->record;
}

static bool has_kind(const Finding *finding, const Record *record)
{
    for (uint32_t i = 0; i < finding->item_count; i++) {
        const Record *kind = kind_of(finding, i);
        if (kind == record || kind->base == record || record->base == kind)
            return true;
    }
    return false;
}

/* How many items of `a` are among those of `b`, or (`kinds`) of the kind of one of them. */
static uint32_t count_shared(const Finding *a, const Finding *b, bool kinds)
{
    uint32_t count = 0;
    for (uint32_t i = 0; i < a->item_count; i++)
        count += kinds ? has_kind(b, kind_of(a, i)) : has_item(b, a->items[i]);
    return count;
}

/* Do the two speak of the same thing? Of items of the same kinds, when those of one are among those
 * of the other; otherwise always. */
static bool speaks_of_same(const Finding *winner, const Finding *loser)
{
    if (count_shared(winner, loser, true) == 0)
        return true;
    return count_shared(winner, loser, false) == winner->item_count ||
           count_shared(loser, winner, false) == loser->item_count;
}

/* Where `winner` applies to what a finding speaks of. */
static Value winner_applies(const Order *order, const Section *winner, const Finding *loser)
{
    Value any = value_truth(TRUTH_FALSE, NULL);
    uint32_t s = index_of(order, winner);
    for (uint32_t i = order->from[s]; i < order->from[s + 1]; i++) {
        const Finding *finding = &order->all->list[i];
        if (!speaks_of_same(finding, loser))
            continue;
        Value applies = value_truth((Truth)finding->applies, finding->applies_waits);
        any = truth_of_or(order->e, &any, &applies);
    }
    return any;
}

static void mark_silent(Eval *e, Finding *finding)
{
    Part *parts = ARENA_ARRAY(e->arena, Part, finding->part_count + 1);
    for (uint32_t i = 0; i < finding->part_count; i++) {
        parts[i] = finding->parts[i];
        parts[i].outcome = OUTCOME_NOT_APPLICABLE;
    }
    finding->parts = parts;
    finding->outcome = OUTCOME_NOT_APPLICABLE;
    finding->silenced = true;
    finding->waits = NULL;
    finding->wanted_count = 0;
}

static void silence(const Order *order, const Section *winner, Finding *loser)
{
    Eval *e = order->e;
    if (loser->outcome == OUTCOME_NOT_APPLICABLE)
        return;
    Value applies = winner_applies(order, winner, loser);
    if (applies.truth == TRUTH_TRUE) {
        mark_silent(e, loser);
    } else if (applies.truth == TRUTH_UNKNOWN && !outcome_passes(loser->outcome)) {
        finding_await(e, loser, applies.waits);
        loser->wanted = waits_flatten(e->arena, loser->waits, &loser->wanted_count);
    }
}

static void apply_precedence(Eval *e, Findings *all, const uint32_t *from)
{
    Order order = {e, all, from};
    for (uint32_t s = 0; s < e->law->section_count; s++) {
        const Section *winner = &e->law->sections[s];
        for (uint32_t i = 0; i < winner->prevail_count; i++) {
            uint32_t loser = winner->prevails[i];
            for (uint32_t f = from[loser]; f < from[loser + 1]; f++)
                silence(&order, winner, &all->list[f]);
        }
    }
}

/* ---- stages and counts ---- */

static Stage first_stage(const Section *section)
{
    return (Stage)__builtin_ctz(section->stages == 0 ? 1u << STAGE_PLAN : section->stages);
}

static bool is_standing(const ReviewOptions *options, const Section *section)
{
    for (uint32_t i = 0; i < options->standing_count; i++)
        if (section_answers(section, options->standing[i], NULL))
            return true;
    return false;
}

void review_count(Review *review, const Finding *finding)
{
    if (finding->later_stage)
        review->later++;
    else if (finding->section->advises && finding->outcome == OUTCOME_CORRECTION)
        review->advisory++;
    else if (finding->standing)
        review->standing++;
    else
        review->counts[finding->outcome]++;
}

static void count_finding(const ReviewOptions *options, Review *review, Finding *finding)
{
    /* what does not apply is not looked at in the field either */
    finding->later_stage = first_stage(finding->section) > options->stage &&
                           finding->outcome != OUTCOME_NOT_APPLICABLE;
    finding->standing =
        finding->outcome == OUTCOME_OFFICIAL_DECIDES && is_standing(options, finding->section);
    review_count(review, finding);
}

int review_status(const Review *review)
{
    if (review->counts[OUTCOME_CORRECTION] > 0)
        return 1;
    bool open = review->counts[OUTCOME_INFORMATION_REQUIRED] > 0 ||
                review->counts[OUTCOME_OFFICIAL_DECIDES] > 0;
    return open ? 2 : 0;
}

/* ---- facts wanted, most wanted first ---- */

typedef struct Demand {
    Wanted wanted;
    uint32_t count;
    uint32_t order; /* of first appearance */
} Demand;

static int demand_identity(const void *a, const void *b)
{
    const Demand *x = a, *y = b;
    if (x->wanted.item != y->wanted.item)
        return (uintptr_t)x->wanted.item < (uintptr_t)y->wanted.item ? -1 : 1;
    if (x->wanted.field != y->wanted.field)
        return (uintptr_t)x->wanted.field < (uintptr_t)y->wanted.field ? -1 : 1;
    if (x->wanted.reason != y->wanted.reason)
        return x->wanted.reason < y->wanted.reason ? -1 : 1;
    int words = text_order(x->wanted.what, y->wanted.what);
    if (words != 0)
        return words;
    return x->order < y->order ? -1 : x->order > y->order;
}

static int demand_rank(const void *a, const void *b)
{
    const Demand *x = a, *y = b;
    if (x->count != y->count)
        return x->count > y->count ? -1 : 1;
    return x->order < y->order ? -1 : x->order > y->order;
}

static bool demand_same(const Demand *a, const Demand *b)
{
    return a->wanted.item == b->wanted.item && a->wanted.field == b->wanted.field &&
           a->wanted.reason == b->wanted.reason && text_equal(a->wanted.what, b->wanted.what);
}

static void gather_wanted(Arena *arena, Review *review)
{
    uint32_t total = 0, kept = 0;
    for (uint32_t i = 0; i < review->finding_count; i++)
        total += review->findings[i].wanted_count;
    if (total == 0)
        return;
    Demand *demands = ARENA_ARRAY(arena, Demand, total);
    uint32_t order = 0;
    for (uint32_t i = 0; i < review->finding_count; i++)
        for (uint32_t j = 0; j < review->findings[i].wanted_count; j++, order++)
            demands[order] = (Demand){review->findings[i].wanted[j], 1, order};
    qsort(demands, total, sizeof *demands, demand_identity);
    for (uint32_t i = 0; i < total; i++) {
        if (kept > 0 && demand_same(&demands[kept - 1], &demands[i]))
            demands[kept - 1].count++;
        else
            demands[kept++] = demands[i];
    }
    qsort(demands, kept, sizeof *demands, demand_rank);
    Wanted *wanted = ARENA_ARRAY(arena, Wanted, kept);
    uint32_t *counts = ARENA_ARRAY(arena, uint32_t, kept);
    for (uint32_t i = 0; i < kept; i++) {
        wanted[i] = demands[i].wanted;
        counts[i] = demands[i].count;
    }
    review->wanted = wanted;
    review->wanted_by = counts;
    review->wanted_count = kept;
}

/* ---- the review ---- */

Review *review_make(Arena *arena, const Law *law, const Spec *spec, const ReviewOptions *options)
{
    Review *review = ARENA_NEW(arena, Review);
    review->spec = spec;
    review->law = law;
    review->on = options->on;
    review->stage = options->stage;
    Eval *e = eval_new(arena, law, spec, options->on);
    Findings all = {0};
    uint32_t *from = ARENA_ARRAY(arena, uint32_t, law->section_count + 1);
    for (uint32_t i = 0; i < law->section_count; i++) {
        judge_section(e, &law->sections[i], &all);
        from[i + 1] = all.count;
    }
    apply_precedence(e, &all, from);
    review->held = holdings_held(e);
    for (uint32_t i = 0; i < all.count; i++)
        count_finding(options, review, &all.list[i]);
    review->overflow = e->overflow;
    review->findings = all.list;
    review->finding_count = all.count;
    gather_wanted(arena, review);
    review_cautions(e, review);
    return review;
}
