/* Exactly one text for each section, review date and permit date.
 *
 * Takes finished laws. The permit dates of a section are cut wherever one of its texts begins or
 * ends; within a piece the texts differ by the units for which they stand. Each text there is a
 * set of cubes (this condition holds, that one does not) that exclude each other; two texts must
 * have no cube in common, and together they must fill what the section speaks of. As cubes that
 * exclude each other are added up by size, filling is a sum that must come to one whole. A
 * condition is known by where it is written, so that copies of it count as the same. Floors stand
 * beside a text and are left out; a text that is deleted for some units only counts for them, as
 * the law has said that they are to have none. */
#include "law/one_text.h"

#include <stdlib.h>

enum { CONDITIONS_MAX = 63 }; /* that part the texts of one section: bits, with one to spare */

/* A set of units: the conditions among `known` hold or not as `holds` says. */
typedef struct Cube {
    uint64_t known, holds;
    uint32_t text;
} Cube;

typedef struct OneText {
    Arena *arena;
    const LawTree *law;
    Diagnostics *diags;
    const SectionTreeInForce *section;
    const char *conditions[CONDITIONS_MAX]; /* where each is written */
    uint32_t condition_count;
    bool too_many;
    Cube *cubes;
    uint32_t cube_count, cube_room;
    Day *days; /* where pieces begin */
    uint32_t day_count, day_room;
    uint64_t looked_at;
} OneText;

/* ---- words ---- */

static Place section_place(const SectionTree *section)
{
    return (Place){section->source, section->number_span};
}

/* The act that wrote the text, or the section in its code. */
static Place text_place(const SectionTreeInForce *section, const TextTree *text)
{
    for (uint32_t i = text->chain_count; i-- > 0;) {
        const Link *link = &text->chain[i];
        if (link->verb != LINK_ADOPTED) {
            return link->place;
        }
    }
    return section_place(section->section);
}

static Text section_words(const OneText *one, const SectionTree *section)
{
    Text number = section->number;
    if (section->part == NULL) {
        return text_format(one->arena, "'%.*s'", TEXT_ARG(number));
    }
    return text_format(one->arena, "'%.*s' part %.*s", TEXT_ARG(number),
                       TEXT_ARG(section->part->text));
}

/* "the law of 'quillmark' on 2025-03-01" */
static Text law_words(const OneText *one)
{
    if (one->law->jurisdiction == NULL) {
        return TEXT("the code by itself");
    }
    Text name = one->law->jurisdiction->name->text;
    return text_format(one->arena, "the law of '%.*s' on %.*s", TEXT_ARG(name),
                       TEXT_ARG(date_print(one->arena, one->law->on)));
}

/* A day of the piece, and what it is. */
static Text units_words(const OneText *one, Day from, Day before)
{
    if (from == INT32_MIN && before == DAY_FOREVER) {
        return TEXT("units whenever permitted");
    }
    Day day = from == INT32_MIN ? before - 1 : from;
    return text_format(one->arena, "units permitted on %.*s",
                       TEXT_ARG(date_print(one->arena, day)));
}

/* ---- units ---- */

/* The bit of a condition; 0 when there are too many. */
static uint64_t condition_bit(OneText *one, const Source *source, const Expr *condition)
{
    const char *at =
        source == NULL ? (const char *)condition : source->bytes.data + condition->span.start;
    for (uint32_t i = 0; i < one->condition_count; i++) {
        if (one->conditions[i] == at) {
            return UINT64_C(1) << i;
        }
    }
    if (one->condition_count == CONDITIONS_MAX) {
        one->too_many = true;
        return 0;
    }
    one->conditions[one->condition_count] = at;
    return UINT64_C(1) << one->condition_count++;
}

static uint64_t condition_bits(OneText *one, const Source *source, const Expr *conditions)
{
    uint64_t bits = 0;
    for (; conditions != NULL; conditions = conditions->next) {
        bits |= condition_bit(one, source, conditions);
    }
    return bits;
}

static void add_cube(OneText *one, Cube cube)
{
    if (one->cube_count == one->cube_room) {
        uint32_t room = one->cube_room == 0 ? 16 : 2 * one->cube_room;
        Cube *cubes = ARENA_ARRAY(one->arena, Cube, room);
        if (one->cube_count > 0) {
            memcpy(cubes, one->cubes, one->cube_count * sizeof *cubes);
        }
        one->cubes = cubes;
        one->cube_room = room;
    }
    one->cubes[one->cube_count++] = cube;
}

