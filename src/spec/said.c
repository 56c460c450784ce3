/* said.c - a spec as a flat list of what it says, by the tables of fields, so that two can be laid side by
 * side: two leaves that mean the same have the same `exact`, however they were written. */
#include "spec_private.h"

#include <math.h>
#include <string.h>

struct teller {
    struct arena *arena;
    struct spec_says *out;
    const char *owner;
    struct entry *entry;
};

static void say_map(struct teller *teller, const struct fields *fields, const void *item,
                    const char *path);

/* ---------- quantities ---------- */

/* Twelve digits of a double: what conversion from one unit to another may lose lies beyond. */
static double twelve_digits(double value)
{
    if (value == 0 || !isfinite(value))
        return value;
    double scale = pow(10, 11 - floor(log10(fabs(value))));
    return round(value * scale) / scale;
}

static const char *exact_qty(struct arena *arena, const struct qty *qty)
{
    struct json json;

    if (qty->dim == QTY_LENGTH || qty->dim == QTY_COUNT)
        return str_print(arena, "%lld", (long long)qty->exact);
    if (qty->dim == QTY_MONEY)
        return str_print(arena, "%lld %s", (long long)qty->exact, qty->currency ? qty->currency : "");
    if (!isfinite(qty->si))
        return "";
    json_init(&json, arena, true);
    json_double(&json, twelve_digits(qty->si));
    return json.out.bytes;
}

static const char *exact_value(struct arena *arena, const struct qty_value *value)
{
    const char *dim = qty_dim_name(value->nominal.dim);

    switch (value->kind) {
    case QTY_ABSENT:
        return "";
    case QTY_UNKNOWN:
        return "unknown";
    case QTY_CLASS:
        return str_print(arena, "%s %s %s", dim, exact_qty(arena, &value->nominal), value->class);
    case QTY_AT_LEAST:
        return str_print(arena, "%s >= %s", dim, exact_qty(arena, &value->low));
    case QTY_AT_MOST:
        return str_print(arena, "%s <= %s", dim, exact_qty(arena, &value->high));
    default:
        return str_print(arena, "%s %s..%s", qty_dim_name(value->low.dim),
                         exact_qty(arena, &value->low), exact_qty(arena, &value->high));
    }
}

static void add_origin(struct str_buf *out, const struct spec_source *from, const char *page,
                       const char *because)
{
    if (from)
        str_add_print(out, " [%s%s%s]", from->title ? from->title : from->id, page ? ", " : "",
                      page ? page : "");
    if (because)
        str_add_print(out, " (%s)", because);
}

/* A claim and those that lost against it: `exact` true as it is compared, else as it is read. */
static void add_claim(struct str_buf *out, const struct claim *claim, bool exact)
{
    str_add(out, claim->table.text ? claim->table.text
                 : exact           ? exact_value(out->arena, &claim->value)
                                   : claim->value.text);
    add_origin(out, claim->from, claim->page, claim->because);
    for (size_t i = 0; i < claim->loser_count; i++) {
        str_add(out, exact ? " | " : "; ");
        add_claim(out, &claim->losers[i], exact);
    }
}

static void add_text(struct str_buf *out, const struct text *text)
{
    str_add(out, text->text ? text->text : "");
    add_origin(out, text->from, text->page, text->because);
    for (size_t i = 0; i < text->loser_count; i++) {
        str_add(out, "; ");
        add_text(out, &text->losers[i]);
    }
}

static void add_between(struct str_buf *out)
{
    if (out->length)
        str_add(out, ", ");
}

static void add_reading(struct str_buf *out, const struct reading *reading, bool exact)
{
    const struct text *words[] = {&reading->using, &reading->where, &reading->phase, &reading->by,
                                  &reading->date.written};

    add_between(out);
    str_add(out, exact ? exact_value(out->arena, &reading->value) : reading->value.text);
    add_origin(out, reading->from, reading->page, NULL);
    bool open = false;
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (words[i]->text) {
            str_add_print(out, open ? ", %s" : " (%s", words[i]->text);
            open = true;
        }
    if (open)
        str_add(out, ")");
}

static void add_entries(struct str_buf *out, struct entry *const *to, size_t count, bool exact)
{
    for (size_t i = 0; i < count; i++) {
        bool follows = !exact && i > 0 && to[i]->place && to[i - 1]->group == to[i]->group;
        add_between(out);
        str_add(out, exact ? to[i]->member : follows ? to[i]->place : to[i]->shown);
    }
}

static void add_size(struct str_buf *out, const struct size_ref *ref)
{
    add_between(out);
    str_add(out, ref->size ? ref->size->id : ref->text);
}

