/* Any bytes at all as a spec: no crash, no leak, and either a spec or a reason. What was read can be
 * printed whole; every place of a diagnostic lies inside its file. */
#include <assert.h>
#include <gudgeon/spec.h>
#include <string.h>

struct input {
    const char *bytes;
    size_t size;
};

static void check_span(const struct context *context, struct span span)
{
    const struct source *source = source_of(&context->sources, span);

    assert(span.file == 0 || source != NULL);
    assert(source == NULL || (span.begin <= span.end && span.end <= source->size));
}

static void check_diagnostics(struct context *context)
{
    struct str_buf out = {.arena = context->arena};

    for (size_t i = 0; i < context->diags.count; i++) {
        const struct diag *diag = context->diags.items[i];
        check_span(context, diag->span);
        check_span(context, diag->fix);
        for (size_t label = 0; label < diag->labels.count; label++)
            check_span(context, diag->labels.items[label].span);
    }
    diag_render(&context->diags, &context->sources, DIAG_TEXT, false, 20, &out);
}

/* Whoever follows hosts comes to an end. */
static void check_hosts(const struct spec *spec)
{
    for (size_t i = 0; i < spec->parts.count; i++) {
        size_t steps = 0;
        for (const struct part *part = spec->parts.items[i]; part; part = part->host)
            assert(steps++ <= spec->parts.count);
    }
}

static void read_it(struct context *context, void *user)
{
    const struct input *input = user;
    struct tree *tree = tree_load_bytes(context, "tests/fuzz/fuzz.yaml", input->bytes, input->size);
    struct spec *spec = spec_read(context, tree);
    struct json json;

    assert((spec != NULL) == (context->diags.errors == 0));
    if (spec) {
        check_hosts(spec);
        json_init(&json, context->arena, false);
        spec_dump(spec, &json);
        spec_report_unused_accepts(context, spec);
    }
    check_diagnostics(context);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size)
{
    struct input input = {(const char *)bytes, size};
    struct context_options options = {.most_memory = 256 * 1024 * 1024};
    struct context *context = context_new(&options);

    assert(context != NULL);
    context_run(context, read_it, &input);
    context_free(context);
    return 0;
}
