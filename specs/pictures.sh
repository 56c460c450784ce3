#!/bin/sh
# Makes the README's pictures anew from the README's own spec: sh specs/pictures.sh
# Needs pdftoppm (poppler-utils) and a built program.
set -eu
cd "$(dirname "$0")/.."
program=${GUDGEON:-out/build/gudgeon}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

sed -n '/^```yaml$/,/^```$/{/^```/d;p}' README.md >"$work/bench-engine.yaml"
SOURCE_DATE_EPOCH=0 "$program" pack "$work/bench-engine.yaml" -o "$work/pack" --revision README >/dev/null
page_of() # WORDS: the number of the first page with them
{
    pages=$(pdfinfo "$work/pack/cards.pdf" | sed -n 's/^Pages: *//p')
    for page in $(seq "$pages"); do
        if pdftotext -f "$page" -l "$page" "$work/pack/cards.pdf" - | grep -q "$1"; then
            echo "$page"
            return
        fi
    done
}
mkdir -p specs/pictures
picture() # NAME PAGE
{
    pdftoppm -r 70 -f "$2" -l "$2" -singlefile -gray -png "$work/pack/cards.pdf" "specs/pictures/$1"
}
picture card "$(page_of 'Tighten *Cover nuts\|Tighten$')"
picture torques "$(page_of 'All torques')"
ls specs/pictures
