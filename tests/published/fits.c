/* Published rows on fits, bearings, materials, heat and rules against the built-in tables; each row
 * names its source. */
#include "bind_joints.h"

#include <criterion/criterion.h>
#include <gudgeon/table.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static bool starts(const char *text, const char *start)
{
    return strncmp(text, start, strlen(start)) == 0;
}

/* The number of one part of "a=1;b=2" in `expected`. */
static double part(const struct check_row *row, const char *key)
{
    double number = NAN;
    const char *text = check_part(row->expected, key);
    if (text != NULL)
        check_number(text, &number);
    return number;
}

static enum bind_outcome both(enum bind_outcome first, enum bind_outcome second)
{
    return first == HELD ? second : first;
}

static enum bind_outcome um(const struct check_row *row, struct bind_fault *fault, const char *what,
                            int64_t pm, double expected)
{
    if (pm == TABLE_NO_PM)
        return bind_fault(row, fault, "not in the table");
    return bind_near(row, fault, what, (double)pm / 1e6, expected);
}

static double expected_of(const struct check_row *row)
{
    double number = NAN;
    check_number(row->expected, &number);
    return number;
}

/* --- ISO 286 --- */

/* A size step holds above `over` and up to and with `incl`: both ends are asked. */
static int64_t step_end(const struct check_row *row, bool upper)
{
    return upper ? qty_pm_from_mm(check_value(row, "incl"))
                 : qty_pm_from_mm(check_value(row, "over")) + 1;
}

static enum bind_outcome bind_it(const struct check_row *row, struct bind_fault *fault)
{
    const char *grade = check_part(row->input, "grade");
    return both(um(row, fault, grade, table_it(published_set, grade, step_end(row, false)),
                   expected_of(row)),
                um(row, fault, grade, table_it(published_set, grade, step_end(row, true)),
                   expected_of(row)));
}

static enum bind_outcome bind_limits(const struct check_row *row, struct bind_fault *fault)
{
    enum bind_outcome outcome = HELD;
    const char *class = check_part(row->input, "class");
    for (int upper = 0; upper < 2 && outcome == HELD; upper++) {
        struct table_limits limits = table_class_limits(published_set, class, step_end(row, upper));
        double high = part(row, limits.hole ? "ES" : "es"),
               low = part(row, limits.hole ? "EI" : "ei");
        if (limits.status != TABLE_FOUND)
            return bind_fault(row, fault, "not in the table");
        outcome = both(um(row, fault, "upper", limits.high_pm, high),
                       um(row, fault, "lower", limits.low_pm, low));
    }
    return outcome;
}

static double delta_um(int grade, int64_t nominal_pm)
{
    char coarser[16], finer[16];
    snprintf(coarser, sizeof coarser, "IT%d", grade);
    snprintf(finer, sizeof finer, "IT%d", grade - 1);
    return (double)(table_it(published_set, coarser, nominal_pm) -
                    table_it(published_set, finer, nominal_pm)) /
           1e6;
}

/* Deviations of shafts as tabulated; holes K, M, N as "value + delta"; delta itself. */
static enum bind_outcome bind_deviation(const struct check_row *row, struct bind_fault *fault)
{
    const char *letter = check_part(row->input, "letter");
    char class[8];
    if (letter == NULL) {
        int grade = atoi(check_part(row->input, "grade") + 2);
        return bind_near(row, fault, "delta", delta_um(grade, step_end(row, true)),
                         expected_of(row));
    }
    bool hole = letter[0] < 'a';
    snprintf(class, sizeof class, "%s6", letter);
    struct table_limits limits = table_class_limits(published_set, class, step_end(row, true));
    if (limits.status != TABLE_FOUND)
        return bind_fault(row, fault, "not in the table");
    if (!hole)
        return um(row, fault, "ei", limits.low_pm, part(row, "ei"));
    /* M6 from 250 to 315 is the one class that does not follow the rule (its own row says so). */
    if (letter[0] == 'M' && check_value(row, "over") == 250) {
        snprintf(class, sizeof class, "M7");
        limits = table_class_limits(published_set, class, step_end(row, true));
        return bind_near(row, fault, "ES", (double)limits.high_pm / 1e6,
                         part(row, "ES") + delta_um(7, step_end(row, true)));
    }
    return bind_near(row, fault, "ES", (double)limits.high_pm / 1e6,
                     part(row, "ES") + delta_um(6, step_end(row, true)));
}

