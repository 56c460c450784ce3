/* mutate_tables.c - changes every numeric cell of the built-in tables, one at a time and in memory, by
 * the larger of 3 % and one last digit, up and down, and counts how many changes are caught by a rule
 * (a formula, a name, an order), else by a published row. Survivors are printed by table.
 *
 *     sh tests/long/mutate_tables.sh [TABLE-KIND...]
 */
#include "published.h"
#include "rules.h"
#include "test_arena.h"

#include <criterion/criterion.h>
#include <dirent.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_TOPICS = 128 };

static const struct published_topic *topics[MOST_TOPICS];
static int topic_count, held_before[MOST_TOPICS];

static void list_topics(void)
{
    const struct published_topic *const lists[] = {published_threads, published_joints,
                                                   published_more, published_fits};
    for (size_t i = 0; i < sizeof lists / sizeof *lists; i++)
        for (const struct published_topic *topic = lists[i]; topic->file != NULL; topic++)
            topics[topic_count++] = topic;
}

static struct published_count run_topic(int i, const struct table_set *set, bool stop)
{
    published_set = set;
    test_arena_stop(); /* what the look-ups of one run leave is of no use to the next */
    test_arena_start();
    return published_topic_run(topics[i], stop);
}

/* --- a cell and what its text says of its last digit --- */

/* Built-in rows stand in the order of their files and lines: the same order gives the cell's text. */
struct file_rows {
    char *text;
    char **lines; /* the heading first, then one a row */
    size_t count;
};

static struct file_rows read_file(const char *id)
{
    struct file_rows rows = {0};
    char path[200];
    snprintf(path, sizeof path, "src/table/data/%s.csv", id);
    FILE *file = fopen(path, "rb");
    cr_assert_not_null(file, "%s: run this from the top of the tree", path);
    rows.text = calloc(1, 1 << 20);
    size_t length = fread(rows.text, 1, (1 << 20) - 1, file);
    fclose(file);
    rows.lines = calloc(length / 2 + 2, sizeof *rows.lines);
    for (char *line = strtok(rows.text, "\n"); line != NULL; line = strtok(NULL, "\n"))
        if (strncmp(line, "# ", 2) != 0 && *line != '\r')
            rows.lines[rows.count++] = line;
    return rows;
}

/* Field `index` of a line of CSV, without quotes. */
static const char *field_of(const char *line, size_t index)
{
    static char field[400];
    size_t length = 0;
    bool quoted = false;
    for (; *line != '\0' && (quoted || *line != ',' || index > 0); line++) {
        if (*line == '"')
            quoted = !quoted;
        else if (*line == ',' && !quoted)
            index--;
        else if (index == 0 && length + 1 < sizeof field)
            field[length++] = *line;
    }
    field[length] = '\0';
    return field;
}

/* One last digit as a share of the number that is written; a fraction of an inch has none. */
static double digit_share(const struct file_rows *rows, size_t row, const char *heading)
{
    size_t column = 0, length = strlen(heading);
    for (;; column++) {
        const char *name = field_of(rows->lines[0], column);
        if (*name == '\0')
            return 0;
        if (strncmp(name, heading, length) == 0 && (name[length] == ':' || name[length] == '\0'))
            break;
    }
    const char *text = field_of(rows->lines[row + 1], column), *point = strchr(text, '.');
    double number = fabs(strtod(text, NULL));
    if (number == 0 || strchr(text, '/') != NULL)
        return 0;
    return pow(10, point == NULL ? 0 : -(double)strspn(point + 1, "0123456789")) / number;
}

/* --- the run --- */

struct sum {
    size_t changes, caught, by_rule;
};

static bool numeric(const struct table_column *column, const void *cell)
{
    return column->cell == TABLE_LENGTH   ? *(const int64_t *)cell != TABLE_NO_PM
           : column->cell == TABLE_NUMBER ? table_has(*(const double *)cell)
                                          : false;
}

static void put(const struct table_column *column, void *cell, double value)
{
    if (column->cell == TABLE_LENGTH)
        *(int64_t *)cell = (int64_t)llround(value);
    else
        *(double *)cell = value;
}

static double get(const struct table_column *column, const void *cell)
{
    return column->cell == TABLE_LENGTH ? (double)*(const int64_t *)cell : *(const double *)cell;
}

/* Which topics look at a kind: those that say something else when all its cells are half as large again. */
static void find_seers(struct arena *of_set, const struct table_kind *kind, bool *sees)
{
    struct table_set *set = table_set_copy(of_set, table_set_default());
    char *row;
    for (size_t i = 0; (row = table_row_edit(set, kind->name, i)) != NULL; i++)
        for (size_t c = 0; c < kind->column_count; c++) {
            void *cell = row + kind->columns[c].offset;
            if (numeric(&kind->columns[c], cell))
                put(&kind->columns[c], cell, 1.5 * get(&kind->columns[c], cell) + 1);
        }
    for (int t = 0; t < topic_count; t++) {
        struct published_count count = run_topic(t, set, false);
        sees[t] = count.failed > 0 || count.held != held_before[t];
    }
}

