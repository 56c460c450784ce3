/* engines.c - two engines on one page: what they are, which parts they share, which are alike and not the
 * same. */
#include "lay_out_private.h"

/* ---------- what they are ---------- */

static const char *turns(struct layer *layer, const struct engine *engine)
{
    if (!engine->turns_way.text || !engine->turns_seen_from.text)
        return engine->turns_way.text;
    return str_print(layer->arena, "%s, %s %s", engine->turns_way.text,
                     L(layer->packer, "cover.seen-from"), engine->turns_seen_from.text);
}

static const char *cylinders(struct layer *layer, const struct engine *engine)
{
    return engine->cylinder_count ? str_print(layer->arena, "%zu", engine->cylinder_count) : NULL;
}

static void side_row(struct layer *layer, struct table *table, const char *what, const char *was,
                     const char *is)
{
    if (!was && !is)
        return;
    struct cell *row = table_row_new(layer->packer, table);
    row[0] = cell_text(what);
    row[1] = cell_text(was ? was : "–");
    row[2] = cell_text(is ? is : "–");
}

static const struct table *side_by_side(struct layer *layer)
{
    struct packer *p = layer->packer;
    const struct engine *was = &layer->comparison->was.plan->build->spec->engine;
    const struct engine *is = &layer->comparison->is.plan->build->spec->engine;
    struct table *table = table_new(p, "engines");

    table_column(p, table, "what", "", CELL_TEXT, 2);
    table_column(p, table, "was", was->name.text, CELL_TEXT, 4);
    table_column(p, table, "is", is->name.text, CELL_TEXT, 4);
    side_row(layer, table, L(p, "cover.maker"), was->maker.text, is->maker.text);
    side_row(layer, table, L(p, "cover.serial"), was->serial.text, is->serial.text);
    side_row(layer, table, L(p, "cover.built"), text_of_date(p, &was->built),
             text_of_date(p, &is->built));
    side_row(layer, table, L(p, "cover.variant"), was->variant.text, is->variant.text);
    side_row(layer, table, L(p, "cover.duty"), was->duty.text, is->duty.text);
    side_row(layer, table, L(p, "cover.cycle"), was->cycle.text, is->cycle.text);
    side_row(layer, table, L(p, "compare.cylinders"), cylinders(layer, was), cylinders(layer, is));
    side_row(layer, table, L(p, "compare.bore"), text_of_claim(p, &was->bore),
             text_of_claim(p, &is->bore));
    side_row(layer, table, L(p, "compare.stroke"), text_of_claim(p, &was->stroke),
             text_of_claim(p, &is->stroke));
    side_row(layer, table, L(p, "cover.rod-length"), text_of_claim(p, &was->rod_length),
             text_of_claim(p, &is->rod_length));
    side_row(layer, table, L(p, "cover.turns"), turns(layer, was), turns(layer, is));
    side_row(layer, table, L(p, "cover.firing-order"), text_of_texts(p, &was->firing_order),
             text_of_texts(p, &is->firing_order));
    side_row(layer, table, L(p, "compare.published"), text_of_claim(p, &was->weight),
             text_of_claim(p, &is->weight));
    return table;
}

/* ---------- parts ---------- */

struct pair {
    const struct group *was, *is;
};
static const struct part *part_of(const struct group *group)
{
    return group->kind == ENTRY_PART && group->member_count ? spec_part(group->members[0]) : NULL;
}

static const char *number_of(const struct group *group)
{
    const struct part *part = part_of(group);

    return part && !part->number.unknown ? part->number.text : NULL;
}

static const char *name_of(const struct group *group)
{
    const struct entry *entry = group->members[0];

    return entry->name.text ? entry->name.text : entry->id;
}

/* The part of the other engine that has the same number, else the same id and not another number. */
static const struct group *partner(const struct spec *other, const struct group *group)
{
    const char *number = number_of(group);

    for (size_t i = 0; number && i < other->groups.count; i++)
        if (part_of(other->groups.items[i]) && str_equal(number_of(other->groups.items[i]), number))
            return other->groups.items[i];
    const struct group *same = spec_group(other, group->id);
    return same && part_of(same) ? same : NULL;
}

/* What makes a part the same piece of metal, wherever it is: not its state, its price, its note. */
static bool is_of_the_piece(const char *key)
{
    static const char *const starts[] = {"number", "material", "bearing", "cut-from", "weight",
                                         "way-round"};

    for (size_t i = 0; i < sizeof starts / sizeof *starts; i++)
        if (str_starts(key, starts[i]))
            return true;
    return str_starts(key, "sizes.") && str_ends(key, ".want");
}

static bool same_piece(struct layer *layer, const struct pair *pair)
{
    const struct group *groups[] = {pair->was, pair->is};
    struct str_buf texts[2] = {{.arena = layer->arena}, {.arena = layer->arena}};

    for (int side = 0; side < 2; side++) {
        struct spec_says says = {0};
        spec_say_entry(layer->arena, groups[side]->members[0], &says);
        str_add(&texts[side], "");
        for (size_t i = 0; i < says.count; i++)
            if (is_of_the_piece(says.items[i].key))
                str_add_print(&texts[side], "%s: %s\n", says.items[i].key, says.items[i].exact);
    }
    return str_equal(texts[0].bytes, texts[1].bytes);
}

