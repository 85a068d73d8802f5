"""The page on letting an animal in: each resident it will meet, a rough chance of a fight, reasons and steps."""

from datetime import datetime, timedelta

from pratique import knowledge
from pratique.casework.concerns.pieces import about
from pratique.casework.facts import Facts
from pratique.casework.gates import clearance_of, gate_of
from pratique.casework.health import health_of
from pratique.casework.sheets import Reason
from pratique.casework.sheets.introduction import IntroductionSheet, RiskLine
from pratique.casework.words import chance_words, days_words, listed, sentence_case, when
from pratique.knowledge.introduction import IntroductionFigure, introduction_figure
from pratique.ledger.household import Household
from pratique.ledger.states import AnimalState, SystemState
from pratique.science.health.introduction import Fish, Plan, Resident, Risk, plan_of

_DAY = timedelta(days=1)
_LIKELY = {"surely": "Very likely", "probably": "Likely", "not": "Hardly"}


def introduction_sheet(household: Household, key: str, system: str, *, now: datetime) -> IntroductionSheet:
    """Return how to let an animal into a system, into the display where none is named.

    Raises KeyError for an animal that is not known.
    """
    animal = household.animals[key]
    facts = Facts(household, now)
    displays = [one for one in household.systems.values() if one.role == "display"]
    target = _target(animal, displays, household.systems.get(system))
    batch = household.batches.get(animal.batch or "")
    is_fish = not knowledge.species_or_unknown(animal.species).is_invertebrate
    others = _residents(household, animal, target) if target is not None and is_fish else []
    plan = plan_of(
        _fish(animal),
        [_resident(facts, animal, one, target.key) for one in others] if target is not None else [],
        tank_l=target.gross_volume_l if target is not None else None,
    )
    by_name = {one.name: one for one in others}
    return IntroductionSheet(
        about=about(animal),
        batch=about(batch) if batch is not None else None,
        target=about(target) if target is not None else None,
        targets=tuple(about(one) for one in displays if target is not None and one.key != target.key),
        gist=_gist(household, animal, target, plan),
        gate_words=_gate_words(facts, animal),
        risks=tuple(_line(by_name[one.resident.name], one) for one in plan.risks),
        box=_reason(plan.box) if plan.risks else None,
        box_words=_box_words(facts, animal) if is_fish else "",
        steps=tuple(_reason(one) for one in plan.steps) if is_fish else (),
        watch=tuple(_reason(one) for one in plan.watch) if is_fish else (),
        base=_reason(introduction_figure("base")),
        left_out=_left_out(household, target),
    )


def _target(animal: AnimalState, displays: list[SystemState], named: SystemState | None) -> SystemState | None:
    """Return the system named, else the display it is already in, else the largest display."""
    if named is not None:
        return named
    here = animal.place.system if animal.place is not None else ""
    return max(displays, key=lambda one: (one.key == here, one.gross_volume_l), default=None)


def _residents(household: Household, animal: AnimalState, target: SystemState) -> list[AnimalState]:
    """Return the fishes loose in a system: whoever is in a box itself has not been let in yet."""
    return [
        one
        for one in household.living_in(target.key)
        if one.key != animal.key
        and not knowledge.species_or_unknown(one.species).is_invertebrate
        and not (one.place is not None and _is_box(household, one.place.compartment))
    ]


def _is_box(household: Household, compartment: str | None) -> bool:
    found = household.compartments.get(compartment or "")
    return found is not None and found.form == "box"


def _fish(animal: AnimalState) -> Fish:
    kind = knowledge.species_or_unknown(animal.species)
    return Fish(
        name=animal.name,
        species=animal.species,
        genus=kind.latin.partition(" ")[0],
        family=kind.family,
        length_cm=animal.length_cm,
        adult_length_cm=kind.adult_length_cm,
    )


