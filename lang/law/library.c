/* The library: every rule file read, and what the files define checked for names that nothing
 * defines.
 *
 * Takes files and directories; what names something that no file defines is an error with the
 * nearest name. Changes of sections are looked at only when a law is assembled: which sections
 * there are depends on the date. */
#include "law/library_inner.h"

/* ---- names that no file defines ---- */

static void note_nearest_code(const Library *library, Diagnostics *diags, Diagnostic *diag,
                              Text name)
{
    Text *names = ARENA_ARRAY(library->arena, Text, library->code_count + 1);
    for (uint32_t i = 0; i < library->code_count; i++) {
        names[i] = library->codes[i]->name->text;
    }
    note_nearest(diags, diag, name, names, library->code_count);
}

static void report_edition(const Library *library, const BlockTree *block, Diagnostics *diags)
{
    Text name = block->code->text;
    Diagnostic *diag = diagnostic_error(
        diags, "unknown edition", (Place){block->source, block->code_span},
        "no file has edition '%.*s' of code '%.*s'", TEXT_ARG(block->edition), TEXT_ARG(name));
    for (uint32_t i = library_find_code(library, name);
         i < library->code_count && library->codes[i]->name == block->code; i++) {
        diagnostic_note(diags, diag, code_name_place(library->codes[i]), "edition '%.*s' is here",
                        TEXT_ARG(library->codes[i]->edition));
    }
}

static void check_block(const Library *library, const BlockTree *block, Diagnostics *diags)
{
    Text name = block->code->text;
    uint32_t at = library_find_code(library, name);
    if (at == library->code_count || library->codes[at]->name != block->code) {
        Diagnostic *diag =
            diagnostic_error(diags, "unknown code", (Place){block->source, block->code_span},
                             "no file defines the code '%.*s'", TEXT_ARG(name));
        note_nearest_code(library, diags, diag, name);
    } else if (!block->rolling && library_code(library, block->code, block->edition) == NULL) {
        report_edition(library, block, diags);
    }
}

static void check_within(const Library *library, const JurisdictionTree *jurisdiction,
                         Diagnostics *diags)
{
    if (jurisdiction->within == NULL) {
        return;
    }
    Text within = jurisdiction->within->text;
    if (library_jurisdiction(library, within) == NULL) {
        Diagnostic *diag = diagnostic_error(
            diags, "unknown jurisdiction", (Place){jurisdiction->source, jurisdiction->within_span},
            "no file defines the jurisdiction '%.*s'", TEXT_ARG(within));
        Text *names = ARENA_ARRAY(library->arena, Text, library->jurisdiction_count + 1);
        for (uint32_t i = 0; i < library->jurisdiction_count; i++) {
            names[i] = library->jurisdictions[i]->name->text;
        }
        note_nearest(diags, diag, within, names, library->jurisdiction_count);
    }
}

static const JurisdictionTree *outer_of(const Library *library,
                                        const JurisdictionTree *jurisdiction)
{
    return jurisdiction->within == NULL ? NULL
                                        : library_jurisdiction(library, jurisdiction->within->text);
}

static void report_circle(const Library *library, const JurisdictionTree *start, Diagnostics *diags)
{
    Diagnostic *diag = diagnostic_error(diags, "circle of jurisdictions",
                                        (Place){start->source, start->within_span},
                                        "'%.*s' lies within itself", TEXT_ARG(start->name->text));
    const JurisdictionTree *inner = start;
    for (const JurisdictionTree *at = outer_of(library, start); at != NULL && at != start;
         at = outer_of(library, at)) {
        diagnostic_note(diags, diag, (Place){at->source, at->within_span},
                        "'%.*s' is within '%.*s', which is within '%.*s'",
                        TEXT_ARG(inner->name->text), TEXT_ARG(at->name->text),
                        TEXT_ARG(at->within->text));
        inner = at;
    }
}

/* Each circle once, at its first jurisdiction by name. Every jurisdiction is walked once: `seen`
 * holds for each the start of the walk that came to it. */
static void check_circles(const Library *library, Diagnostics *diags)
{
    Map *seen = map_new(library->arena);
    for (uint32_t i = 0; i < library->jurisdiction_count; i++) {
        JurisdictionTree *start = library->jurisdictions[i];
        const JurisdictionTree *at = start;
        while (at != NULL && map_get(seen, at) == NULL) {
            (void)map_put(seen, at, start);
            at = outer_of(library, at);
        }
        if (at == NULL || map_get(seen, at) != start) {
            continue;
        }
        const JurisdictionTree *least = at;
        for (const JurisdictionTree *in = outer_of(library, at); in != NULL && in != at;
             in = outer_of(library, in)) {
            least = text_order(in->name->text, least->name->text) < 0 ? in : least;
        }
        report_circle(library, least, diags);
    }
}

static void check_vocabulary(const Library *library, const CodeTree *code, Diagnostics *diags)
{
    if (library_vocabulary(library, code->vocabulary) != NULL) {
        return;
    }
    if (code->vocabulary == NULL && library->vocabulary_count > 1) {
        diagnostic_error(diags, "vocabulary not said", code_name_place(code),
                         "code '%.*s' does not say which of the %u vocabularies is its own",
                         TEXT_ARG(code->name->text), library->vocabulary_count);
    } else if (code->vocabulary == NULL) {
        diagnostic_error(diags, "unknown vocabulary", code_name_place(code),
                         "no file defines a vocabulary for the code '%.*s'",
                         TEXT_ARG(code->name->text));
    } else {
        Diagnostic *diag = diagnostic_error(
            diags, "unknown vocabulary", (Place){code->source, code->vocabulary_span},
            "no file defines the vocabulary '%.*s'", TEXT_ARG(code->vocabulary->text));
        Text *names = ARENA_ARRAY(library->arena, Text, library->vocabulary_count);
        for (uint32_t i = 0; i < library->vocabulary_count; i++) {
            names[i] = library->vocabularies[i]->name->text;
        }
        note_nearest(diags, diag, code->vocabulary->text, names, library->vocabulary_count);
    }
}

