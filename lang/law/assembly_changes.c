/* Changes: amends, deletes and inserts sections of a code, in the order in which the changes take
 * effect.
 *
 * A change hits what its target names in the text as the changes before it have left it. One that
 * hits nothing, or more than it may, or what another level keeps for itself, is an error at both
 * places and has no effect. What a level declares for the levels below it (floors, no local
 * change) is read after its own changes. */
#include "law/assembly.h"

/* ---- whether a change may be made ---- */

static void report_guarded(Assembly *assembly, const Change *change, Text number, const Name *part,
                           const Change *guard)
{
    Text words = number_words(assembly->arena, number, part);
    Diagnostic *diag = diagnostic_error(
        assembly->diags, "not to be amended locally", change_place(change),
        "'%.*s' may not change %.*s", TEXT_ARG(change->jurisdiction->name->text), TEXT_ARG(words));
    diagnostic_note(assembly->diags, diag, change_place(guard), "'%.*s' keeps it for itself",
                    TEXT_ARG(guard->jurisdiction->name->text));
}

static bool is_tie(const Change *first, const Change *second)
{
    return first->level == second->level && first->block != second->block &&
           first->block->from == second->block->from;
}

static void report_tie(Assembly *assembly, const SectionState *state, const Change *first,
                       const Change *second)
{
    Text words = number_words(assembly->arena, state->section->number, state->section->part);
    Diagnostic *diag = diagnostic_error(
        assembly->diags, "two changes on one day", change_place(second),
        "%.*s is changed twice on %.*s, and neither change comes first", TEXT_ARG(words),
        TEXT_ARG(date_print(assembly->arena, second->block->from)));
    diagnostic_note(assembly->diags, diag, change_place(first), "the other change");
}

static void report_undone(Assembly *assembly, const SectionState *state, const Change *first,
                          const Change *second)
{
    Text words = number_words(assembly->arena, state->section->number, state->section->part);
    Diagnostic *diag =
        diagnostic_error(assembly->diags, "changed twice", change_place(second),
                         "this undoes what the same block does to %.*s", TEXT_ARG(words));
    diagnostic_note(assembly->diags, diag, change_place(first), "changed here");
}

/* Guards, ties, and changes that the same block makes in vain. */
static bool may_change(Assembly *assembly, const SectionState *state, const Change *change)
{
    if (state->guard != NULL && state->guard->level < change->level) {
        report_guarded(assembly, change, state->section->number, state->section->part,
                       state->guard);
        return false;
    }
    const Change *last = state->history == NULL ? NULL : state->history->change;
    if (last != NULL && is_tie(last, change)) {
        report_tie(assembly, state, last, change);
        return false;
    }
    if (last != NULL && last->block == change->block && change->tree->kind != CHANGE_LIMIT) {
        report_undone(assembly, state, last, change);
        return false;
    }
    return true;
}

/* ---- what a change leaves ---- */

const ChangeLink *assembly_link(Assembly *assembly, const Change *change, LinkVerb verb,
                                const ChangeLink *before)
{
    ChangeLink *link = ARENA_NEW(assembly->arena, ChangeLink);
    link->link = (Link){(uint8_t)verb,       change->jurisdiction, change->block->by,
                        change->block->from, change_place(change), change->block};
    link->level = change->level;
    link->before = before;
    return link;
}

static void record(Assembly *assembly, SectionState *state, const Change *change)
{
    History *history = ARENA_NEW(assembly->arena, History);
    history->change = change;
    history->before = state->history;
    state->history = history;
    state->jurisdiction = change->jurisdiction;
}

/* The texts as far as they speak of permits from `from` to before `before`, as copies. */
static TextState *clip_texts(Assembly *assembly, const TextState *texts, Day from, Day before)
{
    TextState *first = NULL;
    TextState **end = &first;
    for (; texts != NULL; texts = texts->next) {
        TextState clipped = *texts;
        if (clipped.tree.permitted_from < from) {
            clipped.tree.permitted_from = from;
        }
        if (clipped.tree.permitted_before > before) {
            clipped.tree.permitted_before = before;
        }
        if (clipped.tree.permitted_from < clipped.tree.permitted_before) {
            TextState *copy = ARENA_NEW(assembly->arena, TextState);
            *copy = clipped;
            copy->next = NULL;
            *end = copy;
            end = &copy->next;
        }
    }
    return first;
}

static TextState *last_text(TextState *texts)
{
    while (texts != NULL && texts->next != NULL) {
        texts = texts->next;
    }
    return texts;
}

/* Before a level changes a section of which an upper one says `locally at least as strict`: the
 * upper text stays in force beside the local one. */
static void keep_floor(Assembly *assembly, SectionState *state, const Change *change)
{
    if (state->floor == NULL || state->floor->level >= change->level ||
        state->floor == state->kept) {
        return;
    }
    TextState *kept = clip_texts(assembly, state->texts, INT32_MIN, DAY_FOREVER);
    for (TextState *text = kept; text != NULL; text = text->next) {
        text->tree.floor = true;
        text->level = state->floor->level;
    }
    TextState *last = last_text(state->floors);
    *(last == NULL ? &state->floors : &last->next) = kept;
    state->kept = state->floor;
}

