/* sheets.c - parts.xlsx as typed tables: About, Parts, To buy, Fasteners, Hours, Materials. */
#include "pack_private.h"

static void line(struct packer *packer, struct sheet *sheet, const char *key, const char *text)
{
    if (text)
        *ARRAY_PUSH(packer->arena, &sheet->lines) =
            str_print(packer->arena, "%s: %s", label(packer->labels, key), text);
}

static void add_about(struct packer *packer)
{
    struct sheet *sheet = sheet_new(packer, "about", L(packer, "sheet.about"));
    const struct engine *engine = &packer->spec->engine;

    line(packer, sheet, "about.engine", engine->name.text);
    line(packer, sheet, "about.serial", engine->serial.text);
    line(packer, sheet, "about.made-from", packer->spec->id);
    line(packer, sheet, "about.revision", packer->pack->revision);
    line(packer, sheet, "about.readings", text_of_texts(packer, &packer->spec->readings));
    line(packer, sheet, "about.quotes", text_of_texts(packer, &packer->spec->quotes));
    *ARRAY_PUSH(packer->arena, &sheet->lines) = L(packer, "about.parts");
    *ARRAY_PUSH(packer->arena, &sheet->lines) = L(packer, "about.to-buy");
    *ARRAY_PUSH(packer->arena, &sheet->lines) = L(packer, "about.fasteners");
    *ARRAY_PUSH(packer->arena, &sheet->lines) = L(packer, "about.hours");
    *ARRAY_PUSH(packer->arena, &sheet->lines) = L(packer, "about.units");
    *ARRAY_PUSH(packer->arena, &sheet->lines) = L(packer, "about.blank");
}

static struct cell unit_cell(const struct cell *quantity)
{
    return cell_text(quantity->unit);
}

static const char *card_of(struct packer *packer, const struct entry *entry)
{
    for (size_t i = 0; i < packer->plan->operations.count; i++) {
        const struct operation *op = packer->plan->operations.items[i];
        if (op->entry == entry && op->phase == PHASE_FINAL && op->verb == VERB_FIT)
            return packer->plan->cards.items[op->card].title;
    }
    return NULL;
}

static const char *supplier_name(struct packer *packer, const char *id)
{
    const struct supplier *supplier = id ? spec_supplier(packer->spec, id) : NULL;
    return supplier && supplier->name.text ? supplier->name.text : id;
}

/* The sheet, its thickness and what is cut from it, in one line. */
static const char *cut_from(struct packer *packer, const struct part *part)
{
    const struct cut_from *cut = &part->cut_from;
    const struct outline *outline = &cut->outline;
    struct str_buf text = {.arena = packer->arena};
    const struct { const char *key, *value; } rows[] = {
        {"field.free", text_of_claim(packer, &cut->free)},
        {"field.crushed", text_of_claim(packer, &cut->crushed)},
        {"field.outside", text_of_claim(packer, &outline->outside)},
        {"field.inside", text_of_claim(packer, &outline->inside)},
        {"field.holes", text_of_holes(packer, outline)},
        {"field.hole-circle", text_of_claim(packer, &outline->hole_circle)},
    };

    if (!cut->present)
        return NULL;
    str_add(&text, cut->sheet.text ? cut->sheet.text : "");
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        if (rows[i].value)
            str_add_print(&text, "; %s: %s", label(packer->labels, rows[i].key), rows[i].value);
    return text.bytes;
}

