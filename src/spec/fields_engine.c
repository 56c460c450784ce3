/* fields_engine.c - the root of a spec, the engine, the sources, the shop and what else is no entry
 * that leads to an operation. */
#include "fields_private.h"

#include <string.h>

/* ---------- sources ---------- */

static const char *const levels[] = {"engine", "maker", "standard", "practice", NULL};

static void finish_source(struct reader *reader, void *item, const struct node *node)
{
    struct spec_source *source = item;

    (void)reader, (void)node;
    source->title = source->said.title.text;
    source->dated = source->said.dated.text;
    source->held = source->said.held.text;
    source->rank = (int)source->said.rank.value;
    for (int i = 0; levels[i]; i++)
        if (str_equal(levels[i], source->said.level.text))
            source->level = LEVEL_ENGINE + i;
}

static const struct field source_rows[] = {
    ROW("title", TEXT, struct spec_source, said.title, "what the source is called"),
    ROW("dated", TEXT, struct spec_source, said.dated, "when it was printed or written"),
    ROW("rank", NUMBER, struct spec_source, said.rank,
        "how far it is believed where sources disagree: 1 is best", .least = 1, .most = 1000),
    ROW("level", TEXT, struct spec_source, said.level, "how near it is to this engine",
        .words = levels),
    ROW("held", TEXT, struct spec_source, said.held, "where the copy is kept"),
};
static const struct fields source_fields = {
    .title = "a source", ROWS(source_rows), .size = sizeof(struct spec_source),
    .present = NOWHERE, .span = offsetof(struct spec_source, span),
    .id = offsetof(struct spec_source, id), .finish = finish_source};

/* ---------- engine ---------- */

static const struct field turns_rows[] = {
    ROW("way", TEXT, struct engine, turns_way, "which way the crankshaft turns",
        .words = WORDS("clockwise", "anticlockwise")),
    ROW("seen-from", TEXT, struct engine, turns_seen_from, "from which end that is seen"),
};
static const struct fields turns_fields = {
    .title = "`turns`", ROWS(turns_rows), .present = NOWHERE, .span = NOWHERE, .id = NOWHERE};

/* Every cylinder fires once: a missing or doubled one is a slip of the pen that sets the timing
 * of the wrong cylinder. */
static void finish_engine_links(struct reader *reader, void *item)
{
    const struct engine *engine = item;
    const struct texts *order = &engine->firing_order;

    for (size_t i = 0; i < order->count; i++)
        for (size_t k = 0; k < i; k++)
            if (str_equal(order->items[i].text, order->items[k].text)) {
                struct diag *diag =
                    fault(reader, DIAG_SPEC_FIRING_ORDER, order->items[i].span,
                          "cylinder %s stands twice in the firing order", order->items[i].text);
                fault_label(reader, diag, order->items[k].span, "first here");
                return;
            }
    if (order->count > 0 && order->count < engine->cylinder_count)
        fault(reader, DIAG_SPEC_FIRING_ORDER, order->items[order->count - 1].span,
              "the firing order has %zu of %zu cylinders", order->count, engine->cylinder_count);
}

static const struct field engine_rows[] = {
    ROW("name", TEXT, struct engine, name, "what the engine is called", .flags = NEEDED),
    ROW("maker", TEXT, struct engine, maker, "who made it"),
    ROW("serial", TEXT, struct engine, serial, "its serial number; `applies` looks at it",
        .flags = UNKNOWN_TAKEN),
    ROW("built", DATE, struct engine, built, "when it was made; `applies` looks at it",
        .flags = UNKNOWN_TAKEN),
    ROW("variant", TEXT, struct engine, variant, "which of several kinds it is; `applies` looks at it"),
    ROW("duty", TEXT, struct engine, duty, "what it is used for", .flags = SUGGESTED,
        .words = WORDS("stationary", "marine", "aircraft", "road", "rail", "agricultural")),
    ROW("cycle", TEXT, struct engine, cycle, "in a four-stroke, settings must say firing or overlap",
        .words = WORDS("four-stroke", "two-stroke")),
    ROW("cylinders", CYLINDERS, struct engine, cylinders, "how many, or their names in a list"),
    ROW("places", PLACES, struct engine, places, "names of places, each with its list"),
    ROW("bore", CLAIM, struct engine, bore, "diameter of the cylinder, as designed",
        .dims = DIM(LENGTH), .takes = A_SIZE),
    ROW("stroke", CLAIM, struct engine, stroke, "travel of the piston", .dims = DIM(LENGTH),
        .takes = A_SIZE),
    ROW("rod-length", CLAIM, struct engine, rod_length, "between the centres of the rod's eyes",
        .dims = DIM(LENGTH), .takes = A_SIZE),
    ROW("turns", MAP, struct engine, turns_way, "which way it turns", .flags = INLINE,
        .sub = &turns_fields),
    ROW("firing-order", TEXTS, struct engine, firing_order, "the cylinders in the order of firing",
        .names = NAMES_CYLINDER),
    ROW("weight", CLAIM, struct engine, weight, "of the whole engine", .dims = DIM(MASS),
        .takes = MAYBE_UNKNOWN),
    ROW("hours", CLAIM, struct engine, hours, "run so far", .dims = DIM(TIME),
        .takes = MAYBE_UNKNOWN),
    ROW("next-overhaul", CLAIM, struct engine, next_overhaul, "hours at which it is due",
        .dims = DIM(TIME), .takes = A_FIGURE),
    ROW("currency", TEXT, struct engine, currency, "in which costs are added up",
        .names = NAMES_CURRENCY),
};
static const struct fields engine_fields = {
    .title = "the engine", ROWS(engine_rows), .size = sizeof(struct engine), .present = NOWHERE,
    .span = offsetof(struct engine, span), .id = NOWHERE, .finish_links = finish_engine_links};

