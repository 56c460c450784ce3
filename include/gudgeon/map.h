/* map.h - numbers by text or by what a pointer points at, found in the time of a hash table.
 *
 * A map starts zeroed and keys are never taken out. Its keys are all texts, which must outlive it, or
 * all pointers, which are told apart by where they point. The first number put under a key stays. */
#ifndef GUDGEON_MAP_H
#define GUDGEON_MAP_H

#include <gudgeon/arena.h>

struct map {
    struct map_slot *slots;
    size_t count, room; /* room: 0 or a power of two */
};
#define MAP_NONE SIZE_MAX

/* The number under the key, or MAP_NONE. A key NULL is under none. */
size_t map_text(const struct map *map, const char *key);
size_t map_item(const struct map *map, const void *key);
/* Puts `number` under the key unless there is one; what stands there then. The key is not NULL. */
size_t map_put_text(struct arena *arena, struct map *map, const char *key, size_t number);
size_t map_put_item(struct arena *arena, struct map *map, const void *key, size_t number);

#endif
