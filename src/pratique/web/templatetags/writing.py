"""Filters for the pages on which entries are written and read back."""

from django import template
from django.contrib.messages.storage.base import Message

register = template.Library()

_UNDO = "undo:"


def undo_tag(entry_ids: list[str]) -> str:
    """Return the extra tag under which a message carries the entries its Undo button withdraws."""
    return _UNDO + ",".join(entry_ids)


@register.filter
def undo_ids(message: Message) -> list[str]:
    """Return the entries a message offers to undo, none for a message that only tells something."""
    tags = message.extra_tags or ""
    return tags.removeprefix(_UNDO).split(",") if tags.startswith(_UNDO) else []