static enum bind_outcome bind_iso_rule(const struct check_row *row, struct bind_fault *fault)
{
    const char *class = check_part(row->input, "class");
    if (check_has(row, "n"))
        return bind_near(row, fault, "delta",
                         delta_um((int)check_value(row, "n"), step_end(row, true)),
                         expected_of(row));
    if (class == NULL || strchr(class, '.') != NULL)
        return UNBOUND;
    int64_t size =
        check_has(row, "size") ? qty_pm_from_mm(check_value(row, "size")) : step_end(row, true);
    struct table_limits limits = table_class_limits(published_set, class, size);
    if (limits.status != TABLE_FOUND)
        return bind_fault(row, fault, "not in the table");
    if (check_has(row, "limit")) { /* the corrigendum: one limit and its new value */
        bool upper = strcmp(check_part(row->input, "limit") + 1, "S") == 0;
        return um(row, fault, "limit", upper ? limits.high_pm : limits.low_pm, expected_of(row));
    }
    if (starts(row->expected, "ES="))
        return um(row, fault, "ES", limits.high_pm, part(row, "ES"));
    return both(um(row, fault, "upper", limits.high_pm, part(row, "upper")),
                um(row, fault, "lower", limits.low_pm, part(row, "lower")));
}

static enum bind_outcome bind_fit(const struct check_row *row, struct bind_fault *fault)
{
    char hole_class[16] = "";
    const char *fit = check_part(row->input, "fit"), *slash = strchr(fit, '/');
    int64_t size = qty_pm_from_mm(check_value(row, "size"));
    snprintf(hole_class, sizeof hole_class, "%.*s", (int)(slash - fit), fit);
    struct table_limits hole = table_class_limits(published_set, hole_class, size);
    struct table_limits shaft = table_class_limits(published_set, slash + 1, size);
    if (hole.status != TABLE_FOUND || shaft.status != TABLE_FOUND)
        return bind_fault(row, fault, "not in the table");
    if (starts(row->expected, "hole=")) { /* hole=+25/0;shaft=+59/+43 */
        return both(um(row, fault, "hole", hole.high_pm, part(row, "hole")),
                    um(row, fault, "shaft", shaft.high_pm, part(row, "shaft")));
    }
    return both(um(row, fault, "least", hole.low_pm - shaft.high_pm, part(row, "min_clearance")),
                um(row, fault, "most", hole.high_pm - shaft.low_pm, part(row, "max_clearance")));
}

/* --- ANSI B4.1, in thousandths of an inch; the range reaches to its end --- */

static enum bind_outcome thou(const struct check_row *row, struct bind_fault *fault,
                              const char *what, int64_t pm, double expected)
{
    if (isnan(expected))
        return HELD; /* not stated by the row */
    if (pm == TABLE_NO_PM)
        return bind_fault(row, fault, "not in the table");
    return bind_near(row, fault, what, (double)pm / 25.4e6, expected);
}

