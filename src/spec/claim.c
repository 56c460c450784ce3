/* claim.c - values with their sources: `{is, from}`, lists of them, ranks, what is measured.
 *
 * What `applies` rules out is dropped first; only then do sources disagree. They are never averaged:
 * the one with the best rank is used, the others are kept to be printed. */
#include "spec_private.h"

#include <string.h>

const struct spec_source *source_find(const struct spec *spec, const char *id, size_t length)
{
    for (size_t i = 0; i < spec->sources.count; i++)
        if (strlen(spec->sources.items[i].id) == length &&
            memcmp(spec->sources.items[i].id, id, length) == 0)
            return &spec->sources.items[i];
    return NULL;
}

/* "handbook p. 31": the first word is the id of a source. */
static void read_from(struct reader *reader, const struct node *node, struct said *said)
{
    size_t length = node->kind == NODE_SCALAR ? strcspn(node->text, " ,;:\t\n") : 0;
    const struct spec *spec = reader->spec;
    const char *word, **ids;
    struct span span;
    struct diag *diag;

    if (node->kind != NODE_SCALAR) {
        fault(reader, DIAG_SPEC_WRONG_KIND, node->span, "from takes one source and its page");
        return;
    }
    said->from = source_find(spec, node->text, length);
    said->page = node->text + length + strspn(node->text + length, " ,;:\t\n");
    if (said->page[0] == '\0')
        said->page = NULL;
    if (said->from || reader->lists_faulty)
        return;
    word = str_slice(reader->arena, node->text, length);
    span = tree_text_span(node, 0, length);
    diag = fault_once(reader, DIAG_SPEC_UNKNOWN_SOURCE, span, word,
                      str_print(reader->arena, "there is no source '%s'", word));
    if (!diag)
        return;
    ids = ARENA_ARRAY(reader->arena, const char *, spec->sources.count + 1);
    for (size_t i = 0; i < spec->sources.count; i++)
        ids[i] = spec->sources.items[i].id;
    fault_nearest(reader, diag, span, word, ids, spec->sources.count);
    fault_hint(reader, diag, "name it under `sources`: %s: {title: ...}", word);
}

static const char *scalar_text(struct reader *reader, const struct node *node)
{
    if (node && node->kind == NODE_SCALAR)
        return node->text;
    if (node)
        fault(reader, DIAG_SPEC_WRONG_KIND, node->span, "%s takes one value", node->key);
    return NULL;
}

static void read_believe(struct reader *reader, const struct node *node, struct said *said)
{
    static const char *const words[] = {"first", "second"};

    if (str_equal(node->text, "first"))
        said->believe = 1;
    else if (str_equal(node->text, "second"))
        said->believe = 2;
    else
        fault_nearest(reader, fault(reader, DIAG_SPEC_BAD_WORD, node->span,
                                    "believe takes first or second"),
                      node->span, node->text ? node->text : "", words, 2);
    if (!said->believe)
        said->believe = 1; /* told: no second fault about the pair */
}

static void read_chosen(struct reader *reader, const struct node *node, struct said *said)
{
    said->chosen = str_equal(node->text, "true");
    said->chosen_span = node->key_span;
    if (!said->chosen && !str_equal(node->text, "false"))
        fault_fix(reader, fault(reader, DIAG_SPEC_BAD_WORD, node->span,
                                "chosen takes true or false"),
                  node->span, "true");
}

static void unknown_claim_key(struct reader *reader, const struct field *field,
                              const struct node *node, const struct node *child)
{
    const char *keys[16];
    size_t count = 0;
    struct diag *diag;

    for (const struct field *known; (known = field_at(&claim_fields, count)); count++)
        keys[count] = known->key;
    diag = fault(reader, DIAG_SPEC_UNKNOWN_KEY, child->key_span,
                 "%s: a value with its source has no key '%s'", field->key, child->key);
    fault_nearest(reader, diag, child->key_span, child->key, keys, count);
    (void)node;
}

