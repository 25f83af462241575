/* Arena: a chain of blocks that grow from 16 KiB to 1 MiB; memory is handed out upward within
 * the newest block.
 *
 * Takes a size, gives aligned memory, and never fails: when the system refuses, the process
 * ends with EX_OSERR, since no caller could go on. Marks are a block and a level in it; going
 * back to a mark frees the later blocks, but keeps one to spare, so that a loop of mark, work
 * and reset does not call malloc each time round. Built with AddressSanitizer, every piece is
 * followed by a poisoned red zone, so that a read past its end is caught although the system
 * heap knows only the block. */
#include "base/arena.h"

#include <stdalign.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#if defined(__SANITIZE_ADDRESS__)
#define ARENA_POISONED 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
#define ARENA_POISONED 1
#endif
#endif

#ifdef ARENA_POISONED
#include <sanitizer/asan_interface.h>
enum { RED_ZONE = 16 };
#else
enum { RED_ZONE = 0 };
#endif

/* A hostile build makes the first block tiny, so that every path meets a block's end. */
#ifndef ARENA_BLOCK_MIN
#define ARENA_BLOCK_MIN (16 * 1024)
#endif

enum {
    BLOCK_MIN = ARENA_BLOCK_MIN,
    BLOCK_MAX = 1024 * 1024, /* larger blocks save no time, and waste more at the end */
    ALIGN = alignof(max_align_t),
    EXIT_OSERR = 71 /* EX_OSERR of sysexits.h, which POSIX does not have */
};

/* Marks memory as out of bounds; not inline, or gcc takes it for a read of what malloc gave. */
__attribute__((noinline)) static void poison(unsigned char *bytes, size_t size)
{
#ifdef ARENA_POISONED
    __asan_poison_memory_region(bytes, size);
#else
    (void)bytes;
    (void)size;
#endif
}

static void unpoison(unsigned char *bytes, size_t size)
{
#ifdef ARENA_POISONED
    __asan_unpoison_memory_region(bytes, size);
#else
    (void)bytes;
    (void)size;
#endif
}

typedef struct Block Block;
struct Block {
    Block *before;
    size_t size;   /* of bytes */
    size_t used;   /* of bytes, a multiple of ALIGN */
    size_t handed; /* in all the blocks before this one */
    alignas(max_align_t) unsigned char bytes[];
};

struct Arena {
    Block *top;
    Block *spare;
    size_t next_size;
};

__attribute__((noreturn)) static void give_up(void)
{
    static const char message[] = "shall: the system has no more memory\n";
    ssize_t written = write(STDERR_FILENO, message, sizeof message - 1);
    (void)written; /* there is nothing left to tell it to */
    _exit(EXIT_OSERR);
}

static void free_block(Block *block)
{
    if (block != NULL) {
        unpoison(block->bytes, block->size);
    }
    free(block);
}

Arena *arena_new(void)
{
    Arena *arena = calloc(1, sizeof *arena);
    if (arena == NULL) {
        give_up();
    }
    arena->next_size = BLOCK_MIN;
    return arena;
}

void arena_free(Arena *arena)
{
    if (arena == NULL) {
        return;
    }
    while (arena->top != NULL) {
        Block *before = arena->top->before;
        free_block(arena->top);
        arena->top = before;
    }
    free_block(arena->spare);
    free(arena);
}

/* Puts a block with room for `size` on top. */
static void push_block(Arena *arena, size_t size)
{
    Block *block = arena->spare;
    if (block != NULL && block->size >= size) {
        arena->spare = NULL;
    } else {
        size_t room = size > arena->next_size ? size : arena->next_size;
        if (room > SIZE_MAX - sizeof(Block)) {
            give_up();
        }
        block = malloc(sizeof(Block) + room);
        if (block == NULL) {
            give_up();
        }
        block->size = room;
        poison(block->bytes, block->size);
        if (arena->next_size < BLOCK_MAX) {
            arena->next_size *= 2;
        }
    }
    block->used = 0;
    block->before = arena->top;
    block->handed = arena->top == NULL ? 0 : arena->top->handed + arena->top->used;
    arena->top = block;
}

void *arena_alloc_raw(Arena *arena, size_t size)
{
    if (size > SIZE_MAX / 2) {
        give_up();
    }
    size_t step = (size + RED_ZONE + ALIGN - 1) / ALIGN * ALIGN;
    if (step == 0) {
        step = ALIGN; /* pieces of no size still have places of their own */
    }
    if (arena->top == NULL || arena->top->size - arena->top->used < step) {
        push_block(arena, step);
    }
    unsigned char *piece = arena->top->bytes + arena->top->used;
    arena->top->used += step;
    unpoison(piece, size);
    return piece;
}

void *arena_alloc(Arena *arena, size_t size)
{
    void *piece = arena_alloc_raw(arena, size);
    memset(piece, 0, size);
    return piece;
}

void *arena_alloc_array(Arena *arena, size_t size, size_t count)
{
    if (size != 0 && count > SIZE_MAX / size) {
        give_up();
    }
    return arena_alloc(arena, size * count);
}

ArenaMark arena_mark(const Arena *arena)
{
    return (ArenaMark){arena->top, arena->top == NULL ? 0 : arena->top->used};
}

void arena_reset(Arena *arena, ArenaMark mark)
{
    while (arena->top != mark.block) {
        Block *top = arena->top;
        arena->top = top->before;
        if (arena->spare == NULL || arena->spare->size < top->size) {
            free_block(arena->spare);
            poison(top->bytes, top->size);
            arena->spare = top;
        } else {
            free_block(top);
        }
    }
    if (arena->top != NULL) {
        arena->top->used = mark.used;
        poison(arena->top->bytes + mark.used, arena->top->size - mark.used);
    }
}

size_t arena_used(const Arena *arena)
{
    return arena->top == NULL ? 0 : arena->top->handed + arena->top->used;
}
