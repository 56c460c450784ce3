/* resolve_outline.c - what the spec says of an outline, made into a shape and checked: closed, not crossing
 * itself, holes inside, in one piece, nowhere thinner than its sheet bears. */
#include "resolve_gasket_private.h"

#include <assert.h>

#define MOST_MM 1500.0 /* DIAG_OUTLINE_SIZE tells both */
#define LEAST_HOLE_MM 0.5
#define MOST_LOOPS 2000

/* An outline in the making. */
struct draft {
    struct resolver *r;
    struct outline_engine *engine;
    struct part *part;
    const struct draft *for_part; /* whose outline starts from this part's, or NULL */
    struct outline_shape shape;
    struct { struct span *items; size_t count, room; } spans; /* of each loop */
};

static double mm(const struct claim *claim)
{
    return (double)claim->value.nominal.exact / 1e9; /* picometres */
}

static struct outline_point point(const struct points *points, size_t index)
{
    return (struct outline_point){mm(&points->items[2 * index]), mm(&points->items[2 * index + 1])};
}

static struct diag *fault(struct draft *draft, enum diag_code code, struct span span,
                          const char *text)
{
    return diag_add(&draft->r->context->diags, code, span, "%s", text);
}

/* "x 12.5 mm, y -3 mm", as the spec counts. */
static const char *place_of(struct draft *draft, struct outline_point at)
{
    struct arena *arena = draft->r->arena;

    return str_print(arena, "x %s mm, y %s mm", str_decimal(arena, at.x, 1),
                     str_decimal(arena, at.y, 1));
}

/* GEOS gives up on what no gasket is; it is told once, at the outline. */
static bool given_up(struct draft *draft, struct span span)
{
    if (!outline_failed(draft->engine))
        return false;
    fault(draft, DIAG_OUTLINE_SIZE, span, "this outline is more than can be worked out");
    return true;
}

static bool too_large(struct draft *draft, double across, struct span span)
{
    if (across <= MOST_MM)
        return false;
    fault(draft, DIAG_OUTLINE_SIZE, span,
          str_print(draft->r->arena, "this is %s mm across",
                    str_decimal(draft->r->arena, across, 0)));
    return true;
}

/* ---------- bodies ---------- */

/* The bulge of the edge that leads to this point; `closes`: to the first, from the last. */
static bool bulge_to(struct draft *draft, const struct outline_edge *edge, struct outline_point from,
                     bool closes, double *bulge)
{
    struct outline_point to = point(&edge->point, 0);

    *bulge = 0;
    if (from.x == to.x && from.y == to.y) {
        struct diag *diag =
            fault(draft, DIAG_OUTLINE_EDGE, edge->span,
                  closes ? "the last point is this first one" : "this point is the one before it");
        if (closes)
            resolve_hint(draft->r, diag,
                         "the edge closes by itself: leave the last point out; an arc that it has "
                         "belongs to the first");
        return false;
    }
    if (edge->arc_over.count > 0 &&
        !outline_arc_over(from, point(&edge->arc_over, 0), to, bulge)) {
        resolve_hint(draft->r,
                     fault(draft, DIAG_OUTLINE_EDGE, edge->arc_over.items[0].span,
                           "an arc over this point would be straight"),
                     "give a point about half way along the arc");
        return false;
    }
    if (edge->radius.present &&
        !outline_arc_radius(from, to, mm(&edge->radius), str_equal(edge->bend.text, "left"), bulge)) {
        resolve_hint(draft->r,
                     fault(draft, DIAG_OUTLINE_EDGE, edge->radius.span,
                           "an arc of this radius does not reach from the point before"),
                     "it is at least half of the distance, %s mm",
                     str_decimal(draft->r->arena, hypot(to.x - from.x, to.y - from.y) / 2, 2));
        return false;
    }
    return true;
}

