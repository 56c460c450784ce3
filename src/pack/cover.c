/* cover.c - the cover and the overview of the order. */
#include "pack_private.h"

#include <math.h>

static const char *counted(struct packer *packer, size_t count)
{
    return str_print(packer->arena, "%zu", count);
}

static const char *money(struct packer *packer, int64_t minor)
{
    return str_print(packer->arena, "%lld.%02d %s", (long long)(minor / 100), (int)(minor % 100),
                     packer->spec->engine.currency.text ? packer->spec->engine.currency.text : "");
}

static const char *joined(struct packer *packer, const char *a, const char *between, const char *b)
{
    if (!a || !b)
        return a ? a : b;
    return str_print(packer->arena, "%s %s %s", a, between, b);
}

static void engine_facts(struct packer *packer, struct block *facts)
{
    const struct engine *engine = &packer->spec->engine;

    block_fact(packer, facts, L(packer, "cover.engine"), engine->name.text);
    block_fact(packer, facts, L(packer, "cover.maker"), engine->maker.text);
    block_fact(packer, facts, L(packer, "cover.serial"), engine->serial.text);
    block_fact(packer, facts, L(packer, "cover.built"), text_of_date(packer, &engine->built));
    block_fact(packer, facts, L(packer, "cover.variant"), engine->variant.text);
    block_fact(packer, facts, L(packer, "cover.duty"), engine->duty.text);
    block_fact(packer, facts, L(packer, "cover.cycle"), engine->cycle.text);
    block_fact(packer, facts, L(packer, "cover.bore-stroke"),
               joined(packer, text_of_claim(packer, &engine->bore), "×",
                      text_of_claim(packer, &engine->stroke)));
    block_fact(packer, facts, L(packer, "cover.rod-length"),
               text_of_claim(packer, &engine->rod_length));
    block_fact(packer, facts, L(packer, "cover.turns"),
               joined(packer, engine->turns_way.text, L(packer, "cover.seen-from"),
                      engine->turns_seen_from.text));
    block_fact(packer, facts, L(packer, "cover.firing-order"),
               text_of_texts(packer, &engine->firing_order));
    block_fact(packer, facts, L(packer, "cover.weight"), text_of_claim(packer, &engine->weight));
    block_fact(packer, facts, L(packer, "cover.hours"), text_of_claim(packer, &engine->hours));
    block_fact(packer, facts, L(packer, "cover.next-overhaul"),
               text_of_claim(packer, &engine->next_overhaul));
}

static size_t accepted(const struct spec *spec)
{
    size_t count = 0;

    for (size_t i = 0; i < spec->entries.count; i++)
        for (size_t j = 0; j < spec->entries.items[i]->accept.count; j++)
            count += spec->entries.items[i]->accept.items[j].used;
    return count;
}

static void job_facts(struct packer *packer, struct block *facts)
{
    const struct build *build = packer->build;

    block_fact(packer, facts, L(packer, "cover.cards"), counted(packer, packer->plan->cards.count));
    block_fact(packer, facts, L(packer, "cover.operations"),
               counted(packer, packer->plan->operations.count));
    block_fact(packer, facts, L(packer, "cover.open-questions"),
               counted(packer, build->questions.count));
    block_fact(packer, facts, L(packer, "cover.warnings-accepted"),
               counted(packer, accepted(packer->spec)));
    block_fact(packer, facts, L(packer, "cover.to-buy"), counted(packer, build->purchases.count));
    if (build->cost_minor > 0)
        block_fact(packer, facts, L(packer, "cover.cost"), money(packer, build->cost_minor));
    block_fact(packer, facts, L(packer, "cover.unpriced"), counted(packer, build->unpriced));
    block_fact(packer, facts, L(packer, "cover.budget"),
               text_of_claim(packer, &packer->spec->budget));
}

static void cover_caution(struct packer *packer, void *user, const struct table_caution *caution)
{
    struct section *section = user;
    const char *text = caution_text(packer, caution);

    if (!caution->cover)
        return;
    for (size_t i = 0; i < section->blocks.count; i++)
        if (section->blocks.items[i]->kind == BLOCK_CAUTION &&
            strcmp(section->blocks.items[i]->text, text) == 0)
            return;
    block_add(packer, section, BLOCK_CAUTION)->text = text;
}

