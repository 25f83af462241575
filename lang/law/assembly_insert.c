/* Changes that bring a number into use: sections inserted, and sections renumbered.
 *
 * The number must be free: never used, deleted, or held free by the code. What a level above has
 * displaced takes no number, but is found by the acts that go on to change it. */
#include "law/assembly.h"

/* What is in the way of a section of that number and part: one in force of the same number, or a
 * change of one that is no more, on the same day. */
typedef struct InTheWay {
    const SectionTree *taken;
    const Change *tie;
} InTheWay;

static InTheWay find_in_the_way(Assembly *assembly, const CodeState *code,
                                const SectionTree *section, const Change *change)
{
    InTheWay found = {NULL, NULL};
    const SectionList *list = assembly_find_list(assembly, code, section->number);
    const SectionNode *node = list == NULL ? NULL : list->exact;
    for (; node != NULL && found.taken == NULL; node = node->next) {
        const SectionState *state = node->state;
        assembly->steps++;
        bool is_same = state->section->part == section->part;
        bool is_taken = node_in_force(node) == node;
        if (is_taken && (is_same || state->section->part == NULL || section->part == NULL)) {
            found.taken = state->section;
        }
        const Change *last = node->gone != NULL       ? node->gone
                             : state->history != NULL ? state->history->change
                                                      : NULL;
        if (is_same && !node_is_shadow(node) && last != NULL && change_is_tie(last, change)) {
            found.tie = last;
        }
    }
    return found;
}

/* False after an error. */
static bool is_free(Assembly *assembly, const CodeState *code, const SectionTree *section,
                    const Change *change, Place place)
{
    InTheWay found = find_in_the_way(assembly, code, section, change);
    if (found.taken == NULL && found.tie == NULL) {
        return true;
    }
    if (found.taken == NULL) {
        assembly_report_tie(assembly, section, found.tie, change);
        return false;
    }
    Text words = number_words(assembly->arena, section->number, section->part);
    bool inserts = change->tree->kind == CHANGE_INSERT;
    Diagnostic *diag =
        diagnostic_error(assembly->diags, "section already there", place,
                         inserts ? "%.*s cannot be inserted: the number is taken"
                                 : "nothing can be renumbered as %.*s: the number is taken",
                         TEXT_ARG(words));
    Text other = number_words(assembly->arena, found.taken->number, found.taken->part);
    diagnostic_note(assembly->diags, diag, section_place(found.taken), "%.*s is here",
                    TEXT_ARG(other));
    return false;
}

/* ---- insert ---- */

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

void assembly_insert(Assembly *assembly, CodeState *code, const Change *change)
{
    const SectionTree *section = inserted_section(assembly, change);
    const Change *by = NULL;
    if (!assembly_may_bring(assembly, code, section, change, &by) ||
        (by == NULL && !is_free(assembly, code, section, change, section_place(section)))) {
        return;
    }
    SectionState *state = ARENA_NEW(assembly->arena, SectionState);
    state->section = section;
    state->inserted = true;
    state->texts = assembly_make_text(assembly, &section->body, section->source,
                                      change->jurisdiction, change->block->from);
    state->texts->links = assembly_link(assembly, change, LINK_INSERTED, NULL);
    state->texts->words = state->texts->links;
    if (change->inside != NULL) {
        text_add_scope(assembly, state->texts, change->inside);
    }
    assembly_record(assembly, assembly_add_section(assembly, code, state), change);
    if (by != NULL) {
        state->displaced = true;
        state->dated = by->tree->kind == CHANGE_NO_LOCAL ? by : NULL;
        assembly_displace(assembly, code, state, change, by);
    }
}

/* ---- renumber ---- */

static const SectionTree *renumbered_section(Assembly *assembly, const SectionState *state,
                                             const Change *change)
{
    SectionTree *section = ARENA_NEW(assembly->arena, SectionTree);
    *section = *state->section;
    section->number = change->tree->number;
    return section;
}

void assembly_renumber(Assembly *assembly, CodeState *code, const Change *change)
{
    SectionState *state = assembly_find_one(assembly, code, change, change->tree->targets);
    if (state == NULL) {
        return;
    }
    const Change *before = state->displacing;
    if (!assembly_may_change(assembly, code, state, change)) {
        if (state->displacing != before) { /* later acts of the level call it by its new number */
            assembly_shadow_section(assembly, code, state, change->tree->number);
        }
        return;
    }
    const SectionTree *section = renumbered_section(assembly, state, change);
    Place place = {change->block->source, change->tree->number_span};
    const Change *by = NULL;
    if (!assembly_may_bring(assembly, code, section, change, &by)) {
        return;
    }
    if (by != NULL) { /* the new number is kept, though the old one is not */
        assembly_displace(assembly, code, state, change, by);
        assembly_shadow_section(assembly, code, state, change->tree->number);
        return;
    }
    if (!is_free(assembly, code, section, change, place)) {
        return;
    }
    if (state->former_number.len == 0) {
        state->former_number = state->section->number;
    }
    state->section = section;
    state->inserted = true;
    assembly_move_section(assembly, code, state, change);
    for (TextState *text = state->texts; text != NULL; text = text->next) {
        text->links = assembly_link(assembly, change, LINK_RENUMBERED, text->links);
    }
    assembly_record(assembly, state, change);
}

/* What the change has renumbered; NULL after an error. */
static const SectionState *find_renumbered(const SectionList *list, const Change *change)
{
    const SectionNode *node = list == NULL ? NULL : list->exact;
    while (node != NULL && node->gone != change) {
        node = node->next;
    }
    return node == NULL ? NULL : node->state;
}

/* A subdivision that still stands under the former number; NULL. */
static const SectionTree *find_left_behind(const SectionList *list, const SectionState *moved)
{
    const SectionNode *node = node_in_force(list->covered);
    while (node != NULL &&
           (node->state == moved || text_equal(node->state->section->number, list->number->text))) {
        node = node_in_force(node->next); /* one of the former number: another part, or inserted */
    }
    return node == NULL ? NULL : node->state->section;
}

void assembly_check_renumbered(Assembly *assembly, const CodeState *code, const Change *changes,
                               const Change *end)
{
    for (const Change *change = changes; change != end; change = change->next) {
        if (change->tree->kind != CHANGE_RENUMBER) {
            continue;
        }
        Text number = target_number(change, change->tree->targets);
        const SectionList *list = assembly_find_list(assembly, code, number);
        const SectionState *moved = find_renumbered(list, change);
        const SectionTree *left = moved == NULL ? NULL : find_left_behind(list, moved);
        if (left != NULL) {
            Diagnostic *diag = diagnostic_warning(
                assembly->diags, "subdivisions keep their numbers", change_place(change),
                "'%.*s' is renumbered as '%.*s', and its subdivisions are not", TEXT_ARG(number),
                TEXT_ARG(change->tree->number));
            Text words = number_words(assembly->arena, left->number, left->part);
            diagnostic_note(assembly->diags, diag, section_place(left), "%.*s is here",
                            TEXT_ARG(words));
        }
    }
}
