"""What figures are called, with a key that is not known told as it is."""

from collections.abc import Callable

from pratique import knowledge


def known[T](find: Callable[[str], T], key: str) -> T | None:
    """Return a figure, or None for a key that is not known."""
    try:
        return find(key)
    except KeyError:
        return None


def substance_name(key: str) -> str:
    """Return what a substance is called."""
    found = known(knowledge.substance, key)
    return found.name if found else key.replace("_", " ")


def species_name(key: str) -> str:
    """Return what a species is called, with its Latin name."""
    found = known(knowledge.species, key)
    return f"{found.name} ({found.latin})" if found else key.replace("_", " ")