/* {is, from, ...}. False when it says nothing that can be used. */
static bool read_said(struct reader *reader, const struct field *field, const struct node *node,
                      struct said *said)
{
    const struct node *chosen, *believe, *from;

    *said = (struct said){.node = node};
    if (node->kind != NODE_MAP) {
        said->is = node;
        return true;
    }
    said->is = child_meant(&claim_fields, node, "is");
    if (!said->is && field->names == NAMES_TORQUE_TABLE)
        said->is = tree_child(node, "table");
    if (!said->is && node->child && field_find(&claim_fields, node->child->key)) {
        fault_hint(reader, fault(reader, DIAG_SPEC_MISSING_KEY, node->child->key_span,
                                 "%s: a source without its value", field->key),
                   "is: the value");
        return false;
    }
    if (!said->is) {
        fault_kind(reader, field, node, "a value, or {is, from}");
        return false;
    }
    for (const struct node *child = node->child; child; child = child->next) {
        if (!field_find(&claim_fields, child->key) ||
            (str_equal(child->key, "table") && field->names != NAMES_TORQUE_TABLE))
            unknown_claim_key(reader, field, node, child);
    }
    from = child_meant(&claim_fields, node, "from");
    chosen = child_meant(&claim_fields, node, "chosen");
    believe = child_meant(&claim_fields, node, "believe");
    said->because = scalar_text(reader, child_meant(&claim_fields, node, "because"));
    if (from)
        read_from(reader, from, said);
    if (chosen)
        read_chosen(reader, chosen, said);
    if (believe)
        read_believe(reader, believe, said);
    if ((said->chosen || said->believe) && !said->because)
        fault_hint(reader, fault(reader, DIAG_SPEC_BECAUSE, (said->chosen ? chosen : believe)->key_span,
                                 "%s without a reason", said->chosen ? "chosen" : "believe"),
                   "add because: and the reason");
    return true;
}

/* Drops what `applies` rules out. With `applies` on some and not on others nobody knows whether
 * forms or sources are meant. */
static bool keep_applying(struct reader *reader, const struct field *field, struct saids *saids)
{
    size_t kept = 0, with = 0, count = saids->count;
    const struct node *without = NULL;

    for (size_t i = 0; i < count; i++) {
        bool has = saids->items[i].node->kind == NODE_MAP &&
                   tree_child(saids->items[i].node, "applies");
        with += has;
        if (!has)
            without = saids->items[i].node;
    }
    if (with == 0)
        return true;
    if (with < count) {
        fault_hint(reader, fault(reader, DIAG_SPEC_MIXED_LIST, without->span,
                                 "%s: some values say `applies` and this one does not", field->key),
                   "say for each which engines it is for");
        return false;
    }
    for (size_t i = 0; i < count; i++) {
        const struct node *applies = tree_child(saids->items[i].node, "applies");
        const char *lacks = NULL;

        switch (applies_holds(reader, applies, &lacks)) {
        case UNDECIDED:
            fault_hint(reader, fault(reader, DIAG_SPEC_APPLIES_OPEN, applies->key_span,
                                     "%s: whether this value applies cannot be decided",
                                     field->key),
                       "%s would settle it", lacks);
            return false;
        case TRUE_HERE:
            saids->items[kept++] = saids->items[i];
            break;
        case FALSE_HERE:
            break;
        }
    }
    saids->count = kept;
    return true;
}

static int rank_of(const struct said *said)
{
    return said->from ? said->from->rank : 0;
}

static void use_first(struct saids *saids, size_t index)
{
    struct said used = saids->items[index];

    memmove(&saids->items[1], &saids->items[0], index * sizeof *saids->items);
    saids->items[0] = used;
}

/* Sources that say the same word for word do not disagree. */
static bool says_same(const struct said *said, const struct said *other)
{
    return said->is->kind == NODE_SCALAR && other->is->kind == NODE_SCALAR &&
           str_equal(said->is->text, other->is->text);
}

