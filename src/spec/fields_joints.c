/* fields_joints.c - the keys of a joint. */
#include "fields_private.h"

#include <string.h>

/* ---------- condition ---------- */

/* A name stands for what the shop says under it. */
static void finish_condition_links(struct reader *reader, void *item)
{
    struct condition *condition = item;

    condition->name = condition->named.text;
    for (size_t i = 0; i < reader->spec->shop.conditions.count; i++) {
        const struct condition *known = &reader->spec->shop.conditions.items[i];
        if (!str_equal(known->name, condition->name))
            continue;
        condition->lubricant = known->lubricant;
        condition->plating = known->plating;
        condition->fastener = known->fastener;
    }
}
static const struct field condition_rows[] = {
    ROW("name", TEXT, struct condition, named, "a condition of the shop",
        .names = NAMES_CONDITION),
    ROW("lubricant", TEXT, struct condition, lubricant, "what is on the thread",
        .names = NAMES_LUBRICANT),
    ROW("plating", TEXT, struct condition, plating, "what the thread is plated with, or none",
        .names = NAMES_PLATING),
    ROW("fastener", TEXT, struct condition, fastener, "new or reused", .names = NAMES_FASTENER),
};
const struct fields condition_fields = {
    .title = "`condition`", ROWS(condition_rows), .bare = "name", .size = sizeof(struct condition),
    .present = offsetof(struct condition, present), .span = offsetof(struct condition, span),
    .id = NOWHERE, .finish_links = finish_condition_links};

/* ---------- lock ---------- */

/* From LOCK_SPLIT_PIN on, in the order of enum lock_kind. */
static const char *const locks[] = {"split-pin",    "wire",        "tab-washer",
                                    "self-locking", "thread-lock", NULL};

const char *spec_lock_word(enum lock_kind kind)
{
    return kind == LOCK_ABSENT ? NULL : kind == LOCK_NONE ? "none" : locks[kind - LOCK_SPLIT_PIN];
}

static void finish_lock(struct reader *reader, void *item, const struct node *node)
{
    struct lock *lock = item;

    for (int i = 0; locks[i]; i++)
        if (str_equal(locks[i], lock->kind_text.text))
            lock->kind = (enum lock_kind)(LOCK_SPLIT_PIN + i);
    if (lock->reason.text && lock->kind_text.text)
        fault_label(reader, fault(reader, DIAG_SPEC_FORM, lock->kind_text.span,
                                  "a lock has a kind, or `none` with the reason, not both"),
                    lock->reason.span, "the reason why there is none");
    else if (lock->reason.text)
        lock->kind = LOCK_NONE;
    else if (lock->kind == LOCK_THREAD_LOCK &&
             !lock->part.text && (node->kind != NODE_MAP || !tree_child(node, "part")))
        fault_hint(reader, fault(reader, DIAG_SPEC_MISSING_KEY, lock->kind_text.span,
                                 "thread-lock does not say which consumable it is"),
                   "lock: {kind: thread-lock, part: ID}, with the ID under `consumables`");
    else if (!lock->kind_text.text && !lock->reason.text && node->kind == NODE_MAP &&
             !tree_child(node, "kind") && !tree_child(node, "none"))
        fault_hint(reader, fault(reader, DIAG_SPEC_MISSING_KEY, node->key_span,
                                 "the lock does not say its kind"),
                   "kind: split-pin, wire, tab-washer, self-locking or thread-lock; or "
                   "{none: reason}");
}
static const struct field lock_rows[] = {
    ROW("kind", TEXT, struct lock, kind_text, "how it is kept from turning", .words = locks),
    ROW("part", LOCK_PART, struct lock, part, "the part that does it; of thread-lock the consumable",
        .also = offsetof(struct lock, consumable), .targets = TO(PART)),
    ROW("none", TEXT, struct lock, reason, "there is none, for this reason"),
};
static const struct fields lock_fields = {
    .title = "`lock`", ROWS(lock_rows), .bare = "kind", .size = sizeof(struct lock),
    .present = offsetof(struct lock, present), .span = offsetof(struct lock, span), .id = NOWHERE,
    .finish = finish_lock};

/* ---------- again, pattern, uses, found ---------- */

