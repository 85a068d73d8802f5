"""The pages of passages: each batch's legs and gates, from arrival to settled."""

from datetime import datetime

from pratique.casework.concerns.pieces import about
from pratique.casework.facts import Facts
from pratique.casework.gate_lines import animal_gate
from pratique.casework.gates import AtGate, gate_of, leg_now
from pratique.casework.health import AnimalHealth, health_of
from pratique.casework.passage_troubles import troubles_of
from pratique.casework.people import resident
from pratique.casework.protocol_kept import protocol_of, protocol_words
from pratique.casework.rounds import all_concerns, concerns_about
from pratique.casework.sheets import LegLine, ListGroup, ListLine, NextStep, PassageSheet, Reason, TroubleLine
from pratique.casework.words import days_words, listed, short_day
from pratique.ledger.household import Household
from pratique.ledger.states import AnimalState, BatchState

_ROLE_WORDS = {
    "quarantine": "in a bare quarantine tank",
    "clean": "in clean water",
    "box": "in a box inside the display",
    "display": "in the display",
}


def passage_list(household: Household, *, now: datetime) -> tuple[ListGroup, ...]:
    """Return every batch, the newest first, with the leg it is on."""
    facts = Facts(household, now)
    concerns = all_concerns(facts, health_of(facts))
    lines = []
    for batch in sorted(household.batches.values(), key=lambda one: one.arrived or now, reverse=True):
        found = concerns_about(concerns, *(("animal", key) for key in batch.animals), ("batch", batch.key))
        worst = found[0] if found else None
        day = _day(facts, batch)
        lines.append(
            ListLine(
                about=about(batch),
                words=listed([household.animals[key].name for key in batch.animals if key in household.animals]),
                note=f"{leg_now(facts.household, batch).name}{f', day {day}' if day is not None else ''}",
                weight=worst.weight if worst else None,
                weight_words=worst.weight_words if worst else "",
            )
        )
    return (ListGroup(heading="Passages", lines=tuple(lines)),)


def passage_sheet(household: Household, key: str, *, now: datetime) -> PassageSheet:
    """Return the page of a batch's passage; raises KeyError for a batch that is not known."""
    batch = household.batches[key]
    facts = Facts(household, now)
    healths = health_of(facts)
    protocol = protocol_of(facts.household, batch.protocol)
    animals = [household.animals[one] for one in batch.animals if one in household.animals]
    alive = [one for one in animals if one.life == "alive"]
    courses = [one for one in household.courses.values() if one.batch == key and one.planned <= now]
    gates = _gates(facts, batch, alive, healths)
    shut = [one.name for one in alive if not gates[one.key].gate.is_open]
    subjects = [("animal", one.key) for one in animals] + [("course", one.key) for one in courses]
    return PassageSheet(
        about=about(batch),
        protocol_name=protocol.name,
        protocol_words=protocol_words(household, batch),
        day=_day(facts, batch),
        gist=_gist(facts, batch, alive, shut),
        legs=_legs(facts, batch, alive, gates, healths),
        animals=tuple(resident(household, one, healths.get(one.key)) for one in alive),
        courses=tuple((about(one), one.standing) for one in courses),
        concerns=concerns_about(all_concerns(facts, healths), ("batch", key), *subjects),
        reasons=(Reason(protocol.words, protocol.source, protocol.status.value),),
        steps=_steps(household, batch, alive, shut),
        troubles=tuple(
            TroubleLine(words=one.words, follows=one.follows, evidence=one.evidence)
            for one in troubles_of(facts, batch)
        ),
    )


def _day(facts: Facts, batch: BatchState) -> int | None:
    if batch.arrived is None:
        return None
    return (facts.now.astimezone(facts.zone).date() - batch.arrived.astimezone(facts.zone).date()).days


def _gates(
    facts: Facts, batch: BatchState, alive: list[AnimalState], healths: dict[str, AnimalHealth]
) -> dict[str, AtGate]:
    """Return the gate before each animal, by its key."""
    return {animal.key: gate_of(facts, batch, animal, healths) for animal in alive}


def _gist(facts: Facts, batch: BatchState, alive: list[AnimalState], shut: list[str]) -> str:
    day = _day(facts, batch)
    first = (
        f"Day {day}: {leg_now(facts.household, batch).name.lower()}."
        if day is not None
        else f"{leg_now(facts.household, batch).name}."
    )
    if not alive:
        return f"{first} No animal of this batch is here any more."
    if not shut:
        return f"{first} Every gate is open: the next leg may begin."
    if len(shut) == len(alive):
        return f"{first} The gate is shut for all of them."
    return f"{first} The gate is shut for {listed(shut)}."


def _legs(
    facts: Facts,
    batch: BatchState,
    alive: list[AnimalState],
    gates: dict[str, AtGate],
    healths: dict[str, AnimalHealth],
) -> tuple[LegLine, ...]:
    protocol = protocol_of(facts.household, batch.protocol)
    begun = {one.leg: one for one in batch.legs}
    now_index = protocol.legs.index(leg_now(facts.household, batch))
    on_leg: dict[str, list[AnimalState]] = {}
    for animal in alive:
        on_leg.setdefault(gates[animal.key].leg.key, []).append(animal)
    lines = []
    for index, leg in enumerate(protocol.legs):
        here = on_leg.get(leg.key, [])
        began = begun.get(leg.key)
        is_done = index < now_index and not here
        lines.append(
            LegLine(
                key=leg.key,
                name=leg.name,
                standing="done" if is_done else "now" if here or index == now_index else "ahead",
                when_words=_when_words(facts, began.began if began else None, here),
                role_words=_ROLE_WORDS.get(leg.system_role, leg.system_role),
                gates=tuple(animal_gate(facts, batch, one, gates[one.key], healths.get(one.key)) for one in here),
            )
        )
    return tuple(lines)


def _when_words(facts: Facts, began: datetime | None, here: list[AnimalState]) -> str:
    if began is not None:
        days = days_words((facts.now - began).total_seconds() / 86400)
        return f"begun {short_day(began.astimezone(facts.zone).date())}, {days} ago"
    return f"{listed([one.name for one in here])} went ahead" if here else "not begun"


def _steps(household: Household, batch: BatchState, alive: list[AnimalState], shut: list[str]) -> tuple[NextStep, ...]:
    if not alive:
        return ()
    protocol = protocol_of(household, batch.protocol)
    keys = [leg.key for leg in protocol.legs]
    index = keys.index(leg_now(household, batch).key)
    steps = []
    if index + 1 < len(keys):
        following = protocol.legs[index + 1]
        words = f"Begin the next leg: {following.name.lower()}"
        if shut:
            words = "Begin the next leg although its gate is shut"
        answers = (("batch", batch.key), ("leg", following.key))
        steps.append(NextStep(words, form="leg", answers=answers))
    others = [
        NextStep("Move animals", form="move"),
        NextStep("Plan a course", form="course", answers=(("batch", batch.key),)),
    ]
    # What the gates speak against is not the first thing to offer.
    return tuple([*others, *steps] if shut else [*steps, *others])
