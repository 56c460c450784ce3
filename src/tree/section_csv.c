/* section_csv.c - a section written as a table: the first heading names it, its column holds the
 * ids, the other headings are keys with dots for keys inside keys. */
#include "load_private.h"

#include <string.h>

struct table {
    struct context *context;
    size_t *nodes;
    const struct tree_csv *csv;
    bool failed;
};

static struct node *map_new(struct table *table, const char *key, struct span key_span,
                            struct span span)
{
    struct node *map = ARENA_NEW(table->context->arena, struct node);

    table->failed |= !parse_count(table->context, table->nodes, span);
    map->kind = NODE_MAP;
    map->key = key;
    map->key_span = key_span;
    map->span = span;
    return map;
}

static void append(struct node *map, struct node *child)
{
    struct list_end end = {.parent = map, .last = map->child};

    while (end.last != NULL && end.last->next != NULL)
        end.last = end.last->next;
    list_append(&end, child);
}

static void report_clash(struct table *table, const struct node *cell, const struct node *other)
{
    struct diags *diags = &table->context->diags;

    table->failed = true;
    struct diag *diag = diag_add(diags, DIAG_TREE_CSV_KEYS, cell->span,
                                 "this row gives both a key and a key inside it");
    diag_label(diags, diag, other->span, "the other cell");
    diag_hint(diags, diag, "leave one of the two cells empty");
}

/* Puts a cell where its heading says: `price.is` into price, made where it is not there yet. */
static void cell_put(struct table *table, struct node *entry, struct node *cell)
{
    const char *part = cell->key;
    struct node *map = entry;

    for (const char *dot; (dot = strchr(part, '.')) != NULL; part = dot + 1) {
        const char *key = str_slice(table->context->arena, part, (size_t)(dot - part));
        struct node *inner = tree_child(map, key);
        if (inner == NULL) {
            inner = map_new(table, key, cell->key_span, cell->span);
            append(map, inner);
        } else if (inner->kind != NODE_MAP) {
            report_clash(table, cell, inner);
            return;
        }
        inner->span.end = cell->span.end;
        map = inner;
    }
    const struct node *other = tree_child(map, part);
    if (other != NULL) {
        report_clash(table, cell, other);
        return;
    }
    cell->key = part;
    parse_check_tilde(table->context, cell);
    append(map, cell);
}

/* Headings that cannot be keys: an empty part between dots; a section name with a dot. */
static void check_headings(struct table *table)
{
    for (size_t i = 0; i < table->csv->heading_count; i++) {
        const char *heading = table->csv->headings[i];
        size_t length = strlen(heading);
        bool empty_part = heading[0] == '.' || heading[length - 1] == '.' ||
                          strstr(heading, "..") != NULL;
        if (!empty_part && (i != 0 || strchr(heading, '.') == NULL))
            continue;
        table->failed = true;
        diag_add(&table->context->diags, DIAG_TREE_CSV_HEAD, table->csv->heading_spans[i],
                 i == 0 ? "the first heading names a section, without dots"
                        : "a dot without a key beside it");
    }
}

static struct node *entry_of(struct table *table, struct node *row)
{
    struct node *id = row->child, *cell = id->next;

    if (id->key != table->csv->headings[0]) { /* the cell of the first column is empty */
        table->failed = true;
        struct diag *diag = diag_add(&table->context->diags, DIAG_TREE_CSV_ID, id->span,
                                     "a row without an id in its first column");
        diag_hint(&table->context->diags, diag, "write the id under `%s`",
                  table->csv->headings[0]);
        return NULL;
    }
    struct node *entry = map_new(table, id->text, id->span, row->span);
    while (cell != NULL) {
        struct node *next = cell->next;
        cell_put(table, entry, cell);
        cell = next;
    }
    return entry;
}

struct node *section_of_csv(struct loader *loader, uint32_t source)
{
    struct context *context = loader->context;
    struct table table = {.context = context, .nodes = &loader->nodes};

    table.csv = csv_counted(context, source, &loader->nodes);
    if (table.csv == NULL)
        return NULL;
    check_headings(&table);
    if (table.failed)
        return NULL;
    struct span whole = table.csv->rows->span;
    struct node *root = map_new(&table, NULL, whole, whole);
    struct node *section = map_new(&table, table.csv->headings[0], table.csv->heading_spans[0],
                                   whole);
    struct list_end end = {.parent = section};
    struct keys seen = {.arena = context->arena};
    append(root, section);
    for (struct node *row = table.csv->rows->child, *next; row != NULL; row = next) {
        next = row->next;
        struct node *entry = entry_of(&table, row);
        if (entry == NULL)
            continue;
        const struct node *first = keys_find(&seen, entry->key);
        if (first != NULL) {
            table.failed = true;
            struct diag *diag = diag_add(&context->diags, DIAG_TREE_DUPLICATE_KEY,
                                         entry->key_span, "`%s` is given twice", entry->key);
            diag_label(&context->diags, diag, first->key_span, "first given here");
            diag_hint(&context->diags, diag, "remove or rename one of the two");
            continue;
        }
        list_append(&end, entry);
        keys_add(&seen, entry);
    }
    return table.failed ? NULL : root;
}
