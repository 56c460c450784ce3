/* sheets_buy.c - To buy, Outwork, Budget: what comes from outside, by when and for how much. */
#include "sheets_private.h"

/* Days are whole and early: a thing is ordered on the day before it would be too late. */
static struct cell day_cell(struct packer *packer, struct schedule_ends ends)
{
    double day = ends.early < ends.late ? ends.early : ends.late;

    return cell_count(packer, day > 0 ? (int64_t)day : 0);
}

static const struct schedule_need *need_of_job(const struct schedule *schedule,
                                               const struct outwork *job)
{
    for (size_t i = 0; i < schedule->needs.count; i++)
        if (schedule->needs.items[i].job == job)
            return &schedule->needs.items[i];
    return NULL;
}

static const char *our_currency(const struct packer *packer)
{
    return packer->spec->engine.currency.text ? packer->spec->engine.currency.text : "";
}

static bool one_price(const struct claim *price)
{
    return price && price->present && price->value.kind == QTY_ONE;
}

/* ---------- To buy ---------- */

enum { BUY_LINE, BUY_SUPPLIER, BUY_NAME, BUY_NUMBER, BUY_TEXT, BUY_NEEDED, BUY_PACK, BUY_PACKS,
       BUY_PIECES, BUY_PRICE, BUY_CURRENCY, BUY_TOTAL, BUY_ACT, BUY_BY, BUY_CHECK, BUY_WHY };

static const struct sheet_column buy_columns[] = {
    [BUY_LINE] = {"line", "sheet.line", CELL_TEXT, 2},
    [BUY_SUPPLIER] = {"supplier", "sheet.supplier", CELL_TEXT, 2},
    [BUY_NAME] = {"name", "sheet.name", CELL_TEXT, 3},
    [BUY_NUMBER] = {"number", "sheet.number", CELL_TEXT, 2},
    [BUY_TEXT] = {"text", "sheet.order-text", CELL_TEXT, 4},
    [BUY_NEEDED] = {"needed", "sheet.needed", CELL_COUNT},
    [BUY_PACK] = {"pack", "sheet.pack", CELL_COUNT},
    [BUY_PACKS] = {"packs", "sheet.packs", CELL_COUNT},
    [BUY_PIECES] = {"pieces", "sheet.to-order", CELL_COUNT},
    [BUY_PRICE] = {"price", "sheet.price", CELL_MONEY, .fill = true},
    [BUY_CURRENCY] = {"currency", "sheet.currency", CELL_TEXT},
    [BUY_TOTAL] = {"total", "sheet.line-total", CELL_FORMULA},
    [BUY_ACT] = {"order-day", "sheet.order-day", CELL_COUNT},
    [BUY_BY] = {"need-day", "sheet.need-day", CELL_COUNT},
    [BUY_CHECK] = {"acceptance", "sheet.acceptance", CELL_TEXT, 3},
    [BUY_WHY] = {"why", "sheet.why", CELL_TEXT, 3},
};

/* "renewed; 2 spare, 8 spent in trials; instead of 1234, 0.2 kg lighter". */
static const char *reasons(struct packer *packer, const struct purchase *buy)
{
    const struct { int64_t pieces; const char *label; } rows[] = {
        {buy->spare, "sheet.of-which-spare"},
        {buy->trial, "sheet.of-which-trial"},
        {buy->again, "sheet.of-which-again"},
    };
    const char *why = text_of_phrase(packer, buy->why);
    struct str_buf text = {.arena = packer->arena};

    str_add(&text, why ? why : "");
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        if (rows[i].pieces)
            str_add_print(&text, "; %lld %s", (long long)rows[i].pieces,
                          label(packer->labels, rows[i].label));
    const struct part *part = buy->part_count ? buy->parts[0] : NULL;
    if (part && part->replaces.number.text)
        str_add_print(&text, "; %s %s", L(packer, "sheet.instead-of"), part->replaces.number.text);
    if (part && part->replaces.weight.present)
        str_add_print(&text, " (%s)", text_of_claim(packer, &part->replaces.weight));
    const char *others = text_of_phrase(packer, buy->look_alikes);
    if (others)
        str_add_print(&text, "; %s: %s", L(packer, "sheet.look-alikes"), others);
    const char *applies = part ? effectivity(packer, &part->e) : NULL;
    if (applies)
        str_add_print(&text, "; %s %s", L(packer, "sheet.applies"), applies);
    return text.bytes;
}

