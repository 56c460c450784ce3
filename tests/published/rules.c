/* rules.c - the lists of rules, and what rules share. */
#include "rules.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

bool published_close(double got, double wanted, double share)
{
    return fabs(got - wanted) <= share * fabs(wanted);
}

static const void *cell_of(const void *row, const char *heading)
{
    const struct table_kind *kind = table_kind_find(((const struct table_row *)row)->table->kind);
    for (size_t i = 0; i < kind->column_count; i++)
        if (strcmp(kind->columns[i].heading, heading) == 0)
            return (const char *)row + kind->columns[i].offset;
    abort(); /* no such column */
}

int64_t published_length(const void *row, const char *heading)
{
    return *(const int64_t *)cell_of(row, heading);
}

double published_number(const void *row, const char *heading)
{
    return *(const double *)cell_of(row, heading);
}

const char *published_text(const void *row, const char *heading)
{
    return *(const char *const *)cell_of(row, heading);
}

const struct table_form *published_form_of(const struct table_set *set, const char *name)
{
    const struct table_form *form;
    for (size_t i = 0; (form = table_row_at(set, "form", i)) != NULL; i++)
        if (strcmp(form->name, name) == 0)
            return form;
    return NULL;
}

const struct table_grade *published_grade_of(const struct table_set *set, const char *name,
                                             int64_t major_pm)
{
    const struct table_grade *grade;
    for (size_t i = 0; (grade = table_row_at(set, "grade", i)) != NULL; i++)
        if (strcmp(name, grade->name) == 0 &&
            (grade->over_pm == TABLE_NO_PM || major_pm > grade->over_pm) &&
            (grade->up_to_pm == TABLE_NO_PM || major_pm <= grade->up_to_pm))
            return grade;
    return NULL;
}

const struct table_thread *published_thread_of(const struct table_set *set, const char *name)
{
    const struct table_thread *thread;
    for (size_t i = 0; (thread = table_row_at(set, "thread", i)) != NULL; i++)
        if (strcmp(thread->name, name) == 0)
            return thread;
    return NULL;
}

const struct published_rule *const published_rules[] = {
    published_thread_rules, published_joint_rules, published_torque_rules,
    published_fit_rules, published_bearing_rules,
    published_practice_rules, NULL};

const struct published_rule *published_broken_rule(const struct table_set *set, const char *kind,
                                                   const void *row)
{
    for (const struct published_rule *const *list = published_rules; *list != NULL; list++)
        for (const struct published_rule *rule = *list; rule->kind != NULL; rule++)
            if (strcmp(rule->kind, kind) == 0 && !rule->holds(set, row))
                return rule;
    return NULL;
}
