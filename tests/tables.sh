#!/bin/sh
# Changes every numeric cell of the tables, one at a time and in memory, and asks whether published rows,
# formulas, sums, orders or the checker notice: sh tests/tables.sh [KIND...] prints what survived of these
# kinds, by default of all. Needs the tests' build (tests/run.sh makes it in out/test).
set -u
cd "$(dirname "$0")/.."
exec "${MUTATE:-out/test/tests/mutate_tables}" "$@"
