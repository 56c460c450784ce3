/* load_private.h - the files of a spec. */
#ifndef GUDGEON_LOAD_PRIVATE_H
#define GUDGEON_LOAD_PRIVATE_H

#include "tree_private.h"

struct loaded;

/* One file named by another: `name` is the scalar that names it. */
struct loaded_link {
    struct loaded *file;
    const struct node *name;
};

struct loaded {
    const char *path, *real;
    uint32_t source;
    size_t number;           /* in the order of reading, from 0 */
    struct node *version;    /* its `gudgeon` */
    struct node *own;        /* what it says itself, without gudgeon, use, base */
    struct {
        struct loaded_link *items;
        size_t count, room;
    } uses;
    struct loaded_link base; /* file NULL where it has none */
    bool listed;             /* its text has been read, well or badly */
    bool open;               /* its own files are being read: meeting it again is a loop */
    struct node *layer;      /* its all over its base, once made */
};

struct loader {
    struct context *context;
    struct tree *tree;
    struct {
        struct loaded **items;
        size_t count, room;
    } files;
    const char **allowed; /* real paths of --allow */
    size_t allowed_count;
    size_t nodes;  /* read from files */
    size_t copies; /* made by merging: bounded too, since many files may rest on one large base */
    struct {
        struct loaded_link *items; /* the links from the spec down to the file being read; `file` is
                                      the one that names */
        size_t count, room;
    } stack;
};

/* load_files.c: finds, bounds and reads one file; NULL after a report at `at`. A file read before
 * is found again, by its real path. */
struct loaded *loaded_find(struct loader *loader, const char *path, struct span at);
/* Adds a file whose bytes are at hand. */
struct loaded *loaded_add(struct loader *loader, const char *path, const char *real,
                          const char *bytes, size_t size);
/* Reads the spec that the command line names. */
struct loaded *loaded_spec(struct loader *loader, const char *path);
/* `name` as a path seen from the folder of the file at `path`. */
const char *loaded_beside(const struct loader *loader, const char *path, const char *name);
/* Sets root folder and allowed folders; false after a report. */
bool loaded_bounds(struct loader *loader, const char *spec_real);

/* section_csv.c: a CSV of `use` as {section: {id: {key: value}}}; NULL after a report. */
struct node *section_of_csv(struct loader *loader, uint32_t source);

/* layer.c: used files side by side, all of it over the base. */
struct node *layer_make(struct loader *loader, struct loaded *file);

#endif
