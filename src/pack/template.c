/* template.c - the template: YAML through the same tree stage as specs. */
#include "pack_private.h"
#include "templates.h" /* templates/pack.yaml as text, made by the build */

#include <gudgeon/file.h>

static const struct node *word_of(struct context *context, const struct node *root,
                                  const char *key, const char *const *words, size_t count,
                                  size_t *index)
{
    const struct node *node = tree_child(root, key);

    if (!node)
        return NULL;
    for (*index = 0; *index < count; (*index)++)
        if (node->kind == NODE_SCALAR && strcmp(node->text, words[*index]) == 0)
            return node;
    struct str_buf all = {.arena = context->arena};
    for (size_t i = 0; i < count; i++)
        str_add_print(&all, i ? " | %s" : "%s", words[i]);
    struct diag *diag = diag_add(&context->diags, DIAG_TEMPLATE_WORD, node->span,
                                 "'%s' is one of %s", key, all.bytes);
    const char *near = node->kind == NODE_SCALAR ? str_nearest(node->text, words, count) : NULL;
    if (near)
        diag_fix(&context->diags, diag, node->span, near);
    return NULL;
}

static void read_margin(struct context *context, const struct node *margins, const char *key,
                        double *mm)
{
    const struct node *node = tree_child(margins, key);
    struct qty_value value;
    struct qty_error error;

    if (!node)
        return;
    if (node->kind != NODE_SCALAR ||
        !qty_read(context->arena, node->text, QTY_LENGTH, QTY_TAKE_ONE, &value, &error)) {
        diag_add(&context->diags, DIAG_TEMPLATE_MARGIN, node->span,
                 "a margin is a length such as 14 mm");
        return;
    }
    double read = value.nominal.si * 1000;
    if (read < 5 || read > 60) {
        diag_add(&context->diags, DIAG_TEMPLATE_MARGIN, node->span,
                 "a margin is 5 mm to 60 mm, not %s", node->text);
        return;
    }
    *mm = read;
}

static void read_parts(struct context *context, const struct node *root, struct layout *layout)
{
    static const char *const words[PART_COUNT] = {"cover",    "overview",  "cards",   "torques",
                                                  "limits",   "settings",  "follow-up", "sources",
                                                  "questions", "accepted"};
    const struct node *list = tree_child(root, "sections");

    if (!list) {
        for (layout->part_count = 0; layout->part_count < PART_COUNT; layout->part_count++)
            layout->parts[layout->part_count] = (enum pack_part)layout->part_count;
        return;
    }
    bool seen[PART_COUNT] = {false};
    for (const struct node *node = list->child; node; node = node->next) {
        size_t i = 0;
        while (i < PART_COUNT && !(node->kind == NODE_SCALAR && strcmp(node->text, words[i]) == 0))
            i++;
        if (i == PART_COUNT || seen[i]) {
            struct diag *diag = diag_add(&context->diags, DIAG_TEMPLATE_WORD, node->span,
                                         i == PART_COUNT ? "no section of a pack is called that"
                                                         : "this section stands in the list twice");
            const char *near = node->kind == NODE_SCALAR
                                   ? str_nearest(node->text, words, PART_COUNT)
                                   : NULL;
            if (near && i == PART_COUNT)
                diag_fix(&context->diags, diag, node->span, near);
            continue;
        }
        seen[i] = true;
        layout->parts[layout->part_count++] = (enum pack_part)i;
    }
}

static void refuse_unknown_keys(struct context *context, const struct node *root)
{
    static const char *const keys[] = {"paper", "margins", "labels", "first", "decimal-mark",
                                       "sections"};
    enum { COUNT = sizeof keys / sizeof *keys };

    for (const struct node *node = root->child; node; node = node->next) {
        size_t i = 0;
        while (i < COUNT && strcmp(node->key, keys[i]) != 0)
            i++;
        if (i < COUNT)
            continue;
        struct diag *diag = diag_add(&context->diags, DIAG_TEMPLATE_KEY, node->key_span,
                                     "a template has no key '%s'", node->key);
        const char *near = str_nearest(node->key, keys, COUNT);
        if (near)
            diag_fix(&context->diags, diag, node->key_span, near);
    }
}

static uint32_t open_template(struct context *context, const char *path)
{
    if (!path)
        return source_add(context->arena, &context->sources, "pack.yaml (built in)",
                          templates[0].text, strlen(templates[0].text));
    struct file_bytes file = file_read(context->arena, path, BOUND_FILE_BYTES);
    if (file.status != FILE_OK) {
        diag_add(&context->diags, DIAG_TEMPLATE_FILE, (struct span){0}, "template %s: %s", path,
                 file.why ? file.why : "cannot be read");
        context->outside_failed = true; /* it was named on the command line */
        return 0;
    }
    return source_add(context->arena, &context->sources, path, file.bytes, file.size);
}

const struct layout *layout_load(struct context *context, const char *path)
{
    static const char *const papers[] = {"A4", "Letter", "A5"};
    static const char *const firsts[] = {"as-written", "in", "mm"};
    static const char *const marks[] = {".", ","};
    size_t errors = context->diags.errors, index;
    uint32_t source = open_template(context, path);
    const struct node *root = source ? tree_parse(context, source) : NULL;

    if (!root)
        return NULL;
    struct layout *layout = ARENA_NEW(context->arena, struct layout);
    struct template *template = &layout->template;
    template->margin_top_mm = template->margin_bottom_mm = 14;
    template->margin_inner_mm = 18;
    template->margin_outer_mm = 12;
    template->decimal_mark = '.';
    refuse_unknown_keys(context, root);
    if (word_of(context, root, "paper", papers, 3, &index))
        template->paper = (enum paper)index;
    if (word_of(context, root, "first", firsts, 3, &index) && index > 0)
        template->first_length = qty_unit_find(firsts[index], QTY_LENGTH);
    if (word_of(context, root, "decimal-mark", marks, 2, &index))
        template->decimal_mark = marks[index][0];
    const struct node *margins = tree_child(root, "margins");
    if (margins) {
        read_margin(context, margins, "top", &template->margin_top_mm);
        read_margin(context, margins, "bottom", &template->margin_bottom_mm);
        read_margin(context, margins, "inner", &template->margin_inner_mm);
        read_margin(context, margins, "outer", &template->margin_outer_mm);
    }
    read_parts(context, root, layout);
    const struct node *set = tree_child(root, "labels");
    template->labels = label_load(context, path, set && set->kind == NODE_SCALAR ? set->text : set ? "" : "en",
                                  set ? set->span : (struct span){0});
    if (!template->labels || context->diags.errors > errors)
        return NULL;
    template->language = label_language(template->labels);
    return layout;
}

const struct template *template_load(struct context *context, const char *path)
{
    const struct layout *layout = layout_load(context, path);
    return layout ? &layout->template : NULL;
}
