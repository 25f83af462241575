/* The lines of a section for one tuple of items: requirement, absence, exceptions, variances,
 * discretion. One formula gives every outcome (meaning.md rule 2):
 *
 *     violated = applies and not satisfied,   satisfied = requirement or excused
 *
 * Exceptions are folded from the last to the first, so that the first whose condition is true
 * governs; a condition that is unknown is judged by cases (rules 3 and 12). */
#include "judge/eval.h"

/* A line, evaluated by itself. */
typedef struct Judged {
    const Line *line;
    const Name *label; /* its own, or that of the one line in whose place it stands */
    Value requirement; /* absence included: with `required`, present and so */
    Value provided;    /* with `if provided`: whether it is; else true */
    Value measured, limit;
    bool has_measure;
    bool absent;
    const Decision *decision;
} Judged;

typedef struct Lines {
    Eval *e;
    const SectionText *text;
    const Tuple *tuple;
    Day text_from;
    Finding *finding;
    Part *parts;
    Value *conditions; /* by exception */
    bool *emitted;     /* by exception: its own lines stand among the parts */
} Lines;

/* ---- one line ---- */

static Value all_present(Eval *e, const Line *line, bool *absent)
{
    Value present = value_truth(TRUTH_TRUE, NULL);
    for (uint32_t i = 0; i < line->maybe_none_count; i++) {
        Value path;
        eval(e, line->maybe_none[i], &path);
        Truth truth = (path.can & CAN_BE_NONE) == 0 ? TRUTH_TRUE
                      : path.can == CAN_BE_NONE     ? TRUTH_FALSE
                                                    : TRUTH_UNKNOWN;
        if (truth == TRUTH_FALSE)
            *absent = true;
        Value there = value_truth(truth, truth == TRUTH_UNKNOWN ? path.waits : NULL);
        present = truth_of_and(e, &present, &there);
    }
    return present;
}

static void judge_discretion(Lines *l, const Line *line, Judged *out)
{
    Eval *e = l->e;
    const Tuple *tuple = l->tuple;
    const Decision *refused =
        decision_find(e, DECISION_REFUSED, line->label, tuple->items, tuple->count, l->text_from);
    const Decision *approved =
        decision_find(e, DECISION_APPROVED, line->label, tuple->items, tuple->count, l->text_from);
    out->decision = refused != NULL ? refused : approved;
    if (refused != NULL) {
        out->requirement = value_truth(TRUTH_FALSE, NULL);
    } else if (approved != NULL) {
        out->requirement = value_truth(TRUTH_TRUE, NULL);
    } else {
        Text what =
            text_format(e->arena, "%.*s: %.*s", TEXT_ARG(line->official), TEXT_ARG(line->what));
        out->requirement = value_truth(TRUTH_UNKNOWN, waits_word(e->arena, REASON_OFFICIAL, what));
    }
}

static Judged judge_line(Lines *l, const Line *line)
{
    Eval *e = l->e;
    Judged out = {.line = line, .label = line->label, .provided = value_truth(TRUTH_TRUE, NULL)};
    if (line->discretion) {
        judge_discretion(l, line, &out);
        return out;
    }
    Value present = value_truth(TRUTH_TRUE, NULL);
    bool answered = line->absence == ABSENCE_IF_PROVIDED || line->absence == ABSENCE_REQUIRED;
    if (answered)
        present = all_present(e, line, &out.absent);
    bool before = e->assume_present;
    e->assume_present = answered;
    if (line->measured != NULL) {
        eval(e, line->measured, &out.measured);
        eval(e, line->limit, &out.limit);
        out.has_measure = true;
        out.requirement = compare_values(e, (CompareOp)line->compare, &out.measured, &out.limit);
    } else {
        out.requirement = eval_truth(e, line->requirement);
    }
    e->assume_present = before;
    if (line->negated)
        out.requirement = truth_of_not(out.requirement);
    if (line->absence == ABSENCE_REQUIRED)
        out.requirement = truth_of_and(e, &present, &out.requirement);
    else if (answered)
        out.provided = present;
    return out;
}

/* A line within an exception: one that is not provided asks for nothing. */
static Value judged_holds(Eval *e, const Judged *judged)
{
    Value missing = truth_of_not(judged->provided);
    return truth_of_or(e, &missing, &judged->requirement);
}

/* ---- exceptions ---- */