static enum bind_outcome bind_b41(const struct check_row *row, struct bind_fault *fault)
{
    char name[32];
    const char *range = check_part(row->input, "range_in"),
               *class = check_part(row->input, "class");
    int64_t size = llround(atof(strchr(range, '-') + 1) * 25.4e9);
    if (class == NULL) {
        snprintf(name, sizeof name, "B4.1-%s", check_part(row->input, "grade"));
        return thou(row, fault, name, table_it(published_set, name, size), expected_of(row));
    }
    snprintf(name, sizeof name, "%s%s", class, check_has(row, "edition") ? " (1955)" : "");
    const struct table_b41 *fit = table_b41_find(published_set, name, size);
    if (fit == NULL)
        return bind_fault(row, fault, "no such fit");
    bool tight = starts(row->expected, "min_interference");
    enum bind_outcome outcome = HELD;
    if (tight || starts(row->expected, "min_clearance"))
        outcome = both(thou(row, fault, "low", fit->low_pm,
                            tight ? -part(row, "max_interference") : part(row, "min_clearance")),
                       thou(row, fault, "high", fit->high_pm,
                            tight ? -part(row, "min_interference") : part(row, "max_clearance")));
    outcome = both(outcome, thou(row, fault, "hole", fit->hole_high_pm, part(row, "hole")));
    outcome = both(outcome, thou(row, fault, "shaft", fit->shaft_high_pm, part(row, "shaft")));
    return both(outcome,
                thou(row, fault, "shaft's low", fit->shaft_low_pm, part(row, "shaft_low")));
}

/* --- bearings --- */

static const struct table_bearing *bearing_of(const char *designation)
{
    struct table_bearing_found found = table_bearing_find(published_set, designation);
    return found.status == TABLE_FOUND ? found.bearing : NULL;
}

static enum bind_outcome sizes_are(const struct check_row *row, struct bind_fault *fault,
                                   const struct table_bearing *bearing, double unit_mm)
{
    if (bearing == NULL)
        return bind_fault(row, fault, "no such bearing");
    double scale = 1e9 * unit_mm;
    enum bind_outcome outcome =
        both(bind_near(row, fault, "bore", (double)bearing->bore_pm / scale, part(row, "d")),
             bind_near(row, fault, "outside", (double)bearing->outside_pm / scale, part(row, "D")));
    if (check_part(row->expected, "B") != NULL)
        outcome = both(outcome, bind_near(row, fault, "width", (double)bearing->width_pm / scale,
                                          part(row, "B")));
    if (check_part(row->expected, "T") != NULL)
        outcome = both(outcome, bind_near(row, fault, "overall",
                                          (double)bearing->overall_pm / scale, part(row, "T")));
    if (check_part(row->expected, "C") != NULL)
        outcome = both(
            outcome, bind_near(row, fault, "cup", (double)bearing->cup_pm / scale, part(row, "C")));
    return outcome;
}

/* "6206", "NJ 204 ECP" (the rest is the maker's), or "N/NU/NJ 204": each of them. */
static enum bind_outcome bind_bearing(const struct check_row *row, struct bind_fault *fault)
{
    char designation[64]; /* check_part's buffers turn */
    double unit_mm = strcmp(row->unit, "in") == 0 ? 25.4 : 1;
    enum bind_outcome outcome = HELD;
    if (!check_has(row, "designation"))
        return UNBOUND;
    snprintf(designation, sizeof designation, "%s", check_part(row->input, "designation"));
    if (!starts(designation, "N/") && !starts(designation, "NU/"))
        return sizes_are(row, fault, bearing_of(designation), unit_mm);
    const char *number = strchr(designation, ' ') + 1;
    for (const char *prefix = designation; prefix < number && outcome == HELD;
         prefix += strcspn(prefix, "/ ") + 1) {
        char name[64];
        snprintf(name, sizeof name, "%.*s%s", (int)strcspn(prefix, "/ "), prefix, number);
        outcome = sizes_are(row, fault, bearing_of(name), unit_mm);
    }
    return outcome;
}

/* The bore code is the last two digits of a designation; 35 x 80 x 21 names its candidates. */
static enum bind_outcome bind_designation(const struct check_row *row, struct bind_fault *fault)
{
    char name[32];
    if (check_has(row, "bore_code")) {
        snprintf(name, sizeof name, "62%s", check_part(row->input, "bore_code"));
        const struct table_bearing *bearing = bearing_of(name);
        return bearing == NULL
                   ? bind_fault(row, fault, "no such bearing")
                   : bind_near(row, fault, "bore", (double)bearing->bore_pm / 1e9, part(row, "d"));
    }
    if (!starts(row->input, "35 x 80 x 21"))
        return UNBOUND;
    struct table_bearing_candidates found = table_bearing_identify(
        arena, published_set, qty_pm_from_mm(35), qty_pm_from_mm(80), qty_pm_from_mm(21));
    int named = 0;
    for (size_t i = 0; i < found.exact; i++)
        named += strcmp(found.items[i].bearing->designation, "N307") == 0 ||
                 strcmp(found.items[i].bearing->designation, "6307") == 0;
    return named == 2 ? HELD : bind_fault(row, fault, "not both candidates");
}

