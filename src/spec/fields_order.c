/* fields_order.c - the keys of openings, passages, seals, steps, trials, outwork and running-in. */
#include "fields_private.h"

#include <string.h>

#define ENTRY_FIELDS(type, title_, rows)                                                            \
    .title = title_, ROWS(rows), .base = &common_fields, .size = sizeof(type), .present = NOWHERE, \
    .span = NOWHERE, .id = NOWHERE

static const struct field opening_rows[] = {
    ROW("in", REF, struct opening, in, "the part it is in", .flags = NEEDED, .targets = TO(PART)),
    ROW("stays-open", TEXT, struct opening, stays_open, "nothing closes it, for this reason"),
};
/* Nothing is done to an opening: it is gone through and closed. */
const struct fields opening_fields = {
    .title = "an opening", ROWS(opening_rows), .base = &named_fields,
    .size = sizeof(struct opening), .present = NOWHERE, .span = NOWHERE, .id = NOWHERE};

static const struct field passage_rows[] = {
    ROW("carries", TEXT, struct passage, carries, "what flows in it",
        .words = WORDS("oil", "water", "fuel", "air")),
    ROW("path", REFS, struct passage, path, "the parts and gaskets it leads through, in order",
        .flags = NEEDED, .targets = TO(PART)),
    ROW("prove", TEXT, struct passage, prove, "how it is proved"),
};
const struct fields passage_fields = {ENTRY_FIELDS(struct passage, "a passage", passage_rows)};

static const struct field keep_off_key = {
    .key = "passage", .kind = FIELD_REF, .offset = offsetof(struct keep_off, passage),
    .targets = TO(PASSAGE)};
static const struct field keep_off_rows[] = {
    ROW("distance", CLAIM, struct keep_off, distance, "how far the sealant stays away",
        .dims = DIM(LENGTH), .takes = QTY_TAKE_ONE | QTY_TAKE_SIDED)};
static const struct fields keep_off_fields = {
    .title = "`keep-off`", ROWS(keep_off_rows), .bare = "distance", .whole = true,
    .key_field = &keep_off_key, .size = sizeof(struct keep_off), .present = NOWHERE,
    .span = NOWHERE, .id = NOWHERE};

/* One part, or one named twice. What is not on this engine was named all the same. */
static bool between_one(const struct refs *between)
{
    for (size_t i = 1; i < between->count; i++)
        if (!str_equal(between->items[i].text, between->items[0].text))
            return false;
    return between->count > 0 && between->to_count < 2;
}

static void finish_seal_links(struct reader *reader, void *item)
{
    struct seal *seal = item;

    if (seal->between.present && between_one(&seal->between))
        fault_hint(reader, fault(reader, DIAG_SPEC_FORM, seal->between.span,
                                 "a face is between two parts, and only one is named"),
                   "between: [crankcase, sump], the one that goes on last at the end");
    if (seal->sealant.text)
        seal->sealant_row = spec_consumable(reader->spec, seal->sealant.text);
}
static const struct field seal_rows[] = {
    ROW("between", REFS, struct seal, between, "the parts that meet; the last goes on last",
        .flags = NEEDED, .targets = TO(PART)),
    ROW("gasket", REF, struct seal, gasket, "the part between them", .targets = TO(PART)),
    ROW("sealant", TEXT, struct seal, sealant, "a consumable, or none: metal to metal",
        .names = NAMES_SEALANT),
    ROW("keep-off", TABLE, struct seal, keep_off, "passages that the sealant stays away from",
        .sub = &keep_off_fields),
};
const struct fields seal_fields = {ENTRY_FIELDS(struct seal, "a seal", seal_rows),
                                   .finish_links = finish_seal_links};

static const struct field step_rows[] = {
    ROW("do", TEXT, struct step, what, "what is done, in words", .flags = NEEDED),
    ROW("by", REF, struct step, by, "the joint that is nipped while it is done",
        .targets = TO(JOINT)),
    ROW("of", REFS, struct step, of, "the parts it is done to", .targets = TO(PART)),
};
const struct fields step_fields = {ENTRY_FIELDS(struct step, "a step", step_rows)};

