"""The gate before an animal: the leg it is on, each criterion judged, overrides counted, and when it may open."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from pratique import knowledge
from pratique.casework.clearance import Cleared, cleared
from pratique.casework.facts import Facts
from pratique.casework.health import AnimalHealth
from pratique.casework.passage_facts import facts_for_gate
from pratique.casework.protocol_kept import protocol_of
from pratique.knowledge import GateCriterion, Leg, Protocol
from pratique.ledger.entries import Recorded
from pratique.ledger.household import Household
from pratique.ledger.kinds.gates import Clearance, Override
from pratique.ledger.queries import entries_about
from pratique.ledger.states import AnimalState, BatchState
from pratique.science.passage.calendar_ahead import Ahead, ahead, all_ahead, least_days
from pratique.science.passage.gates import FREE_OF, Criterion, Gate, gate

_SHARED = frozenset({"box", "display"})


@dataclass(frozen=True)
class AtGate:
    """The leg an animal is on and the gate at its end: criteria, their findings, and when each can be met.

    `overrides` are the entries that let a criterion count, by its key; `cleared` says what the disease was reckoned by.
    """

    leg: Leg
    criteria: tuple[GateCriterion, ...]
    gate: Gate
    ahead: tuple[Ahead, ...]
    overrides: Mapping[str, Recorded]
    cleared: Cleared

    @property
    def opens(self) -> Ahead:
        """Return when the gate can be open at the earliest."""
        waiting = zip(self.criteria, self.ahead, strict=True)
        return all_ahead(one for criterion, one in waiting if criterion.key not in self.gate.overridden)


def leg_now(household: Household, batch: BatchState) -> Leg:
    """Return the leg a batch is on: the last it began, or the first of its protocol."""
    legs = protocol_of(household, batch.protocol).legs
    begun = batch.legs[-1].leg if batch.legs else legs[0].key
    return next((leg for leg in legs if leg.key == begun), legs[0])


def leg_of_animal(facts: Facts, batch: BatchState, animal: AnimalState) -> Leg:
    """Return the leg an animal is on: its batch's, or a later one where it has gone ahead into the box or display."""
    legs = protocol_of(facts.household, batch.protocol).legs
    begun = leg_now(facts.household, batch)
    role = role_of(facts, animal)
    ahead_of = [leg for leg in legs[legs.index(begun) :] if leg.system_role == role]
    return ahead_of[0] if role in _SHARED and ahead_of else begun


def role_of(facts: Facts, animal: AnimalState) -> str:
    """Return the role of the place an animal is in, `box` for a box in whichever system; nothing for one gone."""
    place = animal.place
    if place is None:
        return ""
    compartment = facts.household.compartments.get(place.compartment or "")
    is_box = compartment is not None and compartment.form == "box"
    return "box" if is_box else str(facts.household.system_or_missing(place.system).role)


def criteria_at(protocol: Protocol, leg: Leg) -> tuple[GateCriterion, ...]:
    """Return what a gate asks: what the protocol puts there and, from the last before shared water on, no parasite."""
    shared = next((n for n, one in enumerate(protocol.legs) if one.system_role in _SHARED), None)
    if shared is None or protocol.legs.index(leg) < shared - 1:
        return leg.criteria
    return (*leg.criteria, *disease_criteria())


def disease_criteria() -> tuple[GateCriterion, ...]:
    """Return the criterion of each parasite: the event is the same everywhere."""
    figure = knowledge.figure("gate.clear_probability")
    return tuple(
        GateCriterion(
            key=f"{FREE_OF}{parasite.key}",
            words=f"No living {parasite.key.replace('_', ' ')} on it, or in water moved with it",
            required=figure.value,
            unit="probability",
            source=figure.source,
            status=figure.status,
        )
        for parasite in knowledge.parasites()
    )


def gate_of(
    facts: Facts, batch: BatchState, animal: AnimalState, healths: Mapping[str, AnimalHealth], *, leg: Leg | None = None
) -> AtGate:
    """Return the gate before an animal, of the leg it is on or of another one."""
    leg = leg or leg_of_animal(facts, batch, animal)
    asked = criteria_at(protocol_of(facts.household, batch.protocol), leg)
    known = facts_for_gate(facts, batch, animal, healths.get(animal.key))
    found = Cleared({}, (), ())
    if any(one.key.startswith(FREE_OF) for one in asked) and animal.key in healths:
        found = cleared(facts, animal, healths)
        known = replace(known, clear=found.chances, entries={**known.entries, "clear": found.entries})
    criteria = [Criterion(one.key, one.words, one.required, one.unit) for one in asked]
    overrides = overrides_of(facts, animal, leg)
    judged = gate(criteria, known, overridden=overrides)
    when = tuple(ahead(*pair, known) for pair in zip(criteria, judged.findings, strict=True))
    return AtGate(leg, asked, judged, when, overrides, found)


def overrides_of(facts: Facts, animal: AnimalState, leg: Leg) -> dict[str, Recorded]:
    """Return the newest override of each criterion of an animal on a leg."""
    found = entries_about(f"animal/{animal.key}", ["override"], until=facts.now)
    return {
        one.payload.shown.key: one for one in found if isinstance(one.payload, Override) and one.payload.leg == leg.key
    }


def clearance_of(facts: Facts, animal: AnimalState) -> Recorded | None:
    """Return the entry with which an animal was cleared, the newest one; None where it was not."""
    found = entries_about(f"animal/{animal.key}", ["clearance"], until=facts.now)
    granted = [one for one in found if isinstance(one.payload, Clearance)]
    return granted[-1] if granted else None


def settled_ahead(household: Household, batch: BatchState, here: AtGate) -> Ahead:
    """Return when the animal can have passed every gate: this one, and each later leg in its least days."""
    opens = here.opens
    if opens.days is None:
        return opens
    legs = protocol_of(household, batch.protocol).legs
    later = legs[legs.index(here.leg) + 1 :]
    return Ahead(opens.days + sum(least_days(leg) for leg in later))
