/* fields_parts.c - the keys that every entry has, and those of a part. */
#include "fields_private.h"

#include <string.h>

/* ---------- common to all entries ---------- */

static void finish_accept(struct reader *reader, void *item, const struct node *node)
{
    struct accept *accept = item;
    const struct diag_info *info = diag_find(accept->code);

    (void)node;
    accept->reason = accept->said.text;
    if (!info)
        fault_hint(reader, fault(reader, DIAG_SPEC_ACCEPT_CODE, accept->span,
                                 "there is no diagnostic %s", accept->code),
                   "the code stands in [ ] at the end of the warning");
    else if (info->severity != DIAG_SEVERITY_WARNING)
        fault_hint(reader, fault(reader, DIAG_SPEC_ACCEPT_CODE, accept->span,
                                 "%s is no warning: only warnings can be accepted", accept->code),
                   "put right what %s says, and take this line out", accept->code);
    else
        accept->code = info->printed;
}
static const struct field accept_rows[] = {
    ROW("reason", TEXT, struct accept, said, "why the warning is accepted")};
static const struct fields accept_fields = {
    .title = "`accept`", ROWS(accept_rows), .bare = "reason", .whole = true, .free_keys = true,
    .size = sizeof(struct accept), .present = NOWHERE, .span = offsetof(struct accept, span),
    .id = offsetof(struct accept, code), .finish = finish_accept};

static const struct field common_rows[] = {
    ROW("name", TEXT, struct entry, name, "as printed on cards; the id when left out"),
    ROW("note", TEXT, struct entry, note, "printed with the operation"),
    ROW("called", TEXT, struct entry, called, "what the old books or the shop call it"),
    {.key = "applies", .kind = FIELD_SEEN_TO, .help = "for which engines: serial, built, variant"},
    {.key = "like", .kind = FIELD_SEEN_TO, .help = "the entry of the same section that it starts from"},
    {.key = "each", .kind = FIELD_SEEN_TO, .help = "one at each of these places"},
    ROW("photo", TEXT, struct entry, photo, "a picture that shows it"),
    ROW("tools", TEXTS, struct entry, tools, "what is laid out for it", .names = NAMES_TOOL),
    ROW("side-up", TEXT, struct entry, side_up, "which side of the engine is up"),
    ROW("crank-at", CRANK, struct entry, crank_at_text, "where the crankshaft stands",
        .also = offsetof(struct entry, crank_at)),
    ROW("engine-is", TEXT, struct entry, engine_is, "state of the engine", .flags = SUGGESTED,
        .words = WORDS("cold", "warm", "hot")),
    ROW("people", NUMBER, struct entry, people, "how many it takes", .least = 1, .most = 20),
    ROW("takes", CLAIM, struct entry, takes, "how long it takes", .dims = DIM(TIME),
        .takes = A_RANGE),
    ROW("after", REFS, struct entry, after, "done after the last operation of these",
        .targets = TO_ANY),
    ROW("before", REFS, struct entry, before, "done before the first operation of these",
        .targets = TO_ANY),
    ROW("under", REFS, struct entry, under, "done before these go on, and hidden by them",
        .targets = TO(PART)),
    ROW("reach", REF, struct entry, reach, "the opening through which it is reached",
        .targets = TO(OPENING), .words = WORDS("outside"),
        .also = offsetof(struct entry, reach_outside)),
    ROW("witness", TEXT, struct entry, witness, "who signs beside the fitter: a hold point"),
    ROW("critical", FLAG, struct entry, critical, "life or engine depends on it"),
    ROW("accept", TABLE, struct entry, accept, "warnings silenced here: the code, and the reason",
        .sub = &accept_fields),
};
/* What is no operation has the first six alone: there is no moment at which it could happen. */
const struct fields named_fields = {.title = "an entry", .items = common_rows, .count = 6,
                                    .size = sizeof(struct entry), .present = NOWHERE,
                                    .span = NOWHERE, .id = NOWHERE};
const struct fields common_fields = {.title = "an entry", ROWS(common_rows),
                                     .size = sizeof(struct entry), .present = NOWHERE,
                                     .span = NOWHERE, .id = NOWHERE};