/* A source without a rank is one fault, however many values rest on it. */
static struct diag *fault_ranks(struct reader *reader, const struct field *field,
                                const struct said *first, const struct said *second)
{
    const struct said *without = !rank_of(first) ? first : !rank_of(second) ? second : NULL;
    const char *message =
        str_print(reader->arena,
                  without ? "%s: %s and %s disagree, and not both have a rank"
                          : "%s: %s and %s have the same rank and disagree",
                  field->key, first->from->id, second->from->id);

    return without ? fault_once(reader, DIAG_SPEC_RANKS, second->node->span, without->from->id, message)
                   : fault(reader, DIAG_SPEC_RANKS, second->node->span, "%s", message);
}

/* The index of the claim that is used, or count after an error. */
static size_t used_of(struct reader *reader, const struct field *field, const struct saids *saids)
{
    size_t best = 0, chosen = saids->count;
    const struct said *items = saids->items;
    struct diag *diag;

    for (size_t i = 0; i < saids->count; i++) {
        if (!items[i].chosen)
            continue;
        if (chosen < saids->count) {
            diag = fault(reader, DIAG_SPEC_CHOSEN_TWICE, items[i].chosen_span,
                         "%s: more than one value is chosen", field->key);
            fault_label(reader, diag, items[chosen].chosen_span, "chosen here");
            fault_hint(reader, diag, "leave chosen: true in one of them");
            return saids->count;
        }
        chosen = i;
    }
    if (chosen < saids->count)
        return chosen;
    for (size_t i = 0; i < saids->count; i++)
        if (!items[i].node || items[i].node->kind != NODE_MAP || !child_meant(&claim_fields, items[i].node, "from")) {
            fault_hint(reader, fault(reader, DIAG_SPEC_MIXED_LIST, items[i].node->span,
                                     "%s: several values, and this one does not say from where",
                                     field->key),
                       "write each as {is: ..., from: ...}, or leave one");
            return saids->count;
        } else if (!items[i].from) {
            return saids->count; /* its source is unknown: reported */
        }
    for (size_t i = 1; i < saids->count; i++)
        if (rank_of(&items[i]) && (!rank_of(&items[best]) || rank_of(&items[i]) < rank_of(&items[best])))
            best = i;
    for (size_t i = 0; i < saids->count; i++) {
        if (i == best || says_same(&items[i], &items[best]) || (rank_of(&items[i]) && rank_of(&items[i]) != rank_of(&items[best])))
            continue;
        size_t second = i > best ? i : best, first = i > best ? best : i;
        diag = fault_ranks(reader, field, &items[first], &items[second]);
        if (!diag)
            return saids->count;
        fault_label(reader, diag, items[first].node->span, "the other value");
        fault_hint(reader, diag,
                   "give the sources different ranks, or say chosen: true with because: in one");
        return saids->count;
    }
    return best;
}

struct saids claim_choose(struct reader *reader, const struct field *field,
                          const struct node *node)
{
    struct saids saids = {0};
    struct said said;
    size_t used;

    if (node->kind != NODE_LIST) {
        if (read_said(reader, field, node, &said))
            *ARRAY_PUSH(reader->arena, &saids) = said;
        keep_applying(reader, field, &saids);
        return saids;
    }
    if (node->count == 0)
        fault_kind(reader, field, node, "one value, or a list of {is, from}");
    for (const struct node *child = node->child; child; child = child->next) {
        if (child->kind != NODE_MAP || !child_meant(&claim_fields, child, "is")) {
            if (child->kind == NODE_SCALAR && child != node->child &&
                node->child->kind == NODE_MAP)
                fault_hint(reader, fault(reader, DIAG_SPEC_MIXED_LIST, child->span,
                                         "%s: values with and without a source in one list",
                                         field->key),
                           "write each as {is: ..., from: ...}");
            else
                fault_kind(reader, field, node, "one value, or a list of {is, from}");
            return (struct saids){0};
        }
        if (!read_said(reader, field, child, &said))
            return (struct saids){0};
        *ARRAY_PUSH(reader->arena, &saids) = said;
    }
    if (!keep_applying(reader, field, &saids))
        return (struct saids){0};
    if (saids.count == 0 && node->count > 0)
        fault(reader, DIAG_SPEC_APPLIES_NONE, node->span, "%s: none of the values is for this engine",
              field->key);
    if (saids.count > 1) {
        used = used_of(reader, field, &saids);
        if (used == saids.count)
            return (struct saids){0};
        use_first(&saids, used);
    }
    return saids;
}

