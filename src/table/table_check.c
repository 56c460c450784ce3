/* table_check.c - what no single cell shows. The build runs this over the embedded tables, and a run
 * over the user's own: a bad row fails with its place. */
#include "table_private.h"

#include <string.h>

struct checking {
    struct context *context;
    const struct table_kind *kind;
    enum table_kind_id id;
    const struct table_slice *slice;
    bool ok;
};

static const void *row_of(const struct checking *checking, size_t index)
{
    return (const char *)checking->slice->rows + index * checking->kind->row_size;
}

static struct span span_of(const struct checking *checking, size_t index)
{
    return ((const struct table_row *)row_of(checking, index))->span;
}

/* The smallest thing to edit: the cell, else its row. */
static struct span cell_span(const struct checking *checking, size_t index,
                             const struct table_column *column)
{
    struct span span = {0, 0, 0};
    if (checking->slice->cells != NULL)
        span = checking->slice->cells[index * checking->kind->column_count +
                                      (size_t)(column - checking->kind->columns)];
    return span.file != 0 ? span : span_of(checking, index);
}

static const struct table_column *column_with(const struct table_kind *kind, unsigned role)
{
    for (size_t i = 0; i < kind->column_count; i++)
        if (kind->columns[i].roles & role)
            return &kind->columns[i];
    return NULL;
}

/* Where sources are known to disagree, each keeps its row; the first is used, the others are shown. */
static bool sources_may_differ(enum table_kind_id id)
{
    return id == KIND_MATERIAL || id == KIND_FRICTION || id == KIND_CEILING || id == KIND_RULE ||
           id == KIND_TAP_DRILL;
}

static bool same_cell(const struct table_column *column, const void *a, const void *b)
{
    switch (column->cell) {
    case TABLE_TEXT:
        return str_equal(*(const char *const *)a, *(const char *const *)b);
    case TABLE_LENGTH:
        return *(const int64_t *)a == *(const int64_t *)b;
    case TABLE_NUMBER:
        return !(*(const double *)a < *(const double *)b ||
                 *(const double *)a > *(const double *)b);
    case TABLE_FLAG:
        return *(const bool *)a == *(const bool *)b;
    }
    return false;
}

static bool same_key(const struct checking *checking, size_t a, size_t b)
{
    const void *row_a = row_of(checking, a), *row_b = row_of(checking, b);
    for (size_t i = 0; i < checking->kind->column_count; i++) {
        const struct table_column *column = &checking->kind->columns[i];
        if ((column->roles & TABLE_IN_KEY) &&
            !same_cell(column, table_cell_at(row_a, column), table_cell_at(row_b, column)))
            return false;
    }
    return !sources_may_differ(checking->id) ||
           str_equal(((const struct table_row *)row_a)->source,
                     ((const struct table_row *)row_b)->source);
}

/* The band of a row; an end that is left open reaches as far as sizes go. */
static void band_of(const struct checking *checking, size_t index, int64_t *over, int64_t *up_to)
{
    const struct table_column *begin = column_with(checking->kind, TABLE_OVER);
    const struct table_column *end = column_with(checking->kind, TABLE_UP_TO);
    *over = TABLE_NO_PM;
    *up_to = INT64_MAX;
    if (begin == NULL)
        return;
    *over = *(const int64_t *)table_cell_at(row_of(checking, index), begin);
    *up_to = *(const int64_t *)table_cell_at(row_of(checking, index), end);
    if (*up_to == TABLE_NO_PM)
        *up_to = INT64_MAX;
}

static void check_pair(struct checking *checking, size_t a, size_t b)
{
    struct diags *diags = &checking->context->diags;
    int64_t over_a, up_to_a, over_b, up_to_b;
    band_of(checking, a, &over_a, &up_to_a);
    band_of(checking, b, &over_b, &up_to_b);
    if (over_a >= up_to_b || over_b >= up_to_a)
        return; /* the bands are apart */
    bool banded = column_with(checking->kind, TABLE_OVER) != NULL && over_a != over_b;
    struct diag *diag =
        diag_add(diags, banded ? DIAG_TABLE_BANDS : DIAG_TABLE_TWICE, span_of(checking, b), "%s",
                 banded ? "this band overlaps another of the same key"
                        : "this row says the same thing again");
    diag_label(diags, diag, span_of(checking, a), "first here");
    diag_hint(diags, diag,
              banded ? "let one band end where the next begins"
                     : "remove one of the two, or fill the column that tells them apart");
    checking->ok = false;
}

