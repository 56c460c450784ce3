/* bind_joints.h - shared by the binders of published rows. */
#ifndef BIND_JOINTS_H
#define BIND_JOINTS_H

#include "published.h"
#include "test_arena.h"

#include <stdint.h>

#define QUANTITY(row) (check_has(row, "quantity") ? check_part((row)->input, "quantity") : "")

double published_in_unit(const struct check_row *row, double si);
double published_expected(const struct check_row *row);
enum bind_outcome published_length_is(const struct check_row *row, struct bind_fault *fault,
                                      const char *what, int64_t pm);
enum bind_outcome published_number_is(const struct check_row *row, struct bind_fault *fault,
                                      const char *what, double si);
bool published_starts(const char *text, const char *start);
/* The thread that a row means: its `thread` or `size`, with `tpi` where it stands apart; NULL when the
 * table has none. `form` may be NULL. */
const struct table_thread *published_thread(const struct check_row *row,
                                            const struct table_form **form);
enum bind_outcome published_materials(const struct check_row *row, struct bind_fault *fault);
enum bind_outcome published_material_other(const struct check_row *row, struct bind_fault *fault);
/* "1-1/4-12" with the series that the row names, or UNS where only that exists. */
const struct table_thread *published_unified(const struct check_row *row);

#endif