/* ---------- quantities ---------- */

void fault_quantity(struct reader *reader, const struct field *field, const struct node *node,
                    const struct qty_error *error)
{
    enum diag_code code =
        (enum diag_code)(DIAG_QTY_FAULT_SYNTAX + (int)(error->fault - QTY_FAULT_SYNTAX));
    struct span span = tree_text_span(node, error->begin, error->end);
    struct diag *diag = fault(reader, code, span, "%s: %s", field->key, error->message);

    if (error->fix && error->fault != QTY_FAULT_PAIR)
        fault_fix(reader, diag, span, error->fix);
    if (error->hint)
        fault_hint(reader, diag, "%s", error->hint);
}

static bool fault_is_of_dimension(enum qty_fault fault)
{
    return fault == QTY_FAULT_SYNTAX || fault == QTY_FAULT_DIMENSION || fault == QTY_FAULT_UNIT || fault == QTY_FAULT_NO_UNIT ||
           fault == QTY_FAULT_TORQUE_UNIT;
}

/* Where several dimensions will do, none of them is the one that is due. */
static void fault_any_quantity(struct reader *reader, const struct field *field,
                               const struct node *node, struct qty_error *error)
{
    static const char *const found[] = {"is no quantity", "has no unit", "has no unit that is known here"};

    error->message = str_print(reader->arena, "'%s' %s", node->text,
                               found[error->fault == QTY_FAULT_SYNTAX    ? 0
                                     : error->fault == QTY_FAULT_NO_UNIT ? 1
                                                                         : 2]);
    if (!error->fix)
        error->hint = "write a number and its unit, such as 0.010 in, 0.25 mm, 4 g or 35 psi";
    fault_quantity(reader, field, node, error);
}

/* Fits and limits may be negative (interference, preload), an adapter may shorten the wrench, points
 * lie on either side of where they are counted from. Of these keys only: a key has one meaning. */
static bool may_be_negative(const struct field *field)
{
    static const char *const keys[] = {"want",  "worn",     "from-new", "measured", "offset",
                                       "angle", "points", "deck",     "land",     "point",
                                       "arc-over", "middle", "grow",  "rotate",   "first-at",
                                       NULL};

    for (size_t i = 0; keys[i]; i++)
        if (str_equal(field->key, keys[i]))
            return true;
    return false;
}

/* Of nothing there is no length, weight or torque. Where nothing can be meant (no clearance, no
 * price, 0 degC, a run of 0 h) it is taken. */
static bool must_be_something(const struct field *field)
{
    static const char *const keys[] = {
        "torque", "nip",     "stretch", "then",  "weight", "bore", "stroke", "rod-length",
        "outside", "inside", "width",   "free",  "crushed", "size", "circle", "length",
        "engagement", "hole-depth", "major", "pitch", "division", "chamber", "drill", "radius",
        "density", "roller", "pin", "capacity", "load", "rim", "lift", "height", "corner",
        "printer", "grow", "strip", NULL};

    for (size_t i = 0; keys[i]; i++)
        if (str_equal(field->key, keys[i]))
            return true;
    return false;
}

