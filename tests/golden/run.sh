#!/bin/sh
# Each tests/golden/STAGE/CASE.yaml with a CASE.expect beside it is checked by the program; what it says
# on standard error must be the .expect, byte for byte. A first line "# run: WORDS" gives another command
# than `check`; then standard output comes before standard error. UPDATE_GOLDEN=1 rewrites.
set -u
cd "$(dirname "$0")/../.."
program=${CHECKED:-out/test/gudgeon}
got=$(mktemp)
trap 'rm -f "$got" "$got.err"' EXIT

for expect in tests/golden/*/*.expect; do
    case=${expect%.expect}.yaml
    [ -e "$case" ] || { echo "not ok $expect: it has no .yaml beside it"; continue; }
    words=$(sed -n '1s/^# run: //p' "$case")
    # shellcheck disable=SC2086 # words of a command
    if [ -n "$words" ]; then
        set -- $words
        command=$1
        shift
        "$program" "$command" "$case" "$@" >"$got" 2>"$got.err"
        cat "$got.err" >>"$got"
    else
        "$program" check "$case" 2>"$got" >/dev/null
    fi
    if [ -n "${UPDATE_GOLDEN:-}" ]; then
        cmp -s "$got" "$expect" || { cp "$got" "$expect"; echo "updated $expect"; }
    fi
    if cmp -s "$got" "$expect"; then
        echo "ok $case"
    else
        echo "not ok $case: what it says has changed"
        diff "$expect" "$got" | head -n 20
    fi
done
