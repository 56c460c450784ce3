/* table_query_identify.c - what was measured at the bench: every thread or bearing that it could be,
 * how far off, and what tells them apart. Nothing is guessed. */
#include "table_query_private.h"

#include <stdlib.h>
#include <string.h>

enum { MOST_NEAR = 12, NEAR_THREADS = 6, TURNS = 10 };

/* "0.05 mm (1.97 thou) over", "as listed". */
static char *off_text(const struct query *query, int64_t off_pm)
{
    const struct qty_unit *thou = qty_unit_find("thou", QTY_LENGTH);
    int64_t size = llabs(off_pm);
    if (off_pm == 0)
        return str_copy(query->arena, "as listed");
    return str_print(query->arena, "%s mm (%s) %s",
                     str_decimal(query->arena, (double)size / 1e9, 3),
                     qty_print(query->arena, qty_from_pm(size), thou, 1, QTY_NEAREST),
                     off_pm > 0 ? "over" : "under");
}

/* Sizes without a unit are millimetres; inches where only that measures something, or nearly does. */
static struct query_sizes sizes_of(const struct query *query, bool *asked,
                                   bool (*measures)(const struct query *,
                                                    const struct query_sizes *, bool nearly))
{
    static const char *const units[] = {"mm", "in"};
    struct query_sizes sizes = query_sizes(query, NULL);
    *asked = sizes.count > 0 && sizes.words == query->count;
    if (*asked || query->count < 2)
        return sizes;
    sizes = query_sizes(query, units[0]);
    *asked = sizes.count > 0 && sizes.words == query->count;
    if (!*asked)
        return sizes;
    size_t unit = 0, found = 0;
    for (size_t i = 0; i < 4 && found == 0; i++) { /* mm, in, nearly mm, nearly in */
        struct query_sizes other = query_sizes(query, units[i % 2]);
        if (measures(query, &other, i >= 2)) {
            sizes = other;
            unit = i % 2;
            found = 1;
        }
    }
    str_add_print(query->out, "sizes without a unit: taken as %s\n", units[unit]);
    return sizes;
}

/* --- threads --- */

static struct table_thread_candidates threads_of(const struct query *query,
                                                 const struct query_sizes *sizes)
{
    return table_thread_identify(query->arena, query->set, sizes->lengths[0],
                                 sizes->count > 1 ? sizes->lengths[1] : TABLE_NO_PM, sizes->tpi);
}

static double measured_pitch_pm(const struct query_sizes *sizes)
{
    if (table_has(sizes->tpi))
        return 25.4e9 / sizes->tpi;
    return sizes->count > 1 ? (double)sizes->lengths[1] : NAN;
}

static int by_pitch(const void *a, const void *b)
{
    const struct table_thread_candidate *one = a, *other = b;
    double first = fabs(one->pitch_off), second = fabs(other->pitch_off);
    if (first < second || first > second)
        return first < second ? -1 : 1;
    return strcmp(one->thread->name, other->thread->name);
}

/* Of that diameter, whatever the pitch; the nearest pitch first. */
static struct table_thread_candidates threads_near(const struct query *query,
                                                   const struct query_sizes *sizes)
{
    struct table_thread_candidates found =
        table_thread_identify(query->arena, query->set, sizes->lengths[0], TABLE_NO_PM, NAN);
    double pitch_pm = measured_pitch_pm(sizes);
    for (size_t i = 0; i < found.count && table_has(pitch_pm); i++)
        found.items[i].pitch_off = pitch_pm / (double)found.items[i].thread->pitch_pm - 1;
    if (found.count > 0)
        qsort(found.items, found.count, sizeof *found.items, by_pitch);
    if (found.count > NEAR_THREADS)
        found.count = NEAR_THREADS;
    return found;
}

static bool thread_measures(const struct query *query, const struct query_sizes *sizes, bool nearly)
{
    return (nearly ? threads_near(query, sizes) : threads_of(query, sizes)).count > 0;
}

