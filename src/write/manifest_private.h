/* manifest_private.h - manifest.json: what went into a pack and what came out of it. */
#ifndef GUDGEON_WRITE_MANIFEST_PRIVATE_H
#define GUDGEON_WRITE_MANIFEST_PRIVATE_H

#include <gudgeon/file.h>
#include <gudgeon/hash.h>
#include <gudgeon/write.h>

#define MANIFEST_NAME "manifest.json"

/* A name and what it had: an output and its SHA-256, a card and its fingerprint. */
struct listed {
    const char *name, *hash;
};
struct manifest {
    struct { struct listed *items; size_t count, room; } outputs, cards;
};

/* The manifest of the outputs so far, as text. */
const char *manifest_print(struct context *context, const struct pack *pack,
                           const struct outputs *outputs, const char *version, size_t *size);
/* NULL unless the bytes are a manifest of ours, unchanged since it was written. */
struct manifest *manifest_read(struct arena *arena, const char *bytes, size_t size);
/* The hash listed for a name, or NULL; `manifest` may be NULL. */
const char *manifest_output(const struct manifest *manifest, const char *name);
const char *manifest_card(const struct manifest *manifest, const char *id);

#endif
