#!/bin/sh
# Runs a command on a host that is free, in this same folder: HOSTS='one one two' sh on-host.sh COMMAND...
# A host that is named twice gets two jobs at a time. All hosts see the folder and the program under the same
# names, as over a shared disk.
set -eu
: "${HOSTS:?'names the hosts, with a blank between'}"
reach=${REACH:-ssh}
mkdir -p .slots
line="cd '$PWD' &&"
for word in "$@"; do
    line="$line '$word'"
done
while :; do
    slot=0
    for host in $HOSTS; do
        slot=$((slot + 1))
        exec 9>".slots/$slot"
        if flock -n 9; then
            $reach "$host" "$line" </dev/null
            exit
        fi
    done
    sleep 0.02
done
