/* rules_bearings.c - rules of rolling bearings: what a designation says, what a dimension series shares,
 * how bands join. */
#include "rules.h"

#include <stdlib.h>
#include <string.h>

#define DIGITS "0123456789"

static bool is_inch(const struct table_bearing *bearing)
{
    return strstr(bearing->series, "inch") != NULL;
}

/* "NU22" is 22; "302" as it stands. */
static const char *series_number(const struct table_bearing *bearing)
{
    return strpbrk(bearing->series, DIGITS);
}

/* --- designations --- */

/* RLS4 is 4/8 in, R8 is 8/16 in; inch tapers go by number alone. */
static bool inch_number_says_bore(const struct table_bearing *bearing)
{
    const char *digits = strpbrk(bearing->designation, DIGITS);
    int parts = strncmp(bearing->designation, "RLS", 3) == 0   ? 8
                : strncmp(bearing->designation, "RMS", 3) == 0 ? 8
                : strcmp(bearing->series, "R inch") == 0       ? 16
                                                               : 0;
    return parts == 0 || llabs(bearing->bore_pm * parts -
                               strtol(digits, NULL, 10) * INT64_C(25400000000)) <= parts;
}

/* The bore's number behind the series: 00 is 10 mm, 01 12, 02 15, 03 17, then fives; a single digit, or
 * what stands behind a stroke, is millimetres. */
static bool number_says_bore(const struct table_set *set, const void *row)
{
    static const int small[] = {10, 12, 15, 17};
    const struct table_bearing *bearing = row;
    (void)set;
    if (is_inch(bearing))
        return inch_number_says_bore(bearing);
    const char *digits = strpbrk(bearing->designation, DIGITS);
    const char *series = series_number(bearing);
    size_t length = strlen(series);
    if (strncmp(digits, series, length) != 0)
        return false;
    const char *code = digits + length;
    long number = strtol(code + (*code == '/'), NULL, 10), mm = number;
    if (strspn(code, DIGITS) == 2)
        mm = number < 4 ? small[number] : 5 * number;
    return bearing->bore_pm == mm * INT64_C(1000000000);
}

/* --- dimension series --- */

/* Width series and diameter series, "02" for 62, NU2, 12, 72 and 302; NULL for a series of its own. 688
 * has the width of its shielded make, which is that of series 38. */
static const char *dimension_series(const struct table_bearing *bearing)
{
    static const char *const names[][2] = {
        {"60", "10"},  {"62", "02"},  {"63", "03"},  {"64", "04"},  {"160", "00"}, {"618", "18"},
        {"619", "19"}, {"68", "38"},  {"69", "19"},  {"42", "22"},  {"12", "02"},  {"22", "22"},
        {"72", "02"},  {"73", "03"},  {"2", "02"},   {"3", "03"},   {"4", "04"},   {"10", "10"},
        {"23", "23"},  {"302", "02"}, {"303", "03"}, {"313", "03"}, {"320", "20"}, {"322", "22"},
        {"323", "23"}, {"330", "30"}, {"331", "31"}, {"332", "32"},
    };
    if (is_inch(bearing) || strcmp(bearing->type, "thrust") == 0)
        return NULL;
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        if (strcmp(series_number(bearing), names[i][0]) == 0)
            return names[i][1];
    return NULL;
}

/* Of one bore, the bearings of one diameter series have one outside, and those of one dimension series
 * one width. */
static bool series_share_sizes(const struct table_set *set, const void *row)
{
    const struct table_bearing *bearing = row, *other;
    const char *own = dimension_series(bearing), *its;
    for (size_t i = 0; own != NULL && (other = table_row_at(set, "bearing", i)) != NULL; i++)
        if (other->bore_pm == bearing->bore_pm && (its = dimension_series(other)) != NULL &&
            own[1] == its[1] &&
            (other->outside_pm != bearing->outside_pm ||
             (own[0] == its[0] && other->width_pm != bearing->width_pm)))
            return false;
    return true;
}

/* A sealed inch bearing has the bore and outside of the open one. */
static bool sealed_fits_the_same(const struct table_set *set, const void *row)
{
    const struct table_bearing *bearing = row, *other;
    size_t length = strcspn(bearing->designation, "-");
    for (size_t i = 0; is_inch(bearing) && strcmp(bearing->type, "deep-groove") == 0 &&
                       (other = table_row_at(set, "bearing", i)) != NULL;
         i++)
        if (strncmp(other->designation, bearing->designation, length) == 0 &&
            strcspn(other->designation, "-") == length &&
            (other->bore_pm != bearing->bore_pm || other->outside_pm != bearing->outside_pm))
            return false;
    return true;
}

/* --- tolerances and seats --- */

/* Runout is no deviation and begins at nothing; bore, outside and width are made small, never large. */
static bool ring_limits_touch_nominal(const struct table_set *set, const void *row)
{
    bool runout = strncmp(published_text(row, "group"), "runout", 6) == 0;
    (void)set;
    return published_length(row, runout ? "low" : "high") == 0;
}

/* Each band of a use begins where another of it ends, or is the first. */
static bool seat_bands_join(const struct table_set *set, const void *row)
{
    const struct table_seat *seat = row, *other;
    bool joined = false, first = true;
    for (size_t i = 0; (other = table_row_at(set, "seat", i)) != NULL; i++)
        if (strcmp(other->place, seat->place) == 0 && strcmp(other->type, seat->type) == 0 &&
            strcmp(other->load, seat->load) == 0 && other != seat) {
            joined |= other->up_to_pm == seat->over_pm;
            first &= other->over_pm >= seat->up_to_pm;
        }
    return joined || first;
}

const struct published_rule published_bearing_rules[] = {
    {"bearing", "", "the designation says the bore", "ISO 15 in common use; BS 292 for inch sizes",
     true, number_says_bore},
    {"bearing", "", "of one bore, a dimension series shares outside and width",
     "ISO 15, ISO 355 table 1", true, series_share_sizes},
    {"bearing", "", "a sealed inch bearing has the bore and outside of the open one",
     "three makers' inch tables", false, sealed_fits_the_same},
    {"bearing-tolerance", "", "limits of a ring begin or end at the nominal size", "ISO 492 tables",
     true, ring_limits_touch_nominal},
    {"seat", "seat", "bands of a use join", "a bearing maker's catalogue of 2018, tables 5 and 6", false,
     seat_bands_join},
    {NULL, NULL, NULL, NULL, false, NULL},
};
