/* What one act does to another: moves its end or its beginning, repeals it or some of its changes,
 * or, by a block with an `until`, suspends them.
 *
 * An act may have several blocks: each that it can be done to is changed, and only when there is
 * none it is an error, at both places. */
#include "law/assembly_acts.h"

static Place day_place(const Action *action)
{
    return (Place){action->by->block->source, action->change->day_span};
}

static Text day_words(const Assembly *assembly, Day day)
{
    return date_print(assembly->arena, day);
}

static Diagnostic *complain(Assembly *assembly, const Action *action, const char *name, Place place,
                            const char *words)
{
    return diagnostic_error(assembly->diags, name, place, "'%.*s' %s",
                            TEXT_ARG(action->change->act), words);
}

static void note_end(Assembly *assembly, Diagnostic *diag, const BlockRef *ref)
{
    if (block_last_day(ref) < ref->until) {
        diagnostic_note(assembly->diags, diag, ref->repealed_place, "repealed here from %.*s",
                        TEXT_ARG(day_words(assembly, ref->repealed)));
    } else if (ref->until == DAY_FOREVER) {
        diagnostic_note(assembly->diags, diag, act_place(ref), "in force without an 'until'");
    } else {
        diagnostic_note(assembly->diags, diag, ref->until_place, "in force until %.*s",
                        TEXT_ARG(day_words(assembly, ref->until)));
    }
}

static bool is_repealed(const BlockRef *ref, Day on)
{
    return ref->repealed <= on;
}

void act_extend(Assembly *assembly, const Action *action)
{
    const ChangeTree *change = action->change;
    const BlockRef *missed = NULL; /* a block that could be extended, were it for its days */
    bool done = false;
    for (BlockRef *ref = action->target->blocks; ref != NULL; ref = ref->next_of_act) {
        bool is_open = ref->until == DAY_FOREVER;
        if (!is_open && !is_repealed(ref, action->by->from) && change->day > ref->until &&
            action->by->from <= ref->until + 1) {
            ref->until = change->day;
            ref->until_place = day_place(action);
            done = true;
        } else if (missed == NULL || (missed->until == DAY_FOREVER && !is_open)) {
            missed = ref;
        }
    }
    if (done || missed == NULL || !action_is_told(assembly, action)) {
        return;
    }
    Diagnostic *diag;
    if (is_repealed(missed, action->by->from)) {
        diag = complain(assembly, action, "already repealed", action_place(action),
                        "is repealed already");
    } else if (missed->until == DAY_FOREVER) {
        diag = complain(assembly, action, "act without an end", action_place(action),
                        "has no end that could be extended");
    } else if (change->day <= missed->until) {
        diag = complain(assembly, action, "not extended", day_place(action),
                        "is in force that long already");
    } else {
        diag = complain(assembly, action, "extended too late", action_place(action),
                        "has ended by the day on which it is extended");
        diagnostic_note(assembly->diags, diag,
                        (Place){action->by->block->source, action->by->block->from_span},
                        "extended from %.*s", TEXT_ARG(day_words(assembly, action->by->from)));
    }
    note_end(assembly, diag, missed);
}

static void note_beginning(Assembly *assembly, Diagnostic *diag, const BlockRef *ref)
{
    diagnostic_note(assembly->diags, diag, (Place){ref->block->source, ref->block->from_span},
                    "in force from %.*s", TEXT_ARG(day_words(assembly, ref->from)));
}

static void report_not_postponed(Assembly *assembly, const Action *action, const BlockRef *ref)
{
    Diagnostic *diag;
    if (is_repealed(ref, action->by->from)) {
        diag = complain(assembly, action, "already repealed", action_place(action),
                        "is repealed already");
        note_end(assembly, diag, ref);
        return;
    }
    if (action->change->day <= ref->from) {
        diag = complain(assembly, action, "not postponed", day_place(action),
                        "begins no earlier by itself");
    } else if (action->by->from > ref->from) {
        diag = complain(assembly, action, "postponed too late", action_place(action),
                        "has begun by the day on which it is postponed");
        diagnostic_note(assembly->diags, diag,
                        (Place){action->by->block->source, action->by->block->from_span},
                        "postponed from %.*s", TEXT_ARG(day_words(assembly, action->by->from)));
    } else {
        diag = complain(assembly, action, "postponed past its end", day_place(action),
                        "would end before it begins");
        note_end(assembly, diag, ref);
        return;
    }
    note_beginning(assembly, diag, ref);
}

