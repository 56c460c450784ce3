/* layout_private.h - blocks of a pack as slabs, slabs on pages. Points, y downwards.
 *
 * A slab is a strip as wide as the text area that stays whole on a page where it can; it holds
 * items placed from its own top left corner. Heights are multiples of half a line, so that the
 * baselines of all pages fall on one grid. write_pdf.c only transcribes pages. */
#ifndef GUDGEON_WRITE_LAYOUT_PRIVATE_H
#define GUDGEON_WRITE_LAYOUT_PRIVATE_H

#include <gudgeon/draw.h>

#include "text_private.h"

#define LINE 13.0      /* of body text: the baseline grid */
#define HALF (LINE / 2)
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

/* layout.c: building slabs */
struct slab *slab_new(struct layout *layout);
void slab_push(struct layout *layout, struct slab *slab);
struct item *slab_item(struct layout *layout, struct slab *slab, enum item_kind kind, double x,
                       double y, double w, double h);
/* Text broken to `width` below `y`; returns the y below its last line. Adds a cut after each line. */
double slab_text(struct layout *layout, struct slab *slab, enum style style, double x, double y,
                 double width, const char *text);
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
/* shatter.c: the slab as pieces, one for each of its cuts and one more. */
void slab_shatter(struct layout *layout, const struct slab *slab, struct slabs *pieces);

/* one file each */
void layout_blocks(struct layout *layout, const struct section *section); /* layout_block.c */
void layout_step(struct layout *layout, const struct step_block *step);
void layout_table(struct layout *layout, const struct table *table);
void layout_sources(struct layout *layout, const struct section *section);

/* page.c: the whole pack on pages, heads and feet included. */
struct pages *layout_pages(struct layout *layout);

#endif
