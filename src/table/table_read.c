/* table_read.c - a CSV file with '#' head lines to typed rows. The same code reads the tables that
 * are embedded at build time and the user's own at run time. */
#include "table_private.h"

#include <string.h>

/* --- the head --- */

static const char *const level_names[] = {"engine", "maker", "standard", "practice"};

const char *table_level_name(enum table_level level)
{
    return level_names[level];
}

struct reading {
    struct context *context;
    const struct source *source;
    uint32_t file;
    struct table_head *head;
    bool ok;
    bool source_told; /* one head left out is one fault, however many rows */
};

/* The place of `value` in line `line` (1-based) of the head. */
static struct span head_span(const struct reading *reading, uint32_t line, const char *value)
{
    size_t length;
    const char *text = source_line(reading->source, line, &length);
    uint32_t begin = (uint32_t)(text - reading->source->bytes);
    const char *found = value[0] == '\0' ? NULL : memmem(text, length, value, strlen(value));
    if (found == NULL)
        return (struct span){reading->file, begin, begin + (uint32_t)length};
    begin += (uint32_t)(found - text);
    return (struct span){reading->file, begin, begin + (uint32_t)strlen(value)};
}

static void head_fault(struct reading *reading, uint32_t line, const char *value,
                       const char *message, const char *hint)
{
    struct diags *diags = &reading->context->diags;
    struct diag *diag =
        diag_add(diags, DIAG_TABLE_HEAD, head_span(reading, line, value), "%s", message);
    diag_hint(diags, diag, "%s", hint);
    reading->ok = false;
}

static char *trimmed(struct arena *arena, const char *text, size_t length)
{
    while (length > 0 && text[length - 1] == ' ')
        length--;
    while (length > 0 && text[0] == ' ') {
        text++;
        length--;
    }
    return str_slice(arena, text, length);
}

/* "lubricant: dry, plating: cadmium" */
static void read_conditions(struct reading *reading, uint32_t line, const char *text)
{
    struct arena *arena = reading->context->arena;
    for (const char *at = text; *at != '\0';) {
        size_t length = strcspn(at, ",");
        const char *item = trimmed(arena, at, length);
        const char *colon = strchr(item, ':');
        const char *key = colon == NULL ? item : trimmed(arena, item, (size_t)(colon - item));
        const char *value = colon == NULL ? "" : trimmed(arena, colon + 1, strlen(colon + 1));
        if (value[0] != '\0' && str_equal(key, "lubricant"))
            reading->head->lubricant = value;
        else if (value[0] != '\0' && str_equal(key, "plating"))
            reading->head->plating = value;
        else if (value[0] != '\0' && str_equal(key, "fastener"))
            reading->head->fastener = value;
        else
            head_fault(reading, line, item, str_print(arena, "'%s' is not a condition", item),
                       "write `conditions: lubricant: dry, plating: cadmium, fastener: new`");
        at += length + (at[length] == ',');
    }
}

static void read_level(struct reading *reading, uint32_t line, const char *value)
{
    for (int level = TABLE_ENGINE; level <= TABLE_PRACTICE; level++) {
        if (str_equal(value, level_names[level])) {
            reading->head->level = (enum table_level)level;
            return;
        }
    }
    head_fault(reading, line, value,
               str_print(reading->context->arena, "'%s' is not a level", value),
               "write engine, maker, standard or practice");
}

