/* resolve_size.c - sizes of parts: limits from plain value, class or tolerance, a bearing's and a
 * gasket's own sizes, what was measured, and the verdict. */
#include "resolve_private.h"

struct size_values *resolve_size_values(const struct resolver *r, const struct size *size)
{
    size_t at = map_item(&r->build->places, size);

    return at != MAP_NONE ? &r->build->sizes.items[at] : NULL;
}

struct range resolve_size_range(const struct resolver *r, const struct size *size,
                                struct fact **fact)
{
    const struct size_values *values = size != NULL ? resolve_size_values(r, size) : NULL;
    struct fact *used = NULL;

    if (values != NULL && !values->doubted)
        used = values->found != NULL ? values->found : values->want;
    if (fact != NULL)
        *fact = used;
    return range_of_fact(used);
}

/* ---------- sizes that a designation or a sheet gives ---------- */

static struct fact *table_fact(struct resolver *r, struct entry *entry, const char *id,
                               const struct table_row *row, const char *source)
{
    struct fact *fact = resolve_fact(r, entry, id, FACT_TABLE);

    fact->level = row->table != NULL ? (int)row->table->level + 1 : LEVEL_STANDARD;
    fact->source = source != NULL ? source : row->source;
    return fact;
}

/* Bore and outside have the limits of ISO 492 Normal, which run below nominal; a width is its
 * nominal, since its own (larger) tolerance was not read. */
static struct fact *bearing_size(struct resolver *r, const struct size *size)
{
    const struct bearing_values *values = build_bearing(r->build, size->part);
    const char *name = size->name;
    bool outer = str_equal(name, "outside");
    int64_t low_pm = 0, high_pm = 0;
    const char *source = NULL;

    if (values == NULL || values->row == NULL)
        return NULL;
    int64_t nominal_pm = outer                      ? values->row->outside_pm
                         : str_equal(name, "bore")  ? values->row->bore_pm
                         : str_equal(name, "width") ? values->row->width_pm
                                                    : TABLE_NO_PM;
    if (nominal_pm == TABLE_NO_PM)
        return NULL;

    struct fact *fact = table_fact(r, &size->part->e, str_print(r->arena, "%s.want", size->id),
                                   &values->row->row, NULL);
    fact->span = size->part->bearing.designation.span;
    const struct qty_unit *unit = qty_unit_find("mm", QTY_LENGTH);
    if (!str_equal(name, "width") &&
        table_bearing_tolerance(r->tables, values->row, outer, &low_pm, &high_pm, &source)) {
        fact->value = range_limits_pm(nominal_pm + low_pm, nominal_pm + high_pm, unit);
        fact->value.nominal = range_qty_pm(nominal_pm, unit);
        fact->rule = "deviations";
        resolve_number(r, fact, "nominal", (double)nominal_pm * 1e-12);
        resolve_number(r, fact, "lower", (double)low_pm * 1e-12);
        resolve_number(r, fact, "upper", (double)high_pm * 1e-12);
        fact->note =
            str_print(r->arena, "%s %s, limits of %s", values->row->designation, name, source);
    } else {
        fact->value = range_one(range_qty_pm(nominal_pm, unit));
        fact->note = str_print(r->arena, "%s %s, nominal", values->row->designation, name);
    }
    return fact;
}

/* Thickness of a gasket: its own, else its sheet's. */
static struct fact *gasket_size(struct resolver *r, const struct size *size)
{
    const struct cut_from *cut = &size->part->cut_from;
    bool crushed = str_equal(size->name, "crushed");
    const char *id = str_print(r->arena, "%s.want", size->id);

    if (!crushed && !str_equal(size->name, "free"))
        return NULL;
    const struct table_sheet *sheet =
        cut->sheet.text != NULL ? table_sheet_find(r->tables, cut->sheet.text, NULL) : NULL;
    int64_t low_pm = sheet == NULL ? TABLE_NO_PM
                     : crushed     ? sheet->crushed_low_pm
                                   : sheet->free_low_pm;
    int64_t high_pm = sheet == NULL ? TABLE_NO_PM
                      : crushed     ? sheet->crushed_high_pm
                                    : sheet->free_high_pm;
    if (low_pm == TABLE_NO_PM || high_pm == TABLE_NO_PM)
        return NULL; /* whatever needs it asks for it */
    struct fact *fact = table_fact(r, &size->part->e, id, &sheet->row, NULL);
    fact->span = cut->sheet.span;
    fact->value = range_limits_pm(low_pm, high_pm, qty_unit_find("mm", QTY_LENGTH));
    fact->note = str_print(r->arena, "sheet %s, %s", sheet->name, size->name);
    return fact;
}