void act_postpone(Assembly *assembly, const Action *action)
{
    Day day = action->change->day;
    const BlockRef *missed = NULL;
    bool done = false;
    for (BlockRef *ref = action->target->blocks; ref != NULL; ref = ref->next_of_act) {
        if (!is_repealed(ref, action->by->from) && action->by->from <= ref->from &&
            day > ref->from && day <= ref->until) {
            ref->from = day;
            done = true;
        } else {
            missed = ref; /* the last one: it begins last */
        }
    }
    if (!done && missed != NULL && action_is_told(assembly, action)) {
        report_not_postponed(assembly, action, missed);
    }
}

/* ---- repeals ---- */

static void add_gap(Assembly *assembly, Gap **gaps, Day from, Day until)
{
    while (*gaps != NULL) { /* acts come in order of their day */
        gaps = &(*gaps)->next;
    }
    *gaps = ARENA_NEW(assembly->arena, Gap);
    (*gaps)->from = from;
    (*gaps)->until = until;
}

/* Nothing of the act is left to repeal. */
static void report_repealed(Assembly *assembly, const Action *action, const BlockRef *last)
{
    bool repealed = is_repealed(last, action->by->from);
    Diagnostic *diag =
        complain(assembly, action, repealed ? "already repealed" : "already ended",
                 action_place(action), repealed ? "is repealed already" : "has ended already");
    note_end(assembly, diag, last);
}

/* A repeal by a block with an `until` suspends. */
static void repeal_whole(Assembly *assembly, const Action *action)
{
    Day from = action->by->from;
    Day until = action->by->until;
    const BlockRef *last = NULL;
    bool done = false;
    for (BlockRef *ref = action->target->blocks; ref != NULL; ref = ref->next_of_act) {
        assembly->steps++;
        if (is_repealed(ref, from) || ref->until < from) {
            last = ref;
            continue;
        }
        done = true;
        if (until == DAY_FOREVER) {
            ref->repealed = from;
            ref->repealed_place = action_place(action);
        } else {
            add_gap(assembly, &ref->gaps, from, until);
            ref->from = gaps_first_day(ref->gaps, ref->from);
        }
    }
    if (!done && last != NULL && action_is_told(assembly, action)) {
        report_repealed(assembly, action, last);
    }
}

/* ---- repeals of parts ---- */

static Text unit_number(const ChangeUnit *unit, const Name **part)
{
    if (unit->target != NULL) {
        *part = unit->target->part;
        return unit->target->number;
    }
    const SectionTree *section = unit->change->section;
    *part = section == NULL ? NULL : section->part;
    return section == NULL ? TEXT("") : section->number;
}

static void index_unit(Assembly *assembly, Act *act, ChangeUnit *unit)
{
    const Name *part = NULL;
    Text number = unit_number(unit, &part);
    for (size_t len = number.len; len > 0; len = number_cut(number, len)) {
        const Name *name = names_intern(assembly->names, (Text){number.data, len});
        UnitNode *node = ARENA_NEW(assembly->arena, UnitNode);
        node->unit = unit;
        node->next = map_put(act->by_number, name, node);
        assembly->steps++;
    }
}

static ChangeUnit **add_unit(Assembly *assembly, Act *act, ChangeUnit **end, BlockRef *ref,
                             const ChangeTree *change, const TargetTree *target)
{
    ChangeUnit *unit = ARENA_NEW(assembly->arena, ChangeUnit);
    unit->change = change;
    unit->target = target;
    unit->block = ref;
    unit->from = ref->from;
    unit->repealed = DAY_FOREVER;
    index_unit(assembly, act, unit);
    *end = unit;
    return &unit->next;
}

/* Takes the act's changes apart by section, the first time that an act repeals a part of it. */
static void take_apart(Assembly *assembly, Act *act)
{
    if (act->by_number != NULL) {
        return;
    }
    act->by_number = map_new(assembly->arena);
    for (BlockRef *ref = act->blocks; ref != NULL; ref = ref->next_of_act) {
        ChangeUnit **end = &ref->units;
        const ChangeTree *change = ref->block->changes;
        for (; change != NULL; change = change->next) {
            if (change->kind == CHANGE_INSERT && change->section != NULL) {
                end = add_unit(assembly, act, end, ref, change, NULL);
            }
            const TargetTree *target = change_is_of_act(change) ? NULL : change->targets;
            for (; target != NULL; target = target->next) {
                end = add_unit(assembly, act, end, ref, change, target);
            }
        }
    }
}

