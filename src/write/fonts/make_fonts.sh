#!/bin/sh
# Remakes the two shipped subsets from DejaVu Sans 2.37 (packages fonts-dejavu-core and fonttools).
# Only needed when letters are to be added: the results are kept beside this script.
#
# Latin with Extended Additional, Greek, Cyrillic, punctuation, fractions, arrows, mathematics,
# technical signs, boxes and the signs of the workshop; no hinting, kerning or ligatures, which
# libharu cannot use. The names hold neither "Bitstream" nor "Vera", as the licence asks.
set -eu
cd "$(dirname "$0")"
from=${1:-/usr/share/fonts/truetype/dejavu}
letters=U+0020-007E,U+00A0-024F,U+02B9-02DD,U+0300-036F,U+0370-03FF,U+0400-04FF
letters=$letters,U+1E00-1EFF,U+2000-206F,U+2070-209F,U+20A0-20BF,U+2100-214F,U+2150-218F
letters=$letters,U+2190-21FF,U+2200-22FF,U+2300-23FF,U+2500-257F,U+2580-259F,U+25A0-25FF
letters=$letters,U+2600-26A3,U+2713-2718,U+FFFD
for face in DejaVuSans DejaVuSans-Bold; do
    SOURCE_DATE_EPOCH=0 /usr/bin/python3 -m fontTools.subset "$from/$face.ttf" --unicodes="$letters" \
        --no-hinting --desubroutinize --layout-features='' --no-recalc-timestamp \
        --drop-tables+=GPOS,GSUB,GDEF,kern,FFTM,DSIG,MATH,gasp --name-IDs='*' --notdef-outline \
        --output-file="$face.ttf"
done