static void put_price(struct packer *packer, struct cell *row, const struct purchase *buy)
{
    if (one_price(buy->price))
        cell_put_quantity(packer, &row[BUY_PRICE], &buy->price->value.nominal);
    row[BUY_CURRENCY] = cell_text(row[BUY_PRICE].unit ? row[BUY_PRICE].unit
                                  : buy->currency     ? buy->currency
                                  : buy->supplier && buy->supplier->currency.text
                                      ? buy->supplier->currency.text
                                      : our_currency(packer));
    row[BUY_TOTAL] = cell_formula_words("=IF([price]=\"\",\"\",ROUND([pieces]*[price],2))", NULL);
    if (row[BUY_PRICE].kind == CELL_MONEY)
        row[BUY_TOTAL] = cell_formula(row[BUY_TOTAL].text, (double)buy->line_minor / 100,
                                      row[BUY_CURRENCY].text);
}

static void fill_purchase(struct packer *packer, struct cell *row, const struct purchase *buy,
                          const struct schedule_need *need)
{
    row[BUY_LINE] = cell_text(buy->line);
    row[BUY_SUPPLIER] = cell_text(supplier_name(packer, buy->supplier));
    row[BUY_NAME] = cell_text(buy->what);
    row[BUY_NUMBER] = cell_text(buy->number);
    row[BUY_TEXT] = cell_text(asked_text(packer, buy));
    row[BUY_NEEDED] = cell_count(packer, buy->needed);
    row[BUY_PACK] = cell_count(packer, buy->pack);
    row[BUY_PACKS] = cell_count(packer, buy->packs);
    row[BUY_PIECES] = cell_count(packer, buy->pieces);
    put_price(packer, row, buy);
    if (need && need->card) {
        row[BUY_ACT] = day_cell(packer, need->act);
        row[BUY_BY] = day_cell(packer, need->by);
    }
    row[BUY_CHECK] = cell_text(text_of_phrase(packer, buy->acceptance));
    row[BUY_WHY] = cell_text(reasons(packer, buy));
}

/* Suppliers in the order of the spec, and what nobody is named for last. */
static bool is_asked(const struct packer *packer, const struct purchase *buy, size_t turn)
{
    return turn < packer->spec->suppliers.count
               ? buy->supplier == &packer->spec->suppliers.items[turn]
               : buy->supplier == NULL;
}

void add_to_buy(struct packer *packer, const struct schedule *schedule)
{
    struct table *table = sheet_table(packer, "to-buy", buy_columns, COLUMN_COUNT(buy_columns));

    table->columns.items[BUY_ACT].soft = "=AND(ISNUMBER([order-day]),[order-day]<=1)";
    for (size_t turn = 0; turn <= packer->spec->suppliers.count; turn++)
        for (size_t i = 0; i < packer->build->purchases.count; i++) {
            const struct purchase *buy = &packer->build->purchases.items[i];
            if (is_asked(packer, buy, turn))
                fill_purchase(packer, table_row_new(packer, table), buy,
                              schedule_need_of(schedule, buy));
        }
    sheet_add(packer, "to-buy", table);
}

/* ---------- Outwork ---------- */

enum { JOB_NAME, JOB_OF, JOB_WHAT, JOB_WANT, JOB_SUPPLIER, JOB_TAKES, JOB_SEND, JOB_BACK, JOB_PRICE,
       JOB_CURRENCY, JOB_NOTE };

static const struct sheet_column job_columns[] = {
    [JOB_NAME] = {"job", "sheet.job", CELL_TEXT, 2},
    [JOB_OF] = {"of", "sheet.work-on", CELL_TEXT, 2},
    [JOB_WHAT] = {"what", "sheet.work", CELL_TEXT, 4},
    [JOB_WANT] = {"want", "sheet.acceptance", CELL_TEXT, 4},
    [JOB_SUPPLIER] = {"supplier", "sheet.supplier", CELL_TEXT, 2},
    [JOB_TAKES] = {"takes", "sheet.away", CELL_TEXT, 1},
    [JOB_SEND] = {"send-day", "sheet.send-day", CELL_COUNT},
    [JOB_BACK] = {"back-day", "sheet.back-day", CELL_COUNT},
    [JOB_PRICE] = {"price", "sheet.job-price", CELL_MONEY, .fill = true},
    [JOB_CURRENCY] = {"currency", "sheet.currency", CELL_TEXT},
    [JOB_NOTE] = {"note", "sheet.note", CELL_TEXT, 2},
};

static const char *sizes_wanted(struct packer *packer, const struct outwork *job)
{
    struct str_buf text = {.arena = packer->arena};

    for (size_t i = 0; i < job->want.count; i++)
        str_add_print(&text, "%s%s %s", text.length ? "; " : "",
                      text_of_size(packer, &job->want.items[i].size),
                      text_of_claim(packer, &job->want.items[i].want));
    return text.length ? text.bytes : NULL;
}

