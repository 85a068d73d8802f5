#!/bin/sh
# Make .venv from requirements.lock, with hashes; do nothing when it already matches.
set -eu
root=$(cd "$(dirname "$0")/.." && pwd)
cd "$root"
export UV_PYTHON_DOWNLOADS=never

stamp=.venv/pratique-stamp

# What the environment was made from. The folder belongs to it: scripts in .venv/bin hold absolute paths.
wanted() { printf '%s\n' "$root"; cat requirements.lock pyproject.toml; }

python_suits() {
    .venv/bin/python -c 'import sys; sys.exit(sys.version_info[:2] not in {(3, 12), (3, 13)})' >/dev/null 2>&1 &&
        grep -qxF "$root" .venv/pratique-root 2>/dev/null
}

if [ -x .venv/bin/pratique ] && wanted | cmp -s - "$stamp" && python_suits; then exit 0; fi

install_with_uv() {
    uv=$(tools/find_uv.sh) || return 1
    if ! python_suits; then
        "$uv" venv --quiet --clear --python "$1" .venv || return 1
        printf '%s\n' "$root" > .venv/pratique-root
    fi
    "$uv" pip sync --quiet --python .venv/bin/python --require-hashes requirements.lock &&
        "$uv" pip install --quiet --python .venv/bin/python --no-deps -e .
}

# What stood before is put back where pip fails too: without a network the old environment may still serve.
install_with_pip() {
    mkdir -p .cache
    rm -rf .cache/venv-before
    if [ -d .venv ]; then mv .venv .cache/venv-before; fi
    if fill_with_pip "$1"; then
        rm -rf .cache/venv-before
    else
        rm -rf .venv
        if [ -d .cache/venv-before ]; then mv .cache/venv-before .venv; fi
        return 1
    fi
}

fill_with_pip() {
    "$1" -m venv .venv || return 1
    printf '%s\n' "$root" > .venv/pratique-root
    .venv/bin/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements.lock &&
        .venv/bin/python -m pip install --quiet --disable-pip-version-check --no-deps -e .
}

python=$(tools/find_python.sh)
echo "Making .venv with $("$python" --version) ..." >&2
rm -f "$stamp"
if ! install_with_uv "$python"; then
    echo "uv did not manage it; trying pip, which takes a minute or two." >&2
    if ! install_with_pip "$python"; then
        echo "The Python packages could not be installed: see the lines above. A network connection to a package index is needed the first time." >&2
        exit 1
    fi
fi
# Compiled once here: where Python may not write beside its modules, every command would compile them anew for seconds.
.venv/bin/python -m compileall -q -j 0 .venv/lib src || true
wanted > "$stamp"
