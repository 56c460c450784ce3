/* csv.c - RFC 4180, with a comma or a semicolon, as a list of maps with places. */
#include "tree_private.h"

#include <string.h>

struct csv {
    struct context *context;
    const struct source *source;
    uint32_t file, at;
    char separator;
    size_t *nodes;
    bool failed;
};

/* One cell: its text and the bytes that hold it, quotation marks included. */
struct cell {
    const char *text;
    struct span span;
    bool quoted, exact; /* exact: the text is the bytes, but for the marks around them */
    bool last;          /* of its row */
};

static bool at_line_end(const struct csv *csv)
{
    return csv->at >= csv->source->size || csv->source->bytes[csv->at] == '\n' ||
           csv->source->bytes[csv->at] == '\r';
}

static void skip_line_end(struct csv *csv)
{
    if (csv->at < csv->source->size && csv->source->bytes[csv->at] == '\r')
        csv->at++;
    if (csv->at < csv->source->size && csv->source->bytes[csv->at] == '\n')
        csv->at++;
}

static void skip_blanks(struct csv *csv)
{
    while (csv->at < csv->source->size && csv->source->bytes[csv->at] != csv->separator &&
           (csv->source->bytes[csv->at] == ' ' || csv->source->bytes[csv->at] == '\t'))
        csv->at++;
}

static struct diag *report(struct csv *csv, enum diag_code code, struct span span,
                           const char *words)
{
    csv->failed = true;
    return diag_add(&csv->context->diags, code, span, "%s", words);
}

static struct cell quoted_cell(struct csv *csv)
{
    const char *bytes = csv->source->bytes;
    uint32_t begin = csv->at++;
    bool exact = true;
    struct str_buf text = {.arena = csv->context->arena};

    str_add(&text, "");
    while (csv->at < csv->source->size) {
        uint32_t start = csv->at;
        while (csv->at < csv->source->size && bytes[csv->at] != '"' && bytes[csv->at] != '\r')
            csv->at++;
        str_add_bytes(&text, bytes + start, csv->at - start);
        if (csv->at + 1 >= csv->source->size)
            break;
        if (bytes[csv->at] == '\r') { /* of a line end inside the cell: the text has \n alone */
            exact = false;
            csv->at++;
            continue;
        }
        if (bytes[csv->at + 1] != '"')
            break;
        str_add(&text, "\"");
        exact = false;
        csv->at += 2;
    }
    struct cell cell = {.text = text.bytes, .quoted = true, .exact = exact};
    if (csv->at >= csv->source->size) {
        struct diag *diag = report(csv, DIAG_TREE_CSV_QUOTE,
                                   (struct span){csv->file, begin, begin + 1},
                                   "this quotation mark is never closed");
        diag_hint(&csv->context->diags, diag,
                  "end the cell with `\"`; write each such mark inside a cell twice");
    } else {
        csv->at++;
    }
    cell.span = (struct span){csv->file, begin, csv->at};
    skip_blanks(csv);
    if (!csv->failed && !at_line_end(csv) && bytes[csv->at] != csv->separator) {
        struct diag *diag = report(csv, DIAG_TREE_CSV_QUOTE,
                                   (struct span){csv->file, csv->at, csv->at + 1},
                                   "text after the closing quotation mark of a cell");
        diag_hint(&csv->context->diags, diag,
                  "write each quotation mark inside a quoted cell twice: \"\"");
    }
    return cell;
}

static struct cell plain_cell(struct csv *csv)
{
    const char *bytes = csv->source->bytes;
    uint32_t begin = csv->at, end;

    while (!at_line_end(csv) && bytes[csv->at] != csv->separator)
        csv->at++;
    for (end = csv->at; end > begin && (bytes[end - 1] == ' ' || bytes[end - 1] == '\t');)
        end--;
    return (struct cell){.text = str_slice(csv->context->arena, bytes + begin, end - begin),
                         .span = {csv->file, begin, end},
                         .exact = true};
}

static struct cell cell_read(struct csv *csv)
{
    skip_blanks(csv);
    bool quote = csv->at < csv->source->size && csv->source->bytes[csv->at] == '"';
    struct cell cell = quote ? quoted_cell(csv) : plain_cell(csv);
    const char *meant = str_plain_cell(cell.text);

    cell.exact = cell.exact && meant == cell.text;
    cell.text = meant;
    cell.last = at_line_end(csv);
    if (cell.last)
        skip_line_end(csv);
    else
        csv->at++; /* the separator */
    return cell;
}

/* The lines before the headings that begin with '#', and blank ones. */
static const char *head_read(struct csv *csv)
{
    struct str_buf head = {.arena = csv->context->arena};

    str_add(&head, "");
    for (;;) {
        uint32_t begin = csv->at;
        skip_blanks(csv);
        bool comment = csv->at < csv->source->size && csv->source->bytes[csv->at] == '#';
        if (csv->at >= csv->source->size || (!comment && !at_line_end(csv))) {
            csv->at = begin;
            return head.bytes;
        }
        csv->at += comment;
        csv->at += comment && !at_line_end(csv) && csv->source->bytes[csv->at] == ' ';
        begin = csv->at;
        while (!at_line_end(csv))
            csv->at++;
        if (comment) {
            if (head.length != 0)
                str_add(&head, "\n");
            str_add_bytes(&head, csv->source->bytes + begin, csv->at - begin);
        }
        skip_line_end(csv);
    }
}

