/* write_dxf.c - gaskets/ID.dxf: the drawing of each gasket for a machine that cuts, as AutoCAD Release 12
 * published its exchange format (DXF reference, AC1009): closed polylines whose arcs are bulges, on a layer
 * that is cut, and crosses on one that is not. The format has no units: the comment says millimetres. */
#include <gudgeon/write.h>

static const char cut_layer[] = "CUT", mark_layer[] = "MARKS";

static void group(struct str_buf *out, int code, const char *value)
{
    str_add_print(out, "%3d\r\n%s\r\n", code, value);
}

/* A ten-millionth of a millimetre, far below what any machine does. */
static void number(struct str_buf *out, int code, double value)
{
    group(out, code, str_decimal(out->arena, value, 7));
}

static void count(struct str_buf *out, int code, size_t value)
{
    group(out, code, str_print(out->arena, "%zu", value));
}

static void point(struct str_buf *out, int x_code, double x, double y)
{
    number(out, x_code, x);
    number(out, x_code + 10, y);
}

static void header(struct str_buf *out, const struct drawing *drawing)
{
    group(out, 0, "SECTION");
    group(out, 2, "HEADER");
    group(out, 9, "$ACADVER");
    group(out, 1, "AC1009");
    group(out, 9, "$EXTMIN");
    point(out, 10, 0, 0);
    group(out, 9, "$EXTMAX");
    point(out, 10, drawing->width_mm, drawing->height_mm);
    group(out, 0, "ENDSEC");
}

static void layer(struct str_buf *out, const char *name, size_t colour)
{
    group(out, 0, "LAYER");
    group(out, 2, name);
    group(out, 70, "0");
    count(out, 62, colour);
    group(out, 6, "CONTINUOUS");
}

static void tables(struct str_buf *out)
{
    group(out, 0, "SECTION");
    group(out, 2, "TABLES");
    group(out, 0, "TABLE");
    group(out, 2, "LTYPE");
    count(out, 70, 1);
    group(out, 0, "LTYPE");
    group(out, 2, "CONTINUOUS");
    group(out, 70, "0");
    group(out, 3, "");
    count(out, 72, 65);
    count(out, 73, 0);
    number(out, 40, 0);
    group(out, 0, "ENDTAB");
    group(out, 0, "TABLE");
    group(out, 2, "LAYER");
    count(out, 70, 3);
    layer(out, "0", 7);
    layer(out, cut_layer, 7);
    layer(out, mark_layer, 3);
    group(out, 0, "ENDTAB");
    group(out, 0, "ENDSEC");
}

static void polyline(struct str_buf *out, const struct outline_loop *loop)
{
    group(out, 0, "POLYLINE");
    group(out, 8, cut_layer);
    count(out, 66, 1); /* vertices follow */
    point(out, 10, 0, 0);
    count(out, 70, 1); /* closed */
    for (size_t i = 0; i < loop->count; i++) {
        group(out, 0, "VERTEX");
        group(out, 8, cut_layer);
        point(out, 10, loop->items[i].x, loop->items[i].y);
        if (loop->items[i].bulge != 0)
            group(out, 42, str_decimal(out->arena, loop->items[i].bulge, 10));
    }
    group(out, 0, "SEQEND");
    group(out, 8, cut_layer);
}

static void entities(struct str_buf *out, const struct drawing *drawing)
{
    group(out, 0, "SECTION");
    group(out, 2, "ENTITIES");
    for (size_t i = 0; i < drawing->shapes.count; i++) {
        const struct shape *shape = &drawing->shapes.items[i];
        for (size_t k = 0; shape->kind == SHAPE_CUT && k < shape->cut.count; k++)
            polyline(out, &shape->cut.items[k]);
        if (shape->kind != SHAPE_LINE)
            continue;
        group(out, 0, "LINE");
        group(out, 8, mark_layer);
        point(out, 10, shape->x1, shape->y1);
        point(out, 11, shape->x2, shape->y2);
    }
    group(out, 0, "ENDSEC");
    group(out, 0, "EOF");
}

bool write_dxf(struct context *context, const struct pack *pack, struct outputs *outputs)
{
    for (size_t i = 0; i < pack->gaskets.count; i++) {
        const struct cut_gasket *gasket = &pack->gaskets.items[i];
        const struct drawing *drawing = draw_gasket(context->arena, gasket->gasket, false);
        struct str_buf out = {.arena = context->arena};
        group(&out, 999, str_print(context->arena, "%s, millimetres", gasket->id));
        header(&out, drawing);
        tables(&out);
        entities(&out, drawing);
        *ARRAY_PUSH(context->arena, outputs) =
            (struct output){str_print(context->arena, "gaskets/%s.dxf", gasket->id), out.bytes,
                            out.length};
    }
    return true;
}
