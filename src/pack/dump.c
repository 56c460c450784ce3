/* dump.c - a section as JSON: for --dump=pack, and, without revision and date, for the fingerprint of
 * a card. */
#include "pack_private.h"

#include <gudgeon/hash.h>

static void dump_cell(const struct cell *cell, struct json *json)
{
    static const char *const kinds[] = {"empty", "text",    "count",   "quantity", "money",
                                        "date",  "verdict", "formula", "box",      "blank"};

    json_object(json);
    json_put_string(json, "kind", kinds[cell->kind]);
    if (cell->text)
        json_put_string(json, "text", cell->text);
    if (cell->kind == CELL_COUNT || cell->kind == CELL_QUANTITY || cell->kind == CELL_MONEY ||
        cell->kind == CELL_FORMULA)
        json_put_double(json, "number", cell->number);
    if (cell->unit)
        json_put_string(json, "unit", cell->unit);
    json_object_end(json);
}

static void dump_table(const struct table *table, struct json *json)
{
    json_object(json);
    json_put_string(json, "id", table->id);
    json_key(json, "columns");
    json_array(json);
    for (size_t i = 0; i < table->columns.count; i++) {
        json_object(json);
        json_put_string(json, "key", table->columns.items[i].key);
        json_put_string(json, "heading", table->columns.items[i].heading);
        json_object_end(json);
    }
    json_array_end(json);
    json_key(json, "rows");
    json_array(json);
    for (size_t i = 0; i < table->rows.count; i++) {
        json_array(json);
        for (size_t j = 0; j < table->columns.count; j++)
            dump_cell(&table->rows.items[i][j], json);
        json_array_end(json);
    }
    json_array_end(json);
    json_object_end(json);
}

static void dump_step(const struct step_block *step, struct json *json, bool whole)
{
    static const char *const checks[] = {"tick", "reading", "initials", "count"};

    json_object(json);
    json_put_string(json, "operation", step->operation->id);
    if (whole)
        json_put_string(json, "number", step->number);
    json_put_string(json, "action", step->action);
    json_put_string(json, "object", step->object);
    if (step->before)
        json_put_string(json, "before", step->before);
    json_key(json, "fields");
    json_array(json);
    for (size_t i = 0; i < step->fields.count; i++) {
        json_object(json);
        json_put_string(json, "label", step->fields.items[i].label);
        json_put_string(json, "text", step->fields.items[i].text);
        json_object_end(json);
    }
    json_array_end(json);
    json_key(json, "checks");
    json_array(json);
    for (size_t i = 0; i < step->checks.count; i++) {
        const struct step_check *check = &step->checks.items[i];
        json_object(json);
        json_put_string(json, "kind", checks[check->kind]);
        json_put_string(json, "id", check->id);
        json_put_string(json, "label", check->label);
        json_put_string(json, "limit", check->limit);
        json_put_string(json, "unit", check->unit);
        json_object_end(json);
    }
    json_array_end(json);
    json_key(json, "cautions");
    json_array(json);
    for (size_t i = 0; i < step->cautions.count; i++)
        json_string(json, step->cautions.items[i]);
    json_array_end(json);
    json_key(json, "last-chance");
    json_array(json);
    for (size_t i = 0; i < step->last_chance.count; i++)
        json_string(json, step->last_chance.items[i]);
    json_array_end(json);
    if (step->hold_point)
        json_put_string(json, "witness", step->witness);
    json_object_end(json);
}

static void dump_rows(const struct figure *figure, struct json *json)
{
    if (!figure->rows.count)
        return;
    json_key(json, "rows");
    json_array(json);
    for (size_t i = 0; i < figure->rows.count; i++) {
        const struct figure_row *row = &figure->rows.items[i];
        json_object(json);
        json_put_int(json, "line", (int64_t)row->line);
        json_put_int(json, "column", (int64_t)row->column);
        json_put_string(json, "head", row->head);
        json_put_string(json, "number", row->number);
        json_put_string(json, "text", row->text);
        json_put_int(json, "steps", (int64_t)row->steps);
        json_put_int(json, "covers", (int64_t)row->covers);
        json_put_int(json, "holds", (int64_t)row->holds);
        json_put_bool(json, "goes-in", row->goes_in);
        json_put_bool(json, "came-off", row->came_off);
        json_object_end(json);
    }
    json_array_end(json);
}