static Value exception_condition(Lines *l, const Exception *exception)
{
    Eval *e = l->e;
    Value condition = value_truth(TRUTH_TRUE, NULL);
    if (exception->by_approval) {
        Text text = exception->approval;
        Code approval = {.op = CODE_APPROVAL, .text = &text};
        condition = eval_truth(e, &approval);
    }
    if (exception->condition != NULL && condition.truth != TRUTH_FALSE) {
        Value where = eval_truth(e, exception->condition);
        condition = truth_of_and(e, &condition, &where);
    }
    for (uint32_t i = 0; i < exception->unless_count && condition.truth != TRUTH_FALSE; i++) {
        Value unless = truth_of_not(eval_truth(e, exception->unless[i]));
        condition = truth_of_and(e, &condition, &unless);
    }
    return condition;
}

static bool covers(const Exception *exception, uint32_t line)
{
    return (exception->covers >> (line < 64 ? line : 63) & 1) != 0;
}

/* The exception that surely governs a line; NULL when none does, or it is not known. */
static const Exception *governing(const Lines *l, uint32_t line)
{
    for (uint32_t i = 0; i < l->text->exception_count; i++) {
        if (!covers(&l->text->exceptions[i], line))
            continue;
        if (l->conditions[i].truth == TRUTH_TRUE)
            return &l->text->exceptions[i];
        if (l->conditions[i].truth == TRUTH_UNKNOWN)
            return NULL;
    }
    return NULL;
}

/* ---- variances ---- */

/* A variance in force for a line, and whether it excuses what was measured. */
static Value variance_of(Lines *l, const Judged *judged, const Decision **decision)
{
    Eval *e = l->e;
    Value no = value_truth(TRUTH_FALSE, NULL);
    const Decision *variance = decision_find(e, DECISION_VARIANCE, judged->label, l->tuple->items,
                                             l->tuple->count, l->text_from);
    if (variance == NULL)
        return no;
    *decision = variance;
    if (!variance->has_limit)
        return value_truth(TRUTH_TRUE, NULL);
    if (!judged->has_measure)
        return no;
    Value within =
        compare_values(e, (CompareOp)judged->line->compare, &judged->measured, &variance->limit);
    return judged->line->negated ? truth_of_not(within) : within;
}

/* ---- parts ---- */

static void part_label(Eval *e, Part *part, const Value *applies, const Value *requirement,
                       const Value *satisfied)
{
    Value unsatisfied = truth_of_not(*satisfied);
    Value violated = truth_of_and(e, applies, &unsatisfied);
    part->satisfied = satisfied->truth;
    if (violated.truth == TRUTH_TRUE) {
        part->outcome = OUTCOME_CORRECTION;
        part->bounds = violated.waits;
    } else if (violated.truth == TRUTH_UNKNOWN) {
        part->waits = violated.waits;
        part->outcome = waits_only_official(violated.waits) ? OUTCOME_OFFICIAL_DECIDES
                                                            : OUTCOME_INFORMATION_REQUIRED;
    } else {
        part->bounds = violated.waits;
        part->outcome = applies->truth == TRUTH_FALSE      ? OUTCOME_NOT_APPLICABLE
                        : requirement->truth == TRUTH_TRUE ? OUTCOME_COMPLIES
                                                           : OUTCOME_EXCUSED;
        part->applies_unsure = applies->truth == TRUTH_UNKNOWN;
    }
}

static Part *part_add(Lines *l, const Judged *judged)
{
    Part *part = &l->parts[l->finding->part_count++];
    *part = (Part){.line = judged->line,
                   .has_measure = judged->has_measure,
                   .measured = judged->measured,
                   .limit = judged->limit,
                   .absent = judged->absent && judged->line->absence == ABSENCE_REQUIRED,
                   .decision = judged->decision};
    return part;
}

static void part_conclude(Lines *l, Part *part, const Judged *judged, const Value *requirement,
                          const Value *satisfied)
{
    Eval *e = l->e;
    const Decision *variance = NULL;
    Value excused = variance_of(l, judged, &variance);
    Value holds = truth_of_or(e, satisfied, &excused);
    Value applies = truth_of_and(e, &l->tuple->applies, &judged->provided);
    part_label(e, part, &applies, requirement, &holds);
    if (variance == NULL)
        return;
    if (satisfied->truth != TRUTH_TRUE) {
        part->decision = variance;
        e->decision_use[variance - e->spec->decisions] |= USE_NEEDED;
    }
}

/* The lines of a substituting exception that surely governs, once for all that it covers. */
static void emit_substitutes(Lines *l, const Exception *exception, const Line *covered)
{
    uint32_t index = (uint32_t)(exception - l->text->exceptions);
    if (l->emitted == NULL || l->emitted[index])
        return;
    l->emitted[index] = true;
    for (uint32_t i = 0; i < exception->line_count; i++) {
        Judged judged = judge_line(l, &exception->lines[i]);
        if (judged.label == NULL)
            judged.label = covered->label;
        Part *part = part_add(l, &judged);
        part->exception = exception;
        part_conclude(l, part, &judged, &judged.requirement, &judged.requirement);
    }
}

