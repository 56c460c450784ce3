/* sheets_limits.c - Limits: what each limit, fit and size may be, and a verdict that follows what is
 * typed. */
#include <math.h>

#include "sheets_private.h"

enum { LIMIT_WHAT, LIMIT_KIND, LIMIT_WHEN, LIMIT_NEW_LOW, LIMIT_NEW_HIGH, LIMIT_WORN_LOW,
       LIMIT_WORN_HIGH, LIMIT_UNIT, LIMIT_GOOD_TO, LIMIT_FOUND, LIMIT_FOUND_TO, LIMIT_VERDICT,
       LIMIT_SAID };

static const struct sheet_column limit_columns[] = {
    [LIMIT_WHAT] = {"what", "summary.what", CELL_TEXT, 4},
    [LIMIT_KIND] = {"kind", "sheet.kind", CELL_TEXT, 1},
    [LIMIT_WHEN] = {"when", "summary.when", CELL_TEXT, 2},
    [LIMIT_NEW_LOW] = {"new-low", "sheet.new-low", CELL_QUANTITY},
    [LIMIT_NEW_HIGH] = {"new-high", "sheet.new-high", CELL_QUANTITY},
    [LIMIT_WORN_LOW] = {"worn-low", "sheet.worn-low", CELL_QUANTITY},
    [LIMIT_WORN_HIGH] = {"worn-high", "sheet.worn-high", CELL_QUANTITY},
    [LIMIT_UNIT] = {"unit", "sheet.unit", CELL_TEXT},
    [LIMIT_GOOD_TO] = {"good-to", "sheet.good-to", CELL_QUANTITY},
    [LIMIT_FOUND] = {"found", "sheet.found-low", CELL_QUANTITY, .fill = true},
    [LIMIT_FOUND_TO] = {"found-to", "sheet.found-high", CELL_QUANTITY, .fill = true},
    [LIMIT_VERDICT] = {"verdict", "summary.verdict", CELL_FORMULA},
    [LIMIT_SAID] = {"said", "sheet.as-packed", CELL_TEXT, 3},
};

/* One thing that is judged, of whichever kind. */
struct judged {
    const char *what, *kind, *when;
    const struct fact *want, *worn, *found;
    const struct gauge *gauge;
    enum verdict verdict;
    const char *said;
};

/* calc_judge as a formula: the rank of a side is the greatest of what its new and its wear limit say,
 * the verdict that of the worse side. In calc's words: near means nearer than what a reading is good to
 * (ISO 14253-1), and a limit includes its ends. A cell's number is a double: what differs by less than
 * 1E-9 is the same. */
#define NEAR(margin) "ABS(" margin ")<[good-to]-1E-9"
#define UNDER(margin) margin "<-1E-9"
#define SIDE(margin_new, new, new_other, margin_worn, worn)                                        \
    "IF([" new "]=\"\",IF(AND([" worn "]<>\"\",[" new_other "]=\"\"),3,1),IF(" NEAR(margin_new)    \
    ",2,IF(" UNDER(margin_new) ",IF([" worn "]=\"\",5,3),1))),IF([" worn "]=\"\",1,IF("            \
    NEAR(margin_worn) ",4,IF(" UNDER(margin_worn) ",5,1)))"
#define LOWEST "MIN([found],[found-to])"
#define HIGHEST "MAX([found],[found-to])"
#define RANK                                                                                       \
    "MAX(" SIDE(LOWEST "-[new-low]", "new-low", "new-high", LOWEST "-[worn-low]", "worn-low") ","  \
    SIDE("[new-high]-" HIGHEST, "new-high", "new-low", "[worn-high]-" HIGHEST, "worn-high") ")"

static const char *verdict_text(struct packer *packer, enum verdict verdict)
{
    return verdict == VERDICT_NONE ? "" : label_of(packer, "verdict", verdict_word(verdict));
}

static const char *verdict_formula(struct packer *packer, enum verdict unread)
{
    struct str_buf out = {.arena = packer->arena};

    str_add_print(&out, "=IF(COUNT([found],[found-to])=0,%s,CHOOSE(" RANK,
                  formula_string(packer, verdict_text(packer, unread)));
    for (enum verdict verdict = VERDICT_INSIDE; verdict <= VERDICT_OUTSIDE; verdict++)
        str_add_print(&out, ",%s", formula_string(packer, verdict_text(packer, verdict)));
    str_add(&out, "))");
    return out.bytes;
}

static void put_ends(struct packer *packer, struct cell *low, struct cell *high,
                     const struct fact *fact, const struct qty_unit *unit)
{
    if (!fact)
        return;
    if (qty_value_has_low(&fact->value))
        cell_put_in_unit(packer, low, fact->value.low, unit);
    if (qty_value_has_high(&fact->value))
        cell_put_in_unit(packer, high, fact->value.high, unit);
}

