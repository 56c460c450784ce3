/* text.c - values, names and lists as a card prints them. */
#include "pack_private.h"

/* '.' between two digits becomes the template's mark; ".." stays. */
static const char *with_mark(struct packer *packer, char *text)
{
    char mark = packer->layout->template.decimal_mark;

    if (mark != '.')
        for (char *at = text; *at; at++)
            if (*at == '.' && at > text && at[-1] >= '0' && at[-1] <= '9' && at[1] >= '0' &&
                at[1] <= '9')
                *at = mark;
    return text;
}

/* Degrees as a reader knows them; only a keyboard lacks the sign. */
static const char *with_degrees(struct packer *packer, const char *text)
{
    struct str_buf out = {.arena = packer->arena};
    const char *at;

    while ((at = strstr(text, "deg")) != NULL && (at[3] == 'C' || at[3] == 'F')) {
        str_add_bytes(&out, text, (size_t)(at - text));
        str_add_print(&out, "°%c", at[3]);
        text = at + 4;
    }
    str_add(&out, text);
    return out.bytes;
}

static const char *as_printed(struct packer *packer, const char *text)
{
    return with_degrees(packer, with_mark(packer, str_copy(packer->arena, text)));
}

/* "at most 3 mm" in the words of the set; src/qty says it in those of the spec language. */
static const char *sided(struct packer *packer, const struct qty_value *value, const char *text)
{
    bool most = value->kind == QTY_AT_MOST;
    const char *words = most ? "at most " : "at least ";

    if ((!most && value->kind != QTY_AT_LEAST) || !str_starts(text, words))
        return text;
    const struct phrase_printer printer = {.arena = packer->arena, .labels = packer->labels};
    return phrase_words(&printer,
                        phrase_text(phrase_new(packer->arena, most ? "value.at-most"
                                                                   : "value.at-least"),
                                    "value", text + strlen(words)));
}

/* The unit that is printed first: the template's for lengths, else the shop's preferred one of the
 * value's dimension, else as written. */
static const struct qty_unit *first_unit(struct packer *packer, enum qty_dim dim)
{
    if (dim == QTY_LENGTH && packer->layout->template.first_length)
        return packer->layout->template.first_length;
    for (size_t i = 0; i < packer->spec->shop.prefer.count; i++)
        if (packer->spec->shop.prefer.items[i]->dim == dim)
            return packer->spec->shop.prefer.items[i];
    return NULL;
}

const char *text_of_value(struct packer *packer, const struct qty_value *value)
{
    if (value->kind == QTY_ABSENT)
        return NULL;
    if (value->kind == QTY_UNKNOWN)
        return L(packer, "cover.unknown");
    return sided(packer, value,
                 as_printed(packer, qty_print_both(packer->arena, value,
                                                          first_unit(packer, value->nominal.dim))));
}

static const char *print_place(const void *user, const struct qty_value *value, bool as_written)
{
    struct packer *packer = *(struct packer *const *)user;

    if (!as_written)
        return text_of_value(packer, value);
    return sided(packer, value, as_printed(packer, value->text));
}

const char *text_of_number(struct packer *packer, const char *number)
{
    return with_mark(packer, str_copy(packer->arena, number));
}

static const char *print_number(const void *user, const char *number)
{
    return text_of_number(*(struct packer *const *)user, number);
}

const char *text_of_phrase(struct packer *packer, const struct phrase *phrase)
{
    const struct phrase_printer printer = {packer->arena, packer->labels, print_place,
                                           print_number, &packer};

    return phrase_words(&printer, phrase);
}

const char *text_of_citation(struct packer *packer, const char *source)
{
    return text_of_phrase(packer, build_citation(packer->arena, source));
}

const char *text_of_origin(struct packer *packer, const struct fact *fact)
{
    return text_of_phrase(packer, build_source(packer->arena, fact));
}

const char *text_of_source(struct packer *packer, const struct claim *claim)
{
    if (!claim->from)
        return NULL;
    const char *title = claim->from->title ? claim->from->title : claim->from->id;
    return claim->page ? str_print(packer->arena, "%s, %s", title, claim->page) : title;
}

const char *text_of_claim(struct packer *packer, const struct claim *claim)
{
    return claim->present ? text_of_value(packer, &claim->value) : NULL;
}

const char *text_of_fact(struct packer *packer, const struct fact *fact)
{
    if (!fact)
        return NULL;
    const char *text = fact->phrase  ? text_of_phrase(packer, fact->phrase)
                       : fact->words ? fact->words
                                     : text_of_value(packer, &fact->value);
    return text && fact->derived ? str_print(packer->arena, "%s, %s", text, L(packer, "card.derived")) : text;
}

