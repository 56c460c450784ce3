#!/bin/sh
# Writes the register of a thousand engines into a folder: sh register.sh DIR
# Each is a file of four lines, laid on the early or the late engine; with them come Makefile and build.ninja.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
dir=${1:?"usage: sh register.sh DIR"}
mkdir -p "$dir/register"
cp "$here/engine.yaml" "$here/late.yaml" "$here/shop.yaml" "$here/Makefile" "$here/on-host.sh" "$dir"
cd "$dir"

serial=1
while [ "$serial" -le 1000 ]; do
    id=$(printf '%04d' "$serial")
    base=engine.yaml
    [ "$serial" -ge 500 ] && base=late.yaml
    cat >"register/$id.yaml" <<END
gudgeon: 1
base: ../$base
engine: {serial: $serial}
parts: {crankshaft: {sizes: {seat: {measured: {is: 30.0$(printf '%02d' $((3 + serial % 8))) mm, using: micrometer}}}}}
END
    serial=$((serial + 1))
done

# The rule that the Makefile has, for ninja.
{
    cat <<'END'
gudgeon = gudgeon
run =
include settings.ninja
rule pack
  command = $run $gudgeon pack --root . -o packs/$id --depfile packs/$id.d register/$id.yaml
  depfile = packs/$id.d
  deps = gcc
  description = pack $id
END
    for spec in register/*.yaml; do
        id=$(basename "$spec" .yaml)
        printf 'build packs/%s/manifest.json: pack | $program\n  id = %s\n' "$id" "$id"
    done
} >build.ninja
[ -e settings.ninja ] || printf 'gudgeon = %s\nprogram = %s\nrun =\n' "$(command -v gudgeon || echo gudgeon)" "$(command -v gudgeon || echo)" >settings.ninja
