/* map.c - open addressing, at most half full. */
#include <gudgeon/map.h>
#include <gudgeon/str.h>

#include <assert.h>

struct map_slot {
    const void *key; /* NULL: free */
    size_t number;
};

static uint64_t hash_of(const void *key, bool text)
{
    uint64_t hash = 0xCBF29CE484222325u; /* FNV-1a */

    if (!text)
        return ((uintptr_t)key >> 4) * 0x9E3779B97F4A7C15u;
    for (const unsigned char *at = key; *at; at++)
        hash = (hash ^ *at) * 0x100000001B3u;
    return hash;
}

/* Where the key is, or the free slot where it would be. */
static struct map_slot *slot_of(const struct map *map, const void *key, bool text)
{
    uint64_t hash = hash_of(key, text);
    size_t i = (hash ^ hash >> 32) & (map->room - 1);

    while (map->slots[i].key && map->slots[i].key != key &&
           !(text && str_equal(map->slots[i].key, key)))
        i = (i + 1) & (map->room - 1);
    return &map->slots[i];
}

static void make_room(struct arena *arena, struct map *map, bool text)
{
    enum { LEAST = 16 };
    struct map larger = {.count = map->count, .room = map->room ? 2 * map->room : LEAST};

    larger.slots = ARENA_ARRAY(arena, struct map_slot, larger.room);
    for (size_t i = 0; i < map->room; i++)
        if (map->slots[i].key)
            *slot_of(&larger, map->slots[i].key, text) = map->slots[i];
    *map = larger;
}

static size_t find(const struct map *map, const void *key, bool text)
{
    const struct map_slot *slot = key && map->room ? slot_of(map, key, text) : NULL;

    return slot && slot->key ? slot->number : MAP_NONE;
}

static size_t put(struct arena *arena, struct map *map, const void *key, bool text, size_t number)
{
    assert(key);
    if (2 * (map->count + 1) > map->room)
        make_room(arena, map, text);
    struct map_slot *slot = slot_of(map, key, text);
    if (!slot->key) {
        *slot = (struct map_slot){key, number};
        map->count++;
    }
    return slot->number;
}

size_t map_text(const struct map *map, const char *key)
{
    return find(map, key, true);
}

size_t map_item(const struct map *map, const void *key)
{
    return find(map, key, false);
}

size_t map_put_text(struct arena *arena, struct map *map, const char *key, size_t number)
{
    return put(arena, map, key, true, number);
}

size_t map_put_item(struct arena *arena, struct map *map, const void *key, size_t number)
{
    return put(arena, map, key, false, number);
}
