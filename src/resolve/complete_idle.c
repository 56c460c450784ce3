/* complete_idle.c - entries that would do nothing: what they are for was not said. */
#include "resolve_private.h"

static void check_parts(struct resolver *r)
{
    if (r->spec->parts.count > 0)
        return;
    struct diag *diag = diag_add(&r->context->diags, DIAG_NO_PARTS, r->spec->engine.span,
                                 "%s has no parts: there is nothing to build",
                                 r->spec->engine.name.text);
    resolve_hint(r, diag, "say parts: with an entry for each, or use: with the file that holds them");
}

static void check_assembly(struct resolver *r, struct part *part)
{
    if (!part->assembly.value || part->child_count > 0)
        return;
    struct diag *diag =
        spec_warn(r->context, &part->e, DIAG_ASSEMBLY_OF_NOTHING, part->assembly.span,
                  "%s is made of other parts, and none sits in it", part->e.member);
    resolve_hint(r, diag, "say in: %s on the parts that it is made of, or leave assembly out",
                 part->e.group->id);
}

static void check_setting(struct resolver *r, struct setting *setting)
{
    if (setting->event.text != NULL || setting->at_text.text != NULL || setting->want.present ||
        setting->marks.text != NULL || setting->teeth.count > 0)
        return;
    struct diag *diag =
        spec_warn(r->context, &setting->e, DIAG_SETTING_WITHOUT_AIM, setting->e.span,
                  "%s does not say what is brought right", setting->e.member);
    resolve_hint(r, diag, "say want, or marks, or event and at");
}

static void check_run(struct resolver *r, struct run *run)
{
    if (run->what.text != NULL || run->lasts.present || run->speed.present || run->due.present ||
        run->or_by.present || run->look_for.count > 0)
        return;
    struct diag *diag = spec_warn(r->context, &run->e, DIAG_RUN_WITHOUT_WORK, run->e.span,
                                  "%s does not say what is done", run->e.member);
    resolve_hint(r, diag, "say do, or for how long it runs, or when it is due");
}

static bool is_brought_right_by(const struct resolver *r, const struct joint *joint)
{
    for (size_t i = 0; i < r->spec->entries.count; i++) {
        const struct entry *entry = r->spec->entries.items[i];
        const struct ref *by = entry->kind == ENTRY_LIMIT     ? &((const struct limit *)entry)->by
                               : entry->kind == ENTRY_SETTING ? &((const struct setting *)entry)->by
                               : entry->kind == ENTRY_STEP    ? &((const struct step *)entry)->by
                                                              : NULL;
        for (size_t k = 0; by != NULL && k < by->count; k++)
            if (by->to[k]->group == joint->e.group)
                return true;
    }
    return false;
}

static void check_nip(struct resolver *r, struct joint *joint)
{
    if (!joint->nip.present || is_brought_right_by(r, joint))
        return;
    struct diag *diag =
        spec_warn(r->context, &joint->e, DIAG_NIP_FOR_NOTHING, joint->nip.span,
                  "%s is nipped first, and nothing is brought right by it", joint->e.member);
    resolve_hint(r, diag, "say by: %s in the limit, setting or step, or leave nip out",
                 joint->e.group->id);
}

void resolve_complete_idle(struct resolver *r)
{
    check_parts(r);
    for (size_t i = 0; i < r->spec->parts.count; i++)
        check_assembly(r, r->spec->parts.items[i]);
    for (size_t i = 0; i < r->spec->joints.count; i++)
        check_nip(r, r->spec->joints.items[i]);
    for (size_t i = 0; i < r->spec->settings.count; i++)
        check_setting(r, r->spec->settings.items[i]);
    for (size_t i = 0; i < r->spec->runs.count; i++)
        check_run(r, r->spec->runs.items[i]);
}