/* Narrows the cubes from `start` on by a scope. "Not all of a, b" is "not a" and "a, not b". */
static void narrow(OneText *one, uint32_t start, const ScopeTree *scope)
{
    uint32_t end = one->cube_count;
    for (uint32_t i = start; i < end; i++) {
        Cube cube = one->cubes[i];
        bool possible = !scope->negated;
        const Expr *condition = scope->conditions;
        for (; condition != NULL; condition = condition->next) {
            uint64_t bit = condition_bit(one, scope->source, condition);
            bool is_false = (cube.known & bit) != 0 && (cube.holds & bit) == 0;
            bool is_true = (cube.known & cube.holds & bit) != 0;
            if (scope->negated && !is_true) {
                Cube without = {cube.known | bit, cube.holds, cube.text};
                add_cube(one, without);
            }
            if (is_false) {
                possible = false;
                break; /* the rest of the cube has nothing left */
            }
            cube.known |= bit;
            cube.holds |= bit;
        }
        if (possible) {
            add_cube(one, cube);
        }
    }
    uint32_t count = one->cube_count - end;
    memmove(one->cubes + start, one->cubes + end, count * sizeof *one->cubes);
    one->cube_count = start + count;
}

/* A text in force, or after those one deleted for its units. */
static const TextTree *text_at(const SectionTreeInForce *section, uint32_t index)
{
    return index < section->text_count ? &section->texts[index]
                                       : &section->deleted[index - section->text_count];
}

static void add_text(OneText *one, uint32_t index)
{
    const TextTree *text = text_at(one->section, index);
    uint32_t start = one->cube_count;
    add_cube(one, (Cube){.text = index});
    for (uint32_t i = 0; i < text->scope_count; i++) {
        narrow(one, start, &text->scopes[i]);
    }
}

static uint64_t block_bits(OneText *one, const BlockTree *block)
{
    uint64_t bits = 0;
    const ChangeTree *change = block == NULL ? NULL : block->changes;
    for (; change != NULL; change = change->next) {
        if (change->kind == CHANGE_FOR_UNITS) {
            bits |= condition_bits(one, block->source, change->scope);
        }
    }
    return bits;
}

/* The conditions without which the section has nothing to say: of its code, its own as first
 * made, of the acts that adopt or insert it, and of the place. */
static uint64_t first_conditions(OneText *one)
{
    const SectionTreeInForce *section = one->section;
    uint64_t bits = condition_bits(one, section->section->source, section->section->body.scopes);
    bits |= condition_bits(one, section->code->source, section->code->scopes);
    for (uint32_t t = 0; t < section->text_count; t++) {
        const TextTree *text = &section->texts[t];
        for (uint32_t i = 0; i < text->chain_count; i++) {
            const Link *link = &text->chain[i];
            if (link->verb == LINK_ADOPTED || link->verb == LINK_INSERTED) {
                bits |= block_bits(one, link->block);
            }
        }
        for (uint32_t i = 0; i < text->scope_count; i++) {
            const ScopeTree *scope = &text->scopes[i];
            if (scope->holder != NULL && !scope->negated) {
                bits |= condition_bits(one, scope->source, scope->conditions);
            }
        }
    }
    return bits;
}

/* ---- permit dates ---- */

/* For which permit dates the section speaks as first made. */
static void first_window(const OneText *one, Day *from, Day *before)
{
    const PermitTree *permit = &one->section->section->body.permit;
    *from = INT32_MIN;
    *before = DAY_FOREVER;
    if (permit->kind == PERMIT_ON_OR_AFTER) {
        *from = permit->day;
    } else if (permit->kind == PERMIT_BEFORE) {
        *before = permit->day;
    } else if (permit->kind == PERMIT_EXISTING_FROM && one->law->on < permit->day) {
        for (uint32_t i = 0; i < one->law->code_count; i++) {
            *from = one->law->codes[i] == one->section->code ? one->law->code_from[i] : *from;
        }
        const TextTree *text = one->section->text_count > 0 ? one->section->texts : NULL;
        for (uint32_t i = 0; text != NULL && i < text->chain_count; i++) {
            *from = text->chain[i].verb == LINK_INSERTED ? text->chain[i].from : *from;
        }
    }
}

static void add_day(OneText *one, Day day)
{
    if (one->day_count == one->day_room) {
        uint32_t room = one->day_room == 0 ? 16 : 2 * one->day_room;
        Day *days = ARENA_ARRAY(one->arena, Day, room);
        if (one->day_count > 0) {
            memcpy(days, one->days, one->day_count * sizeof *days);
        }
        one->days = days;
        one->day_room = room;
    }
    one->days[one->day_count++] = day;
}

