/* The library: every rule file read, and what the files define found by name.
 *
 * Takes files and directories; gives vocabularies, codes and jurisdictions in an order that does
 * not depend on the order of the paths. What is defined twice is kept as first written; what has
 * lost its name to a syntax error is left out; what names something that no file defines is an
 * error with the nearest name. Changes of sections are looked at only when a law is assembled:
 * which sections there are depends on the date. */
#include "law/law.h"

#include <stdlib.h>

#include "law/library_paths.h"

static const Place NOWHERE = {NULL, {0, 0}};

/* ---- lists of what the files hold ---- */

typedef struct Count {
    uint32_t vocabularies, codes, jurisdictions;
} Count;

static Count count_items(const Library *library)
{
    Count count = {0, 0, 0};
    for (const FileTree *file = library->files; file != NULL; file = file->next) {
        for (const ItemTree *item = file->items; item != NULL; item = item->next) {
            switch ((ItemKind)item->kind) {
            case ITEM_VOCABULARY: count.vocabularies += item->vocabulary->name != NULL; break;
            case ITEM_CODE: count.codes += item->code->name != NULL; break;
            case ITEM_JURISDICTION: count.jurisdictions += item->jurisdiction->name != NULL; break;
            case ITEM_PLACE: break;
            }
        }
    }
    return count;
}

/* Code or jurisdiction with its keys and its place in the files, for sorting. */
typedef struct Entry {
    Text name, edition;
    uint32_t order;
    union {
        CodeTree *code;
        JurisdictionTree *jurisdiction;
    };
} Entry;

static int order_names(const Entry *a, const Entry *b)
{
    int order = text_order(a->name, b->name);
    return order != 0 ? order : text_order(a->edition, b->edition);
}

static int order_entries(const void *left, const void *right)
{
    const Entry *a = left;
    const Entry *b = right;
    int order = order_names(a, b);
    return order != 0 ? order : (a->order > b->order) - (a->order < b->order);
}

static void report_twice(Diagnostics *diags, Place second, Place first, const char *what, Text name)
{
    Diagnostic *diag = diagnostic_error(diags, "defined twice", second,
                                        "%s '%.*s' is defined a second time", what, TEXT_ARG(name));
    diagnostic_note(diags, diag, first, "first defined here");
}

static Place code_place(const CodeTree *code)
{
    return (Place){code->source, code->name_span};
}

static Place jurisdiction_place(const JurisdictionTree *jurisdiction)
{
    return (Place){jurisdiction->source, jurisdiction->name_span};
}

static void index_codes(Library *library, uint32_t count, Diagnostics *diags)
{
    Entry *entries = ARENA_ARRAY(library->arena, Entry, count);
    uint32_t at = 0;
    for (const FileTree *file = library->files; file != NULL; file = file->next) {
        for (const ItemTree *item = file->items; item != NULL; item = item->next) {
            if (item->kind == ITEM_CODE && item->code->name != NULL) {
                CodeTree *code = item->code;
                entries[at] = (Entry){code->name->text, code->edition, at, {.code = code}};
                at++;
            }
        }
    }
    qsort(entries, count, sizeof *entries, order_entries);
    library->codes = ARENA_ARRAY(library->arena, CodeTree *, count);
    for (uint32_t i = 0; i < count; i++) {
        if (i > 0 && order_names(&entries[i - 1], &entries[i]) == 0) {
            Text words = text_format(library->arena, "%.*s edition %.*s", TEXT_ARG(entries[i].name),
                                     TEXT_ARG(entries[i].edition));
            report_twice(diags, code_place(entries[i].code),
                         code_place(library->codes[library->code_count - 1]), "code", words);
        } else {
            library->codes[library->code_count++] = entries[i].code;
        }
    }
}

