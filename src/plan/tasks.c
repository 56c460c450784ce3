/* tasks.c - facts to operations of the build: what is done, not yet when. */
#include "plan_private.h"

struct task *plan_task(struct maker *maker, enum verb verb, enum task_class class,
                       struct entry *entry, const char *id)
{
    struct task *task = ARENA_NEW(maker->arena, struct task);

    task->op.id = id;
    task->op.verb = verb;
    task->op.phase = verb == VERB_TRIAL ? PHASE_TRIAL : PHASE_FINAL;
    task->op.entry = entry;
    task->class = class;
    task->rank = entry->order;
    task->index = maker->tasks.count;
    *ARRAY_PUSH(maker->arena, &maker->tasks) = task;
    return task;
}

static struct task *verb_task(struct maker *maker, enum verb verb, enum task_class class,
                              struct entry *entry)
{
    return plan_task(maker, verb, class, entry,
                     str_print(maker->arena, "%s:%s", verb_word(verb), entry->member));
}

static struct task *at_task(struct maker *maker, enum verb verb, enum task_class class,
                            struct entry *entry, const char *moment)
{
    bool plain = verb == VERB_READ || verb == VERB_READ_AGAIN;

    return plan_task(maker, verb, class, entry,
                     plain ? str_print(maker->arena, "%s@%s", entry->member, moment)
                           : str_print(maker->arena, "%s:%s@%s", verb_word(verb), entry->member,
                                       moment));
}

/* What made a repeated operation due; at the same place its id says enough. */
const char *plan_cause(const struct entry *entry, const struct entry *cause)
{
    return entry->place && str_equal(entry->place, cause->place) ? cause->id : cause->member;
}

bool plan_locks_apart(const struct joint *joint)
{
    return joint->lock.kind == LOCK_SPLIT_PIN || joint->lock.kind == LOCK_WIRE ||
           joint->lock.kind == LOCK_TAB_WASHER;
}

bool plan_seal_lays(const struct seal *seal)
{
    return seal->gasket.count || seal->sealant_row;
}

double plan_open_time_s(const struct seal *seal)
{
    return seal->sealant_row && seal->sealant_row->open_time.present
               ? seal->sealant_row->open_time.value.low.si
               : 0;
}

double plan_cure_s(const struct seal *seal)
{
    return seal->sealant_row && seal->sealant_row->cures.present
               ? seal->sealant_row->cures.value.high.si
               : 0;
}

bool plan_has_picked(const struct limit *limit, const struct part *part)
{
    return plan_has(&limit->pick, part);
}

/* First and last of an entry's operations of the build; a witness signs directly after the last. */
static void bound(struct maker *maker, struct entry *entry, struct task *first, struct task *last)
{
    struct info *info = plan_info(entry);

    info->first = first ? first : last;
    info->last = last ? last : first;
    if (!entry->witness.text || !info->last)
        return;
    struct task *sign = verb_task(maker, VERB_WITNESS, TASK_FINISH, entry);
    plan_glue(maker, 11, info->last, sign, entry->witness.span,
              "%s is witnessed directly after its last operation", entry->member);
    info->last = sign;
}

/* ---------- parts and seals ---------- */

static bool moves(const struct maker *maker, const struct part *part)
{
    return part != maker->spec->first && part->host && part->state != STATE_STAYS;
}

static void part_tasks(struct maker *maker, struct part *part)
{
    struct info *info = plan_info(part);

    if (!moves(maker, part) || plan_info(part)->brought_by)
        return;
    info->fit = verb_task(maker, VERB_FIT, TASK_FIT, &part->e);
}

static void part_follows(struct maker *maker, struct part *part)
{
    struct info *info = plan_info(part);
    struct part *leader = part;

    for (size_t steps = 0; plan_info(leader)->brought_by && steps < maker->spec->parts.count; steps++)
        leader = plan_info(leader)->brought_by;
    if (leader != part && moves(maker, part))
        info->fit = plan_info(leader)->fit;
    struct task *last = info->fit;
    if (last && part->count_back.value) {
        struct task *count = verb_task(maker, VERB_COUNT_BACK, TASK_FINISH, &part->e);
        plan_glue(maker, 1, last, count, part->count_back.span, "%s is counted as it goes back",
                  part->e.member);
        last = count;
    }
    if (last && part->until.count) {
        struct task *out = at_task(maker, VERB_REMOVE, TASK_FINISH, &part->e,
                                   plan_cause(&part->e, part->until.to[0]));
        plan_edge(maker, 12, last, out, part->until.span, "%s comes out again", part->e.member);
        last = out;
    }
    bound(maker, &part->e, info->fit, last);
}

/* Loose hardware that is counted back once every joint that uses it is tight. */
static void hardware_count(struct maker *maker, struct part *part)
{
    if (part->host || !part->count_back.value || !part->used_by_count)
        return;
    struct task *count = verb_task(maker, VERB_COUNT_BACK, TASK_FINISH, &part->e);
    for (size_t i = 0; i < part->used_by_count; i++)
        plan_edge(maker, 6, plan_info(part->used_by[i])->last, count, part->count_back.span,
                  "%s is counted back when the joints that use it are done", part->e.member);
    bound(maker, &part->e, count, count);
}