/* ---------- what a size is found to be ---------- */

static const struct outwork_size *outwork_of(const struct resolver *r, const struct size *size,
                                             const struct outwork **outwork)
{
    for (size_t i = 0; i < r->spec->outwork.count; i++) {
        const struct outwork *work = r->spec->outwork.items[i];
        for (size_t k = 0; k < work->want.count; k++)
            if (work->want.items[k].size.size == size) {
                *outwork = work;
                return &work->want.items[k];
            }
    }
    return NULL;
}

/* A reading taken after the work came back counts before what was ordered. */
static bool is_after_outwork(const struct size *size)
{
    for (size_t i = 0; i < size->measured.count; i++) {
        const char *phase = size->measured.items[i].phase.text;
        if (phase != NULL && (str_starts(phase, "return") || str_starts(phase, "goods-in") ||
                              str_starts(phase, "goods in") || str_starts(phase, "outwork") ||
                              str_starts(phase, "final") || str_starts(phase, "after")))
            return true;
    }
    return false;
}

static struct fact *ordered_fact(struct resolver *r, const struct size *size,
                                 const struct outwork *work, const struct outwork_size *ordered)
{
    struct fact *fact = resolve_claim(r, &size->part->e,
                                      str_print(r->arena, "%s.ordered", size->id), &ordered->want);

    if (fact != NULL)
        fact->note = str_print(r->arena, "as ordered from %s (%s), to be measured on return",
                               work->supplier.text != NULL ? work->supplier.text : "outwork",
                               work->e.member);
    return fact;
}

/* Whether a part as measured is to go back as it is. */
static bool goes_back(const struct part *part)
{
    return part->state == STATE_REUSE || part->state == STATE_STAYS;
}

static bool is_unlikely(double ratio)
{
    return ratio <= 0.5 || ratio >= 2;
}

/* The latest of the readings that is unlikely: that is where the slip stands. */
static struct span unlikely_span(const struct readings *readings, double want_si)
{
    for (size_t i = readings->count; i-- > 0;)
        if (is_unlikely(readings->items[i].value.low.si / want_si))
            return readings->items[i].span;
    return readings->items[0].span;
}

/* A reading less than half or more than twice what is wanted: most often a slip of the unit, in one
 * or the other. Unless it is accepted, nothing is worked out from the size: what followed would be the
 * same slip again. */
static bool report_unlikely(struct resolver *r, struct size_values *values, struct range found)
{
    struct range want = range_of_fact(values->want);
    const struct size *size = values->size;

    if (!range_known(want) || !range_known(found) || want.low.si <= 0)
        return false;
    double want_si = range_middle(want).si;
    if (!is_unlikely(range_middle(found).si / want_si))
        return false;
    /* Where several readings are held against one text, the slip is likely in that. */
    struct diag *diag = resolve_told(r, DIAG_SIZE_UNLIKELY, values->want->span);
    struct span span = unlikely_span(&size->measured, want_si);
    if (diag != NULL) {
        resolve_label(r, diag, span, "and %s as %s", size->id, resolve_print_range(r, found));
    } else {
        diag = spec_warn(r->context, &size->part->e, DIAG_SIZE_UNLIKELY, span,
                         "%s was measured as %s, and should be %s", size->id,
                         resolve_print_range(r, found),
                         resolve_print_value(r, &values->want->value));
        resolve_label(r, diag, values->want->span, "what it should be");
        resolve_hint(r, diag, "look at the unit and at the point");
        resolve_tell(r, DIAG_SIZE_UNLIKELY, values->want->span, diag);
    }
    values->doubted = diag != NULL;
    if (values->doubted)
        values->found = NULL;
    return values->doubted;
}

static void report_outside(struct resolver *r, const struct size_values *values)
{
    const struct size *size = values->size;
    struct part *part = size->part;
    const struct fact *asked = values->worn != NULL ? values->worn : values->want;
    struct span span =
        size->measured.count > 0 ? resolve_worst_span(&size->measured, asked) : size->span;
    struct diag *diag = resolve_fault(r, &part->e, DIAG_SIZE_OUTSIDE_CRITICAL, DIAG_SIZE_OUTSIDE,
                                      span, "%s is %s", size->id,
                                      resolve_words(r, values->judged));

    resolve_label(r, diag, asked->span, "the limit");
    resolve_hint(
        r, diag,
        "renew it, have it worked on (outwork), or give a wear limit (worn) if there is one");
}

/* The smallest of the sizes made that cleans up: the next above what a bore measures, below what a
 * journal does. Which of the two it is, the steps themselves say. */
