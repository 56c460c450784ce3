/* layout_private.h - blocks of a pack as slabs, slabs on pages. Points, y downwards.
 *
 * A slab is a strip as wide as the text area that stays whole on a page where it can; it holds
 * items placed from its own top left corner. Heights are multiples of an eighth of a line, so that
 * baselines fall on one grid. press.c only transcribes pages. */
#ifndef GUDGEON_WRITE_LAYOUT_PRIVATE_H
#define GUDGEON_WRITE_LAYOUT_PRIVATE_H

#include <gudgeon/draw.h>

#include "text_private.h"

#define LINE 12.0      /* of body text */
#define HALF (LINE / 2)
#define GRID (LINE / 4) /* the least space between things */
#define MM (72 / 25.4)
#define BLANK 21.0     /* height of a blank: 7 mm, so that a pencil has room */
#define HAIR 0.35      /* line widths */
#define FINE 0.6
#define STRONG 1.2

enum style { STYLE_SMALL, STYLE_SMALL_BOLD, STYLE_BODY, STYLE_BOLD, STYLE_STEP, STYLE_STEP_BOLD,
             STYLE_HEADING_3, STYLE_HEADING_2, STYLE_HEADING_1, STYLE_TITLE, STYLE_COVER,
             STYLE_COUNT };
struct style_row {
    enum face face;
    double size, leading;
};
extern const struct style_row styles[STYLE_COUNT];

enum item_kind {
    ITEM_TEXT,      /* x: left end, middle or right end by `align`; y: baseline; grey `weight` */
    ITEM_RULE,      /* from x y, w across or h down */
    ITEM_BOX,       /* outline */
    ITEM_FILL,      /* grey `weight` (0 black, 1 white) */
    ITEM_DRAWING,   /* top left corner at x y */
    ITEM_LINK,      /* area that leads to section `target` */
    ITEM_PAGE_OF,   /* text: the page on which section `target` begins */
};
struct item {
    enum item_kind kind;
    enum style style;
    int align; /* -1 left, 0 centre, 1 right */
    double x, y, w, h, weight;
    const char *text;
    const struct drawing *drawing;
    size_t target;
};
struct slab {
    struct { struct item *items; size_t count, room; } items;
    struct { double *items; size_t count, room; } cuts; /* where it may be cut if it must */
    double height;
    double before;             /* space above, dropped at the top of a page */
    double overhang;           /* of a piece: what stands above its top, at the top of a page */
    bool keep;                 /* on one page with the next slab */
    bool flows;                /* running text: may be cut at any of `cuts` */
    const struct slab *head;   /* repeated at the top of a page that begins with this slab */
    const char *bookmark;      /* of a heading, or NULL */
};
struct slabs {
    struct slab **items;
    size_t count, room;
};

struct layout {
    struct arena *arena;
    const struct pack *pack;
    const struct labels *labels;
    double page_width, page_height;
    double margin_top, margin_bottom, margin_inner, margin_outer;
    double width;              /* of the text area */
    bool tight;                /* less space between slabs: it saves the section a page */
    struct slabs *slabs;       /* of the section being laid out */
};

struct placed {
    const struct slab *slab;
    double y;                  /* of its top, from the top of the page */
};
struct page {
    size_t section;
    size_t number, of;         /* within its section, 1-based */
    struct { struct placed *items; size_t count, room; } placed;
};
struct pages {
    struct page *items;
    size_t count, room;
    size_t *first;             /* of each section: index of its first page */
};

/* layout.c: the pack's paper and margins; building slabs */
struct layout layout_on_paper(struct context *context, const struct pack *pack);
struct slab *slab_new(struct layout *layout);
void slab_push(struct layout *layout, struct slab *slab);
struct item *slab_item(struct layout *layout, struct slab *slab, enum item_kind kind, double x,
                       double y, double w, double h);
/* Text broken to `width` below `y`; returns the y below its last line. Adds a cut after each line. */
double slab_text(struct layout *layout, struct slab *slab, enum style style, double x, double y,
                 double width, const char *text);
/* As much of it as stands in so many lines, three points where that is not all. */
const char *text_shortened(struct layout *layout, enum style style, double width, const char *text,
                           size_t lines);
/* One line, not broken. */
void slab_line(struct layout *layout, struct slab *slab, enum style style, int align, double x,
               double y, const char *text);
void slab_rule(struct layout *layout, struct slab *slab, double x, double y, double w,
               double weight);
void slab_box(struct layout *layout, struct slab *slab, double x, double y, double w, double h,
              double weight);
void slab_fill(struct layout *layout, struct slab *slab, double x, double y, double w, double h,
               double grey);
void slab_tick_box(struct layout *layout, struct slab *slab, double x, double y);
double text_width(enum style style, const char *text);
double up_to_grid(double height);
/* Space above a slab: as much, or half of it on a tight page. */
double space_above(const struct layout *layout, double space);

/* flow.c: short pieces run in one after the other, a wide space between them. */
struct flow {
    struct layout *layout;
    struct slab *slab;
    double left, width;        /* of its lines */
    double x, y;               /* where the next piece may stand, x from `left`; top of its line */
    double tab;                /* pieces begin at multiples of it where the line is long enough; 0: anywhere */
    double free;               /* x where this line's last piece has ended, with the space after it */
    double wide, wide_from;    /* width of lines whose top is at `wide_from` or below; 0: the same */
};
struct flow flow_new(struct layout *layout, struct slab *slab, double left, double y, double width);
/* A piece: its label in small grey letters (NULL: none) and its text, together in one line where that
 * takes them; else broken, from the start of a line, the text hanging beside the label. */
void flow_add(struct flow *flow, const char *label, enum style style, const char *text);
/* Moves on as flow_add would, without adding anything; false if that would take more than this line. */
bool flow_probe(struct flow *flow, const char *label, enum style style, const char *text);
void flow_to_tab(struct flow *flow);
/* A box to tick before the text. */
void flow_tick(struct flow *flow, const char *text);
/* Of the line where it stands. */
double flow_width(const struct flow *flow);
/* The y below the last line. */
double flow_end(const struct flow *flow);
/* shatter.c: the slab as pieces, one for each of its cuts and one more. */
void slab_shatter(struct layout *layout, const struct slab *slab, struct slabs *pieces);

/* one file each */
void layout_blocks(struct layout *layout, const struct section *section); /* layout_block.c */
/* `figure` NULL: the step has none. */
void layout_step(struct layout *layout, const struct step_block *step, const struct figure *figure);
/* layout_fields.c: the facts of a step run into the flow. */
void layout_fields(struct flow *flow, const struct step_block *step);
/* True if they all stand in what is left of the flow's line. */
bool fields_fit(struct flow flow, const struct step_block *step);
/* layout_figure.c: the figure drawn at most so wide. */
const struct drawing *figure_drawn(struct layout *layout, const struct figure *figure, double width);
/* With its caption below, in the middle of the width; the y below it. */
double figure_put(struct layout *layout, struct slab *slab, const struct drawing *drawing,
                  const char *caption, double x, double y, double width);
void layout_table(struct layout *layout, const struct table *table);
void layout_sources(struct layout *layout, const struct section *section);

/* page.c: the whole pack on pages, heads and feet included. */
struct pages *layout_pages(struct layout *layout);

#endif
