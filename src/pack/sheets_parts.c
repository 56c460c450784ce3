/* sheets_parts.c - Parts, Inventory, Weights, Gasket sheet, Bearings and seals: what the engine is
 * made of. */
#include "sheets_private.h"

static const char *state_word(struct packer *packer, enum part_state state)
{
    static const char *const words[] = {"unknown", "reuse", "rework", "renew",
                                        "make",    "missing", "stays"};

    return label_of(packer, "state", words[state]);
}

static const char *part_name(const struct part *part)
{
    return part->e.name.text ? part->e.name.text : part->e.id;
}

static struct cell serial_cell(struct packer *packer, const struct part *part)
{
    return cell_text(part->serial.unknown ? L(packer, "cover.unknown") : part->serial.text);
}

/* ---------- Parts ---------- */

enum { PART_ID, PART_NAME, PART_NUMBER, PART_PIECES, PART_STATE, PART_HOST, PART_JOINT,
       PART_MATERIAL, PART_SUPPLIER, PART_CARD, PART_NOTE };

static const struct sheet_column part_columns[] = {
    [PART_ID] = {"id", "sheet.id", CELL_TEXT, 2},
    [PART_NAME] = {"name", "sheet.name", CELL_TEXT, 3},
    [PART_NUMBER] = {"number", "sheet.number", CELL_TEXT, 2},
    [PART_PIECES] = {"pieces", "sheet.pieces", CELL_COUNT},
    [PART_STATE] = {"state", "sheet.state", CELL_TEXT, 1},
    [PART_HOST] = {"host", "sheet.host", CELL_TEXT, 2},
    [PART_JOINT] = {"joint", "sheet.held-by", CELL_TEXT, 2},
    [PART_MATERIAL] = {"material", "sheet.material", CELL_TEXT, 1},
    [PART_SUPPLIER] = {"supplier", "sheet.supplier", CELL_TEXT, 2},
    [PART_CARD] = {"card", "sheet.card", CELL_TEXT, 2},
    [PART_NOTE] = {"note", "sheet.note", CELL_TEXT, 4},
};

/* What few parts have: other names, partners, engines, doubles; and the note of its own. */
static const char *part_notes(struct packer *packer, const struct part *part)
{
    const struct { const char *label, *text; } rows[] = {
        {"sheet.called", part->e.called.text},
        {"sheet.matched", part->matched.to_count ? text_of_entries(packer, part->matched.to,
                                                                   part->matched.to_count)
                                                 : NULL},
        {"sheet.applies", effectivity(packer, &part->e)},
        {"sheet.look-alikes", text_of_phrase(packer, build_look_alikes(packer->arena, part))},
    };
    struct str_buf text = {.arena = packer->arena};

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        if (rows[i].text)
            str_add_print(&text, "%s%s: %s", text.length ? "; " : "",
                          label(packer->labels, rows[i].label), rows[i].text);
    if (part->e.note.text)
        str_add_print(&text, "%s%s", text.length ? "; " : "", part->e.note.text);
    return text.length ? text.bytes : NULL;
}

/* Where the joint that takes or holds a part stands among the joints, which is its row. */
struct held_by {
    const struct joint *joint;
    size_t row;
};

static struct held_by *joints_of_parts(struct packer *packer)
{
    const struct spec *spec = packer->spec;
    struct held_by *held = ARENA_ARRAY(packer->arena, struct held_by, spec->entries.count);

    for (size_t i = spec->joints.count; i-- > 0;) {
        const struct joint *joint = spec->joints.items[i];
        const struct held_by by = {joint, i};
        for (size_t k = 0; k < joint->holds.to_count; k++)
            held[joint->holds.to[k]->order] = by;
        for (size_t k = 0; k < joint->uses.count; k++)
            for (size_t m = 0; m < joint->uses.items[k].ref.count; m++)
                held[joint->uses.items[k].ref.to[m]->order] = by;
    }
    return held;
}

