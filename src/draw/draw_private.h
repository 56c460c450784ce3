/* draw_private.h - what the kinds of figures share. */
#ifndef GUDGEON_DRAW_PRIVATE_H
#define GUDGEON_DRAW_PRIVATE_H

#include <gudgeon/draw.h>

#define LABEL_PT 9.0
#define LABEL_MM (LABEL_PT * 25.4 / 72)

struct canvas {
    struct arena *arena;
    struct drawing *drawing;
    const struct figure *figure;
};

struct shape *draw_add(struct canvas *canvas, enum shape_kind kind, enum stroke stroke);
void draw_line(struct canvas *canvas, enum stroke stroke, double x1, double y1, double x2,
               double y2);
void draw_circle(struct canvas *canvas, enum stroke stroke, double x, double y, double radius);
/* `points`: x y x y ...; grey 0 black to 1 white, below 0 hatched. */
void draw_region(struct canvas *canvas, enum stroke stroke, double grey, const double *points,
                 size_t count);
/* Baseline at y; align -1 left, 0 centre, 1 right of x. */
void draw_label(struct canvas *canvas, double x, double y, int align, bool bold, const char *text);
/* No less than the width of the text as a label. */
double draw_text_mm(const char *text);

/* The text, or as many of its first words as fit, with three points after them; of one long word its
 * beginning. */
const char *draw_fitted(struct canvas *canvas, const char *text, double room_mm);

void draw_pattern(struct canvas *canvas);
void draw_fit(struct canvas *canvas);
void draw_timing(struct canvas *canvas);
void draw_lanes(struct canvas *canvas);

#endif
