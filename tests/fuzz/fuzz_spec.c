/* Any bytes at all as a spec: no crash, no leak, and either a spec or a reason. What was read can be
 * printed whole; every place of a diagnostic lies inside its file. */
#include <gudgeon/spec.h>

#include "fuzz_common.h"

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
    run_job(read_it, bytes, size);
    return 0;
}
