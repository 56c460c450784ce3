/* context.c - the one argument of all later stages, and the one recovery point. */
#include <gudgeon/context.h>

#include <assert.h>
#include <stdlib.h>
#include <string.h>

/* Called by the arena when it has no more: never returns. */
static void exhausted(void *user)
{
    struct context *context = user;

    context->out_of_memory = true;
    while (context->open_count != 0) {
        context->open_count--;
        context->open[context->open_count].close(context->open[context->open_count].handle);
    }
    if (context->recovering)
        longjmp(context->recovery, 1);
    abort(); /* outside context_run nobody can go on */
}

struct context *context_new(const struct context_options *options)
{
    struct context *context = calloc(1, sizeof *context);

    if (context == NULL)
        return NULL;
    if (options != NULL)
        context->options = *options;
    context->arena = arena_new(context->options.most_memory, exhausted, context);
    if (context->arena == NULL) {
        free(context);
        return NULL;
    }
    context->diags.arena = context->arena;
    return context;
}

void context_free(struct context *context)
{
    if (context == NULL)
        return;
    assert(context->open_count == 0);
    arena_free(context->arena);
    free(context);
}

void context_opened(struct context *context, void (*close)(void *), void *handle)
{
    assert(context->open_count < sizeof context->open / sizeof *context->open);
    context->open[context->open_count].close = close;
    context->open[context->open_count].handle = handle;
    context->open_count++;
}

void context_closed(struct context *context, void *handle)
{
    for (size_t i = context->open_count; i-- > 0;) {
        if (context->open[i].handle != handle)
            continue;
        memmove(&context->open[i], &context->open[i + 1],
                (context->open_count - i - 1) * sizeof *context->open);
        context->open_count--;
        return;
    }
    assert(!"a handle is closed that was never opened");
}

bool context_run(struct context *context, void (*job)(struct context *, void *), void *user)
{
    assert(!context->recovering);
    if (setjmp(context->recovery) != 0) {
        context->recovering = false;
        return false;
    }
    context->recovering = true;
    job(context, user);
    context->recovering = false;
    return true;
}
