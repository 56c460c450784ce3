/* table_fit.c - ISO 286 limits of a class at a nominal size, and the inch fits of ANSI B4.1.
 *
 * The tables are the standard: the formulas of its annex reproduce less than half of them. What is
 * computed here is only what ISO 286-1 defines by rule from the tabulated values: the other limit
 * from the standard tolerance, js, and holes from shafts with the increment delta. */
#include "table_private.h"

#include <string.h>

struct class
{
    char letters[3]; /* as written */
    char shaft[3]; /* in small letters */
    bool hole;
    int grade; /* -1 is IT01 */
};

/* ISO 286-1, 4.1.3: in order from a (most clearance) to zc; i, l, o, q, w are not used. */
static const char *const shaft_letters[] = {"a", "b", "c",  "cd", "d", "e",  "ef", "f", "fg", "g",
                                            "h", "j", "js", "k",  "m", "n",  "p",  "r", "s",  "t",
                                            "u", "v", "x",  "y",  "z", "za", "zb", "zc"};

static size_t letter_order(const char *letters)
{
    size_t i = 0;
    while (i < sizeof shaft_letters / sizeof *shaft_letters &&
           !str_equal(letters, shaft_letters[i]))
        i++;
    return i;
}

static bool is_upper(char c)
{
    return c >= 'A' && c <= 'Z';
}

static bool is_lower(char c)
{
    return c >= 'a' && c <= 'z';
}

static bool class_read(const char *text, struct class *class)
{
    size_t length = 0;
    *class = (struct class){.hole = is_upper(text[0])};
    while (length < 2 && (class->hole ? is_upper(text[length]) : is_lower(text[length]))) {
        class->letters[length] = text[length];
        class->shaft[length] = class->hole ? (char)(text[length] - 'A' + 'a') : text[length];
        length++;
    }
    if (length == 0 || letter_order(class->shaft) == sizeof shaft_letters / sizeof *shaft_letters)
        return false;
    int64_t grade;
    if (str_equal(text + length, "01")) {
        class->grade = -1;
        return true;
    }
    if (text[length] == '+' || text[length] == '-' || (text[length] == '0' && text[length + 1]) ||
        !str_to_int(text + length, &grade) || grade > 18)
        return false;
    class->grade = (int)grade;
    return true;
}

bool table_is_class(const char *text)
{
    struct class class;
    return class_read(text, &class);
}

int64_t table_it(const struct table_set *set, const char *grade, int64_t nominal_pm)
{
    struct table_walk walk = table_walk_over(set, KIND_IT);
    const struct table_it_row *row;
    while ((row = table_walk_next(&walk)) != NULL)
        if (str_equal(row->grade, grade) &&
            table_band_holds(row->over_pm, row->up_to_pm, nominal_pm))
            return row->tolerance_pm;
    return TABLE_NO_PM;
}

static int64_t it_of(const struct table_set *set, int grade, int64_t nominal_pm)
{
    static const char *const names[] = {"IT01", "IT0",  "IT1",  "IT2",  "IT3",  "IT4",  "IT5",
                                        "IT6",  "IT7",  "IT8",  "IT9",  "IT10", "IT11", "IT12",
                                        "IT13", "IT14", "IT15", "IT16", "IT17", "IT18"};
    return grade < -1 ? TABLE_NO_PM : table_it(set, names[grade + 1], nominal_pm);
}

/* "4|5|6|7" names 6; "" names every grade. */
static bool grade_listed(const char *grades, int grade)
{
    char text[4] = {0};
    if (grades[0] == '\0')
        return true;
    if (grade >= 10)
        text[0] = (char)('0' + grade / 10);
    text[strlen(text)] = (char)('0' + (grade < 0 ? 0 : grade) % 10);
    return table_word_is(text, "", grades);
}

static const struct table_deviation *
deviation_find(const struct table_set *set, const char *letters, int grade, int64_t nominal_pm)
{
    struct table_walk walk = table_walk_over(set, KIND_DEVIATION);
    const struct table_deviation *row;
    while ((row = table_walk_next(&walk)) != NULL)
        if (strcmp(row->letters, letters) == 0 && grade_listed(row->grades, grade) &&
            table_band_holds(row->over_pm, row->up_to_pm, nominal_pm))
            return row;
    return NULL;
}

