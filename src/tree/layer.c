/* layer.c - many files into one tree: used files side by side, then all of it over the base. */
#include "load_private.h"

#include <string.h>

/* How deep two files may share mappings: a section may be begun in one file and go on in another,
 * an id may not. The shop's sections lie one level deeper. */
enum { SECTION_LEVELS = 1, SHOP_LEVELS = 2 };

/* A mapping into which several files are laid; its node is first, so that it is found by it. */
struct shared {
    struct node node;
    struct list_end end;
    struct keys keys;
};

static struct shared *shared_new(struct loader *loader, const struct node *like)
{
    struct shared *shared = ARENA_NEW(loader->context->arena, struct shared);

    if (like != NULL)
        shared->node = *like;
    shared->node.kind = NODE_MAP;
    shared->node.child = NULL;
    shared->node.count = 0;
    shared->end.parent = &shared->node;
    shared->keys.arena = loader->context->arena;
    return shared;
}

static void report_twice(struct loader *loader, const struct node *again, const struct node *first)
{
    struct diags *diags = &loader->context->diags;
    struct diag *diag = diag_add(diags, DIAG_TREE_GIVEN_TWICE, again->key_span,
                                 "`%s` is given in two files", again->key);

    diag_label(diags, diag, first->key_span, "also given here");
    diag_hint(diags, diag,
              "rename or remove one of them; only what a `base` says may be overridden");
}

static void put_children(struct loader *loader, struct shared *into, const struct node *map,
                         int levels);

/* `levels` more levels may be shared below this one. */
static void put(struct loader *loader, struct shared *into, const struct node *child, int levels)
{
    struct node *present = keys_find(&into->keys, child->key);
    bool shares = levels > 0 && child->kind == NODE_MAP;

    if (present != NULL) {
        if (shares && present->kind == NODE_MAP)
            put_children(loader, (struct shared *)present, child, levels - 1);
        else
            report_twice(loader, child, present);
        return;
    }
    struct node *added;
    if (shares) {
        struct shared *shared = shared_new(loader, child);
        put_children(loader, shared, child, levels - 1);
        added = &shared->node;
    } else {
        added = ARENA_NEW(loader->context->arena, struct node);
        *added = *child;
    }
    list_append(&into->end, added);
    keys_add(&into->keys, added);
}

static void put_children(struct loader *loader, struct shared *into, const struct node *map,
                         int levels)
{
    for (const struct node *child = map->child; child != NULL; child = child->next)
        put(loader, into, child, levels);
}

static void put_root(struct loader *loader, struct shared *into, const struct node *root)
{
    for (const struct node *child = root->child; child != NULL; child = child->next)
        put(loader, into, child,
            strcmp(child->key, "shop") == 0 ? SHOP_LEVELS : SECTION_LEVELS);
}

/* A file and all it uses, each once, what is used first. A used file with a base of its own comes
 * as the whole that it makes with that base. */
static void put_file(struct loader *loader, struct shared *into, struct loaded *file, bool whole,
                     bool *seen)
{
    if (seen[file->number])
        return;
    seen[file->number] = true;
    if (!whole && file->base.file != NULL) {
        put_root(loader, into, layer_make(loader, file));
        return;
    }
    for (size_t i = 0; i < file->uses.count; i++)
        put_file(loader, into, file->uses.items[i].file, false, seen);
    if (file->own != NULL)
        put_root(loader, into, file->own);
}

struct node *layer_make(struct loader *loader, struct loaded *file)
{
    bool *seen = ARENA_ARRAY(loader->context->arena, bool, loader->files.count);
    struct merging merging = {
        .context = loader->context, .nodes = &loader->copies, .note_idle_null = true};

    if (file->layer != NULL)
        return file->layer;
    struct shared *shared = shared_new(loader, NULL);
    put_file(loader, shared, file, true, seen);
    file->layer = &shared->node;
    if (file->base.file != NULL)
        file->layer = merge_over(&merging, layer_make(loader, file->base.file), file->layer);
    return file->layer;
}
