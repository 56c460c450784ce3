/* table_query_fit.c - fits, bearings, materials and rules at the bench. */
#include "table_query_private.h"

#include <string.h>

/* --- fits --- */

/* The size in front ("62", "62 mm", "2 1/2 in"); mm where no unit stands. 0 words when there is none. */
static size_t nominal(const struct query *query, int64_t *pm)
{
    for (size_t words = 3; words > 0; words--) {
        struct str_buf text = {.arena = query->arena};
        struct qty_value value;
        struct qty_error error;
        if (words >= query->count)
            continue;
        for (size_t i = 0; i < words; i++) {
            str_add(&text, i == 0 ? "" : " ");
            str_add(&text, query->words[i]);
        }
        for (int unit = 0; unit < 2; unit++) {
            if (unit == 1)
                str_add(&text, " mm");
            if (qty_read(query->arena, text.bytes, QTY_LENGTH, QTY_TAKE_ONE, &value, &error)) {
                *pm = value.nominal.exact;
                return words;
            }
        }
    }
    return 0;
}

static bool print_class(const struct query *query, const char *class, int64_t nominal_pm,
                        struct table_limits *limits)
{
    struct arena *arena = query->arena;
    *limits = table_class_limits(query->set, class, nominal_pm);
    if (limits->status != TABLE_FOUND) {
        str_add_print(query->out, "%s %s\n", class,
                      limits->status == TABLE_UNKNOWN ? "is not an ISO 286 class"
                                                      : TABLE_NOT_FOUND);
        return false;
    }
    str_add_print(query->out, "%s %s\n", limits->hole ? "hole" : "shaft", class);
    query_line(query, "deviations",
               str_print(arena, "%s to %s", query_small(arena, limits->low_pm),
                         query_small(arena, limits->high_pm)));
    query_line(query, "sizes",
               str_print(arena, "%s to %s", query_length(arena, nominal_pm + limits->low_pm),
                         query_length(arena, nominal_pm + limits->high_pm)));
    query_line(query, "source", limits->source);
    return true;
}

/* Clearance is hole minus shaft; negative is interference. */
static void print_clearance(const struct query *query, int64_t low_pm, int64_t high_pm)
{
    str_add_print(query->out, "%s fit\n",
                  low_pm >= 0    ? "clearance"
                  : high_pm <= 0 ? "interference"
                                 : "transition");
    query_line(query, "clearance",
               str_print(query->arena, "%s to %s", query_small(query->arena, low_pm),
                         query_small(query->arena, high_pm)));
}

static bool inch_fit(const struct query *query, const char *class, int64_t nominal_pm)
{
    const struct table_b41 *row = table_b41_find(query->set, class, nominal_pm);
    if (row == NULL)
        return false;
    str_add_print(query->out, "%s\n", class);
    print_clearance(query, row->low_pm, row->high_pm);
    if (row->hole_low_pm != TABLE_NO_PM)
        query_line(query, "hole",
                   str_print(query->arena, "%s to %s", query_small(query->arena, row->hole_low_pm),
                             query_small(query->arena, row->hole_high_pm)));
    if (row->shaft_low_pm != TABLE_NO_PM)
        query_line(query, "shaft",
                   str_print(query->arena, "%s to %s", query_small(query->arena, row->shaft_low_pm),
                             query_small(query->arena, row->shaft_high_pm)));
    query_source(query, &row->row);
    return true;
}

bool query_fit(const struct query *query)
{
    int64_t size_pm;
    size_t words = nominal(query, &size_pm);
    if (words == 0 || words + 1 != query->count) {
        str_add(query->out, "write a size and a class: fit 62 H7/k6, fit 2 in RC3\n");
        return false;
    }
    const char *class = query->words[words];
    const char *slash = strchr(class, '/');
    struct table_limits first, second;
    if (slash == NULL && inch_fit(query, class, size_pm))
        return true;
    if (slash == NULL)
        return print_class(query, class, size_pm, &first);
    if (!print_class(query, str_slice(query->arena, class, (size_t)(slash - class)), size_pm,
                     &first) ||
        !print_class(query, slash + 1, size_pm, &second))
        return false;
    if (first.hole == second.hole) {
        str_add(query->out, "a fit is of a hole and a shaft: capitals for the hole, H7/k6\n");
        return false;
    }
    const struct table_limits *hole = first.hole ? &first : &second;
    const struct table_limits *shaft = first.hole ? &second : &first;
    print_clearance(query, hole->low_pm - shaft->high_pm, hole->high_pm - shaft->low_pm);
    return true;
}

