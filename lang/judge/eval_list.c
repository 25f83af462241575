/* Lists: quantifiers, totals, extremes, selections. A member can be doubtful (its condition is
 * unknown) and a list can be open (not stated, or "and more"); meaning.md rules 5, 6 and 18. */
#include <string.h>

#include "judge/eval.h"

const Item *phantom_item(Eval *e, const Item *parent, const Field *field, const Record *record)
{
    Item *item = ARENA_NEW(e->arena, Item);
    item->record = record;
    item->parent = parent;
    item->field = field;
    item->phantom = true;
    return item;
}

static const List *list_of(const Value *value)
{
    static const List nothing = {0};
    if ((value->can & CAN_BE_PRESENT) == 0 || value->list == NULL)
        return &nothing;
    return value->list;
}

/* Whether a member is in the selection: its own doubt, then `where`. */
static Value membership(Eval *e, const Code *code, const Member *member)
{
    e->frame[code->slot] = value_item(member->item);
    Value in = value_truth(member->doubt == NULL ? TRUTH_TRUE : TRUTH_UNKNOWN, member->doubt);
    if (code->b == NULL)
        return in;
    Value where = eval_truth(e, code->b);
    return truth_of_and(e, &in, &where);
}

/* ---- quantifiers ---- */

typedef struct Tally {
    Value every;  /* in implies body, over all members */
    Value some;   /* in and body, over some member */
    Value chosen; /* some member is in */
    uint32_t sure, possible;
    const Waits *doubts;
} Tally;

static void tally_member(Eval *e, const Code *code, const Member *member, Tally *tally)
{
    Value in = membership(e, code, member);
    tally->chosen = truth_of_or(e, &tally->chosen, &in);
    if (in.truth == TRUTH_FALSE)
        return;
    Value body = eval_truth(e, code->c);
    Value both = truth_of_and(e, &in, &body);
    tally->some = truth_of_or(e, &tally->some, &both);
    Value out = truth_of_not(in), either = truth_of_or(e, &out, &body);
    tally->every = truth_of_and(e, &tally->every, &either);
    if (both.truth == TRUTH_TRUE)
        tally->sure++;
    if (both.truth != TRUTH_FALSE)
        tally->possible++;
    if (both.truth == TRUTH_UNKNOWN)
        tally->doubts = waits_join(e->arena, tally->doubts, both.waits);
}

/* Further items could make `every` fail and `some` hold. */
static void tally_open(Eval *e, const List *list, Tally *tally)
{
    Value further = value_truth(TRUTH_UNKNOWN, list->waits);
    tally->every = truth_of_and(e, &tally->every, &further);
    tally->some = truth_of_or(e, &tally->some, &further);
    tally->chosen = truth_of_or(e, &tally->chosen, &further);
    tally->doubts = waits_join(e->arena, tally->doubts, list->waits);
}

static Value at_least(const Tally *tally, uint32_t wanted, bool open)
{
    if (tally->sure >= wanted)
        return value_truth(TRUTH_TRUE, NULL);
    if (tally->possible < wanted && !open)
        return value_truth(TRUTH_FALSE, NULL);
    return value_truth(TRUTH_UNKNOWN, tally->doubts);
}

void eval_quantifier(Eval *e, const Code *code, Value *out)
{
    Value list_value;
    eval(e, code->a, &list_value);
    const List *list = list_of(&list_value);
    Tally tally = {.every = value_truth(TRUTH_TRUE, NULL),
                   .some = value_truth(TRUTH_FALSE, NULL),
                   .chosen = value_truth(TRUTH_FALSE, NULL)};
    for (uint32_t i = 0; i < list->count; i++)
        tally_member(e, code, &list->members[i], &tally);
    if (list->open)
        tally_open(e, list, &tally);
    Value result = tally.some;
    if (code->sub == QUANTIFIER_EVERY)
        result = tally.every;
    if (code->sub == QUANTIFIER_NO)
        result = truth_of_not(tally.some);
    if (code->emptiness == EMPTY_AT_LEAST_NUMBER)
        result = at_least(&tally, code->number, list->open);
    if (code->emptiness == EMPTY_AT_LEAST_ONE || code->emptiness == EMPTY_NO)
        result = truth_of_and(e, &result, &tally.chosen);
    *out = result;
}

/* ---- count and total ---- */

