/* gaskets.c - gaskets.pdf and gaskets/: what is cut to an outline, with all that is needed beside it; and
 * how it is laid out on sheets. */
#include "pack_private.h"

/* "219.1 × 219.1 mm" */
static const char *size_text(struct packer *packer, double width, double height)
{
    return text_of_number(packer, str_print(packer->arena, "%s × %s mm",
                                            str_decimal(packer->arena, width, 1),
                                            str_decimal(packer->arena, height, 1)));
}

struct joints {
    struct entry **items;
    size_t count, room;
};

static void add_joint(struct packer *packer, struct joints *joints, struct joint *joint)
{
    for (size_t i = 0; i < joints->count; i++)
        if (joints->items[i] == &joint->e)
            return;
    *ARRAY_PUSH(packer->arena, joints) = &joint->e;
}

/* The joints that clamp it: those that use it, and those of the faces that it lies between. */
static const char *joints_of(struct packer *packer, const struct gasket *gasket)
{
    struct joints joints = {0};

    for (size_t i = 0; i < gasket->part_count; i++) {
        const struct part *part = gasket->parts[i];
        for (size_t k = 0; k < part->used_by_count; k++)
            add_joint(packer, &joints, part->used_by[k]);
        for (size_t k = 0; k < part->sealed_by_count; k++) {
            size_t count;
            struct joint *const *pulled_by = plan_pulled_by(part->sealed_by[k], &count);
            for (size_t n = 0; n < count; n++)
                add_joint(packer, &joints, pulled_by[n]);
        }
    }
    return joints.count > 0 ? text_of_entries(packer, joints.items, joints.count) : NULL;
}

/* "3 (1 spent in trials)" */
static const char *count_text(struct packer *packer, const struct gasket *gasket)
{
    const struct purchase *line = &gasket->line;
    const struct { const char *key; int64_t count; } reasons[] = {
        {"sheet.of-which-spare", line->spare},
        {"sheet.of-which-trial", line->trial},
        {"sheet.of-which-again", line->again},
    };
    struct str_buf text = {.arena = packer->arena};

    str_add_print(&text, "%lld", (long long)line->needed);
    for (size_t i = 0; i < sizeof reasons / sizeof *reasons; i++)
        if (reasons[i].count > 0)
            str_add_print(&text, "; %s: %lld", label(packer->labels, reasons[i].key),
                          (long long)reasons[i].count);
    return text.bytes;
}

/* Its group's id, or the member's where members differ; a point, which no id has, before the place. */
static const char *file_id(struct packer *packer, const struct gasket *gasket)
{
    const struct entry *entry = &gasket->parts[0]->e;

    if (gasket->part_count == entry->group->member_count)
        return entry->id;
    return str_print(packer->arena, "%s.%s", entry->id, entry->place);
}

static const char *sheet_name(struct packer *packer, const struct gasket *gasket)
{
    const char *id = gasket->parts[0]->cut_from.sheet.text;
    const struct sheet_material *said = spec_sheet(packer->spec, id);

    return said && said->name.text ? said->name.text : id;
}

static void add_gasket(struct packer *packer, const struct gasket *gasket)
{
    struct cut_gasket *cut = ARRAY_PUSH(packer->arena, &packer->pack->gaskets);
    const struct cut_from *from = &gasket->parts[0]->cut_from;
    struct entry **entries = ARENA_ARRAY(packer->arena, struct entry *, gasket->part_count);

    for (size_t i = 0; i < gasket->part_count; i++)
        entries[i] = &gasket->parts[i]->e;
    *cut = (struct cut_gasket){.id = file_id(packer, gasket), .gasket = gasket,
                               .title = text_of_entries(packer, entries, gasket->part_count)};
    struct pack_facts *facts = &cut->facts;
    fact_add(packer, facts, L(packer, "field.cut-from"), sheet_name(packer, gasket));
    fact_add(packer, facts, L(packer, "field.free"), text_of_claim(packer, &from->free));
    fact_add(packer, facts, L(packer, "field.crushed"), text_of_claim(packer, &from->crushed));
    fact_add(packer, facts, L(packer, gasket->bought ? "gasket.bought" : "gasket.count"),
             gasket->bought ? gasket->parts[0]->supplier.text : count_text(packer, gasket));
    fact_add(packer, facts, L(packer, "gasket.size"),
             size_text(packer, gasket->box.high_x - gasket->box.low_x,
                       gasket->box.high_y - gasket->box.low_y));
    fact_add(packer, facts, L(packer, "field.holes"), text_of_holes(packer, &from->outline));
    fact_add(packer, facts, L(packer, "field.hole-circle"),
             text_of_hole_circles(packer, &from->outline));
    fact_add(packer, facts, L(packer, "gasket.joint"), joints_of(packer, gasket));
    if (from->grain.text)
        fact_add(packer, facts, L(packer, "gasket.grain"),
                 label_of(packer, "grain", from->grain.text));
}

static const struct cut_gasket *drawn_as(struct packer *packer, const struct gasket *gasket)
{
    size_t i = 0;

    while (packer->pack->gaskets.items[i].gasket != gasket)
        i++; /* all are there */
    return &packer->pack->gaskets.items[i];
}

static void add_cut_sheet(struct packer *packer, const struct sheet_cut *cut)
{
    struct cut_sheet *page = ARRAY_PUSH(packer->arena, &packer->pack->cut_sheets);
    double whole = cut->size.width * cut->size.height * (double)cut->sheets;

    *page = (struct cut_sheet){.title = cut->said->name.text ? cut->said->name.text : cut->name,
                               .cut = cut,
                               .gaskets = ARENA_ARRAY(packer->arena, const struct cut_gasket *,
                                                      cut->piece_count)};
    for (size_t i = 0; i < cut->piece_count; i++)
        page->gaskets[i] = drawn_as(packer, &packer->build->gaskets.items[cut->gaskets[i]]);
    fact_add(packer, &page->facts, L(packer, "gasket.size"),
             size_text(packer, cut->size.width, cut->size.height));
    fact_add(packer, &page->facts, L(packer, "gasket.sheets"),
             str_print(packer->arena, "%zu", cut->sheets));
    fact_add(packer, &page->facts, L(packer, "sheet.to-order"),
             str_print(packer->arena, "%zu", cut->to_buy));
    fact_add(packer, &page->facts, L(packer, "gasket.pieces"),
             str_print(packer->arena, "%zu", cut->piece_count));
    fact_add(packer, &page->facts, L(packer, "gasket.area"),
             text_of_number(packer, str_print(packer->arena, "%s cm² (%s%%)",
                                              str_decimal(packer->arena, cut->area_mm2 / 100, 0),
                                              str_decimal(packer->arena,
                                                          100 * cut->area_mm2 / whole, 0))));
}

void add_gaskets(struct packer *packer)
{
    const struct build *build = packer->build;
    const struct claim *printer = &packer->spec->shop.printer;

    packer->pack->printer_mm = printer->present ? (double)printer->value.nominal.exact / 1e9 : 100;
    for (size_t i = 0; i < build->gaskets.count; i++)
        add_gasket(packer, &build->gaskets.items[i]);
    for (size_t i = 0; i < build->sheets.count; i++)
        if (build->sheets.items[i].said && build->sheets.items[i].piece_count > 0)
            add_cut_sheet(packer, &build->sheets.items[i]);
}
