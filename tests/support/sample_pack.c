/* sample_pack.c - invented content in every kind of block, as src/pack would make it. */
#include "sample_pack.h"

#include <string.h>

struct maker {
    struct arena *arena;
    struct pack *pack;
    struct section *section;
};

static void begin(struct maker *m, enum section_kind kind, const char *id, const char *title)
{
    m->section = ARENA_NEW(m->arena, struct section);
    m->section->kind = kind;
    m->section->id = id;
    m->section->title = title;
    m->section->fingerprint = "9f2c41d07be85a3312c4e0aa90b1d7f6";
    *ARRAY_PUSH(m->arena, &m->pack->sections) = m->section;
}

static struct block *add(struct maker *m, enum block_kind kind, const char *text)
{
    struct block *block = ARENA_NEW(m->arena, struct block);

    block->kind = kind;
    block->text = text;
    *ARRAY_PUSH(m->arena, &m->section->blocks) = block;
    return block;
}

static void heading(struct maker *m, uint8_t level, const char *text)
{
    struct block *block = add(m, BLOCK_HEADING, text);

    block->level = level;
    block->keep_with_next = true;
}

static void fact(struct maker *m, struct block *block, const char *label, const char *text)
{
    (void)ARRAY_PUSH(m->arena, &block->facts);
    block->facts.items[block->facts.count - 1].label = label;
    block->facts.items[block->facts.count - 1].text = text;
}

static void item(struct maker *m, struct block *block, const char *count, const char *text,
                 bool mark)
{
    (void)ARRAY_PUSH(m->arena, &block->checklist);
    block->checklist.items[block->checklist.count - 1].count = count;
    block->checklist.items[block->checklist.count - 1].text = text;
    block->checklist.items[block->checklist.count - 1].mark = mark;
}

static struct step_block *step(struct maker *m, const char *number, const char *action,
                               const char *object)
{
    struct step_block *made = ARENA_NEW(m->arena, struct step_block);

    made->number = number;
    made->action = action;
    made->object = object;
    add(m, BLOCK_STEP, NULL)->step = made;
    return made;
}

static void field(struct maker *m, struct step_block *to, const char *label, const char *text,
                  bool strong)
{
    (void)ARRAY_PUSH(m->arena, &to->fields);
    to->fields.items[to->fields.count - 1].label = label;
    to->fields.items[to->fields.count - 1].text = text;
    to->fields.items[to->fields.count - 1].strong = strong;
}

static struct step_check *check(struct maker *m, struct step_block *to, int kind, const char *label)
{
    struct step_check *made = ARRAY_PUSH(m->arena, &to->checks);

    *made = (struct step_check){.label = label};
    made->kind = kind;
    return made;
}

static void done(struct maker *m, struct step_block *to)
{
    check(m, to, CHECK_TICK, "done");
    check(m, to, CHECK_INITIALS, NULL);
}

static void reading(struct maker *m, struct step_block *to, const char *label, const char *id,
                    const char *limit, const char *unit)
{
    struct step_check *made = check(m, to, CHECK_READING, label);

    made->id = id;
    made->limit = limit;
    made->unit = unit;
}

/* ---------- tables ---------- */

struct head {
    const char *key, *heading;
    enum cell_kind kind;
    uint8_t weight;
};

static struct table *table(struct maker *m, const char *id, const struct head *heads, size_t count)
{
    struct table *made = ARENA_NEW(m->arena, struct table);

    made->id = id;
    for (size_t i = 0; i < count; i++)
        *ARRAY_PUSH(m->arena, &made->columns) =
            (struct column){.key = heads[i].key, .heading = heads[i].heading,
                            .kind = heads[i].kind, .weight = heads[i].weight};
    return made;
}

static struct cell *row(struct maker *m, struct table *to)
{
    struct cell *cells = ARENA_ARRAY(m->arena, struct cell, to->columns.count);

    *ARRAY_PUSH(m->arena, &to->rows) = cells;
    return cells;
}

static struct cell text_cell(const char *text)
{
    return (struct cell){.kind = CELL_TEXT, .text = text};
}

