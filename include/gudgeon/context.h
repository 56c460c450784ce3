/* context.h - the one argument that every stage from tree on shares.
 *
 * A stage returns its result, or NULL after reporting at least one error; a stage given NULL
 * returns NULL in silence. No globals: two contexts can live side by side. */
#ifndef GUDGEON_CONTEXT_H
#define GUDGEON_CONTEXT_H

#include <setjmp.h>
#include <gudgeon/diag.h>

/* Bounds, each named in its message. The one home of each number. */
enum {
    BOUND_FILE_BYTES = 16 * 1024 * 1024,
    BOUND_LINE_BYTES = 1024 * 1024,
    BOUND_DEPTH = 64,
    BOUND_NODES = 2000000,
    BOUND_FILES = 1000,       /* files of `use` and `base` together */
    BOUND_CHAIN = 32,         /* base of base of …, like of like of … */
    BOUND_ID_BYTES = 100,
    BOUND_PLACES = 1000,
    BOUND_ENTRIES = 200000,   /* entries made at their places */
    BOUND_DIAGNOSTICS = 100,  /* printed */
};

struct table_set;  /* table.h */
struct labels;     /* label.h */
struct file_store; /* file.h */

struct context_options {
    const char *root;            /* --root, or NULL: found from the spec */
    const char *const *allow;    /* --allow */
    size_t allow_count;
    size_t most_memory;          /* --max-memory, bytes; 0 = none */
};

struct context {
    struct arena *arena;
    struct sources sources;
    struct diags diags;
    struct context_options options;
    const struct table_set *tables;
    const struct labels *english; /* the built-in label set, once it is read */
    const struct file_store *store; /* where specs are read from; NULL: the disk */
    bool out_of_memory;          /* set by the recovery point */
    bool outside_failed;         /* exit status 3 rather than 1 */
    jmp_buf recovery;
    bool recovering;             /* `recovery` is set */
    /* Third-party handles open at this moment, closed by the recovery point, last first. */
    struct {
        void (*close)(void *handle);
        void *handle;
    } open[8];
    size_t open_count;
};

/* NULL when there is no memory at all. */
struct context *context_new(const struct context_options *options);
void context_free(struct context *context);
void context_opened(struct context *context, void (*close)(void *), void *handle);
void context_closed(struct context *context, void *handle);

/* Runs `job`; false if memory ran out on the way (context->out_of_memory says so, every handle
 * registered is closed). */
bool context_run(struct context *context, void (*job)(struct context *, void *), void *user);

#endif
