/* plan.c - the stage: facts to operations, precedences, order, phases, cards; and the replay that
 * has the last word. */
#include "plan_private.h"

enum { ROUNDS = 64 }; /* each adds precedences that stay, so few are ever needed */

static void know_entries(struct maker *maker)
{
    const struct spec *spec = maker->spec;

    maker->info_count = spec->entries.count;
    maker->infos = ARENA_ARRAY(maker->arena, struct info, maker->info_count + 1);
    for (size_t i = 0; i < spec->entries.count; i++) {
        maker->infos[i].entry = spec->entries.items[i];
        spec->entries.items[i]->plan_data = &maker->infos[i];
    }
}

/* Which way round a part goes is checked as it goes in: what never goes in is never checked. */
static void warn_unseen(struct maker *maker)
{
    for (size_t i = 0; i < maker->spec->parts.count; i++) {
        struct part *part = maker->spec->parts.items[i];
        if (!part->way_round.present || part->state != STATE_STAYS)
            continue;
        struct diag *diag = spec_warn(maker->context, &part->e, DIAG_PLAN_WAY_ROUND_UNSEEN,
                                      part->way_round.span,
                                      "%s stays where it is, so nobody checks its way round before "
                                      "it is hidden",
                                      part->e.member);
        if (diag)
            diag_hint(&maker->context->diags, diag,
                      "look at it now and say 'accept: {G0710: seen on the bench}', or change its "
                      "state");
    }
}

static bool find_order(struct maker *maker)
{
    bool more = true;

    for (int round = 0; more; round++) {
        if (!plan_order(maker))
            return false;
        if (maker->cheapest)
            plan_find_cheapest(maker);
        more = round < ROUNDS && plan_amend(maker);
    }
    return true;
}

static bool replay(struct maker *maker)
{
    struct plan_fault fault = {0};
    struct plan *plan = maker->plan;

    if ((maker->without && !maker->replay) ||
        plan_check(maker->arena, maker->build, plan->operations.items,
                                     plan->operations.count, &fault))
        return true;
    diag_add(&maker->context->diags, DIAG_PLAN_INTERNAL,
             fault.operation ? fault.operation->entry->span : maker->spec->engine.span,
             "gudgeon is at fault: its order does not hold implication %d: %s", fault.implication,
             fault.words);
    return false;
}

static struct maker new_maker(struct context *context, const struct build *build,
                              const struct plan_options *options, const struct cost_weights *weights)
{
    struct maker maker = {.context = context,
                          .arena = context->arena,
                          .build = build,
                          .spec = build->spec,
                          .plan = ARENA_NEW(context->arena, struct plan),
                          .without = options ? options->without : 0,
                          .replay = options && options->replay};

    maker.plan->build = build;
    maker.plan->weights = weights;
    return maker;
}

/* Facts to tasks, precedences and an order. False after an error. */
static bool find_order_of_facts(struct maker *maker)
{
    size_t errors = maker->context->diags.errors;

    know_entries(maker);
    if (!plan_place_parts(maker))
        return false;
    plan_make_tasks(maker);
    plan_rank(maker);
    plan_bolts(maker);
    plan_metal(maker);
    plan_readings(maker);
    plan_trials(maker);
    warn_unseen(maker);
    return maker->context->diags.errors == errors && find_order(maker);
}

/* ---------- advice: the predictable order with one `before` more ---------- */

/* What it really loses, made from the facts; what there is to say of it has been said before. */
static bool measure(const struct maker *plain, struct plan_advice *advice)
{
    struct diags said = plain->context->diags;
    struct maker maker = new_maker(plain->context, plain->build, NULL, plain->plan->weights);

    maker.also = advice;
    bool goes = find_order_of_facts(&maker);
    if (goes)
        advice->cost = plan_cost_of(&maker, plan_wants(&maker));
    plain->context->diags = said;
    return goes;
}

/* Tells the predictable order's cost, and what would save most of it. False after an error. */
static bool advise(struct context *context, const struct build *build,
                   const struct plan_options *options, const struct cost_weights *weights,
                   struct plan *plan)
{
    struct maker plain = new_maker(context, build, options, weights);
    struct diags said = context->diags;

    if (!find_order_of_facts(&plain))
        return false;
    context->diags = said; /* its warnings are said again by the plan itself */
    plain.wants = plan_wants(&plain);
    plan->predictable = plan_cost_of(&plain, plain.wants);
    struct plan_advices found = plan_candidates(&plain);
    for (size_t i = 0; i < found.count; i++)
        if (measure(&plain, &found.items[i]) &&
            found.items[i].cost.total_s < plan->predictable.total_s &&
            (!plan->advice.first || found.items[i].cost.total_s < plan->advice.cost.total_s))
            plan->advice = found.items[i];
    return true;
}

struct plan *plan_make(struct context *context, const struct build *build,
                       const struct plan_options *options)
{
    if (!build)
        return NULL;
    const struct cost_weights *weights = plan_weights(context, options ? options->weights : NULL);
    if (!weights)
        return NULL;
    size_t errors = context->diags.errors;
    struct maker maker = new_maker(context, build, options, weights);

    maker.cheapest = options && options->cheapest;
    if ((maker.cheapest && !advise(context, build, options, weights, maker.plan)) ||
        !find_order_of_facts(&maker))
        return NULL;
    if (!maker.without)
        plan_keep_open_times(&maker);
    plan_write_out(&maker);
    plan_setups(&maker);
    plan_deal_cards(&maker);
    maker.plan->cost = plan_cost_of(&maker, plan_wants(&maker));
    if (context->diags.errors != errors)
        return NULL;
    return replay(&maker) ? maker.plan : NULL;
}

const struct operation *plan_operation(const struct plan *plan, const char *id)
{
    for (size_t i = 0; i < plan->operations.count; i++)
        if (str_equal(plan->operations.items[i]->id, id))
            return plan->operations.items[i];
    return NULL;
}
