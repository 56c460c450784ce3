/* layout_fields.c - the facts of a step. The strong ones (a torque, a limit) come first, aligned; the
 * others run in where they are few, and stand in two columns where they are many. */
#include "layout_private.h"

#include <math.h>
#include <string.h>

enum { FEW = 6 }; /* facts that may run in: more would have to be searched through */

/* Two columns of names and values; a fact that is longer takes the whole width. */
struct pairs {
    struct layout *layout;
    struct slab *slab;
    double left, width;
    double column, name;    /* a column's width; that of the name within it */
    unsigned columns;
    unsigned next;          /* column that is free */
    double y;
};

static struct pairs pairs_new(struct layout *layout, struct slab *slab, double x, double y,
                              double width)
{
    const double gap = 12;
    struct pairs p = {layout, slab, x, width, width, 0, 1, 0, y}; /* one column */

    if (width > 300) {
        p.columns = 2;
        p.column = (width + gap) / 2;
    }
    p.name = width > 250 ? 76 : 62;
    return p;
}

static void end_line(struct pairs *p)
{
    if (p->next > 0)
        p->y += LINE;
    p->next = 0;
}

static bool fits_a_column(const struct pairs *p, const char *label, enum style style, const char *text)
{
    double room = p->column - p->name - (p->columns > 1 ? 12 : 0);

    return strchr(text, '\n') == NULL && text_width(style, text) <= room &&
           text_width(STYLE_SMALL, label) <= p->name - 4;
}

static void pairs_add(struct pairs *p, const char *label, enum style style, const char *text)
{
    if (fits_a_column(p, label, style, text)) {
        double x = p->left + p->next * p->column;
        slab_line(p->layout, p->slab, STYLE_SMALL, -1, x, p->y, label);
        slab_line(p->layout, p->slab, style, -1, x + p->name, p->y, text);
        *ARRAY_PUSH(p->layout->arena, &p->slab->cuts) = p->y + LINE;
        if (++p->next == p->columns)
            end_line(p);
        return;
    }
    end_line(p);
    double a = slab_text(p->layout, p->slab, STYLE_SMALL, p->left, p->y, p->name - 4, label);
    double b = slab_text(p->layout, p->slab, style, p->left + p->name, p->y, p->width - p->name, text);
    p->y = fmax(a, b);
}

static bool is_mark(const struct step_block *step, size_t i)
{
    const char *text = step->fields.items[i].text;

    return text[strspn(text, " ")] == '\0'; /* stands in the title: "CRITICAL" */
}

/* What other sources say, and why: speaks of the fact before it and stays with it. */
static bool clings(const struct layout *layout, const struct step_block *step, size_t i)
{
    const char *words = step->fields.items[i].label;

    return i > 0 && !is_mark(step, i - 1) &&
           (str_equal(words, label(layout->labels, "field.sources-differ")) ||
            str_equal(words, label(layout->labels, "field.because")));
}

struct order {
    size_t *fields;         /* the strong ones first, with what clings to them */
    size_t strong, count;
};

static struct order order_of(struct layout *layout, const struct step_block *step)
{
    struct order order = {ARENA_ARRAY(layout->arena, size_t, step->fields.count), 0, 0};

    for (int strong = 1; strong >= 0; strong--) {
        bool taken = false;
        for (size_t i = 0; i < step->fields.count; i++) {
            if (is_mark(step, i))
                continue;
            taken = clings(layout, step, i) ? taken : step->fields.items[i].strong == (strong == 1);
            if (taken)
                order.fields[order.count++] = i;
        }
        if (strong == 1)
            order.strong = order.count;
    }
    return order;
}

double layout_fields(struct layout *layout, struct slab *slab, const struct step_block *step, double x,
                     double y, double width)
{
    struct order order = order_of(layout, step);
    struct pairs pairs = pairs_new(layout, slab, x, y, width);
    bool run_in = order.count - order.strong <= FEW;
    size_t aligned = run_in ? order.strong : order.count;

    for (size_t k = 0; k < aligned; k++) {
        size_t i = order.fields[k];
        if (k == order.strong)
            end_line(&pairs);
        pairs_add(&pairs, step->fields.items[i].label,
                  step->fields.items[i].strong ? STYLE_BOLD : STYLE_BODY, step->fields.items[i].text);
    }
    end_line(&pairs);
    struct flow flow = flow_new(layout, slab, x, pairs.y, width);
    for (size_t k = aligned; k < order.count; k++)
        flow_add(&flow, step->fields.items[order.fields[k]].label, STYLE_BODY,
                 step->fields.items[order.fields[k]].text);
    return flow_end(&flow);
}
