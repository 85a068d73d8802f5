"""Pure folds: the state of one subject from the standing entries about it, in the order things happened."""

from collections.abc import Callable, Sequence
from datetime import datetime

from pratique.ledger.entries import Recorded
from pratique.ledger.kinds import animals, care, places, protocols
from pratique.ledger.states import (
    AnimalState,
    BatchState,
    BegunLeg,
    CaseState,
    CompartmentState,
    CourseState,
    HouseholdState,
    MethodState,
    ProtocolState,
    State,
    Stay,
    StockState,
    SystemState,
)

# Which kinds shape a subject of each type; all others only speak of it.
SHAPING_KINDS: dict[str, frozenset[str]] = {
    "household": frozenset({"household"}),
    "system": frozenset({"system"}),
    "compartment": frozenset({"compartment"}),
    "method": frozenset({"method"}),
    "stock": frozenset({"stock"}),
    "protocol": frozenset({"protocol"}),
    "batch": frozenset({"batch", "leg", "arrival"}),
    "animal": frozenset({"arrival", "move", "loss", "death"}),
    "course": frozenset({"course", "course-start", "course-stop"}),
    "case": frozenset({"growth-case", "case-closed"}),
}


def fold(subject: str, entries: Sequence[Recorded]) -> State | None:
    """Return the subject's state, or None while no entry has set it up."""
    kind, _, key = subject.partition("/")
    return _FOLDS[kind](key, entries)


def _newest[P](entries: Sequence[Recorded], model: type[P]) -> tuple[P, Recorded] | None:
    found = [(entry.payload, entry) for entry in entries if isinstance(entry.payload, model)]
    return found[-1] if found else None


def _household(_key: str, entries: Sequence[Recorded]) -> HouseholdState | None:
    newest = _newest(entries, places.Household)
    if newest is None:
        return None
    told, entry = newest
    return HouseholdState(
        key="",
        name=told.name,
        entry=entry.id,
        zone=told.zone,
        people=told.people,
        volume_unit=told.volume_unit,
        temperature_unit=told.temperature_unit,
    )


def _system(key: str, entries: Sequence[Recorded]) -> SystemState | None:
    newest = _newest(entries, places.System)
    if newest is None:
        return None
    told, entry = newest
    return SystemState(
        key=key,
        name=told.name,
        entry=entry.id,
        role=told.role,
        gross_volume_l=told.gross_volume_l,
        net_volume_l=told.net_volume_l,
        net_volume_plus_minus_l=told.net_volume_plus_minus_l,
        keeps_invertebrates=told.keeps_invertebrates,
        words=told.words,
        since=entries[0].happened_at,
    )


def _compartment(key: str, entries: Sequence[Recorded]) -> CompartmentState | None:
    newest = _newest(entries, places.Compartment)
    if newest is None:
        return None
    told, entry = newest
    return CompartmentState(key=key, name=told.name, entry=entry.id, system=told.system, form=told.form)


def _method(key: str, entries: Sequence[Recorded]) -> MethodState | None:
    newest = _newest(entries, places.Method)
    if newest is None:
        return None
    told, entry = newest
    shared = told.model_dump(exclude={"confirmed", "key"})
    return MethodState(key=key, entry=entry.id, **shared)


def _stock(key: str, entries: Sequence[Recorded]) -> StockState | None:
    newest = _newest(entries, places.Stock)
    if newest is None:
        return None
    told, entry = newest
    shared = told.model_dump(exclude={"confirmed", "key"})
    return StockState(key=key, entry=entry.id, **shared)


def _protocol(key: str, entries: Sequence[Recorded]) -> ProtocolState | None:
    newest = _newest(entries, protocols.Protocol)
    if newest is None:
        return None
    told, entry = newest
    # An amendment bears the moment of what it amends: its text counts only since it was recorded.
    is_first = entry.amends is None and entry.id == entries[0].id
    changed = None if is_first else entry.recorded_at if entry.amends is not None else entry.happened_at
    return ProtocolState(key=key, name=told.name, entry=entry.id, text=told.text, changed=changed)


