/* fields_formula.c - the formulas that a limit may be worked out by, each with its inputs.
 *
 * An input is a quantity with its source, or PART.SIZE (of a mass PART.weight). The order of the
 * inputs here is the order in which resolve hands them to the formula. */
#include "fields_private.h"

#define INPUT(key_, index_, dims_, help_, ...)                                                     \
    INPUT_ROW(key_, struct formula, inputs[index_], help_, .dims = dims_,                          \
              .takes = A_RANGE | QTY_TAKE_SIZE | QTY_TAKE_UNKNOWN, __VA_ARGS__)
#define WANTED .flags = OR_SIZE | NEEDED
#define LEFT_OUT .flags = OR_SIZE

static const struct field compression_rows[] = {
    INPUT("bore", 0, DIM(LENGTH), "of the cylinder; the engine's where left out", LEFT_OUT),
    INPUT("stroke", 1, DIM(LENGTH), "of the piston; the engine's where left out", LEFT_OUT),
    INPUT("chamber", 2, DIM(VOLUME), "of the head, measured with liquid", WANTED),
    INPUT("gasket", 3, DIM(LENGTH), "crushed thickness of the head gasket", LEFT_OUT),
    INPUT("gasket-bore", 4, DIM(LENGTH), "opening of the gasket; the bore where left out", LEFT_OUT),
    INPUT("deck", 5, DIM(LENGTH), "piston below the face at top dead centre; above is negative",
          LEFT_OUT),
    INPUT("land", 6, DIM(VOLUME), "above the top ring and in the piston's dish; a dome is negative",
          LEFT_OUT),
};
static const struct field swept_rows[] = {
    INPUT("bore", 0, DIM(LENGTH), "of the cylinder; the engine's where left out", LEFT_OUT),
    INPUT("stroke", 1, DIM(LENGTH), "of the piston; the engine's where left out", LEFT_OUT),
};
static const struct field bob_weight_rows[] = {
    INPUT("rotating", 0, DIM(MASS), "what turns with the crankpin", WANTED),
    INPUT("reciprocating", 1, DIM(MASS), "what goes to and fro with the piston", WANTED),
    INPUT("factor", 2, DIM(RATIO), "share of the latter that is balanced; a fact of the engine",
          WANTED),
};
static const struct field drill_rows[] = {
    INPUT("unbalance", 0, DIM(MASS_LENGTH), "to be taken away", WANTED),
    INPUT("radius", 1, DIM(LENGTH), "at which it is drilled", WANTED),
    INPUT("drill", 2, DIM(LENGTH), "diameter of the hole", WANTED),
    INPUT("density", 3, DIM(DENSITY), "of the metal", WANTED),
};
static const struct field roller_room_rows[] = {
    INPUT("pin", 0, DIM(LENGTH), "on which the rollers run", WANTED),
    INPUT("roller", 1, DIM(LENGTH), "diameter of one", WANTED),
    INPUT("count", 2, DIM(COUNT), "in the row", WANTED),
};
static const struct field shell_grip_rows[] = {
    INPUT("proud", 0, DIM(LENGTH), "how far one end stands above the joint, the other held flush",
          WANTED),
};
static const struct field ring_gap_rows[] = {
    INPUT("gap", 0, DIM(LENGTH), "of the ring, read in the unworn bore", WANTED),
    INPUT("unworn", 1, DIM(LENGTH), "bore where it was read", WANTED),
    INPUT("worn", 2, DIM(LENGTH), "bore where it is most worn", WANTED),
};
static const struct field life_rows[] = {
    INPUT("capacity", 0, DIM(FORCE), "basic dynamic load rating", WANTED),
    INPUT("load", 1, DIM(FORCE), "on the bearing", WANTED),
    INPUT("speed", 2, DIM(SPEED), "of the shaft", WANTED),
};
static const struct field spring_rows[] = {
    INPUT("closed", 0, DIM(FORCE), "load with the valve closed", WANTED),
    INPUT("closed-length", 1, DIM(LENGTH), "of the spring then", WANTED),
    INPUT("open", 2, DIM(FORCE), "load with the valve open", WANTED),
    INPUT("open-length", 3, DIM(LENGTH), "of the spring then", WANTED),
};
static const struct field stretch_rows[] = {
    INPUT("before", 0, DIM(LENGTH), "length of the bolt, end to end, before it is tightened", WANTED),
    INPUT("after", 1, DIM(LENGTH), "the same when it is tight, read the same way", WANTED),
};

