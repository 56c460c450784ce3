/* records.c - published rows on fits and engines that a record of the tables carries: content of
 * maintenance entries, rollers, marks of bearings, rules and temperatures. Bound by topic and input, or
 * by id. */
#include "bind_joints.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static bool is_topic(const struct check_row *row, const char *topic)
{
    return strcmp(row->topic, topic) == 0;
}

static enum bind_outcome length_um(const struct check_row *row, struct bind_fault *fault,
                                   const char *what, int64_t pm)
{
    double printed = check_after(row->expected, what);
    return isnan(printed) ? HELD : bind_near(row, fault, what, (double)pm / 1e6, printed);
}

/* The first that does not hold. */
static enum bind_outcome all(const enum bind_outcome *outcomes, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (outcomes[i] != HELD)
            return outcomes[i];
    return HELD;
}
#define ALL(...)                                                                                   \
    all((const enum bind_outcome[]){__VA_ARGS__},                                                  \
        sizeof((const enum bind_outcome[]){__VA_ARGS__}) / sizeof(enum bind_outcome))

/* --- what laws and guides list: the items of a row are the rows of one topic and use, in order --- */

static const struct {
    const char *id, *topic, *use, *between;
} contents[] = {
    {"RC-001", "overhaul", "step", ";"},
    {"RC-002", "overhaul-receiving", "entry", ";"},
    {"RC-003", "overhaul-visual", "practice", ";"},
    {"RC-004", "overhaul-locking", "practice", ";"},
    {"RC-005", "overhaul-loose", "practice", ";"},
    {"RC-006", "overhaul-bent-crank", "practice", ";"},
    {"RC-007", "limits-table", "entry", ";"},
    {"RC-008", "rod-twist", "practice", ";"},
    {"RC-009", "dye-penetrant", "step", ","},
    {"RC-010", "us-43.9", "entry", ";"},
    {"RC-011", "us-43.11", "entry", ";"},
    {"RC-012", "us-overhauled", "meaning", ";"},
    {"RC-013", "us-rebuilt", "meaning", ";"},
    {"RC-014", "us-91.421", "entry", ";"},
    {"RC-015", "us-major-repair", "entry", ";"},
    {"RC-016", "us-91.417", "entry", ";"},
    {"RC-017", "us-145.219", "kept", ";"},
    {"RC-018", "us-145.219", "copy", ";"},
    {"RC-019", "eu-m.a.305", "due", ";"},
    {"RC-020", "eu-m.a.305", "kept", ";"},
    {"RC-021", "uk-145.a.55", "kept", ";"},
    {"RC-022", "uk-camo.a.220", "kept", ";"},
    {"RC-023", "uk-m.a.614-paper", "kept", ";"},
    {"RC-024", "uk-m.a.614-computer", "kept", ";"},
    {"RC-025", "uk-ml.a.305", "form", ";"},
    {"RC-026", "eu-release", "entry", ";"},
    {"RC-027", "nz-43.69", "entry", ";"},
    {"RC-028", "za-145.02.15", "entry", ";"},
    {"RC-029", "limits", "meaning", ";"},
};

static const struct table_record *record_of(const char *topic, const char *use, double number)
{
    const struct table_record *record;
    for (size_t i = 0; (record = table_row_at(published_set, "record", i)) != NULL; i++)
        if (strcmp(record->topic, topic) == 0 && strcmp(record->use, use) == 0 &&
            record->number == number)
            return record;
    return NULL;
}