void add_outwork(struct packer *packer, const struct schedule *schedule)
{
    struct table *table = sheet_table(packer, "outwork", job_columns, COLUMN_COUNT(job_columns));

    for (size_t i = 0; i < packer->spec->outwork.count; i++) {
        const struct outwork *job = packer->spec->outwork.items[i];
        const struct schedule_need *need = need_of_job(schedule, job);
        struct cell *row = table_row_new(packer, table);
        row[JOB_NAME] = cell_text(job->e.shown);
        row[JOB_OF] = cell_text(text_of_entries(packer, job->of.to, job->of.to_count));
        row[JOB_WHAT] = cell_text(job->what.text);
        row[JOB_WANT] = cell_text(sizes_wanted(packer, job));
        row[JOB_SUPPLIER] = cell_text(supplier_name(
            packer, spec_supplier(packer->spec, job->supplier.text)));
        row[JOB_TAKES] = cell_text(text_of_claim(packer, &job->e.takes));
        if (need && need->card) {
            row[JOB_SEND] = day_cell(packer, need->act);
            row[JOB_BACK] = day_cell(packer, need->by);
        }
        if (one_price(&job->price))
            cell_put_quantity(packer, &row[JOB_PRICE], &job->price.value.nominal);
        row[JOB_CURRENCY] =
            cell_text(row[JOB_PRICE].unit ? row[JOB_PRICE].unit : our_currency(packer));
        row[JOB_NOTE] = cell_text(job->e.note.text);
    }
    sheet_add(packer, "outwork", table);
}

/* ---------- Budget ---------- */

enum { SUM_SUPPLIER, SUM_LINES, SUM_OPEN, SUM_GOODS, SUM_WORK, SUM_ALL, SUM_CURRENCY, SUM_LEAST,
       SUM_SHORT, SUM_LEAD };

static const struct sheet_column sum_columns[] = {
    [SUM_SUPPLIER] = {"supplier", "sheet.supplier", CELL_TEXT, 4},
    [SUM_LINES] = {"lines", "sheet.lines", CELL_FORMULA},
    [SUM_OPEN] = {"unpriced", "sheet.unpriced", CELL_FORMULA},
    [SUM_GOODS] = {"goods", "sheet.goods", CELL_FORMULA},
    [SUM_WORK] = {"work", "sheet.outwork", CELL_FORMULA},
    [SUM_ALL] = {"sum", "sheet.sum", CELL_FORMULA},
    [SUM_CURRENCY] = {"currency", "sheet.currency", CELL_TEXT},
    [SUM_LEAST] = {"least", "sheet.least-order", CELL_MONEY},
    [SUM_SHORT] = {"short", "sheet.short-of-least", CELL_FORMULA},
    [SUM_LEAD] = {"lead", "sheet.lead", CELL_TEXT, 1},
};

struct sums {
    size_t lines, open;
    int64_t goods, work; /* minor units */
};

/* What one supplier, NULL for nobody, is asked. */
static struct sums sums_of(const struct packer *packer, const struct supplier *supplier)
{
    struct sums sums = {0};

    for (size_t i = 0; i < packer->build->purchases.count; i++) {
        const struct purchase *buy = &packer->build->purchases.items[i];
        if (buy->supplier != supplier)
            continue;
        sums.lines++;
        sums.open += buy->line_minor < 0;
        sums.goods += buy->line_minor < 0 ? 0 : buy->line_minor;
    }
    for (size_t i = 0; i < packer->spec->outwork.count; i++) {
        const struct outwork *job = packer->spec->outwork.items[i];
        if (spec_supplier(packer->spec, job->supplier.text) != supplier)
            continue;
        sums.lines++;
        sums.open += !one_price(&job->price);
        sums.work += one_price(&job->price) ? job->price.value.nominal.exact : 0;
    }
    return sums;
}

/* The same figures as formulas over the other sheets: they follow what is typed there. A sheet that has
 * no line is not there to be asked. */
static const char *over_sheets(struct packer *packer, const char *of_goods, const char *of_work)
{
    bool goods = packer->build->purchases.count, work = packer->spec->outwork.count;

    return str_print(packer->arena, "=%s%s%s", goods ? of_goods : "", goods && work ? "+" : "",
                     work ? of_work : "");
}

#define ITS(sheet) "--([" sheet ".supplier]=[supplier])"

