/* write_svg.c - gaskets/ID.svg: the drawing of each gasket as SVG 1.1 (W3C), in millimetres: one group that
 * is cut, and one of marks that is not. */
#include <gudgeon/write.h>

struct sheet_of_paper {
    struct str_buf *out;
    double height;                 /* y of SVG runs down */
};

static void place(const struct sheet_of_paper *paper, const char *command, double x, double y)
{
    struct arena *arena = paper->out->arena;

    str_add_print(paper->out, "%s%s %s", command, str_decimal(arena, x, 6),
                  str_decimal(arena, paper->height - y, 6));
}

static void path_move(void *user, double x, double y)
{
    place(user, "M", x, y);
}

static void path_line(void *user, double x, double y)
{
    place(user, " L", x, y);
}

/* Short arcs: renderers put curves in their place that are true for small angles only. */
static void path_arc(void *user, double x, double y, double radius, double centre_x, double centre_y,
                     double angle)
{
    const struct sheet_of_paper *paper = user;
    const char *r = str_decimal(paper->out->arena, radius, 6);

    (void)centre_x;
    (void)centre_y;
    str_add_print(paper->out, " A%s %s 0 0 %d", r, r, angle > 0 ? 0 : 1); /* y down: the other way */
    place(paper, " ", x, y);
}

static void path_close(void *user)
{
    str_add(((const struct sheet_of_paper *)user)->out, " Z ");
}

/* Ids of gaskets are letters, digits, hyphens and points: nothing to escape. */
static void print(struct str_buf *out, const struct cut_gasket *gasket, const struct drawing *drawing)
{
    struct sheet_of_paper paper = {out, drawing->height_mm};
    const struct draw_pen pen = {path_move, path_line, path_arc, path_close, &paper};
    const char *width = str_decimal(out->arena, drawing->width_mm, 6);
    const char *height = str_decimal(out->arena, drawing->height_mm, 6);

    str_add_print(out,
                  "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                  "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"%smm\" "
                  "height=\"%smm\" viewBox=\"0 0 %s %s\">\n<title>%s</title>\n",
                  width, height, width, height, gasket->id);
    str_add(out, "<g id=\"cut\" fill=\"none\" stroke=\"#000000\" stroke-width=\"0.1\">\n");
    for (size_t i = 0; i < drawing->shapes.count; i++) {
        if (drawing->shapes.items[i].kind != SHAPE_CUT)
            continue;
        str_add(out, "<path d=\"");
        draw_cut(&drawing->shapes.items[i].cut, &pen);
        str_add(out, "\"/>\n");
    }
    str_add(out, "</g>\n<g id=\"marks\" fill=\"none\" stroke=\"#00a000\" stroke-width=\"0.1\">\n");
    for (size_t i = 0; i < drawing->shapes.count; i++) {
        const struct shape *line = &drawing->shapes.items[i];
        if (line->kind != SHAPE_LINE)
            continue;
        place(&paper, "<path d=\"M", line->x1, line->y1);
        place(&paper, " L", line->x2, line->y2);
        str_add(out, "\"/>\n");
    }
    str_add(out, "</g>\n</svg>\n");
}

bool write_svg(struct context *context, const struct pack *pack, struct outputs *outputs)
{
    for (size_t i = 0; i < pack->gaskets.count; i++) {
        const struct cut_gasket *gasket = &pack->gaskets.items[i];
        struct str_buf out = {.arena = context->arena};
        print(&out, gasket, draw_gasket(context->arena, gasket->gasket, false));
        *ARRAY_PUSH(context->arena, outputs) =
            (struct output){str_print(context->arena, "gaskets/%s.svg", gasket->id), out.bytes,
                            out.length};
    }
    return true;
}
