/* engines.c - published rows that state one engine's figures. No table ships them: each row becomes a
 * spec with the figures as sourced limits, and readings inside, past the new limit and past the wear
 * limit; the limits and the verdicts must come out. */
#include "published.h"
#include "resolved.h"

#include <criterion/criterion.h>
#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* One limit that a row states; NAN: that end is open. */
struct stated {
    double low, high, worn;
};
enum { MOST_STATED = 4 };

/* "0.012..0.022", ".6252/.6247", "<=0.005", ">= 0.016", "0.014+-0.008", "+-2.5", "+0.020",
 * "0.002 over 4 in". */
static struct stated read_stated(const char *text, bool at_most)
{
    struct stated stated = {NAN, NAN, NAN};
    const char *dots = strstr(text, ".."), *plus_minus = strstr(text, "+-");
    char *end;
    double number = plus_minus == text ? 0 : strtod(text + strspn(text, "<>= "), &end);
    if (plus_minus == NULL && *end == '/' && end[1] >= '.' && end[1] <= '9') {
        double other = strtod(end + 1, NULL);
        return (struct stated){fmin(number, other), fmax(number, other), NAN};
    }
    if (plus_minus != NULL) {
        double spread = strtod(plus_minus + 2, NULL);
        return (struct stated){number - spread, number + spread, NAN};
    }
    stated.low = *text == '<' || at_most ? NAN : number;
    stated.high = *text == '>' ? NAN : dots != NULL ? strtod(dots + 2, NULL) : number;
    return stated;
}

/* "min=..;max=..;limit=.." is one limit; any other part ("inlet=0.008", "0.010") is one of its own. */
static size_t read_row(const struct check_row *row, struct stated stated[])
{
    char parts[256];
    size_t count = 0;
    double sign = strstr(row->unit, "interference") != NULL ? -1 : 1;
    bool at_most = strstr(row->unit, "max") != NULL || strstr(row->input, "runout") != NULL;
    snprintf(parts, sizeof parts, "%.*s", (int)strcspn(row->expected, "("), row->expected);
    for (char *at; (at = strstr(parts, " and ")) != NULL;) /* "0.002 and 0.008 shims in pack" */
        memmove(at + 1, at + 5, strlen(at + 5) + 1), *at = ';';
    for (char *part = strtok(parts, ";"); part != NULL; part = strtok(NULL, ";")) {
        const char *value = strchr(part, '=');
        bool named = value != NULL && isalpha((unsigned char)*part);
        struct stated one = read_stated(named ? value + 1 : part, at_most);
        if (strncmp(part, "max=", 4) == 0 && count > 0)
            stated[count - 1].high = one.high;
        else if ((strncmp(part, "limit=", 6) == 0 || strncmp(part, "recondition>", 12) == 0) &&
                 count > 0)
            stated[count - 1].worn = strtod(part + strcspn(part, "=>") + 1, NULL);
        else if (count < MOST_STATED)
            stated[count++] = one;
    }
    for (size_t i = 0; i < count; i++) {
        double low = sign * stated[i].low, high = sign * stated[i].high;
        stated[i].low = sign > 0 ? low : high;
        stated[i].high = sign > 0 ? high : low;
    }
    return count;
}

/* How the language writes the unit of a row; "" where the row has none of ours. It may stand behind the
 * figure: "<=2 oz-in (=...)". */
static const char *unit_of(const struct check_row *row)
{
    static const char *const units[][2] = {{"mm", "mm"},      {"in", "in"},   {"kg", "kgf"},
                                           {"lb", "lbf"},     {"deg", "deg"}, {"g", "g"},
                                           {"oz-in", "oz in"}};
    const char *text = row->unit;
    if (strcmp(text, "text") == 0)
        text = row->expected + strspn(row->expected, "<>=+-.0123456789 ");
    size_t length = strcspn(text, " ");
    for (size_t i = 0; i < sizeof units / sizeof *units; i++)
        if (length == strlen(units[i][0]) && strncmp(text, units[i][0], length) == 0)
            return units[i][1];
    return "";
}