def _batch(key: str, entries: Sequence[Recorded]) -> BatchState | None:
    newest = _newest(entries, animals.Batch)
    if newest is None:
        return None
    told, entry = newest
    arrivals = [(one, one.payload) for one in entries if isinstance(one.payload, animals.Arrival)]
    legs = tuple(
        BegunLeg(leg=one.payload.leg, began=one.happened_at, words=one.payload.words, entry=one.id)
        for one in entries
        if isinstance(one.payload, animals.Leg)
    )
    return BatchState(
        key=key,
        name=told.name,
        entry=entry.id,
        protocol=told.protocol,
        animals=tuple(dict.fromkeys(arrival.key for _, arrival in arrivals)),
        arrived=arrivals[0][0].happened_at if arrivals else None,
        legs=legs,
    )


def _animal(key: str, entries: Sequence[Recorded]) -> AnimalState | None:
    newest = _newest(entries, animals.Arrival)
    if newest is None:
        return None
    told, entry = newest
    end = next((one for one in reversed(entries) if isinstance(one.payload, animals.Loss | animals.Death)), None)
    # An animal that was missing and is moved again has been found.
    last_place = next(one for one in reversed(entries) if isinstance(one.payload, animals.Arrival | animals.Move))
    if end is not None and isinstance(end.payload, animals.Loss) and last_place.happened_at > end.happened_at:
        end = None
    ended = end.happened_at if end is not None else None
    life = "alive" if end is None else "missing" if isinstance(end.payload, animals.Loss) else "dead"
    return AnimalState.model_validate(
        {
            "key": key,
            "name": told.name,
            "entry": entry.id,
            "species": told.species,
            "count": told.count,
            "batch": told.batch,
            "length_cm": told.length_cm,
            "life": life,
            "ended": ended,
            "stays": _stays(entries, ended),
        }
    )


def _stays(entries: Sequence[Recorded], ended: datetime | None) -> tuple[Stay, ...]:
    places_taken = [(one, one.payload) for one in entries if isinstance(one.payload, animals.Arrival | animals.Move)]
    untils = [one.happened_at for one, _ in places_taken[1:]] + [ended]
    return tuple(
        Stay(system=told.system, compartment=told.compartment, since=one.happened_at, until=until, entry=one.id)
        for (one, told), until in zip(places_taken, untils, strict=True)
    )


def _course(key: str, entries: Sequence[Recorded]) -> CourseState | None:
    newest = _newest(entries, care.Course)
    if newest is None:
        return None
    told, entry = newest
    start = _newest(entries, care.CourseStart)
    stop = _newest(entries, care.CourseStop)
    shared = told.model_dump(exclude={"confirmed", "key", "words"})
    return CourseState(
        key=key,
        entry=entry.id,
        planned=entry.happened_at,
        started=start[1].happened_at if start else None,
        stopped=stop[1].happened_at if stop else None,
        **shared,
    )


def _case(key: str, entries: Sequence[Recorded]) -> CaseState | None:
    newest = _newest(entries, care.GrowthCase)
    if newest is None:
        return None
    told, entry = newest
    closed = _newest(entries, care.CaseClosed)
    return CaseState(
        key=key,
        name=told.name,
        entry=entry.id,
        system=told.system,
        where=told.where,
        opened=entry.happened_at,
        closed=closed[1].happened_at if closed else None,
    )


_FOLDS: dict[str, Callable[[str, Sequence[Recorded]], State | None]] = {
    "household": _household,
    "system": _system,
    "compartment": _compartment,
    "method": _method,
    "stock": _stock,
    "protocol": _protocol,
    "batch": _batch,
    "animal": _animal,
    "course": _course,
    "case": _case,
}
