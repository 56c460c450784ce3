/* table_query_private.h - one question at the bench: the words, the set, and where the answer goes. */
#ifndef TABLE_QUERY_PRIVATE_H
#define TABLE_QUERY_PRIVATE_H

#include "table_private.h"

struct query {
    struct arena *arena;
    const struct table_set *set;
    char **words; /* without the topic */
    size_t count;
    const char *text; /* the words joined by blanks */
    struct str_buf *out;
};

/* Lengths and numbers among the words, in order: "0.311 in", "7.9mm", "22 tpi". */
struct query_sizes {
    int64_t lengths[4];
    size_t count;
    double tpi; /* NAN */
    size_t words; /* how many of the words were sizes */
};
/* `bare`: the unit of decimals without one; NULL: they are no sizes. */
struct query_sizes query_sizes(const struct query *query, const char *bare);

/* "8 mm (0.3150 in)", exact in mm; "not in the table" when absent. */
char *query_length(struct arena *arena, int64_t pm);
/* A deviation or clearance, in micrometres and thou: "-5 um (-0.20 thou)". */
char *query_small(struct arena *arena, int64_t pm);
char *query_number(struct arena *arena, double si, enum qty_dim dim);
/* "  label       text\n" */
void query_line(const struct query *query, const char *label, const char *text);
void query_source(const struct query *query, const struct table_row *row);
void query_near(const struct query *query, const char *what, const struct table_near *near);

/* What was measured: every thread or bearing that it could be. False when nothing has these sizes;
 * *asked is false when the words are no sizes, and nothing is printed then. */
bool query_thread_of_size(const struct query *query, bool *asked);
bool query_bearing_of_size(const struct query *query, bool *asked);

bool query_thread(const struct query *query);
bool query_bearing(const struct query *query);
bool query_fit(const struct query *query);
bool query_torque(const struct query *query);
bool query_material(const struct query *query);
bool query_rule(const struct query *query);
/* Any kind: its rows, or those whose first columns are the words. */
bool query_kind(const struct query *query, enum table_kind_id kind);

#endif
