/* book_rules.c - what may be typed into the cells that people fill, and which cells are marked. */
#include "book_private.h"

#include <string.h>

enum { MOST_LIST = 255 /* letters of a list of choices, commas included */ };

static bool fits_list(const char *const *choices)
{
    size_t letters = 0;

    for (size_t i = 0; choices[i] != NULL; i++) {
        if (strchr(choices[i], ',') != NULL)
            return false; /* would be two choices */
        letters += str_code_points(choices[i], strlen(choices[i])) + 1;
    }
    return letters > 0 && letters <= MOST_LIST;
}

/* A number where a number belongs, no pieces or prices below nothing, one of the words given. */
static bool rule_of(const struct column *column, lxw_data_validation *rule)
{
    *rule = (lxw_data_validation){.ignore_blank = LXW_VALIDATION_ON,
                                  .criteria = LXW_VALIDATION_CRITERIA_GREATER_THAN_OR_EQUAL_TO,
                                  .show_error = LXW_VALIDATION_ON};
    switch (column->kind) {
    case CELL_COUNT:
        rule->validate = LXW_VALIDATION_TYPE_INTEGER;
        return true;
    case CELL_MONEY:
        rule->validate = LXW_VALIDATION_TYPE_DECIMAL;
        return true;
    case CELL_QUANTITY:
        rule->validate = LXW_VALIDATION_TYPE_DECIMAL;
        rule->criteria = LXW_VALIDATION_CRITERIA_BETWEEN;
        rule->minimum_number = -1e9;
        rule->maximum_number = 1e9;
        return true;
    default:
        if (column->choices == NULL || !fits_list(column->choices))
            return false;
        rule->validate = LXW_VALIDATION_TYPE_LIST;
        rule->criteria = LXW_VALIDATION_CRITERIA_NONE;
        rule->value_list = (char **)(uintptr_t)column->choices; /* the library only reads it */
        return true;
    }
}

static void mark(struct book *book, lxw_col_t column, const char *formula, lxw_format *format)
{
    lxw_conditional_format condition = {.type = LXW_CONDITIONAL_TYPE_FORMULA, .format = format};

    if (formula == NULL)
        return;
    condition.value_string = str_copy(book->arena, book_formula(book, formula, 0));
    book_check(book, worksheet_conditional_format_range(book->at->worksheet, 1, column,
                                                        (lxw_row_t)book->at->grid.body, column,
                                                        &condition));
}

void book_rules(struct book *book)
{
    const struct grid *grid = &book->at->grid;
    lxw_data_validation rule;

    for (size_t i = 0; i < grid->table->columns.count && grid->body > 0; i++) {
        const struct column *column = &grid->table->columns.items[i];
        lxw_col_t at = grid->places[i].value;
        if (column->fill && rule_of(column, &rule))
            book_check(book, worksheet_data_validation_range(book->at->worksheet, 1, at,
                                                             (lxw_row_t)grid->body, at, &rule));
        mark(book, at, column->strong, book->mark_strong);
        mark(book, at, column->soft, book->mark_soft);
    }
}
