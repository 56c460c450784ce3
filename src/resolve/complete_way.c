/* complete_way.c - ways for oil, water and hands: openings, passages, faces; and work sent out. */
#include "resolve_private.h"

static void check_opening(struct resolver *r, const struct opening *opening)
{
    if (opening->closer_count > 0 || opening->stays_open.text != NULL)
        return;
    struct diag *diag = diag_add(&r->context->diags, DIAG_OPENING_NEVER_CLOSED, opening->e.span,
                                 "no part closes %s", opening->e.member);
    resolve_hint(r, diag,
                 "say closes: [%s] on the part that does, or stays-open: with the reason here",
                 opening->e.group->id);
}

/* Whether a plug of this passage does not say that it closes it: told at the plug (G0629). */
static bool is_told_at_plug(const struct passage *passage)
{
    for (size_t i = 0; i < passage->path.to_count; i++) {
        const struct part *piece = spec_part(passage->path.to[i]);
        for (size_t k = 0; piece != NULL && k < piece->child_count; k++)
            if (piece->children[k]->out_for.text != NULL && !piece->children[k]->closes.present)
                return true;
    }
    return false;
}

static void check_passage(struct resolver *r, struct passage *passage)
{
    if (passage->plug_count == 0 && !is_told_at_plug(passage)) {
        struct diag *diag = diag_add(&r->context->diags, DIAG_PASSAGE_NEVER_CLOSED, passage->e.span,
                                     "no part closes %s", passage->e.member);
        resolve_hint(r, diag, "say closes: [%s] on its plugs, or on the part at which it ends",
                     passage->e.group->id);
    }
    if (passage->prove.text == NULL) {
        struct diag *diag =
            spec_warn(r->context, &passage->e, DIAG_PASSAGE_NOT_PROVED, passage->e.span,
                      "%s does not say how it is proved", passage->e.member);
        resolve_hint(r, diag, "say prove: as in prove: %s under pressure",
                     passage->carries.text != NULL ? passage->carries.text : "oil");
    }
}

/* `sealant: none` says that metal meets metal. */
bool resolve_seal_is_bare(const struct seal *seal)
{
    return seal->gasket.text == NULL && seal->sealant.text == NULL;
}

static void check_seal(struct resolver *r, const struct seal *seal)
{
    if (!resolve_seal_is_bare(seal))
        return;
    struct diag *diag = diag_add(
        &r->context->diags, DIAG_SEAL_WITHOUT_MEANS, seal->e.span,
        "%s does not say with what it seals", seal->e.member);
    resolve_hint(r, diag, "say gasket: ID, sealant: ID, or sealant: none where metal meets metal");
}

static void check_outwork(struct resolver *r, struct outwork *work)
{
    bool has_sizes = false;

    for (size_t i = 0; i < work->of.to_count; i++) {
        const struct part *part = spec_part(work->of.to[i]);
        for (size_t k = 0; part != NULL && k < part->sizes.count; k++)
            has_sizes |= !part->sizes.items[k]->implied;
        /* A limit, fit or setting that reads the part later on measures the work, too. */
        for (size_t k = 0; part != NULL && k < r->spec->limits.count; k++)
            for (size_t m = 0; m < r->spec->limits.items[k]->of.to_count; m++)
                if (r->spec->limits.items[k]->of.to[m] == work->of.to[i])
                    return;
        for (size_t k = 0; part != NULL && k < r->spec->settings.count; k++)
            for (size_t m = 0; m < r->spec->settings.items[k]->of.to_count; m++)
                if (r->spec->settings.items[k]->of.to[m] == work->of.to[i])
                    return;
    }
    if (work->want.count > 0)
        return;
    struct diag *diag = spec_warn(r->context, &work->e, DIAG_OUTWORK_NOT_MEASURED, work->e.span,
                                  "nothing measures %s when it comes back", work->e.member);
    resolve_hint(r, diag,
                 has_sizes ? "say want: with the sizes ordered"
                           : "say want: with the sizes ordered, or add a limit for it");
}

void resolve_complete_ways(struct resolver *r)
{
    for (size_t i = 0; i < r->spec->openings.count; i++)
        check_opening(r, r->spec->openings.items[i]);
    for (size_t i = 0; i < r->spec->passages.count; i++)
        check_passage(r, r->spec->passages.items[i]);
    for (size_t i = 0; i < r->spec->seals.count; i++)
        check_seal(r, r->spec->seals.items[i]);
    for (size_t i = 0; i < r->spec->outwork.count; i++)
        check_outwork(r, r->spec->outwork.items[i]);
}
