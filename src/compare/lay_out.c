/* lay_out.c - a comparison as a pack: one section to print, a sheet for each kind of difference. */
#include "lay_out_private.h"

static void add_table(struct layer *layer, struct section *section, const char *heading,
                      const struct table *table)
{
    if (table->rows.count == 0)
        return;
    block_heading(layer->packer, section, 2, heading);
    block_add(layer->packer, section, BLOCK_TABLE)->table = table;
}

static void add_sheet(struct layer *layer, const char *name, const struct table *table)
{
    if (table->rows.count)
        sheet_new(layer->packer, table->id, name)->table = table;
}

/* ---------- what is compared ---------- */

static const char *side_text(struct layer *layer, const struct compare_side *side)
{
    const struct engine *engine = &side->plan->build->spec->engine;
    struct str_buf text = {.arena = layer->arena};

    str_add_print(&text, "%s", side->name);
    if (side->revision)
        str_add_print(&text, " · %s", side->revision);
    str_add_print(&text, " · %s", engine->name.text);
    if (engine->serial.text && !engine->serial.unknown)
        str_add_print(&text, " %s", engine->serial.text);
    if (engine->variant.text)
        str_add_print(&text, " · %s", engine->variant.text);
    return text.bytes;
}

static void add_count(struct layer *layer, struct block *facts, const char *words, size_t count)
{
    block_fact(layer->packer, facts, words, str_print(layer->arena, "%zu", count));
}

static struct block *add_sides(struct layer *layer, struct section *section)
{
    const struct comparison *c = layer->comparison;
    struct block *facts = block_add(layer->packer, section, BLOCK_FACTS);

    block_fact(layer->packer, facts, compare_side_word(layer, false), side_text(layer, &c->was));
    block_fact(layer->packer, facts, compare_side_word(layer, true), side_text(layer, &c->is));
    return facts;
}

static void add_head(struct layer *layer, struct section *section)
{
    const struct comparison *c = layer->comparison;
    struct packer *p = layer->packer;
    struct block *facts = add_sides(layer, section);

    if (compare_is_same(c)) {
        block_text(p, section, L(p, "compare.nothing"));
        return;
    }
    add_count(layer, facts, L(p, "compare.print-again"), c->card_count[CHANGE_CHANGED]);
    if (c->card_count[CHANGE_NEW])
        add_count(layer, facts, L(p, "compare.print-new"), c->card_count[CHANGE_NEW]);
    if (c->card_count[CHANGE_GONE])
        add_count(layer, facts, L(p, "compare.throw-away"), c->card_count[CHANGE_GONE]);
    add_count(layer, facts, L(p, "compare.still-valid"),
              c->card_count[CHANGE_NONE] + c->card_count[CHANGE_RESPELT]);
}

/* ---------- sections ---------- */

/* Names by phase: a strip card and a card of the final build may be called the same. */
static void add_names(struct layer *layer, struct section *section, enum card_list list,
                      const char *words)
{
    const struct comparison *c = layer->comparison;
    struct packer *p = layer->packer;
    struct block *facts = NULL;

    for (int phase = 0; phase < PHASE_COUNT; phase++) {
        struct str_buf names = {.arena = layer->arena};
        for (size_t i = 0; i < c->cards.count; i++) {
            const struct section *card = c->cards.items[i].is;
            if (compare_card_list(layer, &c->cards.items[i]) == list &&
                card->card->phase == (enum phase)phase)
                str_add_print(&names, "%s%s", names.length ? "; " : "", card->title);
        }
        if (!names.length)
            continue;
        if (!facts) {
            block_heading(p, section, 3, words);
            facts = block_add(p, section, BLOCK_FACTS);
        }
        block_fact(p, facts, label_of(p, "phase", phase_name((enum phase)phase)), names.bytes);
    }
}

