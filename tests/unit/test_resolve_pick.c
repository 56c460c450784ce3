/* Picks: pieces chosen so that limits and fits hold, against worked examples and brute force. */
#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "resolved.h"

static const struct pick_result *pick_of(const struct build *build, const char *limit,
                                         const char *part)
{
    for (size_t i = 0; i < build->limits.count; i++) {
        const struct limit_values *values = &build->limits.items[i];
        for (size_t k = 0; str_equal(values->limit->e.member, limit) && k < values->pick_count; k++)
            if (str_equal(values->picks[k].part->e.member, part))
                return &values->picks[k];
    }
    for (size_t i = 0; i < build->fits.count; i++) {
        const struct fit_values *values = &build->fits.items[i];
        for (size_t k = 0; str_equal(values->fit->e.member, limit) && k < values->pick_count; k++)
            if (str_equal(values->picks[k].part->e.member, part))
                return &values->picks[k];
    }
    return NULL;
}

Test(resolve_pick, shims_fill_the_free_float_to_the_float_wanted)
{
    static const struct {
        const char *patch, *words;
        const char *source;
    } rows[] = {
        /* free float 0.62, wanted 0.10..0.15: 0.47..0.52 of shims; the middle is 0.495 */
        {"limits: {crank-float: {stack: null, of: [crankshaft], measured: {is: 0.62 mm, using: "
         "micrometer}, want: 0.10..0.15 mm}}\n"
         "parts: {shim: {sizes: {thickness: {sold: [0.05 mm, 0.10 mm, 0.20 mm, 0.30 mm, 0.50 mm], "
         "most: 3}}}}",
         "0.50 mm", "SH-029: shim = free float - wanted float, 0.47..0.52"},
        {"limits: {crank-float: {stack: null, of: [crankshaft], measured: {is: 0.47 mm, using: "
         "micrometer}, want: 0.08..0.12 mm}}\n"
         "parts: {shim: {sizes: {thickness: {sold: [0.05 mm, 0.10 mm, 0.20 mm, 0.30 mm, 0.50 mm], "
         "most: 3}}}}",
         "0.30 mm + 0.05 mm", "SH-030: 0.35..0.39"},
        {"", "0.10 mm + 0.10 mm",
         "0.29 free, 0.10 wanted in the middle: 0.19 of shims, nearest of 0.15, 0.20, 0.25"},
        {"parts: {shim: {sizes: {thickness: {sold: [{is: 0.10 mm, stock: 1}, 0.15 mm, 0.25 mm], "
         "most: 2}}}}",
         "0.15 mm",
         "one piece of 0.10 in stock: 0.15 and 0.25 are equally near, fewest pieces, first in the "
         "file"},
        {"parts: {shim: {fitted: [0.15 mm]}}", "0.15 mm", "a pick as made never changes by itself"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct resolved resolved = resolved_of(rows[i].patch);
        cr_assert(resolved.build != NULL, "%s: %s", rows[i].source, resolved_says(&resolved));
        const struct pick_result *pick = pick_of(resolved.build, "crank-float", "shim");
        cr_assert(pick != NULL && !pick->open, "%s", rows[i].source);
        const char *words = resolved_words(&resolved, pick->best.words);
        cr_expect_str_eq(words, rows[i].words, "%s: %s", rows[i].source, words);
        resolved_free(&resolved);
    }
}

Test(resolve_pick, ranges_hold_in_the_worst_case_or_must_be_measured)
{
    static const struct {
        const char *patch;
        bool open;
    } rows[] = {
        {"parts: {shim: {sizes: {thickness: {sold: [0.18..0.20 mm]}}}}",
         false}, /* leaves 0.09..0.11 */
        {"parts: {shim: {sizes: {thickness: {sold: [0.10..0.30 mm]}}}}", true}, /* -0.01..0.19 */
        {"parts: {crankcase: {sizes: {depth: {want: 49.95..50.07 mm, measured: null}}}}", true},
        {"parts: {crankcase: {sizes: {depth: {want: null, measured: unknown}}}}", true},
        {"parts: {shim: {sizes: {thickness: {sold: [{is: 0.30 mm, crushed: 0.18..0.20 mm}]}}}}",
         false},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct resolved resolved = resolved_of(rows[i].patch);
        cr_assert(resolved.build != NULL, "%s", resolved_says(&resolved));
        const struct pick_result *pick = pick_of(resolved.build, "crank-float", "shim");
        cr_assert(pick != NULL, "row %zu", i);
        cr_expect_eq(pick->open, rows[i].open, "row %zu: %s", i,
                     resolved_words(&resolved, pick->open ? pick->why_open : pick->best.words));
        resolved_free(&resolved);
    }
}

/* ---------- against brute force ---------- */

static uint32_t next(uint32_t *seed)
{
    *seed = *seed * 1664525u + 1013904223u;
    return *seed >> 8;
}

struct best {
    int64_t off, pieces;
};

/* Every multiset of at most `most` sizes: the least distance of the float from 100 um, then
 * pieces. */
static void try_all(const int64_t *sizes, size_t count, size_t from, int most, int64_t left_um,
                    int pieces, struct best *best)
{
    if (pieces > 0) {
        int64_t off = llabs(left_um - 100);
        bool holds = left_um >= 50 && left_um <= 150;
        if (holds &&
            (best->off < 0 || off < best->off || (off == best->off && pieces < best->pieces)))
            *best = (struct best){off, pieces};
    }
    for (size_t i = from; i < count && pieces < most; i++)
        try_all(sizes, count, i, most, left_um - sizes[i], pieces + 1, best);
}

Test(resolve_pick, the_best_pack_is_the_one_that_brute_force_finds)
{
    uint32_t seed = 7;

    for (int round = 0; round < 60; round++) {
        int64_t sizes[6];
        size_t count = 2 + next(&seed) % 5;
        int most = 1 + (int)(next(&seed) % 4);
        char sold[200] = "", patch[600];
        int free_um = 150 + (int)(next(&seed) % 400);
        for (size_t i = 0; i < count; i++) {
            sizes[i] = 20 + (int64_t)(next(&seed) % 200);
            snprintf(sold + strlen(sold), sizeof sold - strlen(sold), "%s0.%03d mm",
                     i > 0 ? ", " : "", (int)sizes[i]);
        }
        snprintf(patch, sizeof patch,
                 "parts: {shim: {sizes: {thickness: {sold: [%s], most: %d}}}}\n"
                 "limits: {crank-float: {stack: null, of: [crankshaft], measured: {is: 0.%03d mm, "
                 "using: micrometer}, "
                 "accept: {G0543: a test}}}",
                 sold, most, free_um);
        struct best best = {-1, 0};
        try_all(sizes, count, 0, most, free_um, 0, &best);
        struct resolved resolved = resolved_of(patch);
        cr_assert(resolved.build != NULL, "%s: %s", patch, resolved_says(&resolved));
        const struct pick_result *pick = pick_of(resolved.build, "crank-float", "shim");
        cr_assert(pick != NULL, "%s", patch);
        cr_expect_eq(pick->open, best.off < 0, "%s: brute force finds %s", patch,
                     best.off < 0 ? "none" : "one");
        if (!pick->open && best.off >= 0) {
            int64_t left_um = pick->best.result.low.exact / 1000000;
            cr_expect_eq(llabs(left_um - 100), best.off, "%s: %s leaves %d um", patch,
                         resolved_words(&resolved, pick->best.words), (int)left_um);
            cr_expect_eq((int64_t)pick->best.count, best.pieces, "%s: %s", patch,
                         resolved_words(&resolved, pick->best.words));
        }
        resolved_free(&resolved);
    }
}

/* The least sum of distances over all ways to give four pieces to four places. */
static int64_t assign_all(const int64_t *bores, const int64_t *pieces, unsigned used, size_t at)
{
    int64_t best = at == 4 ? 0 : -1;

    for (size_t i = 0; i < 4 && at < 4; i++) {
        int64_t clearance = bores[at] - pieces[i];
        if ((used >> i & 1) || clearance < 10 || clearance > 60)
            continue;
        int64_t rest = assign_all(bores, pieces, used | 1u << i, at + 1);
        if (rest >= 0 && (best < 0 || rest + llabs(clearance - 35) < best))
            best = rest + llabs(clearance - 35);
    }
    return best;
}

Test(resolve_pick, loose_pieces_go_where_the_sum_of_distances_is_least_and_each_is_used_once)
{
    uint32_t seed = 11;

    for (int round = 0; round < 40; round++) {
        int64_t bores[4], pieces[4];
        char patch[900], measured[200] = "", loose[200] = "";
        for (size_t i = 0; i < 4; i++) {
            bores[i] = 40 + (int64_t)(next(&seed) % 40);
            pieces[i] = (int64_t)(next(&seed) % 40);
            snprintf(measured + strlen(measured), sizeof measured - strlen(measured),
                     "%s%zu: 80.%03d mm", i > 0 ? ", " : "", i + 1, (int)bores[i]);
            snprintf(loose + strlen(loose), sizeof loose - strlen(loose), "%s%c: 80.%03d mm",
                     i > 0 ? ", " : "", (char)('a' + i), (int)pieces[i]);
        }
        snprintf(patch, sizeof patch,
                 "engine: {cylinders: 4, firing-order: [1, 3, 4, 2]}\n"
                 "parts: {crankcase: {sizes: {bore: {each: cylinder, measured: {%s}}}}, piston: "
                 "{each: cylinder, in: "
                 "crankshaft, state: renew, supplier: stores, sizes: {skirt: {loose: {%s}}}}}\n"
                 "fits: {skirt: {each: cylinder, inner: piston.skirt, outer: crankcase.bore, pick: "
                 "[piston], want: "
                 "0.010..0.060 mm}}",
                 measured, loose);
        struct resolved resolved = resolved_of(patch);
        int64_t least = assign_all(bores, pieces, 0, 0), sum = 0;
        bool open = false;
        unsigned used = 0;
        cr_assert(resolved.build != NULL, "%s: %s", patch, resolved_says(&resolved));
        for (size_t i = 0; i < 4; i++) {
            char fit[16], part[16];
            snprintf(fit, sizeof fit, "skirt/%zu", i + 1);
            snprintf(part, sizeof part, "piston/%zu", i + 1);
            const struct pick_result *pick = pick_of(resolved.build, fit, part);
            cr_assert(pick != NULL, "%s", patch);
            open |= pick->open;
            if (pick->open)
                continue;
            sum += llabs(pick->best.result.low.exact / 1000000 - 35);
            used |= 1u << (pick->best.loose->name[0] - 'a');
        }
        cr_expect_eq(open, least < 0, "%s", patch);
        if (!open && least >= 0) {
            cr_expect_eq(sum, least, "%s: %d um in all, %d can be had", patch, (int)sum,
                         (int)least);
            cr_expect_eq(used, 15u, "%s: a piece stands in two places", patch);
        }
        resolved_free(&resolved);
    }
}

Test(resolve_pick, limits_that_pick_one_part_are_met_together)
{
    /* Alone the float would take 0.10 + 0.10; the spigot holds only with 0.25. */
    struct resolved resolved = resolved_of(
        "parts: {cover: {sizes: {spigot: {measured: {is: 0.35 mm, using: micrometer}}}}}\n"
        "limits: {crank-float: {want: 0.03..0.15 mm}, spigot: {stack: {plus: [cover.spigot], "
        "minus: [shim.thickness]}, "
        "pick: [shim], want: 0.09..0.11 mm, when: bench}}");

    cr_assert(resolved.build != NULL, "%s", resolved_says(&resolved));
    cr_expect_str_eq(
        resolved_words(&resolved, pick_of(resolved.build, "crank-float", "shim")->best.words), "0.25 mm");
    cr_expect_str_eq(
        resolved_words(&resolved, pick_of(resolved.build, "spigot", "shim")->best.words), "0.25 mm");
    resolved_free(&resolved);
}

Test(resolve_pick, every_other_acceptable_choice_is_listed_nearest_first)
{
    struct resolved resolved = resolved_of("limits: {crank-float: {want: 0.01..0.20 mm}}");

    cr_assert(resolved.build != NULL, "%s", resolved_says(&resolved));
    const struct pick_result *pick = pick_of(resolved.build, "crank-float", "shim");
    /* 0.29 free, middle 0.105: 0.20 leaves 0.09; then 0.15 (0.14), 0.10 (0.19), 0.25 (0.04), 0.10
     * + 0.15 (0.04) */
    static const char *const wanted[] = {"0.15 mm", "0.25 mm", "0.15 mm + 0.10 mm", "0.10 mm"};
    cr_expect_str_eq(resolved_words(&resolved, pick->best.words), "0.10 mm + 0.10 mm");
    cr_expect_eq(pick->other_count, sizeof wanted / sizeof *wanted, "%zu others",
                 pick->other_count);
    for (size_t i = 0; i < pick->other_count && i < sizeof wanted / sizeof *wanted; i++) {
        bool found = false;
        for (size_t k = 0; k < pick->other_count; k++)
            found |= str_equal(resolved_words(&resolved, pick->others[k].words), wanted[i]);
        cr_expect(found, "%s is not listed", wanted[i]);
        if (i > 0) {
            double before = fabs(pick->others[i - 1].result.low.si - 105e-6),
                   here = fabs(pick->others[i].result.low.si - 105e-6);
            cr_expect(before <= here + 1e-12, "%s stands before %s",
                      resolved_words(&resolved, pick->others[i - 1].words),
                      resolved_words(&resolved, pick->others[i].words));
        }
    }
    resolved_free(&resolved);
}