static void finish_again(struct reader *reader, void *item, const struct node *node)
{
    struct again *again = item;

    if (again->wait.present && again->run.text)
        fault_hint(reader, fault(reader, DIAG_SPEC_FORM, again->run.span,
                                 "tightened again after a wait or after a run, not both in one"),
                   "make two of it: again: [{wait: ...}, {run: ...}]");
    else if (!again->wait.present && !again->run.text && !tree_child(node, "wait") &&
             !tree_child(node, "run"))
        fault_hint(reader, fault(reader, DIAG_SPEC_MISSING_KEY, again->span,
                                 "it is not said when it is tightened again"),
                   "wait: 1 h, or run: and the id of an entry of running-in");
}
static const struct field again_rows[] = {
    ROW("wait", CLAIM, struct again, wait, "after this time on the bench", .dims = DIM(TIME),
        .takes = A_RANGE),
    ROW("run", REF, struct again, run, "after this entry of running-in", .targets = TO(RUN)),
    ROW("engine-is", TEXT, struct again, engine_is, "state of the engine", .flags = SUGGESTED,
        .words = WORDS("cold", "warm", "hot")),
    ROW("slacken-first", FLAG, struct again, slacken_first, "each is slackened before it is pulled"),
};
static const struct fields again_fields = {
    .title = "`again`", ROWS(again_rows), .size = sizeof(struct again), .present = NOWHERE,
    .span = offsetof(struct again, span), .id = NOWHERE, .finish = finish_again};

static void finish_pattern(struct reader *reader, void *item, const struct node *node)
{
    struct pattern *pattern = item;
    int forms = pattern->round.present + (pattern->rows.count > 0) +
                (pattern->sequence.count > 0) + (pattern->points.count > 0);

    if (forms > 1 || node->count == 0)
        fault(reader, DIAG_SPEC_FORM, node->span,
              "a pattern is one of round, rows, sequence or points");
    if (forms != 1 || node->count != 1)
        return;
    pattern->span = node->child->span;
    bool points = pattern->points.count == 2 * node->child->count;
    for (size_t i = 0; i < pattern->points.count; i++)
        points &= pattern->points.items[i].present;
    if (!points)
        pattern->points.count = 0; /* a point that is none: reported */
}
static const struct field pattern_rows[] = {
    ROW("round", NUMBER, struct pattern, round, "so many on a circle, crosswise", .least = 2,
        .most = 1000),
    ROW("rows", NUMBERS, struct pattern, rows, "so many in each row, from the middle outwards",
        .least = 1, .most = 1000),
    ROW("sequence", NUMBERS, struct pattern, sequence, "the numbers of the fasteners in order",
        .least = 1, .most = 1000),
    ROW("points", POINTS, struct pattern, points, "where each is, x and y",
        .dims = DIM(LENGTH)),
};
static const struct fields pattern_fields = {
    .title = "`pattern`", ROWS(pattern_rows), .size = sizeof(struct pattern),
    .present = offsetof(struct pattern, present), .span = offsetof(struct pattern, span),
    .id = NOWHERE, .finish = finish_pattern};

static void finish_uses(struct reader *reader, void *item, const struct node *node)
{
    struct ref_count *uses = item;

    (void)reader, (void)node;
    uses->count = uses->said.value;
}
static const struct field uses_key = {
    .key = "part", .kind = FIELD_REF, .offset = offsetof(struct ref_count, ref),
    .targets = TO(PART)};
static const struct field uses_rows[] = {
    ROW("pieces", NUMBER, struct ref_count, said, "how many, at each place", .least = 1,
        .most = 1000000)};
static const struct fields uses_fields = {
    .title = "`uses`", ROWS(uses_rows), .bare = "pieces", .whole = true, .key_field = &uses_key,
    .size = sizeof(struct ref_count), .present = NOWHERE, .span = NOWHERE, .id = NOWHERE,
    .finish = finish_uses};

static const struct field found_rows[] = {
    ROW_IN("major", CLAIM, struct joint, found, major, "over the crests", .dims = DIM(LENGTH),
           .takes = A_RANGE),
    ROW_IN("pitch", CLAIM, struct joint, found, pitch, "of the thread: 22 tpi, or 1.25 mm",
           .dims = DIM(LENGTH)),
};
static const struct fields found_fields = {
    .title = "`found`", ROWS(found_rows),
    .present = offsetof(struct joint, found.present) - offsetof(struct joint, found),
    .span = offsetof(struct joint, found.span) - offsetof(struct joint, found), .id = NOWHERE};

