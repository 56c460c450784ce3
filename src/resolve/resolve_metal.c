/* resolve_metal.c - what a part is made of: each figure from the first source that has it, and what
 * other sources say of its growth with heat. */
#include "resolve_private.h"

/* Of metals without one in a source; common practice, no source. */
static const double usual_poisson = 0.3;

static void set_modulus(struct resolve_metal *metal, double low_pa, double high_pa)
{
    metal->modulus_low_pa = table_has(low_pa) ? low_pa : high_pa;
    metal->modulus_high_pa = table_has(high_pa) ? high_pa : low_pa;
    metal->modulus_pa = (metal->modulus_low_pa + metal->modulus_high_pa) / 2;
}

static void add_rival(struct resolve_metal *metal, double per_k, const char *source)
{
    if (!table_has(per_k) || per_k == metal->expansion_per_k ||
        metal->rival_count == sizeof metal->rivals / sizeof *metal->rivals)
        return;
    metal->rivals[metal->rival_count++] = (struct resolve_expansion){per_k, source};
}

/* Sources disagree on how a metal grows, and some give a range: one figure is used, all are kept. */
static void set_expansion(const struct resolver *r, const struct table_material *row,
                          struct resolve_metal *metal)
{
    const struct table_material *with = table_material_with(r->tables, row, "expansion-low");

    if (with == NULL)
        return;
    metal->expansion_per_k = table_material_expansion(with);
    metal->expansion_source = with->row.source;
    for (; row != NULL; row = table_material_next(r->tables, row)) {
        add_rival(metal, row->expansion_low_per_k, row->row.source);
        if (row->expansion_high_per_k != row->expansion_low_per_k)
            add_rival(metal, row->expansion_high_per_k, row->row.source);
    }
}

/* A bearing's own rings are of bearing steel, whatever else is said of it. */
bool resolve_metal(const struct resolver *r, const struct part *part, struct resolve_metal *metal)
{
    const char *name = part->material.text;
    const struct material *own = NULL;
    if (name == NULL && part->bearing.present)
        name = "bearing-steel";
    if (name == NULL || part->material.unknown)
        return false;

    for (size_t i = 0; i < r->spec->materials.count; i++)
        if (str_equal(r->spec->materials.items[i].id, name))
            own = &r->spec->materials.items[i];
    const struct table_material *row = table_material_find(
        r->tables, own != NULL && own->like.text != NULL ? own->like.text : name, NULL);
    if (row == NULL && own == NULL)
        return false;

    *metal = (struct resolve_metal){.name = name, .poisson = usual_poisson};
    metal->expansion_per_k = metal->modulus_pa = metal->tensile_pa = metal->shear_pa =
        metal->modulus_low_pa = metal->modulus_high_pa = NAN;
    if (row != NULL) {
        /* Each figure from the first source that has it. */
        const struct table_material *with;
        set_expansion(r, row, metal);
        if ((with = table_material_with(r->tables, row, "modulus-low")) != NULL)
            set_modulus(metal, with->modulus_low_pa, with->modulus_high_pa);
        if ((with = table_material_with(r->tables, row, "poisson")) != NULL)
            metal->poisson = with->poisson;
        if ((with = table_material_with(r->tables, row, "tensile")) != NULL)
            metal->tensile_pa = with->tensile_pa;
        if ((with = table_material_with(r->tables, row, "shear")) != NULL)
            metal->shear_pa = with->shear_pa;
        metal->family = row->family;
        metal->source = row->row.source;
    }
    if (own != NULL && resolve_said(&own->expansion)) {
        metal->expansion_per_k = own->expansion.value.nominal.si;
        metal->rival_count = 0; /* the user has decided */
        metal->source = metal->expansion_source = own->expansion.from != NULL && own->expansion.from->title != NULL
                            ? own->expansion.from->title
                            : "given in materials";
    }
    if (own != NULL && resolve_said(&own->modulus))
        set_modulus(metal, own->modulus.value.low.si, own->modulus.value.high.si);
    if (own != NULL && resolve_said(&own->poisson))
        metal->poisson = own->poisson.value.nominal.si;
    return true;
}

void resolve_no_material(struct resolver *r, struct entry *entry, struct part *part,
                         struct span span, const char *what)
{
    struct diag *diag;

    /* What cannot be judged leaves nothing to accept, and nothing that is accepted in vain. */
    spec_keep_accepts(entry);
    for (size_t i = 0; i < r->without_material.count; i++)
        if (r->without_material.items[i] == part)
            return;
    diag = spec_warn(r->context, entry, DIAG_FIT_NO_MATERIAL, span,
                     "%s does not say its material, so %s", part->e.member, what);
    if (diag == NULL)
        return;
    *ARRAY_PUSH(r->arena, &r->without_material) = part;
    resolve_label(r, diag, part->e.span, "say material: here");
    resolve_hint(r, diag, "`gudgeon table material` lists them");
}
