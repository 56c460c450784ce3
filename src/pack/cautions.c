/* cautions.c - which facts of an operation call for which caution (table "cautions").
 *
 * The keys asked here are the keys of that table's column `fact`; a test compares the two lists. */
#include "pack_private.h"

#include <math.h>

const char *caution_text(struct packer *packer, const struct table_caution *caution)
{
    return *caution->text ? caution->text : label_of(packer, "caution", caution->id);
}

struct asked {
    struct packer *packer;
    void (*each)(struct packer *, void *, const struct table_caution *);
    void *user;
    struct { const struct table_caution **items; size_t count, room; } said;
};

static void ask(struct asked *asked, const char *fact, const char *value, double number)
{
    struct packer *packer = asked->packer;
    struct table_cautions found =
        table_caution_find(packer->arena, packer->context->tables, fact, value, number);

    for (size_t i = 0; i < found.count; i++) {
        size_t j = 0;
        while (j < asked->said.count && strcmp(asked->said.items[j]->id, found.items[i]->id) != 0)
            j++;
        if (j < asked->said.count)
            continue;
        *ARRAY_PUSH(packer->arena, &asked->said) = found.items[i];
        asked->each(packer, asked->user, found.items[i]);
    }
}

static void ask_texts(struct asked *asked, const char *fact, const struct texts *texts)
{
    for (size_t i = 0; i < texts->count; i++)
        ask(asked, fact, texts->items[i].text, NAN);
}

/* A spring is known as one by what it is called: the whole id, then each word of it. */
static void ask_words(struct asked *asked, const struct part *part)
{
    char *id = str_copy(asked->packer->arena, part->e.id);

    ask(asked, "part", id, NAN);
    for (char *save, *word = strtok_r(id, "-", &save); word; word = strtok_r(NULL, "-", &save))
        ask(asked, "part", word, NAN);
}

static double mass_with_unit(const struct part *part)
{
    double kg = part->weight.present && part->weight.value.kind == QTY_ONE
                    ? part->weight.value.nominal.si
                    : 0;
    for (size_t i = 0; i < part->with.to_count; i++) {
        const struct part *on = spec_part(part->with.to[i]);
        if (on && on->weight.present && on->weight.value.kind == QTY_ONE)
            kg += on->weight.value.nominal.si * (double)part_quantity(on);
    }
    return kg;
}

/* What heating or chilling for a fit calls for. */
static void ask_heat(struct asked *asked, const struct fit *fit)
{
    const struct part *heated = fit->heat.part.count ? spec_part(fit->heat.part.to[0]) : NULL;

    if (fit->heat.present)
        ask(asked, "heat", fit->heat.part.text, NAN);
    if (heated && heated->material.text)
        ask(asked, "material", heated->material.text, NAN);
    if (fit->chill.present)
        ask(asked, "cooling", NULL, NAN);
}

static void ask_fits(struct asked *asked, const struct part *part)
{
    for (size_t i = 0; i < asked->packer->spec->fits.count; i++) {
        const struct fit *fit = asked->packer->spec->fits.items[i];
        const struct fit_values *values = build_fit(asked->packer->build, fit);
        if (fit->inner.part == part && !fit->heat.present && !fit->chill.present && values && values->kind)
            ask(asked, "fit", values->kind, NAN);
    }
}

static void ask_part(struct asked *asked, const struct operation *operation, struct part *part)
{
    if (part->material.text)
        ask(asked, "material", part->material.text, NAN);
    ask_words(asked, part);
    if (operation->kind)
        ask(asked, "inspect", operation->kind, NAN);
    else if (operation->verb == VERB_INSPECT)
        ask_texts(asked, "inspect", &part->inspect);
    ask(asked, "weight", NULL, mass_with_unit(part));
    if (part->bearing.present && operation->verb == VERB_REMOVE)
        ask(asked, "bearing", part->bearing.designation.text, NAN);
    if (operation->verb == VERB_FIT)
        ask_fits(asked, part);
}

static void ask_joint(struct asked *asked, const struct operation *operation,
                      const struct joint *joint)
{
    const struct joint_values *values = build_joint(asked->packer->build, joint);

    if (operation->verb == VERB_LOCK || operation->verb == VERB_SLACKEN)
        ask(asked, "lock", spec_lock_word(joint->lock.kind), NAN);
    if (joint->condition.plating.text)
        ask(asked, "plating", joint->condition.plating.text, NAN);
    if (operation->verb != VERB_TIGHTEN && operation->verb != VERB_RETIGHTEN)
        return;
    if (values && values->derived)
        ask(asked, "torque", "derived", NAN);
    if (joint->stretch.present)
        ask(asked, "torque", "stretch", NAN);
    if (joint->then.present)
        ask(asked, "torque", "angle", NAN);
    if (joint->lock.kind == LOCK_THREAD_LOCK && joint->lock.consumable.text)
        ask(asked, "consumable", joint->lock.consumable.text, NAN);
}

void cautions_of_card(struct packer *packer, const struct plan_card *card,
                      void (*each)(struct packer *, void *, const struct table_caution *),
                      void *user)
{
    struct asked asked = {.packer = packer, .each = each, .user = user};

    ask(&asked, "phase", phase_name(card->phase), NAN);
    if (card->phase == PHASE_FIRST_RUN) /* what the engine drives matters once it turns */
        ask(&asked, "duty", packer->spec->engine.duty.text, NAN);
}

/* How it is fitted. */
static void ask_handling(struct asked *asked, const struct entry *entry)
{
    ask_texts(asked, "tools", &entry->tools);
    if (entry->people.present)
        ask(asked, "people", NULL, (double)entry->people.value);
    if (entry->crank_at_text.text)
        ask(asked, "crank-at", entry->crank_at_text.text, NAN);
}

void cautions_of(struct packer *packer, const struct operation *operation,
                 void (*each)(struct packer *, void *, const struct table_caution *), void *user)
{
    struct asked asked = {.packer = packer, .each = each, .user = user};
    struct part *part = spec_part(operation->entry);
    const struct entry *entry = operation->entry;

    if (!is_of_piece(operation))
        ask_handling(&asked, entry);
    if (part && (operation->verb == VERB_FIT || operation->verb == VERB_REMOVE ||
                 operation->verb == VERB_INSPECT || operation->verb == VERB_CLEAN))
        ask_part(&asked, operation, part);
    if (entry->kind == ENTRY_PASSAGE) {
        const struct passage *passage = (const struct passage *)entry;
        if (passage->carries.text)
            ask(&asked, "carries", passage->carries.text, NAN);
        if (passage->prove.text && !operation->object)
            ask(&asked, "prove", passage->prove.text, NAN);
    }
    if (operation->verb == VERB_HEAT && entry->kind == ENTRY_FIT)
        ask_heat(&asked, (const struct fit *)entry);
    if (entry->kind == ENTRY_SEAL && ((const struct seal *)entry)->sealant_row)
        ask(&asked, "consumable", ((const struct seal *)entry)->sealant_row->id, NAN);
    if (entry->kind == ENTRY_JOINT)
        ask_joint(&asked, operation, (const struct joint *)entry);
}