/* ---------- shop ---------- */

static const struct field wrench_rows[] = {
    ROW("name", TEXT, struct wrench, name, "as printed; the id when left out"),
    ROW("range", CLAIM, struct wrench, range, "between its lowest and highest setting",
        .dims = DIM(TORQUE), .takes = QTY_TAKE_LIMITS),
    ROW("division", CLAIM, struct wrench, division, "one step of its scale", .dims = DIM(TORQUE)),
    ROW("length", CLAIM, struct wrench, length, "from the square to the middle of the grip",
        .dims = DIM(LENGTH)),
    ROW("checked", DATE, struct wrench, checked, "when it was last checked",
        .flags = UNKNOWN_TAKEN),
};
static const struct fields wrench_fields = {
    .title = "a wrench", ROWS(wrench_rows), .size = sizeof(struct wrench), .present = NOWHERE,
    .span = offsetof(struct wrench, span), .id = offsetof(struct wrench, id)};

/* In the order of gauge_dims. */
static const char *const gauge_words[] = {"length", "mass",  "force", "torque", "pressure", "temperature",
                                          "time",   "angle", "volume", "speed", NULL};
static const enum qty_dim gauge_dims[] = {QTY_LENGTH, QTY_MASS, QTY_FORCE, QTY_TORQUE, QTY_STRESS,
                                          QTY_TEMPERATURE, QTY_TIME, QTY_ANGLE, QTY_VOLUME,
                                          QTY_SPEED};

enum qty_dim gauge_dim(const struct gauge *gauge)
{
    for (size_t i = 0; gauge_words[i]; i++)
        if (str_equal(gauge_words[i], gauge->measures.text))
            return gauge_dims[i];
    return QTY_NONE;
}

static void finish_gauge(struct reader *reader, void *item, const struct node *node)
{
    const struct gauge *gauge = item;
    enum qty_dim dim = gauge_dim(gauge), found = gauge->uncertainty.value.nominal.dim;
    struct diag *diag;

    (void)node;
    if (dim == QTY_TEMPERATURE)
        dim = QTY_TEMPERATURE_DIFFERENCE;
    if (dim == QTY_NONE || !gauge->uncertainty.present || dim == found)
        return;
    diag = fault(reader, DIAG_SPEC_GAUGE, gauge->uncertainty.span,
                 "the gauge measures %s, but its uncertainty is a %s", gauge->measures.text,
                 qty_dim_name(found));
    if (dim == QTY_ANGLE && found == QTY_TIME)
        fault_fix(reader, diag, gauge->uncertainty.span,
                  str_print(reader->arena, "0 deg %s", gauge->uncertainty.value.text));
    else
        fault_hint(reader, diag, "give it in a unit of %s", gauge->measures.text);
}
static const struct field gauge_rows[] = {
    ROW("name", TEXT, struct gauge, name, "as printed; the id when left out"),
    ROW("measures", TEXT, struct gauge, measures, "what it reads",
        .words = gauge_words),
    ROW("uncertainty", CLAIM, struct gauge, uncertainty, "how far it may be out, either way",
        .dims = (READ_IN & ~DIM(TEMPERATURE)) | DIM(TEMPERATURE_DIFFERENCE)),
    ROW("checked", DATE, struct gauge, checked, "when it was last checked",
        .flags = UNKNOWN_TAKEN),
};
const struct fields gauge_fields = {
    .title = "a gauge", ROWS(gauge_rows), .size = sizeof(struct gauge), .present = NOWHERE,
    .span = offsetof(struct gauge, span), .id = offsetof(struct gauge, id),
    .finish = finish_gauge};

