/* grid.c - where the columns of a table come to stand on a sheet, and how wide and high its cells must
 * be so that nothing is cut off or printed as ###. Widths in letters of the standard font. */
#include "grid_private.h"

#include <math.h>
#include <string.h>

enum { WIDEST = 44, NARROWEST = 6,
       EASY = 8, EASY_SHARE = 5 /* a text column is not made narrower than that for the page's sake */,
       PAGE_WIDTH = 170 /* letters that A4 landscape takes and can still be read */ };

static bool prints_units_of(const struct table *table, size_t texts, size_t numbers)
{
    for (size_t i = 0; i < table->rows.count; i++) {
        const char *unit = table->rows.items[i][numbers].unit;
        if (unit != NULL && !str_equal(table->rows.items[i][texts].text, unit))
            return false;
    }
    return true;
}

static bool needs_unit(const struct table *table, size_t column)
{
    bool any = false;

    for (size_t i = 0; i < table->rows.count && !any; i++)
        any = table->rows.items[i][column].unit != NULL &&
              *table->rows.items[i][column].unit != '\0';
    for (size_t i = 0; i < table->columns.count && any; i++)
        any = table->columns.items[i].kind != CELL_TEXT || !prints_units_of(table, i, column);
    return any;
}

static double longest_line(const char *text)
{
    size_t most = 0;

    while (text != NULL && *text != '\0') {
        size_t length = strcspn(text, "\n"), wide = str_display_width(text, length);
        most = wide > most ? wide : most;
        text += length + (text[length] == '\n');
    }
    return (double)most;
}

bool grid_is_number(enum cell_kind kind)
{
    return kind == CELL_COUNT || kind == CELL_QUANTITY || kind == CELL_MONEY ||
           kind == CELL_FORMULA;
}

static const char *shown_text(struct arena *arena, const struct cell *cell)
{
    if (cell->kind == CELL_FORMULA && cell->result != NULL)
        return cell->result;
    if (cell->kind == CELL_FORMULA || (cell->text == NULL && grid_is_number(cell->kind)))
        return str_decimal(arena, cell->number, 2);
    return cell->text != NULL ? cell->text : "";
}

static double longest_word(const char *text)
{
    double most = 0;

    while (*text != '\0') {
        size_t length = strcspn(text, " \n");
        most = fmax(most, (double)str_display_width(text, length));
        text += length + (text[length] != '\0');
    }
    return most;
}

/* The printed text is as wide as the number that the sheet shows; bold and a filter's arrow need
 * more. Text may be broken at blanks, a number never. */
static void measure(struct arena *arena, const struct table *table, size_t column,
                    struct place *place)
{
    bool number = grid_is_number(table->columns.items[column].kind);
    double easy = EASY + EASY_SHARE * table->columns.items[column].weight;

    place->width = place->least =
        fmax(NARROWEST, longest_word(table->columns.items[column].heading) * 1.1 + 3.5);
    if (table->columns.items[column].fill && !number) /* room to write in */
        place->width = place->least = fmax(place->least, easy);
    for (size_t i = 0; i < table->rows.count; i++) {
        const char *text = shown_text(arena, &table->rows.items[i][column]);
        double wide = longest_line(text) * 1.05 + 2.5;
        bool whole = number || table->rows.items[i][column].link != NULL ||
                     table->rows.items[i][column].link_file != NULL; /* readers break no link */
        bool short_text = whole || wide <= easy; /* its words are shorter still */
        double word = short_text ? wide : longest_word(text) * 1.05 + 2.5;
        place->width = fmax(place->width, fmin(wide, WIDEST));
        place->least = fmax(place->least, fmin(fmax(word, fmin(wide, easy)), WIDEST));
    }
}

/* The widest columns give way until a page takes them all. */
static void narrow(struct grid *grid)
{
    double total = 0;

    for (size_t i = 0; i < grid->table->columns.count; i++)
        total += grid->places[i].width + (grid->places[i].unit ? grid->places[i].unit_width : 0);
    while (total > PAGE_WIDTH) {
        struct place *widest = NULL;
        for (size_t i = 0; i < grid->table->columns.count; i++) {
            struct place *place = &grid->places[i];
            if (place->width - 1 >= place->least &&
                (widest == NULL || place->width > widest->width))
                widest = place;
        }
        if (widest == NULL)
            return;
        widest->width -= 1;
        total -= 1;
    }
}

/* Lines that a text takes when it is broken at blanks to the width of its column. */
static unsigned lines_in(const char *text, double width, double letter)
{
    unsigned lines = 1;
    double used = 0;

    if ((double)strlen(text) * letter <= width - 2 && strchr(text, '\n') == NULL)
        return 1; /* no letter is wider than its bytes */
    while (*text != '\0') {
        size_t length = strcspn(text, " \n");
        double word = (double)str_display_width(text, length) * letter;
        if (used > 0 && used + word > width - 2) {
            lines++;
            used = 0;
        }
        used += word + letter;
        if (text[length] == '\n') {
            lines++;
            used = 0;
        }
        text += length + (text[length] != '\0');
    }
    return lines;
}

struct grid grid_new(struct arena *arena, const struct table *table, const char *unit_heading)
{
    struct grid grid = {.table = table};

    grid.places = ARENA_ARRAY(arena, struct place, table->columns.count);
    for (size_t i = 0; i < table->columns.count; i++) {
        struct place *place = &grid.places[i];
        place->value = grid.columns++;
        measure(arena, table, i, place);
        place->unit = needs_unit(table, i);
        if (!place->unit)
            continue;
        grid.columns++;
        place->unit_width = longest_line(unit_heading) * 1.1 + 2.5;
        for (size_t j = 0; j < table->rows.count; j++)
            place->unit_width = fmax(place->unit_width,
                                     longest_line(table->rows.items[j][i].unit) * 1.05 + 2.5);
    }
    narrow(&grid);
    grid.head_lines = 1;
    for (size_t i = 0; i < table->columns.count; i++) { /* bold, and an arrow of the filter */
        unsigned needs = lines_in(table->columns.items[i].heading, grid.places[i].width - 1.5, 1.1);
        grid.head_lines = needs > grid.head_lines ? needs : grid.head_lines;
    }
    grid.body = table->rows.count - table->foot;
    return grid;
}

unsigned grid_lines(const struct grid *grid, struct arena *arena, size_t row)
{
    unsigned lines = 1;

    for (size_t i = 0; i < grid->table->columns.count; i++) {
        const struct cell *cell = &grid->table->rows.items[row][i];
        unsigned needs = grid_is_number(cell->kind) && cell->result == NULL
                             ? 1 : lines_in(shown_text(arena, cell), grid->places[i].width, 0.95);
        lines = needs > lines ? needs : lines;
    }
    return lines;
}
