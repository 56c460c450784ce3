/* csv.c - the files that `readings` and `quotes` name: they are there, they are CSV, their columns are
 * known; and the offers. */
#include "spec_private.h"

#include <stdlib.h>
#include <string.h>

static const char *const reading_columns[] = {"id",   "kind", "value", "unit",  "using", "date",
                                              "by",   "where", "card", "limit", "void",  "because"};
static const char *const quote_columns[] = {"supplier", "line",     "name",   "number",
                                            "text",     "sizes",    "pieces", "price",
                                            "currency", "lead",     "alternative"};
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

/* ---------- offers ---------- */

static const struct field price_field = {.key = "price", .kind = FIELD_CLAIM, .dims = DIM(MONEY)};
static const struct field lead_field = {.key = "lead", .kind = FIELD_CLAIM, .dims = DIM(TIME),
                                        .takes = QTY_TAKE_ONE | QTY_TAKE_LIMITS};

static struct text text_in(const struct node *row, const char *key)
{
    const struct node *node = tree_child(row, key);

    return node ? (struct text){.text = node->text, .span = node->span} : (struct text){0};
}

/* A cell with a unit that its column has: "12,40" and GBP, "14" and days. A comma is a decimal mark where
 * it can be nothing else. */
static void read_cell(struct reader *reader, const struct field *field, const struct node *node,
                      const char *unit, struct claim *out)
{
    struct node whole = *node;
    char *text = str_copy(reader->arena, node->text), *comma = strchr(text, ',');

    if (comma && !strchr(text, '.') && !strchr(comma + 1, ',') &&
        strspn(comma + 1, "0123456789") < 3)
        *comma = '.';
    bool bare = text[strspn(text, "0123456789. ")] == '\0';
    whole.text = bare && unit ? str_print(reader->arena, "%s %s", text, unit) : text;
    whole.multiline = whole.multiline || !str_equal(whole.text, node->text);
    out->present = read_quantity(reader, field, &whole, 0, &out->value);
    out->span = node->span;
}

/* Who offers: the column says it, or the file is named after them, as it was sent. */
static const struct supplier *offerer(struct reader *reader, const struct text *file,
                                      const struct node *row)
{
    struct text said = text_in(row, "supplier");
    const char *base = strrchr(file->text, '/'), **ids;
    const struct spec *spec = reader->spec;

    base = base ? base + 1 : file->text;
    const char *id = said.text ? said.text
                               : str_slice(reader->arena, base, strcspn(base, "."));
    const struct supplier *supplier = spec_supplier(spec, id);
    if (supplier || reader->lists_faulty)
        return supplier;
    struct span span = said.text ? said.span : row->span;
    struct diag *diag = fault_once(reader, DIAG_OFFER_SUPPLIER, span, id,
                                   str_print(reader->arena, "there is no supplier '%s'", id));
    if (!diag)
        return NULL;
    ids = ARENA_ARRAY(reader->arena, const char *, spec->suppliers.count + 1);
    for (size_t i = 0; i < spec->suppliers.count; i++)
        ids[i] = spec->suppliers.items[i].id;
    fault_nearest(reader, diag, span, id, ids, spec->suppliers.count);
    fault_hint(reader, diag, "say who offers in the column `supplier`, by the id under `suppliers`");
    return NULL;
}

static void read_pieces(struct reader *reader, const struct node *node, struct number *out)
{
    char *end;

    if (!node)
        return;
    long long pieces = strtoll(node->text, &end, 10);
    if (*end != '\0' || pieces < 1 || pieces > 1000000000) {
        fault_hint(reader, fault(reader, DIAG_SPEC_WRONG_KIND, node->span,
                                 "pieces takes a whole number above nothing, not '%s'", node->text),
                   "write how many pieces are offered, or leave it as it was sent");
        return;
    }
    *out = (struct number){.present = true, .value = pieces, .span = node->span};
}

/* A row without a price and without an alternative was not answered. */
static void read_offer(struct reader *reader, const struct text *file, const struct node *row)
{
    const struct node *price = tree_child(row, "price"), *lead = tree_child(row, "lead");
    struct quote offer = {.line = text_in(row, "line"), .number = text_in(row, "number"),
                          .text = text_in(row, "text"),
                          .alternative = text_in(row, "alternative")};
    struct text currency = text_in(row, "currency");

    if (!price && !offer.alternative.text)
        return;
    if (!offer.line.text) {
        fault_hint(reader, fault(reader, DIAG_SPEC_MISSING_KEY, row->span,
                                 "an offer without the line that it answers"),
                   "line: our reference, as it was sent");
        return;
    }
    offer.span = offer.line.span;
    offer.supplier = offerer(reader, file, row);
    const char *unit = currency.text                                   ? currency.text
                       : offer.supplier && offer.supplier->currency.text ? offer.supplier->currency.text
                                                                         : NULL;
    if (price)
        read_cell(reader, &price_field, price, unit, &offer.price);
    if (lead)
        read_cell(reader, &lead_field, lead, "d", &offer.lead);
    read_pieces(reader, tree_child(row, "pieces"), &offer.pieces);
    if (offer.supplier)
        *ARRAY_PUSH(reader->arena, &reader->spec->offers) = offer;
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
    for (size_t i = 0; i < spec->quotes.count; i++) {
        const struct text *file = &spec->quotes.items[i];
        const struct tree_csv *csv = open_sheet(reader, file, quote_columns, COUNT(quote_columns));
        for (const struct node *row = csv ? csv->rows->child : NULL; row; row = row->next)
            read_offer(reader, file, row);
    }
}