static struct cell number_cell(enum cell_kind kind, const char *text, double number,
                               const char *unit)
{
    return (struct cell){.kind = kind, .text = text, .number = number, .unit = unit};
}

/* ---------- sections ---------- */

static void cover(struct maker *m)
{
    begin(m, SECTION_COVER, "cover", "Work pack");
    struct block *facts = add(m, BLOCK_FACTS, NULL);
    fact(m, facts, "Maker", "Saltmarsh Engine Works");
    fact(m, facts, "Built", "1934-03");
    fact(m, facts, "Duty", "marine");
    fact(m, facts, "Bore and stroke", "2 7/8 in \xc3\x97 4 in (73.03 mm \xc3\x97 101.60 mm)");
    fact(m, facts, "Turns", "clockwise, seen from the flywheel");
    fact(m, facts, "Firing order", "1 \xe2\x80\x93 2");
    add(m, BLOCK_CAUTION, "Local rules and licensed practice come first. Where they differ from this "
                          "pack, they hold.");
    heading(m, 2, "How to read a card");
    add(m, BLOCK_TEXT, "A square is ticked when the thing is done and seen. Torqued and locked are two "
                       "squares: nothing is torqued until the wrench has clicked, nothing is locked "
                       "until the lock has been seen.");
    heading(m, 2, "Contents");
    add(m, BLOCK_CONTENTS, NULL);
}

static void overview(struct maker *m)
{
    static const struct head heads[] = {{"number", "No.", CELL_COUNT, 0},
                                        {"card", "Card", CELL_TEXT, 3},
                                        {"phase", "Phase", CELL_TEXT, 1},
                                        {"steps", "Steps", CELL_COUNT, 0},
                                        {"waits", "Waits", CELL_TEXT, 1},
                                        {"done", "Done on", CELL_BLANK, 0},
                                        {"by", "By", CELL_BLANK, 0}};
    static const char *const rows[][5] = {
        {"1", "Strip: top end", "Strip", "18", ""},
        {"2", "Strip: timing side and the crankshaft with its bearings", "Strip", "31", ""},
        {"3", "Trial build: mains and crank float", "Trial build", "9", "1 h"},
        {"4", "Bottom end", "Final build", "14", ""},
        {"5", "Timing side", "Final build", "12", "12 h, face paste cures"}};

    begin(m, SECTION_OVERVIEW, "overview", "The job in order");
    struct table *t = table(m, "overview", heads, 7);
    for (size_t i = 0; i < 5; i++) {
        struct cell *cells = row(m, t);
        cells[0] = number_cell(CELL_COUNT, rows[i][0], (double)(i + 1), NULL);
        cells[1] = text_cell(rows[i][1]);
        cells[2] = text_cell(rows[i][2]);
        cells[3] = number_cell(CELL_COUNT, rows[i][3], 1, NULL);
        cells[4] = text_cell(rows[i][4]);
        cells[5].kind = cells[6].kind = CELL_BLANK;
    }
    add(m, BLOCK_TABLE, NULL)->table = t;
}

static void kit_and_tools(struct maker *m)
{
    heading(m, 2, "Kit");
    struct block *kit = add(m, BLOCK_CHECKLIST, NULL);
    item(m, kit, "1", "Crankshaft, SM-1104, matched with connecting rods 1, 2", false);
    item(m, kit, "2", "Main bearing 6206 C3, open both sides, pressed steel cage", false);
    item(m, kit, "8", "Cylinder nut 3/8 BSF, grade R", false);
    item(m, kit, "4", "Tab washer, cylinder nuts", true);
    item(m, kit, "2", "Base gasket 0.40 mm (0.016 in), crushed to 0.32 mm", true);
    item(m, kit, "1", "Crank float shim 0.15 mm, one of those sold as 0.10, 0.15, 0.25", false);
    item(m, kit, "1", "Face paste, 85 g tube", false);
    heading(m, 2, "Tools and settings");
    struct block *tools = add(m, BLOCK_CHECKLIST, NULL);
    item(m, tools, NULL, "Wrench small, 8 to 40 N m, set to 30.5 N m for 22.5 lbf ft", false);
    item(m, tools, NULL, "Crow-foot 40 mm at 0\xc2\xb0", false);
    item(m, tools, NULL, "Bore gauge, \xc2\xb1" "0.003 mm, checked 2026-02-01", false);
    item(m, tools, NULL, "Oven to 120 \xc2\xb0" "C, timer", false);
}

