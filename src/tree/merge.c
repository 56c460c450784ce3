/* merge.c - JSON Merge Patch (RFC 7396, section 2) over nodes.
 *
 * Nodes are shared where nothing changes below them; only what stands beside a change is copied,
 * since `next` belongs to one parent. */
#include "tree_private.h"

#include <string.h>

bool tree_is_null(const struct node *node)
{
    return node->kind == NODE_SCALAR && !node->quoted && strcmp(node->text, "null") == 0;
}

static struct node *node_copy(struct merging *merging, const struct node *node)
{
    struct node *copy = ARENA_NEW(merging->context->arena, struct node);

    *copy = *node;
    parse_count(merging->context, merging->nodes, node->span);
    return copy;
}

/* A map with the key and place of `like` and no children yet. */
static struct node *map_new(struct merging *merging, const struct node *like)
{
    struct node *map = node_copy(merging, like);

    map->child = map->next = NULL;
    map->count = 0;
    return map;
}

void merge_nearest_key(struct context *context, struct diag *diag, struct span span,
                       const char *wrong, const struct node *map)
{
    size_t count = 0;

    if (context->diags.count > BOUND_DIAGNOSTICS)
        return; /* not printed, and with many ids to compare far from free */
    const char **keys = ARENA_ARRAY(context->arena, const char *, map->count);
    for (const struct node *child = map->child; child != NULL; child = child->next)
        keys[count++] = child->key;
    const char *nearest = str_nearest(wrong, keys, count);
    if (nearest != NULL)
        diag_fix(&context->diags, diag, span, nearest);
}

static void note_idle(struct merging *merging, const struct node *target, const struct node *null)
{
    struct diag *diag = diag_add(&merging->context->diags, DIAG_TREE_NOTHING_REMOVED,
                                 null->key_span, "`%s` is not there to be removed", null->key);

    merge_nearest_key(merging->context, diag, null->key_span, null->key, target);
}

struct node *merge_over(struct merging *merging, const struct node *target,
                        const struct node *patch)
{
    static const struct node nothing = {.kind = NODE_MAP};

    if (patch->kind != NODE_MAP || *merging->nodes > BOUND_NODES) /* that is an error already */
        return node_copy(merging, patch);
    if (target == NULL || target->kind != NODE_MAP)
        target = &nothing; /* a patch that is a mapping makes a mapping of anything */

    struct node *merged = map_new(merging, patch);
    struct list_end end = {.parent = merged};
    struct keys changes = keys_of(merging->context->arena, patch);
    struct keys old = keys_of(merging->context->arena, target);
    for (const struct node *child = target->child; child != NULL; child = child->next) {
        const struct node *change = keys_find(&changes, child->key);
        if (change == NULL)
            list_append(&end, node_copy(merging, child));
        else if (!tree_is_null(change))
            list_append(&end, merge_over(merging, child, change));
    }
    for (const struct node *change = patch->child; change != NULL; change = change->next) {
        if (keys_find(&old, change->key) != NULL)
            continue;
        if (!tree_is_null(change))
            list_append(&end, merge_over(merging, NULL, change));
        else if (merging->note_idle_null && target != &nothing)
            note_idle(merging, target, change);
    }
    return merged;
}

struct node *tree_merge(struct context *context, const struct node *target,
                        const struct node *patch)
{
    size_t nodes = 0;
    struct merging merging = {.context = context, .nodes = &nodes};

    return merge_over(&merging, target, patch);
}

struct node *tree_child(const struct node *map, const char *key)
{
    if (map == NULL || map->kind != NODE_MAP)
        return NULL;
    for (struct node *child = map->child; child != NULL; child = child->next)
        if (strcmp(child->key, key) == 0)
            return child;
    return NULL;
}

struct span tree_text_span(const struct node *scalar, size_t begin, size_t end)
{
    uint32_t quote = scalar->quoted ? 1 : 0;
    struct span span = scalar->span;

    if (scalar->multiline || begin > end || end > span.end - span.begin - 2 * quote)
        return span;
    return (struct span){span.file, span.begin + quote + (uint32_t)begin,
                         span.begin + quote + (uint32_t)end};
}

void tree_dump(const struct node *node, struct json *json)
{
    if (node->kind == NODE_SCALAR) {
        if (tree_is_null(node))
            json_null(json);
        else
            json_string(json, node->text);
        return;
    }
    if (node->kind == NODE_MAP)
        json_object(json);
    else
        json_array(json);
    for (const struct node *child = node->child; child != NULL; child = child->next) {
        if (node->kind == NODE_MAP)
            json_key(json, child->key);
        tree_dump(child, json);
    }
    if (node->kind == NODE_MAP)
        json_object_end(json);
    else
        json_array_end(json);
}
