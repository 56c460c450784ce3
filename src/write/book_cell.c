/* book_cell.c - one cell of a workbook: its text, its number, its formula, and how it looks. */
#include "book_private.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

void book_check(struct book *book, lxw_error error)
{
    if (book->error == LXW_NO_ERROR)
        book->error = error;
}

/* ---------- text ---------- */

/* Excel reads _xHHHH_ as an escape (ECMA-376 part 1, 22.4.2.4): a literal one is escaped itself. */
const char *book_string(struct book *book, const char *text)
{
    const char *safe = str_safe_cell(book->arena, text, false);
    struct str_buf out = {.arena = book->arena};
    const char *at = safe, *found = strstr(safe, "_x");
    size_t hex;

    if (found == NULL && strlen(safe) <= BOOK_LETTERS)
        return safe;
    while ((found = strstr(at, "_x")) != NULL) {
        hex = strspn(found + 2, "0123456789abcdefABCDEF");
        str_add_bytes(&out, at, (size_t)(found - at));
        str_add(&out, hex >= 4 && found[6] == '_' ? "_x005F_x" : "_x");
        at = found + 2;
    }
    str_add(&out, at);
    size_t length = out.length;
    if (length > BOOK_LETTERS && str_code_points(out.bytes, length) > BOOK_LETTERS) {
        const char *end = out.bytes;
        for (size_t i = 0; i < BOOK_LETTERS - 1; i++)
            (void)str_code_point(&end);
        diag_add(&book->context->diags, DIAG_CELL_CUT, (struct span){0},
                 "a text of %zu letters is cut to %d in %s: '%.40s...'",
                 str_code_points(out.bytes, length), BOOK_LETTERS, book->file, out.bytes);
        return str_print(book->arena, "%s\xe2\x80\xa6",
                         str_slice(book->arena, out.bytes, (size_t)(end - out.bytes)));
    }
    return out.bytes;
}

void book_text(struct book *book, lxw_row_t row, lxw_col_t column, const char *text,
               lxw_format *format)
{
    if (text == NULL || *text == '\0')
        book_check(book, worksheet_write_blank(book->at->worksheet, row, column, format));
    else
        book_check(book, worksheet_write_string(book->at->worksheet, row, column,
                                                book_string(book, text), format));
}

/* ---------- formats ---------- */

