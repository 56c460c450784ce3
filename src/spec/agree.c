/* agree.c - values that are compared with each other must measure the same thing: the limits of an
 * entry, its readings, and what it is computed from.
 *
 * A limit takes many dimensions (a float, a weight, a pressure), so that no field alone can tell. */
#include "spec_private.h"

struct due { /* the dimension that was said first, and where */
    enum qty_dim dim;
    struct span span;
};

static const char *a_or_an(enum qty_dim dim)
{
    return dim == QTY_ANGLE || dim == QTY_AREA ? "an" : "a";
}

static bool is_figure(const struct qty_value *value)
{
    return value->kind != QTY_ABSENT && value->kind != QTY_UNKNOWN;
}

/* The first figure says what is due; one of another dimension is refused. */
static void agree_value(struct reader *reader, struct due *due, const char *key,
                        const struct qty_value *value, struct span span)
{
    enum qty_dim dim = value->kind == QTY_AT_MOST ? value->high.dim : value->low.dim;
    struct diag *diag;

    if (!is_figure(value))
        return;
    if (due->dim == QTY_NONE) {
        *due = (struct due){dim, span};
        return;
    }
    if (dim == due->dim)
        return;
    diag = fault(reader, DIAG_QTY_FAULT_DIMENSION, span, "%s: %s %s stands beside %s %s", key,
                 a_or_an(dim), qty_dim_name(dim), a_or_an(due->dim), qty_dim_name(due->dim));
    if (diag->labels.count == 0) /* members share their text, and so the diagnostic */
        fault_label(reader, diag, due->span, "%s %s here", a_or_an(due->dim),
                    qty_dim_name(due->dim));
    fault_hint(reader, diag, "write both in units of one kind");
}

static void agree_claim(struct reader *reader, struct due *due, const char *key,
                        const struct claim *claim)
{
    if (!claim->present)
        return;
    agree_value(reader, due, key, &claim->value, claim->span);
    for (size_t i = 0; i < claim->loser_count; i++)
        agree_value(reader, due, key, &claim->losers[i].value, claim->losers[i].span);
}

static void agree_readings(struct reader *reader, struct due *due, const struct readings *readings)
{
    for (size_t i = 0; i < readings->count; i++) {
        const struct reading *reading = &readings->items[i];
        enum qty_dim gauge = reading->gauge ? gauge_dim(reading->gauge) : QTY_NONE;

        if (gauge != QTY_NONE && is_figure(&reading->value) && gauge != reading->value.low.dim)
            continue; /* told with the gauge */
        agree_value(reader, due, "measured", &reading->value, reading->span);
    }
}

static void agree_size(struct reader *reader, struct due *due, const struct size *size)
{
    agree_claim(reader, due, "want", &size->want);
    agree_claim(reader, due, "worn", &size->worn);
    agree_readings(reader, due, &size->measured);
}

/* Sizes that are added or fitted together are lengths. */
static void agree_lengths(struct reader *reader, const struct size_ref *refs, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        struct due due = {QTY_LENGTH, refs[i].span};
        if (refs[i].size)
            agree_size(reader, &due, refs[i].size);
    }
}

/* What the limit is computed from: a stack of lengths, the spread of a weight or of a size. */
static void agree_origin(struct reader *reader, const struct limit *limit, struct due *due)
{
    if (limit->stack.present) {
        agree_lengths(reader, limit->stack.plus.items, limit->stack.plus.count);
        agree_lengths(reader, limit->stack.minus.items, limit->stack.minus.count);
        *due = (struct due){QTY_LENGTH, limit->stack.span};
    } else if (limit->formula.kind != FORMULA_NONE) {
        for (size_t i = 0; i < FORMULA_INPUTS; i++)
            agree_lengths(reader, &limit->formula.inputs[i].size, 1);
        *due = (struct due){spec_formula_dim(limit->formula.kind), limit->formula.span};
    } else if (limit->spread.size) {
        agree_size(reader, due, limit->spread.size);
    } else if (limit->spread_of.text) {
        *due = (struct due){QTY_MASS, limit->spread_of.span};
    }
}

static void agree_limit(struct reader *reader, const struct limit *limit)
{
    struct due due = {0};

    agree_origin(reader, limit, &due);
    agree_claim(reader, &due, "want", &limit->want);
    agree_claim(reader, &due, "worn", &limit->worn);
    agree_claim(reader, &due, "from-new", &limit->from_new);
    agree_readings(reader, &due, &limit->measured);
}

static void agree_setting(struct reader *reader, const struct setting *setting)
{
    struct due due = {0};

    agree_claim(reader, &due, "want", &setting->want);
    agree_readings(reader, &due, &setting->measured);
}

static void agree_part(struct reader *reader, const struct part *part)
{
    for (size_t i = 0; i < part->sizes.count; i++) {
        struct due due = {0};
        agree_size(reader, &due, part->sizes.items[i]);
    }
}

/* A part is sent when it is named, or sits on what is named. */
static bool is_sent(const struct outwork *outwork, const struct part *part)
{
    for (; part; part = part->host)
        for (size_t i = 0; i < outwork->of.to_count; i++)
            if (outwork->of.to[i] == &part->e)
                return true;
    return false;
}

/* Outwork comes back with the size that the part has. */
static void agree_outwork(struct reader *reader, const struct outwork *outwork)
{
    for (size_t i = 0; i < outwork->want.count; i++) {
        const struct size_ref *size = &outwork->want.items[i].size;
        struct due due = {0};

        if (size->part && outwork->of.present && !is_sent(outwork, size->part)) {
            fault_hint(reader, fault(reader, DIAG_SPEC_WRONG_TARGET, size->span,
                                     "%s is not sent away by %s", size->part->e.member,
                                     outwork->e.id),
                       "name it in of, or want a size of what is sent");
            continue;
        }
        if (outwork->want.items[i].size.size)
            agree_size(reader, &due, outwork->want.items[i].size.size);
        agree_claim(reader, &due, "want", &outwork->want.items[i].want);
    }
}

void agree_values(struct reader *reader)
{
    const struct spec *spec = reader->spec;

    for (size_t i = 0; i < spec->entries.count; i++) {
        struct entry *entry = spec->entries.items[i];
        switch (entry->kind) {
        case ENTRY_PART:
            agree_part(reader, (const struct part *)entry);
            break;
        case ENTRY_LIMIT:
            agree_limit(reader, (const struct limit *)entry);
            break;
        case ENTRY_SETTING:
            agree_setting(reader, (const struct setting *)entry);
            break;
        case ENTRY_FIT:
            agree_lengths(reader, &((const struct fit *)entry)->inner, 1);
            agree_lengths(reader, &((const struct fit *)entry)->outer, 1);
            break;
        case ENTRY_OUTWORK:
            agree_outwork(reader, (const struct outwork *)entry);
            break;
        default:
            break;
        }
    }
}