static void read_head_line(struct reading *reading, uint32_t line, const char *key,
                           const char *value)
{
    struct table_head *head = reading->head;
    struct arena *arena = reading->context->arena;
    if (str_equal(key, "table"))
        head->kind = value;
    else if (str_equal(key, "title"))
        head->title = value;
    else if (str_equal(key, "source"))
        head->source = value;
    else if (str_equal(key, "single"))
        head->single = value;
    else if (str_equal(key, "gaps"))
        head->gaps = head->gaps[0] == '\0' ? value : str_print(arena, "%s %s", head->gaps, value);
    else if (str_equal(key, "level"))
        read_level(reading, line, value);
    else if (str_equal(key, "conditions"))
        read_conditions(reading, line, value);
    else if (str_equal(key, "factors") && str_equal(value, "combine"))
        head->factors_combine = true;
    else if (str_equal(key, "reused") && str_equal(value, "minimum"))
        head->reused_minimum = true;
    else if (str_equal(key, "joint") && str_equal(value, "rigid"))
        head->rigid = true;
    else if (str_equal(key, "reused") || str_equal(key, "joint"))
        head_fault(reading, line, value, str_print(arena, "'%s: %s' is not known", key, value),
                   "write `reused: minimum` or `joint: rigid`, or leave the line out");
    /* Any other line is a remark. */
}

/* Splits "# key: value"; false when the line is none. */
static bool head_line(struct arena *arena, const char *text, size_t length, const char **key,
                      const char **value)
{
    const char *colon = memchr(text, ':', length);
    size_t begin = 0;
    while (begin < length && (text[begin] == '#' || text[begin] == ' '))
        begin++;
    if (begin == 0 || colon == NULL || colon < text + begin)
        return false;
    *key = trimmed(arena, text + begin, (size_t)(colon - text) - begin);
    *value = trimmed(arena, colon + 1, length - (size_t)(colon + 1 - text));
    return true;
}

/* File name without folder and .csv. */
static const char *id_of(struct arena *arena, const char *path)
{
    const char *slash = strrchr(path, '/');
    const char *name = slash == NULL ? path : slash + 1;
    size_t length = strlen(name);
    if (str_ends(name, ".csv"))
        length -= 4;
    return str_slice(arena, name, length);
}

static void read_head(struct reading *reading)
{
    struct arena *arena = reading->context->arena;
    struct table_head *head = reading->head;
    *head = (struct table_head){
        .id = id_of(arena, reading->source->path),
        .kind = "",
        .title = "",
        .source = "",
        .single = "",
        .gaps = "",
        .level = TABLE_MAKER,
        .lubricant = "",
        .plating = "",
        .fastener = "",
    };
    for (uint32_t line = 1; line <= reading->source->line_count; line++) {
        size_t length;
        const char *text = source_line(reading->source, line, &length);
        const char *key, *value;
        if (length == 0 || text[0] != '#')
            break;
        head->span.end = (uint32_t)(text - reading->source->bytes + (ptrdiff_t)length);
        if (head_line(arena, text, length, &key, &value))
            read_head_line(reading, line, key, value);
    }
    head->span.file = reading->file;
}

/* --- cells --- */

struct heading {
    const char *key; /* as it stands in the file: the key of each cell */
    const struct table_column *column; /* NULL: source, or single */
    const char *unit; /* "" if the cells bring their own */
};

static const struct table_column *column_find(const struct table_kind *kind, const char *name)
{
    for (size_t i = 0; i < kind->column_count; i++)
        if (str_equal(kind->columns[i].heading, name))
            return &kind->columns[i];
    return NULL;
}

static void column_unknown(struct reading *reading, const struct table_kind *kind, const char *name,
                           struct span span)
{
    struct diags *diags = &reading->context->diags;
    const char **names = ARENA_ARRAY(reading->context->arena, const char *, kind->column_count);
    for (size_t i = 0; i < kind->column_count; i++)
        names[i] = kind->columns[i].heading;
    const char *near = str_nearest(name, names, kind->column_count);
    span.end = span.begin + (uint32_t)strlen(name); /* without the unit */
    struct diag *diag =
        diag_add(diags, DIAG_TABLE_COLUMN, span, "a %s table has no column '%s'", kind->name, name);
    if (near != NULL) {
        diag_hint(diags, diag, "write %s", near);
        diag_fix(diags, diag, span, near);
    } else {
        diag_hint(diags, diag, "its columns are named by `gudgeon table %s`", kind->name);
    }
    reading->ok = false;
}

