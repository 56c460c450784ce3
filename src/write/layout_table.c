/* layout_table.c - tables: widths from the text, figures aligned on the decimal point, the heading
 * repeated on each page, no row split. */
#include "layout_private.h"

#include <math.h>
#include <string.h>

struct ruling {
    const struct table *table;
    double *x, *width;      /* of each column */
    double *point;          /* where decimal points stand within the column; < 0: not aligned */
    float *natural;         /* width of each cell's text, row by row; < 0: it goes below its row */
};

static const double gap = 9;

static bool is_figure(enum cell_kind kind)
{
    return kind == CELL_COUNT || kind == CELL_QUANTITY || kind == CELL_MONEY ||
           kind == CELL_FORMULA;
}

static const char *printed(const struct cell *cell)
{
    return cell->text != NULL && cell->kind != CELL_FORMULA ? cell->text : "";
}

/* The text with its unit, if the text has not got it already. */
static const char *with_unit(struct layout *layout, const struct cell *cell)
{
    const char *text = printed(cell);

    if (cell->kind == CELL_FORMULA)
        text = str_decimal(layout->arena, cell->number, floor(cell->number) < cell->number ? 2 : 0);
    if (cell->unit == NULL || *cell->unit == '\0' || *text == '\0' ||
        strstr(text, cell->unit) != NULL)
        return text;
    return str_print(layout->arena, "%s %s", text, cell->unit);
}

static enum style style_of(const struct cell *cell)
{
    return cell->kind == CELL_VERDICT && cell->verdict == VERDICT_OUTSIDE ? STYLE_SMALL_BOLD
                                                                          : STYLE_SMALL;
}

static double cell_width(struct layout *layout, const struct cell *cell)
{
    const char *text = with_unit(layout, cell);
    double widest = 0;

    for (;;) { /* of its lines */
        size_t length = strcspn(text, "\n");
        widest = fmax(widest, font_width(styles[style_of(cell)].face, text, length,
                                         styles[STYLE_SMALL].size));
        if (text[length] == '\0')
            break;
        text += length + 1;
    }
    if (cell->kind == CELL_BOX)
        return 12;
    return cell->kind == CELL_BLANK ? fmax(widest, 62) : widest;
}

/* The longest word, a number with its unit being one: a column is not made narrower than this while
 * there is room. */
static double word_width(enum style style, const char *text)
{
    double widest = 0;

    while (*text != '\0') {
        size_t length = strcspn(text, " \n");
        while (text[length] == ' ' && text_binds(text, text + length))
            length += 1 + strcspn(text + length + 1, " \n");
        widest = fmax(widest, font_width(styles[style].face, text, length, styles[style].size));
        text += length + (text[length] != '\0');
    }
    return widest;
}

/* Width of a figure up to its decimal point (or to the end of its digits). */
static double before_point(const char *text)
{
    size_t length = strspn(text, "+-0123456789 ");

    if (strncmp(text, "\xe2\x88\x92", 3) == 0) /* a real minus sign */
        length = 3 + strspn(text + 3, "0123456789");
    while (length > 0 && text[length - 1] == ' ')
        length--;
    return font_width(FACE_REGULAR, text, length, styles[STYLE_SMALL].size);
}

/* A long remark in the last column goes below its row, over the whole width, instead of standing in a
 * tall stack at its end. */
static bool goes_below(const struct table *table, size_t column, const struct cell *cell, double wide)
{
    const double most = 190;

    return table->columns.count > 3 && column + 1 == table->columns.count && wide > most &&
           (cell->kind == CELL_TEXT || cell->kind == CELL_VERDICT);
}

struct demand {
    double least, natural;
    unsigned weight;
};

static void measure(struct layout *layout, const struct table *table, size_t column,
                    struct demand *demand, struct ruling *ruling)
{
    const struct column *c = &table->columns.items[column];
    double before = 0, after = 0;

    demand->weight = c->weight;
    demand->natural = text_width(STYLE_SMALL_BOLD, c->heading);
    demand->least = word_width(STYLE_SMALL_BOLD, c->heading);
    for (size_t i = 0; i < table->rows.count; i++) {
        const struct cell *cell = &table->rows.items[i][column];
        double wide = cell_width(layout, cell);
        bool below = goes_below(table, column, cell, wide);
        ruling->natural[i * table->columns.count + column] = below ? -1 : (float)wide;
        if (below)
            continue;
        demand->natural = fmax(demand->natural, wide);
        demand->least = fmax(demand->least, cell->kind == CELL_BLANK || cell->kind == CELL_BOX
                                                ? wide
                                                : word_width(style_of(cell), with_unit(layout, cell)));
        if (is_figure(c->kind)) {
            double left = before_point(with_unit(layout, cell));
            before = fmax(before, left);
            after = fmax(after, wide - left);
        }
    }
    if (demand->natural <= 66 || demand->least > demand->natural) /* short texts are not broken */
        demand->least = demand->natural;
    ruling->point[column] = is_figure(c->kind) ? before : -1;
    if (is_figure(c->kind))
        demand->natural = fmax(demand->natural, before + after);
}

