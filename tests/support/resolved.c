/* resolved.c - see resolved.h. */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "resolved.h"

struct resolved resolved_of(const char *patch)
{
    static const struct context_options options = {0};
    static const char head[] = "gudgeon: 1\nbase: base/single.yaml\n";
    struct resolved resolved = {.context = context_new(&options)};
    struct str_buf text = {.arena = resolved.context->arena};

    str_add(&text, head);
    str_add(&text, patch);
    str_add(&text, "\n");
    struct tree *tree = tree_load_bytes(
        resolved.context, TESTS_FOLDER "/golden/resolve/patched.yaml", text.bytes, text.length);
    resolved.spec = tree != NULL ? spec_read(resolved.context, tree) : NULL;
    resolved.build = resolve_build(resolved.context, resolved.spec);
    return resolved;
}

void resolved_free(struct resolved *resolved)
{
    context_free(resolved->context);
}

const char *resolved_says(const struct resolved *resolved)
{
    struct context *context = resolved->context;
    struct str_buf out = {.arena = context->arena};

    diag_render(&context->diags, &context->sources, DIAG_TEXT, false, 20, &out);
    return out.bytes != NULL ? out.bytes : "";
}

const char *resolved_words(const struct resolved *resolved, const struct phrase *phrase)
{
    return build_words(resolved->context->arena, resolved->build, phrase);
}

size_t resolved_count(const struct resolved *resolved, enum diag_code code)
{
    size_t count = 0;

    for (size_t i = 0; i < resolved->context->diags.count; i++)
        count += resolved->context->diags.items[i]->code == code;
    return count;
}

static double in_unit(const struct qty *qty, const char *unit)
{
    const struct qty_unit *found = qty_unit_find(unit, qty->dim);

    cr_assert(found != NULL, "no unit %s of %s", unit, qty_dim_name(qty->dim));
    return (qty->si - found->offset) / found->factor;
}

static void check_end(const struct resolved_row *row, const char *end, const struct qty *got,
                      double wanted)
{
    if (isnan(wanted))
        return;
    double value = in_unit(got, row->unit);
    cr_expect(fabs(value - wanted) <= row->tolerance,
              "%s: the %s end of %s is %.6g %s, printed is %.6g (%s)", row->patch, end, row->fact,
              value, row->unit, wanted, row->source);
}

void resolved_check(const struct resolved_row *rows, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        struct resolved resolved = resolved_of(rows[i].patch);
        cr_assert(resolved.build != NULL, "%s: %s", rows[i].patch, resolved_says(&resolved));
        const struct fact *fact = build_fact(resolved.build, rows[i].fact);
        cr_assert(fact != NULL, "%s: no fact %s", rows[i].patch, rows[i].fact);
        check_end(&rows[i], "low", &fact->value.low, rows[i].low);
        check_end(&rows[i], "high", &fact->value.high, rows[i].high);
        resolved_free(&resolved);
    }
}