static void fill_part(struct packer *packer, struct cell *row, struct part *part)
{
    static const char *const states[] = {"unknown", "reuse", "rework", "renew",
                                         "make",    "missing", "stays"};

    row[0] = cell_text(part->e.member);
    row[1] = cell_text(part->e.name.text ? part->e.name.text : part->e.id);
    row[2] = cell_text(part->number.text);
    row[3] = cell_text(part->e.called.text);
    row[4] = cell_count(packer, part_quantity(part));
    row[5] = cell_text(label_of(packer, "state", states[part->state]));
    row[6] = cell_text(part->host ? part->host->e.shown : NULL);
    row[7] = cell_text(part->material.text);
    if (part->weight.present && part->weight.value.kind == QTY_ONE)
        cell_put_quantity(packer, &row[8], &part->weight.value.nominal);
    row[9] = unit_cell(&row[8]);
    row[10] = cell_text(supplier_name(packer, part->supplier.text));
    row[11] = cell_text(text_of_texts(packer, &part->inspect));
    row[12] = cell_text(part->serial.unknown ? L(packer, "cover.unknown") : part->serial.text);
    row[13] = cell_text(part->matched.to_count
                            ? text_of_entries(packer, part->matched.to, part->matched.to_count)
                            : NULL);
    row[14] = cell_text(card_of(packer, &part->e));
    row[15] = cell_text(part->e.note.text);
    row[16] = cell_text(cut_from(packer, part));
    row[17] = cell_text(part->replaces.number.unknown ? L(packer, "state.unknown")
                                                      : part->replaces.number.text);
    if (part->replaces.weight.present && part->replaces.weight.value.kind == QTY_ONE)
        cell_put_quantity(packer, &row[18], &part->replaces.weight.value.nominal);
    row[19] = unit_cell(&row[18]);
    row[20] = cell_text(text_of_phrase(packer, build_look_alikes(packer->arena, part)));
}

static void add_parts(struct packer *packer)
{
    struct table *table = table_new(packer, "parts");

    table_column(packer, table, "id", L(packer, "sheet.id"), CELL_TEXT, 2);
    table_column(packer, table, "name", L(packer, "sheet.name"), CELL_TEXT, 3);
    table_column(packer, table, "number", L(packer, "sheet.number"), CELL_TEXT, 2);
    table_column(packer, table, "called", L(packer, "sheet.called"), CELL_TEXT, 2);
    table_column(packer, table, "pieces", L(packer, "sheet.pieces"), CELL_COUNT, 0);
    table_column(packer, table, "state", L(packer, "sheet.state"), CELL_TEXT, 1);
    table_column(packer, table, "host", L(packer, "sheet.host"), CELL_TEXT, 2);
    table_column(packer, table, "material", L(packer, "sheet.material"), CELL_TEXT, 1);
    table_column(packer, table, "weight", L(packer, "sheet.weight"), CELL_QUANTITY, 0);
    table_column(packer, table, "weight-unit", L(packer, "sheet.unit"), CELL_TEXT, 0);
    table_column(packer, table, "supplier", L(packer, "sheet.supplier"), CELL_TEXT, 2);
    table_column(packer, table, "inspect", L(packer, "sheet.inspect"), CELL_TEXT, 2);
    table_column(packer, table, "serial", L(packer, "sheet.serial"), CELL_TEXT, 1);
    table_column(packer, table, "matched", L(packer, "sheet.matched"), CELL_TEXT, 2);
    table_column(packer, table, "card", L(packer, "sheet.card"), CELL_TEXT, 2);
    table_column(packer, table, "note", L(packer, "sheet.note"), CELL_TEXT, 3);
    table_column(packer, table, "cut-from", L(packer, "field.cut-from"), CELL_TEXT, 3);
    table_column(packer, table, "old-number", L(packer, "field.old-number"), CELL_TEXT, 2);
    table_column(packer, table, "old-weight", L(packer, "field.old-weight"), CELL_QUANTITY, 0);
    table_column(packer, table, "old-weight-unit", L(packer, "sheet.unit"), CELL_TEXT, 0);
    table_column(packer, table, "look-alikes", L(packer, "sheet.look-alikes"), CELL_TEXT, 2);
    for (size_t i = 0; i < packer->spec->parts.count; i++)
        fill_part(packer, table_row_new(packer, table), packer->spec->parts.items[i]);
    sheet_new(packer, "parts", L(packer, "sheet.parts"))->table = table;
}

