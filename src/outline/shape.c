/* shape.c - what is asked of whole shapes, by GEOS; the only file that includes its header.
 *
 * GEOS is C++ underneath and allocates by itself: whatever it gives us is noted in the engine, which is
 * emptied after each question and when the arena's exhaustion jumps past us. Unions and cuts are worked
 * on a grid of a nanometre (GEOS: OverlayNG with snap rounding), so that they cannot fail on edges that
 * all but touch. */
#include <gudgeon/outline.h>

#include <geos_c.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define GRID_MM 1e-6
#define SAME_MM 2e-6 /* corners nearer than this are one */

struct outline_engine {
    GEOSContextHandle_t geos;
    GEOSGeometry **items;
    size_t count, room;
    bool failed;
};

struct outline_engine *outline_open(void)
{
    struct outline_engine *engine = calloc(1, sizeof *engine);

    if (engine == NULL)
        return NULL;
    engine->geos = GEOS_init_r();
    if (engine->geos == NULL) {
        free(engine);
        return NULL;
    }
    return engine;
}

static void empty(struct outline_engine *engine)
{
    while (engine->count > 0)
        GEOSGeom_destroy_r(engine->geos, engine->items[--engine->count]);
}

void outline_close(void *handle)
{
    struct outline_engine *engine = handle;

    empty(engine);
    GEOS_finish_r(engine->geos);
    free(engine->items);
    free(engine);
}

bool outline_failed(const struct outline_engine *engine)
{
    return engine->failed;
}

/* Notes what GEOS has made; NULL, when it failed, stays NULL. */
static GEOSGeometry *keep(struct outline_engine *engine, GEOSGeometry *made)
{
    if (made == NULL) {
        engine->failed = true;
        return NULL;
    }
    if (engine->count == engine->room) {
        size_t room = engine->room > 0 ? 2 * engine->room : 64;
        GEOSGeometry **items = realloc(engine->items, room * sizeof *items);
        if (items == NULL) {
            GEOSGeom_destroy_r(engine->geos, made);
            engine->failed = true;
            return NULL;
        }
        engine->items = items;
        engine->room = room;
    }
    return engine->items[engine->count++] = made;
}

/* What a parent takes over is the parent's to free. */
static GEOSGeometry *give(struct outline_engine *engine, GEOSGeometry *kept)
{
    for (size_t i = engine->count; i-- > 0;)
        if (engine->items[i] == kept) {
            memmove(&engine->items[i], &engine->items[i + 1],
                    (--engine->count - i) * sizeof *engine->items);
            break;
        }
    return kept;
}

/* ---------- to GEOS and back ---------- */

/* Corners that coincide are one; the ring is closed as GEOS wants it. NULL where no area is left. */
static GEOSGeometry *ring_of(struct outline_engine *engine, struct arena *arena,
                             const struct outline_loop *loop)
{
    struct outline_loop chords = outline_chords(arena, loop);
    double *xy = ARENA_ARRAY(arena, double, 2 * (chords.count + 1));
    size_t count = 0;

    for (size_t i = 0; i < chords.count; i++) {
        struct outline_vertex vertex = chords.items[i];
        if (count > 0 && hypot(vertex.x - xy[2 * count - 2], vertex.y - xy[2 * count - 1]) < SAME_MM)
            continue;
        xy[2 * count] = vertex.x;
        xy[2 * count++ + 1] = vertex.y;
    }
    while (count > 1 && hypot(xy[0] - xy[2 * count - 2], xy[1] - xy[2 * count - 1]) < SAME_MM)
        count--;
    if (count < 3)
        return NULL;
    xy[2 * count] = xy[0];
    xy[2 * count++ + 1] = xy[1];
    GEOSCoordSequence *sequence =
        GEOSCoordSeq_copyFromBuffer_r(engine->geos, xy, (unsigned)count, 0, 0);
    if (sequence == NULL) {
        engine->failed = true;
        return NULL;
    }
    return keep(engine, GEOSGeom_createLinearRing_r(engine->geos, sequence));
}

