/* test_arena.c - the arena that the tests of the tables share. */
#include "test_arena.h"

#include <criterion/criterion.h>

struct arena *arena;

static void exhausted(void *user)
{
    (void)user;
    cr_assert_fail("the arena is exhausted");
}

void test_arena_start(void)
{
    arena = arena_new(0, exhausted, NULL);
}

void test_arena_stop(void)
{
    arena_free(arena);
}
