/* resolve_gasket.c - gaskets with an outline: which parts are cut to which shape from which sheet, and how
 * they are laid out on it. */
#include "resolve_gasket_private.h"

/* Where the spec says nothing (common practice, no source). */
#define MARGIN_MM 5.0
#define SPACING_MM 5.0

struct gasket *resolve_gasket(const struct build *build, const struct part *part)
{
    for (size_t i = 0; i < build->gaskets.count && part->cut_from.outline.body.present; i++) {
        struct gasket *gasket = &build->gaskets.items[i];
        for (size_t k = 0; k < gasket->part_count && !gasket->bought; k++)
            if (gasket->parts[k] == part)
                return gasket;
    }
    return NULL;
}

static bool same_loop(const struct outline_loop *a, const struct outline_loop *b)
{
    return a->count == b->count && memcmp(a->items, b->items, a->count * sizeof *a->items) == 0;
}

static bool same_shape(const struct outline_shape *a, const struct outline_shape *b)
{
    bool same = a->count == b->count;

    for (size_t i = 0; same && i < a->count; i++)
        same = same_loop(&a->items[i], &b->items[i]);
    return same;
}

/* Members of one entry that are cut to one shape from one sheet are one gasket. */
static struct gasket *gasket_of(struct resolver *r, const struct part *part,
                                const struct outline_shape *shape)
{
    for (size_t i = 0; i < r->build->gaskets.count; i++) {
        struct gasket *gasket = &r->build->gaskets.items[i];
        if (gasket->parts[0]->e.group == part->e.group &&
            str_equal(gasket->parts[0]->cut_from.sheet.text, part->cut_from.sheet.text) &&
            same_shape(gasket->shape, shape))
            return gasket;
    }
    return NULL;
}

static double length_mm(const struct claim *claim, double otherwise)
{
    return claim->present ? (double)claim->value.nominal.exact / 1e9 : otherwise;
}

static size_t sheet_of(struct resolver *r, struct part *part)
{
    const char *name = part->cut_from.sheet.text;
    struct sheet_cut *cut;

    for (size_t i = 0; i < r->build->sheets.count; i++)
        if (str_equal(r->build->sheets.items[i].name, name))
            return i;
    cut = ARRAY_PUSH(r->arena, &r->build->sheets);
    *cut = (struct sheet_cut){.name = name, .said = spec_sheet(r->spec, name)};
    if (cut->said != NULL)
        cut->size = (struct outline_sheet){length_mm(&cut->said->width, 0),
                                           length_mm(&cut->said->height, 0),
                                           length_mm(&cut->said->margin, MARGIN_MM),
                                           length_mm(&cut->said->spacing, SPACING_MM)};
    else
        phrase_text(resolve_ask(r, &part->e, name, part->cut_from.sheet.span, "sheet-size", "write")
                        ->settles,
                    "words", str_print(r->arena, "sheets: {%s: {width: ..., height: ...}}", name));
    return r->build->sheets.count - 1;
}

/* The rectangle that it takes; height lies along the grain. */
static struct outline_piece piece_of(const struct gasket *gasket)
{
    const char *grain = gasket->parts[0]->cut_from.grain.text;
    double width = gasket->box.high_x - gasket->box.low_x;
    double height = gasket->box.high_y - gasket->box.low_y;
    struct outline_piece piece = {.width = width, .height = height,
                                  .turns = grain == NULL || str_equal(grain, "any")};

    if (str_equal(grain, "across"))
        piece = (struct outline_piece){.width = height, .height = width};
    return piece;
}

