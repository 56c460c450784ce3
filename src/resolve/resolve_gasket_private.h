/* resolve_gasket_private.h - outlines, and the gaskets that are cut to them. */
#ifndef RESOLVE_GASKET_PRIVATE_H
#define RESOLVE_GASKET_PRIVATE_H

#include "resolve_private.h"

/* The shape that the part is cut to, checked; NULL after an error. The part has an outline. */
const struct outline_shape *resolve_outline(struct resolver *r, struct outline_engine *engine,
                                            struct part *part);

#endif