static void bottom_end_steps(struct maker *m)
{
    heading(m, 2, "On the bench");
    struct step_block *s = step(m, "1", "Measure", "Top ring gap, cylinder 1");
    field(m, s, "Where", "unworn bore, ring square, 1 in below the top", false);
    field(m, s, "With", "feeler gauges", false);
    reading(m, s, "reads", "top-ring-gap/1@bench",
            "0.009 to 0.011 in (0.23 to 0.27 mm), by rule, common practice", "in");
    check(m, s, CHECK_INITIALS, NULL);

    s = step(m, "2", "Heat", "Crankcase");
    field(m, s, "Heat to", "95 \xc2\xb0" "C (203 \xc2\xb0" "F)", true);
    field(m, s, "Never hotter than", "120 \xc2\xb0" "C (248 \xc2\xb0" "F)", false);
    *ARRAY_PUSH(m->arena, &s->cautions) =
        "Hot castings look like cold ones. Gloves to the elbow; chalk HOT on the case.";
    done(m, s);

    heading(m, 2, "On the engine");
    s = step(m, "3", "Fit", "Crankshaft");
    s->before = "Turn the case over, timing side upwards";
    field(m, s, "Into", "Crankcase", false);
    field(m, s, "Through", "Timing opening", false);
    field(m, s, "Made up with", "Connecting rod 1, 2; Rod cap 1, 2; Rear race, inner", false);
    field(m, s, "Way round", "numbered face outward", true);
    field(m, s, "Note", "Two people: one guides the rods past the sump baffle stud while the other "
                        "lowers. The shaft weighs 31 lb (14 kg).", false);
    check(m, s, CHECK_TICK, "way round seen");
    done(m, s);
    *ARRAY_PUSH(m->arena, &s->last_chance) = "Main feed oilway, drilled plug in and proved";
    *ARRAY_PUSH(m->arena, &s->last_chance) = "Split pins of rod bolts 1 and 2, legs bent both ways";

    s = step(m, "4", "Tighten", "Cylinder nuts 1");
    field(m, s, "Torque", "22.5 to 24.0 lbf ft (30.5 to 32.5 N m)", true);
    field(m, s, "With drag", "23.8 to 25.2 lbf ft, measured run-down 15 lbf in added", false);
    field(m, s, "Condition", "oiled: engine oil, reused fastener", false);
    field(m, s, "Wrench set to", "30.5 N m (22.5 lbf ft) on small, crow-foot corrected", true);
    field(m, s, "In pulls", "50 %, 80 %, 100 %: 15.5, 24.5, 30.5 N m", false);
    field(m, s, "Another source", "Copy of the log p. 3: 28 lbf ft; not followed, rank 3", false);
    check(m, s, CHECK_TICK, "torqued");
    check(m, s, CHECK_TICK, "locked");
    check(m, s, CHECK_COUNT, "pieces");
    check(m, s, CHECK_INITIALS, NULL);
    reading(m, s, "reads", "cylinder-nuts/1.torque", "22.5 to 24.0 lbf ft (30.5 to 32.5 N m)",
            "lbf ft");
    reading(m, s, "reads", "crank-float@assembled", "0.10 to 0.20 mm (0.004 to 0.007 in)", "mm");
    s->hold_point = true;
    s->witness = "inspector";
}

