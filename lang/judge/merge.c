/* A section in all its texts. The permit date in this jurisdiction and the conditions on units
 * choose one (stand.c); where it is not known which, those that may stand are judged by cases
 * (meaning.md rules 3 and 7). Readings that nobody chose are all
 * judged and differ openly (rule 14). A text kept as a floor is judged beside the local one
 * (rule 20). */
#include <string.h>

#include "judge/eval.h"

bool finding_same_items(const Finding *a, const Finding *b)
{
    if (a->item_count != b->item_count)
        return false;
    if ((a->list_field != NULL || b->list_field != NULL) &&
        (a->list_field != b->list_field || a->list_item != b->list_item))
        return false;
    return memcmp(a->items, b->items, a->item_count * sizeof(const Item *)) == 0;
}

static Finding *find_same(Findings *findings, const Finding *like)
{
    for (uint32_t i = 0; i < findings->count; i++)
        if (finding_same_items(&findings->list[i], like))
            return &findings->list[i];
    return NULL;
}

typedef enum Class { CLASS_PASS, CLASS_FAIL, CLASS_OPEN } Class;

static Class class_of(uint8_t outcome)
{
    if (outcome_passes(outcome))
        return CLASS_PASS;
    return outcome == OUTCOME_CORRECTION ? CLASS_FAIL : CLASS_OPEN;
}

/* Whether it applies, when it is not known which of two findings stands. */
static void merge_applies(Eval *e, Finding *into, const Finding *a, const Finding *b,
                          const Waits *which)
{
    const Waits *waits = a->applies == TRUTH_UNKNOWN ? a->applies_waits : NULL;
    if (b->applies == TRUTH_UNKNOWN)
        waits = waits_join(e->arena, waits, b->applies_waits);
    bool same = a->applies == b->applies;
    into->applies = same ? a->applies : (uint8_t)TRUTH_UNKNOWN;
    into->applies_waits = same ? waits : waits_join(e->arena, which, waits);
}

/* ---- readings ---- */

/* Appends a result to the chain of readings of a finding. */
static void add_reading(Eval *e, Finding *finding, const Finding *result)
{
    Finding *kept = ARENA_NEW(e->arena, Finding);
    *kept = *result;
    kept->readings = kept->next_reading = NULL;
    if (finding->last_reading == NULL)
        finding->readings = kept;
    else
        finding->last_reading->next_reading = kept;
    finding->last_reading = kept;
}

static const Waits *which_reading(Eval *e, const Finding *finding)
{
    Text what =
        text_format(e->arena, "which reading of %.*s applies", TEXT_ARG(finding->section->number));
    return waits_word(e->arena, REASON_OFFICIAL, what);
}

/* Results of one item under several readings that differ: which reading applies is asked, and
 * with it whatever a reading by itself still waits for (meaning.md rules 4 and 14). */
static void readings_differ(Eval *e, Finding *finding)
{
    finding->by_reading = true;
    finding->waits = which_reading(e, finding);
    for (const Finding *one = finding->readings; one != NULL; one = one->next_reading)
        if (class_of(one->outcome) == CLASS_OPEN)
            finding->waits = waits_join(e->arena, finding->waits, one->waits);
    finding->outcome = waits_only_official(finding->waits) ? OUTCOME_OFFICIAL_DECIDES
                                                           : OUTCOME_INFORMATION_REQUIRED;
}

static void merge_readings(Eval *e, Finding *into, const Finding *other)
{
    bool differ = class_of(into->outcome) != class_of(other->outcome);
    if (into->readings == NULL)
        add_reading(e, into, into);
    add_reading(e, into, other);
    if (into->applies != other->applies)
        merge_applies(e, into, into, other, which_reading(e, into));
    if (differ || into->by_reading) {
        readings_differ(e, into);
        return;
    }
    if (outcome_severity(other->outcome) < outcome_severity(into->outcome)) {
        Finding worse = *other;
        worse.readings = into->readings;
        worse.last_reading = into->last_reading;
        worse.waits = into->waits;
        worse.applies = into->applies;
        worse.applies_waits = into->applies_waits;
        *into = worse;
    }
    into->waits = waits_join(e->arena, into->waits, other->waits);
}

