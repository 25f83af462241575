/* Changes: amends, deletes, inserts and renumbers sections of a code, in the order in which the
 * changes take effect.
 *
 * A change hits what its target names in the text as the changes before it have left it. One that
 * hits nothing, or more than it may, or what another level keeps for itself, is an error at both
 * places and has no effect. What a level declares for the levels below it (floors, no local
 * change, readings, no waiver) is read after its own changes. */
#include "law/assembly.h"

void assembly_record(Assembly *assembly, SectionState *state, const Change *change)
{
    History *history = ARENA_NEW(assembly->arena, History);
    history->change = change;
    history->before = state->history;
    state->history = history;
    state->jurisdiction = change->jurisdiction;
}

/* ---- amend, delete ---- */

static bool change_texts(Assembly *assembly, SectionState *state, const Change *change)
{
    switch (change->tree->kind) {
    case CHANGE_TO_READ: return assembly_replace_texts(assembly, state, change);
    case CHANGE_LIMIT: return assembly_change_limit(assembly, state, change);
    default: return assembly_change_exception(assembly, state, change);
    }
}

static void amend(Assembly *assembly, const CodeState *code, const Change *change)
{
    SectionState *state = assembly_find_one(assembly, code, change, change->tree->targets);
    if (state != NULL && assembly_may_change(assembly, code, state, change)) {
        assembly_keep_floor(assembly, state, change);
        if (change_texts(assembly, state, change)) {
            assembly_record(assembly, state, change);
        }
    }
}

static void delete_section(Assembly *assembly, const CodeState *code, SectionState *state,
                           const Change *change)
{
    if (!assembly_may_change(assembly, code, state, change)) {
        return;
    }
    const Change *floor = section_floor(state, change->level);
    if (floor != NULL) {
        Text words = number_words(assembly->arena, state->section->number, state->section->part);
        Diagnostic *diag =
            diagnostic_error(assembly->diags, "floor deleted", change_place(change),
                             "'%.*s' may ask more than %.*s, and not delete it",
                             TEXT_ARG(change->jurisdiction->name->text), TEXT_ARG(words));
        diagnostic_note(assembly->diags, diag, change_place(floor),
                        "'%.*s' says: locally at least as strict",
                        TEXT_ARG(floor->jurisdiction->name->text));
        return;
    }
    if (change->inside == NULL) {
        state->deleted = change;
    } else if (!assembly_leave_texts(assembly, state, change)) {
        return;
    }
    assembly_record(assembly, state, change);
}

static void delete_covered(Assembly *assembly, const CodeState *code, Change *change)
{
    for (const TargetTree *target = change->tree->targets; target != NULL; target = target->next) {
        SectionList *list = assembly_find_list(assembly, code, target_number(change, target));
        bool hit = false;
        for (const SectionNode *node = list == NULL ? NULL : list->covered; node != NULL;
             node = node->next) {
            assembly->steps++;
            bool is_there = node_in_force(node) == node || node_is_shadow(node);
            if (is_there && section_is_hit(node->state, target->part)) {
                delete_section(assembly, code, node->state, change);
                hit = true;
            }
        }
        if (!hit) {
            assembly_report_missing(assembly, code, change, target);
        } else if (target->part == NULL && change->inside == NULL) {
            list->deletion = change;
        }
    }
}

/* ---- declarations ---- */

static void append_applied(Assembly *assembly, Applied **end, const Change *change)
{
    while (*end != NULL) {
        end = &(*end)->next;
    }
    *end = ARENA_NEW(assembly->arena, Applied);
    (*end)->change = change;
}

static void declare_waiver(Assembly *assembly, const CodeState *code, SectionState *state,
                           const Change *change)
{
    const Change *by = assembly_preempted(assembly, state->section->topic, change->level);
    if (by != NULL) {
        assembly_displace(assembly, code, state, change, by);
    } else if (state->waiver == NULL) {
        state->waiver = change;
    }
}

