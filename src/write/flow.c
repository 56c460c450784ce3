/* flow.c - short pieces run in one after the other: what a step has to say takes lines, not a column. */
#include "layout_private.h"

#include <math.h>
#include <string.h>

static const double BETWEEN = 14, AFTER_LABEL = 5, TICK = 15, LABEL_GREY = 0.3;

struct flow flow_new(struct layout *layout, struct slab *slab, double left, double y, double width)
{
    return (struct flow){layout, slab, left, width, 0, y, 0, 0, 0, 0};
}

static void next_line(struct flow *flow)
{
    flow->x = flow->free = 0;
    flow->y += LINE;
}

double flow_width(const struct flow *flow)
{
    return flow->wide > 0 && flow->y > flow->wide_from - 0.01 ? flow->wide : flow->width;
}

void flow_to_tab(struct flow *flow)
{
    flow->free = flow->x;
    if (flow->tab > 0)
        flow->x = ceil((flow->x - BETWEEN / 2) / flow->tab) * flow->tab;
}

/* True if the piece fits into this line; short of its tab if it must. */
static bool finds_room(struct flow *flow, double width)
{
    if (flow->x + width > flow_width(flow) && flow->x > flow->free)
        flow->x = flow->free;
    return flow->x + width <= flow_width(flow);
}

/* Room for a piece: a new line unless it fits into this one. */
static void make_room(struct flow *flow, double width)
{
    if (!finds_room(flow, width) && flow->x > 0)
        next_line(flow);
}

static void put_label(struct flow *flow, const char *label)
{
    size_t before = flow->slab->items.count;

    slab_line(flow->layout, flow->slab, STYLE_SMALL, -1, flow->left + flow->x, flow->y, label);
    for (size_t i = before; i < flow->slab->items.count; i++)
        flow->slab->items.items[i].weight = LABEL_GREY;
}

static double lead_of(const char *label)
{
    return label != NULL && *label != '\0' ? text_width(STYLE_SMALL, label) + AFTER_LABEL : 0;
}

/* Past a piece that stands in the line. */
static void pass(struct flow *flow, double wide)
{
    flow->x += wide + BETWEEN;
    flow_to_tab(flow);
}

/* The text after a label or box that is `lead` wide and stands already. */
static void put_text(struct flow *flow, double lead, enum style style, const char *text)
{
    double wide = text_width(style, text);

    if (strchr(text, '\n') == NULL && flow->x + lead + wide <= flow_width(flow)) {
        slab_line(flow->layout, flow->slab, style, -1, flow->left + flow->x + lead, flow->y, text);
        *ARRAY_PUSH(flow->layout->arena, &flow->slab->cuts) = flow->y + LINE;
        pass(flow, lead + wide);
        return;
    }
    flow->y = slab_text(flow->layout, flow->slab, style, flow->left + lead, flow->y,
                        flow_width(flow) - lead, text) - LINE;
    flow->x = flow->free = flow->layout->width; /* nothing more in this line */
}

bool flow_probe(struct flow *flow, const char *label, enum style style, const char *text)
{
    double wide = lead_of(label) + text_width(style, text);

    if (strchr(text, '\n') != NULL || !finds_room(flow, wide))
        return false;
    pass(flow, wide);
    return true;
}

void flow_add(struct flow *flow, const char *label, enum style style, const char *text)
{
    double lead = lead_of(label);

    make_room(flow, lead + text_width(style, text));
    if (lead > flow_width(flow) / 2) { /* a long label: the text goes below it */
        make_room(flow, flow->layout->width);
        flow->y = slab_text(flow->layout, flow->slab, STYLE_SMALL, flow->left, flow->y,
                            flow_width(flow), label);
        lead = 0;
    } else if (lead > 0) {
        put_label(flow, label);
    }
    put_text(flow, lead, style, text);
}

void flow_tick(struct flow *flow, const char *text)
{
    make_room(flow, TICK + text_width(STYLE_BODY, text));
    slab_tick_box(flow->layout, flow->slab, flow->left + flow->x, flow->y);
    put_text(flow, TICK, STYLE_BODY, text);
}

double flow_end(const struct flow *flow)
{
    return flow->x > 0 ? flow->y + LINE : flow->y;
}