const char *text_of_verb(struct packer *packer, const struct operation *op)
{
    bool chill = op->verb == VERB_HEAT && !((const struct fit *)op->entry)->heat.present;

    return label_of(packer, "verb", chill ? "chill" : verb_word(op->verb));
}

const char *text_of_entries(struct packer *packer, struct entry *const *entries, size_t count)
{
    struct str_buf text = {.arena = packer->arena};

    for (size_t i = 0; i < count; i++) {
        const struct entry *entry = entries[i];
        bool follows = i > 0 && entry->place && entries[i - 1]->group == entry->group;
        if (follows)
            str_add_print(&text, ", %s", entry->place);
        else
            str_add_print(&text, i ? ", %s" : "%s", entry->shown);
    }
    return text.length ? text.bytes : NULL;
}

const char *text_of_size(struct packer *packer, const struct size_ref *ref)
{
    const struct size *size = ref->size;

    if (!size || !size->part)
        return ref->text;
    return size->place ? str_print(packer->arena, "%s, %s %s", size->part->e.shown, size->name,
                                   size->place)
                       : str_print(packer->arena, "%s, %s", size->part->e.shown, size->name);
}

const char *text_of_texts(struct packer *packer, const struct texts *texts)
{
    struct str_buf text = {.arena = packer->arena};

    for (size_t i = 0; i < texts->count; i++)
        str_add_print(&text, i ? ", %s" : "%s", texts->items[i].text);
    return text.length ? text.bytes : NULL;
}

static const char *tool_name(struct packer *packer, const char *id)
{
    for (size_t i = 0; i < packer->spec->shop.tools.count; i++) {
        const struct tool *tool = &packer->spec->shop.tools.items[i];
        if (strcmp(tool->id, id) == 0 && tool->name.text)
            return tool->name.text;
    }
    return id;
}

const char *text_of_tools(struct packer *packer, const struct texts *tools)
{
    struct str_buf text = {.arena = packer->arena};

    for (size_t i = 0; i < tools->count; i++)
        str_add_print(&text, i ? ", %s" : "%s", tool_name(packer, tools->items[i].text));
    return text.length ? text.bytes : NULL;
}

const char *text_of_date(struct packer *packer, const struct date *date)
{
    if (!date->present)
        return NULL;
    if (date->unknown)
        return L(packer, "cover.unknown");
    const struct qty_date *d = &date->date;
    if (d->precision == 1)
        return str_print(packer->arena, "%04d", d->year);
    if (d->precision == 2)
        return str_print(packer->arena, "%04d-%02d", d->year, d->month);
    return str_print(packer->arena, "%04d-%02d-%02d", d->year, d->month, d->day);
}

const char *text_of_gauge(struct packer *packer, const char *id)
{
    if (!id)
        return NULL;
    for (size_t i = 0; i < packer->spec->shop.gauges.count; i++) {
        const struct gauge *gauge = &packer->spec->shop.gauges.items[i];
        if (strcmp(gauge->id, id) == 0) {
            const char *name = gauge->name.text ? gauge->name.text : gauge->id;
            const char *uncertainty = text_of_claim(packer, &gauge->uncertainty);
            return uncertainty ? str_print(packer->arena, "%s ±%s", name, uncertainty) : name;
        }
    }
    return id;
}

const char *text_of_consumable(struct packer *packer, const char *id)
{
    const struct consumable *consumable = id ? spec_consumable(packer->spec, id) : NULL;
    return consumable && consumable->name.text ? consumable->name.text : id;
}

/* ", text" after what stands there already; nothing for nothing. */
static void join(struct str_buf *out, const char *text)
{
    if (text)
        str_add_print(out, out->length ? ", %s" : "%s", text);
}

static void join_labelled(struct str_buf *out, const char *label, const char *text)
{
    if (text)
        str_add_print(out, "%s%s %s", out->length ? ", " : "", label, text);
}

const char *text_of_wrench(struct packer *packer, const struct wrench *wrench)
{
    struct str_buf text = {.arena = packer->arena};

    if (!wrench)
        return NULL;
    join(&text, wrench->name.text ? wrench->name.text : wrench->id);
    join(&text, text_of_claim(packer, &wrench->range));
    join_labelled(&text, L(packer, "field.checked"), text_of_date(packer, &wrench->checked));
    return text.bytes;
}