static void figures(struct maker *m)
{
    static const double x[] = {0, 60, 120, 0, 60, 120, 0, 120}, y[] = {0, 0, 0, 70, 70, 70, 35, 35};
    static const int64_t order[] = {7, 1, 6, 5, 2, 8, 3, 4};
    static const double angles[] = {-32, 12, -12, 48, 52, -10, 15};
    static const char *const names[] = {"spark, full advance", "exhaust closes", "inlet opens",
                                        "inlet closes", "breather shuts", "exhaust opens",
                                        "compression release"};
    struct figure *pattern = ARENA_NEW(m->arena, struct figure);
    struct figure *fit = ARENA_NEW(m->arena, struct figure);
    struct figure *timing = ARENA_NEW(m->arena, struct figure);

    pattern->kind = FIGURE_PATTERN;
    pattern->caption = "Cylinder nuts: order of tightening, seen from above";
    for (size_t i = 0; i < 8; i++) {
        *ARRAY_PUSH(m->arena, &pattern->x_mm) = x[i];
        *ARRAY_PUSH(m->arena, &pattern->y_mm) = y[i];
        *ARRAY_PUSH(m->arena, &pattern->sequence) = order[i];
    }
    add(m, BLOCK_FIGURE, NULL)->figure = pattern;
    fit->kind = FIGURE_FIT;
    fit->caption = "Front main bearing in the crankcase, micrometres from 62 mm";
    fit->outer_low = -24;
    fit->outer_high = -5;
    fit->outer_measured = true;
    fit->outer_found = -15;
    fit->inner_low = -13;
    fit->inner_high = 0;
    fit->inner_label = "bearing outside";
    fit->outer_label = "crankcase bore";
    fit->nominal_label = "62 mm";
    add(m, BLOCK_FIGURE, NULL)->figure = fit;
    timing->kind = FIGURE_TIMING;
    timing->caption = "Timing, cylinder 1, degrees from top dead centre";
    for (size_t i = 0; i < 7; i++) {
        *ARRAY_PUSH(m->arena, &timing->angles) = angles[i] + (i == 3 || i == 4 ? 180 : 0);
        *ARRAY_PUSH(m->arena, &timing->names) = names[i];
    }
    add(m, BLOCK_FIGURE, NULL)->figure = timing;
}

static void bottom_end(struct maker *m)
{
    begin(m, SECTION_CARD, "final:bottom-end", "Bottom end");
    m->section->place = "4 / 5";
    m->section->state = "Crankcase clean and proved; main feed plug in and locked. Trial build of the "
                        "mains done and out again: crank float found, shim chosen. Cylinders off.";
    heading(m, 2, "Take care");
    add(m, BLOCK_CAUTION, "Hot parts: the crankcase is heated to 95 \xc2\xb0" "C for the main "
                          "bearings. Gloves, dry hands, no oil on the bench.");
    add(m, BLOCK_CAUTION, "Heavy part: the crankshaft made up with its rods weighs 31 lb (14 kg).");
    kit_and_tools(m);
    bottom_end_steps(m);
    heading(m, 2, "Figures");
    figures(m);
    heading(m, 2, "Loose hardware counted back");
    static const struct head heads[] = {{"what", "Hardware", CELL_TEXT, 1},
                                        {"issued", "issued", CELL_COUNT, 0},
                                        {"fitted", "fitted", CELL_BLANK, 0},
                                        {"back", "back", CELL_BLANK, 0}};
    struct table *t = table(m, "back", heads, 4);
    struct cell *cells = row(m, t);
    cells[0] = text_cell("Cylinder nut 3/8 BSF");
    cells[1] = number_cell(CELL_COUNT, "8", 8, NULL);
    cells[2].kind = cells[3].kind = CELL_BLANK;
    cells = row(m, t);
    cells[0] = text_cell("Gallery plug 1/8 BSP");
    cells[1] = number_cell(CELL_COUNT, "13", 13, NULL);
    cells[2].kind = cells[3].kind = CELL_BLANK;
    add(m, BLOCK_TABLE, NULL)->table = t;
    add(m, BLOCK_SIGN_OFF, NULL);
    *ARRAY_PUSH(m->arena, &m->section->sources) = "Owner's handbook, 1934, p. 31: cylinder nuts, torque";
    *ARRAY_PUSH(m->arena, &m->section->sources) = "ISO 898-1, class 8.8: ceiling of the stud";
}

