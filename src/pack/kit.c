/* kit.c - what must lie ready before a card begins: parts, hardware counted out, tools, settings. */
#include "pack_private.h"

struct line {
    const char *text;
    int64_t count;      /* 0: not counted */
    bool renew;
};
struct lines {
    struct line *items;
    size_t count, room;
};

static void add_line(struct packer *packer, struct lines *lines, const char *text, int64_t count,
                     bool renew)
{
    if (!text)
        return;
    for (size_t i = 0; i < lines->count; i++) {
        if (strcmp(lines->items[i].text, text) == 0) {
            lines->items[i].count += count;
            lines->items[i].renew |= renew;
            return;
        }
    }
    *ARRAY_PUSH(packer->arena, lines) = (struct line){text, count, renew};
}

static const char *named(struct packer *packer, const struct part *part)
{
    return part->number.text && !part->number.unknown
               ? str_print(packer->arena, "%s, %s", part->e.shown, part->number.text)
               : part->e.shown;
}

static void add_part(struct packer *packer, struct lines *lines, const struct part *part,
                     int64_t count)
{
    add_line(packer, lines, named(packer, part), count,
             part->always_renew.value || part->state == STATE_RENEW);
}

static void add_entries(struct packer *packer, struct lines *lines, const struct ref *ref,
                        int64_t count, bool renew)
{
    for (size_t i = 0; i < ref->count; i++) {
        struct part *part = spec_part(ref->to[i]);
        if (part)
            add_line(packer, lines, named(packer, part), count,
                     renew || part->always_renew.value);
    }
}

static bool in_uses(const struct joint *joint, const struct ref *ref)
{
    for (size_t i = 0; i < joint->uses.count; i++)
        if (ref->count && joint->uses.items[i].ref.count &&
            joint->uses.items[i].ref.to[0] == ref->to[0])
            return true;
    return false;
}

static void kit_of(struct packer *packer, const struct operation *op, struct lines *lines)
{
    if (op->entry->kind == ENTRY_JOINT) {
        const struct joint *joint = (const struct joint *)op->entry;
        /* a joint that is nipped first takes its hardware then */
        bool first = op->verb == VERB_NIP || (op->verb == VERB_TIGHTEN && !op->after_nip);
        for (size_t i = 0; first && i < joint->uses.count; i++)
            add_entries(packer, lines, &joint->uses.items[i].ref, joint->uses.items[i].count,
                        joint->lock.part.count && joint->uses.items[i].ref.count &&
                            joint->lock.part.to[0] == joint->uses.items[i].ref.to[0]);
        if (op->verb == VERB_LOCK && joint->lock.part.count && !in_uses(joint, &joint->lock.part))
            add_entries(packer, lines, &joint->lock.part, build_joint_pieces(joint, spec_part(joint->lock.part.to[0])), true);
        if (op->verb == VERB_LOCK && joint->lock.consumable.text)
            add_line(packer, lines, text_of_consumable(packer, joint->lock.consumable.text), 0,
                     false);
    } else if (op->entry->kind == ENTRY_SEAL && op->verb == VERB_SEAL) {
        const struct seal *seal = (const struct seal *)op->entry;
        for (size_t i = 0; i < seal->gasket.count; i++) {
            struct part *part = spec_part(seal->gasket.to[i]);
            if (part && !part->host)
                add_part(packer, lines, part, part_quantity(part));
        }
        if (seal->sealant_row)
            add_line(packer, lines, text_of_consumable(packer, seal->sealant.text), 0, false);
    } else if (op->entry->kind == ENTRY_PART && op->verb == VERB_FIT) {
        const struct part *part = (const struct part *)op->entry;
        if (!part->assembly.value)
            add_part(packer, lines, part, part_quantity(part));
    }
}

/* Every oven that gets hot enough. */
static void ovens_of(struct packer *packer, const struct fit *fit, struct lines *lines)
{
    const struct fit_values *values = build_fit(packer->build, fit);

    for (size_t i = 0; i < packer->spec->shop.ovens.count; i++) {
        const struct oven *oven = &packer->spec->shop.ovens.items[i];
        if (!fit->heat.present)
            return;
        if (values && values->heat_to && oven->up_to.present &&
            values->heat_to->value.high.si > oven->up_to.value.nominal.si)
            continue;
        add_line(packer, lines, text_of_oven(packer, oven), 0, false);
    }
}