static bool round_corners(struct draft *draft, const struct outline_body *body,
                          struct outline_loop *loop)
{
    for (size_t i = body->edge.count; i-- > 0;) {
        const struct claim *corner = &body->edge.items[i].corner;
        if (!corner->present || outline_round(draft->r->arena, loop, i, mm(corner)))
            continue;
        resolve_hint(draft->r,
                     fault(draft, DIAG_OUTLINE_EDGE, corner->span,
                           "this corner cannot be rounded so"),
                     "both edges at it are straight, turn there, and are long enough for the rounding");
        return false;
    }
    return true;
}

static bool check_loop(struct draft *draft, struct span span, struct outline_loop *loop)
{
    struct outline_point at;

    if (outline_crosses(draft->engine, draft->r->arena, loop, &at)) {
        struct diag *diag = fault(draft, DIAG_OUTLINE_CROSSES, span,
                                  str_print(draft->r->arena, "the edge crosses itself at %s",
                                            place_of(draft, at)));
        resolve_hint(draft->r, diag, "give the points in the order in which a pencil goes round");
        return false;
    }
    if (fabs(outline_area(loop)) < 0.01) {
        fault(draft, DIAG_OUTLINE_EDGE, span, "this edge encloses nothing");
        return false;
    }
    outline_direct(loop, true);
    return true;
}

static bool edge_loop(struct draft *draft, const struct outline_body *body,
                      struct outline_shape *shape)
{
    size_t count = body->edge.count;
    struct outline_loop loop = {0};

    for (size_t i = 0; i < count; i++) {
        struct outline_point at = point(&body->edge.items[i].point, 0);
        double bulge;
        if (!bulge_to(draft, &body->edge.items[(i + 1) % count], at, i + 1 == count, &bulge))
            return false;
        *ARRAY_PUSH(draft->r->arena, &loop) = (struct outline_vertex){at.x, at.y, bulge};
    }
    if (!round_corners(draft, body, &loop))
        return false;
    struct outline_box box = outline_box(&loop);
    if (too_large(draft, fmax(box.high_x - box.low_x, box.high_y - box.low_y),
                  body->edge.items[0].span) ||
        !check_loop(draft, body->edge.items[0].span, &loop))
        return false;
    *ARRAY_PUSH(draft->r->arena, shape) = loop;
    return true;
}

static bool draw_outline(struct draft *draft);

/* A loop is told once: by that of its parts that comes first in the file. */
static bool goes_round(struct draft *draft, const struct part *part, const struct ref *ref)
{
    size_t first = part->e.order, chain = 0;

    for (const struct draft *up = draft; up != NULL; up = up->for_part) {
        first = up->part->e.order < first ? up->part->e.order : first;
        if (up->part == part) {
            if (up->for_part == NULL && first == part->e.order)
                fault(draft, DIAG_OUTLINE_LOOP, ref->span,
                      "by way of this part the outline starts from itself");
            return true;
        }
        if (++chain > BOUND_CHAIN) {
            fault(draft, DIAG_OUTLINE_LOOP, ref->span,
                  "the outline starts from another's through too many parts");
            return true;
        }
    }
    return false;
}

/* All of the other part's outline. */
static bool same_as(struct draft *draft, const struct ref *ref, struct outline_shape *shape)
{
    struct part *part = resolve_part(ref);
    struct draft other = {draft->r, draft->engine, part, draft, {0}, {0}};

    if (part == NULL || !part->cut_from.outline.body.present) {
        fault(draft, DIAG_OUTLINE_LOOP, ref->span,
              str_print(draft->r->arena, "%s has no outline", part ? part->e.shown : ref->text));
        return false;
    }
    if (goes_round(draft, part, ref))
        return false;
    if (!draw_outline(&other))
        return false;
    for (size_t i = 0; i < other.shape.count; i++)
        *ARRAY_PUSH(draft->r->arena, shape) = outline_copy(draft->r->arena, &other.shape.items[i]);
    return true;
}

static bool start_body(struct draft *draft, const struct outline_body *body,
                       struct outline_shape *shape)
{
    struct arena *arena = draft->r->arena;

