/* Any bytes at all as a spec and as a table: no crash, no leak, and either a tree or a reason, with
 * every place inside its file. */
#include <assert.h>
#include <gudgeon/tree.h>
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

static void check_node(const struct context *context, const struct node *node)
{
    size_t count = 0;

    check_span(context, node->span);
    check_span(context, node->key_span);
    if (node->kind == NODE_SCALAR) {
        size_t length = strlen(node->text);
        assert(str_utf8_valid(node->text, length) == length);
        check_span(context, tree_text_span(node, length / 2, length));
    }
    for (const struct node *child = node->child; child != NULL; child = child->next, count++) {
        assert((node->kind == NODE_MAP) == (child->key != NULL));
        check_node(context, child);
    }
    assert(count == node->count);
}

static void check_diagnostics(const struct context *context)
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

static void read_spec(struct context *context, void *user)
{
    const struct input *input = user;
    struct tree *tree = tree_load_bytes(context, "tests/fuzz/fuzz.yaml", input->bytes, input->size);

    assert((tree != NULL) == (context->diags.errors == 0));
    if (tree != NULL)
        check_node(context, tree->root);
    check_diagnostics(context);
}

static void read_table(struct context *context, void *user)
{
    const struct input *input = user;
    const char *bytes = str_slice(context->arena, input->bytes, input->size);
    uint32_t file = source_add(context->arena, &context->sources, "fuzz.csv", bytes, input->size);
    struct tree_csv *csv = tree_parse_csv(context, file);

    assert((csv != NULL) == (context->diags.errors == 0));
    if (csv != NULL)
        check_node(context, csv->rows);
    check_diagnostics(context);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size)
{
    void (*jobs[])(struct context *, void *) = {read_spec, read_table};
    struct input input = {(const char *)bytes, size};
    struct context_options options = {.most_memory = 256 * 1024 * 1024};

    for (size_t i = 0; i < sizeof jobs / sizeof *jobs; i++) {
        struct context *context = context_new(&options);
        assert(context != NULL);
        context_run(context, jobs[i], &input);
        context_free(context);
    }
    return 0;
}
