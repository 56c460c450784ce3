/* write_xlsx.c - sheets by libxlsxwriter; the only file that includes its header.
 *
 * It writes files only, stamps the clock unless told a date, lets through what makes a file
 * unreadable, and can lose the last block in silence: so every string goes through cell_string,
 * numbers are finite, the file has no name, and its end record is looked at. */
#include <gudgeon/write.h>

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>
#include <xlsxwriter.h>

#include "archive_private.h"
#include "grid_private.h"
#include "scratch_private.h"

enum { MOST_DECIMALS = 9, MOST_LETTERS = 32767 /* of a cell */, MOST_SHEET_NAME = 31 };

struct book {
    struct context *context;
    struct arena *arena;
    const struct pack *pack;
    const struct labels *labels;
    lxw_workbook *workbook;
    lxw_worksheet *sheet;
    lxw_error error;             /* the first */
    lxw_format *head, *head_number, *text, *strong, *title, *date, *outside;
    lxw_format *fill;            /* to be written in */
    lxw_format *number[2][MOST_DECIMALS + 1]; /* [people fill it][decimals] */
};

static void check(struct book *book, lxw_error error)
{
    if (book->error == LXW_NO_ERROR)
        book->error = error;
}

/* ---------- text ---------- */

/* Excel reads _xHHHH_ as an escape (ECMA-376 part 1, 22.4.2.4): a literal one is escaped itself. */
static const char *cell_string(struct book *book, const char *text)
{
    const char *safe = str_safe_cell(book->arena, text, false);
    struct str_buf out = {.arena = book->arena};
    const char *at = safe, *found;
    size_t hex;

    while ((found = strstr(at, "_x")) != NULL) {
        hex = strspn(found + 2, "0123456789abcdefABCDEF");
        str_add_bytes(&out, at, (size_t)(found - at));
        str_add(&out, hex >= 4 && found[6] == '_' ? "_x005F_x" : "_x");
        at = found + 2;
    }
    str_add(&out, at);
    size_t length = out.length;
    if (str_code_points(out.bytes, length) > MOST_LETTERS) {
        const char *end = out.bytes;
        for (size_t i = 0; i < MOST_LETTERS - 1; i++)
            (void)str_code_point(&end);
        diag_add(&book->context->diags, DIAG_CELL_CUT, (struct span){0},
                 "a text of %zu letters is cut to %d in %s: '%.40s...'",
                 str_code_points(out.bytes, length), MOST_LETTERS,
                 write_name(book->arena, book->pack, "parts", "xlsx"), out.bytes);
        return str_print(book->arena, "%s\xe2\x80\xa6",
                         str_slice(book->arena, out.bytes, (size_t)(end - out.bytes)));
    }
    return out.bytes;
}

/* What a sheet's name may not be, checked here since the library lets some of it pass. */
static const char *sheet_name(struct book *book, const char *name, size_t index)
{
    struct str_buf out = {.arena = book->arena};
    size_t letters = 0;

    for (const char *at = str_safe_cell(book->arena, name, false);
         *at != '\0' && letters < MOST_SHEET_NAME; letters++) {
        const char *start = at;
        uint32_t point = str_code_point(&at);
        if (point < 128 && strchr("[]:*?/\\'\n\t", (int)point) != NULL)
            str_add(&out, "-");
        else
            str_add_bytes(&out, start, (size_t)(at - start));
    }
    if (out.length == 0 || workbook_get_worksheet_by_name(book->workbook, out.bytes) != NULL)
        return str_print(book->arena, "%zu", index + 1);
    return out.bytes;
}

/* ---------- formats ---------- */

static lxw_format *format_new(struct book *book)
{
    lxw_format *format = workbook_add_format(book->workbook);

    if (format == NULL)
        check(book, LXW_ERROR_MEMORY_MALLOC_FAILED);
    return format;
}

static lxw_format *body_format(struct book *book, bool fill)
{
    lxw_format *format = format_new(book);

    if (format == NULL)
        return NULL;
    format_set_align(format, LXW_ALIGN_VERTICAL_TOP);
    format_set_text_wrap(format);
    if (fill) { /* framed, so that it is seen in black and white what is to be filled in */
        format_set_border(format, LXW_BORDER_THIN);
        format_set_unlocked(format);
    } else {
        format_set_bottom(format, LXW_BORDER_HAIR);
    }
    return format;
}

