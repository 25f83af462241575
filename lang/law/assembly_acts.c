/* Acts on acts: an ordinance that repeals, extends or postpones another one of its level and code.
 *
 * An act does this on its first day in force, and it stays done: repealing it later gives nothing
 * back. So an act's own days are settled before it acts, in whatever order the files are, and acts
 * that act on each other in a circle are an error. On one day an end is moved first, then a
 * beginning, then it is repealed. What cannot be done is an error at both places and has no effect;
 * it belongs to the law from the day on which the act that says it is in force. */
#include <stdlib.h>

#include "law/assembly_acts.h"

typedef struct Acts {
    Assembly *assembly;
    Map *by_name;
    Act *first;
    Act **end;
    uint32_t count;
    Act *ready;
    Act **ready_end;
} Acts;

/* ---- words and places ---- */

static const char *verb_of(const ChangeTree *change)
{
    return change->kind == CHANGE_REPEALS   ? "repeals"
           : change->kind == CHANGE_EXTENDS ? "extends"
                                            : "postpones";
}

static const char *participle_of(const ChangeTree *change)
{
    return change->kind == CHANGE_REPEALS   ? "repealed"
           : change->kind == CHANGE_EXTENDS ? "extended"
                                            : "postponed";
}

Place action_place(const Action *action)
{
    return (Place){action->by->block->source, action->change->act_span};
}

Place act_place(const BlockRef *ref)
{
    return (Place){ref->block->source, ref->block->by_span};
}

bool action_is_told(const Assembly *assembly, const Action *action)
{
    return action->by->from <= assembly->on;
}

bool change_is_of_act(const ChangeTree *change)
{
    return change->kind == CHANGE_REPEALS || change->kind == CHANGE_EXTENDS ||
           change->kind == CHANGE_POSTPONES;
}

/* ---- all that is done to one act ---- */

static int order_kinds(const ChangeTree *change)
{
    return change->kind == CHANGE_EXTENDS ? 0 : change->kind == CHANGE_POSTPONES ? 1 : 2;
}

static int order_days(Day a, Day b)
{
    return (a > b) - (a < b);
}

/* By day, then ends before beginnings before repeals, then as written. */
static int order_actions(const void *left, const void *right)
{
    const Action *a = *(const Action *const *)left;
    const Action *b = *(const Action *const *)right;
    int order = order_days(a->by->from, b->by->from);
    if (order == 0) {
        order = order_kinds(a->change) - order_kinds(b->change);
    }
    if (order == 0) {
        order = (a->by->order > b->by->order) - (a->by->order < b->by->order);
    }
    return order != 0 ? order
                      : (a->change->span.start > b->change->span.start) -
                            (a->change->span.start < b->change->span.start);
}

/* Two ends or two beginnings of one act on one day: neither act comes first. */
static bool is_tie(const Action *first, const Action *second)
{
    return first->by->from == second->by->from && first->change->kind == second->change->kind &&
           second->change->kind != CHANGE_REPEALS;
}

static void report_tie(const Acts *acts, const Action *first, const Action *second)
{
    Diagnostic *diag =
        diagnostic_error(acts->assembly->diags, "two changes on one day", action_place(second),
                         "'%.*s' is %s twice on %.*s, and neither comes first",
                         TEXT_ARG(second->change->act), participle_of(second->change),
                         TEXT_ARG(date_print(acts->assembly->arena, second->by->from)));
    diagnostic_note(acts->assembly->diags, diag, action_place(first), "the other one");
}

static void act_on(const Acts *acts, const Action *action)
{
    if (action->change->kind == CHANGE_EXTENDS) {
        act_extend(acts->assembly, action);
    } else if (action->change->kind == CHANGE_POSTPONES) {
        act_postpone(acts->assembly, action);
    } else {
        act_repeal(acts->assembly, action);
    }
}

/* False for a block that is repealed before it begins, or suspended until after its end. */
static bool takes_effect(const BlockRef *ref)
{
    return ref->from <= ref->until && ref->from < ref->repealed;
}

