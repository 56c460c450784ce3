/* sheets.c - how long a workbook takes: 3,000 parts and 5,000 lines to buy, written by write_xlsx and, the
 * same cells, by libxlsxwriter alone; in turn, medians of processor time. Run from the top of the tree:
 * sh tests/bench/run.sh */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <xlsxwriter.h>

#include <gudgeon/write.h>

enum { PARTS = 3000, LINES = 5000, RUNS = 9, MOST_PERCENT = 130 };

static struct cell number(struct arena *arena, enum cell_kind kind, double value, const char *unit)
{
    return (struct cell){.kind = kind, .number = value, .unit = unit,
                         .text = str_print(arena, kind == CELL_COUNT ? "%.0f" : "%.2f", value)};
}

static struct cell words(const char *text)
{
    return (struct cell){.kind = CELL_TEXT, .text = text};
}

struct shaped {
    const char *key;
    enum cell_kind kind;
    bool fill;
    unsigned words;                /* of a text; 0: empty in most rows */
};

static const struct shaped part_shape[] = {
    {"id", CELL_TEXT, false, 1},    {"name", CELL_TEXT, false, 3},  {"number", CELL_TEXT, false, 1},
    {"pieces", CELL_COUNT, false, 0}, {"state", CELL_TEXT, false, 1}, {"host", CELL_TEXT, false, 2},
    {"joint", CELL_TEXT, false, 2}, {"material", CELL_TEXT, false, 1},
    {"supplier", CELL_TEXT, false, 4}, {"card", CELL_TEXT, false, 2}, {"note", CELL_TEXT, false, 9}};

static const struct shaped buy_shape[] = {
    {"line", CELL_TEXT, false, 1},      {"supplier", CELL_TEXT, false, 4},
    {"name", CELL_TEXT, false, 3},      {"number", CELL_TEXT, false, 1},
    {"text", CELL_TEXT, false, 12},     {"needed", CELL_COUNT, false, 0},
    {"pack", CELL_COUNT, false, 0},     {"packs", CELL_COUNT, false, 0},
    {"pieces", CELL_COUNT, false, 0},   {"price", CELL_MONEY, true, 0},
    {"currency", CELL_TEXT, false, 1},  {"total", CELL_FORMULA, false, 0},
    {"order-day", CELL_COUNT, false, 0}, {"need-day", CELL_COUNT, false, 0},
    {"acceptance", CELL_TEXT, false, 10}, {"why", CELL_TEXT, false, 2}};

static const char *phrase(struct arena *arena, unsigned count, size_t seed)
{
    static const char *const list[] = {"crankshaft", "bolt", "left", "washer", "stud", "spring",
                                       "0.4980 in", "thread", "of", "steel", "housing"};
    struct str_buf text = {.arena = arena};

    for (unsigned i = 0; i < count; i++)
        str_add_print(&text, i > 0 ? " %s" : "%s",
                      list[(seed * 7 + i * 13 + seed / 11) % (sizeof list / sizeof *list)]);
    str_add_print(&text, " %zu", seed);
    return text.bytes;
}

static struct sheet *sheet_of(struct arena *arena, const char *id, const struct shaped *shape,
                              size_t columns, size_t rows)
{
    struct sheet *sheet = ARENA_NEW(arena, struct sheet);
    struct table *table = ARENA_NEW(arena, struct table);

    sheet->id = sheet->name = id;
    sheet->table = table;
    for (size_t i = 0; i < columns; i++)
        *ARRAY_PUSH(arena, &table->columns) = (struct column){
            .key = shape[i].key, .heading = shape[i].key, .kind = shape[i].kind,
            .fill = shape[i].fill, .weight = 2};
    for (size_t row = 0; row < rows; row++) {
        struct cell *cells = ARENA_ARRAY(arena, struct cell, columns);
        for (size_t i = 0; i < columns; i++) {
            if (shape[i].kind == CELL_TEXT)
                cells[i] = words(str_equal(shape[i].key, "currency")
                                     ? "GBP" : phrase(arena, shape[i].words, row % 700 + i));
            else if (shape[i].kind == CELL_FORMULA)
                cells[i] = (struct cell){.kind = CELL_FORMULA, .unit = "GBP",
                                         .text = "=IF([price]=\"\",\"\",ROUND([pieces]*[price],2))",
                                         .number = cells[8].number * cells[9].number};
            else
                cells[i] = number(arena, shape[i].kind,
                                  shape[i].kind == CELL_MONEY ? (double)(row % 977) / 4 + 0.25
                                                              : (double)(row % 17 + 1),
                                  shape[i].kind == CELL_MONEY ? "GBP" : NULL);
        }
        *ARRAY_PUSH(arena, &table->rows) = cells;
    }
    return sheet;
}