static void step_due(struct resolver *r, struct size_values *values, struct range found)
{
    const struct size *size = values->size;
    struct range want = range_of_fact(values->want);
    const struct claim *best = NULL;

    if (size->steps.count > 0 && range_known(found) && !range_known(want)) {
        resolve_ask(r, &size->part->e, size->name, size->steps.items[0].span, "oversize-due",
                    "size-when-new");
        return;
    }
    bool due = values->verdict >= VERDICT_NEAR_WORN || size->part->state == STATE_REWORK;
    if (size->steps.count == 0 || !range_known(found) || !range_known(want) || !due)
        return;
    struct qty first = size->steps.items[0].value.low;
    bool over = qty_compare(first, want.low) > 0;
    for (size_t i = 0; i < size->steps.count; i++) {
        struct qty_value step = size->steps.items[i].value;
        bool cleans =
            over ? qty_compare(step.low, found.high) > 0 : qty_compare(step.high, found.low) < 0;
        if (!cleans)
            continue;
        if (best == NULL || (over ? qty_compare(step.low, best->value.low) < 0
                                  : qty_compare(step.high, best->value.high) > 0))
            best = &size->steps.items[i];
    }
    if (best == NULL) {
        struct diag *diag =
            spec_warn(r->context, &size->part->e, DIAG_NO_STEP_CLEANS, size->steps.items[0].span,
                      "no %s of %s cleans up what measures %s", over ? "oversize" : "undersize",
                      size->id, resolve_print_range(r, found));
        resolve_hint(r, diag, "add the sizes that can be had to steps, or renew it");
        return;
    }
    struct fact *fact =
        resolve_claim(r, &size->part->e, str_print(r->arena, "%s.step", size->id), best);
    if (fact == NULL)
        return;
    fact->origin = FACT_COMPUTED;
    fact->formula = over ? "the smallest of the sizes made that is above all that was measured"
                         : "the largest of the sizes made that is below all that was measured";
    fact->rule = over ? "next-over" : "next-under";
    resolve_input_as(r, fact, "found", values->found);
    for (size_t i = 0; i < size->steps.count; i++)
        resolve_number(r, fact, str_print(r->arena, "step-%zu", i + 1),
                       size->steps.items[i].value.low.si);
    values->judged = phrase_then(
        values->judged, "; ",
        phrase_written(resolve_say(r, over ? "judged.oversize-due" : "judged.undersize-due"),
                       "size", &best->value));
}

static void set_limits(struct resolver *r, struct size_values *values)
{
    const struct size *size = values->size;
    struct part *part = size->part;

    if (part->bearing.present && size->implied)
        values->want = bearing_size(r, size);
    if (values->want == NULL && size->want.present)
        values->want =
            resolve_claim(r, &part->e, str_print(r->arena, "%s.want", size->id), &size->want);
    else if (values->want == NULL && part->cut_from.present)
        values->want = gasket_size(r, size);
    values->worn =
        resolve_claim(r, &part->e, str_print(r->arena, "%s.worn", size->id), &size->worn);
}

/* By what a reading is judged: by the order, if it was taken when the work came back; a plain
 * value is a nominal, by which nothing can be. */
static void judge(struct resolver *r, struct size_values *values, struct range found,
                  const struct fact *returned)
{
    const struct size *size = values->size;
    const struct fact *want = returned != NULL ? returned : values->want;
    bool plain = want != NULL && want->value.kind == QTY_ONE;

    if ((plain && values->worn == NULL) ||
        (size->measured.count == 0 && (size->implied || !size->want.present)))
        return; /* what is as it was bought is no open reading */
    values->verdict =
        resolve_verdict(r, found, plain ? NULL : want, returned != NULL ? NULL : values->worn,
                        &values->judged);
}

static void report_returned(struct resolver *r, const struct size_values *values,
                            const struct fact *returned)
{
    const struct size *size = values->size;
    struct diag *diag = resolve_told(r, DIAG_RETURNED_OUTSIDE, returned->span);
    struct span span = resolve_worst_span(&size->measured, returned);

    if (diag != NULL) {
        resolve_label(r, diag, span, "%s came back %s", size->id, resolve_words(r, values->judged));
        return;
    }
    diag = resolve_fault(r, &size->part->e, DIAG_RETURNED_OUTSIDE_CRITICAL, DIAG_RETURNED_OUTSIDE,
                         span, "%s came back %s", size->id, resolve_words(r, values->judged));
    resolve_label(r, diag, returned->span, "what was ordered");
    resolve_hint(r, diag, "send it back, or order anew");
    resolve_tell(r, DIAG_RETURNED_OUTSIDE, returned->span, diag);
}