/* ---------- a size ---------- */

static const struct field sold_rows[] = {
    ROW("is", CLAIM, struct sold, is, "the size", .flags = NEEDED, .dims = DIM(LENGTH),
        .takes = A_SIZE),
    ROW("crushed", CLAIM, struct sold, crushed, "the size when clamped", .dims = DIM(LENGTH),
        .takes = A_SIZE),
    ROW("called", TEXT, struct sold, called, "what the shop calls it"),
    ROW("number", TEXT, struct sold, number, "order number", .flags = UNKNOWN_TAKEN),
    ROW("stock", NUMBER, struct sold, stock, "how many there are"),
    ROW("price", CLAIM, struct sold, price, "of one", .dims = DIM(MONEY)),
};
static const struct fields sold_fields = {.title = "a size on offer", ROWS(sold_rows), .bare = "is",
                                          .size = sizeof(struct sold), .present = NOWHERE,
                                          .span = NOWHERE, .id = NOWHERE};
static const struct field loose_rows[] = {
    ROW("is", CLAIM, struct loose, is, "the measured size", .dims = DIM(LENGTH),
        .takes = A_SIZE)};
static const struct fields loose_fields = {
    .title = "a loose piece", ROWS(loose_rows), .bare = "is", .whole = true,
    .size = sizeof(struct loose), .present = NOWHERE, .span = offsetof(struct loose, span),
    .id = offsetof(struct loose, name)};

static const struct field size_rows[] = {
    ROW("want", CLAIM, struct size, want, "limits when new", .dims = DIM(LENGTH) | DIM(ANGLE),
        .takes = A_SIZE | QTY_TAKE_SIDED),
    ROW("worn", CLAIM, struct size, worn, "limits at which it is still used",
        .dims = DIM(LENGTH) | DIM(ANGLE), .takes = LIMITS_TAKEN),
    ROW("measured", READINGS, struct size, measured, "what was found",
        .dims = DIM(LENGTH) | DIM(ANGLE), .takes = A_SIZE),
    ROW("sold", LIST, struct size, sold, "sizes that can be bought", .sub = &sold_fields),
    ROW("most", NUMBER, struct size, most, "how many of them may lie together", .least = 1,
        .most = 100),
    ROW("round", TEXT, struct size, round,
        "which way the pieces picked are rounded: nearest the middle if not said",
        .words = WORDS("nearest", "down", "up")),
    ROW("loose", TABLE, struct size, loose, "measured pieces in hand, by name",
        .sub = &loose_fields),
    ROW("steps", CLAIMS, struct size, steps, "sizes that are made, such as oversizes",
        .dims = DIM(LENGTH), .takes = A_SIZE),
    {.key = "each", .kind = FIELD_SEEN_TO, .help = "one at each of these places"},
};
const struct fields size_fields = {.title = "a size", ROWS(size_rows), .bare = "want",
                                   .size = sizeof(struct size), .present = NOWHERE,
                                   .span = offsetof(struct size, span), .id = NOWHERE};

/* ---------- what a part may carry ---------- */

/* The marks behind a designation, and the key that says the same (common practice, no source). */
static const struct mark {
    const char *mark, *says;
} clearances[] = {{"C2", "C2"}, {"CN", "CN"}, {"C3", "C3"}, {"C4", "C4"}, {"C5", "C5"}, {0}},
  sealings[] = {{"2RS", "seal"}, {"RS", "seal"}, {"2Z", "shield"}, {"ZZ", "shield"}, {0}};

static const struct mark *mark_of(const char *designation, const struct mark *marks)
{
    static const char breaks[] = " -/,";

    for (const char *at = designation; (at = strpbrk(at, breaks)) != NULL;) {
        size_t length;

        at += strspn(at, breaks);
        length = strcspn(at, breaks);
        for (size_t i = 0; marks[i].mark; i++)
            if (strlen(marks[i].mark) == length && memcmp(marks[i].mark, at, length) == 0)
                return &marks[i];
    }
    return NULL;
}