/* A heading's unit must measure what its column holds. */
static void unit_check(struct reading *reading, const struct heading *heading, struct span span)
{
    struct diags *diags = &reading->context->diags;
    const struct table_column *column = heading->column;
    const char *names[3];
    if (heading->unit[0] == '\0' || (column != NULL && column->dim != QTY_NONE &&
                                     qty_unit_find(heading->unit, column->dim) != NULL))
        return;
    span.begin = span.end - (uint32_t)strlen(heading->unit);
    reading->ok = false;
    if (column == NULL || column->dim == QTY_NONE) {
        struct diag *diag = diag_add(diags, DIAG_TABLE_COLUMN, span,
                                     "this column takes no unit, found '%s'", heading->unit);
        diag_hint(diags, diag, "write the heading without it");
        return;
    }
    struct diag *diag = diag_add(diags, DIAG_TABLE_COLUMN, span, "'%s' is not a unit of %s",
                                 heading->unit, qty_dim_name(column->dim));
    if (qty_unit_names(column->dim, names, 3) > 0)
        diag_hint(diags, diag, "write a unit of %s, such as %s:%s", qty_dim_name(column->dim),
                  column->heading, names[0]);
}

static struct heading *read_headings(struct reading *reading, const struct table_kind *kind,
                                     const struct tree_csv *csv)
{
    struct arena *arena = reading->context->arena;
    struct heading *headings = ARENA_ARRAY(arena, struct heading, csv->heading_count);
    for (size_t i = 0; i < csv->heading_count; i++) {
        const char *text = csv->headings[i];
        const char *colon = strchr(text, ':');
        size_t length = colon == NULL ? strlen(text) : (size_t)(colon - text);
        const char *name = trimmed(arena, text, length);
        headings[i].key = text;
        headings[i].unit = colon == NULL ? "" : trimmed(arena, colon + 1, strlen(colon + 1));
        headings[i].column = column_find(kind, name);
        if (headings[i].column == NULL && !str_equal(name, "source") && !str_equal(name, "single"))
            column_unknown(reading, kind, name, csv->heading_spans[i]);
        else
            unit_check(reading, &headings[i], csv->heading_spans[i]);
    }
    return headings;
}

/* What is said to rest on one source are columns. */
static void single_check(struct reading *reading, const struct table_kind *kind, const char *text,
                         struct span span)
{
    for (const char *at = text; *at != '\0';) {
        size_t length = strcspn(at, " ");
        const char *name = str_slice(reading->context->arena, at, length);
        if (length > 0 && !str_equal(name, "-") && column_find(kind, name) == NULL)
            column_unknown(reading, kind, name, span);
        at += length + (at[length] == ' ');
    }
}

static void columns_needed(struct reading *reading, const struct table_kind *kind,
                           const struct tree_csv *csv, const struct heading *headings)
{
    for (size_t i = 0; i < kind->column_count; i++) {
        bool found = false;
        for (size_t h = 0; h < csv->heading_count; h++)
            found |= headings[h].column == &kind->columns[i];
        if (found || !(kind->columns[i].roles & TABLE_NEEDED))
            continue;
        struct diag *diag =
            diag_add(&reading->context->diags, DIAG_TABLE_COLUMN_MISSING,
                     csv->heading_spans[csv->heading_count - 1], "a %s table needs the column '%s'",
                     kind->name, kind->columns[i].heading);
        diag_hint(&reading->context->diags, diag, "add a column '%s'", kind->columns[i].heading);
        reading->ok = false;
    }
}

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* A decimal number without unit; no locale. */
static bool plain_number(const char *text, double *value)
{
    bool negative = text[0] == '-';
    double whole = 0, scale = 1;
    const char *at = text + negative;
    if (!is_digit(*at))
        return false;
    /* Digits are gathered as one whole number, so that 0.35 is 35/100 correctly rounded. */
    for (; is_digit(*at); at++)
        whole = whole * 10 + (*at - '0');
    if (*at == '.' && is_digit(at[1]))
        for (at++; is_digit(*at); at++) {
            whole = whole * 10 + (*at - '0');
            scale *= 10;
        }
    *value = (negative ? -whole : whole) / scale;
    return *at == '\0' && at - text <= 16;
}