/* An item that only some of the readings speak of passes under the others. */
static void one_reading_alone(Eval *e, Finding *finding)
{
    if (outcome_passes(finding->outcome) || finding->by_reading)
        return;
    if (finding->readings == NULL)
        add_reading(e, finding, finding);
    readings_differ(e, finding);
}

static void merge_reading(Eval *e, Findings *merged, Findings *other)
{
    if (merged->count == 1 && merged->list[0].nothing_to_judge)
        merged->count = 0;
    for (uint32_t i = 0; i < merged->count; i++)
        if (find_same(other, &merged->list[i]) == NULL)
            one_reading_alone(e, &merged->list[i]);
    for (uint32_t i = 0; i < other->count; i++) {
        Finding *into = find_same(merged, &other->list[i]);
        if (into != NULL) {
            merge_readings(e, into, &other->list[i]);
        } else if (!other->list[i].nothing_to_judge || merged->count == 0) {
            Finding *added = findings_add(e->arena, merged);
            *added = other->list[i];
            one_reading_alone(e, added);
        }
    }
}

static void judge_readings(Eval *e, const TextInForce *text, const Value *applies, Findings *out)
{
    Findings merged = {0};
    judge_text(e, &text->readings[0], text->tree, applies, &merged);
    for (uint32_t r = 1; r < text->reading_count; r++) {
        Findings other = {0};
        judge_text(e, &text->readings[r], text->tree, applies, &other);
        merge_reading(e, &merged, &other);
    }
    for (uint32_t i = 0; i < merged.count; i++)
        *findings_add(e->arena, out) = merged.list[i];
}

/* ---- cases ---- */

static uint8_t open_outcome(const Waits *waits)
{
    return waits_only_official(waits) ? OUTCOME_OFFICIAL_DECIDES : OUTCOME_INFORMATION_REQUIRED;
}

/* What fails only if something unknown holds waits for it, line by line. */
void finding_await(Eval *e, Finding *finding, const Waits *waits)
{
    Part *parts = ARENA_ARRAY(e->arena, Part, finding->part_count + 1);
    for (uint32_t i = 0; i < finding->part_count; i++) {
        parts[i] = finding->parts[i];
        if (outcome_passes(parts[i].outcome))
            continue;
        parts[i].waits = waits_join(e->arena, waits, parts[i].waits);
        parts[i].outcome = open_outcome(parts[i].waits);
    }
    finding->parts = parts;
    finding->waits = waits_join(e->arena, waits, finding->waits);
    finding->outcome = open_outcome(finding->waits);
}

static const Part *only_measure(const Finding *finding)
{
    return finding->part_count == 1 && finding->parts[0].has_measure ? finding->parts : NULL;
}

/* Of two texts of one class the stricter limit is shown on a pass, the laxer on a failure. */
static bool shows_better(const Finding *finding, const Finding *other)
{
    const Part *part = only_measure(finding), *rival = only_measure(other);
    if (part == NULL || rival == NULL || finding->outcome != other->outcome ||
        part->line->compare != rival->line->compare ||
        part->line->negated != rival->line->negated || part->limit.kind != VALUE_RANGE ||
        rival->limit.kind != VALUE_RANGE || !range_is_exact(&part->limit.range) ||
        !range_is_exact(&rival->limit.range))
        return false;
    bool upper = part->line->compare == COMPARE_LESS || part->line->compare == COMPARE_LESS_EQUAL;
    if (part->line->compare == COMPARE_EQUAL || part->line->compare == COMPARE_NOT_EQUAL)
        return false;
    if (part->line->negated)
        upper = !upper;
    int order = rational_order(rival->limit.range.low, part->limit.range.low);
    bool laxer = upper ? order > 0 : order < 0;
    return order != 0 && laxer == (finding->outcome == OUTCOME_CORRECTION);
}

/* Two texts that may each be the one in force: the same class stands, else what chooses between
 * them is wanted, and the text that does not pass is shown. */
static void merge_cases(Eval *e, Finding *into, const Finding *other, const Waits *which)
{
    Class class = class_of(into->outcome);
    bool same = class == class_of(other->outcome) && class != CLASS_OPEN;
    const Finding before = *into;
    int order = outcome_severity(other->outcome) - outcome_severity(into->outcome);
    if (order < 0 || (order == 0 && shows_better(into, other)))
        *into = *other;
    into->waits = waits_join(e->arena, before.waits, other->waits);
    merge_applies(e, into, &before, other, which);
    if (!same && which != NULL)
        finding_await(e, into, which);
}

