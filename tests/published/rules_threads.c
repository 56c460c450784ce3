/* rules_threads.c - rules of threads, forms, drills, holes and hexagons. */
#include "check_rows.h"
#include "rules.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define PM_PER_IN 25.4e9

/* "1 1/8", "7/8", "#10", "M10", "0.25 in" in picometres; `end` moves behind it. NAN when it is none. */
static double size_of(const char *text, const char **end)
{
    char *at;
    if (*text == '#')
        return (0.060 + 0.013 * strtod(text + 1, (char **)end)) * PM_PER_IN;
    if (*text == 'M')
        return strtod(text + 1, (char **)end) * 1e9;
    double whole = strtod(text, &at), above = 0, below = 1;
    if (*at == ' ' && strchr(at, '/') != NULL) {
        above = strtod(at + 1, &at);
        below = strtod(at + 1, &at);
    } else if (*at == '/') {
        above = whole;
        whole = 0;
        below = strtod(at + 1, &at);
    }
    *end = at;
    return (whole + above / below) * PM_PER_IN;
}

/* --- threads --- */

/* BS 93: pitch 0.9^N mm to 0.01, diameter 6 P^1.2 mm to 0.1 (16 BA to 0.01). */
static bool ba_name_says(const struct table_thread *thread)
{
    double number = strtod(thread->name, NULL), pitch = pow(0.9, number);
    double step = number < 16 ? 0.1 : 0.01;
    return published_close((double)thread->pitch_pm / 1e9, round(pitch * 100) / 100, 1e-6) &&
           published_close((double)thread->major_pm / 1e9, round(6 * pow(pitch, 1.2) / step) * step,
                           1e-6);
}

/* The name says diameter and pitch: M8x1.25, 3/8-20 BSF, 14 mm plug (whose pitch it does not say). */
static bool name_says_size(const struct table_set *set, const void *row)
{
    const struct table_thread *thread = row;
    const char *at = thread->name;
    (void)set;
    if (strcmp(thread->system, "BA") == 0)
        return ba_name_says(thread);
    if (strcmp(thread->system, "G") == 0)
        return true; /* the bore of a pipe, not the diameter of a thread */
    if (strstr(thread->name, " mm plug") != NULL)
        return published_close((double)thread->major_pm, strtod(at, NULL) * 1e9, 1e-9);
    double major = size_of(thread->name, &at);
    double pitch = *at == 'x' ? strtod(at + 1, NULL) * 1e9 : PM_PER_IN / strtod(at + 1, NULL);
    return published_close((double)thread->major_pm, major, 1e-9) &&
           published_close((double)thread->pitch_pm, pitch, 1e-9) &&
           (!table_has(thread->tpi) || published_close(thread->tpi, PM_PER_IN / pitch, 1e-9));
}

static bool pitch_is_tpi(const struct table_set *set, const void *row)
{
    const struct table_thread *thread = row;
    (void)set;
    return !table_has(thread->tpi) ||
           published_close((double)thread->pitch_pm, PM_PER_IN / thread->tpi, 1e-9);
}

/* BS 93 rounds depths to 0.005 mm, ISO 228-1 diameters to 0.001 mm; the others are exact. */
static bool diameters_follow_form(const struct table_set *set, const void *row)
{
    const struct table_thread *thread = row;
    const struct table_form *form = published_form_of(set, thread->form);
    double major = (double)thread->major_pm, pitch = (double)thread->pitch_pm;
    double off = strcmp(thread->system, "BA") == 0  ? 5.1e6
                 : strcmp(thread->system, "G") == 0 ? 1.6e6
                                                    : 5.5e4;
    if (form == NULL)
        return false;
    return fabs((double)thread->effective_pm - (major - form->effective_per_pitch * pitch)) <=
               off &&
           fabs((double)thread->minor_pm - (major - form->minor_per_pitch * pitch)) <= 2 * off &&
           fabs((double)thread->root_pm - (major - form->root_per_pitch * pitch)) <= 2 * off;
}