static void declare_section(Assembly *assembly, CodeState *code, SectionState *state,
                            const Change *change)
{
    switch (change->tree->kind) {
    case CHANGE_APPLIES_READING: append_applied(assembly, &state->applied, change); break;
    case CHANGE_LOCAL_FLOOR:
        (void)section_floor(state, change->level);
        state->declared_floor = change;
        break;
    case CHANGE_NO_WAIVER: declare_waiver(assembly, code, state, change); break;
    default: assembly_guard(assembly, code, NULL, state, change); break;
    }
}

/* Of a number with all its parts: so that sections inserted under it are covered as well. */
static void declare_number(Assembly *assembly, CodeState *code, SectionList *list,
                           const Change *change)
{
    if (change->tree->kind == CHANGE_NO_LOCAL) {
        assembly_guard(assembly, code, list, NULL, change);
    } else if (change->tree->kind == CHANGE_NO_WAIVER && list->waiver == NULL) {
        list->waiver = change;
        code->has_waivers = true;
    }
}

static void declare_target(Assembly *assembly, CodeState *code, const TargetTree *target,
                           const Change *change)
{
    SectionList *list = assembly_find_list(assembly, code, target->number);
    bool hit = false;
    for (const SectionNode *node = list == NULL ? NULL : list->covered; node != NULL;
         node = node->next) {
        assembly->steps++;
        bool is_there = node_in_force(node) == node;
        if ((is_there || node_is_shadow(node)) && section_is_hit(node->state, target->part)) {
            hit = true;
            if (is_there) {
                declare_section(assembly, code, node->state, change);
            }
        }
    }
    if (!hit) {
        assembly_report_missing(assembly, code, change, target);
    } else if (target->part == NULL) {
        declare_number(assembly, code, list, change);
    }
}

static void declare(Assembly *assembly, CodeState *code, const Change *change)
{
    if (change->tree->targets == NULL && change->tree->kind == CHANGE_APPLIES_READING) {
        append_applied(assembly, &code->applied, change);
    } else if (change->tree->targets == NULL) {
        assembly_guard(assembly, code, NULL, NULL, change);
    }
    for (const TargetTree *target = change->tree->targets; target != NULL; target = target->next) {
        declare_target(assembly, code, target, change);
    }
}

/* ---- all changes of a code ---- */

static void apply(Assembly *assembly, CodeState *code, Change *change)
{
    switch ((ChangeKind)change->tree->kind) {
    case CHANGE_TO_READ:
    case CHANGE_LIMIT:
    case CHANGE_EXCEPTION_TO_READ:
    case CHANGE_EXCEPTION_DELETE:
    case CHANGE_EXCEPTION_INSERT: amend(assembly, code, change); break;
    case CHANGE_DELETE: delete_covered(assembly, code, change); break;
    case CHANGE_INSERT: assembly_insert(assembly, code, change); break;
    case CHANGE_RENUMBER: assembly_renumber(assembly, code, change); break;
    case CHANGE_NO_WAIVER: /* declared when the level has made its changes, as the next three */
    case CHANGE_APPLIES_READING:
    case CHANGE_LOCAL_FLOOR:
    case CHANGE_NO_LOCAL:
    case CHANGE_PREEMPTS: /* of no one section, as all below */
    case CHANGE_PREVAILS:
    case CHANGE_FOR_UNITS:
    case CHANGE_REPEALS:
    case CHANGE_EXTENDS:
    case CHANGE_POSTPONES: break;
    }
}

/* The changes that one level makes from one day on, then what it declares of the sections that they
 * leave: what a later day deletes was there to be spoken of. Gives the first change of another day
 * or level. */
static Change *apply_day(Assembly *assembly, CodeState *code, Change *first)
{
    Change *end = first;
    for (; end != NULL && end->level == first->level && end->block->from == first->block->from;
         end = end->next) {
        apply(assembly, code, end);
    }
    for (const Change *change = first; change != end; change = change->next) {
        if (change_traits(change->tree)->declares) {
            declare(assembly, code, change);
        }
    }
    return end;
}

void assembly_apply_changes(Assembly *assembly, CodeState *code)
{
    Change *end = NULL;
    for (Change *start = code->changes; start != NULL; start = end) {
        for (end = start; end != NULL && end->level == start->level;) {
            end = apply_day(assembly, code, end);
        }
        assembly_check_renumbered(assembly, code, start, end);
    }
}