static void how_to_read(struct packer *packer, struct section *section)
{
    static const char *const keys[] = {"cover.how-tick", "cover.how-torque", "cover.how-blank",
                                       "cover.how-hold", "cover.how-derived", "cover.how-stop"};

    block_heading(packer, section, 2, L(packer, "cover.how-to-read"));
    for (size_t i = 0; i < sizeof keys / sizeof *keys; i++)
        block_text(packer, section, label(packer->labels, keys[i]));
}

void add_cover(struct packer *packer)
{
    struct section *section =
        section_new(packer, SECTION_COVER, "cover", L(packer, "cover.title"));

    engine_facts(packer, block_add(packer, section, BLOCK_FACTS));
    job_facts(packer, block_add(packer, section, BLOCK_FACTS));
    block_heading(packer, section, 2, L(packer, "cover.cautions"));
    struct table_cautions always =
        table_caution_find(packer->arena, packer->context->tables, "always", NULL, NAN);
    for (size_t i = 0; i < always.count; i++)
        cover_caution(packer, section, always.items[i]);
    struct table_cautions duty =
        table_caution_find(packer->arena, packer->context->tables, "duty",
                           packer->spec->engine.duty.text, NAN);
    for (size_t i = 0; i < duty.count; i++)
        cover_caution(packer, section, duty.items[i]);
    for (size_t i = 0; i < packer->plan->cards.count; i++)
        cautions_of_card(packer, &packer->plan->cards.items[i], cover_caution, section);
    for (size_t i = 0; i < packer->plan->operations.count; i++)
        cautions_of(packer, packer->plan->operations.items[i], cover_caution, section);
    how_to_read(packer, section);
    block_heading(packer, section, 2, L(packer, "cover.contents"));
    block_add(packer, section, BLOCK_CONTENTS);
}

/* The waits of a card: what must stand or cure before the next thing. */
static const char *waits(struct packer *packer, const struct plan_card *card)
{
    struct str_buf text = {.arena = packer->arena};

    for (size_t i = 0; i < card->count; i++) {
        const struct operation *op = card->operations[i];
        if (op->at_least_s > 0)
            str_add_print(&text, text.length ? ", %s" : "%s",
                          qty_print_plain(packer->arena,
                                          qty_from_si((double)op->at_least_s, QTY_TIME)));
    }
    return text.length ? text.bytes : NULL;
}

void add_overview(struct packer *packer)
{
    struct section *section =
        section_new(packer, SECTION_OVERVIEW, "overview", L(packer, "overview.title"));
    struct table *table = table_new(packer, "overview");

    table_column(packer, table, "number", L(packer, "overview.number"), CELL_COUNT, 0);
    table_column(packer, table, "card", L(packer, "overview.card"), CELL_TEXT, 6);
    table_column(packer, table, "phase", L(packer, "overview.phase"), CELL_TEXT, 0);
    table_column(packer, table, "steps", L(packer, "overview.steps"), CELL_COUNT, 0);
    table_column(packer, table, "waits", L(packer, "overview.waits"), CELL_TEXT, 2);
    table_column(packer, table, "done", L(packer, "overview.done-on"), CELL_BLANK, 2);
    table_column(packer, table, "by", L(packer, "overview.by"), CELL_BLANK, 1);
    for (size_t i = 0; i < packer->plan->cards.count; i++) {
        const struct plan_card *card = &packer->plan->cards.items[i];
        struct cell *row = table_row_new(packer, table);
        row[0] = cell_count(packer, (int64_t)i + 1);
        row[1] = cell_text(card_title(packer, card));
        row[2] = cell_text(label_of(packer, "phase", phase_name(card->phase)));
        row[3] = cell_count(packer, (int64_t)card->count);
        row[4] = cell_text(waits(packer, card));
        row[5].kind = row[6].kind = CELL_BLANK;
    }
    block_add(packer, section, BLOCK_TABLE)->table = table;
    add_lanes(packer);
}
