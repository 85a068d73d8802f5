"""What was looked for on an animal and all that shared its water: days on which a parasite showed, or nothing did."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from pratique import knowledge
from pratique.casework.facts import Facts
from pratique.casework.health import AnimalHealth
from pratique.casework.signs import bad_signs, clean_looks, sign_name
from pratique.ledger.queries import Point
from pratique.ledger.states import AnimalState

# The signs that tell of one parasite and hardly of anything else.
_TELLING: Mapping[str, frozenset[str]] = {"white_spot": frozenset({"spots"}), "velvet": frozenset({"dust"})}


@dataclass(frozen=True)
class Looks:
    """Moments of looks at a whole company: with nothing seen, and with the parasite's own sign; and their entries."""

    clean: tuple[datetime, ...]
    seen: tuple[datetime, ...]
    entries: tuple[str, ...]


def is_seen_by_eye(parasite: str) -> bool:
    """Return whether a look at a fish can find the parasite: flukes are seen only under a microscope."""
    return parasite in _TELLING


def looks_at(facts: Facts, animal: AnimalState, healths: Mapping[str, AnimalHealth], parasite: str) -> Looks:
    """Return the looks that tell of a parasite on an animal and its company.

    One look in which nothing was seen counts only where every fish in that water was looked at about the same time, and
    only for what the eye can find.
    """
    if not is_seen_by_eye(parasite):
        return Looks((), (), ())
    of = {key: health.earlier.looks(health.subject) for key, health in healths.items()}
    own = of.get(animal.key, [])
    clean = [one for one in clean_looks(own) if _is_look_at_all(facts, animal, one, of)]
    seen = [one for key, some in of.items() for one in _telling(some, parasite) if _was_with(facts, animal, key, one)]
    return Looks(
        clean=tuple(one.happened_at for one in clean),
        seen=tuple(sorted({one.happened_at for one in seen})),
        entries=tuple(dict.fromkeys(one.entry_text for one in (*seen[-2:], *clean[-2:]))),
    )


def _telling(looks: list[Point], parasite: str) -> Iterator[Point]:
    named = _TELLING.get(parasite, frozenset())
    yield from (one for one in bad_signs(looks) if (one.topic if one.topic == "spots" else sign_name(one)) in named)


def _was_with(facts: Facts, animal: AnimalState, other: str, look: Point) -> bool:
    """Return whether the animal is the one looked at, or shared its water then."""
    return other == animal.key or _system_at(facts.household.animals[other], look.happened_at) == _system_at(
        animal, look.happened_at
    )


def _is_look_at_all(facts: Facts, animal: AnimalState, look: Point, of: Mapping[str, list[Point]]) -> bool:
    near = timedelta(hours=knowledge.figure("clearance.look_together_hours").value)
    system = _system_at(animal, look.happened_at)
    for other in facts.household.animals.values():
        is_fish = not knowledge.species_or_unknown(other.species).is_invertebrate
        if other.key == animal.key or not is_fish or _system_at(other, look.happened_at) != system:
            continue
        if not any(abs(one.happened_at - look.happened_at) <= near for one in clean_looks(of.get(other.key, []))):
            return False
    return system is not None


def _system_at(animal: AnimalState, moment: datetime) -> str | None:
    return next(
        (one.system for one in animal.stays if one.since <= moment and (one.until is None or moment < one.until)), None
    )