static void fill_part(struct packer *packer, struct cell *row, struct part *part,
                      const struct held_by *held)
{
    row[PART_ID] = cell_text(part->e.member);
    row[PART_NAME] = cell_text(part_name(part));
    row[PART_NUMBER] = cell_text(part->number.text);
    row[PART_PIECES] = cell_count(packer, build_pieces(part));
    row[PART_STATE] = cell_text(state_word(packer, part->state));
    row[PART_HOST] = cell_text(part->host ? part->host->e.shown : NULL);
    if (held->joint) {
        row[PART_JOINT] = cell_text(held->joint->e.shown);
        row[PART_JOINT].link = "fasteners";
        row[PART_JOINT].link_row = held->row;
    }
    row[PART_MATERIAL] = cell_text(part->material.text);
    const struct supplier *supplier = spec_supplier(packer->spec, part->supplier.text);
    row[PART_SUPPLIER] = cell_text(supplier ? supplier_name(packer, supplier) : NULL);
    row[PART_CARD] = card_cell(packer, &part->e);
    row[PART_NOTE] = cell_text(part_notes(packer, part));
}

void add_parts(struct packer *packer)
{
    struct table *table = sheet_table(packer, "parts", part_columns, COLUMN_COUNT(part_columns));
    const struct held_by *held = joints_of_parts(packer);

    for (size_t i = 0; i < packer->spec->parts.count; i++) {
        struct part *part = packer->spec->parts.items[i];
        fill_part(packer, table_row_new(packer, table), part, &held[part->e.order]);
    }
    sheet_add(packer, "parts", table);
}

/* ---------- Inventory ---------- */

enum { STOCK_ID, STOCK_NAME, STOCK_NUMBER, STOCK_SERIAL, STOCK_EXPECTED, STOCK_FOUND,
       STOCK_MISSING, STOCK_INSPECT, STOCK_STATE, STOCK_WHERE, STOCK_REMARK };

static const struct sheet_column stock_columns[] = {
    [STOCK_ID] = {"id", "sheet.id", CELL_TEXT, 2},
    [STOCK_NAME] = {"name", "sheet.name", CELL_TEXT, 3},
    [STOCK_NUMBER] = {"number", "sheet.number", CELL_TEXT, 2},
    [STOCK_SERIAL] = {"serial", "sheet.serial", CELL_TEXT, 1},
    [STOCK_EXPECTED] = {"expected", "sheet.expected", CELL_COUNT},
    [STOCK_FOUND] = {"found", "sheet.found", CELL_COUNT, .fill = true},
    [STOCK_MISSING] = {"missing", "sheet.missing", CELL_FORMULA},
    [STOCK_INSPECT] = {"inspect", "sheet.inspect", CELL_TEXT, 2},
    [STOCK_STATE] = {"state", "sheet.state", CELL_TEXT, 1, .fill = true},
    [STOCK_WHERE] = {"where", "sheet.kept-in", CELL_TEXT, 2, .fill = true},
    [STOCK_REMARK] = {"remark", "sheet.remark", CELL_TEXT, 3, .fill = true},
};

static const char *const *decisions(struct packer *packer)
{
    const char **words = ARENA_ARRAY(packer->arena, const char *, STATE_STAYS + 2);

    for (int state = STATE_UNKNOWN; state <= STATE_STAYS; state++)
        words[state] = state_word(packer, (enum part_state)state);
    return words;
}

void add_inventory(struct packer *packer)
{
    struct table *table = sheet_table(packer, "inventory", stock_columns,
                                      COLUMN_COUNT(stock_columns));

    table->columns.items[STOCK_STATE].choices = decisions(packer);
    table->columns.items[STOCK_MISSING].strong = "=N([missing])>0";
    for (size_t i = 0; i < packer->spec->parts.count; i++) {
        const struct part *part = packer->spec->parts.items[i];
        if (part->until.text)
            continue; /* a slave part is the shop's, not the engine's */
        struct cell *row = table_row_new(packer, table);
        row[STOCK_ID] = cell_text(part->e.member);
        row[STOCK_NAME] = cell_text(part_name(part));
        row[STOCK_NUMBER] = cell_text(part->number.text);
        row[STOCK_SERIAL] = serial_cell(packer, part);
        row[STOCK_EXPECTED] = cell_count(packer, build_pieces(part));
        row[STOCK_MISSING] =
            cell_formula_words("=IF([found]=\"\",\"\",[expected]-[found])", NULL);
        row[STOCK_INSPECT] = cell_text(text_of_texts(packer, &part->inspect));
        row[STOCK_STATE] = cell_text(state_word(packer, part->state));
    }
    sheet_add(packer, "inventory", table);
}