/* ---- the changes ---- */

/* The new text stands for the permit dates that it names; the former ones keep the others. */
static void change_to_read(Assembly *assembly, SectionState *state, const Change *change)
{
    keep_floor(assembly, state, change);
    TextState *text = assembly_make_text(assembly, &change->tree->body, change->block->source,
                                         change->jurisdiction);
    const TextState *last = last_text(state->texts);
    text->links = assembly_link(assembly, change, LINK_AMENDED, last == NULL ? NULL : last->links);
    TextState *earlier = clip_texts(assembly, state->texts, INT32_MIN, text->tree.permitted_from);
    TextState *later = clip_texts(assembly, state->texts, text->tree.permitted_before, DAY_FOREVER);
    text->next = later;
    state->texts = text;
    if (earlier != NULL) {
        last_text(earlier)->next = text;
        state->texts = earlier;
    }
}

static void amend(Assembly *assembly, const CodeState *code, const Change *change)
{
    SectionState *state = assembly_find_one(assembly, code, change, change->tree->targets);
    if (state == NULL || !may_change(assembly, state, change)) {
        return;
    }
    if (change->tree->kind == CHANGE_TO_READ) {
        change_to_read(assembly, state, change);
    } else {
        keep_floor(assembly, state, change);
        if (!assembly_change_limit(assembly, state, change)) {
            return;
        }
    }
    record(assembly, state, change);
}

static void delete_section(Assembly *assembly, SectionState *state, const Change *change)
{
    if (!may_change(assembly, state, change)) {
        return;
    }
    if (state->floor != NULL && state->floor->level < change->level) {
        Text words = number_words(assembly->arena, state->section->number, state->section->part);
        Diagnostic *diag =
            diagnostic_error(assembly->diags, "floor deleted", change_place(change),
                             "'%.*s' may ask more than %.*s, and not delete it",
                             TEXT_ARG(change->jurisdiction->name->text), TEXT_ARG(words));
        diagnostic_note(assembly->diags, diag, change_place(state->floor),
                        "'%.*s' says: locally at least as strict",
                        TEXT_ARG(state->floor->jurisdiction->name->text));
        return;
    }
    state->deleted = change;
    record(assembly, state, change);
}

static void delete_covered(Assembly *assembly, const CodeState *code, Change *change)
{
    for (const TargetTree *target = change->tree->targets; target != NULL; target = target->next) {
        SectionList *list = assembly_find_list(assembly, code, target_number(change, target));
        bool hit = false;
        for (const SectionNode *node = list == NULL ? NULL : list->covered; node != NULL;
             node = node->next) {
            assembly->steps++;
            if (node->state->deleted == NULL && section_is_hit(node->state, target->part)) {
                delete_section(assembly, node->state, change);
                hit = true;
            }
        }
        if (!hit) {
            assembly_report_missing(assembly, code, change, target);
        } else if (target->part == NULL) {
            list->deletion = change;
        }
    }
}

/* A section that stands in the way of an inserted one, or NULL: the same number and part, or the
 * same number where one of the two has no part. *tie is a change of such a section that an
 * insertion on the same day would contradict. */
static const SectionState *find_in_the_way(Assembly *assembly, const CodeState *code,
                                           const SectionTree *section, const Change *change,
                                           const SectionState **tie)
{
    const SectionList *list = assembly_find_list(assembly, code, section->number);
    for (const SectionNode *node = list == NULL ? NULL : list->exact; node != NULL;
         node = node->next) {
        const SectionState *state = node->state;
        assembly->steps++;
        bool is_same = state->section->part == section->part;
        if (state->deleted == NULL &&
            (is_same || state->section->part == NULL || section->part == NULL)) {
            return state;
        }
        if (is_same && state->history != NULL && is_tie(state->history->change, change)) {
            *tie = state;
        }
    }
    return NULL;
}

static const Change *find_guard(Assembly *assembly, const CodeState *code, Text number)
{
    const Change *found = NULL;
    for (size_t len = number.len; len > 0; len = number_cut(number, len)) {
        const SectionList *list = assembly_find_list(assembly, code, (Text){number.data, len});
        const Change *guard = list == NULL ? NULL : list->guard;
        if (guard != NULL && (found == NULL || guard->level < found->level)) {
            found = guard;
        }
    }
    return found;
}

/* The section to insert, under the number to which it is carried over. */
static const SectionTree *inserted_section(Assembly *assembly, const Change *change)
{
    const SectionTree *written = change->tree->section;
    if (!change->carried || change->tree->carried_to.len == 0) {
        return written;
    }
    SectionTree *section = ARENA_NEW(assembly->arena, SectionTree);
    *section = *written;
    section->number = change->tree->carried_to;
    return section;
}