static bool area_follows_diameters(const struct table_set *set, const void *row)
{
    const struct table_thread *thread = row;
    const double quarter = atan(1);
    double effective = (double)thread->effective_pm, root = (double)thread->root_pm;
    double diameter = (effective + root) / 2;
    (void)set;
    if (thread->area_rule[0] == '\0')
        return !table_has(thread->stress_area_m2);
    if (strstr(thread->area_rule, "ASME") != NULL) /* D - 0.9743 / n */
        diameter = (double)thread->major_pm - 0.9743 * (double)thread->pitch_pm;
    return published_close(thread->stress_area_m2, quarter * pow(diameter * 1e-12, 2), 6e-4);
}

/* Spark plugs: the pitch that each metric size has had since ISO took them in. */
static bool plug_pitch(const struct table_set *set, const void *row)
{
    static const double pitches[][2] = {{8, 1}, {10, 1}, {12, 1.25}, {14, 1.25}, {18, 1.5}};
    const struct table_thread *thread = row;
    (void)set;
    for (size_t i = 0; i < sizeof pitches / sizeof *pitches; i++)
        if (strcmp(thread->system, "plug") == 0 &&
            published_close((double)thread->major_pm, pitches[i][0] * 1e9, 1e-3))
            return published_close((double)thread->pitch_pm, pitches[i][1] * 1e9, 1e-9);
    return true;
}

/* ISO 228-1: 28 threads an inch to 1/8, 19 to 3/8, 14 to 7/8, 11 from 1. */
static bool pipe_tpi(const struct table_set *set, const void *row)
{
    const struct table_thread *thread = row;
    const char *end;
    (void)set;
    if (strcmp(thread->system, "G") != 0)
        return true;
    double size = size_of(thread->size, &end) / PM_PER_IN;
    return thread->tpi == (size <= 0.125 ? 28 : size <= 0.375 ? 19 : size < 1 ? 14 : 11);
}

/* --- forms: H = P / (2 tan beta), and what is cut off it --- */

static bool form_is_as_cut(const struct table_set *set, const void *row)
{
    const struct table_form *form = row;
    static const struct {
        const char *name;
        double half_angle, effective, minor, root, radius; /* but for the angle, parts of H */
    } forms[] = {
        {"iso", 30, 3. / 4, 5. / 4, 17. / 12, 1. / 6},
        {"un", 30, 3. / 4, 5. / 4, 17. / 12, 1. / 6},
        {"unr", 30, 3. / 4, 5. / 4, 11. / 8, 1. / 6},
        {"whitworth", 27.5, 2. / 3, 4. / 3, 4. / 3, NAN},
        {"us-flat", 30, 3. / 4, 3. / 2, 3. / 2, NAN},
    };
    double half = form->flank_half_angle_deg * atan(1) / 45, height = 1 / (2 * tan(half));
    (void)set;
    if (!published_close(form->height_per_pitch, height, 1e-6))
        return false;
    for (size_t i = 0; i < sizeof forms / sizeof *forms; i++)
        if (strcmp(form->name, forms[i].name) == 0 &&
            !(form->flank_half_angle_deg == forms[i].half_angle &&
              published_close(form->effective_per_pitch, forms[i].effective * height, 2e-6) &&
              published_close(form->minor_per_pitch, forms[i].minor * height, 2e-6) &&
              published_close(form->root_per_pitch, forms[i].root * height, 5e-6) &&
              (isnan(forms[i].radius) ||
               published_close(form->root_radius_per_pitch, forms[i].radius * height, 4e-6))))
            return false;
    /* Rounded alike at crest and root: both cut off by s, r = s sin beta / (1 - sin beta). */
    bool round = strcmp(form->name, "whitworth") == 0 || strcmp(form->name, "ba") == 0 ||
                 strcmp(form->name, "cycle") == 0;
    double cut = (form->height_per_pitch - form->effective_per_pitch) / 2;
    return !round ||
           (published_close(form->minor_per_pitch, 2 * form->effective_per_pitch, 2e-6) &&
            published_close(form->root_per_pitch, form->minor_per_pitch, 2e-6) &&
            published_close(form->root_radius_per_pitch, cut * sin(half) / (1 - sin(half)), 2e-5));
}

/* --- drills, holes, pins --- */

/* #80 is the smallest number drill, #1 the largest; A follows it, Z ends the letters. */
static int drill_rank(const char *name)
{
    return name[0] == '#' ? 81 - atoi(name + 1) : 81 + name[0] - 'A';
}