/* ---------- Weights ---------- */

enum { MASS_ID, MASS_NAME, MASS_ASSEMBLY, MASS_PIECES, MASS_ONE, MASS_UNIT, MASS_ALL, MASS_OLD_NUMBER,
       MASS_OLD, MASS_CHANGE };

static const struct sheet_column mass_columns[] = {
    [MASS_ID] = {"id", "sheet.id", CELL_TEXT, 2},
    [MASS_NAME] = {"name", "sheet.name", CELL_TEXT, 3},
    [MASS_ASSEMBLY] = {"assembly", "sheet.assembly", CELL_TEXT, 2},
    [MASS_PIECES] = {"pieces", "sheet.pieces", CELL_COUNT},
    [MASS_ONE] = {"weight", "sheet.weight-of-one", CELL_QUANTITY, .fill = true},
    [MASS_UNIT] = {"unit", "sheet.unit", CELL_TEXT},
    [MASS_ALL] = {"total", "sheet.weight-of-all", CELL_FORMULA},
    [MASS_OLD_NUMBER] = {"old-number", "sheet.replaced", CELL_TEXT, 2},
    [MASS_OLD] = {"old-weight", "sheet.old-weight", CELL_QUANTITY},
    [MASS_CHANGE] = {"change", "sheet.weight-change", CELL_FORMULA},
};

/* The part that a part hangs on at last. */
static const struct part *root_of(const struct part *part)
{
    while (part->host)
        part = part->host;
    return part;
}

static bool one_weight(const struct claim *claim)
{
    return claim->present && claim->value.kind == QTY_ONE;
}

/* All in one unit, so that they can be summed: that of the engine's weight, or of the first part's. */
static const struct qty_unit *mass_unit(const struct spec *spec)
{
    for (size_t i = 0; i < spec->shop.prefer.count; i++)
        if (spec->shop.prefer.items[i]->dim == QTY_MASS)
            return spec->shop.prefer.items[i];
    if (one_weight(&spec->engine.weight))
        return spec->engine.weight.value.nominal.unit;
    for (size_t i = 0; i < spec->parts.count; i++)
        if (one_weight(&spec->parts.items[i]->weight))
            return spec->parts.items[i]->weight.value.nominal.unit;
    return qty_unit_find("kg", QTY_MASS);
}

static double fill_weight(struct packer *packer, struct cell *row, const struct part *part,
                          const struct qty_unit *unit)
{
    double pieces = (double)build_pieces(part), total = 0;

    row[MASS_ID] = cell_text(part->e.member);
    row[MASS_NAME] = cell_text(part_name(part));
    row[MASS_ASSEMBLY] = cell_text(root_of(part)->e.shown);
    row[MASS_PIECES] = cell_count(packer, build_pieces(part));
    row[MASS_UNIT] = cell_text(unit->name);
    row[MASS_ALL] = cell_formula_words("=IF([weight]=\"\",\"\",[pieces]*[weight])", NULL);
    if (one_weight(&part->weight)) {
        cell_put_in_unit(packer, &row[MASS_ONE], part->weight.value.nominal, unit);
        total = pieces * row[MASS_ONE].number;
        row[MASS_ALL] = cell_formula(row[MASS_ALL].text, total, unit->name);
    }
    row[MASS_OLD_NUMBER] = cell_text(part->replaces.number.unknown ? L(packer, "state.unknown")
                                                                   : part->replaces.number.text);
    if (one_weight(&part->replaces.weight)) {
        cell_put_in_unit(packer, &row[MASS_OLD], part->replaces.weight.value.nominal, unit);
        row[MASS_CHANGE] = cell_formula_words("=IF([weight]=\"\",\"\",[weight]-[old-weight])", NULL);
        if (row[MASS_ONE].kind == CELL_QUANTITY)
            row[MASS_CHANGE] = cell_formula(row[MASS_CHANGE].text,
                                            row[MASS_ONE].number - row[MASS_OLD].number, unit->name);
    }
    return total;
}