static void seal_tasks(struct maker *maker, struct seal *seal)
{
    struct info *info = plan_info(seal);

    if (!plan_seal_lays(seal))
        return;
    info->lay = verb_task(maker, VERB_SEAL, TASK_FINISH, &seal->e);
    bound(maker, &seal->e, info->lay, info->lay);
    if (plan_cure_s(seal) > 0) {
        info->cure = verb_task(maker, VERB_WAIT, TASK_LAZY, &seal->e);
        info->cure->op.at_least_s = (int64_t)plan_cure_s(seal);
        info->last = info->cure; /* what says `after` waits for the cure */
    }
}

/* ---------- joints ---------- */

static void again_tasks(struct maker *maker, struct joint *joint)
{
    struct info *info = plan_info(joint);
    struct task *last = info->tighten;

    for (size_t i = 0; i < joint->again.count; i++) {
        const struct again *again = &joint->again.items[i];
        if (!again->wait.present)
            continue;
        const char *time = again->wait.value.text;
        bool second = info->retighten != NULL;
        struct task *wait =
            second ? at_task(maker, VERB_WAIT, TASK_FINISH, &joint->e, time)
                   : verb_task(maker, VERB_WAIT, TASK_FINISH, &joint->e);
        wait->op.at_least_s = (int64_t)again->wait.value.low.si;
        struct task *retighten =
            second ? at_task(maker, VERB_RETIGHTEN, TASK_FINISH, &joint->e, time)
                   : verb_task(maker, VERB_RETIGHTEN, TASK_FINISH, &joint->e);
        plan_edge(maker, 6, last, wait, again->span, "%s rests for %s after tightening",
                  joint->e.member, time);
        plan_edge(maker, 6, wait, retighten, again->span, "%s is tightened again after %s",
                  joint->e.member, time);
        info->retighten = last = retighten;
    }
}

static void joint_tasks(struct maker *maker, struct joint *joint)
{
    struct info *info = plan_info(joint);
    struct task *last;

    if (info->brought || joint->nip.present)
        info->nip = verb_task(maker, VERB_NIP, TASK_FINISH, &joint->e);
    info->tighten = verb_task(maker, VERB_TIGHTEN, TASK_FINISH, &joint->e);
    plan_edge(maker, 7, info->nip, info->tighten, joint->nip.present ? joint->nip.span : joint->e.span,
              "%s is nipped before it is tightened", joint->e.member);
    info->tighten->op.after_nip = info->nip != NULL;
    again_tasks(maker, joint);
    last = info->retighten ? info->retighten : info->tighten;
    if (plan_locks_apart(joint)) {
        info->lock = verb_task(maker, VERB_LOCK, TASK_FINISH, &joint->e);
        plan_glue(maker, 6, last, info->lock, joint->lock.span,
                  "%s is locked straight after tightening", joint->e.member);
        last = info->lock;
    }
    bound(maker, &joint->e, info->nip ? info->nip : info->tighten, last);
}

static void mark_brought(const struct ref *by)
{
    for (size_t i = 0; i < by->count; i++)
        if (plan_as_joint(by->to[i]))
            plan_info(by->to[i])->brought = true;
}

static void mark_joints(struct maker *maker)
{
    const struct spec *spec = maker->spec;

    for (size_t i = 0; i < spec->settings.count; i++)
        mark_brought(&spec->settings.items[i]->by);
    for (size_t i = 0; i < spec->limits.count; i++)
        mark_brought(&spec->limits.items[i]->by);
    for (size_t i = 0; i < spec->steps.count; i++)
        mark_brought(&spec->steps.items[i]->by);
    for (size_t i = 0; i < spec->joints.count; i++) {
        struct joint *joint = spec->joints.items[i];
        for (size_t k = 0; k < joint->holds.to_count; k++)
            if (plan_as_part(joint->holds.to[k]))
                *ARRAY_PUSH(maker->arena, &plan_info(joint->holds.to[k])->held_by) = joint;
    }
}

/* ---------- readings, settings, passages ---------- */

static bool placed(const struct part *part)
{
    return part && plan_info(part)->placed;
}

static void fit_tasks(struct maker *maker, struct fit *fit)
{
    struct info *info = plan_info(fit);

    /* Two parts that never come apart have nothing to be checked before they meet. */
    if (!placed(fit->inner.part) || !placed(fit->outer.part) ||
        plan_solid(fit->inner.part) == plan_solid(fit->outer.part))
        return;
    info->bench = at_task(maker, VERB_READ, TASK_LOOSE, &fit->e, "bench");
    info->bench->op.moment = MOMENT_BENCH;
    bound(maker, &fit->e, info->bench, info->bench);
}

