/* edits.c - what was written differently: entries that came and went, keys with another meaning, rows of
 * the user's own tables. */
#include "compare_private.h"

#include <gudgeon/file.h>

#include <stdlib.h>

/* What one spec says, sorted by owner and key. */
struct index {
    const struct spec_said **items;
    size_t count;
};

static int compare_said(const void *a, const void *b)
{
    const struct spec_said *const *left = a, *const *right = b;
    int order = strcmp((*left)->owner, (*right)->owner);

    return order ? order : strcmp((*left)->key, (*right)->key);
}

static struct index index_of(struct arena *arena, const struct spec_says *says)
{
    struct index index = {ARENA_ARRAY(arena, const struct spec_said *, says->count), says->count};

    for (size_t i = 0; i < says->count; i++)
        index.items[i] = &says->items[i];
    if (index.count)
        qsort(index.items, index.count, sizeof *index.items, compare_said);
    return index;
}

static const struct spec_said *find(const struct index *index, const struct spec_said *wanted)
{
    const struct spec_said **found = index->count ? bsearch(&wanted, index->items, index->count,
                                                            sizeof *index->items, compare_said)
                                                  : NULL;
    return found ? *found : NULL;
}

static struct compare_edit *edit_new(struct comparer *comparer, enum change change,
                                     const char *section, const char *owner, struct entry *entry)
{
    struct compare_edit *edit = ARRAY_PUSH(comparer->arena, &comparer->comparison->edits);

    *edit = (struct compare_edit){.change = change, .section = section, .owner = owner,
                                  .entry = entry};
    return edit;
}

static const char *section_of(const struct spec_said *said)
{
    return said->entry ? spec_section_name(said->entry->kind) : said->owner;
}

const char *compare_key_text(struct arena *arena, const char *key)
{
    struct str_buf text = {.arena = arena};

    str_add(&text, "");
    for (const char *at = key ? key : ""; *at; at++)
        str_add_print(&text, *at == '.' ? ", " : "%c", *at);
    return text.bytes;
}

static void edit_key(struct comparer *comparer, const struct spec_said *was,
                     const struct spec_said *is)
{
    const struct spec_said *some = is ? is : was;
    enum change change = !was ? CHANGE_NEW : !is ? CHANGE_GONE : CHANGE_CHANGED;
    struct compare_edit *edit = edit_new(comparer, change, section_of(some), some->owner,
                                         some->entry);

    edit->key = some->key;
    edit->was = was;
    edit->is = is;
}

/* Entries of one spec that the other has not, in the order of its file. */
static void edit_entries(struct comparer *comparer, const struct spec *spec,
                         const struct spec *other, enum change change)
{
    for (size_t i = 0; i < spec->entries.count; i++) {
        struct entry *entry = spec->entries.items[i];
        if (!spec_member(other, entry->member))
            edit_new(comparer, change, spec_section_name(entry->kind), entry->member, entry);
    }
}

/* An entry that only one spec has is told as a whole, not key by key. */
static bool in_both(const struct comparer *comparer, const struct spec_said *said)
{
    return !said->entry || (spec_member(comparer->was->build->spec, said->entry->member) &&
                            spec_member(comparer->is->build->spec, said->entry->member));
}

static void edit_keys(struct comparer *comparer)
{
    struct spec_says was = {0}, is = {0};

    spec_say(comparer->arena, comparer->was->build->spec, &was);
    spec_say(comparer->arena, comparer->is->build->spec, &is);
    struct index was_index = index_of(comparer->arena, &was);
    struct index is_index = index_of(comparer->arena, &is);
    for (size_t i = 0; i < is.count; i++) {
        const struct spec_said *before = find(&was_index, &is.items[i]);
        if (in_both(comparer, &is.items[i]) &&
            (!before || strcmp(before->exact, is.items[i].exact) != 0))
            edit_key(comparer, before, &is.items[i]);
    }
    for (size_t i = 0; i < was.count; i++)
        if (in_both(comparer, &was.items[i]) && !find(&is_index, &was.items[i]))
            edit_key(comparer, &was.items[i], NULL);
}

/* ---------- rows of the user's own tables ---------- */

struct rows {
    struct { struct row { const char *text, *key; bool met; } *items; size_t count, room; };
};

static const char *table_name(const struct comparer *comparer, uint32_t source)
{
    return file_base_name(comparer->context->sources.items[source - 1]->path);
}