static bool caught(const struct table_set *set, const struct table_kind *kind, const void *changed,
                   const bool *sees, struct sum *sum)
{
    const void *row = changed;
    if (published_broken_rule(set, kind->name, changed) != NULL)
        return sum->by_rule++, true;
    for (size_t i = 0; (row = table_row_at(set, kind->name, i)) != NULL; i++)
        if (published_broken_rule(set, kind->name, row) != NULL)
            return sum->by_rule++, true;
    for (int t = 0; t < topic_count; t++) {
        if (!sees[t])
            continue;
        struct published_count count = run_topic(t, set, true);
        if (count.failed > 0 || count.held != held_before[t])
            return true;
    }
    return false;
}

/* A step over zero is one unit of the smallest digit that tables of lengths write, a micrometre. */
static double step_of(const struct table_column *column, double value, double share)
{
    return value != 0 ? fabs(value) * fmax(0.03, share) : column->cell == TABLE_LENGTH ? 1e6 : 1e-3;
}

static struct sum mutate_kind(const struct table_kind *kind)
{
    struct arena *of_set = arena_new(0, NULL, NULL);
    struct table_set *set = table_set_copy(of_set, table_set_default());
    bool sees[MOST_TOPICS];
    struct sum sum = {0}, table = {0};
    const struct table_head *head = NULL;
    struct file_rows file = {0};
    size_t first = 0;
    char *row;

    find_seers(of_set, kind, sees);
    row = table_row_edit(set, kind->name, 0);
    cr_assert(row == NULL || !caught(set, kind, row, sees, &table),
              "%s: something is caught though nothing is changed", kind->name);
    for (size_t i = 0;; i++) {
        row = table_row_edit(set, kind->name, i);
        const struct table_head *its =
            row != NULL ? ((struct table_row *)(void *)row)->table : NULL;
        if (head != NULL && its != head)
            printf("%-22s %5zu changes, %5zu caught, %5zu of them by a rule\n", head->id,
                   table.changes, table.caught, table.by_rule);
        if (row == NULL)
            break;
        if (its != head) {
            head = its;
            file = read_file(head->id);
            first = i;
            table = (struct sum){0};
        }
        for (size_t c = 0; c < kind->column_count; c++) {
            const struct table_column *column = &kind->columns[c];
            void *cell = row + column->offset;
            if (!numeric(column, cell))
                continue;
            double value = get(column, cell);
            double step = step_of(column, value, digit_share(&file, i - first, column->heading));
            for (int sign = -1; sign <= 1; sign += 2) {
                put(column, cell, value + sign * step);
                bool found = caught(set, kind, row, sees, &table);
                table.changes++, sum.changes++;
                table.caught += found, sum.caught += found;
                if (!found)
                    printf("  survives: %s, %s: %s %+.3g %%\n", head->id,
                           field_of(file.lines[i - first + 1], 0), column->heading,
                           value != 0 ? sign * 100 * step / fabs(value) : NAN);
            }
            put(column, cell, value);
        }
        fflush(stdout);
    }
    arena_free(of_set);
    return sum;
}

TestSuite(mutate_tables, .init = test_arena_start, .fini = test_arena_stop);

Test(mutate_tables, nineteen_changes_of_a_cell_in_twenty_are_caught)
{
    const char *only = getenv("KINDS"); /* words between blanks */
    struct sum sum = {0};
    const struct table_kind *kind;

    /* Builds resolve with the built-in tables alone, so that what held before is asked of a copy. */
    struct arena *of_set = arena_new(0, NULL, NULL);
    const struct table_set *copy = table_set_copy(of_set, table_set_default());
    list_topics();
    for (int t = 0; t < topic_count; t++)
        held_before[t] = run_topic(t, copy, false).held;
    for (size_t k = 0; (kind = table_kind_at(k)) != NULL; k++) {
        if (only != NULL && strstr(only, kind->name) == NULL)
            continue;
        struct sum its = mutate_kind(kind);
        sum.changes += its.changes;
        sum.caught += its.caught;
    }
    printf("all: %zu changes, %zu caught: %.2f %%\n", sum.changes, sum.caught,
           100 * (double)sum.caught / (double)sum.changes);
    arena_free(of_set);
    cr_expect_geq(100 * sum.caught, 95 * sum.changes, "%zu of %zu changes are caught", sum.caught,
                  sum.changes);
}