static void cell_fault(struct reading *reading, const struct node *cell,
                       const struct table_column *column, const char *why, const char *hint)
{
    struct diag *diag = diag_add(&reading->context->diags, DIAG_TABLE_CELL, cell->span, "%s: %s",
                                 column->heading, why);
    if (hint != NULL)
        diag_hint(&reading->context->diags, diag, "%s", hint);
    reading->ok = false;
}

static void read_quantity(struct reading *reading, const struct heading *heading,
                          const struct node *cell, void *at)
{
    struct arena *arena = reading->context->arena;
    const struct table_column *column = heading->column;
    size_t length = strlen(cell->text);
    bool bare = heading->unit[0] != '\0' && is_digit(cell->text[length - 1]);
    const char *text = bare ? str_print(arena, "%s %s", cell->text, heading->unit) : cell->text;
    struct qty_value value;
    struct qty_error error;
    if (!qty_read(arena, text, column->dim, QTY_TAKE_ONE, &value, &error)) {
        cell_fault(reading, cell, column, error.message, error.hint);
        return;
    }
    if (column->cell == TABLE_LENGTH)
        *(int64_t *)at = value.nominal.exact;
    else
        *(double *)at = value.nominal.si;
}

static void read_cell(struct reading *reading, const struct table_kind *kind,
                      const struct heading *heading, const struct node *cell, void *row,
                      struct span *cells)
{
    const struct table_column *column = heading->column;
    if (column == NULL && str_equal(heading->key, "single")) {
        ((struct table_row *)row)->single = cell->text;
        single_check(reading, kind, cell->text, cell->span);
        return;
    }
    if (column == NULL) {
        ((struct table_row *)row)->source = cell->text;
        return;
    }
    void *at = (char *)row + column->offset;
    cells[column - kind->columns] = cell->span;
    if (column->cell == TABLE_TEXT) {
        *(const char **)at = cell->text;
    } else if (column->cell == TABLE_FLAG) {
        if (!str_equal(cell->text, "yes") && !str_equal(cell->text, "no"))
            cell_fault(reading, cell, column,
                       str_print(reading->context->arena, "'%s' is neither yes nor no", cell->text),
                       "write yes or no");
        *(bool *)at = str_equal(cell->text, "yes");
    } else if (column->dim == QTY_NONE) {
        if (!plain_number(cell->text, at))
            cell_fault(reading, cell, column,
                       str_print(reading->context->arena, "'%s' is not a number", cell->text),
                       "write a number without unit");
    } else {
        read_quantity(reading, heading, cell, at);
    }
}

static void row_clear(const struct table_kind *kind, void *row)
{
    for (size_t i = 0; i < kind->column_count; i++) {
        void *at = (char *)row + kind->columns[i].offset;
        if (kind->columns[i].cell == TABLE_TEXT)
            *(const char **)at = "";
        else if (kind->columns[i].cell == TABLE_LENGTH)
            *(int64_t *)at = TABLE_NO_PM;
        else if (kind->columns[i].cell == TABLE_NUMBER)
            *(double *)at = NAN;
    }
}

static void cells_needed(struct reading *reading, const struct table_kind *kind,
                         const struct node *node)
{
    for (size_t i = 0; i < kind->column_count; i++) {
        const struct table_column *column = &kind->columns[i];
        bool found = !(column->roles & TABLE_NEEDED);
        for (const struct node *cell = node->child; cell != NULL && !found; cell = cell->next) {
            size_t length = strlen(column->heading);
            found = strncmp(cell->key, column->heading, length) == 0 &&
                    (cell->key[length] == '\0' || cell->key[length] == ':');
        }
        if (found)
            continue;
        struct diag *diag = diag_add(&reading->context->diags, DIAG_TABLE_CELL_MISSING, node->span,
                                     "this row has no %s", column->heading);
        diag_hint(&reading->context->diags, diag, "fill it in, or leave the row out");
        reading->ok = false;
    }
}

