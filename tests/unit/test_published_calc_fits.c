/* Published rows of fits, heat and bearings that a formula gives; the formulas are in tests/published. */
#include "published.h"

#include <criterion/criterion.h>

Test(published_calc_fits, every_row_of_a_formula_holds_at_its_tolerance)
{
    size_t count = 0;
    while (published_formulas_fits[count].file != NULL)
        count++;
    check_topics(published_formulas_fits, count);
}