static struct table *limits_table(struct maker *m)
{
    static const struct head heads[] = {
        {"what", "What", CELL_TEXT, 3},     {"new", "New", CELL_TEXT, 2},
        {"worn", "Worn", CELL_QUANTITY, 0}, {"found", "Found", CELL_QUANTITY, 0},
        {"verdict", "Verdict", CELL_VERDICT, 0}};
    static const struct {
        const char *what, *new, *worn, *found;
        double worn_number, found_number;
        enum verdict verdict;
    } rows[] = {
        {"Piston skirt 1 in bore", "0.003 to 0.005 in (0.08 to 0.12 mm)", "0.008", "0.0041", 0.008,
         0.0041, VERDICT_INSIDE},
        {"Crankpin wear", "none (1.500 in original)", "0.002", "0.0035", 0.002, 0.0035,
         VERDICT_OUTSIDE},
        {"Valve spring free length", "1 3/4 in (44.5 mm)", "1.69", "1.702", 1.69, 1.702,
         VERDICT_NEAR_WORN}};

    struct table *t = table(m, "limits", heads, 5);
    for (size_t i = 0; i < 3; i++) {
        struct cell *cells = row(m, t);
        cells[0] = text_cell(rows[i].what);
        cells[1] = text_cell(rows[i].new);
        cells[2] = number_cell(CELL_QUANTITY, rows[i].worn, rows[i].worn_number, "in");
        cells[3] = number_cell(CELL_QUANTITY, rows[i].found, rows[i].found_number, "in");
        cells[4] = (struct cell){.kind = CELL_VERDICT, .verdict = rows[i].verdict,
                                 .text = rows[i].verdict == VERDICT_OUTSIDE ? "outside by 0.0015 in"
                                         : rows[i].verdict == VERDICT_INSIDE ? "inside"
                                                                             : "near the wear limit"};
    }
    return t;
}

static void limits(struct maker *m)
{
    begin(m, SECTION_SUMMARY, "limits", "All limits");
    add(m, BLOCK_TABLE, NULL)->table = limits_table(m);
}

/* ---------- sheets ---------- */

static struct table *to_buy(struct maker *m)
{
    static const struct head heads[] = {
        {"line", "Line", CELL_COUNT, 0},        {"what", "What to ask for", CELL_TEXT, 0},
        {"pieces", "Pieces to order", CELL_COUNT, 0}, {"price", "Price of one", CELL_MONEY, 0},
        {"total", "Line total", CELL_FORMULA, 0}, {"size", "Check when it comes", CELL_QUANTITY, 0},
        {"due", "Needed by", CELL_DATE, 0},     {"found", "Found", CELL_BLANK, 0}};
    static const struct {
        const char *what, *pieces, *price, *size, *due;
        double pieces_number, price_number, size_number;
    } rows[] = {
        {"Deep groove ball bearing 6206 C3, open, pressed steel cage", "2", "9.80", "61.987",
         "2026-05-01", 2, 9.80, 61.987},
        {"=2+3 looks like a formula, is a note", "10", "0.45", "9.525", "2026-06", 10, 0.45, 9.525},
        {"Tab washer _x0041_ 3/8", "4", "1.20", "10.0", "2026-05-11", 4, 1.20, 10}};
    struct table *t = table(m, "to-buy", heads, 8);

    for (size_t i = 0; i < 3; i++) {
        struct cell *cells = row(m, t);
        cells[0] = number_cell(CELL_COUNT, NULL, (double)(i + 1), NULL);
        cells[1] = text_cell(rows[i].what);
        cells[2] = number_cell(CELL_COUNT, rows[i].pieces, rows[i].pieces_number, NULL);
        cells[3] = number_cell(CELL_MONEY, rows[i].price, rows[i].price_number, "GBP");
        cells[4] = number_cell(CELL_FORMULA, "=[pieces]*[price]",
                               rows[i].pieces_number * rows[i].price_number, "GBP");
        cells[5] = number_cell(CELL_QUANTITY, rows[i].size, rows[i].size_number, "mm");
        cells[6] = (struct cell){.kind = CELL_DATE, .text = rows[i].due};
        cells[7].kind = CELL_BLANK;
    }
    struct cell *total = row(m, t);
    total[1] = text_cell("Total");
    total[4] = number_cell(CELL_FORMULA, "=SUM([total])", 2 * 9.80 + 10 * 0.45 + 4 * 1.20, "GBP");
    t->columns.items[7].fill = true;
    return t;
}