/* Where much may be read a bare number is a slip, unless the limit's formula gives a ratio. */
static bool ratio_is_due(const struct reader *reader, const struct field *field)
{
    return field->dims == DIM(RATIO) ||
           (reader->entry && formula_gives(reader->entry->node, QTY_RATIO));
}

/* Each dimension that the field takes is tried; of the faults, the one that is not about the
 * dimension is told, else the first. */
bool read_quantity(struct reader *reader, const struct field *field, const struct node *node,
                   int believe, struct qty_value *out)
{
    unsigned takes = field->takes ? field->takes : QTY_TAKE_ONE;
    struct qty_error told = {0}, error;
    static const char *const unknown[] = {"unknown"};

    if (!may_be_negative(field))
        takes |= QTY_TAKE_POSITIVE;
    if (node->kind != NODE_SCALAR) {
        fault_kind(reader, field, node, "one value");
        return false;
    }
    for (int dim = QTY_NONE + 1; dim < QTY_DIM_COUNT; dim++) {
        if (!(field->dims & 1u << dim) || (dim == QTY_RATIO && !ratio_is_due(reader, field)))
            continue;
        error = (struct qty_error){0};
        if (qty_read(reader->arena, node->text, (enum qty_dim)dim, takes, out, &error)) {
            if (error.fault == QTY_FAULT_PAIR && !believe)
                fault_quantity(reader, field, node, &error);
            if (out->kind == QTY_ONE && out->nominal.si == 0 && must_be_something(field))
                fault_hint(reader, fault(reader, DIAG_QTY_FAULT_NEGATIVE, node->span,
                                         "%s: '%s' is nothing", field->key, node->text),
                           "leave the key out where it is not known");
            if (out->note)
                fault(reader, DIAG_QTY_NOTE_READ_AS, node->span, "%s: %s", field->key, out->note);
            if (believe == 2 && out->printed) {
                struct qty_value *first = ARENA_NEW(reader->arena, struct qty_value);
                *first = *out;
                *out = *first->printed;
                first->printed = NULL;
                out->printed = first;
                out->text = node->text;
            }
            return error.fault == QTY_OK || believe;
        }
        if (told.fault == QTY_OK ||
            (fault_is_of_dimension(told.fault) && !fault_is_of_dimension(error.fault)))
            told = error;
    }
    if (takes & QTY_TAKE_UNKNOWN && str_nearest(node->text, unknown, 1))
        fault_fix(reader, fault(reader, DIAG_QTY_FAULT_SYNTAX, node->span, "%s: '%s' is no quantity",
                                field->key, node->text),
                  node->span, unknown[0]);
    else if ((field->dims & (field->dims - 1)) && fault_is_of_dimension(told.fault))
        fault_any_quantity(reader, field, node, &told);
    else
        fault_quantity(reader, field, node, &told);
    return false;
}

static bool claim_from(struct reader *reader, const struct field *field, const struct said *said,
                       struct claim *out)
{
    const struct node *holds = said->node->kind == NODE_MAP ? tree_child(said->node, "holds-for")
                                                            : NULL;
    const struct node *table = said->node->kind == NODE_MAP ? tree_child(said->node, "table") : NULL;

    out->span = said->is->span;
    out->from = said->from;
    out->page = said->page;
    out->because = said->because;
    out->chosen = said->chosen;
    out->believe = said->believe;
    if (holds)
        read_map(reader, &holds_for_fields, holds, &out->holds_for);
    if (table && field->names == NAMES_TORQUE_TABLE) {
        struct field named = {.key = "table"};
        if (table != said->is)
            fault(reader, DIAG_SPEC_FORM, table->key_span,
                  "a torque is a value or names its table, not both");
        else
            out->present = read_text(reader, &named, table, &out->table);
        return out->present;
    }
    out->present = read_quantity(reader, field, said->is, said->believe, &out->value);
    return out->present;
}

