/* fields_checks.c - the keys of fits, limits and settings; of claims and readings. */
#include "fields_private.h"

#include <string.h>

/* ---------- claims and readings: read by claim.c, listed here for schema and language page ---------- */

static const struct field holds_rows[] = {
    ROW("lubricant", TEXT, struct holds_for, lubricant, "what is on the thread",
        .names = NAMES_LUBRICANT),
    ROW("plating", TEXT, struct holds_for, plating, "what the thread is plated with, or none",
        .names = NAMES_PLATING),
    ROW("fastener", TEXT, struct holds_for, fastener, "new or reused", .names = NAMES_FASTENER),
};
const struct fields holds_for_fields = {
    .title = "`holds-for`", ROWS(holds_rows), .size = sizeof(struct holds_for),
    .present = offsetof(struct holds_for, present), .span = offsetof(struct holds_for, span),
    .id = NOWHERE};

static const struct field claim_rows[] = {
    {.key = "is", .kind = FIELD_SEEN_TO, .help = "the value"},
    {.key = "from", .kind = FIELD_SEEN_TO, .help = "the id of a source, and the page"},
    {.key = "chosen", .kind = FIELD_SEEN_TO, .help = "of several, this one is used; needs because"},
    {.key = "believe", .kind = FIELD_SEEN_TO,
     .help = "which of a printed pair that disagrees: first or second; needs because"},
    {.key = "because", .kind = FIELD_SEEN_TO, .help = "the reason"},
    ROW("holds-for", MAP, struct claim, holds_for, "the condition that the source gives it for",
        .sub = &holds_for_fields),
    {.key = "table", .kind = FIELD_SEEN_TO, .help = "of a torque: the table whose row is taken"},
    {.key = "applies", .kind = FIELD_SEEN_TO, .help = "for which engines: serial, built, variant"},
};
const struct fields claim_fields = {.title = "a value with its source", ROWS(claim_rows),
                                    .bare = "is", .size = sizeof(struct claim),
                                    .present = NOWHERE, .span = NOWHERE, .id = NOWHERE};

static const struct field applies_rows[] = {
    {.key = "serial", .kind = FIELD_SEEN_TO, .help = "serial numbers: ..2199, 2200.., 100..199, 2207"},
    {.key = "built", .kind = FIELD_SEEN_TO, .help = "dates: ..1933, 1934-03.., 1931..1933, 1934"},
    {.key = "variant", .kind = FIELD_SEEN_TO, .help = "a variant, or a list of them"},
};
const struct fields applies_fields = {.title = "`applies`", ROWS(applies_rows), .present = NOWHERE,
                                      .span = NOWHERE, .id = NOWHERE};

static const struct field reading_rows[] = {
    {.key = "is", .kind = FIELD_SEEN_TO, .help = "what was read"},
    {.key = "from", .kind = FIELD_SEEN_TO, .help = "the id of a source, and the page"},
    ROW("using", TEXT, struct reading, using, "with which gauge", .names = NAMES_GAUGE),
    ROW("where", TEXT, struct reading, where, "at which place on the part"),
    ROW("phase", TEXT, struct reading, phase, "at which stage of the work; the latest counts",
        .words = WORDS("intake", "strip", "clean", "inspect", "outwork", "goods-in", "trial",
                       "final", "set", "first-run", "follow-up")),
    ROW("by", TEXT, struct reading, by, "who read it"),
    ROW("date", DATE, struct reading, date, "when", .flags = UNKNOWN_TAKEN),
};
const struct fields reading_fields = {.title = "a reading", ROWS(reading_rows), .bare = "is",
                                      .size = sizeof(struct reading), .present = NOWHERE,
                                      .span = NOWHERE, .id = NOWHERE};

/* ---------- fits ---------- */

static const struct field heat_rows[] = {
    ROW("part", REF, struct heat, part, "what is heated", .flags = NEEDED, .targets = TO(PART)),
    ROW("at-most", CLAIM, struct heat, at_most, "the hottest it may get",
        .dims = DIM(TEMPERATURE)),
    ROW("gap", CLAIM, struct heat, gap, "clearance wanted while it goes in", .dims = DIM(LENGTH)),
    ROW("cooling", CLAIM, struct heat, cooling, "share of the heat lost on the way",
        .dims = DIM(RATIO)),
};
static const struct fields heat_fields = {
    .title = "`heat`", ROWS(heat_rows), .size = sizeof(struct heat),
    .present = offsetof(struct heat, present), .span = offsetof(struct heat, span), .id = NOWHERE};

