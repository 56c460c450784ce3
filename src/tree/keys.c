/* keys.c - children by key. Few are searched one by one; from a dozen on a table is kept, so that a
 * map of a hundred thousand ids is not searched in quadratic time. */
#include "tree_private.h"

#include <string.h>

enum { FEW = 12, FIRST_ROOM = 64 }; /* the room is a power of two */

static size_t hash_of(const char *key)
{
    uint64_t hash = 14695981039346656037u; /* FNV-1a, 64 bits */

    for (; *key != '\0'; key++)
        hash = (hash ^ (unsigned char)*key) * 1099511628211u;
    return (size_t)(hash ^ hash >> 32);
}

static void table_put(struct node **table, size_t room, struct node *node)
{
    size_t at = hash_of(node->key) & (room - 1);

    while (table[at] != NULL)
        at = (at + 1) & (room - 1);
    table[at] = node;
}

static void table_grow(struct keys *keys)
{
    size_t room = keys->room == 0 ? FIRST_ROOM : keys->room * 2;
    struct node **table = ARENA_ARRAY(keys->arena, struct node *, room);

    if (keys->table == NULL) {
        struct node *node = keys->first;
        for (size_t i = 0; i < keys->count; i++, node = node->next)
            table_put(table, room, node);
    }
    for (size_t i = 0; i < keys->room; i++)
        if (keys->table[i] != NULL)
            table_put(table, room, keys->table[i]);
    keys->table = table;
    keys->room = room;
}

struct node *keys_find(const struct keys *keys, const char *key)
{
    if (keys->table == NULL) {
        struct node *node = keys->first;
        for (size_t i = 0; i < keys->count; i++, node = node->next)
            if (strcmp(node->key, key) == 0)
                return node;
        return NULL;
    }
    for (size_t at = hash_of(key) & (keys->room - 1); keys->table[at] != NULL;
         at = (at + 1) & (keys->room - 1))
        if (strcmp(keys->table[at]->key, key) == 0)
            return keys->table[at];
    return NULL;
}

void keys_add(struct keys *keys, struct node *node)
{
    if (keys->first == NULL)
        keys->first = node;
    if (keys->count >= FEW && (keys->count + 1) * 2 > keys->room)
        table_grow(keys);
    if (keys->table != NULL)
        table_put(keys->table, keys->room, node);
    keys->count++;
}

struct keys keys_of(struct arena *arena, const struct node *map)
{
    struct keys keys = {.arena = arena};

    for (struct node *child = map->child; child != NULL; child = child->next)
        keys_add(&keys, child);
    return keys;
}

void list_append(struct list_end *end, struct node *child)
{
    child->next = NULL;
    if (end->last == NULL)
        end->parent->child = child;
    else
        end->last->next = child;
    end->last = child;
    end->parent->count++;
}
