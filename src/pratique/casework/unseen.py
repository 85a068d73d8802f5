"""What nobody has looked at: said wherever nothing worries, since no concern is not the same as all being well."""

from collections.abc import Iterable

from pratique.casework.concerns.water import is_stale
from pratique.casework.facts import Facts
from pratique.casework.health import AnimalHealth
from pratique.casework.words import listed
from pratique.ledger.states import SystemState

_NO_CONCERN = "No concern from what is written."
_MOST_NAMES = 4


def no_concern_words(facts: Facts, healths: Iterable[AnimalHealth], systems: Iterable[SystemState]) -> str:
    """Return that nothing written worries, and of which fishes and which stocked water nothing recent is known."""
    unseen = [one.animal.name for one in healths if not facts.is_seen(one.subject)]
    unread = [one.name for one in systems if facts.household.living_in(one.key) and not _is_read(facts, one)]
    parts = []
    if unseen:
        names = listed(unseen) if len(unseen) <= _MOST_NAMES else f"{len(unseen)} animals or groups"
        is_one = len(unseen) == 1
        parts.append(f"how {names} {'does' if is_one else 'do'}, not looked at for two weeks")
    if unread:
        parts.append(f"the water of {listed(unread)}, not read lately")
    return f"{_NO_CONCERN} Not known: {'; '.join(parts)}." if parts else _NO_CONCERN


def _is_read(facts: Facts, system: SystemState) -> bool:
    """Return whether anything read in a system still speaks for its water."""
    newest = (facts.newest_reading(system.key, one) for one in facts.constituents_read(system.key))
    return any(one is not None and not is_stale(facts, one) for one in newest)
