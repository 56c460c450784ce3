/* write_xlsx.c - workbooks by libxlsxwriter: parts.xlsx, and one for each supplier.
 *
 * The library writes files only, stamps the clock unless told a date, lets through what makes a file
 * unreadable, and can lose the last block in silence: so every string goes through book_string,
 * numbers are finite, the file has no name, and its end record is looked at. */
#include "archive_private.h"
#include "book_private.h"
#include "scratch_private.h"

#include <math.h>
#include <string.h>

/* What a sheet's name may not be, checked here since the library lets some of it pass. */
static const char *sheet_name(struct book *book, const char *name, size_t index)
{
    struct str_buf out = {.arena = book->arena};
    size_t letters = 0;

    for (const char *at = str_safe_cell(book->arena, name, false);
         *at != '\0' && letters < BOOK_SHEET_NAME; letters++) {
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

/* ---------- sheets ---------- */

static void print_set_up(struct book *book)
{
    lxw_worksheet *sheet = book->at->worksheet;
    const char *revision = book->pack->revision != NULL ? book->pack->revision : "";
    struct str_buf footer = {.arena = book->arena};

    worksheet_set_landscape(sheet);
    worksheet_set_paper(sheet, book->pack->template->paper == PAPER_LETTER ? 1 : 9);
    worksheet_set_margins(sheet, 0.5, 0.5, 0.5, 0.7);
    worksheet_fit_to_pages(sheet, 1, 0);
    str_add(&footer, "&L");
    for (const char *at = str_print(book->arena, "%.60s \xc2\xb7 %s \xc2\xb7 %.60s",
                                    book->pack->title, book->at->name, revision);
         *at != '\0'; at++)
        str_add_print(&footer, *at == '&' ? "&&" : "%c", *at);
    str_add_print(&footer, "&R%s &P %s &N", label(book->labels, "card.page"),
                  label(book->labels, "card.of"));
    if (str_utf8_valid(footer.bytes, footer.length) == footer.length && footer.length < 255)
        book_check(book, worksheet_set_footer(sheet, footer.bytes));
    else
        book_check(book, worksheet_set_footer(sheet, "&R&P / &N"));
}

/* Heights are given, since not every reader finds them for itself. */
static void set_height(struct book *book, size_t row)
{
    double lines = grid_lines(&book->at->grid, book->arena, row);

    book_check(book, worksheet_set_row(book->at->worksheet, (lxw_row_t)row + 1,
                                       fmin(15.0 * lines, 409) /* Excel's limit */, NULL));
}

static void write_heads(struct book *book)
{
    const struct grid *grid = &book->at->grid;
    lxw_worksheet *sheet = book->at->worksheet;

    for (size_t i = 0; i < grid->table->columns.count; i++) {
        const struct place *place = &grid->places[i];
        const struct column *column = &grid->table->columns.items[i];
        book_check(book, worksheet_set_column(sheet, place->value, place->value, place->width, NULL));
        book_text(book, 0, place->value, column->heading,
                  grid_is_number(column->kind) ? book->head_number : book->head);
        if (!place->unit)
            continue;
        book_check(book, worksheet_set_column(sheet, place->value + 1, place->value + 1,
                                              place->unit_width, NULL));
        book_text(book, 0, place->value + 1, label(book->labels, "sheet.unit"), book->head);
    }
    book_check(book, worksheet_set_row(sheet, 0, 15.0 * grid->head_lines + 4, NULL));
}

static void write_table(struct book *book)
{
    const struct grid *grid = &book->at->grid;
    lxw_worksheet *sheet = book->at->worksheet;

    write_heads(book);
    for (size_t row = 0; row < grid->table->rows.count; row++) {
        set_height(book, row);
        for (size_t i = 0; i < grid->table->columns.count; i++)
            book_cell(book, row, i);
    }
    if (grid->body > 0)
        book_check(book, worksheet_autofilter(sheet, 0, 0, (lxw_row_t)grid->body,
                                              (lxw_col_t)(grid->columns - 1)));
    worksheet_freeze_panes(sheet, 1, 0);
    book_check(book, worksheet_repeat_rows(sheet, 0, 0));
    book_rules(book);
}

static void write_lines(struct book *book, const struct sheet *sheet)
{
    book_check(book, worksheet_set_column(book->at->worksheet, 0, 0, 100, NULL));
    for (size_t i = 0; i < sheet->lines.count; i++)
        book_text(book, (lxw_row_t)i, 0, sheet->lines.items[i], i == 0 ? book->title : book->text);
}

/* ---------- workbook ---------- */

/* All sheets are there before the first is written: they lead to each other. */
static void add_sheets(struct book *book, struct sheet *const *sheets, size_t count)
{
    book->sheets = ARENA_ARRAY(book->arena, struct book_sheet, count);
    book->sheet_count = count;
    for (size_t i = 0; i < count; i++) {
        struct book_sheet *at = &book->sheets[i];
        at->sheet = sheets[i];
        at->name = sheet_name(book, sheets[i]->name, i);
        at->worksheet = workbook_add_worksheet(book->workbook, at->name);
        if (at->worksheet == NULL) {
            book_check(book, LXW_ERROR_MEMORY_MALLOC_FAILED);
            return;
        }
        if (sheets[i]->table != NULL)
            at->grid = grid_new(book->arena, sheets[i]->table, label(book->labels, "sheet.unit"));
    }
}

static void write_sheets(struct book *book)
{
    for (size_t i = 0; i < book->sheet_count && book->error == LXW_NO_ERROR; i++) {
        book->at = &book->sheets[i];
        print_set_up(book);
        if (book->at->sheet->table != NULL)
            write_table(book);
        else
            write_lines(book, book->at->sheet);
    }
}

static void set_properties(struct book *book, const char *title)
{
    /* Copies: the library's structure has no const. 1980-01-01 is what its zip entries bear too. */
    lxw_doc_properties properties = {
        .title = str_copy(book->arena, book_string(book, title)),
        .comments = book->pack->revision != NULL ? str_copy(book->arena, book->pack->revision) : NULL,
        .created = (time_t)(book->pack->date != 0 ? book->pack->date : 315532800)};

    book_check(book, workbook_set_properties(book->workbook, &properties));
}

static void give_up(void *workbook)
{
    lxw_workbook_free(workbook);
}

/* The one function in which a workbook is open. */
static lxw_error make_book(struct book *book, const char *path, const char *title,
                           struct sheet *const *sheets, size_t count)
{
    lxw_workbook_options options = {.constant_memory = LXW_FALSE};

    book->workbook = workbook_new_opt(path, &options);
    if (book->workbook == NULL)
        return LXW_ERROR_MEMORY_MALLOC_FAILED;
    context_opened(book->context, give_up, book->workbook);
    book_formats(book);
    set_properties(book, title);
    if (book->error == LXW_NO_ERROR)
        add_sheets(book, sheets, count);
    write_sheets(book);
    context_closed(book->context, book->workbook);
    if (book->error != LXW_NO_ERROR)
        lxw_workbook_free(book->workbook);
    else
        book->error = workbook_close(book->workbook); /* frees it too */
    return book->error;
}

static bool write_book(struct context *context, const struct pack *pack, struct outputs *outputs,
                       const char *file, const char *title, struct sheet *const *sheets,
                       size_t count)
{
    struct book book = {.context = context, .arena = context->arena, .pack = pack,
                        .labels = pack->template->labels, .file = file};
    struct output output = {.name = file};
    struct scratch scratch;
    const char *why = NULL;

    if (!scratch_open(&scratch)) {
        why = "no scratch file could be made";
    } else {
        lxw_error error = make_book(&book, scratch.path, title, sheets, count);
        if (error != LXW_NO_ERROR)
            why = lxw_strerror(error);
        else if (!scratch_read(&scratch, context->arena, &output.bytes, &output.size) ||
                 !archive_is_whole(output.bytes, output.size))
            why = "the workbook came out incomplete; is the folder of temporary files full?";
        scratch_close(&scratch);
    }
    if (why == NULL) {
        *ARRAY_PUSH(context->arena, outputs) = output;
        return true;
    }
    diag_add(&context->diags, DIAG_WRITER_FAILED, (struct span){0}, "%s: %s", file, why);
    context->outside_failed = true;
    return false;
}

bool write_xlsx(struct context *context, const struct pack *pack, struct outputs *outputs)
{
    if (pack->sheets.count > 0 &&
        !write_book(context, pack, outputs, write_name(context->arena, pack, "parts", "xlsx"),
                    pack->title, pack->sheets.items, pack->sheets.count))
        return false;
    for (size_t i = 0; i < pack->enquiries.count; i++) {
        const struct enquiry *enquiry = &pack->enquiries.items[i];
        const char *file = str_print(context->arena, "orders/%s.xlsx", enquiry->supplier);
        if (!write_book(context, pack, outputs, file, enquiry->title, enquiry->sheets.items,
                        enquiry->sheets.count))
            return false;
    }
    return true;
}