/* What is stamped on it answers the question; what the key says otherwise contradicts it. */
static void check_mark(struct reader *reader, const struct bearing *bearing, const char *key,
                       const struct mark *marks, struct text *said)
{
    const struct mark *mark = bearing->designation.text
                                  ? mark_of(bearing->designation.text, marks) : NULL;
    struct diag *diag;

    if (!mark)
        return;
    if (!said->text) {
        said->text = mark->says;
        said->span = bearing->designation.span;
        return;
    }
    if (said->unknown || str_equal(said->text, mark->says) ||
        (marks == sealings && !str_equal(said->text, "none") &&
         !str_equal(said->text, "seal") && !str_equal(said->text, "shield")))
        return;
    diag = fault(reader, DIAG_SPEC_BEARING_MARK, said->span, "%s: %s, and %s is stamped %s", key,
                 said->text, bearing->designation.text, mark->mark);
    fault_label(reader, diag, bearing->designation.span, "the designation");
    fault_fix(reader, diag, said->span, mark->says);
}

static void finish_bearing(struct reader *reader, void *item, const struct node *node)
{
    struct bearing *bearing = item;

    (void)node;
    check_mark(reader, bearing, "clearance", clearances, &bearing->clearance);
    check_mark(reader, bearing, "sealing", sealings, &bearing->sealing);
}

static const struct field bearing_rows[] = {
    ROW("designation", TEXT, struct bearing, designation, "what is stamped on it",
        .flags = UNKNOWN_TAKEN, .names = NAMES_BEARING),
    ROW("clearance", TEXT, struct bearing, clearance, "group of internal clearance",
        .flags = UNKNOWN_TAKEN, .words = WORDS("C2", "CN", "C3", "C4", "C5")),
    ROW("sealing", TEXT, struct bearing, sealing, "shields or seals, or none",
        .flags = UNKNOWN_TAKEN | SUGGESTED, .words = WORDS("none", "shield", "seal")),
    ROW("cage", TEXT, struct bearing, cage, "what the cage is made of", .flags = UNKNOWN_TAKEN),
    ROW("lip", TEXT, struct bearing, lip, "which rings have ribs", .flags = UNKNOWN_TAKEN),
    ROW("kind", TEXT, struct bearing, kind, "ball, roller, taper", .flags = UNKNOWN_TAKEN),
    ROW("bore", CLAIM, struct bearing, bore, "where there is no designation: its bore",
        .dims = DIM(LENGTH), .takes = A_SIZE),
    ROW("outside", CLAIM, struct bearing, outside, "its outside diameter", .dims = DIM(LENGTH),
        .takes = A_SIZE),
    ROW("width", CLAIM, struct bearing, width, "its width", .dims = DIM(LENGTH), .takes = A_SIZE),
    ROW("inner-hotter", CLAIM, struct bearing, inner_hotter,
        "when running, how much hotter the inner ring is", .dims = DIM(TEMPERATURE_DIFFERENCE),
        .takes = A_RANGE),
};
static const struct fields bearing_fields = {
    .title = "`bearing`", ROWS(bearing_rows), .size = sizeof(struct bearing),
    .present = offsetof(struct bearing, present), .span = offsetof(struct bearing, span),
    .id = NOWHERE, .finish = finish_bearing};

static const struct field way_rows[] = {
    ROW_IN("mark", TEXT, struct part, way_round, mark, "what is looked at", .flags = NEEDED),
    ROW_IN("faces", TEXT, struct part, way_round, faces, "where it points", .flags = NEEDED),
};
#define INNER(type, outer)                                                                          \
    .present = offsetof(type, outer.present) - offsetof(type, outer),                              \
    .span = offsetof(type, outer.span) - offsetof(type, outer), .id = NOWHERE
static const struct fields way_fields = {.title = "`way-round`", ROWS(way_rows),
                                         INNER(struct part, way_round)};
static const struct field replaces_rows[] = {
    ROW_IN("number", TEXT, struct part, replaces, number, "number of the old part",
           .flags = UNKNOWN_TAKEN),
    ROW_IN("weight", CLAIM, struct part, replaces, weight, "weight of the old part",
           .dims = DIM(MASS), .takes = MAYBE_UNKNOWN),
};
static const struct fields replaces_fields = {.title = "`replaces`", ROWS(replaces_rows),
                                              INNER(struct part, replaces)};

