#!/bin/sh
# Changes every numeric cell of the tables, one at a time and in memory, and asks whether published rows,
# formulas, sums, orders or the checker notice: sh tests/tables.sh [KIND...] prints what survived of these
# kinds, by default of all. Needs the tests' build (tests/run.sh makes it in out/test).
#
# sh tests/tables.sh --mark writes into src/table/data which cells rest on one source: build again after.
set -u
cd "$(dirname "$0")/.."
mutate=${MUTATE:-out/test/tests/mutate_tables}
if [ "${1:-}" = --mark ]; then
    marks=$("$mutate" --marks) || exit 1
    printf '%s\n' "$marks" | python3 tests/mutation/mark.py
    exit
fi
exec "$mutate" "$@"
