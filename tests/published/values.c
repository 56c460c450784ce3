/* values.c - what the binders of published rows share: units, threads as the rows write them. */
#include "bind_joints.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

double published_in_unit(const struct check_row *row, double si)
{
    static const struct {
        const char *unit;
        double factor;
    } units[] = {{"mm", 1e-3},
                 {"in", 0.0254},
                 {"mm2", 1e-6},
                 {"in2", 0.0254 * 0.0254},
                 {"MPa", 1e6},
                 {"psi", 6894.757293168361},
                 {"lbf in", 0.1129848290276167},
                 {"lbf ft", 1.3558179483314004},
                 {"N m", 1},
                 {"lbf", 4.4482216152605},
                 {"kN", 1000},
                 {"N", 1},
                 {"long ton/in2", 15444256.336696},
                 {"um", 1e-6},
                 {"0.001 in", 2.54e-5}};
    for (size_t i = 0; i < sizeof units / sizeof *units; i++)
        if (strcmp(row->unit, units[i].unit) == 0)
            return si / units[i].factor;
    cr_assert_fail("no factor for the unit %s of %s", row->unit, row->id);
    return NAN;
}

double published_expected(const struct check_row *row)
{
    double number = NAN;
    cr_assert(check_number(row->expected, &number), "%s", row->id);
    return number;
}

enum bind_outcome published_length_is(const struct check_row *row, struct bind_fault *fault,
                                      const char *what, int64_t pm)
{
    return bind_near(row, fault, what, published_in_unit(row, (double)pm * 1e-12),
                     published_expected(row));
}

enum bind_outcome published_number_is(const struct check_row *row, struct bind_fault *fault,
                                      const char *what, double si)
{
    return bind_near(row, fault, what, published_in_unit(row, si), published_expected(row));
}

/* The thread that a row means: its `thread` or `size`, with `tpi` where it stands apart. */
const struct table_thread *published_thread(const struct check_row *row,
                                            const struct table_form **form)
{
    char name[160];
    const char *text = check_part(row->input, check_has(row, "thread") ? "thread" : "size");
    if (text == NULL)
        return NULL;
    snprintf(name, sizeof name, "%s", text);
    for (char *at = name;
         (at = strstr(at, " coarse")) != NULL || (at = strstr(name, " in straight")) != NULL;) {
        *at = '\0';
    }
    char *paren = strchr(name, '(');
    if (paren != NULL)
        *paren = '\0';
    struct table_thread_found found = table_thread_find(arena, published_set, name);
    if (found.status != TABLE_FOUND && check_has(row, "tpi")) { /* "1/2 Cycle" with tpi=20 */
        char with[200], *blank = strrchr(name, ' ');
        if (blank != NULL) {
            snprintf(with, sizeof with, "%.*s-%s%s", (int)(blank - name), name,
                     check_part(row->input, "tpi"), blank);
            found = table_thread_find(arena, published_set, with);
        }
    }
    if (form != NULL)
        *form = found.form;
    return found.thread;
}

bool published_starts(const char *text, const char *start)
{
    return strncmp(text, start, strlen(start)) == 0;
}

/* "1-1/4-12" with the series that the row names, or UNS where only that exists. */
const struct table_thread *published_unified(const struct check_row *row)
{
    static const char *const systems[] = {"UNF", "UNC", "UNS", "UNEF"};
    const char *thread = check_part(row->input, "thread");
    char name[80];
    for (size_t i = 0; i < sizeof systems / sizeof *systems; i++) {
        bool number = strchr(thread, '/') == NULL && atof(thread) > 1.5;
        snprintf(name, sizeof name, "%s%s %s", number ? "#" : "", thread, systems[i]);
        struct table_thread_found found = table_thread_find(arena, published_set, name);
        if (found.status == TABLE_FOUND)
            return found.thread;
    }
    return NULL;
}
