/* Published rows of fits, heat and bearings that a formula gives; the formulas are in tests/published. */
#include "published.h"

#include <criterion/criterion.h>

Test(published_calc_fits, every_row_of_a_formula_holds_at_its_tolerance)
{
    const struct check_topic *const lists[] = {published_formulas_fits, published_formulas_printed};
    for (size_t i = 0; i < sizeof lists / sizeof *lists; i++) {
        size_t count = 0;
        while (lists[i][count].file != NULL)
            count++;
        check_topics(lists[i], count);
    }
}