static void index_jurisdictions(Library *library, uint32_t count, Diagnostics *diags)
{
    Entry *entries = ARENA_ARRAY(library->arena, Entry, count);
    uint32_t at = 0;
    for (const FileTree *file = library->files; file != NULL; file = file->next) {
        for (const ItemTree *item = file->items; item != NULL; item = item->next) {
            if (item->kind == ITEM_JURISDICTION && item->jurisdiction->name != NULL) {
                JurisdictionTree *jurisdiction = item->jurisdiction;
                entries[at] =
                    (Entry){jurisdiction->name->text, {"", 0}, at, {.jurisdiction = jurisdiction}};
                at++;
            }
        }
    }
    qsort(entries, count, sizeof *entries, order_entries);
    library->jurisdictions = ARENA_ARRAY(library->arena, JurisdictionTree *, count);
    for (uint32_t i = 0; i < count; i++) {
        uint32_t kept = library->jurisdiction_count;
        if (i > 0 && order_names(&entries[i - 1], &entries[i]) == 0) {
            report_twice(diags, jurisdiction_place(entries[i].jurisdiction),
                         jurisdiction_place(library->jurisdictions[kept - 1]), "jurisdiction",
                         entries[i].name);
        } else {
            library->jurisdictions[library->jurisdiction_count++] = entries[i].jurisdiction;
        }
    }
}

static void index_vocabularies(Library *library, uint32_t count, Diagnostics *diags)
{
    library->vocabularies = ARENA_ARRAY(library->arena, Vocabulary *, count);
    Map *first = map_new(library->arena);
    for (const FileTree *file = library->files; file != NULL; file = file->next) {
        for (const ItemTree *item = file->items; item != NULL; item = item->next) {
            if (item->kind != ITEM_VOCABULARY || item->vocabulary->name == NULL) {
                continue;
            }
            const VocabularyTree *tree = item->vocabulary;
            const Vocabulary *before = map_get(first, tree->name);
            if (before != NULL) {
                report_twice(diags, (Place){file->source, tree->name_span},
                             (Place){before->source, before->tree->name_span}, "vocabulary",
                             tree->name->text);
                continue;
            }
            Vocabulary *made =
                vocabulary_make(library->arena, library->names, tree, file->source, diags);
            (void)map_put(first, tree->name, made);
            library->vocabularies[library->vocabulary_count++] = made;
        }
    }
}

/* ---- look-ups ---- */

const Vocabulary *library_vocabulary(const Library *library, const Name *name)
{
    if (name == NULL) {
        return library->vocabulary_count == 1 ? library->vocabularies[0] : NULL;
    }
    for (uint32_t i = 0; i < library->vocabulary_count; i++) {
        if (library->vocabularies[i]->name == name) {
            return library->vocabularies[i];
        }
    }
    return NULL;
}

