/* Published rows on fasteners against the built-in tables; each row names its source. */
#include "bind_rows.h"
#include "test_arena.h"

#include <criterion/criterion.h>
#include <gudgeon/table.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

TestSuite(published_table, .init = test_arena_start, .fini = test_arena_stop);

#define SET table_set_default()
#define QUANTITY(row) (check_has(row, "quantity") ? check_part((row)->input, "quantity") : "")

static double in_unit(const struct check_row *row, double si)
{
    static const struct {
        const char *unit;
        double factor;
    } units[] = {{"mm", 1e-3},
                 {"in", 0.0254},
                 {"mm2", 1e-6},
                 {"in2", 0.0254 * 0.0254},
                 {"MPa", 1e6},
                 {"psi", 6894.757293168361},
                 {"lbf in", 0.1129848290276167},
                 {"lbf ft", 1.3558179483314004},
                 {"N m", 1},
                 {"lbf", 4.4482216152605},
                 {"kN", 1000},
                 {"N", 1},
                 {"long ton/in2", 15444256.336696},
                 {"um", 1e-6},
                 {"0.001 in", 2.54e-5}};
    for (size_t i = 0; i < sizeof units / sizeof *units; i++)
        if (strcmp(row->unit, units[i].unit) == 0)
            return si / units[i].factor;
    cr_assert_fail("no factor for the unit %s of %s", row->unit, row->id);
    return NAN;
}

static double expected_of(const struct check_row *row)
{
    double number = NAN;
    cr_assert(check_number(row->expected, &number), "%s", row->id);
    return number;
}

static enum bind_outcome length_is(const struct check_row *row, struct bind_fault *fault,
                                   const char *what, int64_t pm)
{
    return bind_near(row, fault, what, in_unit(row, (double)pm * 1e-12), expected_of(row));
}

static enum bind_outcome number_is(const struct check_row *row, struct bind_fault *fault,
                                   const char *what, double si)
{
    return bind_near(row, fault, what, in_unit(row, si), expected_of(row));
}

/* The thread that a row means: its `thread` or `size`, with `tpi` where it stands apart. */
static const struct table_thread *thread_of(const struct check_row *row,
                                            const struct table_form **form)
{
    char name[160];
    const char *text = check_part(row->input, check_has(row, "thread") ? "thread" : "size");
    if (text == NULL)
        return NULL;
    snprintf(name, sizeof name, "%s", text);
    for (char *at = name;
         (at = strstr(at, " coarse")) != NULL || (at = strstr(name, " in straight")) != NULL;) {
        *at = '\0';
    }
    char *paren = strchr(name, '(');
    if (paren != NULL)
        *paren = '\0';
    struct table_thread_found found = table_thread_find(arena, SET, name);
    if (found.status != TABLE_FOUND && check_has(row, "tpi")) { /* "1/2 Cycle" with tpi=20 */
        char with[200], *blank = strrchr(name, ' ');
        if (blank != NULL) {
            snprintf(with, sizeof with, "%.*s-%s%s", (int)(blank - name), name,
                     check_part(row->input, "tpi"), blank);
            found = table_thread_find(arena, SET, with);
        }
    }
    if (form != NULL)
        *form = found.form;
    return found.thread;
}

static bool starts(const char *text, const char *start)
{
    return strncmp(text, start, strlen(start)) == 0;
}

static enum bind_outcome bind_form(const struct check_row *row, struct bind_fault *fault,
                                   const char *name)
{
    const char *quantity = QUANTITY(row);
    const struct table_form *form = NULL;
    double got = NAN;
    for (size_t i = 0; (form = table_row_at(SET, "form", i)) != NULL; i++)
        if (strcmp(form->name, name) == 0)
            break;
    cr_assert_not_null(form, "%s", name);
    if (check_has(row, "P")) /* H and 5H/8 for a pitch */
        return bind_near(row, fault, quantity,
                         check_value(row, "P") * (quantity[0] == 'H' ? form->height_per_pitch
                                                                     : form->minor_per_pitch / 2),
                         expected_of(row));
    if (strcmp(quantity, "h/P") == 0 || strcmp(quantity, "depth/P") == 0)
        got = form->effective_per_pitch; /* the depth is twice the half depth to the effective */
    else if (strcmp(quantity, "2h/P") == 0)
        got = form->minor_per_pitch;
    else if (strcmp(quantity, "radius/P") == 0)
        got = form->root_radius_per_pitch;
    else if (strcmp(quantity, "H/P") == 0)
        got = form->height_per_pitch;
    else
        return UNBOUND;
    return bind_near(row, fault, quantity, got, expected_of(row));
}

