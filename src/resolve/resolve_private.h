/* resolve_private.h - what the files of src/resolve share: facts, ranges, verdicts, steps of the
 * stage.
 *
 * A range is a value as arithmetic wants it: two ends, either of which may be open, and how well
 * it is known. Lengths stay exact picometres throughout. */
#ifndef RESOLVE_PRIVATE_H
#define RESOLVE_PRIVATE_H

#include <math.h>
#include <string.h>

#include <gudgeon/resolve.h>

struct resolver {
    struct context *context;
    struct arena *arena;
    const struct table_set *tables;
    const struct spec *spec;
    struct build *build;
    struct {
        const struct part **items;
        size_t count, room;
    } without_material;            /* reported */
    struct { const struct pick_result **items; size_t count, room; } picks;
    struct map picked;             /* by part: where in `picks` its first is */
    struct {
        struct told { enum diag_code code; struct span cause; struct diag *diag; } *items;
        size_t count, room;
    } told;                        /* by what one text of the spec makes wrong at several places */
};

/* --- alike --- */
/* Items of a list that have a key in common, by number: `next` of each in the order of the list, from the
 * first on, which the map knows. */
struct alike {
    struct map first;
    size_t *next, *last;
};
static inline struct alike resolve_alike(struct resolver *r, size_t count)
{
    return (struct alike){.next = ARENA_ARRAY(r->arena, size_t, count + 1),
                          .last = ARENA_ARRAY(r->arena, size_t, count + 1)};
}
/* Number `index` joins those that begin with `first`, which may be itself. Returns `first`. */
static inline size_t resolve_join(struct alike *alike, size_t first, size_t index)
{
    if (first != index)
        alike->next[alike->last[first]] = index;
    alike->last[first] = index;
    return first;
}

/* --- ranges --- */
struct range {
    bool low_set, high_set;
    struct qty low, high;
    bool measured;
    double uncertainty; /* SI; combined by root-sum-square (GUM, JCGM 100, 5.1.2) */
};
bool range_known(struct range range); /* both ends */
struct range range_of_value(const struct qty_value *value);
struct range range_of_fact(const struct fact *fact); /* NULL: unknown */
struct range range_plus(struct range a, struct range b, int times); /* a + times * b */
struct qty range_qty_plus(struct qty a, struct qty b, int times);
struct qty range_qty_times(struct qty a, double factor);
struct qty range_middle(struct range range);
struct qty_value range_value(struct range range);
struct qty_value range_one(struct qty qty);
struct qty_value range_limits(struct qty low, struct qty high);
struct qty_value range_limits_pm(int64_t low_pm, int64_t high_pm, const struct qty_unit *unit);
struct qty range_qty_pm(int64_t pm, const struct qty_unit *unit);
struct qty range_qty_si(double si, enum qty_dim dim, const struct qty_unit *unit);

/* --- facts --- */
struct fact *resolve_fact(struct resolver *r, struct entry *entry, const char *id,
                          enum fact_origin origin);
void resolve_keep(struct resolver *r, struct fact *fact);
/* The values of a joint, size, fit, … are number `place` of their list. */
static inline void resolve_place(struct resolver *r, const void *what, size_t place)
{
    map_put_item(r->arena, &r->build->places, what, place);
}
/* Given by a claim, with source, page, losers; classes looked up. NULL when absent or unknown. */
struct fact *resolve_claim(struct resolver *r, struct entry *entry, const char *id,
                           const struct claim *claim);
/* The same where several facts rest on one claim: made once. */
struct fact *resolve_claim_once(struct resolver *r, struct entry *entry, const char *id,
                                const struct claim *claim);
struct fact *resolve_engine_fact(struct resolver *r, const char *id, const struct claim *claim);
/* What a computed fact rests on; `as` is its name in the formula. NULL and the fact itself are left
 * out. */
void resolve_input(struct resolver *r, struct fact *fact, struct fact *input);
void resolve_input_as(struct resolver *r, struct fact *fact, const char *as, struct fact *input);
/* A figure that the formula takes beside its inputs, in SI. */
void resolve_number(struct resolver *r, struct fact *fact, const char *name, double si);
/* "cylinder-nuts/1.torque" */
char *resolve_id(struct resolver *r, const struct entry *entry, const char *what);
bool resolve_said(const struct claim *claim); /* present and not `unknown` */
const char *resolve_source(struct resolver *r, const struct spec_source *source, const char *page);

/* --- words --- */
const struct qty_unit *resolve_prefer(const struct resolver *r, enum qty_dim dim);
char *resolve_print(const struct resolver *r, struct qty qty); /* both systems */
char *resolve_print_value(const struct resolver *r, const struct qty_value *value);
char *resolve_print_range(const struct resolver *r, struct range range);
char *resolve_distance(const struct resolver *r, struct qty a,
                       struct qty b); /* |a - b| in a's unit */
