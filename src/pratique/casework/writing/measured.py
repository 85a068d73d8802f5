"""What the forms of measured growths share: the picture or clip it was measured on."""

import re

from pratique.casework.writing.asked import Asked
from pratique.casework.writing.fields import Field

_HASH = re.compile(r"[0-9a-f]{64}")


def source_field(name: str, label: str, group: str) -> Field:
    """Return the question which stored file it was measured on; no keeper types it."""
    return Field(name=name, label=label, hint="Filled in by the page it was measured on.", group=group, is_tucked=True)


def stored(asked: Asked, name: str) -> str | None:
    """Return the stored file an answer names by its hash, or None."""
    text = asked.text(name)
    if text and not _HASH.fullmatch(text):
        asked.problem(name, "This is filled in by the page where it was measured; leave it empty otherwise.")
    return text or None