static void insert(Assembly *assembly, CodeState *code, const Change *change)
{
    const SectionTree *section = inserted_section(assembly, change);
    const Change *guard = find_guard(assembly, code, section->number);
    if (guard != NULL && guard->level < change->level) {
        report_guarded(assembly, change, section->number, section->part, guard);
        return;
    }
    const SectionState *tie = NULL;
    const SectionState *other = find_in_the_way(assembly, code, section, change, &tie);
    if (other != NULL) {
        Text words = number_words(assembly->arena, section->number, section->part);
        Diagnostic *diag =
            diagnostic_error(assembly->diags, "section already there", section_place(section),
                             "%.*s cannot be inserted: the number is taken", TEXT_ARG(words));
        Text other_words =
            number_words(assembly->arena, other->section->number, other->section->part);
        diagnostic_note(assembly->diags, diag, section_place(other->section), "%.*s is here",
                        TEXT_ARG(other_words));
        return;
    }
    if (tie != NULL) {
        report_tie(assembly, tie, tie->history->change, change);
        return;
    }
    SectionState *state = ARENA_NEW(assembly->arena, SectionState);
    state->section = section;
    state->inserted = true;
    state->texts =
        assembly_make_text(assembly, &section->body, section->source, change->jurisdiction);
    state->texts->links = assembly_link(assembly, change, LINK_INSERTED, NULL);
    record(assembly, assembly_add_section(assembly, code, state), change);
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

static void declare_section(Assembly *assembly, SectionState *state, const Change *change)
{
    if (change->tree->kind == CHANGE_APPLIES_READING) {
        append_applied(assembly, &state->applied, change);
    } else if (change->tree->kind == CHANGE_LOCAL_FLOOR) {
        state->floor = change;
    } else if (state->guard == NULL) {
        state->guard = change;
    }
}

static void declare(Assembly *assembly, CodeState *code, Change *change)
{
    if (change->tree->targets == NULL) {
        append_applied(assembly, &code->applied, change);
    }
    for (const TargetTree *target = change->tree->targets; target != NULL; target = target->next) {
        SectionList *list = assembly_find_list(assembly, code, target->number);
        bool hit = false;
        for (const SectionNode *node = list == NULL ? NULL : list->covered; node != NULL;
             node = node->next) {
            assembly->steps++;
            if (node->state->deleted == NULL && section_is_hit(node->state, target->part)) {
                declare_section(assembly, node->state, change);
                hit = true;
            }
        }
        if (!hit) {
            assembly_report_missing(assembly, code, change, target);
        } else if (change->tree->kind == CHANGE_NO_LOCAL && target->part == NULL &&
                   list->guard == NULL) {
            list->guard = change;
        }
    }
}

/* ---- all changes of a code ---- */

static void apply(Assembly *assembly, CodeState *code, Change *change)
{
    switch ((ChangeKind)change->tree->kind) {
    case CHANGE_TO_READ:
    case CHANGE_LIMIT: amend(assembly, code, change); break;
    case CHANGE_DELETE: delete_covered(assembly, code, change); break;
    case CHANGE_INSERT: insert(assembly, code, change); break;
    case CHANGE_EXCEPTION_TO_READ:
    case CHANGE_EXCEPTION_DELETE:
    case CHANGE_EXCEPTION_INSERT:
    case CHANGE_RENUMBER:
    case CHANGE_NO_WAIVER:
    case CHANGE_PREEMPTS:
    case CHANGE_PREVAILS:
    case CHANGE_FOR_UNITS:
    case CHANGE_REPEALS:
    case CHANGE_EXTENDS:
    case CHANGE_POSTPONES:
    case CHANGE_APPLIES_READING:
    case CHANGE_LOCAL_FLOOR:
    case CHANGE_NO_LOCAL: break; /* declared when the level has made its changes */
    }
}

static bool is_declaration(const Change *change)
{
    switch ((ChangeKind)change->tree->kind) {
    case CHANGE_APPLIES_READING:
    case CHANGE_LOCAL_FLOOR:
    case CHANGE_NO_LOCAL: return true;
    case CHANGE_TO_READ:
    case CHANGE_LIMIT:
    case CHANGE_DELETE:
    case CHANGE_INSERT:
    case CHANGE_EXCEPTION_TO_READ:
    case CHANGE_EXCEPTION_DELETE:
    case CHANGE_EXCEPTION_INSERT:
    case CHANGE_RENUMBER:
    case CHANGE_NO_WAIVER:
    case CHANGE_PREEMPTS:
    case CHANGE_PREVAILS:
    case CHANGE_FOR_UNITS:
    case CHANGE_REPEALS:
    case CHANGE_EXTENDS:
    case CHANGE_POSTPONES: break;
    }
    return false;
}

void assembly_apply_changes(Assembly *assembly, CodeState *code)
{
    Change *end = NULL;
    for (Change *start = code->changes; start != NULL; start = end) {
        for (end = start; end != NULL && end->level == start->level; end = end->next) {
            apply(assembly, code, end);
        }
        for (Change *change = start; change != end; change = change->next) {
            if (is_declaration(change)) {
                declare(assembly, code, change);
            }
        }
    }
}