/* ',' or ';', whichever the line of headings has more of. */
static char separator_of(const struct csv *csv)
{
    size_t commas = 0, semicolons = 0;

    for (uint32_t i = csv->at; i < csv->source->size && csv->source->bytes[i] != '\n'; i++) {
        commas += csv->source->bytes[i] == ',';
        semicolons += csv->source->bytes[i] == ';';
    }
    return semicolons > commas ? ';' : ',';
}

struct headings {
    struct cell *items;
    size_t count, room;
};

static void headings_read(struct csv *csv, struct headings *headings)
{
    struct context *context = csv->context;
    struct node scratch = {.kind = NODE_MAP};
    struct list_end end = {.parent = &scratch};
    struct keys seen = {.arena = context->arena};

    if (csv->at >= csv->source->size) {
        report(csv, DIAG_TREE_CSV_HEAD, (struct span){csv->file, csv->at, csv->at},
               "a table without a line of headings");
        return;
    }
    for (bool last = false; !last;) {
        struct cell cell = cell_read(csv);
        last = cell.last;
        const struct node *first = keys_find(&seen, cell.text);
        if (cell.text[0] == '\0') {
            ; /* at the end of the line a spreadsheet leaves such; see below */
        } else if (first != NULL) {
            csv->failed = true;
            struct diag *diag = diag_add(&context->diags, DIAG_TREE_CSV_HEAD, cell.span,
                                         "the heading `%s` is given twice", cell.text);
            diag_label(&context->diags, diag, first->span, "first given here");
        } else {
            struct node *node = ARENA_NEW(context->arena, struct node);
            *node = (struct node){.key = cell.text, .span = cell.span};
            list_append(&end, node);
            keys_add(&seen, node);
        }
        *ARRAY_PUSH(context->arena, headings) = cell;
    }
    while (headings->count != 0 && headings->items[headings->count - 1].text[0] == '\0')
        headings->count--;
    for (size_t i = 0; i < headings->count; i++)
        if (headings->items[i].text[0] == '\0') {
            struct diag *diag = report(csv, DIAG_TREE_CSV_HEAD, headings->items[i].span,
                                       "a heading is empty");
            diag_hint(&context->diags, diag, "name the column, or take it out of the file");
        }
}

static struct node *cell_node(struct csv *csv, const struct cell *cell,
                              const struct cell *heading)
{
    struct node *node = ARENA_NEW(csv->context->arena, struct node);

    csv->failed |= !parse_count(csv->context, csv->nodes, cell->span);
    node->kind = NODE_SCALAR;
    node->quoted = cell->quoted;
    node->multiline = !cell->exact;
    node->span = cell->span;
    node->text = cell->text;
    node->key = heading->text;
    node->key_span = heading->span;
    return node;
}

static void row_read(struct csv *csv, const struct headings *headings, struct list_end *rows)
{
    struct node *row = ARENA_NEW(csv->context->arena, struct node);
    struct list_end end = {.parent = row};
    bool last = false;

    row->kind = NODE_MAP;
    row->span = (struct span){csv->file, csv->at, csv->at};
    csv->failed |= !parse_count(csv->context, csv->nodes, row->span);
    for (size_t i = 0; !last; i++) {
        struct cell cell = cell_read(csv);
        last = cell.last;
        row->span.end = cell.span.end;
        if (cell.text[0] == '\0')
            continue;
        if (i < headings->count) {
            list_append(&end, cell_node(csv, &cell, &headings->items[i]));
            continue;
        }
        if (!csv->failed) {
            struct diag *diag = report(csv, DIAG_TREE_CSV_CELLS, cell.span,
                                       "more cells in this row than there are headings");
            diag_hint(&csv->context->diags, diag,
                      "put a text that holds `%c` in double quotation marks", csv->separator);
        }
    }
    if (row->count != 0)
        list_append(rows, row);
}

struct tree_csv *csv_counted(struct context *context, uint32_t source, size_t *nodes)
{
    struct csv csv = {.context = context, .file = source, .nodes = nodes, .separator = ','};
    struct tree_csv *table = ARENA_NEW(context->arena, struct tree_csv);
    struct headings headings = {0};

    csv.source = source_of(&context->sources, (struct span){source, 0, 0});
    if (!parse_text_is_good(context, source))
        return NULL;
    csv.at = csv.source->line_starts[0];
    table->head = head_read(&csv);
    csv.separator = separator_of(&csv);
    context->sources.items[source - 1]->separator = csv.separator;
    headings_read(&csv, &headings);
    if (csv.failed)
        return NULL;
    table->rows = ARENA_NEW(context->arena, struct node);
    table->rows->kind = NODE_LIST;
    table->rows->span = (struct span){source, csv.at, (uint32_t)csv.source->size};
    struct list_end rows = {.parent = table->rows};
    while (csv.at < csv.source->size && !csv.failed)
        row_read(&csv, &headings, &rows);
    table->heading_count = headings.count;
    table->headings = ARENA_ARRAY(context->arena, const char *, headings.count);
    table->heading_spans = ARENA_ARRAY(context->arena, struct span, headings.count);
    for (size_t i = 0; i < headings.count; i++) {
        table->headings[i] = headings.items[i].text;
        table->heading_spans[i] = headings.items[i].span;
    }
    return csv.failed ? NULL : table;
}

struct tree_csv *tree_parse_csv(struct context *context, uint32_t source)
{
    size_t nodes = 0;

    return csv_counted(context, source, &nodes);
}