static const struct field tool_rows[] = {
    ROW("name", TEXT, struct tool, name, "as printed; the id when left out"),
    ROW("note", TEXT, struct tool, note, "printed beside it"),
    ROW("borrowed", FLAG, struct tool, borrowed, "must be asked for before the card begins"),
};
const struct fields tool_fields = {
    .title = "a tool", ROWS(tool_rows), .size = sizeof(struct tool), .present = NOWHERE,
    .span = offsetof(struct tool, span), .id = offsetof(struct tool, id)};

static const struct field adapter_rows[] = {
    ROW("name", TEXT, struct adapter, name, "as printed; the id when left out"),
    ROW("offset", CLAIM, struct adapter, offset, "from the wrench's square to the fastener",
        .dims = DIM(LENGTH)),
    ROW("angle", CLAIM, struct adapter, angle, "between adapter and handle; 0 deg is straight out",
        .dims = DIM(ANGLE)),
};
const struct fields adapter_fields = {
    .title = "an adapter", ROWS(adapter_rows), .size = sizeof(struct adapter), .present = NOWHERE,
    .span = offsetof(struct adapter, span), .id = offsetof(struct adapter, id)};

static const struct field oven_rows[] = {
    ROW("name", TEXT, struct oven, name, "as printed; the id when left out"),
    ROW("up-to", CLAIM, struct oven, up_to, "the hottest it goes", .dims = DIM(TEMPERATURE)),
};
static const struct fields oven_fields = {
    .title = "an oven", ROWS(oven_rows), .size = sizeof(struct oven), .present = NOWHERE,
    .span = offsetof(struct oven, span), .id = offsetof(struct oven, id)};

static const struct field condition_rows[] = {
    ROW("lubricant", TEXT, struct condition, lubricant, "what is on the thread",
        .names = NAMES_LUBRICANT),
    ROW("plating", TEXT, struct condition, plating, "what the thread is plated with, or none",
        .names = NAMES_PLATING),
    ROW("fastener", TEXT, struct condition, fastener, "new or reused", .names = NAMES_FASTENER),
};
const struct fields shop_condition_fields = {
    .title = "a condition", ROWS(condition_rows), .size = sizeof(struct condition),
    .present = offsetof(struct condition, present), .span = offsetof(struct condition, span),
    .id = offsetof(struct condition, name)};

static const struct field shop_rows[] = {
    ROW("wrenches", TABLE, struct shop, wrenches, "torque wrenches, by id", .sub = &wrench_fields),
    ROW("gauges", TABLE, struct shop, gauges, "measuring instruments, by id", .sub = &gauge_fields),
    ROW("tools", TABLE, struct shop, tools, "other tools, by id", .sub = &tool_fields),
    ROW("adapters", TABLE, struct shop, adapters, "crow-feet and the like, by id",
        .sub = &adapter_fields),
    ROW("ovens", TABLE, struct shop, ovens, "what parts are heated in, by id", .sub = &oven_fields),
    ROW("conditions", TABLE, struct shop, conditions, "conditions of a thread, by id",
        .sub = &shop_condition_fields),
    ROW("prefer", UNITS, struct shop, prefer, "units that are printed first"),
    ROW("room", CLAIM, struct shop, room, "temperature of the room", .dims = DIM(TEMPERATURE)),
    ROW("printer", CLAIM, struct shop, printer,
        "what the check bar of 100 mm measured on its last print", .dims = DIM(LENGTH)),
};
/* A printer is out by a few in a hundred at most; more is a bar that was measured in another unit. */
static void finish_shop(struct reader *reader, void *item, const struct node *node)
{
    const struct claim *printer = &((const struct shop *)item)->printer;

    (void)node;
    if (printer->present &&
        (printer->value.nominal.si < 0.095 || printer->value.nominal.si > 0.105))
        fault_hint(reader, fault(reader, DIAG_SPEC_PRINTER, printer->span,
                                 "a bar of 100 mm does not come out as %s", printer->value.text),
                   "measure the bar that is marked 100 mm; print at 100%%, without fitting to the "
                   "page");
}
static const struct fields shop_fields = {
    .title = "the shop", ROWS(shop_rows), .size = sizeof(struct shop), .present = NOWHERE,
    .span = NOWHERE, .id = NOWHERE, .finish = finish_shop};

