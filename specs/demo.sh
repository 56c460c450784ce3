#!/bin/sh
# Builds gudgeon and compiles both demo engines: sh specs/demo.sh
set -eu
cd "$(dirname "$0")/.."
. specs/need.sh

need $build_packages
build out/build -DCMAKE_BUILD_TYPE=Release
out/build/gudgeon pack specs/pintail.yaml specs/hob.yaml
echo "The work packs lie in out/pintail and out/hob: cards.pdf to print, parts.xlsx to order from."