static UnitNode *find_units(Assembly *assembly, const Act *act, Text number)
{
    const Name *name = names_find(assembly->names, number);
    return name == NULL ? NULL : map_get(act->by_number, name);
}

static void note_nearest_unit(Assembly *assembly, Diagnostic *diag, const Act *act, Text number)
{
    Arena *arena = assembly->arena;
    size_t count = 0;
    for (const BlockRef *ref = act->blocks; ref != NULL; ref = ref->next_of_act) {
        for (const ChangeUnit *unit = ref->units; unit != NULL; unit = unit->next) {
            count++;
        }
    }
    Text *numbers = ARENA_ARRAY(arena, Text, count);
    const ChangeUnit **units = ARENA_ARRAY(arena, const ChangeUnit *, count);
    count = 0;
    for (const BlockRef *ref = act->blocks; ref != NULL; ref = ref->next_of_act) {
        for (const ChangeUnit *unit = ref->units; unit != NULL; unit = unit->next, count++) {
            const Name *part = NULL;
            units[count] = unit;
            numbers[count] = unit_number(unit, &part);
        }
    }
    long nearest = text_nearest(number, numbers, count);
    if (nearest >= 0) {
        const ChangeUnit *unit = units[nearest];
        const Name *part = NULL;
        Text near = unit_number(unit, &part);
        Text words = number_words(arena, near, part);
        diagnostic_note(assembly->diags, diag,
                        (Place){unit->block->block->source, unit->change->span},
                        "the nearest change is of %.*s", TEXT_ARG(words));
    }
}

static void report_no_unit(Assembly *assembly, const Action *action, const TargetTree *target,
                           const ChangeUnit *gone)
{
    Place place = {action->by->block->source, target->span};
    Text words = number_words(assembly->arena, target->number, target->part);
    Text act = action->change->act;
    if (gone != NULL) {
        Diagnostic *diag = diagnostic_error(assembly->diags, "already repealed", place,
                                            "what '%.*s' changes in %.*s is no more already",
                                            TEXT_ARG(act), TEXT_ARG(words));
        if (is_repealed(gone->block, action->by->from) || gone->repealed == DAY_FOREVER) {
            note_end(assembly, diag, gone->block);
        } else {
            diagnostic_note(assembly->diags, diag, gone->repealed_place, "repealed here from %.*s",
                            TEXT_ARG(day_words(assembly, gone->repealed)));
        }
        return;
    }
    Diagnostic *diag =
        diagnostic_error(assembly->diags, "nothing to repeal", place,
                         "'%.*s' changes nothing in %.*s", TEXT_ARG(act), TEXT_ARG(words));
    diagnostic_note(assembly->diags, diag, act_place(action->target->blocks), "the act is here");
    note_nearest_unit(assembly, diag, action->target, target->number);
}

static void repeal_unit(Assembly *assembly, const Action *action, ChangeUnit *unit)
{
    const BlockRef *by = action->by;
    if (by->until == DAY_FOREVER) {
        unit->repealed = by->from;
        unit->repealed_place = action_place(action);
    } else {
        add_gap(assembly, &unit->gaps, by->from, by->until);
        Day from = unit->from > unit->block->from ? unit->from : unit->block->from;
        unit->from = gaps_first_day(unit->gaps, from);
    }
}

static void repeal_parts(Assembly *assembly, const Action *action)
{
    take_apart(assembly, action->target);
    const TargetTree *target = action->change->targets;
    for (; target != NULL; target = target->next) {
        const ChangeUnit *gone = NULL;
        bool done = false;
        UnitNode *node = find_units(assembly, action->target, target->number);
        for (; node != NULL; node = node->next) {
            ChangeUnit *unit = node->unit;
            const Name *part = NULL;
            (void)unit_number(unit, &part);
            assembly->steps++;
            if (target->part != NULL && target->part != part) {
                continue;
            }
            if (unit->repealed <= action->by->from || is_repealed(unit->block, action->by->from) ||
                unit->block->until < action->by->from) {
                gone = unit;
                continue;
            }
            repeal_unit(assembly, action, unit);
            done = true;
        }
        if (!done && action_is_told(assembly, action)) {
            report_no_unit(assembly, action, target, gone);
        }
    }
}

void act_repeal(Assembly *assembly, const Action *action)
{
    if (action->change->targets != NULL) {
        repeal_parts(assembly, action);
    } else {
        repeal_whole(assembly, action);
    }
}