/* ---------- a joint ---------- */

static int64_t sum_of(const struct pattern *pattern)
{
    int64_t sum = 0;

    for (size_t i = 0; i < pattern->rows.count; i++)
        sum += pattern->rows.items[i];
    return sum;
}

/* Each number from 1 on once. */
static void check_sequence(struct reader *reader, const struct joint *joint)
{
    const struct pattern *pattern = &joint->pattern;

    for (size_t i = 0; i < pattern->sequence.count; i++) {
        int64_t number = pattern->sequence.items[i];
        bool again = false;

        for (size_t k = 0; k < i; k++)
            again |= pattern->sequence.items[k] == number;
        if (!again && number <= joint->count.value)
            continue;
        fault(reader, DIAG_SPEC_PATTERN, pattern->span,
              again ? "the sequence names fastener %lld twice"
                    : "the sequence names fastener %lld, and the joint has %lld",
              (long long)number, (long long)joint->count.value);
        return;
    }
}

/* A pattern shows each fastener of the joint once. */
static void check_pattern(struct reader *reader, const struct joint *joint)
{
    const struct pattern *pattern = &joint->pattern;
    int64_t shown = pattern->round.present        ? pattern->round.value
                    : pattern->rows.count > 0     ? sum_of(pattern)
                    : pattern->sequence.count > 0 ? (int64_t)pattern->sequence.count
                                                  : (int64_t)(pattern->points.count / 2);
    struct diag *diag;

    if (!pattern->present || !joint->count.present || shown == 0)
        return;
    if (shown == joint->count.value) {
        check_sequence(reader, joint);
        return;
    }
    diag = fault(reader, DIAG_SPEC_PATTERN, pattern->span,
                 "the pattern shows %lld, and the joint has %lld", (long long)shown,
                 (long long)joint->count.value);
    fault_label(reader, diag, joint->count.span, "the joint's count");
    fault_hint(reader, diag, "a joint is one pattern tightened in one go: correct one of the two");
}

/* Pulls rise, and the last is the whole torque: else the joint is left short of it. */
static void check_pulls(struct reader *reader, const struct joint *joint)
{
    const double whole = 1.0, slack = 1e-9;

    for (size_t i = 0; i < joint->pulls.count; i++) {
        const struct claim *pull = &joint->pulls.items[i];
        double share = pull->value.nominal.si;

        if (!pull->present)
            return;
        if (share > whole && share <= 100 && pull->value.nominal.unit == NULL) {
            fault_fix(reader, fault(reader, DIAG_SPEC_PULLS, pull->span, "pulls: %s is no share",
                                    pull->value.text),
                      pull->span, str_print(reader->arena, "%s%%", pull->value.text));
            return;
        }
        if (share <= 0 || share > whole + slack ||
            (i > 0 && share <= joint->pulls.items[i - 1].value.nominal.si)) {
            fault(reader, DIAG_SPEC_PULLS, pull->span,
                  "the pulls rise to 100%%: %s does not follow what stands before it",
                  pull->value.text);
            return;
        }
        if (i + 1 == joint->pulls.count && share < whole - slack)
            fault_fix(reader, fault(reader, DIAG_SPEC_PULLS, pull->span,
                                    "the last pull is %s: the joint would be left short of its torque",
                                    pull->value.text),
                      pull->span, str_print(reader->arena, "%s, 100%%", pull->value.text));
    }
}

static void finish_joint(struct reader *reader, void *item, const struct node *node)
{
    (void)node;
    check_pulls(reader, item);
    check_pattern(reader, item);
}

static void finish_joint_links(struct reader *reader, void *item)
{
    struct joint *joint = item;

    for (size_t i = 0; i < joint->together_with.to_count; i++)
        if (joint->together_with.to[i] == &joint->e)
            fault_hint(reader, fault(reader, DIAG_SPEC_WRONG_TARGET, joint->together_with.span,
                                     "%s is pulled together with itself", joint->e.id),
                       "name the other joint");
    if (joint->thread.text)
        joint->thread_row =
            table_thread_find(reader->arena, reader->tables, joint->thread.text).thread;
}

