"""What was looked for on an animal and all that shared its water: days on which a parasite showed, or nothing did."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from math import expm1, log1p

from pratique import knowledge
from pratique.casework.contacts import size_of_group
from pratique.casework.facts import Facts
from pratique.casework.health import AnimalHealth
from pratique.casework.signs import bad_signs, clean_looks, sign_name
from pratique.casework.words import counted, percent, when
from pratique.knowledge import CloseLook, Finds
from pratique.ledger.queries import Point, points
from pratique.ledger.states import AnimalState

# The signs that tell of one parasite and hardly of anything else.
_TELLING: Mapping[str, frozenset[str]] = {"white_spot": frozenset({"spots"}), "velvet": frozenset({"dust"})}
_BURDEN = 10.0


@dataclass(frozen=True)
class Looks:
    """Moments of looks at a whole company: with nothing seen, and with the parasite's own sign; and their entries.

    `keenness` is how many times as keen as a look by eye at all of them a look was, by its moment: 1 where not told.
    `said` are sentences on the close looks that count.
    """

    clean: tuple[datetime, ...] = ()
    seen: tuple[datetime, ...] = ()
    entries: tuple[str, ...] = ()
    keenness: Mapping[datetime, float] = field(default_factory=dict)
    said: tuple[str, ...] = ()


@dataclass(frozen=True)
class _Close:
    """One close look at some of those that shared a water: the part of them looked at, and whether it was seen."""

    at: datetime
    entry: str
    figure: CloseLook
    finds: Finds
    part: float
    is_seen: bool


def is_seen_by_eye(parasite: str) -> bool:
    """Return whether a look at a fish can find the parasite: flukes are seen only under a microscope."""
    return parasite in _TELLING


def looks_at(facts: Facts, animal: AnimalState, healths: Mapping[str, AnimalHealth], parasite: str) -> Looks:
    """Return the looks that tell of a parasite on an animal and its company.

    One look by eye in which nothing was seen counts only where every fish in that water was looked at about the same
    time, and only for what the eye can find. A close look counts for the part of them that was looked at.
    """
    by_eye = _by_eye(facts, animal, healths, parasite) if is_seen_by_eye(parasite) else Looks()
    close = list(_close_looks(facts, animal, parasite))
    if not close:
        return by_eye
    return Looks(
        clean=tuple(dict.fromkeys((*by_eye.clean, *(one.at for one in close if not one.is_seen)))),
        seen=tuple(sorted({*by_eye.seen, *(one.at for one in close if one.is_seen)})),
        entries=tuple(dict.fromkeys((*by_eye.entries, *(one.entry for one in close[-2:])))),
        keenness=_keenness_by_moment(by_eye, close, parasite),
        said=tuple(_words(facts, parasite, one) for one in close[-2:]),
    )


def _by_eye(facts: Facts, animal: AnimalState, healths: Mapping[str, AnimalHealth], parasite: str) -> Looks:
    of = {key: health.earlier.looks(health.subject) for key, health in healths.items()}
    own = of.get(animal.key, [])
    clean = [one for one in clean_looks(own) if _is_look_at_all(facts, animal, one, of)]
    seen = [one for key, some in of.items() for one in _telling(some, parasite) if _was_with(facts, animal, key, one)]
    return Looks(
        clean=tuple(one.happened_at for one in clean),
        seen=tuple(sorted({one.happened_at for one in seen})),
        entries=tuple(dict.fromkeys(one.entry_text for one in (*seen[-2:], *clean[-2:]))),
    )


def close_look_points(facts: Facts) -> list[Point]:
    """Return what close looks at any animal showed, as far back as the chance of being free is followed."""
    back = timedelta(days=2.0 * knowledge.figure("clearance.settled_days").value)
    return facts.once("close looks", lambda: points(["look"], since=facts.now - back, until=facts.now))


def _close_looks(facts: Facts, animal: AnimalState, parasite: str) -> Iterator[_Close]:
    """Yield each close look at some of those in the animal's water then, the oldest first."""
    by_entry: dict[str, list[Point]] = {}
    for point in close_look_points(facts):
        other = point.subject.removeprefix("animal/")
        is_known = other in facts.household.animals and _was_with(facts, animal, other, point)
        if point.topic.endswith(f": {parasite}") and is_known:
            by_entry.setdefault(f"{point.entry_text} {point.topic}", []).append(point)
    for some in by_entry.values():
        figure = next((one for one in knowledge.close_looks() if some[0].topic.startswith(f"{one.key}: ")), None)
        finds = figure.of(parasite) if figure is not None else None
        company = _company(facts, animal, some[0].happened_at)
        if figure is None or finds is None or not company:
            continue
        looked_at = sum(size_of_group(facts.household.animals[one.subject.removeprefix("animal/")]) for one in some)
        part = min(looked_at / company, 1.0)
        yield _Close(some[0].happened_at, some[0].entry_text, figure, finds, part, bool(some[0].number))


def _company(facts: Facts, animal: AnimalState, moment: datetime) -> int:
    """Return how many fishes shared the animal's water at a moment, itself among them."""
    system = _system_at(animal, moment)
    fishes = [
        one
        for one in facts.household.animals.values()
        if not knowledge.species_or_unknown(one.species).is_invertebrate and _system_at(one, moment) == system
    ]
    return sum(map(size_of_group, fishes)) if system is not None else 0


def _keenness_by_moment(by_eye: Looks, close: list[_Close], parasite: str) -> dict[datetime, float]:
    """Return how keen the looks of each moment were: clean ones together, or the keenest of those that saw it."""
    clean, seen = dict.fromkeys(by_eye.clean, 1.0), dict.fromkeys(by_eye.seen, 1.0)
    for one in close:
        keenness = _keenness(one, parasite)
        if one.is_seen:
            seen[one.at] = max(seen.get(one.at, 0.0), keenness)
        else:
            clean[one.at] = clean.get(one.at, 0.0) + keenness
    return {**clean, **seen}


def _keenness(look: _Close, parasite: str) -> float:
    """Return how keen a close look was beside one by eye at all: each parasite was found with a chance of its own.

    A parasite on an animal that was not looked at is not found, so the part looked at counts.
    """
    each = -expm1(log1p(-look.finds.at_burden_10) / _BURDEN) * look.part
    return log1p(-each) / (log1p(-knowledge.parasite(parasite).detection_at_burden_10.value) / _BURDEN)


def _words(facts: Facts, parasite: str, look: _Close) -> str:
    moment = when(look.at, facts.now, facts.zone)
    result = "seen" if look.is_seen else "none seen"
    part = "" if look.part >= 1.0 else f", at {percent(look.part)} of those in its water"
    finds = f"{percent(look.finds.low)} to {percent(look.finds.high)}, {look.finds.status}"
    return (
        f"Counted: a {look.figure.name} {moment}{part}, {result}. Of {counted(int(_BURDEN)).lower()} "
        f"{parasite.replace('_', ' ')} on a fish it finds one with {percent(look.finds.at_burden_10)} ({finds})."
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
