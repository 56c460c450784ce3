/* draw.h - figures as lines, arcs, regions and labels in millimetres.
 *
 * In:  a figure of the pack (facts).  Out: a drawing, finite and inside its bounds; PDF, SVG and DXF
 * only transcribe it. Origin bottom left, y up; angles in degrees, anticlockwise from the x axis. */
#ifndef GUDGEON_DRAW_H
#define GUDGEON_DRAW_H

#include <gudgeon/pack.h>

enum stroke { STROKE_THIN, STROKE_MEDIUM, STROKE_THICK, STROKE_DASHED,
              STROKE_NONE /* a region without outline */ };
enum shape_kind { SHAPE_LINE, SHAPE_CIRCLE, SHAPE_ARC, SHAPE_REGION, SHAPE_LABEL };
struct shape {
    enum shape_kind kind;
    enum stroke stroke;
    double x1, y1, x2, y2;         /* line; circle and arc: centre, label: anchor in x1 y1 */
    double radius, from_deg, to_deg;
    double *points;                /* region: x, y, ... closed */
    size_t point_count;
    double grey;                   /* region: 0 black … 1 white; hatch below 0 */
    const char *text;
    double size_pt;
    int align;                     /* -1 left, 0 centre, 1 right */
    bool bold;
};
struct drawing {
    double width_mm, height_mm;
    struct { struct shape *items; size_t count, room; } shapes;
};
/* Scaled to fit `width_mm`; never NULL. */
struct drawing *draw_figure(struct arena *arena, const struct figure *figure, double width_mm);

#endif
