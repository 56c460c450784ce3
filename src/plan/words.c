/* words.c - phases, verbs and operations in a fitter's words. */
#include "plan_private.h"

static const char *const phase_names[PHASE_COUNT] = {
    "intake", "strip", "clean", "inspect", "outwork", "goods-in",
    "trial",  "final", "set",   "first-run", "follow-up"};

const char *phase_name(enum phase phase)
{
    return phase_names[phase];
}

/* The word of ids, and what is done to the entry, for each verb. */
static const struct { const char *word, *does; } verbs[VERB_COUNT] = {
    [VERB_FIT] = {"fit", "Fit"},
    [VERB_REMOVE] = {"remove", "Take off"},
    [VERB_SLACKEN] = {"slacken", "Slacken"},
    [VERB_NIP] = {"nip", "Nip"},
    [VERB_TIGHTEN] = {"tighten", "Tighten"},
    [VERB_LOCK] = {"lock", "Lock"},
    [VERB_RETIGHTEN] = {"retighten", "Tighten again"},
    [VERB_WAIT] = {"wait", "Wait"},
    [VERB_READ] = {"read", "Read"},
    [VERB_SET] = {"set", "Set"},
    [VERB_READ_AGAIN] = {"read-again", "Read again"},
    [VERB_PROVE] = {"prove", "Prove"},
    [VERB_SEAL] = {"seal", "Seal"},
    [VERB_DO] = {"do", "Do"},
    [VERB_WITNESS] = {"witness", "Witness"},
    [VERB_HEAT] = {"heat", "Heat"},
    [VERB_RUN] = {"run", "Run"},
    [VERB_SEND] = {"send", "Send away for"},
    [VERB_MEASURE_RETURN] = {"measure", "Measure on return from"},
    [VERB_TRIAL] = {"trial", "Trial build:"},
    [VERB_INSPECT] = {"inspect", "Inspect"},
    [VERB_COUNT_BACK] = {"count-back", "Count back"},
    [VERB_TAKE_STOCK] = {"take-stock", "Take stock of"},
    [VERB_CLEAN] = {"clean", "Clean"},
};

const char *verb_word(enum verb verb)
{
    return verbs[verb].word;
}

static const char *shown(const struct entry *entry)
{
    return entry->shown ? entry->shown : entry->member;
}

static const char *fit_words(struct arena *arena, const struct operation *op)
{
    const struct part *part = (const struct part *)op->entry;
    const char *to = part->host ? str_print(arena, " to %s", shown(&part->host->e)) : "";

    if (op->verb == VERB_REMOVE)
        to = part->host ? str_print(arena, " from %s", shown(&part->host->e)) : "";
    struct str_buf out = {.arena = arena};
    str_add_print(&out, "%s %s%s", verbs[op->verb].does, shown(op->entry), to);
    for (size_t i = 0; i < part->with.to_count; i++) {
        struct part *other = plan_as_part(part->with.to[i]);
        if (other && plan_info(other) && plan_info(other)->brought_by == part)
            str_add_print(&out, ", with %s", shown(&other->e));
    }
    return out.bytes;
}

static const char *prove_words(struct arena *arena, const struct operation *op)
{
    const struct part *part = (const struct part *)op->object;

    if (!part)
        return str_print(arena, "Prove %s, the whole way", shown(op->entry));
    return part->host || !part->sealed_by_count
               ? str_print(arena, "Prove %s in %s, loose", shown(op->entry), shown(op->object))
               : str_print(arena, "See the hole of %s over the drilling: %s", shown(op->object),
                           shown(op->entry));
}

static const char *moment_words(unsigned moment)
{
    return moment == MOMENT_STRIP       ? ", as found"
           : moment == MOMENT_BENCH     ? ", on the bench"
           : moment == MOMENT_TRIAL     ? ", in the trial"
           : moment == MOMENT_ASSEMBLED ? ", assembled"
           : moment == MOMENT_RUNNING   ? ", running"
                                        : "";
}

static const char *seal_words(struct arena *arena, const struct operation *op)
{
    const struct seal *seal = (const struct seal *)op->entry;
    const char *gasket = seal->gasket.count ? shown(seal->gasket.to[0]) : NULL;
    const char *sealant = seal->sealant_row ? seal->sealant_row->id : NULL;

    if (seal->sealant_row && seal->sealant_row->name.text)
        sealant = seal->sealant_row->name.text;
    if (gasket && sealant)
        return str_print(arena, "Lay %s with %s", gasket, sealant);
    return gasket ? str_print(arena, "Lay %s", gasket)
                  : str_print(arena, "Spread %s on %s", sealant, shown(op->entry));
}

static const char *wait_words(struct arena *arena, const struct operation *op)
{
    long long minutes = (long long)op->at_least_s / 60;
    const char *time = minutes % 60 ? str_print(arena, "%lld min", minutes)
                                    : str_print(arena, "%lld h", minutes / 60);

    return op->entry->kind == ENTRY_SEAL
               ? str_print(arena, "Let %s cure for %s", shown(op->entry), time)
               : str_print(arena, "Wait %s before %s is tightened again", time, shown(op->entry));
}

const char *operation_words(struct arena *arena, const struct operation *op)
{
    switch (op->verb) {
    case VERB_FIT:
    case VERB_REMOVE:
        return fit_words(arena, op);
    case VERB_PROVE:
        return prove_words(arena, op);
    case VERB_SEAL:
        return seal_words(arena, op);
    case VERB_WAIT:
        return wait_words(arena, op);
    case VERB_READ:
        return str_print(arena, "Read %s%s", shown(op->entry), moment_words(op->moment));
    case VERB_READ_AGAIN:
        return op->object
                   ? str_print(arena, "Read %s again after %s", shown(op->entry), shown(op->object))
                   : str_print(arena, "Read %s again", shown(op->entry));
    case VERB_INSPECT:
        return op->kind ? str_print(arena, "Inspect %s, %s", shown(op->entry), op->kind)
                        : str_print(arena, "Inspect %s", shown(op->entry));
    case VERB_HEAT:
        return str_print(arena, "%s %s for %s",
                         ((const struct fit *)op->entry)->heat.present ? "Heat" : "Chill",
                         op->object ? shown(op->object) : "", shown(op->entry));
    case VERB_DO:
        return ((const struct step *)op->entry)->what.text
                   ? ((const struct step *)op->entry)->what.text
                   : shown(op->entry);
    case VERB_RUN:
        return ((const struct run *)op->entry)->what.text
                   ? str_print(arena, "%s: %s", shown(op->entry),
                               ((const struct run *)op->entry)->what.text)
                   : shown(op->entry);
    default:
        return str_print(arena, "%s %s", verbs[op->verb].does, shown(op->entry));
    }
}
