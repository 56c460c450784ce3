/* table_bearing.c - rolling bearings by designation and by their sizes; ring tolerances, clearance. */
#include "table_private.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Capitals, without blanks. */
static void squeezed(const char *designation, char *out, size_t room)
{
    size_t length = 0;
    for (const char *at = designation; *at != '\0' && length + 1 < room; at++)
        if (*at != ' ')
            out[length++] = *at >= 'a' && *at <= 'z' ? (char)(*at - 'a' + 'A') : *at;
    out[length] = '\0';
}

/* What may follow a designation without changing its boundary dimensions: seals, clearance, cage,
 * grease. A digit would make it another bearing, but for 2RS and 2Z. */
static bool is_suffix(const char *rest)
{
    return rest[0] < '0' || rest[0] > '9' || str_starts(rest, "2RS") || str_starts(rest, "2Z");
}

static void nearest_bearings(const struct table_set *set, const char *name, struct table_near *near)
{
    struct table_walk walk = table_walk_over(set, KIND_BEARING);
    const struct table_bearing *row;
    while ((row = table_walk_next(&walk)) != NULL)
        if (str_nearest(name, &row->designation, 1) != NULL)
            table_near_add(near, row->designation);
}

static struct table_bearing_found find_squeezed(const struct table_set *set, const char *name)
{
    struct table_bearing_found found = {.status = TABLE_UNKNOWN};
    size_t longest = 0;
    struct table_walk walk = table_walk_over(set, KIND_BEARING);
    const struct table_bearing *row;
    while ((row = table_walk_next(&walk)) != NULL) {
        size_t length = strlen(row->designation);
        if (length > longest && str_starts(name, row->designation) && is_suffix(name + length)) {
            longest = length;
            found.bearing = row;
            found.status = TABLE_FOUND;
        }
    }
    return found;
}

/* The other way the trade writes some names; false when there is none. Thin sections lack the 1 of ISO
 * 15's width series (6805); of an inch taper's cup only the last figures may stand (LM11949/10). */
static bool otherwise(const char *name, char *out, size_t room)
{
    const char *slash = strchr(name, '/');
    size_t cone = slash == NULL ? 0 : (size_t)(slash - name),
           cup = cone == 0 ? 0 : strlen(slash + 1);
    if ((str_starts(name, "68") || str_starts(name, "69")) && strspn(name, "0123456789") == 4)
        return snprintf(out, room, "61%s", name + 1) < (int)room;
    return cup > 0 && cup < cone &&
           snprintf(out, room, "%.*s%.*s%s", (int)(cone + 1), name, (int)(cone - cup), name,
                    slash + 1) < (int)room;
}

struct table_bearing_found table_bearing_find(const struct table_set *set, const char *designation)
{
    char name[64], other[96];
    squeezed(designation, name, sizeof name);
    struct table_bearing_found found = find_squeezed(set, name);
    if (found.bearing == NULL && otherwise(name, other, sizeof other))
        found = find_squeezed(set, other);
    if (found.bearing == NULL)
        nearest_bearings(set, name, &found.near);
    return found;
}

/* --- identification --- */

static const int64_t exact_pm = 50000000; /* 0.05 mm: more than any tolerance of a ring, less than
                                               any step between sizes */
static const int64_t near_pm = 1000000000; /* 1 mm: a misread ruler */

static int64_t off(int64_t measured_pm, int64_t listed_pm)
{
    return measured_pm == TABLE_NO_PM ? 0 : measured_pm - listed_pm;
}

static int64_t largest_off(const struct table_bearing_candidate *candidate)
{
    int64_t largest = llabs(candidate->bore_off_pm);
    if (llabs(candidate->outside_off_pm) > largest)
        largest = llabs(candidate->outside_off_pm);
    if (llabs(candidate->width_off_pm) > largest)
        largest = llabs(candidate->width_off_pm);
    return largest;
}

static int by_off(const void *a, const void *b)
{
    int64_t first = largest_off(a), second = largest_off(b);
    const struct table_bearing_candidate *one = a, *other = b;
    if (first != second)
        return first < second ? -1 : 1;
    return strcmp(one->bearing->designation, other->bearing->designation);
}

struct table_bearing_candidates table_bearing_identify(struct arena *arena,
                                                       const struct table_set *set, int64_t bore_pm,
                                                       int64_t outside_pm, int64_t width_pm)
{
    struct table_bearing_candidates candidates = {0};
    struct table_walk walk = table_walk_over(set, KIND_BEARING);
    const struct table_bearing *row;
    while ((row = table_walk_next(&walk)) != NULL) {
        /* A taper may have been measured over all, or over its cone. */
        int64_t width_off = off(width_pm, row->width_pm);
        int64_t overall_off = off(width_pm, row->overall_pm);
        struct table_bearing_candidate candidate = {
            row, off(bore_pm, row->bore_pm), off(outside_pm, row->outside_pm),
            llabs(overall_off) < llabs(width_off) ? overall_off : width_off,
            llabs(overall_off) < llabs(width_off)};
        if (largest_off(&candidate) > near_pm)
            continue;
        candidates.exact += largest_off(&candidate) <= exact_pm;
        *ARRAY_PUSH(arena, &candidates) = candidate;
    }
    if (candidates.count > 0)
        qsort(candidates.items, candidates.count, sizeof *candidates.items, by_off);
    return candidates;
}

/* --- tolerance and clearance --- */

static const struct table_bearing_limits *limits_find(const struct table_set *set,
                                                      enum table_kind_id kind, const char *type,
                                                      const char *group, int64_t size_pm)
{
    struct table_walk walk = table_walk_over(set, kind);
    const struct table_bearing_limits *row;
    while ((row = table_walk_next(&walk)) != NULL)
        if (str_equal(row->type, type) && str_equal(row->group, group) &&
            table_band_holds(row->over_pm, row->up_to_pm, size_pm))
            return row;
    return NULL;
}

static bool give(const struct table_bearing_limits *row, int64_t *low_pm, int64_t *high_pm,
                 const char **source)
{
    if (row == NULL)
        return false;
    *low_pm = row->low_pm;
    *high_pm = row->high_pm;
    *source = row->row.source;
    return true;
}

bool table_bearing_ring(const struct table_set *set, const struct table_bearing *bearing,
                        const char *group, int64_t *low_pm, int64_t *high_pm, const char **source)
{
    bool taper = str_equal(bearing->type, "taper-roller");
    if (strstr(bearing->series, "inch") != NULL || str_starts(bearing->type, "thrust"))
        return false; /* ISO 492 is for metric radial bearings; the others were made to other limits */
    return give(limits_find(set, KIND_BEARING_TOLERANCE, taper ? "taper-roller" : "radial", group,
                            str_equal(group, "outside") ? bearing->outside_pm : bearing->bore_pm),
                low_pm, high_pm, source);
}

bool table_bearing_tolerance(const struct table_set *set, const struct table_bearing *bearing,
                             bool outer, int64_t *low_pm, int64_t *high_pm, const char **source)
{
    return table_bearing_ring(set, bearing, outer ? "outside" : "bore", low_pm, high_pm, source);
}

bool table_bearing_clearance(const struct table_set *set, const struct table_bearing *bearing,
                             const char *group, int64_t *low_pm, int64_t *high_pm,
                             const char **source)
{
    const struct table_word *word = table_word_find(set, "clearance", group, NULL);
    return give(limits_find(set, KIND_BEARING_CLEARANCE, bearing->type,
                            word == NULL ? group : word->name, bearing->bore_pm),
                low_pm, high_pm, source);
}