/* A band that begins above the lowest of its key must begin where another ends. */
static void check_gap(struct checking *checking, size_t index)
{
    int64_t over, up_to;
    bool lowest = true, joined = false;
    band_of(checking, index, &over, &up_to);
    if (over >= up_to) {
        diag_add(&checking->context->diags, DIAG_TABLE_BANDS, span_of(checking, index),
                 "this band is empty: it ends before it begins");
        checking->ok = false;
    }
    for (size_t i = 0; i < checking->slice->count; i++) {
        int64_t other_over, other_up_to;
        if (i == index || !same_key(checking, i, index))
            continue;
        band_of(checking, i, &other_over, &other_up_to);
        lowest &= other_over >= over;
        joined |= other_up_to == over;
    }
    if (lowest || joined || checking->slice->head->gaps[0] != '\0')
        return;
    struct diag *diag = diag_add(&checking->context->diags, DIAG_TABLE_BANDS,
                                 span_of(checking, index), "no band ends where this one begins");
    diag_hint(&checking->context->diags, diag,
              "fill the gap, or say at the head `# gaps: ...` what the source leaves out");
    checking->ok = false;
}

static void check_keys(struct checking *checking)
{
    for (size_t b = 1; b < checking->slice->count; b++)
        for (size_t a = 0; a < b; a++)
            if (same_key(checking, a, b))
                check_pair(checking, a, b);
    if (column_with(checking->kind, TABLE_OVER) != NULL)
        for (size_t i = 0; i < checking->slice->count; i++)
            check_gap(checking, i);
}

static bool above(const struct table_column *column, const void *low, const void *high)
{
    if (column->cell == TABLE_LENGTH) {
        int64_t a = *(const int64_t *)low, b = *(const int64_t *)high;
        return a != TABLE_NO_PM && b != TABLE_NO_PM && a > b;
    }
    return *(const double *)low > *(const double *)high; /* false where one is absent */
}

static void check_limits(struct checking *checking, size_t index)
{
    const void *row = row_of(checking, index);
    for (size_t i = 0; i + 1 < checking->kind->column_count; i++) {
        const struct table_column *low = &checking->kind->columns[i], *high = low + 1;
        if (!(low->roles & TABLE_LOW) || !(high->roles & TABLE_HIGH) ||
            !above(low, table_cell_at(row, low), table_cell_at(row, high)))
            continue;
        struct diag *diag =
            diag_add(&checking->context->diags, DIAG_TABLE_LIMITS, cell_span(checking, index, high),
                     "%s lies above %s", low->heading, high->heading);
        diag_label(&checking->context->diags, diag, cell_span(checking, index, low), "%s is here",
                   low->heading);
        diag_hint(&checking->context->diags, diag, "the lower end stands first: change them round");
        checking->ok = false;
    }
}

/* --- shapes that only the kind knows --- */

static const char *thread_fault(const struct table_thread *thread)
{
    if (thread->major_pm <= 0)
        return "the major diameter must be above zero";
    if (thread->pitch_pm == TABLE_NO_PM || thread->pitch_pm <= 0)
        return "a thread needs a pitch or threads per inch above zero";
    if (table_has(thread->tpi) && fabs((double)thread->pitch_pm * thread->tpi / 25.4e9 - 1) > 1e-3)
        return "pitch and threads per inch contradict each other";
    if (thread->effective_pm != TABLE_NO_PM &&
        (thread->effective_pm >= thread->major_pm ||
         (thread->minor_pm != TABLE_NO_PM && thread->effective_pm <= thread->minor_pm)))
        return "the effective diameter must lie between minor and major";
    if (thread->root_pm != TABLE_NO_PM && thread->root_pm > thread->minor_pm)
        return "the root cannot be larger than the minor diameter";
    return NULL;
}

static const char *shape_fault(enum table_kind_id id, const void *row)
{
    if (id == KIND_THREAD)
        return thread_fault(row);
    if (id == KIND_BEARING) {
        const struct table_bearing *bearing = row;
        return bearing->bore_pm <= 0 || bearing->bore_pm >= bearing->outside_pm ||
                       bearing->width_pm <= 0 || bearing->cup_pm > bearing->overall_pm
                   ? "a bearing is larger outside than inside, has a width, and its cup is no "
                     "wider "
                     "than the whole"
                   : NULL;
    }
    if (id == KIND_GRADE) {
        const struct table_grade *grade = row;
        return grade->proof_pa > grade->tensile_pa || grade->yield_pa > grade->tensile_pa
                   ? "proof and yield stress cannot exceed the tensile strength"
                   : NULL;
    }
    if (id == KIND_SHEET) {
        const struct table_sheet *sheet = row;
        return sheet->crushed_high_pm > sheet->free_high_pm ? "crushed is thicker than free" : NULL;
    }
    if (id == KIND_TORQUE) {
        const struct table_torque *torque = row;
        return torque->low_n_m <= 0 || torque->high_n_m > torque->most_n_m
                   ? "a torque is above zero and its range does not pass the most allowed"
                   : NULL;
    }
    return NULL;
}

static void check_shape(struct checking *checking, size_t index)
{
    const char *fault = shape_fault(checking->id, row_of(checking, index));
    if (fault == NULL)
        return;
    diag_add(&checking->context->diags, DIAG_TABLE_SHAPE, span_of(checking, index), "%s", fault);
    checking->ok = false;
}

/* --- names that other tables must know --- */