static void limit_tasks(struct maker *maker, struct limit *limit)
{
    struct info *info = plan_info(limit);

    if (limit->when & MOMENT_BENCH) {
        info->bench = at_task(maker, VERB_READ, TASK_LOOSE, &limit->e, "bench");
        info->bench->op.moment = MOMENT_BENCH;
    }
    if (limit->by.count) {
        info->made = verb_task(maker, VERB_SET, TASK_FINISH, &limit->e);
        info->made->op.moment = MOMENT_ASSEMBLED;
    }
    if (limit->when & (MOMENT_ASSEMBLED | MOMENT_STRIP)) {
        info->assembled = at_task(maker, VERB_READ, TASK_FINISH, &limit->e, "assembled");
        info->assembled->op.moment = MOMENT_ASSEMBLED;
        info->assembled->ghost = !(limit->when & MOMENT_ASSEMBLED);
    }
    if (info->assembled && info->assembled->ghost) {
        bound(maker, &limit->e, info->bench, info->made ? info->made : info->bench);
        return;
    }
    struct task *last = info->assembled ? info->assembled : info->made ? info->made : info->bench;
    bound(maker, &limit->e, info->bench ? info->bench : info->made, last);
}

static void setting_tasks(struct maker *maker, struct setting *setting)
{
    struct info *info = plan_info(setting);
    struct task *last;
    /* what is reached from outside can wait until the build is done */
    bool may_wait = setting->e.reach_outside && !setting->by.count;

    info->made = last = verb_task(maker, VERB_SET, may_wait ? TASK_LAZY : TASK_FINISH, &setting->e);
    if (setting->teeth.count > 1) {
        last = at_task(maker, VERB_READ_AGAIN, TASK_FINISH, &setting->e, "marks");
        plan_edge(maker, 9, info->made, last, setting->teeth.span,
                  "the marks of %s are read again after the turns that bring them back",
                  setting->e.member);
        info->whole = last;
    }
    for (size_t i = 0; i < setting->by.count; i++) {
        struct joint *joint = plan_as_joint(setting->by.to[i]);
        if (!joint)
            continue;
        struct task *again =
            at_task(maker, VERB_READ_AGAIN, TASK_FINISH, &setting->e,
                    plan_cause(&setting->e, &joint->e));
        again->op.object = &joint->e;
        plan_edge(maker, 7, last, again, setting->by.span, "%s is made before it is read again",
                  setting->e.member);
        last = again;
        info->assembled = again;
    }
    bound(maker, &setting->e, info->made, last);
}

static void passage_tasks(struct maker *maker, struct passage *passage)
{
    struct info *info = plan_info(passage);

    for (size_t i = 0; i < passage->path.to_count; i++) {
        struct part *part = plan_as_part(passage->path.to[i]);
        if (!part)
            continue;
        /* A gasket is seen over the drilling as it goes on; what sits somewhere is proved loose. */
        enum task_class class = placed(part) ? TASK_LOOSE : TASK_FINISH;
        struct task *task = at_task(maker, VERB_PROVE, class, &passage->e, part->e.member);
        task->op.object = &part->e;
        if (!info->bench)
            info->bench = task;
    }
    info->whole = verb_task(maker, VERB_PROVE, TASK_FINISH, &passage->e);
    bound(maker, &passage->e, info->bench, info->whole);
}

void plan_make_tasks(struct maker *maker)
{
    const struct spec *spec = maker->spec;

    mark_joints(maker);
    for (size_t i = 0; i < spec->parts.count; i++)
        part_tasks(maker, spec->parts.items[i]);
    for (size_t i = 0; i < spec->parts.count; i++)
        part_follows(maker, spec->parts.items[i]);
    for (size_t i = 0; i < spec->joints.count; i++)
        joint_tasks(maker, spec->joints.items[i]);
    for (size_t i = 0; i < spec->parts.count; i++)
        hardware_count(maker, spec->parts.items[i]);
    for (size_t i = 0; i < spec->seals.count; i++)
        seal_tasks(maker, spec->seals.items[i]);
    for (size_t i = 0; i < spec->fits.count; i++)
        fit_tasks(maker, spec->fits.items[i]);
    for (size_t i = 0; i < spec->limits.count; i++)
        limit_tasks(maker, spec->limits.items[i]);
    for (size_t i = 0; i < spec->settings.count; i++)
        setting_tasks(maker, spec->settings.items[i]);
    for (size_t i = 0; i < spec->passages.count; i++)
        passage_tasks(maker, spec->passages.items[i]);
    for (size_t i = 0; i < spec->steps.count; i++)
        bound(maker, &spec->steps.items[i]->e, NULL,
              verb_task(maker, VERB_DO, TASK_FINISH, &spec->steps.items[i]->e));
    for (size_t i = 0; i < spec->trials.count; i++)
        bound(maker, &spec->trials.items[i]->e, NULL,
              verb_task(maker, VERB_TRIAL, TASK_LAZY, &spec->trials.items[i]->e));
}
