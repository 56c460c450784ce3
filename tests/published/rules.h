/* rules.h - what ties the cells of a table to each other and to a formula: names that say a size,
 * diameters that follow from a form, orders, bands that join. A rule looks at one row, in its set. */
#ifndef PUBLISHED_RULES_H
#define PUBLISHED_RULES_H

#include <gudgeon/table.h>

struct published_rule {
    const char *kind; /* of table; NULL ends a list */
    const char *says; /* what holds, for the message */
    bool (*holds)(const struct table_set *set, const void *row);
};
extern const struct published_rule published_thread_rules[], published_joint_rules[];

/* The first rule of the kind that the row breaks; NULL when all hold. */
const char *published_broken_rule(const struct table_set *set, const char *kind, const void *row);

/* Equal within a share of the second. */
bool published_close(double got, double wanted, double share);

#endif
