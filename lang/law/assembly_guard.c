/* Whether a change may be made: what levels above keep for themselves or have preempted, ties of
 * one day, and changes that the same block makes in vain.
 *
 * A change that was good when it was made, and is displaced by a level above from a later day, is
 * listed from then on and has no effect; it is no error. */
#include "law/assembly.h"

/* ---- what is kept ---- */

/* The day from which a guard works, where it names one: then acts before it stand until then. */
static bool is_dated(const Change *guard)
{
    return guard->tree->day != DAY_UNSAID;
}

static void keep_outermost(const Change **kept, const Change *change)
{
    if (*kept == NULL || change->level < (*kept)->level) {
        *kept = change;
    }
}

static void keep_earliest(const Change **kept, const Change *change)
{
    if (change != NULL && (*kept == NULL || change->tree->day < (*kept)->tree->day)) {
        *kept = change;
    }
}

void assembly_guard(Assembly *assembly, CodeState *code, SectionList *list, SectionState *state,
                    const Change *change)
{
    const Change **guard = state != NULL  ? &state->guard
                           : list != NULL ? &list->guard
                                          : &code->guard;
    const Change **dated = state != NULL  ? &state->dated
                           : list != NULL ? &list->dated
                                          : &code->dated;
    if (!is_dated(change)) {
        keep_outermost(guard, change);
    } else if (change->tree->day <= assembly->on) {
        keep_earliest(dated, change);
    }
}

typedef struct Guards {
    const Change *guard; /* without a day */
    const Change *dated; /* the one whose day comes first */
} Guards;

static void add_guards(Guards *guards, const Change *guard, const Change *dated,
                       const Change *change)
{
    if (guard != NULL && guard->level < change->level) {
        keep_outermost(&guards->guard, guard);
    }
    if (dated != NULL && dated->level < change->level) {
        keep_earliest(&guards->dated, dated);
    }
}

/* Of a number that a change brings in: all that keep what covers it. */
static Guards find_guards(Assembly *assembly, const CodeState *code, Text number,
                          const Change *change)
{
    Guards guards = {NULL, NULL};
    add_guards(&guards, code->guard, code->dated, change);
    for (size_t len = number.len; len > 0; len = number_cut(number, len)) {
        const SectionList *list = assembly_find_list(assembly, code, (Text){number.data, len});
        if (list != NULL) {
            add_guards(&guards, list->guard, list->dated, change);
        }
    }
    return guards;
}

static void report_guarded(Assembly *assembly, const Change *change, const SectionTree *section,
                           const Change *guard)
{
    Text words = number_words(assembly->arena, section->number, section->part);
    Diagnostic *diag = diagnostic_error(
        assembly->diags, "not to be amended locally", change_place(change),
        "'%.*s' may not change %.*s", TEXT_ARG(change->jurisdiction->name->text), TEXT_ARG(words));
    if (is_dated(guard)) {
        diagnostic_note(assembly->diags, diag, change_place(guard),
                        "'%.*s' keeps it for itself from %.*s",
                        TEXT_ARG(guard->jurisdiction->name->text),
                        TEXT_ARG(date_print(assembly->arena, guard->tree->day)));
    } else {
        diagnostic_note(assembly->diags, diag, change_place(guard), "'%.*s' keeps it for itself",
                        TEXT_ARG(guard->jurisdiction->name->text));
    }
}

/* False after an error. *displaced is the guard that displaces the change, or NULL. */
static bool obeys(Assembly *assembly, Guards guards, const SectionTree *section,
                  const Change *change, const Change **displaced)
{
    *displaced = NULL;
    if (guards.guard == NULL && guards.dated != NULL &&
        change->block->from < guards.dated->tree->day) {
        *displaced = guards.dated;
        return true;
    }
    const Change *guard = guards.guard != NULL ? guards.guard : guards.dated;
    if (guard != NULL) {
        report_guarded(assembly, change, section, guard);
    }
    return guard == NULL;
}

