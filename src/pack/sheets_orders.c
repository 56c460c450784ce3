/* sheets_orders.c - what each supplier is asked: a workbook to read and fill, and the same lines as CSV,
 * which come back under `quotes`. */
#include "sheets_private.h"

/* ---------- what is asked for ---------- */

/* "; grade 8.8": a label with the word in its place, once. */
static void add_fact(struct packer *packer, struct str_buf *text, const char *key, const char *place,
                     const char *word)
{
    if (!word)
        return;
    struct phrase *phrase = phrase_new(packer->arena, str_print(packer->arena, "enquiry.%s", key));
    if (place)
        phrase_text(phrase, place, word);
    const char *words = text_of_phrase(packer, phrase);

    if (!text->length || !strstr(text->bytes, words))
        str_add_print(text, "%s%s", text->length ? "; " : "", words);
}

/* A fastener is of the joint's grade and finish; what only locks it goes with the same thread. */
static void add_fastener_facts(struct packer *packer, struct str_buf *text, const struct joint *joint)
{
    const char *finish = joint->condition.plating.text;

    if (joint->left_hand.value)
        add_fact(packer, text, "left-hand", NULL, "");
    add_fact(packer, text, "length", "length", text_of_claim(packer, &joint->length));
    add_fact(packer, text, "grade", "grade", joint->grade.text);
    add_fact(packer, text, "finish", "finish", finish && strcmp(finish, "none") != 0 ? finish : NULL);
}

/* What the joints say that a part is for; a part that a joint holds without further hardware has the thread
 * itself, as a plug has. */
static void add_joint_facts(struct packer *packer, struct str_buf *text, struct part *part)
{
    for (size_t i = 0; i < part->used_by_count; i++) {
        const struct joint *joint = part->used_by[i];
        add_fact(packer, text, "for-thread", "thread", joint->thread.text);
        if (!build_is_lock(joint, part))
            add_fastener_facts(packer, text, joint);
    }
    for (size_t i = 0; i < packer->spec->joints.count; i++) {
        const struct joint *joint = packer->spec->joints.items[i];
        if (joint->uses.count > 0 || !spec_names(&joint->holds, &part->e))
            continue;
        add_fact(packer, text, "thread", "thread", joint->thread.text);
        add_fastener_facts(packer, text, joint);
    }
}

const char *asked_text(struct packer *packer, const struct purchase *buy)
{
    const char *words = text_of_phrase(packer, buy->text);
    struct str_buf text = {.arena = packer->arena};

    str_add(&text, words ? words : "");
    if (buy->part_count == 0)
        return text.length ? text.bytes : NULL;
    const struct part *part = buy->parts[0];
    add_fact(packer, &text, "called", "name", part->e.called.text);
    if (part->ask_for.text)
        str_add_print(&text, "%s%s", text.length ? "; " : "", part->ask_for.text);
    for (size_t i = 0; i < buy->part_count; i++)
        if (i == 0 || buy->parts[i]->e.group != buy->parts[i - 1]->e.group)
            add_joint_facts(packer, &text, buy->parts[i]);
    add_fact(packer, &text, "material", "material", part->material.text);
    add_fact(packer, &text, "cut-from", "sheet", part->cut_from.sheet.text);
    if (part->set.text)
        add_fact(packer, &text, "whole", NULL, "");
    return text.length ? text.bytes : NULL;
}

/* ---------- the supplier's sheet ---------- */

enum { ASK_LINE, ASK_NAME, ASK_NUMBER, ASK_TEXT, ASK_SIZES, ASK_PACK, ASK_PIECES, ASK_PRICE,
       ASK_CURRENCY, ASK_TOTAL, ASK_DAYS, ASK_INSTEAD };

static const struct sheet_column ask_columns[] = {
    [ASK_LINE] = {"line", "sheet.line", CELL_TEXT, 2},
    [ASK_NAME] = {"name", "sheet.name", CELL_TEXT, 3},
    [ASK_NUMBER] = {"number", "sheet.number", CELL_TEXT, 2},
    [ASK_TEXT] = {"text", "sheet.order-text", CELL_TEXT, 4},
    [ASK_SIZES] = {"sizes", "enquiry.sizes", CELL_TEXT, 3},
    [ASK_PACK] = {"pack", "sheet.pack", CELL_COUNT},
    [ASK_PIECES] = {"pieces", "sheet.to-order", CELL_COUNT},
    [ASK_PRICE] = {"price", "sheet.price", CELL_MONEY, .fill = true},
    [ASK_CURRENCY] = {"currency", "sheet.currency", CELL_TEXT},
    [ASK_TOTAL] = {"total", "sheet.line-total", CELL_FORMULA},
    [ASK_DAYS] = {"lead", "sheet.delivery", CELL_COUNT, .fill = true},
    [ASK_INSTEAD] = {"alternative", "sheet.alternative", CELL_TEXT, 3, .fill = true},
};