/* Those that act on it are settled. */
static void settle(const Acts *acts, Act *act)
{
    uint32_t count = 0;
    for (const Action *action = act->incoming; action != NULL; action = action->next_incoming) {
        count++;
    }
    const Action **actions = ARENA_ARRAY(acts->assembly->arena, const Action *, count);
    count = 0;
    for (const Action *action = act->incoming; action != NULL; action = action->next_incoming) {
        if (!action->left_out && takes_effect(action->by)) {
            actions[count++] = action;
        }
    }
    if (count > 0) {
        qsort(actions, count, sizeof(const Action *), order_actions);
    }
    for (uint32_t i = 0; i < count; i++) {
        acts->assembly->steps++;
        if (i == 0 || !is_tie(actions[i - 1], actions[i])) {
            act_on(acts, actions[i]);
        } else if (action_is_told(acts->assembly, actions[i])) {
            report_tie(acts, actions[i - 1], actions[i]);
        }
    }
    act->settled = true;
}

/* ---- acts and what they do ---- */

static Act *find_act(const Acts *acts, Text name)
{
    const Name *known = names_find(acts->assembly->names, name);
    return known == NULL ? NULL : map_get(acts->by_name, known);
}

static Act *make_act(Acts *acts, Text text)
{
    const Name *name = names_intern(acts->assembly->names, text);
    Act *act = map_get(acts->by_name, name);
    if (act == NULL) {
        act = ARENA_NEW(acts->assembly->arena, Act);
        act->name = name;
        act->blocks_end = &act->blocks;
        act->outgoing_end = &act->outgoing;
        (void)map_put(acts->by_name, name, act);
        *acts->end = act;
        acts->end = &act->next;
        acts->count++;
    }
    return act;
}

static void add_block(Acts *acts, BlockRef *ref)
{
    Act *act = make_act(acts, ref->block->by);
    *act->blocks_end = ref;
    act->blocks_end = &ref->next_of_act;
}

static void add_actions(Acts *acts, BlockRef *ref)
{
    const ChangeTree *change = ref->block->changes;
    for (; change != NULL; change = change->next) {
        if (!change_is_of_act(change)) {
            continue;
        }
        Act *doer = make_act(acts, ref->block->by); /* made already */
        Action *action = ARENA_NEW(acts->assembly->arena, Action);
        action->change = change;
        action->by = ref;
        action->doer = doer;
        action->target = find_act(acts, change->act);
        *doer->outgoing_end = action;
        doer->outgoing_end = &action->next_outgoing;
        if (action->target != NULL && action->target != doer) {
            action->next_incoming = action->target->incoming;
            action->target->incoming = action;
            action->target->pending++;
        }
    }
}

static void make_ready(Acts *acts, Act *act)
{
    *acts->ready_end = act;
    acts->ready_end = &act->next_ready;
}

static void release(Acts *acts, const Action *action)
{
    if (--action->target->pending == 0) {
        make_ready(acts, action->target);
    }
}

/* ---- what names no other act ---- */

/* A level acts on its own acts on one code. */
static void note_elsewhere(const Assembly *assembly, Diagnostic *diag, Text act)
{
    for (uint32_t level = 0; level < assembly->level_count; level++) {
        const JurisdictionTree *jurisdiction = assembly->levels[level];
        for (const BlockTree *block = jurisdiction->blocks; block != NULL; block = block->next) {
            if (block->code != NULL && text_equal(block->by, act)) {
                diagnostic_note(assembly->diags, diag, (Place){block->source, block->by_span},
                                "'%.*s' %s '%.*s' by an act of that name",
                                TEXT_ARG(jurisdiction->name->text),
                                block->amends ? "amends" : "adopts", TEXT_ARG(block->code->text));
                return;
            }
        }
    }
}

static void report_unknown(const Acts *acts, const Action *action)
{
    Assembly *assembly = acts->assembly;
    Text wanted = action->change->act;
    const BlockRef *by = action->by;
    Diagnostic *diag = diagnostic_error(assembly->diags, "unknown act", action_place(action),
                                        "'%.*s' has no act '%.*s' that adopts or amends '%.*s'",
                                        TEXT_ARG(by->jurisdiction->name->text), TEXT_ARG(wanted),
                                        TEXT_ARG(by->block->code->text));
    Text *names = ARENA_ARRAY(assembly->arena, Text, acts->count);
    const Act **found = ARENA_ARRAY(assembly->arena, const Act *, acts->count);
    size_t count = 0;
    for (const Act *act = acts->first; act != NULL; act = act->next) {
        if (act->name->text.len > 0) {
            found[count] = act;
            names[count++] = act->name->text;
        }
    }
    long nearest = text_nearest(wanted, names, count);
    note_elsewhere(assembly, diag, wanted);
    if (nearest >= 0) {
        diagnostic_note(assembly->diags, diag, act_place(found[nearest]->blocks),
                        "did you mean '%.*s'?", TEXT_ARG(names[nearest]));
    }
}

