/* table_set.c - the set that is built in, copies of it, and the user's tables in front. */
#include "table_private.h"

#include <string.h>

bool table_is_single(const struct table_row *row, const char *heading)
{
    size_t length = strlen(heading);
    for (const char *at = row->single; (at = strstr(at, heading)) != NULL; at += length)
        if ((at == row->single || at[-1] == ' ') && (at[length] == ' ' || at[length] == '\0'))
            return true;
    return false;
}

const struct table_set *table_set_default(void)
{
    return &table_built_in;
}

struct table_walk table_walk_over(const struct table_set *set, enum table_kind_id kind)
{
    return (struct table_walk){set->slices[kind], 0, table_kinds[kind].row_size};
}

const void *table_walk_next(struct table_walk *walk)
{
    while (walk->slice != NULL && walk->index == walk->slice->count) {
        walk->slice = walk->slice->next;
        walk->index = 0;
    }
    if (walk->slice == NULL)
        return NULL;
    return (const char *)walk->slice->rows + walk->row_size * walk->index++;
}

static struct table_slice *slice_copy(struct arena *arena, const struct table_slice *slice,
                                      size_t row_size)
{
    struct table_slice *copy = ARENA_NEW(arena, struct table_slice);
    void *rows = arena_array(arena, slice->count, row_size);
    memcpy(rows, slice->rows, slice->count * row_size);
    *copy = (struct table_slice){slice->head, rows, slice->count, NULL, NULL};
    return copy;
}

struct table_set *table_set_copy(struct arena *arena, const struct table_set *set)
{
    struct table_set *copy = ARENA_NEW(arena, struct table_set);
    for (size_t kind = 0; kind < KIND_COUNT; kind++) {
        const struct table_slice **end = &copy->slices[kind];
        for (const struct table_slice *slice = set->slices[kind]; slice != NULL;
             slice = slice->next) {
            struct table_slice *made = slice_copy(arena, slice, table_kinds[kind].row_size);
            *end = made;
            end = &made->next;
        }
    }
    return copy;
}

static void put_in_front(struct table_set *set, enum table_kind_id kind, struct table_slice *slice)
{
    slice->next = set->slices[kind];
    set->slices[kind] = slice;
}

bool table_add_user(struct context *context, struct table_set *set, uint32_t source)
{
    enum table_kind_id kind;
    bool factors_ok = true;
    struct table_slice *slice = table_read(context, source, &kind);
    if (slice == NULL || !table_check(context, kind, slice, set) ||
        !table_check_words(context, kind, slice))
        return false;
    if (kind == KIND_TORQUE) {
        struct table_slice *factors = table_read_factors(context, source, slice->head, &factors_ok);
        if (factors != NULL && !table_check(context, KIND_FACTOR, factors, set))
            return false;
        if (factors != NULL)
            put_in_front(set, KIND_FACTOR, factors);
    }
    put_in_front(set, kind, slice);
    return factors_ok;
}

bool table_set_check(struct context *context, const struct table_set *set, const char *kind_name)
{
    const struct table_kind *kind = table_kind_find(kind_name);
    bool ok = kind != NULL;
    if (kind == NULL)
        return false;
    enum table_kind_id id = (enum table_kind_id)(kind - table_kinds);
    for (const struct table_slice *slice = set->slices[id]; slice != NULL; slice = slice->next)
        ok &= table_check(context, id, slice, NULL);
    return ok;
}

static void *row_at(const struct table_set *set, const char *kind_name, size_t index)
{
    const struct table_kind *kind = table_kind_find(kind_name);
    if (kind == NULL)
        return NULL;
    for (const struct table_slice *slice = set->slices[kind - table_kinds]; slice != NULL;
         slice = slice->next) {
        if (index < slice->count)
            return (char *)(uintptr_t)slice->rows + index * kind->row_size;
        index -= slice->count;
    }
    return NULL;
}

const void *table_row_at(const struct table_set *set, const char *kind, size_t index)
{
    return row_at(set, kind, index);
}

void *table_row_edit(struct table_set *set, const char *kind, size_t index)
{
    return row_at(set, kind, index);
}

bool table_has(double value)
{
    return !isnan(value);
}

bool table_band_holds(int64_t over_pm, int64_t up_to_pm, int64_t size_pm)
{
    return (over_pm == TABLE_NO_PM || size_pm > over_pm) &&
           (up_to_pm == TABLE_NO_PM || size_pm <= up_to_pm);
}
