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

const SectionNode *node_in_force(const SectionNode *node)
{
    while (node != NULL && (node->gone != NULL || node->shadow || node->state->deleted != NULL ||
                            node->state->displaced)) {
        node = node->next;
    }
    return node;
}

bool node_is_shadow(const SectionNode *node)
{
    return node->gone == NULL && node->state->deleted == NULL &&
           (node->shadow || node->state->displaced);
}

static SectionNode **append_node(Assembly *assembly, SectionNode **end, SectionState *state,
                                 bool shadow)
{
    SectionNode *node = ARENA_NEW(assembly->arena, SectionNode);
    node->state = state;
    node->shadow = shadow;
    node->of_state = state->nodes;
    state->nodes = node;
    *end = node;
    assembly->steps++;
    return &node->next;
}

static void add_number(Assembly *assembly, CodeState *code, SectionState *state, Text number,
                       bool shadow)
{
    SectionList *own = make_list(assembly, code, number);
    own->exact_end = append_node(assembly, own->exact_end, state, shadow);
    for (size_t len = number.len; len > 0; len = number_cut(number, len)) {
        SectionList *list = make_list(assembly, code, (Text){number.data, len});
        list->covered_end = append_node(assembly, list->covered_end, state, shadow);
    }
}

SectionState *assembly_add_section(Assembly *assembly, CodeState *code, SectionState *state)
{
    *(code->first == NULL ? &code->first : &code->last->next) = state;
    code->last = state;
    state->order = code->section_count++;
    add_number(assembly, code, state, state->section->number, false);
    return state;
}

void assembly_move_section(Assembly *assembly, CodeState *code, SectionState *state,
                           const Change *change)
{
    for (SectionNode *node = state->nodes; node != NULL; node = node->of_state) {
        node->gone = node->gone == NULL ? change : node->gone;
        assembly->steps++;
    }
    add_number(assembly, code, state, state->section->number, false);
}

void assembly_shadow_section(Assembly *assembly, CodeState *code, SectionState *state, Text number)
{
    add_number(assembly, code, state, number, true);
}

void assembly_reserve(Assembly *assembly, CodeState *code)
{
    for (const TargetTree *at = code->code->reserved; at != NULL; at = at->next) {
        make_list(assembly, code, at->number)->reserved = at;
    }
}

/* ---- targets that hit nothing ---- */

/* What is in force under the number: another part, or a subdivision. */
static bool note_covered(Assembly *assembly, Diagnostic *diag, const CodeState *code, Text number)
{
    const SectionNode *node = node_in_force(find_covered(assembly, code, number));
    if (node != NULL) {
        const SectionTree *section = node->state->section;
        Text words = number_words(assembly->arena, section->number, section->part);
        diagnostic_note(assembly->diags, diag, section_place(section), "there is %.*s",
                        TEXT_ARG(words));
    }
    return node != NULL;
}

