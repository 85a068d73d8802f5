#!/bin/sh
# Print the path of the newest Python 3.13 or 3.12 on this machine.
#
# A name on PATH proves nothing: a version manager's shim answers 127 when its version is not selected, and some
# systems ship a Python without venv. So every candidate is run, and only one that imports what we need counts.
# PRATIQUE_PYTHON_FOLDERS replaces the list of folders searched beside PATH (the tests use it).
set -u

probe='
import sys
found = "%d.%d.%d" % sys.version_info[:3]
path = getattr(sys, "_base_executable", None) or sys.executable
try:
    import ctypes, ensurepip, sqlite3, ssl, venv
except ImportError as lack:
    print(found, "lacks", getattr(lack, "name", None) or "a module", path)
else:
    print(found, "works", "-", path)
'

version_folders() {
    if [ -n "${PRATIQUE_PYTHON_FOLDERS+set}" ]; then
        printf '%s\n' "$PRATIQUE_PYTHON_FOLDERS" | tr ':' '\n'
        return
    fi
    for folder in \
        "${PYENV_ROOT:-$HOME/.pyenv}"/versions/*/bin \
        "$HOME"/.pyenv/versions/*/bin \
        "$HOME"/.local/bin \
        "$HOME"/.local/share/uv/python/*/bin \
        /usr/local/bin /usr/bin /opt/*/bin /opt/python/*/bin \
        /Library/Frameworks/Python.framework/Versions/*/bin
    do
        printf '%s\n' "$folder"
    done
}

# A version manager keeps a dozen Pythons; only those whose name can be 3.12 or 3.13 are worth starting.
candidates() {
    { printf '%s\n' "$PATH" | tr ':' '\n'; version_folders; } | while IFS= read -r folder; do
        for name in python3.13 python3.12 python3; do
            if [ -x "$folder/$name" ]; then printf '%s\n' "$folder/$name"; fi
        done
    done | awk '!seen[$0]++'
}

answers=$(candidates | while IFS= read -r candidate; do
    "$candidate" -I -c "$probe" 2>/dev/null </dev/null
done)

newest=$(printf '%s\n' "$answers" | awk '$2 == "works" && $1 ~ /^3\.1[23]\./' | sort -t. -k2,2nr -k3,3nr | head -n 1)
if [ -n "$newest" ]; then
    printf '%s\n' "$newest" | cut -d' ' -f4-
    exit 0
fi

lacking=$(printf '%s\n' "$answers" | awk '$2 == "lacks" && $1 ~ /^3\.1[23]\./' | head -n 1)
if [ -n "$lacking" ]; then
    version=$(printf '%s' "$lacking" | cut -d' ' -f1)
    module=$(printf '%s' "$lacking" | cut -d' ' -f3)
    minor=$(printf '%s' "$version" | cut -d. -f1,2)
    echo "Python $version is here, but without its '$module' module. Install it (on Debian and Ubuntu: apt-get install python$minor-venv), then try again." >&2
    exit 1
fi

seen=$(printf '%s\n' "$answers" | awk 'NF { print $1 }' | sort -u | paste -s -d' ' - | sed 's/ /, /g')
echo "Pratique needs Python 3.12 or 3.13; this machine has ${seen:-none}. Install one of the two (your system's packages, or a version manager), then try again." >&2
exit 1