/* A phrase in English, for a diagnostic. */
const char *resolve_words(const struct resolver *r, const struct phrase *phrase);
/* "expansion in 1e-6/K: {source}": a label with a place for what it rests on. */
struct phrase *resolve_cite(const struct resolver *r, const char *key, const char *source);
/* A phrase without places. */
struct phrase *resolve_say(const struct resolver *r, const char *key);
/* "the sizes allow 0.01..0.02 mm" and its like: one place, `name`, for a range. */
struct phrase *resolve_say_range(const struct resolver *r, const char *key, const char *name,
                                 struct range range);

/* --- diagnostics and questions --- */
/* An error where the entry is critical, else a warning that `accept` may silence. NULL if
 * silenced. */
struct diag *resolve_fault(struct resolver *r, struct entry *entry, enum diag_code error,
                           enum diag_code warning, struct span span, const char *format, ...)
    STR_PRINTF(6, 7);
/* Asks label question.ASKS, settled by settles.SETTLES, of an entry (NULL: the engine) or of
 * something that belongs to it (`about`); what the two name besides is for the caller to fill in. */
struct question *resolve_ask(struct resolver *r, struct entry *entry, const char *about,
                             struct span span, const char *asks, const char *settles);
/* What was told with this code of one text of the spec, which stands for several members: NULL the
 * first time; resolve_tell remembers it (silenced ones are none). */
struct diag *resolve_told(const struct resolver *r, enum diag_code code, struct span cause);
void resolve_tell(struct resolver *r, enum diag_code code, struct span cause, struct diag *diag);
/* Hint or nothing: `diag` may be NULL (silenced). */
void resolve_hint(struct resolver *r, struct diag *diag, const char *format, ...) STR_PRINTF(3, 4);
void resolve_label(struct resolver *r, struct diag *diag, struct span span, const char *format, ...)
    STR_PRINTF(4, 5);
/* A hint that is an edit: `text` put in at the end of the entry's mapping cannot be made safely for
 * every style of YAML, so only values are replaced. */
void resolve_edit(struct resolver *r, struct diag *diag, struct span span, const char *text);

/* --- measuring --- */
/* The readings that count (the latest phase), as extremes with uncertainty; unknown if none. Warns
 * about gauges once. */
/* Where the reading stands that is farthest out of `limits`, of those that count; there is one. */
struct span resolve_worst_span(const struct readings *readings, const struct fact *limits);
struct range resolve_readings(struct resolver *r, struct entry *entry,
                              const struct readings *readings, const char *using);
/* The readings that count were taken at strip. */
bool resolve_as_found(const struct readings *readings);
/* The same as a fact; `range` is known at both ends. */
struct fact *resolve_reading_fact(struct resolver *r, struct entry *entry, const char *id,
                                  const struct readings *readings, struct range range);
/* Judges; `judged` gets side and distance. want, worn: NULL where there are none. */
enum verdict resolve_verdict(const struct resolver *r, struct range found, const struct fact *want,
                             const struct fact *worn, struct phrase **judged);
const struct gauge *resolve_gauge(const struct resolver *r, const char *id);

/* --- materials --- */
struct resolve_expansion {
    double per_k;
    const char *source;
};
struct resolve_metal {
    const char *name;
    double expansion_per_k, modulus_pa, tensile_pa, shear_pa; /* NAN where not known */
    double modulus_low_pa, modulus_high_pa; /* where the source gives a range */
    double poisson;                         /* 0.3 where no source has it: common practice */
    const char *family;
    const char *source;
    const char *expansion_source;
    struct resolve_expansion rivals[8]; /* what other sources, or the ends of a range, have instead */
    size_t rival_count;
};
/* Warns that the part says no material, so that `what` cannot be worked out: once a part. */
void resolve_no_material(struct resolver *r, struct entry *entry, struct part *part,
                         struct span span, const char *what);
/* False when the part says no material that is known. Rolling bearings are of bearing steel. */
bool resolve_metal(const struct resolver *r, const struct part *part, struct resolve_metal *metal);
struct qty resolve_room(const struct resolver *r); /* temperature; 20 degC (ISO 1) by default */

/* Kind, hot clearance and heat of a fit, once its clearance is settled. */
void resolve_finish_fit(struct resolver *r, struct fit_values *values);

void resolve_press_fit(struct resolver *r, struct fit_values *values);
/* What the fit is at runs-at, and in `more` where it lets go and what other figures would say. */
struct fact *resolve_hot(struct resolver *r, struct fit_values *values);
/* Temperatures to make the parts ready at; the chill first, the heat makes up the rest. */
struct fact *resolve_chill_to(struct resolver *r, struct fit_values *values);
struct fact *resolve_heat_to(struct resolver *r, struct fit_values *values);
/* A clearance asked for while parts go together, else that of practice. */
struct fact *resolve_gap(struct resolver *r, struct fit *fit, const char *what,
                         const struct claim *claim, struct span span);
/* A share of a change of temperature that is lost on the way; 0 where none is said, or after an
 * error because it is all of it. */