static void read_row(struct reading *reading, const struct table_kind *kind,
                     const struct heading *headings, size_t heading_count, const struct node *node,
                     void *row, struct span *cells)
{
    struct table_row *common = row;
    row_clear(kind, row);
    common->table = reading->head;
    common->source = reading->head->source;
    common->single = reading->head->single;
    common->span = node->span;
    for (const struct node *cell = node->child; cell != NULL; cell = cell->next)
        for (size_t h = 0; h < heading_count; h++)
            if (str_equal(headings[h].key, cell->key))
                read_cell(reading, kind, &headings[h], cell, row, cells);
    cells_needed(reading, kind, node);
    if (common->source[0] == '\0' && !reading->source_told) {
        reading->source_told = true;
        struct diag *diag = diag_add(&reading->context->diags, DIAG_TABLE_SOURCE, node->span,
                                     "this row names no source and neither does the table");
        diag_hint(&reading->context->diags, diag, "add a line `# source: ...` at the head");
        reading->ok = false;
    }
}

/* --- what a row leaves to its fellows --- */

/* tpi is the exact datum of inch threads: the pitch is 25.4 mm / tpi to the nearest picometre. */
static void finish_thread(struct table_thread *thread)
{
    if (thread->pitch_pm == TABLE_NO_PM && table_has(thread->tpi) && thread->tpi > 0)
        thread->pitch_pm = (int64_t)llround(25.4e9 / thread->tpi);
    if (thread->root_pm == TABLE_NO_PM)
        thread->root_pm = thread->minor_pm;
}

static void finish_row(enum table_kind_id kind, void *row)
{
    struct table_row *common = row;
    if (kind == KIND_THREAD) {
        finish_thread(row);
    } else if (kind == KIND_TORQUE) {
        struct table_torque *torque = row;
        if (torque->lubricant[0] == '\0')
            torque->lubricant = common->table->lubricant;
        if (torque->plating[0] == '\0')
            torque->plating = common->table->plating;
        if (torque->fastener[0] == '\0')
            torque->fastener = common->table->fastener;
        if (!table_has(torque->high_n_m))
            torque->high_n_m = torque->low_n_m;
    } else if (kind == KIND_BEARING) {
        struct table_bearing *bearing = row;
        if (bearing->overall_pm == TABLE_NO_PM)
            bearing->overall_pm = bearing->width_pm;
    }
}

static const struct table_kind *kind_of_head(struct reading *reading)
{
    const struct table_kind *kind = table_kind_find(reading->head->kind);
    if (kind != NULL)
        return kind;
    struct diags *diags = &reading->context->diags;
    const char *names[KIND_COUNT];
    for (size_t i = 0; i < KIND_COUNT; i++)
        names[i] = table_kinds[i].name;
    const char *near = str_nearest(reading->head->kind, names, KIND_COUNT);
    struct span span = head_span(reading, 1, reading->head->kind);
    struct diag *diag =
        diag_add(diags, DIAG_TABLE_KIND, span, "'%s' is not a kind of table", reading->head->kind);
    if (near != NULL)
        diag_fix(diags, diag, span, near);
    diag_hint(diags, diag, near == NULL ? "`gudgeon table` lists the kinds" : "write %s", near);
    return NULL;
}