static void fill_purchase(struct packer *packer, struct cell *row, const struct purchase *buy,
                          size_t number)
{
    row[0] = cell_count(packer, (int64_t)number);
    row[1] = cell_text(buy->supplier
                           ? (buy->supplier->name.text ? buy->supplier->name.text
                                                       : buy->supplier->id)
                           : NULL);
    row[2] = cell_text(buy->what);
    row[3] = cell_text(buy->number);
    row[4] = cell_text(text_of_phrase(packer, buy->text));
    row[5] = cell_count(packer, buy->needed);
    row[6] = cell_count(packer, buy->spare);
    row[7] = cell_count(packer, buy->trial);
    row[8] = cell_count(packer, buy->again);
    row[9] = cell_count(packer, buy->pack > 0 ? buy->pack : 1);
    row[10] = cell_count(packer, buy->packs);
    row[11] = cell_count(packer, buy->pieces);
    if (buy->price && buy->price->present && buy->price->value.kind == QTY_ONE)
        cell_put_quantity(packer, &row[12], &buy->price->value.nominal);
    row[13] = cell_text(row[12].unit    ? row[12].unit
                        : buy->currency ? buy->currency
                        : buy->supplier ? buy->supplier->currency.text /* the price to be filled in */
                                        : NULL);
    if (row[12].kind == CELL_MONEY && buy->line_minor >= 0)
        row[14] = (struct cell){.kind = CELL_FORMULA,
                                .text = "=[pieces]*[price]",
                                .number = (double)buy->line_minor / 100,
                                .unit = row[13].text};
    row[15] = cell_text(text_of_phrase(packer, buy->acceptance));
    row[16] = cell_text(text_of_phrase(packer, buy->why));
    row[17] = cell_text(buy->supplier ? text_of_claim(packer, &buy->supplier->lead) : NULL);
    row[18] = cell_text(buy->supplier ? text_of_claim(packer, &buy->supplier->least_order) : NULL);
    row[19] = cell_text(text_of_phrase(packer, buy->look_alikes));
}

static void add_to_buy(struct packer *packer)
{
    struct table *table = table_new(packer, "to-buy");

    table_column(packer, table, "line", L(packer, "sheet.line"), CELL_COUNT, 0);
    table_column(packer, table, "supplier", L(packer, "sheet.supplier"), CELL_TEXT, 2);
    table_column(packer, table, "name", L(packer, "sheet.name"), CELL_TEXT, 3);
    table_column(packer, table, "number", L(packer, "sheet.number"), CELL_TEXT, 2);
    table_column(packer, table, "text", L(packer, "sheet.order-text"), CELL_TEXT, 4);
    table_column(packer, table, "needed", L(packer, "sheet.needed"), CELL_COUNT, 0);
    table_column(packer, table, "spare", L(packer, "sheet.of-which-spare"), CELL_COUNT, 0);
    table_column(packer, table, "trial", L(packer, "sheet.of-which-trial"), CELL_COUNT, 0);
    table_column(packer, table, "again", L(packer, "sheet.of-which-again"), CELL_COUNT, 0);
    table_column(packer, table, "pack", L(packer, "sheet.pack"), CELL_COUNT, 0);
    table_column(packer, table, "packs", L(packer, "sheet.packs"), CELL_COUNT, 0);
    table_column(packer, table, "pieces", L(packer, "sheet.to-order"), CELL_COUNT, 0);
    table_column(packer, table, "price", L(packer, "sheet.price"), CELL_MONEY, 0);
    table_column(packer, table, "currency", L(packer, "sheet.currency"), CELL_TEXT, 0);
    table_column(packer, table, "total", L(packer, "sheet.line-total"), CELL_FORMULA, 0);
    table_column(packer, table, "acceptance", L(packer, "sheet.acceptance"), CELL_TEXT, 3);
    table_column(packer, table, "why", L(packer, "sheet.why"), CELL_TEXT, 3);
    table_column(packer, table, "lead", L(packer, "sheet.lead"), CELL_TEXT, 1);
    table_column(packer, table, "least-order", L(packer, "sheet.least-order"), CELL_TEXT, 1);
    table_column(packer, table, "look-alikes", L(packer, "sheet.look-alikes"), CELL_TEXT, 2);
    table->columns.items[12].fill = true;
    for (size_t i = 0; i < packer->build->purchases.count; i++)
        fill_purchase(packer, table_row_new(packer, table), &packer->build->purchases.items[i],
                      i + 1);
    if (table->rows.count)
        sheet_new(packer, "to-buy", L(packer, "sheet.to-buy"))->table = table;
}

static const char *hardware(struct packer *packer, const struct joint *joint)
{
    struct str_buf text = {.arena = packer->arena};

    for (size_t i = 0; i < joint->uses.count; i++) {
        const struct ref_count *use = &joint->uses.items[i];
        str_add_print(&text, text.length ? ", %lld × %s" : "%lld × %s", (long long)use->count,
                      use->ref.count ? text_of_entries(packer, use->ref.to, use->ref.count)
                                     : use->ref.text);
    }
    return text.length ? text.bytes : NULL;
}