static const struct table_form *form_of(const struct query *query, const char *name)
{
    struct table_walk walk = table_walk_over(query->set, KIND_FORM);
    const struct table_form *form;
    while ((form = table_walk_next(&walk)) != NULL && !str_equal(form->name, name))
        continue;
    return form;
}

static const char *flanks(const struct query *query, const struct table_thread *thread)
{
    const struct table_form *form = form_of(query, thread->form);
    if (form == NULL)
        return "not known";
    return str_print(query->arena, "%s deg, %s crests",
                     query_number(query->arena, 2 * form->flank_half_angle_deg, QTY_NONE),
                     form->crest);
}

static void print_candidate(const struct query *query, const struct query_sizes *sizes,
                            const struct table_thread_candidate *candidate)
{
    struct arena *arena = query->arena;
    const struct table_thread *thread = candidate->thread;
    const struct table_hexagon *hexagon = table_hexagon_find(query->set, thread);
    double pitch_pm = measured_pitch_pm(sizes);
    str_add_print(query->out, "%s\n", thread->name);
    query_line(query, "diameter",
               str_print(arena, "%s; measured %s", query_length(arena, thread->major_pm),
                         off_text(query, candidate->major_off_pm)));
    query_line(query, "pitch",
               str_print(arena, "%s, %s threads/inch", query_length(arena, thread->pitch_pm),
                         str_decimal(arena, 25.4e9 / (double)thread->pitch_pm, 1)));
    char *length = query_length(arena, TURNS * thread->pitch_pm);
    if (table_has(pitch_pm))
        length = str_print(arena, "%s; measured %s", length,
                           off_text(query, llround(TURNS * (pitch_pm - (double)thread->pitch_pm))));
    query_line(query, str_print(arena, "%d turns", TURNS), length);
    query_line(query, "flanks", flanks(query, thread));
    query_line(query, "hole in the nut", query_length(arena, thread->minor_pm));
    if (hexagon != NULL)
        query_line(query, "across flats",
                   str_print(arena, "%s, %s", query_length(arena, hexagon->across_flats_pm),
                             hexagon->standard));
}

/* The names of the candidates for which `same` holds with the first of them that was not named yet. */
static void print_groups(const struct query *query, const struct table_thread_candidates *found,
                         const char *label,
                         bool (*same)(const struct query *, const struct table_thread *,
                                      const struct table_thread *),
                         const char *(*says)(const struct query *, const struct table_thread *))
{
    bool *named = ARENA_ARRAY(query->arena, bool, found->count);
    for (size_t i = 0; i < found->count; i++) {
        struct str_buf names = {.arena = query->arena};
        const struct table_thread *first = found->items[i].thread;
        if (named[i])
            continue;
        for (size_t j = i; j < found->count; j++)
            if (!named[j] && same(query, first, found->items[j].thread)) {
                named[j] = true;
                str_add_print(&names, "%s%s", j == i ? "" : ", ", found->items[j].thread->name);
            }
        query_line(query, i == 0 ? label : "",
                   str_print(query->arena, "%s: %s", says(query, first), names.bytes));
    }
}

static bool same_flanks(const struct query *query, const struct table_thread *a,
                        const struct table_thread *b)
{
    const struct table_form *one = form_of(query, a->form), *other = form_of(query, b->form);
    return one == NULL || other == NULL
               ? one == other
               : one->flank_half_angle_deg >= other->flank_half_angle_deg &&
                     one->flank_half_angle_deg <= other->flank_half_angle_deg &&
                     str_equal(one->crest, other->crest);
}

static bool same_pitch(const struct query *query, const struct table_thread *a,
                       const struct table_thread *b)
{
    (void)query;
    return llabs(a->pitch_pm - b->pitch_pm) <
           1000000; /* a micrometre: two spellings of one pitch */
}

static const char *turns(const struct query *query, const struct table_thread *thread)
{
    return query_length(query->arena, TURNS * thread->pitch_pm);
}