/* A blank before text keeps it off the number to its left. */
static lxw_format *text_format(struct book *book, bool fill)
{
    lxw_format *format = body_format(book, fill);

    if (format != NULL) {
        format_set_align(format, LXW_ALIGN_LEFT);
        format_set_indent(format, 1);
    }
    return format;
}

static lxw_format *head_format(struct book *book)
{
    lxw_format *format = format_new(book);

    if (format == NULL)
        return NULL;
    format_set_bold(format);
    format_set_bottom(format, LXW_BORDER_MEDIUM);
    format_set_text_wrap(format);
    format_set_align(format, LXW_ALIGN_VERTICAL_BOTTOM);
    format_set_indent(format, 1);
    return format;
}

static void make_formats(struct book *book)
{
    book->text = text_format(book, false);
    book->fill = text_format(book, true);
    book->date = text_format(book, false);
    book->outside = text_format(book, false);
    book->strong = text_format(book, false);
    book->head = head_format(book);
    book->head_number = head_format(book);
    book->title = format_new(book);
    if (book->error != LXW_NO_ERROR)
        return;
    format_set_align(book->head_number, LXW_ALIGN_RIGHT);
    format_set_num_format(book->date, "yyyy-mm-dd");
    format_set_bold(book->strong);
    format_set_bold(book->outside);
    format_set_border(book->outside, LXW_BORDER_MEDIUM);
    format_set_bold(book->title);
    format_set_font_size(book->title, 14);
}

/* A number shows as many decimals as its printed text has. */
static lxw_format *number_format(struct book *book, bool fill, unsigned decimals)
{
    lxw_format **format = &book->number[fill][decimals];
    char pattern[MOST_DECIMALS + 3] = "0.";

    if (*format != NULL)
        return *format;
    *format = body_format(book, fill);
    if (*format == NULL)
        return NULL;
    memset(pattern + 2, '0', decimals);
    pattern[decimals == 0 ? 1 : 2 + decimals] = '\0';
    format_set_num_format(*format, pattern);
    return *format;
}

static unsigned decimals_of(const char *text)
{
    const char *point = text != NULL ? strpbrk(text, ".,") : NULL;
    size_t decimals = point != NULL ? strspn(point + 1, "0123456789") : 0;

    return decimals > MOST_DECIMALS ? MOST_DECIMALS : (unsigned)decimals;
}

/* ---------- cells ---------- */

/* `[key]` of a formula as a cell of this row, or, of its own column, as all cells above. */
static void add_reference(struct book *book, struct str_buf *out, const struct grid *grid,
                          size_t row, size_t column, const char *key, size_t length)
{
    const struct table *table = grid->table;
    char first[LXW_MAX_CELL_NAME_LENGTH], last[LXW_MAX_CELL_NAME_LENGTH];

    for (size_t i = 0; i < table->columns.count; i++) {
        lxw_col_t at = grid->places[i].value;
        if (strncmp(table->columns.items[i].key, key, length) != 0 ||
            table->columns.items[i].key[length] != '\0')
            continue;
        if (i != column) {
            lxw_rowcol_to_cell(first, (lxw_row_t)row + 1, at);
            str_add(out, first);
            return;
        }
        lxw_rowcol_to_cell(first, 1, at);
        lxw_rowcol_to_cell(last, (lxw_row_t)(row > 0 ? row : 1), at);
        str_add_print(out, "%s:%s", first, last);
        return;
    }
    check(book, LXW_ERROR_PARAMETER_VALIDATION); /* pack names a column that is not there */
}

static const char *formula(struct book *book, const struct grid *grid, size_t row,
                           size_t column)
{
    struct str_buf out = {.arena = book->arena};
    const char *at = grid->table->rows.items[row][column].text;

    while (*at != '\0') {
        size_t plain = strcspn(at, "[");
        str_add_bytes(&out, at, plain);
        at += plain;
        if (*at == '\0')
            break;
        size_t length = strcspn(at + 1, "]");
        add_reference(book, &out, grid, row, column, at + 1, length);
        at += 1 + length + (at[1 + length] == ']');
    }
    return out.bytes;
}

static void write_text(struct book *book, lxw_row_t row, lxw_col_t column, const char *text,
                       lxw_format *format)
{
    if (text == NULL || *text == '\0')
        check(book, worksheet_write_blank(book->sheet, row, column, format));
    else
        check(book, worksheet_write_string(book->sheet, row, column, cell_string(book, text),
                                           format));
}

