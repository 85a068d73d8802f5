#!/bin/sh
# Print the path of a working uv: the machine's own, else a pinned one installed under .cache/uv.
set -eu
root=$(cd "$(dirname "$0")/.." && pwd)

if command -v uv >/dev/null 2>&1 && uv --version >/dev/null 2>&1; then
    command -v uv
    exit 0
fi

own="$root/.cache/uv"
pins="$root/tools/bootstrap_uv.txt"
if ! { [ -x "$own/bin/uv" ] && cmp -s "$pins" "$own/pins.txt"; }; then
    python=$("$root/tools/find_python.sh")
    rm -rf "$own"
    "$python" -m venv "$own" >&2
    "$own/bin/python" -m pip install --quiet --disable-pip-version-check --require-hashes -r "$pins" >&2
    cp "$pins" "$own/pins.txt"
fi
"$own/bin/uv" --version >/dev/null
printf '%s\n' "$own/bin/uv"