static int order_days(const void *left, const void *right)
{
    const Day *a = left;
    const Day *b = right;
    return (*a > *b) - (*a < *b);
}

/* Cuts time where a text, or the section itself, begins or ends to speak. */
static void cut(OneText *one, Day from, Day before)
{
    one->day_count = 0;
    add_day(one, INT32_MIN);
    add_day(one, from);
    add_day(one, before);
    for (uint32_t i = 0; i < one->section->text_count + one->section->deleted_count; i++) {
        add_day(one, text_at(one->section, i)->permitted_from);
        add_day(one, text_at(one->section, i)->permitted_before);
    }
    qsort(one->days, one->day_count, sizeof *one->days, order_days);
}

/* ---- one piece of the permit dates ---- */

static void report_two(OneText *one, uint32_t first, uint32_t second, Day from, Day before)
{
    const SectionTreeInForce *section = one->section;
    Diagnostic *diag =
        diagnostic_error(one->diags, "two texts", text_place(section, text_at(section, second)),
                         "section %.*s has two texts for %.*s, in %.*s",
                         TEXT_ARG(section_words(one, section->section)),
                         TEXT_ARG(units_words(one, from, before)), TEXT_ARG(law_words(one)));
    diagnostic_note(one->diags, diag, text_place(section, text_at(section, first)),
                    "the other text");
}

static bool has_unit_in_common(const Cube *a, const Cube *b)
{
    return (a->known & b->known & (a->holds ^ b->holds)) == 0;
}

/* False after an error. */
static bool check_apart(OneText *one, Day from, Day before)
{
    for (uint32_t i = 0; i < one->cube_count; i++) {
        for (uint32_t j = i + 1; j < one->cube_count; j++) {
            const Cube *a = &one->cubes[i];
            const Cube *b = &one->cubes[j];
            if (a->text != b->text && has_unit_in_common(a, b)) {
                report_two(one, a->text, b->text, from, before);
                return false;
            }
        }
    }
    return true;
}

static uint32_t count_bits(uint64_t bits)
{
    uint32_t count = 0;
    for (; bits != 0; bits &= bits - 1) {
        count++;
    }
    return count;
}

/* Whether the cubes, which exclude each other, leave out no unit for which all of `first` hold. */
static bool is_filled(const OneText *one, uint64_t first)
{
    uint64_t sum = 0; /* of 2^63 */
    for (uint32_t i = 0; i < one->cube_count; i++) {
        const Cube *cube = &one->cubes[i];
        if ((cube->known & first & ~cube->holds) == 0) {
            sum += UINT64_C(1) << (63 - count_bits(cube->known & ~first));
        }
    }
    return sum == UINT64_C(1) << 63;
}

static void report_none(OneText *one, Day from, Day before)
{
    const SectionTreeInForce *section = one->section;
    bool some = one->cube_count > 0;
    Diagnostic *diag =
        diagnostic_error(one->diags, "no text", section_place(section->section),
                         "section %.*s has no text for %s%.*s, in %.*s",
                         TEXT_ARG(section_words(one, section->section)), some ? "some " : "",
                         TEXT_ARG(units_words(one, from, before)), TEXT_ARG(law_words(one)));
    for (uint32_t i = 0; i < section->text_count; i++) {
        if (!section->texts[i].floor) {
            diagnostic_note(one->diags, diag, text_place(section, &section->texts[i]),
                            "a text that it has for others");
        }
    }
}

/* False after an error. */
static bool check_piece(OneText *one, Day from, Day before, bool speaks)
{
    one->cube_count = 0;
    one->condition_count = 0;
    one->looked_at++;
    for (uint32_t i = 0; i < one->section->text_count + one->section->deleted_count; i++) {
        const TextTree *text = text_at(one->section, i);
        if (!text->floor && text->permitted_from <= from && text->permitted_before >= before) {
            add_text(one, i);
        }
    }
    uint64_t first = first_conditions(one);
    if (one->too_many) {
        diagnostic_error(one->diags, "too many conditions", section_place(one->section->section),
                         "the texts of section %.*s are parted by more than %d conditions of units",
                         TEXT_ARG(section_words(one, one->section->section)), CONDITIONS_MAX);
        return false;
    }
    if (!check_apart(one, from, before)) {
        return false;
    }
    if (speaks && !is_filled(one, first)) {
        report_none(one, from, before);
        return false;
    }
    return true;
}

