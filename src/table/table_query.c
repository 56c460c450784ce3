/* table_query.c - `gudgeon table WORDS`: what is asked, and any kind of table as plain lines. */
#include "table_query_private.h"

#include <string.h>

/* --- printing --- */

char *query_length(struct arena *arena, int64_t pm)
{
    if (pm == TABLE_NO_PM)
        return str_copy(arena, TABLE_NOT_FOUND);
    const struct qty_unit *in = qty_unit_find("in", QTY_LENGTH);
    const struct qty_unit *mm = qty_unit_find("mm", QTY_LENGTH);
    bool fine = pm % 100000 != 0; /* digits beyond a tenth of a micrometre help nobody */
    return str_print(arena, "%s (%s)",
                     fine ? qty_print(arena, qty_from_pm(pm), mm, 4, QTY_NEAREST)
                          : str_print(arena, "%s mm", qty_exact_mm(arena, pm)),
                     qty_print(arena, qty_from_pm(pm), in, 4, QTY_NEAREST));
}

char *query_small(struct arena *arena, int64_t pm)
{
    if (pm == TABLE_NO_PM)
        return str_copy(arena, TABLE_NOT_FOUND);
    const struct qty_unit *thou = qty_unit_find("thou", QTY_LENGTH);
    return str_print(arena, "%s um (%s)",
                     str_decimal(arena, (double)pm / 1e6, pm % 1000000 ? 1 : 0),
                     qty_print(arena, qty_from_pm(pm), thou, 2, QTY_NEAREST));
}

/* The unit and the places in which a number of that dimension is read at the bench. */
char *query_number(struct arena *arena, double si, enum qty_dim dim)
{
    static const struct {
        enum qty_dim dim;
        const char *unit;
        int places;
    } ways[] = {
        {QTY_AREA, "mm2", 2},         {QTY_STRESS, "MPa", 0},       {QTY_TORQUE, "N m", 2},
        {QTY_FORCE, "kN", 2},         {QTY_EXPANSION, "um/m/K", 1}, {QTY_DENSITY, "kg/m3", 0},
        {QTY_TEMPERATURE, "degC", 0}, {QTY_ANGLE, "deg", 2},
    };
    if (!table_has(si))
        return str_copy(arena, TABLE_NOT_FOUND);
    if (dim == QTY_STRESS && si >= 1e10) /* a modulus */
        return qty_print(arena, qty_from_si(si, dim), qty_unit_find("GPa", dim), 1, QTY_NEAREST);
    for (size_t i = 0; i < sizeof ways / sizeof *ways; i++)
        if (ways[i].dim == dim)
            return qty_print(arena, qty_from_si(si, dim), qty_unit_find(ways[i].unit, dim),
                             ways[i].places, QTY_NEAREST);
    char *text = str_decimal(arena, si, 6);
    for (size_t end = strlen(text); end > 0 && strchr(text, '.') != NULL;) {
        char last = text[--end];
        if (last != '0' && last != '.')
            break;
        text[end] = '\0';
        if (last == '.')
            break;
    }
    return text;
}

void query_line(const struct query *query, const char *label, const char *text)
{
    size_t length = strlen(label);
    str_add_print(query->out, "  %s", label);
    do
        str_add(query->out, " ");
    while (++length < 16);
    str_add_print(query->out, "%s\n", text);
}

static const char *cell_text(struct arena *arena, const struct table_column *column,
                             const void *cell)
{
    switch (column->cell) {
    case TABLE_TEXT:
        return *(const char *const *)cell;
    case TABLE_FLAG:
        return *(const bool *)cell ? "yes" : "no";
    case TABLE_LENGTH:
        return *(const int64_t *)cell == TABLE_NO_PM ? ""
                                                     : query_length(arena, *(const int64_t *)cell);
    case TABLE_NUMBER:
        return table_has(*(const double *)cell)
                   ? query_number(arena, *(const double *)cell, column->dim)
                   : "";
    }
    return "";
}

/* Of the columns that the row says to rest on one source, those that it has. */
static void query_single(const struct query *query, const struct table_row *row)
{
    const struct table_kind *kind = table_kind_find(row->table->kind);
    struct str_buf text = {.arena = query->arena};
    for (size_t i = 0; kind != NULL && i < kind->column_count; i++)
        if (table_is_single(row, kind->columns[i].heading) &&
            cell_text(query->arena, &kind->columns[i], table_cell_at(row, &kind->columns[i]))[0] !=
                '\0') {
            str_add(&text, text.length == 0 ? "" : ", ");
            str_add(&text, kind->columns[i].heading);
        }
    if (text.length > 0)
        query_line(query, "one source for", text.bytes);
}

void query_source(const struct query *query, const struct table_row *row)
{
    query_line(query, "source", row->source);
    query_single(query, row);
}

void query_near(const struct query *query, const char *what, const struct table_near *near)
{
    str_add_print(query->out, "%s '%s': %s\n", what, query->text, TABLE_NOT_FOUND);
    for (size_t i = 0; i < near->count; i++)
        query_line(query, i == 0 ? "nearest" : "", near->names[i]);
}

