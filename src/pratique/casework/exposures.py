"""What one animal went through that asks for rest: moves, medicines in its water, ammonia."""

from datetime import datetime

from pratique import knowledge
from pratique.casework.facts import Facts
from pratique.casework.medicines import Medicines, Span
from pratique.casework.timeline import days_of
from pratique.casework.words import amount, when
from pratique.ledger.states import AnimalState, Stay
from pratique.science.health.rest import Exposed


def move_exposures(facts: Facts, animal: AnimalState) -> tuple[Exposed, ...]:
    """Return its arrival and its moves, the oldest first."""
    found = []
    for number, stay in enumerate(animal.stays):
        if stay.since > facts.now:
            continue
        place = facts.household.place_name(stay.system, stay.compartment)
        words = f"moved to {place}" if number else "arrived"
        moment = when(stay.since, facts.now, facts.zone)
        found.append(Exposed(days_of(stay.since), "move", f"{words} {moment}", str(stay.entry)))
    return tuple(found)


def medicine_exposures(facts: Facts, medicines: Medicines, animal: AnimalState) -> tuple[Exposed, ...]:
    """Return the medicines it was in, the oldest first; one it may still be in counts as going on now.

    Waters it left before the time looked back on are reckoned as if it left them medicated: the later end is the safer.
    """
    found = []
    for stay in animal.stays:
        left = _left(facts, stay)
        for span in medicines.spans(stay.system):
            ended = min(span.ended or facts.now, left)
            if span.began <= left and ended >= stay.since and stay.since <= facts.now:
                is_going_on = span.ended is None and left >= facts.now
                found.append(_going_on(facts, span) if is_going_on else _over(facts, span, ended))
    return tuple(sorted(found, key=lambda one: one.at_day))


def _left(facts: Facts, stay: Stay) -> datetime:
    return min(stay.until or facts.now, facts.now)


def _going_on(facts: Facts, span: Span) -> Exposed:
    name = knowledge.substance_or_unknown(span.substance).name
    words = {
        "course": f"in {name} now",
        "put in": f"in water with {name}, not read as gone",
        "not read": f"in water that held {name}, not read as gone since the course was stopped",
    }
    return Exposed(days_of(facts.now), "medicine", words[span.still or "put in"], span.entry)


def _over(facts: Facts, span: Span, ended: datetime) -> Exposed:
    name = knowledge.substance_or_unknown(span.substance).name
    words = f"{name} until {when(ended, facts.now, facts.zone).removeprefix('on ')}"
    return Exposed(days_of(ended), "medicine_end", words, span.entry)


def ammonia_exposure(facts: Facts, medicines: Medicines, animal: AnimalState) -> tuple[Exposed, ...]:
    """Return the newest time ammonia in its water reached the figure to act at, if it did in the last days."""
    found = [
        (ammonia, stay)
        for stay in animal.stays
        if _left(facts, stay) >= facts.since
        for ammonia in medicines.ammonia(stay.system)
        if stay.since <= ammonia.at <= _left(facts, stay)
    ]
    if not found:
        return ()
    ammonia, stay = max(found, key=lambda pair: pair[0].at)
    act = knowledge.figure("ammonia.act_mg_n_per_l")
    place = facts.household.place_name(stay.system, None)
    perhaps = "" if ammonia.value is not None else "perhaps "
    words = (
        f"{perhaps}un-ionised ammonia at {amount(act.value, 2, 'mg/L as N')} or more in {place} "
        f"{when(ammonia.at, facts.now, facts.zone)}"
    )
    return (Exposed(days_of(ammonia.at), "ammonia", words, str(ammonia.taken.id)),)