static void sheets(struct maker *m)
{
    struct sheet *about = ARENA_NEW(m->arena, struct sheet);
    struct sheet *buy = ARENA_NEW(m->arena, struct sheet);
    struct sheet *limits_sheet = ARENA_NEW(m->arena, struct sheet);

    *about = (struct sheet){.name = "About", .id = "about"};
    *ARRAY_PUSH(m->arena, &about->lines) = "Pintail, serial 9312";
    *ARRAY_PUSH(m->arena, &about->lines) = "To buy: what must be ordered";
    *buy = (struct sheet){.name = "To buy", .id = "to-buy", .table = to_buy(m)};
    *limits_sheet = (struct sheet){.name = "Limits", .id = "limits", .table = limits_table(m)};
    *ARRAY_PUSH(m->arena, &m->pack->sheets) = about;
    *ARRAY_PUSH(m->arena, &m->pack->sheets) = buy;
    *ARRAY_PUSH(m->arena, &m->pack->sheets) = limits_sheet;
}

static void readings_table(struct maker *m)
{
    static const char *const keys[] = {"id",    "kind", "value", "unit",  "using", "date",
                                       "by",    "where", "card",  "limit", "void",  "because"};
    struct table *t = ARENA_NEW(m->arena, struct table);

    t->id = "readings";
    for (size_t i = 0; i < 12; i++)
        *ARRAY_PUSH(m->arena, &t->columns) =
            (struct column){.key = keys[i], .heading = keys[i], .kind = CELL_TEXT};
    struct cell *cells = row(m, t);
    cells[0] = text_cell("top-ring-gap/1@bench");
    cells[1] = text_cell("measure");
    cells[2].kind = CELL_BLANK;
    cells[3] = text_cell("in");
    cells[8] = text_cell("final:bottom-end 9f2c41d07be85a33");
    cells[9] = text_cell("0.009 to 0.011 in (0.23 to 0.27 mm), \"by rule\"");
    cells = row(m, t);
    cells[0] = text_cell("=cmd|' /C calc'!A0");
    cells[9] = text_cell("-0.001..-0.0002 in");
    cells[11] = text_cell("two\nlines");
    m->pack->readings = t;
}

static void tags(struct maker *m)
{
    struct tag *tag = ARRAY_PUSH(m->arena, &m->pack->tags);

    *tag = (struct tag){.kind = TAG_BAG, .heading = "Bag", .id = "sump-nuts", .title = "Sump nuts"};
    ARRAY_PUSH(m->arena, &tag->facts);
    tag->facts.items[0].label = "Thread";
    tag->facts.items[0].text = "1/4 BSF";
    ARRAY_PUSH(m->arena, &tag->facts);
    tag->facts.items[1].label = "Length";
    tag->facts.items[1].text = NULL;
    tag = ARRAY_PUSH(m->arena, &m->pack->tags);
    *tag = (struct tag){.heading = "Part", .id = "valve/2-ex", .title = "Exhaust valve of cylinder 2"};
    tag->decide.items[tag->decide.count++] = "reuse";
    tag->decide.items[tag->decide.count++] = "renew";
}

