/* Targets: the sections of a code by number, and what is said when a target hits none of them or
 * too many.
 *
 * Each section is found under its number and under every number that covers it, so that the cost
 * of a change depends on what it hits, not on the size of the code. */
#include "law/assembly.h"

Place change_place(const Change *change)
{
    return (Place){change->block->source, change->tree->span};
}

Place section_place(const SectionTree *section)
{
    return (Place){section->source, section->number_span};
}

static bool is_renumbered(const Change *change)
{
    return change->carried && change->tree->carried_to.len > 0;
}

Text target_number(const Change *change, const TargetTree *target)
{
    return is_renumbered(change) ? change->tree->carried_to : target->number;
}

/* Where the number that a target means is written. */
static Place number_place(const Change *change, const TargetTree *target)
{
    Span span = is_renumbered(change) ? change->tree->fate_span : target->span;
    return (Place){change->block->source, span};
}

/* ---- index ---- */

SectionList *assembly_find_list(Assembly *assembly, const CodeState *code, Text number)
{
    const Name *name = names_find(assembly->names, number);
    return name == NULL ? NULL : map_get(code->by_number, name);
}

static const SectionNode *find_exact(Assembly *assembly, const CodeState *code, Text number)
{
    const SectionList *list = assembly_find_list(assembly, code, number);
    return list == NULL ? NULL : list->exact;
}

static const SectionNode *find_covered(Assembly *assembly, const CodeState *code, Text number)
{
    const SectionList *list = assembly_find_list(assembly, code, number);
    return list == NULL ? NULL : list->covered;
}

bool section_is_hit(const SectionState *state, const Name *part)
{
    return part == NULL || part == state->section->part;
}

/* The window of permit dates in which a body speaks, and what it exempts. */
static void set_permit(TextTree *text, const PermitTree *permit)
{
    text->permitted_from = INT32_MIN;
    text->permitted_before = DAY_FOREVER;
    switch ((PermitKind)permit->kind) {
    case PERMIT_ALL:
    case PERMIT_EXISTING_FROM: break;
    case PERMIT_ON_OR_AFTER: text->permitted_from = permit->day; break;
    case PERMIT_BEFORE: text->permitted_before = permit->day; break;
    case PERMIT_NOT_BEFORE:
    case PERMIT_NOT_ON: text->exempt = *permit; break;
    }
}

TextState *assembly_make_text(Assembly *assembly, const BodyTree *body, const Source *source,
                              const JurisdictionTree *jurisdiction)
{
    TextState *text = ARENA_NEW(assembly->arena, TextState);
    text->tree.body = body;
    text->tree.source = source;
    text->tree.jurisdiction = jurisdiction;
    set_permit(&text->tree, &body->permit);
    return text;
}

static SectionList *make_list(Assembly *assembly, CodeState *code, Text number)
{
    const Name *name = names_intern(assembly->names, number);
    SectionList *list = map_get(code->by_number, name);
    if (list == NULL) {
        list = ARENA_NEW(assembly->arena, SectionList);
        list->number = name;
        list->exact_end = &list->exact;
        list->covered_end = &list->covered;
        (void)map_put(code->by_number, name, list);
    }
    return list;
}

static SectionNode **append_node(Assembly *assembly, SectionNode **end, SectionState *state)
{
    SectionNode *node = ARENA_NEW(assembly->arena, SectionNode);
    node->state = state;
    *end = node;
    assembly->steps++;
    return &node->next;
}

SectionState *assembly_add_section(Assembly *assembly, CodeState *code, SectionState *state)
{
    *(code->first == NULL ? &code->first : &code->last->next) = state;
    code->last = state;
    state->order = code->section_count++;
    Text number = state->section->number;
    SectionList *own = make_list(assembly, code, number);
    own->exact_end = append_node(assembly, own->exact_end, state);
    for (size_t len = number.len; len > 0; len = number_cut(number, len)) {
        SectionList *list = make_list(assembly, code, (Text){number.data, len});
        list->covered_end = append_node(assembly, list->covered_end, state);
    }
    return state;
}

/* ---- targets that hit nothing ---- */

/* What is in force under the number: another part, or a subdivision. */
static bool note_covered(Assembly *assembly, Diagnostic *diag, const CodeState *code, Text number)
{
    const SectionNode *node = find_covered(assembly, code, number);
    for (; node != NULL; node = node->next) {
        const SectionTree *section = node->state->section;
        if (node->state->deleted == NULL) {
            Text words = number_words(assembly->arena, section->number, section->part);
            diagnostic_note(assembly->diags, diag, section_place(section), "there is %.*s",
                            TEXT_ARG(words));
            return true;
        }
    }
    return false;
}