enum { UP_TO_3_MM = 3 }; /* the increment delta does not apply up to 3 mm */

static bool takes_delta(const struct class *class, int64_t nominal_pm)
{
    bool transition = class->shaft[0] == 'k' || class->shaft[0] == 'm' || class->shaft[0] == 'n';
    return nominal_pm > UP_TO_3_MM * INT64_C(1000000000) && class->grade <= (transition ? 8 : 7);
}

/* Upper deviation of a hole K to ZC, ISO 286-1 4.3.3: ES = -ei of the same letter, plus delta =
 * IT(n) - IT(n-1) for K, M, N to IT8 and P to ZC to IT7. */
static int64_t hole_upper(const struct table_set *set, const struct class *class,
                          int64_t nominal_pm, const char **source)
{
    const struct table_deviation *own =
        deviation_find(set, class->letters, class->grade, nominal_pm);
    if (own != NULL) { /* tabulated for itself: J, K and N of coarse grades, M6 over 250 */
        *source = own->row.source;
        return own->deviation_pm;
    }
    /* For holes k stands for its value in grades 4 to 7. */
    int shaft_grade = class->shaft[0] == 'k' ? 7 : class->grade;
    const struct table_deviation *shaft =
        deviation_find(set, class->shaft, shaft_grade, nominal_pm);
    if (shaft == NULL || class->shaft[0] == 'j')
        return TABLE_NO_PM;
    *source = shaft->row.source;
    if (!takes_delta(class, nominal_pm))
        return class->shaft[0] == 'k' && nominal_pm > UP_TO_3_MM * INT64_C(1000000000)
                   ? TABLE_NO_PM
                   : -shaft->deviation_pm;
    int64_t finer = it_of(set, class->grade - 1, nominal_pm);
    if (finer == TABLE_NO_PM)
        return TABLE_NO_PM;
    return -shaft->deviation_pm + it_of(set, class->grade, nominal_pm) - finer;
}

struct table_limits table_class_limits(const struct table_set *set, const char *text,
                                       int64_t nominal_pm)
{
    struct class class;
    struct table_limits limits = {.status = TABLE_UNKNOWN, .source = ""};
    if (!class_read(text, &class))
        return limits;
    limits.hole = class.hole;
    limits.status = TABLE_CONTRADICTION;
    int64_t tolerance = nominal_pm <= 0 ? TABLE_NO_PM : it_of(set, class.grade, nominal_pm);
    if (tolerance == TABLE_NO_PM)
        return limits;
    size_t order = letter_order(class.shaft);
    if (str_equal(class.shaft, "js")) {
        limits.source = "ISO 286-1: js = +-IT/2";
        limits.high_pm = tolerance / 2;
        limits.low_pm = -limits.high_pm;
    } else if (order <= letter_order("h")) { /* the side of clearance: es, or EI = -es */
        const struct table_deviation *row =
            deviation_find(set, class.shaft, class.grade, nominal_pm);
        if (row == NULL)
            return limits;
        limits.source = row->row.source;
        limits.low_pm = class.hole ? -row->deviation_pm : row->deviation_pm - tolerance;
        limits.high_pm = limits.low_pm + tolerance;
    } else if (class.hole) {
        int64_t upper = hole_upper(set, &class, nominal_pm, &limits.source);
        if (upper == TABLE_NO_PM)
            return limits;
        limits.high_pm = upper;
        limits.low_pm = upper - tolerance;
    } else {
        const struct table_deviation *row =
            deviation_find(set, class.shaft, class.grade, nominal_pm);
        if (row == NULL)
            return limits;
        limits.source = row->row.source;
        limits.low_pm = row->deviation_pm;
        limits.high_pm = row->deviation_pm + tolerance;
    }
    limits.status = TABLE_FOUND;
    return limits;
}

const struct table_b41 *table_b41_find(const struct table_set *set, const char *class,
                                       int64_t nominal_pm)
{
    struct table_walk walk = table_walk_over(set, KIND_B41);
    const struct table_b41 *row;
    while ((row = table_walk_next(&walk)) != NULL)
        if (str_equal(row->class, class) &&
            table_band_holds(row->over_pm, row->up_to_pm, nominal_pm))
            return row;
    return NULL;
}