/* The sum of what is weighed, how many lines are not, and what a published weight leaves unexplained. */
static void sum_weights(struct packer *packer, struct table *table, const struct qty_unit *unit,
                        double sum, size_t unknown)
{
    struct cell *row = sheet_foot(packer, table);

    row[MASS_NAME] = cell_text(L(packer, "sheet.weighed"));
    row[MASS_UNIT] = cell_text(unit->name);
    row[MASS_ALL] = cell_formula("=SUM([total])", sum, unit->name);
    row = sheet_foot(packer, table);
    row[MASS_NAME] = cell_text(L(packer, "sheet.not-weighed"));
    row[MASS_ALL] = cell_formula("=COUNTBLANK([weight])", (double)unknown, NULL);
    if (!one_weight(&packer->spec->engine.weight))
        return;
    struct cell published = {0};
    cell_put_in_unit(packer, &published, packer->spec->engine.weight.value.nominal, unit);
    row = sheet_foot(packer, table);
    row[MASS_NAME] = cell_text(L(packer, "sheet.published-weight"));
    row[MASS_UNIT] = cell_text(unit->name);
    row[MASS_ALL] = published;
    row = sheet_foot(packer, table);
    row[MASS_NAME] = cell_text(L(packer, "sheet.unexplained"));
    row[MASS_UNIT] = cell_text(unit->name);
    row[MASS_ALL] = cell_formula(
        str_print(packer->arena, "=%s-SUM([total])", str_decimal(packer->arena, published.number, 6)),
        published.number - sum, unit->name);
}

void add_weights(struct packer *packer)
{
    struct table *table = sheet_table(packer, "weights", mass_columns, COLUMN_COUNT(mass_columns));
    const struct qty_unit *unit = mass_unit(packer->spec);
    double sum = 0;
    size_t unknown = 0;

    for (size_t i = 0; i < packer->spec->parts.count; i++) {
        const struct part *part = packer->spec->parts.items[i];
        if (part->until.text || part->assembly.value)
            continue; /* a slave part goes again; an assembly weighs what its pieces weigh */
        struct cell *row = table_row_new(packer, table);
        sum += fill_weight(packer, row, part, unit);
        unknown += row[MASS_ONE].kind == CELL_EMPTY;
    }
    if (table->rows.count)
        sum_weights(packer, table, unit, sum, unknown);
    sheet_add(packer, "weights", table);
}

/* ---------- Gasket sheet ---------- */

enum { CUT_ID, CUT_NAME, CUT_PIECES, CUT_SHEET, CUT_FREE, CUT_CRUSHED, CUT_OUTSIDE, CUT_INSIDE,
       CUT_HOLES, CUT_CIRCLE };

static const struct sheet_column cut_columns[] = {
    [CUT_ID] = {"id", "sheet.id", CELL_TEXT, 2},
    [CUT_NAME] = {"name", "sheet.name", CELL_TEXT, 3},
    [CUT_PIECES] = {"pieces", "sheet.pieces", CELL_COUNT},
    [CUT_SHEET] = {"sheet", "sheet.cut-from", CELL_TEXT, 2},
    [CUT_FREE] = {"free", "field.free", CELL_TEXT, 2},
    [CUT_CRUSHED] = {"crushed", "field.crushed", CELL_TEXT, 2},
    [CUT_OUTSIDE] = {"outside", "field.outside", CELL_TEXT, 2},
    [CUT_INSIDE] = {"inside", "field.inside", CELL_TEXT, 2},
    [CUT_HOLES] = {"holes", "field.holes", CELL_TEXT, 2},
    [CUT_CIRCLE] = {"circle", "field.hole-circle", CELL_TEXT, 2},
};