    if (body->edge.count > 0)
        return edge_loop(draft, body, shape);
    if (body->same_as.text != NULL)
        return same_as(draft, &body->same_as, shape);
    if (body->outside.present)
        *ARRAY_PUSH(arena, shape) = outline_circle(arena, 0, 0, mm(&body->outside));
    else
        *ARRAY_PUSH(arena, shape) =
            outline_plate(arena, mm(&body->plate.width), mm(&body->plate.height),
                          body->plate.corners.present ? mm(&body->plate.corners) : 0);
    return true;
}

static void move(struct outline_shape *shape, struct outline_move how)
{
    for (size_t i = 0; i < shape->count; i++)
        outline_move(&shape->items[i], how);
}

static bool one_piece(struct draft *draft, size_t pieces, struct span span, const char *none,
                      const char *several)
{
    if (given_up(draft, span))
        return false;
    if (pieces == 1)
        return true;
    fault(draft, DIAG_OUTLINE_PIECES, span,
          pieces == 0 ? none : str_print(draft->r->arena, several, pieces));
    return false;
}

static bool mirror(struct draft *draft, const struct outline_body *body, struct outline_shape *shape)
{
    struct arena *arena = draft->r->arena;
    struct outline_shape other = {0}, both;

    for (size_t i = 0; i < shape->count; i++)
        *ARRAY_PUSH(arena, &other) = outline_copy(arena, &shape->items[i]);
    move(&other, (struct outline_move){.mirror = true});
    if (str_equal(body->mirror.text, "over")) {
        *shape = other;
        return true;
    }
    size_t pieces = outline_union(draft->engine, arena, shape, &other, &both);
    *shape = both;
    return one_piece(draft, pieces, body->mirror.span, "nothing is left",
                     "the shape and its mirror image do not touch: %zu pieces");
}

static bool check_size(struct draft *draft, const struct outline_shape *shape, struct span span)
{
    struct outline_box box = outline_box(&shape->items[0]);

    return !too_large(draft, fmax(box.high_x - box.low_x, box.high_y - box.low_y), span);
}

/* Grown, mirrored, rotated, moved. */
static bool make_body(struct draft *draft, const struct outline_body *body,
                      struct outline_shape *shape)
{
    *shape = (struct outline_shape){0};
    if (!start_body(draft, body, shape) || !check_size(draft, shape, body->span))
        return false;
    if (body->grow.present) {
        struct outline_shape grown;
        if (too_large(draft, fabs(mm(&body->grow)), body->grow.span))
            return false;
        size_t pieces =
            outline_grow(draft->engine, draft->r->arena, shape, mm(&body->grow), &grown);
        *shape = grown;
        if (!one_piece(draft, pieces, body->grow.span, "made so much smaller, nothing is left of it",
                       "made so much smaller, it falls into %zu pieces"))
            return false;
    }
    if (body->mirror.text != NULL && !mirror(draft, body, shape))
        return false;
    struct outline_move how = {.rotate_deg = body->rotate.present ? body->rotate.value.nominal.si : 0};
    if (body->middle.count > 0) {
        how.x = point(&body->middle, 0).x;
        how.y = point(&body->middle, 0).y;
    }
    if (how.rotate_deg != 0 || how.x != 0 || how.y != 0)
        move(shape, how);
    return true;
}

/* ---------- what is added and cut ---------- */

/* The loops are new: none can be told from the spec any more but by this. */
static void became(struct draft *draft, const struct outline_shape *shape, struct span span)
{
    draft->shape = *shape;
    draft->spans.count = 0;
    for (size_t i = 0; i < shape->count; i++)
        *ARRAY_PUSH(draft->r->arena, &draft->spans) = span;
}

static bool add_bodies(struct draft *draft, const struct outline *outline)
{
    for (size_t i = 0; i < outline->add.count; i++) {
        const struct outline_body *body = &outline->add.items[i];
        struct outline_shape added, both;
        if (!make_body(draft, body, &added))
            return false;
        size_t pieces =
            outline_union(draft->engine, draft->r->arena, &draft->shape, &added, &both);
        if (!one_piece(draft, pieces, body->span, "nothing is left",
                       "this does not touch what it is added to: %zu pieces"))
            return false;
        became(draft, &both, outline->body.span);
    }
    return true;
}

