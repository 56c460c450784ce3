/* fields_outline.c - what a gasket is cut to, and the sheets it is cut from. */
#include "fields_private.h"

/* ---------- a body: round, a plate, an edge point by point, or another part's outline ---------- */

static const struct field plate_rows[] = {
    ROW_IN("width", CLAIM, struct outline_body, plate, width, "from left to right", .flags = NEEDED,
           .dims = DIM(LENGTH)),
    ROW_IN("height", CLAIM, struct outline_body, plate, height, "from bottom to top",
           .flags = NEEDED, .dims = DIM(LENGTH)),
    ROW_IN("corners", CLAIM, struct outline_body, plate, corners, "radius of its corners",
           .dims = DIM(LENGTH)),
};
static void finish_plate(struct reader *reader, void *item, const struct node *node)
{
    const struct outline_body *body =
        (const void *)((const char *)item - offsetof(struct outline_body, plate));
    const struct claim *corners = &body->plate.corners;
    double width = body->plate.width.value.nominal.si, height = body->plate.height.value.nominal.si;

    (void)node;
    if (corners->present && body->plate.width.present && body->plate.height.present &&
        2 * corners->value.nominal.si > (width < height ? width : height))
        fault_hint(reader, fault(reader, DIAG_SPEC_OUTLINE, corners->span,
                                 "corners of %s do not fit a plate of %s by %s",
                                 corners->value.text, body->plate.width.value.text,
                                 body->plate.height.value.text),
                   "a radius is at most half of the smaller side");
}
static const struct fields plate_fields = {
    .title = "`plate`", ROWS(plate_rows), .size = sizeof(((struct outline_body *)0)->plate),
    .present = offsetof(struct outline_body, plate.present) - offsetof(struct outline_body, plate),
    .span = offsetof(struct outline_body, plate.span) - offsetof(struct outline_body, plate),
    .id = NOWHERE, .finish = finish_plate};

static void finish_edge(struct reader *reader, void *item, const struct node *node)
{
    const struct outline_edge *edge = item;
    int arcs = (edge->arc_over.count > 0) + edge->radius.present;

    if (edge->bend.text != NULL && !edge->radius.present)
        fault_hint(reader, fault(reader, DIAG_SPEC_FORM, edge->bend.span,
                                 "bend: says to which side an arc of a radius bends"),
                   "give radius: too");
    else if (edge->radius.present && edge->bend.text == NULL)
        fault_hint(reader, fault(reader, DIAG_SPEC_FORM, edge->radius.span,
                                 "an arc of a radius may bend to either side"),
                   "say bend: left or right, on the way to this point");
    else if (arcs + edge->corner.present > 1)
        fault(reader, DIAG_SPEC_FORM, node->span,
              "the edge to a point is straight with a corner there, or an arc by arc-over or by "
              "radius");
}
static const struct field edge_rows[] = {
    ROW("point", POINTS, struct outline_edge, point, "where the edge goes to", .flags = NEEDED,
        .dims = DIM(LENGTH), .most = 1),
    ROW("arc-over", POINTS, struct outline_edge, arc_over, "a point on the arc that leads there",
        .dims = DIM(LENGTH), .most = 1),
    ROW("radius", CLAIM, struct outline_edge, radius, "of the arc that leads there",
        .dims = DIM(LENGTH)),
    ROW("bend", TEXT, struct outline_edge, bend, "to which side that arc bends",
        .words = WORDS("left", "right")),
    ROW("corner", CLAIM, struct outline_edge, corner, "radius by which the corner there is rounded",
        .dims = DIM(LENGTH)),
};
static const struct fields edge_fields = {
    .title = "a point of `edge`", ROWS(edge_rows), .bare = "point",
    .size = sizeof(struct outline_edge), .present = NOWHERE,
    .span = offsetof(struct outline_edge, span), .id = NOWHERE, .finish = finish_edge};

/* The keys of a body; it lies at the beginning of what has more keys than it. */
#define BODY_ROWS                                                                                   \
    ROW("outside", CLAIM, struct outline_body, outside, "outside diameter of a round one",          \
        .dims = DIM(LENGTH)),                                                                      \
    ROW("plate", MAP, struct outline_body, plate, "four sides, its middle at 0, 0",                 \
        .sub = &plate_fields),                                                                     \
    ROW("edge", LIST, struct outline_body, edge, "its edge, point by point",                        \
        .sub = &edge_fields),                                                                      \
    ROW("same-as", REF, struct outline_body, same_as, "the part whose outline it starts from",      \
        .targets = TO(PART)),                                                                      \
    ROW("grow", CLAIM, struct outline_body, grow,                                                   \
        "how far every edge is moved outwards; negative: inwards", .dims = DIM(LENGTH)),           \
    ROW("mirror", TEXT, struct outline_body, mirror,                                                \
        "left and right change places, or both are joined", .words = WORDS("over", "both")),       \
    ROW("rotate", CLAIM, struct outline_body, rotate, "turned anticlockwise by this",               \
        .dims = DIM(ANGLE)),                                                                       \
    ROW("middle", POINTS, struct outline_body, middle, "where its 0, 0 goes",                       \
        .dims = DIM(LENGTH), .most = 1)