/* ---------- what is bought, from whom, and of what ---------- */

static const struct field consumable_rows[] = {
    ROW("name", TEXT, struct consumable, name, "as printed; the id when left out"),
    ROW("number", TEXT, struct consumable, number, "order number", .flags = UNKNOWN_TAKEN),
    ROW("open-time", CLAIM, struct consumable, open_time,
        "from spreading to the last joint of the face", .dims = DIM(TIME)),
    ROW("cures", CLAIM, struct consumable, cures, "until it may be filled, proved or run",
        .dims = DIM(TIME), .takes = A_RANGE),
    ROW("supplier", TEXT, struct consumable, supplier, "who sells it", .names = NAMES_SUPPLIER),
    ROW("pack-of", CLAIM, struct consumable, pack_of, "pieces, mass or volume of what is sold as one",
        .dims = DIM(COUNT) | DIM(MASS) | DIM(VOLUME) | DIM(LENGTH)),
    ROW("price", CLAIM, struct consumable, price, "of a pack", .dims = DIM(MONEY)),
};
const struct fields consumable_fields = {
    .title = "a consumable", ROWS(consumable_rows), .size = sizeof(struct consumable),
    .present = NOWHERE, .span = offsetof(struct consumable, span),
    .id = offsetof(struct consumable, id)};

static const struct field supplier_rows[] = {
    ROW("name", TEXT, struct supplier, name, "as printed; the id when left out"),
    ROW("lead", CLAIM, struct supplier, lead, "from order to delivery", .dims = DIM(TIME),
        .takes = A_RANGE),
    ROW("currency", TEXT, struct supplier, currency, "in which it is paid",
        .names = NAMES_CURRENCY),
    ROW("least-order", CLAIM, struct supplier, least_order, "the smallest order taken",
        .dims = DIM(MONEY)),
};
const struct fields supplier_fields = {
    .title = "a supplier", ROWS(supplier_rows), .size = sizeof(struct supplier),
    .present = NOWHERE, .span = offsetof(struct supplier, span),
    .id = offsetof(struct supplier, id)};

static const struct field material_rows[] = {
    ROW("like", TEXT, struct material, like, "the material of the table whose row it changes",
        .flags = NEEDED, .names = NAMES_ROW_MATERIAL),
    ROW("expansion", CLAIM, struct material, expansion, "growth with heat", .dims = DIM(EXPANSION),
        .takes = A_RANGE),
    ROW("modulus", CLAIM, struct material, modulus, "of elasticity", .dims = DIM(STRESS),
        .takes = A_RANGE),
    ROW("density", CLAIM, struct material, density, "mass of a volume", .dims = DIM(DENSITY)),
    ROW("poisson", CLAIM, struct material, poisson, "Poisson's ratio", .dims = DIM(RATIO)),
};
const struct fields material_fields = {
    .title = "a material", ROWS(material_rows), .size = sizeof(struct material),
    .present = NOWHERE, .span = offsetof(struct material, span),
    .id = offsetof(struct material, id)};

static const struct field card_rows[] = {
    ROW("title", TEXT, struct card, title, "printed at its head"),
    ROW("starts", REF, struct card, starts, "the entry with whose first operation it begins",
        .flags = NEEDED | SEVERAL, .targets = TO_ANY),
};
static const struct fields card_fields = {
    .title = "a card", ROWS(card_rows), .size = sizeof(struct card), .present = NOWHERE,
    .span = offsetof(struct card, span), .id = offsetof(struct card, id)};

static const struct field history_rows[] = {
    ROW("date", DATE, struct history, date, "when", .flags = UNKNOWN_TAKEN),
    ROW("did", TEXT, struct history, did, "what was done"),
    ROW("hours", CLAIM, struct history, hours, "run at that time", .dims = DIM(TIME),
        .takes = MAYBE_UNKNOWN),
    ROW("of", REFS, struct history, of, "the parts it concerns; the engine when left out",
        .targets = TO(PART)),
    ROW("evidence", TEXT, struct history, evidence, "how it is known"),
};
static const struct fields history_fields = {
    .title = "a line of history", ROWS(history_rows), .size = sizeof(struct history),
    .present = NOWHERE, .span = offsetof(struct history, span), .id = NOWHERE};

