/* figures.c - the figure that a step shows, as facts: tightening patterns, fits, timing. */
#include "pack_private.h"

#include <math.h>

static void place(struct packer *packer, struct figure *figure, double x_mm, double y_mm)
{
    *ARRAY_PUSH(packer->arena, &figure->x_mm) = x_mm;
    *ARRAY_PUSH(packer->arena, &figure->y_mm) = y_mm;
}

/* Cross order on a circle: each next fastener is the one farthest round from the last, the smaller
 * number first (common practice, no source). Position 0 is at the top, clockwise. */
static void round_pattern(struct packer *packer, struct figure *figure, int64_t count)
{
    bool *used = ARENA_ARRAY(packer->arena, bool, (size_t)count);
    int64_t at = 0;

    for (int64_t i = 0; i < count; i++) {
        double angle = 2 * 3.14159265358979324 * (double)i / (double)count;
        place(packer, figure, 40 * sin(angle), 40 * cos(angle));
        *ARRAY_PUSH(packer->arena, &figure->sequence) = 0;
    }
    for (int64_t number = 1; number <= count; number++) {
        figure->sequence.items[at] = number;
        used[at] = true;
        int64_t best = -1, best_distance = -1;
        for (int64_t step = 0; step < count; step++) {
            int64_t next = (at + count / 2 + (step % 2 ? -(step + 1) / 2 : step / 2) + count) % count;
            int64_t round = (next - at + count) % count;
            int64_t distance = round < count - round ? round : count - round;
            if (!used[next] && distance > best_distance) {
                best = next;
                best_distance = distance;
            }
        }
        if (best >= 0)
            at = best;
    }
}

/* From the middle outwards, the classic order of a head: nearest the centre first, sides in turn
 * (common practice, no source). */
static void outward_order(struct packer *packer, struct figure *figure)
{
    size_t count = figure->x_mm.count;
    bool *used = ARENA_ARRAY(packer->arena, bool, count);
    double x_mid = 0, y_mid = 0;

    for (size_t i = 0; i < count; i++) {
        x_mid += figure->x_mm.items[i] / (double)count;
        y_mid += figure->y_mm.items[i] / (double)count;
        *ARRAY_PUSH(packer->arena, &figure->sequence) = 0;
    }
    double last_x = x_mid, last_y = y_mid;
    for (size_t number = 1; number <= count; number++) {
        size_t best = count;
        double best_score = 0;
        for (size_t i = 0; i < count; i++) {
            if (used[i])
                continue;
            double out = hypot(figure->x_mm.items[i] - x_mid, figure->y_mm.items[i] - y_mid);
            double across = hypot(figure->x_mm.items[i] - last_x, figure->y_mm.items[i] - last_y);
            double score = out - 1e-3 * across; /* equal distance: the far side */
            if (best == count || score < best_score - 1e-6) {
                best = i;
                best_score = score;
            }
        }
        used[best] = true;
        figure->sequence.items[best] = (int64_t)number;
        last_x = figure->x_mm.items[best];
        last_y = figure->y_mm.items[best];
    }
}

static void row_pattern(struct packer *packer, struct figure *figure, const struct joint *joint)
{
    size_t rows = joint->pattern.rows.count;

    for (size_t row = 0; row < rows; row++) {
        int64_t in_row = joint->pattern.rows.items[row];
        for (int64_t i = 0; i < in_row; i++)
            place(packer, figure, ((double)i - (double)(in_row - 1) / 2) * 22,
                  ((double)(rows - 1) / 2 - (double)row) * 26);
    }
    outward_order(packer, figure);
}

static void point_pattern(struct packer *packer, struct figure *figure, const struct joint *joint)
{
    for (size_t i = 0; i + 1 < joint->pattern.points.count; i += 2)
        place(packer, figure, joint->pattern.points.items[i].value.nominal.si * 1000,
              joint->pattern.points.items[i + 1].value.nominal.si * 1000);
    figure->to_scale = true;
    outward_order(packer, figure);
}

static void pattern_figure(struct packer *packer, struct section *section,
                           const struct joint *joint)
{
    struct figure *figure = ARENA_NEW(packer->arena, struct figure);

    figure->kind = FIGURE_PATTERN;
    figure->id = str_print(packer->arena, "pattern:%s", joint->e.member);
    figure->caption = str_print(packer->arena, "%s: %s", L(packer, "field.pattern"), joint->e.shown);
    if (joint->pattern.points.count)
        point_pattern(packer, figure, joint);
    else if (joint->pattern.rows.count)
        row_pattern(packer, figure, joint);
    else if (joint->pattern.round.present && joint->pattern.round.value > 0)
        round_pattern(packer, figure, joint->pattern.round.value);
    /* the user's own sequence says the number of each position */
    if (joint->pattern.sequence.count && joint->pattern.sequence.count == figure->x_mm.count)
        for (size_t i = 0; i < figure->sequence.count; i++)
            figure->sequence.items[i] = joint->pattern.sequence.items[i];
    if (figure->x_mm.count < 3)
        return;
    struct block *block = block_add(packer, section, BLOCK_FIGURE);
    block->figure = figure;
    block->text = figure->caption;
}