static bool same_thread(const struct query *query, const struct table_thread *a,
                        const struct table_thread *b)
{
    return same_flanks(query, a, b) && same_pitch(query, a, b) && a->major_pm == b->major_pm;
}

static bool differ(const struct query *query, const struct table_thread_candidates *found,
                   bool (*same)(const struct query *, const struct table_thread *,
                                const struct table_thread *))
{
    for (size_t i = 1; i < found->count; i++)
        if (!same(query, found->items[0].thread, found->items[i].thread))
            return true;
    return false;
}

static void print_tells(const struct query *query, const struct table_thread_candidates *found)
{
    if (found->count < 2) {
        str_add(query->out,
                "only this has these sizes; look at the flanks before you believe it\n");
        return;
    }
    str_add(query->out, "what tells them apart\n");
    if (differ(query, found, same_flanks))
        print_groups(query, found, "flanks, crests", same_flanks, flanks);
    if (differ(query, found, same_pitch))
        print_groups(query, found, str_print(query->arena, "over %d turns", TURNS), same_pitch,
                     turns);
    for (size_t i = 0; i < found->count; i++)
        for (size_t j = i + 1; j < found->count; j++)
            if (same_thread(query, found->items[i].thread, found->items[j].thread))
                query_line(query, "no gauge",
                           str_print(query->arena, "%s and %s are one thread by two names",
                                     found->items[i].thread->name, found->items[j].thread->name));
    query_line(query, "measure also",
               "a bolt under its head, where nothing has worn; the hole in the nut; across flats");
}

bool query_thread_of_size(const struct query *query, bool *asked)
{
    struct query_sizes sizes = sizes_of(query, asked, thread_measures);
    if (!*asked)
        return false;
    struct table_thread_candidates found = threads_of(query, &sizes);
    bool known = found.count > 0;
    if (!known) { /* near misses */
        str_add_print(query->out, "no thread measures %s: %s\n", query->text, TABLE_NOT_FOUND);
        found = threads_near(query, &sizes);
        if (found.count > 0)
            str_add(query->out,
                    "of about that diameter there are, the nearest pitch first; measure again\n");
    } else {
        str_add(query->out, "could be, nearest first\n");
    }
    for (size_t i = 0; i < found.count; i++)
        print_candidate(query, &sizes, &found.items[i]);
    if (known)
        print_tells(query, &found);
    return known;
}

/* --- bearings --- */

static struct table_bearing_candidates bearings_of(const struct query *query,
                                                   const struct query_sizes *sizes)
{
    return table_bearing_identify(query->arena, query->set, sizes->lengths[0],
                                  sizes->count > 1 ? sizes->lengths[1] : TABLE_NO_PM,
                                  sizes->count > 2 ? sizes->lengths[2] : TABLE_NO_PM);
}

static bool bearing_measures(const struct query *query, const struct query_sizes *sizes,
                             bool nearly)
{
    struct table_bearing_candidates found = bearings_of(query, sizes);
    return (nearly ? found.count : found.exact) > 0;
}

/* "30 x 62 x 16 mm (1.1811 x 2.4409 x 0.6299 in)"; a taper is T wide with its cup, B over the cone. */
static char *sizes_text(const struct query *query, const struct table_bearing *bearing)
{
    const struct qty_unit *in = qty_unit_find("in", QTY_LENGTH);
    const int64_t sizes[] = {bearing->bore_pm, bearing->outside_pm, bearing->width_pm};
    struct str_buf mm = {.arena = query->arena}, inches = {.arena = query->arena};
    for (size_t i = 0; i < 3; i++) {
        str_add_print(&mm, "%s%s", i == 0 ? "" : " x ", qty_exact_mm(query->arena, sizes[i]));
        str_add_print(&inches, "%s%s", i == 0 ? "" : " x ",
                      str_decimal(query->arena, (double)sizes[i] / 25.4e9, 4));
    }
    char *text = str_print(query->arena, "%s mm (%s %s)", mm.bytes, inches.bytes, in->name);
    if (!str_equal(bearing->type, "taper-roller"))
        return text;
    return str_print(query->arena, "%s over the cone (B), %s with its cup (T)", text,
                     query_length(query->arena, bearing->overall_pm));
}