/* Ordered less than half or more than twice what is wanted: a slip of the unit in one of the two. */
static void report_unlikely_order(struct resolver *r, const struct size_values *values,
                                  const struct fact *ordered)
{
    struct range want = range_of_fact(values->want), order = range_of_fact(ordered);

    if (!range_known(want) || !range_known(order) || want.low.si <= 0 ||
        !is_unlikely(range_middle(order).si / range_middle(want).si) ||
        resolve_told(r, DIAG_SIZE_UNLIKELY, values->want->span) != NULL)
        return;
    struct diag *diag = spec_warn(r->context, &values->size->part->e, DIAG_SIZE_UNLIKELY,
                                  values->want->span, "%s should be %s, and is ordered as %s",
                                  values->size->id, resolve_print_range(r, want),
                                  resolve_print_range(r, order));
    resolve_label(r, diag, ordered->span, "what is ordered");
    resolve_hint(r, diag, "look at the unit and at the point");
    resolve_tell(r, DIAG_SIZE_UNLIKELY, values->want->span, diag);
}

static void resolve_size(struct resolver *r, struct part *part, struct size *size)
{
    struct size_values *values = ARRAY_PUSH(r->arena, &r->build->sizes);
    const struct outwork *work = NULL;

    resolve_place(r, size, r->build->sizes.count - 1);
    *values = (struct size_values){.size = size};
    set_limits(r, values);

    struct range found = resolve_readings(r, &part->e, &size->measured, NULL);
    const struct outwork_size *order = outwork_of(r, size, &work);
    struct fact *ordered = order != NULL ? ordered_fact(r, size, work, order) : NULL;
    const struct fact *returned = is_after_outwork(size) ? ordered : NULL;
    if (range_known(found))
        values->found = resolve_reading_fact(r, &part->e, str_print(r->arena, "%s.found", size->id),
                                             &size->measured, found);
    if (ordered != NULL && !is_after_outwork(size))
        report_unlikely_order(r, values, ordered);
    judge(r, values, found, returned);
    step_due(r, values, found);
    if (values->found != NULL && report_unlikely(r, values, found))
        return;
    if (values->verdict == VERDICT_OUTSIDE && returned != NULL)
        report_returned(r, values, returned);
    else if (values->verdict == VERDICT_OUTSIDE && ordered == NULL && goes_back(part) &&
             !resolve_wear_is_inside(values->want, values->worn))
        report_outside(r, values);
    if (ordered != NULL && returned == NULL)
        values->found = ordered;
    else if (resolve_as_found(&size->measured) && resolve_is_bought(part))
        values->found = NULL; /* the old part's: the new one comes within its limits */
}

static void check_gasket(struct resolver *r, struct part *part)
{
    const struct cut_from *cut = &part->cut_from;
    const struct table_sheet *sheet =
        cut->sheet.text != NULL ? table_sheet_find(r->tables, cut->sheet.text, NULL) : NULL;

    if (resolve_said(&cut->free) && resolve_said(&cut->crushed) &&
        qty_compare(cut->crushed.value.low, cut->free.value.high) > 0) {
        struct diag *diag =
            diag_add(&r->context->diags, DIAG_CRUSHED_OVER_FREE, cut->crushed.span,
                     "%s crushed, and %s free", cut->crushed.value.text, cut->free.value.text);
        resolve_label(r, diag, cut->free.span, "free");
        resolve_hint(r, diag, "correct the one that is wrong");
        return;
    }
    if (sheet == NULL || sheet->free_low_pm == TABLE_NO_PM || sheet->free_high_pm == TABLE_NO_PM ||
        !resolve_said(&cut->free))
        return;
    if (cut->free.value.high.exact * 2 >= sheet->free_low_pm &&
        cut->free.value.low.exact <= sheet->free_high_pm * 2)
        return;
    struct diag *diag =
        spec_warn(r->context, &part->e, DIAG_SHEET_DIFFERS, cut->free.span,
                  "%s free, and %s is about %s", cut->free.value.text, sheet->name,
                  resolve_print(r, range_qty_pm(sheet->free_low_pm, cut->free.value.low.unit)));
    resolve_label(r, diag, cut->sheet.span, "the sheet");
    resolve_hint(r, diag, "look at the unit, or name the sheet that it is cut from");
}

void resolve_sizes(struct resolver *r)
{
    for (size_t i = 0; i < r->spec->parts.count; i++) {
        struct part *part = r->spec->parts.items[i];
        for (size_t k = 0; k < part->sizes.count; k++)
            resolve_size(r, part, part->sizes.items[k]);
        if (part->cut_from.present)
            check_gasket(r, part);
    }
}
