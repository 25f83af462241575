/* What the files of a library define, found by name.
 *
 * Gives vocabularies, codes, jurisdictions and places in an order that does not depend on the order
 * of the files, each code and jurisdiction joined with the pieces that continue it. What is
 * defined twice is kept as it stands first in order of path; what has lost its name to a syntax
 * error is left out. */
#include <stdlib.h>

#include "law/library_inner.h"

Place code_name_place(const CodeTree *code)
{
    return (Place){code->source, code->name_span};
}

Place jurisdiction_name_place(const JurisdictionTree *jurisdiction)
{
    return (Place){jurisdiction->source, jurisdiction->name_span};
}

Place place_name_place(const PlaceTree *place)
{
    return (Place){place->source, place->name_span};
}

void report_twice(Diagnostics *diags, Place second, Place first, const char *what, Text name)
{
    Diagnostic *diag = diagnostic_error(diags, "defined twice", second,
                                        "%s '%.*s' is defined a second time", what, TEXT_ARG(name));
    diagnostic_note(diags, diag, first, "first defined here");
}

void note_nearest(Diagnostics *diags, Diagnostic *diag, Text word, const Text *names, size_t count)
{
    long nearest = text_nearest(word, names, count);
    if (nearest >= 0) {
        diagnostic_note(diags, diag, (Place){NULL, {0, 0}}, "did you mean '%.*s'?",
                        TEXT_ARG(names[nearest]));
    }
}

/* ---- lists of what the files hold ---- */

/* A thing with its keys, for sorting. */
typedef struct Entry {
    Text name, edition;
    bool continued;
    const Source *source;
    uint32_t order; /* in the files */
    union {
        CodeTree *code;
        JurisdictionTree *jurisdiction;
        PlaceTree *place;
        VocabularyTree *vocabulary;
    };
} Entry;

typedef struct Entries {
    Entry *list;
    uint32_t count;
} Entries;

static int order_names(const Entry *a, const Entry *b)
{
    int order = text_order(a->name, b->name);
    return order != 0 ? order : text_order(a->edition, b->edition);
}

/* Those that continue one come after it, in order of path. */
static int order_entries(const void *left, const void *right)
{
    const Entry *a = left;
    const Entry *b = right;
    int order = order_names(a, b);
    if (order == 0) {
        order = (int)a->continued - (int)b->continued;
    }
    if (order == 0) {
        order = text_order(a->source->path, b->source->path);
    }
    return order != 0 ? order : (a->order > b->order) - (a->order < b->order);
}

/* False for what has no name, or is of another kind. */
static bool entry_of(const ItemTree *item, ItemKind kind, Entry *out)
{
    if (item->kind != kind) {
        return false;
    }
    const Name *name = NULL;
    switch (kind) {
    case ITEM_CODE:
        name = item->code->name;
        *out = (Entry){.edition = item->code->edition,
                       .continued = item->code->continued,
                       .source = item->code->source,
                       .code = item->code};
        break;
    case ITEM_JURISDICTION:
        name = item->jurisdiction->name;
        *out = (Entry){.continued = item->jurisdiction->continued,
                       .source = item->jurisdiction->source,
                       .jurisdiction = item->jurisdiction};
        break;
    case ITEM_PLACE:
        name = item->place->name;
        *out = (Entry){.source = item->place->source, .place = item->place};
        break;
    case ITEM_VOCABULARY:
        name = item->vocabulary->name;
        *out = (Entry){.continued = item->vocabulary->continued,
                       .source = item->vocabulary->source,
                       .vocabulary = item->vocabulary};
        break;
    }
    if (name == NULL) {
        return false;
    }
    out->name = name->text;
    return true;
}

static uint32_t count_items(const Library *library, ItemKind kind)
{
    uint32_t count = 0;
    for (const FileTree *file = library->files; file != NULL; file = file->next) {
        for (const ItemTree *item = file->items; item != NULL; item = item->next) {
            count += item->kind == kind;
        }
    }
    return count;
}

static Entries gather(const Library *library, ItemKind kind)
{
    Entries entries = {ARENA_ARRAY(library->arena, Entry, count_items(library, kind) + 1), 0};
    for (const FileTree *file = library->files; file != NULL; file = file->next) {
        for (const ItemTree *item = file->items; item != NULL; item = item->next) {
            Entry *entry = &entries.list[entries.count];
            if (entry_of(item, kind, entry)) {
                entry->order = entries.count++;
            }
        }
    }
    if (entries.count > 0) {
        qsort(entries.list, entries.count, sizeof *entries.list, order_entries);
    }
    return entries;
}

/* ---- codes ---- */

static void index_code(Library *library, const Entry *group, uint32_t count, Diagnostics *diags)
{
    uint32_t mains = 0;
    while (mains < count && !group[mains].continued) {
        mains++;
    }
    for (uint32_t i = 1; i < mains; i++) {
        Text words = text_format(library->arena, "%.*s edition %.*s", TEXT_ARG(group->name),
                                 TEXT_ARG(group->edition));
        report_twice(diags, code_name_place(group[i].code), code_name_place(group->code), "code",
                     words);
    }
    if (mains == 0) {
        for (uint32_t i = 0; i < count; i++) {
            report_lone_code(library, group[i].code, diags);
        }
        return;
    }
    CodeTree *code = group->code;
    if (mains < count) {
        CodeTree **pieces = ARENA_ARRAY(library->arena, CodeTree *, count - mains);
        for (uint32_t i = mains; i < count; i++) {
            pieces[i - mains] = group[i].code;
        }
        code = code_join(library->arena, code, pieces, count - mains, diags);
    }
    library->codes[library->code_count++] = code;
}

