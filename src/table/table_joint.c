/* table_joint.c - strength, friction, published torques and what goes with them. */
#include "table_private.h"

#include <stdlib.h>

struct table_grade_found table_grade_find(const struct table_set *set, const char *name,
                                          int64_t major_pm)
{
    struct table_grade_found found = {.status = TABLE_UNKNOWN};
    struct table_walk walk = table_walk_over(set, KIND_GRADE);
    const struct table_grade *row;
    while ((row = table_walk_next(&walk)) != NULL) {
        if (!table_word_is(name, row->name, row->spellings))
            continue;
        table_near_add(&found.near, row->name);
        if (found.grade == NULL &&
            (major_pm == 0 || table_band_holds(row->over_pm, row->up_to_pm, major_pm)))
            found.grade = row;
    }
    if (found.near.count == 1) {
        found.status = TABLE_FOUND;
        found.near.count = 0;
        return found;
    }
    if (found.near.count > 1) { /* one spelling, several grades: 5 may be SAE 5 */
        found.status = TABLE_AMBIGUOUS;
        found.grade = NULL;
        return found;
    }
    walk = table_walk_over(set, KIND_GRADE);
    while ((row = table_walk_next(&walk)) != NULL)
        if (str_nearest(name, &row->name, 1) != NULL)
            table_near_add(&found.near, row->name);
    return found;
}

const struct table_nut *table_nut_find(const struct table_set *set, const char *class,
                                       const char *style, int64_t major_pm)
{
    struct table_walk walk = table_walk_over(set, KIND_NUT);
    const struct table_nut *row;
    while ((row = table_walk_next(&walk)) != NULL)
        if (str_equal(row->class, class) && str_equal(row->style, style) &&
            table_band_holds(row->over_pm, row->up_to_pm, major_pm))
            return row;
    return NULL;
}

const struct table_friction *table_friction_find(const struct table_set *set, const char *lubricant,
                                                 const char *plating)
{
    const struct table_friction *any = NULL, *row;
    struct table_walk walk = table_walk_over(set, KIND_FRICTION);
    while ((row = table_walk_next(&walk)) != NULL) {
        if (!str_equal(row->lubricant, lubricant == NULL ? "" : lubricant))
            continue;
        if (str_equal(row->plating, plating == NULL ? "" : plating))
            return row;
        if (any == NULL && row->plating[0] == '\0')
            any = row;
    }
    return any;
}

/* --- torque --- */

static bool by_memory(const struct table_row *row)
{
    return str_starts(row->source, "from memory");
}

/* Nearest level first, a remembered row after one that was read, then file order. */
static bool goes_before(const struct table_torque *a, const struct table_torque *b)
{
    if (a->row.table->level != b->row.table->level)
        return a->row.table->level < b->row.table->level;
    return !by_memory(&a->row) && by_memory(&b->row);
}

static void insert(struct arena *arena, struct table_torques *torques,
                   const struct table_torque *row)
{
    *ARRAY_PUSH(arena, torques) = row;
    for (size_t i = torques->count - 1; i > 0 && goes_before(row, torques->items[i - 1]); i--) {
        torques->items[i] = torques->items[i - 1];
        torques->items[i - 1] = row;
    }
}

struct table_torques table_torque_find(struct arena *arena, const struct table_set *set,
                                       const struct table_thread *thread, const char *grade,
                                       const char *table_id)
{
    struct table_torques torques = {0};
    struct table_walk walk = table_walk_over(set, KIND_TORQUE);
    const struct table_torque *row;
    const char *canonical = grade;
    if (grade != NULL) {
        struct table_grade_found found = table_grade_find(set, grade, 0);
        if (found.status == TABLE_FOUND && found.grade != NULL)
            canonical = found.grade->name;
    }
    while ((row = table_walk_next(&walk)) != NULL) {
        if (str_equal(row->thread, thread->name) &&
            (table_id == NULL || str_equal(row->row.table->id, table_id)) &&
            (row->grade[0] == '\0' || canonical == NULL || str_equal(row->grade, canonical)))
            insert(arena, &torques, row);
    }
    return torques;
}

static bool said(const char *word)
{
    return word != NULL && word[0] != '\0';
}

enum table_holds table_torque_holds(const struct table_torque *row,
                                    struct table_condition condition, const char **what)
{
    const struct {
        const char *what, *row, *joint;
    } pairs[] = {
        {"lubricant", row->lubricant, condition.lubricant},
        {"plating", row->plating, condition.plating},
        {"fastener", row->fastener, condition.fastener},
    };
    bool stated = false;
    int differ = 0;
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++) {
        stated |= said(pairs[i].row);
        if (!said(pairs[i].row) ||
            (said(pairs[i].joint) && str_equal(pairs[i].row, pairs[i].joint)))
            continue;
        if (differ++ == 0 && what != NULL)
            *what = pairs[i].what;
    }
    if (table_has(row->friction))
        return TABLE_DIFFERS_MORE;
    if (!stated)
        return TABLE_HOLDS_UNSAID;
    return differ == 0 ? TABLE_HOLDS : differ == 1 ? TABLE_DIFFERS : TABLE_DIFFERS_MORE;
}

const struct table_factor *table_factor_find(const struct table_set *set,
                                             const struct table_head *table, const char *what,
                                             const char *from, const char *to)
{
    struct table_walk walk = table_walk_over(set, KIND_FACTOR);
    const struct table_factor *row;
    while ((row = table_walk_next(&walk)) != NULL)
        if (str_equal(row->table, table->id) && str_equal(row->what, what) &&
            str_equal(row->from, from) && str_equal(row->to, to))
            return row;
    return NULL;
}

const struct table_drag *table_drag_find(const struct table_set *set,
                                         const struct table_thread *thread)
{
    struct table_walk walk = table_walk_over(set, KIND_DRAG);
    const struct table_drag *row;
    while ((row = table_walk_next(&walk)) != NULL)
        if (str_equal(row->thread, thread->name))
            return row;
    return NULL;
}

const struct table_engagement *table_engagement_find(const struct table_set *set,
                                                     const char *material)
{
    const struct table_material *found = table_material_find(set, material, NULL);
    struct table_walk walk = table_walk_over(set, KIND_ENGAGEMENT);
    const struct table_engagement *row;
    while ((row = table_walk_next(&walk)) != NULL)
        if (table_word_is(material, row->material, "") ||
            (found != NULL &&
             (str_equal(row->material, found->name) || str_equal(row->material, found->family))))
            return row;
    return NULL;
}