static void dump_figure(const struct figure *figure, struct json *json)
{
    json_object(json);
    json_put_string(json, "id", figure->id);
    json_put_string(json, "caption", figure->caption);
    json_key(json, "names");
    json_array(json);
    for (size_t i = 0; i < figure->names.count; i++)
        json_string(json, figure->names.items[i]);
    json_array_end(json);
    json_key(json, "labels");
    json_array(json);
    json_string(json, figure->inner_label);
    json_string(json, figure->outer_label);
    json_string(json, figure->nominal_label);
    json_array_end(json);
    json_key(json, "found");
    json_array(json);
    for (int side = 0; side < 2; side++)
        if (side ? figure->outer_measured : figure->inner_measured)
            json_double(json, side ? figure->outer_found : figure->inner_found);
        else
            json_null(json);
    json_array_end(json);
    json_key(json, "sequence");
    json_array(json);
    for (size_t i = 0; i < figure->sequence.count; i++)
        json_int(json, figure->sequence.items[i]);
    json_array_end(json);
    json_key(json, "places");
    json_array(json);
    for (size_t i = 0; i < figure->x_mm.count; i++) {
        json_array(json);
        json_double(json, figure->x_mm.items[i]);
        json_double(json, figure->y_mm.items[i]);
        json_array_end(json);
    }
    json_array_end(json);
    json_key(json, "zones");
    json_array(json);
    json_double(json, figure->inner_low);
    json_double(json, figure->inner_high);
    json_double(json, figure->outer_low);
    json_double(json, figure->outer_high);
    json_array_end(json);
    dump_rows(figure, json);
    json_key(json, "angles");
    json_array(json);
    for (size_t i = 0; i < figure->angles.count; i++)
        json_double(json, figure->angles.items[i]);
    json_array_end(json);
    json_object_end(json);
}

static void dump_facts(const struct pack_facts *facts, struct json *json)
{
    json_key(json, "facts");
    json_array(json);
    for (size_t i = 0; i < facts->count; i++) {
        json_object(json);
        json_put_string(json, "label", facts->items[i].label);
        json_put_string(json, "text", facts->items[i].text);
        json_object_end(json);
    }
    json_array_end(json);
}

static void dump_block(const struct block *block, struct json *json, bool whole)
{
    static const char *const kinds[] = {"heading", "text", "facts",  "table",    "checklist", "step",
                                        "caution", "figure", "contents", "sign-off"};

    json_object(json);
    json_put_string(json, "kind", kinds[block->kind]);
    if (block->text)
        json_put_string(json, "text", block->text);
    if (block->facts.count)
        dump_facts(&block->facts, json);
    if (block->checklist.count) {
        json_key(json, "checklist");
        json_array(json);
        for (size_t i = 0; i < block->checklist.count; i++) {
            json_object(json);
            json_put_string(json, "text", block->checklist.items[i].text);
            json_put_string(json, "count", block->checklist.items[i].count);
            if (block->checklist.items[i].mark)
                json_put_bool(json, "always-new", true);
            json_object_end(json);
        }
        json_array_end(json);
    }
    if (block->table) {
        json_key(json, "table");
        dump_table(block->table, json);
    }
    if (block->step) {
        json_key(json, "step");
        dump_step(block->step, json, whole);
    }
    if (block->figure) {
        json_key(json, "figure");
        dump_figure(block->figure, json);
    }
    json_object_end(json);
}

void pack_dump_block(const struct block *block, struct json *json)
{
    dump_block(block, json, false);
}

void dump_section(const struct section *section, struct json *json, bool whole)
{
    json_object(json);
    json_put_string(json, "id", section->id);
    json_put_string(json, "title", section->title);
    json_put_string(json, "state", section->state);
    if (whole) { /* where it stands and how its steps are numbered is not the card itself */
        json_put_string(json, "place", section->place);
        json_put_string(json, "fingerprint", section->fingerprint);
    }
    json_key(json, "sources");
    json_array(json);
    for (size_t i = 0; i < section->sources.count; i++)
        json_string(json, section->sources.items[i]);
    json_array_end(json);
    json_key(json, "blocks");
    json_array(json);
    for (size_t i = 0; i < section->blocks.count; i++)
        dump_block(section->blocks.items[i], json, whole);
    json_array_end(json);
    json_object_end(json);
}

