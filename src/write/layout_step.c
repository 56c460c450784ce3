/* layout_step.c - a step: its number in a margin of its own, what to do and the facts in the middle,
 * boxes and initials on the right, a blank beside each reading, a bar below where work must hold. */
#include "layout_private.h"

#include <math.h>
#include <string.h>

struct columns {
    double body, body_width; /* x and width of the middle */
    double name;             /* width within it of what a fact is called */
    double sign, sign_width; /* of the right */
};

static struct columns columns_of(const struct layout *layout)
{
    struct columns c;

    c.sign_width = layout->width > 420 ? 108 : 88;
    c.sign = layout->width - c.sign_width;
    c.body = 34;
    c.body_width = c.sign - c.body - 12;
    c.name = c.body_width > 260 ? 88 : 64;
    return c;
}

/* "before this: turn the case over", on a tinted band over the full width. */
static void before_band(struct layout *layout, const char *text)
{
    struct slab *slab = slab_new(layout);
    const double pad = 8, arrow = 16;

    slab_fill(layout, slab, 0, HALF, layout->width, 0, 0.92);
    slab_line(layout, slab, STYLE_BOLD, -1, pad, LINE - HALF / 2, "\xe2\x96\xb6");
    double y = slab_text(layout, slab, STYLE_BOLD, pad + arrow, LINE - HALF / 2,
                         layout->width - 2 * pad - arrow, text);
    slab->height = up_to_grid(y + HALF / 2);
    slab->items.items[0].h = slab->height - HALF;
    slab->keep = true;
    slab_push(layout, slab);
}

static double title(struct layout *layout, struct slab *slab, const struct columns *c,
                    const struct step_block *step, double y)
{
    double x = c->body, wide = text_width(STYLE_STEP, step->action);

    slab_line(layout, slab, STYLE_STEP_BOLD, -1, 0, y, step->number);
    slab_line(layout, slab, STYLE_STEP, -1, x, y, step->action);
    if (wide > c->body_width * 0.5) { /* a long word for the action: the object goes below it */
        y += LINE;
        wide = 0;
    } else if (wide > 0) {
        wide += 6;
    }
    return slab_text(layout, slab, STYLE_STEP_BOLD, x + wide, y, c->body_width - wide,
                     step->object);
}

static double cautions(struct layout *layout, struct slab *slab, const struct columns *c,
                       const struct step_block *step, double y)
{
    const double pad = 6, sign = 20;

    for (size_t i = 0; i < step->cautions.count; i++) {
        double top = y + HALF / 2;
        size_t box = slab->items.count;
        slab_box(layout, slab, c->body, top, c->body_width, 0, STRONG);
        slab_line(layout, slab, STYLE_HEADING_2, -1, c->body + pad, top - HALF / 2 + 3,
                  "\xe2\x9a\xa0");
        y = slab_text(layout, slab, STYLE_BOLD, c->body + pad + sign, top + HALF / 2,
                      c->body_width - sign - 2 * pad, step->cautions.items[i]);
        slab->items.items[box].h = y + HALF / 2 - top;
        y += HALF;
    }
    return up_to_grid(y);
}

/* Facts stand in one column down all steps of a page, whatever their names. */
static double fields(struct layout *layout, struct slab *slab, const struct columns *c,
                     const struct step_block *step, double y)
{
    double name = c->name;

    for (size_t i = 0; i < step->fields.count; i++) {
        const char *text = step->fields.items[i].text;
        if (text[strspn(text, " ")] == '\0') { /* a mark, not a fact: "CRITICAL" */
            y = slab_text(layout, slab, STYLE_BOLD, c->body, y, c->body_width,
                          step->fields.items[i].label);
            continue;
        }
        double a = slab_text(layout, slab, STYLE_SMALL, c->body, y, name - 6,
                             step->fields.items[i].label);
        double b = slab_text(layout, slab, step->fields.items[i].strong ? STYLE_BOLD : STYLE_BODY,
                             c->body + name, y, c->body_width - name, text);
        y = fmax(a, b);
    }
    return y;
}