/* Any bearing whose bore (or outside) lies in the row's band stands for it. */
static void standing_in(double up_to_mm, const char *type, bool outside, struct table_bearing *made)
{
    *made = (struct table_bearing){.designation = "", .type = type, .series = ""};
    made->bore_pm = outside ? 1 : qty_pm_from_mm(up_to_mm);
    made->outside_pm = outside ? qty_pm_from_mm(up_to_mm) : qty_pm_from_mm(10 * up_to_mm);
}

static enum bind_outcome bind_clearance(const struct check_row *row, struct bind_fault *fault)
{
    struct table_bearing made;
    int64_t low, high;
    const char *source, *type = check_part(row->input, "type"), *group;
    char name[16];
    if (type == NULL)
        return UNBOUND;
    group = check_part(row->input, "group");
    snprintf(name, sizeof name, "%.*s", (int)strcspn(group, "("), group);
    type = starts(type, "deep")                  ? "deep-groove"
           : starts(type, "miniature")           ? "miniature-ball"
           : starts(type, "self")                ? "self-aligning"
           : strstr(type, "NON_interch") != NULL ? "cylindrical-roller-matched"
                                                 : "cylindrical-roller";
    standing_in(check_has(row, "bore_incl") ? check_value(row, "bore_incl") : 4, type, false,
                &made);
    if (!table_bearing_clearance(published_set, &made, name, &low, &high, &source))
        return bind_fault(row, fault, "not in the table");
    return both(um(row, fault, "least", low, part(row, "min")),
                um(row, fault, "most", high, part(row, "max")));
}

static enum bind_outcome bind_tolerance(const struct check_row *row, struct bind_fault *fault)
{
    struct table_bearing made;
    int64_t low, high;
    const char *source, *ring = check_part(row->input, "ring"), *group;
    const char *class = check_part(row->input, "class");
    if (ring == NULL)
        group = starts(row->input, "ring width") ? "width" : "runout";
    else if (starts(class, "6"))
        group = "bore P6";
    else
        group = strcmp(ring, "outer") == 0 ? "outside" : "bore";
    bool outer = strcmp(group, "outside") == 0;
    bool taper = check_has(row, "type") && strstr(check_part(row->input, "type"), "TAPER") != NULL;
    standing_in(check_value(row, outer ? "OD_incl" : "bore_incl"),
                taper ? "taper-roller" : "deep-groove", outer, &made);
    if (!table_bearing_ring(published_set, &made, group, &low, &high, &source))
        return bind_fault(row, fault, "not in the table");
    if (strcmp(group, "runout") == 0)
        return um(row, fault, "runout", high, expected_of(row));
    return both(um(row, fault, "upper", high, part(row, "upper")),
                um(row, fault, "lower", low, part(row, "lower")));
}

/* Theoretical clearance of a seat: the class against the bearing's own tolerance, "-12..4". */
static enum bind_outcome bind_seat(const struct check_row *row, struct bind_fault *fault)
{
    struct table_bearing made;
    int64_t low, high;
    const char *source, *seat = check_part(row->input, "seat");
    if (seat == NULL)
        return UNBOUND;
    bool housing = starts(seat, "housing");
    double size = check_value(row, housing ? "OD_incl" : "bore_incl");
    standing_in(size, "deep-groove", housing, &made);
    /* Bands of seats and of rings differ (150 is no step of ISO 286); both hold at the upper end. */
    struct table_limits limits =
        table_class_limits(published_set, strchr(seat, ' ') + 1, qty_pm_from_mm(size));
    if (limits.status != TABLE_FOUND ||
        !table_bearing_tolerance(published_set, &made, housing, &low, &high, &source))
        return bind_fault(row, fault, "not in the table");
    int64_t least = housing ? limits.low_pm - high : low - limits.high_pm;
    int64_t most = housing ? limits.high_pm - low : high - limits.low_pm;
    const char *dots = strstr(check_part(row->expected, "theoretical"), "..");
    return both(um(row, fault, "least", least, part(row, "theoretical")),
                um(row, fault, "most", most, atof(dots + 2)));
}

