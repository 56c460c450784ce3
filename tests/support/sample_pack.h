/* sample_pack.h - an invented pack with every kind of block, for tests of src/draw and src/write. */
#ifndef GUDGEON_TESTS_SAMPLE_PACK_H
#define GUDGEON_TESTS_SAMPLE_PACK_H

#include <gudgeon/write.h>

/* `template` NULL: A4, margins of the built-in template, labels of `labels`. */
struct pack *sample_pack(struct arena *arena, const struct template *template);
/* The same with `cards` cards of `steps` steps, and words of `letters` letters without a blank. */
struct pack *sample_pack_of(struct arena *arena, const struct template *template, size_t cards,
                            size_t steps, size_t letters);

#endif