void read_claim(struct reader *reader, const struct field *field, const struct node *node,
                struct claim *out)
{
    struct saids saids = claim_choose(reader, field, node);
    struct claim loser;

    if (saids.count == 0)
        return;
    claim_from(reader, field, &saids.items[0], out);
    out->losers = ARENA_ARRAY(reader->arena, struct claim, saids.count);
    for (size_t i = 1; i < saids.count; i++) {
        loser = (struct claim){0};
        if (claim_from(reader, field, &saids.items[i], &loser))
            out->losers[out->loser_count++] = loser;
    }
}

bool looks_like_quantity(const struct node *node)
{
    const struct node *is = node->kind == NODE_MAP ? tree_child(node, "is") : node;
    const char *text = is && is->kind == NODE_SCALAR ? is->text : "";

    if (node->kind == NODE_LIST)
        return true;
    if (str_starts(text, "at least ") || str_starts(text, "at most "))
        text += str_starts(text, "at least ") ? 9 : 8;
    return (*text >= '0' && *text <= '9') || (*text == '.' && text[1] >= '0' && text[1] <= '9') ||
           ((*text == '-' || *text == '+') && text[1] >= '0' && text[1] <= '9');
}

/* ---------- readings ---------- */

static void read_one(struct reader *reader, const struct field *field, const struct node *node,
                     struct readings *out)
{
    struct reading reading = {0};
    const struct node *is = node->kind == NODE_MAP ? child_meant(&reading_fields, node, "is") : node;

    if (!is) {
        if (node->kind == NODE_MAP && node->child && field_find(&reading_fields, node->child->key))
            fault_hint(reader, fault(reader, DIAG_SPEC_MISSING_KEY, node->child->key_span,
                                     "a reading needs the key 'is'"),
                       "is: what was read");
        else
            fault_kind(reader, field, node, "a reading, or {is, using}");
        return;
    }
    if (node->kind == NODE_MAP) {
        const struct node *from = tree_child(node, "from");
        struct said said = {0};
        read_map(reader, &reading_fields, node, &reading);
        if (from)
            read_from(reader, from, &said);
        reading.from = said.from;
        reading.page = said.page;
    }
    reading.span = is->span;
    if (read_quantity(reader, field, is, 0, &reading.value))
        *ARRAY_PUSH(reader->arena, out) = reading;
}

void read_readings(struct reader *reader, const struct field *field, const struct node *node,
                   struct readings *out)
{
    if (node->kind != NODE_LIST) {
        read_one(reader, field, node, out);
        return;
    }
    for (const struct node *child = node->child; child; child = child->next) {
        const struct node *from = child->kind == NODE_MAP ? tree_child(child, "from") : NULL;
        if (from)
            fault_hint(reader, fault(reader, DIAG_SPEC_MIXED_LIST, from->key_span,
                                     "%s: readings in a list, and one that says its source",
                                     field->key),
                       "a reading says using: and where:, not from:");
        else
            read_one(reader, field, child, out);
    }
}

void link_reading(struct reader *reader, struct reading *reading)
{
    const struct shop *shop = &reader->spec->shop;
    enum qty_dim dim, found;

    link_map(reader, &reading_fields, reading);
    for (size_t i = 0; reading->using.text && i < shop->gauges.count; i++)
        if (str_equal(shop->gauges.items[i].id, reading->using.text))
            reading->gauge = &shop->gauges.items[i];
    if (!reading->gauge || reading->value.kind == QTY_UNKNOWN)
        return;
    found = reading->value.low.dim;
    dim = gauge_dim(reading->gauge);
    if (dim != QTY_NONE && dim != found)
        fault_hint(reader, fault(reader, DIAG_SPEC_GAUGE, reading->using.span,
                                 "%s measures %s, and the reading is a %s", reading->using.text,
                                 reading->gauge->measures.text, qty_dim_name(found)),
                   "name the gauge that it was read with");
}