static void finish_body(struct reader *reader, void *item, const struct node *node)
{
    const struct outline_body *body = item;
    int forms = body->outside.present + body->plate.present + (body->edge.count > 0) +
                (body->same_as.text != NULL);

    if (node->kind == NODE_MAP && forms != 1)
        fault_hint(reader, fault(reader, DIAG_SPEC_OUTLINE_BODY, node->span,
                                 forms == 0 ? "this says of no shape what it is"
                                            : "this says of one shape two things that it is"),
                   "give one of outside:, plate:, edge: or same-as:");
    else if (body->edge.count > 0 && body->edge.count < 2)
        fault(reader, DIAG_SPEC_OUTLINE_BODY, body->edge.items[0].span,
              "one point makes no edge");
}
static const struct field body_rows[] = {BODY_ROWS};
static const struct fields body_fields = {
    .title = "a shape", ROWS(body_rows), .size = sizeof(struct outline_body),
    .present = offsetof(struct outline_body, present), .span = offsetof(struct outline_body, span),
    .id = NOWHERE, .finish = finish_body};

/* ---------- holes ---------- */

static void finish_holes(struct reader *reader, void *item, const struct node *node)
{
    const struct outline_holes *holes = item;

    if (holes->circle.present && !holes->count.present)
        fault_hint(reader, fault(reader, DIAG_SPEC_FORM, holes->circle.span,
                                 "how many holes lie on the circle?"),
                   "give count:");
    else if (holes->first_at.present && !holes->circle.present)
        fault(reader, DIAG_SPEC_FORM, holes->first_at.span,
              "first-at: is where on its circle the first hole lies, and there is no circle");
    else if (!holes->circle.present && holes->points.count == 0 && holes->count.present &&
             holes->count.value > 1)
        fault_hint(reader, fault(reader, DIAG_SPEC_FORM, node->span, "where are the %lld holes?",
                                 (long long)holes->count.value),
                   "give circle:, the diameter of the circle they lie on, or points:");
    else if (!holes->circle.present && holes->points.count > 0 && holes->count.present &&
             holes->count.value != (int64_t)(holes->points.count / 2))
        fault(reader, DIAG_SPEC_FORM, holes->count.span, "%lld holes, and %zu points",
              (long long)holes->count.value, holes->points.count / 2);
}
static const struct field hole_rows[] = {
    ROW("count", NUMBER, struct outline_holes, count, "how many, evenly on their circle",
        .least = 1, .most = 1000),
    ROW("size", CLAIM, struct outline_holes, size, "diameter of a hole", .dims = DIM(LENGTH),
        .flags = NEEDED),
    ROW("circle", CLAIM, struct outline_holes, circle, "diameter of the circle they lie on",
        .dims = DIM(LENGTH)),
    ROW("first-at", CLAIM, struct outline_holes, first_at,
        "where the first lies, anticlockwise from the right", .dims = DIM(ANGLE)),
    ROW("points", POINTS, struct outline_holes, points,
        "where each is, x and y; with circle: where its middle is", .dims = DIM(LENGTH)),
};
static const struct fields hole_fields = {
    .title = "`holes`", ROWS(hole_rows), .size = sizeof(struct outline_holes), .present = NOWHERE,
    .span = offsetof(struct outline_holes, span), .id = NOWHERE, .finish = finish_holes};

/* ---------- the whole outline ---------- */

/* Of a plain ring the diameters alone tell whether each hole lies in it. */
static void check_ring(struct reader *reader, const struct outline *outline,
                       const struct outline_holes *holes)
{
    const struct claim *inside = &outline->inside, *outside = &outline->body.outside;
    double hole = holes->size.present ? holes->size.value.nominal.si : 0;
    double circle = holes->circle.present ? holes->circle.value.nominal.si : 0;

    if (circle > 0 && holes->points.count == 0 &&
        ((outside->present && circle + hole > outside->value.nominal.si) ||
         (inside->present && circle - hole < inside->value.nominal.si)))
        fault_hint(reader, fault(reader, DIAG_SPEC_OUTLINE, holes->circle.span,
                                 "holes on a circle of %s run out of the gasket",
                                 holes->circle.value.text),
                   "all three are diameters: outside, inside, and of the circle of the holes");
}

