#!/bin/sh
# How long ordering and checking take at 100,000 operations: sh tests/bench/run.sh
# One line a claim, "ok" or "not ok"; figures in lines with #. Best on a machine with nothing else to do.
set -u
cd "$(dirname "$0")/../.."
. specs/need.sh
need $build_packages coreutils python3
build out/bench -DCMAKE_BUILD_TYPE=Release -DGUDGEON_WERROR=ON -DGUDGEON_BENCH=ON
pairs=$(mktemp)
trap 'rm -f "$pairs"' EXIT
out/bench/tests/bench/bench_order "$pairs"
out/bench/tests/bench/bench_sheets
GUDGEON=out/bench/gudgeon python3 tests/bench/check.py
