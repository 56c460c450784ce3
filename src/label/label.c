/* label.c - label sets: YAML through the same tree stage as specs, flattened to keys and words. */
#include <gudgeon/file.h>
#include <gudgeon/label.h>

#include <assert.h>
#include <stdlib.h>
#include <string.h>

#include "label_sets.h" /* templates/labels-*.yaml as text, made by the build */

struct label_row {
    const char *key, *words;
};
struct labels {
    struct label_row **items; /* sorted by key once read */
    size_t count, room;
    const char *language;
};

static int compare_rows(const void *a, const void *b)
{
    const struct label_row *const *left = a, *const *right = b;
    return strcmp((*left)->key, (*right)->key);
}

static const struct label_row *find_row(const struct labels *labels, const char *key)
{
    struct label_row wanted = {.key = key}, *pointer = &wanted;
    struct label_row **found =
        bsearch(&pointer, labels->items, labels->count, sizeof *labels->items, compare_rows);
    return found ? *found : NULL;
}

const char *label(const struct labels *labels, const char *key)
{
    const struct label_row *row = find_row(labels, key);

    assert(row); /* the set was checked against the built-in one; a tidy test checks that one */
    return row->words;
}

bool label_has(const struct labels *labels, const char *key)
{
    return find_row(labels, key) != NULL;
}

const char *label_language(const struct labels *labels)
{
    return labels->language;
}

/* ---------- reading ---------- */

static void flatten(struct context *context, const struct node *map, const char *prefix,
                    struct labels *labels)
{
    for (const struct node *node = map->child; node; node = node->next) {
        const char *key = *prefix ? str_print(context->arena, "%s.%s", prefix, node->key) : node->key;
        if (node->kind == NODE_MAP) {
            flatten(context, node, key, labels);
        } else if (node->kind == NODE_SCALAR) {
            struct label_row *row = ARENA_NEW(context->arena, struct label_row);
            row->key = key;
            row->words = node->text;
            *ARRAY_PUSH(context->arena, labels) = row;
        } else {
            diag_add(&context->diags, DIAG_LABEL_FORM, node->span,
                     "'%s' is a list; a label is text", key);
        }
    }
}

static struct labels *read_labels(struct context *context, uint32_t source)
{
    const struct node *root = tree_parse(context, source);

    if (!root)
        return NULL;
    struct labels *labels = ARENA_NEW(context->arena, struct labels);
    flatten(context, root, "", labels);
    if (labels->count)
        qsort(labels->items, labels->count, sizeof *labels->items, compare_rows);
    const struct label_row *language = find_row(labels, "language");
    labels->language = language ? language->words : "und";
    return labels;
}

static uint32_t add_built_in(struct context *context, const char *name)
{
    for (size_t i = 0; i < sizeof label_sets / sizeof *label_sets; i++)
        if (strcmp(label_sets[i].kind, name) == 0)
            return source_add(context->arena, &context->sources,
                              str_print(context->arena, "labels-%s.yaml (built in)", name),
                              label_sets[i].text, strlen(label_sets[i].text));
    return 0;
}

const struct labels *label_english(struct context *context)
{
    if (!context->english)
        context->english = read_labels(context, add_built_in(context, "en"));
    return context->english;
}

/* Every label of the built-in English set must be in the set, or a card would have a hole. */
static bool is_complete(struct context *context, const struct labels *labels,
                        const struct labels *english, struct span at)
{
    bool complete = true;

    for (size_t i = 0; i < english->count; i++) {
        if (!find_row(labels, english->items[i]->key)) {
            struct diag *diag = diag_add(&context->diags, DIAG_LABEL_MISSING, at,
                                         "the label set has no '%s'", english->items[i]->key);
            diag_hint(&context->diags, diag, "add it; the English words are '%s'",
                      english->items[i]->words);
            complete = false;
        }
    }
    return complete;
}

const struct labels *label_load(struct context *context, const char *beside, const char *name,
                                struct span at)
{
    const struct labels *english = label_english(context);

    if (!english || strcmp(name, "en") == 0)
        return english;
    uint32_t source = add_built_in(context, name);
    if (!source && beside) {
        const char *path = file_beside(context->arena, beside, name);
        struct file_bytes file = file_read(context->arena, path, BOUND_FILE_BYTES);
        if (file.status == FILE_OK)
            source = source_add(context->arena, &context->sources, path, file.bytes, file.size);
    }
    if (!source) {
        struct diag *diag = diag_add(&context->diags, DIAG_LABEL_SET, at,
                                     "no label set '%s' is built in or lies beside the template",
                                     name);
        diag_hint(&context->diags, diag, "write `labels: en`");
        return NULL;
    }
    const struct labels *labels = read_labels(context, source);
    return labels && is_complete(context, labels, english, at) ? labels : NULL;
}
