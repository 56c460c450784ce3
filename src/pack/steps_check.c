/* steps_check.c - the steps that measure and set: limits, fits, settings. */
#include "steps_private.h"

const char *step_unit(const struct fact *fact)
{
    if (!fact || fact->value.kind == QTY_ABSENT)
        return NULL;
    const struct qty *qty = fact->value.kind == QTY_AT_MOST ? &fact->value.high : &fact->value.low;
    return qty->unit ? qty->unit->name : NULL;
}

/* The pieces that a reading chose. */
/* The pieces, and what the limit comes to with them. */
static const char *choice_text(struct packer *packer, const struct pick_choice *choice)
{
    const char *words = text_of_phrase(packer, choice->words),
               *leaves = text_of_value(packer, &choice->result);

    return leaves ? str_print(packer->arena, "%s (%s %s)", words, L(packer, "card.gives"), leaves)
                  : words;
}

static void pick_fields(struct packer *packer, struct step_block *step,
                        const struct pick_result *picks, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const struct pick_result *pick = &picks[i];
        if (pick->open) {
            step_field(packer, step, "pick-open", text_of_phrase(packer, pick->why_open));
            continue;
        }
        step_field_strong(packer, step, "pick",
                          str_print(packer->arena, "%s: %s", pick->part->e.shown,
                                    choice_text(packer, &pick->best)));
        struct str_buf others = {.arena = packer->arena};
        for (size_t j = 0; j < pick->other_count && j < 6; j++)
            str_add_print(&others, j ? "; %s" : "%s", choice_text(packer, &pick->others[j]));
        step_field(packer, step, "pick-others", others.length ? others.bytes : NULL);
    }
}

static void verdict_field(struct packer *packer, struct step_block *step, const char *text)
{
    step_field_strong(packer, step, "verdict", text);
}

static void fill_limit(struct packer *packer, struct step_block *step, const struct operation *op,
                       const struct limit *limit)
{
    const struct limit_values *values = build_limit(packer->build, limit);

    if (limit->of.to_count)
        step_field(packer, step, "holds-of",
                   text_of_entries(packer, limit->of.to, limit->of.to_count));
    step_field(packer, step, "rule", limit->rule.text);
    if (limit->stack.present) {
        struct str_buf text = {.arena = packer->arena};
        for (size_t i = 0; i < limit->stack.plus.count; i++)
            str_add_print(&text, "+ %s ", text_of_size(packer, &limit->stack.plus.items[i]));
        for (size_t i = 0; i < limit->stack.minus.count; i++)
            str_add_print(&text, "− %s ", text_of_size(packer, &limit->stack.minus.items[i]));
        step_field(packer, step, "stack", text.bytes);
    }
    if (limit->formula.kind != FORMULA_NONE)
        step_field(packer, step, "formula",
                   label_of(packer, "formula", spec_formula_word(limit->formula.kind)));
    const char *want = values ? text_of_fact(packer, values->want) : NULL;
    step_sources(packer, step, &limit->want);
    step_field(packer, step, "worn", values ? text_of_fact(packer, values->worn) : NULL);
    if (values && values->found) {
        step_field(packer, step, values->found->origin == FACT_COMPUTED ? "worked-out" : "found",
                   text_of_fact(packer, values->found));
        verdict_field(packer, step, text_of_phrase(packer, values->judged));
    }
    if (values)
        step_more(packer, step, &values->more);
    step_field(packer, step, "gauge", text_of_gauge(packer, limit->using.text));
    step_field(packer, step, "where", limit->where.text);
    if (values && op->phase != PHASE_STRIP)
        pick_fields(packer, step, values->picks, values->pick_count);
    if (limit->concession.present)
        step_field(packer, step, "concession", text_of_concession(packer, limit));
    step_reading(packer, step, reading_id(op), want, values ? step_unit(values->want) : NULL);
}

static void fill_fit_reading(struct packer *packer, struct step_block *step,
                             const struct operation *op, const struct fit *fit)
{
    const struct fit_values *values = build_fit(packer->build, fit);

    step_field(packer, step, "inner", text_of_size(packer, &fit->inner));
    step_field(packer, step, "outer", text_of_size(packer, &fit->outer));
    if (!values)
        return;
    step_field(packer, step, "clearance", text_of_fact(packer, values->clearance));
    step_field(packer, step, "kind", values->kind ? label_of(packer, "fit-kind", values->kind) : NULL);
    step_field(packer, step, "hot", text_of_fact(packer, values->hot));
    step_more(packer, step, &values->more);
    verdict_field(packer, step, text_of_phrase(packer, values->judged));
    pick_fields(packer, step, values->picks, values->pick_count);
    const struct fact *shown = values->want ? values->want : values->clearance;
    step_reading(packer, step, reading_id(op), text_of_fact(packer, shown), step_unit(shown));
}

void fill_read(struct packer *packer, struct step_block *step, const struct operation *op)
{
    if (op->entry->kind == ENTRY_LIMIT)
        fill_limit(packer, step, op, (const struct limit *)op->entry);
    else if (op->entry->kind == ENTRY_FIT)
        fill_fit_reading(packer, step, op, (const struct fit *)op->entry);
    else
        fill_set(packer, step, op); /* timing as found */
}

void fill_set(struct packer *packer, struct step_block *step, const struct operation *op)
{
    if (op->entry->kind != ENTRY_SETTING)
        return;
    const struct setting *setting = (const struct setting *)op->entry;
    const struct setting_values *values = build_setting(packer->build, setting);
    const char *at = values && values->at ? text_of_fact(packer, values->at) : setting->at_text.text;
    const char *want = values && values->want ? text_of_fact(packer, values->want)
                                              : text_of_claim(packer, &setting->want);

    step_field(packer, step, "holds-of",
               text_of_entries(packer, setting->of.to, setting->of.to_count));
    step_field(packer, step, "event", setting->event.text);
    step_field_strong(packer, step, "at", setting->at_text.text);
    step_text_sources(packer, step, &setting->at_text);
    step_field_strong(packer, step, "at-other",
                      values ? text_of_fact(packer, values->at_other) : NULL);
    step_field_strong(packer, step, "limit", want);
    step_field(packer, step, "tolerance", text_of_claim(packer, &setting->tolerance));
    step_field_strong(packer, step, "advance", setting->advance.text);
    step_field(packer, step, "marks", setting->marks.text);
    if (values && values->turns > 0)
        step_field(packer, step, "turns-back",
                   str_print(packer->arena, "%lld", (long long)values->turns));
    step_claim(packer, step, "lift", &setting->lift);
    if (values)
        step_more(packer, step, &values->more);
    step_field(packer, step, "gauge", text_of_gauge(packer, setting->using.text));
    if (want || at) {
        const char *unit = setting->want.present ? step_unit(values ? values->want : NULL)
                           : setting->at.present && setting->at.offset.unit
                               ? setting->at.offset.unit->name
                               : NULL;
        step_reading(packer, step, reading_id(op), want ? want : setting->at_text.text, unit);
    } else {
        step_tick(packer, step, L(packer, "check.seen"));
    }
}
