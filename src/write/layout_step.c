/* layout_step.c - a step: its number in a margin of its own, what to do and the facts in the middle,
 * boxes and initials on the right, a blank beside each reading, a bar below where work must hold. */
#include "layout_private.h"

#include <math.h>
#include <string.h>

struct columns {
    double body, body_width; /* x and width of the middle */
    double sign, sign_width; /* of the right */
    double tab;              /* facts begin at multiples of it */
};

static struct columns columns_of(const struct layout *layout)
{
    struct columns c;

    c.sign_width = layout->width > 420 ? 96 : 82;
    c.sign = layout->width - c.sign_width;
    c.body = 30;
    c.body_width = c.sign - c.body - 10;
    c.tab = c.body_width / (c.body_width > 300 ? 4 : 2);
    return c;
}

/* "before this: turn the case over", on a tinted band over the full width. */
static void before_band(struct layout *layout, const char *text)
{
    struct slab *slab = slab_new(layout);
    const double pad = 8, arrow = 16;

    slab_fill(layout, slab, 0, 0, layout->width, 0, 0.92);
    slab_line(layout, slab, STYLE_BOLD, -1, pad, 1.5, "\xe2\x96\xb6");
    double y = slab_text(layout, slab, STYLE_BOLD, pad + arrow, 1.5, layout->width - 2 * pad - arrow,
                         text);
    slab->height = up_to_grid(y + 1.5);
    slab->items.items[0].h = slab->height;
    slab->before = space_above(layout, HALF);
    slab->keep = true;
    slab_push(layout, slab);
}

/* Strips over the full width above what they warn of: read first, then done. */
static double cautions(struct layout *layout, struct slab *slab, const struct step_block *step,
                       double y)
{
    const double pad = 6, sign = 24;

    for (size_t i = 0; i < step->cautions.count; i++) {
        double top = y;
        size_t box = slab->items.count;
        slab_box(layout, slab, STRONG / 2, top, layout->width - STRONG, 0, STRONG);
        slab_line(layout, slab, STYLE_STEP, -1, pad, top + 1.5, "\xe2\x9a\xa0");
        y = slab_text(layout, slab, STYLE_SMALL_BOLD, pad + sign, top + 1.5,
                      layout->width - sign - 2 * pad, step->cautions.items[i]);
        slab->items.items[box].h = y + 1.5 - top;
        y = up_to_grid(y + 1.5);
    }
    return step->cautions.count > 0 ? y + GRID : y;
}

/* A fact that is only a word, "CRITICAL": framed, behind the title or below it. `end`: where the title
 * ends in its last line, which is above y. */
static double marks(struct layout *layout, struct slab *slab, const struct columns *c,
                    const struct step_block *step, double *end, double y)
{
    for (size_t i = 0; i < step->fields.count; i++) {
        const char *text = step->fields.items[i].text, *word = step->fields.items[i].label;
        double wide = text_width(STYLE_SMALL_BOLD, word) + 8, x = *end + 10;
        if (text[strspn(text, " ")] != '\0')
            continue;
        if (x + wide > c->body_width) {
            x = 0;
            y += LINE;
        }
        slab_box(layout, slab, c->body + x, y - LINE + 0.5, wide, LINE - 1, 0.9);
        slab_line(layout, slab, STYLE_SMALL_BOLD, -1, c->body + x + 4, y - LINE, word);
        *end = x + wide;
    }
    return y;
}

static double title(struct layout *layout, struct slab *slab, const struct columns *c,
                    const struct step_block *step, double y, double *end)
{
    double x = c->body, wide = text_width(STYLE_STEP, step->action), below;

    slab_line(layout, slab, STYLE_STEP_BOLD, -1, 0, y, step->number);
    slab_line(layout, slab, STYLE_STEP, -1, x, y, step->action);
    if (wide > c->body_width * 0.5) { /* a long word for the action: the object goes below it */
        y += LINE;
        wide = 0;
    } else if (wide > 0) {
        wide += 6;
    }
    below = slab_text(layout, slab, STYLE_STEP_BOLD, x + wide, y, c->body_width - wide,
                      step->object);
    *end = below - y < LINE + 1 ? wide + text_width(STYLE_STEP_BOLD, step->object) : c->body_width;
    return marks(layout, slab, c, step, end, below);
}

