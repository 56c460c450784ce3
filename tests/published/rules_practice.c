/* rules_practice.c - rules of materials and gasket sheets. */
#include "check_rows.h"
#include "published.h"
#include "rules.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* --- materials --- */

/* The publisher that a published row means, as the sources of the table begin: "Callister" of
 * "table=Callister", "catalogue" of "table=catalogue-1", else the first name of the source. */
static bool rests_on(const struct table_material *material, const struct check_row *row)
{
    char name[16] = "";
    const char *text =
        check_has(row, "table") ? check_part(row->input, "table") : row->source;
    size_t length = strcspn(text, "-/, ");
    memcpy(name, text, length < sizeof name ? length : sizeof name - 1);
    return strstr(material->row.source, name) != NULL;
}

struct range {
    double low, high;
};

/* What the source of the row prints of the material, from the least to the most; NAN where nothing of
 * it is among the published rows. */
static struct range printed_range(const struct table_material *material, const char *topic)
{
    struct check_rows rows = check_rows_load("fits-and-engine.csv");
    struct range range = {NAN, NAN};
    for (size_t i = 0; i < rows.count; i++) {
        const struct check_row *row = &rows.items[i];
        if (strcmp(row->topic, topic) != 0 || !rests_on(material, row))
            continue;
        const char *name = published_material(check_part(row->input, "material"));
        const char *dots = strstr(row->expected, "..");
        double unit = strcmp(row->unit, "1e-6/degF") == 0 ? 1.8
                      : strcmp(row->unit, "psi") == 0     ? 6.894757293168361e-6
                                                          : 1;
        double low = strtod(row->expected, NULL) * unit;
        double high = dots == NULL ? low : strtod(dots + 2, NULL) * unit;
        if (name == NULL || strcmp(name, material->name) != 0)
            continue;
        range.low = isnan(range.low) ? low : fmin(range.low, low);
        range.high = isnan(range.high) ? high : fmax(range.high, high);
    }
    return range;
}

static bool range_is(struct range printed, double low, double high)
{
    return isnan(printed.low) || (published_close(low, printed.low, 2e-3) &&
                                  published_close(high, printed.high, 2e-3));
}

static bool ranges_are_as_printed(const struct table_set *set, const void *row)
{
    const struct table_material *m = row;
    (void)set;
    return (!table_has(m->expansion_low_per_k) ||
            range_is(printed_range(m, "material-alpha"), m->expansion_low_per_k * 1e6,
                     m->expansion_high_per_k * 1e6)) &&
           (!table_has(m->modulus_low_pa) ||
            range_is(printed_range(m, "material-E"), m->modulus_low_pa / 1e9,
                     m->modulus_high_pa / 1e9));
}

/* --- gasket sheets --- */

/* "gasket-paper-025" is 0.25 mm, "cork-15" 1.5 mm: the least free thickness. */
static bool name_says_thickness(const struct table_set *set, const void *row)
{
    const struct table_sheet *sheet = row;
    const char *digits = strrchr(sheet->name, '-') + 1;
    (void)set;
    return published_close((double)sheet->free_low_pm,
                           strtod(digits, NULL) * pow(10, 10 - (double)strlen(digits)), 1e-9);
}

const struct published_rule published_practice_rules[] = {
    {"material", "", "a range is as wide as what its source prints",
     "the sources of tests/published/fits-and-engine.csv", false, ranges_are_as_printed},
    {"sheet", "", "the name says the free thickness", "definition", true, name_says_thickness},
    {NULL, NULL, NULL, NULL, false, NULL},
};