static void fill_joint(struct packer *packer, struct cell *row, const struct joint *joint)
{
    const struct joint_values *values = build_joint(packer->build, joint);
    const char *lock = spec_lock_word(joint->lock.kind);

    row[0] = cell_text(joint->e.shown);
    row[1] = cell_text(text_of_entries(packer, joint->holds.to, joint->holds.to_count));
    row[2] = cell_text(joint->thread.text);
    row[3] = cell_count(packer, joint->count.value);
    row[4] = cell_text(joint->grade.text);
    row[5] = cell_text(L(packer, joint->left_hand.value ? "sheet.left" : "sheet.right"));
    row[6] = cell_text(values ? text_of_phrase(packer, values->spanner) : NULL);
    row[7] = cell_text(hardware(packer, joint));
    row[8] = cell_text(lock ? label_of(packer, "lock", lock) : NULL);
    row[9] = cell_text(values ? text_of_phrase(packer, values->condition) : NULL);
    if (values && values->torque) {
        const struct qty_value *torque = &values->torque->value;
        if (torque->kind == QTY_ONE || torque->kind == QTY_LIMITS || torque->kind == QTY_SIZE ||
            torque->kind == QTY_AT_LEAST)
            cell_put_quantity(packer, &row[10], &torque->low);
        if (torque->kind == QTY_ONE || torque->kind == QTY_LIMITS || torque->kind == QTY_SIZE ||
            torque->kind == QTY_AT_MOST)
            cell_put_quantity(packer, &row[11], &torque->high);
        row[12] = row[11].unit ? unit_cell(&row[11]) : unit_cell(&row[10]);
        row[14] = cell_text(text_of_origin(packer, values->torque));
    }
    row[13] = cell_text(values ? values->setting_text : NULL);
    row[15] = cell_text(joint->e.note.text);
}

static void add_fasteners(struct packer *packer)
{
    struct table *table = table_new(packer, "fasteners");

    table_column(packer, table, "joint", L(packer, "sheet.joint"), CELL_TEXT, 3);
    table_column(packer, table, "holds", L(packer, "sheet.holds"), CELL_TEXT, 3);
    table_column(packer, table, "thread", L(packer, "sheet.thread"), CELL_TEXT, 1);
    table_column(packer, table, "count", L(packer, "sheet.count"), CELL_COUNT, 0);
    table_column(packer, table, "grade", L(packer, "sheet.grade"), CELL_TEXT, 0);
    table_column(packer, table, "hand", L(packer, "sheet.hand"), CELL_TEXT, 0);
    table_column(packer, table, "spanner", L(packer, "sheet.spanner"), CELL_TEXT, 2);
    table_column(packer, table, "hardware", L(packer, "sheet.hardware"), CELL_TEXT, 3);
    table_column(packer, table, "lock", L(packer, "sheet.lock"), CELL_TEXT, 1);
    table_column(packer, table, "condition", L(packer, "sheet.condition"), CELL_TEXT, 2);
    table_column(packer, table, "torque-low", L(packer, "sheet.torque-low"), CELL_QUANTITY, 0);
    table_column(packer, table, "torque-high", L(packer, "sheet.torque-high"), CELL_QUANTITY, 0);
    table_column(packer, table, "unit", L(packer, "sheet.unit"), CELL_TEXT, 0);
    table_column(packer, table, "setting", L(packer, "sheet.setting"), CELL_TEXT, 1);
    table_column(packer, table, "source", L(packer, "sheet.source"), CELL_TEXT, 2);
    table_column(packer, table, "note", L(packer, "sheet.note"), CELL_TEXT, 2);
    for (size_t i = 0; i < packer->spec->joints.count; i++)
        fill_joint(packer, table_row_new(packer, table), packer->spec->joints.items[i]);
    if (table->rows.count)
        sheet_new(packer, "fasteners", L(packer, "sheet.fasteners"))->table = table;
}

static void hours_row(struct packer *packer, struct table *table, const char *what,
                      const struct claim *hours, const struct claim *life, const char *date,
                      const struct history *history)
{
    struct cell *row = table_row_new(packer, table);

    row[0] = cell_text(what);
    row[1] = cell_text(date);
    row[2] = cell_text(text_of_claim(packer, hours));
    row[3] = cell_text(text_of_claim(packer, life));
    row[4] = cell_text(text_of_source(packer, hours->present ? hours : life));
    if (history) {
        row[5] = cell_text(history->did.text);
        row[6] = cell_text(history->evidence.text);
    }
}

