#!/bin/sh
# Builds with warnings as errors and sanitizers, and runs everything: sh tests/run.sh
#
# Every check prints one line a case, "ok NAME" or "not ok NAME: why"; Criterion binaries are counted
# by their closing line. The last line is the sum. Exit status 0 only when nothing failed, no sanitizer
# spoke, no kind of test shrank (tests/counts) and every tool was there.
set -u
cd "$(dirname "$0")/.."
. specs/need.sh
. tests/support/runner.sh

# Debian's own tools, which have the packages below, before others of the same name (a python3 of one's own).
PATH=/usr/bin:/bin:$PATH
export PATH

long=
[ "${1:-}" = --long ] && long=1

need $build_packages libcriterion-dev git make python3 python3-yaml python3-openpyxl python3-jsonschema python3-ezdxf python3-numpy librsvg2-bin \
    freecad-common openscad-mcad python3-pint \
    qpdf poppler-utils libxml2-utils units udunits-bin libreoffice-calc python3-uno clang libclang-rt-14-dev locales
need_tools gcc cmake ninja make git python3 localedef qpdf pdftotext pdftoppm rsvg-convert xmllint units udunits2 soffice clang

build out/build -DCMAKE_BUILD_TYPE=Release -DGUDGEON_WERROR=ON
build out/test -DCMAKE_BUILD_TYPE=Debug -DGUDGEON_WERROR=ON -DGUDGEON_TESTS=ON -DGUDGEON_SANITIZE=ON

GUDGEON=out/build/gudgeon       # as a user has it
CHECKED=out/test/gudgeon        # with sanitizers
export GUDGEON CHECKED
runner_begin

run_script selftest sh tests/support/selftest.sh
# By the sources: not what an older build has left.
# shellcheck disable=SC2046 # words
run_criterion $(ls tests/unit/test_*.c | sed 's,^tests/unit/\(.*\)\.c$,out/test/tests/\1,')
for script in tests/tidy/*.sh tests/tidy/*.py tests/golden/run.sh tests/published/*.sh \
    tests/published/*.py tests/e2e/*.sh tests/e2e/*.py tests/fuzz/replay.sh; do
    [ -e "$script" ] || continue
    case "$script" in
    *.py) run_script "${script#tests/}" python3 "$script" ;;
    *) run_script "${script#tests/}" sh "$script" ;;
    esac
done
if [ -n "$long" ]; then
    for script in tests/long/*.py; do
        run_script "${script#tests/}" python3 "$script"
    done
    run_script long/tables sh tests/tables.sh none
    run_script long/bench sh tests/bench/run.sh
    run_script long/fuzz sh tests/fuzz/run.sh 600
fi

runner_end
