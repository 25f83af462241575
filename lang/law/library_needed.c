/* A library read for some jurisdictions and places alone.
 *
 * First every file is read for all but its codes, which is little; then the codes that the
 * jurisdictions asked for name, with all their editions and pieces, in the files where those were
 * passed over. What a jurisdiction does not use costs nothing more than being skipped. */
#include "law/library_inner.h"

typedef struct Needs {
    Arena *arena;
    Names *names;
    FileTree *files;
    Map *jurisdictions; /* names, the levels above them among them */
    Map *codes;
} Needs;

bool library_needs(const Library *library, const Name *jurisdiction)
{
    return library->needed == NULL || map_get(library->needed, jurisdiction) != NULL;
}

static void need_block(Needs *needs, const BlockTree *block)
{
    if (block->code != NULL) {
        (void)map_put(needs->codes, block->code, needs);
    }
    for (const ChangeTree *change = block->changes; change != NULL; change = change->next) {
        if (change->code != NULL) {
            (void)map_put(needs->codes, change->code, needs);
        }
    }
}

/* The pieces of one name; false when there is none. */
static bool need_jurisdiction(Needs *needs, const Name *name)
{
    if (map_put(needs->jurisdictions, name, needs) != NULL) {
        return true;
    }
    bool found = false;
    for (const FileTree *file = needs->files; file != NULL; file = file->next) {
        for (const ItemTree *item = file->items; item != NULL; item = item->next) {
            if (item->kind != ITEM_JURISDICTION || item->jurisdiction->name != name) {
                continue;
            }
            found = true;
            for (const BlockTree *at = item->jurisdiction->blocks; at != NULL; at = at->next) {
                need_block(needs, at);
            }
        }
    }
    return found;
}

static const Name *outer_name(const Needs *needs, const Name *name)
{
    for (const FileTree *file = needs->files; file != NULL; file = file->next) {
        for (const ItemTree *item = file->items; item != NULL; item = item->next) {
            if (item->kind == ITEM_JURISDICTION && item->jurisdiction->name == name &&
                item->jurisdiction->within != NULL) {
                return item->jurisdiction->within;
            }
        }
    }
    return NULL;
}

/* It and the levels above it; a circle of levels ends where it began. */
static bool need_levels(Needs *needs, const Name *name)
{
    bool found = need_jurisdiction(needs, name);
    const Name *outer = outer_name(needs, name);
    while (outer != NULL && map_get(needs->jurisdictions, outer) == NULL) {
        (void)need_jurisdiction(needs, outer);
        outer = outer_name(needs, outer);
    }
    return found;
}

static void need_holders(Needs *needs, const HolderTree *rows)
{
    for (const HolderTree *row = rows; row != NULL; row = row->next) {
        if (row->jurisdiction != NULL) {
            (void)need_levels(needs, row->jurisdiction);
        }
    }
}

static bool need_place(Needs *needs, const Name *name)
{
    bool found = false;
    for (const FileTree *file = needs->files; file != NULL; file = file->next) {
        for (const ItemTree *item = file->items; item != NULL; item = item->next) {
            if (item->kind == ITEM_PLACE && item->place->name == name) {
                found = true;
                need_holders(needs, item->place->holders);
            }
        }
    }
    return found;
}

/* False when a venue is no jurisdiction and no place: then nothing is known of what is needed. */
static bool need_venues(Needs *needs, const Text *venues, size_t count)
{
    bool all = true;
    for (size_t i = 0; i < count; i++) {
        const Name *name = names_find(needs->names, venues[i]);
        bool is_place = name != NULL && need_place(needs, name);
        bool is_jurisdiction = name != NULL && need_levels(needs, name);
        all = all && (is_place || is_jurisdiction);
    }
    return all;
}

static bool has_wanted(const FileTree *file, const Map *codes)
{
    for (const PassedTree *at = file->passed; at != NULL; at = at->next) {
        if (map_get(codes, at->name) != NULL) {
            return true;
        }
    }
    return false;
}

/* Each file once more, where something wanted was passed over; `all`: where anything was. */
static void read_codes(Needs *needs, Diagnostics *first, bool all, Diagnostics *diags)
{
    FileTree **link = &needs->files;
    for (size_t i = 0; *link != NULL; i++) {
        FileTree *file = *link;
        if (file->passed != NULL && (all || has_wanted(file, needs->codes))) {
            FileTree *again =
                all ? syntax_parse_law(needs->arena, needs->names, file->source, diags)
                    : syntax_parse_codes(needs->arena, needs->names, file->source, needs->codes,
                                         diags);
            again->next = file->next;
            *link = again;
        } else {
            diagnostics_join(diags, &first[i]);
        }
        link = &(*link)->next;
    }
}

Library *library_read_for(Arena *arena, Names *names, const char *const *paths, size_t count,
                          const Text *venues, size_t venue_count, Diagnostics *diags)
{
    RuleFiles files = library_files(arena, paths, count, diags);
    Needs needs = {arena, names, NULL, map_new(arena), map_new(arena)};
    Diagnostics *first = ARENA_ARRAY(arena, Diagnostics, files.count + 1);
    FileTree **end = &needs.files;
    for (size_t i = 0; i < files.count; i++) {
        first[i] = diagnostics_make(arena);
        *end = syntax_parse_codes(arena, names, files.sources[i], needs.codes, &first[i]);
        end = &(*end)->next;
    }
    bool known = need_venues(&needs, venues, venue_count);
    read_codes(&needs, first, !known, diags);
    Library *library = library_start(arena, names);
    library->files = needs.files;
    library->needed = known ? needs.jurisdictions : NULL;
    library->roots = files.roots;
    library->root_count = files.root_count;
    library_finish(library, diags);
    return library;
}
