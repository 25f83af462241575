/* Names and Map: two open hash tables that live in an arena.
 *
 * Both hold powers of two of slots, at most three quarters full, and search from the hash to
 * the next free slot. A grown table leaves its former slots to the arena: together they are
 * never larger than the present ones. */
#include "base/name.h"

enum { SLOTS_FIRST = 64 };

struct Names {
    Arena *arena;
    const Name **slots;
    size_t cap;
    size_t count;
};

/* FNV-1a, 32 bits: short words, no attacker (a rule file is bounded by SOURCE_MAX_BYTES). */
static uint32_t hash_text(Text text)
{
    uint32_t hash = 2166136261u;
    for (size_t i = 0; i < text.len; i++) {
        hash = (hash ^ (unsigned char)text.data[i]) * 16777619u;
    }
    return hash;
}

Names *names_new(Arena *arena)
{
    Names *names = ARENA_NEW(arena, Names);
    names->arena = arena;
    names->cap = SLOTS_FIRST;
    names->slots = ARENA_ARRAY(arena, const Name *, names->cap);
    return names;
}

/* The slot that holds the text, or the free one where it belongs. */
static size_t find_name_slot(const Names *names, Text text, uint32_t hash)
{
    size_t i = hash & (names->cap - 1);
    while (names->slots[i] != NULL &&
           (names->slots[i]->hash != hash || !text_equal(names->slots[i]->text, text))) {
        i = (i + 1) & (names->cap - 1);
    }
    return i;
}

static void grow_names(Names *names)
{
    const Name **former = names->slots;
    size_t former_cap = names->cap;
    names->cap = former_cap * 2;
    names->slots = ARENA_ARRAY(names->arena, const Name *, names->cap);
    for (size_t i = 0; i < former_cap; i++) {
        if (former[i] != NULL) {
            names->slots[find_name_slot(names, former[i]->text, former[i]->hash)] = former[i];
        }
    }
}

const Name *names_intern(Names *names, Text text)
{
    uint32_t hash = hash_text(text);
    size_t slot = find_name_slot(names, text, hash);
    if (names->slots[slot] != NULL) {
        return names->slots[slot];
    }
    if ((names->count + 1) * 4 > names->cap * 3) {
        grow_names(names);
        slot = find_name_slot(names, text, hash);
    }
    Name *name = ARENA_NEW(names->arena, Name);
    name->text = text_copy(names->arena, text);
    name->hash = hash;
    names->slots[slot] = name;
    names->count++;
    return name;
}

const Name *names_find(const Names *names, Text text)
{
    return names->slots[find_name_slot(names, text, hash_text(text))];
}

typedef struct Entry {
    const void *key;
    void *value;
} Entry;

struct Map {
    Arena *arena;
    Entry *entries;
    size_t cap;
    size_t count;
};

Map *map_new(Arena *arena)
{
    Map *map = ARENA_NEW(arena, Map);
    map->arena = arena;
    map->cap = SLOTS_FIRST;
    map->entries = ARENA_ARRAY(arena, Entry, map->cap);
    return map;
}

static Entry *find_entry(const Map *map, const void *key)
{
    /* The low bits of a pointer are its alignment; the product spreads the others upward. */
    uint64_t hash = ((uint64_t)(uintptr_t)key >> 4) * UINT64_C(0x9e3779b97f4a7c15);
    size_t i = (size_t)(hash >> 32) & (map->cap - 1);
    while (map->entries[i].key != NULL && map->entries[i].key != key) {
        i = (i + 1) & (map->cap - 1);
    }
    return &map->entries[i];
}

void *map_get(const Map *map, const void *key)
{
    return find_entry(map, key)->value;
}

static void grow_map(Map *map)
{
    Entry *former = map->entries;
    size_t former_cap = map->cap;
    map->cap = former_cap * 2;
    map->entries = ARENA_ARRAY(map->arena, Entry, map->cap);
    for (size_t i = 0; i < former_cap; i++) {
        if (former[i].key != NULL) {
            *find_entry(map, former[i].key) = former[i];
        }
    }
}

void *map_put(Map *map, const void *key, void *value)
{
    Entry *entry = find_entry(map, key);
    if (entry->key == NULL) {
        if ((map->count + 1) * 4 > map->cap * 3) {
            grow_map(map);
            entry = find_entry(map, key);
        }
        entry->key = key;
        map->count++;
    }
    void *former = entry->value;
    entry->value = value;
    return former;
}