/* ---------- a part ---------- */

/* In the order of enum part_state. */
static const char *const states[] = {"unknown", "reuse", "rework",  "renew",
                                     "make",    "missing", "stays", NULL};

/* The sizes that a bearing and a gasket have without being told, so that ID.size can name them;
 * where no value is given, resolve looks it up. A size of the user's own goes before. */
static void imply_size(struct reader *reader, struct part *part, const char *name,
                       const struct claim *claim, struct span span)
{
    struct size *size;

    for (size_t i = 0; i < part->sizes.count; i++)
        if (str_equal(part->sizes.items[i]->name, name))
            return;
    size = ARENA_NEW(reader->arena, struct size);
    size->name = name;
    size->id = str_print(reader->arena, "%s.%s", part->e.member, name);
    size->part = part;
    size->span = claim->present ? claim->span : span;
    size->want = *claim;
    size->implied = true;
    *ARRAY_PUSH(reader->arena, &part->sizes) = size;
}

static void fault_set(struct reader *reader, const struct part *part)
{
    struct diag *diag =
        fault_each(reader, DIAG_SPEC_FORM, part->set.span, part->e.id,
                   str_print(reader->arena, "a set is of the places of an entry, and %s has none",
                             part->e.id));

    if (diag)
        fault_hint(reader, diag, "say each: [outer, inner], or leave set out");
}

static void finish_part(struct reader *reader, void *item, const struct node *node)
{
    struct part *part = item;

    (void)node;
    for (int i = 0; states[i]; i++)
        if (str_equal(states[i], part->state_text.text))
            part->state = (enum part_state)(STATE_UNKNOWN + i);
    if (part->set.text && !part->e.group->each && !part->quantity.present)
        fault_set(reader, part);
    if (part->bearing.present) {
        imply_size(reader, part, "bore", &part->bearing.bore, part->bearing.span);
        imply_size(reader, part, "outside", &part->bearing.outside, part->bearing.span);
        imply_size(reader, part, "width", &part->bearing.width, part->bearing.span);
    }
    if (part->cut_from.present) {
        imply_size(reader, part, "free", &part->cut_from.free, part->cut_from.span);
        imply_size(reader, part, "crushed", &part->cut_from.crushed, part->cut_from.span);
    }
}

/* No part goes in before itself or hides itself. */
static void refuse_itself(struct reader *reader, const struct part *part, const char *key,
                          const struct refs *refs)
{
    for (size_t i = 0; i < refs->to_count; i++)
        if (refs->to[i] == &part->e)
            fault_hint(reader, fault(reader, DIAG_SPEC_WRONG_TARGET, refs->span,
                                     "%s: %s names itself", key, part->e.id),
                       "name the other part");
}

/* A pick as made names pieces that are there to be picked. */
static void finish_part_links(struct reader *reader, void *item)
{
    struct part *part = item;

    refuse_itself(reader, part, "clear-of", &part->clear_of);
    refuse_itself(reader, part, "under", &part->e.under);

    for (size_t n = 0; n < part->fitted.names.count; n++) {
        const struct text *name = &part->fitted.names.items[n];
        const char *near[64];
        size_t count = 0;
        bool found = false;

        for (size_t i = 0; i < part->sizes.count; i++)
            for (size_t k = 0; k < part->sizes.items[i]->loose.count; k++) {
                const struct loose *loose = &part->sizes.items[i]->loose.items[k];
                found |= str_equal(loose->name, name->text);
                if (count < sizeof near / sizeof *near)
                    near[count++] = loose->name;
            }
        if (!found)
            fault_nearest(reader,
                          fault(reader, DIAG_SPEC_FITTED, name->span,
                                "no loose piece of %s is called '%s'", part->e.id, name->text),
                          name->span, name->text, near, count);
    }
}

