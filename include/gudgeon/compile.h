/* compile.h - the whole pipeline: one line a stage, one folder a stage. */
#ifndef GUDGEON_COMPILE_H
#define GUDGEON_COMPILE_H

#include <gudgeon/write.h>

/* What came out of each stage; NULL from the first that failed on. */
struct compiled {
    struct tree *tree;
    struct spec *spec;
    struct build *build;
    struct plan *plan;
};
/* Reads `path` (or bytes in hand) up to the plan. All diagnostics are in context->diags. */
/* `options` of the plan, or NULL. */
struct compiled compile_file(struct context *context, const char *path,
                             const struct plan_options *options);
struct compiled compile_bytes(struct context *context, const char *path, const char *bytes,
                              size_t size);

#endif
