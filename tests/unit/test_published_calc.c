/* Published rows of threads, tightening and units against the formulas; how many ran is printed, and
 * may only grow. The binders are in tests/published. */
#include "published.h"

#include <criterion/criterion.h>

Test(published_calc, every_row_of_a_formula_holds_at_its_tolerance)
{
    size_t count = 0;

    while (published_formulas[count].file != NULL)
        count++;
    check_topics(published_formulas, count);
}
