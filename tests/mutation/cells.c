/* cells.c - the numeric cells of the tables with their text, so that one last digit is known. */
#include "mutation.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <gudgeon/file.h>

enum { COLUMNS = 24 };

static void give_up(const char *file, size_t line, const char *why)
{
    fprintf(stderr, "src/table/data/%s.csv:%zu: %s\n", file, line, why);
    exit(2);
}

/* Splits a line in place; gives the number of fields. A quoted field has no line break in these files. */
static size_t split(char *line, char **fields)
{
    size_t count = 0;
    for (char *at = line; count < COLUMNS; at++) {
        char *write = at;
        bool quoted = *at == '"';
        fields[count++] = at;
        if (quoted)
            for (at++; *at != '\0'; at++) {
                if (*at == '"' && *++at != '"')
                    break;
                *write++ = *at;
            }
        else
            for (; *at != ',' && *at != '\0'; at++)
                *write++ = *at;
        bool last = *at == '\0';
        *write = '\0';
        if (last)
            break;
    }
    return count;
}

/* One file: its headings, and the fields of each row. */
struct file {
    const char *id;
    char *headings[COLUMNS];
    size_t width;
    const char **rows; /* row * COLUMNS + column */
    size_t *lines; /* of each row */
    size_t count, line;
};

static void file_load(struct arena *arena, const char *id, struct file *file)
{
    char *path = str_print(arena, "src/table/data/%s.csv", id);
    struct file_bytes bytes = file_read(arena, path, 1 << 24);
    if (bytes.status != FILE_OK)
        give_up(id, 0, "cannot be read (run from the top of the tree)");
    *file = (struct file){.id = id};
    char *text = str_slice(arena, bytes.bytes, bytes.size);
    struct {
        const char **items;
        size_t count, room;
    } rows = {0};
    struct {
        size_t *items;
        size_t count, room;
    } lines = {0};
    for (char *line = text, *next; line != NULL && *line != '\0'; line = next) {
        char *end = strchr(line, '\n'), *fields[COLUMNS] = {NULL};
        next = end == NULL ? NULL : end + 1;
        if (end != NULL)
            *end = '\0';
        file->line++;
        if ((line[0] == '#' && file->width == 0) || line[0] == '\0') /* #10-32 is a row */
            continue;
        size_t width = split(line, fields);
        if (file->width == 0) {
            file->width = width;
            memcpy(file->headings, fields, sizeof fields);
            continue;
        }
        for (size_t i = 0; i < COLUMNS; i++)
            *ARRAY_PUSH(arena, &rows) = fields[i] == NULL ? "" : fields[i];
        *ARRAY_PUSH(arena, &lines) = file->line;
        file->count++;
    }
    file->rows = rows.items;
    file->lines = lines.items;
}

static const char *field(const struct file *file, size_t row, const char *heading)
{
    size_t length = strlen(heading);
    for (size_t i = 0; i < file->width; i++)
        if (strncmp(file->headings[i], heading, length) == 0 &&
            (file->headings[i][length] == '\0' || file->headings[i][length] == ':'))
            return file->rows[row * COLUMNS + i];
    return "";
}

static double stored(const struct table_row *row, const struct table_column *column)
{
    const void *at = (const char *)row + column->offset;
    return column->cell == TABLE_LENGTH ? (double)*(const int64_t *)at : *(const double *)at;
}

/* Units of the cell for one unit of its text: as the heading says ("low:thou"), else from a row of the
 * file that is not zero. */
static double scale_of(const struct file *file, const struct table_set *set,
                       const struct table_kind *kind, const struct table_column *column,
                       size_t first)
{
    size_t length = strlen(column->heading);
    for (size_t i = 0; i < file->width; i++) {
        const char *heading = file->headings[i];
        if (strncmp(heading, column->heading, length) == 0 && heading[length] == ':') {
            const struct qty_unit *unit = qty_unit_find(heading + length + 1, column->dim);
            if (unit != NULL)
                return column->cell == TABLE_LENGTH ? (double)unit->factor_exact : unit->factor;
        }
    }
    for (size_t i = 0; i < file->count; i++) {
        double number = strtod(field(file, i, column->heading), NULL);
        if (number != 0)
            return fabs(stored(table_row_at(set, kind->name, first + i), column) / number);
    }
    return 1;
}

/* "13.25" has a last digit of 0.01; a fraction ("1 5/16 in") is exact and has none. */
static double last_digit(const char *text)
{
    const char *dot = strchr(text, '.');
    if (strchr(text, '/') != NULL)
        return 0;
    return dot == NULL ? 1 : pow(10, -(double)strspn(dot + 1, "0123456789"));
}

static void add_row(struct arena *arena, struct mutation_cells *cells, const struct file *file,
                    const struct mutation_cell *place, double scale, size_t row)
{
    const char *text = field(file, row, place->column->heading);
    if (text[0] == '\0')
        return; /* left to what the reader works out */
    struct mutation_cell cell = *place;
    cell.text = text;
    cell.line = file->lines[row];
    cell.digit = scale * last_digit(text);
    *ARRAY_PUSH(arena, cells) = cell;
}

static void add_file(struct arena *arena, struct mutation_cells *cells, const struct table_set *set,
                     const struct table_kind *kind, const struct file *file, size_t first)
{
    for (size_t c = 0; c < kind->column_count; c++) {
        const struct table_column *column = &kind->columns[c];
        if (column->cell != TABLE_LENGTH && column->cell != TABLE_NUMBER)
            continue;
        double scale = scale_of(file, set, kind, column, first);
        for (size_t i = 0; i < file->count; i++) {
            struct mutation_cell cell = {.kind = kind, .column = column, .index = first + i};
            cell.row = table_row_at(set, kind->name, first + i);
            if (cell.row == NULL || strcmp(cell.row->table->id, file->id) != 0)
                give_up(file->id, i, "the built-in set has fewer rows: build again");
            add_row(arena, cells, file, &cell, scale, i);
        }
    }
}

struct mutation_cells mutation_cells_load(struct arena *arena, const struct table_set *set)
{
    struct mutation_cells cells = {0};
    const struct table_kind *kind;
    for (size_t k = 0; (kind = table_kind_at(k)) != NULL; k++) {
        const struct table_row *row;
        for (size_t i = 0; (row = table_row_at(set, kind->name, i)) != NULL;) {
            struct file file;
            /* factors stand in the heads of the torque tables */
            if (strcmp(row->table->kind, kind->name) != 0) {
                i++;
                continue;
            }
            file_load(arena, row->table->id, &file);
            add_file(arena, &cells, set, kind, &file, i);
            i += file.count;
        }
    }
    return cells;
}
