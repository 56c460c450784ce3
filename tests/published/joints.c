/* joints.c - published rows on strength, torque, friction and locking. */
#include "bind_joints.h"

#include <criterion/criterion.h>
#include <gudgeon/table.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* --- strength --- */

/* A grade that is not there has no stresses: nothing is equal to them. */
static const struct table_grade *grade_of(const char *name, double major_mm)
{
    static const struct table_grade none = {.proof_pa = NAN, .yield_pa = NAN, .tensile_pa = NAN};
    struct table_grade_found found =
        table_grade_find(published_set, name, major_mm > 0 ? qty_pm_from_mm(major_mm) : 0);
    return found.status == TABLE_FOUND && found.grade != NULL ? found.grade : &none;
}

static enum bind_outcome stress_is(const struct check_row *row, struct bind_fault *fault,
                                   const struct table_grade *grade)
{
    const char *quantity = QUANTITY(row);
    if (published_starts(quantity, "minimum tensile"))
        return published_number_is(row, fault, quantity, grade->tensile_pa);
    if (published_starts(quantity, "minimum yield") || published_starts(quantity, "0.2%"))
        return published_number_is(row, fault, quantity, grade->yield_pa);
    if (strstr(quantity, "proof stress") != NULL)
        return published_number_is(row, fault, quantity, grade->proof_pa);
    return UNBOUND;
}

/* Loads rest on the stress area as tabulated to three figures, and are printed to three. */
static enum bind_outcome load_is(const struct check_row *row, struct bind_fault *fault,
                                 const struct table_thread *thread, double stress_pa)
{
    double area = thread->stress_area_m2 * 1e6;
    if (check_has(row, "As_nom")) {
        double step = pow(10, floor(log10(area)) - 2);
        double tabulated = check_value(row, "As_nom");
        if (fabs(tabulated - area) > step)
            return bind_fault(row, fault, "the stress area is not the tabulated one");
        area = tabulated;
    }
    return bind_near(row, fault, "load", area * stress_pa / 1e6, published_expected(row));
}

static enum bind_outcome bind_iso898(const struct check_row *row, struct bind_fault *fault)
{
    char class[16];
    const char *text = check_part(row->input, "property_class");
    const char *quantity = QUANTITY(row);
    snprintf(class, sizeof class, "%.*s", (int)strcspn(text, " "), text);
    bool over = strstr(text, ">16") != NULL ||
                (check_has(row, "d") && strstr(check_part(row->input, "d"), ">16") != NULL);
    if (!check_has(row, "thread"))
        return stress_is(row, fault, grade_of(class, over ? 20 : 10));
    const struct table_thread *thread = published_thread(row, NULL);
    if (thread == NULL)
        return bind_fault(row, fault, "no such thread");
    const struct table_grade *grade = grade_of(class, (double)thread->major_pm / 1e9);
    if (published_starts(quantity, "proof load"))
        return load_is(row, fault, thread, grade->proof_pa);
    return load_is(row, fault, thread, grade->tensile_pa);
}

static enum bind_outcome bind_iso3506(const struct check_row *row, struct bind_fault *fault)
{
    return stress_is(row, fault, grade_of(check_part(row->input, "property_class"), 10));
}

static enum bind_outcome bind_sae(const struct check_row *row, struct bind_fault *fault)
{
    char name[16];
    snprintf(name, sizeof name, "SAE %s", check_part(row->input, "grade"));
    if (!check_has(row, "size"))
        return UNBOUND;
    bool large = published_starts(check_part(row->input, "size"), "over");
    return stress_is(row, fault, grade_of(name, large ? 1.25 * 25.4 : 0.5 * 25.4));
}

static enum bind_outcome bind_an(const struct check_row *row, struct bind_fault *fault)
{
    static const char *const threads[] = {"#10-32 UNF", "1/4-28 UNF", "5/16-24 UNF", "3/8-24 UNF"};
    const char *bolt = check_part(row->input, "bolt");
    if (bolt == NULL)
        return UNBOUND;
    if (strstr(bolt, "..") != NULL)
        return stress_is(row, fault, grade_of("AN", 10));
    size_t number = (size_t)(bolt[2] - '3'); /* AN3 is 3/16, AN4 4/16, ... */
    struct table_thread_found found = table_thread_find(arena, published_set, threads[number]);
    const struct table_grade *steel = grade_of("AN", 10);
    if (found.status != TABLE_FOUND)
        return bind_fault(row, fault, "no such bolt");
    if (published_starts(QUANTITY(row), "threads"))
        return bind_near(row, fault, "tpi", found.thread->tpi, published_expected(row));
    return published_number_is(row, fault, "load",
                               found.thread->stress_area_m2 * steel->tensile_pa);
}

