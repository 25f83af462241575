/* Arena: memory that is handed out piece by piece and freed at once.
 *
 * One arena per load (tree, law) and one per review; nothing is freed singly. A refused
 * request to the system ends the process with EX_OSERR: it is the one fault that no caller
 * could answer. Every other fault in the library is a diagnostic. */
#ifndef BASE_ARENA_H
#define BASE_ARENA_H

#include <stddef.h>

typedef struct Arena Arena;

/* A place in an arena to go back to; valid until the arena is reset below it or freed. */
typedef struct ArenaMark {
    void *block;
    size_t used;
} ArenaMark;

Arena *arena_new(void);
void arena_free(Arena *arena); /* NULL is allowed */

/* Zeroed memory aligned for any type, alive as long as the arena; never NULL. */
void *arena_alloc(Arena *arena, size_t size) __attribute__((returns_nonnull, malloc));

/* Unzeroed twin of arena_alloc, for the hot path. */
void *arena_alloc_raw(Arena *arena, size_t size) __attribute__((returns_nonnull, malloc));

/* Zeroed memory for `count` things of `size` bytes; a product too large ends the process. */
void *arena_alloc_array(Arena *arena, size_t size, size_t count)
    __attribute__((returns_nonnull, malloc));

ArenaMark arena_mark(const Arena *arena);
void arena_reset(Arena *arena, ArenaMark mark); /* frees all that came after the mark */
/* Bytes handed out, with their padding, for reports and tests. */
size_t arena_used(const Arena *arena);

#define ARENA_NEW(arena, Type) ((Type *)arena_alloc((arena), sizeof(Type)))
#define ARENA_ARRAY(arena, Type, count) ((Type *)arena_alloc_array((arena), sizeof(Type), (count)))

#endif