static enum bind_outcome bind_content(const struct check_row *row, struct bind_fault *fault)
{
    char items[400];
    size_t found = 0;
    while (found < sizeof contents / sizeof *contents && strcmp(contents[found].id, row->id) != 0)
        found++;
    if (found == sizeof contents / sizeof *contents)
        return UNBOUND;
    const char *start = strstr(row->expected, "six: ");
    double number = 1;
    snprintf(items, sizeof items, "%s", start == NULL ? row->expected : start + 5);
    for (char *item = strtok(items, contents[found].between); item != NULL;
         item = strtok(NULL, contents[found].between), number++) {
        const struct table_record *record =
            record_of(contents[found].topic, contents[found].use, number);
        if (record == NULL || strcmp(record->text, item + strspn(item, " ")) != 0)
            return bind_fault(row, fault, item);
    }
    return record_of(contents[found].topic, contents[found].use, number) == NULL
               ? HELD
               : bind_fault(row, fault, "the record has an item more");
}

/* --- rollers and balls --- */

static enum bind_outcome bind_roller_grade(const struct check_row *row, struct bind_fault *fault)
{
    static const char *const types[][2] = {{"cylindrical roller class", "cylindrical-roller"},
                                           {"needle roller class", "needle-roller"},
                                           {"steel ball grade", "ball"}};
    const struct table_roller_grade *grade;
    for (size_t n = 0; n < sizeof types / sizeof *types; n++) {
        const char *name = check_part(row->input, types[n][0]);
        if (name == NULL)
            continue;
        for (size_t i = 0; (grade = table_row_at(published_set, "roller-grade", i)) != NULL; i++)
            if (strcmp(grade->type, types[n][1]) == 0 && strcmp(grade->grade, name) == 0)
                return ALL(length_um(row, fault, "roundness=", grade->roundness_pm),
                           length_um(row, fault, "sphericity=", grade->roundness_pm),
                           length_um(row, fault, "VDwmp=", grade->diameter_pm),
                           length_um(row, fault, "VDwp=", grade->diameter_pm),
                           length_um(row, fault, "VDws=", grade->diameter_pm),
                           length_um(row, fault, "VDwL=", grade->lot_pm),
                           length_um(row, fault, "lot_VDwL=", grade->lot_pm),
                           length_um(row, fault, "Ra=", grade->roughness_pm));
        return bind_fault(row, fault, "no such grade");
    }
    return UNBOUND;
}

static enum bind_outcome bind_roller(const struct check_row *row, struct bind_fault *fault)
{
    const struct table_roller *roller;
    const bool ball = published_starts(row->input, "ball nominal ");
    if (!ball && !published_starts(row->input, "standard roller "))
        return UNBOUND;
    const char *name = row->input + strlen(ball ? "ball nominal " : "standard roller ");
    for (size_t i = 0; (roller = table_row_at(published_set, "roller", i)) != NULL; i++) {
        if (strcmp(roller->name, name) != 0)
            continue;
        if (ball)
            return published_length_is(row, fault, "ball", roller->diameter_pm);
        return ALL(bind_near(row, fault, "diameter", (double)roller->diameter_pm / 1e9,
                             check_after(row->expected, "Dw=")),
                   bind_near(row, fault, "length", (double)roller->length_pm / 1e9,
                             check_after(row->expected, "Lw=")),
                   bind_near(row, fault, "chamfer", (double)roller->chamfer_pm / 1e9,
                             check_after(row->expected, "r_min=")));
    }
    return bind_fault(row, fault, "no such roller");
}

/* "0.0002;0.0004;...": each is sold, and no other. */
static enum bind_outcome bind_oversizes(const struct check_row *row, struct bind_fault *fault)
{
    const struct table_oversize *oversize;
    const char *at = row->expected;
    if (strcmp(row->input, "roller oversizes supplied") != 0)
        return UNBOUND;
    for (size_t i = 0; (oversize = table_row_at(published_set, "oversize", i)) != NULL; i++) {
        char *end;
        if (strcmp(oversize->of, "roller") != 0)
            continue;
        if (llround(strtod(at, &end) * 25.4e9) != oversize->size_pm || end == at)
            return bind_fault(row, fault, "another oversize");
        at = *end == ';' ? end + 1 : end;
    }
    return *at == '\0' ? HELD : bind_fault(row, fault, at);
}

