/* sheets.c - parts.xlsx as typed tables: what its sheets share, About, and their order. */
#include "sheets_private.h"

/* ---------- tables and cells ---------- */

struct table *sheet_table(struct packer *packer, const char *id, const struct sheet_column *columns,
                          size_t count)
{
    struct table *table = table_new(packer, id);

    for (size_t i = 0; i < count; i++) {
        table_column(packer, table, columns[i].key, label(packer->labels, columns[i].label),
                     columns[i].kind, columns[i].weight);
        table->columns.items[i].fill = columns[i].fill;
    }
    return table;
}

static bool says_nothing(const struct table *table, size_t column)
{
    if (table->columns.items[column].kind != CELL_TEXT || table->columns.items[column].fill)
        return false;
    for (size_t i = 0; i < table->rows.count; i++)
        if (table->rows.items[i][column].kind != CELL_EMPTY)
            return false;
    return true;
}

/* Columns of text in which no row says anything only make the others narrow. */
static void drop_idle_columns(struct table *table)
{
    size_t kept = 0;

    for (size_t i = 0; i < table->columns.count; i++) {
        if (says_nothing(table, i))
            continue;
        for (size_t k = 0; k < table->rows.count; k++)
            table->rows.items[k][kept] = table->rows.items[k][i];
        table->columns.items[kept++] = table->columns.items[i];
    }
    table->columns.count = kept;
}

void sheet_add(struct packer *packer, const char *id, struct table *table)
{
    if (table->rows.count == 0)
        return;
    drop_idle_columns(table);
    sheet_new(packer, id, label_of(packer, "sheet", id))->table = table;
}

struct cell *sheet_foot(struct packer *packer, struct table *table)
{
    table->foot++;
    return table_row_new(packer, table);
}

struct cell unit_cell(const struct cell *quantity)
{
    return cell_text(quantity->unit);
}

struct cell cell_formula(const char *text, double number, const char *unit)
{
    return (struct cell){.kind = CELL_FORMULA, .text = text, .number = number, .unit = unit};
}

struct cell cell_formula_words(const char *text, const char *result)
{
    return (struct cell){.kind = CELL_FORMULA, .text = text, .result = result ? result : ""};
}

const char *formula_string(struct packer *packer, const char *words)
{
    struct str_buf out = {.arena = packer->arena};

    str_add(&out, "\"");
    for (const char *at = words; *at; at++) {
        if (*at == '"')
            str_add(&out, "\"");
        str_add_bytes(&out, at, 1);
    }
    str_add(&out, "\"");
    return out.bytes;
}

/* ---------- what several sheets say ---------- */

static bool is_done_by(const struct operation *op)
{
    return op->phase == PHASE_FINAL && (op->verb == VERB_FIT || op->verb == VERB_TIGHTEN);
}

const char *sheet_card_of(struct packer *packer, const struct entry *entry)
{
    if (packer->card_titles)
        return packer->card_titles[entry->order];
    packer->card_titles = ARENA_ARRAY(packer->arena, const char *, packer->spec->entries.count);
    for (size_t i = packer->plan->operations.count; i-- > 0;) {
        const struct operation *op = packer->plan->operations.items[i];
        if (is_done_by(op))
            packer->card_titles[op->entry->order] = packer->plan->cards.items[op->card].title;
    }
    return packer->card_titles[entry->order];
}

struct cell card_cell(struct packer *packer, const struct entry *entry)
{
    struct cell cell = cell_text(sheet_card_of(packer, entry));

    if (cell.text)
        cell.link_file = "cards.pdf";
    return cell;
}

const char *supplier_name(struct packer *packer, const struct supplier *supplier)
{
    return !supplier            ? L(packer, "sheet.nobody")
           : supplier->name.text ? supplier->name.text
                                 : supplier->id;
}

const char *effectivity(struct packer *packer, const struct entry *entry)
{
    const struct node *applies =
        entry->group->node ? tree_child(entry->group->node, "applies") : NULL;
    struct str_buf text = {.arena = packer->arena};

    for (const struct node *child = applies ? applies->child : NULL; child; child = child->next) {
        if (child->kind != NODE_SCALAR)
            continue;
        str_add_print(&text, "%s%s %s", text.length ? ", " : "",
                      label_of(packer, "applies", child->key), child->text);
    }
    return text.length ? text.bytes : NULL;
}

/* ---------- About ---------- */

static void line(struct packer *packer, struct sheet *sheet, const char *key, const char *text)
{
    if (text)
        *ARRAY_PUSH(packer->arena, &sheet->lines) =
            str_print(packer->arena, "%s: %s", label(packer->labels, key), text);
}

static void add_about(struct packer *packer)
{
    static const char *const manners[] = {"about.units", "about.blank", "about.follow",
                                          "about.marks"};
    struct sheet *sheet = sheet_new(packer, "about", L(packer, "sheet.about"));
    const struct engine *engine = &packer->spec->engine;

    line(packer, sheet, "about.engine", engine->name.text);
    line(packer, sheet, "about.serial",
         engine->serial.unknown ? L(packer, "cover.unknown") : engine->serial.text);
    line(packer, sheet, "about.made-from", packer->spec->id);
    line(packer, sheet, "about.revision", packer->pack->revision);
    line(packer, sheet, "about.readings", text_of_texts(packer, &packer->spec->readings));
    line(packer, sheet, "about.quotes", text_of_texts(packer, &packer->spec->quotes));
    for (size_t i = 0; i < sizeof manners / sizeof *manners; i++)
        *ARRAY_PUSH(packer->arena, &sheet->lines) = label(packer->labels, manners[i]);
}

void add_sheets(struct packer *packer)
{
    const struct schedule *schedule = schedule_make(packer->arena, packer->plan, 1);

    add_about(packer);
    add_parts(packer);
    add_to_buy(packer, schedule);
    add_offers(packer);
    add_outwork(packer, schedule);
    add_budget(packer);
    add_fasteners(packer);
    add_sorting(packer);
    add_bearings(packer);
    add_gasket_sheet(packer);
    add_weights(packer);
    add_hours(packer);
    add_limits_sheet(packer);
    add_inventory(packer);
    add_materials(packer);
    sheet_add(packer, "sources", source_table(packer));
    sheet_add(packer, "questions", question_table(packer));
    add_enquiries(packer);
}