/* The end of what it is judged by that is set, of the new limits first; NULL: it is not judged. */
static const struct qty *end_of(const struct judged *judged)
{
    const struct fact *facts[] = {judged->want, judged->worn};

    for (size_t i = 0; i < 2; i++) {
        if (facts[i] && qty_value_has_low(&facts[i]->value))
            return &facts[i]->value.low;
        if (facts[i] && qty_value_has_high(&facts[i]->value))
            return &facts[i]->value.high;
    }
    return NULL;
}

/* What a reading is good to: as it was taken, else as the gauge that is asked for reads. */
static void put_good_to(struct packer *packer, struct cell *cell, const struct judged *judged,
                        const struct qty_unit *unit)
{
    double si = judged->found && judged->found->measured ? judged->found->uncertainty
                : judged->gauge && judged->gauge->uncertainty.present
                    ? fabs(judged->gauge->uncertainty.value.nominal.si)
                    : 0;

    if (si <= 0)
        return;
    *cell = (struct cell){.kind = CELL_QUANTITY, .number = unit ? si / unit->factor : si};
    cell->text = str_decimal(packer->arena, cell->number, unit ? qty_places(unit) + 1 : 3);
}

static void add_judged(struct packer *packer, struct table *table, const struct judged *judged)
{
    const struct qty *end = end_of(judged);
    bool read = judged->found && judged->found->measured &&
                judged->verdict != VERDICT_NOT_MEASURED;

    if (!end)
        return; /* nothing that it could be judged by */
    const struct qty_unit *unit = qty_unit_workshop(end);
    struct cell *row = table_row_new(packer, table);
    row[LIMIT_WHAT] = cell_text(judged->what);
    row[LIMIT_KIND] = cell_text(label(packer->labels, judged->kind));
    row[LIMIT_WHEN] = cell_text(judged->when);
    put_ends(packer, &row[LIMIT_NEW_LOW], &row[LIMIT_NEW_HIGH], judged->want, unit);
    put_ends(packer, &row[LIMIT_WORN_LOW], &row[LIMIT_WORN_HIGH], judged->worn, unit);
    row[LIMIT_UNIT] = cell_text(unit ? unit->name : NULL);
    put_good_to(packer, &row[LIMIT_GOOD_TO], judged, unit);
    if (read)
        put_ends(packer, &row[LIMIT_FOUND], &row[LIMIT_FOUND_TO], judged->found, unit);
    if (row[LIMIT_FOUND].number == row[LIMIT_FOUND_TO].number)
        row[LIMIT_FOUND_TO] = (struct cell){0};
    row[LIMIT_VERDICT] = cell_formula_words(
        verdict_formula(packer, read ? VERDICT_NOT_MEASURED : judged->verdict),
        verdict_text(packer, judged->verdict));
    row[LIMIT_SAID] = cell_text(judged->said);
}

static const struct gauge *gauge_named(const struct spec *spec, const char *id)
{
    for (size_t i = 0; id && i < spec->shop.gauges.count; i++)
        if (str_equal(spec->shop.gauges.items[i].id, id))
            return &spec->shop.gauges.items[i];
    return NULL;
}

void add_limits_sheet(struct packer *packer)
{
    struct table *table = sheet_table(packer, "limits", limit_columns, COLUMN_COUNT(limit_columns));
    const struct build *build = packer->build;

    table->columns.items[LIMIT_VERDICT].strong =
        str_print(packer->arena, "=[verdict]=%s",
                  formula_string(packer, verdict_text(packer, VERDICT_OUTSIDE)));
    table->columns.items[LIMIT_VERDICT].soft =
        str_print(packer->arena, "=OR([verdict]=%s,[verdict]=%s)",
                  formula_string(packer, verdict_text(packer, VERDICT_NEAR_NEW)),
                  formula_string(packer, verdict_text(packer, VERDICT_NEAR_WORN)));
    for (size_t i = 0; i < build->limits.count; i++) {
        const struct limit_values *values = &build->limits.items[i];
        add_judged(packer, table,
                   &(struct judged){values->limit->e.shown, "sheet.limit",
                                    text_of_moments(packer, values->limit->when), values->want,
                                    values->worn, values->found,
                                    gauge_named(packer->spec, values->limit->using.text),
                                    values->verdict, text_of_phrase(packer, values->judged)});
    }
    for (size_t i = 0; i < build->fits.count; i++) {
        const struct fit_values *values = &build->fits.items[i];
        add_judged(packer, table,
                   &(struct judged){values->fit->e.shown, "sheet.fit", NULL, values->want, NULL,
                                    values->clearance, NULL, values->verdict,
                                    text_of_phrase(packer, values->judged)});
    }
    for (size_t i = 0; i < build->sizes.count; i++) {
        const struct size_values *values = &build->sizes.items[i];
        const struct size_ref ref = {.size = values->size};
        bool read = values->found && values->found->measured;
        if (values->doubted || (values->size->implied && !read))
            continue;
        add_judged(packer, table,
                   &(struct judged){text_of_size(packer, &ref), "sheet.size", NULL, values->want,
                                    values->worn, values->found, NULL, values->verdict,
                                    text_of_phrase(packer, values->judged)});
    }
    sheet_add(packer, "limits", table);
}