static const char *currency_of(const struct packer *packer, const struct supplier *supplier)
{
    return supplier->currency.text                ? supplier->currency.text
           : packer->spec->engine.currency.text ? packer->spec->engine.currency.text
                                                  : NULL;
}

static struct table *ask_table(struct packer *packer, const struct supplier *supplier)
{
    struct table *table = sheet_table(packer, "enquiry", ask_columns, COLUMN_COUNT(ask_columns));

    for (size_t i = 0; i < packer->build->purchases.count; i++) {
        const struct purchase *buy = &packer->build->purchases.items[i];
        if (buy->supplier != supplier)
            continue;
        struct cell *row = table_row_new(packer, table);
        row[ASK_LINE] = cell_text(buy->line);
        row[ASK_NAME] = cell_text(buy->what);
        row[ASK_NUMBER] = cell_text(buy->number);
        row[ASK_TEXT] = cell_text(asked_text(packer, buy));
        row[ASK_SIZES] = cell_text(text_of_phrase(packer, buy->acceptance));
        row[ASK_PACK] = cell_count(packer, buy->pack);
        row[ASK_PIECES] = cell_count(packer, buy->pieces);
        row[ASK_CURRENCY] = cell_text(currency_of(packer, supplier));
        row[ASK_TOTAL] =
            cell_formula_words("=IF([price]=\"\",\"\",ROUND([pieces]*[price],2))", NULL);
    }
    if (table->rows.count) {
        struct cell *row = sheet_foot(packer, table);
        row[ASK_NAME] = cell_text(L(packer, "sheet.total"));
        row[ASK_CURRENCY] = cell_text(currency_of(packer, supplier));
        row[ASK_TOTAL] = cell_formula("=SUM([total])", 0, row[ASK_CURRENCY].text);
    }
    return table;
}

static struct sheet *about_enquiry(struct packer *packer, const struct supplier *supplier)
{
    static const char *const words[] = {"enquiry.asked", "enquiry.fill", "enquiry.return"};
    struct sheet *sheet = ARENA_NEW(packer->arena, struct sheet);

    sheet->id = "about";
    sheet->name = L(packer, "sheet.about");
    *ARRAY_PUSH(packer->arena, &sheet->lines) = str_print(
        packer->arena, "%s: %s", L(packer, "enquiry.title"), supplier_name(packer, supplier));
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        *ARRAY_PUSH(packer->arena, &sheet->lines) = label(packer->labels, words[i]);
    if (packer->pack->revision)
        *ARRAY_PUSH(packer->arena, &sheet->lines) = str_print(
            packer->arena, "%s: %s", L(packer, "about.revision"), packer->pack->revision);
    return sheet;
}

/* ---------- the lines to send and get back ---------- */

static const char *const quote_keys[] = {"supplier", "line",  "name",     "number", "text", "sizes",
                                         "pieces",   "price", "currency", "lead",   "alternative"};

static const struct table *quote_table(struct packer *packer, const struct supplier *supplier,
                                       const struct table *asked)
{
    struct table *table = table_new(packer, "quote");

    for (size_t i = 0; i < COLUMN_COUNT(quote_keys); i++)
        table_column(packer, table, quote_keys[i], quote_keys[i], CELL_TEXT, 1);
    for (size_t i = 0; i < asked->rows.count - asked->foot; i++) {
        const struct cell *from = asked->rows.items[i];
        const struct cell cells[COLUMN_COUNT(quote_keys)] = {
            cell_text(supplier->id), from[ASK_LINE],   from[ASK_NAME], from[ASK_NUMBER],
            from[ASK_TEXT],          from[ASK_SIZES],  from[ASK_PIECES], {0},
            from[ASK_CURRENCY]};
        memcpy(table_row_new(packer, table), cells, sizeof cells);
    }
    return table;
}

void add_enquiries(struct packer *packer)
{
    for (size_t i = 0; i < packer->spec->suppliers.count; i++) {
        const struct supplier *supplier = &packer->spec->suppliers.items[i];
        struct table *asked = ask_table(packer, supplier);
        if (asked->rows.count == 0)
            continue;
        struct enquiry *enquiry = ARRAY_PUSH(packer->arena, &packer->pack->enquiries);
        struct sheet *sheet = ARENA_NEW(packer->arena, struct sheet);
        sheet->id = "enquiry";
        sheet->name = L(packer, "enquiry.title");
        sheet->table = asked;
        enquiry->supplier = supplier->id;
        enquiry->title = str_print(packer->arena, "%s: %s", L(packer, "enquiry.title"),
                                   supplier_name(packer, supplier));
        *ARRAY_PUSH(packer->arena, &enquiry->sheets) = about_enquiry(packer, supplier);
        *ARRAY_PUSH(packer->arena, &enquiry->sheets) = sheet;
        enquiry->lines = quote_table(packer, supplier, asked);
    }
}