/* --- life, marks and sizes of bearings --- */

static enum bind_outcome bind_life_factor(const struct check_row *row, struct bind_fault *fault)
{
    const struct table_life_factor *factor;
    if (!published_starts(row->input, "a1;reliability="))
        return UNBOUND;
    const char *edition = strstr(row->input, "older") != NULL ? "before 2007" : "ISO 281:2007";
    for (size_t i = 0; (factor = table_row_at(published_set, "life-factor", i)) != NULL; i++)
        if (strcmp(factor->edition, edition) == 0 &&
            fabs(100 * factor->reliability - check_value(row, "reliability")) < 1e-9)
            return bind_near(row, fault, edition, factor->factor, published_expected(row));
    return bind_fault(row, fault, "no such reliability");
}

static const char *word_of(const char *kind, const char *text)
{
    const struct table_word *word = table_word_find(published_set, kind, text, NULL);
    return word == NULL ? "" : word->name;
}

/* "H" is group 2: the same group as the plain "C2". */
static enum bind_outcome bind_mark(const struct check_row *row, struct bind_fault *fault)
{
    char group[8];
    const char *mark = strstr(row->input, "ball_prefix=");
    if (mark == NULL)
        return UNBOUND;
    snprintf(group, sizeof group, "C%c", strchr(row->expected, '=')[1]);
    return strcmp(word_of("clearance-mark", strchr(mark, '=') + 1), word_of("clearance", group)) ==
                   0
               ? HELD
               : bind_fault(row, fault, group);
}

/* "abma=ABEC 5 / RBEC 5": both are the class of the row. */
static enum bind_outcome bind_class(const struct check_row *row, struct bind_fault *fault)
{
    char ball[16], roller[16];
    const char *class = check_part(row->input, "iso_class");
    if (class == NULL || sscanf(row->expected, "abma=%15[^/] / %15[^;]", ball, roller) != 2)
        return UNBOUND;
    ball[strcspn(ball, "/") - 1] = '\0';
    const char *name = word_of("bearing-class", class);
    return *name != '\0' && strcmp(name, word_of("bearing-class", ball)) == 0 &&
                   strcmp(name, word_of("bearing-class", roller)) == 0
               ? HELD
               : bind_fault(row, fault, name);
}

static enum bind_outcome bind_iso_355(const struct check_row *row, struct bind_fault *fault)
{
    const char *printed = check_part(row->expected, "iso355");
    if (printed == NULL)
        return UNBOUND;
    struct table_bearing_found found =
        table_bearing_find(published_set, check_part(row->input, "designation"));
    return found.status == TABLE_FOUND && strcmp(found.bearing->iso_355, printed) == 0
               ? HELD
               : bind_fault(row, fault, "another ISO 355 designation");
}

/* "3 to 4 / 4 / 4" for C2, CN, C3, at both ends of the band. */
static enum bind_outcome bind_measured(const struct check_row *row, struct bind_fault *fault)
{
    static const char *const groups[] = {"measured C2", "measured CN", "measured C3"};
    const char *at = row->expected, *source;
    if (!published_starts(row->input, "measured-under-load"))
        return UNBOUND;
    for (size_t i = 0; i < sizeof groups / sizeof *groups; i++) {
        char *end;
        double low = strtod(at, &end), high = low;
        if (strncmp(end, " to ", 4) == 0)
            high = strtod(end + 4, &end);
        at = *end == '\0' ? end : end + strspn(end, " /");
        for (int upper = 0; upper < 2; upper++) {
            struct table_bearing made = {.type = "deep-groove", .series = "", .designation = ""};
            int64_t low_pm, high_pm;
            made.bore_pm = upper ? qty_pm_from_mm(check_value(row, "bore_incl"))
                                 : qty_pm_from_mm(check_value(row, "bore_over")) + 1;
            if (!table_bearing_clearance(published_set, &made, groups[i], &low_pm, &high_pm,
                                         &source) ||
                low_pm != qty_pm_from_mm(low / 1000) || high_pm != qty_pm_from_mm(high / 1000))
                return bind_fault(row, fault, groups[i]);
        }
    }
    return HELD;
}