/* A line to write on behind the word, or below it where the word is long. */
static double initials(struct layout *layout, struct slab *slab, const struct columns *c,
                       const char *words, double y)
{
    double wide = text_width(STYLE_SMALL, words) + 4, below;

    if (wide < c->sign_width - 30) {
        slab_line(layout, slab, STYLE_SMALL, -1, c->sign, y + GRID, words);
        slab_rule(layout, slab, c->sign + wide, y + GRID + LINE - 1, c->sign_width - wide, FINE);
        return y + GRID + LINE;
    }
    below = slab_text(layout, slab, STYLE_SMALL, c->sign, y, c->sign_width, words) + LINE + HALF;
    slab_rule(layout, slab, c->sign, below - 1, c->sign_width, FINE);
    return below;
}

/* Boxes to tick, a count, initials, one below the other. */
static double sign_column(struct layout *layout, struct slab *slab, const struct columns *c,
                          const struct step_block *step, double y)
{
    for (size_t i = 0; i < step->checks.count; i++) {
        const struct step_check *check = &step->checks.items[i];
        const char *words = check->label != NULL ? check->label : "";
        double x = c->sign, below;
        switch (check->kind) {
        case CHECK_TICK:
            slab_tick_box(layout, slab, x, y);
            x += 16;
            below = slab_text(layout, slab, STYLE_SMALL, x, y, layout->width - x, words);
            break;
        case CHECK_COUNT:
            slab_box(layout, slab, x, y, 34, BLANK, FINE);
            if (check->limit != NULL)
                words = str_print(layout->arena, "%s %s", words, check->limit);
            x += 40;
            below = slab_text(layout, slab, STYLE_SMALL, x, y + GRID, layout->width - x, words);
            below = fmax(below, y + BLANK);
            break;
        case CHECK_INITIALS:
            below = initials(layout, slab, c,
                             check->label != NULL ? words : label(layout->labels, "card.initials"),
                             y);
            break;
        default:
            continue;
        }
        y = up_to_grid(below + GRID);
    }
    return y;
}

static void unit_in_blank(struct layout *layout, struct slab *slab, const struct step_check *check,
                          double right, double bottom)
{
    if (check->unit != NULL)
        slab_line(layout, slab, STYLE_SMALL, 1, right - 4, bottom - LINE, check->unit);
}

/* What is to be read and its limit; a blank in the right column that begins at `blank`. */
static void reading(struct flow *flow, const struct columns *c, const struct step_check *check,
                    double blank)
{
    struct layout *layout = flow->layout;

    slab_box(layout, flow->slab, c->sign, blank, c->sign_width, BLANK, FINE);
    unit_in_blank(layout, flow->slab, check, layout->width, blank + BLANK);
    flow_add(flow, check->label, STYLE_BOLD, check->limit != NULL ? check->limit : "");
}

/* The reading's id in small letters: close to its blank behind the title, if that leaves room. */
static void reading_id(struct flow *flow, const struct columns *c, const struct step_check *check,
                       double top, double end)
{
    if (check->id == NULL)
        return;
    if (end + 14 + text_width(STYLE_SMALL, check->id) <= c->body_width)
        slab_line(flow->layout, flow->slab, STYLE_SMALL, 1, c->body + c->body_width, top, check->id);
    else
        flow_add(flow, NULL, STYLE_SMALL, check->id);
}

static double reading_row(struct layout *layout, struct slab *slab, const struct columns *c,
                          const struct step_check *check, double y)
{
    struct flow flow = flow_new(layout, slab, c->body, y, c->body_width);

    reading(&flow, c, check, y);
    reading_id(&flow, c, check, y, flow.x > 0 ? flow.x : c->body_width);
    return fmax(flow_end(&flow), y + BLANK) + GRID;
}

/* A step that asks for one reading and nothing else has its blank beside the title. */
static bool is_reading(const struct step_block *step)
{
    return step->checks.count == 1 && step->checks.items[0].kind == CHECK_READING;
}

static bool is_alike(const struct step_check *a, const struct step_check *b)
{
    return b->kind == CHECK_READING && str_equal(a->label, b->label) &&
           str_equal(a->limit, b->limit) && str_equal(a->unit, b->unit) && a->id != NULL &&
           b->id != NULL;
}

/* Readings of one limit, one for each fastener say: the limit once, then blanks abreast, each with its
 * id in its corner. */