static void add_state(struct layer *layer, struct section *section)
{
    struct packer *p = layer->packer;

    add_table(layer, section, L(p, "compare.cards"), compare_card_table(layer, false));
    add_names(layer, section, CARD_STATE, L(p, "compare.state-alone"));
    if (!compare_is_same(layer->comparison)) {
        add_names(layer, section, CARD_VALID, L(p, "compare.still-valid"));
        add_names(layer, section, CARD_RESPELT, L(p, "change.respelt"));
    }
    add_table(layer, section, L(p, "compare.values"), compare_value_table(layer));
    add_table(layer, section, L(p, "compare.order"), compare_order_table(layer));
    add_table(layer, section, L(p, "sheet.to-buy"), compare_purchase_table(layer));
    add_table(layer, section, L(p, "sheet.parts"), compare_edit_table(layer, true));
    add_table(layer, section, L(p, "compare.weights"), compare_weight_table(layer, false));
    add_table(layer, section, L(p, "compare.written"), compare_edit_table(layer, false));
}

static void add_engines(struct layer *layer, struct section *section)
{
    struct packer *p = layer->packer;

    compare_add_engines(layer, section);
    add_table(layer, section, L(p, "compare.weights"), compare_weight_table(layer, false));
    add_table(layer, section, L(p, "compare.values-shared"), compare_value_table(layer));
    block_heading(p, section, 3, L(p, "compare.title"));
    add_sides(layer, section);
}

static void add_sheets(struct layer *layer)
{
    const struct comparison *c = layer->comparison;
    struct packer *p = layer->packer;
    struct sheet *about = sheet_new(p, "about", L(p, "sheet.about"));

    *ARRAY_PUSH(layer->arena, &about->lines) = p->pack->title;
    *ARRAY_PUSH(layer->arena, &about->lines) = side_text(layer, &c->was);
    *ARRAY_PUSH(layer->arena, &about->lines) = side_text(layer, &c->is);
    if (compare_is_same(c))
        *ARRAY_PUSH(layer->arena, &about->lines) = L(p, "compare.nothing");
    if (!c->engines)
        add_sheet(layer, L(p, "compare.cards"), compare_card_table(layer, true));
    add_sheet(layer, L(p, "compare.values"), compare_value_table(layer));
    if (!c->engines)
        add_sheet(layer, L(p, "compare.order"), compare_order_table(layer));
    add_sheet(layer, L(p, "sheet.to-buy"), compare_purchase_table(layer));
    add_sheet(layer, L(p, "sheet.parts"), compare_edit_table(layer, true));
    add_sheet(layer, L(p, "compare.weights"), compare_weight_table(layer, true));
    add_sheet(layer, L(p, "compare.written"), compare_edit_table(layer, false));
}

/* The unit in which the engine itself is weighed. */
static void choose_unit(struct layer *layer)
{
    const struct claim *weights[] = {&layer->comparison->is.plan->build->spec->engine.weight,
                                     &layer->comparison->was.plan->build->spec->engine.weight};

    layer->mass_unit = qty_unit_find("kg", QTY_MASS);
    for (int i = 1; i >= 0; i--)
        if (weights[i]->present && weights[i]->value.nominal.unit)
            layer->mass_unit = weights[i]->value.nominal.unit;
    layer->mass_places = str_equal(layer->mass_unit->name, "kg") ? 3 : 2;
}

struct pack *compare_lay_out(struct context *context, const struct comparison *comparison,
                             const char *template_path)
{
    const struct spec *was = comparison->was.plan->build->spec;
    struct packer *packer = packer_start(context, template_path, comparison->is.plan->build);

    if (!packer)
        return NULL;
    struct layer layer = {.packer = packer, .arena = context->arena, .comparison = comparison};
    struct pack *pack = packer->pack;
    pack->file = pack->id = "comparison";
    pack->engine = packer->spec->engine.name.text;
    pack->title = str_print(context->arena, "%s: %s", L(packer, "compare.title"), pack->engine);
    if (comparison->engines)
        pack->title = pack->engine =
            str_print(context->arena, "%s · %s", was->engine.name.text, pack->engine);
    else if (str_equal(was->engine.serial.text, packer->spec->engine.serial.text))
        pack->serial = packer->spec->engine.serial.text;
    pack->revision = comparison->is.revision;
    pack->date = comparison->is.pack->date;
    choose_unit(&layer);
    struct section *section =
        section_new(packer, SECTION_SUMMARY, "comparison",
                    L(packer, comparison->engines ? "compare.title-engines" : "compare.title"));
    if (comparison->engines) {
        add_engines(&layer, section);
    } else {
        add_head(&layer, section);
        add_state(&layer, section);
    }
    add_sheets(&layer);
    return pack;
}