/* ---------- the root ---------- */

#define SECTION(key_, list_, help_, fields_)                                                        \
    {.key = key_, .kind = FIELD_SECTION, .offset = offsetof(struct spec, list_), .help = help_,    \
     .sub = &fields_}

/* In the order in which they are read: a value names its source, an entry its place. */
static const struct field spec_rows[] = {
    {.key = "gudgeon", .kind = FIELD_SEEN_TO, .help = "the version of the language: 1; comes first"},
    {.key = "use", .kind = FIELD_SEEN_TO, .help = "files whose sections and tables are read before this one"},
    {.key = "base", .kind = FIELD_SEEN_TO, .help = "the spec that this one is laid over"},
    ROW("sources", TABLE, struct spec, sources, "books, drawings and logs that values come from",
        .flags = FOUNDATION, .sub = &source_fields),
    ROW("engine", MAP, struct spec, engine, "what is rebuilt", .flags = NEEDED | FOUNDATION,
        .sub = &engine_fields),
    ROW("shop", MAP, struct spec, shop, "what the work is done with", .flags = FOUNDATION, .sub = &shop_fields),
    ROW("consumables", TABLE, struct spec, consumables, "oils, pastes, sealants",
        .flags = FOUNDATION, .sub = &consumable_fields),
    ROW("suppliers", TABLE, struct spec, suppliers, "who sells and who does outwork",
        .flags = FOUNDATION, .sub = &supplier_fields),
    ROW("sheets", TABLE, struct spec, sheets, "sheets that gaskets are cut from, as sold",
        .flags = FOUNDATION, .sub = &sheet_fields),
    ROW("materials", TABLE, struct spec, materials, "rows of the table of materials, changed",
        .flags = FOUNDATION, .sub = &material_fields),
    SECTION("parts", parts, "what the engine is made of", part_fields),
    SECTION("joints", joints, "what is tightened", joint_fields),
    SECTION("fits", fits, "one part in another", fit_fields),
    SECTION("limits", limits, "what is measured and must lie within limits", limit_fields),
    SECTION("settings", settings, "what is set: ignition, tappets, timing", setting_fields),
    SECTION("openings", openings, "ways into the engine that something closes", opening_fields),
    SECTION("passages", passages, "ways for oil, water, fuel and air", passage_fields),
    SECTION("seals", seals, "faces that must not leak", seal_fields),
    SECTION("steps", steps, "work that no other fact implies", step_fields),
    SECTION("trials", trials, "put together to find something out, and taken apart", trial_fields),
    SECTION("outwork", outwork, "work that is sent away", outwork_fields),
    SECTION("running-in", runs, "what is done from the first start on", run_fields),
    ROW("cards", TABLE, struct spec, cards, "where a card begins, beside the usual",
        .sub = &card_fields),
    ROW("history", LIST, struct spec, history, "what was done to the engine before",
        .sub = &history_fields),
    ROW("readings", TEXTS, struct spec, readings, "files of filled-in readings"),
    ROW("quotes", TEXTS, struct spec, quotes, "files of offers"),
    ROW("budget", CLAIM, struct spec, budget, "what may be spent", .dims = DIM(MONEY)),
};
const struct fields spec_fields = {.title = "a spec", ROWS(spec_rows), .size = sizeof(struct spec),
                                   .present = NOWHERE, .span = NOWHERE, .id = NOWHERE};

#define OF(kind_, key_, name_, fields_, list_)                                                      \
    [ENTRY_##kind_] = {key_, name_, &fields_, offsetof(struct spec, list_)}
const struct section sections[ENTRY_KIND_COUNT] = {
    OF(PART, "parts", "part", part_fields, parts),
    OF(JOINT, "joints", "joint", joint_fields, joints),
    OF(FIT, "fits", "fit", fit_fields, fits),
    OF(LIMIT, "limits", "limit", limit_fields, limits),
    OF(SETTING, "settings", "setting", setting_fields, settings),
    OF(OPENING, "openings", "opening", opening_fields, openings),
    OF(PASSAGE, "passages", "passage", passage_fields, passages),
    OF(SEAL, "seals", "seal", seal_fields, seals),
    OF(STEP, "steps", "step", step_fields, steps),
    OF(TRIAL, "trials", "trial", trial_fields, trials),
    OF(OUTWORK, "outwork", "outwork", outwork_fields, outwork),
    OF(RUN, "running-in", "running-in entry", run_fields, runs),
};
