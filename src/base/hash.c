/* hash.c - SHA-256. */
#include <gudgeon/hash.h>

#include <nettle/sha2.h>

char *hash_sha256_hex(struct arena *arena, const void *bytes, size_t size)
{
    static const char digits[] = "0123456789abcdef";
    struct sha256_ctx state;
    uint8_t digest[SHA256_DIGEST_SIZE];
    char *text = arena_alloc(arena, 2 * SHA256_DIGEST_SIZE + 1);

    sha256_init(&state);
    sha256_update(&state, size, bytes);
    sha256_digest(&state, sizeof digest, digest);
    for (size_t i = 0; i < sizeof digest; i++) {
        text[2 * i] = digits[digest[i] >> 4];
        text[2 * i + 1] = digits[digest[i] & 15];
    }
    return text;
}
