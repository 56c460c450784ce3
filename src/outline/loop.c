/* loop.c - loops of straight edges and arcs. */
#include <gudgeon/outline.h>

#include <assert.h>
#include <math.h>
#include <string.h>

static void add(struct arena *arena, struct outline_loop *loop, double x, double y, double bulge)
{
    assert(isfinite(x) && isfinite(y) && isfinite(bulge));
    *ARRAY_PUSH(arena, loop) = (struct outline_vertex){x, y, bulge};
}

/* Two half circles. */
struct outline_loop outline_circle(struct arena *arena, double x, double y, double diameter)
{
    struct outline_loop loop = {0};

    add(arena, &loop, x - diameter / 2, y, 1);
    add(arena, &loop, x + diameter / 2, y, 1);
    return loop;
}

struct outline_loop outline_plate(struct arena *arena, double width, double height, double corner)
{
    /* Corners anticlockwise from the low right one; the way along the edge before each. */
    static const double ways[4][2] = {{1, 0}, {0, 1}, {-1, 0}, {0, -1}};
    static const double quarter = 0.41421356237309505; /* tan of 90/4 degrees */
    struct outline_loop loop = {0};

    assert(corner >= 0 && 2 * corner <= fmin(width, height));
    for (int i = 0; i < 4; i++) {
        const double *in = ways[i], *out = ways[(i + 1) % 4];
        double x = (in[0] - out[0]) * width / 2, y = (in[1] - out[1]) * height / 2;
        if (corner == 0) {
            add(arena, &loop, x, y, 0);
            continue;
        }
        add(arena, &loop, x - in[0] * corner, y - in[1] * corner, quarter);
        add(arena, &loop, x + out[0] * corner, y + out[1] * corner, 0);
    }
    return loop;
}

bool outline_arc_over(struct outline_point a, struct outline_point b, struct outline_point c,
                      double *bulge)
{
    /* Half of the arc's angle is what is left of the straight angle at b (Euclid III.20). */
    double ux = a.x - b.x, uy = a.y - b.y, vx = c.x - b.x, vy = c.y - b.y;
    double cross = vx * uy - vy * ux, dot = ux * vx + uy * vy;

    if (fabs(cross) <= 1e-9 * hypot(ux, uy) * hypot(vx, vy) || hypot(c.x - a.x, c.y - a.y) == 0)
        return false;
    double inside = atan2(fabs(cross), dot); /* 0 to pi */
    *bulge = copysign(tan((M_PI - inside) / 2), cross);
    return true;
}

bool outline_arc_radius(struct outline_point a, struct outline_point b, double radius, bool left,
                        double *bulge)
{
    double half = hypot(b.x - a.x, b.y - a.y) / 2;

    if (half == 0 || radius < half * (1 - 1e-9))
        return false;
    double quarter = asin(fmin(1, half / radius)) / 2;
    *bulge = left ? -tan(quarter) : tan(quarter); /* clockwise arcs bend to the left */
    return true;
}

bool outline_round(struct arena *arena, struct outline_loop *loop, size_t index, double radius)
{
    struct outline_vertex before = loop->items[(index + loop->count - 1) % loop->count];
    struct outline_vertex at = loop->items[index], after = loop->items[(index + 1) % loop->count];
    double in_x = at.x - before.x, in_y = at.y - before.y, in = hypot(in_x, in_y);
    double out_x = after.x - at.x, out_y = after.y - at.y, out = hypot(out_x, out_y);

    if (before.bulge != 0 || at.bulge != 0 || in == 0 || out == 0)
        return false;
    double turn = atan2(in_x * out_y - in_y * out_x, in_x * out_x + in_y * out_y);
    double take = radius * fabs(tan(turn / 2));
    if (fabs(turn) < 1e-9 || take > in * (1 + 1e-9) || take > out * (1 + 1e-9))
        return false;
    (void)ARRAY_PUSH(arena, loop);
    memmove(&loop->items[index + 2], &loop->items[index + 1],
            (loop->count - index - 2) * sizeof *loop->items);
    loop->items[index] = (struct outline_vertex){at.x - in_x / in * take, at.y - in_y / in * take,
                                                 tan(turn / 4)};
    loop->items[index + 1] =
        (struct outline_vertex){at.x + out_x / out * take, at.y + out_y / out * take, 0};
    return true;
}

struct outline_loop outline_copy(struct arena *arena, const struct outline_loop *loop)
{
    struct outline_loop copy = {ARENA_ARRAY(arena, struct outline_vertex, loop->count), loop->count,
                                loop->count};

    memcpy(copy.items, loop->items, loop->count * sizeof *loop->items);
    return copy;
}

