/* The law of one jurisdiction on one date, as trees: which text of which section is in force, and
 * by whose act.
 *
 * Takes the library; gives sections in order of code (by name) and as written there, inserted ones
 * after the section before them in number, each with its texts and their chains. Knows no types:
 * law/check reads what comes out. The same library gives the same law whatever the order of its
 * files, and the work grows linearly with sections and changes. */
#include <stdlib.h>

#include "law/assembly.h"

/* ---- chains ---- */

/* The adoptions and changes of one text by the outer `level_count` levels, outermost first; in a
 * level the adoption comes first, changes in order of date. */
static void build_chain(Assembly *assembly, const CodeState *code, const ChangeLink *links,
                        uint32_t level_count, TextTree *out)
{
    uint32_t count = 0;
    while (links != NULL && links->level >= level_count) {
        links = links->before; /* a floor that an inner level has renumbered */
    }
    for (const ChangeLink *link = links; link != NULL; link = link->before) {
        count++;
    }
    for (uint32_t level = 0; level < level_count; level++) {
        count += code->adoptions[level] != NULL;
    }
    Link *chain = ARENA_ARRAY(assembly->arena, Link, count);
    out->chain = chain;
    out->chain_count = count;
    for (uint32_t level = level_count; level-- > 0;) {
        for (; links != NULL && links->level == level; links = links->before) {
            chain[--count] = links->link;
        }
        const BlockTree *block = code->adoptions[level];
        if (block != NULL) {
            chain[--count] = (Link){LINK_ADOPTED,
                                    assembly->levels[level],
                                    block->by,
                                    block->from,
                                    (Place){block->source, block->code_span},
                                    block};
        }
    }
}

/* ---- sections ---- */

typedef struct Output {
    Assembly *assembly;
    LawTree *law;
    const CodeState *code;
    TextTree unchanged; /* holds the chain and the scopes that all texts without a change share */
} Output;

/* The scopes of the whole code as the outer `level_count` levels have it, then the text's own. */
static void put_scopes(const Output *output, uint32_t level_count, TextTree *out)
{
    uint32_t shared_count = output->unchanged.scope_count;
    const ScopeTree *shared = output->unchanged.scopes;
    if (level_count < output->assembly->level_count) {
        shared = assembly_code_scopes(output->assembly, output->code, level_count, &shared_count);
    }
    if (out->scope_count == 0) {
        out->scopes = shared;
        out->scope_count = shared_count;
        return;
    }
    uint32_t count = shared_count + out->scope_count;
    ScopeTree *scopes = ARENA_ARRAY(output->assembly->arena, ScopeTree, count);
    for (uint32_t i = 0; i < count; i++) {
        scopes[i] = i < shared_count ? shared[i] : out->scopes[i - shared_count];
    }
    out->scopes = scopes;
    out->scope_count = count;
}

static void put_text(const Output *output, const TextState *text, TextTree *out)
{
    uint32_t level_count = text->tree.floor ? text->level + 1 : output->assembly->level_count;
    *out = text->tree;
    put_scopes(output, level_count, out);
    if (!text->tree.floor && text->links == NULL) {
        out->chain = output->unchanged.chain;
        out->chain_count = output->unchanged.chain_count;
    } else {
        build_chain(output->assembly, output->code, text->links, level_count, out);
    }
}

static uint32_t count_texts(const TextState *text, bool deleted)
{
    uint32_t count = 0;
    for (; text != NULL; text = text->next) {
        count += (text->deleted != NULL) == deleted;
    }
    return count;
}

/* Writes those in force, or those deleted. */
static uint32_t put_list(const Output *output, const TextState *text, bool deleted, TextTree *out)
{
    uint32_t count = 0;
    for (; text != NULL; text = text->next) {
        if ((text->deleted != NULL) == deleted) {
            put_text(output, text, &out[count++]);
        }
    }
    return count;
}