static const struct field joint_rows[] = {
    ROW("holds", REFS, struct joint, holds, "all that would come loose, its main part first",
        .flags = NEEDED, .targets = TO(PART)),
    ROW("to", REF, struct joint, to, "what the thread is cut in", .flags = NEEDED,
        .targets = TO(PART)),
    ROW("stud", REF, struct joint, stud, "the stud that the nut is on", .targets = TO(PART)),
    ROW("uses", TABLE, struct joint, uses, "parts it takes, each with a number",
        .sub = &uses_fields),
    ROW("thread", TEXT, struct joint, thread, "such as M8x1.25 or 3/8 BSF", .flags = NEEDED,
        .names = NAMES_THREAD),
    ROW("hand", FLAG, struct joint, left_hand, "left where it is; right when left out",
        .words = WORDS("left", "right")),
    ROW("count", NUMBER, struct joint, count, "fasteners tightened in one pattern, at each place",
        .flags = NEEDED, .least = 1, .most = 1000),
    ROW("grade", TEXT, struct joint, grade, "strength of the weaker fastener",
        .flags = UNKNOWN_TAKEN, .names = NAMES_GRADE),
    ROW("turned", TEXT, struct joint, turned, "what the wrench is on",
        .words = WORDS("nut", "head", "stud")),
    ROW("nut", TEXT, struct joint, nut, "its kind, where the table of torques has a row for each",
        .words = WORDS("tension", "shear")),
    ROW("seat", TEXT, struct joint, seat, "of a spark plug, for its torque",
        .words = WORDS("gasket", "conical")),
    ROW("condition", MAP, struct joint, condition,
        "a condition of the shop, or lubricant, plating, fastener", .sub = &condition_fields),
    ROW("engagement", CLAIM, struct joint, engagement, "length of thread engaged",
        .dims = DIM(LENGTH), .takes = LIMITS_TAKEN),
    ROW("length", CLAIM, struct joint, length, "of the screw, where it could bottom",
        .dims = DIM(LENGTH), .takes = A_SIZE),
    ROW("grip", CLAIM, struct joint, grip, "what the screw goes through before its thread, washers and all",
        .dims = DIM(LENGTH), .takes = A_RANGE),
    ROW("hole-depth", CLAIM, struct joint, hole_depth, "of the hole, where it could bottom",
        .dims = DIM(LENGTH), .takes = A_SIZE),
    ROW("nip", CLAIM, struct joint, nip, "torque before what is brought right by it",
        .dims = DIM(TORQUE), .takes = A_RANGE),
    ROW("torque", CLAIM, struct joint, torque, "final torque, or {table: ID}; with stretch, a ceiling",
        .dims = DIM(TORQUE), .takes = LIMITS_TAKEN, .names = NAMES_TORQUE_TABLE),
    ROW("then", CLAIM, struct joint, then, "turned further by this angle", .dims = DIM(ANGLE),
        .takes = A_RANGE),
    ROW("stretch", CLAIM, struct joint, stretch, "how much longer the bolt gets",
        .dims = DIM(LENGTH), .takes = A_RANGE),
    ROW("drag", CLAIM, struct joint, drag, "measured torque of running it down, added",
        .dims = DIM(TORQUE), .takes = A_RANGE),
    ROW("adapter", TEXT, struct joint, adapter, "what is between wrench and fastener",
        .names = NAMES_ADAPTER),
    ROW("lock", MAP, struct joint, lock, "how it is kept from turning", .sub = &lock_fields),
    ROW("pulls", CLAIMS, struct joint, pulls, "stages of the torque, in per cent",
        .dims = DIM(RATIO)),
    ROW("pattern", MAP, struct joint, pattern, "in which order the fasteners are pulled",
        .sub = &pattern_fields),
    ROW("together-with", REFS, struct joint, together_with, "joints pulled stage by stage with it",
        .targets = TO(JOINT)),
    ROW("again", LIST, struct joint, again, "tightened again, after a wait or a run",
        .sub = &again_fields),
    ROW("was-grade", TEXT, struct joint, was_grade,
        "grade that the torque is for, where a better one is fitted", .names = NAMES_GRADE),
    ROW("found", MAP, struct joint, found, "what was measured on the thread", .sub = &found_fields),
};
const struct fields joint_fields = {.title = "a joint", ROWS(joint_rows), .base = &common_fields,
                                    .size = sizeof(struct joint), .present = NOWHERE,
                                    .span = NOWHERE, .id = NOWHERE, .finish = finish_joint,
                                    .finish_links = finish_joint_links};
