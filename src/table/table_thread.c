/* table_thread.c - screw threads by name and by measurement, and what goes by thread size. */
#include "table_private.h"

#include <stdlib.h>
#include <string.h>

/* --- reading a name: [system] size [pitch] [system] --- */

struct wanted {
    const char *system; /* canonical, or NULL when the name does not say */
    bool metric; /* what follows the size is a pitch in mm, not threads per inch */
    const char *size; /* as the tables write it: "M8", "3/8", "1 1/8", "#10", "2 BA" */
    int64_t pitch_pm; /* TABLE_NO_PM when the name does not say */
    double tpi; /* NAN when the name does not say */
};

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static bool is_letter(char c)
{
    return c >= 'a' && c <= 'z';
}

/* Lower case, one blank between words, none at the ends, inch marks and "tpi" left out. */
static char *normalised(struct arena *arena, const char *name)
{
    struct str_buf out = {.arena = arena};
    str_add(&out, "");
    for (const char *at = name; *at != '\0'; at++) {
        char c = *at >= 'A' && *at <= 'Z' ? (char)(*at - 'A' + 'a') : *at;
        bool blank = c == ' ' || c == '\t' || c == '"';
        if (strncmp(at, "\xc3\x97", 2) == 0) { /* the multiplication sign */
            c = 'x';
            at++;
        }
        if (blank && (out.length == 0 || out.bytes[out.length - 1] == ' '))
            continue;
        str_add_bytes(&out, blank ? " " : &c, 1);
    }
    while (out.length > 0 && out.bytes[out.length - 1] == ' ')
        out.bytes[--out.length] = '\0';
    return out.bytes;
}

/* Cuts the last word off when it is `word`, with the blank before it. */
static void drop_last(char *text, const char *word)
{
    size_t length = strlen(text), cut = strlen(word);
    if (length <= cut || strcmp(text + length - cut, word) != 0 ||
        is_letter(text[length - cut - 1]))
        return;
    text[length - cut] = '\0';
    if (text[length - cut - 1] == ' ')
        text[length - cut - 1] = '\0';
}

/* A leading m or g that a digit follows, or trailing words ("bsf", "mm plug"). False when the word
 * names no system. */
static bool take_system(struct arena *arena, const struct table_set *set, char **text,
                        struct wanted *wanted)
{
    char *start = *text;
    size_t skip = start[0] == '\0' ? 0 : 1 + (start[1] == ' ');
    bool lead = (start[0] == 'm' || start[0] == 'g') && is_digit(start[skip]);
    if (lead)
        *text += skip;
    size_t end = strlen(*text), begin = end;
    while (begin > 0 && (is_letter((*text)[begin - 1]) || (*text)[begin - 1] == ' '))
        begin--;
    while (begin < end && ((*text)[begin] == ' ' || (*text)[begin] == 'x'))
        begin++;
    const char *word = str_copy(arena, *text + begin);
    wanted->metric = lead && start[0] == 'm';
    (*text)[begin] = '\0';
    while (begin > 0 && (*text)[begin - 1] == ' ')
        (*text)[--begin] = '\0';
    if (word[0] == '\0' || str_equal(word, "mm")) {
        wanted->system = lead ? (start[0] == 'm' ? "M" : "G") : NULL;
        return true;
    }
    const struct table_word *system = table_word_find(set, "thread-system", word, NULL);
    if (system == NULL && strchr(word, ' ') != NULL) /* a unit before it: "in UNF", "tpi cycle" */
        system = table_word_find(set, "thread-system", strchr(word, ' ') + 1, NULL);
    if (system == NULL)
        return false;
    wanted->system = system->name;
    wanted->metric |= str_equal(system->name, "old-metric");
    return true;
}

/* Digits with one point. */
static size_t number_length(const char *text)
{
    size_t length = 0;
    while (is_digit(text[length]))
        length++;
    if (length > 0 && text[length] == '.' && is_digit(text[length + 1]))
        for (length++; is_digit(text[length]);)
            length++;
    return length;
}

static size_t fraction_length(const char *text)
{
    size_t top = strspn(text, "0123456789");
    size_t bottom = text[top] == '/' ? strspn(text + top + 1, "0123456789") : 0;
    return top > 0 && bottom > 0 ? top + 1 + bottom : 0;
}