struct table_slice *table_read(struct context *context, uint32_t source,
                               enum table_kind_id *kind_id)
{
    struct arena *arena = context->arena;
    struct table_head *head = ARENA_NEW(arena, struct table_head);
    struct reading reading = {context, source_of(&context->sources, (struct span){source, 0, 0}),
                              source, head, true, false};
    struct tree_csv *csv = tree_parse_csv(context, source);
    if (csv == NULL)
        return NULL;
    read_head(&reading);
    const struct table_kind *kind = kind_of_head(&reading);
    if (kind == NULL)
        return NULL;
    if (csv->rows == NULL || csv->rows->count == 0 || csv->heading_count == 0) {
        struct diag *diag =
            diag_add(&context->diags, DIAG_TABLE_EMPTY, head->span, "this table has no rows");
        diag_hint(&context->diags, diag, "add rows, or take the file out of `use`");
        return NULL;
    }
    *kind_id = (enum table_kind_id)(kind - table_kinds);
    struct heading *headings = read_headings(&reading, kind, csv);
    if (reading.ok) /* a misspelt heading is not also a missing one */
        columns_needed(&reading, kind, csv, headings);
    single_check(&reading, kind, head->single, head->span);
    if (!reading.ok)
        return NULL;

    char *rows = arena_array(arena, csv->rows->count, kind->row_size);
    struct span *cells = ARENA_ARRAY(arena, struct span, csv->rows->count * kind->column_count);
    char *row = rows;
    size_t index = 0;
    for (const struct node *node = csv->rows->child; node != NULL; node = node->next) {
        read_row(&reading, kind, headings, csv->heading_count, node, row,
                 cells + index++ * kind->column_count);
        finish_row(*kind_id, row);
        row += kind->row_size;
    }
    struct table_slice *slice = ARENA_NEW(arena, struct table_slice);
    *slice = (struct table_slice){head, rows, csv->rows->count, NULL, cells};
    return reading.ok ? slice : NULL;
}

/* --- factors of a torque table: "# factors: lubricant: dry to engine-oil 0.9" --- */

static bool read_factor(struct reading *reading, const char *item, struct table_factor *factor)
{
    struct arena *arena = reading->context->arena;
    const char *colon = strchr(item, ':');
    const char *to = colon == NULL ? NULL : strstr(colon, " to ");
    const char *blank = to == NULL ? NULL : strrchr(to, ' ');
    if (blank == NULL || blank < to + 4)
        return false;
    factor->table = reading->head->id;
    factor->what = trimmed(arena, item, (size_t)(colon - item));
    factor->from = trimmed(arena, colon + 1, (size_t)(to - colon - 1));
    factor->to = trimmed(arena, to + 4, (size_t)(blank - to - 4));
    factor->row.table = reading->head;
    factor->row.source = reading->head->source;
    factor->row.single = "";
    return plain_number(blank + 1, &factor->factor) && factor->factor > 0 &&
           (str_equal(factor->what, "lubricant") || str_equal(factor->what, "plating") ||
            str_equal(factor->what, "fastener"));
}

struct table_slice *table_read_factors(struct context *context, uint32_t source,
                                       const struct table_head *head, bool *ok)
{
    struct arena *arena = context->arena;
    struct table_head copy = *head;
    struct reading reading = {context, source_of(&context->sources, head->span), source, &copy,
                              true, false};
    struct {
        struct table_factor *items;
        size_t count, room;
    } factors = {0};
    for (uint32_t line = 1; line <= reading.source->line_count; line++) {
        size_t length;
        const char *text = source_line(reading.source, line, &length);
        const char *key, *value;
        if (length == 0 || text[0] != '#')
            break;
        if (!head_line(arena, text, length, &key, &value) || !str_equal(key, "factors") ||
            str_equal(value, "combine"))
            continue;
        struct table_factor factor = {.row.span = head_span(&reading, line, value)};
        if (read_factor(&reading, value, &factor))
            *ARRAY_PUSH(arena, &factors) = factor;
        else
            head_fault(&reading, line, value, str_print(arena, "'%s' is not a factor", value),
                       "write `# factors: lubricant: dry to engine-oil 0.9`, one a line");
    }
    *ok = reading.ok;
    if (factors.count == 0)
        return NULL;
    for (size_t i = 0; i < factors.count; i++)
        factors.items[i].row.table = head;
    struct table_slice *slice = ARENA_NEW(arena, struct table_slice);
    *slice = (struct table_slice){head, factors.items, factors.count, NULL, NULL};
    return slice;
}