/* What is not the same of two pieces that are called the same. */
static const char *piece_text(struct layer *layer, const struct pair *pair, bool now)
{
    struct spec_says says = {0}, others = {0};
    struct str_buf text = {.arena = layer->arena};

    spec_say_entry(layer->arena, (now ? pair->is : pair->was)->members[0], &says);
    spec_say_entry(layer->arena, (now ? pair->was : pair->is)->members[0], &others);
    for (size_t i = 0; i < says.count; i++) {
        const struct spec_said *said = &says.items[i];
        bool same = !is_of_the_piece(said->key);
        for (size_t k = 0; k < others.count && !same; k++)
            same = str_equal(others.items[k].key, said->key) && str_equal(others.items[k].exact, said->exact);
        const char *dot = strrchr(said->key, '.');
        if (!same)
            str_add_print(&text, "%s%s: %s", text.length ? "; " : "",
                          label_or(layer->packer, "field", dot ? dot + 1 : said->key),
                          said->claim ? text_of_claim(layer->packer, said->claim) : said->words);
    }
    return text.length ? text.bytes : "–";
}

/* All that its places hold: "H-126, steel / H-127, alloy-steel". */
static const char *group_text(struct layer *layer, const struct group *group)
{
    struct str_buf text = {.arena = layer->arena};
    const char *before = NULL;

    for (size_t i = 0; i < group->member_count; i++) {
        const char *one = compare_entry_text(layer, group->members[i]);
        if (!str_equal(one, before))
            str_add_print(&text, before ? " / %s" : "%s", one);
        before = one;
    }
    return text.bytes;
}

static void add_alike(struct layer *layer, struct table *table, const struct pair *pair)
{
    struct cell *row = table_row_new(layer->packer, table);
    const char *was = group_text(layer, pair->was), *is = group_text(layer, pair->is);
    bool same = str_equal(was, is);

    row[0] = cell_text(name_of(pair->was));
    row[1] = cell_text(same ? piece_text(layer, pair, false) : was);
    row[2] = cell_text(same ? piece_text(layer, pair, true) : is);
}

static void add_name(struct str_buf *text, size_t *count, const struct group *group)
{
    const char *number = number_of(group);

    str_add_print(text, number ? "%s%s (%s)" : "%s%s", *count ? ", " : "", name_of(group), number);
    ++*count;
}

static void add_names(struct layer *layer, struct section *section, const char *heading,
                      const struct str_buf *names, size_t count)
{
    if (count == 0)
        return;
    block_heading(layer->packer, section, 2, str_print(layer->arena, "%s: %zu", heading, count));
    block_text(layer->packer, section, names->bytes);
}

static void add_parts(struct layer *layer, struct section *section)
{
    const struct spec *was = layer->comparison->was.plan->build->spec;
    const struct spec *is = layer->comparison->is.plan->build->spec;
    struct packer *p = layer->packer;
    struct str_buf shared = {.arena = layer->arena}, only[2] = {{.arena = layer->arena},
                                                                {.arena = layer->arena}};
    size_t shared_count = 0, only_count[2] = {0};
    struct table *alike = table_new(p, "alike");

    table_column(p, alike, "what", L(p, "field.part"), CELL_TEXT, 3);
    table_column(p, alike, "was", was->engine.name.text, CELL_TEXT, 4);
    table_column(p, alike, "is", is->engine.name.text, CELL_TEXT, 4);
    for (size_t i = 0; i < was->groups.count; i++) {
        struct pair pair = {.was = was->groups.items[i]};
        if (!part_of(pair.was))
            continue;
        pair.is = partner(is, pair.was);
        if (!pair.is) {
            add_name(&only[0], &only_count[0], pair.was);
        } else if (same_piece(layer, &pair)) {
            add_name(&shared, &shared_count, pair.was);
        } else {
            add_alike(layer, alike, &pair);
        }
    }
    for (size_t i = 0; i < is->groups.count; i++)
        if (part_of(is->groups.items[i]) && !partner(was, is->groups.items[i]))
            add_name(&only[1], &only_count[1], is->groups.items[i]);
    add_names(layer, section, L(p, "compare.shared"), &shared, shared_count);
    if (alike->rows.count) {
        block_heading(p, section, 2,
                      str_print(layer->arena, "%s: %zu", L(p, "compare.alike"), alike->rows.count));
        block_add(p, section, BLOCK_TABLE)->table = alike;
    }
    for (int now = 0; now < 2; now++)
        add_names(layer, section,
                  str_print(layer->arena, "%s %s", L(p, "compare.only"),
                            compare_side_word(layer, now)),
                  &only[now], only_count[now]);
}

void compare_add_engines(struct layer *layer, struct section *section)
{
    block_add(layer->packer, section, BLOCK_TABLE)->table = side_by_side(layer);
    add_parts(layer, section);
}
