/* template.c - the template: YAML through the same tree stage as specs. */
#include "pack_private.h"
#include "templates.h" /* templates/pack.yaml as text, made by the build */

#include <gudgeon/file.h>

#include <stdlib.h>

#define LEAST_TAG_MM 40 /* narrower, a name is broken in every line */

const double paper_mm[PAPER_COUNT][2] = {
    [PAPER_A4] = {210, 297}, [PAPER_LETTER] = {215.9, 279.4}, [PAPER_A5] = {148, 210}};

static void refuse_unknown_keys(struct context *context, const struct node *map,
                                const char *const *keys, size_t count)
{
    for (const struct node *node = map->child; node; node = node->next) {
        size_t i = 0;
        while (i < count && !(node->key && strcmp(node->key, keys[i]) == 0))
            i++;
        if (i < count)
            continue;
        struct diag *diag = diag_add(&context->diags, DIAG_TEMPLATE_KEY,
                                     node->key ? node->key_span : node->span,
                                     "a template has no key '%s'", node->key ? node->key : "");
        const char *near = node->key ? str_nearest(node->key, keys, count) : NULL;
        if (near)
            diag_fix(&context->diags, diag, node->key_span, near);
    }
}

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

/* A length of the template, millimetres; left as it is where nothing is said. */
struct length_row {
    const char *key, *what;
    double least, most;
};

static void read_length(struct context *context, const struct node *map, const struct length_row *row,
                        double *mm)
{
    const struct node *node = tree_child(map, row->key);
    struct qty_value value;
    struct qty_error error;

    if (!node)
        return;
    if (node->kind != NODE_SCALAR ||
        !qty_read(context->arena, node->text, QTY_LENGTH, QTY_TAKE_ONE, &value, &error)) {
        diag_add(&context->diags, DIAG_TEMPLATE_MARGIN, node->span, "%s is a length such as 14 mm",
                 row->what);
        return;
    }
    double read = value.nominal.si * 1000;
    if (read < row->least || read > row->most) {
        diag_add(&context->diags, DIAG_TEMPLATE_MARGIN, node->span, "%s is %g mm to %g mm, not %s",
                 row->what, row->least, row->most, node->text);
        return;
    }
    *mm = read;
}

/* A whole number within its bounds; left as it is where nothing is said. */
static void read_count(struct context *context, const struct node *map, const char *key, size_t most,
                       size_t *count)
{
    const struct node *node = tree_child(map, key);
    char *end = NULL;

    if (!node)
        return;
    unsigned long said = node->kind == NODE_SCALAR ? strtoul(node->text, &end, 10) : 0;
    if (end == NULL || *end != '\0' || said < 1 || said > most) {
        diag_add(&context->diags, DIAG_TEMPLATE_TAGS, node->span, "%s is a whole number, 1 to %zu",
                 key, most);
        return;
    }
    *count = said;
}

static void read_tags(struct context *context, const struct node *root, struct template *template)
{
    static const char *const keys[] = {"across", "down"};
    const struct node *tags = tree_child(root, "tags");
    double width = paper_mm[template->paper][0] - template->margin_inner_mm - template->margin_outer_mm;

    template->tags_across = 2;
    template->tags_down = 5;
    if (!tags)
        return;
    refuse_unknown_keys(context, tags, keys, 2);
    read_count(context, tags, "across", 4, &template->tags_across);
    read_count(context, tags, "down", 12, &template->tags_down);
    double each = width / (double)template->tags_across;
    if (each < LEAST_TAG_MM)
        diag_add(&context->diags, DIAG_TEMPLATE_TAGS, tags->span,
                 "%zu tags across are %s mm wide each; at least %d mm are needed",
                 template->tags_across, str_decimal(context->arena, each, 0), LEAST_TAG_MM);
}

static void read_gaskets(struct context *context, const struct node *root,
                         struct template *template)
{
    static const char *const keys[] = {"overlap"};
    static const struct length_row overlap = {"overlap", "the overlap of two pages", 4, 30};
    const struct node *gaskets = tree_child(root, "gaskets");

    template->overlap_mm = 10;
    if (!gaskets)
        return;
    refuse_unknown_keys(context, gaskets, keys, 1);
    read_length(context, gaskets, &overlap, &template->overlap_mm);
}

static void read_margins(struct context *context, const struct node *root,
                         struct template *template)
{
    enum { SIDES = 4 };
    static const char *const keys[SIDES] = {"top", "bottom", "inner", "outer"};
    double *const to[SIDES] = {&template->margin_top_mm, &template->margin_bottom_mm,
                               &template->margin_inner_mm, &template->margin_outer_mm};
    const struct node *margins = tree_child(root, "margins");

    template->margin_top_mm = template->margin_bottom_mm = 14;
    template->margin_inner_mm = 18;
    template->margin_outer_mm = 12;
    if (!margins)
        return;
    refuse_unknown_keys(context, margins, keys, SIDES);
    for (int i = 0; i < SIDES; i++)
        read_length(context, margins, &(struct length_row){keys[i], "a margin", 5, 60}, to[i]);
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
    static const char *const keys[] = {"paper", "margins", "labels", "first", "decimal-mark",
                                       "sections", "tags", "gaskets"};
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
    template->decimal_mark = '.';
    refuse_unknown_keys(context, root, keys, sizeof keys / sizeof *keys);
    if (word_of(context, root, "paper", papers, PAPER_COUNT, &index))
        template->paper = (enum paper)index;
    if (word_of(context, root, "first", firsts, 3, &index) && index > 0)
        template->first_length = qty_unit_find(firsts[index], QTY_LENGTH);
    if (word_of(context, root, "decimal-mark", marks, 2, &index))
        template->decimal_mark = marks[index][0];
    read_margins(context, root, template);
    read_tags(context, root, template);
    read_gaskets(context, root, template);
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
