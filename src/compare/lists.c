/* lists.c - what is bought, and what everything weighs. */
#include "compare_private.h"

/* ---------- purchases ---------- */

static const char *supplier_id(const struct purchase *line)
{
    return line->supplier ? line->supplier->id : NULL;
}

static const char *words(struct comparer *comparer, const struct phrase *phrase)
{
    return build_words(comparer->arena, comparer->is->build, phrase);
}

static bool same_phrase(struct comparer *comparer, const struct phrase *was, const struct phrase *is)
{
    return compare_alike(comparer->arena, words(comparer, was), words(comparer, is));
}

static bool same_line(struct comparer *comparer, const struct purchase *was, const struct purchase *is)
{
    return was->needed == is->needed && was->pieces == is->pieces && was->packs == is->packs &&
           was->line_minor == is->line_minor && str_equal(was->currency, is->currency) &&
           str_equal(was->number, is->number) && same_phrase(comparer, was->why, is->why) &&
           str_equal(supplier_id(was), supplier_id(is)) &&
           same_phrase(comparer, was->text, is->text) &&
           same_phrase(comparer, was->acceptance, is->acceptance);
}

static unsigned likeness(struct comparer *comparer, const struct purchase *was,
                         const struct purchase *is)
{
    return 1u + 2u * str_equal(was->number, is->number) + same_phrase(comparer, was->text, is->text);
}

/* The line of the earlier list for the same thing: same id, and then as like as there is one. */
static size_t line_before(struct comparer *comparer, const struct purchase *is, const bool *met)
{
    const struct build *was = comparer->was->build;
    size_t found = was->purchases.count;
    unsigned most = 0;

    for (size_t i = 0; i < was->purchases.count; i++) {
        const struct purchase *line = &was->purchases.items[i];
        if (met[i] || !str_equal(build_line_id(line), build_line_id(is)) ||
            likeness(comparer, line, is) <= most)
            continue;
        most = likeness(comparer, line, is);
        found = i;
    }
    return found;
}

/* Lines that are in both lists as they are must not be taken for others that changed. */
static void meet_alike(struct comparer *comparer, bool *was_met, bool *is_met)
{
    const struct build *was = comparer->was->build, *is = comparer->is->build;

    for (size_t i = 0; i < is->purchases.count; i++)
        for (size_t k = 0; k < was->purchases.count && !is_met[i]; k++)
            if (!was_met[k] &&
                str_equal(build_line_id(&was->purchases.items[k]),
                          build_line_id(&is->purchases.items[i])) &&
                same_line(comparer, &was->purchases.items[k], &is->purchases.items[i]))
                was_met[k] = is_met[i] = true;
}

void compare_purchases(struct comparer *comparer)
{
    const struct build *was = comparer->was->build, *is = comparer->is->build;
    bool *met = ARENA_ARRAY(comparer->arena, bool, was->purchases.count + 1);
    bool *is_met = ARENA_ARRAY(comparer->arena, bool, is->purchases.count + 1);

    meet_alike(comparer, met, is_met);
    for (size_t i = 0; i < is->purchases.count; i++) {
        const struct purchase *now = &is->purchases.items[i];
        if (is_met[i])
            continue;
        size_t at = line_before(comparer, now, met);
        const struct purchase *before = at < was->purchases.count ? &was->purchases.items[at] : NULL;
        met[at] = true;
        *ARRAY_PUSH(comparer->arena, &comparer->comparison->purchases) =
            (struct compare_purchase){before ? CHANGE_CHANGED : CHANGE_NEW, before, now};
    }
    for (size_t i = 0; i < was->purchases.count; i++)
        if (!met[i])
            *ARRAY_PUSH(comparer->arena, &comparer->comparison->purchases) =
                (struct compare_purchase){CHANGE_GONE, &was->purchases.items[i], NULL};
}

/* ---------- weights ---------- */

static struct compare_weight *weight_of(struct comparer *comparer, const struct group *group,
                                        const char *name)
{
    struct comparison *comparison = comparer->comparison;

    for (size_t i = 0; i < comparison->weights.count; i++)
        if (str_equal(comparison->weights.items[i].id, group->id))
            return &comparison->weights.items[i];
    struct compare_weight *weight = ARRAY_PUSH(comparer->arena, &comparison->weights);
    *weight = (struct compare_weight){.id = group->id, .name = name, .was_known = true,
                                      .is_known = true};
    return weight;
}

static void add_weights(struct comparer *comparer, const struct build *build, bool now)
{
    for (size_t i = 0; i < build->weights.count; i++) {
        const struct part_weight *one = &build->weights.items[i];
        const struct entry *entry = &one->part->e;
        struct compare_weight *weight =
            weight_of(comparer, entry->group, entry->name.text ? entry->name.text : entry->id);
        double kg = (one->low_kg + one->high_kg) / 2;
        if (now) {
            weight->name = entry->name.text ? entry->name.text : entry->id;
            weight->is_there = true;
            weight->is_known &= one->known;
            weight->is_kg += one->known ? kg : 0;
        } else {
            weight->was_there = true;
            weight->was_known &= one->known;
            weight->was_kg += one->known ? kg : 0;
        }
    }
}

void compare_weights(struct comparer *comparer)
{
    add_weights(comparer, comparer->was->build, false);
    add_weights(comparer, comparer->is->build, true);
}