static const struct field part_rows[] = {
    ROW("number", TEXT, struct part, number, "part number", .flags = UNKNOWN_TAKEN),
    ROW("looks-like", TEXTS, struct part, looks_like,
        "numbers or names of what looks the same and is not"),
    ROW("serial", TEXT, struct part, serial, "serial number of this piece", .flags = UNKNOWN_TAKEN),
    ROW("in", REF, struct part, in, "the part it sits in or on", .targets = TO(PART)),
    ROW("through", REF, struct part, through, "the opening it goes in by", .targets = TO(OPENING)),
    ROW("with", REFS, struct part, with, "all that is on it when it goes in", .targets = TO(PART),
        .words = WORDS("all", "none")),
    ROW("clear-of", REFS, struct part, clear_of, "parts that may not be in yet",
        .targets = TO(PART)),
    ROW("closes", REFS, struct part, closes, "openings and passages that it closes",
        .targets = TO(OPENING) | TO(PASSAGE)),
    ROW("until", REF, struct part, until, "a slave part: out straight after that is done",
        .targets = TO_ANY),
    ROW("assembly", FLAG, struct part, assembly, "a name for a thing made of many"),
    ROW("matched", REFS, struct part, matched, "marked and kept together with these",
        .targets = TO(PART)),
    ROW("set", TEXT, struct part, set, "the places of this entry are bought as one",
        .words = WORDS("whole")),
    ROW("quantity", NUMBER, struct part, quantity, "equal loose pieces, at each place", .least = 1,
        .most = 1000000),
    ROW("spare", NUMBER, struct part, spare, "bought beyond what is fitted", .most = 1000000),
    ROW("state", TEXT, struct part, state_text, "what becomes of it", .words = states),
    ROW("material", TEXT, struct part, material, "what it is made of", .names = NAMES_MATERIAL),
    ROW("weight", CLAIM, struct part, weight, "of one piece", .dims = DIM(MASS),
        .takes = MAYBE_UNKNOWN),
    ROW("supplier", TEXT, struct part, supplier, "who sells it", .names = NAMES_SUPPLIER),
    ROW("ask-for", TEXT, struct part, ask_for,
        "what a supplier must be told beside number, sizes, material and thread"),
    ROW("price", CLAIM, struct part, price, "of one piece, in a pack too", .dims = DIM(MONEY)),
    ROW("pack-of", CLAIM, struct part, pack_of, "pieces, mass or length of what is sold as one",
        .dims = DIM(COUNT) | DIM(MASS) | DIM(VOLUME) | DIM(LENGTH)),
    ROW("always-renew", FLAG, struct part, always_renew, "never used twice"),
    ROW("count-back", FLAG, struct part, count_back, "hardware that is counted out and back"),
    ROW("out-for", TEXT, struct part, out_for, "why it is taken out at all",
        .words = WORDS("cleaning")),
    ROW("inspect", TEXTS, struct part, inspect, "how it is looked at", .flags = SUGGESTED,
        .words = WORDS("visual", "dye", "magnetic", "dimensional", "pressure")),
    ROW("way-round", MAP, struct part, way_round, "which way it faces", .sub = &way_fields),
    ROW("bearing", MAP, struct part, bearing, "a rolling bearing, by name or by its sizes",
        .sub = &bearing_fields),
    ROW("cut-from", MAP, struct part, cut_from, "a gasket cut from sheet", .sub = &cut_fields),
    ROW("sizes", SIZES, struct part, sizes, "its sizes, by name"),
    ROW("fitted", FITTED, struct part, fitted, "a pick once made: pieces by name, or sizes sold"),
    ROW("life", CLAIM, struct part, life, "hours after which it is replaced", .dims = DIM(TIME)),
    ROW("hours", CLAIM, struct part, hours, "run so far", .dims = DIM(TIME),
        .takes = MAYBE_UNKNOWN),
    ROW("replaces", MAP, struct part, replaces, "facts of the old part", .sub = &replaces_fields),
};
const struct fields part_fields = {.title = "a part", ROWS(part_rows), .base = &common_fields,
                                   .size = sizeof(struct part), .present = NOWHERE,
                                   .span = NOWHERE, .id = NOWHERE, .finish = finish_part,
                                   .finish_links = finish_part_links};