static const struct table_rule *rule_of(const char *id, const char *variant)
{
    const struct table_rule *rule = table_rule_find(published_set, id, variant, NULL);
    cr_assert_not_null(rule, "%s %s", id, variant);
    return rule;
}

static enum bind_outcome bind_seat_choice(const struct check_row *row, struct bind_fault *fault)
{
    const struct table_seat *seat;
    const char *place = starts(row->expected, "shaft=") ? "shaft" : "housing";
    if (strcmp(row->unit, "class") != 0) {
        int64_t low, high;
        bool magnesium = strstr(row->input, "magnesium") != NULL;
        const struct table_rule *rule = rule_of(
            magnesium ? "housing-interference-magnesium" : "housing-interference-aluminium", "");
        if (check_has(row, "OD")) {
            table_rule_limits(rule, qty_pm_from_mm(check_value(row, "OD")), &low, &high);
            return um(row, fault, "interference", low, expected_of(row));
        }
        if (starts(row->input, "max interference"))
            return bind_near(row, fault, "most", rule_of("inner-ring-interference", "")->high_ratio,
                             expected_of(row));
        return bind_near(row, fault, "um per mm", rule->low_ratio * 1000, expected_of(row));
    }
    /* The load is printed in the row's own words: the row that has them all must give the class. */
    for (size_t i = 0; (seat = table_row_at(published_set, "seat", i)) != NULL; i++) {
        const char *load = strchr(row->input, ';') + 1;
        bool ball = strstr(row->input, "ball") != NULL;
        char words[160];
        snprintf(words, sizeof words, "%s", load);
        for (char *at = words; (at = strchr(at, ';')) != NULL;)
            memmove(at + 2, at + 1, strlen(at)), memcpy(at, ", ", 2);
        if (strcmp(seat->place, place) != 0 ||
            strcmp(seat->class, strchr(row->expected, '=') + 1) != 0)
            continue;
        if (place[0] == 's' &&
            (strcmp(seat->type, ball ? "deep-groove" : "cylindrical-roller") != 0))
            continue;
        if (!starts(words, seat->load))
            continue;
        const char *upper = strstr(words, "d<=");
        if (upper != NULL && seat->up_to_pm != qty_pm_from_mm(atof(upper + 3)))
            continue;
        return HELD;
    }
    return bind_fault(row, fault, "no such seat");
}

/* --- heat and rules --- */

static enum bind_outcome bind_heat(const struct check_row *row, struct bind_fault *fault)
{
    static const struct {
        const char *printed, *what;
    } parts[] = {
        {"open rolling bearing", "bearing"},
        {"capped/greased", "bearing-sealed"},
        {"rolling bearing, heating", "bearing"},
        {"bearing inner ring", "bearing"},
        {"precision-class", "bearing"},
        {"bearing heated in oil", "bearing"},
        {"bearing heating", "bearing"},
        {"bearing in oil bath", "bearing"},
        {"engine liner", "steel"},
        {"motorcycle aluminium crankcase", "aluminium-cast"},
        {"motorcycle crankcase half", "aluminium-cast"},
        {"motorcycle gearbox", "aluminium-cast"},
        {"aircraft aluminium part", "aluminium-cast"},
        {"aircraft steel", "alloy-steel"},
        {"outer part in oil bath", "oil-bath"},
    };
    const char *text = row->expected + strspn(row->expected, "<=");
    const char *dots = strstr(text, "..");
    double printed;
    if (strncmp(row->unit, "degC", 4) != 0 ||
        !check_number(dots == NULL ? text : dots + 2, &printed))
        return UNBOUND;
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++) {
        if (!starts(row->input, parts[i].printed))
            continue;
        struct table_ceilings found = table_ceiling_find(arena, published_set, parts[i].what);
        for (size_t n = 0; n < found.count; n++)
            if (fabs(found.items[n]->most_c - printed) < 0.5)
                return HELD;
        return bind_fault(row, fault, parts[i].what);
    }
    return UNBOUND;
}