static const struct field chill_rows[] = {
    ROW("part", REF, struct chill, part, "what is chilled", .flags = NEEDED, .targets = TO(PART)),
    ROW("at-least", CLAIM, struct chill, at_least,
        "the coldest it may get; beside heat, what it is chilled to", .dims = DIM(TEMPERATURE)),
    ROW("gap", CLAIM, struct chill, gap, "clearance wanted while it goes in", .dims = DIM(LENGTH)),
    ROW("warming", CLAIM, struct chill, warming, "share of the cold lost on the way",
        .dims = DIM(RATIO)),
};
static const struct fields chill_fields = {
    .title = "`chill`", ROWS(chill_rows), .size = sizeof(struct chill),
    .present = offsetof(struct chill, present), .span = offsetof(struct chill, span), .id = NOWHERE};

static const struct field press_rows[] = {
    INPUT_ROW("outside", struct fit_press, outside, "outside diameter of the outer part",
              .flags = OR_SIZE | NEEDED, .dims = DIM(LENGTH), .takes = A_RANGE | QTY_TAKE_SIZE),
    INPUT_ROW("bore", struct fit_press, bore, "through the inner part; it is solid where left out",
              .flags = OR_SIZE, .dims = DIM(LENGTH), .takes = A_RANGE | QTY_TAKE_SIZE),
    ROW("length", CLAIM, struct fit_press, length, "over which they hold each other",
        .dims = DIM(LENGTH), .takes = A_SIZE),
    ROW("friction", CLAIM, struct fit_press, friction, "coefficient while it is pressed in",
        .dims = DIM(RATIO), .takes = A_RANGE),
};
static const struct fields press_fields = {
    .title = "`press`", ROWS(press_rows), .size = sizeof(struct fit_press),
    .present = offsetof(struct fit_press, present), .span = offsetof(struct fit_press, span),
    .id = NOWHERE};

/* Each could give way for the other: one of them has to be said. */
static void finish_fit(struct reader *reader, void *item, const struct node *node)
{
    const struct fit *fit = item;

    (void)node;
    if (fit->heat.present && fit->chill.present && !fit->chill.at_least.present)
        fault_hint(reader,
                   fault(reader, DIAG_SPEC_FORM, fit->chill.span,
                         "one part is heated and the other chilled, and nothing says how cold"),
                   "say at-least: what the part is chilled to; the heat makes up the rest");
}

static const struct field fit_rows[] = {
    ROW("inner", SIZE_REF, struct fit, inner, "the size inside, such as piston.skirt",
        .flags = NEEDED),
    ROW("outer", SIZE_REF, struct fit, outer, "the size around it", .flags = NEEDED),
    ROW("want", CLAIM, struct fit, want, "limits of the clearance; negative is interference",
        .dims = DIM(LENGTH), .takes = LIMITS_TAKEN),
    ROW("class", TEXT, struct fit, class, "a class of ISO 286, a pair of them, or one of B4.1",
        .names = NAMES_CLASS),
    ROW("runs-at", CLAIM, struct fit, runs_at, "working temperature", .dims = DIM(TEMPERATURE),
        .takes = A_RANGE),
    ROW("heat", MAP, struct fit, heat, "heated to go together", .sub = &heat_fields),
    ROW("chill", MAP, struct fit, chill, "chilled to go together", .sub = &chill_fields),
    ROW("press", MAP, struct fit, press, "what the interference does to both parts",
        .sub = &press_fields),
    ROW("pick", REFS, struct fit, pick, "parts chosen so that it holds", .targets = TO(PART)),
};
const struct fields fit_fields = {.title = "a fit", ROWS(fit_rows), .base = &common_fields,
                                  .size = sizeof(struct fit), .present = NOWHERE, .span = NOWHERE,
                                  .id = NOWHERE, .finish = finish_fit};

/* ---------- limits ---------- */