static void add_fitted(struct str_buf *out, const struct fitted *fitted, bool exact)
{
    for (size_t i = 0; i < fitted->names.count; i++) {
        add_between(out);
        add_text(out, &fitted->names.items[i]);
    }
    for (size_t i = 0; i < fitted->sizes.count; i++) {
        add_between(out);
        add_claim(out, &fitted->sizes.items[i], exact);
    }
}

static void add_cylinders(struct str_buf *out, const struct engine *engine)
{
    for (size_t i = 0; i < engine->cylinder_count; i++) {
        add_between(out);
        str_add(out, engine->cylinders[i]);
    }
}

static void add_places(struct str_buf *out, const struct engine *engine)
{
    for (size_t i = 0; i < engine->places.count; i++) {
        const struct places *places = engine->places.items[i];
        str_add_print(out, "%s%s:", i ? "; " : "", places->name);
        for (size_t k = 0; k < places->count; k++)
            str_add_print(out, " %s", places->items[k]);
    }
}

/* ---------- one leaf ---------- */

static void add_list(struct str_buf *out, const struct field *field, const void *at, bool exact)
{
    struct list list = list_load(at);

    for (size_t i = 0; i < list.count; i++) {
        if (field->kind == FIELD_NUMBERS) {
            str_add_print(out, "%s%lld", i ? " " : "", (long long)((const int64_t *)list.items)[i]);
        } else if (field->kind == FIELD_UNITS) {
            add_between(out);
            str_add(out, ((const struct qty_unit *const *)list.items)[i]->name);
        } else {
            add_between(out);
            add_claim(out, &((const struct claim *)list.items)[i], exact);
        }
    }
}

static void add_refs(struct str_buf *out, const struct refs *refs, bool exact)
{
    if (refs->all || refs->none)
        str_add(out, refs->all ? "all" : "none");
    else
        add_entries(out, refs->to, refs->to_count, exact);
}

static void add_leaf(struct str_buf *out, const struct field *field, const void *item, bool exact)
{
    const char *at = (const char *)item + field->offset;
    const struct ref *ref = (const void *)at;
    const struct texts *texts = (const void *)at;
    const struct readings *readings = (const void *)at;
    const struct size_refs *sizes = (const void *)at;

    switch (field->kind) {
    case FIELD_TEXT:
    case FIELD_CRANK:
        add_text(out, (const void *)at);
        break;
    case FIELD_TEXTS:
        for (size_t i = 0; i < texts->count; i++) {
            add_between(out);
            add_text(out, &texts->items[i]);
        }
        break;
    case FIELD_FLAG:
        str_add(out, ((const struct flag *)at)->value ? "true" : "false");
        add_origin(out, ((const struct flag *)at)->written.from, ((const struct flag *)at)->written.page, NULL);
        break;
    case FIELD_NUMBER:
        str_add_print(out, "%lld", (long long)((const struct number *)at)->value);
        add_origin(out, ((const struct number *)at)->written.from, ((const struct number *)at)->written.page, NULL);
        break;
    case FIELD_DATE:
        add_text(out, &((const struct date *)at)->written);
        break;
    case FIELD_CLAIM:
        if (((const struct claim *)at)->present)
            add_claim(out, (const void *)at, exact);
        else if (field->flags & OR_SIZE)
            add_size(out, (const void *)((const char *)item + field->also));
        else
            add_text(out, (const void *)((const char *)item + field->also));
        break;
    case FIELD_READINGS:
        for (size_t i = 0; i < readings->count; i++)
            add_reading(out, &readings->items[i], exact);
        break;
    case FIELD_REF:
    case FIELD_LOCK_PART:
        if (ref->count)
            add_entries(out, ref->to, ref->count, exact);
        else
            str_add(out, ref->text ? ref->text : field->words[0]);
        break;
    case FIELD_REFS:
        add_refs(out, (const void *)at, exact);
        break;
    case FIELD_SIZE_REF:
    case FIELD_SPREAD:
        add_size(out, (const void *)at);
        break;
    case FIELD_SIZE_REFS:
        for (size_t i = 0; i < sizes->count; i++)
            add_size(out, &sizes->items[i]);
        break;
    case FIELD_FITTED:
        add_fitted(out, (const void *)at, exact);
        break;
    case FIELD_CYLINDERS:
        add_cylinders(out, item);
        break;
    case FIELD_PLACES:
        add_places(out, item);
        break;
    default:
        add_list(out, field, at, exact);
        break;
    }
}

static struct span span_of(const struct field *field, const void *item)
{
    const char *at = (const char *)item + field->offset;
    const struct texts *texts = (const void *)at;