/* A wrench stands once, with what it is set to for each joint. */
static void add_setting(struct packer *packer, struct lines *lines, const char *wrench,
                        const char *setting)
{
    const char *head = str_print(packer->arena, "%s — ", wrench);

    for (size_t i = 0; i < lines->count; i++) {
        const char *text = lines->items[i].text;
        if (strncmp(text, head, strlen(head)) != 0)
            continue;
        if (!strstr(text, setting))
            lines->items[i].text = str_print(packer->arena, "%s; %s", text, setting);
        return;
    }
    add_line(packer, lines, str_print(packer->arena, "%s%s", head, setting), 0, false);
}

static void tools_of(struct packer *packer, const struct operation *op, struct lines *lines)
{
    for (size_t i = 0; i < op->entry->tools.count && !is_of_piece(op); i++)
        add_line(packer, lines, text_of_tool(packer, op->entry->tools.items[i].text), 0, false);
    if (op->verb == VERB_HEAT && op->entry->kind == ENTRY_FIT)
        ovens_of(packer, (const struct fit *)op->entry, lines);
    if (op->entry->kind == ENTRY_JOINT &&
        (op->verb == VERB_TIGHTEN || op->verb == VERB_RETIGHTEN)) {
        const struct joint *joint = (const struct joint *)op->entry;
        const struct joint_values *values = build_joint(packer->build, joint);
        if (values && values->wrench)
            add_setting(packer, lines, text_of_wrench(packer, values->wrench),
                        str_print(packer->arena, "%s: %s%s%s%s", op->entry->shown,
                                  values->setting_text ? values->setting_text : "",
                                  values->setting_other_text ? " (" : "",
                                  values->setting_other_text ? values->setting_other_text : "",
                                  values->setting_other_text ? ")" : ""));
        if (values && values->spanner)
            add_line(packer, lines, text_of_phrase(packer, values->spanner), 0, false);
        if (joint->adapter.text)
            add_line(packer, lines, text_of_adapter(packer, joint->adapter.text), 0, false);
    }
    if (op->entry->kind == ENTRY_LIMIT && op->verb == VERB_READ)
        add_line(packer, lines,
                 text_of_gauge(packer, ((const struct limit *)op->entry)->using.text), 0, false);
    if (op->entry->kind == ENTRY_SETTING)
        add_line(packer, lines,
                 text_of_gauge(packer, ((const struct setting *)op->entry)->using.text), 0, false);
    if (op->entry->kind == ENTRY_OUTWORK && op->verb == VERB_MEASURE_RETURN)
        add_line(packer, lines,
                 text_of_gauge(packer, ((const struct outwork *)op->entry)->using.text), 0, false);
}

static void add_list(struct packer *packer, struct section *section, const char *heading,
                     const struct lines *lines)
{
    if (lines->count == 0)
        return;
    block_heading(packer, section, 2, heading);
    struct block *list = block_add(packer, section, BLOCK_CHECKLIST);
    for (size_t i = 0; i < lines->count; i++) {
        const struct line *line = &lines->items[i];
        ARRAY_PUSH(packer->arena, &list->checklist);
        size_t at = list->checklist.count - 1;
        list->checklist.items[at].text = line->text;
        list->checklist.items[at].count =
            line->count > 0 ? str_print(packer->arena, "%lld", (long long)line->count) : NULL;
        list->checklist.items[at].mark = line->renew;
    }
}

void add_kit(struct packer *packer, struct section *section, const struct plan_card *card)
{
    struct lines kit = {0}, tools = {0};

    for (size_t i = 0; i < card->count; i++) {
        if (card->phase != PHASE_STRIP)
            kit_of(packer, card->operations[i], &kit);
        tools_of(packer, card->operations[i], &tools);
    }
    add_list(packer, section, L(packer, "card.kit"), &kit);
    add_list(packer, section, L(packer, "card.tools"), &tools);
}
