/* resolve.c - the stage: typed spec in, resolved build out. */
#include "resolve_private.h"

static void complete(struct resolver *r)
{
    resolve_complete_joints(r);
    resolve_complete_parts(r);
    resolve_complete_ways(r);
    resolve_complete_limits(r);
    resolve_complete_history(r);
    resolve_complete_idle(r);
}

/* spec_read has put the user's own tables in front of what is built in (context->tables). */
struct build *resolve_build(struct context *context, const struct spec *spec)
{
    if (spec == NULL)
        return NULL;

    size_t errors = context->diags.errors;
    struct build *build = ARENA_NEW(context->arena, struct build);
    struct resolver r = {.context = context, .arena = context->arena, .tables = context->tables,
                         .spec = spec, .build = build};

    build->spec = spec;
    build->tables = context->tables;
    build->english = label_english(context);
    resolve_bearings(&r);
    resolve_sizes(&r);
    resolve_joints(&r);
    resolve_limits(&r);
    resolve_fits(&r);
    resolve_picks(&r);
    resolve_clearances(&r);
    resolve_judge(&r);
    resolve_settings(&r);
    resolve_timing(&r);
    resolve_gaskets(&r);
    resolve_purchases(&r);
    resolve_weight(&r);
    resolve_questions(&r);
    complete(&r);
    return context->diags.errors > errors ? NULL : build;
}

/* ---------- finding ---------- */

struct fact *build_fact(const struct build *build, const char *id)
{
    size_t at = map_text(&build->fact_ids, id);

    return at != MAP_NONE ? build->facts.items[at] : NULL;
}

#define FIND(list, what)                                                                           \
    size_t at = map_item(&build->places, what);                                                    \
    return at != MAP_NONE ? &build->list.items[at] : NULL

const struct joint_values *build_joint(const struct build *build, const struct joint *joint)
{
    FIND(joints, joint);
}

const struct limit_values *build_limit(const struct build *build, const struct limit *limit)
{
    FIND(limits, limit);
}

const struct fit_values *build_fit(const struct build *build, const struct fit *fit)
{
    FIND(fits, fit);
}

const struct setting_values *build_setting(const struct build *build, const struct setting *setting)
{
    FIND(settings, setting);
}

const struct bearing_values *build_bearing(const struct build *build, const struct part *part)
{
    FIND(bearings, part);
}

const struct size_values *build_size(const struct build *build, const struct size *size)
{
    FIND(sizes, size);
}