static const struct field trial_rows[] = {
    ROW("of", REFS, struct trial, of, "what goes in and comes out again", .flags = NEEDED,
        .targets = TO(PART)),
    ROW("joints", REFS, struct trial, joints, "what is tightened for it", .targets = TO(JOINT)),
    ROW("without", REFS, struct trial, without, "what is left out", .targets = TO(PART)),
    ROW("finds", REFS, struct trial, finds, "what is read in it",
        .targets = TO(LIMIT) | TO(FIT) | TO(SETTING)),
    ROW("where", TEXT, struct trial, where, "on the engine, or off it",
        .words = WORDS("engine", "bench")),
    ROW("locks", FLAG, struct trial, locks, "locks are fitted too"),
};
const struct fields trial_fields = {ENTRY_FIELDS(struct trial, "a trial", trial_rows)};

/* `crankshaft.pin` where each pin is a size of its own means them all: one line of the paper that
 * goes with the part. */
static void finish_outwork_links(struct reader *reader, void *item)
{
    struct outwork *outwork = item;
    struct outwork before = *outwork;

    outwork->want.items = NULL;
    outwork->want.count = outwork->want.room = 0;
    for (size_t i = 0; i < before.want.count; i++) {
        struct size_refs all = {0};

        link_sizes(reader, &before.want.items[i].size, &all);
        for (size_t k = 0; k < all.count; k++) {
            struct outwork_size *want = ARRAY_PUSH(reader->arena, &outwork->want);
            *want = before.want.items[i];
            want->size = all.items[k];
        }
        if (all.count == 0)
            *ARRAY_PUSH(reader->arena, &outwork->want) = before.want.items[i];
    }
}
static const struct field outwork_key = {
    .key = "size", .kind = FIELD_SIZE_REF, .flags = SEVERAL,
    .offset = offsetof(struct outwork_size, size)};
static const struct field outwork_size_rows[] = {
    ROW("want", CLAIM, struct outwork_size, want, "limits that it comes back with",
        .dims = DIM(LENGTH), .takes = A_SIZE | QTY_TAKE_SIDED)};
static const struct fields outwork_size_fields = {
    .title = "`want`", ROWS(outwork_size_rows), .bare = "want", .whole = true,
    .key_field = &outwork_key, .size = sizeof(struct outwork_size), .present = NOWHERE,
    .span = NOWHERE, .id = NOWHERE};
static const struct field outwork_rows[] = {
    ROW("of", REFS, struct outwork, of, "the parts that are sent", .flags = NEEDED,
        .targets = TO(PART)),
    ROW("supplier", TEXT, struct outwork, supplier, "who does it", .names = NAMES_SUPPLIER),
    ROW("do", TEXT, struct outwork, what, "what is done, in words", .flags = NEEDED),
    ROW("want", TABLE, struct outwork, want, "sizes that it comes back with",
        .sub = &outwork_size_fields),
    ROW("using", TEXT, struct outwork, using, "with which gauge", .names = NAMES_GAUGE),
    ROW("price", CLAIM, struct outwork, price, "of the work", .dims = DIM(MONEY)),
};
const struct fields outwork_fields = {ENTRY_FIELDS(struct outwork, "outwork", outwork_rows),
                                      .finish_links = finish_outwork_links};

static const struct field look_rows[] = {
    ROW("value", CLAIM, struct look_for, value, "limits, or words", .flags = OR_WORDS,
        .also = offsetof(struct look_for, words), .dims = READ_IN, .takes = LIMITS_TAKEN)};
static const struct fields look_fields = {
    .title = "`look-for`", ROWS(look_rows), .bare = "value", .whole = true, .free_keys = true,
    .size = sizeof(struct look_for), .present = NOWHERE, .span = offsetof(struct look_for, span),
    .id = offsetof(struct look_for, what)};
static const struct field run_rows[] = {
    ROW("do", TEXT, struct run, what, "what is done, in words"),
    ROW("for", CLAIM, struct run, lasts, "how long it runs", .dims = DIM(TIME), .takes = A_RANGE),
    ROW("speed", CLAIM, struct run, speed, "how fast", .dims = DIM(SPEED), .takes = LIMITS_TAKEN),
    ROW("due", CLAIM, struct run, due, "after so many hours of running", .dims = DIM(TIME),
        .takes = A_RANGE),
    ROW("or-by", DATE, struct run, or_by, "or on this day, if that is earlier"),
    ROW("look-for", TABLE, struct run, look_for, "what is watched, each with its limits or words",
        .sub = &look_fields),
    ROW("stop-if", TEXTS, struct run, stop_if, "what stops it at once"),
};
const struct fields run_fields = {ENTRY_FIELDS(struct run, "an entry of running-in", run_rows)};