void fingerprint_section(struct packer *packer, struct section *section)
{
    struct json json;

    json_init(&json, packer->arena, true);
    dump_section(section, &json, false);
    section->fingerprint =
        str_slice(packer->arena, hash_sha256_hex(packer->arena, json.out.bytes, json.out.length),
                  12);
}

static void dump_tag(const struct tag *tag, struct json *json)
{
    json_object(json);
    json_put_string(json, "kind", tag->heading);
    json_put_string(json, "id", tag->id);
    json_put_string(json, "title", tag->title);
    dump_facts(&tag->facts, json);
    json_key(json, "decide");
    json_array(json);
    for (size_t i = 0; i < tag->decide.count; i++)
        json_string(json, tag->decide.items[i]);
    json_array_end(json);
    json_object_end(json);
}

/* Each vertex as x, y in millimetres and the bulge of the edge behind it. */
static void dump_gasket(const struct cut_gasket *cut, struct json *json)
{
    json_object(json);
    json_put_string(json, "id", cut->id);
    json_put_string(json, "title", cut->title);
    dump_facts(&cut->facts, json);
    json_key(json, "loops");
    json_array(json);
    for (size_t i = 0; i < cut->gasket->shape->count; i++) {
        const struct outline_loop *loop = &cut->gasket->shape->items[i];
        json_array(json);
        for (size_t k = 0; k < loop->count; k++) {
            json_array(json);
            json_double(json, loop->items[k].x);
            json_double(json, loop->items[k].y);
            json_double(json, loop->items[k].bulge);
            json_array_end(json);
        }
        json_array_end(json);
    }
    json_array_end(json);
    json_object_end(json);
}

static void dump_cut_sheet(const struct cut_sheet *sheet, struct json *json)
{
    json_object(json);
    json_put_string(json, "title", sheet->title);
    dump_facts(&sheet->facts, json);
    json_key(json, "pieces");
    json_array(json);
    for (size_t i = 0; i < sheet->cut->piece_count; i++) {
        const struct outline_piece *piece = &sheet->cut->pieces[i];
        json_object(json);
        json_put_string(json, "name", sheet->gaskets[i]->title);
        json_put_int(json, "sheet", (int64_t)piece->sheet + 1);
        json_put_double(json, "x", piece->x);
        json_put_double(json, "y", piece->y);
        json_put_double(json, "width", piece->turned ? piece->height : piece->width);
        json_put_double(json, "height", piece->turned ? piece->width : piece->height);
        json_object_end(json);
    }
    json_array_end(json);
    json_object_end(json);
}

static void dump_cut_out(const struct pack *pack, struct json *json)
{
    json_key(json, "tags");
    json_array(json);
    for (size_t i = 0; i < pack->tags.count; i++)
        dump_tag(&pack->tags.items[i], json);
    json_array_end(json);
    json_put_double(json, "printer", pack->printer_mm);
    json_key(json, "gaskets");
    json_array(json);
    for (size_t i = 0; i < pack->gaskets.count; i++)
        dump_gasket(&pack->gaskets.items[i], json);
    json_array_end(json);
    json_key(json, "cut-sheets");
    json_array(json);
    for (size_t i = 0; i < pack->cut_sheets.count; i++)
        dump_cut_sheet(&pack->cut_sheets.items[i], json);
    json_array_end(json);
}

void pack_dump(const struct pack *pack, struct json *json)
{
    json_object(json);
    json_put_string(json, "id", pack->id);
    json_put_string(json, "title", pack->title);
    json_key(json, "sections");
    json_array(json);
    for (size_t i = 0; i < pack->sections.count; i++)
        dump_section(pack->sections.items[i], json, true);
    json_array_end(json);
    json_key(json, "sheets");
    json_array(json);
    for (size_t i = 0; i < pack->sheets.count; i++) {
        const struct sheet *sheet = pack->sheets.items[i];
        json_object(json);
        json_put_string(json, "name", sheet->name);
        if (sheet->table) {
            json_key(json, "table");
            dump_table(sheet->table, json);
        }
        json_object_end(json);
    }
    json_array_end(json);
    json_key(json, "readings");
    if (pack->readings)
        dump_table(pack->readings, json);
    else
        json_null(json);
    dump_cut_out(pack, json);
    json_object_end(json);
}
