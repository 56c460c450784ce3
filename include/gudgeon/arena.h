/* arena.h - one arena a compilation: everything a stage makes lives in it and dies with it.
 *
 * In:  sizes.  Out: zeroed memory, aligned for any type, never NULL.
 * When the bound is reached or the system has no more, `exhausted` is called; it must not
 * return (the context jumps to its recovery point). Freed once, whole. */
#ifndef GUDGEON_ARENA_H
#define GUDGEON_ARENA_H

#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct arena;

/* `most_bytes` 0 means no bound of our own. NULL only when not even the arena itself can be
 * allocated. */
struct arena *arena_new(size_t most_bytes, void (*exhausted)(void *user), void *user);
void arena_free(struct arena *arena);
void *arena_alloc(struct arena *arena, size_t bytes);
/* The bytes handed out so far. */
size_t arena_used(const struct arena *arena);

#define ARENA_NEW(arena, type) ((type *)arena_alloc((arena), sizeof(type)))
#define ARENA_ARRAY(arena, type, count) ((type *)arena_array((arena), (count), sizeof(type)))
/* As arena_alloc of count * size; the product may not overflow: then it is exhaustion. */
void *arena_array(struct arena *arena, size_t count, size_t size);

/* A growing array is three members `items`, `count`, `room` of any struct:
 *     *ARRAY_PUSH(arena, &list) = item;
 * Growth doubles, so old copies stay behind in the arena: the sum is bounded by twice. */
#define ARRAY_PUSH(arena, list)                                                                    \
    ((list)->items = arena_grow((arena), (list)->items, (list)->count, &(list)->room,              \
                                sizeof *(list)->items),                                            \
     &(list)->items[(list)->count++])
void *arena_grow(struct arena *arena, void *items, size_t count, size_t *room, size_t size);

#endif
