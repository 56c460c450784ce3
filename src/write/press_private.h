/* press_private.h - slabs printed on pages: a PDF file in memory. press.c alone knows libharu. */
#ifndef GUDGEON_WRITE_PRESS_PRIVATE_H
#define GUDGEON_WRITE_PRESS_PRIVATE_H

#include <gudgeon/write.h>

#include "layout_private.h"

struct press;
struct press_job {
    const char *file, *title;      /* "cards.pdf"; of the document */
    double width, height;          /* of every page, in points */
    size_t page_count;
    const size_t *first;           /* of each target of a link: index of its page; NULL without links */
    void (*draw_page)(struct press *press, size_t index, void *user);
    void (*bookmarks)(struct press *press, void *user);
    void *user;
};
/* Adds the file to the outputs; false after reporting. */
bool press_print(struct context *context, const struct pack *pack, const struct press_job *job,
                 struct outputs *outputs);

/* On the page being drawn, y down from its top: the slab's own corner stands at left, top. */
void press_slab(struct press *press, const struct slab *slab, double left, double top);
/* What follows shows within this rectangle only. */
void press_clip(struct press *press, double x, double y, double w, double h);
void press_unclip(struct press *press);
/* Level 2 stands under the last of level 1. */
void press_bookmark(struct press *press, int level, const char *title, size_t page, double y);

#endif
