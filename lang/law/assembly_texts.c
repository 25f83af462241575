/* The texts of one section: for which permit dates and units each stands, and which of them a
 * floor keeps beside the local ones.
 *
 * Takes the texts as the changes before have left them; gives new ones and never alters a former
 * one, since floors share them. Of the texts of a section at most one stands for any permit date
 * and unit: a new text takes its dates and units from all others. */
#include "law/assembly.h"

/* ---- one text ---- */

/* The window of permit dates in which a body speaks, and what it exempts. */
static void set_permit(const Assembly *assembly, TextTree *text, const PermitTree *permit, Day came)
{
    text->permitted_from = INT32_MIN;
    text->permitted_before = DAY_FOREVER;
    switch ((PermitKind)permit->kind) {
    case PERMIT_ALL: break;
    case PERMIT_EXISTING_FROM:
        text->permitted_from = assembly->on < permit->day ? came : INT32_MIN;
        break;
    case PERMIT_ON_OR_AFTER: text->permitted_from = permit->day; break;
    case PERMIT_BEFORE: text->permitted_before = permit->day; break;
    case PERMIT_NOT_BEFORE:
    case PERMIT_NOT_ON: text->exempt = *permit; break;
    }
}

TextState *assembly_make_text(Assembly *assembly, const BodyTree *body, const Source *source,
                              const JurisdictionTree *jurisdiction, Day came)
{
    TextState *text = ARENA_NEW(assembly->arena, TextState);
    text->tree.body = body;
    text->tree.source = source;
    text->tree.jurisdiction = jurisdiction;
    set_permit(assembly, &text->tree, &body->permit, came);
    return text;
}

const ChangeLink *assembly_link(Assembly *assembly, const Change *change, LinkVerb verb,
                                const ChangeLink *before)
{
    ChangeLink *link = ARENA_NEW(assembly->arena, ChangeLink);
    link->link = (Link){(uint8_t)verb,       change->jurisdiction, change->block->by,
                        change->block->from, change_place(change), change->block};
    link->level = change->level;
    link->order = ++assembly->link_count;
    link->before = before;
    return link;
}

static TextState *copy_text(Assembly *assembly, const TextState *text)
{
    TextState *copy = ARENA_NEW(assembly->arena, TextState);
    *copy = *text;
    copy->next = NULL;
    return copy;
}

static bool may_have(Assembly *assembly, const SectionState *state, const Change *change,
                     const TextState *texts)
{
    uint32_t count = 0;
    for (; texts != NULL; texts = texts->next) {
        count++;
    }
    if (count > SECTION_TEXTS_MAX) {
        Text words = number_words(assembly->arena, state->section->number, state->section->part);
        diagnostic_error(assembly->diags, "too many texts", change_place(change),
                         "%.*s would have more than %d texts, for other permit dates and units "
                         "each",
                         TEXT_ARG(words), SECTION_TEXTS_MAX);
    }
    return count <= SECTION_TEXTS_MAX;
}

/* ---- texts by units ---- */

/* The text is for other units than the change. */
static bool is_outside(const TextState *text, const Change *change)
{
    for (uint32_t i = 0; change->inside != NULL && i < text->tree.scope_count; i++) {
        const ScopeTree *scope = &text->tree.scopes[i];
        if (scope->negated && scope_same(scope, change->inside)) {
            return true;
        }
    }
    return false;
}

bool text_is_touched(const TextState *text, const Change *change)
{
    return text->deleted == NULL && !is_outside(text, change);
}

bool text_is_inside(const TextState *text, const Change *change)
{
    if (text->deleted != NULL || change->inside == NULL) {
        return text->deleted == NULL;
    }
    for (uint32_t i = 0; i < text->tree.scope_count; i++) {
        const ScopeTree *scope = &text->tree.scopes[i];
        if (!scope->negated && scope_starts(scope, change->inside)) {
            return true;
        }
    }
    return false;
}

bool assembly_split_texts(Assembly *assembly, const SectionState *state, const Change *change,
                          TextState **out)
{
    *out = NULL;
    TextState **end = out;
    for (const TextState *text = state->texts; text != NULL; text = text->next) {
        bool is_whole = !text_is_touched(text, change) || text_is_inside(text, change);
        TextState *copy = copy_text(assembly, text);
        *end = copy;
        end = &copy->next;
        if (!is_whole) {
            text_add_scope(assembly, copy, change->inside);
            TextState *former = copy_text(assembly, text);
            text_add_scope(assembly, former, change->outside);
            *end = former;
            end = &former->next;
        }
    }
    return may_have(assembly, state, change, *out);
}

bool assembly_leave_texts(Assembly *assembly, SectionState *state, const Change *change)
{
    TextState *texts = NULL;
    if (!assembly_split_texts(assembly, state, change, &texts)) {
        return false;
    }
    for (TextState *text = texts; text != NULL; text = text->next) {
        if (text_is_inside(text, change)) {
            text->deleted = change;
            text->links = assembly_link(assembly, change, LINK_AMENDED, text->links);
        }
    }
    state->texts = texts;
    return true;
}

/* ---- texts by permit date ---- */

/* The texts as far as they speak of permits from `from` to before `before`, as copies. */
static TextState *clip_texts(Assembly *assembly, const TextState *texts, Day from, Day before)
{
    TextState *first = NULL;
    TextState **end = &first;
    for (; texts != NULL; texts = texts->next) {
        TextTree clipped = texts->tree;
        if (clipped.permitted_from < from) {
            clipped.permitted_from = from;
        }
        if (clipped.permitted_before > before) {
            clipped.permitted_before = before;
        }
        if (clipped.permitted_from < clipped.permitted_before) {
            TextState *copy = copy_text(assembly, texts);
            copy->tree = clipped;
            *end = copy;
            end = &copy->next;
        }
    }
    return first;
}

