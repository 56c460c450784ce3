/* materials.c - published properties of materials. */
#include "bind_joints.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const struct {
    const char *printed, *name;
} materials[] = {
    {"steel A36", "steel"},
    {"steel 1020", "steel"},
    {"steel 1040", "steel"},
    {"steel 4140", "steel"},
    {"steel 4340", "steel"},
    {"stainless", "stainless-steel"},
    {"grey iron", "cast-iron"},
    {"ductile iron", "ductile-iron"},
    {"aluminium 1100", "aluminium"},
    {"aluminium 2024", "aluminium"},
    {"aluminium 6061", "aluminium"},
    {"aluminium 7075", "aluminium"},
    {"aluminium casting", "aluminium-cast"},
    {"copper", "copper"},
    {"brass", "brass"},
    {"free-cutting brass", "brass"},
    {"bearing bronze", "bronze"},
    {"magnesium", "magnesium-cast"},
    {"titanium", "titanium"},
    {"bearing steel", "bearing-steel"},
    {"mild steel", "steel"},
    {"hard steel", "steel"},
    {"Aluminum-Generic", "aluminium"},
    {"Copper-Generic", "copper"},
    {"Steel-Generic", "steel"},
    {"CalculiX-Steel", "steel"},
    {"Iron EN-GJS", "ductile-iron"},
    {"Iron EN-GJL", "cast-iron"},
    {"Steel C45", "steel"},
    {"AlMgSi1", "aluminium"},
    {"aluminium alloys", "aluminium"},
    {"aluminium bronze", "aluminium-bronze"},
    {"aluminium", "aluminium"},
    {"bronze", "bronze"},
    {"tin bronze", "bronze"},
    {"cast iron", "cast-iron"},
    {"steel", "steel"},
    {"carbon and low alloy", "steel"},
};

const char *published_material(const char *printed)
{
    size_t longest = 0;
    const char *name = NULL;
    for (size_t i = 0; i < sizeof materials / sizeof *materials; i++) {
        size_t length = strlen(materials[i].printed);
        if (length > longest && published_starts(printed, materials[i].printed)) {
            longest = length;
            name = materials[i].name;
        }
    }
    return name;
}

/* One source's figure lies in the range of one of the material's rows, ends included; how far the
 * range reaches is a rule of rules_practice.c. */
enum bind_outcome published_materials(const struct check_row *row, struct bind_fault *fault)
{
    bool modulus = strcmp(row->topic, "material-E") == 0;
    double factor = strcmp(row->unit, "1e-6/degF") == 0 ? 1.8e-6
                    : strcmp(row->unit, "psi") == 0     ? 6894.757293168361
                    : modulus                           ? 1e9
                                                        : 1e-6;
    const char *name = published_material(check_part(row->input, "material"));
    const char *dots = strstr(row->expected, "..");
    double low = published_expected(row) * factor,
           high = dots == NULL ? low : atof(dots + 2) * factor,
           poisson = check_after(row->unit, "(nu ");
    if (name == NULL)
        return UNBOUND;
    for (const struct table_material *item = table_material_find(published_set, name, NULL);
         item != NULL; item = table_material_next(published_set, item)) {
        double from = modulus ? item->modulus_low_pa : item->expansion_low_per_k;
        double to = modulus ? item->modulus_high_pa : item->expansion_high_per_k;
        if (low >= from * (1 - 1e-3) && high <= to * (1 + 1e-3) &&
            (isnan(poisson) || fabs(item->poisson - poisson) < 1e-9))
            return HELD;
    }
    return bind_fault(row, fault, name);
}

/* --- density, Poisson's ratio, strength: one of the material's rows has it --- */

static double value_of(const struct table_material *item, const char *what)
{
    return strcmp(what, "density") == 0   ? item->density_kg_m3
           : strcmp(what, "poisson") == 0 ? item->poisson
           : strcmp(what, "tensile") == 0 ? item->tensile_pa
           : strcmp(what, "modulus") == 0 ? item->modulus_low_pa
                                          : item->expansion_low_per_k;
}

enum bind_outcome published_material_other(const struct check_row *row, struct bind_fault *fault)
{
    static const struct {
        const char *unit;
        double factor;
    } units[] = {{"kg/m3", 1},
                 {"g/cm3", 1000},
                 {"lb/in3", 27679.904710},
                 {"ratio", 1},
                 {"MPa", 1e6},
                 {"ksi", 6894757.293168},
                 {"1e6 psi", 6894757293.168361},
                 {"1e-6/degF", 1.8e-6}};
    char what[16], name[40];
    snprintf(what, sizeof what, "%s", check_part(row->input, "what"));
    snprintf(name, sizeof name, "%s", check_part(row->input, "material"));
    double nearest = NAN, printed = published_expected(row), factor = 0;
    for (size_t i = 0; i < sizeof units / sizeof *units; i++)
        if (strcmp(row->unit, units[i].unit) == 0)
            factor = units[i].factor;
    for (const struct table_material *item = table_material_find(published_set, name, NULL);
         item != NULL; item = table_material_next(published_set, item)) {
        double value = value_of(item, what) / factor;
        if (!isnan(value) && !(fabs(value - printed) >= fabs(nearest - printed)))
            nearest = value;
    }
    return bind_near(row, fault, what, nearest, printed);
}
