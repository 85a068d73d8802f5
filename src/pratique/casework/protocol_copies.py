"""A copy of a shipped protocol to be changed: under a key of its own, and without the sources it no longer has."""

import re
from collections.abc import Container

from pratique import knowledge

_LEFT_OUT = re.compile(r"(source|status|place_in_list)\s*=")
_LEAD = "# What each line may hold is told by the check: write something else, and it says what would be right.\n"


def copy_of(key: str, *, taken: Container[str]) -> str:
    """Return a shipped protocol's text as the keeper's own; KeyError for one that is not shipped.

    What is changed in it is no longer what the sources say, so they are left out: the copy counts as a guess.
    """
    shipped = knowledge.protocol(key)
    own = free_key(f"our_{shipped.key}", taken)
    lines = [line for line in knowledge.protocol_text(shipped.key).splitlines() if not _LEFT_OUT.match(line)]
    first = next(number for number, line in enumerate(lines) if line.startswith("["))
    text = "\n".join(lines[first:]).replace(f"[{shipped.key}", f"[{own}")
    text = text.replace(f'short_name = "{shipped.short_name}"', f'short_name = "{own.replace("_", "-")}"', 1)
    return f"{_LEAD}{text.replace('name = "' + shipped.name, 'name = "Ours: ' + shipped.name, 1)}\n"


def free_key(key: str, taken: Container[str]) -> str:
    """Return a key that is not taken: itself, or with the first number that makes it one."""
    found, number = key, 1
    while found in taken:
        number += 1
        found = f"{key}_{number}"
    return found