#define INPUTS(which, title_, array)                                                                \
    static const struct fields which##_fields = {                                                  \
        .title = title_, ROWS(array), .size = sizeof(struct formula), .id = NOWHERE,               \
        .present = offsetof(struct formula, said[FORMULA_##which]), .span = offsetof(struct formula, span)}
INPUTS(COMPRESSION_RATIO, "`compression-ratio`", compression_rows);
INPUTS(SWEPT_VOLUME, "`swept-volume`", swept_rows);
INPUTS(BOB_WEIGHT, "`bob-weight`", bob_weight_rows);
INPUTS(DRILL_DEPTH, "`drill-depth`", drill_rows);
INPUTS(ROLLER_ROOM, "`roller-room`", roller_room_rows);
INPUTS(SHELL_GRIP, "`shell-grip`", shell_grip_rows);
INPUTS(RING_GAP_WORN, "`ring-gap-worn`", ring_gap_rows);
INPUTS(BALL_LIFE, "`ball-life`", life_rows);
INPUTS(ROLLER_LIFE, "`roller-life`", life_rows);
INPUTS(SPRING_RATE, "`spring-rate`", spring_rows);
INPUTS(BOLT_STRETCH, "`bolt-stretch`", stretch_rows);

#define FORMULA(key_, id, help_)                                                                   \
    {.key = key_, .kind = FIELD_MAP, .help = help_, .sub = &id##_fields}
/* In the order of enum formula_kind, from FORMULA_COMPRESSION_RATIO on. */
static const struct field formula_rows[] = {
    FORMULA("compression-ratio", COMPRESSION_RATIO, "volume at the bottom over volume at the top"),
    FORMULA("swept-volume", SWEPT_VOLUME, "of one cylinder"),
    FORMULA("bob-weight", BOB_WEIGHT, "what hangs on the crankpin while the crank is balanced"),
    FORMULA("drill-depth", DRILL_DEPTH, "of the hole that takes an unbalance away"),
    FORMULA("roller-room", ROLLER_ROOM, "left over in a full row of rollers"),
    FORMULA("shell-grip", SHELL_GRIP, "interference by which half shells are held"),
    FORMULA("ring-gap-worn", RING_GAP_WORN, "gap of a ring where the bore is worn"),
    FORMULA("ball-life", BALL_LIFE, "basic rating life of a ball bearing"),
    FORMULA("roller-life", ROLLER_LIFE, "basic rating life of a roller bearing"),
    FORMULA("spring-rate", SPRING_RATE, "force for a length of give"),
    FORMULA("bolt-stretch", BOLT_STRETCH, "how much longer a bolt is when it is tight"),
};
static const enum qty_dim formula_dims[FORMULA_KIND_COUNT] = {
    [FORMULA_COMPRESSION_RATIO] = QTY_RATIO, [FORMULA_SWEPT_VOLUME] = QTY_VOLUME,
    [FORMULA_BOB_WEIGHT] = QTY_MASS,         [FORMULA_DRILL_DEPTH] = QTY_LENGTH,
    [FORMULA_ROLLER_ROOM] = QTY_LENGTH,      [FORMULA_SHELL_GRIP] = QTY_LENGTH,
    [FORMULA_RING_GAP_WORN] = QTY_LENGTH,    [FORMULA_BALL_LIFE] = QTY_TIME,
    [FORMULA_ROLLER_LIFE] = QTY_TIME,        [FORMULA_SPRING_RATE] = QTY_STIFFNESS,
    [FORMULA_BOLT_STRETCH] = QTY_LENGTH,
};

const char *spec_formula_word(enum formula_kind kind)
{
    return kind == FORMULA_NONE ? NULL : formula_rows[kind - 1].key;
}

const char *spec_formula_input(enum formula_kind kind, size_t index)
{
    const struct fields *fields = kind == FORMULA_NONE ? NULL : formula_rows[kind - 1].sub;

    return fields && index < fields->count ? fields->items[index].key : NULL;
}

enum qty_dim spec_formula_dim(enum formula_kind kind)
{
    return formula_dims[kind];
}

bool formula_gives(const struct node *limit, enum qty_dim dim)
{
    const struct node *formula = tree_child(limit, "formula");

    for (size_t i = 1; formula && formula->kind == NODE_MAP && i < FORMULA_KIND_COUNT; i++)
        if (formula_dims[i] == dim && tree_child(formula, formula_rows[i - 1].key))
            return true;
    return false;
}

static void finish_formula(struct reader *reader, void *item, const struct node *node)
{
    struct formula *formula = item;
    size_t said = 0;

    for (size_t i = 1; i < FORMULA_KIND_COUNT; i++)
        if (formula->said[i]) {
            formula->kind = (enum formula_kind)i;
            said++;
        }
    if (said > 1 || node->count == 0)
        fault(reader, DIAG_SPEC_FORM, node->span, "a limit is worked out by one formula");
    if (said == 1 && node->child)
        formula->span = node->child->key_span;
}
const struct fields formula_fields = {
    .title = "`formula`", ROWS(formula_rows), .size = sizeof(struct formula),
    .present = offsetof(struct formula, present), .span = offsetof(struct formula, span), .id = NOWHERE, .finish = finish_formula};
