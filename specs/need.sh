# need.sh - sourced: `need PACKAGE...` installs what Debian packages are missing, says so in plain
# words, and stays quiet when nothing is. The one home of what a build needs.
build_packages="gcc libc6-dev cmake ninja-build pkg-config libyaml-dev libxlsxwriter-dev libhpdf-dev
    nettle-dev libutf8proc-dev libgeos-dev uthash-dev libgit2-dev zlib1g-dev"

need()
{
    missing=
    for package in "$@"; do
        dpkg-query -W -f '${Status}' "$package" 2>/dev/null | grep -q 'ok installed' ||
            missing="$missing $package"
    done
    [ -z "$missing" ] && return 0
    if ! command -v apt-get >/dev/null 2>&1; then
        echo "These packages are missing and there is no apt-get here to install them:$missing" >&2
        exit 3
    fi
    if [ "$(id -u)" -ne 0 ]; then
        echo "These packages are missing:$missing" >&2
        echo "Only root may install them. As root:  apt-get update && apt-get install$missing" >&2
        exit 3
    fi
    echo "Installing:$missing"
    log=$(mktemp)
    # A source that cannot be reached is told only when the install fails: the lists may do without it.
    # shellcheck disable=SC2086 # a list of words
    {
        apt-get update -qq
        DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends \
            -o DPkg::Lock::Timeout=120 $missing
    } >"$log" 2>&1 </dev/null && { rm -f "$log"; return 0; }
    grep '^[EW]:' "$log" | head -n 3 >&2
    rm -f "$log"
    echo "The packages could not be installed. Is there a network? Needed:$missing" >&2
    exit 3
}

# Configures and builds into the folder $1 with the options that follow; shows the log only if it fails.
build()
{
    folder=$1
    shift
    mkdir -p "$folder"
    if ! { cmake -S . -B "$folder" -G Ninja "$@" && ninja -C "$folder"; } >"$folder/log" 2>&1; then
        grep -i -A12 'error\|FAILED\|warning' "$folder/log" | head -n 60 >&2
        echo "The build failed; all it said is in $folder/log" >&2
        exit 3
    fi
}