static void eval_count(Eval *e, const Code *code, Value *out)
{
    Value list_value;
    eval(e, code->a, &list_value);
    const List *list = list_of(&list_value);
    uint32_t sure = 0, possible = 0;
    const Waits *waits = NULL;
    for (uint32_t i = 0; i < list->count; i++) {
        Value in = membership(e, code, &list->members[i]);
        if (in.truth == TRUTH_TRUE)
            sure++;
        if (in.truth != TRUTH_FALSE)
            possible++;
        if (in.truth == TRUTH_UNKNOWN)
            waits = waits_join(e->arena, waits, in.waits);
    }
    *out = value_exact(RATIONAL(sure, 1));
    out->range = range_between(RATIONAL(sure, 1), RATIONAL(possible, 1));
    if (list->open) {
        out->range = (Range){.low = RATIONAL(sure, 1), .flags = RANGE_NO_HIGH};
        waits = waits_join(e->arena, waits, list->waits);
    }
    out->waits = waits;
}

/* The value of `c` for an item that is not stated: what a further member could bring. */
static void further_value(Eval *e, const Code *code, const List *list, Value *out)
{
    e->frame[code->slot] = value_item(phantom_item(e, NULL, NULL, list->record));
    eval(e, code->c, out);
    number_settle(e, out);
}

static void total_open(Eval *e, const Code *code, const List *list, Value *total)
{
    Value further;
    further_value(e, code, list, &further);
    Range zero = range_exact(RATIONAL_ZERO), more = range_everything();
    if ((further.can & CAN_BE_PRESENT) != 0 &&
        range_less_equal(&zero, &further.range) == TRUTH_TRUE)
        more = (Range){.low = RATIONAL_ZERO, .flags = RANGE_NO_HIGH};
    else if ((further.can & CAN_BE_PRESENT) != 0 &&
             range_less_equal(&further.range, &zero) == TRUTH_TRUE)
        more = (Range){.high = RATIONAL_ZERO, .flags = RANGE_NO_LOW};
    uint8_t can = CAN_BE_PRESENT | (further.can & (CAN_BE_NONE | CAN_BE_NOTHING));
    Value rest = {.kind = VALUE_RANGE, .can = can, .range = more, .waits = list->waits};
    Value sum;
    number_add(e, total, &rest, &sum);
    *total = sum;
}

static void eval_total(Eval *e, const Code *code, Value *out)
{
    Value list_value, total = value_exact(RATIONAL_ZERO), zero = total;
    eval(e, code->a, &list_value);
    const List *list = list_of(&list_value);
    for (uint32_t i = 0; i < list->count; i++) {
        Value in = membership(e, code, &list->members[i]), amount, sum;
        if (in.truth == TRUTH_FALSE)
            continue;
        eval(e, code->c, &amount);
        number_settle(e, &amount);
        if (in.truth == TRUTH_UNKNOWN)
            value_join(e, &zero, &amount, in.waits, &amount);
        number_add(e, &total, &amount, &sum);
        total = sum;
    }
    if (list->open)
        total_open(e, code, list, &total);
    *out = total;
}

/* ---- least and greatest ---- */

/* The sure members bound the result from one side; every member may be it. */
typedef struct Extreme {
    bool greatest, any, sure;
    bool nothing; /* a member may have no value */
    Value bound;  /* of the sure members */
    Value all;    /* hull of every member, sure or doubtful */
    const Waits *doubts;
} Extreme;

static void extreme_number(Eval *e, Extreme *x, const Value *value, bool sure)
{
    if (sure) {
        Value joined = *value;
        if (x->sure)
            number_extreme(e, &x->bound, value, x->greatest, &joined);
        x->bound = joined;
    }
    Range hull = value->range;
    if (x->any)
        hull = range_hull(&x->all.range, &value->range);
    x->all = *value;
    x->all.range = hull;
}

/* From the low end of one range to the high end of another. */
static Range range_from_to(const Range *from, const Range *to)
{
    Range result = {.low = from->low, .high = range_is_exact(to) ? to->low : to->high};
    result.flags = (uint8_t)((from->flags & (RANGE_NO_LOW | RANGE_LOW_OPEN)) |
                             (to->flags & (RANGE_NO_HIGH | RANGE_HIGH_OPEN)));
    return result.flags == 0 ? range_between(result.low, result.high) : result;
}

