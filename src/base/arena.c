/* arena.c - chunks of zeroed memory, the newest first. */
#include "arena_private.h"

#include <assert.h>
#include <stdalign.h>
#include <stdlib.h>
#include <string.h>

/* Under AddressSanitizer a gap is left after each block and nothing else than what was asked for
 * is open, so that running over the end of a block is seen as it is with malloc. */
#if defined(__has_feature)
#if __has_feature(address_sanitizer)
#define ARENA_GUARDED 1
#endif
#endif
#if defined(__SANITIZE_ADDRESS__)
#define ARENA_GUARDED 1
#endif
#ifdef ARENA_GUARDED
#include <sanitizer/asan_interface.h>
enum { GUARD_BYTES = 16 };
#else
#define ASAN_POISON_MEMORY_REGION(at, size) ((void)(at), (void)(size))
#define ASAN_UNPOISON_MEMORY_REGION(at, size) ((void)(at), (void)(size))
enum { GUARD_BYTES = 0 };
#endif

enum { FIRST_CHUNK = 64 * 1024, LARGEST_CHUNK = 4 * 1024 * 1024 };

struct chunk {
    struct chunk *older;
    size_t size, used;
    alignas(max_align_t) unsigned char bytes[];
};

struct arena {
    struct chunk *newest;
    size_t most, used, next_chunk;
    void (*exhausted)(void *user);
    void *user;
};

struct arena *arena_new(size_t most_bytes, void (*exhausted)(void *user), void *user)
{
    struct arena *arena = calloc(1, sizeof *arena);

    if (arena == NULL)
        return NULL;
    arena->most = most_bytes;
    arena->next_chunk = FIRST_CHUNK;
    arena->exhausted = exhausted;
    arena->user = user;
    return arena;
}

void arena_free(struct arena *arena)
{
    if (arena == NULL)
        return;
    while (arena->newest != NULL) {
        struct chunk *chunk = arena->newest;
        arena->newest = chunk->older;
        ASAN_UNPOISON_MEMORY_REGION(chunk->bytes, chunk->size);
        free(chunk);
    }
    free(arena);
}

void arena_fail(struct arena *arena)
{
    if (arena->exhausted != NULL)
        arena->exhausted(arena->user);
    abort(); /* `exhausted` must not return */
}

static size_t rounded(size_t bytes)
{
    size_t align = alignof(max_align_t);

    return (bytes + GUARD_BYTES + align - 1) / align * align;
}

static struct chunk *chunk_add(struct arena *arena, size_t least)
{
    /* A block that would fill most of a chunk gets one of its own. */
    size_t size = least > arena->next_chunk / 4 ? least : arena->next_chunk;
    struct chunk *chunk = calloc(1, sizeof *chunk + size);

    if (chunk == NULL)
        return NULL;
    chunk->size = size;
    ASAN_POISON_MEMORY_REGION(chunk->bytes, size);
    if (size == least && arena->newest != NULL) { /* the chunk in use stays in use */
        chunk->older = arena->newest->older;
        arena->newest->older = chunk;
        return chunk;
    }
    chunk->older = arena->newest;
    arena->newest = chunk;
    if (arena->next_chunk < LARGEST_CHUNK)
        arena->next_chunk *= 2;
    return chunk;
}

void *arena_try(struct arena *arena, size_t bytes)
{
    if (bytes > SIZE_MAX / 2 || (arena->most != 0 && bytes > arena->most - arena->used))
        return NULL;

    size_t need = rounded(bytes == 0 ? 1 : bytes);
    struct chunk *chunk = arena->newest;
    if (chunk == NULL || chunk->size - chunk->used < need) {
        chunk = chunk_add(arena, need);
        if (chunk == NULL)
            return NULL;
    }
    void *block = chunk->bytes + chunk->used;
    chunk->used += need;
    arena->used += bytes;
    ASAN_UNPOISON_MEMORY_REGION(block, bytes);
    return block;
}

void *arena_alloc(struct arena *arena, size_t bytes)
{
    void *block = arena_try(arena, bytes);

    if (block == NULL)
        arena_fail(arena);
    return block;
}

size_t arena_used(const struct arena *arena)
{
    return arena->used;
}

void *arena_array(struct arena *arena, size_t count, size_t size)
{
    if (size != 0 && count > SIZE_MAX / size)
        arena_fail(arena);
    return arena_alloc(arena, count * size);
}

void *arena_grow(struct arena *arena, void *items, size_t count, size_t *room, size_t size)
{
    assert(count <= *room);
    if (count < *room)
        return items;
    if (*room > SIZE_MAX / 2)
        arena_fail(arena);

    size_t more = *room == 0 ? 4 : *room * 2;
    void *grown = arena_array(arena, more, size);
    if (count != 0)
        memcpy(grown, items, count * size);
    *room = more;
    return grown;
}
