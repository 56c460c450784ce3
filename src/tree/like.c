/* like.c - `like: other-id`: an entry as a changed copy of another of its section
 * (specs/LANGUAGE.md, section 3). */
#include "tree_private.h"

#include <string.h>

/* Sections whose children are sections themselves. */
static const char *const nested_sections[] = {"shop"};
/* Sections in which `like` may also name a row of a reference table; resolve looks there. */
static const char *const table_sections[] = {"materials"};

enum state { UNTOUCHED, OPEN, DONE };

struct entry {
    struct node shadow; /* its key stands in the index; first, so that the entry is found by it */
    struct node *node;
    enum state state;
    size_t chain; /* links below it */
    bool broken;  /* reported, or resting on one that was */
};

struct link {
    const struct entry *from;
    const struct node *like;
};

struct section {
    struct context *context;
    struct merging merging;
    const struct node *node;
    struct keys index;
    struct entry *entries;
    bool tables;
    struct link stack[BOUND_CHAIN + 1];
    size_t depth;
};

static bool is_named(const char *key, const char *const *names, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (strcmp(key, names[i]) == 0)
            return true;
    return false;
}

static bool after(struct span a, struct span b)
{
    return a.file != b.file ? a.file > b.file : a.begin > b.begin;
}

static void report_loop(struct section *section, const struct entry *back)
{
    struct diags *diags = &section->context->diags;
    struct str_buf story = {.arena = section->context->arena};
    size_t first = 0, last;

    while (section->stack[first].from != back)
        first++;
    last = first;
    str_add(&story, back->shadow.key);
    for (size_t i = first; i < section->depth; i++) {
        str_add_print(&story, "%s is like %s", i == first ? "" : ", which",
                      section->stack[i].like->text);
        if (after(section->stack[i].like->span, section->stack[last].like->span))
            last = i;
    }
    struct diag *diag = diag_add(diags, DIAG_TREE_LIKE_LOOP, section->stack[last].like->span,
                                 "%s", story.bytes);
    for (size_t i = first; i < section->depth; i++)
        if (i != last)
            diag_label(diags, diag, section->stack[i].like->span, "%s is like %s",
                       section->stack[i].from->shadow.key, section->stack[i].like->text);
    diag_hint(diags, diag, "write one of them out");
}

static void report_unknown(struct section *section, const struct node *like)
{
    struct diag *diag = diag_add(&section->context->diags, DIAG_TREE_LIKE_UNKNOWN, like->span,
                                 "no `%s` in %s to be like", like->text, section->node->key);

    merge_nearest_key(section->context, diag, like->span, like->text, section->node);
}

static void report_chain(struct section *section, const struct node *like)
{
    struct diag *diag = diag_add(&section->context->diags, DIAG_TREE_CHAIN, like->span,
                                 "like of like through more than %d links, the bound",
                                 BOUND_CHAIN);

    diag_hint(&section->context->diags, diag, "name the entry at the other end of the chain");
}

/* The form without its `like`. */
static struct node *patch_of(struct section *section, const struct node *form)
{
    struct node *patch = ARENA_NEW(section->context->arena, struct node);
    struct list_end end = {.parent = patch};

    *patch = *form;
    patch->child = NULL;
    patch->count = 0;
    for (const struct node *child = form->child; child != NULL; child = child->next) {
        if (strcmp(child->key, "like") == 0)
            continue;
        struct node *copy = ARENA_NEW(section->context->arena, struct node);
        *copy = *child;
        list_append(&end, copy);
    }
    return patch;
}

static void entry_resolve(struct section *section, struct entry *entry);