static double seconds(void)
{
    struct timespec now;

    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return (double)now.tv_sec + (double)now.tv_nsec / 1e9;
}

/* ---------- the same cells, bare ---------- */

static void bare_cell(lxw_worksheet *sheet, lxw_row_t row, lxw_col_t at, const struct cell *cell,
                      lxw_format *text, lxw_format *count, lxw_format *money)
{
    char formula[80];

    switch (cell->kind) {
    case CELL_TEXT:
        worksheet_write_string(sheet, row, at, cell->text, text);
        break;
    case CELL_FORMULA:
        snprintf(formula, sizeof formula, "=IF($J%u=\"\",\"\",ROUND($I%u*$J%u,2))", row + 1, row + 1,
                 row + 1);
        worksheet_write_formula_num(sheet, row, at, formula, money, cell->number);
        break;
    default:
        worksheet_write_number(sheet, row, at, cell->number,
                               cell->kind == CELL_MONEY ? money : count);
    }
}

static size_t bare_book(const struct pack *pack, const char *path)
{
    lxw_workbook *book = workbook_new(path);
    lxw_format *text = workbook_add_format(book), *count = workbook_add_format(book),
               *money = workbook_add_format(book);
    size_t cells = 0;

    format_set_text_wrap(text);
    format_set_num_format(count, "0");
    format_set_num_format(money, "0.00");
    for (size_t i = 0; i < pack->sheets.count; i++) {
        const struct table *table = pack->sheets.items[i]->table;
        lxw_worksheet *sheet = workbook_add_worksheet(book, pack->sheets.items[i]->name);
        for (size_t k = 0; k < table->columns.count; k++)
            worksheet_write_string(sheet, 0, (lxw_col_t)k, table->columns.items[k].heading, text);
        for (size_t row = 0; row < table->rows.count; row++)
            for (size_t k = 0; k < table->columns.count; k++, cells++)
                bare_cell(sheet, (lxw_row_t)row + 1, (lxw_col_t)k, &table->rows.items[row][k], text,
                          count, money);
    }
    workbook_close(book);
    return cells;
}

static int by_size(const void *first, const void *second)
{
    double a = *(const double *)first, b = *(const double *)second;

    return (a > b) - (a < b);
}

struct runs {
    double ours[RUNS], bare[RUNS];
    size_t cells;
    bool good;
};

static void run(struct context *context, void *user)
{
    struct runs *runs = user;
    struct arena *arena = context->arena;
    const struct template *template = template_load(context, NULL);
    struct pack pack = {.template = template, .title = "Bench", .id = "bench", .language = "en"};
    char path[] = "/tmp/gudgeon-bench-XXXXXX";
    int file = mkstemp(path);

    runs->good = file >= 0;
    *ARRAY_PUSH(arena, &pack.sheets) = sheet_of(arena, "parts", part_shape,
                                                sizeof part_shape / sizeof *part_shape, PARTS);
    *ARRAY_PUSH(arena, &pack.sheets) =
        sheet_of(arena, "to-buy", buy_shape, sizeof buy_shape / sizeof *buy_shape, LINES);
    for (int i = 0; i < RUNS && runs->good; i++) {
        struct outputs outputs = {0};
        double begin = seconds();
        runs->good = write_xlsx(context, &pack, &outputs);
        runs->ours[i] = seconds() - begin;
        begin = seconds();
        runs->cells = bare_book(&pack, path);
        runs->bare[i] = seconds() - begin;
    }
    remove(path);
}

int main(void)
{
    struct context *context = context_new(&(struct context_options){0});
    struct runs runs = {0};

    context_run(context, run, &runs);
    context_free(context);
    if (!runs.good) {
        printf("not ok bench sheets: nothing was written\n");
        return 1;
    }
    qsort(runs.ours, RUNS, sizeof *runs.ours, by_size);
    qsort(runs.bare, RUNS, sizeof *runs.bare, by_size);
    double ratio = runs.ours[RUNS / 2] / runs.bare[RUNS / 2];
    printf("# %zu cells: gudgeon %.0f ms (%.0f..%.0f), libxlsxwriter alone %.0f ms (%.0f..%.0f)\n",
           runs.cells, runs.ours[RUNS / 2] * 1e3, runs.ours[0] * 1e3, runs.ours[RUNS - 1] * 1e3,
           runs.bare[RUNS / 2] * 1e3, runs.bare[0] * 1e3, runs.bare[RUNS - 1] * 1e3);
    printf("%s bench sheets: %d parts and %d lines to buy take %.2f times libxlsxwriter alone, at most %.1f\n",
           ratio * 100 <= MOST_PERCENT ? "ok" : "not ok", PARTS, LINES, ratio, MOST_PERCENT / 100.0);
    return ratio * 100 > MOST_PERCENT;
}