/* "low 20 N m": a heading may name the unit of its column. */
static void add_cell(struct str_buf *text, const struct node *cell)
{
    const char *colon = strchr(cell->key, ':');
    size_t length = colon ? (size_t)(colon - cell->key) : strlen(cell->key);

    str_add_print(text, "%s%.*s %s", text->length ? ", " : "", (int)length, cell->key, cell->text);
    if (colon && qty_unit_find(colon + 1, QTY_NONE))
        str_add_print(text, " %s", colon + 1);
}

/* The key is what the row is about: its first cell. */
static struct rows rows_of(struct comparer *comparer, uint32_t source)
{
    const struct tree_csv *csv = tree_parse_csv(comparer->context, source);
    struct rows rows = {0};

    if (csv && csv->head && *csv->head)
        *ARRAY_PUSH(comparer->arena, &rows) = (struct row){.text = csv->head, .key = "#"};
    for (const struct node *row = csv ? csv->rows->child : NULL; row; row = row->next) {
        struct str_buf text = {.arena = comparer->arena};
        for (const struct node *cell = row->child; cell; cell = cell->next)
            add_cell(&text, cell);
        *ARRAY_PUSH(comparer->arena, &rows) =
            (struct row){.text = text.length ? text.bytes : "",
                         .key = row->child ? row->child->text : ""};
    }
    return rows;
}

static const struct spec_said *said_row(struct comparer *comparer, const char *text)
{
    struct spec_said *said = ARENA_NEW(comparer->arena, struct spec_said);

    said->exact = said->words = text;
    return said;
}

static void edit_row(struct comparer *comparer, const char *table, struct row *was, struct row *is)
{
    struct compare_edit *edit = edit_new(comparer, !was ? CHANGE_NEW : !is ? CHANGE_GONE
                                                                           : CHANGE_CHANGED,
                                         table, table, NULL);
    edit->key = is ? is->key : was->key;
    edit->was = was ? said_row(comparer, was->text) : NULL;
    edit->is = is ? said_row(comparer, is->text) : NULL;
}

static void edit_rows(struct comparer *comparer, const char *table, struct rows *was,
                      struct rows *is)
{
    for (size_t i = 0; i < is->count; i++)
        for (size_t j = 0; j < was->count && !is->items[i].met; j++)
            if (!was->items[j].met && str_equal(was->items[j].text, is->items[i].text))
                was->items[j].met = is->items[i].met = true;
    for (size_t i = 0; i < is->count; i++) {
        struct row *pair = NULL;
        for (size_t j = 0; j < was->count && !is->items[i].met && !pair; j++)
            if (!was->items[j].met && str_equal(was->items[j].key, is->items[i].key))
                pair = &was->items[j];
        if (is->items[i].met)
            continue;
        if (pair)
            pair->met = true;
        edit_row(comparer, table, pair, &is->items[i]);
    }
    for (size_t j = 0; j < was->count; j++)
        if (!was->items[j].met)
            edit_row(comparer, table, &was->items[j], NULL);
}

static uint32_t table_called(const struct comparer *comparer, const struct tree *tree,
                             const char *name)
{
    for (size_t i = 0; i < tree->tables.count; i++)
        if (str_equal(table_name(comparer, tree->tables.items[i]), name))
            return tree->tables.items[i];
    return 0;
}

static void edit_tables(struct comparer *comparer)
{
    const struct tree *was = comparer->was->build->spec->tree;
    const struct tree *is = comparer->is->build->spec->tree;

    for (size_t i = 0; i < is->tables.count; i++) {
        const char *name = table_name(comparer, is->tables.items[i]);
        uint32_t before = table_called(comparer, was, name);
        struct rows old = before ? rows_of(comparer, before) : (struct rows){0};
        struct rows now = rows_of(comparer, is->tables.items[i]);
        edit_rows(comparer, name, &old, &now);
    }
    for (size_t i = 0; i < was->tables.count; i++) {
        const char *name = table_name(comparer, was->tables.items[i]);
        struct rows old = rows_of(comparer, was->tables.items[i]), none = {0};
        if (!table_called(comparer, is, name))
            edit_rows(comparer, name, &old, &none);
    }
}

void compare_edits(struct comparer *comparer)
{
    const struct spec *was = comparer->was->build->spec, *is = comparer->is->build->spec;

    edit_entries(comparer, is, was, CHANGE_NEW);
    edit_entries(comparer, was, is, CHANGE_GONE);
    edit_keys(comparer);
    edit_tables(comparer);
}
