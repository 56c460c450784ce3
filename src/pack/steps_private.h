/* steps_private.h - what the files of steps share: fields and squares, and a filler a verb. */
#ifndef GUDGEON_STEPS_PRIVATE_H
#define GUDGEON_STEPS_PRIVATE_H

#include "pack_private.h"

/* --- what stands at the right of a step --- */
struct step_check *step_check(struct packer *packer, struct step_block *step, int kind,
                              const char *id, const char *words);
void step_tick(struct packer *packer, struct step_block *step, const char *words);
void step_reading(struct packer *packer, struct step_block *step, const char *id,
                  const char *limit, const char *unit);
/* The unit in which a fact is read, or NULL. */
/* What else was worked out of an entry: a field each, by the end of its id. */
void step_more(struct packer *packer, struct step_block *step, const struct facts *more);
const char *step_unit(const struct fact *fact);

/* --- fields --- */
/* A given value, and what other sources say of it. */
void step_claim(struct packer *packer, struct step_block *step, const char *key,
                const struct claim *claim);
void step_sources(struct packer *packer, struct step_block *step, const struct claim *claim);
void step_text_sources(struct packer *packer, struct step_block *step, const struct text *text);

/* What a part is called in the books, how many, what it belongs with. */
void step_part(struct packer *packer, struct step_block *step, struct part *part);
/* Joints with the way they are reached: "Retainer screws (through the timing opening)", or NULL. */
const char *text_of_fixings(struct packer *packer, struct entry *const *joints, size_t count);

/* --- fillers --- */
void fill_stock(struct packer *packer, struct step_block *step, const struct operation *op);
void fill_clean(struct packer *packer, struct step_block *step, const struct operation *op);
void fill_inspect(struct packer *packer, struct step_block *step, const struct operation *op);
void fill_slacken(struct packer *packer, struct step_block *step, const struct operation *op);
void fill_tighten(struct packer *packer, struct step_block *step, const struct operation *op);
void fill_retighten(struct packer *packer, struct step_block *step, const struct operation *op);
void fill_nip(struct packer *packer, struct step_block *step, const struct operation *op);
void fill_lock(struct packer *packer, struct step_block *step, const struct operation *op);
void fill_read(struct packer *packer, struct step_block *step, const struct operation *op);
void fill_set(struct packer *packer, struct step_block *step, const struct operation *op);

#endif