/* A ring with a hole through it, one of two on its sheet. */
static void gaskets(struct maker *m)
{
    struct outline_shape *shape = ARENA_NEW(m->arena, struct outline_shape);
    struct gasket *gasket = ARENA_NEW(m->arena, struct gasket);
    struct part *part = ARENA_NEW(m->arena, struct part);
    struct cut_gasket *cut = ARRAY_PUSH(m->arena, &m->pack->gaskets);
    struct sheet_cut *sheet = ARENA_NEW(m->arena, struct sheet_cut);
    struct cut_sheet *page = ARRAY_PUSH(m->arena, &m->pack->cut_sheets);
    size_t unfit;

    *ARRAY_PUSH(m->arena, shape) = outline_circle(m->arena, 0, 0, 90);
    *ARRAY_PUSH(m->arena, shape) = outline_circle(m->arena, 0, 0, 60);
    outline_direct(&shape->items[1], false);
    *gasket = (struct gasket){.parts = ARENA_ARRAY(m->arena, struct part *, 1), .part_count = 1,
                              .shape = shape, .box = outline_box(&shape->items[0])};
    gasket->parts[0] = part;
    *cut = (struct cut_gasket){.id = "sump-gasket", .title = "Sump gasket", .gasket = gasket};
    *sheet = (struct sheet_cut){.name = "gasket-paper-04", .size = {300, 400, 5, 5},
                                .pieces = ARENA_ARRAY(m->arena, struct outline_piece, 2),
                                .piece_count = 2};
    *page = (struct cut_sheet){.title = "Gasket paper", .cut = sheet,
                               .gaskets = ARENA_ARRAY(m->arena, const struct cut_gasket *, 2)};
    for (int i = 0; i < 2; i++) {
        sheet->pieces[i] = (struct outline_piece){.width = 90, .height = 90};
        page->gaskets[i] = cut;
    }
    outline_nest(m->arena, sheet->size, sheet->pieces, 2, &sheet->sheets, &unfit);
    m->pack->printer_mm = 100;
}

static struct pack *empty_pack(struct arena *arena, const struct template *template)
{
    struct pack *pack = ARENA_NEW(arena, struct pack);

    pack->template = template;
    pack->id = "pintail";
    pack->title = "Pintail";
    pack->engine = "Pintail";
    pack->serial = "9312";
    pack->language = "en";
    pack->revision = "a1b2c3d, edited since";
    pack->date = 1769990400; /* 2026-02-02 */
    return pack;
}

struct pack *sample_pack(struct arena *arena, const struct template *template)
{
    struct maker m = {.arena = arena, .pack = empty_pack(arena, template)};

    cover(&m);
    overview(&m);
    bottom_end(&m);
    limits(&m);
    sheets(&m);
    readings_table(&m);
    tags(&m);
    gaskets(&m);
    return m.pack;
}

struct pack *sample_pack_of(struct arena *arena, const struct template *template, size_t cards,
                            size_t steps, size_t letters)
{
    struct maker m = {.arena = arena, .pack = empty_pack(arena, template)};
    char *word = arena_alloc(arena, letters + 1);

    memset(word, 'w', letters);
    cover(&m);
    for (size_t i = 0; i < cards; i++) {
        begin(&m, SECTION_CARD, str_print(arena, "final:card-%zu", i),
              str_print(arena, "Card %zu %s", i, word));
        m.section->place = str_print(arena, "%zu / %zu", i + 1, cards);
        m.section->state = word;
        kit_and_tools(&m);
        for (size_t j = 0; j < steps; j++) {
            struct step_block *s = step(&m, str_print(arena, "%zu", j + 1), "Fit",
                                        str_print(arena, "part-%zu-%zu %s", i, j, word));
            field(&m, s, "Into", word, false);
            field(&m, s, word, "Crankcase", true);
            reading(&m, s, word, word, word, "lbf ft");
            check(&m, s, CHECK_TICK, word);
            check(&m, s, CHECK_INITIALS, word);
            *ARRAY_PUSH(arena, &s->cautions) = word;
            *ARRAY_PUSH(arena, &s->last_chance) = word;
            s->before = j % 5 == 0 ? word : NULL;
            s->hold_point = j % 7 == 0;
            s->witness = word;
        }
        *ARRAY_PUSH(arena, &m.section->sources) = word;
    }
    limits(&m);
    sheets(&m);
    readings_table(&m);
    return m.pack;
}