/* Names of rows that other tables hold, by heading; each is replaced by the canonical name. */
static const struct {
    enum table_kind_id kind;
    const char *heading;
    const char *what; /* "thread", "grade", or a kind of word */
} references[] = {
    {KIND_TORQUE, "thread", "thread"},
    {KIND_TORQUE, "grade", "grade"},
    {KIND_TORQUE, "lubricant", "lubricant"},
    {KIND_TORQUE, "plating", "plating"},
    {KIND_TORQUE, "fastener", "fastener"},
    {KIND_TAP_DRILL, "thread", "thread"},
    {KIND_DRAG, "thread", "thread"},
    {KIND_FRICTION, "lubricant", "lubricant"},
    {KIND_FRICTION, "plating", "plating"},
    {KIND_FACTOR, "from", NULL},
    {KIND_FACTOR, "to", NULL}, /* a word of the kind that the row's `what` names */
};

/* The canonical name, or NULL with the nearest. */
static const char *canonical(struct checking *checking, const struct table_set *set,
                             const char *what, const char *name, struct table_near *near)
{
    if (str_equal(what, "thread")) {
        struct table_thread_found found = table_thread_find(checking->context->arena, set, name);
        *near = found.near;
        return found.status == TABLE_FOUND ? found.thread->name : NULL;
    }
    if (str_equal(what, "grade")) {
        struct table_grade_found found = table_grade_find(set, name, 0);
        *near = found.near;
        return found.status == TABLE_FOUND && found.grade != NULL ? found.grade->name : NULL;
    }
    const struct table_word *word = table_word_find(set, what, name, near);
    return word == NULL ? NULL : word->name;
}

/* A condition that the head gives every row is at fault once, in the head. */
static struct span head_span(const struct checking *checking, const char *word)
{
    struct span span = checking->slice->head->span;
    const struct source *source = source_of(&checking->context->sources, span);
    const char *found = source == NULL ? NULL
                                       : memmem(source->bytes + span.begin, span.end - span.begin,
                                                word, strlen(word));
    if (found != NULL) {
        span.begin = (uint32_t)(found - source->bytes);
        span.end = span.begin + (uint32_t)strlen(word);
    }
    return span;
}

static void name_unknown(struct checking *checking, size_t index, const struct table_column *column,
                         const char *what, const char *name, const struct table_near *near)
{
    struct diags *diags = &checking->context->diags;
    const struct table_head *head = checking->slice->head;
    bool of_head = name == head->lubricant || name == head->plating || name == head->fastener;
    struct span span = of_head ? head_span(checking, name) : cell_span(checking, index, column);
    struct diag *diag =
        diag_add(diags, DIAG_TABLE_NAME, span, "no table knows the %s '%s'", what, name);
    if (near->count > 0) {
        diag_hint(diags, diag, "write %s", near->names[0]);
        diag_fix(diags, diag, span, near->names[0]);
    }
    checking->ok = false;
}

/* The rows are still the reader's own: nothing else has seen them, so they may be written. */
static void check_names(struct checking *checking, const struct table_set *set, size_t index)
{
    char *row = (char *)(uintptr_t)checking->slice->rows + index * checking->kind->row_size;
    for (size_t i = 0; i < sizeof references / sizeof *references; i++) {
        if (references[i].kind != checking->id)
            continue;
        for (size_t c = 0; c < checking->kind->column_count; c++) {
            const struct table_column *column = &checking->kind->columns[c];
            const char **name = (const char **)(void *)(row + column->offset);
            if (!str_equal(column->heading, references[i].heading) || (*name)[0] == '\0')
                continue;
            const char *what = references[i].what != NULL
                                   ? references[i].what
                                   : ((struct table_factor *)(void *)row)->what;
            struct table_near near = {0};
            const char *known = canonical(checking, set, what, *name, &near);
            if (known != NULL)
                *name = known;
            else
                name_unknown(checking, index, column, what, *name, &near);
        }
    }
}

bool table_check(struct context *context, enum table_kind_id kind, const struct table_slice *slice,
                 const struct table_set *set)
{
    struct checking checking = {context, &table_kinds[kind], kind, slice, true};
    for (size_t i = 0; i < slice->count; i++) {
        check_limits(&checking, i);
        check_shape(&checking, i);
        if (set != NULL)
            check_names(&checking, set, i);
    }
    check_keys(&checking);
    return checking.ok;
}

bool table_check_words(struct context *context, enum table_kind_id kind,
                       const struct table_slice *slice)
{
    struct checking checking = {context, &table_kinds[kind], kind, slice, true};

    for (size_t i = 0; kind == KIND_CAUTION && i < slice->count; i++) {
        const struct table_caution *caution = row_of(&checking, i);
        if (caution->text[0] != '\0')
            continue;
        struct diag *diag = diag_add(&context->diags, DIAG_TABLE_CELL_MISSING,
                                     span_of(&checking, i), "this row has no text");
        diag_hint(&context->diags, diag, "say the caution in a column `text`");
        checking.ok = false;
    }
    return checking.ok;
}