/* The entry that a `like` names, resolved; NULL after a report, or where a table may have it. */
static const struct entry *other_of(struct section *section, struct entry *entry,
                                    const struct node *like)
{
    struct diags *diags = &section->context->diags;

    if (like->kind != NODE_SCALAR) {
        struct diag *diag = diag_add(diags, DIAG_TREE_LIKE_FORM, like->span, "`like` takes one id");
        diag_hint(diags, diag, "name the one entry that this is a copy of");
        return NULL;
    }
    struct entry *other = (struct entry *)keys_find(&section->index, like->text);
    if (other == NULL) {
        if (!section->tables)
            report_unknown(section, like);
        return NULL;
    }
    if (section->depth >= BOUND_CHAIN) {
        report_chain(section, like);
        return NULL;
    }
    section->stack[section->depth++] = (struct link){entry, like};
    if (other->state == OPEN) {
        report_loop(section, other);
        other->broken = true;
    } else {
        entry_resolve(section, other);
    }
    section->depth--;
    if (other->broken)
        return NULL;
    if (other->node->kind != NODE_MAP) {
        struct diag *diag = diag_add(diags, DIAG_TREE_LIKE_FORM, like->span,
                                     other->node->kind == NODE_LIST
                                         ? "`%s` is a list of alternatives, which cannot be copied"
                                         : "`%s` is a single value, which cannot be changed by key",
                                     like->text);
        diag_label(diags, diag, other->node->key_span, "given here");
        return NULL;
    }
    if (other->chain + 1 > BOUND_CHAIN) {
        report_chain(section, like);
        return NULL;
    }
    return other;
}

/* One form of an entry: the entry itself, or one of its alternatives. */
static void form_resolve(struct section *section, struct entry *entry, struct node *form)
{
    const struct node *like = tree_child(form, "like");

    if (like == NULL)
        return;
    const struct entry *other = other_of(section, entry, like);
    if (other == NULL) {
        entry->broken |= !section->tables || like->kind != NODE_SCALAR;
        return;
    }
    if (other->chain + 1 > entry->chain)
        entry->chain = other->chain + 1;
    struct node *next = form->next;
    *form = *merge_over(&section->merging, other->node, patch_of(section, form));
    form->next = next;
}

static void entry_resolve(struct section *section, struct entry *entry)
{
    if (entry->state != UNTOUCHED)
        return;
    entry->state = OPEN;
    if (entry->node->kind == NODE_LIST)
        for (struct node *form = entry->node->child; form != NULL; form = form->next)
            form_resolve(section, entry, form);
    else
        form_resolve(section, entry, entry->node);
    entry->state = DONE;
}

static void section_apply(struct context *context, struct node *node, size_t *nodes)
{
    struct section section = {
        .context = context,
        .merging = {.context = context, .nodes = nodes, .note_idle_null = true},
        .node = node,
        .index = {.arena = context->arena},
        /* Under a slip of the pen as well: that is told when the root is read. */
        .tables = str_nearest(node->key, table_sections,
                              sizeof table_sections / sizeof *table_sections) != NULL,
    };
    size_t count = 0;

    section.entries = ARENA_ARRAY(context->arena, struct entry, node->count);
    for (struct node *child = node->child; child != NULL; child = child->next) {
        struct entry *entry = &section.entries[count++];
        entry->node = child;
        entry->shadow.key = child->key;
        if (count > 1)
            section.entries[count - 2].shadow.next = &entry->shadow;
        keys_add(&section.index, &entry->shadow);
    }
    for (size_t i = 0; i < count; i++)
        entry_resolve(&section, &section.entries[i]);
}

void like_apply(struct context *context, struct node *root, size_t *nodes)
{
    for (struct node *child = root->child; child != NULL; child = child->next) {
        if (child->kind != NODE_MAP)
            continue;
        if (!is_named(child->key, nested_sections,
                      sizeof nested_sections / sizeof *nested_sections)) {
            section_apply(context, child, nodes);
            continue;
        }
        for (struct node *inner = child->child; inner != NULL; inner = inner->next)
            if (inner->kind == NODE_MAP)
                section_apply(context, inner, nodes);
    }
}

static bool nulls_walk(struct context *context, const struct node *node, size_t *nodes)
{
    if (!parse_count(context, nodes, node->span))
        return false;
    if (tree_is_null(node)) {
        struct diag *diag = diag_add(&context->diags, DIAG_TREE_NULL, node->span,
                                     "`null` removes nothing here");
        diag_hint(&context->diags, diag,
                  "leave the %s out, or quote the word: `'null'`",
                  node->key != NULL ? "key" : "item");
        diag_fix(&context->diags, diag, node->span, "'null'");
    }
    for (const struct node *child = node->child; child != NULL; child = child->next)
        if (!nulls_walk(context, child, nodes))
            return false;
    return true;
}

void like_check_nulls(struct context *context, const struct node *root)
{
    size_t nodes = 0;

    nulls_walk(context, root, &nodes);
}
