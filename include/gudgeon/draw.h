/* draw.h - figures as lines, arcs, regions and labels in millimetres.
 *
 * In:  a figure of the pack (facts).  Out: a drawing, finite and inside its bounds; PDF, SVG and DXF
 * only transcribe it. Origin bottom left, y up; angles in degrees, anticlockwise from the x axis. */
#ifndef GUDGEON_DRAW_H
#define GUDGEON_DRAW_H

#include <gudgeon/pack.h>

enum stroke { STROKE_THIN, STROKE_MEDIUM, STROKE_THICK, STROKE_DASHED,
              STROKE_NONE /* a region without outline */ };
enum shape_kind { SHAPE_LINE, SHAPE_CIRCLE, SHAPE_ARC, SHAPE_REGION, SHAPE_LABEL,
                  SHAPE_CUT /* what scissors, knife or laser follow; all else are marks */ };
struct shape {
    enum shape_kind kind;
    enum stroke stroke;
    double x1, y1, x2, y2;         /* line; circle and arc: centre, label: anchor in x1 y1 */
    double radius, from_deg, to_deg;
    double *points;                /* region: x, y, ... closed */
    size_t point_count;
    double grey;                   /* region: 0 black … 1 white; hatch below 0 */
    struct outline_shape cut;      /* edge and holes; between them grey */
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

/* At 1:1, with a cross in the middle of every round hole. `turned`: a quarter anticlockwise. */
struct drawing *draw_gasket(struct arena *arena, const struct gasket *gasket, bool turned);
/* A drawing on several pages that overlap, all as large: columns from the left, rows from the top. */
struct tiling {
    size_t across, down;
    double width, height, overlap; /* of a page, millimetres of the drawing */
    double x, y;                   /* low corner of all pages together */
};
struct outline_point tiling_corner(const struct tiling *tiling, size_t column, size_t row);
/* Where neighbours are cut, dashed, and crosses on these lines that both have; as large as the drawing that
 * it is laid over. */
struct drawing *draw_joins(struct arena *arena, const struct tiling *tiling,
                           const struct drawing *over);
/* The nth of the sheets, from 0, with what is cut from it, scaled to fit into width and height; the
 * label of the grain beside an arrow along it. */
struct drawing *draw_sheet(struct arena *arena, const struct cut_sheet *sheet, size_t number,
                           const char *grain, double width_mm, double height_mm);
/* Edges of a cut one after the other: chords and arcs as pieces of at most 45 degrees, of which a Bezier
 * curve of the third degree is nowhere farther away than 0.000005 of the radius. */
struct draw_pen {
    void (*move)(void *user, double x, double y);
    void (*line)(void *user, double x, double y);
    /* anticlockwise where `angle`, radians, is positive */
    void (*arc)(void *user, double x, double y, double radius, double centre_x, double centre_y,
                double angle);
    void (*close)(void *user);
    void *user;
};
void draw_cut(const struct outline_shape *cut, const struct draw_pen *pen);

#endif