/* --- bearings --- */

static void print_limits(const struct query *query, const char *label, bool found, int64_t low_pm,
                         int64_t high_pm)
{
    if (found)
        query_line(query, label,
                   low_pm == high_pm
                       ? query_small(query->arena, low_pm)
                       : str_print(query->arena, "%s to %s", query_small(query->arena, low_pm),
                                   query_small(query->arena, high_pm)));
}

/* Clearance groups of one type, in rising order, as far as they are there. */
static bool print_groups(const struct query *query, const struct table_bearing *bearing,
                         const char *type, const char *const *groups, size_t count)
{
    struct table_bearing of = *bearing;
    int64_t low, high;
    const char *source;
    bool any = false;
    of.type = type;
    for (size_t i = 0; i < count; i++) {
        bool found = table_bearing_clearance(query->set, &of, groups[i], &low, &high, &source);
        const char *label = str_starts(groups[i], "measured ") ? "" : "clearance ";
        print_limits(query, str_print(query->arena, "%s%s", label, groups[i]), found, low, high);
        any |= found;
    }
    return any;
}

static void print_clearances(const struct query *query, const struct table_bearing *bearing)
{
    static const char *const plain[] = {"C2", "CN", "C3", "C4", "C5"};
    static const char *const miniature[] = {"MC1", "MC2", "MC3", "MC4", "MC5", "MC6"};
    static const char *const matched[] = {"CC1", "CC2", "CC", "CC3", "CC4", "CC5"};
    static const char *const measured[] = {"measured C2", "measured CN", "measured C3"};
#define GROUPS(type, groups)                                                                       \
    print_groups(query, bearing, type, groups, sizeof groups / sizeof *groups)
    GROUPS(bearing->type, plain);
    if (bearing->bore_pm < qty_pm_from_mm(10) && str_equal(bearing->type, "deep-groove"))
        GROUPS("miniature-ball", miniature);
    if (str_equal(bearing->type, "cylindrical-roller"))
        GROUPS("cylindrical-roller-matched", matched);
    if (GROUPS(bearing->type, measured))
        query_line(query, "", "measured: to be added when the clearance is measured under load");
#undef GROUPS
    if (str_equal(bearing->type, "cylindrical-roller"))
        query_line(query, "",
                   "C groups: rings and rollers interchange; CC groups: they are matched and stay "
                   "together");
}

static void print_bearing(const struct query *query, const struct table_bearing *bearing)
{
    struct arena *arena = query->arena;
    int64_t low, high;
    const char *source;
    str_add_print(query->out, "%s, %s, series %s\n", bearing->designation, bearing->type,
                  bearing->series);
    query_line(query, "bore", query_length(arena, bearing->bore_pm));
    query_line(query, "outside", query_length(arena, bearing->outside_pm));
    query_line(query, "width", query_length(arena, bearing->width_pm));
    if (bearing->overall_pm != bearing->width_pm)
        query_line(query, "overall (T)", query_length(arena, bearing->overall_pm));
    if (bearing->cup_pm != TABLE_NO_PM)
        query_line(query, "cup (C)", query_length(arena, bearing->cup_pm));
    if (bearing->iso_355[0] != '\0')
        query_line(query, "ISO 355", bearing->iso_355);
    bool found = table_bearing_tolerance(query->set, bearing, false, &low, &high, &source);
    print_limits(query, "bore tolerance", found, low, high);
    found = table_bearing_tolerance(query->set, bearing, true, &low, &high, &source);
    print_limits(query, "outside tol.", found, low, high);
    print_clearances(query, bearing);
    query_source(query, &bearing->row);
}