/* The size at the start of `text`: #10, 3/8, 1 1/8, 1-1/8, 1, 8, 1.6. 0 when there is none. */
static size_t take_size(struct arena *arena, const char *text, const char **size)
{
    size_t hash = text[0] == '#';
    size_t fraction = fraction_length(text + hash);
    size_t whole = number_length(text + hash);
    if (hash == 0 && fraction == 0 && whole > 0 && (text[whole] == ' ' || text[whole] == '-')) {
        size_t rest = fraction_length(text + whole + 1);
        if (rest > 0) {
            *size = str_print(arena, "%.*s %.*s", (int)whole, text, (int)rest, text + whole + 1);
            return whole + 1 + rest;
        }
    }
    size_t length = fraction > 0 ? fraction : whole;
    if (length == 0)
        return 0;
    *size = str_slice(arena, text, hash + length);
    return hash + length;
}

/* "-24", " x 1.25", "x26", "-24 tpi": what follows the size. */
static bool take_pitch(const char *text, struct wanted *wanted)
{
    while (*text == ' ')
        text++;
    if (*text == '\0')
        return true;
    if (*text != '-' && *text != 'x')
        return false;
    for (text++; *text == ' ';)
        text++;
    size_t length = number_length(text);
    if (length == 0 || text[length] != '\0' || length > 9)
        return false;
    double number = 0, scale = 1;
    for (bool point = false; *text != '\0'; text++) {
        if (*text == '.') {
            point = true;
        } else {
            number = number * 10 + (*text - '0');
            scale *= point ? 10 : 1;
        }
    }
    number /= scale;
    if (wanted->metric)
        wanted->pitch_pm = (int64_t)llround(number * 1e9);
    else
        wanted->tpi = number;
    return number > 0;
}

static bool read_name(struct arena *arena, const struct table_set *set, const char *name,
                      struct wanted *wanted)
{
    char *text = normalised(arena, name);
    const char *size = "";
    *wanted = (struct wanted){.pitch_pm = TABLE_NO_PM, .tpi = NAN};
    drop_last(text, "tpi");
    drop_last(text, "coarse"); /* M8 coarse: what M8 means anyway */
    if (!take_system(arena, set, &text, wanted))
        return false;
    drop_last(text, "tpi");
    drop_last(text, "in");
    drop_last(text, "mm");
    size_t taken = take_size(arena, text, &size);
    if (taken == 0 || !take_pitch(text + taken, wanted))
        return false;
    if (str_equal(wanted->system, "M") || str_equal(wanted->system, "old-metric"))
        wanted->size = str_print(arena, "M%s", size);
    else if (str_equal(wanted->system, "BA"))
        wanted->size = str_print(arena, "%s BA", size);
    else
        wanted->size = size;
    return true;
}

/* --- matching --- */

/* Systems that a bare size such as 1/4-20 may mean. */
static bool is_inch_bolt(const struct table_thread *thread)
{
    static const char *const systems[] = {"UNC", "UNF", "UNEF", "UNS",
                                          "BSW", "BSF", "BSB",  "cycle"};
    for (size_t i = 0; i < sizeof systems / sizeof *systems; i++)
        if (str_equal(thread->system, systems[i]))
            return true;
    return false;
}

static bool system_fits(const struct wanted *wanted, const struct table_thread *thread)
{
    if (wanted->system == NULL)
        return is_inch_bolt(thread);
    if (str_equal(wanted->system, "M") && wanted->pitch_pm != TABLE_NO_PM)
        return str_equal(thread->system, "M") || str_equal(thread->system, "old-metric");
    return str_equal(thread->system, wanted->system);
}

static bool pitch_fits(const struct wanted *wanted, const struct table_thread *thread)
{
    if (wanted->pitch_pm != TABLE_NO_PM)
        return wanted->pitch_pm == thread->pitch_pm;
    if (table_has(wanted->tpi))
        return table_has(thread->tpi) && fabs(wanted->tpi - thread->tpi) < 1e-9;
    /* M8 alone is the coarse thread; elsewhere the size alone must settle it. */
    return !str_equal(thread->system, "M") || str_equal(thread->series, "coarse");
}

struct matches {
    const struct table_thread *first;
    struct table_near names, sizes; /* whole matches; the same size with other pitches */
};

