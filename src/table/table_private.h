/* table_private.h - how a table set is held, and the kinds of rows that only this module sees. */
#ifndef TABLE_PRIVATE_H
#define TABLE_PRIVATE_H

#include <math.h>
#include <gudgeon/table.h>

/* name of the kind in files, enum, struct of its rows; in the order in which they are listed */
#define TABLE_KINDS(KIND)                                                                          \
    KIND("thread", THREAD, table_thread)                                                           \
    KIND("form", FORM, table_form)                                                                 \
    KIND("hexagon", HEXAGON, table_hexagon)                                                        \
    KIND("hole", HOLE, table_hole)                                                                 \
    KIND("tap-drill", TAP_DRILL, table_tap_drill)                                                  \
    KIND("drill", DRILL, table_drill)                                                              \
    KIND("pin", PIN, table_pin)                                                                    \
    KIND("pin-size", PIN_SIZE, table_pin_size)                                                     \
    KIND("grade", GRADE, table_grade)                                                              \
    KIND("nut", NUT, table_nut)                                                                    \
    KIND("friction", FRICTION, table_friction)                                                     \
    KIND("torque", TORQUE, table_torque)                                                           \
    KIND("factor", FACTOR, table_factor)                                                           \
    KIND("drag", DRAG, table_drag)                                                                 \
    KIND("engagement", ENGAGEMENT, table_engagement)                                               \
    KIND("tolerance-grade", IT, table_it_row)                                                      \
    KIND("deviation", DEVIATION, table_deviation)                                                  \
    KIND("inch-fit", B41, table_b41)                                                               \
    KIND("bearing", BEARING, table_bearing)                                                        \
    KIND("bearing-tolerance", BEARING_TOLERANCE, table_bearing_limits)                             \
    KIND("bearing-clearance", BEARING_CLEARANCE, table_bearing_limits)                             \
    KIND("roller", ROLLER, table_roller)                                                           \
    KIND("roller-grade", ROLLER_GRADE, table_roller_grade)                                         \
    KIND("oversize", OVERSIZE, table_oversize)                                                     \
    KIND("life-factor", LIFE_FACTOR, table_life_factor)                                            \
    KIND("seat", SEAT, table_seat)                                                                 \
    KIND("material", MATERIAL, table_material)                                                     \
    KIND("sheet", SHEET, table_sheet)                                                              \
    KIND("rule", RULE, table_rule)                                                                 \
    KIND("ceiling", CEILING, table_ceiling)                                                        \
    KIND("chill", CHILL, table_chill)                                                              \
    KIND("record", RECORD, table_record)                                                           \
    KIND("caution", CAUTION, table_caution)                                                        \
    KIND("word", WORD, table_word)

enum table_kind_id {
#define KIND(name, id, type) KIND_##id,
    TABLE_KINDS(KIND)
#undef KIND
        KIND_COUNT
};

/* ISO 286-1: standard tolerance of one grade and size step. */
struct table_it_row {
    struct table_row row;
    const char *grade; /* "IT7" */
    int64_t over_pm, up_to_pm;
    int64_t tolerance_pm;
};

/* ISO 286-1: fundamental deviation of one letter. Shafts: the deviation nearest zero (es for a..h,
 * ei for j..zc). Holes have rows only where the rule of ISO 286-1 does not give them (J, and single
 * exceptions); then it is ES. */
struct table_deviation {
    struct table_row row;
    const char *letters; /* "k", "zc", "J"; case counts */
    const char *grades; /* "" = every grade, else those it holds for: "4|5|6|7" */
    int64_t over_pm, up_to_pm;
    int64_t deviation_pm;
};

/* Limits of a bearing by bore (or outside) band: tolerance of a ring, or internal clearance. */
struct table_bearing_limits {
    struct table_row row;
    const char *type; /* "radial", "taper-roller"; "deep-groove", "cylindrical-roller", ... */
    const char *group; /* "bore", "outside"; "C2", "CN", ... */
    int64_t over_pm, up_to_pm;
    int64_t low_pm, high_pm;
};

/* Rows of one file. */
struct table_slice {
    const struct table_head *head;
    const void *rows;
    size_t count;
    const struct table_slice *next;
    const struct span *cells; /* of each row the place of each column's cell; NULL when built in */
};

struct table_set {
    const struct table_slice *slices[KIND_COUNT]; /* the user's first */
};

extern const struct table_kind table_kinds[KIND_COUNT];
extern const struct table_set table_built_in; /* generated by table_embed_tool.c */

/* Walks over the rows of one kind: for (walk = ...; (row = table_walk_next(&walk)) != NULL;) */
struct table_walk {
    const struct table_slice *slice;
    size_t index, row_size;
};
struct table_walk table_walk_over(const struct table_set *set, enum table_kind_id kind);
const void *table_walk_next(struct table_walk *walk);

/* The cell of a row. */
static inline const void *table_cell_at(const void *row, const struct table_column *column)
{
    return (const char *)row + column->offset;
}

/* True if `word` is `name` or one of `spellings` ('|' between them), whatever the case of letters;
 * '-', '_' and blanks are one and the same. An empty word is no word. */
bool table_word_is(const char *word, const char *name, const char *spellings);
/* True if the text, as tables by size write it, is the size of the thread: "M10", "2 BA", "3/8", and
 * with the system where sizes share it, "3/8 BSF". */
bool table_size_is(const struct table_thread *thread, const char *text);
bool table_band_holds(int64_t over_pm, int64_t up_to_pm, int64_t size_pm);
void table_near_add(struct table_near *near, const char *name); /* once each, while there is room */

/* A whole file: head, columns and cells read, units converted. NULL after reporting. */
struct table_slice *table_read(struct context *context, uint32_t source, enum table_kind_id *kind);
/* What no single cell shows: keys given twice, bands that overlap or leave a gap, low over high,
 * names of one kind that another should know (`set` NULL: not looked at). False after reporting. */
bool table_check(struct context *context, enum table_kind_id kind, const struct table_slice *slice,
                 const struct table_set *set);
/* What is built in leaves the words of a caution to the label sets; a user's own row must say them. */
bool table_check_words(struct context *context, enum table_kind_id kind,
                       const struct table_slice *slice);
/* The factors that the head of a torque table gives, as rows of kind factor; NULL if none. */
struct table_slice *table_read_factors(struct context *context, uint32_t source,
                                       const struct table_head *head, bool *ok);

#endif
