/* fuzz_common.h - what holds for every input: each place of a diagnostic lies inside its file, and the
 * diagnostics can be printed. */
#ifndef FUZZ_COMMON_H
#define FUZZ_COMMON_H

#include <assert.h>
#include <gudgeon/context.h>
#include <string.h>

struct input {
    const char *bytes;
    size_t size;
};

static inline void check_span(const struct context *context, struct span span)
{
    const struct source *source = source_of(&context->sources, span);

    assert(span.file == 0 || source != NULL);
    assert(source == NULL || (span.begin <= span.end && span.end <= source->size));
}

static inline void check_diagnostics(const struct context *context)
{
    struct str_buf out = {.arena = context->arena};

    for (size_t i = 0; i < context->diags.count; i++) {
        const struct diag *diag = context->diags.items[i];
        check_span(context, diag->span);
        check_span(context, diag->fix);
        for (size_t label = 0; label < diag->labels.count; label++)
            check_span(context, diag->labels.items[label].span);
    }
    for (int form = DIAG_TEXT; form <= DIAG_SARIF; form++)
        diag_render(&context->diags, &context->sources, (enum diag_form)form, true, 20, &out);
    assert(str_utf8_valid(out.bytes, out.length) == out.length);
}

static inline void run_job(void (*job)(struct context *, void *), const uint8_t *bytes, size_t size)
{
    struct input input = {(const char *)bytes, size};
    struct context_options options = {.most_memory = 256 * 1024 * 1024};
    struct context *context = context_new(&options);

    assert(context != NULL);
    context_run(context, job, &input);
    context_free(context);
}

#endif
