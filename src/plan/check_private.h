/* check_private.h - the replay's own view of a build: where each part is made up and when each
 * operation stands. Nothing here comes from the solver. */
#ifndef GUDGEON_CHECK_PRIVATE_H
#define GUDGEON_CHECK_PRIVATE_H

#include <gudgeon/plan.h>

enum { NEVER = -2, START = -1 }; /* beside positions in the list, from 0 */

struct moment_at { /* a reading again, or a proof, and of what */
    const struct entry *object;
    long at;
};
struct seat { /* what the replay keeps of one entry */
    struct entry *entry;
    long at[VERB_COUNT];      /* in the build, outside trials; NEVER */
    unsigned times[VERB_COUNT];
    unsigned due[VERB_COUNT]; /* how often the facts call for it there */
    long bench, assembled, strip_read;
    long stripped;            /* part removed, joint slackened, in the strip */
    long strip_fit;           /* slave part put in again in the strip */
    unsigned strip_times, strip_reads, strip_fits;
    long first, last;         /* of the build */
    struct { struct moment_at *items; size_t count, room; } again, proofs;
    struct part *unit;        /* parts: made up on it; NULL: on the engine */
    struct { struct part **items; size_t count, room; } on_it;      /* parts: children */
    struct { struct part **items; size_t count, room; } made_on;    /* parts: whose unit it is */
    size_t taken, climbed;    /* the last list that took it, the last climb that met it */
    struct { struct joint **items; size_t count, room; } held_by;
    bool is_unit, moves, made;
    struct part *leader;      /* goes in with it, at the same moment */
    size_t group;             /* joints: those pulled together with it have the same */
    bool grouped;             /* joints: there are others in its group */
};
struct checker {
    struct arena *arena;
    const struct build *build;
    const struct spec *spec;
    struct operation *const *ops;
    size_t count;
    struct plan_fault *fault;
    struct seat *seats;
    size_t *slots;            /* entry -> seat, open addressing */
    size_t slot_count;
    size_t *lists;            /* part lists and climbs made so far */
};

struct part_list { struct part **items; size_t count, room, number; };

struct seat *check_seat(const struct checker *c, const void *entry);
struct part *check_mover(struct part *part);  /* what moves when it moves: past hosts that stay */
struct part *check_home(const struct checker *c, struct part *part); /* the unit it is, or is in */
struct part *check_common(const struct checker *c, struct part *a, struct part *b);
bool check_within(const struct checker *c, struct part *unit, const struct part *outer);
long check_in(const struct checker *c, struct part *part);           /* its own going in */
long check_arrival(const struct checker *c, struct part *part, struct part *unit);
long check_out(const struct checker *c, struct part *part, struct part *unit); /* in the strip */
struct part_list check_parts_of(const struct checker *c, struct entry *entry);
struct part *check_where(const struct checker *c, struct entry *entry);
bool check_together(const struct checker *c, const struct entry *a, const struct entry *b);
bool check_lists(const struct refs *refs, const void *entry);
bool check_fail(struct checker *c, int implication, long at, const char *format, ...)
    STR_PRINTF(4, 5);

bool check_phases(struct checker *c);   /* check_phases.c: what stands before and after the build */
bool check_strip(struct checker *c);    /* check_strip.c: the same facts in reverse */
bool check_metal(struct checker *c);    /* check_metal.c: 1 2 4 5 12 */
bool check_work(struct checker *c);     /* check_work.c: 3 6 7 8 9 10 11 13 */
bool check_runs(struct checker *c);     /* check_runs.c: 14, and 6 and 9 after a run */

/* All of `parts` in and tight at position `at`, no further out than `where`; `loose` may be slack. */
bool check_in_and_tight(struct checker *c, int implication, struct entry *entry,
                        const struct part_list *parts, struct part *where,
                        const struct joint *loose, long at);
/* What `entry` picks is fitted after position `at`. */
bool check_picks(struct checker *c, const struct refs *pick, const struct entry *entry, long at);
/* Work of the joint `user`, or of one pulled in turns with it, that may stand before its lock. */
bool check_of_lock(const struct checker *c, const struct operation *op, const void *user);
/* Everything between two positions passes `allowed`. */
bool check_between(struct checker *c, long from, long to,
                   bool (*allowed)(const struct checker *, const struct operation *, const void *),
                   const void *user, long *stranger);

#endif