static bool drills_rise(const struct table_set *set, const void *row)
{
    const struct table_drill *drill = row, *other;
    for (size_t i = 0; (other = table_row_at(set, "drill", i)) != NULL; i++)
        if ((drill_rank(other->name) > drill_rank(drill->name)) !=
                (other->diameter_pm > drill->diameter_pm) &&
            other != drill)
            return false;
    return true;
}

/* The drill's name says its size: "8.5 mm", "25/64", or a drill that the table of drills has; and it
 * leaves between half a thread and a whole one. */
static bool drill_says_size(const struct table_set *set, const void *row)
{
    const struct table_tap_drill *tap = row;
    const struct table_drill *drill = table_drill_find(set, tap->drill);
    const char *end;
    double size = drill != NULL                      ? (double)drill->diameter_pm
                  : strstr(tap->drill, "mm") != NULL ? strtod(tap->drill, NULL) * 1e9
                                                     : size_of(tap->drill, &end);
    return published_close((double)tap->size_pm, size, 1e-6);
}

static bool holes_rise(const struct table_set *set, const void *row)
{
    const struct table_hole *hole = row, *other;
    static const char *const series[] = {"close", "medium", "coarse"};
    for (size_t i = 0; (other = table_row_at(set, "hole", i)) != NULL; i++) {
        int own = 0, its = 0;
        if (strcmp(other->thread_size, hole->thread_size) != 0)
            continue;
        while (strcmp(hole->series, series[own]) != 0)
            own++;
        while (strcmp(other->series, series[its]) != 0)
            its++;
        if ((own < its && hole->hole_pm >= other->hole_pm) ||
            (own > its && hole->hole_pm <= other->hole_pm))
            return false;
    }
    return true;
}

static bool pin_is_named_by_hole(const struct table_set *set, const void *row)
{
    const struct table_pin_size *pin = row;
    (void)set;
    return published_close((double)pin->hole_pm, strtod(pin->name, NULL) * 1e9, 1e-9) &&
           pin->shank_pm < pin->hole_pm;
}

/* --- hexagons --- */

/* The spanner says the width: "16 mm", "7/16 AF". */
static bool spanner_says_width(const struct table_set *set, const void *row)
{
    const struct table_hexagon *hexagon = row;
    const char *end;
    double width = (double)hexagon->across_flats_pm;
    (void)set;
    if (strstr(hexagon->spanner, " AF") != NULL)
        return published_close(width, size_of(hexagon->spanner, &end), 1e-9);
    if (strstr(hexagon->spanner, " mm") != NULL)
        return published_close(width, strtod(hexagon->spanner, NULL) * 1e9, 1e-9);
    return true;
}

static const struct table_hexagon *hexagon_of(const struct table_set *set, const char *standard,
                                              const char *thread)
{
    const struct table_hexagon *hexagon;
    for (size_t i = 0; (hexagon = table_row_at(set, "hexagon", i)) != NULL; i++)
        if (strncmp(hexagon->standard, standard, strlen(standard)) == 0 &&
            strcmp(hexagon->thread_size, thread) == 0)
            return hexagon;
    return NULL;
}

/* BS 1083 has one head for the coarse and the fine bolt of a size; "1/2 BS = 7/16 W": the large head
 * of the next size down; BA heads are 1.75 diameters. */
static bool british_heads_agree(const struct table_set *set, const void *row)
{
    const struct table_hexagon *hexagon = row, *other;
    char name[40];
    const char *blank = strrchr(hexagon->thread_size, ' ');
    if (strcmp(hexagon->standard, "BA") == 0) {
        double pitch = pow(0.9, strtod(hexagon->thread_size, NULL));
        double major = round(6 * pow(pitch, 1.2) * 10) * 1e8;
        return fabs((double)hexagon->across_flats_pm - 1.75 * major) <= 5.1e6;
    }
    if (strcmp(hexagon->standard, "BS 1083") != 0)
        return true;
    snprintf(name, sizeof name, "%.*s %s", (int)(blank - hexagon->thread_size),
             hexagon->thread_size, strcmp(blank, " BSF") == 0 ? "BSW" : "BSF");
    other = hexagon_of(set, "BS 1083", name);
    if (other == NULL || other->across_flats_pm != hexagon->across_flats_pm ||
        other->bearing_face_pm != hexagon->bearing_face_pm)
        return false;
    const char *whitworth = strstr(hexagon->spanner, "= ");
    if (whitworth == NULL)
        return true;
    snprintf(name, sizeof name, "%.*s BSW", (int)(strrchr(whitworth, ' ') - whitworth - 2),
             whitworth + 2);
    other = hexagon_of(set, "Whitworth large", name);
    return other == NULL || other->across_flats_pm == hexagon->across_flats_pm;
}