/* --- rules with figures: both ends, in the unit of the row --- */

static const struct {
    const char *id, *rule, *variant;
    double times; /* a share as percent, or inches of a length */
} figures[] = {
    {"BL-009", "ring-fit-share", "", 100},
    {"BL-010", "ring-fit-share", "inner-solid-steel", 100},
    {"BL-011", "ring-fit-share", "outer-steel-iron", 100},
    {"BL-015", "ring-temperature", "", 1},
    {"TL-004", "heat-above-need", "", 1},
    {"TL-026", "heating-ring", "", 1},
    {"WR-008", "wear-journal-taper", "", 1},
    {"WR-015", "wear-seat-width", "", 100},
    {"RR-018", "ring-gap-growth", "rounded", 0.001}, /* for a bore worn by 0.001 in */
    {"RR-019", "ring-gap-growth", "rounded", 0.001},
    {"RR-020", "ring-gap-growth", "rounded", 0.001},
    {"FT-146", "reference-temperature", "", 1},
    {"VT-031", "timing-lift", "seat", 1},
    {"BA-010", "balance-factor", "single", 100},
    {"BA-011", "balance-factor", "v-twin", 100},
    {"BA-012", "balance-factor", "parallel-twin-650", 100},
    {"BA-013", "balance-factor", "parallel-twin", 100},
    {"BA-014", "balance-factor", "v8-90", 100},
    {"BA-015", "balance-factor", "v-twin-side-valve", 100},
};

static const struct table_rule *rule_of(const char *id, const char *variant)
{
    const struct table_rule *rule = table_rule_find(published_set, id, variant, NULL);
    cr_assert_not_null(rule, "no rule %s %s", id, variant);
    return rule;
}

static double end_of(double ratio, int64_t pm)
{
    return table_has(ratio) ? ratio : pm == TABLE_NO_PM ? NAN : (double)pm / 25.4e9;
}

/* The one or two numbers in the text, the lower first. */
static size_t numbers_in(const char *text, double numbers[2])
{
    size_t count = 0;
    for (const char *at = text; *at != '\0' && count < 2;) {
        char *end = NULL;
        bool digit = *at >= '0' && *at <= '9';
        double number = digit ? strtod(at, &end) : 0;
        if (digit && end[-1] == '.') /* "200..300" */
            end--;
        if (digit)
            numbers[count++] = number;
        at = digit ? end : at + 1;
    }
    if (count == 2 && numbers[0] > numbers[1]) {
        double lower = numbers[1];
        numbers[1] = numbers[0];
        numbers[0] = lower;
    }
    return count;
}

static enum bind_outcome bind_rule(const struct check_row *row, struct bind_fault *fault)
{
    double printed[2];
    for (size_t i = 0; i < sizeof figures / sizeof *figures; i++) {
        if (strcmp(row->id, figures[i].id) != 0)
            continue;
        const struct table_rule *rule = rule_of(figures[i].rule, figures[i].variant);
        double low = figures[i].times * end_of(rule->low_ratio, rule->low_pm),
               high = figures[i].times * end_of(rule->high_ratio, rule->high_pm);
        size_t count = numbers_in(row->expected, printed);
        if (count == 0)
            return bind_fault(row, fault, "no figure");
        return ALL(isnan(low) ? HELD : bind_near(row, fault, "low", low, printed[0]),
                   isnan(high) ? HELD : bind_near(row, fault, "high", high, printed[count - 1]));
    }
    return UNBOUND;
}

