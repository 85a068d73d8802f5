#!/bin/sh
# Make the lock files again: requirements.lock and sampler.lock (with hashes, without addresses) and
# frontend/package-lock.json. The sampler goes into the same .venv, so it keeps to the versions locked there.
set -eu
cd "$(dirname "$0")/.."
export UV_PYTHON_DOWNLOADS=never

"$(tools/find_uv.sh)" pip compile --quiet --universal --generate-hashes --python-version 3.12 --no-header \
    --group pyproject.toml:dev pyproject.toml -o requirements.lock
"$(tools/find_uv.sh)" pip compile --quiet --universal --generate-hashes --python-version 3.12 --no-header \
    --constraint requirements.lock --group pyproject.toml:prove -o sampler.lock

(cd frontend && npm install --package-lock-only --silent)
.venv/bin/python tools/strip_funding.py frontend/package-lock.json