static uint64_t words_at_or_beyond(uint64_t words, bool greatest)
{
    /* Words that can be the extreme when `words` is surely there: from its worst one outward. */
    int worst = greatest ? __builtin_ctzll(words) : 63 - __builtin_clzll(words);
    return greatest ? UINT64_MAX << worst : (worst == 63 ? UINT64_MAX : (UINT64_C(2) << worst) - 1);
}

static void extreme_words(Extreme *x, const Value *value, bool sure)
{
    if (!x->any) {
        x->all = *value;
        x->bound = *value;
        x->bound.words = UINT64_MAX;
    } else {
        x->all.words |= value->words;
    }
    if (sure)
        x->bound.words &= words_at_or_beyond(value->words, x->greatest);
}

static void extreme_add(Eval *e, Extreme *x, Value *value, bool sure, const Waits *doubt)
{
    x->doubts = waits_join(e->arena, x->doubts, waits_join(e->arena, doubt, value->waits));
    x->nothing = x->nothing || (value->can & CAN_BE_NOTHING) != 0;
    if ((value->can & CAN_BE_PRESENT) == 0)
        return;
    sure = sure && value->can == CAN_BE_PRESENT;
    if (value->kind == VALUE_WORDS) {
        extreme_words(x, value, sure);
    } else {
        number_settle(e, value);
        extreme_number(e, x, value, sure);
    }
    x->any = true;
    x->sure = x->sure || sure;
}

static void extreme_done(const Extreme *x, uint8_t kind, Value *out)
{
    if (!x->any) {
        *out = x->nothing ? value_nothing(kind, x->doubts) : value_none(kind, x->doubts);
        return;
    }
    *out = x->all;
    if (kind == VALUE_WORDS) {
        out->words = x->all.words & x->bound.words;
    } else if (x->sure && x->greatest) {
        out->range = range_from_to(&x->bound.range, &x->all.range);
    } else if (x->sure) {
        out->range = range_from_to(&x->all.range, &x->bound.range);
    }
    out->can =
        (uint8_t)(CAN_BE_PRESENT | (x->sure ? 0 : CAN_BE_NONE) | (x->nothing ? CAN_BE_NOTHING : 0));
    bool single =
        kind == VALUE_WORDS ? (out->words & (out->words - 1)) == 0 : range_is_exact(&out->range);
    out->waits = single && out->can == CAN_BE_PRESENT ? NULL : x->doubts;
}

/* The extreme over the words of a choice, each of which is surely there. */
static void extreme_of_words(Eval *e, const Code *code, Extreme *x)
{
    for (uint32_t i = 0; i < code->a->type.choice->count; i++) {
        e->frame[code->slot] = value_of_words(UINT64_C(1) << i);
        Value in = value_truth(TRUTH_TRUE, NULL);
        if (code->b != NULL)
            in = eval_truth(e, code->b);
        if (in.truth == TRUTH_FALSE)
            continue;
        Value value;
        eval(e, code->c, &value);
        extreme_add(e, x, &value, in.truth == TRUTH_TRUE, in.waits);
    }
}

static void eval_extreme_of(Eval *e, const Code *code, Value *out)
{
    if (code->a->op == CODE_WORDS) {
        Extreme over = {.greatest = code->op == CODE_GREATEST};
        extreme_of_words(e, code, &over);
        extreme_done(&over, code->c->type.class == CLASS_CHOICE ? VALUE_WORDS : VALUE_RANGE, out);
        return;
    }
    Value list_value, value;
    eval(e, code->a, &list_value);
    const List *list = list_of(&list_value);
    Extreme x = {.greatest = code->op == CODE_GREATEST};
    uint8_t kind = code->c->type.class == CLASS_CHOICE ? VALUE_WORDS : VALUE_RANGE;
    for (uint32_t i = 0; i < list->count; i++) {
        Value in = membership(e, code, &list->members[i]);
        if (in.truth == TRUTH_FALSE)
            continue;
        eval(e, code->c, &value);
        extreme_add(e, &x, &value, in.truth == TRUTH_TRUE, in.waits);
    }
    if (list->open) {
        further_value(e, code, list, &value);
        extreme_add(e, &x, &value, false, list->waits);
    }
    extreme_done(&x, kind, out);
}

void eval_aggregate(Eval *e, const Code *code, Value *out)
{
    if (code->op == CODE_COUNT)
        eval_count(e, code, out);
    else if (code->op == CODE_TOTAL)
        eval_total(e, code, out);
    else
        eval_extreme_of(e, code, out);
}

/* ---- those, covered ---- */