static void finish_outline(struct reader *reader, void *item, const struct node *node)
{
    const struct outline *outline = item;
    const struct claim *inside = &outline->inside, *outside = &outline->body.outside;

    finish_body(reader, item, node);
    if (inside->present && outside->present &&
        inside->value.nominal.si >= outside->value.nominal.si) {
        fault_label(reader, fault(reader, DIAG_SPEC_OUTLINE, inside->span,
                                  "the inside, %s, is no smaller than the outside",
                                  inside->value.text),
                    outside->span, "the outside, %s", outside->value.text);
        return;
    }
    if (outline->add.count == 0 && !outline->body.grow.present && !outline->strip.present)
        for (size_t i = 0; i < outline->holes.count; i++)
            check_ring(reader, outline, &outline->holes.items[i]);
}
static const struct field outline_rows[] = {
    BODY_ROWS,
    ROW("strip", CLAIM, struct outline, strip, "how wide it is along its edge; the rest is cut out",
        .dims = DIM(LENGTH)),
    ROW("inside", CLAIM, struct outline, inside, "diameter of a round opening at 0, 0",
        .dims = DIM(LENGTH)),
    ROW("holes", LIST, struct outline, holes, "bolt holes, on a circle or at points",
        .sub = &hole_fields),
    ROW("add", LIST, struct outline, add, "shapes joined to it", .sub = &body_fields),
    ROW("cut", LIST, struct outline, cut, "shapes cut out of it", .sub = &body_fields),
};
const struct fields outline_fields = {
    .title = "`outline`", ROWS(outline_rows), .size = sizeof(struct outline),
    .present = offsetof(struct outline, body.present), .span = offsetof(struct outline, body.span),
    .id = NOWHERE, .finish = finish_outline};

static const struct field cut_rows[] = {
    ROW("sheet", TEXT, struct cut_from, sheet, "the sheet it is cut from", .flags = NEEDED,
        .names = NAMES_SHEET),
    ROW("free", CLAIM, struct cut_from, free, "thickness as bought", .dims = DIM(LENGTH),
        .takes = A_SIZE),
    ROW("crushed", CLAIM, struct cut_from, crushed, "thickness when clamped", .dims = DIM(LENGTH),
        .takes = A_SIZE),
    ROW("outline", MAP, struct cut_from, outline, "what it is cut to", .sub = &outline_fields),
    ROW("grain", TEXT, struct cut_from, grain, "how it lies to the grain of the sheet",
        .words = WORDS("upright", "across", "any")),
};
const struct fields cut_fields = {
    .title = "`cut-from`", ROWS(cut_rows), .size = sizeof(struct cut_from),
    .present = offsetof(struct cut_from, present), .span = offsetof(struct cut_from, span),
    .id = NOWHERE};

/* ---------- sheets ---------- */

static const struct field sheet_rows[] = {
    ROW("name", TEXT, struct sheet_material, name, "as printed; the id when left out"),
    ROW("number", TEXT, struct sheet_material, number, "order number", .flags = UNKNOWN_TAKEN),
    ROW("width", CLAIM, struct sheet_material, width, "across the grain, as sold", .flags = NEEDED,
        .dims = DIM(LENGTH)),
    ROW("height", CLAIM, struct sheet_material, height, "along the grain, as sold",
        .flags = NEEDED, .dims = DIM(LENGTH)),
    ROW("margin", CLAIM, struct sheet_material, margin, "left all round its edge",
        .dims = DIM(LENGTH)),
    ROW("spacing", CLAIM, struct sheet_material, spacing, "left between two gaskets",
        .dims = DIM(LENGTH)),
    ROW("bridge", CLAIM, struct sheet_material, bridge, "the thinnest strip that it bears",
        .dims = DIM(LENGTH)),
    ROW("stock", NUMBER, struct sheet_material, stock, "how many there are"),
    ROW("supplier", TEXT, struct sheet_material, supplier, "who sells it",
        .names = NAMES_SUPPLIER),
    ROW("price", CLAIM, struct sheet_material, price, "of one", .dims = DIM(MONEY)),
};
const struct fields sheet_fields = {
    .title = "a sheet", ROWS(sheet_rows), .size = sizeof(struct sheet_material),
    .present = NOWHERE, .span = offsetof(struct sheet_material, span),
    .id = offsetof(struct sheet_material, id)};