static GEOSGeometry *polygon_of(struct outline_engine *engine, struct arena *arena,
                                const struct outline_loop *loops, size_t count)
{
    GEOSGeometry *edge = count > 0 ? ring_of(engine, arena, &loops[0]) : NULL;
    GEOSGeometry **holes = ARENA_ARRAY(arena, GEOSGeometry *, count);
    size_t hole_count = 0;

    if (edge == NULL)
        return keep(engine, GEOSGeom_createEmptyPolygon_r(engine->geos));
    for (size_t i = 1; i < count; i++) {
        GEOSGeometry *hole = ring_of(engine, arena, &loops[i]);
        if (hole != NULL)
            holes[hole_count++] = hole;
    }
    if (engine->failed)
        return NULL;
    give(engine, edge);
    for (size_t i = 0; i < hole_count; i++)
        give(engine, holes[i]);
    return keep(engine, GEOSGeom_createPolygon_r(engine->geos, edge, holes, (unsigned)hole_count));
}

static struct outline_loop loop_of(struct outline_engine *engine, struct arena *arena,
                                   const GEOSGeometry *ring, bool anticlockwise)
{
    const GEOSCoordSequence *sequence = GEOSGeom_getCoordSeq_r(engine->geos, ring);
    struct outline_loop loop = {0};
    unsigned count = 0;

    if (sequence == NULL || GEOSCoordSeq_getSize_r(engine->geos, sequence, &count) == 0) {
        engine->failed = true;
        return loop;
    }
    double *xy = ARENA_ARRAY(arena, double, 2 * (size_t)count);
    GEOSCoordSeq_copyToBuffer_r(engine->geos, sequence, xy, 0, 0);
    for (unsigned i = 0; i + 1 < count; i++)
        *ARRAY_PUSH(arena, &loop) = (struct outline_vertex){xy[2 * i], xy[2 * i + 1], 0};
    outline_direct(&loop, anticlockwise);
    return loop;
}

static double area_of(struct outline_engine *engine, const GEOSGeometry *geometry)
{
    double area = 0;

    if (geometry == NULL || GEOSArea_r(engine->geos, geometry, &area) == 0)
        engine->failed = true;
    return area;
}

/* The polygons of a result that are more than dust, the largest first; their number. */
static size_t pieces_of(struct outline_engine *engine, const GEOSGeometry *result,
                        const GEOSGeometry **largest)
{
    int parts = result != NULL ? GEOSGetNumGeometries_r(engine->geos, result) : 0;
    double most = 0;
    size_t pieces = 0;

    for (int i = 0; i < parts; i++) {
        const GEOSGeometry *part = GEOSGetGeometryN_r(engine->geos, result, i);
        double area = area_of(engine, part);
        if (area < 1e-6)
            continue;
        pieces++;
        if (area > most) {
            most = area;
            *largest = part;
        }
    }
    return pieces;
}

/* In the order and from the corners that GEOS calls normal, so that the bytes do not hang on how it came
 * about. */
static size_t shape_of(struct outline_engine *engine, struct arena *arena, GEOSGeometry *result,
                       struct outline_shape *out)
{
    const GEOSGeometry *piece = NULL;
    size_t pieces;

    *out = (struct outline_shape){0};
    if (result != NULL && GEOSNormalize_r(engine->geos, result) != 0)
        engine->failed = true;
    pieces = pieces_of(engine, result, &piece);
    if (engine->failed || piece == NULL)
        return 0;
    *ARRAY_PUSH(arena, out) =
        loop_of(engine, arena, GEOSGetExteriorRing_r(engine->geos, piece), true);
    int holes = GEOSGetNumInteriorRings_r(engine->geos, piece);
    for (int i = 0; i < holes; i++) {
        struct outline_loop hole =
            loop_of(engine, arena, GEOSGetInteriorRingN_r(engine->geos, piece, i), false);
        if (outline_area(&hole) < -1e-6)
            *ARRAY_PUSH(arena, out) = hole;
    }
    return pieces;
}

/* ---------- questions ---------- */

bool outline_crosses(struct outline_engine *engine, struct arena *arena,
                     const struct outline_loop *loop, struct outline_point *at)
{
    GEOSGeometry *polygon = polygon_of(engine, arena, loop, 1), *where = NULL;
    char *reason = NULL;
    int valid = polygon != NULL ? GEOSisValidDetail_r(engine->geos, polygon, 0, &reason, &where) : 2;

    if (where != NULL && keep(engine, where) != NULL && valid == 0) {
        GEOSGeomGetX_r(engine->geos, where, &at->x);
        GEOSGeomGetY_r(engine->geos, where, &at->y);
    }
    GEOSFree_r(engine->geos, reason);
    engine->failed |= valid == 2;
    empty(engine);
    return valid == 0;
}

static bool yes(struct outline_engine *engine, char answer)
{
    engine->failed |= answer == 2;
    return answer == 1;
}