/* --- the spec --- */

static void add_want(struct str_buf *out, const struct stated *stated, const char *unit)
{
    if (isnan(stated->low))
        str_add_print(out, "at most %s %s", str_decimal(out->arena, stated->high, 6), unit);
    else if (isnan(stated->high))
        str_add_print(out, "at least %s %s", str_decimal(out->arena, stated->low, 6), unit);
    else
        str_add_print(out, "%s..%s %s", str_decimal(out->arena, stated->low, 6),
                      str_decimal(out->arena, stated->high, 6), unit);
}

/* Three readings of every limit: inside, past the new limit, past the wear limit. */
static double reading_of(const struct stated *stated, int which)
{
    double step = fmax(fabs(isnan(stated->high) ? stated->low : stated->high) / 8, 1e-4);
    if (isnan(stated->high))
        return which == 0 ? stated->low + step : stated->low - step;
    if (which == 0)
        return isnan(stated->low) ? stated->high - step : (stated->low + stated->high) / 2;
    if (isnan(stated->worn) || stated->worn <= stated->high)
        return stated->high + step;
    return which == 1 ? (stated->high + stated->worn) / 2 : stated->worn + step;
}

/* A figure without a range is met exactly: on its limit, which is near it. */
static enum verdict verdict_of(const struct stated *stated, int which)
{
    if (which == 0)
        return stated->low == stated->high ? VERDICT_NEAR_NEW : VERDICT_INSIDE;
    bool between = which == 1 && !isnan(stated->worn) && stated->worn > stated->high;
    return between ? VERDICT_SERVICEABLE : VERDICT_OUTSIDE;
}

static const char *spec_of(struct arena *arena, const struct stated *stated, size_t count,
                           const char *unit)
{
    struct str_buf out = {.arena = arena};
    str_add(&out, "limits:\n");
    for (size_t i = 0; i < count; i++)
        for (int which = 0; which < 3; which++) {
            str_add_print(&out,
                          "  read-%zu-%d: {of: [cover], when: bench, where: as the row says, "
                          "want: {is: ",
                          i, which);
            add_want(&out, &stated[i], unit);
            str_add(&out, ", from: book p. 1}");
            if (!isnan(stated[i].worn))
                str_add_print(&out, ", worn: {is: at most %s %s, from: book p. 1}",
                              str_decimal(arena, stated[i].worn, 6), unit);
            str_add_print(&out, ", measured: {is: %s %s}}\n",
                          str_decimal(arena, reading_of(&stated[i], which), 6), unit);
        }
    return out.bytes;
}

/* --- what comes out --- */

static double in_unit(struct qty end, const char *unit)
{
    const struct qty_unit *known = qty_unit_find(unit, end.dim);
    double si = end.dim == QTY_LENGTH ? (double)end.exact * 1e-12 : end.si;
    return known == NULL ? NAN : si / known->factor;
}

static enum bind_outcome ends_are(const struct check_row *row, struct bind_fault *fault,
                                  const struct limit_values *limit, const struct stated *stated,
                                  const char *unit)
{
    enum bind_outcome outcome = HELD;
    if (limit->want == NULL)
        return bind_fault(row, fault, "the limit does not come out");
    if (!isnan(stated->low))
        outcome = bind_near(row, fault, "low", in_unit(limit->want->value.low, unit), stated->low);
    if (outcome == HELD && !isnan(stated->high))
        outcome =
            bind_near(row, fault, "high", in_unit(limit->want->value.high, unit), stated->high);
    if (outcome == HELD && !isnan(stated->worn))
        outcome = limit->worn == NULL
                      ? bind_fault(row, fault, "the wear limit does not come out")
                      : bind_near(row, fault, "worn", in_unit(limit->worn->value.high, unit),
                                  stated->worn);
    return outcome;
}