/* ISO 262: the size, the series and its pitch belong together. */
static enum bind_outcome bind_series(const struct check_row *row, struct bind_fault *fault)
{
    char name[80];
    snprintf(name, sizeof name, "%sx%s", check_part(row->input, "size"), row->expected);
    struct table_thread_found found = table_thread_find(arena, SET, name);
    if (found.status != TABLE_FOUND ||
        strncmp(strrchr(check_part(row->input, "series"), ' ') + 1, found.thread->series, 4) != 0)
        return bind_fault(row, fault, "no such thread in that series");
    return length_is(row, fault, "pitch", found.thread->pitch_pm);
}

/* UNR bolts: the root of their own form below the major diameter of the thread. */
static enum bind_outcome bind_unr(const struct check_row *row, struct bind_fault *fault,
                                  const struct table_thread *thread)
{
    const struct table_form *form;
    for (size_t i = 0; (form = table_row_at(SET, "form", i)) != NULL; i++)
        if (strcmp(form->name, "unr") == 0)
            break;
    return length_is(row, fault, "UNR root",
                     thread->major_pm - (int64_t)(form->root_per_pitch * (double)thread->pitch_pm));
}

static enum bind_outcome bind_thread(const struct check_row *row, struct bind_fault *fault)
{
    const char *quantity = QUANTITY(row);
    const struct table_form *form = NULL;
    if (check_has(row, "form") && strstr(check_part(row->input, "form"), "47.5") != NULL)
        return bind_form(row, fault, "ba");
    if (check_has(row, "form") && strstr(check_part(row->input, "form"), "Whitworth") != NULL)
        return bind_form(row, fault, "whitworth");
    if (check_has(row, "form") && strstr(check_part(row->input, "form"), "cycle") != NULL)
        return bind_form(row, fault, "cycle");
    if (check_has(row, "P") && !check_has(row, "size"))
        return bind_form(row, fault, "iso");
    if (check_has(row, "series"))
        return bind_series(row, fault);
    const struct table_thread *thread = thread_of(row, &form);
    if (thread == NULL)
        return UNBOUND;
    double pitch = (double)thread->pitch_pm;
    if (starts(quantity, "minor diameter external, UNR"))
        return bind_unr(row, fault, thread);
    if (strcmp(quantity, "core area") == 0)
        return number_is(row, fault, quantity,
                         3.14159265358979 / 4 * pow((double)thread->minor_pm * 1e-12, 2));
    if (strcmp(quantity, "pitch") == 0)
        return length_is(row, fault, quantity, thread->pitch_pm);
    if (starts(quantity, "threads per inch"))
        return bind_near(row, fault, quantity,
                         table_has(thread->tpi) ? thread->tpi : 25.4e9 / pitch, expected_of(row));
    if (starts(quantity, "nominal diameter") || starts(quantity, "major diameter") ||
        strcmp(quantity, "diameter") == 0)
        return length_is(row, fault, quantity, thread->major_pm);
    if (strstr(quantity, "pitch diameter") != NULL || starts(quantity, "effective"))
        return length_is(row, fault, quantity, thread->effective_pm);
    if (starts(quantity, "minor diameter external") || strcmp(quantity, "d3") == 0 ||
        starts(quantity, "root diameter"))
        return length_is(row, fault, quantity, thread->root_pm);
    if (starts(quantity, "basic minor") || starts(quantity, "minor diameter") ||
        starts(quantity, "core (minor)") || starts(quantity, "core diameter"))
        return length_is(row, fault, quantity, thread->minor_pm);
    if (strstr(quantity, "stress area") != NULL)
        return number_is(row, fault, quantity, thread->stress_area_m2);
    if (starts(quantity, "depth of thread"))
        return length_is(row, fault, quantity, (int64_t)(form->effective_per_pitch * pitch));
    if (starts(quantity, "crest and root radius"))
        return length_is(row, fault, quantity, (int64_t)(form->root_radius_per_pitch * pitch));
    return UNBOUND;
}