static const struct field stack_rows[] = {
    ROW_IN("plus", SIZE_REFS, struct limit, stack, plus, "sizes added", .flags = NEEDED),
    ROW_IN("minus", SIZE_REFS, struct limit, stack, minus, "sizes taken off"),
    ROW_IN("sum", TEXT, struct limit, stack, sum, "how the tolerances add: worst case if not said",
           .words = WORDS("worst-case", "root-sum-square")),
};
static const struct fields stack_fields = {
    .title = "`stack`", ROWS(stack_rows),
    .present = offsetof(struct limit, stack.present) - offsetof(struct limit, stack),
    .span = offsetof(struct limit, stack.span) - offsetof(struct limit, stack), .id = NOWHERE};
static const struct field concession_rows[] = {
    ROW_IN("signed", TEXT, struct limit, concession, is_signed, "who signed it"),
    ROW_IN("date", DATE, struct limit, concession, date, "when",
           .flags = UNKNOWN_TAKEN),
    ROW_IN("because", TEXT, struct limit, concession, because, "the reason"),
};
static const struct fields concession_fields = {
    .title = "`concession`", ROWS(concession_rows),
    .present = offsetof(struct limit, concession.present) - offsetof(struct limit, concession),
    .span = offsetof(struct limit, concession.span) - offsetof(struct limit, concession),
    .id = NOWHERE};

/* In the order of enum moment. */
static const char *const moments[] = {"strip", "bench", "trial", "assembled", "running", NULL};

static void finish_limit(struct reader *reader, void *item, const struct node *node)
{
    struct limit *limit = item;

    const struct node *when = child_meant(&limit_fields, node, "when");
    size_t said = when && when->kind == NODE_LIST ? when->count : 1;

    for (size_t i = 0; i < limit->when_texts.count; i++)
        for (unsigned k = 0; moments[k]; k++)
            if (str_equal(moments[k], limit->when_texts.items[i].text))
                limit->when |= 1u << k;
    if (limit->pick.present && limit->when_texts.count == said && !(limit->when & (MOMENT_BENCH | MOMENT_TRIAL)))
        fault_hint(reader, fault(reader, DIAG_SPEC_PICK_MOMENT, limit->pick.span,
                                 "nothing can be picked: the limit is not read on the bench nor in "
                                 "a trial"),
                   "add bench or trial to `when`");
}

static const struct field limit_rows[] = {
    ROW("of", REFS, struct limit, of, "the parts that the reading depends on", .targets = TO(PART)),
    ROW("when", TEXTS, struct limit, when_texts, "at which moments it is read", .flags = NEEDED,
        .words = moments),
    ROW("want", CLAIM, struct limit, want, "limits when new", .dims = READ_IN,
        .takes = LIMITS_TAKEN),
    ROW("worn", CLAIM, struct limit, worn, "limits at which it is still used", .dims = READ_IN,
        .takes = LIMITS_TAKEN),
    ROW("rule", TEXT, struct limit, rule, "a rule of the table that gives the limits",
        .names = NAMES_RULE),
    ROW("stack", MAP, struct limit, stack, "the sizes that it is worked out from",
        .sub = &stack_fields),
    ROW("formula", MAP, struct limit, formula, "what it is worked out by, with its inputs",
        .sub = &formula_fields),
    ROW("spread", SPREAD, struct limit, spread, "largest less smallest, such as piston.weight",
        .also = offsetof(struct limit, spread_of)),
    ROW("wear", SIZE_REF, struct limit, wear, "the size whose wear it is"),
    ROW("from-new", CLAIM, struct limit, from_new, "that size when new", .dims = DIM(LENGTH),
        .takes = A_SIZE),
    ROW("pick", REFS, struct limit, pick, "parts chosen so that it holds", .targets = TO(PART)),
    ROW("by", REF, struct limit, by, "the joint that is nipped while it is brought right",
        .targets = TO(JOINT)),
    ROW("measured", READINGS, struct limit, measured, "what was found", .dims = READ_IN,
        .takes = A_SIZE),
    ROW("using", TEXT, struct limit, using, "with which gauge", .names = NAMES_GAUGE),
    ROW("where", TEXT, struct limit, where, "at which place on the part"),
    ROW("concession", MAP, struct limit, concession, "used although outside: who signed, and why",
        .sub = &concession_fields),
};
const struct fields limit_fields = {.title = "a limit", ROWS(limit_rows), .base = &common_fields,
                                    .size = sizeof(struct limit), .present = NOWHERE,
                                    .span = NOWHERE, .id = NOWHERE, .finish = finish_limit};