const char *text_of_adapter(struct packer *packer, const char *id)
{
    for (size_t i = 0; id && i < packer->spec->shop.adapters.count; i++) {
        const struct adapter *adapter = &packer->spec->shop.adapters.items[i];
        struct str_buf text = {.arena = packer->arena};

        if (strcmp(adapter->id, id) != 0)
            continue;
        join(&text, adapter->name.text ? adapter->name.text : id);
        join_labelled(&text, L(packer, "field.offset"), text_of_claim(packer, &adapter->offset));
        join_labelled(&text, L(packer, "field.angle"), text_of_claim(packer, &adapter->angle));
        return text.bytes;
    }
    return id;
}

const char *text_of_oven(struct packer *packer, const struct oven *oven)
{
    struct str_buf text = {.arena = packer->arena};

    join(&text, oven->name.text ? oven->name.text : oven->id);
    join_labelled(&text, L(packer, "field.up-to"), text_of_claim(packer, &oven->up_to));
    return text.bytes;
}

const char *text_of_tool(struct packer *packer, const char *id)
{
    for (size_t i = 0; i < packer->spec->shop.tools.count; i++) {
        const struct tool *tool = &packer->spec->shop.tools.items[i];
        struct str_buf text = {.arena = packer->arena};

        if (strcmp(tool->id, id) != 0)
            continue;
        join(&text, tool->name.text ? tool->name.text : id);
        join(&text, tool->note.text);
        join(&text, tool->borrowed.value ? L(packer, "card.borrowed") : NULL);
        return text.bytes;
    }
    return id;
}

static int64_t hole_count(const struct outline_holes *holes)
{
    size_t points = holes->points.count / 2;

    if (holes->circle.present)
        return holes->count.value * (int64_t)(points > 0 ? points : 1);
    return points > 0 ? (int64_t)points : 1;
}

const char *text_of_holes(struct packer *packer, const struct outline *outline)
{
    struct str_buf text = {.arena = packer->arena};

    for (size_t i = 0; i < outline->holes.count; i++) {
        const struct outline_holes *holes = &outline->holes.items[i];
        const char *size = text_of_claim(packer, &holes->size);
        str_add_print(&text, "%s%lld × %s", i ? "; " : "", (long long)hole_count(holes),
                      size ? size : "");
    }
    return text.length ? text.bytes : NULL;
}

const char *text_of_hole_circles(struct packer *packer, const struct outline *outline)
{
    struct str_buf text = {.arena = packer->arena};

    for (size_t i = 0; i < outline->holes.count; i++) {
        const char *circle = text_of_claim(packer, &outline->holes.items[i].circle);
        if (circle)
            str_add_print(&text, "%s%s", text.length ? "; " : "", circle);
    }
    return text.length ? text.bytes : NULL;
}

const char *text_of_concession(struct packer *packer, const struct limit *limit)
{
    struct str_buf text = {.arena = packer->arena};

    join(&text, limit->concession.because.text);
    join(&text, limit->concession.is_signed.text);
    join(&text, text_of_date(packer, &limit->concession.date));
    return text.length ? text.bytes : "";
}

const char *text_of_readings(struct packer *packer, const struct readings *readings, bool values)
{
    struct str_buf all = {.arena = packer->arena};

    for (size_t i = 0; i < readings->count; i++) {
        const struct reading *reading = &readings->items[i];
        struct str_buf one = {.arena = packer->arena};

        join(&one, values ? text_of_value(packer, &reading->value) : NULL);
        join(&one, reading->where.text);
        join(&one, reading->phase.text ? label_of(packer, "phase", reading->phase.text) : NULL);
        join(&one, text_of_date(packer, &reading->date));
        join(&one, reading->by.text);
        join(&one, text_of_source(packer, &(struct claim){.from = reading->from,
                                                          .page = reading->page}));
        if (one.length)
            str_add_print(&all, all.length ? "; %s" : "%s", one.bytes);
    }
    return all.length ? all.bytes : NULL;
}

const char *label_of(struct packer *packer, const char *list, const char *word)
{
    return label(packer->labels, str_print(packer->arena, "%s.%s", list, word));
}

const char *label_or(struct packer *packer, const char *list, const char *word)
{
    const char *key = str_print(packer->arena, "%s.%s", list, word);

    return label_has(packer->labels, key) ? label(packer->labels, key) : word;
}

const char *text_of_hardware(struct packer *packer, const struct joint *joint)
{
    struct str_buf text = {.arena = packer->arena};

    for (size_t i = 0; i < joint->uses.count; i++) {
        const struct ref_count *use = &joint->uses.items[i];
        str_add_print(&text, text.length ? ", %lld × %s" : "%lld × %s", (long long)use->count,
                      use->ref.count ? text_of_entries(packer, use->ref.to, use->ref.count)
                                     : use->ref.text);
    }
    return text.length ? text.bytes : NULL;
}