static double alike_readings(struct layout *layout, struct slab *slab, const struct columns *c,
                             const struct step_check *checks, size_t count, double y)
{
    const double gap = 6, pad = 4;
    double whole = layout->width - c->body, widest = 60;
    size_t abreast = 5;
    struct flow flow = flow_new(layout, slab, c->body, y, whole);

    flow_add(&flow, checks->label, STYLE_BOLD, checks->limit != NULL ? checks->limit : "");
    y = flow_end(&flow) + 1;
    for (size_t i = 0; i < count; i++)
        widest = fmax(widest, text_width(STYLE_SMALL, checks[i].id) + 2 * pad);
    while (abreast > 1 && (whole - gap * (double)(abreast - 1)) / (double)abreast < widest)
        abreast--;
    double width = (whole - gap * (double)(abreast - 1)) / (double)abreast;
    for (size_t i = 0; i < count; i += abreast) {
        double top = y;
        for (size_t j = i; j < count && j < i + abreast; j++)
            y = fmax(y, slab_text(layout, slab, STYLE_SMALL,
                                  c->body + (double)(j - i) * (width + gap) + pad, top,
                                  width - 2 * pad, checks[j].id));
        y += LINE + GRID;
        for (size_t j = i; j < count && j < i + abreast; j++) {
            double x = c->body + (double)(j - i) * (width + gap);
            slab_box(layout, slab, x, top, width, y - top, FINE);
            unit_in_blank(layout, slab, &checks[j], x + width, y);
        }
        y = up_to_grid(y + GRID);
        *ARRAY_PUSH(layout->arena, &slab->cuts) = y;
    }
    return y;
}

/* Several readings stand below the facts, each with a rule above. */
static double readings(struct layout *layout, struct slab *slab, const struct columns *c,
                       const struct step_block *step, double y)
{
    for (size_t i = 0; i < step->checks.count;) {
        const struct step_check *checks = step->checks.items + i;
        size_t count = 1;
        if (checks->kind != CHECK_READING) {
            i++;
            continue;
        }
        while (i + count < step->checks.count && is_alike(checks, checks + count))
            count++;
        y = up_to_grid(y + 1);
        slab_rule(layout, slab, c->body, y, layout->width - c->body, HAIR);
        y += GRID;
        y = count > 1 ? alike_readings(layout, slab, c, checks, count, y)
                      : reading_row(layout, slab, c, checks, y);
        *ARRAY_PUSH(layout->arena, &slab->cuts) = y;
        i += count;
    }
    return y;
}

/* What is hidden from now on, behind a bar. */
static double last_chance(struct layout *layout, struct slab *slab, const struct columns *c,
                          const struct step_block *step, double y)
{
    const double inset = 10;
    double top = y + GRID;

    if (step->last_chance.count == 0)
        return y;
    struct flow flow = flow_new(layout, slab, c->body + inset, top, c->body_width - inset);
    flow_add(&flow, NULL, STYLE_SMALL_BOLD, label(layout->labels, "card.last-chance"));
    for (size_t i = 0; i < step->last_chance.count; i++)
        flow_tick(&flow, step->last_chance.items[i]);
    y = flow_end(&flow);
    slab_item(layout, slab, ITEM_RULE, c->body + 2, top + 1, 0, y - top)->weight = 2.5;
    return up_to_grid(y + 1);
}

/* The hold point: a black bar over the full width, then room for two signatures and the date. */
static void hold_bar(struct layout *layout, const struct step_block *step)
{
    struct slab *slab = slab_new(layout);
    const struct labels *labels = layout->labels;
    const double pad = 8;
    double first = layout->width * 0.4, second = layout->width * 0.8, y, cell;
    const char *seen_by = label(labels, "card.seen-by"), *bar = label(labels, "card.hold");

    if (step->witness != NULL) {
        bar = str_print(layout->arena, "%s \xc2\xb7 %s", bar, step->witness);
        seen_by = str_print(layout->arena, "%s: %s", seen_by, step->witness);
    }
    slab_fill(layout, slab, 0, 0, layout->width, 0, 0);
    y = slab_text(layout, slab, STYLE_STEP_BOLD, pad, GRID / 2, layout->width - 2 * pad, bar);
    for (size_t i = 1; i < slab->items.count; i++)
        slab->items.items[i].weight = 1; /* white on black */
    y = up_to_grid(y + GRID / 2);
    slab->items.items[0].h = y;
    slab_text(layout, slab, STYLE_SMALL, 4, y + 1, first - 8, label(labels, "card.done-by"));
    cell = slab_text(layout, slab, STYLE_SMALL, first + 4, y + 1, second - first - 8, seen_by);
    cell = up_to_grid(cell + LINE + HALF - y - 1);
    slab_text(layout, slab, STYLE_SMALL, second + 4, y + 1, layout->width - second - 8,
              label(labels, "card.date"));
    slab_item(layout, slab, ITEM_RULE, first, y, 0, cell)->weight = FINE;
    slab_item(layout, slab, ITEM_RULE, second, y, 0, cell)->weight = FINE;
    slab_box(layout, slab, STRONG / 2, STRONG / 2, layout->width - STRONG, y + cell - STRONG,
             STRONG);
    slab->height = up_to_grid(y + cell);
    slab_push(layout, slab);
}