/* Rows whose figures stand elsewhere in the row, or that name two rules. */
static enum bind_outcome bind_other_rule(const struct check_row *row, struct bind_fault *fault)
{
    if (strcmp(row->id, "RR-003") == 0) /* its printed 0.012 is not what its own rule gives */
        return bind_near(row, fault, "gap for 3 in", 3 * rule_of("ring-gap", "least")->low_ratio,
                         check_after(row->unit, "gives "));
    if (strcmp(row->id, "RR-006") == 0)
        return bind_near(row, fault, "per inch", rule_of("ring-gap", "second-sheet")->low_ratio,
                         strtod(row->expected, NULL) * check_after(row->expected, "x"));
    if (strcmp(row->id, "BL-012") == 0)
        return ALL(bind_near(row, fault, "inner", rule_of("ring-fit-share", "inner")->low_ratio,
                             check_after(row->expected, "d/F = ")),
                   bind_near(row, fault, "outer", rule_of("ring-fit-share", "outer")->low_ratio,
                             check_after(row->expected, "E/D = ")));
    return UNBOUND;
}

/* The other lift of VT-031 stands in its unit: asked with the first. */
static enum bind_outcome bind_lift(const struct check_row *row, struct bind_fault *fault)
{
    if (strcmp(row->id, "VT-031") != 0)
        return UNBOUND;
    return ALL(bind_rule(row, fault),
               bind_near(row, fault, "at the tappet",
                         end_of(NAN, rule_of("timing-lift", "tappet")->low_pm),
                         check_after(row->unit, "alternative ")));
}

/* --- words and temperatures --- */

static enum bind_outcome bind_words(const struct check_row *row, struct bind_fault *fault)
{
    static const struct {
        const char *id, *rule, *says;
    } texts[] = {
        {"TL-023", "seat-insert-chill", "valve seat insert, before fitting"},
        {"TL-024", "heating-flame", "direct open flame, torch or soldering iron"},
        {"TL-025", "heating-ring-burner", "ring burner"},
        {"FD-131", "iso-286-js", "may be rounded to the even value below"},
    };
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        if (strcmp(row->id, texts[i].id) != 0)
            continue;
        const char *text = rule_of(texts[i].rule, "")->text, *expected = row->expected;
        bool same = strcmp(row->topic, "iso286-rule") == 0 ? strstr(expected, texts[i].says) != NULL
                                                           : strstr(text, expected) != NULL;
        return same && strstr(text, texts[i].says) != NULL
                   ? HELD
                   : bind_fault(row, fault, "the rule does not say so");
    }
    return UNBOUND;
}

static enum bind_outcome bind_temperature(const struct check_row *row, struct bind_fault *fault)
{
    static const char *const cold[][2] = {
        {"bearing chilling", "bearing"}, {"(dry ice)", "dry-ice"}, {"liquid air", "liquid-air"}};
    const struct table_chill *chill;
    if (!is_topic(row, "thermal-limit"))
        return UNBOUND;
    if (strcmp(row->expected, "boiling water") == 0) {
        struct table_ceilings found = table_ceiling_find(arena, published_set, "aluminium-cast");
        for (size_t i = 0; i < found.count; i++)
            if (strstr(found.items[i]->where, "crankcase half") != NULL &&
                strstr(found.items[i]->where, row->expected) != NULL)
                return bind_near(row, fault, "boils at", found.items[i]->most_c, 100);
        return bind_fault(row, fault, "no such ceiling");
    }
    for (size_t n = 0; n < sizeof cold / sizeof *cold; n++)
        for (size_t i = 0; strstr(row->input, cold[n][0]) != NULL &&
                           (chill = table_row_at(published_set, "chill", i)) != NULL;
             i++)
            if (strcmp(chill->what, cold[n][1]) == 0)
                return bind_near(row, fault, chill->what, chill->temperature_c,
                                 strtod(row->expected + strspn(row->expected, ">="), NULL));
    return UNBOUND;
}

/* --- ISO 286: what a text says of the table --- */