void eval_selection(Eval *e, const Code *code, Value *out)
{
    Value list_value, outer = {0};
    eval(e, code->a, &list_value);
    const List *list = list_of(&list_value);
    if (code->op == CODE_COVERED)
        eval(e, code->b, &outer);
    Member *members = ARENA_ARRAY(e->arena, Member, list->count + 1);
    List *chosen = ARENA_NEW(e->arena, List);
    *chosen = (List){list->record, members, 0, list->open, list->waits};
    const Waits *waits = list->waits;
    for (uint32_t i = 0; i < list->count; i++) {
        const Member *member = &list->members[i];
        Value in;
        if (code->op == CODE_COVERED) {
            Value inner = value_item(member->item);
            Value covered = plan_covers(e, &outer, &inner);
            in = value_truth(member->doubt == NULL ? TRUTH_TRUE : TRUTH_UNKNOWN, member->doubt);
            in = truth_of_and(e, &in, &covered);
        } else {
            in = membership(e, code, member);
        }
        if (in.truth == TRUTH_FALSE)
            continue;
        const Waits *doubt = in.truth == TRUTH_UNKNOWN ? in.waits : NULL;
        members[chosen->count++] = (Member){member->item, doubt};
        waits = waits_join(e->arena, waits, doubt);
    }
    *out = (Value){.kind = VALUE_LIST, .can = CAN_BE_PRESENT, .list = chosen, .waits = waits};
}

/* ---- first by ---- */

typedef struct Runner {
    Member member;
    Value key;
    bool sure;
} Runner;

/* Out of the race when a sure member surely has a lesser key. */
static bool beaten(Eval *e, const Runner *runner, const Runner *runners, uint32_t count)
{
    for (uint32_t i = 0; i < count; i++) {
        if (!runners[i].sure || &runners[i] == runner)
            continue;
        if (number_compare(e, COMPARE_LESS, &runners[i].key, &runner->key).truth == TRUTH_TRUE)
            return true;
    }
    return false;
}

static uint32_t gather_runners(Eval *e, const Code *code, const List *list, Runner *runners)
{
    uint32_t count = 0;
    for (uint32_t i = 0; i < list->count; i++) {
        Value in = membership(e, code, &list->members[i]);
        if (in.truth == TRUTH_FALSE)
            continue;
        Runner *runner = &runners[count++];
        eval(e, code->c, &runner->key);
        runner->sure = in.truth == TRUTH_TRUE && runner->key.can == CAN_BE_PRESENT;
        runner->member = (Member){list->members[i].item, runner->sure ? NULL : in.waits};
    }
    if (list->open) {
        Runner *runner = &runners[count++];
        const Item *further = phantom_item(e, NULL, NULL, list->record);
        e->frame[code->slot] = value_item(further);
        eval(e, code->c, &runner->key);
        runner->sure = false;
        runner->member = (Member){further, list->waits};
    }
    return count;
}

void eval_first(Eval *e, const Code *code, Value *out)
{
    Value list_value;
    eval(e, code->a, &list_value);
    const List *list = list_of(&list_value);
    Runner *runners = ARENA_ARRAY(e->arena, Runner, list->count + 2);
    uint32_t count = gather_runners(e, code, list, runners);
    List *candidates = ARENA_NEW(e->arena, List);
    Member *members = ARENA_ARRAY(e->arena, Member, count + 1);
    *candidates = (List){list->record, members, 0, false, NULL};
    bool sure = false;
    const Waits *waits = NULL;
    for (uint32_t i = 0; i < count; i++) {
        sure = sure || runners[i].sure;
        if (beaten(e, &runners[i], runners, count))
            continue;
        members[candidates->count++] = runners[i].member;
        waits = waits_join(e->arena, waits,
                           waits_join(e->arena, runners[i].member.doubt, runners[i].key.waits));
    }
    if (candidates->count == 0) {
        *out = value_none(VALUE_ITEM, NULL);
        return;
    }
    if (candidates->count > 1 && waits == NULL)
        waits = waits_word(e->arena, REASON_NO_RULE, TEXT("two items tie for first"));
    bool one = candidates->count == 1;
    *out = (Value){.kind = VALUE_ITEM,
                   .can = CAN_BE_PRESENT,
                   .known = one,
                   .waits = one && sure ? NULL : waits};
    if (one)
        out->item = members[0].item;
    else
        out->list = candidates;
    if (!sure)
        out->can |= CAN_BE_NONE;
}
