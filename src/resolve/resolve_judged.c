/* resolve_judged.c - every verdict of a build in one list. */
#include "resolve_private.h"

static void add(struct arena *arena, struct build_judgements *all, struct build_judged one)
{
    if (one.verdict != VERDICT_NONE)
        *ARRAY_PUSH(arena, all) = one;
}

struct build_judgements build_judgements(struct arena *arena, const struct build *build)
{
    struct build_judgements all = {0};

    for (size_t i = 0; i < build->sizes.count; i++) {
        const struct size_values *v = &build->sizes.items[i];
        add(arena, &all, (struct build_judged){v->size->id, &v->size->part->e, v->verdict, v->judged,
                                               v->found, v->want, v->worn});
    }
    for (size_t i = 0; i < build->fits.count; i++) {
        const struct fit_values *v = &build->fits.items[i];
        add(arena, &all, (struct build_judged){v->fit->e.member, &v->fit->e, v->verdict, v->judged,
                                               v->clearance, v->want, NULL});
    }
    for (size_t i = 0; i < build->limits.count; i++) {
        const struct limit_values *v = &build->limits.items[i];
        add(arena, &all, (struct build_judged){v->limit->e.member, &v->limit->e, v->verdict,
                                               v->judged, v->found, v->want, v->worn});
    }
    for (size_t i = 0; i < build->settings.count; i++) {
        const struct setting_values *v = &build->settings.items[i];
        add(arena, &all, (struct build_judged){v->setting->e.member, &v->setting->e, v->verdict,
                                               v->judged, v->found, v->want, NULL});
    }
    return all;
}