static void note_nearest(Assembly *assembly, Diagnostic *diag, const CodeState *code, Text number)
{
    Text *numbers = ARENA_ARRAY(assembly->arena, Text, code->section_count);
    const SectionTree **sections =
        ARENA_ARRAY(assembly->arena, const SectionTree *, code->section_count);
    size_t count = 0;
    for (const SectionState *state = code->first; state != NULL; state = state->next) {
        if (state->deleted == NULL && !state->displaced) {
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

/* A node under the number whose section has been deleted, or else renumbered: the last one, since
 * a number may have been used twice. */
static const SectionNode *find_former(Assembly *assembly, const CodeState *code, Text number,
                                      const Name *part, bool deleted)
{
    const SectionNode *found = NULL;
    const SectionNode *node = find_covered(assembly, code, number);
    for (; node != NULL; node = node->next) {
        bool is_meant =
            deleted ? node->gone == NULL && node->state->deleted != NULL : node->gone != NULL;
        if (is_meant && !node->shadow && section_is_hit(node->state, part)) {
            found = node;
        }
    }
    return found;
}

static void report_deleted(Assembly *assembly, Place place, Text words, const Change *deleted)
{
    bool reserves = deleted->tree->reserve;
    Diagnostic *diag = diagnostic_error(
        assembly->diags, reserves ? "deleted and reserved" : "already deleted", place,
        reserves ? "%.*s is deleted and reserved" : "%.*s is deleted already", TEXT_ARG(words));
    diagnostic_note(assembly->diags, diag, change_place(deleted), "'%.*s' deletes it here",
                    TEXT_ARG(deleted->jurisdiction->name->text));
}

static void report_renumbered(Assembly *assembly, Place place, Text words, const Change *change)
{
    Diagnostic *diag = diagnostic_error(
        assembly->diags, "renumbered", place, "%.*s was renumbered as '%.*s' by '%.*s'",
        TEXT_ARG(words), TEXT_ARG(change->tree->number), TEXT_ARG(change->block->by));
    diagnostic_note(assembly->diags, diag, change_place(change), "'%.*s' renumbers it here",
                    TEXT_ARG(change->jurisdiction->name->text));
}

/* The words of the code that hold the number, or one that covers it, free; NULL. */
static const TargetTree *find_reserved(Assembly *assembly, const CodeState *code, Text number)
{
    for (size_t len = number.len; len > 0; len = number_cut(number, len)) {
        const SectionList *list = assembly_find_list(assembly, code, (Text){number.data, len});
        if (list != NULL && list->reserved != NULL) {
            return list->reserved;
        }
    }
    return NULL;
}

static void report_reserved(Assembly *assembly, const CodeState *code, Place place, Text words,
                            const TargetTree *reserved)
{
    const Source *source = reserved->source != NULL ? reserved->source : code->code->source;
    Diagnostic *diag =
        diagnostic_error(assembly->diags, "reserved", place, "%.*s is reserved", TEXT_ARG(words));
    diagnostic_note(assembly->diags, diag, (Place){source, reserved->span},
                    "'%.*s' holds the number free", TEXT_ARG(code->code->name->text));
}

/* Why an act that inserts is of no effect on the date. */
static Text absence_words(Assembly *assembly, const BlockRef *ref)
{
    Arena *arena = assembly->arena;
    if (ref->repealed <= assembly->on) {
        return text_format(arena, "repealed from %.*s", TEXT_ARG(date_print(arena, ref->repealed)));
    }
    if (ref->until < assembly->on) {
        return text_format(arena, "in force until %.*s", TEXT_ARG(date_print(arena, ref->until)));
    }
    return text_format(arena, "in force from %.*s", TEXT_ARG(date_print(arena, ref->from)));
}

/* The acts that insert a section of this number, on whatever day; false when there is none. */
static bool note_inserted(Assembly *assembly, Diagnostic *diag, const CodeState *code, Text number)
{
    bool found = false;
    for (uint32_t i = 0; i < assembly->block_count; i++) {
        const BlockRef *ref = &assembly->blocks[i];
        const ChangeTree *change =
            ref->block->code == code->code->name ? ref->block->changes : NULL;
        for (; change != NULL; change = change->next) {
            if (change->section != NULL && text_equal(change->section->number, number)) {
                diagnostic_note(assembly->diags, diag, section_place(change->section),
                                "'%.*s' inserts it here, %.*s", TEXT_ARG(ref->block->by),
                                TEXT_ARG(absence_words(assembly, ref)));
                found = true;
            }
        }
    }
    return found;
}

static void report_none(Assembly *assembly, const CodeState *code, Place place, Text words,
                        Text number)
{
    Text name = code->code->name->text;
    Text edition = code->code->edition;
    Diagnostic *diag = diagnostic_error(assembly->diags, "no such section", place,
                                        "%.*s is no section of '%.*s' edition '%.*s'",
                                        TEXT_ARG(words), TEXT_ARG(name), TEXT_ARG(edition));
    diagnostic_note(assembly->diags, diag, (Place){code->code->source, code->code->name_span},
                    "'%.*s' edition '%.*s' is here", TEXT_ARG(name), TEXT_ARG(edition));
    if (!note_inserted(assembly, diag, code, number) &&
        !note_covered(assembly, diag, code, number)) {
        note_nearest(assembly, diag, code, number);
    }
}

void assembly_report_missing(Assembly *assembly, const CodeState *code, const Change *change,
                             const TargetTree *target)
{
    Text number = target_number(change, target);
    Text words = number_words(assembly->arena, number, target->part);
    Place place = number_place(change, target);
    const SectionNode *dead = find_former(assembly, code, number, target->part, true);
    const SectionNode *gone = find_former(assembly, code, number, target->part, false);
    const TargetTree *reserved = find_reserved(assembly, code, number);
    if (dead != NULL) {
        report_deleted(assembly, place, words, dead->state->deleted);
    } else if (gone != NULL) {
        report_renumbered(assembly, place, words, gone->gone);
    } else if (reserved != NULL) {
        report_reserved(assembly, code, place, words, reserved);
    } else {
        report_none(assembly, code, place, words, number);
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
    const SectionNode *node = node_in_force(find_exact(assembly, code, number));
    for (; node != NULL; node = node_in_force(node->next)) {
        const SectionTree *section = node->state->section;
        Text words = number_words(assembly->arena, number, section->part);
        diagnostic_note(assembly->diags, diag, section_place(section), "%.*s", TEXT_ARG(words));
    }
}

/* How many sections in force have exactly this number; *found is the first. */
static uint32_t count_exact(Assembly *assembly, const CodeState *code, Text number,
                            const Name *part, SectionState **found)
{
    uint32_t count = 0;
    const SectionNode *node = node_in_force(find_exact(assembly, code, number));
    for (; node != NULL; node = node_in_force(node->next)) {
        assembly->steps++;
        if (section_is_hit(node->state, part)) {
            *found = count == 0 ? node->state : *found;
            count++;
        }
    }
    return count;
}

/* A section that has the number, or would, were it not for a level above that displaces it. */
static SectionState *find_shadow(Assembly *assembly, const CodeState *code, Text number,
                                 const Name *part)
{
    const SectionNode *node = find_exact(assembly, code, number);
    while (node != NULL && (!node_is_shadow(node) || !section_is_hit(node->state, part))) {
        node = node->next;
    }
    return node == NULL ? NULL : node->state;
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
    if (count > 1) {
        report_several(assembly, code, change, target);
        return NULL;
    }
    if (count == 0) {
        found = find_shadow(assembly, code, number, target->part);
    }
    if (found == NULL) {
        assembly_report_missing(assembly, code, change, target);
    }
    return found;
}
