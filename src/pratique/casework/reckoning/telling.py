"""Which entries of the ledger tell of a constituent in a system's water."""

from collections import defaultdict
from datetime import datetime
from weakref import WeakKeyDictionary

from pratique.casework.copper_told import CONSTITUENT as COPPER
from pratique.casework.copper_told import copper_entries
from pratique.casework.facts import Facts
from pratique.casework.reckoning.dosed import substances_of
from pratique.casework.reckoning.priors import Prior
from pratique.casework.reckoning.sorting import is_emptying
from pratique.ledger.entries import Recorded
from pratique.ledger.kinds.water import Dose, Reading, WaterChange
from pratique.ledger.queries import entries_about

_TELLING = ("reading", "dose")
_KINDS = ("reading", "dose", "water-change", "feeding")
_CHANGED, _FED = "changed", "fed"

type _ByTopic = dict[tuple[str, str], list[Recorded]]

# A page asks for constituent after constituent of one system: its entries are read once for each look.
_READ: WeakKeyDictionary[Facts, dict[str, _ByTopic]] = WeakKeyDictionary()


def telling_entries(
    facts: Facts, system: str, constituent: str, prior: Prior, *, since: datetime, until: datetime
) -> list[Recorded]:
    """Return the standing entries that tell of a constituent in a system, in the order things happened.

    Where nobody ever read or dosed it, or emptied water that held copper, nothing is told: water changes and feedings
    alone tell of nothing.
    """
    if constituent == COPPER:
        found = copper_entries(system, since=since, until=until)
        return found if any(one.kind in _TELLING or is_emptying(one) for one in found) else []
    wanted = {("reading", constituent), ("water-change", _CHANGED)}
    wanted |= {("dose", substance) for substance in substances_of(constituent)}
    if prior.released is not None:
        wanted.add(("feeding", _FED))
    if since == facts.since and until >= facts.now:
        by_topic = _read_once(facts, system)
    else:
        by_topic = _by_topic(system, since, until)
    told = [one for topic in wanted for one in by_topic.get(topic, [])]
    if not any(one.kind in _TELLING for one in told):
        return []
    return sorted(told, key=lambda one: (one.happened_at, one.seq))


def _read_once(facts: Facts, system: str) -> _ByTopic:
    read = _READ.setdefault(facts, {})
    if system not in read:
        read[system] = _by_topic(system, facts.since, facts.now)
    return read[system]


def _by_topic(system: str, since: datetime, until: datetime) -> _ByTopic:
    """Return a system's entries by their kind and topic."""
    found: _ByTopic = defaultdict(list)
    for entry in entries_about(f"system/{system}", _KINDS, since=since, until=until):
        found[entry.kind, _topic(entry)].append(entry)
    return found


def _topic(entry: Recorded) -> str:
    """Return what an entry says of its system's water: of thousands, so nothing is asked of whom else it speaks of."""
    match entry.payload:
        case Reading() as reading:
            return reading.constituent
        case Dose() as dose:
            return dose.substance
        case WaterChange():
            return _CHANGED
    return _FED