/* Old metric sizes: the row names the series, the pitch is what is looked up. */
static enum bind_outcome bind_old_metric(const struct check_row *row, struct bind_fault *fault)
{
    char name[80];
    snprintf(name, sizeof name, "M%sx%s", check_part(row->input, "size"), row->expected);
    struct table_thread_found found = table_thread_find(arena, SET, name);
    if (found.status != TABLE_FOUND)
        return bind_fault(row, fault, "no such thread");
    return length_is(row, fault, "pitch", found.thread->pitch_pm);
}

static enum bind_outcome bind_plug(const struct check_row *row, struct bind_fault *fault)
{
    char name[80];
    const char *text = check_part(row->input, "thread");
    double size;
    if (strstr(QUANTITY(row), "length") != NULL)
        return UNBOUND;
    if (text[0] == 'M' && check_number(text + 1, &size))
        snprintf(name, sizeof name, "%g mm plug", size);
    else
        snprintf(name, sizeof name, "%.*s%s plug", (int)strcspn(text, " "), text,
                 strchr(text, '-') == NULL ? "-18" : "");
    struct table_thread_found found = table_thread_find(arena, SET, name);
    if (found.status != TABLE_FOUND)
        return bind_fault(row, fault, name);
    const char *quantity = QUANTITY(row);
    if (strcmp(quantity, "pitch") == 0)
        return length_is(row, fault, quantity, found.thread->pitch_pm);
    if (starts(quantity, "threads"))
        return bind_near(row, fault, quantity, found.thread->tpi, expected_of(row));
    if (strcmp(quantity, "diameter") == 0)
        return length_is(row, fault, quantity, found.thread->major_pm);
    return length_is(row, fault, quantity,
                     starts(quantity, "root") ? found.thread->root_pm : found.thread->minor_pm);
}

/* --- drills, holes, hexagons --- */

static enum bind_outcome bind_tap_drill(const struct check_row *row, struct bind_fault *fault)
{
    const char *quantity = QUANTITY(row);
    const struct table_form *form = NULL;
    if (check_has(row, "drill") && !check_has(row, "thread")) {
        const struct table_drill *drill = table_drill_find(SET, check_part(row->input, "drill"));
        return drill == NULL ? bind_fault(row, fault, "no such drill")
                             : length_is(row, fault, quantity, drill->diameter_pm);
    }
    const struct table_thread *thread = thread_of(row, &form);
    if (thread == NULL)
        return bind_fault(row, fault, "no such thread");
    if (starts(quantity, "percent")) {
        double drill = check_value(row, "drill") * (strstr(thread->name, "UN") != NULL ? 25.4 : 1);
        return bind_near(row, fault, quantity,
                         100 * ((double)thread->major_pm / 1e9 - drill) /
                             (2 * form->effective_per_pitch * (double)thread->pitch_pm / 1e9),
                         expected_of(row));
    }
    /* Several sources keep a row each: one of them must be the printed drill. */
    const struct table_tap_drill *tap;
    for (size_t i = 0; (tap = table_row_at(SET, "tap-drill", i)) != NULL; i++) {
        if (strcmp(tap->thread, thread->name) != 0)
            continue;
        if (strcmp(row->unit, "drill name") == 0
                ? strcmp(tap->drill, row->expected) == 0
                : length_is(row, fault, quantity, tap->size_pm) == HELD)
            return HELD;
    }
    return bind_fault(row, fault, "no such tapping drill");
}

static enum bind_outcome bind_geometry(const struct check_row *row, struct bind_fault *fault)
{
    const char *bolt = check_part(row->input, "bolt"), *quantity = QUANTITY(row);
    const char *nut = check_part(row->input, "nut");
    bool british = bolt != NULL && strstr(bolt, "BSW/BSF") != NULL;
    char name[80];
    if (british)
        snprintf(name, sizeof name, "%.*s BSF", (int)strcspn(bolt, " "), bolt);
    else
        snprintf(name, sizeof name, "%s", strchr(nut != NULL ? nut : bolt, 'M'));
    struct table_thread_found found = table_thread_find(arena, SET, name);
    if (found.status != TABLE_FOUND)
        return bind_fault(row, fault, name);
    if (starts(quantity, "clearance hole")) {
        const char *series = strrchr(check_part(row->input, "series"), ' ') + 1;
        return length_is(row, fault, quantity, table_hole_find(SET, found.thread, series)->hole_pm);
    }
    const struct table_hexagon *hexagon = NULL;
    for (size_t i = 0; (hexagon = table_row_at(SET, "hexagon", i)) != NULL; i++)
        if (starts(hexagon->standard, nut != NULL ? "DIN"
                                      : british   ? "BS"
                                                  : "ISO") &&
            (british ? starts(hexagon->thread_size, name)
                     : strcmp(hexagon->thread_size, name) == 0))
            break;
    if (hexagon == NULL)
        return bind_fault(row, fault, "no such hexagon");
    return length_is(row, fault, quantity,
                     strstr(quantity, "flats") != NULL ? hexagon->across_flats_pm
                                                       : hexagon->bearing_face_pm);
}

