/* steps_bench.c - steps outside the build: stock taken as the engine comes in, pieces cleaned and
 * inspected. */
#include "steps_private.h"

bool is_of_piece(const struct operation *op)
{
    return op->verb == VERB_TAKE_STOCK || op->verb == VERB_CLEAN || op->verb == VERB_INSPECT;
}

const char *text_of_fixings(struct packer *packer, struct entry *const *joints, size_t count)
{
    struct str_buf text = {.arena = packer->arena};

    for (size_t i = 0; i < count; i++) {
        const struct ref *reach = &joints[i]->reach;
        const struct refs *under = &joints[i]->under;
        str_add_print(&text, i ? "; %s" : "%s", joints[i]->shown);
        if (reach->count)
            str_add_print(&text, ", %s %s", L(packer, "field.hidden-fixings-through"),
                          text_of_entries(packer, reach->to, reach->count));
        if (under->to_count)
            str_add_print(&text, ", %s %s", L(packer, "field.hidden-fixings-under"),
                          text_of_entries(packer, under->to, under->to_count));
    }
    return text.length ? text.bytes : NULL;
}

/* ---------- intake ---------- */

/* A number is compared where it is known and written down where it is not. */
static void serial_number(struct packer *packer, struct step_block *step,
                          const struct operation *op, const struct part *part)
{
    struct step_check *check;

    if (!part->serial.text)
        return;
    check = step_check(packer, step, CHECK_READING,
                       str_print(packer->arena, "%s@serial", reading_id(op)),
                       L(packer, "check.serial"));
    check->limit = part->serial.unknown ? NULL : part->serial.text;
}

void fill_stock(struct packer *packer, struct step_block *step, const struct operation *op)
{
    struct part *part = spec_part(op->entry);

    if (!part)
        return;
    step_part(packer, step, part);
    if (part->state == STATE_MISSING)
        step_field_strong(packer, step, "expected", label_of(packer, "state", "missing"));
    if (part->with.to_count)
        step_field(packer, step, "with",
                   text_of_entries(packer, part->with.to, part->with.to_count));
    step_claim(packer, step, "hours", &part->hours);
    step_field(packer, step, "life", text_of_claim(packer, &part->life));
    if (part->replaces.present)
        step_field(packer, step, "old-number", part->replaces.number.text);
    serial_number(packer, step, op, part);
    if (part_quantity(part) > 1 && part->state != STATE_MISSING) {
        struct step_check *check =
            step_check(packer, step, CHECK_COUNT,
                       str_print(packer->arena, "%s@stock", reading_id(op)),
                       L(packer, "check.count"));
        check->limit = str_print(packer->arena, "%lld", (long long)part_quantity(part));
    }
    step_tick(packer, step, L(packer, "check.as-expected"));
}

/* ---------- clean ---------- */

static bool names(const struct refs *refs, const struct entry *entry)
{
    for (size_t i = 0; i < refs->to_count; i++)
        if (refs->to[i] == entry)
            return true;
    return false;
}

struct named {
    struct entry **items;
    size_t count, room;
};

static void field_of(struct packer *packer, struct step_block *step, const char *key,
                     const struct named *list)
{
    if (list->count)
        step_field(packer, step, key, text_of_entries(packer, list->items, list->count));
}

void fill_clean(struct packer *packer, struct step_block *step, const struct operation *op)
{
    const struct spec *spec = packer->spec;
    struct named drillings = {0}, faces = {0}, plugs = {0};
    struct part *part = spec_part(op->entry);

    for (size_t i = 0; i < spec->passages.count; i++)
        if (names(&spec->passages.items[i]->path, op->entry))
            *ARRAY_PUSH(packer->arena, &drillings) = &spec->passages.items[i]->e;
    for (size_t i = 0; i < spec->seals.count; i++)
        if (names(&spec->seals.items[i]->between, op->entry) &&
            (spec->seals.items[i]->gasket.count || spec->seals.items[i]->sealant_row))
            *ARRAY_PUSH(packer->arena, &faces) = &spec->seals.items[i]->e;
    for (size_t i = 0; i < spec->parts.count; i++)
        if (spec->parts.items[i]->host == part && spec->parts.items[i]->out_for.text)
            *ARRAY_PUSH(packer->arena, &plugs) = &spec->parts.items[i]->e;
    step_field(packer, step, "number", part ? part->number.text : NULL);
    field_of(packer, step, "plugs-out", &plugs);
    field_of(packer, step, "drillings", &drillings);
    field_of(packer, step, "faces", &faces);
    step_tick(packer, step, L(packer, "check.done"));
}

/* ---------- inspect ---------- */

static bool is_measured(const struct part *part)
{
    for (size_t i = 0; i < part->inspect.count; i++)
        if (str_equal(part->inspect.items[i].text, "dimensional"))
            return true;
    return false;
}

/* Sizes stand where they are measured: found ones with their verdict, the others with a blank. */
static void sizes_of(struct packer *packer, struct step_block *step, struct part *part)
{
    for (size_t i = 0; i < part->sizes.count; i++) {
        const struct size *size = part->sizes.items[i];
        const struct size_values *values = build_size(packer->build, size);
        if (!values || size->implied)
            continue;
        if (values->found)
            step_field(packer, step, "found",
                       str_print(packer->arena, "%s %s: %s", size->name,
                                 text_of_fact(packer, values->found),
                                 values->judged ? text_of_phrase(packer, values->judged) : ""));
        else if (size->want.present && is_measured(part))
            step_reading(packer, step, size->id,
                         str_print(packer->arena, "%s: %s", size->name,
                                   text_of_claim(packer, &size->want)),
                         size->want.value.low.unit ? size->want.value.low.unit->name : NULL);
    }
}

void fill_inspect(struct packer *packer, struct step_block *step, const struct operation *op)
{
    struct part *part = spec_part(op->entry);

    if (part && op->kind) {
        bool last = str_equal(op->kind, part->inspect.items[part->inspect.count - 1].text);
        step_field_strong(packer, step, "inspect", op->kind);
        if (str_equal(op->kind, "dimensional") || (last && !is_measured(part)))
            sizes_of(packer, step, part);
    } else if (part) {
        step_field(packer, step, "inspect", text_of_texts(packer, &part->inspect));
        sizes_of(packer, step, part);
    }
    step_tick(packer, step, L(packer, "check.done"));
}
