/* arena_private.h - for code of base that holds a descriptor while it asks for memory. */
#ifndef GUDGEON_ARENA_PRIVATE_H
#define GUDGEON_ARENA_PRIVATE_H

#include <gudgeon/arena.h>

/* As arena_alloc, but NULL when there is no more: the caller closes what it holds, then calls
 * arena_fail. */
void *arena_try(struct arena *arena, size_t bytes);
void arena_fail(struct arena *arena);

#endif