/* --- strength --- */

static const struct table_grade *grade_of(const char *name, double major_mm)
{
    struct table_grade_found found =
        table_grade_find(SET, name, major_mm > 0 ? qty_pm_from_mm(major_mm) : 0);
    return found.status == TABLE_FOUND ? found.grade : NULL;
}

static enum bind_outcome stress_is(const struct check_row *row, struct bind_fault *fault,
                                   const struct table_grade *grade)
{
    const char *quantity = QUANTITY(row);
    if (grade == NULL)
        return bind_fault(row, fault, "no such grade at that diameter");
    if (starts(quantity, "minimum tensile"))
        return number_is(row, fault, quantity, grade->tensile_pa);
    if (starts(quantity, "minimum yield") || starts(quantity, "0.2%"))
        return number_is(row, fault, quantity, grade->yield_pa);
    if (strstr(quantity, "proof stress") != NULL)
        return number_is(row, fault, quantity, grade->proof_pa);
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
    return bind_near(row, fault, "load", area * stress_pa / 1e6, expected_of(row));
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
    const struct table_thread *thread = thread_of(row, NULL);
    if (thread == NULL)
        return bind_fault(row, fault, "no such thread");
    const struct table_grade *grade = grade_of(class, (double)thread->major_pm / 1e9);
    if (grade == NULL)
        return bind_fault(row, fault, "no such grade");
    if (starts(quantity, "proof load"))
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
    bool large = starts(check_part(row->input, "size"), "over");
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
    struct table_thread_found found = table_thread_find(arena, SET, threads[number]);
    if (starts(QUANTITY(row), "threads"))
        return bind_near(row, fault, "tpi", found.thread->tpi, expected_of(row));
    return number_is(row, fault, "load",
                     found.thread->stress_area_m2 * grade_of("AN", 10)->tensile_pa);
}

static enum bind_outcome bind_british(const struct check_row *row, struct bind_fault *fault)
{
    const char *grade = check_part(row->input, "grade");
    if (grade == NULL || strstr(QUANTITY(row), "dealer") != NULL)
        return UNBOUND;
    return number_is(row, fault, "tensile", grade_of(grade, 10)->tensile_pa);
}

/* --- torque --- */

/* "1-1/4-12" with the series that the row names, or UNS where only that exists. */
static const struct table_thread *unified(const struct check_row *row)
{
    static const char *const systems[] = {"UNF", "UNC", "UNS"};
    const char *thread = check_part(row->input, "thread");
    char name[80];
    for (size_t i = 0; i < sizeof systems / sizeof *systems; i++) {
        bool number = strchr(thread, '/') == NULL && atof(thread) > 1.5;
        snprintf(name, sizeof name, "%s%s %s", number ? "#" : "", thread, systems[i]);
        struct table_thread_found found = table_thread_find(arena, SET, name);
        if (found.status == TABLE_FOUND)
            return found.thread;
    }
    return NULL;
}

static enum bind_outcome bind_ac4313(const struct check_row *row, struct bind_fault *fault)
{
    const struct table_thread *thread = unified(row);
    const char *nut = check_part(row->input, "nut"), *quantity = QUANTITY(row);
    const char *use = strstr(nut, "20365") != NULL ? "tension nut" : "shear nut";
    if (thread == NULL)
        return bind_fault(row, fault, "no such thread");
    struct table_torques rows = table_torque_find(arena, SET, thread, NULL, "torque_ac_43_13");
    for (size_t i = 0; i < rows.count; i++) {
        if (strcmp(rows.items[i]->use, use) != 0)
            continue;
        return number_is(row, fault, quantity,
                         starts(quantity, "recommended minimum")   ? rows.items[i]->low_n_m
                         : starts(quantity, "recommended maximum") ? rows.items[i]->high_n_m
                                                                   : rows.items[i]->most_n_m);
    }
    return bind_fault(row, fault, "no such torque");
}