/* A figure stands at the right below the boxes, beside the facts; NULL if it leaves them no room. */
static const struct drawing *beside(struct layout *layout, const struct figure *figure)
{
    const double most = 105 * MM;
    const struct drawing *drawing;

    if (figure == NULL || layout->width < 420)
        return NULL;
    drawing = figure_drawn(layout, figure, layout->width);
    return drawing->width_mm * MM <= most ? drawing : NULL;
}

/* What the step says, with the figure beside it or below it; the y below. */
static double facts(struct flow *flow, const struct step_block *step, const struct figure *figure,
                    double side)
{
    struct layout *layout = flow->layout;
    const struct drawing *drawing = beside(layout, figure);
    double bottom = 0, y;

    if (drawing != NULL) {
        double wide = drawing->width_mm * MM;
        bottom = figure_put(layout, flow->slab, drawing, NULL, layout->width - wide,
                            fmax(side, flow->y + LINE), wide);
        flow->wide = layout->width - flow->left;
        flow->width = fmin(flow->width, flow->wide - wide - 10);
        flow->wide_from = bottom;
    }
    layout_fields(flow, step);
    y = fmax(flow_end(flow), bottom);
    if (drawing != NULL || figure == NULL)
        return y;
    return figure_put(layout, flow->slab, figure_drawn(layout, figure, layout->width - flow->left),
                      figure->caption, flow->left, fmax(y, side), layout->width - flow->left);
}

/* Where facts begin: behind the title if they all stand there, else below it. Below the boxes at the
 * right they may be wider. */
static struct flow flow_of_step(struct layout *layout, struct slab *slab, const struct columns *c,
                                const struct step_block *step, double y, double end, double side)
{
    struct flow flow = flow_new(layout, slab, c->body, y - LINE, c->body_width), below;

    flow.tab = c->tab;
    flow.x = end + 14;
    flow_to_tab(&flow);
    below = flow_new(layout, slab, c->body, y, c->body_width);
    below.tab = c->tab;
    below.wide = layout->width - c->body;
    below.wide_from = side - GRID;
    return !is_reading(step) && fields_fit(flow, step) ? flow : below;
}

void layout_step(struct layout *layout, const struct step_block *step, const struct figure *figure)
{
    struct columns c = columns_of(layout);
    struct slab *slab = slab_new(layout);
    double y = layout->tight ? 2 : GRID, top, side, end;

    if (step->before != NULL)
        before_band(layout, step->before);
    slab_rule(layout, slab, 0, 0, layout->width, HAIR);
    top = cautions(layout, slab, step, y);
    side = is_reading(step) ? top + BLANK + GRID : sign_column(layout, slab, &c, step, top);
    y = title(layout, slab, &c, step, top, &end);
    struct flow flow = flow_of_step(layout, slab, &c, step, y, end, side);
    if (is_reading(step)) {
        reading(&flow, &c, &step->checks.items[0], top);
        reading_id(&flow, &c, &step->checks.items[0], top, end);
    }
    y = fmax(y, facts(&flow, step, figure, side));
    y = fmax(last_chance(layout, slab, &c, step, y), side - GRID);
    if (!is_reading(step))
        y = readings(layout, slab, &c, step, y);
    slab->height = up_to_grid(y + (layout->tight ? 1 : GRID));
    slab->keep = step->hold_point;
    slab_push(layout, slab);
    if (step->hold_point)
        hold_bar(layout, step);
}