/* ---- jurisdictions ---- */

static void index_jurisdiction(Library *library, const Entry *group, uint32_t count,
                               Diagnostics *diags)
{
    uint32_t mains = 0;
    while (mains < count && !group[mains].continued) {
        mains++;
    }
    for (uint32_t i = 1; i < mains; i++) {
        report_twice(diags, jurisdiction_name_place(group[i].jurisdiction),
                     jurisdiction_name_place(group->jurisdiction), "jurisdiction", group->name);
    }
    if (mains == 0) {
        for (uint32_t i = 0; i < count; i++) {
            report_lone_jurisdiction(library, group[i].jurisdiction, diags);
        }
        return;
    }
    JurisdictionTree *jurisdiction = group->jurisdiction;
    if (mains < count) {
        JurisdictionTree **pieces = ARENA_ARRAY(library->arena, JurisdictionTree *, count - mains);
        for (uint32_t i = mains; i < count; i++) {
            pieces[i - mains] = group[i].jurisdiction;
        }
        jurisdiction = jurisdiction_join(library->arena, jurisdiction, pieces, count - mains);
    }
    library->jurisdictions[library->jurisdiction_count++] = jurisdiction;
}

/* ---- vocabularies ---- */

static Place vocabulary_name_place(const VocabularyTree *vocabulary)
{
    return (Place){vocabulary->source, vocabulary->name_span};
}

static void index_vocabulary(Library *library, const Entry *group, uint32_t count,
                             Diagnostics *diags)
{
    uint32_t mains = 0;
    while (mains < count && !group[mains].continued) {
        mains++;
    }
    for (uint32_t i = 1; i < mains; i++) {
        report_twice(diags, vocabulary_name_place(group[i].vocabulary),
                     vocabulary_name_place(group->vocabulary), "vocabulary", group->name);
    }
    if (mains == 0) {
        for (uint32_t i = 0; i < count; i++) {
            report_lone_vocabulary(library, group[i].vocabulary, diags);
        }
        return;
    }
    const VocabularyTree *vocabulary = group->vocabulary;
    if (mains < count) {
        VocabularyTree **pieces = ARENA_ARRAY(library->arena, VocabularyTree *, count - mains);
        for (uint32_t i = mains; i < count; i++) {
            pieces[i - mains] = group[i].vocabulary;
        }
        vocabulary = vocabulary_join(library->arena, vocabulary, pieces, count - mains);
    }
    library->vocabularies[library->vocabulary_count++] =
        vocabulary_make(library->arena, library->names, vocabulary, vocabulary->source, diags);
}

/* ---- places ---- */

static void index_place(Library *library, const Entry *group, uint32_t count, Diagnostics *diags)
{
    for (uint32_t i = 1; i < count; i++) {
        report_twice(diags, place_name_place(group[i].place), place_name_place(group->place),
                     "place", group->name);
    }
    library->places[library->place_count++] = group->place;
}

/* ---- all ---- */

typedef void (*Indexer)(Library *, const Entry *, uint32_t, Diagnostics *);

/* Calls for each group of one name (and edition). */
static void index_groups(Library *library, Entries entries, Indexer indexer, Diagnostics *diags)
{
    for (uint32_t i = 0; i < entries.count;) {
        uint32_t count = 1;
        while (i + count < entries.count &&
               order_names(&entries.list[i], &entries.list[i + count]) == 0) {
            count++;
        }
        indexer(library, &entries.list[i], count, diags);
        i += count;
    }
}

void library_index(Library *library, Diagnostics *diags)
{
    Entries vocabularies = gather(library, ITEM_VOCABULARY);
    library->vocabularies = ARENA_ARRAY(library->arena, Vocabulary *, vocabularies.count + 1);
    index_groups(library, vocabularies, index_vocabulary, diags);
    Entries codes = gather(library, ITEM_CODE);
    library->codes = ARENA_ARRAY(library->arena, CodeTree *, codes.count + 1);
    index_groups(library, codes, index_code, diags);
    library_derive_editions(library, diags);
    Entries jurisdictions = gather(library, ITEM_JURISDICTION);
    library->jurisdictions =
        ARENA_ARRAY(library->arena, JurisdictionTree *, jurisdictions.count + 1);
    index_groups(library, jurisdictions, index_jurisdiction, diags);
    Entries places = gather(library, ITEM_PLACE);
    library->places = ARENA_ARRAY(library->arena, PlaceTree *, places.count + 1);
    index_groups(library, places, index_place, diags);
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

uint32_t library_find_code(const Library *library, Text name)
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
    for (uint32_t i = library_find_code(library, name->text);
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

const PlaceTree *library_place(const Library *library, Text name)
{
    for (uint32_t i = 0; i < library->place_count; i++) {
        if (text_equal(library->places[i]->name->text, name)) {
            return library->places[i];
        }
    }
    return NULL;
}

Text library_nearest_jurisdiction(const Library *library, Text name)
{
    Text *names =
        ARENA_ARRAY(library->arena, Text, library->jurisdiction_count + library->place_count + 1);
    size_t count = 0;
    for (uint32_t i = 0; i < library->jurisdiction_count; i++) {
        names[count++] = library->jurisdictions[i]->name->text;
    }
    for (uint32_t i = 0; i < library->place_count; i++) {
        names[count++] = library->places[i]->name->text;
    }
    long nearest = text_nearest(name, names, count);
    return nearest < 0 ? TEXT("") : names[nearest];
}