/* ASME B18.2.1: the washer face is 0.95 of the width. */
static bool asme_face(const struct table_set *set, const void *row)
{
    const struct table_hexagon *hexagon = row;
    (void)set;
    return strncmp(hexagon->standard, "ASME", 4) != 0 ||
           published_close((double)hexagon->bearing_face_pm,
                           0.95 * (double)hexagon->across_flats_pm, 5e-5);
}

/* Tolerances of the across-flats width: h13 and h14 up to 24 mm of thread (product grade A), h14, h15
 * and h16 over it (B). The washer face is IT16 less than the least width below 21 mm, 0.95 of it from
 * there. Printed here to a tenth of a millimetre. */
static bool iso_face(const struct table_set *set, const void *row)
{
    const struct table_hexagon *hexagon = row;
    double width = (double)hexagon->across_flats_pm;
    bool fine = strtod(hexagon->thread_size + 1, NULL) <= 24;
    const char *grade = fine ? (width <= 30e9 ? "IT13" : "IT14")
                        : width <= 18e9 ? "IT14"
                        : width <= 60e9 ? "IT15"
                                        : "IT16";
    if (strcmp(hexagon->standard, "ISO 4014") != 0)
        return true;
    double least = width - (double)table_it(set, grade, hexagon->across_flats_pm);
    double face = width < 21e9 ? least - (double)table_it(set, "IT16", hexagon->across_flats_pm)
                               : 0.95 * least;
    return fabs((double)hexagon->bearing_face_pm - face) <= 1.001e8;
}

const struct published_rule published_thread_rules[] = {
    {"thread", "", "the name says diameter and pitch", "definition; BS 93 for BA", true,
     name_says_size},
    {"thread", "", "pitch and threads per inch agree", "definition", true, pitch_is_tpi},
    {"thread", "form", "the diameters follow the form",
     "ISO 724, ASME B1.1, BS 84, BS 93, ISO 228-1", true, diameters_follow_form},
    {"thread", "", "the stress area follows the diameters", "ISO 898-1 9.1.6, ASME B1.1", true,
     area_follows_diameters},
    {"thread", "", "a plug's pitch goes with its size", "ISO 1919, ISO 28741, ISO 2704, ISO 2705",
     true, plug_pitch},
    {"thread", "", "a pipe's threads per inch go with its size", "ISO 228-1", true, pipe_tpi},
    {"form", "", "the form is cut from its triangle", "ISO 68-1, ASME B1.1, BS 84, BS 93", true,
     form_is_as_cut},
    {"drill", "", "number and letter drills rise", "ASME B94.11M", false, drills_rise},
    {"tap-drill", "drill", "the drill's name says its size", "definition", true, drill_says_size},
    {"hole", "", "close, medium and coarse holes rise", "ISO 273", false, holes_rise},
    {"pin-size", "", "a split pin is named by its hole", "ISO 1234", true, pin_is_named_by_hole},
    {"hexagon", "", "the spanner says the width", "definition", true, spanner_says_width},
    {"hexagon", "hexagon", "British heads agree among themselves", "BS 1083, BS 57", true,
     british_heads_agree},
    {"hexagon", "tolerance-grade", "the washer face follows the least width",
     "ISO 4759-1 (from memory); agrees with each face of ISO 4014 that a second source prints", true,
     iso_face},
    {"hexagon", "", "the washer face is 0.95 of the width", "ASME B18.2.1", true, asme_face},
    {NULL, NULL, NULL, NULL, false, NULL},
};