/* A line to write on behind the word, or below it where the word is long. */
static double initials(struct layout *layout, struct slab *slab, const struct columns *c,
                       const char *words, double y)
{
    double wide = text_width(STYLE_SMALL, words) + 4, below;

    if (wide < c->sign_width - 30) {
        slab_line(layout, slab, STYLE_SMALL, -1, c->sign, y, words);
        slab_rule(layout, slab, c->sign + wide, y + LINE - 1, c->sign_width - wide, FINE);
        return y + LINE;
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
            slab_box(layout, slab, x, y - 1, 30, LINE + 3, FINE);
            x += 36;
            below = slab_text(layout, slab, STYLE_SMALL, x, y, layout->width - x, words);
            break;
        case CHECK_INITIALS:
            below = initials(layout, slab, c,
                             check->label != NULL ? words : label(layout->labels, "card.initials"),
                             y);
            break;
        default:
            continue;
        }
        y = up_to_grid(below + HALF);
    }
    return y;
}

/* A reading: what, its limit and its id, and a blank high enough to write in with a pencil. */
static double reading(struct layout *layout, struct slab *slab, const struct columns *c,
                      const struct step_check *check, double y)
{
    const double blank = 2 * LINE, name = c->name;
    double top = y + HALF / 2, text = top, below = top;

    slab_rule(layout, slab, c->body, y, layout->width - c->body, HAIR);
    if (check->label != NULL)
        below = slab_text(layout, slab, STYLE_SMALL, c->body, top, name - 6, check->label);
    if (check->limit != NULL)
        text = slab_text(layout, slab, STYLE_BOLD, c->body + name, text, c->body_width - name,
                         check->limit);
    if (check->id != NULL)
        text = slab_text(layout, slab, STYLE_SMALL, c->body + name, text, c->body_width - name,
                         check->id);
    slab_box(layout, slab, c->sign, top, c->sign_width, blank, FINE);
    if (check->unit != NULL)
        slab_line(layout, slab, STYLE_SMALL, 1, layout->width - 4, top + blank - LINE - 1,
                  check->unit);
    return up_to_grid(fmax(fmax(text, below), top + blank) + HALF / 2);
}

static bool is_alike(const struct step_check *a, const struct step_check *b)
{
    return b->kind == CHECK_READING && str_equal(a->label, b->label) &&
           str_equal(a->limit, b->limit) && str_equal(a->unit, b->unit) && a->id != NULL &&
           b->id != NULL;
}

/* Readings of one limit, one for each fastener say: the limit once, then blanks abreast, each under
 * its id. */
static double alike_readings(struct layout *layout, struct slab *slab, const struct columns *c,
                             const struct step_check *checks, size_t count, double y)
{
    const double gap = 12, blank = 2 * LINE - HALF;
    double whole = layout->width - c->body, widest = 0, text = y + HALF / 2, below;
    size_t abreast = 4;

    slab_rule(layout, slab, c->body, y, whole, HAIR);
    below = slab_text(layout, slab, STYLE_SMALL, c->body, text, c->name - 6,
                      checks->label != NULL ? checks->label : "");
    text = slab_text(layout, slab, STYLE_BOLD, c->body + c->name, text, whole - c->name,
                     checks->limit != NULL ? checks->limit : "");
    y = fmax(text, below);
    for (size_t i = 0; i < count; i++)
        widest = fmax(widest, text_width(STYLE_SMALL, checks[i].id));
    while (abreast > 1 && (whole - gap * (double)(abreast - 1)) / (double)abreast < widest)
        abreast--;
    double width = fmin(fmax((whole - gap * 3) / 4, widest),
                        (whole - gap * (double)(abreast - 1)) / (double)abreast);
    for (size_t i = 0; i < count; i += abreast) {
        double top = y;
        for (size_t j = i; j < count && j < i + abreast; j++) {
            double x = c->body + (double)(j - i) * (width + gap);
            y = fmax(y, slab_text(layout, slab, STYLE_SMALL, x, top, width, checks[j].id));
        }
        for (size_t j = i; j < count && j < i + abreast; j++) {
            double x = c->body + (double)(j - i) * (width + gap);
            slab_box(layout, slab, x, y, width, blank, FINE);
            if (checks[j].unit != NULL)
                slab_line(layout, slab, STYLE_SMALL, 1, x + width - 4, y + blank - LINE,
                          checks[j].unit);
        }
        y = up_to_grid(y + blank + HALF / 2);
        *ARRAY_PUSH(layout->arena, &slab->cuts) = y;
    }
    return y;
}

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
        y = count > 1 ? alike_readings(layout, slab, c, checks, count, y + HALF / 2)
                      : reading(layout, slab, c, checks, y + HALF / 2);
        *ARRAY_PUSH(layout->arena, &slab->cuts) = y;
        i += count;
    }
    return y;
}