static bool zone(const struct size_values *values, double nominal_mm, double *low, double *high,
                 bool *measured, double *found)
{
    if (!values || !values->want || values->want->value.kind == QTY_ABSENT)
        return false;
    *low = (values->want->value.low.si * 1000 - nominal_mm) * 1000;
    *high = (values->want->value.high.si * 1000 - nominal_mm) * 1000;
    *measured = values->size->measured.count > 0 && values->found;
    if (*measured)
        *found = ((values->found->value.low.si + values->found->value.high.si) * 500 - nominal_mm) *
                 1000;
    return true;
}

static void fit_figure(struct packer *packer, struct section *section, const struct fit *fit)
{
    struct figure *figure = ARENA_NEW(packer->arena, struct figure);
    const struct size_values *inner = fit->inner.size ? build_size(packer->build, fit->inner.size)
                                                      : NULL;
    const struct size_values *outer = fit->outer.size ? build_size(packer->build, fit->outer.size)
                                                      : NULL;

    if (!inner || !inner->want || inner->want->value.kind == QTY_ABSENT)
        return;
    struct qty nominal = inner->want->value.nominal;
    if (nominal.dim != QTY_LENGTH)
        nominal = inner->want->value.low;
    double nominal_mm = nominal.si * 1000;
    if (!zone(inner, nominal_mm, &figure->inner_low, &figure->inner_high, &figure->inner_measured,
              &figure->inner_found) ||
        !zone(outer, nominal_mm, &figure->outer_low, &figure->outer_high, &figure->outer_measured,
              &figure->outer_found))
        return;
    figure->kind = FIGURE_FIT;
    figure->id = str_print(packer->arena, "fit:%s", fit->e.member);
    figure->caption = fit->e.shown;
    figure->inner_label = fit->inner.part->e.shown;
    figure->outer_label = fit->outer.part->e.shown;
    figure->nominal_label = qty_print_plain(packer->arena, nominal);
    struct block *block = block_add(packer, section, BLOCK_FIGURE);
    block->figure = figure;
    block->text = figure->caption;
}

static void timing_figure(struct packer *packer, struct section *section,
                          const struct setting *setting)
{
    const struct setting_values *values = build_setting(packer->build, setting);
    const struct fact *angle = values ? values->at : NULL;

    if (angle && angle->value.nominal.dim != QTY_ANGLE)
        angle = values->at_other;
    if (!angle || angle->value.kind != QTY_ONE || angle->value.nominal.dim != QTY_ANGLE)
        return;
    struct figure *figure = ARENA_NEW(packer->arena, struct figure);
    figure->kind = FIGURE_TIMING;
    figure->id = str_print(packer->arena, "timing:%s", setting->e.member);
    figure->caption = setting->e.shown;
    double from_tdc = angle->value.nominal.si * (setting->at.before ? -1 : 1);
    *ARRAY_PUSH(packer->arena, &figure->angles) = setting->at.bottom ? 180 + from_tdc : from_tdc;
    const char *said = setting->at_text.text;
    if (angle != values->at) /* "1/8 in before tdc": the angle is another fact */
        said = str_print(packer->arena, "%s, %s", said, text_of_fact(packer, angle));
    *ARRAY_PUSH(packer->arena, &figure->names) = said;
    struct block *block = block_add(packer, section, BLOCK_FIGURE);
    block->figure = figure;
    block->text = figure->caption;
}

void add_figure(struct packer *packer, struct section *section, const struct operation *op)
{
    if (op->entry->kind == ENTRY_JOINT && op->verb == VERB_TIGHTEN) {
        const struct joint *joint = (const struct joint *)op->entry;
        if (joint->pattern.present && op->phase != PHASE_TRIAL)
            pattern_figure(packer, section, joint);
    } else if (op->entry->kind == ENTRY_FIT && op->verb == VERB_HEAT) {
        fit_figure(packer, section, (const struct fit *)op->entry);
    } else if (op->entry->kind == ENTRY_SETTING && op->verb == VERB_SET) {
        timing_figure(packer, section, (const struct setting *)op->entry);
    }
}
