/* tree.h - YAML text in, node tree with exact places out; files merged into one tree.
 *
 * Scalars stay text: only the field that wants a number or a thread may read one, so "no", "1.50"
 * and "M10" lose nothing. Keys are unique, depth and counts bounded, no tags, anchors, aliases. */
#ifndef GUDGEON_TREE_H
#define GUDGEON_TREE_H

#include <gudgeon/context.h>

enum node_kind { NODE_SCALAR, NODE_MAP, NODE_LIST };

struct node {
    enum node_kind kind;
    bool quoted;           /* a quoted or block scalar: never null */
    bool multiline;        /* span is not one-to-one with text (escapes, folding, block) */
    struct span span;      /* the value; of a map or list: from its first to its last child,
                              brackets included in flow style */
    const char *text;      /* NODE_SCALAR */
    const char *key;       /* the key when the parent is a map, else NULL */
    struct span key_span;
    struct node *child, *next;
    size_t count;          /* children */
};

/* One file, not merged. Reports and returns NULL on any fault. */
struct node *tree_parse(struct context *context, uint32_t source);

struct loader;

struct tree {
    struct node *root;                 /* merged: use, base, like applied; `use`, `base`, `like`
                                          themselves removed */
    struct {
        uint32_t *items;               /* reference tables found in `use` (first line '# table:') */
        size_t count, room;
    } tables;
    struct {
        const char **items;            /* real paths of all files read, the spec first */
        size_t count, room;
    } files;
    const char *path;                  /* the spec, as named */
    const char *root_folder;           /* what files a spec names must lie in */
    struct loader *loader;             /* of src/tree; tree_open adds to `files` through it */
};

/* The whole of reading: the spec at `path` with all it uses and rests on, merged as section 3 of
 * specs/LANGUAGE.md says, before `applies` and places. */
struct tree *tree_load(struct context *context, const char *path);
/* The same for bytes in hand, as if they stood at `path` (fuzzing, editors, tests). */
struct tree *tree_load_bytes(struct context *context, const char *path, const char *bytes,
                             size_t size);
/* A file that the spec names (readings, quotes): inside the root or refused at `at`. 0 on error. */
uint32_t tree_open(struct context *context, const struct tree *tree, const char *name,
                   struct span at);

/* RFC 7396 over nodes: `patch` laid over `target`; null removes. New nodes in the arena, the places
 * of what was kept stay. */
struct node *tree_merge(struct context *context, const struct node *target,
                        const struct node *patch);

struct node *tree_child(const struct node *map, const char *key); /* NULL if absent */
bool tree_is_null(const struct node *node); /* a plain null */
/* A span of bytes [begin, end) of a scalar's text, in the source where that is possible. */
struct span tree_text_span(const struct node *scalar, size_t begin, size_t end);

/* A CSV file (RFC 4180; ',' or ';' by its head) as a list of maps with places, each row a map of
 * non-empty cells by heading. '#' lines before the head are skipped and returned in `head`. */
struct tree_csv {
    struct node *rows;       /* NODE_LIST of NODE_MAP */
    const char **headings;
    struct span *heading_spans;
    size_t heading_count;
    const char *head;        /* the '#' lines, without '# ', joined by \n */
};
struct tree_csv *tree_parse_csv(struct context *context, uint32_t source);

void tree_dump(const struct node *node, struct json *json);

#endif