static void report_itself(const Acts *acts, const Action *action)
{
    Diagnostic *diag = diagnostic_error(acts->assembly->diags, "acts on itself",
                                        action_place(action), "'%.*s' %s itself",
                                        TEXT_ARG(action->change->act), verb_of(action->change));
    diagnostic_note(acts->assembly->diags, diag, act_place(action->by), "the act is here");
}

/* Settles the acts that nothing unsettled acts on, and those that this leaves free. */
static void settle_ready(Acts *acts)
{
    for (; acts->ready != NULL; acts->ready = acts->ready->next_ready) {
        Act *act = acts->ready;
        settle(acts, act);
        for (const Action *action = act->outgoing; action != NULL; action = action->next_outgoing) {
            bool told = takes_effect(action->by) && action_is_told(acts->assembly, action);
            if (action->target == NULL && told) {
                report_unknown(acts, action);
            } else if (action->target == act && told) {
                report_itself(acts, action);
            } else if (action->target != NULL && action->target != act && !action->left_out) {
                release(acts, action);
            }
        }
    }
    acts->ready_end = &acts->ready;
}

/* ---- circles ---- */

/* An action that keeps the act waiting; NULL once it is settled. */
static Action *find_waited(const Act *act)
{
    Action *action = act->incoming;
    while (action != NULL && (action->left_out || action->doer->settled)) {
        action = action->next_incoming;
    }
    return action;
}

static bool is_circle_told(const Acts *acts, const Act *start)
{
    bool told = false;
    const Action *action = find_waited(start);
    while (action != NULL && !told) {
        told = action_is_told(acts->assembly, action);
        action = action->doer == start ? NULL : find_waited(action->doer);
    }
    return told;
}

/* Leaves out the actions of the circle in which `start` waits for itself. */
static void cut_circle(Acts *acts, const Act *start)
{
    bool told = is_circle_told(acts, start);
    Diagnostic *diag = NULL;
    Action *action = find_waited(start);
    while (action != NULL) {
        Text by = action->doer->name->text;
        Text act = action->change->act;
        if (told && diag == NULL) {
            diag = diagnostic_error(acts->assembly->diags, "circle of acts", action_place(action),
                                    "'%.*s' %s '%.*s', which acts on it in turn", TEXT_ARG(by),
                                    verb_of(action->change), TEXT_ARG(act));
        } else if (told) {
            diagnostic_note(acts->assembly->diags, diag, action_place(action), "'%.*s' %s '%.*s'",
                            TEXT_ARG(by), verb_of(action->change), TEXT_ARG(act));
        }
        Action *next = action->doer == start ? NULL : find_waited(action->doer);
        action->left_out = true;
        release(acts, action);
        action = next;
    }
}

/* Each act that is left waits for another one: going from one to the next ends in a circle. */
static void settle_circles(Acts *acts)
{
    uint32_t walk = 0;
    for (Act *act = acts->first; act != NULL; act = act->next) {
        while (!act->settled) {
            walk++;
            const Act *at = act;
            for (Act *step = act; step->walk != walk;) {
                step->walk = walk;
                const Action *action = find_waited(step);
                step = action == NULL ? step : action->doer;
                at = step;
                acts->assembly->steps++;
            }
            cut_circle(acts, at);
            settle_ready(acts);
        }
    }
}

/* ---- one level and code ---- */

void assembly_settle_acts(Assembly *assembly, BlockRef *refs, uint32_t count)
{
    bool any = false;
    for (uint32_t i = 0; i < count && !any; i++) {
        const ChangeTree *change = refs[i].block->changes;
        for (; change != NULL && !any; change = change->next) {
            any = change_is_of_act(change);
        }
    }
    if (!any) {
        return;
    }
    Acts acts = {.assembly = assembly, .by_name = map_new(assembly->arena)};
    acts.end = &acts.first;
    acts.ready_end = &acts.ready;
    for (uint32_t i = 0; i < count; i++) {
        add_block(&acts, &refs[i]);
    }
    for (uint32_t i = 0; i < count; i++) {
        add_actions(&acts, &refs[i]);
    }
    for (Act *act = acts.first; act != NULL; act = act->next) {
        if (act->pending == 0) {
            make_ready(&acts, act);
        }
    }
    settle_ready(&acts);
    settle_circles(&acts);
}
