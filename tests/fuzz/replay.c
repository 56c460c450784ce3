/* replay.c - runs a fuzz target once over each file named: what was found once stays mended, and any
 * compiler can try it. */
#include <gudgeon/file.h>
#include <stdio.h>

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size);

int main(int count, char **paths)
{
    struct arena *arena = arena_new(0, NULL, NULL);

    for (int i = 1; i < count; i++) {
        struct file_bytes bytes = file_read(arena, paths[i], 1 << 24);
        if (bytes.status != FILE_OK) {
            printf("not ok %s: %s\n", paths[i], bytes.why != NULL ? bytes.why : "too large");
            continue;
        }
        LLVMFuzzerTestOneInput((const uint8_t *)bytes.bytes, bytes.size);
        printf("ok %s\n", paths[i]);
    }
    arena_free(arena);
    return 0;
}