static bool boxes_meet(const struct outline_loop *a, const struct outline_loop *b, double apart)
{
    struct outline_box p = outline_box(a), q = outline_box(b);

    return p.low_x <= q.high_x + apart && q.low_x <= p.high_x + apart &&
           p.low_y <= q.high_y + apart && q.low_y <= p.high_y + apart;
}

enum outline_place outline_place(struct outline_engine *engine, struct arena *arena,
                                 const struct outline_shape *shape, const struct outline_loop *loop,
                                 size_t *met)
{
    GEOSGeometry *asked = polygon_of(engine, arena, loop, 1);
    GEOSGeometry *edge = polygon_of(engine, arena, &shape->items[0], 1);
    enum outline_place place = OUTLINE_INSIDE;

    *met = 0;
    if (engine->failed)
        return OUTLINE_APART;
    if (!yes(engine, GEOSIntersects_r(engine->geos, edge, asked)))
        place = OUTLINE_APART;
    else if (!yes(engine, GEOSRelatePattern_r(engine->geos, edge, asked, "T**FF*FF*")))
        place = OUTLINE_ACROSS; /* "contains properly": DE-9IM T**FF*FF* */
    for (size_t i = 1; i < shape->count && place == OUTLINE_INSIDE; i++) {
        if (!boxes_meet(&shape->items[i], loop, 0))
            continue;
        GEOSGeometry *hole = polygon_of(engine, arena, &shape->items[i], 1);
        if (hole == NULL || !yes(engine, GEOSIntersects_r(engine->geos, hole, asked)))
            continue;
        *met = i;
        place = yes(engine, GEOSCovers_r(engine->geos, hole, asked)) ? OUTLINE_APART
                                                                     : OUTLINE_ACROSS;
    }
    empty(engine);
    return place;
}

/* ---------- unions and cuts ---------- */

/* Two shapes to one by an operation of GEOS on the grid; how many pieces come of it. */
static size_t combine(struct outline_engine *engine, struct arena *arena,
                      const struct outline_shape *a, const struct outline_shape *b,
                      struct outline_shape *out,
                      GEOSGeometry *(*operation)(GEOSContextHandle_t, const GEOSGeometry *,
                                                 const GEOSGeometry *, double))
{
    GEOSGeometry *p = polygon_of(engine, arena, a->items, a->count);
    GEOSGeometry *q = polygon_of(engine, arena, b->items, b->count), *made = NULL;

    if (!engine->failed)
        made = keep(engine, operation(engine->geos, p, q, GRID_MM));
    size_t pieces = shape_of(engine, arena, made, out);
    empty(engine);
    return pieces;
}

size_t outline_union(struct outline_engine *engine, struct arena *arena,
                     const struct outline_shape *a, const struct outline_shape *b,
                     struct outline_shape *out)
{
    return combine(engine, arena, a, b, out, GEOSUnionPrec_r);
}

size_t outline_cut(struct outline_engine *engine, struct arena *arena,
                   const struct outline_shape *a, const struct outline_shape *b,
                   struct outline_shape *out)
{
    return combine(engine, arena, a, b, out, GEOSDifferencePrec_r);
}

/* ---------- change of size ---------- */

/* All that lies within `by` of an edge: a rectangle beside a straight one, a piece of a ring beside an
 * arc. */
static struct outline_loop beside(struct arena *arena, struct outline_vertex from,
                                  struct outline_vertex to, double by)
{
    struct outline_loop band = {0};
    struct outline_point centre;

    if (from.bulge == 0) {
        double length = hypot(to.x - from.x, to.y - from.y);
        double nx = (to.y - from.y) / length * by, ny = (from.x - to.x) / length * by;
        *ARRAY_PUSH(arena, &band) = (struct outline_vertex){from.x + nx, from.y + ny, 0};
        *ARRAY_PUSH(arena, &band) = (struct outline_vertex){to.x + nx, to.y + ny, 0};
        *ARRAY_PUSH(arena, &band) = (struct outline_vertex){to.x - nx, to.y - ny, 0};
        *ARRAY_PUSH(arena, &band) = (struct outline_vertex){from.x - nx, from.y - ny, 0};
        return band;
    }
    double radius = outline_radius(from, to, &centre);
    double out = (radius + by) / radius, in = fmax(radius - by, 0) / radius;
#define AT(end, times)                                                                             \
    centre.x + (end.x - centre.x) * (times), centre.y + (end.y - centre.y) * (times)
    *ARRAY_PUSH(arena, &band) = (struct outline_vertex){AT(from, out), from.bulge};
    *ARRAY_PUSH(arena, &band) = (struct outline_vertex){AT(to, out), 0};
    *ARRAY_PUSH(arena, &band) = (struct outline_vertex){AT(to, in), in > 0 ? -from.bulge : 0};
    if (in > 0)
        *ARRAY_PUSH(arena, &band) = (struct outline_vertex){AT(from, in), 0};
#undef AT
    return band;
}

