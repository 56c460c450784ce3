/* quotes.c - the offers that the spec names, side by side: as a sheet of parts.xlsx, and as what `quotes`
 * prints. */
#include "sheets_private.h"

enum { OFFER_LINE_REF, OFFER_NAME, OFFER_FROM, OFFER_PIECES, OFFER_PRICE, OFFER_MONEY, OFFER_TOTAL,
       OFFER_LEAD, OFFER_INSTEAD, OFFER_JUDGED };

static const struct sheet_column offer_columns[] = {
    [OFFER_LINE_REF] = {"line", "sheet.line", CELL_TEXT, 2},
    [OFFER_NAME] = {"name", "sheet.name", CELL_TEXT, 3},
    [OFFER_FROM] = {"supplier", "sheet.supplier", CELL_TEXT, 3},
    [OFFER_PIECES] = {"pieces", "sheet.to-order", CELL_COUNT},
    [OFFER_PRICE] = {"price", "sheet.price", CELL_MONEY},
    [OFFER_MONEY] = {"currency", "sheet.currency", CELL_TEXT},
    [OFFER_TOTAL] = {"total", "sheet.line-total", CELL_FORMULA},
    [OFFER_LEAD] = {"lead", "sheet.lead", CELL_TEXT, 1},
    [OFFER_INSTEAD] = {"alternative", "sheet.offered-instead", CELL_TEXT, 2},
    [OFFER_JUDGED] = {"judged", "sheet.offer-judged", CELL_TEXT, 3},
};

static void fill_offer(struct packer *packer, struct cell *row, const struct offer_values *values)
{
    const struct quote *offer = values->offer;
    const struct purchase *line = values->line;

    row[OFFER_LINE_REF] = cell_text(line->line);
    row[OFFER_NAME] = cell_text(line->what);
    row[OFFER_FROM] = cell_text(supplier_name(packer, offer->supplier));
    row[OFFER_PIECES] = cell_count(packer, line->pieces);
    if (offer->price.present) {
        cell_put_quantity(packer, &row[OFFER_PRICE], &offer->price.value.nominal);
        row[OFFER_MONEY] = cell_text(row[OFFER_PRICE].unit);
        row[OFFER_TOTAL] = cell_formula(
            "=ROUND([pieces]*[price],2)",
            (double)(line->pieces * offer->price.value.nominal.exact) / 100, row[OFFER_PRICE].unit);
    }
    row[OFFER_LEAD] = cell_text(text_of_claim(packer, &offer->lead));
    row[OFFER_INSTEAD] = cell_text(offer->alternative.text);
    row[OFFER_JUDGED] = cell_text(text_of_phrase(packer, values->judged));
}

/* By line, so that what competes stands together; the cheapest first. */
static struct table *offer_table(struct packer *packer)
{
    struct table *table = sheet_table(packer, "offers", offer_columns, COLUMN_COUNT(offer_columns));
    const struct build *build = packer->build;

    for (size_t i = 0; i < build->purchases.count; i++)
        for (size_t k = 0; k < build->offers.count; k++)
            if (build->offers.items[k].line == &build->purchases.items[i])
                fill_offer(packer, table_row_new(packer, table), &build->offers.items[k]);
    return table;
}

void add_offers(struct packer *packer)
{
    sheet_add(packer, "offers", offer_table(packer));
}

/* ---------- what `quotes` prints ---------- */

/* The same, narrow enough for a terminal. */
static const struct table *narrow_table(struct packer *packer, const struct table *table)
{
    static const struct sheet_column columns[] = {
        [0] = {"line", "sheet.line", CELL_TEXT, 3},
        [1] = {"supplier", "sheet.supplier", CELL_TEXT, 2},
        [2] = {"pieces", "sheet.pieces", CELL_TEXT, 0},
        [3] = {"price", "sheet.price", CELL_TEXT, 1},
        [4] = {"lead", "sheet.lead", CELL_TEXT, 1},
        [5] = {"judged", "sheet.offer-judged", CELL_TEXT, 4},
    };
    struct table *narrow = sheet_table(packer, "offers", columns, COLUMN_COUNT(columns));

    for (size_t i = 0; i < table->rows.count; i++) {
        const struct cell *from = table->rows.items[i];
        struct cell *row = table_row_new(packer, narrow);
        row[0] = from[OFFER_LINE_REF];
        row[1] = from[OFFER_FROM];
        row[2] = from[OFFER_PIECES];
        if (from[OFFER_PRICE].text)
            row[3] = cell_text(str_print(packer->arena, "%s %s", from[OFFER_PRICE].text,
                                         from[OFFER_PRICE].unit));
        row[4] = from[OFFER_LEAD];
        row[5] = from[OFFER_JUDGED];
    }
    return narrow;
}