static enum bind_outcome limits_are(const struct check_row *row, struct bind_fault *fault,
                                    const struct build *build, const struct stated *stated,
                                    const char *unit)
{
    size_t index;
    int which;
    enum bind_outcome outcome = UNBOUND;
    for (size_t i = 0; i < build->limits.count && outcome != FAILED; i++) {
        const struct limit_values *limit = &build->limits.items[i];
        if (sscanf(limit->limit->e.id, "read-%zu-%d", &index, &which) != 2)
            continue;
        outcome = ends_are(row, fault, limit, &stated[index], unit);
        if (outcome == HELD && limit->verdict != verdict_of(&stated[index], which)) {
            char why[80];
            snprintf(why, sizeof why, "reading %d of limit %zu is judged '%s'", which, index,
                     verdict_word(limit->verdict));
            outcome = bind_fault(row, fault, why);
        }
    }
    return outcome;
}

enum bind_outcome published_engine(const struct check_row *row, struct bind_fault *fault)
{
    struct stated stated[MOST_STATED];
    const char *unit = unit_of(row);
    if (published_set != table_set_default() || *unit == '\0')
        return UNBOUND; /* no table has its figures */
    size_t count = read_row(row, stated);
    struct arena *arena = arena_new(0, NULL, NULL);
    struct resolved resolved = resolved_of(spec_of(arena, stated, count, unit));
    enum bind_outcome outcome = resolved.build == NULL
                                    ? bind_fault(row, fault, resolved_says(&resolved))
                                    : limits_are(row, fault, resolved.build, stated, unit);
    resolved_free(&resolved);
    arena_free(arena);
    return outcome;
}

/* Pieces that are to weigh the same: the spread that the build works out, and what each must lose to be
 * as light as the lightest. "402 405 401 404" gives "spread=4;remove=1/4/0/3". */
enum bind_outcome published_match(const struct check_row *row, struct bind_fault *fault)
{
    double grams[8], lightest = INFINITY;
    size_t count = 0;
    char *end;
    const char *masses = check_part(row->input, "masses");
    if (masses == NULL || published_set != table_set_default())
        return UNBOUND;
    struct arena *arena = arena_new(0, NULL, NULL);
    struct str_buf spec = {.arena = arena};
    str_add(&spec, "parts:\n  slug:\n    in: crankcase\n    state: reuse\n    each: [a");
    for (const char *at = masses; count < 8 && *at != '\0'; at = end) {
        grams[count] = strtod(at, &end);
        lightest = fmin(lightest, grams[count]);
        if (count > 0)
            str_add_print(&spec, ", %c", (char)('a' + count));
        count++;
    }
    str_add(&spec, "]\n    weight: {");
    for (size_t i = 0; i < count; i++)
        str_add_print(&spec, "%s%c: %.0f g", i == 0 ? "" : ", ", (char)('a' + i), grams[i]);
    str_add(&spec,
            "}\nlimits:\n  weights: {spread: slug.weight, want: at most 10 g, when: bench}\n");
    struct resolved resolved = resolved_of(spec.bytes);
    enum bind_outcome outcome = HELD;
    const struct fact *found =
        resolved.build == NULL ? NULL : build_fact(resolved.build, "weights.found");
    if (found == NULL)
        outcome = bind_fault(row, fault, resolved_says(&resolved));
    else
        outcome = bind_near(row, fault, "spread", 1000 * found->value.low.si,
                            check_after(row->expected, "spread="));
    const char *at = check_part(row->expected, "remove");
    for (size_t i = 0; i < count && outcome == HELD; i++) {
        outcome = bind_near(row, fault, "remove", grams[i] - lightest, strtod(at, &end));
        at = end + 1;
    }
    resolved_free(&resolved);
    arena_free(arena);
    return outcome;
}