static enum bind_outcome bind_british(const struct check_row *row, struct bind_fault *fault)
{
    const char *grade = check_part(row->input, "grade");
    if (grade == NULL || strstr(QUANTITY(row), "dealer") != NULL)
        return UNBOUND;
    return published_number_is(row, fault, "tensile", grade_of(grade, 10)->tensile_pa);
}

/* --- torque --- */

static enum bind_outcome bind_ac4313(const struct check_row *row, struct bind_fault *fault)
{
    const struct table_thread *thread = published_unified(row);
    const char *nut = check_part(row->input, "nut"), *quantity = QUANTITY(row);
    const char *use = strstr(nut, "20365") != NULL ? "tension nut" : "shear nut";
    if (thread == NULL)
        return bind_fault(row, fault, "no such thread");
    struct table_torques rows =
        table_torque_find(arena, published_set, thread, NULL, "torque_ac_43_13");
    for (size_t i = 0; i < rows.count; i++) {
        if (strcmp(rows.items[i]->use, use) != 0)
            continue;
        return published_number_is(
            row, fault, quantity,
            published_starts(quantity, "recommended minimum")   ? rows.items[i]->low_n_m
            : published_starts(quantity, "recommended maximum") ? rows.items[i]->high_n_m
                                                                : rows.items[i]->most_n_m);
    }
    return bind_fault(row, fault, "no such torque");
}

static enum bind_outcome bind_drag(const struct check_row *row, struct bind_fault *fault)
{
    if (!check_has(row, "thread") || strcmp(row->unit, "lbf in") != 0)
        return UNBOUND;
    const struct table_thread *thread = published_unified(row);
    const char *table =
        published_starts(QUANTITY(row), "minimum breakaway") ? "drag_tm_55" : "drag_ac_43_13";
    const struct table_drag *drag;
    for (size_t i = 0; (drag = table_row_at(published_set, "drag", i)) != NULL; i++)
        if (thread != NULL && strcmp(drag->thread, thread->name) == 0 &&
            strcmp(drag->row.table->id, table) == 0)
            return published_number_is(row, fault, "drag", drag->least_n_m);
    return bind_fault(row, fault, "no such drag");
}

/* A general table of the US Army goes by size alone: fine and coarse threads have one torque. */
static enum bind_outcome bind_army_torque(const struct check_row *row, struct bind_fault *fault)
{
    static const char *const systems[] = {"UNF", "UNC"};
    enum bind_outcome outcome = HELD;
    char name[40], grade[16];
    snprintf(grade, sizeof grade, "SAE %s", check_part(row->input, "grade"));
    for (size_t i = 0; i < sizeof systems / sizeof *systems && outcome == HELD; i++) {
        snprintf(name, sizeof name, "%s %s", check_part(row->input, "size"), systems[i]);
        struct table_thread_found found = table_thread_find(arena, published_set, name);
        if (found.status != TABLE_FOUND)
            return bind_fault(row, fault, name);
        struct table_torques rows =
            table_torque_find(arena, published_set, found.thread, grade, "torque_tm_9");
        outcome = rows.count == 0 ? bind_fault(row, fault, "no such torque")
                                  : published_number_is(row, fault, name, rows.items[0]->low_n_m);
    }
    return outcome;
}

static enum bind_outcome bind_sae_torque(const struct check_row *row, struct bind_fault *fault)
{
    char grade[16];
    if (!check_has(row, "thread"))
        return bind_army_torque(row, fault);
    const struct table_thread *thread = published_unified(row);
    bool load = published_starts(QUANTITY(row), "clamp");
    snprintf(grade, sizeof grade, "SAE %s", check_part(row->input, "grade"));
    if (thread == NULL)
        return bind_fault(row, fault, "no such thread");
    struct table_torques rows =
        table_torque_find(arena, published_set, thread, grade, "torque_sae_j429");
    for (size_t i = 0; i < rows.count; i++) {
        const struct table_torque *item = rows.items[i];
        if (load && table_has(item->preload_n))
            return published_number_is(row, fault, "preload", item->preload_n);
        if (!load &&
            strcmp(item->lubricant, check_value(row, "K") > 0.17 ? "dry" : "engine-oil") == 0)
            return published_number_is(row, fault, "torque", item->low_n_m);
    }
    /* A clamp load whose torques were not read is 0.75 of the proof load. */
    return !load
               ? UNBOUND
               : published_number_is(row, fault, "clamp load",
                                     0.75 * thread->stress_area_m2 *
                                         grade_of(grade, (double)thread->major_pm / 1e9)->proof_pa);
}

