/* pack.c - the whole pack: sections in the template's order, sheets, readings. */
#include "pack_private.h"

/* A letter that the font lacks would print as a box that still reads right in a search of the PDF:
 * every text of the spec is looked through at its place. */
static void check_letters(struct context *context, const struct node *node)
{
    for (const struct node *child = node->child; child; child = child->next)
        check_letters(context, child);
    if (node->kind != NODE_SCALAR)
        return;
    for (const char *at = node->text; *at;) {
        const char *begin = at;
        uint32_t letter = str_code_point(&at);
        if (letter < 32 || pack_font_has(letter))
            continue;
        size_t offset = (size_t)(begin - node->text);
        struct diag *diag = diag_add(
            &context->diags, DIAG_LETTER_MISSING,
            tree_text_span(node, offset, offset + (size_t)(at - begin)),
            "the printed font has no letter '%.*s' (U+%04X); it prints Latin, Greek and Cyrillic",
            (int)(at - begin), begin, letter);
        diag_hint(&context->diags, diag, "write it in letters that the font has");
        return; /* one a text */
    }
}

static bool wanted(const struct pack_options *options, const char *id)
{
    if (options->card_count == 0)
        return true;
    for (size_t i = 0; i < options->card_count; i++)
        if (strcmp(options->cards[i], id) == 0)
            return true;
    return false;
}

/* --cards: only these are printed; the lists, readings and fingerprints stay whole. */
static bool keep_cards(struct packer *packer, const struct pack_options *options)
{
    size_t kept = 0;

    for (size_t i = 0; i < options->card_count; i++) {
        size_t j = 0;
        while (j < packer->plan->cards.count &&
               strcmp(packer->plan->cards.items[j].id, options->cards[i]) != 0)
            j++;
        if (j < packer->plan->cards.count)
            continue;
        const char **ids = ARENA_ARRAY(packer->arena, const char *, packer->plan->cards.count);
        for (size_t k = 0; k < packer->plan->cards.count; k++)
            ids[k] = packer->plan->cards.items[k].id;
        struct diag *diag = diag_add(&packer->context->diags, DIAG_CARD_UNKNOWN, (struct span){0},
                                     "no card of this plan is called '%s'", options->cards[i]);
        const char *near = str_nearest(options->cards[i], ids, packer->plan->cards.count);
        if (near)
            diag_hint(&packer->context->diags, diag, "did you mean %s?", near);
        return false;
    }
    for (size_t i = 0; options->card_count && i < packer->pack->sections.count; i++) {
        struct section *section = packer->pack->sections.items[i];
        if (section->kind == SECTION_CARD && wanted(options, section->id))
            packer->pack->sections.items[kept++] = section;
    }
    if (options->card_count)
        packer->pack->sections.count = kept;
    return true;
}

static void add_part_of_pack(struct packer *packer, enum pack_part part)
{
    switch (part) {
    case PART_COVER: add_cover(packer); break;
    case PART_OVERVIEW: add_overview(packer); break;
    case PART_CARDS: add_cards(packer); break;
    default: add_summary(packer, part); break;
    }
}

struct packer *packer_start(struct context *context, const char *path, const struct build *build)
{
    const struct layout *layout = layout_load(context, path);

    if (!layout)
        return NULL;
    struct packer *packer = ARENA_NEW(context->arena, struct packer);
    *packer = (struct packer){.context = context, .arena = context->arena, .layout = layout,
                              .labels = layout->template.labels, .build = build,
                              .spec = build->spec, .pack = ARENA_NEW(context->arena, struct pack)};
    packer->pack->template = &layout->template;
    packer->pack->language = layout->template.language;
    return packer;
}

struct pack *pack_lay_out(struct context *context, const struct plan *plan,
                          const struct pack_options *options)
{
    if (!plan)
        return NULL;
    size_t errors = context->diags.errors;
    struct packer *packer = packer_start(context, options->template_path, plan->build);
    check_letters(context, plan->build->spec->tree->root);
    if (!packer || context->diags.errors > errors)
        return NULL;

    const struct spec *spec = plan->build->spec;
    struct pack *pack = packer->pack;
    packer->plan = pack->plan = plan;
    pack->id = spec->id;
    pack->engine = spec->engine.name.text;
    pack->title = str_print(context->arena, "%s: %s", L(packer, "cover.title"), pack->engine);
    pack->serial = spec->engine.serial.text;
    pack->revision = options->revision;
    pack->date = options->date;
    for (size_t i = 0; i < packer->layout->part_count; i++)
        add_part_of_pack(packer, packer->layout->parts[i]);
    for (size_t i = 0; i < pack->sections.count; i++)
        fingerprint_section(packer, pack->sections.items[i]);
    add_sheets(packer);
    add_readings(packer);
    add_tags(packer);
    add_gaskets(packer);
    return keep_cards(packer, options) ? pack : NULL;
}
