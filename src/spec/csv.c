/* csv.c - the files that `readings` and `quotes` name: they are there, they are CSV, and their columns
 * are known. */
#include "spec_private.h"

#include <string.h>

static const char *const reading_columns[] = {"id",   "kind", "value", "unit",  "using", "date",
                                              "by",   "where", "card", "limit", "void",  "because"};
static const char *const quote_columns[] = {"line",     "text", "pieces",     "price",
                                            "currency", "lead", "alternative"};
static const char *const reading_kinds[] = {"measure", "torque",   "lock",        "count",
                                            "witness", "decision", "part-number", "defect"};
#define COUNT(array) (sizeof(array) / sizeof *(array))

static bool is_in(const char *const *words, size_t count, const char *word)
{
    for (size_t i = 0; i < count; i++)
        if (str_equal(words[i], word))
            return true;
    return false;
}

static struct tree_csv *open_sheet(struct reader *reader, const struct text *name,
                                   const char *const *columns, size_t count)
{
    uint32_t source = tree_open(reader->context, reader->tree, name->text, name->span);
    struct tree_csv *csv = source ? tree_parse_csv(reader->context, source) : NULL;

    for (size_t i = 0; csv && i < csv->heading_count; i++) {
        struct diag *diag;

        if (is_in(columns, count, csv->headings[i]))
            continue;
        diag = fault(reader, DIAG_SPEC_COLUMN, csv->heading_spans[i], "there is no column '%s' here",
                     csv->headings[i]);
        fault_nearest(reader, diag, csv->heading_spans[i], csv->headings[i], columns, count);
    }
    return csv;
}

static void check_kinds(struct reader *reader, const struct tree_csv *csv)
{
    for (const struct node *row = csv->rows->child; row; row = row->next) {
        const struct node *kind = tree_child(row, "kind");

        if (kind && !is_in(reading_kinds, COUNT(reading_kinds), kind->text))
            fault_nearest(reader, fault(reader, DIAG_SPEC_BAD_WORD, kind->span,
                                        "kind does not take '%s'", kind->text),
                          kind->span, kind->text, reading_kinds, COUNT(reading_kinds));
    }
}

void read_sheets(struct reader *reader)
{
    const struct spec *spec = reader->spec;

    for (size_t i = 0; i < spec->readings.count; i++) {
        const struct tree_csv *csv = open_sheet(reader, &spec->readings.items[i], reading_columns,
                                                COUNT(reading_columns));
        if (csv)
            check_kinds(reader, csv);
    }
    for (size_t i = 0; i < spec->quotes.count; i++)
        open_sheet(reader, &spec->quotes.items[i], quote_columns, COUNT(quote_columns));
}