static void add_hole(struct draft *draft, struct outline_loop loop, struct span span)
{
    outline_direct(&loop, false);
    *ARRAY_PUSH(draft->r->arena, &draft->shape) = loop;
    *ARRAY_PUSH(draft->r->arena, &draft->spans) = span;
}

/* Exact where the shape lies clear of all edges; else by GEOS. */
static bool cut_out(struct draft *draft, const struct outline_shape *cut, struct span span)
{
    struct outline_shape rest;
    enum outline_place place = OUTLINE_ACROSS;
    size_t met;

    if (cut->count == 1)
        place = outline_place(draft->engine, draft->r->arena, &draft->shape, &cut->items[0], &met);
    if (place == OUTLINE_INSIDE) {
        add_hole(draft, cut->items[0], span);
        return true;
    }
    if (place == OUTLINE_APART && !outline_failed(draft->engine)) {
        fault(draft, DIAG_OUTLINE_HOLE, span, "there is no gasket where this is cut");
        return false;
    }
    size_t pieces = outline_cut(draft->engine, draft->r->arena, &draft->shape, cut, &rest);
    if (!one_piece(draft, pieces, span, "nothing is left of the gasket",
                   "this cuts the gasket into %zu pieces"))
        return false;
    became(draft, &rest, draft->part->cut_from.outline.body.span);
    return true;
}

/* What lies farther from the edge than the strip is wide goes. */
static bool leave_strip(struct draft *draft, const struct claim *strip)
{
    struct outline_shape inner;

    if (too_large(draft, mm(strip), strip->span))
        return false;
    size_t pieces =
        outline_grow(draft->engine, draft->r->arena, &draft->shape, -mm(strip), &inner);
    return one_piece(draft, pieces, strip->span, "a strip so wide leaves nothing to be cut out",
                     "inside the strip are %zu openings: cut them out one by one") &&
           cut_out(draft, &inner, strip->span);
}

/* ---------- holes ---------- */

static bool round_hole(struct draft *draft, struct outline_point at, double size, struct span span)
{
    struct outline_loop loop = outline_circle(draft->r->arena, at.x, at.y, size);
    size_t met;

    if (too_large(draft, size, span))
        return false;
    if (draft->shape.count > MOST_LOOPS) {
        fault(draft, DIAG_OUTLINE_SIZE, span, "more than 2000 holes in one gasket");
        return false;
    }
    if (size < LEAST_HOLE_MM) {
        fault(draft, DIAG_OUTLINE_SIZE, span,
              str_print(draft->r->arena, "a hole of %s mm is smaller than any punch",
                        str_decimal(draft->r->arena, size, 3)));
        return false;
    }
    enum outline_place place =
        outline_place(draft->engine, draft->r->arena, &draft->shape, &loop, &met);
    if (given_up(draft, span))
        return false;
    if (place == OUTLINE_INSIDE) {
        add_hole(draft, loop, span);
        return true;
    }
    struct diag *diag = fault(
        draft, DIAG_OUTLINE_HOLE, span,
        str_print(draft->r->arena, "the hole at %s %s", place_of(draft, at),
                  met > 0                  ? "runs into another opening"
                  : place == OUTLINE_APART ? "lies outside the gasket"
                                           : "runs out of the gasket"));
    if (met > 0 && draft->spans.items[met].end > draft->spans.items[met].begin)
        resolve_label(draft->r, diag, draft->spans.items[met], "the other opening");
    resolve_hint(draft->r, diag, "%s",
                 met > 0 ? "leave one out, or make it smaller"
                         : "look at the place and the size; what may open into the edge goes under cut");
    return false;
}

static bool circle_of_holes(struct draft *draft, const struct outline_holes *holes,
                            struct outline_point middle)
{
    double radius = mm(&holes->circle) / 2;
    double first = holes->first_at.present ? holes->first_at.value.nominal.si : 0;

    for (int64_t i = 0; i < holes->count.value; i++) {
        double turn = (first + 360.0 * (double)i / (double)holes->count.value) * M_PI / 180;
        struct outline_point at = {middle.x + radius * cos(turn), middle.y + radius * sin(turn)};
        if (!round_hole(draft, at, mm(&holes->size), holes->span))
            return false;
    }
    return true;
}

