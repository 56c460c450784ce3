/* What is to be bought, for what, in which packs, at which cost; and what it all weighs. The sums
 * are those of specs/LANGUAGE.md section 3, worked by hand. */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "resolved.h"

static const struct purchase *line_of(const struct resolved *resolved, const char *what,
                                     const char *text)
{
    const struct build *build = resolved->build;

    for (size_t i = 0; i < build->purchases.count; i++)
        if (str_equal(build->purchases.items[i].what, what) &&
            (text == NULL ||
             str_equal(resolved_words(resolved, build->purchases.items[i].text), text)))
            return &build->purchases.items[i];
    return NULL;
}

Test(resolve_buy, to_buy_is_pieces_times_places_and_all_that_is_spent_rounded_to_packs)
{
    static const struct {
        const char *patch, *what, *text;
        int64_t fitted, spare, trial, again, pieces;
        const char *why;
    } rows[] = {
        {"", "cover-pin", NULL, 6, 0, 0, 0, 10, "six pins, packs of ten"},
        {"parts: {cover-pin: {spare: 5}}", "cover-pin", NULL, 6, 5, 0, 0, 20,
         "five spare: two packs"},
        {"parts: {cover-pin: {quantity: null}}", "cover-pin", NULL, 6, 0, 0, 0, 10,
         "no quantity: as many as joints take"},
        {"running-in: {warm: {for: 20 min}}\njoints: {cover-nuts: {again: [{run: warm}]}}",
         "cover-pin", NULL, 6, 0, 0, 6, 20, "pulled again after a run: a second set of locks"},
        {"joints: {cover-nuts: {again: [{wait: 1 h}]}}", "cover-pin", NULL, 6, 0, 0, 0, 10,
         "pulled again while it waits: the lock waits, too"},
        {"trials: {t: {of: [cover], joints: [cover-nuts], locks: true, finds: [gap]}}\nlimits: "
         "{gap: {of: [cover], want: 0.1..0.2 mm, when: trial}}",
         "cover-pin", NULL, 6, 0, 6, 0, 20, "a trial that fits locks spends them"},
        {"trials: {t: {of: [cover], joints: [cover-nuts], finds: [gap]}}\nlimits: {gap: {of: "
         "[cover], want: 0.1..0.2 mm, when: trial}}",
         "cover-pin", NULL, 6, 0, 0, 0, 10, "a trial fits no locks unless it says so"},
        {"trials: {t: {of: [cover], joints: [cover-nuts], finds: [gap]}}\nlimits: {gap: {of: "
         "[cover], want: 0.1..0.2 mm, when: trial}}",
         "cover-gasket", NULL, 1, 0, 1, 0, 2, "a trial spends the gasket that closes on its part"},
        {"trials: {t: {of: [cover], without: [cover-gasket], joints: [cover-nuts], finds: "
         "[gap]}}\nlimits: {gap: {of: [cover], want: 0.1..0.2 mm, when: trial}}",
         "cover-gasket", NULL, 1, 0, 0, 0, 1, "unless it does without"},
        {"", "shim", "0.10 mm", 2, 0, 0, 0, 2, "picked shims are bought by size: two of 0.10 mm"},
        {"parts: {piston: {each: [front, rear], in: crankshaft, quantity: 2, state: {front: renew, "
         "rear: reuse}, supplier: stores}}",
         "piston", NULL, 2, 0, 0, 0, 2, "only what is renewed, quantity a place"},
        {"parts: {race: {each: [inner, outer], in: crankcase, set: whole, state: renew, supplier: "
         "stores}}",
         "race", NULL, 1, 0, 0, 0, 1, "a whole set is one thing"},
        {"parts: {a: {in: crankcase, number: P-1, state: renew, supplier: stores}, b: {in: "
         "crankcase, number: P-1, state: renew, supplier: stores}}",
         "a", NULL, 2, 0, 0, 0, 2, "one number under two entries: summed"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct resolved resolved = resolved_of(rows[i].patch);
        cr_assert(resolved.build != NULL, "%s: %s", rows[i].why, resolved_says(&resolved));
        const struct purchase *line = line_of(&resolved, rows[i].what, rows[i].text);
        cr_assert(line != NULL, "%s: no line", rows[i].why);
        cr_expect_eq(line->fitted, rows[i].fitted, "%s: %d fitted", rows[i].why, (int)line->fitted);
        cr_expect_eq(line->spare, rows[i].spare, "%s: %d spare", rows[i].why, (int)line->spare);
        cr_expect_eq(line->trial, rows[i].trial, "%s: %d in trials", rows[i].why, (int)line->trial);
        cr_expect_eq(line->again, rows[i].again, "%s: %d again", rows[i].why, (int)line->again);
        cr_expect_eq(line->pieces, rows[i].pieces, "%s: %d pieces", rows[i].why, (int)line->pieces);
        cr_expect_eq(line->needed, line->fitted + line->spare + line->trial + line->again, "%s",
                     rows[i].why);
        resolved_free(&resolved);
    }
}

Test(resolve_buy, what_is_not_to_be_bought_is_not_on_the_list)
{
    static const struct {
        const char *patch, *what;
    } rows[] = {
        {"", "crankcase"},
        {"parts: {clip: {in: crankcase, until: crankshaft, state: renew}}", "clip"},
        {"parts: {bracket: {in: crankcase, state: make}}", "bracket"},
        {"parts: {shim: {state: reuse}}", "shim"},
        {"parts: {crankcase: {sizes: {depth: {want: null, measured: unknown}}}}",
         "shim"}, /* not picked yet */
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct resolved resolved = resolved_of(rows[i].patch);
        cr_assert(resolved.build != NULL, "%s: %s", rows[i].patch, resolved_says(&resolved));
        cr_expect(line_of(&resolved, rows[i].what, NULL) == NULL, "%s is bought",
                  rows[i].what);
        resolved_free(&resolved);
    }
}

Test(resolve_buy, the_cost_is_that_of_what_is_priced_and_the_rest_is_counted)
{
    /* bearing 10.00, pins 10 at 0.10; gasket and two shims (one line) have no price */
    struct resolved resolved = resolved_of("outwork: {grind: {of: crankshaft, do: grind, price: 85 "
                                           "GBP, want: {crankshaft.pin: 34.73..34.75 mm}}}");

    cr_assert(resolved.build != NULL, "%s", resolved_says(&resolved));
    cr_expect_eq(resolved.build->cost_minor, 1000 + 100 + 8500, "%d",
                 (int)resolved.build->cost_minor);
    cr_expect_eq(resolved.build->unpriced, 2, "%zu", resolved.build->unpriced);
    resolved_free(&resolved);

    resolved = resolved_of("parts: {main-bearing: {price: 12 EUR}}");
    cr_assert(resolved.build != NULL, "%s", resolved_says(&resolved));
    cr_expect_eq(resolved.build->cost_minor, 100, "a price in another currency is not added");
    cr_expect_eq(resolved.build->unpriced, 3);
    resolved_free(&resolved);
}

Test(resolve_buy, the_weight_is_at_least_while_a_piece_is_not_weighed)
{
    struct resolved resolved = resolved_of("parts: {crankcase: {weight: 12 kg}, cover-nut: "
                                           "{weight: 10 g}, crankshaft: {weight: unknown}}");

    cr_assert(resolved.build != NULL, "%s", resolved_says(&resolved));
    cr_expect_eq(resolved.build->weight->value.kind, QTY_AT_LEAST);
    cr_expect(fabs(resolved.build->weight->value.low.si - 12.060) < 1e-9, "six nuts of 10 g");
    resolved_free(&resolved);
}

Test(resolve_buy, a_bearing_is_ordered_with_all_that_a_supplier_must_be_told)
{
    static const struct {
        const char *patch, *words;
    } rows[] = {
        {"", "6206 deep-groove ball bearing, 30 x 62 x 16 mm, clearance C3, sealing none"},
        {"parts: {main-bearing: {bearing: {clearance: unknown}}}", "clearance not known"},
        {"parts: {main-bearing: {bearing: {cage: brass}}}", "cage brass"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct resolved resolved = resolved_of(rows[i].patch);
        cr_assert(resolved.build != NULL, "%s", resolved_says(&resolved));
        const struct purchase *line = line_of(&resolved, "main-bearing", NULL);
        cr_assert(line != NULL && line->text != NULL);
        const char *text = resolved_words(&resolved, line->text);
        cr_expect(strstr(text, rows[i].words) != NULL, "%s", text);
        resolved_free(&resolved);
    }
}

/* "cover: what becomes of it?" */
static bool is_asked(const struct resolved *resolved, const char *words)
{
    for (size_t i = 0; i < resolved->build->questions.count; i++) {
        const struct question *question = &resolved->build->questions.items[i];
        const char *text = str_print(
            resolved->context->arena, "%s: %s",
            question->about != NULL   ? question->about
            : question->entry != NULL ? question->entry->shown
                                      : "engine",
            resolved_words(resolved, question->asks));
        if (strstr(text, words) != NULL)
            return true;
    }
    return false;
}

Test(resolve_buy, what_is_unknown_is_an_open_question)
{
    static const struct {
        const char *patch, *words;
    } rows[] = {
        {"engine: {rod-length: unknown}", "engine: how long is the connecting rod"},
        {"engine: {hours: unknown}", "engine: how many hours has it run"},
        {"parts: {cover: {state: null}}", "cover: what becomes of it"},
        {"parts: {cover: {serial: unknown}}", "cover: what is its serial number"},
        {"parts: {crankshaft: {sizes: {pin: {measured: unknown}}}}", "crankshaft.pin: how large is it"},
        {"joints: {cover-nuts: {grade: unknown}}", "cover-nuts: which grade are the fasteners"},
        {"parts: {main-bearing: {bearing: {designation: null, bore: 30 mm, outside: 62 mm, width: "
         "16 mm, kind: unknown}}}",
         "6206 (deep-groove ball bearing)"},
        {"parts: {crankcase: {sizes: {depth: {want: null, measured: unknown}}}}",
         "shim: which size is to be bought"},
        {"limits: {end: {of: [cover], when: assembled}}", "end: what are its limits"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct resolved resolved = resolved_of(rows[i].patch);
        cr_assert(resolved.build != NULL, "%s: %s", rows[i].patch, resolved_says(&resolved));
        cr_expect(is_asked(&resolved, rows[i].words), "%s: nobody asks %s",
                  rows[i].patch, rows[i].words);
        resolved_free(&resolved);
    }
}