static TextState **end_of(TextState **texts)
{
    while (*texts != NULL) {
        texts = &(*texts)->next;
    }
    return texts;
}

/* What the new text follows: of the texts it takes units from, the one changed last. */
static const ChangeLink *last_link(const TextState *texts, const TextState *replacing)
{
    const ChangeLink *found = NULL;
    for (; texts != NULL; texts = texts->next) {
        bool overlaps = texts->tree.permitted_from < replacing->tree.permitted_before &&
                        replacing->tree.permitted_from < texts->tree.permitted_before;
        if (overlaps && texts->links != NULL &&
            (found == NULL || texts->links->order > found->order)) {
            found = texts->links;
        }
    }
    return found;
}

bool assembly_replace_texts(Assembly *assembly, SectionState *state, const Change *change)
{
    TextState *text = assembly_make_text(assembly, &change->tree->body, change->block->source,
                                         change->jurisdiction, change->block->from);
    Day from = text->tree.permitted_from;
    Day before = text->tree.permitted_before;
    text->links = assembly_link(assembly, change, LINK_AMENDED, last_link(state->texts, text));
    text->words = text->links;
    TextState *texts = clip_texts(assembly, state->texts, INT32_MIN, from);
    *end_of(&texts) = text;
    if (change->inside != NULL) {
        text_add_scope(assembly, text, change->inside);
        TextState *former = clip_texts(assembly, state->texts, from, before);
        for (TextState *other = former; other != NULL; other = other->next) {
            text_add_scope(assembly, other, change->outside);
        }
        *end_of(&texts) = former;
    }
    *end_of(&texts) = clip_texts(assembly, state->texts, before, DAY_FOREVER);
    if (!may_have(assembly, state, change, texts)) {
        return false;
    }
    state->texts = texts;
    return true;
}

/* ---- floors ---- */

static bool has_words(const TextState *texts, const ChangeLink *words)
{
    while (texts != NULL && texts->words != words) {
        texts = texts->next;
    }
    return texts != NULL;
}

const Change *section_floor(SectionState *state, uint32_t level)
{
    if (state->declared_floor != NULL && state->declared_floor->level < level) {
        state->floor = state->declared_floor;
        state->declared_floor = NULL;
    }
    return state->floor;
}

void assembly_keep_floor(Assembly *assembly, SectionState *state, const Change *change)
{
    const Change *binding = section_floor(state, change->level);
    if (binding == NULL || binding == state->kept) {
        return;
    }
    const TextState *kept = state->floors;
    TextState *added = NULL;
    TextState **end = &added;
    for (const TextState *text = state->texts; text != NULL; text = text->next) {
        if (text->deleted != NULL || has_words(kept, text->words)) {
            continue; /* an outer level's floor holds it already, or nothing holds */
        }
        TextState *floor = copy_text(assembly, text);
        floor->tree.floor = true;
        floor->level = binding->level;
        *end = floor;
        end = &floor->next;
    }
    *end_of(&state->floors) = added;
    state->kept = binding;
}

typedef struct Floors {
    Assembly *assembly;
    TextState *first;
    TextState **end;
} Floors;

static TextState *put_floor(Floors *out, const TextState *floor, Day from, Day before)
{
    TextState *copy = copy_text(out->assembly, floor);
    copy->tree.permitted_from = from;
    copy->tree.permitted_before = before;
    *out->end = copy;
    out->end = &copy->next;
    return copy;
}

/* Where the local law still has the floor's text, but for some units only: the floor stands for
 * the others. The scopes that the text has beyond those of the floor, a and b and so on, leave
 * not a; a, not b; and so on. */
static void put_others(Floors *out, const TextState *floor, const TextState *text, Day from,
                       Day before)
{
    uint32_t shared = floor->tree.scope_count;
    for (uint32_t at = shared; at < text->tree.scope_count; at++) {
        TextState *copy = put_floor(out, floor, from, before);
        for (uint32_t i = shared; i <= at; i++) {
            ScopeTree scope = text->tree.scopes[i];
            scope.negated = scope.negated != (i == at);
            text_add_scope(out->assembly, copy, &scope);
        }
    }
}

/* Local texts of the floor's words are parts of it, ascending, and none overlaps another. */
static void find_floors_of(Floors *out, const TextState *floor, const TextState *texts)
{
    Day end = floor->tree.permitted_before;
    Day at = floor->tree.permitted_from;
    for (; texts != NULL && at < end; texts = texts->next) {
        Day from = texts->tree.permitted_from;
        Day before = texts->tree.permitted_before;
        bool is_same = texts->words == floor->words && texts->deleted == NULL;
        if (!is_same || before <= at || from >= end) {
            continue;
        }
        if (from > at) {
            (void)put_floor(out, floor, at, from);
            at = from;
        }
        before = before < end ? before : end;
        put_others(out, floor, texts, at, before);
        at = before;
    }
    if (at < end) {
        (void)put_floor(out, floor, at, end);
    }
}

TextState *assembly_find_floors(Assembly *assembly, const SectionState *state)
{
    Floors floors = {.assembly = assembly};
    floors.end = &floors.first;
    for (const TextState *floor = state->floors; floor != NULL; floor = floor->next) {
        find_floors_of(&floors, floor, state->texts);
    }
    return floors.first;
}