/* Index of the first code of that name, or where it would stand. */
static uint32_t find_code(const Library *library, Text name)
{
    uint32_t low = 0;
    uint32_t high = library->code_count;
    while (low < high) {
        uint32_t middle = low + (high - low) / 2;
        if (text_order(library->codes[middle]->name->text, name) < 0) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return low;
}

const CodeTree *library_code(const Library *library, const Name *name, Text edition)
{
    for (uint32_t i = find_code(library, name->text);
         i < library->code_count && library->codes[i]->name == name; i++) {
        if (text_equal(library->codes[i]->edition, edition)) {
            return library->codes[i];
        }
    }
    return NULL;
}

const JurisdictionTree *library_jurisdiction(const Library *library, Text name)
{
    uint32_t low = 0;
    uint32_t high = library->jurisdiction_count;
    while (low < high) {
        uint32_t middle = low + (high - low) / 2;
        int order = text_order(library->jurisdictions[middle]->name->text, name);
        if (order == 0) {
            return library->jurisdictions[middle];
        }
        if (order < 0) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return NULL;
}

static Text nearest_of(Text word, const Text *names, size_t count)
{
    long nearest = text_nearest(word, names, count);
    return nearest < 0 ? TEXT("") : names[nearest];
}

Text library_nearest_jurisdiction(const Library *library, Text name)
{
    Text *names = ARENA_ARRAY(library->arena, Text, library->jurisdiction_count);
    for (uint32_t i = 0; i < library->jurisdiction_count; i++) {
        names[i] = library->jurisdictions[i]->name->text;
    }
    return nearest_of(name, names, library->jurisdiction_count);
}

/* ---- names that no file defines ---- */

static void note_nearest(Diagnostics *diags, Diagnostic *diag, Text nearest)
{
    if (nearest.len > 0) {
        diagnostic_note(diags, diag, NOWHERE, "did you mean '%.*s'?", TEXT_ARG(nearest));
    }
}

static Text nearest_code(const Library *library, Text name)
{
    Text *names = ARENA_ARRAY(library->arena, Text, library->code_count);
    for (uint32_t i = 0; i < library->code_count; i++) {
        names[i] = library->codes[i]->name->text;
    }
    return nearest_of(name, names, library->code_count);
}

static void report_edition(const Library *library, const BlockTree *block, Diagnostics *diags)
{
    Text name = block->code->text;
    Diagnostic *diag = diagnostic_error(
        diags, "unknown edition", (Place){block->source, block->code_span},
        "no file has edition '%.*s' of code '%.*s'", TEXT_ARG(block->edition), TEXT_ARG(name));
    for (uint32_t i = find_code(library, name);
         i < library->code_count && library->codes[i]->name == block->code; i++) {
        diagnostic_note(diags, diag, code_place(library->codes[i]), "edition '%.*s' is here",
                        TEXT_ARG(library->codes[i]->edition));
    }
}

static void check_block(const Library *library, const BlockTree *block, Diagnostics *diags)
{
    Text name = block->code->text;
    uint32_t at = find_code(library, name);
    if (at == library->code_count || library->codes[at]->name != block->code) {
        Diagnostic *diag =
            diagnostic_error(diags, "unknown code", (Place){block->source, block->code_span},
                             "no file defines the code '%.*s'", TEXT_ARG(name));
        note_nearest(diags, diag, nearest_code(library, name));
    } else if (library_code(library, block->code, block->edition) == NULL) {
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
        note_nearest(diags, diag, library_nearest_jurisdiction(library, within));
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
        diagnostic_error(diags, "vocabulary not said", code_place(code),
                         "code '%.*s' does not say which of the %u vocabularies is its own",
                         TEXT_ARG(code->name->text), library->vocabulary_count);
    } else if (code->vocabulary == NULL) {
        diagnostic_error(diags, "unknown vocabulary", code_place(code),
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
        note_nearest(diags, diag,
                     nearest_of(code->vocabulary->text, names, library->vocabulary_count));
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
        check_sections(library, library->codes[i], diags);
    }
    for (uint32_t i = 0; i < library->jurisdiction_count; i++) {
        check_within(library, library->jurisdictions[i], diags);
        for (const BlockTree *block = library->jurisdictions[i]->blocks; block != NULL;
             block = block->next) {
            if (block->code != NULL) {
                check_block(library, block, diags);
            }
        }
    }
    check_circles(library, diags);
}

typedef FileTree *(*Parser)(Arena *, Names *, const Source *, Diagnostics *);

static Library *parse_all(Arena *arena, Names *names, const Source *const *sources, size_t count,
                          Parser parser, Diagnostics *diags)
{
    Library *library = ARENA_NEW(arena, Library);
    library->arena = arena;
    library->names = names;
    FileTree **end = &library->files;
    for (size_t i = 0; i < count; i++) {
        *end = parser(arena, names, sources[i], diags);
        end = &(*end)->next;
    }
    Count items = count_items(library);
    index_vocabularies(library, items.vocabularies, diags);
    index_codes(library, items.codes, diags);
    index_jurisdictions(library, items.jurisdictions, diags);
    check_library(library, diags);
    return library;
}

Library *library_of(Arena *arena, Names *names, const Source *const *sources, size_t count,
                    Diagnostics *diags)
{
    return parse_all(arena, names, sources, count, syntax_parse, diags);
}

Library *library_read_law(Arena *arena, Names *names, const char *const *paths, size_t count,
                          Diagnostics *diags)
{
    size_t file_count = 0;
    const Source **sources = library_sources(arena, paths, count, &file_count, diags);
    return parse_all(arena, names, sources, file_count, syntax_parse_law, diags);
}

Library *library_read(Arena *arena, Names *names, const char *const *paths, size_t count,
                      Diagnostics *diags)
{
    size_t file_count = 0;
    const Source **sources = library_sources(arena, paths, count, &file_count, diags);
    return library_of(arena, names, sources, file_count, diags);
}