static enum bind_outcome bind_vdi(const struct check_row *row, struct bind_fault *fault)
{
    if (!check_has(row, "mu"))
        return UNBOUND; /* formula rows */
    const struct table_thread *thread = published_thread(row, NULL);
    const char *class = check_part(row->input, "property_class");
    bool load = strstr(QUANTITY(row), "preload") != NULL;
    if (thread == NULL)
        return bind_fault(row, fault, "no such thread");
    struct table_torques rows =
        table_torque_find(arena, published_set, thread, class,
                          class[0] == 'A' ? "torque_stainless" : "torque_vdi_2230");
    for (size_t i = 0; i < rows.count; i++)
        if (fabs(rows.items[i]->friction - check_value(row, "mu")) < 1e-9 &&
            (!load || table_has(rows.items[i]->preload_n)))
            return published_number_is(row, fault, load ? "preload" : "torque",
                                       load ? rows.items[i]->preload_n : rows.items[i]->low_n_m);
    return UNBOUND; /* a preload whose torque was not read */
}

static enum bind_outcome bind_plug_torque(const struct check_row *row, struct bind_fault *fault)
{
    if (!check_has(row, "thread_mm"))
        return UNBOUND;
    char name[40], use[80];
    snprintf(name, sizeof name, "%s mm plug", check_part(row->input, "thread_mm"));
    bool iron = strcmp(check_part(row->input, "head"), "cast iron") == 0;
    snprintf(use, sizeof use, "%s seat, %s head", check_part(row->input, "seat"),
             iron ? "cast-iron" : "aluminium");
    struct table_thread_found found = table_thread_find(arena, published_set, name);
    if (found.status != TABLE_FOUND)
        return bind_fault(row, fault, "no such thread");
    struct table_torques rows =
        table_torque_find(arena, published_set, found.thread, NULL, "torque_plug");
    for (size_t i = 0; i < rows.count; i++)
        if (strcmp(rows.items[i]->use, use) == 0)
            return published_number_is(row, fault, "torque",
                                       published_starts(QUANTITY(row), "minimum")
                                           ? rows.items[i]->low_n_m
                                           : rows.items[i]->high_n_m);
    return bind_fault(row, fault, use);
}

/* The low or high end of a rule: a length in inches, or a plain number. */
static double rule_end(const char *id, bool high)
{
    const struct table_rule *rule = table_rule_find(published_set, id, "", NULL);
    cr_assert_not_null(rule, "%s", id);
    if (table_has(rule->low_ratio) || table_has(rule->high_ratio))
        return high ? rule->high_ratio : rule->low_ratio;
    return (double)(high ? rule->high_pm : rule->low_pm) / 25.4e9;
}

/* Locking: only what the tables carry; the rest are rules of assembly. */
static enum bind_outcome bind_locking(const struct check_row *row, struct bind_fault *fault)
{
    static const struct {
        const char *rule, *id;
        bool high;
    } rules[] = {
        {"double twist, hole over", "lock-wire", false},
        {"double twist on holes", "lock-wire-small", false},
        {"twists per inch, 0.032 wire, low", "lock-wire-twists", false},
        {"twists per inch, 0.032 wire, high", "lock-wire-twists", true},
        {"pigtail length, low", "lock-wire-pigtail", false},
        {"pigtail length, high", "lock-wire-pigtail", true},
        {"longest wire", "lock-wire-length", true},
        {"longest unsupported", "lock-wire-span", true},
        {"flat-ended bolt", "bolt-projection", false},
    };
    static const struct {
        const char *rule, *what;
    } ceilings[] = {
        {"fibre or nylon", "self-locking-nut-fibre"},
        {"cadmium plated nut", "self-locking-nut-cadmium"},
        {"silver plated", "self-locking-nut-silver"},
    };
    if (check_has(row, "thread_size")) {
        const char *size = check_part(row->input, "thread_size");
        char name[40];
        bool number = strchr(size, '/') == NULL && atof(size) > 1.5;
        snprintf(name, sizeof name, "%s%s UNF", number ? "#" : "", size);
        struct table_thread_found found = table_thread_find(arena, published_set, name);
        const struct table_pin *pin =
            found.status == TABLE_FOUND ? table_pin_find(published_set, found.thread) : NULL;
        return pin == NULL ? bind_fault(row, fault, "no such pin")
                           : published_length_is(row, fault, "pin", pin->least_pm);
    }
    for (size_t i = 0; i < sizeof rules / sizeof *rules; i++)
        if (check_has(row, "rule") &&
            published_starts(check_part(row->input, "rule"), rules[i].rule))
            return bind_near(row, fault, rules[i].id, rule_end(rules[i].id, rules[i].high),
                             published_expected(row));
    for (size_t i = 0; i < sizeof ceilings / sizeof *ceilings; i++)
        if (check_has(row, "rule") &&
            published_starts(check_part(row->input, "rule"), ceilings[i].rule))
            return bind_near(
                row, fault, "ceiling",
                table_ceiling_find(arena, published_set, ceilings[i].what).items[0]->most_c * 1.8 +
                    32,
                published_expected(row));
    return UNBOUND;
}

