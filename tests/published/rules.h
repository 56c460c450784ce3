/* rules.h - what ties the cells of a table to each other and to a formula: names that say a size,
 * diameters that follow from a form, orders, bands that join. A rule looks at one row, in its set. */
#ifndef PUBLISHED_RULES_H
#define PUBLISHED_RULES_H

#include <gudgeon/table.h>

struct published_rule {
    const char *kind; /* of table; NULL ends a list */
    const char *reads; /* ' ' between the kinds in which a wrong cell may break it, besides the row's
                          own cells; "" = none */
    const char *says; /* what holds, for the message */
    const char *source; /* standard and clause; "definition" where the words of the row say it */
    bool second; /* a formula or a sum: as good as a second source; an order is not */
    bool (*holds)(const struct table_set *set, const void *row);
};
extern const struct published_rule published_thread_rules[], published_joint_rules[],
    published_torque_rules[], published_fit_rules[], published_bearing_rules[],
    published_practice_rules[];
extern const struct published_rule *const published_rules[]; /* the lists; ended by NULL */

/* The first rule of the kind that the row breaks; NULL when all hold. */
const struct published_rule *published_broken_rule(const struct table_set *set, const char *kind,
                                                   const void *row);

/* Equal within a share of the second. */
bool published_close(double got, double wanted, double share);

/* A cell of a kind whose rows only src/table knows, by its heading. */
int64_t published_length(const void *row, const char *heading);
const char *published_text(const void *row, const char *heading);
double published_number(const void *row, const char *heading);

/* A row of its kind by a name, NULL when there is none: what rules share. */
const struct table_form *published_form_of(const struct table_set *set, const char *name);
const struct table_thread *published_thread_of(const struct table_set *set, const char *name);
const struct table_grade *published_grade_of(const struct table_set *set, const char *name,
                                             int64_t major_pm);

#endif
