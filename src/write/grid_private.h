/* grid_private.h - a table of the pack laid out on a sheet: columns, widths, heights. */
#ifndef GUDGEON_WRITE_GRID_PRIVATE_H
#define GUDGEON_WRITE_GRID_PRIVATE_H

#include <gudgeon/pack.h>

/* A column of the pack and, where its quantities have units that no text column prints, one more
 * beside it for the unit. */
struct place {
    uint16_t value;     /* its column on the sheet */
    bool unit;          /* the unit stands in value + 1 */
    double width, least, unit_width;
};
struct grid {
    const struct table *table;
    struct place *places;
    uint16_t columns;   /* of the sheet */
    size_t body;        /* rows without sums below them: what the filter covers */
    unsigned head_lines;
};

struct grid grid_new(struct arena *arena, const struct table *table, const char *unit_heading);
/* Lines that a row takes at those widths. */
unsigned grid_lines(const struct grid *grid, struct arena *arena, size_t row);
bool grid_is_number(enum cell_kind kind);

#endif