/* About how many lines the rows take at these widths, parts of lines counted. */
static double lines_at(const struct ruling *ruling, const double *width)
{
    size_t count = ruling->table->columns.count;
    double lines = 0;

    for (size_t row = 0; row < ruling->table->rows.count; row++) {
        double most = 1;
        for (size_t i = 0; i < count; i++)
            most = fmax(most, ruling->natural[row * count + i] / width[i]);
        lines += most;
    }
    return lines;
}

/* The column that saves most lines by being `step` wider; `count` if none saves any. */
static size_t most_saving(const struct ruling *ruling, const struct demand *demands, double step,
                          double *width)
{
    size_t count = ruling->table->columns.count, best = count;
    double fewest = lines_at(ruling, width) - 1e-6;

    for (size_t i = 0; i < count; i++) {
        double before = width[i];
        if (before >= demands[i].natural)
            continue;
        width[i] = fmin(before + step, demands[i].natural);
        double lines = lines_at(ruling, width);
        width[i] = before;
        if (lines < fewest) {
            fewest = lines;
            best = i;
        }
    }
    return best;
}

/* Least widths first, then room bit by bit to the column where it saves most lines. */
static void share(const struct ruling *ruling, const struct demand *demands, double room)
{
    enum { BITS = 48 };
    size_t count = ruling->table->columns.count, i;
    double least = 0, natural = 0, left, step;

    for (i = 0; i < count; i++) {
        least += demands[i].least;
        natural += demands[i].natural;
        ruling->width[i] = demands[i].least;
    }
    for (i = 0; least > room && i < count; i++)
        ruling->width[i] *= room / least; /* words will be broken */
    for (i = 0; natural <= room && i < count; i++)
        ruling->width[i] = demands[i].natural;
    left = least > room || natural <= room ? 0 : room - least;
    step = left / BITS;
    while (left > 0.01 && (i = most_saving(ruling, demands, step, ruling->width)) < count) {
        double more = fmin(fmin(step, left), demands[i].natural - ruling->width[i]);
        ruling->width[i] += more;
        left -= more;
    }
    for (i = 0; i < count && left > 0.01; i++) { /* what saves nothing more: from the left */
        double more = fmin(left, demands[i].natural - ruling->width[i]);
        ruling->width[i] += fmax(more, 0);
        left -= fmax(more, 0);
    }
}

/* Room left over goes to the columns with a weight; without any, the table stays narrow. */
static void widen(const struct demand *demands, size_t count, double room, double *width)
{
    double used = 0;
    unsigned weights = 0;

    for (size_t i = 0; i < count; i++) {
        used += width[i];
        weights += demands[i].weight;
    }
    if (weights == 0 || used >= room)
        return;
    for (size_t i = 0; i < count; i++)
        width[i] += (room - used) * demands[i].weight / weights;
}

/* Lines that the rows take, about: a broken text leaves some of each line empty. How far each cell is from
 * its natural width counts a little too: the way down from widths that save no line yet. */
static double cost_of(const struct ruling *ruling)
{
    const double waste = 1.08, far = 0.02;
    size_t count = ruling->table->columns.count;
    double cost = 0;

    for (size_t row = 0; row < ruling->table->rows.count; row++) {
        double most = 1;
        for (size_t i = 0; i < count; i++) {
            double lines = ruling->natural[row * count + i] * waste / ruling->width[i];
            if (lines < waste + 1e-4)
                continue; /* it fits */
            most = fmax(most, ceil(lines));
            cost += far * lines * lines;
        }
        cost += most;
    }
    return cost;
}

/* From the column that misses it least to the one that gains most, in smaller and smaller steps. */
static void refine(const struct ruling *ruling, const struct demand *demands)
{
    size_t count = ruling->table->columns.count;

    for (double step = 48; step >= 3; step /= 2) {
        for (unsigned moves = 0; moves < 40; moves++) {
            double best = cost_of(ruling) - 1e-6;
            size_t from = count, to = count;
            for (size_t i = 0; i < count * count; i++) {
                size_t a = i / count, b = i % count;
                if (a == b || ruling->width[a] - step < demands[a].least)
                    continue;
                ruling->width[a] -= step;
                ruling->width[b] += step;
                double cost = cost_of(ruling);
                ruling->width[a] += step;
                ruling->width[b] -= step;
                if (cost < best) {
                    best = cost;
                    from = a;
                    to = b;
                }
            }
            if (from == count)
                break;
            ruling->width[from] -= step;
            ruling->width[to] += step;
        }
    }
}