/* A full date as a date; a year or a month alone stays text. */
static void write_date(struct book *book, lxw_row_t row, lxw_col_t column, const char *text)
{
    lxw_datetime date = {0};
    char rest;

    if (text != NULL && strlen(text) == 10 &&
        sscanf(text, "%4d-%2d-%2d%c", &date.year, &date.month, &date.day, &rest) == 3 &&
        date.year >= 1900)
        check(book, worksheet_write_datetime(book->sheet, row, column, &date, book->date));
    else
        write_text(book, row, column, text, book->text);
}

/* A number, unless sixteen digits do not hold it. */
static void write_number(struct book *book, lxw_row_t row, lxw_col_t column,
                         const struct cell *cell, bool fill)
{
    assert(isfinite(cell->number));
    if (cell->exact != NULL && strlen(cell->exact) > 16)
        write_text(book, row, column, cell->exact, fill ? book->fill : book->text);
    else
        check(book, worksheet_write_number(book->sheet, row, column, cell->number,
                                           number_format(book, fill, decimals_of(cell->text))));
}

static void write_cell(struct book *book, const struct grid *grid, size_t row,
                       size_t column)
{
    const struct cell *cell = &grid->table->rows.items[row][column];
    const struct place *place = &grid->places[column];
    bool fill = grid->table->columns.items[column].fill && row < grid->body;
    lxw_format *format = fill ? book->fill : row >= grid->body ? book->strong : book->text;
    lxw_row_t at = (lxw_row_t)row + 1;

    switch (cell->kind) {
    case CELL_COUNT:
    case CELL_QUANTITY:
    case CELL_MONEY:
        write_number(book, at, place->value, cell, fill);
        break;
    case CELL_FORMULA:
        assert(isfinite(cell->number));
        check(book, worksheet_write_formula_num(
                        book->sheet, at, place->value, formula(book, grid, row, column),
                        number_format(book, fill, cell->unit != NULL ? 2 : 0), cell->number));
        break;
    case CELL_DATE:
        write_date(book, at, place->value, cell->text);
        break;
    case CELL_VERDICT:
        write_text(book, at, place->value,
                   cell->text,
                   cell->verdict == VERDICT_OUTSIDE ? book->outside : format);
        break;
    case CELL_BOX:
    case CELL_BLANK:
        write_text(book, at, place->value, cell->text, book->fill);
        break;
    case CELL_EMPTY:
    case CELL_TEXT:
        write_text(book, at, place->value, cell->text, format);
        break;
    }
    if (place->unit)
        write_text(book, at, place->value + 1, cell->unit, row >= grid->body ? book->strong
                                                                             : book->text);
}

/* ---------- sheets ---------- */

static void print_set_up(struct book *book, const char *name)
{
    const char *revision = book->pack->revision != NULL ? book->pack->revision : "";
    struct str_buf footer = {.arena = book->arena};

    worksheet_set_landscape(book->sheet);
    worksheet_set_paper(book->sheet, book->pack->template->paper == PAPER_LETTER ? 1 : 9);
    worksheet_set_margins(book->sheet, 0.5, 0.5, 0.5, 0.7);
    worksheet_fit_to_pages(book->sheet, 1, 0);
    str_add(&footer, "&L");
    for (const char *at = str_print(book->arena, "%.60s \xc2\xb7 %s \xc2\xb7 %.60s",
                                    book->pack->title, name, revision);
         *at != '\0'; at++)
        str_add_print(&footer, *at == '&' ? "&&" : "%c", *at);
    str_add_print(&footer, "&R%s &P %s &N", label(book->labels, "card.page"),
                  label(book->labels, "card.of"));
    if (str_utf8_valid(footer.bytes, footer.length) == footer.length && footer.length < 255)
        check(book, worksheet_set_footer(book->sheet, footer.bytes));
    else
        check(book, worksheet_set_footer(book->sheet, "&R&P / &N"));
}

/* Heights are given, since not every reader finds them for itself. */
static void set_height(struct book *book, const struct grid *grid, size_t row)
{
    double points = fmin(15.0 * grid_lines(grid, book->arena, row), 409); /* Excel's limit */

    check(book, worksheet_set_row(book->sheet, (lxw_row_t)row + 1, points, NULL));
}

