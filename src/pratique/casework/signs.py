"""Signs of disease on animals: the one list of what is harmless, and what counts as a look that found nothing."""

from collections.abc import Iterable
from typing import get_args

from pratique.ledger.kinds.animals import Sign
from pratique.ledger.queries import Point

# An animal that keeps to itself or quarrels shows no disease by it. Darting is not among these.
_HARMLESS = frozenset({"no signs", "hiding", "chasing", "being chased"})
_PREFIX = "sign: "
_NO_SIGNS = f"{_PREFIX}no signs"
# What a look at an animal is written under. A count of its breathing is not one: that is done from across the room.
LOOK_TOPICS = ("spots", "condition", *(f"{_PREFIX}{sign}" for sign in get_args(Sign)))


def sign_name(seen: Point) -> str:
    """Return the sign in the keeper's words."""
    return seen.topic.removeprefix(_PREFIX)


def bad_signs(seen: Iterable[Point]) -> list[Point]:
    """Return the signs of disease among what was seen, the oldest first."""
    return sorted((one for one in seen if _is_bad(one)), key=lambda one: one.happened_at)


def clean_looks(seen: Iterable[Point]) -> list[Point]:
    """Return the looks that found nothing, the oldest first; one that found something too is none of them."""
    seen = list(seen)
    bad = {one.entry_text for one in seen if _is_bad(one)}
    good = (one for one in seen if _is_clean(one) and one.entry_text not in bad)
    return sorted(good, key=lambda one: one.happened_at)


def _is_bad(seen: Point) -> bool:
    if seen.topic == "spots":
        return bool(seen.number)
    return seen.topic.startswith(_PREFIX) and sign_name(seen) not in _HARMLESS


def _is_clean(seen: Point) -> bool:
    return seen.topic in {_NO_SIGNS, "condition"} or (seen.topic == "spots" and not seen.number)
