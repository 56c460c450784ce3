/* open_time.c - whether the order found keeps the open time of each sealant: from spreading to the
 * last joint of that face nothing else may stand between, or the error names what does
 * (implication 5 of specs/LANGUAGE.md section 6). Clumps see to most of it; where the blocks of two
 * faces run into each other, this does. */
#include "plan_private.h"

struct block {
    const struct seal *seal;
    const struct task *fit;   /* of the last of its faces */
    const struct info *info;
};

static const struct task *covers(const struct seal *seal)
{
    const struct entry *last = seal->between.to[seal->between.to_count - 1];

    return plan_as_part(last) ? plan_info(last)->fit : NULL;
}

static bool pulls_it(const struct block *block, const struct joint *joint)
{
    for (size_t i = 0; joint && i < block->info->pulled_by.count; i++) {
        const struct joint *pull = block->info->pulled_by.items[i];
        if (pull == joint)
            return true;
        for (size_t k = 0; k < plan_info(pull)->in_turns.count; k++)
            if (plan_info(pull)->in_turns.items[k] == joint)
                return true;
    }
    return false;
}

static const struct joint *brought_by(const struct entry *entry)
{
    const struct ref *by = entry->kind == ENTRY_SETTING ? &((const struct setting *)entry)->by
                           : entry->kind == ENTRY_LIMIT ? &((const struct limit *)entry)->by
                           : entry->kind == ENTRY_STEP  ? &((const struct step *)entry)->by
                                                        : NULL;

    return by && by->count ? plan_as_joint(by->to[0]) : NULL;
}

static bool belongs(const struct block *block, const struct task *task)
{
    const struct part *gasket = plan_as_part(task->op.object);

    switch (task->op.verb) {
    case VERB_WITNESS:
    case VERB_COUNT_BACK:
    case VERB_REMOVE: /* a slave part, directly after what it helped */
        return true;
    case VERB_FIT:
        return task == block->fit;
    case VERB_SEAL:
        return covers((const struct seal *)task->op.entry) == block->fit;
    case VERB_PROVE:
        for (size_t i = 0; gasket && i < gasket->sealed_by_count; i++)
            if (covers(gasket->sealed_by[i]) == block->fit)
                return true;
        return false;
    case VERB_WAIT:
        return false;
    default:
        return pulls_it(block, plan_as_joint(task->op.entry)) ||
               pulls_it(block, brought_by(task->op.entry));
    }
}

static void keep(struct maker *maker, const struct seal *seal)
{
    struct block block = {seal, covers(seal), plan_info(seal)};
    size_t last = block.info->lay->at;

    for (size_t i = 0; i < block.info->pulled_by.count; i++) {
        const struct task *tight = plan_info(block.info->pulled_by.items[i])->tighten;
        last = tight->at > last ? tight->at : last;
    }
    for (size_t at = block.info->lay->at + 1; at < last; at++) {
        const struct task *task = maker->order.items[at];
        if (belongs(&block, task))
            continue;
        struct diag *diag = diag_add(
            &maker->context->diags, DIAG_PLAN_OPEN_TIME, seal->e.span,
            "'%s' has to be done within the open time of %s, from spreading to its last joint",
            operation_words(maker->arena, &task->op), seal->e.member);
        diag_label(&maker->context->diags, diag, task->op.entry->span, "this stands between");
        diag_hint(&maker->context->diags, diag,
                  "let each face be pulled down by joints of its own, or take a sealant that stays "
                  "open longer");
        return;
    }
}

void plan_keep_open_times(struct maker *maker)
{
    for (size_t i = 0; i < maker->spec->seals.count; i++) {
        const struct seal *seal = maker->spec->seals.items[i];
        if (plan_info(seal)->lay && plan_open_time_s(seal) > 0)
            keep(maker, seal);
    }
}