static void check_fits(struct resolver *r, const struct gasket *gasket)
{
    const struct sheet_cut *cut = &r->build->sheets.items[gasket->sheet];
    struct outline_piece piece = piece_of(gasket);
    const struct cut_from *from = &gasket->parts[0]->cut_from;
    size_t sheets, unfit;

    if (cut->said == NULL || outline_nest(r->arena, cut->size, &piece, 1, &sheets, &unfit))
        return;
    struct diag *diag = diag_add(
        &r->context->diags, DIAG_OUTLINE_OVER_SHEET, from->outline.body.span,
        "%s, %s by %s mm, does not fit on a sheet", gasket->parts[0]->e.shown,
        str_decimal(r->arena, gasket->box.high_x - gasket->box.low_x, 1),
        str_decimal(r->arena, gasket->box.high_y - gasket->box.low_y, 1));
    resolve_label(r, diag, cut->said->span, "%s by %s, %s mm left all round", cut->said->width.value.text,
                  cut->said->height.value.text, str_decimal(r->arena, cut->size.margin, 1));
    resolve_hint(r, diag, "%s",
                 from->grain.text != NULL && !str_equal(from->grain.text, "any")
                     ? "grain: any would let it lie the other way"
                     : "give the sheet that it is cut from, under sheets, its own size");
}

static void add_part(struct resolver *r, struct gasket *gasket, struct part *part)
{
    struct part **parts = ARENA_ARRAY(r->arena, struct part *, gasket->part_count + 1);

    if (gasket->part_count > 0)
        memcpy(parts, gasket->parts, gasket->part_count * sizeof *parts);
    parts[gasket->part_count++] = part;
    gasket->parts = parts;
}

static void add_gasket(struct resolver *r, struct outline_engine *engine, struct part *part)
{
    const struct outline_shape *shape = resolve_outline(r, engine, part);

    if (shape == NULL)
        return;
    struct gasket *gasket = gasket_of(r, part, shape);
    if (gasket == NULL) {
        gasket = ARRAY_PUSH(r->arena, &r->build->gaskets);
        *gasket = (struct gasket){.shape = shape, .box = outline_box(&shape->items[0]),
                                  .bought = part->supplier.text != NULL};
        for (size_t i = 0; i < shape->count; i++)
            gasket->area_mm2 += outline_area(&shape->items[i]);
        gasket->sheet = gasket->bought ? SIZE_MAX : sheet_of(r, part);
        add_part(r, gasket, part);
        if (!gasket->bought)
            check_fits(r, gasket);
        return;
    }
    add_part(r, gasket, part);
}

void resolve_gaskets(struct resolver *r)
{
    struct outline_engine *engine = NULL;

    for (size_t i = 0; i < r->spec->parts.count; i++) {
        struct part *part = r->spec->parts.items[i];
        if (!part->cut_from.outline.body.present || part->cut_from.sheet.text == NULL)
            continue;
        if (engine == NULL) {
            engine = outline_open();
            if (engine == NULL)
                (void)arena_array(r->arena, SIZE_MAX, 2); /* as when the arena has no more */
            context_opened(r->context, outline_close, engine);
        }
        add_gasket(r, engine, part);
    }
    if (engine != NULL) {
        context_closed(r->context, engine);
        outline_close(engine);
    }
}

void resolve_lay_out(struct resolver *r, size_t index)
{
    struct sheet_cut *cut = &r->build->sheets.items[index];
    size_t count = 0, unfit;

    for (size_t i = 0; i < r->build->gaskets.count; i++)
        if (r->build->gaskets.items[i].sheet == index)
            count += (size_t)r->build->gaskets.items[i].line.needed;
    cut->pieces = ARENA_ARRAY(r->arena, struct outline_piece, count);
    cut->gaskets = ARENA_ARRAY(r->arena, size_t, count);
    for (size_t i = 0; i < r->build->gaskets.count; i++) {
        const struct gasket *gasket = &r->build->gaskets.items[i];
        for (int64_t k = 0; gasket->sheet == index && k < gasket->line.needed; k++) {
            cut->pieces[cut->piece_count] = piece_of(gasket);
            cut->gaskets[cut->piece_count++] = i;
            cut->area_mm2 += gasket->area_mm2;
        }
    }
    if (count == 0)
        return;
    if (cut->said == NULL) {
        cut->sheets = cut->to_buy = 1;
        return;
    }
    bool fits = outline_nest(r->arena, cut->size, cut->pieces, count, &cut->sheets, &unfit);
    (void)fits; /* each was tried alone: what does not fit was reported, and no build came of it */
    size_t stock = cut->said->stock.present ? (size_t)cut->said->stock.value : 0;
    cut->to_buy = cut->sheets > stock ? cut->sheets - stock : 0;
}