    switch (field->kind) {
    case FIELD_TEXT:
    case FIELD_CRANK:
        return ((const struct text *)at)->span;
    case FIELD_TEXTS:
        return texts->count ? texts->items[0].span : (struct span){0};
    case FIELD_FLAG:
        return ((const struct flag *)at)->span;
    case FIELD_NUMBER:
        return ((const struct number *)at)->written.span;
    case FIELD_DATE:
        return ((const struct date *)at)->written.span;
    case FIELD_CLAIM:
        return ((const struct claim *)at)->present ? ((const struct claim *)at)->span : (struct span){0};
    default:
        return (struct span){0};
    }
}

static void say_leaf(struct teller *teller, const struct field *field, const void *item,
                     const char *key)
{
    struct str_buf exact = {.arena = teller->arena}, words = {.arena = teller->arena};
    const struct claim *claim = (const void *)((const char *)item + field->offset);

    add_leaf(&exact, field, item, true);
    add_leaf(&words, field, item, false);
    *ARRAY_PUSH(teller->arena, teller->out) = (struct spec_said){
        .owner = teller->owner, .entry = teller->entry, .key = key,
        .exact = exact.length ? exact.bytes : "", .words = words.length ? words.bytes : "",
        .claim = field->kind == FIELD_CLAIM && claim->present ? claim : NULL,
        .span = span_of(field, item)};
}

/* ---------- nested ---------- */

static const char *under(struct arena *arena, const char *path, const char *key)
{
    return *path ? str_print(arena, "%s.%s", path, key) : key;
}

static void say_table(struct teller *teller, const struct fields *sub, const void *at,
                      const char *path)
{
    struct list list = list_load(at);

    for (size_t i = 0; i < list.count; i++) {
        const char *item = (const char *)list.items + i * sub->size, *key;

        if (sub->key_field && sub->key_field->kind == FIELD_REF) {
            const struct ref *ref = (const void *)(item + sub->key_field->offset);
            key = ref->count == 1 ? ref->to[0]->member : ref->text;
        } else if (sub->key_field) {
            key = ((const struct size_ref *)(const void *)(item + sub->key_field->offset))->text;
        } else {
            memcpy(&key, item + sub->id, sizeof key);
        }
        say_map(teller, sub, item, under(teller->arena, path, key));
    }
}

static void say_list(struct teller *teller, const struct fields *sub, const void *at,
                     const char *path)
{
    struct list list = list_load(at);

    for (size_t i = 0; i < list.count; i++)
        say_map(teller, sub, (const char *)list.items + i * sub->size,
                list.count == 1 ? path : str_print(teller->arena, "%s.%zu", path, i + 1));
}

static void say_sizes(struct teller *teller, const struct part *part, const char *path)
{
    for (size_t i = 0; i < part->sizes.count; i++) {
        const struct size *size = part->sizes.items[i];
        const char *name = size->place ? str_print(teller->arena, "%s/%s", size->name, size->place)
                                       : size->name;
        if (!size->implied)
            say_map(teller, &size_fields, size, under(teller->arena, path, name));
    }
}

static void say_field(struct teller *teller, const struct field *field, const void *item,
                      const char *path)
{
    const char *at = (const char *)item + field->offset;

    switch (field->kind) {
    case FIELD_MAP:
        say_map(teller, field->sub, field->flags & INLINE ? item : (const void *)at, path);
        break;
    case FIELD_TABLE:
        say_table(teller, field->sub, at, path);
        break;
    case FIELD_LIST:
        say_list(teller, field->sub, at, path);
        break;
    case FIELD_SIZES:
        say_sizes(teller, item, path);
        break;
    default:
        say_leaf(teller, field, item, path);
        break;
    }
}

static void say_map(struct teller *teller, const struct fields *fields, const void *item,
                    const char *path)
{
    const struct field *field;

    for (size_t i = 0; (field = field_at(fields, i)); i++)
        if (field_is_said(field, item))
            say_field(teller, field, item,
                      fields->whole ? path : under(teller->arena, path, field->key));
}

void spec_say_entry(struct arena *arena, struct entry *entry, struct spec_says *out)
{
    struct teller teller = {.arena = arena, .out = out, .owner = entry->member, .entry = entry};

    say_map(&teller, sections[entry->kind].fields, entry, "");
}

void spec_say(struct arena *arena, const struct spec *spec, struct spec_says *out)
{
    struct teller teller = {.arena = arena, .out = out};
    const struct field *field;
    int kind = 0;

    for (size_t i = 0; (field = field_at(&spec_fields, i)); i++) {
        if (field->kind != FIELD_SECTION) {
            teller.owner = field->key;
            if (field_is_said(field, spec))
                say_field(&teller, field, spec, "");
            continue;
        }
        struct list list = list_load((const char *)spec + sections[kind].list);
        for (size_t k = 0; k < list.count; k++)
            spec_say_entry(arena, ((struct entry *const *)list.items)[k], out);
        kind++;
    }
}