/* Engaged length over diameter: the ends of the practice range of a material. */
static enum bind_outcome bind_engagement(const struct check_row *row, struct bind_fault *fault)
{
    static const struct {
        const char *rule, *material;
        bool high;
    } rows[] = {
        {"steel stud in hardened steel", "steel", false},
        {"hardware into steel", "iron", false},
        {"capscrew into aluminium", "light-alloy", true},
        {"holes tapped in hard", "steel", false},
        {"holes tapped in aluminium", "light-alloy", false},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        if (!check_has(row, "rule") ||
            !published_starts(check_part(row->input, "rule"), rows[i].rule))
            continue;
        const struct table_engagement *found =
            table_engagement_find(published_set, rows[i].material);
        return bind_near(row, fault, rows[i].material, rows[i].high ? found->high : found->low,
                         published_expected(row));
    }
    return UNBOUND;
}

/* Published ranges of the nut factor. */
static enum bind_outcome bind_factor(const struct check_row *row, struct bind_fault *fault)
{
    static const struct {
        const char *printed, *lubricant, *plating;
    } rows[] = {
        {"dry steel", "dry", "none"},  {"machine oil", "engine-oil", ""},
        {"cadmium", "dry", "cadmium"}, {"phosphate and oil", "engine-oil", "phosphate"},
        {"zinc", "dry", "zinc"},       {"stainless 302 on 302", "dry", "stainless"},
    };
    const char *condition = check_part(row->input, "condition");
    bool high = strstr(QUANTITY(row), "high end") != NULL;
    if (condition == NULL || strstr(QUANTITY(row), "end of published range") == NULL)
        return UNBOUND;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        if (strcmp(condition, rows[i].printed) != 0)
            continue;
        const struct table_friction *found =
            table_friction_find(published_set, rows[i].lubricant, rows[i].plating);
        return bind_near(row, fault, condition, high ? found->factor_high : found->factor_low,
                         published_expected(row));
    }
    return bind_fault(row, fault, "no such friction");
}

#define FASTENERS "fasteners.csv"
#define CELLS "fasteners-cells.csv"

const struct published_topic published_joints[] = {
    {FASTENERS, "strength-iso898", bind_iso898, 117},
    {FASTENERS, "strength-iso3506", bind_iso3506, 16},
    {FASTENERS, "strength-sae", bind_sae, 19},
    {FASTENERS, "strength-an", bind_an, 11},
    {FASTENERS, "strength-british", bind_british, 15},
    {FASTENERS, "torque-ac4313", bind_ac4313, 150},
    {FASTENERS, "torque-prevailing", bind_drag, 41},
    {FASTENERS, "torque-sae", bind_sae_torque, 95},
    {FASTENERS, "torque-vdi", bind_vdi, 129},
    {FASTENERS, "torque-spark", bind_plug_torque, 31},
    {FASTENERS, "engagement", bind_engagement, 7},
    {FASTENERS, "torque-formula", bind_factor, 17},
    {FASTENERS, "locking", bind_locking, 49},
    {FASTENERS, "torque-lubrication", published_practice, 14},
    {FASTENERS, "castellated", published_practice, 8},
    {FASTENERS, "units", published_practice, 10},
    {CELLS, "torque-vdi", bind_vdi, 336},
    {CELLS, "torque-sae", bind_sae_torque, 162},
    {CELLS, "torque-ac4313", bind_ac4313, 148},
    {CELLS, "torque-prevailing", bind_drag, 11},
    {NULL, NULL, NULL, 0},
};
