/* readings.csv: a blank row for each measure, torque, lock, count and witness of the cards, with its
 * card's fingerprint and the limit as printed. */
#include "pack_private.h"

enum { ID, KIND, VALUE, UNIT, USING, DATE, BY, WHERE, CARD, LIMIT, VOID, BECAUSE, COLUMNS };

static struct cell *row_new(struct packer *packer, struct table *table,
                            const struct section *section, const char *id, const char *kind)
{
    struct cell *row = table_row_new(packer, table);

    row[ID] = cell_text(id);
    row[KIND] = cell_text(kind);
    row[CARD] = cell_text(str_print(packer->arena, "%s@%s", section->id, section->fingerprint));
    return row;
}

static const char *kind_of(const struct operation *op, const struct step_check *check)
{
    if (check->kind == CHECK_COUNT)
        return "count";
    if (op->verb == VERB_TAKE_STOCK)
        return "part-number";
    return check->id && strstr(check->id, "@torque") ? "torque" : "measure";
}

static void add_step(struct packer *packer, struct table *table, const struct section *section,
                     const struct step_block *step)
{
    const struct operation *op = step->operation;
    bool any = false;

    for (size_t i = 0; i < step->checks.count; i++) {
        const struct step_check *check = &step->checks.items[i];
        if (check->kind != CHECK_READING && check->kind != CHECK_COUNT)
            continue;
        struct cell *row = row_new(packer, table, section, check->id, kind_of(op, check));
        row[UNIT] = cell_text(check->unit);
        row[LIMIT] = cell_text(check->limit);
        if (op->entry->kind == ENTRY_LIMIT) {
            row[USING] = cell_text(((const struct limit *)op->entry)->using.text);
            row[WHERE] = cell_text(((const struct limit *)op->entry)->where.text);
        }
        any = true;
    }
    if (!any && (op->verb == VERB_TIGHTEN || op->verb == VERB_RETIGHTEN)) {
        const struct joint_values *values =
            build_joint(packer->build, (const struct joint *)op->entry);
        struct cell *row = row_new(packer, table, section,
                                   torque_id(packer, op), "torque");
        if (values) {
            row[LIMIT] = cell_text(text_of_fact(packer, values->target ? values->target
                                                                       : values->torque));
            row[USING] = cell_text(values->wrench ? values->wrench->id : NULL);
        }
    }
    if (op->verb == VERB_LOCK)
        row_new(packer, table, section, str_print(packer->arena, "%s@lock", reading_id(op)),
                "lock");
    if (op->verb == VERB_WITNESS)
        row_new(packer, table, section, str_print(packer->arena, "%s@witness", reading_id(op)),
                "witness");
}

void add_readings(struct packer *packer)
{
    static const char *const headings[COLUMNS] = {"id",   "kind", "value", "unit",
                                                  "using", "date", "by",    "where",
                                                  "card", "limit", "void",  "because"};
    struct table *table = table_new(packer, "readings");

    for (size_t i = 0; i < COLUMNS; i++)
        table_column(packer, table, headings[i], headings[i], CELL_TEXT, 1);
    for (size_t i = 0; i < packer->pack->sections.count; i++) {
        const struct section *section = packer->pack->sections.items[i];
        if (section->kind != SECTION_CARD)
            continue;
        for (size_t j = 0; j < section->blocks.count; j++)
            if (section->blocks.items[j]->kind == BLOCK_STEP)
                add_step(packer, table, section, section->blocks.items[j]->step);
    }
    packer->pack->readings = table;
}