static bool add_holes(struct draft *draft, const struct outline_holes *holes)
{
    static const struct outline_point origin;
    size_t points = holes->points.count / 2;

    if (points == 0)
        return holes->circle.present ? circle_of_holes(draft, holes, origin)
                                     : round_hole(draft, origin, mm(&holes->size), holes->span);
    for (size_t i = 0; i < points; i++) {
        bool good = holes->circle.present
                        ? circle_of_holes(draft, holes, point(&holes->points, i))
                        : round_hole(draft, point(&holes->points, i), mm(&holes->size),
                                     holes->points.items[2 * i].span);
        if (!good)
            return false;
    }
    return true;
}

static bool draw_outline(struct draft *draft)
{
    const struct outline *outline = &draft->part->cut_from.outline;
    struct outline_shape body;

    if (!make_body(draft, &outline->body, &body))
        return false;
    became(draft, &body, outline->body.span);
    if (outline->strip.present && !leave_strip(draft, &outline->strip))
        return false;
    if (!add_bodies(draft, outline))
        return false;
    if (outline->inside.present &&
        !round_hole(draft, (struct outline_point){0, 0}, mm(&outline->inside), outline->inside.span))
        return false;
    for (size_t i = 0; i < outline->cut.count; i++)
        if (!make_body(draft, &outline->cut.items[i], &body) ||
            !cut_out(draft, &body, outline->cut.items[i].span))
            return false;
    for (size_t i = 0; i < outline->holes.count; i++)
        if (!add_holes(draft, &outline->holes.items[i]))
            return false;
    return !given_up(draft, outline->body.span);
}

/* ---------- the whole ---------- */

/* What the shop says of its sheet, else the table, else what scissors can do (common practice, no
 * source). */
static double least_bridge_mm(struct resolver *r, const struct cut_from *cut)
{
    const struct sheet_material *said = spec_sheet(r->spec, cut->sheet.text);
    const struct table_sheet *row = table_sheet_find(r->tables, cut->sheet.text, NULL);

    if (said != NULL && said->bridge.present)
        return mm(&said->bridge);
    return row != NULL && row->bridge_pm != TABLE_NO_PM ? (double)row->bridge_pm / 1e9 : 1;
}

static bool check_bridges(struct draft *draft)
{
    const struct cut_from *cut = &draft->part->cut_from;
    struct arena *arena = draft->r->arena;
    double least = least_bridge_mm(draft->r, cut);
    struct outline_bridge bridge;

    if (!outline_thin(draft->engine, arena, &draft->shape, least, &bridge))
        return true;
    struct span first = draft->spans.items[bridge.first], second = draft->spans.items[bridge.second];
    const char *width = bridge.first != bridge.second
                            ? str_print(arena, "%s mm wide", str_decimal(arena, bridge.width, 2))
                            : str_print(arena, "thinner than %s mm", str_decimal(arena, least, 1));
    struct diag *diag = fault(draft, DIAG_OUTLINE_THIN, second,
                              str_print(arena, "the gasket is %s at %s", width,
                                        place_of(draft, bridge.at)));
    if (first.begin != second.begin)
        resolve_label(draft->r, diag, first, "the edge or hole beside it");
    resolve_label(draft->r, diag, cut->sheet.span, "%s bears strips from %s mm", cut->sheet.text,
                  str_decimal(arena, least, 1));
    resolve_hint(draft->r, diag,
                 "make it wider, or give bridge: of this sheet, under sheets, what it bears");
    return false;
}

const struct outline_shape *resolve_outline(struct resolver *r, struct outline_engine *engine,
                                            struct part *part)
{
    struct draft *draft = ARENA_NEW(r->arena, struct draft);

    *draft = (struct draft){r, engine, part, NULL, {0}, {0}};
    if (!draw_outline(draft) ||
        !check_size(draft, &draft->shape, part->cut_from.outline.body.span) ||
        !check_bridges(draft) ||
        given_up(draft, part->cut_from.outline.body.span))
        return NULL;
    return &draft->shape;
}
