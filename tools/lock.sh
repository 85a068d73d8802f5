#!/bin/sh
# Make both lock files again: requirements.lock (with hashes, without addresses) and frontend/package-lock.json.
set -eu
cd "$(dirname "$0")/.."
export UV_PYTHON_DOWNLOADS=never

"$(tools/find_uv.sh)" pip compile --quiet --universal --generate-hashes --python-version 3.12 --no-header \
    --group pyproject.toml:dev pyproject.toml -o requirements.lock

(cd frontend && npm install --package-lock-only --silent)
.venv/bin/python tools/strip_funding.py frontend/package-lock.json
