/* pack_private.h - what the files of this folder share: the packer, and small ways to add blocks. */
#ifndef GUDGEON_PACK_PRIVATE_H
#define GUDGEON_PACK_PRIVATE_H

#include <gudgeon/pack_make.h>

#include <string.h>

enum pack_part { PART_COVER, PART_OVERVIEW, PART_CARDS, PART_TORQUES, PART_LIMITS, PART_SETTINGS,
                 PART_FOLLOW_UP, PART_SOURCES, PART_QUESTIONS, PART_ACCEPTED, PART_COUNT };

/* The template with what only this folder needs to know. */
struct layout {
    struct template template;
    enum pack_part parts[PART_COUNT];
    size_t part_count;
};

/* --- steps --- */
struct step_block *step_of(struct packer *packer, const struct operation *operation);
void step_field(struct packer *packer, struct step_block *step, const char *label_key,
                const char *text);
void step_field_strong(struct packer *packer, struct step_block *step, const char *label_key,
                       const char *text);
/* What else was worked out of an entry: a field each, by the end of its id. */
void step_more(struct packer *packer, struct step_block *step, const struct facts *more);
/* The id of a reading: an operation's id without its verb. */
const char *reading_id(const struct operation *operation);
/* The id of its torque readings, without their numbers; one tightening has one. */
const char *torque_id(struct packer *packer, const struct operation *operation);
/* How many ticks and readings a joint's torque has: one, or one a fastener where it is critical. */
int64_t torque_readings(const struct joint *joint);

/* --- sections --- */
void add_cover(struct packer *packer);
void add_overview(struct packer *packer);
/* The order at a glance: figures of one or two pages. */
void add_lanes(struct packer *packer);
void add_cards(struct packer *packer);
void add_summary(struct packer *packer, enum pack_part part);
/* What rests on each source, and what is not known yet: on the cards and in the sheets. */
struct table *source_table(struct packer *packer);
struct table *question_table(struct packer *packer);
/* "bench, assembled": when a limit is read, or NULL */
const char *text_of_moments(struct packer *packer, unsigned when);
void add_sheets(struct packer *packer);
void add_readings(struct packer *packer);
void add_tags(struct packer *packer);
void add_gaskets(struct packer *packer);
/* Every joint's fasteners, "6 × Head nut, 6 × Washer", or NULL. */
const char *text_of_hardware(struct packer *packer, const struct joint *joint);
void add_kit(struct packer *packer, struct section *section, const struct plan_card *card);
/* The figure that an operation is shown by, after its step; none for most. */
void add_figure(struct packer *packer, struct section *section, const struct operation *operation);
/* A piece in hand, not yet or no longer of the build: how it is fitted does not matter then. */
bool is_of_piece(const struct operation *operation);
/* Sources of every value that an operation prints. */
void add_sources(struct packer *packer, struct section *section, const struct operation *operation);
/* What a card is called: by the plan, or what is measured loose from where on. */
const char *card_title(struct packer *packer, const struct plan_card *card);
/* The state on resuming, in labels and names. */
const char *state_before(struct packer *packer, const struct plan_card *card);
/* A user's own words, or those of the label set. */
const char *caution_text(struct packer *packer, const struct table_caution *caution);
/* Cautions that the facts of an operation call for, in table order. */
void cautions_of(struct packer *packer, const struct operation *operation,
                 void (*each)(struct packer *, void *, const struct table_caution *), void *user);
/* Those that the whole card calls for: its phase, the engine's duty. */
void cautions_of_card(struct packer *packer, const struct plan_card *card,
                      void (*each)(struct packer *, void *, const struct table_caution *),
                      void *user);
void fingerprint_section(struct packer *packer, struct section *section);
void dump_section(const struct section *section, struct json *json, bool whole);

const struct layout *layout_load(struct context *context, const char *path);

#endif