/* ---------- settings ---------- */

/* "Every position that a setting of a four-stroke names" says which stroke: a turn out, the spark
 * comes with the exhaust valve open. */
static void stroke_said(struct reader *reader, const struct text *text,
                        const struct qty_crank *crank)
{
    if (crank->present && crank->stroke == QTY_STROKE_UNSAID &&
        str_equal(reader->spec->engine.cycle.text, "four-stroke"))
        fault_hint(reader, fault(reader, DIAG_SPEC_STROKE_UNSAID, text->span,
                                 "'%s' does not say which stroke of a four-stroke", text->text),
                   "write '%s firing' or '%s overlap'", text->text, text->text);
}

static void finish_setting(struct reader *reader, void *item, const struct node *node)
{
    struct setting *setting = item;

    (void)node;
    setting->at_span = setting->at_text.span;
    stroke_said(reader, &setting->at_text, &setting->at);
    stroke_said(reader, &setting->e.crank_at_text, &setting->e.crank_at);
}

/* A wheel without its teeth, or teeth without their wheel: the turns until the marks meet again
 * would be wrong. */
static void finish_setting_links(struct reader *reader, void *item)
{
    const struct setting *setting = item;
    const struct node *teeth = tree_child(setting->e.node, "teeth");
    size_t count = setting->teeth.count;
    struct diag *diag;

    if (!teeth || count == 0 || count == setting->of.to_count || count == setting->of.count)
        return;
    diag = fault(reader, DIAG_SPEC_FORM, teeth->span, "teeth of %zu wheels, and `of` names %zu",
                 count, setting->of.to_count);
    if (setting->of.present)
        fault_label(reader, diag, setting->of.span, "the wheels");
    fault_hint(reader, diag, "one number a wheel, in the order of `of`");
}

static const struct field setting_rows[] = {
    ROW("of", REFS, struct setting, of, "all that the setting depends on", .targets = TO(PART)),
    ROW("by", REF, struct setting, by, "the joint that is nipped while it is brought right",
        .targets = TO(JOINT)),
    ROW("upset-by", REFS, struct setting, upset_by, "after these it is read again",
        .targets = TO_ANY),
    ROW("event", TEXT, struct setting, event, "what happens at that position", .flags = SUGGESTED,
        .words = WORDS("spark", "points open", "inlet opens", "inlet closes", "exhaust opens",
                       "exhaust closes", "injection")),
    ROW("at", CRANK, struct setting, at_text, "the position of the crankshaft",
        .also = offsetof(struct setting, at)),
    ROW("advance", TEXT, struct setting, advance, "where the advance stands", .flags = SUGGESTED,
        .words = WORDS("full", "none", "fixed")),
    ROW("tolerance", CLAIM, struct setting, tolerance, "how far it may be out, either way",
        .dims = DIM(ANGLE) | DIM(LENGTH)),
    ROW("lift", CLAIM, struct setting, lift, "valve lift or clearance at which the event counts",
        .dims = DIM(LENGTH), .takes = A_RANGE),
    INPUT_ROW("rim", struct setting, rim, "diameter of the rim that the angle is marked on",
              .flags = OR_SIZE, .dims = DIM(LENGTH), .takes = A_RANGE | QTY_TAKE_SIZE),
    ROW("want", CLAIM, struct setting, want, "limits when new", .dims = READ_IN,
        .takes = LIMITS_TAKEN),
    ROW("marks", TEXT, struct setting, marks, "which marks are lined up"),
    ROW("teeth", NUMBERS, struct setting, teeth, "of the wheels in `of`, in that order",
        .least = 1, .most = 100000),
    ROW("measured", READINGS, struct setting, measured, "what was found", .dims = READ_IN,
        .takes = A_SIZE),
    ROW("using", TEXT, struct setting, using, "with which gauge", .names = NAMES_GAUGE),
};
const struct fields setting_fields = {.title = "a setting", ROWS(setting_rows),
                                      .base = &common_fields, .size = sizeof(struct setting),
                                      .present = NOWHERE, .span = NOWHERE, .id = NOWHERE,
                                      .finish = finish_setting,
                                      .finish_links = finish_setting_links};
