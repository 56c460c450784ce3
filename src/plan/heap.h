/* heap.h - what is due, soonest first: by `key`, then `rank`, then `item`. */
#ifndef PLAN_HEAP_H
#define PLAN_HEAP_H

#include <gudgeon/arena.h>

struct heap_item {
    size_t key, rank, item;
};
struct heap {
    struct heap_item *items;
    size_t count, room;
};

bool plan_heap_sooner(struct heap_item a, struct heap_item b);
void plan_heap_push(struct arena *arena, struct heap *heap, struct heap_item item);
struct heap_item plan_heap_pop(struct heap *heap); /* the heap is not empty */

#endif
