"""What was in a water, or in an animal's waters before it, that another substance must not meet, and for how long."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import combinations

from pratique import knowledge
from pratique.casework.copper import CONSTITUENT
from pratique.casework.facts import Facts
from pratique.casework.medicines import Medicines
from pratique.casework.words import sentence_case
from pratique.knowledge import Combination, Substance
from pratique.ledger.states import AnimalState, SystemState

# Any form stands for copper whose form is not written: what is not a form of copper meets all of them alike.
_SOME_COPPER = "copper_ionic"


@dataclass(frozen=True)
class InWater:
    """A substance that was in some water from a moment on, until another one, or is in it still (None)."""

    substance: str
    began: datetime
    until: datetime | None
    where: str
    entry: str

    @property
    def name(self) -> str:
        """Return what it is called."""
        return "copper" if self.substance == CONSTITUENT else knowledge.substance_or_unknown(self.substance).name

    def ended(self, now: datetime) -> datetime:
        """Return when it was last there: now where it is in the water still."""
        return now if self.until is None else min(self.until, now)


@dataclass(frozen=True)
class Against:
    """What stands against a substance: the pair, what it would meet, and from when on it may follow.

    `free_at` is None while the other is in the water: then nobody knows.
    """

    pair: Combination
    met: InWater
    free_at: datetime | None


@dataclass(frozen=True)
class Met:
    """Two substances that met, or followed each other too soon, and until when that counts (None while both last)."""

    pair: Combination
    earlier: InWater
    later: InWater
    until: datetime | None


def in_water(facts: Facts, medicines: Medicines, system: SystemState) -> list[InWater]:
    """Return what was in a system's water that something else must not meet, the oldest first."""
    found = [
        InWater(one.substance, one.began, one.ended, system.name, one.entry) for one in medicines.spans(system.key)
    ]
    for dose in facts.doses_of(system.key):
        if not knowledge.substance_or_unknown(dose.topic).is_medicine:
            found.append(InWater(dose.topic, dose.happened_at, dose.happened_at, system.name, dose.entry_text))
    return sorted(found, key=lambda one: one.began)


def lived_in(facts: Facts, medicines: Medicines, animal: AnimalState) -> Iterator[tuple[str, InWater]]:
    """Yield what was in each water an animal lived in while it was there, with the system's key."""
    for stay in animal.stays:
        if stay.since > facts.now:
            continue
        left = None if stay.until is None or stay.until > facts.now else stay.until
        for one in in_water(facts, medicines, facts.household.system_or_missing(stay.system)):
            if (left is None or one.began <= left) and (one.until is None or one.until >= stay.since):
                ended = one.until if left is None else min(one.until or left, left)
                since = max(one.began, stay.since)
                yield stay.system, InWater(one.substance, since, ended, f"{animal.name}'s water", one.entry)


def against(
    facts: Facts, system: SystemState, substance: Substance, animals: Iterable[AnimalState]
) -> tuple[Against, ...]:
    """Return what stands against a substance in a system's water now, once for each other substance.

    What the system's water holds or held comes first, then what the animals bring in themselves from another water.
    """
    medicines = Medicines(facts)
    waters = in_water(facts, medicines, system)
    waters += [one for animal in animals for key, one in lived_in(facts, medicines, animal) if key != system.key]
    # A water somebody lives in elsewhere is left behind when it comes here.
    here = {id(one) for one in waters if one.where == system.name}
    found: dict[str, Against] = {}
    for met in waters:
        pair = _pair(substance.key, met.substance)
        if pair is None:
            continue
        lasts = met.until is None and id(met) in here
        free_at = None if lasts else met.ended(facts.now) + _gap(pair)
        known = found.get(met.substance)
        is_longer = known is None or (known.free_at is not None and (free_at is None or free_at > known.free_at))
        if (free_at is None or free_at > facts.now) and is_longer:
            found[met.substance] = Against(pair, met, free_at)
    return tuple(found.values())


def meetings(waters: Iterable[InWater], now: datetime) -> Iterator[Met]:
    """Yield which of these met, or followed each other too soon, while that counts; each pair once, the longest."""
    found: dict[frozenset[str], Met] = {}
    for earlier, later in combinations(sorted(waters, key=lambda one: one.began), 2):
        pair = _pair(earlier.substance, later.substance)
        if pair is None or later.began - earlier.ended(now) >= _gap(pair):
            continue
        ends = [one.until for one in (earlier, later) if one.until is not None and one.until <= now]
        until = min(ends) + _gap(pair) if ends else None
        names = frozenset({earlier.substance, later.substance})
        known = found.get(names)
        is_longer = known is None or (known.until is not None and (until is None or until >= known.until))
        if (until is None or until > now) and is_longer:
            found[names] = Met(pair, earlier, later, until)
    yield from found.values()


def _gap(pair: Combination) -> timedelta:
    return timedelta(days=pair.days_apart)


def _pair(one: str, other: str) -> Combination | None:
    if CONSTITUENT in {one, other} and _is_copper(one) and _is_copper(other):
        return None
    return knowledge.combination_of(*(_SOME_COPPER if key == CONSTITUENT else key for key in (one, other)))


def _is_copper(key: str) -> bool:
    return key == CONSTITUENT or knowledge.substance_or_unknown(key).constituent == CONSTITUENT


def wash_out_words(found: Against) -> str:
    """Return how what is in the water still is washed out, and how that becomes known."""
    key = _SOME_COPPER if found.met.substance == CONSTITUENT else found.met.substance
    notes = [one.words for one in knowledge.notes_for(key) if one.kind == "wash_out"]
    return " ".join(["Wash it out first.", *notes, "Then write the reading, or that the tank was emptied."])


def name_of(met: InWater) -> str:
    """Return what a substance is called, to begin a sentence."""
    return sentence_case(met.name)