static void check_section(OneText *one, const SectionTreeInForce *section)
{
    Day from;
    Day before;
    one->section = section;
    one->too_many = false;
    first_window(one, &from, &before);
    if (section->text_count == 1 && section->texts[0].scope_count == 0 &&
        section->texts[0].permitted_from == INT32_MIN &&
        section->texts[0].permitted_before == DAY_FOREVER && !section->texts[0].floor &&
        section->deleted_count == 0) {
        one->looked_at++;
        return; /* as nearly all are */
    }
    cut(one, from, before);
    for (uint32_t i = 0; i < one->day_count && one->days[i] < DAY_FOREVER; i++) {
        Day start = one->days[i];
        Day end = i + 1 < one->day_count ? one->days[i + 1] : DAY_FOREVER;
        if (start < end && !check_piece(one, start, end, from <= start && end <= before)) {
            return; /* one day is enough */
        }
    }
}

/* ---- sections of a law ---- */

/* Where a section's number is written: it stays the same in a copy under another number. */
static const void *section_key(const SectionTree *section)
{
    return section->source == NULL ? (const void *)section
                                   : section->source->bytes.data + section->number_span.start;
}

static void check_all_there(OneText *one)
{
    const LawTree *law = one->law;
    Map *known = map_new(one->arena);
    for (uint32_t i = 0; i < law->section_count; i++) {
        (void)map_put(known, section_key(law->sections[i].section), known);
    }
    for (uint32_t i = 0; i < law->deleted_count; i++) {
        (void)map_put(known, section_key(law->deleted[i].section), known);
    }
    for (uint32_t i = 0; i < law->displaced_count; i++) {
        if (law->displaced[i].section != NULL) {
            (void)map_put(known, section_key(law->displaced[i].section), known);
        }
    }
    for (uint32_t i = 0; i < law->code_count; i++) {
        const SectionTree *section = law->codes[i]->sections;
        for (; section != NULL; section = section->next) {
            if (map_get(known, section_key(section)) == NULL) {
                diagnostic_error(one->diags, "no text", section_place(section),
                                 "section %.*s is neither in force nor deleted, in %.*s",
                                 TEXT_ARG(section_words(one, section)), TEXT_ARG(law_words(one)));
            }
        }
    }
}

/* What stands under one number of one code, by part. */
typedef struct Numbered {
    const SectionTreeInForce *section;
    struct Numbered *next;
} Numbered;

static void check_number(OneText *one, Map *by_number, Names *names,
                         const SectionTreeInForce *section)
{
    Text words = text_format(one->arena, "%.*s %.*s %.*s", TEXT_ARG(section->code->name->text),
                             TEXT_ARG(section->code->edition), TEXT_ARG(section->section->number));
    const Name *name = names_intern(names, words);
    Numbered *others = map_get(by_number, name);
    for (const Numbered *other = others; other != NULL; other = other->next) {
        const SectionTree *a = other->section->section;
        const SectionTree *b = section->section;
        if (a->part != b->part && a->part != NULL && b->part != NULL) {
            continue;
        }
        Diagnostic *diag =
            diagnostic_error(one->diags, "two texts", section_place(b),
                             "two sections in force have the number %.*s, in %.*s",
                             TEXT_ARG(section_words(one, b)), TEXT_ARG(law_words(one)));
        diagnostic_note(one->diags, diag, section_place(a), "the other section");
        return;
    }
    Numbered *own = ARENA_NEW(one->arena, Numbered);
    own->section = section;
    own->next = others;
    (void)map_put(by_number, name, own);
}

uint64_t one_text_check(Arena *arena, const LawTree *law, Diagnostics *diags)
{
    OneText one = {.arena = arena, .law = law, .diags = diags};
    Names *names = names_new(arena);
    Map *by_number = map_new(arena);
    for (uint32_t i = 0; i < law->section_count; i++) {
        check_number(&one, by_number, names, &law->sections[i]);
        check_section(&one, &law->sections[i]);
    }
    check_all_there(&one);
    return one.looked_at;
}

/* ---- every day ---- */

uint64_t law_one_text(Arena *arena, const Library *library, const JurisdictionTree *jurisdiction,
                      Diagnostics *diags)
{
    uint64_t looked_at = 0;
    uint32_t count = 0;
    const Day *days = law_dates(arena, library, jurisdiction, &count);
    for (uint32_t i = 0; i <= count && count > 0; i++) {
        Day day = i == 0 ? days[0] - 1 : days[i - 1];
        Diagnostics told =
            diagnostics_make(arena); /* of the assembly: its own errors are not ours */
        const LawTree *law = law_assemble(arena, library, jurisdiction, day, &told);
        looked_at += one_text_check(arena, law, diags);
    }
    return looked_at;
}