struct tally {
    size_t taken, unanswered, open, refused;
    int64_t minor; /* of what is taken, in our currency */
};

static struct tally tally_of(const struct packer *packer)
{
    const struct build *build = packer->build;
    struct tally tally = {0};

    for (size_t i = 0; i < build->offers.count; i++) {
        const struct offer_values *values = &build->offers.items[i];
        tally.taken += values->verdict == OFFER_TAKEN;
        tally.open += values->verdict == OFFER_OPEN;
        tally.refused += values->verdict == OFFER_REFUSED;
        if (values->verdict == OFFER_TAKEN &&
            str_equal(values->line->currency, packer->spec->engine.currency.text))
            tally.minor += values->line->line_minor;
    }
    tally.unanswered = build->purchases.count;
    for (size_t i = 0; i < build->purchases.count; i++)
        for (size_t k = 0; k < build->offers.count; k++)
            if (build->offers.items[k].line == &build->purchases.items[i]) {
                tally.unanswered--;
                break;
            }
    return tally;
}

static void count_fact(struct packer *packer, struct block *facts, const char *label, size_t count)
{
    block_fact(packer, facts, label, str_print(packer->arena, "%zu", count));
}

static const char *days(struct packer *packer, struct schedule_ends ends)
{
    const char *mark = packer->pack->template->decimal_mark == ',' ? "," : ".";
    char *text = str_print(packer->arena, "%.1f..%.1f", ends.early, ends.late);

    for (char *at = text; *at; at++)
        if (*at == '.' && at[1] != '.' && (at == text || at[-1] != '.'))
            *at = *mark;
    return text;
}

/* What holds the finish up now: what must come from outside, in order. */
static const char *held_up_by(struct packer *packer, const struct schedule *schedule)
{
    struct str_buf text = {.arena = packer->arena};

    for (size_t i = 0; i < schedule->path.count; i++) {
        const struct schedule_need *need = schedule->path.items[i].need;
        if (need)
            str_add_print(&text, "%s%s", text.length ? ", " : "",
                          need->purchase ? need->purchase->what : need->job->e.shown);
    }
    return text.length ? text.bytes : L(packer, "quotes.nothing-outside");
}

struct pack *quotes_lay_out(struct context *context, const struct plan *plan,
                            const char *template_path)
{
    struct packer *packer = packer_start(context, template_path, plan->build);

    if (!packer)
        return NULL;
    packer->plan = plan;
    packer->pack->id = plan->build->spec->id;
    packer->pack->file = "offers";
    packer->pack->title = str_print(context->arena, "%s: %s", L(packer, "sheet.offers"),
                                    plan->build->spec->engine.name.text);
    const struct schedule *now = schedule_make(context->arena, plan, 1),
                          *usual = schedule_make_usual(context->arena, plan, 1);
    const struct tally tally = tally_of(packer);
    struct section *section = section_new(packer, SECTION_SUMMARY, "offers", packer->pack->title);
    struct table *table = offer_table(packer);
    struct block *facts = block_add(packer, section, BLOCK_FACTS);
    count_fact(packer, facts, L(packer, "quotes.taken"), tally.taken);
    block_fact(packer, facts, L(packer, "quotes.cost"),
               str_print(context->arena, "%lld.%02d %s", (long long)(tally.minor / 100),
                         (int)(tally.minor % 100),
                         packer->spec->engine.currency.text ? packer->spec->engine.currency.text : ""));
    count_fact(packer, facts, L(packer, "quotes.open"), tally.open);
    count_fact(packer, facts, L(packer, "quotes.refused"), tally.refused);
    count_fact(packer, facts, L(packer, "quotes.unanswered"), tally.unanswered);
    block_fact(packer, facts, L(packer, "quotes.finish-usual"), days(packer, usual->finish));
    block_fact(packer, facts, L(packer, "quotes.finish-now"), days(packer, now->finish));
    block_fact(packer, facts, L(packer, "quotes.held-up-by"), held_up_by(packer, now));
    if (table->rows.count)
        block_add(packer, section, BLOCK_TABLE)->table = narrow_table(packer, table);
    return packer->pack;
}
