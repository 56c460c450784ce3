/* outline.h - flat shapes that are cut from sheet: pure geometry, no I/O, no diagnostics.
 *
 * Millimetres, y up, angles in degrees anticlockwise from the x axis. Straight edges and arcs stay exact;
 * only a union, a cut through an edge and a change of size turn arcs into chords, nowhere farther than
 * OUTLINE_CHORD_MM from them, since the library that does these (GEOS) knows no arcs. */
#ifndef GUDGEON_OUTLINE_H
#define GUDGEON_OUTLINE_H

#include <stdbool.h>
#include <stddef.h>

#include <gudgeon/arena.h>

#define OUTLINE_CHORD_MM 0.005

struct outline_point {
    double x, y;
};
/* A corner, and the edge from it to the next: bulge is the tangent of a quarter of the arc's angle, 0 for
 * a straight edge, positive anticlockwise (as DXF has it, AutoCAD R12 group code 42). */
struct outline_vertex {
    double x, y, bulge;
};
struct outline_loop {              /* closed; never fewer than two vertices */
    struct outline_vertex *items;
    size_t count, room;
};
struct outline_shape {             /* the edge, anticlockwise; then each hole, clockwise */
    struct outline_loop *items;
    size_t count, room;
};
struct outline_box {
    double low_x, low_y, high_x, high_y;
};

/* ---------- loops ---------- */

struct outline_loop outline_circle(struct arena *arena, double x, double y, double diameter);
/* Middle at 0, 0; 0 <= corner <= half of the smaller side. */
struct outline_loop outline_plate(struct arena *arena, double width, double height, double corner);
/* The bulge of the arc from a over b to c; false where they stand in one line or coincide. */
bool outline_arc_over(struct outline_point a, struct outline_point b, struct outline_point c,
                      double *bulge);
/* The bulge of the shorter arc of this radius from a to b, bent to the left or the right of the way from
 * a to b; false where the radius does not reach, or the points coincide. */
bool outline_arc_radius(struct outline_point a, struct outline_point b, double radius, bool left,
                        double *bulge);
/* The corner at `index` between two straight edges rounded; false where the edges are too short for it,
 * or go straight on. The new vertex is inserted behind it. */
bool outline_round(struct arena *arena, struct outline_loop *loop, size_t index, double radius);

struct outline_move {              /* in this order */
    bool mirror;                   /* left and right of the y axis change places */
    double rotate_deg;
    double x, y;
};
/* Orientation is kept. */
void outline_move(struct outline_loop *loop, struct outline_move move);
struct outline_loop outline_copy(struct arena *arena, const struct outline_loop *loop);
double outline_area(const struct outline_loop *loop); /* mm2; negative where it runs clockwise */
/* Anticlockwise, or clockwise. */
void outline_direct(struct outline_loop *loop, bool anticlockwise);
struct outline_box outline_box(const struct outline_loop *loop);
/* Arcs as chords, with corners on the arc. */
struct outline_loop outline_chords(struct arena *arena, const struct outline_loop *loop);
/* Of an arc, 0 for a straight edge; its centre goes to `centre` where that is not NULL. */
double outline_radius(struct outline_vertex from, struct outline_vertex to,
                      struct outline_point *centre);

/* ---------- shapes, by GEOS ---------- */

/* All that GEOS allocates hangs on the engine. NULL when there is no memory. */
struct outline_engine;
struct outline_engine *outline_open(void);
void outline_close(void *engine);
/* GEOS gave up (memory, or its own limits): what was asked since has no meaning. */
bool outline_failed(const struct outline_engine *engine);

/* True where the loop touches or crosses itself; `at` is one such place. */
bool outline_crosses(struct outline_engine *engine, struct arena *arena,
                     const struct outline_loop *loop, struct outline_point *at);
enum outline_place { OUTLINE_INSIDE /* in the material, clear of its edges */,
                     OUTLINE_APART /* no material there */, OUTLINE_ACROSS /* an edge is crossed */ };
/* Where a loop lies to the material; `met` is the index of the shape's loop that it meets. */
enum outline_place outline_place(struct outline_engine *engine, struct arena *arena,
                                 const struct outline_shape *shape, const struct outline_loop *loop,
                                 size_t *met);
/* Both give the number of pieces: 1 where `out` is whole, 0 where nothing is left, and the first of
 * several otherwise, the largest. */
size_t outline_union(struct outline_engine *engine, struct arena *arena,
                     const struct outline_shape *a, const struct outline_shape *b,
                     struct outline_shape *out);
size_t outline_cut(struct outline_engine *engine, struct arena *arena,
                   const struct outline_shape *a, const struct outline_shape *b,
                   struct outline_shape *out);
/* All edges moved outwards by `by` (inwards where it is negative); outer corners become round. */
size_t outline_grow(struct outline_engine *engine, struct arena *arena,
                    const struct outline_shape *shape, double by, struct outline_shape *out);

struct outline_bridge {
    size_t first, second;          /* the loops between which it lies; the same for a neck or a tongue */
    double width;                  /* between two loops; 0: not measured */
    struct outline_point at;
};
/* True where the material is somewhere thinner than `least`. */
bool outline_thin(struct outline_engine *engine, struct arena *arena,
                  const struct outline_shape *shape, double least, struct outline_bridge *bridge);

/* ---------- nesting ---------- */

struct outline_piece {             /* a rectangle to be cut */
    double width, height;          /* height along the grain where the piece has one */
    bool turns;                    /* may lie the other way */
    size_t sheet;                  /* where it went: from 0 */
    double x, y;                   /* of its low corner, from the sheet's */
    bool turned;
};
struct outline_sheet {
    double width, height;          /* height along the grain */
    double margin, spacing;        /* round the edge; between pieces */
};
/* Pieces onto as few sheets as first fit by falling size finds (guillotine cuts). False where one is
 * larger than a sheet: `*unfit` is its index. */
bool outline_nest(struct arena *arena, struct outline_sheet sheet, struct outline_piece *pieces,
                  size_t count, size_t *sheets, size_t *unfit);

#endif
