/* Rule texts in strings, read into a library, for the tests of law/: what is in force is written
 * out as text and compared with what was expected. All demo law is invented. */
#ifndef LAW_WORLD_H
#define LAW_WORLD_H

#include <check.h>
#include <string.h>

#include "law/law.h"

#define VOCABULARY "vocabulary unit\n  fact width length\n  fact height length\nend\n"
#define CODE(edition, sections) "code larder edition " edition "\n" sections "end\n"
#define SECTION(number) "section \"" number "\" shall width <= 24 in end\n"
#define STATE(blocks) "jurisdiction halloway \"State of Halloway\"\n" blocks "end\n"
#define COUNTY(blocks) \
    "jurisdiction quillmark \"Quillmark County\" within halloway\n" blocks "end\n"
#define TOWN(blocks) "jurisdiction brim \"Town of Brim\" within quillmark\n" blocks "end\n"
#define ADOPTS(edition, from, by) \
    "adopts larder edition " edition " in force from " from " by \"" by "\"\n"
#define AMENDS(edition, from, by) \
    "amends larder edition " edition " in force from " from " by \"" by "\"\n"

enum { WORLD_FILES_MAX = 8 };

typedef struct World {
    Arena *arena;
    Names *names;
    Diagnostics diags;
    Library *library;
    bool without_notes; /* errors are told without their notes */
} World;

/* Each text is a file of its own: "0.shall", "1.shall", ...; `turned`: read in the other order. */
static inline World world_of(const char *const *texts, size_t count, bool turned)
{
    World world = {.arena = arena_new()};
    world.names = names_new(world.arena);
    world.diags = diagnostics_make(world.arena);
    const Source *sources[WORLD_FILES_MAX];
    ck_assert_uint_le(count, WORLD_FILES_MAX);
    for (size_t i = 0; i < count; i++) {
        Text path = text_format(world.arena, "%zu.shall", i);
        sources[turned ? count - 1 - i : i] = source_of(world.arena, path, text_of(texts[i]));
    }
    world.library = library_of(world.arena, world.names, sources, count, &world.diags);
    return world;
}

#define WORLD(...) WORLD_TURNED(false, __VA_ARGS__)
#define WORLD_TURNED(turned, ...)                \
    world_of((const char *const[]){__VA_ARGS__}, \
             sizeof((const char *const[]){__VA_ARGS__}) / sizeof(char *), (turned))

static inline void world_free(World *world)
{
    arena_free(world->arena);
}

/* Everything that was complained of, a line for each error and note. */
static inline const char *world_errors(World *world)
{
    Buffer out = buffer_make(world->arena);
    diagnostics_sort(&world->diags);
    for (const Diagnostic *diag = world->diags.first; diag != NULL; diag = diag->next) {
        Text at = place_text(diag->place);
        buffer_format(&out, "%s @ %.*s: %.*s\n", diag->name, TEXT_ARG(at), TEXT_ARG(diag->message));
        const Diagnostic *note = world->without_notes ? NULL : diag->notes;
        for (; note != NULL; note = note->next) {
            at = place_text(note->place);
            buffer_format(&out, "  @ %.*s: %.*s\n", TEXT_ARG(at), TEXT_ARG(note->message));
        }
    }
    return text_string(world->arena, buffer_done(&out));
}

static inline void world_expect_none(World *world, int line)
{
    ck_assert_msg(world->diags.errors == 0, "line %d: %s", line, world_errors(world));
}

static inline const Diagnostic *world_find(World *world, const char *name, const char *at)
{
    for (const Diagnostic *diag = world->diags.first; diag != NULL; diag = diag->next) {
        if (strcmp(diag->name, name) == 0 && text_starts(place_text(diag->place), text_of(at))) {
            return diag;
        }
    }
    return NULL;
}

/* Exactly one error, of that name, whose place begins with `at`, and a note whose place begins
 * with `also` (NULL: there need be none; "": one without a place) and whose words hold `words`. */
