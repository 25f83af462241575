/* Interned names: equal texts give one pointer, so names are compared as pointers. */
#ifndef BASE_NAME_H
#define BASE_NAME_H

#include "base/text.h"

typedef struct Name {
    Text text;
    uint32_t hash;
} Name;

typedef struct Names Names;

Names *names_new(Arena *arena);
const Name *names_intern(Names *names, Text text);     /* copies the text when new */
const Name *names_find(const Names *names, Text text); /* NULL when never interned */

/* A map from pointers (interned names, nodes) to pointers; insertion order is not kept, so
 * no output may depend on walking it. */
typedef struct Map Map;

Map *map_new(Arena *arena);
void *map_get(const Map *map, const void *key);        /* NULL when absent */
void *map_put(Map *map, const void *key, void *value); /* the former value or NULL */

#endif