/* --- sizes among the words --- */

static bool read_length(struct arena *arena, const char *text, int64_t *pm)
{
    struct qty_value value;
    struct qty_error error;
    if (!qty_read(arena, text, QTY_LENGTH, QTY_TAKE_ONE, &value, &error))
        return false;
    *pm = value.nominal.exact;
    return true;
}

static bool read_tpi(const char *word, double *tpi)
{
    int64_t whole;
    if (!str_to_int(word, &whole) || whole <= 0 || whole > 1000)
        return false;
    *tpi = (double)whole;
    return true;
}

static bool is_decimal(const char *word)
{
    return strspn(word, "0123456789.") == strlen(word) && strspn(word, ".") < strlen(word);
}

/* The most words from `from` on that read as one length: "2 7/8 in" is three. */
static size_t length_at(const struct query *query, size_t from, const char *bare, int64_t *pm)
{
    for (size_t words = 3; words > 0; words--) {
        struct str_buf text = {.arena = query->arena};
        if (from + words > query->count)
            continue;
        for (size_t i = 0; i < words; i++) {
            str_add(&text, i == 0 ? "" : " ");
            str_add(&text, query->words[from + i]);
        }
        if (read_length(query->arena, text.bytes, pm))
            return words;
    }
    bool alone = bare != NULL && is_decimal(query->words[from]) &&
                 !(from + 1 < query->count && str_equal(query->words[from + 1], "tpi"));
    return alone && read_length(query->arena,
                                str_print(query->arena, "%s %s", query->words[from], bare), pm)
               ? 1
               : 0;
}

struct query_sizes query_sizes(const struct query *query, const char *bare)
{
    struct query_sizes sizes = {.tpi = NAN};
    for (size_t i = 0; i < query->count;) {
        int64_t pm;
        size_t words = length_at(query, i, bare, &pm);
        if (words > 0) {
            if (sizes.count < sizeof sizes.lengths / sizeof *sizes.lengths)
                sizes.lengths[sizes.count++] = pm;
        } else if (i + 1 < query->count && str_equal(query->words[i + 1], "tpi") &&
                   read_tpi(query->words[i], &sizes.tpi)) {
            words = 2;
        }
        sizes.words += words;
        i += words == 0 ? 1 : words;
    }
    return sizes;
}

/* --- any kind --- */

enum closeness { EXACTLY, BY_THREAD, BY_PART, CLOSENESSES };

/* How the words are found in a cell of the key: as it stands, or is also spelt; as a thread that the cell is for ("M8x1.25"
 * in "M8"); as a part of it ("aluminium" in "aluminium-cast"). */
static bool cell_is_asked(const struct query *query, const struct table_column *column,
                          const char *cell, const struct table_thread *thread,
                          enum closeness closeness)
{
    bool key = column->roles & TABLE_IN_KEY;
    if (str_equal(column->heading, "spellings"))
        return closeness == EXACTLY && table_word_is(query->text, "", cell);
    switch (key ? closeness : CLOSENESSES) {
    case EXACTLY:
        return table_word_is(query->text, cell, "");
    case BY_THREAD:
        return thread != NULL && str_equal(column->heading, "thread") &&
               (str_equal(cell, thread->name) || table_size_is(thread, cell));
    case BY_PART:
        for (size_t length = strlen(query->text); length > 0 && strlen(cell) >= length; cell++)
            if (table_word_is(query->text, str_slice(query->arena, cell, length), ""))
                return true;
        return false;
    case CLOSENESSES:
        break;
    }
    return false;
}

static bool row_is_asked(const struct query *query, const struct table_kind *kind, const void *row,
                         const struct table_thread *thread, enum closeness closeness)
{
    for (size_t i = 0; i < kind->column_count; i++) {
        const struct table_column *column = &kind->columns[i];
        if (column->cell == TABLE_TEXT &&
            cell_is_asked(query, column, *(const char *const *)table_cell_at(row, column), thread,
                          closeness))
            return true;
    }
    return query->count == 0;
}

static void print_row(const struct query *query, const struct table_kind *kind, const void *row)
{
    bool first = true;
    for (size_t i = 0; i < kind->column_count; i++) {
        const char *text =
            cell_text(query->arena, &kind->columns[i], table_cell_at(row, &kind->columns[i]));
        if (text[0] == '\0')
            continue;
        if (first)
            str_add_print(query->out, "%s\n", text);
        else
            query_line(query, kind->columns[i].heading, text);
        first = false;
    }
    query_source(query, row);
}

static void print_gaps(const struct query *query, enum table_kind_id kind)
{
    for (const struct table_slice *slice = query->set->slices[kind]; slice != NULL;
         slice = slice->next)
        if (slice->head->gaps[0] != '\0')
            str_add_print(query->out, "not in %s: %s\n", slice->head->id, slice->head->gaps);
}

