/* Memory of the oracle. It is taken from blocks and never freed singly; after each spec everything
 * since the mark is forgotten, so that a long stream stays small. GMP takes its memory here too. Its
 * hooks have no argument, hence the one static pool. Faults end the program with status 65. */
#include "oracle.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { BLOCK = 1 << 22, BLOCKS = 4096 };

static struct {
    char *block[BLOCKS];
    size_t size[BLOCKS];
    size_t used; /* position, as if the blocks lay end to end */
    size_t start[BLOCKS];
    int n, now;
} pool;

void *pool_get(size_t size)
{
    size = (size + 15) & ~(size_t)15;
    while (pool.now < pool.n && pool.used - pool.start[pool.now] + size > pool.size[pool.now]) {
        pool.used = pool.start[pool.now] + pool.size[pool.now];
        pool.now++;
    }
    if (pool.now == pool.n) {
        size_t room = size > BLOCK ? size : BLOCK;
        if (pool.n == BLOCKS || (pool.block[pool.n] = malloc(room)) == NULL) {
            give_up("out of memory");
        }
        pool.size[pool.n] = room;
        pool.start[pool.n] = pool.used;
        pool.n++;
    }
    char *at = pool.block[pool.now] + (pool.used - pool.start[pool.now]);
    pool.used += size;
    return memset(at, 0, size);
}

static void *pool_again(void *old, size_t old_size, size_t new_size)
{
    return new_size <= old_size ? old : memcpy(pool_get(new_size), old, old_size);
}

static void pool_forget(void *thing, size_t size)
{
    (void)thing;
    (void)size;
}

void pool_start(void)
{
    mp_set_memory_functions(pool_get, pool_again, pool_forget);
}

size_t pool_mark(void)
{
    return pool.used;
}

void pool_reset(size_t mark)
{
    pool.used = mark;
    pool.now = 0;
    while (pool.now < pool.n && mark >= pool.start[pool.now] + pool.size[pool.now]) {
        pool.now++;
    }
}

char *pool_text(const char *start, size_t length)
{
    return memcpy(pool_get(length + 1), start, length);
}

char *pool_format(const char *format, ...)
{
    va_list args;
    va_start(args, format);
    int length = vsnprintf(NULL, 0, format, args);
    va_end(args);
    char *text = pool_get((size_t)length + 1);
    va_start(args, format);
    (void)vsnprintf(text, (size_t)length + 1, format, args);
    va_end(args);
    return text;
}

void give_up(const char *format, ...)
{
    va_list args;
    va_start(args, format);
    fputs("oracle: ", stderr);
    (void)vfprintf(stderr, format, args);
    fputc('\n', stderr);
    va_end(args);
    exit(65);
}

bool same(const char *a, const char *b)
{
    return a == b || (a != NULL && b != NULL && strcmp(a, b) == 0);
}

void vec_add(Vec *vec, void *thing)
{
    if (vec->n == vec->room) {
        void **old = vec->at;
        vec->room = vec->room == 0 ? 4 : vec->room * 2;
        vec->at = ARRAY(void *, vec->room);
        if (vec->n > 0) {
            memcpy(vec->at, old, sizeof(void *) * (size_t)vec->n);
        }
    }
    vec->at[vec->n++] = thing;
}
