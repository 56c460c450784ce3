/* resolve_condition.c - the condition in which a joint is tightened, and the friction, grade and
 * screw that follow from it. */
#include "resolve_private.h"

static const struct condition *condition_of(const struct resolver *r, const struct joint *joint)
{
    const struct condition *own = &joint->condition;

    if (own->name == NULL || own->lubricant.text != NULL || own->plating.text != NULL ||
        own->fastener.text != NULL)
        return own;
    for (size_t i = 0; i < r->spec->shop.conditions.count; i++)
        if (str_equal(r->spec->shop.conditions.items[i].name, own->name))
            return &r->spec->shop.conditions.items[i];
    return own;
}

static const char *canonical(const struct resolver *r, const char *kind, const struct text *text)
{
    if (text->text == NULL || text->unknown)
        return NULL;

    const struct table_word *word = table_word_find(r->tables, kind, text->text, NULL);
    return word != NULL ? word->name : text->text;
}

/* Thread-locking fluid is a lubricant of its own while the thread is run down. */
struct table_condition resolve_condition(const struct resolver *r, const struct joint *joint)
{
    const struct condition *condition = condition_of(r, joint);
    struct table_condition words = {
        .lubricant = canonical(r, "lubricant", &condition->lubricant),
        .plating = canonical(r, "plating", &condition->plating),
        .fastener = canonical(r, "fastener", &condition->fastener),
    };

    if (joint->lock.kind == LOCK_THREAD_LOCK)
        words.lubricant = "thread-lock";
    return words;
}

const struct phrase *resolve_condition_phrase(struct resolver *r, const struct joint *joint)
{
    struct table_condition words = resolve_condition(r, joint);
    struct phrase *said;

    if (!joint->condition.present)
        return NULL;
    said = words.lubricant != NULL
               ? phrase_word(resolve_say(r, "condition.lubricant"), "lubricant", "lubricant",
                             words.lubricant)
               : resolve_say(r, "condition.lubricant-unknown");
    if (words.plating != NULL)
        said = phrase_then(said, ", ", phrase_word(resolve_say(r, "condition.plating"), "plating",
                                                   "plating", words.plating));
    if (words.fastener != NULL)
        said = phrase_then(said, ", ", phrase_word(resolve_say(r, "condition.fastener"),
                                                   "fastener", "fastener", words.fastener));
    if (joint->condition.name != NULL)
        said = phrase_then(phrase_of_text(r->arena, joint->condition.name), ": ", said);
    return said;
}

const char *resolve_torque_grade(const struct joint *joint)
{
    const struct text *grade = joint->was_grade.text != NULL ? &joint->was_grade : &joint->grade;

    return grade->unknown ? NULL : grade->text;
}

const struct table_grade *resolve_grade(const struct resolver *r, const struct joint *joint)
{
    if (joint->grade.text == NULL || joint->grade.unknown || joint->thread_row == NULL)
        return NULL;
    return table_grade_find(r->tables, joint->grade.text, joint->thread_row->major_pm).grade;
}

/* Width of the face that turns and the hole under it; where no table has the hexagon, a face of
 * 1.5 d on a hole of 1.1 d (proportions of hexagons, common practice, no source). */
static void face(const struct resolver *r, const struct table_thread *thread, double *face_m,
                 double *hole_m, const char **source)
{
    int64_t outside_pm, hole_pm;

    if (table_bearing_face(r->tables, thread, &outside_pm, &hole_pm, source)) {
        *face_m = (double)outside_pm * 1e-12;
        *hole_m = (double)hole_pm * 1e-12;
        return;
    }
    *face_m = 1.5 * (double)thread->major_pm * 1e-12;
    *hole_m = 1.1 * (double)thread->major_pm * 1e-12;
    *source = NULL;
}

bool resolve_screw(struct resolver *r, const struct joint *joint, struct resolve_screw *screw,
                   const char **why)
{
    struct table_condition condition = resolve_condition(r, joint);
    const struct table_thread *thread = joint->thread_row;
    const struct table_friction *friction;
    const char *face_source = NULL;
    double face_m, hole_m;

    *why = NULL;
    if (thread == NULL)
        *why = "the thread is not known";
    else if (condition.lubricant == NULL)
        *why = "the lubricant is not known";
    if (*why != NULL)
        return false;
    friction = table_friction_find(r->tables, condition.lubricant, condition.plating);
    struct table_thread_found found = table_thread_find(r->arena, r->tables, thread->name);
    if (friction == NULL || found.form == NULL || !table_has(friction->thread_low)) {
        *why = str_print(r->arena, "no friction is tabled for %s", condition.lubricant);
        return false;
    }
    face(r, thread, &face_m, &hole_m, &face_source);

    struct calc_bolt bolt = {
        .pitch_m = (double)thread->pitch_pm * 1e-12,
        .pitch_diameter_m = (double)thread->effective_pm * 1e-12,
        .root_m = (double)thread->root_pm * 1e-12,
        .flank_half_deg = found.form->flank_half_angle_deg,
        .bearing_diameter_m = (face_m + hole_m) / 2,
        .mu_thread = friction->thread_low,
        .mu_bearing = table_has(friction->face_low) ? friction->face_low : friction->thread_low,
    };
    screw->slippery = bolt;
    screw->per_newton_low = calc_torque_n_m(&bolt, 1);
    bolt.mu_thread =
        table_has(friction->thread_high) ? friction->thread_high : friction->thread_low;
    bolt.mu_bearing = table_has(friction->face_high) ? friction->face_high : bolt.mu_thread;
    screw->rough = bolt;
    screw->per_newton_high = calc_torque_n_m(&bolt, 1);
    screw->friction = friction;
    screw->friction_high = bolt.mu_thread;
    screw->face_source = face_source;
    return true;
}

void resolve_screw_numbers(struct resolver *r, struct fact *fact, const struct resolve_screw *screw)
{
    const struct {
        const char *name;
        double si;
    } numbers[] = {{"pitch", screw->slippery.pitch_m},
                   {"pitch-diameter", screw->slippery.pitch_diameter_m},
                   {"flank-half-angle", screw->slippery.flank_half_deg},
                   {"face-diameter", screw->slippery.bearing_diameter_m},
                   {"thread-friction-low", screw->slippery.mu_thread},
                   {"thread-friction-high", screw->rough.mu_thread},
                   {"face-friction-low", screw->slippery.mu_bearing},
                   {"face-friction-high", screw->rough.mu_bearing}};

    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++)
        resolve_number(r, fact, numbers[i].name, numbers[i].si);
}

struct phrase *resolve_screw_sources(const struct resolver *r, const struct resolve_screw *screw)
{
    const struct table_friction *friction = screw->friction;
    struct phrase *rubbing = resolve_cite(r, "source.friction", friction->row.source);

    phrase_number(rubbing, "low", str_decimal(r->arena, friction->thread_low, 2));
    phrase_number(rubbing, "high", str_decimal(r->arena, screw->friction_high, 2));
    return phrase_then(rubbing, "; ",
                       screw->face_source != NULL ? build_citation(r->arena, screw->face_source)
                                                  : resolve_say(r, "source.face-practice"));
}