static lxw_format *format_new(struct book *book)
{
    lxw_format *format = workbook_add_format(book->workbook);

    if (format == NULL)
        book_check(book, LXW_ERROR_MEMORY_MALLOC_FAILED);
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

void book_formats(struct book *book)
{
    book->text = text_format(book, false);
    book->link = text_format(book, false);
    book->fill = text_format(book, true);
    book->date = text_format(book, false);
    book->outside = text_format(book, false);
    book->strong = text_format(book, false);
    book->head = head_format(book);
    book->head_number = head_format(book);
    book->title = format_new(book);
    book->mark_strong = format_new(book);
    book->mark_soft = format_new(book);
    if (book->error != LXW_NO_ERROR)
        return;
    format_set_align(book->head_number, LXW_ALIGN_RIGHT);
    format_set_num_format(book->date, "yyyy-mm-dd");
    format_set_underline(book->link, LXW_UNDERLINE_SINGLE);
    format_set_bold(book->strong);
    format_set_bold(book->outside);
    format_set_border(book->outside, LXW_BORDER_MEDIUM);
    format_set_bold(book->title);
    format_set_font_size(book->title, 14);
    format_set_bold(book->mark_strong);
    format_set_border(book->mark_strong, LXW_BORDER_THIN);
    format_set_bg_color(book->mark_strong, 0xD0D0D0);
    format_set_bold(book->mark_soft);
    format_set_italic(book->mark_soft);
}

/* A number shows as many decimals as its printed text has. */
static lxw_format *number_format(struct book *book, bool fill, bool foot, unsigned decimals)
{
    lxw_format **format = &book->number[foot ? 2 : fill][decimals];
    char pattern[BOOK_DECIMALS + 3] = "0.";

    if (*format != NULL)
        return *format;
    *format = body_format(book, fill);
    if (*format == NULL)
        return NULL;
    memset(pattern + 2, '0', decimals);
    pattern[decimals == 0 ? 1 : 2 + decimals] = '\0';
    format_set_num_format(*format, pattern);
    if (foot)
        format_set_bold(*format);
    return *format;
}

static unsigned decimals_of(const char *text)
{
    const char *point = text != NULL ? strpbrk(text, ".,") : NULL;
    size_t decimals = point != NULL ? strspn(point + 1, "0123456789") : 0;

    return decimals > BOOK_DECIMALS ? BOOK_DECIMALS : (unsigned)decimals;
}

/* ---------- formulas ---------- */

static bool has_key(const char *key, const char *begin, size_t length)
{
    return strncmp(key, begin, length) == 0 && key[length] == '\0';
}

/* The column with this key, or the count of columns. */
static size_t column_of(struct book *book, const struct table *table, const char *key, size_t length)
{
    size_t at = 0;

    while (at < table->columns.count && !has_key(table->columns.items[at].key, key, length))
        at++;
    if (at == table->columns.count)
        book_check(book, LXW_ERROR_PARAMETER_VALIDATION); /* pack names a column that is not there */
    return at;
}

/* `[key]`: the cell of this row; in the foot, that column above the foot. */
static void add_own(struct book *book, struct str_buf *out, size_t row, const char *key,
                    size_t length)
{
    const struct grid *grid = &book->at->grid;
    size_t column = column_of(book, grid->table, key, length);
    char first[LXW_MAX_CELL_NAME_LENGTH], last[LXW_MAX_CELL_NAME_LENGTH];

    if (column == grid->table->columns.count)
        return;
    lxw_col_t at = grid->places[column].value;
    if (row < grid->body) {
        lxw_rowcol_to_cell_abs(first, (lxw_row_t)row + 1, at, 0, 1);
        str_add(out, first);
        return;
    }
    lxw_rowcol_to_cell(first, 1, at);
    lxw_rowcol_to_cell(last, (lxw_row_t)(grid->body > 0 ? grid->body : 1), at);
    str_add_print(out, "%s:%s", first, last);
}

/* `[sheet.key]`: that column of another sheet above its foot, by a name of its own, "to_buy_total". */
static void add_other(struct book *book, struct str_buf *out, const char *sheet, size_t sheet_length,
                      const char *key, size_t length)
{
    struct book_sheet *other = NULL;
    char cells[LXW_MAX_CELL_RANGE_LENGTH];

    for (size_t i = 0; i < book->sheet_count && other == NULL; i++)
        if (has_key(book->sheets[i].sheet->id, sheet, sheet_length))
            other = &book->sheets[i];
    if (other == NULL || other->grid.table == NULL) {
        book_check(book, LXW_ERROR_PARAMETER_VALIDATION);
        return;
    }
    size_t column = column_of(book, other->grid.table, key, length);
    if (column == other->grid.table->columns.count)
        return;
    char *name = str_print(book->arena, "%.*s_%.*s", (int)sheet_length, sheet, (int)length, key);
    for (char *at = name; *at != '\0'; at++)
        *at = *at == '-' ? '_' : *at;
    str_add(out, name);
    if (other->names & ((size_t)1 << column))
        return;
    other->names |= (size_t)1 << column;
    lxw_col_t at = other->grid.places[column].value;
    lxw_rowcol_to_range_abs(cells, 1, at,
                            (lxw_row_t)(other->grid.body > 0 ? other->grid.body : 1), at);
    book_check(book, workbook_define_name(book->workbook, name,
                                          str_print(book->arena, "='%s'!%s", other->name, cells)));
}

const char *book_formula(struct book *book, const char *text, size_t row)
{
    struct str_buf out = {.arena = book->arena};
    const char *at = text;

    while (*at != '\0') {
        size_t plain = strcspn(at, "[");
        str_add_bytes(&out, at, plain);
        at += plain;
        if (*at == '\0')
            break;
        size_t length = strcspn(at + 1, "]"), dot = strcspn(at + 1, ".]");
        if (dot < length)
            add_other(book, &out, at + 1, dot, at + 2 + dot, length - dot - 1);
        else
            add_own(book, &out, row, at + 1, length);
        at += 1 + length + (at[1 + length] == ']');
    }
    return out.bytes;
}

/* ---------- cells ---------- */

/* A full date as a date; a year or a month alone stays text. */
static void write_date(struct book *book, lxw_row_t row, lxw_col_t column, const char *text)
{
    lxw_datetime date = {0};
    char rest;

    if (text != NULL && strlen(text) == 10 &&
        sscanf(text, "%4d-%2d-%2d%c", &date.year, &date.month, &date.day, &rest) == 3 &&
        date.year >= 1900)
        book_check(book, worksheet_write_datetime(book->at->worksheet, row, column, &date,
                                                  book->date));
    else
        book_text(book, row, column, text, book->text);
}

/* A number, unless sixteen digits do not hold it. */
static void write_number(struct book *book, lxw_row_t row, lxw_col_t column,
                         const struct cell *cell, bool fill, bool foot)
{
    assert(isfinite(cell->number));
    if (cell->exact != NULL && strlen(cell->exact) > 16)
        book_text(book, row, column, cell->exact, fill ? book->fill : book->text);
    else
        book_check(book,
                   worksheet_write_number(book->at->worksheet, row, column, cell->number,
                                          number_format(book, fill, foot, decimals_of(cell->text))));
}

/* What a formula gives is written beside it, for readers that do not reckon. */
static void write_formula(struct book *book, size_t row, lxw_col_t column, const struct cell *cell,
                          bool foot)
{
    lxw_worksheet *sheet = book->at->worksheet;
    const char *formula = book_formula(book, cell->text, row);
    lxw_row_t at = (lxw_row_t)row + 1;

    assert(isfinite(cell->number));
    if (cell->result != NULL)
        book_check(book, worksheet_write_formula_str(sheet, at, column, formula, book->text,
                                                     book_string(book, cell->result)));
    else
        book_check(book, worksheet_write_formula_num(
                             sheet, at, column, formula,
                             number_format(book, false, foot, cell->unit != NULL ? 2 : 0),
                             cell->number));
}

/* Leads to the row of another sheet, or to a file beside the workbook. */
static void write_link(struct book *book, lxw_row_t row, lxw_col_t column, const struct cell *cell)
{
    char place[LXW_MAX_CELL_NAME_LENGTH];
    const char *url = NULL;

    if (cell->link_file != NULL) {
        url = str_print(book->arena, "external:%s", cell->link_file);
    } else {
        for (size_t i = 0; i < book->sheet_count && url == NULL; i++) {
            if (strcmp(book->sheets[i].sheet->id, cell->link) != 0)
                continue;
            lxw_rowcol_to_cell(place, (lxw_row_t)cell->link_row + 1, 0);
            url = str_print(book->arena, "internal:'%s'!%s", book->sheets[i].name, place);
        }
    }
    if (url != NULL)
        book_check(book, worksheet_write_url(book->at->worksheet, row, column, url, book->link));
    book_text(book, row, column, cell->text, url != NULL ? book->link : book->text);
}

void book_cell(struct book *book, size_t row, size_t column)
{
    const struct grid *grid = &book->at->grid;
    const struct cell *cell = &grid->table->rows.items[row][column];
    const struct place *place = &grid->places[column];
    bool foot = row >= grid->body, fill = grid->table->columns.items[column].fill && !foot;
    lxw_format *format = fill ? book->fill : foot ? book->strong : book->text;
    lxw_row_t at = (lxw_row_t)row + 1;

    switch (cell->kind) {
    case CELL_COUNT:
    case CELL_QUANTITY:
    case CELL_MONEY:
        write_number(book, at, place->value, cell, fill, foot);
        break;
    case CELL_FORMULA:
        write_formula(book, row, place->value, cell, foot);
        break;
    case CELL_DATE:
        write_date(book, at, place->value, cell->text);
        break;
    case CELL_VERDICT:
        book_text(book, at, place->value, cell->text,
                  cell->verdict == VERDICT_OUTSIDE ? book->outside : format);
        break;
    case CELL_BOX:
    case CELL_BLANK:
        book_text(book, at, place->value, cell->text, book->fill);
        break;
    case CELL_TEXT:
        if (cell->link != NULL || cell->link_file != NULL) {
            write_link(book, at, place->value, cell);
            break;
        }
        book_text(book, at, place->value, cell->text, format);
        break;
    case CELL_EMPTY:
        book_text(book, at, place->value, NULL, format);
        break;
    }
    if (place->unit)
        book_text(book, at, place->value + 1, cell->unit, foot ? book->strong : book->text);
}