static void put_texts(const Output *output, const SectionState *state, SectionTreeInForce *out)
{
    Arena *arena = output->assembly->arena;
    const TextState *floors = assembly_find_floors(output->assembly, state);
    uint32_t count = count_texts(state->texts, false) + count_texts(floors, false);
    out->texts = ARENA_ARRAY(arena, TextTree, count);
    out->text_count = put_list(output, state->texts, false, out->texts);
    out->text_count += put_list(output, floors, false, out->texts + out->text_count);
    count = count_texts(state->texts, true);
    TextTree *deleted = count == 0 ? NULL : ARENA_ARRAY(arena, TextTree, count);
    out->deleted_count = count == 0 ? 0 : put_list(output, state->texts, true, deleted);
    out->deleted = deleted;
}

/* What an act says of the section, or of a number that covers it. */
static const Change *find_waiver(const Output *output, const SectionState *state)
{
    const Change *found = state->waiver;
    Text number = state->section->number;
    size_t len = found == NULL && output->code->has_waivers ? number.len : 0;
    for (; len > 0 && found == NULL; len = number_cut(number, len)) {
        const SectionList *list =
            assembly_find_list(output->assembly, output->code, (Text){number.data, len});
        found = list == NULL ? NULL : list->waiver;
        if (found != NULL &&
            assembly_preempted(output->assembly, state->section->topic, found->level) != NULL) {
            found = NULL;
        }
    }
    return found;
}

static void put_waiver(const Output *output, const SectionState *state, SectionTreeInForce *out)
{
    const SectionTree *section = state->section;
    if (section->never_waived) {
        out->never_waived = true;
        out->never_waived_place = (Place){section->source, section->never_waived_span};
        return;
    }
    const Change *waiver = find_waiver(output, state);
    if (waiver != NULL) {
        out->never_waived = true;
        out->never_waived_place = change_place(waiver);
    }
}

static void put_section(const Output *output, const SectionState *state, SectionTreeInForce *out)
{
    out->section = state->section;
    out->code = output->code->code;
    out->jurisdiction = state->jurisdiction;
    out->former_number = state->former_number;
    put_texts(output, state, out);
    put_waiver(output, state, out);
    out->readings =
        assembly_choose_readings(output->assembly, output->code, state, &out->reading_count);
}

static void put_state(const Output *output, const SectionState *state)
{
    LawTree *law = output->law;
    output->assembly->steps++;
    if (state->displaced) {
        return; /* listed among what is displaced */
    }
    if (state->deleted == NULL) {
        put_section(output, state, &law->sections[law->section_count++]);
        return;
    }
    const Change *change = state->deleted;
    law->deleted[law->deleted_count++] =
        (DeletedTree){state->section, output->code->code,
                      (Link){LINK_AMENDED, change->jurisdiction, change->block->by,
                             change->block->from, change_place(change), change->block}};
}

/* ---- order of sections ---- */

static int order_states(const void *left, const void *right)
{
    const SectionState *a = *(SectionState *const *)left;
    const SectionState *b = *(SectionState *const *)right;
    int order = number_order(a->section->number, b->section->number);
    return order != 0 ? order : (a->order > b->order) - (a->order < b->order);
}

/* Hangs each inserted or renumbered section on the written one before it in number; gives those that come before
 * all others. */
static SectionState *place_inserted(Assembly *assembly, const CodeState *code)
{
    SectionState **written = ARENA_ARRAY(assembly->arena, SectionState *, code->section_count);
    SectionState **inserted = ARENA_ARRAY(assembly->arena, SectionState *, code->section_count);
    uint32_t written_count = 0;
    uint32_t inserted_count = 0;
    for (SectionState *state = code->first; state != NULL; state = state->next) {
        if (state->inserted) {
            inserted[inserted_count++] = state;
        } else {
            written[written_count++] = state;
        }
    }
    if (inserted_count == 0) {
        return NULL;
    }
    qsort(written, written_count, sizeof(SectionState *), order_states);
    qsort(inserted, inserted_count, sizeof(SectionState *), order_states);
    SectionState *first = NULL;
    SectionState **end = &first;
    uint32_t at = 0;
    for (uint32_t i = 0; i < inserted_count; i++) {
        Text number = inserted[i]->section->number;
        while (at < written_count && number_order(written[at]->section->number, number) <= 0) {
            end = &written[at++]->followers;
        }
        *end = inserted[i];
        end = &inserted[i]->next_follower;
    }
    return first;
}