static void note_nearest(Assembly *assembly, Diagnostic *diag, const CodeState *code, Text number)
{
    Text *numbers = ARENA_ARRAY(assembly->arena, Text, code->section_count);
    const SectionTree **sections =
        ARENA_ARRAY(assembly->arena, const SectionTree *, code->section_count);
    size_t count = 0;
    for (const SectionState *state = code->first; state != NULL; state = state->next) {
        if (state->deleted == NULL) {
            sections[count] = state->section;
            numbers[count++] = state->section->number;
        }
    }
    long nearest = text_nearest(number, numbers, count);
    if (nearest >= 0) {
        diagnostic_note(assembly->diags, diag, section_place(sections[nearest]),
                        "the nearest number is '%.*s'", TEXT_ARG(numbers[nearest]));
    }
}

static const SectionState *find_deleted(Assembly *assembly, const CodeState *code, Text number,
                                        const Name *part)
{
    const SectionState *found = NULL;
    const SectionNode *node = find_covered(assembly, code, number);
    for (; node != NULL; node = node->next) {
        if (node->state->deleted != NULL && section_is_hit(node->state, part)) {
            found = node->state; /* the last one: a number may have been deleted twice */
        }
    }
    return found;
}

void assembly_report_missing(Assembly *assembly, const CodeState *code, const Change *change,
                             const TargetTree *target)
{
    Text number = target_number(change, target);
    Text words = number_words(assembly->arena, number, target->part);
    const SectionState *dead = find_deleted(assembly, code, number, target->part);
    if (dead != NULL) {
        Diagnostic *diag =
            diagnostic_error(assembly->diags, "already deleted", number_place(change, target),
                             "%.*s is deleted already", TEXT_ARG(words));
        diagnostic_note(assembly->diags, diag, change_place(dead->deleted),
                        "'%.*s' deletes it here",
                        TEXT_ARG(dead->deleted->jurisdiction->name->text));
        return;
    }
    Text name = code->code->name->text;
    Text edition = code->code->edition;
    Diagnostic *diag =
        diagnostic_error(assembly->diags, "no such section", number_place(change, target),
                         "%.*s is no section of '%.*s' edition '%.*s'", TEXT_ARG(words),
                         TEXT_ARG(name), TEXT_ARG(edition));
    diagnostic_note(assembly->diags, diag, (Place){code->code->source, code->code->name_span},
                    "'%.*s' edition '%.*s' is here", TEXT_ARG(name), TEXT_ARG(edition));
    if (!note_covered(assembly, diag, code, number)) {
        note_nearest(assembly, diag, code, number);
    }
}

/* ---- targets that must hit one section ---- */

static void report_several(Assembly *assembly, const CodeState *code, const Change *change,
                           const TargetTree *target)
{
    Text number = target_number(change, target);
    Diagnostic *diag = diagnostic_error(
        assembly->diags, "several sections", number_place(change, target),
        "'%.*s' names several sections, and an amendment changes one", TEXT_ARG(number));
    const SectionNode *node = find_exact(assembly, code, number);
    for (; node != NULL; node = node->next) {
        const SectionTree *section = node->state->section;
        if (node->state->deleted == NULL) {
            Text words = number_words(assembly->arena, number, section->part);
            diagnostic_note(assembly->diags, diag, section_place(section), "%.*s", TEXT_ARG(words));
        }
    }
}

/* How many sections in force have exactly this number; *found is the first. */
static uint32_t count_exact(Assembly *assembly, const CodeState *code, Text number,
                            const Name *part, SectionState **found)
{
    uint32_t count = 0;
    const SectionNode *node = find_exact(assembly, code, number);
    for (; node != NULL; node = node->next) {
        assembly->steps++;
        if (node->state->deleted == NULL && section_is_hit(node->state, part)) {
            *found = count == 0 ? node->state : *found;
            count++;
        }
    }
    return count;
}

SectionState *assembly_find_one(Assembly *assembly, const CodeState *code, const Change *change,
                                const TargetTree *target)
{
    SectionState *found = NULL;
    Text number = target_number(change, target);
    uint32_t count = count_exact(assembly, code, number, target->part, &found);
    if (count == 0 && target->part != NULL && is_renumbered(change)) {
        count = count_exact(assembly, code, number, NULL, &found); /* its own number now */
    }
    if (count == 0) {
        assembly_report_missing(assembly, code, change, target);
    } else if (count > 1) {
        report_several(assembly, code, change, target);
    }
    return count == 1 ? found : NULL;
}
