/* block.c - small ways to add sections, blocks, tables and cells. */
#include <math.h>
#include <stdlib.h>

#include "pack_private.h"

struct section *section_new(struct packer *packer, enum section_kind kind, const char *id,
                            const char *title)
{
    struct section *section = ARENA_NEW(packer->arena, struct section);

    section->kind = kind;
    section->id = id;
    section->title = title;
    *ARRAY_PUSH(packer->arena, &packer->pack->sections) = section;
    return section;
}

void section_source(struct packer *packer, struct section *section, const char *source)
{
    if (!source)
        return;
    for (size_t i = 0; i < section->sources.count; i++)
        if (strcmp(section->sources.items[i], source) == 0)
            return;
    *ARRAY_PUSH(packer->arena, &section->sources) = source;
}

struct block *block_add(struct packer *packer, struct section *section, enum block_kind kind)
{
    struct block *block = ARENA_NEW(packer->arena, struct block);

    block->kind = kind;
    *ARRAY_PUSH(packer->arena, &section->blocks) = block;
    return block;
}

void block_heading(struct packer *packer, struct section *section, uint8_t level, const char *text)
{
    struct block *block = block_add(packer, section, BLOCK_HEADING);

    block->level = level;
    block->text = text;
    block->keep_with_next = true;
}

void block_text(struct packer *packer, struct section *section, const char *text)
{
    block_add(packer, section, BLOCK_TEXT)->text = text;
}

void fact_or_blank(struct packer *packer, struct pack_facts *facts, const char *words,
                   const char *text)
{
    ARRAY_PUSH(packer->arena, facts);
    facts->items[facts->count - 1].label = words;
    facts->items[facts->count - 1].text = text;
}

void fact_add(struct packer *packer, struct pack_facts *facts, const char *words, const char *text)
{
    if (text)
        fact_or_blank(packer, facts, words, text);
}

void block_fact(struct packer *packer, struct block *facts, const char *words, const char *text)
{
    fact_add(packer, &facts->facts, words, text);
}

struct table *table_new(struct packer *packer, const char *id)
{
    struct table *table = ARENA_NEW(packer->arena, struct table);

    table->id = id;
    return table;
}

void table_column(struct packer *packer, struct table *table, const char *key, const char *heading,
                  enum cell_kind kind, uint8_t weight)
{
    *ARRAY_PUSH(packer->arena, &table->columns) =
        (struct column){.key = key, .heading = heading, .kind = kind, .weight = weight};
}

struct cell *table_row_new(struct packer *packer, struct table *table)
{
    struct cell *row = ARENA_ARRAY(packer->arena, struct cell, table->columns.count);

    *ARRAY_PUSH(packer->arena, &table->rows) = row;
    return row;
}

struct cell cell_text(const char *text)
{
    return text ? (struct cell){.kind = CELL_TEXT, .text = text} : (struct cell){0};
}

struct cell cell_count(struct packer *packer, int64_t count)
{
    return (struct cell){.kind = CELL_COUNT,
                         .text = str_print(packer->arena, "%lld", (long long)count),
                         .number = (double)count};
}

/* What was written in another unit is not rounded to nothing; a bare number has none. */
static int places_in(const struct qty *qty, const struct qty_unit *unit)
{
    int places = unit ? qty_places(unit) : 3;

    return unit && qty->unit && qty->unit != unit ? places + 1
           : qty->places > places                 ? qty->places
                                                  : places;
}

void cell_put_in_unit(struct packer *packer, struct cell *cell, struct qty qty,
                      const struct qty_unit *unit)
{
    *cell = (struct cell){.kind = CELL_QUANTITY, .unit = unit ? unit->name : NULL};
    cell->number = unit ? (qty.si - unit->offset) / unit->factor : qty.si;
    cell->text = qty_print_number(packer->arena, qty, unit, places_in(&qty, unit), QTY_NEAREST);
    double printed = strtod(cell->text, NULL);
    if (fabs(printed - cell->number) <= 1e-12 * fabs(printed))
        cell->number = printed; /* 0.007, not what is left of it on the way through metres */
}

void cell_put_quantity(struct packer *packer, struct cell *cell, const struct qty *qty)
{
    if (qty->dim == QTY_NONE)
        return;
    if (qty->dim != QTY_MONEY) {
        cell_put_in_unit(packer, cell, *qty, qty->unit);
        return;
    }
    *cell = (struct cell){.kind = CELL_MONEY, .number = (double)qty->exact / 100,
                          .unit = qty->currency};
    cell->text = str_print(packer->arena, "%lld.%02d", (long long)(qty->exact / 100),
                           (int)(qty->exact % 100));
}

struct sheet *sheet_new(struct packer *packer, const char *id, const char *name)
{
    struct sheet *sheet = ARENA_NEW(packer->arena, struct sheet);

    sheet->id = id;
    sheet->name = name;
    *ARRAY_PUSH(packer->arena, &packer->pack->sheets) = sheet;
    return sheet;
}
