/* cautions.c - which facts of an operation call for which caution (table "cautions").
 *
 * The keys asked here are the keys of that table's column `fact`; a test compares the two lists. */
#include "pack_private.h"

#include <math.h>

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

/* The words of an id or name: a spring is known as one by what it is called. */
static void ask_words(struct asked *asked, const struct part *part)
{
    char *id = str_copy(asked->packer->arena, part->e.id);

    for (char *save, *word = strtok_r(id, "-", &save); word; word = strtok_r(NULL, "-", &save))
        ask(asked, "word", word, NAN);
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

static void ask_part(struct asked *asked, const struct operation *operation, struct part *part)
{
    struct packer *packer = asked->packer;

    if (part->material.text)
        ask(asked, "material", part->material.text, NAN);
    ask_words(asked, part);
    ask_texts(asked, "inspect", &part->inspect);
    ask(asked, "weight", NULL, mass_with_unit(part));
    if (part->bearing.present)
        ask(asked, "bearing", verb_word(operation->verb), NAN);
    if (part->out_for.text)
        ask(asked, "out-for", part->out_for.text, NAN);
    for (size_t i = 0; i < packer->spec->fits.count; i++) {
        const struct fit *fit = packer->spec->fits.items[i];
        if (fit->inner.part != part && fit->outer.part != part)
            continue;
        const struct fit_values *values = build_fit(packer->build, fit);
        if (fit->heat.present)
            ask(asked, "heat", fit->heat.part.text, NAN);
        if (values && values->kind && operation->verb == VERB_FIT && fit->inner.part == part)
            ask(asked, "fit", values->kind, NAN);
    }
}

void cautions_of(struct packer *packer, const struct operation *operation,
                 void (*each)(struct packer *, void *, const struct table_caution *), void *user)
{
    struct asked asked = {.packer = packer, .each = each, .user = user};
    struct part *part = spec_part(operation->entry);
    const struct entry *entry = operation->entry;

    if (part && (operation->verb == VERB_FIT || operation->verb == VERB_REMOVE ||
                 operation->verb == VERB_INSPECT))
        ask_part(&asked, operation, part);
    if (entry->kind == ENTRY_PASSAGE) {
        const struct passage *passage = (const struct passage *)entry;
        if (passage->carries.text)
            ask(&asked, "carries", passage->carries.text, NAN);
        ask(&asked, "verb", "prove", NAN);
    }
    if (entry->kind == ENTRY_SEAL) {
        const struct seal *seal = (const struct seal *)entry;
        if (seal->sealant_row)
            ask(&asked, "sealant", seal->sealant_row->id, NAN);
    }
    if (entry->kind == ENTRY_JOINT) {
        const struct joint *joint = (const struct joint *)entry;
        static const char *const locks[] = {"", "none", "split-pin", "wire", "tab-washer",
                                            "self-locking", "thread-lock"};
        if (operation->verb == VERB_LOCK || operation->verb == VERB_SLACKEN)
            ask(&asked, "lock", locks[joint->lock.kind], NAN);
        const struct joint_values *values = build_joint(packer->build, joint);
        if (values && values->derived && operation->verb == VERB_TIGHTEN)
            ask(&asked, "torque", "derived", NAN);
    }
    if (entry->kind == ENTRY_RUN)
        ask(&asked, "verb", "run", NAN);
    if (entry->engine_is.text)
        ask(&asked, "engine-is", entry->engine_is.text, NAN);
    if (operation->verb == VERB_SEND || operation->verb == VERB_MEASURE_RETURN)
        ask(&asked, "verb", verb_word(operation->verb), NAN);
}