/* Hours of the engine and of what has a life, and what was done before, oldest first as written. */
static void add_hours(struct packer *packer)
{
    static const struct claim none;
    const struct spec *spec = packer->spec;
    struct table *table = table_new(packer, "hours");

    table_column(packer, table, "what", L(packer, "sheet.name"), CELL_TEXT, 3);
    table_column(packer, table, "date", L(packer, "sheet.date"), CELL_TEXT, 1);
    table_column(packer, table, "hours", L(packer, "field.hours"), CELL_TEXT, 1);
    table_column(packer, table, "life", L(packer, "sheet.due-at"), CELL_TEXT, 1);
    table_column(packer, table, "source", L(packer, "sheet.source"), CELL_TEXT, 3);
    table_column(packer, table, "did", L(packer, "sheet.did"), CELL_TEXT, 4);
    table_column(packer, table, "evidence", L(packer, "sheet.evidence"), CELL_TEXT, 3);
    if (spec->engine.hours.present || spec->engine.next_overhaul.present)
        hours_row(packer, table, spec->engine.name.text, &spec->engine.hours,
                  &spec->engine.next_overhaul, NULL, NULL);
    for (size_t i = 0; i < spec->parts.count; i++)
        if (spec->parts.items[i]->hours.present || spec->parts.items[i]->life.present)
            hours_row(packer, table, spec->parts.items[i]->e.shown, &spec->parts.items[i]->hours,
                      &spec->parts.items[i]->life, NULL, NULL);
    for (size_t i = 0; i < spec->history.count; i++) {
        const struct history *history = &spec->history.items[i];
        hours_row(packer, table,
                  history->of.to_count
                      ? text_of_entries(packer, history->of.to, history->of.to_count)
                      : spec->engine.name.text,
                  &history->hours, &none, text_of_date(packer, &history->date), history);
    }
    if (table->rows.count)
        sheet_new(packer, "hours", L(packer, "sheet.hours"))->table = table;
}

/* Which rows of the table of materials were changed for this engine, and on whose word. */
static void add_materials(struct packer *packer)
{
    struct table *table = table_new(packer, "materials");

    table_column(packer, table, "id", L(packer, "sheet.id"), CELL_TEXT, 2);
    table_column(packer, table, "like", L(packer, "sheet.like"), CELL_TEXT, 2);
    table_column(packer, table, "expansion", L(packer, "sheet.expansion"), CELL_TEXT, 2);
    table_column(packer, table, "modulus", L(packer, "sheet.modulus"), CELL_TEXT, 2);
    table_column(packer, table, "density", L(packer, "sheet.density"), CELL_TEXT, 2);
    table_column(packer, table, "poisson", L(packer, "sheet.poisson"), CELL_TEXT, 1);
    table_column(packer, table, "source", L(packer, "sheet.source"), CELL_TEXT, 3);
    for (size_t i = 0; i < packer->spec->materials.count; i++) {
        const struct material *material = &packer->spec->materials.items[i];
        const struct claim *claims[] = {&material->expansion, &material->modulus,
                                        &material->density, &material->poisson};
        struct str_buf sources = {.arena = packer->arena};
        struct cell *row = table_row_new(packer, table);

        row[0] = cell_text(material->id);
        row[1] = cell_text(material->like.text);
        for (size_t k = 0; k < sizeof claims / sizeof *claims; k++) {
            const char *source = text_of_source(packer, claims[k]);
            row[2 + k] = cell_text(text_of_claim(packer, claims[k]));
            if (source)
                str_add_print(&sources, sources.length ? "; %s" : "%s", source);
        }
        row[6] = cell_text(sources.length ? sources.bytes : NULL);
    }
    if (table->rows.count)
        sheet_new(packer, "materials", L(packer, "sheet.materials"))->table = table;
}

void add_sheets(struct packer *packer)
{
    add_about(packer);
    add_parts(packer);
    add_to_buy(packer);
    add_fasteners(packer);
    add_hours(packer);
    add_materials(packer);
}
