/* mutation.h - the cells that the mutation run changes. */
#ifndef MUTATION_H
#define MUTATION_H

#include <gudgeon/table.h>

/* A cell as its file has it. */
struct mutation_cell {
    const struct table_kind *kind;
    const struct table_column *column;
    const struct table_row *row; /* of the built-in set */
    size_t index; /* of the row in the kind */
    size_t line; /* of the row in its file, from 1 */
    const char *text; /* "13.25", "10 mm" */
    double digit; /* one last digit of the text, in the units of the cell */
};
struct mutation_cells {
    struct mutation_cell *items;
    size_t count, room;
};
/* Every numeric cell of src/table/data; aborts with a message when a file and the set differ. */
struct mutation_cells mutation_cells_load(struct arena *arena, const struct table_set *set);

#endif
