/* tree_private.h - what the files of this folder share. */
#ifndef GUDGEON_TREE_PRIVATE_H
#define GUDGEON_TREE_PRIVATE_H

#include <gudgeon/tree.h>

/* keys.c: children of a map by key, in the time of a hash table where there are many. */
struct keys {
    struct arena *arena;
    struct node *first; /* few: the list itself is searched */
    struct node **table;
    size_t count, room;
};
struct node *keys_find(const struct keys *keys, const char *key);
/* `node` must already be, or be about to be, linked behind the last node added. */
void keys_add(struct keys *keys, struct node *node);
struct keys keys_of(struct arena *arena, const struct node *map);

/* A child under construction: appends to a map or list. */
struct list_end {
    struct node *parent;
    struct node *last;
};
void list_append(struct list_end *end, struct node *child);

/* parse.c, csv.c: as their public names, with nodes counted over all files. */
struct node *parse_counted(struct context *context, uint32_t source, size_t *nodes);
struct tree_csv *csv_counted(struct context *context, uint32_t source, size_t *nodes);
/* Reports and returns false when the text of a source cannot be read at all. */
bool parse_text_is_good(struct context *context, uint32_t source);
/* False, with a report at `at`, once the bound is passed. */
bool parse_count(struct context *context, size_t *nodes, struct span at);
/* The problem with a scalar itself: ~ outside quotes. */
void parse_check_tilde(struct context *context, const struct node *scalar);

/* merge.c */
struct merging {
    struct context *context;
    size_t *nodes;
    bool note_idle_null; /* a null that removes nothing is worth a note */
};
struct node *merge_over(struct merging *merging, const struct node *target,
                        const struct node *patch);

/* A fix with the key of `map` that is nearest to what was written, if one is near. */
void merge_nearest_key(struct context *context, struct diag *diag, struct span span,
                       const char *wrong, const struct node *map);

/* like.c: applies `like` in every section of the merged root. */
void like_apply(struct context *context, struct node *root, size_t *nodes);
/* Reports each plain null that is left; counts all nodes as they will be walked. */
void like_check_nulls(struct context *context, const struct node *root);

#endif
