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
    resolve_purchases(&r);
    resolve_weight(&r);
    resolve_questions(&r);
    complete(&r);
    return context->diags.errors > errors ? NULL : build;
}

/* ---------- finding ---------- */

struct fact *build_fact(const struct build *build, const char *id)
{
    for (size_t i = 0; i < build->facts.count; i++)
        if (str_equal(build->facts.items[i]->id, id))
            return build->facts.items[i];
    return NULL;
}

const struct joint_values *build_joint(const struct build *build, const struct joint *joint)
{
    for (size_t i = 0; i < build->joints.count; i++)
        if (build->joints.items[i].joint == joint)
            return &build->joints.items[i];
    return NULL;
}

const struct limit_values *build_limit(const struct build *build, const struct limit *limit)
{
    for (size_t i = 0; i < build->limits.count; i++)
        if (build->limits.items[i].limit == limit)
            return &build->limits.items[i];
    return NULL;
}

const struct fit_values *build_fit(const struct build *build, const struct fit *fit)
{
    for (size_t i = 0; i < build->fits.count; i++)
        if (build->fits.items[i].fit == fit)
            return &build->fits.items[i];
    return NULL;
}

const struct setting_values *build_setting(const struct build *build, const struct setting *setting)
{
    for (size_t i = 0; i < build->settings.count; i++)
        if (build->settings.items[i].setting == setting)
            return &build->settings.items[i];
    return NULL;
}

const struct bearing_values *build_bearing(const struct build *build, const struct part *part)
{
    for (size_t i = 0; i < build->bearings.count; i++)
        if (build->bearings.items[i].part == part)
            return &build->bearings.items[i];
    return NULL;
}

const struct size_values *build_size(const struct build *build, const struct size *size)
{
    for (size_t i = 0; i < build->sizes.count; i++)
        if (build->sizes.items[i].size == size)
            return &build->sizes.items[i];
    return NULL;
}
