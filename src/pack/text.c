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
    return with_mark(packer, qty_print_both(packer->arena, value,
                                            first_unit(packer, value->nominal.dim)));
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
    const char *text = fact->words ? fact->words : text_of_value(packer, &fact->value);
    return text && fact->derived ? str_print(packer->arena, "%s, derived", text) : text;
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

const char *text_of_wrench(struct packer *packer, const struct wrench *wrench)
{
    if (!wrench)
        return NULL;
    const char *name = wrench->name.text ? wrench->name.text : wrench->id;
    const char *range = text_of_claim(packer, &wrench->range);
    return range ? str_print(packer->arena, "%s, %s", name, range) : name;
}

const char *label_of(struct packer *packer, const char *list, const char *word)
{
    return label(packer->labels, str_print(packer->arena, "%s.%s", list, word));
}
