/* test_arena.h - an arena a test: `.init = test_arena_start, .fini = test_arena_stop`. */
#ifndef GUDGEON_TEST_ARENA_H
#define GUDGEON_TEST_ARENA_H

#include <gudgeon/arena.h>

extern struct arena *arena; /* of the test that runs; running out of it fails the test */

void test_arena_start(void);
void test_arena_stop(void);

#endif