static enum bind_outcome bind_drag(const struct check_row *row, struct bind_fault *fault)
{
    if (!check_has(row, "thread") || strcmp(row->unit, "lbf in") != 0)
        return UNBOUND;
    const struct table_thread *thread = unified(row);
    const char *table = starts(QUANTITY(row), "minimum breakaway") ? "drag_tm_55" : "drag_ac_43_13";
    const struct table_drag *drag;
    for (size_t i = 0; (drag = table_row_at(SET, "drag", i)) != NULL; i++)
        if (thread != NULL && strcmp(drag->thread, thread->name) == 0 &&
            strcmp(drag->row.table->id, table) == 0)
            return number_is(row, fault, "drag", drag->least_n_m);
    return bind_fault(row, fault, "no such drag");
}

static enum bind_outcome bind_sae_torque(const struct check_row *row, struct bind_fault *fault)
{
    if (!check_has(row, "thread"))
        return UNBOUND;
    char grade[16];
    const struct table_thread *thread = unified(row);
    bool load = starts(QUANTITY(row), "clamp");
    snprintf(grade, sizeof grade, "SAE %s", check_part(row->input, "grade"));
    if (thread == NULL)
        return bind_fault(row, fault, "no such thread");
    struct table_torques rows = table_torque_find(arena, SET, thread, grade, "torque_sae_j429");
    for (size_t i = 0; i < rows.count; i++) {
        const struct table_torque *item = rows.items[i];
        if (load && table_has(item->preload_n))
            return number_is(row, fault, "preload", item->preload_n);
        if (!load &&
            strcmp(item->lubricant, check_value(row, "K") > 0.17 ? "dry" : "engine-oil") == 0)
            return number_is(row, fault, "torque", item->low_n_m);
    }
    /* A clamp load whose torques were not read is 0.75 of the proof load. */
    return !load ? UNBOUND
                 : number_is(row, fault, "clamp load",
                             0.75 * thread->stress_area_m2 *
                                 grade_of(grade, (double)thread->major_pm / 1e9)->proof_pa);
}

static enum bind_outcome bind_vdi(const struct check_row *row, struct bind_fault *fault)
{
    if (!check_has(row, "mu"))
        return UNBOUND; /* formula rows */
    const struct table_thread *thread = thread_of(row, NULL);
    const char *class = check_part(row->input, "property_class");
    bool load = strstr(QUANTITY(row), "preload") != NULL;
    if (thread == NULL)
        return bind_fault(row, fault, "no such thread");
    struct table_torques rows = table_torque_find(arena, SET, thread, class, "torque_vdi_2230");
    for (size_t i = 0; i < rows.count; i++)
        if (fabs(rows.items[i]->friction - check_value(row, "mu")) < 1e-9 &&
            (!load || table_has(rows.items[i]->preload_n)))
            return number_is(row, fault, load ? "preload" : "torque",
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
    struct table_thread_found found = table_thread_find(arena, SET, name);
    struct table_torques rows = table_torque_find(arena, SET, found.thread, NULL, "torque_plug");
    for (size_t i = 0; i < rows.count; i++)
        if (strcmp(rows.items[i]->use, use) == 0)
            return number_is(row, fault, "torque",
                             starts(QUANTITY(row), "minimum") ? rows.items[i]->low_n_m
                                                              : rows.items[i]->high_n_m);
    return bind_fault(row, fault, use);
}

/* The low or high end of a rule: a length in inches, or a plain number. */
static double rule_end(const char *id, bool high)
{
    const struct table_rule *rule = table_rule_find(SET, id, "", NULL);
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
        struct table_thread_found found = table_thread_find(arena, SET, name);
        const struct table_pin *pin =
            found.status == TABLE_FOUND ? table_pin_find(SET, found.thread) : NULL;
        return pin == NULL ? bind_fault(row, fault, "no such pin")
                           : length_is(row, fault, "pin", pin->least_pm);
    }
    for (size_t i = 0; i < sizeof rules / sizeof *rules; i++)
        if (check_has(row, "rule") && starts(check_part(row->input, "rule"), rules[i].rule))
            return bind_near(row, fault, rules[i].id, rule_end(rules[i].id, rules[i].high),
                             expected_of(row));
    for (size_t i = 0; i < sizeof ceilings / sizeof *ceilings; i++)
        if (check_has(row, "rule") && starts(check_part(row->input, "rule"), ceilings[i].rule))
            return bind_near(
                row, fault, "ceiling",
                table_ceiling_find(arena, SET, ceilings[i].what).items[0]->most_c * 1.8 + 32,
                expected_of(row));
    return UNBOUND;
}

