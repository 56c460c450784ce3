/* spend.c - what the plan itself spends: gaskets laid again and locks fitted again where a follow-up
 * opens what lies over a joint. The joint's own new lock is counted by resolve. */
#include <gudgeon/plan.h>

static void spend_seal(struct context *context, struct build *build, const struct seal *seal)
{
    for (size_t i = 0; i < seal->gasket.count; i++) {
        const struct part *gasket = spec_part(seal->gasket.to[i]);
        if (gasket)
            build_spend_again(context, build, gasket, part_quantity(gasket));
    }
}

static bool tightened_again(const struct joint *joint)
{
    for (size_t i = 0; i < joint->again.count; i++)
        if (joint->again.items[i].run.count)
            return true;
    return false;
}

static void spend_lock(struct context *context, struct build *build, const struct joint *joint)
{
    const struct part *lock = joint->lock.part.count ? spec_part(joint->lock.part.to[0]) : NULL;

    if (!lock || tightened_again(joint))
        return;
    build_spend_again(context, build, lock, build_joint_pieces(joint, lock));
}

void plan_spend(struct context *context, struct build *build, const struct plan *plan)
{
    for (size_t i = 0; plan && i < plan->operations.count; i++) {
        const struct operation *op = plan->operations.items[i];
        if (op->phase != PHASE_FOLLOW_UP)
            continue;
        if (op->verb == VERB_SEAL && op->entry->kind == ENTRY_SEAL)
            spend_seal(context, build, (const struct seal *)op->entry);
        else if (op->verb == VERB_LOCK && op->entry->kind == ENTRY_JOINT)
            spend_lock(context, build, (const struct joint *)op->entry);
    }
}