/* `cited as` says where the number of the section goes, once. */
static void check_cited(const CodeTree *code, Diagnostics *diags)
{
    static const Text hole = {"{section}", 9};
    for (const PartTree *part = code->parts; part != NULL; part = part->next) {
        if (part->kind != PART_CITED_AS) {
            continue;
        }
        size_t holes = 0;
        for (size_t at = 0; at + hole.len <= part->text.len; at++) {
            holes += text_equal((Text){part->text.data + at, hole.len}, hole);
        }
        if (holes != 1) {
            Diagnostic *diag = diagnostic_error(
                diags, "cited as", (Place){code->source, part->span},
                "'cited as' has {section} once, where the number goes; here it stands %s",
                holes == 0 ? "nowhere" : "more than once");
            diagnostic_note(diags, diag, (Place){0}, "for example: cited as \"17 CCR {section}\"");
        }
    }
}

/* ---- sections of one code ---- */

typedef struct Numbered { /* sections of one number, the first ones written first */
    const SectionTree *section;
    struct Numbered *next;
} Numbered;

/* One number stands once, or once for each part. */
static void check_number(const Numbered *first, const SectionTree *section, Diagnostics *diags)
{
    Place place = {section->source, section->number_span};
    for (const Numbered *at = first; at != NULL; at = at->next) {
        Place before = {at->section->source, at->section->number_span};
        if (at->section->part == section->part) {
            report_twice(diags, place, before, "section", section->number);
            return;
        }
        if (at->section->part == NULL || section->part == NULL) {
            Diagnostic *diag = diagnostic_error(
                diags, "part not said", place,
                "two sections have the number '%.*s', so each must say which part it is",
                TEXT_ARG(section->number));
            diagnostic_note(diags, diag, before, "the other one");
            return;
        }
    }
}

static void check_sections(const Library *library, const CodeTree *code, Diagnostics *diags)
{
    Names *numbers = names_new(library->arena);
    Map *by_number = map_new(library->arena);
    for (const SectionTree *section = code->sections; section != NULL; section = section->next) {
        const Name *number = names_intern(numbers, section->number);
        Numbered *first = map_get(by_number, number);
        check_number(first, section, diags);
        Numbered *node = ARENA_NEW(library->arena, Numbered);
        node->section = section;
        if (first == NULL) {
            (void)map_put(by_number, number, node);
        } else {
            node->next = first->next;
            first->next = node;
        }
    }
}

/* ---- reading ---- */

static void check_library(const Library *library, Diagnostics *diags)
{
    for (uint32_t i = 0; i < library->code_count; i++) {
        check_vocabulary(library, library->codes[i], diags);
        check_cited(library->codes[i], diags);
        check_sections(library, library->codes[i], diags);
    }
    for (uint32_t i = 0; i < library->jurisdiction_count; i++) {
        check_within(library, library->jurisdictions[i], diags);
        if (!library_needs(library, library->jurisdictions[i]->name)) {
            continue;
        }
        for (const BlockTree *block = library->jurisdictions[i]->blocks; block != NULL;
             block = block->next) {
            if (block->code != NULL) {
                check_block(library, block, diags);
            }
        }
    }
    check_circles(library, diags);
    library_check_places(library, diags);
}

typedef FileTree *(*Parser)(Arena *, Names *, const Source *, Diagnostics *);

Library *library_start(Arena *arena, Names *names)
{
    Library *library = ARENA_NEW(arena, Library);
    library->arena = arena;
    library->names = names;
    return library;
}

void library_finish(Library *library, Diagnostics *diags)
{
    library_index(library, diags);
    check_library(library, diags);
}

static Library *parse_all(Arena *arena, Names *names, const Source *const *sources, size_t count,
                          Parser parser, Diagnostics *diags)
{
    Library *library = library_start(arena, names);
    FileTree **end = &library->files;
    for (size_t i = 0; i < count; i++) {
        *end = parser(arena, names, sources[i], diags);
        end = &(*end)->next;
    }
    library_finish(library, diags);
    return library;
}

Library *library_of(Arena *arena, Names *names, const Source *const *sources, size_t count,
                    Diagnostics *diags)
{
    return parse_all(arena, names, sources, count, syntax_parse, diags);
}

static Library *read_paths(Arena *arena, Names *names, const char *const *paths, size_t count,
                           Parser parser, Diagnostics *diags)
{
    RuleFiles files = library_files(arena, paths, count, diags);
    Library *library = parse_all(arena, names, files.sources, files.count, parser, diags);
    library->roots = files.roots;
    library->root_count = files.root_count;
    return library;
}

Library *library_read_law(Arena *arena, Names *names, const char *const *paths, size_t count,
                          Diagnostics *diags)
{
    return read_paths(arena, names, paths, count, syntax_parse_law, diags);
}

Library *library_read(Arena *arena, Names *names, const char *const *paths, size_t count,
                      Diagnostics *diags)
{
    return read_paths(arena, names, paths, count, syntax_parse, diags);
}