static struct ruling ruling_of(struct layout *layout, const struct table *table)
{
    size_t count = table->columns.count;
    struct demand *demands = ARENA_ARRAY(layout->arena, struct demand, count);
    struct ruling ruling = {table, ARENA_ARRAY(layout->arena, double, count),
                        ARENA_ARRAY(layout->arena, double, count),
                        ARENA_ARRAY(layout->arena, double, count),
                        ARENA_ARRAY(layout->arena, float, count * table->rows.count)};
    double room = layout->width - gap * (double)(count - 1), x = 0;

    for (size_t i = 0; i < count; i++)
        measure(layout, table, i, &demands[i], &ruling);
    share(&ruling, demands, room);
    refine(&ruling, demands);
    for (size_t i = 0; i < count; i++) /* a column too narrow for its figures gives up aligning */
        if (ruling.width[i] < demands[i].natural - 0.01)
            ruling.point[i] = -1;
    widen(demands, count, room, ruling.width);
    for (size_t i = 0; i < count; i++) {
        ruling.x[i] = x;
        x += ruling.width[i] + gap;
    }
    return ruling;
}

static struct slab *heading_row(struct layout *layout, const struct ruling *ruling)
{
    struct slab *slab = slab_new(layout);
    size_t count = ruling->table->columns.count;
    double y = 0;

    for (size_t i = 0; i < count; i++)
        y = fmax(y, slab_text(layout, slab, STYLE_SMALL_BOLD, ruling->x[i], 1, ruling->width[i],
                              ruling->table->columns.items[i].heading));
    slab->cuts.count = 0;
    slab->height = up_to_grid(y + 1);
    slab_rule(layout, slab, 0, slab->height, ruling->x[count - 1] + ruling->width[count - 1], 0.9);
    slab->keep = true;
    return slab;
}

/* A count needs less room than a date or a name. */
static double blank_height(const struct table *table)
{
    return str_equal(table->id, "count-back") ? LINE + GRID : BLANK;
}

static double cell(struct layout *layout, struct slab *slab, const struct ruling *ruling, size_t column,
                   const struct cell *value)
{
    double x = ruling->x[column], width = ruling->width[column], y = 1;
    const char *text = with_unit(layout, value);

    if (value->kind == CELL_BOX) {
        slab_tick_box(layout, slab, x, y);
        return y + LINE;
    }
    if (value->kind == CELL_BLANK) {
        double height = blank_height(ruling->table);
        slab_box(layout, slab, x, 0, width, height, FINE);
        if (*text != '\0')
            slab_line(layout, slab, STYLE_SMALL, 1, x + width - 3, height - LINE, text);
        return height;
    }
    if (*text == '\0')
        return y + LINE;
    if (ruling->point[column] >= 0 && strchr(text, '\n') == NULL)
        x += ruling->point[column] - before_point(text);
    return slab_text(layout, slab, style_of(value), x, y, ruling->x[column] + width - x + 0.5, text) + 1;
}

/* One row, with its long remark below it. */
static struct slab *body_row(struct layout *layout, const struct ruling *ruling, size_t row)
{
    const struct table *table = ruling->table;
    struct slab *slab = slab_new(layout);
    size_t last = table->columns.count - 1;
    const struct cell *cells = table->rows.items[row];
    bool below = ruling->natural[row * (last + 1) + last] < 0;
    double y = 0, right = ruling->x[last] + ruling->width[last];
    double inset = below ? fmin(ruling->x[1], 60) : 0;

    for (size_t i = 0; i < last + !below; i++)
        y = fmax(y, cell(layout, slab, ruling, i, &cells[i]));
    if (below)
        y = slab_text(layout, slab, style_of(&cells[last]), inset, y, right - inset,
                      with_unit(layout, &cells[last])) + 1;
    slab->height = up_to_grid(y);
    slab_rule(layout, slab, 0, slab->height, right, HAIR);
    return slab;
}

void layout_table(struct layout *layout, const struct table *table)
{
    if (table->rows.count == 0 || table->columns.count == 0)
        return;
    struct ruling ruling = ruling_of(layout, table);
    struct slab *head = heading_row(layout, &ruling);

    head->before = space_above(layout, HALF);
    slab_push(layout, head);
    for (size_t i = 0; i < table->rows.count; i++) {
        struct slab *slab = body_row(layout, &ruling, i);
        slab->head = head;
        slab_push(layout, slab);
    }
}
