#!/bin/sh
# Add the sampler of the long proofs (sampler.lock, with hashes) to .venv; do nothing when it is there already.
set -eu
cd "$(dirname "$0")/.."
export UV_PYTHON_DOWNLOADS=never

stamp=.venv/sampler-stamp

is_there() {
    # A new .venv, or one set right by its own lock, has lost the sampler whatever the stamp says.
    cmp -s sampler.lock "$stamp" && .venv/bin/python -c '
import sys
from importlib.util import find_spec
sys.exit(not (find_spec("jax") and find_spec("numpyro")))'
}

if is_there; then exit 0; fi

add_with_uv() {
    uv=$(tools/find_uv.sh) || return 1
    "$uv" pip install --quiet --python .venv/bin/python --require-hashes -r sampler.lock
}

# An environment made by uv has no pip of its own.
add_with_pip() {
    { .venv/bin/python -m pip --version >/dev/null 2>&1 || .venv/bin/python -m ensurepip >/dev/null; } &&
        .venv/bin/python -m pip install --quiet --disable-pip-version-check --require-hashes -r sampler.lock
}

echo "Adding the sampler to .venv: some 400 MB, for the long proofs only ..." >&2
rm -f "$stamp"
if ! add_with_uv; then
    echo "uv did not manage it; trying pip." >&2
    if ! add_with_pip; then
        echo "The sampler could not be installed: see the lines above. A network connection to a package index is needed the first time." >&2
        exit 1
    fi
fi
cp sampler.lock "$stamp"