def _resident(facts: Facts, newcomer: AnimalState, resident: AnimalState, system: str) -> Resident:
    """Return a resident, with the days it has been there and those it saw the newcomer in a box in its water."""
    there = [one for one in resident.stays if one.system == system and one.until is None]
    since = there[-1].since if there else facts.now
    seen = sum(
        (
            max(min(stay.until or facts.now, facts.now) - max(stay.since, since), timedelta())
            for stay in newcomer.stays
            if stay.system == system and _is_box(facts.household, stay.compartment)
        ),
        timedelta(),
    )
    return Resident(_fish(resident), days_there=(facts.now - since) / _DAY, days_in_view=seen / _DAY)


def _line(resident: AnimalState, risk: Risk) -> RiskLine:
    kind = knowledge.species_or_unknown(resident.species)
    return RiskLine(
        about=about(resident),
        species_words=sentence_case(kind.name),
        chance_words=_chance_words(risk.chance),
        reasons=tuple(_reason(one) for one in risk.reasons),
        never=_reason(risk.never) if risk.never is not None else None,
        not_known=tuple(f"{sentence_case(one)} is not known." for one in risk.not_known),
    )


def _chance_words(chance: float) -> str:
    """Return how likely a damaging fight is, in words only: the sizes behind it are guesses."""
    said = chance_words(chance)
    return f"{_LIKELY.get(said, sentence_case(said))} fights it to its harm"


def _reason(figure: IntroductionFigure) -> Reason:
    return Reason(sentence_case(figure.words), figure.source, figure.status.value)


def _gist(household: Household, animal: AnimalState, target: SystemState | None, plan: Plan) -> str:
    if knowledge.species_or_unknown(animal.species).is_invertebrate:
        return "This page judges fishes that fight. It does not know who in the tank eats a shrimp, a snail or a coral."
    if target is None:
        return "No display is set up, so it is not known whom it will meet."
    place = animal.place
    if place is not None and place.system == target.key and not _is_box(household, place.compartment):
        return f"{animal.name} is loose in {target.name} already: this is for letting it in again after time apart."
    if plan.never:
        names = listed([one.resident.name for one in plan.never])
        return f"{animal.name} should not go into {target.name} at all: custom speaks against putting it with {names}."
    if not plan.risks:
        return f"No fish is written down in {target.name} that it could fight with."
    worst = plan.risks[0]
    return f"In {target.name} it has most to fear from {worst.resident.name}. Give it {plan.box.words} first."


def _gate_words(facts: Facts, animal: AnimalState) -> str:
    """Return whether its gate lets it go on: a newcomer that is ill puts all of the display at risk."""
    if animal.life != "alive":
        return "It is not here any more."
    batch = facts.household.batches.get(animal.batch or "")
    if batch is None:
        return "It is on no passage: whether it is free of disease was never judged."
    granted = clearance_of(facts, animal)
    if granted is not None:
        return f"It was cleared {when(granted.happened_at, facts.now, facts.zone)}."
    here = gate_of(facts, batch, animal, health_of(facts))
    if here.gate.is_open:
        return f"The gate of its leg “{here.leg.name}” is open."
    return f"The gate of its leg “{here.leg.name}” is shut: see to that before it meets anybody."


def _box_words(facts: Facts, animal: AnimalState) -> str:
    place = animal.place
    if place is None or not _is_box(facts.household, place.compartment):
        return "It is in no box now."
    days = days_words((facts.now - place.since) / _DAY)
    return f"It has been in {facts.household.place_name(place.system, place.compartment)} for {days}."


def _left_out(household: Household, target: SystemState | None) -> str:
    """Return who of the system is not judged here."""
    if target is None:
        return ""
    boxed = [
        one.name for one in household.living_in(target.key) if one.place and _is_box(household, one.place.compartment)
    ]
    said = "Shrimps, snails, corals and the like are left out: this is about fishes that fight."
    return f"{said} Not let in yet, so not counted: {listed(boxed)}." if boxed else said
