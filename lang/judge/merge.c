/* A section in all its texts. The permit date in this jurisdiction chooses one; when it is not
 * stated all are judged by cases (meaning.md rules 3 and 7). Readings that nobody chose are all
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

/* Results of one item under several readings that differ: which reading applies is asked, and
 * with it whatever a reading by itself still waits for (meaning.md rules 4 and 14). */
static void readings_differ(Eval *e, Finding *finding)
{
    Text what =
        text_format(e->arena, "which reading of %.*s applies", TEXT_ARG(finding->section->number));
    finding->by_reading = true;
    finding->waits = waits_word(e->arena, REASON_OFFICIAL, what);
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
    if (differ || into->by_reading) {
        readings_differ(e, into);
        return;
    }
    if (outcome_severity(other->outcome) < outcome_severity(into->outcome)) {
        Finding worse = *other;
        worse.readings = into->readings;
        worse.last_reading = into->last_reading;
        worse.waits = into->waits;
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

/* ---- permit dates ---- */

static Value permit_compare(Eval *e, CompareOp op, Day day)
{
    Value limit = value_exact(RATIONAL(day, 1));
    return number_compare(e, op, &e->permit, &limit);
}

static Value in_window(Eval *e, const TextTree *tree)
{
    Value in = value_truth(TRUTH_TRUE, NULL);
    if (tree->permitted_from != INT32_MIN)
        in = permit_compare(e, COMPARE_GREATER_EQUAL, tree->permitted_from);
    if (tree->permitted_before != DAY_FOREVER) {
        Value before = permit_compare(e, COMPARE_LESS, tree->permitted_before);
        in = truth_of_and(e, &in, &before);
    }
    return in;
}

static Value not_exempt(Eval *e, const TextTree *tree)
{
    if (e->permit_new || tree->exempt.kind == PERMIT_ALL)
        return value_truth(TRUTH_TRUE, NULL);
    CompareOp op = tree->exempt.kind == PERMIT_NOT_ON ? COMPARE_LESS_EQUAL : COMPARE_LESS;
    return truth_of_not(permit_compare(e, op, tree->exempt.day));
}

/* What fails only if something unknown holds waits for it, line by line. */
void finding_await(Eval *e, Finding *finding, const Waits *waits)
{
    Part *parts = ARENA_ARRAY(e->arena, Part, finding->part_count + 1);
    for (uint32_t i = 0; i < finding->part_count; i++) {
        parts[i] = finding->parts[i];
        if (outcome_passes(parts[i].outcome))
            continue;
        parts[i].outcome = OUTCOME_INFORMATION_REQUIRED;
        parts[i].waits = waits_join(e->arena, waits, parts[i].waits);
    }
    finding->parts = parts;
    finding->waits = waits_join(e->arena, waits, finding->waits);
    finding->outcome = OUTCOME_INFORMATION_REQUIRED;
}

/* Two texts that may each be the one in force: same class stands, else the date is wanted and
 * the text that does not pass is shown. */
static void merge_cases(Eval *e, Finding *into, const Finding *other)
{
    bool same = class_of(into->outcome) == class_of(other->outcome);
    const Waits *waits = waits_join(e->arena, into->waits, other->waits);
    if (outcome_severity(other->outcome) < outcome_severity(into->outcome))
        *into = *other;
    into->waits = waits;
    if (!same)
        finding_await(e, into, e->permit.waits);
}

/* An item that only one of the texts speaks of: under the other it passes. */
static void merge_alone(Eval *e, Finding *finding)
{
    if (!outcome_passes(finding->outcome))
        finding_await(e, finding, e->permit.waits);
}

static void merge_texts(Eval *e, Findings *merged, Findings *other)
{
    for (uint32_t i = 0; i < merged->count; i++) {
        Finding *finding = &merged->list[i];
        const Finding *same = find_same(other, finding);
        if (same != NULL)
            merge_cases(e, finding, same);
        else if (!finding->nothing_to_judge)
            merge_alone(e, finding);
    }
    uint32_t before = merged->count;
    for (uint32_t i = 0; i < other->count; i++) {
        Findings first = {merged->list, before, before};
        if (other->list[i].nothing_to_judge || find_same(&first, &other->list[i]) != NULL)
            continue;
        Finding *added = findings_add(e->arena, merged);
        *added = other->list[i];
        merge_alone(e, added);
    }
}

/* Whether the permit date falls under any text at all: one made for later units only leaves
 * earlier ones without. */
static Value in_any_window(Eval *e, const Section *section)
{
    Day from = DAY_FOREVER, before = INT32_MIN;
    for (uint32_t i = 0; i < section->text_count; i++) {
        const TextTree *tree = section->texts[i].tree;
        if (tree->floor)
            continue;
        if (tree->permitted_from < from)
            from = tree->permitted_from;
        if (tree->permitted_before > before)
            before = tree->permitted_before;
    }
    TextTree all = {.permitted_from = from, .permitted_before = before};
    return in_window(e, &all);
}

static void judge_main_texts(Eval *e, const Section *section, Findings *merged)
{
    Value covered = in_any_window(e, section);
    bool any = false;
    for (uint32_t i = 0; i < section->text_count; i++) {
        const TextInForce *text = &section->texts[i];
        bool served = in_window(e, text->tree).truth != TRUTH_FALSE;
        if (text->tree->floor || (!served && covered.truth != TRUTH_FALSE))
            continue;
        Value exempt = not_exempt(e, text->tree), applies = truth_of_and(e, &covered, &exempt);
        Findings one = {0};
        judge_readings(e, text, &applies, &one);
        if (any)
            merge_texts(e, merged, &one);
        else
            *merged = one;
        any = true;
        if (covered.truth == TRUTH_FALSE)
            return; /* not applicable, item by item */
    }
}

void judge_section(Eval *e, const Section *section, Findings *out)
{
    e->section = section;
    Findings merged = {0};
    judge_main_texts(e, section, &merged);
    for (uint32_t i = 0; i < section->text_count; i++) {
        const TextInForce *text = &section->texts[i];
        if (!text->tree->floor || in_window(e, text->tree).truth == TRUTH_FALSE)
            continue;
        Value applies = not_exempt(e, text->tree);
        judge_readings(e, text, &applies, &merged);
    }
    for (uint32_t i = 0; i < merged.count; i++) {
        Finding *finding = findings_add(e->arena, out);
        *finding = merged.list[i];
        finding->wanted = waits_flatten(e->arena, finding->waits, &finding->wanted_count);
    }
}
