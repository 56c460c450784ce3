/* hash.h - SHA-256 (FIPS 180-4, by nettle): what files and cards are known by. */
#ifndef GUDGEON_HASH_H
#define GUDGEON_HASH_H

#include <gudgeon/arena.h>

/* 64 lower-case hexadecimal digits. */
char *hash_sha256_hex(struct arena *arena, const void *bytes, size_t size);

#endif