/* What a user's own table of this kind may hold: "columns: thread*, grade, low* (torque), ..." */
static void print_columns(const struct query *query, const struct table_kind *kind)
{
    str_add_print(query->out, "%s: %s\ncolumns (* needed):", kind->name, kind->help);
    for (size_t i = 0; i < kind->column_count; i++) {
        const struct table_column *column = &kind->columns[i];
        str_add_print(query->out, " %s%s", column->heading,
                      column->roles & TABLE_NEEDED ? "*" : "");
        if (column->dim != QTY_NONE)
            str_add_print(query->out, " (%s)", qty_dim_name(column->dim));
        str_add(query->out, ",");
    }
    str_add(query->out, " source\n");
}

static bool print_rows(const struct query *query, enum table_kind_id kind,
                       const struct table_thread *thread, enum closeness closeness)
{
    struct table_walk walk = table_walk_over(query->set, kind);
    const void *row;
    bool found = false;
    while ((row = table_walk_next(&walk)) != NULL) {
        if (!row_is_asked(query, &table_kinds[kind], row, thread, closeness))
            continue;
        print_row(query, &table_kinds[kind], row);
        found = true;
    }
    return found;
}

bool query_kind(const struct query *query, enum table_kind_id kind)
{
    struct table_thread_found thread = {0};
    if (query->count == 0)
        print_columns(query, &table_kinds[kind]);
    else
        thread = table_thread_find(query->arena, query->set, query->text);
    bool found = print_rows(query, kind, NULL, EXACTLY) ||
                 print_rows(query, kind, thread.thread, BY_THREAD) ||
                 print_rows(query, kind, NULL, BY_PART);
    if (!found)
        str_add_print(query->out, "%s '%s': %s\n", table_kinds[kind].name, query->text,
                      TABLE_NOT_FOUND);
    if (query->count == 0 || !found)
        print_gaps(query, kind);
    return found;
}

/* --- what is asked --- */

static const struct {
    const char *topic, *words, *help;
    bool (*answer)(const struct query *query);
} topics[] = {
    {"thread", "NAME | DIAMETER PITCH", "by name, or every candidate for what was measured",
     query_thread},
    {"bearing", "NAME | BORE OUTSIDE WIDTH", "by designation, or every candidate for three sizes",
     query_bearing},
    {"fit", "SIZE CLASS[/CLASS]", "limits of a class, clearance of a pair", query_fit},
    {"torque", "THREAD [GRADE]", "published torques with their conditions", query_torque},
    {"material", "NAME", "every source's figures", query_material},
    {"rule", "NAME [VARIANT] [SIZE]", "a shop rule, worked out for a size", query_rule},
};
enum { TOPICS = sizeof topics / sizeof *topics };

static bool list_tables(struct str_buf *out)
{
    for (size_t i = 0; i < TOPICS; i++)
        str_add_print(out, "table %s %s\n    %s\n", topics[i].topic, topics[i].words,
                      topics[i].help);
    for (size_t i = 0; i < KIND_COUNT; i++)
        str_add_print(out, "table %s\n    %s\n", table_kinds[i].name, table_kinds[i].help);
    return true;
}

static bool unknown_topic(const char *topic, struct str_buf *out)
{
    const char *names[KIND_COUNT + TOPICS];
    for (size_t i = 0; i < KIND_COUNT; i++)
        names[i] = table_kinds[i].name;
    for (size_t i = 0; i < TOPICS; i++)
        names[KIND_COUNT + i] = topics[i].topic;
    const char *near = str_nearest(topic, names, KIND_COUNT + TOPICS);
    str_add_print(out, "there is no table '%s'", topic);
    if (near != NULL)
        str_add_print(out, "; the nearest is %s", near);
    str_add(out, "\n");
    return false;
}

bool table_query(struct context *context, const struct table_set *set, char **words, size_t count,
                 struct str_buf *out)
{
    struct str_buf text = {.arena = context->arena};
    if (count == 0)
        return list_tables(out);
    str_add(&text, "");
    for (size_t i = 1; i < count; i++) {
        str_add(&text, i == 1 ? "" : " ");
        str_add(&text, words[i]);
    }
    const struct query query = {context->arena, set == NULL ? table_set_default() : set,
                                words + 1,      count - 1,
                                text.bytes,     out};
    for (size_t i = 0; i < TOPICS && count > 1; i++)
        if (str_equal(words[0], topics[i].topic))
            return topics[i].answer(&query);
    const struct table_kind *kind = table_kind_find(words[0]);
    if (kind != NULL)
        return query_kind(&query, (enum table_kind_id)(kind - table_kinds));
    for (size_t i = 0; i < TOPICS; i++) /* computed, so that there are no rows to list */
        if (str_equal(words[0], topics[i].topic)) {
            str_add_print(out, "write table %s %s\n", topics[i].topic, topics[i].words);
            return false;
        }
    return unknown_topic(words[0], out);
}