static struct sums fill_sum(struct packer *packer, struct table *table, const struct supplier *supplier)
{
    struct sums sums = sums_of(packer, supplier);

    if (sums.lines == 0)
        return sums;
    struct cell *row = table_row_new(packer, table);
    const char *currency = supplier && supplier->currency.text ? supplier->currency.text
                                                               : our_currency(packer);
    double goods = (double)sums.goods / 100, work = (double)sums.work / 100;
    row[SUM_SUPPLIER] = cell_text(supplier_name(packer, supplier));
    row[SUM_LINES] = cell_formula(over_sheets(packer, "SUMPRODUCT(" ITS("to-buy") ")",
                                              "SUMPRODUCT(" ITS("outwork") ")"),
                                  (double)sums.lines, NULL);
    row[SUM_OPEN] = cell_formula(
        over_sheets(packer, "SUMPRODUCT(" ITS("to-buy") ",--([to-buy.price]=\"\"))",
                    "SUMPRODUCT(" ITS("outwork") ",--([outwork.price]=\"\"))"),
        (double)sums.open, NULL);
    row[SUM_GOODS] = cell_formula(packer->build->purchases.count
                                      ? "=SUMPRODUCT(" ITS("to-buy") ",[to-buy.total])" : "=0",
                                  goods, currency);
    row[SUM_WORK] = cell_formula(packer->spec->outwork.count
                                     ? "=SUMPRODUCT(" ITS("outwork") ",[outwork.price])" : "=0",
                                 work, currency);
    row[SUM_ALL] = cell_formula("=[goods]+[work]", goods + work, currency);
    row[SUM_CURRENCY] = cell_text(currency);
    if (supplier && one_price(&supplier->least_order)) {
        cell_put_quantity(packer, &row[SUM_LEAST], &supplier->least_order.value.nominal);
        double least = row[SUM_LEAST].number;
        row[SUM_SHORT] = cell_formula("=IF([goods]=0,0,MAX(0,[least]-[goods]))",
                                      goods == 0 || goods > least ? 0 : least - goods, currency);
    }
    row[SUM_LEAD] = cell_text(supplier ? text_of_claim(packer, &supplier->lead) : NULL);
    return sums;
}

static void foot_line(struct packer *packer, struct table *table, const char *key, struct cell cell)
{
    struct cell *row = sheet_foot(packer, table);

    row[SUM_SUPPLIER] = cell_text(label(packer->labels, key));
    row[SUM_CURRENCY] = cell_text(cell.unit);
    row[SUM_ALL] = cell;
}

/* Only what is in our currency is summed: no rate of exchange is known. */
void add_budget(struct packer *packer)
{
    struct table *table = sheet_table(packer, "budget", sum_columns, COLUMN_COUNT(sum_columns));
    const struct spec *spec = packer->spec;
    const char *ours = our_currency(packer);
    struct sums all = {0};
    int64_t total = 0;

    table->columns.items[SUM_OPEN].soft = "=N([unpriced])>0";
    table->columns.items[SUM_SHORT].soft = "=N([short])>0";
    for (size_t i = 0; i <= spec->suppliers.count; i++) {
        const struct supplier *supplier =
            i < spec->suppliers.count ? &spec->suppliers.items[i] : NULL;
        struct sums sums = fill_sum(packer, table, supplier);
        all.lines += sums.lines;
        all.open += sums.open;
        if (!supplier || !supplier->currency.text || str_equal(supplier->currency.text, ours))
            total += sums.goods + sums.work;
    }
    if (table->rows.count == 0)
        return;
    foot_line(packer, table, "sheet.total",
              cell_formula(str_print(packer->arena, "=SUMPRODUCT(--([currency]=%s),[sum])",
                                     formula_string(packer, ours)),
                           (double)total / 100, ours));
    struct cell *row = table->rows.items[table->rows.count - 1];
    row[SUM_LINES] = cell_formula("=SUM([lines])", (double)all.lines, NULL);
    row[SUM_OPEN] = cell_formula("=SUM([unpriced])", (double)all.open, NULL);
    if (one_price(&spec->budget)) {
        struct cell ceiling = {0};
        cell_put_quantity(packer, &ceiling, &spec->budget.value.nominal);
        foot_line(packer, table, "sheet.budget-ceiling", ceiling);
        foot_line(packer, table, "sheet.left-over",
                  cell_formula(str_print(packer->arena, "=%s-SUMPRODUCT(--([currency]=%s),[sum])",
                                         ceiling.text, formula_string(packer, ours)),
                               ceiling.number - (double)total / 100, ceiling.unit));
    }
    sheet_add(packer, "budget", table);
}
