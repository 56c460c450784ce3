/* table_material.c - materials, gasket sheets, rules, heating ceilings, cautions. */
#include "table_private.h"

#include <math.h>
#include <string.h>

const struct table_material *table_material_find(const struct table_set *set, const char *name,
                                                 struct table_near *near)
{
    struct table_walk walk = table_walk_over(set, KIND_MATERIAL);
    const struct table_material *row;
    while ((row = table_walk_next(&walk)) != NULL)
        if (table_word_is(name, row->name, row->spellings))
            return row;
    if (near == NULL)
        return NULL;
    walk = table_walk_over(set, KIND_MATERIAL);
    while ((row = table_walk_next(&walk)) != NULL)
        if (str_nearest(name, &row->name, 1) != NULL)
            table_near_add(near, row->name);
    return NULL;
}

const struct table_material *table_material_next(const struct table_set *set,
                                                 const struct table_material *row)
{
    struct table_walk walk = table_walk_over(set, KIND_MATERIAL);
    const struct table_material *other;
    bool passed = false;
    while ((other = table_walk_next(&walk)) != NULL) {
        if (passed && str_equal(other->name, row->name))
            return other;
        passed |= other == row;
    }
    return NULL;
}

const struct table_material *table_material_with(const struct table_set *set,
                                                 const struct table_material *row,
                                                 const char *heading)
{
    const struct table_kind *kind = &table_kinds[KIND_MATERIAL];
    const struct table_column *column = NULL;
    for (size_t i = 0; i < kind->column_count; i++)
        if (str_equal(kind->columns[i].heading, heading))
            column = &kind->columns[i];
    for (; column != NULL && row != NULL; row = table_material_next(set, row))
        if (table_has(*(const double *)table_cell_at(row, column)))
            return row;
    return NULL;
}

static double middle(double low, double high)
{
    if (!table_has(high))
        return low;
    return table_has(low) ? (low + high) / 2 : high;
}

double table_material_expansion(const struct table_material *row)
{
    return middle(row->expansion_low_per_k, row->expansion_high_per_k);
}

double table_material_modulus(const struct table_material *row)
{
    return middle(row->modulus_low_pa, row->modulus_high_pa);
}

const struct table_sheet *table_sheet_find(const struct table_set *set, const char *name,
                                           struct table_near *near)
{
    struct table_walk walk = table_walk_over(set, KIND_SHEET);
    const struct table_sheet *row;
    while ((row = table_walk_next(&walk)) != NULL)
        if (table_word_is(name, row->name, ""))
            return row;
    if (near == NULL)
        return NULL;
    walk = table_walk_over(set, KIND_SHEET);
    while ((row = table_walk_next(&walk)) != NULL)
        if (str_nearest(name, &row->name, 1) != NULL)
            table_near_add(near, row->name);
    return NULL;
}

/* --- rules --- */

const struct table_rule *table_rule_find(const struct table_set *set, const char *id,
                                         const char *variant, struct table_near *near)
{
    struct table_walk walk = table_walk_over(set, KIND_RULE);
    const struct table_rule *row, *first = NULL;
    while ((row = table_walk_next(&walk)) != NULL) {
        if (!table_word_is(id, row->id, ""))
            continue;
        if (variant == NULL || table_word_is(variant, "", row->variant) ||
            str_equal(variant, row->variant))
            return row;
        if (first == NULL && row->variant[0] == '\0')
            first = row;
        if (near != NULL && row->variant[0] != '\0')
            table_near_add(near, row->variant);
    }
    if (first != NULL || near == NULL || near->count > 0)
        return first;
    walk = table_walk_over(set, KIND_RULE);
    while ((row = table_walk_next(&walk)) != NULL)
        if (str_nearest(id, &row->id, 1) != NULL)
            table_near_add(near, row->id);
    return NULL;
}

static int64_t rule_end(double ratio, int64_t fixed_pm, int64_t size_pm)
{
    if (!table_has(ratio) && fixed_pm == TABLE_NO_PM)
        return TABLE_NO_PM;
    int64_t end = table_has(ratio) ? (int64_t)llround(ratio * (double)size_pm) : 0;
    return end + (fixed_pm == TABLE_NO_PM ? 0 : fixed_pm);
}

void table_rule_limits(const struct table_rule *rule, int64_t size_pm, int64_t *low_pm,
                       int64_t *high_pm)
{
    *low_pm = rule_end(rule->low_ratio, rule->low_pm, size_pm);
    *high_pm = rule_end(rule->high_ratio, rule->high_pm, size_pm);
}

/* --- heat and cautions --- */

struct table_ceilings table_ceiling_find(struct arena *arena, const struct table_set *set,
                                         const char *what)
{
    struct table_ceilings ceilings = {0};
    const struct table_material *material = table_material_find(set, what, NULL);
    struct table_walk walk = table_walk_over(set, KIND_CEILING);
    const struct table_ceiling *row;
    while ((row = table_walk_next(&walk)) != NULL) {
        if (!table_word_is(what, row->what, "") &&
            (material == NULL ||
             (!str_equal(row->what, material->name) && !str_equal(row->what, material->family))))
            continue;
        *ARRAY_PUSH(arena, &ceilings) = row;
        for (size_t i = ceilings.count - 1; i > 0 && row->most_c < ceilings.items[i - 1]->most_c;
             i--) {
            ceilings.items[i] = ceilings.items[i - 1];
            ceilings.items[i - 1] = row;
        }
    }
    return ceilings;
}

const struct table_chill *table_chill_floor(const struct table_set *set, const char *what)
{
    struct table_walk walk = table_walk_over(set, KIND_CHILL);
    const struct table_chill *row;
    while ((row = table_walk_next(&walk)) != NULL)
        if (str_equal(row->use, "part") && table_word_is(what, row->what, ""))
            return row;
    return NULL;
}

const struct table_chill *table_chill_medium(const struct table_set *set, double celsius)
{
    struct table_walk walk = table_walk_over(set, KIND_CHILL);
    const struct table_chill *row, *best = NULL;
    while ((row = table_walk_next(&walk)) != NULL)
        if (str_equal(row->use, "medium") && row->temperature_c <= celsius &&
            (best == NULL || row->temperature_c > best->temperature_c))
            best = row;
    return best;
}

static bool caution_fits(const struct table_caution *row, const char *value, double number)
{
    if (table_has(row->over) && !(number > row->over))
        return false;
    return row->value[0] == '\0' || (value != NULL && table_word_is(value, "", row->value));
}

struct table_cautions table_caution_find(struct arena *arena, const struct table_set *set,
                                         const char *fact, const char *value, double number)
{
    struct table_cautions cautions = {0};
    struct table_walk walk = table_walk_over(set, KIND_CAUTION);
    const struct table_caution *row;
    while ((row = table_walk_next(&walk)) != NULL)
        if (str_equal(row->fact, fact) && caution_fits(row, value, number))
            *ARRAY_PUSH(arena, &cautions) = row;
    return cautions;
}