static void print_bearing_candidate(const struct query *query, const struct query_sizes *sizes,
                                    const struct table_bearing_candidate *item)
{
    const struct table_bearing *bearing = item->bearing;
    bool taper = str_equal(bearing->type, "taper-roller");
    str_add_print(query->out, "%s, %s, series %s\n", bearing->designation, bearing->type,
                  bearing->series);
    query_line(query, "sizes", sizes_text(query, bearing));
    if (item->bore_off_pm == 0 && item->outside_off_pm == 0 && item->width_off_pm == 0 &&
        !(taper && sizes->count > 2))
        return;
    char *text = str_print(query->arena, "bore %s", off_text(query, item->bore_off_pm));
    if (sizes->count > 1)
        text =
            str_print(query->arena, "%s, outside %s", text, off_text(query, item->outside_off_pm));
    if (sizes->count > 2)
        text = str_print(query->arena, "%s, width %s%s", text, off_text(query, item->width_off_pm),
                         !taper                   ? ""
                         : item->width_is_overall ? " (T)"
                                                  : " (B)");
    query_line(query, "measured", text);
}

/* What sizes do not say, by type; common practice, no source. */
static const struct {
    const char *type, *ask; /* "" = every type */
} asks[] = {
    {"", "clearance: CN where nothing is marked behind the number, else C2, C3 or C4"},
    {"", "cage: pressed steel, brass, or plastic, which does not bear hot oil"},
    {"deep-groove", "open, shielded or sealed, on one side or both"},
    {"deep-groove", "groove for a snap ring in the outer ring"},
    {"cylindrical-roller",
     "which ring has the lips: N, NU, NJ or NUP; loose lip ring with it or not"},
    {"cylindrical-roller",
     "rollers matched to the rings, or rings that interchange: their clearances differ"},
    {"taper-roller",
     "width with the cup (T) or of the cone alone (B); cone and cup, or one of them"},
    {"taper-roller", "angle: the usual one, or steep (313 and the like); ISO 355 says it"},
    {"angular-contact", "contact angle; single, or matched for a pair"},
    {"self-aligning", "straight or tapered bore"},
    {"thrust", "one direction or two; flat or spherical seat"},
};

static void print_asks(const struct query *query, const struct table_bearing_candidates *found)
{
    str_add(query->out, "what must be said on the order\n");
    for (size_t i = 0; i < sizeof asks / sizeof *asks; i++) {
        bool needed = asks[i].type[0] == '\0';
        for (size_t n = 0; n < found->count && !needed; n++)
            needed = str_equal(found->items[n].bearing->type, asks[i].type);
        if (needed)
            str_add_print(query->out, "  %s%s%s\n", asks[i].type,
                          asks[i].type[0] == '\0' ? "" : ": ", asks[i].ask);
    }
}

bool query_bearing_of_size(const struct query *query, bool *asked)
{
    struct query_sizes sizes = sizes_of(query, asked, bearing_measures);
    if (!*asked)
        return false;
    struct table_bearing_candidates found = bearings_of(query, &sizes);
    size_t shown = found.count > found.exact + MOST_NEAR ? found.exact + MOST_NEAR : found.count;
    if (found.exact == 0)
        str_add_print(query->out, "no bearing measures %s: %s\n", query->text, TABLE_NOT_FOUND);
    else
        str_add(query->out, "could be\n");
    for (size_t i = 0; i < shown; i++) {
        if (i == found.exact)
            str_add(query->out, "near misses, nearest first: measure again\n");
        print_bearing_candidate(query, &sizes, &found.items[i]);
    }
    if (shown < found.count)
        str_add_print(query->out, "and %zu more within 1 mm\n", found.count - shown);
    found.count = shown;
    if (shown > 0)
        print_asks(query, &found);
    return found.exact > 0;
}
