/* fields_private.h - the sub-tables that one table of fields takes from another file. */
#ifndef GUDGEON_FIELDS_PRIVATE_H
#define GUDGEON_FIELDS_PRIVATE_H

#include "spec_private.h"

#define WORDS(...) (const char *const[]){__VA_ARGS__, NULL}

/* Which forms of a quantity a key takes, by what it is for. */
#define A_FIGURE QTY_TAKE_ONE
#define A_RANGE (QTY_TAKE_ONE | QTY_TAKE_LIMITS)
#define LIMITS_TAKEN (QTY_TAKE_ONE | QTY_TAKE_LIMITS | QTY_TAKE_SIZE | QTY_TAKE_SIDED)
#define A_SIZE (QTY_TAKE_ONE | QTY_TAKE_LIMITS | QTY_TAKE_SIZE | QTY_TAKE_UNKNOWN)
#define MAYBE_UNKNOWN (QTY_TAKE_ONE | QTY_TAKE_SIDED | QTY_TAKE_UNKNOWN)

/* What a limit or a setting may be read in. */
#define READ_IN                                                                                     \
    (DIM(LENGTH) | DIM(MASS) | DIM(FORCE) | DIM(TORQUE) | DIM(STRESS) | DIM(TEMPERATURE) |         \
     DIM(TIME) | DIM(ANGLE) | DIM(VOLUME) | DIM(SPEED) | DIM(STIFFNESS) | DIM(MASS_LENGTH) |  \
     DIM(RATIO))

extern const struct fields part_fields, joint_fields, fit_fields, limit_fields, setting_fields,
    opening_fields, passage_fields, formula_fields, seal_fields, step_fields, trial_fields, outwork_fields,
    run_fields;

/* A quantity or PART.SIZE. */
#define INPUT_ROW(key_, type, member, help_, ...)                                                  \
    {.key = key_, .kind = FIELD_CLAIM, .offset = offsetof(type, member.claim),                     \
     .also = offsetof(type, member.size), .help = help_, __VA_ARGS__}

#endif