/* What is hidden from now on, two abreast where it is much and short. */
static double last_chance(struct layout *layout, struct slab *slab, const struct columns *c,
                          const struct step_block *step, double y)
{
    const double inset = 10, box = 16;
    double top = y + HALF / 2, half = (c->body_width - inset) / 2, widest = 0;
    size_t count = step->last_chance.count, abreast;

    if (count == 0)
        return y;
    for (size_t i = 0; i < count; i++)
        widest = fmax(widest, text_width(STYLE_BODY, step->last_chance.items[i]));
    abreast = count > 3 && widest < half - box - 6 ? 2 : 1;
    y = slab_text(layout, slab, STYLE_SMALL_BOLD, c->body + inset, top, c->body_width - inset,
                  label(layout->labels, "card.last-chance"));
    for (size_t i = 0; i < count; i += abreast) {
        double row = y;
        for (size_t j = i; j < count && j < i + abreast; j++) {
            double x = c->body + inset + (double)(j - i) * half;
            slab_tick_box(layout, slab, x, row);
            y = fmax(y, slab_text(layout, slab, STYLE_BODY, x + box, row,
                                  c->body + c->body_width - x - box,
                                  step->last_chance.items[j]));
        }
    }
    slab_item(layout, slab, ITEM_RULE, c->body + 2, top + 1, 0, y - top)->weight = 2.5;
    return up_to_grid(y + HALF / 2);
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
    y = slab_text(layout, slab, STYLE_STEP_BOLD, pad, HALF / 2, layout->width - 2 * pad, bar);
    for (size_t i = 1; i < slab->items.count; i++)
        slab->items.items[i].weight = 1; /* white on black */
    y = up_to_grid(y + HALF / 2);
    slab->items.items[0].h = y;
    slab_text(layout, slab, STYLE_SMALL, 4, y + 1, first - 8, label(labels, "card.done-by"));
    cell = slab_text(layout, slab, STYLE_SMALL, first + 4, y + 1, second - first - 8, seen_by);
    cell = up_to_grid(cell + 2 * LINE - y - 1);
    slab_text(layout, slab, STYLE_SMALL, second + 4, y + 1, layout->width - second - 8,
              label(labels, "card.date"));
    slab_item(layout, slab, ITEM_RULE, first, y, 0, cell)->weight = FINE;
    slab_item(layout, slab, ITEM_RULE, second, y, 0, cell)->weight = FINE;
    slab_box(layout, slab, STRONG / 2, STRONG / 2, layout->width - STRONG, y + cell - STRONG,
             STRONG);
    slab->height = up_to_grid(y + cell);
    slab_push(layout, slab);
}

void layout_step(struct layout *layout, const struct step_block *step)
{
    struct columns c = columns_of(layout);
    struct slab *slab = slab_new(layout);
    double y = HALF, side;

    if (step->before != NULL)
        before_band(layout, step->before);
    slab_rule(layout, slab, 0, HALF / 2, layout->width, FINE);
    side = sign_column(layout, slab, &c, step, y);
    y = title(layout, slab, &c, step, y);
    y = cautions(layout, slab, &c, step, y);
    y = fields(layout, slab, &c, step, y);
    y = last_chance(layout, slab, &c, step, y);
    y = readings(layout, slab, &c, step, fmax(y, side));
    slab->height = up_to_grid(y + HALF / 2);
    slab->keep = step->hold_point;
    slab_push(layout, slab);
    if (step->hold_point)
        hold_bar(layout, step);
}