/* An item that only one of the texts speaks of: under the other it passes. */
static void merge_alone(Eval *e, Finding *finding, const Waits *which)
{
    const Finding other = {.applies = TRUTH_FALSE};
    merge_applies(e, finding, finding, &other, which);
    if (!outcome_passes(finding->outcome) && which != NULL)
        finding_await(e, finding, which);
}

static void merge_texts(Eval *e, Findings *merged, Findings *other, const Waits *which)
{
    for (uint32_t i = 0; i < merged->count; i++) {
        Finding *finding = &merged->list[i];
        const Finding *same = find_same(other, finding);
        if (same != NULL)
            merge_cases(e, finding, same, which);
        else if (!finding->nothing_to_judge)
            merge_alone(e, finding, which);
    }
    uint32_t before = merged->count;
    for (uint32_t i = 0; i < other->count; i++) {
        Findings first = {merged->list, before, before};
        if (other->list[i].nothing_to_judge || find_same(&first, &other->list[i]) != NULL)
            continue;
        Finding *added = findings_add(e->arena, merged);
        *added = other->list[i];
        merge_alone(e, added, which);
    }
}

/* ---- a section ---- */

/* A permit date that is not known lies in the window of a text that is judged as if it stood. */
static void narrow_permit(Eval *e, const TextTree *tree)
{
    Range window = range_everything(), met;
    if (tree->permitted_from != INT32_MIN) {
        window.low = RATIONAL(tree->permitted_from, 1);
        window.flags &= (uint8_t)~RANGE_NO_LOW;
    }
    if (tree->permitted_before != DAY_FOREVER) {
        window.high = RATIONAL(tree->permitted_before - 1, 1);
        window.flags &= (uint8_t)~RANGE_NO_HIGH;
    }
    if (!range_is_exact(&e->permit.range) && range_meet(e->arena, &e->permit.range, &window, &met))
        e->permit.range = met;
}

static void judge_case(Eval *e, const TextInForce *text, const Value *covered, Findings *out)
{
    const Value permit = e->permit;
    const TextTree *tree = text->tree;
    narrow_permit(e, tree);
    Value exempt = text_not_exempt(e, tree), applies = truth_of_and(e, covered, &exempt);
    judge_readings(e, text, &applies, out);
    e->permit = permit;
}
static void judge_excluded(Eval *e, const Section *section, const Stands *stands, Findings *out)
{
    judge_readings(e, &section->texts[stands->shown], &stands->covered, out);
    for (uint32_t i = 0; i < out->count; i++)
        out->list[i].outside = stands->outside;
}

/* The texts that are no floors, or the floors: those that may stand, by cases. */
static void judge_group(Eval *e, const Section *section, bool floor, Findings *merged)
{
    Stands stands;
    section_stands(e, section, floor, &stands);
    if (stands.covered.truth == TRUTH_FALSE) {
        if (!floor && stands.shown != UINT32_MAX)
            judge_excluded(e, section, &stands, merged); /* not applicable, item by item */
        return;
    }
    bool any = false;
    for (uint32_t i = 0; i < section->text_count; i++) {
        const TextInForce *text = &section->texts[i];
        if (text->tree->floor != floor || stands.texts[i].truth == TRUTH_FALSE)
            continue;
        Findings one = {0};
        judge_case(e, text, &stands.covered, &one);
        if (any)
            merge_texts(e, merged, &one, stands.waits);
        else
            *merged = one;
        any = true;
    }
}

static bool has_floor(const Section *section)
{
    for (uint32_t i = 0; i < section->text_count; i++)
        if (section->texts[i].tree->floor)
            return true;
    return false;
}

void judge_section(Eval *e, const Section *section, Findings *out)
{
    e->section = section;
    Findings groups[2] = {{0}, {0}};
    judge_group(e, section, false, &groups[0]);
    if (has_floor(section))
        judge_group(e, section, true, &groups[1]);
    for (int g = 0; g < 2; g++) {
        for (uint32_t i = 0; i < groups[g].count; i++) {
            Finding *finding = findings_add(e->arena, out);
            *finding = groups[g].list[i];
            finding->wanted = waits_flatten(e->arena, finding->waits, &finding->wanted_count);
        }
    }
}
