/* table_query_thread.c - threads and torques at the bench. */
#include "table_query_private.h"

#include <string.h>

/* Percent of full thread: 100 (D - drill) / (2 k P), k P the depth from the crest to the effective
 * diameter of the form (drill tables count 100 % so: 1.299038 P for ISO, 1.280654 P for Whitworth). */
static double thread_percent(const struct table_thread *thread, const struct table_form *form,
                             int64_t drill_pm)
{
    return 100 * (double)(thread->major_pm - drill_pm) /
           (2 * form->effective_per_pitch * (double)thread->pitch_pm);
}

static void print_drills(const struct query *query, const struct table_thread *thread,
                         const struct table_form *form)
{
    struct table_walk walk = table_walk_over(query->set, KIND_TAP_DRILL);
    const struct table_tap_drill *row;
    while ((row = table_walk_next(&walk)) != NULL) {
        if (!str_equal(row->thread, thread->name))
            continue;
        query_line(
            query, "tapping drill",
            str_print(query->arena, "%s, %s %% of full thread; %s", row->drill,
                      str_decimal(query->arena, thread_percent(thread, form, row->size_pm), 0),
                      row->row.source));
    }
}

static void print_by_size(const struct query *query, const struct table_thread *thread)
{
    const struct table_hexagon *hexagon = table_hexagon_find(query->set, thread);
    static const char *const series[] = {"close", "medium", "coarse"};
    for (size_t i = 0; i < sizeof series / sizeof *series; i++) {
        const struct table_hole *hole = table_hole_find(query->set, thread, series[i]);
        if (hole != NULL)
            query_line(query, "clearance hole",
                       str_print(query->arena, "%s, %s", query_length(query->arena, hole->hole_pm),
                                 series[i]));
    }
    if (hexagon != NULL)
        query_line(query, "spanner",
                   str_print(query->arena, "%s, across flats %s, %s", hexagon->spanner,
                             query_length(query->arena, hexagon->across_flats_pm),
                             hexagon->standard));
}

static void print_thread(const struct query *query, const struct table_thread *thread,
                         const struct table_form *form)
{
    struct arena *arena = query->arena;
    str_add_print(query->out, "%s\n", thread->name);
    query_line(query, "form",
               str_print(arena, "%s, %s flanks", form->name,
                         query_number(arena, 2 * form->flank_half_angle_deg, QTY_ANGLE)));
    query_line(query, "major", query_length(arena, thread->major_pm));
    query_line(query, "pitch", query_length(arena, thread->pitch_pm));
    if (table_has(thread->tpi))
        query_line(query, "threads/inch", query_number(arena, thread->tpi, QTY_NONE));
    query_line(query, "effective", query_length(arena, thread->effective_pm));
    query_line(query, "minor", query_length(arena, thread->minor_pm));
    query_line(query, "root of bolt", query_length(arena, thread->root_pm));
    query_line(query, "stress area", query_number(arena, thread->stress_area_m2, QTY_AREA));
    if (thread->area_rule[0] != '\0')
        query_line(query, "", thread->area_rule);
    print_drills(query, thread, form);
    print_by_size(query, thread);
    query_source(query, &thread->row);
}

bool query_thread(const struct query *query)
{
    struct table_thread_found found = table_thread_find(query->arena, query->set, query->text);
    if (found.status == TABLE_FOUND) {
        print_thread(query, found.thread, found.form);
        return true;
    }
    bool asked, known = query_thread_of_size(query, &asked);
    if (asked)
        return known;
    if (found.status == TABLE_AMBIGUOUS)
        str_add_print(query->out, "'%s' is the name of several threads:\n", query->text);
    else if (found.status == TABLE_CONTRADICTION)
        str_add_print(query->out, "size and pitch of '%s' do not go together; that size has:\n",
                      query->text);
    else
        query_near(query, "thread", &found.near);
    for (size_t i = 0; i < found.near.count && found.status != TABLE_UNKNOWN; i++)
        str_add_print(query->out, "  %s\n", found.near.names[i]);
    return false;
}

/* --- torque --- */

/* A torque in N m and in the unit that the source printed. */
static char *torque_text(const struct query *query, const struct table_torque *row, double n_m)
{
    const struct qty_unit *own = qty_unit_find(row->unit, QTY_TORQUE);
    char *text = query_number(query->arena, n_m, QTY_TORQUE);
    if (own == NULL || str_equal(own->name, "N m"))
        return text;
    return str_print(query->arena, "%s (%s)",
                     qty_print(query->arena, qty_from_si(n_m, QTY_TORQUE), own, 1, QTY_NEAREST),
                     text);
}

static void print_torque(const struct query *query, const struct table_torque *row)
{
    struct arena *arena = query->arena;
    str_add_print(query->out, "%s %s%s%s\n", row->thread, row->grade,
                  row->grade[0] != '\0' && row->use[0] != '\0' ? ", " : "", row->use);
    query_line(query, "torque",
               row->high_n_m > row->low_n_m
                   ? str_print(arena, "%s to %s", torque_text(query, row, row->low_n_m),
                               torque_text(query, row, row->high_n_m))
                   : torque_text(query, row, row->low_n_m));
    if (table_has(row->most_n_m))
        query_line(query, "never over", torque_text(query, row, row->most_n_m));
    if (table_has(row->friction))
        query_line(query, "friction", query_number(arena, row->friction, QTY_NONE));
    if (row->lubricant[0] != '\0')
        query_line(query, "lubricant", row->lubricant);
    if (row->plating[0] != '\0')
        query_line(query, "plating", row->plating);
    if (row->fastener[0] != '\0')
        query_line(query, "fastener", row->fastener);
    query_line(query, "level", table_level_name(row->row.table->level));
    query_line(query, "table", row->row.table->id);
    query_source(query, &row->row);
}

/* The longest run of words from the first that names a thread; the rest is the grade. */
static struct table_thread_found thread_of(const struct query *query, const char **grade)
{
    struct table_thread_found found = table_thread_find(query->arena, query->set, query->text);
    *grade = NULL;
    for (size_t end = strlen(query->text); found.status != TABLE_FOUND && end > 0; end--) {
        if (query->text[end] != ' ')
            continue;
        struct table_thread_found shorter =
            table_thread_find(query->arena, query->set, str_slice(query->arena, query->text, end));
        if (shorter.status == TABLE_FOUND) {
            *grade = query->text + end + 1;
            return shorter;
        }
    }
    return found;
}

bool query_torque(const struct query *query)
{
    const char *grade;
    struct table_thread_found found = thread_of(query, &grade);
    if (found.status != TABLE_FOUND) {
        query_near(query, "thread", &found.near);
        return false;
    }
    struct table_torques rows =
        table_torque_find(query->arena, query->set, found.thread, grade, NULL);
    for (size_t i = 0; i < rows.count; i++)
        print_torque(query, rows.items[i]);
    if (rows.count == 0)
        str_add_print(query->out, "torque of %s%s%s: %s\n", found.thread->name,
                      grade == NULL ? "" : ", ", grade == NULL ? "" : grade, TABLE_NOT_FOUND);
    return rows.count > 0;
}