bool query_bearing(const struct query *query)
{
    bool asked, known = query_bearing_of_size(query, &asked);
    if (asked)
        return known;
    struct table_bearing_found found = table_bearing_find(query->set, query->text);
    if (found.status != TABLE_FOUND) {
        query_near(query, "bearing", &found.near);
        return false;
    }
    print_bearing(query, found.bearing);
    return true;
}

/* --- materials and rules --- */

static void range_line(const struct query *query, const char *label, double low, double high,
                       enum qty_dim dim)
{
    if (!table_has(low) && !table_has(high))
        return;
    query_line(query, label,
               table_has(low) && table_has(high) && high > low
                   ? str_print(query->arena, "%s to %s", query_number(query->arena, low, dim),
                               query_number(query->arena, high, dim))
                   : query_number(query->arena, table_has(low) ? low : high, dim));
}

bool query_material(const struct query *query)
{
    struct table_near near = {0};
    const struct table_material *row = table_material_find(query->set, query->text, &near);
    if (row == NULL) {
        query_near(query, "material", &near);
        return false;
    }
    str_add_print(query->out, "%s, %s\n", row->name, row->family);
    for (; row != NULL; row = table_material_next(query->set, row)) {
        range_line(query, "expansion", row->expansion_low_per_k, row->expansion_high_per_k,
                   QTY_EXPANSION);
        range_line(query, "modulus", row->modulus_low_pa, row->modulus_high_pa, QTY_STRESS);
        range_line(query, "Poisson", row->poisson, NAN, QTY_NONE);
        range_line(query, "density", row->density_kg_m3, NAN, QTY_DENSITY);
        range_line(query, "tensile", row->tensile_pa, NAN, QTY_STRESS);
        range_line(query, "shear", row->shear_pa, NAN, QTY_STRESS);
        query_source(query, &row->row);
    }
    return true;
}

static void print_rule(const struct query *query, const struct table_rule *rule,
                       const struct query_sizes *sizes)
{
    int64_t low, high;
    str_add_print(query->out, "%s%s%.*s: %s\n", rule->id, rule->variant[0] == '\0' ? "" : ", ",
                  (int)strcspn(rule->variant, "|"), rule->variant, rule->text);
    if (rule->per[0] != '\0') {
        range_line(query, str_print(query->arena, "per %s", rule->per), rule->low_ratio,
                   rule->high_ratio, QTY_NONE);
    }
    if (rule->per[0] == '\0' || sizes->count > 0) {
        table_rule_limits(rule, sizes->count > 0 ? sizes->lengths[0] : 0, &low, &high);
        if (low != TABLE_NO_PM)
            query_line(query, "at least", query_length(query->arena, low));
        if (high != TABLE_NO_PM)
            query_line(query, "at most", query_length(query->arena, high));
    }
    query_source(query, &rule->row);
}

/* Rules of that id and variant; with `loosely` those whose id begins so. */
static bool print_rules(const struct query *query, const char *variant, bool loosely)
{
    struct query_sizes sizes = query_sizes(query, NULL);
    struct table_walk walk = table_walk_over(query->set, KIND_RULE);
    const struct table_rule *row;
    bool found = false;
    while ((row = table_walk_next(&walk)) != NULL) {
        bool named = loosely ? str_starts(row->id, query->words[0])
                             : table_word_is(query->words[0], row->id, "");
        if (!named || (variant != NULL && !table_word_is(variant, "", row->variant)))
            continue;
        print_rule(query, row, &sizes);
        found = true;
    }
    return found;
}

bool query_rule(const struct query *query)
{
    struct query_sizes sizes = query_sizes(query, NULL);
    const char *variant =
        query->count > sizes.words + 1 ? query->words[1] : NULL; /* ring-gap top 2 7/8 in */
    if (print_rules(query, variant, false) || print_rules(query, variant, true))
        return true;
    struct table_near near = {0};
    table_rule_find(query->set, query->words[0], variant, &near);
    query_near(query, "rule", &near);
    return false;
}