static enum bind_outcome bind_grade(const struct check_row *row, struct bind_fault *fault)
{
    if (!is_topic(row, "iso286-formula") || !check_has(row, "size"))
        return UNBOUND;
    return published_length_is(row, fault, "tolerance",
                               table_it(published_set, check_part(row->input, "grade"),
                                        qty_pm_from_mm(check_value(row, "size"))));
}

/* k: 0.6 of the cube root of the step's mean in grades 4 to 7, to the nearest micrometre; else 0. */
static enum bind_outcome bind_k(const struct check_row *row, struct bind_fault *fault)
{
    static const double steps[] = {3, 6, 10, 18, 30, 50, 80, 120, 180, 250, 315, 400, 500};
    if (strcmp(row->id, "FD-130") != 0)
        return UNBOUND;
    double times = check_after(row->expected, "ei=+");
    for (size_t i = 0; i + 1 < sizeof steps / sizeof *steps; i++) {
        int64_t size = qty_pm_from_mm(steps[i + 1]);
        double formula = times * cbrt(sqrt(steps[i] * steps[i + 1]));
        struct table_limits k6 = table_class_limits(published_set, "k6", size),
                            k3 = table_class_limits(published_set, "k3", size),
                            k8 = table_class_limits(published_set, "k8", size);
        if (fabs((double)k6.low_pm / 1e6 - formula) > 0.75 || k3.low_pm != 0 || k8.low_pm != 0)
            return bind_fault(row, fault, "k differs");
    }
    return HELD;
}

static enum bind_outcome bind_ratio(const struct check_row *row, struct bind_fault *fault)
{
    if (strcmp(row->id, "BL-001") != 0 && strcmp(row->id, "BL-002") != 0)
        return UNBOUND;
    int64_t low_pm, high_pm;
    const char *source;
    const struct table_bearing *bearing = table_bearing_find(published_set, "NU 311").bearing;
    if (bearing == NULL ||
        !table_bearing_clearance(published_set, bearing, "CN", &low_pm, &high_pm, &source))
        return bind_fault(row, fault, "no such bearing");
    if (strcmp(row->id, "BL-001") == 0)
        return bind_near(row, fault, "d/D", (double)bearing->bore_pm / (double)bearing->outside_pm,
                         published_expected(row));
    return ALL(length_um(row, fault, "min=", low_pm), length_um(row, fault, "max=", high_pm));
}

/* Figures of single engines among the rows of other topics; pieces that are matched. */
static enum bind_outcome bind_engine(const struct check_row *row, struct bind_fault *fault)
{
    static const char *const ids[] = {"BI-058", "KN-081", "VT-011", "VT-012", "BA-025",
                                      "BA-026", "BA-027", "BA-028", "BA-029"};
    for (size_t i = 0; i < sizeof ids / sizeof *ids; i++)
        if (strcmp(row->id, ids[i]) == 0)
            return published_engine(row, fault);
    return is_topic(row, "balance-match") ? published_match(row, fault) : UNBOUND;
}

enum bind_outcome published_record(const struct check_row *row, struct bind_fault *fault)
{
    static enum bind_outcome (*const binders[])(const struct check_row *, struct bind_fault *) = {
        bind_content, bind_roller_grade, bind_roller,  bind_oversizes,   bind_life_factor,
        bind_mark,    bind_class,        bind_iso_355, bind_measured,    bind_lift,
        bind_rule,    bind_other_rule,   bind_words,   bind_temperature, bind_grade,
        bind_k,       bind_ratio,        bind_engine};
    if (strcmp(row->file, "fits-and-engine.csv") != 0)
        return UNBOUND;
    for (size_t i = 0; i < sizeof binders / sizeof *binders; i++) {
        enum bind_outcome outcome = binders[i](row, fault);
        if (outcome != UNBOUND)
            return outcome;
    }
    return UNBOUND;
}
