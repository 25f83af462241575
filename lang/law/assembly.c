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

/* The adoptions of the outer `level_count` levels and the changes of one text, outermost first;
 * in a level the adoption comes first, changes in order of date. */
static void build_chain(Assembly *assembly, const CodeState *code, const ChangeLink *links,
                        uint32_t level_count, TextTree *out)
{
    uint32_t count = 0;
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

/* ---- floors ---- */

typedef struct Window {
    Day from, before;
} Window;

/* The first part of the floor's permit dates, from `from` on, for which the local law has another
 * text; false when there is none. */
static bool next_window(const TextState *floor, const TextState *texts, Day from, Window *window)
{
    Day end = floor->tree.permitted_before;
    window->from = from > floor->tree.permitted_from ? from : floor->tree.permitted_from;
    window->before = end;
    for (; texts != NULL; texts = texts->next) { /* ascending, none overlaps another */
        if (texts->links != floor->links) {
            continue;
        }
        if (texts->tree.permitted_from > window->from) {
            window->before = texts->tree.permitted_from < end ? texts->tree.permitted_from : end;
            break;
        }
        if (texts->tree.permitted_before > window->from) {
            window->from = texts->tree.permitted_before;
        }
    }
    return window->from < window->before;
}

/* ---- sections ---- */

typedef struct Output {
    Assembly *assembly;
    LawTree *law;
    const CodeState *code;
    TextTree unchanged; /* holds the chain that all texts without a change share */
} Output;

static void put_text(const Output *output, const TextState *text, TextTree *out)
{
    *out = text->tree;
    if (text->tree.floor) {
        build_chain(output->assembly, output->code, text->links, text->level + 1, out);
    } else if (text->links == NULL) {
        out->chain = output->unchanged.chain;
        out->chain_count = output->unchanged.chain_count;
    } else {
        build_chain(output->assembly, output->code, text->links, output->assembly->level_count,
                    out);
    }
}

/* Writes the floors, or counts them when `out` is NULL. */
static uint32_t put_floors(const Output *output, const SectionState *state, TextTree *out)
{
    uint32_t count = 0;
    for (const TextState *floor = state->floors; floor != NULL; floor = floor->next) {
        Window window;
        Day from = INT32_MIN;
        while (next_window(floor, state->texts, from, &window)) {
            if (out != NULL) {
                put_text(output, floor, &out[count]);
                out[count].permitted_from = window.from;
                out[count].permitted_before = window.before;
            }
            count++;
            from = window.before;
        }
    }
    return count;
}

static void put_section(const Output *output, const SectionState *state, SectionTreeInForce *out)
{
    uint32_t count = 0;
    for (const TextState *text = state->texts; text != NULL; text = text->next) {
        count++;
    }
    out->section = state->section;
    out->code = output->code->code;
    out->jurisdiction = state->jurisdiction;
    out->text_count = count + put_floors(output, state, NULL);
    out->texts = ARENA_ARRAY(output->assembly->arena, TextTree, out->text_count);
    uint32_t at = 0;
    for (const TextState *text = state->texts; text != NULL; text = text->next) {
        put_text(output, text, &out->texts[at++]);
    }
    (void)put_floors(output, state, &out->texts[count]);
    out->readings =
        assembly_choose_readings(output->assembly, output->code, state, &out->reading_count);
}

static void put_state(const Output *output, const SectionState *state)
{
    LawTree *law = output->law;
    output->assembly->steps++;
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

/* Hangs each inserted section on the written one before it in number; gives those that come before
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
        state->texts = assembly_make_text(assembly, &section->body, section->source, NULL);
        (void)assembly_add_section(assembly, code, state);
    }
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

static LawTree *make_law(Assembly *assembly, const JurisdictionTree *jurisdiction)
{
    LawTree *law = ARENA_NEW(assembly->arena, LawTree);
    uint32_t count = 0;
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
    assembly_find_codes(&assembly);
    LawTree *law = make_law(&assembly, jurisdiction);
    law->events = assembly_dates(arena, library, assembly.levels, assembly.level_count, on,
                                 &law->event_count);
    return law;
}

LawTree *law_assemble_in(Arena *arena, const Library *library, const PlaceTree *place,
                         const JurisdictionTree *jurisdiction, Day on, Diagnostics *diags)
{
    LawTree *law = law_assemble(arena, library, jurisdiction, on, diags);
    law->place = place;
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

Day *law_dates(Arena *arena, const Library *library, const JurisdictionTree *jurisdiction,
               uint32_t *count)
{
    uint32_t level_count = 0;
    const JurisdictionTree **levels = find_levels(arena, library, jurisdiction, &level_count);
    return assembly_dates(arena, library, levels, level_count, INT32_MIN, count);
}
