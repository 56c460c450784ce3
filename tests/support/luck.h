/* luck.h - random builds that a seed brings back: a linear congruential generator of 64 bits (the
 * multiplier and the increment of MMIX), of which the upper bits are used. */
#ifndef GUDGEON_TESTS_LUCK_H
#define GUDGEON_TESTS_LUCK_H

#include <stdbool.h>
#include <stdint.h>

struct luck {
    uint64_t state;
};

static inline unsigned pick(struct luck *luck, unsigned below)
{
    luck->state = luck->state * 6364136223846793005u + 1442695040888963407u;
    return (unsigned)(luck->state >> 33) % below;
}

static inline bool chance(struct luck *luck, unsigned percent)
{
    return pick(luck, 100) < percent;
}

#endif