/* The way of an edge at its end, or at its beginning. */
static double way_of(struct outline_vertex from, struct outline_vertex to, bool end)
{
    double half = 2 * atan(from.bulge); /* between chord and tangent */

    return atan2(to.y - from.y, to.x - from.x) + (end ? half : -half);
}

/* The slice between the bands of two edges that meet at a corner; none where they go straight on. */
static bool corner_slice(struct arena *arena, struct outline_vertex before, struct outline_vertex at,
                         struct outline_vertex after, double by, struct outline_loop *slice)
{
    double in = way_of(before, at, true), turn = remainder(way_of(at, after, false) - in, 2 * M_PI);
    double side = turn > 0 ? -M_PI / 2 : M_PI / 2; /* the outer side of the corner */

    if (fabs(turn) < 1e-7)
        return false;
    *slice = (struct outline_loop){0};
    *ARRAY_PUSH(arena, slice) = (struct outline_vertex){at.x, at.y, 0};
    *ARRAY_PUSH(arena, slice) = (struct outline_vertex){at.x + by * cos(in + side),
                                                        at.y + by * sin(in + side), tan(turn / 4)};
    *ARRAY_PUSH(arena, slice) = (struct outline_vertex){
        at.x + by * cos(in + side + turn), at.y + by * sin(in + side + turn), 0};
    return true;
}

/* All that lies within `by` of any edge of the shape. */
static GEOSGeometry *band_of(struct outline_engine *engine, struct arena *arena,
                             const struct outline_shape *shape, double by)
{
    struct { GEOSGeometry **items; size_t count, room; } bands = {0};

    for (size_t k = 0; k < shape->count; k++) {
        const struct outline_loop *loop = &shape->items[k];
        for (size_t i = 0; i < loop->count; i++) {
            struct outline_vertex from = loop->items[i], to = loop->items[(i + 1) % loop->count];
            struct outline_vertex after = loop->items[(i + 2) % loop->count];
            struct outline_loop slice, band;
            if (hypot(to.x - from.x, to.y - from.y) < SAME_MM)
                continue;
            band = beside(arena, from, to, by);
            *ARRAY_PUSH(arena, &bands) = polygon_of(engine, arena, &band, 1);
            if (corner_slice(arena, from, to, after, by, &slice))
                *ARRAY_PUSH(arena, &bands) = polygon_of(engine, arena, &slice, 1);
        }
    }
    if (engine->failed)
        return NULL;
    for (size_t i = 0; i < bands.count; i++)
        give(engine, bands.items[i]);
    GEOSGeometry *all = keep(engine, GEOSGeom_createCollection_r(
                                         engine->geos, GEOS_GEOMETRYCOLLECTION, bands.items,
                                         (unsigned)bands.count));
    return all != NULL ? keep(engine, GEOSUnaryUnionPrec_r(engine->geos, all, GRID_MM)) : NULL;
}

size_t outline_grow(struct outline_engine *engine, struct arena *arena,
                    const struct outline_shape *shape, double by, struct outline_shape *out)
{
    GEOSGeometry *material = polygon_of(engine, arena, shape->items, shape->count);
    GEOSGeometry *band = band_of(engine, arena, shape, fabs(by)), *grown = NULL;

    if (!engine->failed)
        grown = keep(engine, by > 0 ? GEOSUnionPrec_r(engine->geos, material, band, GRID_MM)
                                    : GEOSDifferencePrec_r(engine->geos, material, band, GRID_MM));
    size_t pieces = shape_of(engine, arena, grown, out);
    empty(engine);
    return pieces;
}

/* ---------- thin places ---------- */

/* Half way between two geometries where they come nearest. */
static struct outline_point half_way(struct outline_engine *engine, const GEOSGeometry *one,
                                     const GEOSGeometry *other)
{
    GEOSCoordSequence *ends = GEOSNearestPoints_r(engine->geos, one, other);
    double x1 = 0, y1 = 0, x2 = 0, y2 = 0;

    if (ends == NULL) {
        engine->failed = true;
        return (struct outline_point){0, 0};
    }
    GEOSCoordSeq_getXY_r(engine->geos, ends, 0, &x1, &y1);
    GEOSCoordSeq_getXY_r(engine->geos, ends, 1, &x2, &y2);
    GEOSCoordSeq_destroy_r(engine->geos, ends);
    return (struct outline_point){(x1 + x2) / 2, (y1 + y2) / 2};
}