void add_gasket_sheet(struct packer *packer)
{
    struct table *table = sheet_table(packer, "gasket-sheet", cut_columns,
                                      COLUMN_COUNT(cut_columns));

    for (size_t i = 0; i < packer->spec->parts.count; i++) {
        const struct part *part = packer->spec->parts.items[i];
        const struct cut_from *cut = &part->cut_from;
        if (!cut->present)
            continue;
        struct cell *row = table_row_new(packer, table);
        row[CUT_ID] = cell_text(part->e.member);
        row[CUT_NAME] = cell_text(part_name(part));
        row[CUT_PIECES] = cell_count(packer, build_pieces(part));
        row[CUT_SHEET] = cell_text(cut->sheet.text);
        row[CUT_FREE] = cell_text(text_of_claim(packer, &cut->free));
        row[CUT_CRUSHED] = cell_text(text_of_claim(packer, &cut->crushed));
        row[CUT_OUTSIDE] = cell_text(text_of_claim(packer, &cut->outline.body.outside));
        row[CUT_INSIDE] = cell_text(text_of_claim(packer, &cut->outline.inside));
        row[CUT_HOLES] = cell_text(text_of_holes(packer, &cut->outline));
        row[CUT_CIRCLE] = cell_text(text_of_hole_circles(packer, &cut->outline));
    }
    sheet_add(packer, "gasket-sheet", table);
}

/* ---------- Bearings and seals ---------- */

enum { SEAT_ID, SEAT_NAME, SEAT_PIECES, SEAT_NUMBER, SEAT_TEXT, SEAT_FACES, SEAT_SUPPLIER, SEAT_CARD };

static const struct sheet_column seat_columns[] = {
    [SEAT_ID] = {"id", "sheet.id", CELL_TEXT, 2},
    [SEAT_NAME] = {"name", "sheet.name", CELL_TEXT, 3},
    [SEAT_PIECES] = {"pieces", "sheet.pieces", CELL_COUNT},
    [SEAT_NUMBER] = {"number", "sheet.number", CELL_TEXT, 2},
    [SEAT_TEXT] = {"text", "sheet.order-text", CELL_TEXT, 5},
    [SEAT_FACES] = {"faces", "sheet.between", CELL_TEXT, 4},
    [SEAT_SUPPLIER] = {"supplier", "sheet.supplier", CELL_TEXT, 2},
    [SEAT_CARD] = {"card", "sheet.card", CELL_TEXT, 2},
};

static const char *faces_of(struct packer *packer, const struct part *part)
{
    struct str_buf text = {.arena = packer->arena};

    for (size_t i = 0; i < part->sealed_by_count; i++) {
        const struct seal *seal = part->sealed_by[i];
        str_add_print(&text, "%s%s", text.length ? "; " : "",
                      text_of_entries(packer, seal->between.to, seal->between.to_count));
    }
    return text.length ? text.bytes : part->host ? part->host->e.shown : NULL;
}

void add_bearings(struct packer *packer)
{
    struct table *table = sheet_table(packer, "bearings", seat_columns, COLUMN_COUNT(seat_columns));

    for (size_t i = 0; i < packer->spec->parts.count; i++) {
        const struct part *part = packer->spec->parts.items[i];
        const struct bearing_values *values =
            part->bearing.present ? build_bearing(packer->build, part) : NULL;
        if (!values && part->sealed_by_count == 0)
            continue;
        struct cell *row = table_row_new(packer, table);
        row[SEAT_ID] = cell_text(part->e.member);
        row[SEAT_NAME] = cell_text(part_name(part));
        row[SEAT_PIECES] = cell_count(packer, build_pieces(part));
        row[SEAT_NUMBER] = cell_text(part->number.text);
        row[SEAT_TEXT] = cell_text(values ? text_of_phrase(packer, values->order)
                                          : part->cut_from.sheet.text);
        row[SEAT_FACES] = cell_text(faces_of(packer, part));
        const struct supplier *supplier = spec_supplier(packer->spec, part->supplier.text);
        row[SEAT_SUPPLIER] = cell_text(supplier ? supplier_name(packer, supplier) : NULL);
        row[SEAT_CARD] = card_cell(packer, &part->e);
    }
    sheet_add(packer, "bearings", table);
}
