"""What may lie behind a reading that does not fit, in words."""

from collections.abc import Iterable

from pratique.casework.words import percent

_WORDS = {
    "wrong reading": "a wrong reading",
    "unlogged": "a dose or change nobody wrote down",
    "wrong strength": "a stock of another strength",
}


def cause_words(causes: Iterable[tuple[str, float]]) -> str:
    """Return what may lie behind a reading with how likely each is, in the order given."""
    return ", ".join(f"{_WORDS[key]} {percent(chance)}" for key, chance in causes)