/* Where two rings come nearest. */
static bool near_rings(struct outline_engine *engine, const GEOSGeometry *one,
                       const GEOSGeometry *other, double least, struct outline_bridge *bridge)
{
    double apart = 0;

    if (GEOSDistanceIndexed_r(engine->geos, one, other, &apart) == 0)
        engine->failed = true;
    if (engine->failed || apart >= least - 2 * OUTLINE_CHORD_MM) /* chords come as much too near */
        return false;
    bridge->width = apart;
    bridge->at = half_way(engine, one, other);
    return true;
}

static bool thin_between(struct outline_engine *engine, struct arena *arena,
                         const struct outline_shape *shape, double least,
                         struct outline_bridge *bridge)
{
    GEOSGeometry **rings = ARENA_ARRAY(arena, GEOSGeometry *, shape->count);
    bool thin = false;

    for (size_t i = 0; i < shape->count; i++)
        rings[i] = ring_of(engine, arena, &shape->items[i]);
    for (size_t i = 0; i < shape->count && !thin && !engine->failed; i++)
        for (size_t k = i + 1; k < shape->count && !thin && !engine->failed; k++) {
            if (rings[i] == NULL || rings[k] == NULL ||
                !boxes_meet(&shape->items[i], &shape->items[k], least))
                continue;
            *bridge = (struct outline_bridge){.first = i, .second = k};
            thin = near_rings(engine, rings[i], rings[k], least, bridge);
        }
    empty(engine);
    return thin && !engine->failed;
}

/* A place that surely lies on the geometry. */
static struct outline_point place_on(struct outline_engine *engine, const GEOSGeometry *geometry)
{
    GEOSGeometry *point = keep(engine, GEOSPointOnSurface_r(engine->geos, geometry));
    struct outline_point at = {0, 0};

    if (point != NULL) {
        GEOSGeomGetX_r(engine->geos, point, &at.x);
        GEOSGeomGetY_r(engine->geos, point, &at.y);
    }
    return at;
}

/* The neck between the first piece of the core and the one that is nearest to it. */
static struct outline_point neck_of(struct outline_engine *engine, const GEOSGeometry *core)
{
    const GEOSGeometry *first = GEOSGetGeometryN_r(engine->geos, core, 0), *nearest = NULL;
    double least = INFINITY, apart;

    for (int i = 1; i < GEOSGetNumGeometries_r(engine->geos, core); i++) {
        const GEOSGeometry *piece = GEOSGetGeometryN_r(engine->geos, core, i);
        if (GEOSDistance_r(engine->geos, first, piece, &apart) != 0 && apart < least) {
            least = apart;
            nearest = piece;
        }
    }
    return nearest != NULL ? half_way(engine, first, nearest) : place_on(engine, first);
}

/* What a disc of the least width cannot come near, wherever it is rolled in the material: a tongue, or a
 * corner sharper than about 30 degrees, of which it leaves more than three of its radii. */
static bool tongue_of(struct outline_engine *engine, const GEOSGeometry *material,
                      const GEOSGeometry *core, double radius, struct outline_point *at)
{
    GEOSGeometry *near = keep(engine, GEOSBuffer_r(engine->geos, core, 4 * radius, 8));
    GEOSGeometry *far =
        near != NULL ? keep(engine, GEOSDifference_r(engine->geos, material, near)) : NULL;

    if (far == NULL || area_of(engine, far) < 1e-6)
        return false;
    *at = place_on(engine, far);
    return true;
}

/* ---------- is it worth rolling the disc ---------- */

enum { BEND = 25 /* tenths of the least width that a line may run before its ends count as two edges:
                    a corner of less than 47 degrees does */ };

/* The square of how far a point lies off a segment, and at which part of it. */
static double off_segment(const double *at, const double *from, const double *to, double *part)
{
    double x = to[0] - from[0], y = to[1] - from[1], length = x * x + y * y;
    double along = (at[0] - from[0]) * x + (at[1] - from[1]) * y;

    *part = length > 0 ? fmin(fmax(along / length, 0), 1) : 0;
    double off_x = from[0] + *part * x - at[0], off_y = from[1] + *part * y - at[1];
    return off_x * off_x + off_y * off_y;
}