/* ---- ties, and what is done in vain ---- */

bool change_is_tie(const Change *first, const Change *second)
{
    return first->level == second->level && first->block != second->block &&
           first->block->from == second->block->from;
}

void assembly_report_tie(Assembly *assembly, const SectionTree *section, const Change *first,
                         const Change *second)
{
    Text words = number_words(assembly->arena, section->number, section->part);
    Diagnostic *diag = diagnostic_error(
        assembly->diags, "two changes on one day", change_place(second),
        "%.*s is changed twice on %.*s, and neither change comes first", TEXT_ARG(words),
        TEXT_ARG(date_print(assembly->arena, second->block->from)));
    diagnostic_note(assembly->diags, diag, change_place(first), "the other change");
}

void assembly_report_undone(Assembly *assembly, const SectionTree *section, Place first,
                            const Change *second)
{
    Text words = number_words(assembly->arena, section->number, section->part);
    Diagnostic *diag =
        diagnostic_error(assembly->diags, "changed twice", change_place(second),
                         "this undoes what the same block does to %.*s", TEXT_ARG(words));
    diagnostic_note(assembly->diags, diag, first, "changed here");
}

/* A second text leaves something of the first when it is for some units only, or for permits of
 * other days. */
static bool is_apart(const PermitTree *a, const PermitTree *b)
{
    bool a_after = a->kind == PERMIT_ON_OR_AFTER;
    bool b_after = b->kind == PERMIT_ON_OR_AFTER;
    return (a_after && b->kind == PERMIT_BEFORE && b->day <= a->day) ||
           (b_after && a->kind == PERMIT_BEFORE && a->day <= b->day);
}

static bool undoes(const ChangeTree *later, const ChangeTree *earlier)
{
    switch (later->kind) {
    case CHANGE_TO_READ:
        if (earlier->kind == CHANGE_TO_READ) {
            return later->body.scopes == NULL &&
                   !is_apart(&later->body.permit, &earlier->body.permit);
        }
        return earlier->kind != CHANGE_RENUMBER;
    case CHANGE_DELETE: return true;
    case CHANGE_RENUMBER: return earlier->kind == CHANGE_RENUMBER || earlier->kind == CHANGE_INSERT;
    default: return false; /* a part of the text: looked at where it is found */
    }
}

static const Change *find_undone(const SectionState *state, const Change *change)
{
    const History *history = state->history;
    for (; history != NULL && history->change->block == change->block; history = history->before) {
        if (undoes(change->tree, history->change->tree)) {
            return history->change;
        }
    }
    return NULL;
}

/* ---- a change of a section ---- */

bool assembly_may_change(Assembly *assembly, const CodeState *code, SectionState *state,
                         const Change *change)
{
    const Change *displaced = assembly_preempted(assembly, state->section->topic, change->level);
    if (displaced == NULL) {
        Guards guards = {NULL, NULL};
        add_guards(&guards, code->guard, code->dated, change);
        add_guards(&guards, state->guard, state->dated, change);
        if (!obeys(assembly, guards, state->section, change, &displaced)) {
            return false;
        }
    }
    if (displaced != NULL) {
        assembly_displace(assembly, code, state, change, displaced);
        return false;
    }
    const History *last = state->history;
    if (last != NULL && change_is_tie(last->change, change)) {
        assembly_report_tie(assembly, state->section, last->change, change);
        return false;
    }
    const Change *undone = find_undone(state, change);
    if (undone != NULL) {
        assembly_report_undone(assembly, state->section, change_place(undone), change);
    }
    return undone == NULL;
}

bool assembly_may_bring(Assembly *assembly, const CodeState *code, const SectionTree *section,
                        const Change *change, const Change **displaced)
{
    *displaced = assembly_preempted(assembly, section->topic, change->level);
    if (*displaced != NULL) {
        return true;
    }
    Guards guards = find_guards(assembly, code, section->number, change);
    return obeys(assembly, guards, section, change, displaced);
}
