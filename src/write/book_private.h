/* book_private.h - a workbook in the making: what its cells, marks and sheets share. Only the files of a
 * book include xlsxwriter.h. */
#ifndef GUDGEON_WRITE_BOOK_PRIVATE_H
#define GUDGEON_WRITE_BOOK_PRIVATE_H

#include <xlsxwriter.h>

#include <gudgeon/write.h>

#include "grid_private.h"

enum { BOOK_DECIMALS = 9, BOOK_LETTERS = 32767 /* of a cell */, BOOK_SHEET_NAME = 31 };

struct book_sheet {              /* one sheet of the pack in this workbook */
    const struct sheet *sheet;
    const char *name;
    lxw_worksheet *worksheet;
    struct grid grid;            /* of its table */
    size_t names;                /* bit a column: it has a defined name already */
};
struct book {
    struct context *context;
    struct arena *arena;
    const struct pack *pack;
    const struct labels *labels;
    const char *file;            /* "parts.xlsx", for messages */
    lxw_workbook *workbook;
    struct book_sheet *sheets, *at; /* at: the one being written */
    size_t sheet_count;
    lxw_error error;             /* the first */
    lxw_format *head, *head_number, *text, *strong, *title, *date, *outside, *link;
    lxw_format *mark_strong, *mark_soft; /* laid over a cell by a condition */
    lxw_format *fill;            /* to be written in */
    lxw_format *number[3][BOOK_DECIMALS + 1]; /* [plain, filled in, in the foot][decimals] */
};

void book_check(struct book *book, lxw_error error);
void book_formats(struct book *book);
/* Fit for a cell: no control characters, escapes escaped, not too long. */
const char *book_string(struct book *book, const char *text);
void book_text(struct book *book, lxw_row_t row, lxw_col_t column, const char *text,
               lxw_format *format);
void book_cell(struct book *book, size_t row, size_t column);
/* A formula of pack as the workbook has it, for the cell at `row`; names what it asks of other sheets. */
const char *book_formula(struct book *book, const char *text, size_t row);
/* What is checked of what people fill in, and the marks that stand out in black and white. */
void book_rules(struct book *book);

#endif
