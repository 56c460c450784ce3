/* Any bytes at all as a spec and as a table: no crash, no leak, and either a tree or a reason, with
 * every place inside its file. */
#include <gudgeon/tree.h>

#include "fuzz_common.h"

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
    run_job(read_spec, bytes, size);
    run_job(read_table, bytes, size);
    return 0;
}