static inline void world_expect(World *world, const char *name, const char *at, const char *also,
                                const char *words, int line)
{
    diagnostics_sort(&world->diags);
    const Diagnostic *diag = world_find(world, name, at);
    ck_assert_msg(diag != NULL && world->diags.errors == 1, "line %d: not only '%s' at '%s': %s",
                  line, name, at, world_errors(world));
    bool found = also == NULL;
    for (const Diagnostic *note = diag->notes; note != NULL && !found; note = note->next) {
        const char *message = text_string(world->arena, note->message);
        bool has_place = note->place.source != NULL;
        found = has_place == (also[0] != '\0') &&
                text_starts(place_text(note->place), text_of(also)) &&
                strstr(message, words) != NULL;
    }
    ck_assert_msg(found, "line %d: no note at '%s' saying '%s': %s", line, also, words,
                  world_errors(world));
}

static inline Day world_day(const char *text)
{
    Day first = 0;
    Day last = 0;
    const char *reason = NULL;
    ck_assert(date_parse(text_of(text), &first, &last, &reason));
    return first;
}

static inline LawTree *world_law(World *world, const char *jurisdiction, const char *on)
{
    const JurisdictionTree *tree = library_jurisdiction(world->library, text_of(jurisdiction));
    ck_assert_ptr_nonnull(tree);
    return law_assemble(world->arena, world->library, tree, world_day(on), &world->diags);
}

static inline void put_day(Buffer *out, const char *words, Day day)
{
    Text text = date_print(out->arena, day);
    buffer_format(out, " %s %.*s", words, TEXT_ARG(text));
}

/* " where A, B" or " not where A, B" */
static inline void put_scope_tree(Buffer *out, const ScopeTree *scope)
{
    buffer_string(out, scope->negated ? " not where" : " where");
    for (const Expr *at = scope->conditions; at != NULL; at = at->next) {
        Text words = place_text((Place){scope->source, at->span});
        buffer_format(out, "%s %.*s", at == scope->conditions ? "" : ",", TEXT_ARG(words));
    }
}

/* " [except ...]", for those that an act wrote */
static inline void put_exception_tree(Buffer *out, const ExceptionTree *exception)
{
    if (exception->source != NULL) {
        Text words = place_text((Place){exception->source, exception->span});
        buffer_format(out, " [%.*s %.*s]", TEXT_ARG(exception->jurisdiction->name->text),
                      TEXT_ARG(words));
    }
}

static inline void put_text_tree(Buffer *out, const TextTree *text, const char *what)
{
    static const char *const verbs[] = {"adopted",  "amended",   "limit",
                                        "inserted", "exception", "renumbered"};
    buffer_string(out, text->floor ? "  floor" : what);
    if (text->permitted_from != INT32_MIN) {
        put_day(out, "from", text->permitted_from);
    }
    if (text->permitted_before != DAY_FOREVER) {
        put_day(out, "before", text->permitted_before);
    }
    if (text->exempt.kind != PERMIT_ALL) {
        put_day(out, text->exempt.kind == PERMIT_NOT_ON ? "not on" : "not before",
                text->exempt.day);
    }
    for (uint32_t i = 0; i < text->scope_count; i++) {
        put_scope_tree(out, &text->scopes[i]);
    }
    for (const LineTree *line = text->body->lines; line != NULL; line = line->next) {
        Text words = place_text((Place){text->source, line->span});
        buffer_format(out, " {%.*s}", TEXT_ARG(words));
    }
    for (const ExceptionTree *at = text->body->exceptions; at != NULL; at = at->next) {
        put_exception_tree(out, at);
    }
    for (uint32_t i = 0; i < text->limit_count; i++) {
        const LimitChange *limit = &text->limits[i];
        Text line = place_text((Place){text->source, limit->line->span});
        Text words = place_text((Place){limit->source, limit->limit->span});
        buffer_format(out, " (%.*s -> %.*s)", TEXT_ARG(line), TEXT_ARG(words));
    }
    for (uint32_t i = 0; i < text->chain_count; i++) {
        const Link *link = &text->chain[i];
        buffer_format(out, "%s%s %.*s %.*s", i == 0 ? " : " : ", ", verbs[link->verb],
                      TEXT_ARG(link->jurisdiction->name->text), TEXT_ARG(link->by));
        put_day(out, "from", link->from);
    }
    buffer_string(out, "\n");
}