static void put_followers(const Output *output, const SectionState *follower)
{
    for (; follower != NULL; follower = follower->next_follower) {
        put_state(output, follower);
    }
}

static void put_code(Assembly *assembly, LawTree *law, const CodeState *code)
{
    Output output = {assembly, law, code, {.chain = NULL}};
    build_chain(assembly, code, NULL, assembly->level_count, &output.unchanged);
    output.unchanged.scopes =
        assembly_code_scopes(assembly, code, assembly->level_count, &output.unchanged.scope_count);
    law->codes[law->code_count] = code->code;
    law->code_from[law->code_count++] = code->from;
    put_followers(&output, place_inserted(assembly, code));
    for (const SectionState *state = code->first; state != NULL; state = state->next) {
        if (!state->inserted) {
            put_state(&output, state);
            put_followers(&output, state->followers);
        }
    }
}

/* ---- codes ---- */

static void assemble_code(Assembly *assembly, CodeState *code)
{
    code->by_number = map_new(assembly->arena);
    for (const SectionTree *section = code->code->sections; section != NULL;
         section = section->next) {
        SectionState *state = ARENA_NEW(assembly->arena, SectionState);
        state->section = section;
        state->texts =
            assembly_make_text(assembly, &section->body, section->source, NULL, code->from);
        assembly_scope_section(assembly, code, state->texts);
        (void)assembly_add_section(assembly, code, state);
    }
    assembly_reserve(assembly, code);
    assembly_preempt_code(assembly, code);
    assembly_apply_changes(assembly, code);
    assembly_check_clauses(assembly, code);
    assembly_find_readings(assembly, code);
}

static void put_readings(Assembly *assembly, LawTree *law)
{
    uint32_t count = 0;
    for (uint32_t i = 0; i < assembly->code_count; i++) {
        for (const Applied *at = assembly->codes[i].applied; at != NULL; at = at->next) {
            count++;
        }
    }
    law->readings = ARENA_ARRAY(assembly->arena, const Name *, count);
    law->reading_codes = ARENA_ARRAY(assembly->arena, const CodeTree *, count);
    for (uint32_t i = 0; i < assembly->code_count; i++) {
        const CodeState *code = &assembly->codes[i];
        for (const Applied *at = code->applied; at != NULL; at = at->next) {
            const Name *name = at->change->tree->label;
            if (map_get(code->applied_by_name, name) == at) { /* else it is applied anew later */
                law->readings[law->reading_count] = name;
                law->reading_codes[law->reading_count++] = code->code;
            }
        }
    }
}

static void put_acts(const Assembly *assembly, LawTree *law)
{
    ActTree *acts = ARENA_ARRAY(assembly->arena, ActTree, assembly->block_count);
    for (uint32_t i = 0; i < assembly->block_count; i++) {
        acts[i] = (ActTree){assembly->blocks[i].jurisdiction, assembly->blocks[i].block};
    }
    law->acts = acts;
    law->act_count = assembly->block_count;
}

static LawTree *make_law(Assembly *assembly, const JurisdictionTree *jurisdiction)
{
    LawTree *law = ARENA_NEW(assembly->arena, LawTree);
    uint32_t count = 0;
    for (uint32_t i = 0; i < assembly->code_count; i++) {
        assembly_scope_changes(assembly, &assembly->codes[i]);
    }
    assembly_find_preemptions(assembly);
    for (uint32_t i = 0; i < assembly->code_count; i++) {
        assemble_code(assembly, &assembly->codes[i]);
        count += assembly->codes[i].section_count;
    }
    law->jurisdiction = jurisdiction;
    law->levels = assembly->levels;
    law->level_count = assembly->level_count;
    law->on = assembly->on;
    law->codes = ARENA_ARRAY(assembly->arena, const CodeTree *, assembly->code_count);
    law->code_from = ARENA_ARRAY(assembly->arena, Day, assembly->code_count);
    law->sections = ARENA_ARRAY(assembly->arena, SectionTreeInForce, count);
    law->deleted = ARENA_ARRAY(assembly->arena, DeletedTree, count);
    for (uint32_t i = 0; i < assembly->code_count; i++) {
        put_code(assembly, law, &assembly->codes[i]);
    }
    put_readings(assembly, law);
    assembly_put_displaced(assembly, law);
    assembly_put_precedences(assembly, law);
    law->steps = assembly->steps;
    return law;
}

