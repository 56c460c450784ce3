#!/bin/sh
# Fuzzes each target for some seconds: sh tests/fuzz/run.sh [SECONDS [TARGET...]]. What is found stands
# in out/fuzz and, once mended, goes to tests/fuzz/corpus/TARGET or becomes a golden.
set -u
cd "$(dirname "$0")/../.."
seconds=${1:-120}
[ $# -gt 0 ] && shift
[ $# -gt 0 ] || set -- $(basename -a -s .c tests/fuzz/fuzz_*.c | sed 's/^fuzz_//')
checks=address,undefined
mkdir -p out/fuzz

if ! { cmake -S . -B out/fuzz/build -G Ninja -DCMAKE_BUILD_TYPE=Debug -DCMAKE_C_COMPILER=clang \
           -DCMAKE_C_FLAGS="-O1 -fsanitize=fuzzer-no-link,$checks -fno-sanitize-recover=all" &&
       ninja -C out/fuzz/build gudgeon_lib; } >out/fuzz/log 2>&1; then
    tail -n 20 out/fuzz/log
    echo "not ok the library does not build for fuzzing"
    exit 1
fi
for target in "$@"; do
    case $target in
    qty) most=400 ;;       # some lines, each tried as every dimension
    compile) most=24000 ;; # the smaller demo engine
    *) most=4000 ;;
    esac
    # shellcheck disable=SC2046 # words of a command
    clang -std=c17 -D_GNU_SOURCE -g -O1 -fsanitize=fuzzer,$checks -fno-sanitize-recover=all -DFUZZING -Iinclude \
        "tests/fuzz/fuzz_$target.c" out/fuzz/build/libgudgeon.a \
        $(cat out/fuzz/build/libraries) \
        -o "out/fuzz/$target" || { echo "not ok $target: does not build"; continue; }
    mkdir -p "out/fuzz/corpus-$target"
    find tests/golden specs "tests/fuzz/corpus/$target" -type f \
        \( -name '*.yaml' -o -name '*.csv' -o -path '*/corpus/*' \) -size -"$most"c 2>/dev/null |
        while read -r seed; do
            cp "$seed" "out/fuzz/corpus-$target/$(echo "$seed" | tr / _)"
        done
    if "out/fuzz/$target" -max_total_time="$seconds" -max_len="$most" -timeout=20 \
            -artifact_prefix="out/fuzz/$target-" "out/fuzz/corpus-$target" >"out/fuzz/$target.log" 2>&1; then
        echo "ok $target: $(grep -c . "out/fuzz/$target.log") lines in out/fuzz/$target.log, no finding"
    else
        grep -m1 -A12 'ERROR\|SUMMARY\|Assertion' "out/fuzz/$target.log"
        echo "not ok $target: see out/fuzz/$target.log"
    fi
done