/* Whether a ring comes nearer to itself than `least` at places that lie farther apart along it, or is
 * small. Two segments are nearest at an end of one of them. */
static bool bends_back(struct arena *arena, const double *xy, size_t count, double least)
{
    const double apart = least * BEND / 10;
    double *run = ARENA_ARRAY(arena, double, count + 1), part;

    for (size_t i = 1; i < count; i++)
        run[i] = run[i - 1] + hypot(xy[2 * i] - xy[2 * i - 2], xy[2 * i + 1] - xy[2 * i - 1]);
    if (count < 4 || run[count - 1] < 3 * apart)
        return true;
    for (size_t i = 0; i + 1 < count; i++)
        for (size_t k = 0; k + 1 < count; k++) {
            const double *at = &xy[2 * i], *from = &xy[2 * k];
            if (fmax(from[0], from[2]) < at[0] - least || fmin(from[0], from[2]) > at[0] + least ||
                fmax(from[1], from[3]) < at[1] - least || fmin(from[1], from[3]) > at[1] + least)
                continue;
            if (off_segment(at, from, from + 2, &part) >= least * least)
                continue;
            double way = fabs(run[k] + part * (run[k + 1] - run[k]) - run[i]);
            if (fmin(way, run[count - 1] - way) > apart)
                return true;
        }
    return false;
}

static bool ring_bends_back(struct outline_engine *engine, struct arena *arena,
                            const GEOSGeometry *ring, double least)
{
    const GEOSCoordSequence *sequence =
        ring != NULL ? GEOSGeom_getCoordSeq_r(engine->geos, ring) : NULL;
    unsigned count = 0;

    if (sequence == NULL || GEOSCoordSeq_getSize_r(engine->geos, sequence, &count) == 0)
        return true; /* unknown: look closer */
    double *xy = ARENA_ARRAY(arena, double, 2 * (size_t)count + 1);
    GEOSCoordSeq_copyToBuffer_r(engine->geos, sequence, xy, 0, 0);
    return bends_back(arena, xy, count, least);
}

/* Most outlines are wide all along, and rolling a disc through them takes a hundred times as long. */
static bool may_be_thin(struct outline_engine *engine, struct arena *arena,
                        const GEOSGeometry *material, double least)
{
    if (GEOSGeomTypeId_r(engine->geos, material) != GEOS_POLYGON ||
        ring_bends_back(engine, arena, GEOSGetExteriorRing_r(engine->geos, material), least))
        return true;
    for (int i = 0; i < GEOSGetNumInteriorRings_r(engine->geos, material); i++)
        if (ring_bends_back(engine, arena, GEOSGetInteriorRingN_r(engine->geos, material, i), least))
            return true;
    return false;
}

static bool thin_within(struct outline_engine *engine, struct arena *arena,
                        const struct outline_shape *shape, double least,
                        struct outline_bridge *bridge)
{
    /* Fewer chords, or the disc is rolled for half a second; then two edges may have come nearer by twice
     * the slack, and GEOS rounds the disc by up to a hundredth. */
    const double slack = least * 0.01, radius = least * 0.495 - 2 * slack;
    GEOSGeometry *exact = polygon_of(engine, arena, shape->items, shape->count);
    GEOSGeometry *material =
        engine->failed ? NULL
                       : keep(engine, GEOSSimplify_r(engine->geos, exact, slack));
    if (material == NULL || !may_be_thin(engine, arena, material, least)) {
        empty(engine);
        return false;
    }
    GEOSGeometry *core = keep(engine, GEOSBuffer_r(engine->geos, material, -radius, 8));
    bool thin = false;

    if (core != NULL && GEOSisEmpty_r(engine->geos, core) == 1) {
        thin = true;
        bridge->at = place_on(engine, material);
    } else if (core != NULL && GEOSGetNumGeometries_r(engine->geos, core) > 1) {
        thin = true;
        bridge->at = neck_of(engine, core);
    } else if (core != NULL) {
        thin = tongue_of(engine, material, core, radius, &bridge->at);
    }
    empty(engine);
    return thin && !engine->failed;
}

bool outline_thin(struct outline_engine *engine, struct arena *arena,
                  const struct outline_shape *shape, double least, struct outline_bridge *bridge)
{
    *bridge = (struct outline_bridge){0};
    if (thin_between(engine, arena, shape, least, bridge))
        return true;
    *bridge = (struct outline_bridge){0};
    return thin_within(engine, arena, shape, least, bridge);
}