/* Of two limits of one comparison: the laxer when the line fails, the stricter when it passes. */
static void show_limit(Part *part, const Judged *other, bool lax)
{
    if (!part->has_measure || !other->has_measure || other->line->compare != part->line->compare ||
        other->limit.kind != VALUE_RANGE || !range_is_exact(&part->limit.range) ||
        !range_is_exact(&other->limit.range))
        return;
    bool upper = part->line->compare == COMPARE_LESS || part->line->compare == COMPARE_LESS_EQUAL;
    if (part->line->negated)
        upper = !upper;
    int order = rational_order(other->limit.range.low, part->limit.range.low);
    if (lax == (upper ? order > 0 : order < 0) && order != 0) {
        part->limit = other->limit;
        part->measured = other->measured;
    }
}

/* May other lines stand in the place of this one? */
static bool may_be_replaced(const Lines *l, uint32_t index)
{
    for (uint32_t i = 0; i < l->text->exception_count; i++) {
        const Exception *exception = &l->text->exceptions[i];
        if (exception->line_count > 0 && covers(exception, index) &&
            l->conditions[i].truth != TRUTH_FALSE)
            return true;
    }
    return false;
}

static void judge_folded(Lines *l, uint32_t index, const Exception *governs)
{
    Eval *e = l->e;
    const Value yes = value_truth(TRUTH_TRUE, NULL);
    Judged base = judge_line(l, &l->text->lines[index]);
    if (may_be_replaced(l, index)) { /* what is not provided excuses this line, not the others */
        base.requirement = judged_holds(e, &base);
        base.provided = yes;
    }
    Value requirement = base.requirement, satisfied = base.requirement;
    Part *part = part_add(l, &base);
    Judged *cases = ARENA_ARRAY(e->arena, Judged, l->text->exception_count + 1);
    uint32_t case_count = 0;
    for (uint32_t k = l->text->exception_count; k-- > 0;) {
        const Exception *exception = &l->text->exceptions[k];
        const Value *condition = &l->conditions[k];
        if (!covers(exception, index) || condition->truth == TRUTH_FALSE)
            continue;
        Value instead = base.requirement, holds = yes;
        if (exception->line_count > 0) {
            instead = yes;
            for (uint32_t i = 0; i < exception->line_count; i++) {
                Judged judged = judge_line(l, &exception->lines[i]);
                Value one = judged_holds(e, &judged);
                instead = truth_of_and(e, &instead, &one);
                cases[case_count] = judged;
            }
            if (exception->line_count == 1)
                case_count++;
            holds = instead;
        }
        requirement = truth_of_choice(e, condition, &instead, &requirement);
        satisfied = truth_of_choice(e, condition, &holds, &satisfied);
    }
    part_conclude(l, part, &base, &requirement, &satisfied);
    if (part->outcome == OUTCOME_EXCUSED && part->decision == NULL)
        part->exception = governs;
    for (uint32_t i = 0; i < case_count; i++)
        if (part->outcome == OUTCOME_CORRECTION || part->outcome == OUTCOME_COMPLIES)
            show_limit(part, &cases[i], part->outcome == OUTCOME_CORRECTION);
}

static uint32_t parts_needed(const SectionText *text)
{
    uint32_t count = text->line_count;
    for (uint32_t i = 0; i < text->exception_count; i++)
        count += text->exceptions[i].line_count;
    return count;
}

void judge_lines(Eval *e, const SectionText *text, const TextTree *tree, const Tuple *tuple,
                 Finding *finding)
{
    Lines l = {.e = e, .text = text, .tuple = tuple, .finding = finding, .text_from = INT32_MIN};
    uint32_t last = tree->chain_count;
    while (last > 0 && tree->chain[last - 1].verb == LINK_RENUMBERED)
        last--; /* a new number is no new text */
    if (last > 0)
        l.text_from = tree->chain[last - 1].from;
    l.parts = ARENA_ARRAY(e->arena, Part, parts_needed(text) + 1);
    finding->parts = l.parts;
    if (text->exception_count > 0) {
        l.conditions = ARENA_ARRAY(e->arena, Value, text->exception_count);
        l.emitted = ARENA_ARRAY(e->arena, bool, text->exception_count);
        for (uint32_t i = 0; i < text->exception_count; i++)
            l.conditions[i] = exception_condition(&l, &text->exceptions[i]);
    }
    for (uint32_t i = 0; i < text->line_count; i++) {
        const Exception *governs = governing(&l, i);
        if (governs != NULL && governs->line_count > 0)
            emit_substitutes(&l, governs, &text->lines[i]);
        else
            judge_folded(&l, i, governs);
    }
    finding_conclude(e, finding);
}
