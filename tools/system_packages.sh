#!/bin/sh
# See that PostgreSQL, Chromium and Pango (text layout, for the PDF) are here for the tests; as root on a Debian-like
# system, install what is missing.
# Usage: tools/system_packages.sh postgresql chromium libpangoft2-1.0-0 libharfbuzz-subset0
set -u

has_postgresql() {
    command -v initdb >/dev/null 2>&1 && return 0
    for folder in /usr/lib/postgresql/*/bin; do
        if [ -x "$folder/initdb" ]; then return 0; fi
    done
    return 1
}
has_chromium() {
    [ -n "${CHROMIUM:-}" ] && [ -x "$CHROMIUM" ] && return 0
    command -v chromium >/dev/null 2>&1 || command -v chromium-browser >/dev/null 2>&1
}
has_library() { ldconfig -p 2>/dev/null | grep -q "$1" || find /usr/lib /lib -name "$1*" 2>/dev/null | grep -q .; }

# A library goes by its package's name; the file it brings is looked for.
has() {
    case $1 in
    libpangoft2-1.0-0) has_library libpangoft2-1.0.so.0 ;;
    libharfbuzz-subset0) has_library libharfbuzz-subset.so.0 ;;
    *) "has_$1" ;;
    esac
}

missing=""
find_missing() {
    missing=""
    for package in "$@"; do
        has "$package" || missing="$missing $package"
    done
}

find_missing "$@"
if [ -z "$missing" ]; then exit 0; fi

if [ "$(id -u)" -eq 0 ] && command -v apt-get >/dev/null 2>&1; then
    echo "Installing system packages for the tests:$missing" >&2
    export DEBIAN_FRONTEND=noninteractive
    apt-get update -qq </dev/null >&2 || echo "apt-get update failed; trying with the lists that are here." >&2
    # shellcheck disable=SC2086 # one word per package
    apt-get install -y -qq --no-install-recommends $missing </dev/null >&2
    find_missing "$@"
    if [ -z "$missing" ]; then exit 0; fi
fi

if command -v apt-get >/dev/null 2>&1; then
    echo "The tests need these system packages:$missing. Install them as root (apt-get install$missing), then run this again." >&2
else
    echo "The tests need these programs:$missing. Install them with your system's package manager, then run this again." >&2
fi
exit 1
