/* dump.h - any stage as JSON with stable order: --dump and build.json. */
#ifndef GUDGEON_DUMP_H
#define GUDGEON_DUMP_H

#include <gudgeon/pack.h>

/* build.json: every value of the spec, every fact with unit, limits, derivation and source, the
 * order with reasons, purchases, open questions, accepted warnings. */
void dump_build(struct context *context, const struct plan *plan, struct json *json);

#endif
