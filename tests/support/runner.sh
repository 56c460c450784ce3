# runner.sh - sourced by run.sh and by the self-test: runs checks, counts cases, hears sanitizers.

need_tools()
{
    for tool in "$@"; do
        command -v "$tool" >/dev/null 2>&1 || { echo "the tool '$tool' is missing" >&2; exit 3; }
    done
}

runner_begin()
{
    passed=0
    failed=0
    work=$(mktemp -d)
    kinds=$work/kinds
    : >"$kinds"
    # Criterion passes a test that leaks, so a sanitizer writes to a file and any file fails the run.
    ASAN_OPTIONS=detect_leaks=1:abort_on_error=0:log_path=$work/sanitizer
    UBSAN_OPTIONS=print_stacktrace=1:log_path=$work/sanitizer
    export ASAN_OPTIONS UBSAN_OPTIONS
    trap 'rm -rf "$work"' EXIT
}

count_kind() # KIND PASSED FAILED
{
    passed=$((passed + $2))
    failed=$((failed + $3))
    echo "$1 $2" >>"$kinds"
}

heard_sanitizer() # NAME: any report since the last call fails
{
    for report in "$work"/sanitizer.* "$work/sanitizer-$1".*; do
        [ -e "$report" ] || continue
        echo "not ok $1: a sanitizer reported:"
        head -n 25 "$report"
        rm -f "$report"
        failed=$((failed + 1))
    done
}

seconds() # FROM TO
{
    awk -v from="$1" -v to="$2" 'BEGIN { printf "%.1f s", to - from }'
}

# One binary, its log and exit status left in the folder $2. One job: with more, Criterion now and then
# loses a message of its own at the end, which the leak check takes for ours.
criterion_run='name=$(basename "$1") begun=$(date +%s.%N)
    export ASAN_OPTIONS="$ASAN_OPTIONS:log_path=$2/sanitizer-$name" UBSAN_OPTIONS="$UBSAN_OPTIONS:log_path=$2/sanitizer-$name"
    "$1" --color=never -j1 >"$2/$name.log" 2>&1
    echo "$? $begun $(date +%s.%N)" >"$2/$name.status"'

run_criterion() # BINARY...: two at a time
{
    printf '%s\n' "$@" | xargs -P 2 -I BINARY sh -c "$criterion_run" sh BINARY "$work"
    for binary in "$@"; do
        judge_criterion "$(basename "$binary")"
    done
}

judge_criterion() # NAME
{
    name=$1
    read -r status begun ended <"$work/$name.status"
    summary=$(sed -n 's/.*Synthesis: Tested: \([0-9]*\) | Passing: \([0-9]*\) | Failing: \([0-9]*\) .*/\1 \2 \3/p' "$work/$name.log")
    # shellcheck disable=SC2086 # three numbers
    set -- $summary
    tested=${1:-0} passing=${2:-0} failing=${3:-0}
    if [ "$status" -ne 0 ] || [ "$tested" -eq 0 ] || [ "$failing" -ne 0 ]; then
        cat "$work/$name.log"
        [ "$failing" -eq 0 ] && failing=1
        echo "not ok $name: $tested tested, $failing failed, exit status $status"
    else
        echo "ok $name: $tested tests, $(seconds "$begun" "$ended")"
    fi
    count_kind "$name" "$passing" "$failing"
    heard_sanitizer "$name"
}

run_script() # NAME COMMAND...
{
    name=$1 begun=$(date +%s.%N)
    shift
    "$@" >"$work/log" 2>&1
    status=$?
    oks=$(grep -c '^ok ' "$work/log")
    nots=$(grep -c '^not ok ' "$work/log")
    if [ "$status" -ne 0 ] || [ "$nots" -ne 0 ] || [ "$oks" -eq 0 ]; then
        cat "$work/log"
        [ "$nots" -eq 0 ] && nots=1
        echo "not ok $name: $oks passed, $nots failed, exit status $status"
    else
        grep -v '^ok ' "$work/log"
        echo "ok $name: $oks cases, $(seconds "$begun" "$(date +%s.%N)")"
    fi
    count_kind "$name" "$oks" "$nots"
    heard_sanitizer "$name"
}

# tests/counts holds the least number of cases of each kind; it only grows.
check_counts()
{
    while read -r kind least; do
        had=$(awk -v kind="$kind" '$1 == kind { n += $2 } END { print n + 0 }' "$kinds")
        if [ "$had" -lt "$least" ]; then
            echo "not ok counts: $kind ran $had cases, at least $least stood before"
            failed=$((failed + 1))
        fi
    done <"${COUNTS:-tests/counts}"
}

runner_end()
{
    check_counts
    echo "$passed passed, $failed failed"
    [ "$failed" -eq 0 ] && [ "$passed" -gt 0 ]
    exit $?
}