double resolve_share(struct resolver *r, const struct claim *claim);
double resolve_fit_diameter_m(const struct resolver *r, const struct fit *fit);

/* --- the steps of the stage, in this order --- */
void resolve_bearings(struct resolver *r);
void resolve_sizes(struct resolver *r);
void resolve_joints(struct resolver *r);
void resolve_fits(struct resolver *r);
void resolve_limits(struct resolver *r);
void resolve_picks(struct resolver *r);
void resolve_judge(struct resolver *r); /* verdicts of fits and limits, once picks are known */
void resolve_clearances(struct resolver *r); /* inside bearings, once fits are settled */
void resolve_settings(struct resolver *r);
void resolve_timing(struct resolver *r); /* rims, teeth and valve timing, from the settings */
void resolve_offers(struct resolver *r);
void resolve_gaskets(struct resolver *r);
void resolve_purchases(struct resolver *r);
void resolve_weight(struct resolver *r);
void resolve_questions(struct resolver *r);
void resolve_complete(struct resolver *r);

/* What a limit is by its formula, in `unit` where that is not NULL; NULL after a question or an
 * error. */
struct fact *resolve_by_formula(struct resolver *r, struct limit *limit,
                                const struct qty_unit *unit);
/* Largest less smallest of a set; NULL after a question. */
struct fact *resolve_by_spread(struct resolver *r, struct limit_values *values);
/* The size of a part by its name; where it has one at each place, that of `place`. */
struct size *resolve_size_named(const struct part *part, const char *name, const char *place);
/* A quantity, a size or a weight as a fact; `id` is that of the quantity. NULL: not known. */
struct fact *resolve_formula_input(struct resolver *r, struct entry *entry, const char *id,
                                   const struct formula_input *input);

/* True where the wear limit contradicts what is allowed new: an error of its own. */
bool resolve_wear_is_inside(const struct fact *want, const struct fact *worn);

/* parts of resolve_joints */
void resolve_torque(struct resolver *r, struct joint_values *values);
void resolve_ceiling(struct resolver *r, struct joint_values *values);
/* The pull in the bolt that the torque gives, within the friction of the condition. */
void resolve_preload(struct resolver *r, struct joint_values *values);
void resolve_wrench(struct resolver *r, struct joint_values *values);
/* So little that it was reported as a slip of the unit. */
bool resolve_torque_is_slight(const struct joint_values *values);
/* The condition in canonical words. */
struct table_condition resolve_condition(const struct resolver *r, const struct joint *joint);
const struct phrase *resolve_condition_phrase(struct resolver *r, const struct joint *joint);
/* Torque for a preload, from thread, friction range and bearing face (ISO 16047 form). False when a
 * value is missing; `why` says which. */
struct resolve_screw {
    struct calc_bolt slippery, rough; /* at the lowest and highest friction */
    double per_newton_low, per_newton_high; /* torque per preload of the two */
    const struct table_friction *friction;
    double friction_high;
    const char *face_source; /* NULL: proportions of hexagons, common practice */
};
bool resolve_screw(struct resolver *r, const struct joint *joint, struct resolve_screw *screw,
                   const char **why);
/* What went into the two, as numbers of a fact. */
void resolve_screw_numbers(struct resolver *r, struct fact *fact, const struct resolve_screw *screw);
struct phrase *resolve_screw_sources(const struct resolver *r, const struct resolve_screw *screw);
const struct table_grade *resolve_grade(const struct resolver *r, const struct joint *joint);
/* The grade that the torque is for: a better one that is fitted changes nothing. NULL: unsaid. */
const char *resolve_torque_grade(const struct joint *joint);

/* A face that does not say with what it seals. */
bool resolve_seal_is_bare(const struct seal *seal);

/* Some part is in nothing and in no list: what it is for was not said. */
bool resolve_has_part_nowhere(const struct resolver *r);

/* parts of resolve_complete */
void resolve_complete_joints(struct resolver *r);
void resolve_complete_parts(struct resolver *r);
void resolve_complete_ways(struct resolver *r);
void resolve_complete_limits(struct resolver *r);
void resolve_complete_history(struct resolver *r);
void resolve_complete_idle(struct resolver *r);

/* --- finding --- */
struct size_values *resolve_size_values(const struct resolver *r, const struct size *size);
/* What a size counts with in fits and stacks: measured, else ordered from outwork, else its
 * limits. */
struct range resolve_size_range(const struct resolver *r, const struct size *size,
                                struct fact **fact);
struct part *resolve_part(const struct ref *ref); /* the first part it means, or NULL */
bool resolve_is_bought(const struct part *part);
/* Lays the gaskets out that are cut from build.sheets[index]. */
void resolve_lay_out(struct resolver *r, size_t index);
/* The gasket that the part is cut as, or NULL. */
struct gasket *resolve_gasket(const struct build *build, const struct part *part);
/* All joints together. */
int64_t resolve_used(const struct part *part);

#endif
