/* lanes.c - the order of the job: a row a line, time downward, the engine's column left, units on the bench
 * right of it; an arrow where a unit comes off or goes in. */
#include "draw_private.h"

#include <math.h>

static const double LINE_MM = 4.6, BOX_MM = 4.2, NUMBER_MM = 13, GAP_MM = 2, MARK_MM = 2.4;

struct columns {
    double left[8], width;
    double top;                    /* of line 0 */
};

static struct columns columns_of(const struct canvas *canvas, double top)
{
    size_t count = canvas->figure->columns < 8 ? canvas->figure->columns : 8;
    struct columns columns = {.top = top};

    columns.width = (canvas->drawing->width_mm - NUMBER_MM - GAP_MM * (double)(count - 1)) / (double)count;
    if (count == 1)
        columns.width = fmin(columns.width, 110);
    for (size_t i = 0; i < count; i++)
        columns.left[i] = NUMBER_MM + (double)i * (columns.width + GAP_MM);
    return columns;
}

static double line_top(const struct columns *columns, size_t line)
{
    return columns->top - (double)line * LINE_MM;
}

/* A black triangle pointing down, and how many it stands for. */
static double draw_covers(struct canvas *canvas, double right, double middle, size_t count)
{
    const double points[] = {right - MARK_MM, middle + MARK_MM / 2, right, middle + MARK_MM / 2,
                             right - MARK_MM / 2, middle - MARK_MM / 2};
    const char *text = count > 1 ? str_print(canvas->arena, "%zu", count) : NULL;

    draw_region(canvas, STROKE_THIN, 0, points, 3);
    if (text)
        draw_label(canvas, right - MARK_MM - 0.6, middle - LABEL_MM * 0.36, 1, false, text);
    return MARK_MM + (text ? draw_text_mm(text) + 0.6 : 0) + 1.2;
}

/* A bar on end, and how many it stands for. */
static double draw_holds(struct canvas *canvas, double right, double middle, size_t count)
{
    const double points[] = {right - 1.2, middle + 1.6, right, middle + 1.6, right, middle - 1.6,
                             right - 1.2, middle - 1.6};
    const char *text = count > 1 ? str_print(canvas->arena, "%zu", count) : NULL;

    draw_region(canvas, STROKE_THIN, 0, points, 4);
    if (text)
        draw_label(canvas, right - 1.8, middle - LABEL_MM * 0.36, 1, false, text);
    return 1.2 + (text ? draw_text_mm(text) + 0.6 : 0) + 1.2;
}

/* Between the unit's box and the engine's column; the head lies where it goes. */
static void draw_arrow(struct canvas *canvas, double from, double to, double y)
{
    double back = from > to ? 1.8 : -1.8;
    const double head[] = {to, y, to + back, y + 0.9, to + back, y - 0.9};

    draw_line(canvas, STROKE_MEDIUM, from, y, to, y);
    draw_region(canvas, STROKE_THIN, 0, head, 3);
}

static void draw_row(struct canvas *canvas, const struct columns *columns, const struct figure_row *row)
{
    double left = columns->left[row->column], right = left + columns->width;
    double high = line_top(columns, row->line) - (LINE_MM - BOX_MM) / 2, low = high - BOX_MM;
    double middle = (high + low) / 2, base = middle - LABEL_MM * 0.36;
    const double box[] = {left, low, right, low, right, high, left, high};
    double marks = 0.8;

    if (row->head)
        draw_label(canvas, 0, base + LINE_MM, -1, true, row->head);
    draw_label(canvas, NUMBER_MM - 1.5, base, 1, false, row->number);
    draw_region(canvas, row->column ? STROKE_THIN : STROKE_MEDIUM, row->column ? 0.9 : 1, box, 4);
    if (row->holds)
        marks += draw_holds(canvas, right - marks, middle, row->holds);
    if (row->covers)
        marks += draw_covers(canvas, right - marks, middle, row->covers);
    const char *steps = str_print(canvas->arena, " (%zu)", row->steps);
    const char *text = draw_fitted(canvas, row->text, columns->width - 1.5 - marks - draw_text_mm(steps));
    draw_label(canvas, left + 1, base, -1, false, str_print(canvas->arena, "%s%s", text, steps));
    if (row->goes_in)
        draw_arrow(canvas, left, columns->left[0] + columns->width, low + 0.6);
    if (row->came_off)
        draw_arrow(canvas, columns->left[0] + columns->width, left, high - 0.6);
}

/* The heads of the columns, and what the marks mean. */
static void draw_heads(struct canvas *canvas, const struct columns *columns)
{
    const struct figure *figure = canvas->figure;
    double base = columns->top + LINE_MM * 0.4;

    draw_label(canvas, columns->left[0], base, -1, true, figure->names.items[0]);
    if (figure->columns > 1)
        draw_label(canvas, columns->left[1], base, -1, true, figure->names.items[1]);
}

/* What the marks mean, below: side by side, or one under the other where the paper is narrow. */
static bool is_narrow(const struct canvas *canvas)
{
    return NUMBER_MM + 2 * MARK_MM + draw_text_mm(canvas->figure->names.items[2]) + 10 +
               draw_text_mm(canvas->figure->names.items[3]) >
           canvas->drawing->width_mm;
}

static void draw_meanings(struct canvas *canvas)
{
    const struct figure *figure = canvas->figure;
    bool narrow = is_narrow(canvas);
    double x = NUMBER_MM + MARK_MM, middle = LINE_MM * (narrow ? 1.6 : 0.6);

    draw_covers(canvas, x, middle, 1);
    draw_label(canvas, x + 1.5, middle - LABEL_MM * 0.36, -1, false, figure->names.items[2]);
    x += narrow ? 0 : draw_text_mm(figure->names.items[2]) + 10;
    middle = LINE_MM * 0.6;
    draw_holds(canvas, x, middle, 1);
    draw_label(canvas, x + 1.5, middle - LABEL_MM * 0.36, -1, false, figure->names.items[3]);
}

void draw_lanes(struct canvas *canvas)
{
    const struct figure *figure = canvas->figure;
    size_t lines = 0;

    if (!figure->rows.count || !figure->columns || figure->names.count < 4)
        return;
    for (size_t i = 0; i < figure->rows.count; i++)
        lines = figure->rows.items[i].line + 1 > lines ? figure->rows.items[i].line + 1 : lines;
    double top = ((double)lines + (is_narrow(canvas) ? 2.6 : 1.6)) * LINE_MM;
    struct columns columns = columns_of(canvas, top);
    canvas->drawing->height_mm = top + 2 * LINE_MM;
    draw_heads(canvas, &columns);
    for (size_t i = 0; i < figure->rows.count; i++)
        if (figure->rows.items[i].column < figure->columns && figure->rows.items[i].column < 8)
            draw_row(canvas, &columns, &figure->rows.items[i]);
    draw_meanings(canvas);
}