static struct matches match(const struct table_set *set, const struct wanted *wanted)
{
    struct matches matches = {0};
    struct table_walk walk = table_walk_over(set, KIND_THREAD);
    const struct table_thread *thread;
    while ((thread = table_walk_next(&walk)) != NULL) {
        if (!system_fits(wanted, thread) || !str_equal(wanted->size, thread->size))
            continue;
        table_near_add(&matches.sizes, thread->name);
        if (!pitch_fits(wanted, thread))
            continue;
        if (matches.first == NULL)
            matches.first = thread;
        table_near_add(&matches.names, thread->name);
    }
    return matches;
}

static const struct table_form *form_find(const struct table_set *set, const char *name)
{
    struct table_walk walk = table_walk_over(set, KIND_FORM);
    const struct table_form *form;
    while ((form = table_walk_next(&walk)) != NULL)
        if (str_equal(form->name, name))
            return form;
    return NULL;
}

/* "3/8 BFS": the last word put right by the nearest system. */
static void near_by_system(struct arena *arena, const struct table_set *set, const char *name,
                           struct table_near *near)
{
    const char *word = strrchr(name, ' ');
    struct {
        const char **items;
        size_t count, room;
    } systems = {0};
    struct table_walk walk = table_walk_over(set, KIND_WORD);
    const struct table_word *row;
    while (word != NULL && (row = table_walk_next(&walk)) != NULL)
        if (str_equal(row->kind, "thread-system"))
            *ARRAY_PUSH(arena, &systems) = row->name;
    const char *system =
        systems.count == 0 ? NULL : str_nearest(word + 1, systems.items, systems.count);
    struct wanted wanted;
    if (system == NULL ||
        !read_name(arena, set, str_print(arena, "%.*s %s", (int)(word - name), name, system),
                   &wanted))
        return;
    struct matches matches = match(set, &wanted);
    for (size_t i = 0; i < matches.names.count; i++)
        table_near_add(near, matches.names.names[i]);
}

static void nearest_names(struct arena *arena, const struct table_set *set, const char *name,
                          struct table_near *near)
{
    struct {
        const char **items;
        size_t count, room;
    } names = {0};
    near_by_system(arena, set, name, near);
    struct table_walk walk = table_walk_over(set, KIND_THREAD);
    const struct table_thread *thread;
    while ((thread = table_walk_next(&walk)) != NULL)
        *ARRAY_PUSH(arena, &names) = thread->name;
    /* The nearest, then the nearest of the others. */
    for (size_t found = 0; found < 3 && names.count > 0; found++) {
        const char *nearest = str_nearest(name, names.items, names.count);
        if (nearest == NULL)
            return;
        table_near_add(near, nearest);
        for (size_t i = 0; i < names.count; i++)
            if (str_equal(names.items[i], nearest))
                names.items[i] = names.items[--names.count];
    }
}

struct table_thread_found table_thread_find(struct arena *arena, const struct table_set *set,
                                            const char *name)
{
    struct table_thread_found found = {.status = TABLE_UNKNOWN};
    struct wanted wanted;
    if (!read_name(arena, set, name, &wanted)) {
        nearest_names(arena, set, name, &found.near);
        return found;
    }
    struct matches matches = match(set, &wanted);
    bool pitch_said = wanted.pitch_pm != TABLE_NO_PM || table_has(wanted.tpi);
    if (matches.names.count == 1) {
        found.status = TABLE_FOUND;
        found.thread = matches.first;
        found.form = form_find(set, matches.first->form);
    } else if (matches.names.count > 1) {
        found.status = TABLE_AMBIGUOUS;
        found.near = matches.names;
    } else if (matches.sizes.count > 0) {
        found.status = pitch_said ? TABLE_CONTRADICTION : TABLE_AMBIGUOUS;
        found.near = matches.sizes;
    } else {
        nearest_names(arena, set, name, &found.near);
    }
    return found;
}

/* --- identification --- */

/* Crests are truncated, worn or burred: an external thread reads up to 4 % (but at least 0.3 mm) under
 * its nominal diameter, and hardly over it. Common practice, no source. */
static bool major_possible(int64_t measured_pm, int64_t major_pm)
{
    int64_t under = major_pm / 25 > 300000000 ? major_pm / 25 : 300000000;
    return measured_pm >= major_pm - under && measured_pm <= major_pm + 100000000;
}

