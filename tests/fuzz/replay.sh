#!/bin/sh
# Each fuzz target over all goldens and over tests/fuzz/corpus/TARGET, with sanitizers. A crash ends a
# target and is its fault; the files before it are counted.
set -u
cd "$(dirname "$0")/../.."
library=${LIBRARY:-out/test/libgudgeon.a}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

for target in tests/fuzz/fuzz_*.c; do
    name=$(basename "$target" .c)
    # shellcheck disable=SC2046 # words of a command
    gcc -std=c17 -D_GNU_SOURCE -g -O1 -fsanitize=address,undefined -fno-sanitize-recover=all -Iinclude \
        "$target" tests/fuzz/replay.c "$library" \
        $(cat "$(dirname "$library")/libraries") -o "$work/$name" ||
        { echo "not ok $name: does not build"; continue; }
    find tests/golden specs "tests/fuzz/corpus/${name#fuzz_}" -type f \
        \( -name '*.yaml' -o -name '*.csv' -o -path '*/corpus/*' \) 2>/dev/null | sort >"$work/files"
    xargs -n 200 "$work/$name" <"$work/files" >"$work/log" 2>&1 ||
        echo "not ok $name: stopped after $(grep '^ok' "$work/log" | tail -n 1)"
    sed "s/^\(not \)\{0,1\}ok /&$name /; /^ok\|^not ok/!s/^/# /" "$work/log"
done
