#!/bin/sh
# The runner must notice: a case that fails, one that leaks, one that aborts, one that runs nothing,
# a script that prints no case, and a kind of test that shrank. Each is run through it here.
set -u
here=$(mktemp -d)
trap 'rm -rf "$here"' EXIT

cat >"$here/test.c" <<'C'
#include <criterion/criterion.h>
#include <stdlib.h>
#if defined FAILING
Test(self, fails) { cr_assert(0); }
#elif defined LEAKING
Test(self, leaks) { void *volatile lost = malloc(32); lost = NULL; cr_assert(lost == NULL); }
#elif defined ABORTING
Test(self, aborts) { abort(); }
#elif defined PASSING
Test(self, passes) { cr_assert(1); }
#endif
C
for kind in FAILING LEAKING ABORTING NOTHING PASSING; do
    gcc -D$kind -fsanitize=address "$here/test.c" -o "$here/test_$kind" -lcriterion || exit 1
done

attempt() # COMMAND...: the run's exit status with that one check in it
{
    (
        . tests/support/runner.sh
        runner_begin
        COUNTS=$here/counts
        "$@"
        runner_end
    ) >"$here/log" 2>&1
}
expect() # WANTED NAME COMMAND...
{
    wanted=$1 name=$2
    shift 2
    attempt "$@"
    got=$?
    [ "$got" -ne 0 ] && got=1
    if [ "$got" -eq "$wanted" ]; then
        echo "ok $name"
    else
        echo "not ok $name: the run ended with $got"
        cat "$here/log"
    fi
}

: >"$here/counts"
expect 0 "a passing case passes" run_criterion "$here/test_PASSING"
expect 1 "a failing case fails the run" run_criterion "$here/test_FAILING"
expect 1 "a leaking case fails the run" run_criterion "$here/test_LEAKING"
expect 1 "an aborting case fails the run" run_criterion "$here/test_ABORTING"
expect 1 "a binary without tests fails the run" run_criterion "$here/test_NOTHING"
expect 0 "a script that says ok passes" run_script script echo "ok one"
expect 1 "a script that says not ok fails the run" run_script script echo "not ok one: why"
expect 1 "a silent script fails the run" run_script script true
expect 1 "a script that exits badly fails the run" run_script script sh -c 'echo "ok one"; exit 4'
echo "script 2" >"$here/counts"
expect 1 "a kind of test that shrank fails the run" run_script script echo "ok one"