static void write_table(struct book *book, const struct table *table)
{
    struct grid grid = grid_new(book->arena, table, label(book->labels, "sheet.unit"));

    for (size_t i = 0; i < table->columns.count; i++) {
        const struct place *place = &grid.places[i];
        check(book, worksheet_set_column(book->sheet, place->value, place->value, place->width,
                                         NULL));
        write_text(book, 0, place->value, table->columns.items[i].heading,
                   grid_is_number(table->columns.items[i].kind) ? book->head_number : book->head);
        if (!place->unit)
            continue;
        check(book, worksheet_set_column(book->sheet, place->value + 1, place->value + 1,
                                         place->unit_width, NULL));
        write_text(book, 0, place->value + 1, label(book->labels, "sheet.unit"), book->head);
    }
    check(book, worksheet_set_row(book->sheet, 0, 15.0 * grid.head_lines + 4, NULL));
    for (size_t row = 0; row < table->rows.count; row++) {
        set_height(book, &grid, row);
        for (size_t i = 0; i < table->columns.count; i++)
            write_cell(book, &grid, row, i);
    }
    if (grid.body > 0)
        check(book, worksheet_autofilter(book->sheet, 0, 0, (lxw_row_t)grid.body,
                                         (lxw_col_t)(grid.columns - 1)));
    worksheet_freeze_panes(book->sheet, 1, 0);
    check(book, worksheet_repeat_rows(book->sheet, 0, 0));
}

static void write_lines(struct book *book, const struct sheet *sheet)
{
    check(book, worksheet_set_column(book->sheet, 0, 0, 100, NULL));
    for (size_t i = 0; i < sheet->lines.count; i++)
        write_text(book, (lxw_row_t)i, 0, sheet->lines.items[i], i == 0 ? book->title : book->text);
}

static void set_properties(struct book *book)
{
    /* Copies: the library's structure has no const. 1980-01-01 is what its zip entries bear too. */
    lxw_doc_properties properties = {
        .title = str_copy(book->arena, cell_string(book, book->pack->title)),
        .comments = book->pack->revision != NULL ? str_copy(book->arena, book->pack->revision) : NULL,
        .created = (time_t)(book->pack->date != 0 ? book->pack->date : 315532800)};

    check(book, workbook_set_properties(book->workbook, &properties));
}

static void write_sheets(struct book *book)
{
    make_formats(book);
    set_properties(book);
    for (size_t i = 0; i < book->pack->sheets.count && book->error == LXW_NO_ERROR; i++) {
        const struct sheet *sheet = book->pack->sheets.items[i];
        const char *name = sheet_name(book, sheet->name, i);
        book->sheet = workbook_add_worksheet(book->workbook, name);
        if (book->sheet == NULL) {
            check(book, LXW_ERROR_MEMORY_MALLOC_FAILED);
            return;
        }
        print_set_up(book, name);
        if (sheet->table != NULL)
            write_table(book, sheet->table);
        else
            write_lines(book, sheet);
    }
}

static void give_up(void *workbook)
{
    lxw_workbook_free(workbook);
}

/* The one function in which a workbook is open. */
static lxw_error make_book(struct book *book, const char *path)
{
    lxw_workbook_options options = {.constant_memory = LXW_FALSE};

    book->workbook = workbook_new_opt(path, &options);
    if (book->workbook == NULL)
        return LXW_ERROR_MEMORY_MALLOC_FAILED;
    context_opened(book->context, give_up, book->workbook);
    write_sheets(book);
    context_closed(book->context, book->workbook);
    if (book->error != LXW_NO_ERROR)
        lxw_workbook_free(book->workbook);
    else
        book->error = workbook_close(book->workbook); /* frees it too */
    return book->error;
}

bool write_xlsx(struct context *context, const struct pack *pack, struct outputs *outputs)
{
    struct book book = {.context = context, .arena = context->arena, .pack = pack,
                        .labels = pack->template->labels};
    struct output output = {.name = write_name(context->arena, pack, "parts", "xlsx")};
    struct scratch scratch;
    const char *why = NULL;

    if (pack->sheets.count == 0)
        return true;
    if (!scratch_open(&scratch)) {
        why = "no scratch file could be made";
    } else {
        lxw_error error = make_book(&book, scratch.path);
        if (error != LXW_NO_ERROR)
            why = lxw_strerror(error);
        else if (!scratch_read(&scratch, context->arena, &output.bytes, &output.size) ||
                 !archive_is_whole(context->arena, output.bytes, output.size))
            why = "the workbook came out incomplete; is the folder of temporary files full?";
        scratch_close(&scratch);
    }
    if (why == NULL) {
        *ARRAY_PUSH(context->arena, outputs) = output;
        return true;
    }
    diag_add(&context->diags, DIAG_WRITER_FAILED, (struct span){0}, "%s: %s", output.name, why);
    context->outside_failed = true;
    return false;
}