/* 0.1 mm of diameter weighs as much as 1 % of pitch. */
static double distance(const struct table_thread_candidate *candidate)
{
    return hypot((double)candidate->major_off_pm / 1e8, candidate->pitch_off / 0.01);
}

static int by_distance(const void *a, const void *b)
{
    double first = distance(a), second = distance(b);
    return (first > second) - (first < second);
}

struct table_thread_candidates table_thread_identify(struct arena *arena,
                                                     const struct table_set *set, int64_t major_pm,
                                                     int64_t pitch_pm, double tpi)
{
    struct table_thread_candidates candidates = {0};
    struct table_walk walk = table_walk_over(set, KIND_THREAD);
    const struct table_thread *thread;
    double pitch = table_has(tpi) && tpi > 0 ? 25.4e9 / tpi : (double)pitch_pm;
    bool pitch_known = pitch_pm != TABLE_NO_PM || table_has(tpi);
    while ((thread = table_walk_next(&walk)) != NULL) {
        double off = pitch_known ? pitch / (double)thread->pitch_pm - 1 : 0;
        /* 3 %: a thread gauge that is one step out no longer fits. */
        if (!major_possible(major_pm, thread->major_pm) || fabs(off) > 0.03)
            continue;
        *ARRAY_PUSH(arena, &candidates) =
            (struct table_thread_candidate){thread, major_pm - thread->major_pm, off};
    }
    if (candidates.count > 0)
        qsort(candidates.items, candidates.count, sizeof *candidates.items, by_distance);
    return candidates;
}

/* --- by thread size: hexagons, clearance holes, split pins --- */

bool table_size_is(const struct table_thread *thread, const char *text)
{
    size_t length = strlen(thread->size);
    if (strncmp(text, thread->size, length) != 0)
        return false;
    if (text[length] == '\0') /* pipe and plug sizes are no bolt diameters */
        return !str_equal(thread->system, "G") && !str_equal(thread->system, "plug");
    return text[length] == ' ' && str_equal(text + length + 1, thread->system);
}

const struct table_hexagon *table_hexagon_find(const struct table_set *set,
                                               const struct table_thread *thread)
{
    struct table_walk walk = table_walk_over(set, KIND_HEXAGON);
    const struct table_hexagon *row;
    while ((row = table_walk_next(&walk)) != NULL)
        if (table_size_is(thread, row->thread_size))
            return row;
    return NULL;
}

const struct table_hole *table_hole_find(const struct table_set *set,
                                         const struct table_thread *thread, const char *series)
{
    struct table_walk walk = table_walk_over(set, KIND_HOLE);
    const struct table_hole *row;
    while ((row = table_walk_next(&walk)) != NULL)
        if (table_size_is(thread, row->thread_size) && str_equal(row->series, series))
            return row;
    return NULL;
}

const struct table_pin *table_pin_find(const struct table_set *set,
                                       const struct table_thread *thread)
{
    struct table_walk walk = table_walk_over(set, KIND_PIN);
    const struct table_pin *row;
    while ((row = table_walk_next(&walk)) != NULL)
        if (table_size_is(thread, row->thread_size))
            return row;
    return NULL;
}

bool table_bearing_face(const struct table_set *set, const struct table_thread *thread,
                        int64_t *outside_pm, int64_t *hole_pm, const char **source)
{
    const struct table_hexagon *hexagon = table_hexagon_find(set, thread);
    const struct table_hole *hole = table_hole_find(set, thread, "medium");
    if (hexagon == NULL || hole == NULL || hexagon->bearing_face_pm == TABLE_NO_PM)
        return false;
    *outside_pm = hexagon->bearing_face_pm;
    *hole_pm = hole->hole_pm;
    *source = hexagon->row.source;
    return true;
}

const struct table_tap_drill *table_tap_drill_find(const struct table_set *set,
                                                   const struct table_thread *thread)
{
    struct table_walk walk = table_walk_over(set, KIND_TAP_DRILL);
    const struct table_tap_drill *row;
    while ((row = table_walk_next(&walk)) != NULL)
        if (str_equal(row->thread, thread->name))
            return row;
    return NULL;
}

const struct table_drill *table_drill_find(const struct table_set *set, const char *name)
{
    struct table_walk walk = table_walk_over(set, KIND_DRILL);
    const struct table_drill *row;
    while ((row = table_walk_next(&walk)) != NULL)
        if (table_word_is(name, row->name, ""))
            return row;
    return NULL;
}
