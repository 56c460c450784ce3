/* sheets_hours.c - Hours: what ran how long; Materials: rows of the table changed for this engine. */
#include "sheets_private.h"

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
void add_hours(struct packer *packer)
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
    sheet_add(packer, "hours", table);
}

/* Which rows of the table of materials were changed for this engine, and on whose word. */
void add_materials(struct packer *packer)
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
    sheet_add(packer, "materials", table);
}
