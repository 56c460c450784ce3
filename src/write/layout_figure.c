/* layout_figure.c - figures on a page: as wide as they need, with their captions. */
#include "layout_private.h"

#include <math.h>

const struct drawing *figure_drawn(struct layout *layout, const struct figure *figure, double width)
{
    double room = layout->page_height - layout->margin_top - layout->margin_bottom - 14 * LINE;
    double wide = fmin(width / MM, 170);
    const struct drawing *drawing = draw_figure(layout->arena, figure, wide);

    if (drawing->height_mm * MM > room)
        drawing = draw_figure(layout->arena, figure, wide * room / (drawing->height_mm * MM));
    return drawing;
}

double figure_put(struct layout *layout, struct slab *slab, const struct drawing *drawing,
                  const char *caption, double x, double y, double width)
{
    double high = drawing->height_mm * MM;

    slab_item(layout, slab, ITEM_DRAWING, x + (width - drawing->width_mm * MM) / 2, y + GRID,
              drawing->width_mm * MM, high)->drawing = drawing;
    y = up_to_grid(y + high + GRID);
    if (caption == NULL)
        return y;
    if (text_width(STYLE_SMALL, caption) >= width)
        return slab_text(layout, slab, STYLE_SMALL, x, y, width, caption);
    slab_line(layout, slab, STYLE_SMALL, 0, x + width / 2, y, caption);
    return y + LINE;
}