/* The low or high limit of a rule for a size in inches, in inches. */
static double ruled(const struct table_rule *rule, double size_in, bool high)
{
    int64_t low_pm, high_pm;
    table_rule_limits(rule, qty_pm_from_mm(size_in * 25.4), &low_pm, &high_pm);
    return (double)(high ? high_pm : low_pm) / 25.4e9;
}

static enum bind_outcome bind_gap(const struct check_row *row, struct bind_fault *fault)
{
    const char *input = row->input;
    if (starts(input, "cast iron ring, minimum"))
        return bind_near(row, fault, "gap", rule_of("ring-gap", "least")->low_ratio,
                         expected_of(row));
    if (starts(input, "oil rail"))
        return bind_near(row, fault, "gap", ruled(rule_of("ring-gap", "oil"), 0, false),
                         atof(row->expected + 2));
    if (starts(input, "street factor;second"))
        return UNBOUND; /* another maker's factor for the second ring */
    if (starts(input, "bore diameter change"))
        return bind_near(row, fault, "growth",
                         rule_of("ring-gap-growth", "")->low_ratio *
                             check_value(row, "bore diameter change"),
                         expected_of(row));
    if (!check_has(row, "bore") || strcmp(row->tolerance, "n/a") == 0)
        return UNBOUND;
    double bore = check_value(row, "bore");
    if (strstr(input, "oversize") != NULL)
        return bind_near(row, fault, "oversize", ruled(rule_of("ring-gap", "oversize"), bore, true),
                         expected_of(row));
    if (strstr(input, "cast iron") != NULL)
        return bind_near(row, fault, "gap", ruled(rule_of("ring-gap", "least"), bore, false),
                         expected_of(row));
    return bind_near(
        row, fault, "gap",
        ruled(rule_of("ring-gap", strstr(input, ";top") ? "top" : "second"), bore, false),
        expected_of(row));
}

static enum bind_outcome bind_wear(const struct check_row *row, struct bind_fault *fault)
{
    static const struct {
        const char *printed, *id;
        bool ratio;
    } rules[] = {
        {"sleeve bore taper", "wear-bore-taper", true},
        {"piston pin wear", "wear-piston-pin", false},
        {"pin bore in piston", "wear-pin-bore", true},
        {"main and rod journal clearance", "wear-journal-clearance", true},
        {"main and rod journal out-of-round", "wear-out-of-round", true},
        {"crank end play", "wear-end-play", false},
        {"cam journal under", "wear-cam-journal", true},
        {"cam bush over", "wear-cam-bush", true},
        {"valve stem wear", "wear-valve-stem", false},
    };
    if (starts(row->input, "sleeve bore wear limit"))
        return bind_near(row, fault, "wear",
                         ruled(rule_of("wear-bore", ""), check_value(row, "bore"), true),
                         expected_of(row));
    if (starts(row->input, "journal out-of-round"))
        return bind_near(row, fault, "wear",
                         ruled(rule_of("wear-out-of-round", ""), check_value(row, "d"), true),
                         expected_of(row));
    if (starts(row->input, "rod clearance"))
        return bind_near(
            row, fault, "wear",
            check_value(row, "high limit") +
                ruled(rule_of("wear-journal-clearance", ""), check_value(row, "d"), true),
            expected_of(row));
    if (starts(row->input, "cam journal min"))
        return bind_near(row, fault, "wear",
                         check_value(row, "low limit") -
                             ruled(rule_of("wear-cam-journal", ""), check_value(row, "d"), true),
                         expected_of(row));
    for (size_t i = 0; i < sizeof rules / sizeof *rules; i++)
        if (starts(row->input, rules[i].printed))
            return bind_near(row, fault, rules[i].id,
                             rules[i].ratio ? rule_of(rules[i].id, "")->high_ratio
                                            : ruled(rule_of(rules[i].id, ""), 0, true),
                             expected_of(row));
    return UNBOUND;
}

