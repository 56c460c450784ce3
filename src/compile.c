/* compile.c - the whole compiler. A stage given NULL returns NULL; what went wrong is in
 * context->diags. */
#include <gudgeon/compile.h>

static struct compiled compile_tree(struct context *context, struct tree *tree,
                                    const struct plan_options *options)
{
    struct compiled done = {.tree = tree};

    done.spec = spec_read(context, done.tree);
    done.build = resolve_build(context, done.spec);
    done.plan = plan_make(context, done.build, options);
    plan_spend(context, done.build, done.plan);
    if (done.plan)
        build_settle_purchases(context, done.build);
    if (done.plan)
        spec_report_unused_accepts(context, done.spec);
    return done;
}

struct compiled compile_file(struct context *context, const char *path,
                             const struct plan_options *options)
{
    return compile_tree(context, tree_load(context, path), options);
}

struct compiled compile_bytes(struct context *context, const char *path, const char *bytes,
                              size_t size)
{
    return compile_tree(context, tree_load_bytes(context, path, bytes, size), NULL);
}