static enum bind_outcome bind_second_unified(const struct check_row *row, struct bind_fault *fault)
{
    const struct table_thread *thread = unified(row);
    return thread == NULL ? UNBOUND : length_is(row, fault, "pitch diameter", thread->effective_pm);
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
        if (!check_has(row, "rule") || !starts(check_part(row->input, "rule"), rows[i].rule))
            continue;
        const struct table_engagement *found = table_engagement_find(SET, rows[i].material);
        return bind_near(row, fault, rows[i].material, rows[i].high ? found->high : found->low,
                         expected_of(row));
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
            table_friction_find(SET, rows[i].lubricant, rows[i].plating);
        return bind_near(row, fault, condition, high ? found->factor_high : found->factor_low,
                         expected_of(row));
    }
    return bind_fault(row, fault, "no such friction");
}

#define TOPIC(name, topic, bind, least)                                                            \
    Test(published_table, name)                                                                    \
    {                                                                                              \
        bind_run("fasteners.csv", &(const struct bind_topic){topic, bind, least});                 \
    }

TOPIC(iso_threads_are_as_printed, "thread-iso", bind_thread, 98)
Test(published_table, iso_threads_are_as_in_a_second_source)
{
    bind_run("threads.csv", &(const struct bind_topic){"thread-iso", bind_thread, 114});
}
Test(published_table, unified_threads_are_as_in_a_second_source)
{
    bind_run("threads.csv", &(const struct bind_topic){"thread-un", bind_second_unified, 44});
}
TOPIC(unified_threads_are_as_printed, "thread-un", bind_thread, 87)
TOPIC(whitworth_threads_are_as_printed, "thread-whit", bind_thread, 64)
TOPIC(ba_threads_are_as_printed, "thread-ba", bind_thread, 58)
TOPIC(cycle_threads_are_as_printed, "thread-cycle", bind_thread, 31)
TOPIC(pipe_threads_are_as_printed, "thread-bsp", bind_thread, 20)
TOPIC(old_metric_pitches_are_as_printed, "thread-oldmetric", bind_old_metric, 16)
TOPIC(plug_threads_are_as_printed, "thread-spark", bind_plug, 14)
TOPIC(tapping_drills_are_as_printed, "tapdrill", bind_tap_drill, 90)
TOPIC(hexagons_and_holes_are_as_printed, "geometry-bearing", bind_geometry, 39)
TOPIC(iso_898_strengths_and_loads_are_as_printed, "strength-iso898", bind_iso898, 117)
TOPIC(iso_3506_strengths_are_as_printed, "strength-iso3506", bind_iso3506, 16)
TOPIC(sae_strengths_are_as_printed, "strength-sae", bind_sae, 18)
TOPIC(an_bolts_are_as_printed, "strength-an", bind_an, 9)
TOPIC(british_grades_are_as_printed, "strength-british", bind_british, 14)
TOPIC(torques_of_ac_43_13_are_as_printed, "torque-ac4313", bind_ac4313, 150)
TOPIC(least_drags_are_as_printed, "torque-prevailing", bind_drag, 32)
TOPIC(sae_torques_are_as_printed, "torque-sae", bind_sae_torque, 92)
TOPIC(vdi_torques_are_as_printed, "torque-vdi", bind_vdi, 128)
TOPIC(plug_torques_are_as_printed, "torque-spark", bind_plug_torque, 26)
TOPIC(engaged_lengths_are_as_printed, "engagement", bind_engagement, 5)
TOPIC(nut_factors_are_as_printed, "torque-formula", bind_factor, 9)
TOPIC(pins_wire_and_nut_temperatures_are_as_printed, "locking", bind_locking, 26)