static void reverse(struct outline_loop *loop)
{
    size_t count = loop->count;

    for (size_t i = 0; i < count / 2; i++) {
        struct outline_vertex vertex = loop->items[i];
        loop->items[i] = loop->items[count - 1 - i];
        loop->items[count - 1 - i] = vertex;
    }
    /* A bulge belongs to the edge behind its vertex, which is now the one before it. */
    double first = loop->items[0].bulge;
    for (size_t i = 0; i < count; i++)
        loop->items[i].bulge = -(i + 1 < count ? loop->items[i + 1].bulge : first);
}

void outline_move(struct outline_loop *loop, struct outline_move move)
{
    double turn = move.rotate_deg * M_PI / 180, c = cos(turn), s = sin(turn);

    for (size_t i = 0; i < loop->count; i++) {
        struct outline_vertex *vertex = &loop->items[i];
        double x = move.mirror ? -vertex->x : vertex->x, y = vertex->y;
        vertex->x = x * c - y * s + move.x;
        vertex->y = x * s + y * c + move.y;
        if (move.mirror)
            vertex->bulge = -vertex->bulge;
    }
    if (move.mirror)
        reverse(loop);
}

double outline_radius(struct outline_vertex from, struct outline_vertex to,
                      struct outline_point *centre)
{
    double dx = to.x - from.x, dy = to.y - from.y, b = from.bulge;

    if (b == 0)
        return 0;
    if (centre != NULL) {
        double off = (1 - b * b) / (4 * b); /* of the chord, to its left */
        *centre = (struct outline_point){from.x + dx / 2 - dy * off, from.y + dy / 2 + dx * off};
    }
    return hypot(dx, dy) * (1 + b * b) / (4 * fabs(b));
}

double outline_area(const struct outline_loop *loop)
{
    double twice = 0;

    for (size_t i = 0; i < loop->count; i++) {
        struct outline_vertex a = loop->items[i], b = loop->items[(i + 1) % loop->count];
        double angle = 4 * atan(a.bulge), radius = outline_radius(a, b, NULL);
        twice += a.x * b.y - b.x * a.y + radius * radius * (angle - sin(angle));
    }
    return twice / 2;
}

void outline_direct(struct outline_loop *loop, bool anticlockwise)
{
    if ((outline_area(loop) > 0) != anticlockwise)
        reverse(loop);
}

static void reach(struct outline_box *box, double x, double y)
{
    box->low_x = fmin(box->low_x, x);
    box->low_y = fmin(box->low_y, y);
    box->high_x = fmax(box->high_x, x);
    box->high_y = fmax(box->high_y, y);
}

/* An arc reaches beyond its ends where it passes right, top, left or bottom of its circle. */
static void reach_arc(struct outline_box *box, struct outline_vertex from, struct outline_vertex to)
{
    struct outline_point centre;
    double radius = outline_radius(from, to, &centre);
    double start = atan2(from.y - centre.y, from.x - centre.x), sweep = 4 * atan(from.bulge);

    for (int side = 0; side < 4; side++) {
        double ahead = fmod((side * M_PI / 2 - start) * (sweep > 0 ? 1 : -1), 2 * M_PI);
        if (ahead < 0)
            ahead += 2 * M_PI;
        if (ahead <= fabs(sweep))
            reach(box, centre.x + (side == 0 ? radius : side == 2 ? -radius : 0),
                  centre.y + (side == 1 ? radius : side == 3 ? -radius : 0));
    }
}

struct outline_box outline_box(const struct outline_loop *loop)
{
    struct outline_box box = {INFINITY, INFINITY, -INFINITY, -INFINITY};

    for (size_t i = 0; i < loop->count; i++) {
        reach(&box, loop->items[i].x, loop->items[i].y);
        if (loop->items[i].bulge != 0)
            reach_arc(&box, loop->items[i], loop->items[(i + 1) % loop->count]);
    }
    return box;
}

struct outline_loop outline_chords(struct arena *arena, const struct outline_loop *loop)
{
    struct outline_loop chords = {0};

    for (size_t i = 0; i < loop->count; i++) {
        struct outline_vertex from = loop->items[i], to = loop->items[(i + 1) % loop->count];
        struct outline_point centre;
        double radius, sweep, start;
        add(arena, &chords, from.x, from.y, 0);
        if (from.bulge == 0)
            continue;
        radius = outline_radius(from, to, &centre);
        sweep = 4 * atan(from.bulge);
        start = atan2(from.y - centre.y, from.x - centre.x);
        double most = 2 * acos(1 - fmin(OUTLINE_CHORD_MM / radius, 0.3)); /* sagitta r (1 - cos a/2) */
        int parts = (int)ceil(fabs(sweep) / most);
        for (int k = 1; k < parts; k++)
            add(arena, &chords, centre.x + radius * cos(start + sweep * k / parts),
                centre.y + radius * sin(start + sweep * k / parts), 0);
    }
    return chords;
}