static inline void put_law_section(Buffer *out, const SectionTreeInForce *section)
{
    Text edition = section->code->edition;
    buffer_format(out, "%.*s/%.*s", TEXT_ARG(edition), TEXT_ARG(section->section->number));
    if (section->section->part != NULL) {
        buffer_format(out, " part %.*s", TEXT_ARG(section->section->part->text));
    }
    if (section->former_number.len > 0) {
        buffer_format(out, " formerly %.*s", TEXT_ARG(section->former_number));
    }
    for (uint32_t i = 0; i < section->reading_count; i++) {
        buffer_format(out, " reading %.*s", TEXT_ARG(section->readings[i]->text));
    }
    buffer_string(out, "\n");
    for (uint32_t i = 0; i < section->text_count; i++) {
        put_text_tree(out, &section->texts[i], " ");
    }
    for (uint32_t i = 0; i < section->deleted_count; i++) {
        put_text_tree(out, &section->deleted[i], "  deleted");
    }
}

/* The section of that number as text: its own line, then one for each text. */
static inline const char *law_section(World *world, const LawTree *law, const char *number)
{
    Buffer out = buffer_make(world->arena);
    for (uint32_t i = 0; i < law->section_count; i++) {
        if (text_equal(law->sections[i].section->number, text_of(number))) {
            put_law_section(&out, &law->sections[i]);
        }
    }
    return text_string(world->arena, buffer_done(&out));
}

/* The numbers in force, in order, with a blank between. */
static inline const char *law_numbers(World *world, const LawTree *law)
{
    Buffer out = buffer_make(world->arena);
    for (uint32_t i = 0; i < law->section_count; i++) {
        const SectionTree *section = law->sections[i].section;
        buffer_format(&out, "%s%.*s", i == 0 ? "" : " ", TEXT_ARG(section->number));
        if (section->part != NULL) {
            buffer_format(&out, "/%.*s", TEXT_ARG(section->part->text));
        }
    }
    return text_string(world->arena, buffer_done(&out));
}

static inline const char *law_days(World *world, const Day *days, uint32_t count)
{
    Buffer out = buffer_make(world->arena);
    for (uint32_t i = 0; i < count; i++) {
        Text day = date_print(world->arena, days[i]);
        buffer_format(&out, "%s%.*s", i == 0 ? "" : " ", TEXT_ARG(day));
    }
    return text_string(world->arena, buffer_done(&out));
}

/* What is displaced, a line for each: number, act, the act that displaces it and from when. */
static inline const char *law_displaced(World *world, const LawTree *law)
{
    Buffer out = buffer_make(world->arena);
    for (uint32_t i = 0; i < law->displaced_count; i++) {
        const DisplacedTree *at = &law->displaced[i];
        buffer_format(&out, "%.*s %.*s of %.*s: %.*s", TEXT_ARG(at->code->name->text),
                      TEXT_ARG(at->section->number), TEXT_ARG(at->local.by), TEXT_ARG(at->by.by));
        put_day(&out, "from", at->by.from);
        buffer_string(&out, at->change == NULL ? " whole\n" : "\n");
    }
    return text_string(world->arena, buffer_done(&out));
}

/* The whole law and all errors, for comparing one way to get there with another. */
static inline const char *law_words(World *world, const LawTree *law)
{
    Buffer out = buffer_make(world->arena);
    for (uint32_t i = 0; i < law->code_count; i++) {
        Text name = law->codes[i]->name->text;
        Text edition = law->codes[i]->edition;
        buffer_format(&out, "%.*s %.*s", TEXT_ARG(name), TEXT_ARG(edition));
        put_day(&out, "from", law->code_from[i]);
        buffer_string(&out, "\n");
    }
    for (uint32_t i = 0; i < law->section_count; i++) {
        put_law_section(&out, &law->sections[i]);
    }
    for (uint32_t i = 0; i < law->deleted_count; i++) {
        Text number = law->deleted[i].section->number;
        Text by = law->deleted[i].link.by;
        buffer_format(&out, "deleted %.*s by %.*s\n", TEXT_ARG(number), TEXT_ARG(by));
    }
    buffer_string(&out, law_displaced(world, law));
    buffer_string(&out, world_errors(world));
    return text_string(world->arena, buffer_done(&out));
}

#define expect_none(world) world_expect_none((world), __LINE__)
#define expect(world, name, at, also, words) \
    world_expect((world), (name), (at), (also), (words), __LINE__)

#endif
