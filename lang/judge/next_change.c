/* Until when does an answer hold? Between two dates on which the law, a variance or a decision
 * changes, only sections that read the review date can answer differently (a tag grows old).
 * Those are judged with the review date as a range of days: an outcome that is definite for the
 * whole range holds on each of its days, otherwise the range is halved. What is open today is
 * not followed: it waits for more than a date. */
#include <stdlib.h>
#include <string.h>

#include "judge/eval.h"

enum { HORIZON_DAYS = 731 };

typedef struct Watch {
    Arena *arena;
    const Library *library;
    const Review *review; /* today's */
    const Law *law;       /* in force from `from` */
    Day *events;          /* ascending */
    uint32_t event_count;
    Day horizon;
} Watch;

/* ---- dates on which law or papers change ---- */

static int day_order(const void *a, const void *b)
{
    const Day *x = a, *y = b;
    return *x < *y ? -1 : *x > *y;
}

static void add_event(Watch *watch, int64_t day)
{
    if (day > watch->review->on && day <= watch->horizon)
        watch->events[watch->event_count++] = (Day)day;
}

static void gather_events(Watch *watch)
{
    const LawTree *tree = watch->review->law->tree;
    const Spec *spec = watch->review->spec;
    watch->events =
        ARENA_ARRAY(watch->arena, Day, tree->event_count + 2 * (size_t)spec->decision_count + 1);
    for (uint32_t i = 0; i < tree->event_count; i++)
        add_event(watch, tree->events[i]);
    for (uint32_t i = 0; i < spec->decision_count; i++) {
        add_event(watch, spec->decisions[i].from);
        add_event(watch, (int64_t)spec->decisions[i].until + 1);
    }
    if (watch->event_count > 0)
        qsort(watch->events, watch->event_count, sizeof *watch->events, day_order);
}

static bool law_changes_on(const Watch *watch, Day day)
{
    const LawTree *tree = watch->review->law->tree;
    for (uint32_t i = 0; i < tree->event_count; i++)
        if (tree->events[i] == day)
            return true;
    return false;
}

/* A section that an ordinance renumbers is still the same. */
static Text number_in_code(const Section *section)
{
    Text former = section->tree->former_number;
    return former.len > 0 ? former : section->number;
}

/* Findings in both reviews, section for section and item for item, with equal outcomes. */
static bool same_outcomes(const Review *a, const Review *b)
{
    if (a->finding_count != b->finding_count)
        return false;
    for (uint32_t i = 0; i < a->finding_count; i++) {
        const Finding *x = &a->findings[i], *y = &b->findings[i];
        if (x->outcome != y->outcome || !finding_same_items(x, y) ||
            !text_equal(number_in_code(x->section), number_in_code(y->section)) ||
            x->section->part != y->section->part ||
            x->section->tree->code != y->section->tree->code)
            return false;
    }
    return true;
}

/* True when a whole review on that day differs; the law in force then is kept. */
static bool differs_on(Watch *watch, Day day)
{
    Diagnostics diags = diagnostics_make(watch->arena);
    if (law_changes_on(watch, day)) {
        const LawTree *today = watch->review->law->tree;
        LawTree *tree =
            today->place != NULL
                ? law_assemble_in(watch->arena, watch->library, today->place, today->jurisdiction,
                                  day, &diags)
                : law_assemble(watch->arena, watch->library, today->jurisdiction, day, &diags);
        if (diags.errors == 0)
            watch->law = law_check(watch->arena, watch->library, tree, false, &diags);
        if (diags.errors > 0)
            return true; /* the file leaves the law open from that day */
    }
    ReviewOptions options = {.on = day, .stage = watch->review->stage};
    return !same_outcomes(watch->review,
                          review_make(watch->arena, watch->law, watch->review->spec, &options));
}

/* ---- dates that grow old ---- */

static bool reads_date(const Section *section)
{
    for (uint32_t i = 0; i < section->atom_count; i++)
        if (section->atoms[i]->reads_review_date)
            return true;
    for (uint32_t t = 0; t < section->text_count; t++)
        for (uint32_t r = 0; r < section->texts[t].reading_count; r++)
            if (section->texts[t].readings[r].reads_review_date)
                return true;
    return false;
}

/* The outcomes of one section for all days from first to last. */
static Findings judge_days(Watch *watch, const Section *section, Day first, Day last)
{
    Findings findings = {0};
    Eval *e = eval_new(watch->arena, watch->law, watch->review->spec, first);
    e->today.range = date_range(first, last);
    if (first != last)
        e->today.waits = waits_word(watch->arena, REASON_STRADDLES, TEXT("the review date"));
    if (e->permit_new)
        e->permit = e->today;
    judge_section(e, section, &findings);
    return findings;
}

/* A definite outcome of today that is not surely the same over the range. */
static bool may_change(const Findings *today, const Findings *then)
{
    for (uint32_t i = 0; i < today->count; i++) {
        const Finding *now = &today->list[i];
        if (!outcome_passes(now->outcome) && now->outcome != OUTCOME_CORRECTION)
            continue;
        bool same = false;
        for (uint32_t j = 0; j < then->count && !same; j++)
            same = finding_same_items(now, &then->list[j]) && now->text == then->list[j].text &&
                   now->outcome == then->list[j].outcome;
        if (!same)
            return true;
    }
    return false;
}

static bool first_change(Watch *watch, const Section *section, const Findings *today, Day first,
                         Day last, Day *found)
{
    Findings then = judge_days(watch, section, first, last);
    if (!may_change(today, &then))
        return false;
    if (first == last) {
        *found = first;
        return true;
    }
    Day middle = first + (last - first) / 2;
    return first_change(watch, section, today, first, middle, found) ||
           first_change(watch, section, today, middle + 1, last, found);
}

/* The first day from first to last on which a section that reads the date answers differently. */
static bool ages_within(Watch *watch, Day first, Day last, Day *found)
{
    bool any = false;
    for (uint32_t i = 0; i < watch->law->section_count && first <= last; i++) {
        const Section *section = &watch->law->sections[i];
        Day day;
        if (!reads_date(section))
            continue;
        Findings today = judge_days(watch, section, first - 1, first - 1);
        if (!first_change(watch, section, &today, first, last, &day))
            continue;
        *found = day;
        last = day - 1; /* only an earlier one still matters */
        any = true;
    }
    return any;
}

bool review_next_change(Arena *arena, const Library *library, const Review *review, Day *day)
{
    if (review->law->tree->jurisdiction == NULL)
        return false;
    Watch watch = {.arena = arena,
                   .library = library,
                   .review = review,
                   .law = review->law,
                   .horizon = review->on + HORIZON_DAYS};
    gather_events(&watch);
    Day from = review->on + 1;
    for (uint32_t i = 0; i <= watch.event_count; i++) {
        Day until = i < watch.event_count ? watch.events[i] - 1 : watch.horizon;
        if (ages_within(&watch, from, until, day))
            return true;
        if (i == watch.event_count)
            break;
        if (differs_on(&watch, watch.events[i])) {
            *day = watch.events[i];
            return true;
        }
        from = watch.events[i] + 1;
    }
    return false;
}