/* ---- levels ---- */

/* The jurisdiction and those it lies within, outermost first. A circle, which the library has
 * reported, is cut where it would close. */
static const JurisdictionTree **find_levels(Arena *arena, const Library *library,
                                            const JurisdictionTree *jurisdiction, uint32_t *count)
{
    Map *seen = map_new(arena);
    uint32_t room = library->jurisdiction_count + 1;
    const JurisdictionTree **found = ARENA_ARRAY(arena, const JurisdictionTree *, room);
    uint32_t at = room;
    while (at > 0 && jurisdiction != NULL && map_put(seen, jurisdiction, found) == NULL) {
        found[--at] = jurisdiction;
        jurisdiction = jurisdiction->within == NULL
                           ? NULL
                           : library_jurisdiction(library, jurisdiction->within->text);
    }
    *count = room - at;
    return found + at;
}

LawTree *law_assemble(Arena *arena, const Library *library, const JurisdictionTree *jurisdiction,
                      Day on, Diagnostics *diags)
{
    Assembly assembly = {
        .arena = arena, .names = names_new(arena), .library = library, .diags = diags, .on = on};
    assembly.levels = find_levels(arena, library, jurisdiction, &assembly.level_count);
    assembly_find_blocks(&assembly);
    assembly_find_codes(&assembly);
    LawTree *law = make_law(&assembly, jurisdiction);
    put_acts(&assembly, law);
    law->events = assembly_dates(&assembly, on, &law->event_count);
    return law;
}

LawTree *law_of_code(Arena *arena, const Library *library, const CodeTree *code)
{
    Diagnostics none = diagnostics_make(arena); /* nothing changes a code by itself */
    CodeState state = {.code = code, .from = INT32_MIN};
    Assembly assembly = {.arena = arena,
                         .names = names_new(arena),
                         .library = library,
                         .diags = &none,
                         .on = INT32_MIN,
                         .codes = &state,
                         .code_count = 1};
    return make_law(&assembly, NULL);
}

/* The levels with their blocks, without a date. */
static Assembly undated(Arena *arena, const Library *library, const JurisdictionTree *jurisdiction,
                        Diagnostics *none)
{
    Assembly assembly = {.arena = arena,
                         .names = names_new(arena),
                         .library = library,
                         .diags = none, /* errors are reported with the law of a day */
                         .on = INT32_MIN};
    assembly.levels = find_levels(arena, library, jurisdiction, &assembly.level_count);
    assembly_find_blocks(&assembly);
    return assembly;
}

Day *law_dates(Arena *arena, const Library *library, const JurisdictionTree *jurisdiction,
               uint32_t *count)
{
    Diagnostics none = diagnostics_make(arena);
    Assembly assembly = undated(arena, library, jurisdiction, &none);
    return assembly_dates(&assembly, INT32_MIN, count);
}

Day law_latest_block(Arena *arena, const Library *library, const JurisdictionTree *jurisdiction)
{
    Diagnostics none = diagnostics_make(arena);
    Assembly assembly = undated(arena, library, jurisdiction, &none);
    Day latest = INT32_MIN;
    for (uint32_t i = 0; i < assembly.block_count; i++) {
        const BlockRef *ref = &assembly.blocks[i];
        if (ref->level + 1 == assembly.level_count && ref->from > latest) {
            latest = ref->from;
        }
    }
    return latest;
}