/* The rules among the rows; the others are figures of single engines, which no table ships. */
static enum bind_outcome bind_plain(const struct check_row *row, struct bind_fault *fault)
{
    if (strcmp(row->input, "rule;journal diameter") == 0)
        return bind_near(row, fault, "main", rule_of("oil-clearance-main", "")->low_ratio,
                         expected_of(row));
    if (starts(row->input, "rule;rods"))
        return bind_near(row, fault, "rod",
                         ruled(rule_of("oil-clearance-rod", ""), 1, false) -
                             ruled(rule_of("oil-clearance-main", ""), 1, false),
                         expected_of(row));
    if (starts(row->input, "rule;older"))
        return both(
            bind_near(row, fault, "low", rule_of("oil-clearance", "")->low_ratio, expected_of(row)),
            bind_near(row, fault, "high", rule_of("oil-clearance", "")->high_ratio,
                      atof(strstr(row->expected, "..") + 2)));
    if (starts(row->input, "self-lubricating"))
        return bind_near(row, fault, "bush",
                         rule_of("oil-clearance-self-lubricating", "")->low_ratio,
                         expected_of(row));
    if (check_has(row, "journal") && starts(row->input, "rule"))
        return bind_near(row, fault, "main", /* printed to a tenth of a thousandth */
                         round(1e4 * ruled(rule_of("oil-clearance-main", ""),
                                           check_value(row, "journal"), false)) /
                             1e4,
                         expected_of(row));
    return check_has(row, "journal") || check_has(row, "pin") ? UNBOUND
                                                              : published_engine(row, fault);
}

#define FITS "fits-and-engine.csv"
#define BEARINGS "bearings.csv" /* further catalogues, read by hand */

const struct published_topic published_fits[] = {
    {FITS, "iso286-it", bind_it, 260},
    {FITS, "iso286-shaft", bind_limits, 195},
    {FITS, "iso286-hole", bind_limits, 189},
    {FITS, "iso286-fd", bind_deviation, 97},
    {FITS, "iso286-rule", bind_iso_rule, 42},
    {FITS, "iso286-fit", bind_fit, 117},
    {FITS, "ansi-b4.1", bind_b41, 204},
    {FITS, "bearing-dim-metric", bind_bearing, 94},
    {FITS, "bearing-dim-inch", bind_bearing, 55},
    {FITS, "bearing-designation", bind_designation, 23},
    {FITS, "bearing-clearance", bind_clearance, 92},
    {FITS, "bearing-tolerance", bind_tolerance, 36},
    {FITS, "bearing-seat", bind_seat, 80},
    {FITS, "bearing-fit-choice", bind_seat_choice, 36},
    {FITS, "material-alpha", published_materials, 39},
    {FITS, "material-E", published_materials, 37},
    {FITS, "thermal-limit", bind_heat, 26},
    {FITS, "ring-gap-rule", bind_gap, 14},
    {FITS, "wear-rule", bind_wear, 13},
    {FITS, "plain-bearing", bind_plain, 4},
    {FITS, "piston-ring", published_engine, 73},
    {FITS, "valve-gear", published_engine, 25},
    {"inch-fits.csv", "ansi-b4.1", bind_b41, 231},
    {"materials.csv", "material-other", published_material_other, 81},
    {BEARINGS, "bearing-dim-metric", bind_bearing, 611},
    {BEARINGS, "bearing-dim-inch", bind_bearing, 51},
    {BEARINGS, "bearing-clearance", bind_clearance, 239},
    {BEARINGS, "bearing-tolerance", bind_tolerance, 12},
    {NULL, NULL, NULL, 0},
};
