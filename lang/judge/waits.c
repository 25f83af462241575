/* What an unknown answer waits for: sets built by union in constant time, flattened only when
 * a report asks. Sets share structure, so a walk remembers where it has been. */
#include <stdlib.h>
#include <string.h>

#include "judge/eval.h"

const Waits *waits_fact(Arena *arena, Reason reason, const Item *item, const Field *field)
{
    /* A fact of an item that is not stated itself: what is wanted is that item. */
    while (item != NULL && item->phantom) {
        field = item->field;
        item = item->parent;
    }
    Waits *leaf = ARENA_NEW(arena, Waits);
    leaf->reason = (uint8_t)reason;
    leaf->item = item;
    leaf->field = field;
    return leaf;
}

const Waits *waits_word(Arena *arena, Reason reason, Text what)
{
    Waits *leaf = ARENA_NEW(arena, Waits);
    leaf->reason = (uint8_t)reason;
    leaf->what = what;
    return leaf;
}

const Waits *waits_join(Arena *arena, const Waits *a, const Waits *b)
{
    if (a == NULL || a == b)
        return b;
    if (b == NULL)
        return a;
    Waits *both = ARENA_NEW(arena, Waits);
    both->left = a;
    both->right = b;
    return both;
}

/* ---- flattening ---- */

typedef struct Walk {
    Arena *arena;
    Map *seen;
    const Waits **leaves;
    uint32_t count, cap;
} Walk;

static void walk_push(Walk *walk, const Waits *waits)
{
    if (walk->count == walk->cap) {
        uint32_t cap = walk->cap == 0 ? 16 : walk->cap * 2;
        const Waits **grown = ARENA_ARRAY(walk->arena, const Waits *, cap);
        if (walk->count > 0)
            memcpy(grown, walk->leaves, walk->count * sizeof(const Waits *));
        walk->leaves = grown;
        walk->cap = cap;
    }
    walk->leaves[walk->count++] = waits;
}

/* Unions lean to the left (a running set joined with one more), so the walk keeps its own
 * stack rather than recurse. */
static void walk_all(Walk *walk, const Waits *root)
{
    Walk stack = {.arena = walk->arena};
    walk_push(&stack, root);
    while (stack.count > 0) {
        const Waits *waits = stack.leaves[--stack.count];
        if (map_put(walk->seen, waits, walk) != NULL)
            continue;
        if (waits->left == NULL) {
            walk_push(walk, waits);
            continue;
        }
        walk_push(&stack, waits->left);
        walk_push(&stack, waits->right);
    }
}

/* Order of the file: by item, then field, then what is said in words, then reason. */
static int leaf_order(const Waits *a, const Waits *b)
{
    if ((a->item == NULL) != (b->item == NULL))
        return a->item == NULL ? 1 : -1;
    if (a->item != NULL && a->item != b->item) {
        if (a->item->span.start != b->item->span.start)
            return a->item->span.start < b->item->span.start ? -1 : 1;
        if (a->item->index != b->item->index)
            return a->item->index < b->item->index ? -1 : 1;
    }
    if (a->field != b->field && a->field != NULL && b->field != NULL) {
        if (a->field->index != b->field->index)
            return a->field->index < b->field->index ? -1 : 1;
    }
    int words = text_order(a->what, b->what);
    if (words != 0)
        return words;
    return (int)a->reason - (int)b->reason;
}

static int leaf_order_void(const void *a, const void *b)
{
    const Waits *const *left = a;
    const Waits *const *right = b;
    return leaf_order(*left, *right);
}

static bool leaf_same(const Waits *a, const Waits *b)
{
    return a->item == b->item && a->field == b->field && a->reason == b->reason &&
           text_equal(a->what, b->what);
}

/* A fact of a further item, of which a list may have some: the list itself is waited for too.
 * These come last. */
static bool is_nowhere(const Waits *leaf)
{
    return leaf->reason == REASON_NOT_STATED && leaf->item == NULL && leaf->field == NULL &&
           leaf->what.len == 0;
}

const Wanted *waits_flatten(Arena *arena, const Waits *waits, uint32_t *count)
{
    *count = 0;
    if (waits == NULL)
        return NULL;
    Walk walk = {.arena = arena, .seen = map_new(arena)};
    walk_all(&walk, waits);
    qsort(walk.leaves, walk.count, sizeof(const Waits *), leaf_order_void);
    Wanted *wanted = ARENA_ARRAY(arena, Wanted, walk.count);
    for (uint32_t i = 0; i < walk.count; i++) {
        const Waits *leaf = walk.leaves[i];
        if (i > 0 && leaf_same(leaf, walk.leaves[i - 1]))
            continue;
        if (*count > 0 && is_nowhere(leaf))
            continue;
        wanted[(*count)++] = (Wanted){leaf->reason, leaf->item, leaf->field, leaf->what};
    }
    return wanted;
}

bool waits_only_official(const Waits *waits)
{
    while (waits != NULL && waits->left != NULL) {
        if (!waits_only_official(waits->right))
            return false;
        waits = waits->left;
    }
    return waits != NULL && waits->reason == REASON_OFFICIAL;
}
