/* layout_fields.c - the facts of a step. The strong ones (a torque, a limit) come first, a line each and
 * aligned where there are several; the others run in at tabs. */
#include "layout_private.h"

#include <math.h>
#include <string.h>

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

/* Printed already, as what the step's one reading must be. */
static bool is_said(const struct step_block *step, size_t i)
{
    return step->checks.count == 1 && step->checks.items[0].kind == CHECK_READING &&
           str_equal(step->checks.items[0].limit, step->fields.items[i].text);
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
            if (is_mark(step, i) || is_said(step, i))
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

static enum style style_of(const struct step_block *step, size_t i)
{
    return step->fields.items[i].strong ? STYLE_BOLD : STYLE_BODY;
}

/* A strong one alone has nothing to be aligned with. */
static size_t aligned(const struct order *order)
{
    return order->strong > 1 ? order->strong : 0;
}

static void aligned_field(struct flow *flow, const char *label, enum style style, const char *text)
{
    const double name = 84;
    double top = flow_end(flow), a, b;

    flow->y = top;
    a = slab_text(flow->layout, flow->slab, STYLE_SMALL, flow->left, top, name - 4, label);
    b = slab_text(flow->layout, flow->slab, style, flow->left + name, top, flow_width(flow) - name,
                  text);
    flow->y = fmax(a, b);
    flow->x = flow->free = 0;
}

bool fields_fit(struct flow flow, const struct step_block *step)
{
    struct order order = order_of(flow.layout, step);
    bool fit = aligned(&order) == 0;

    for (size_t k = 0; k < order.count && fit; k++) {
        size_t i = order.fields[k];
        fit = flow_probe(&flow, step->fields.items[i].label, style_of(step, i),
                         step->fields.items[i].text);
    }
    return fit;
}

void layout_fields(struct flow *flow, const struct step_block *step)
{
    struct order order = order_of(flow->layout, step);

    for (size_t k = 0; k < order.count; k++) {
        size_t i = order.fields[k];
        const char *label = step->fields.items[i].label, *text = step->fields.items[i].text;
        if (k < aligned(&order))
            aligned_field(flow, label, style_of(step, i), text);
        else
            flow_add(flow, label, style_of(step, i), text);
    }
}
