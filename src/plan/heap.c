/* heap.c - see heap.h. */
#include "heap.h"

bool plan_heap_sooner(struct heap_item a, struct heap_item b)
{
    return a.key != b.key     ? a.key < b.key
           : a.rank != b.rank ? a.rank < b.rank
                              : a.item < b.item;
}

void plan_heap_push(struct arena *arena, struct heap *heap, struct heap_item item)
{
    size_t i = heap->count;

    *ARRAY_PUSH(arena, heap) = item;
    while (i > 0 && plan_heap_sooner(item, heap->items[(i - 1) / 2])) {
        heap->items[i] = heap->items[(i - 1) / 2];
        i = (i - 1) / 2;
    }
    heap->items[i] = item;
}

struct heap_item plan_heap_pop(struct heap *heap)
{
    struct heap_item first = heap->items[0], item = heap->items[--heap->count];
    size_t i = 0;

    for (;;) {
        size_t child = 2 * i + 1;
        if (child >= heap->count)
            break;
        if (child + 1 < heap->count && plan_heap_sooner(heap->items[child + 1], heap->items[child]))
            child++;
        if (!plan_heap_sooner(heap->items[child], item))
            break;
        heap->items[i] = heap->items[child];
        i = child;
    }
    heap->items[i] = item;
    return first;
}
