"""Concerns about adding anything to water whose animals still have to rest."""

from collections.abc import Iterator

from pratique.casework.concerns.pieces import about, evidence_at_day, reason
from pratique.casework.facts import Facts
from pratique.casework.health import AnimalHealth
from pratique.casework.sheets import Concern, NextStep
from pratique.casework.timeline import at_days, days_of
from pratique.casework.words import listed, short_day
from pratique.ledger.states import CaseState, SystemState
from pratique.science.growths.additions import AdditionAdvice, water_additions


def addition_advice(facts: Facts, healths: dict[str, AnimalHealth], system: str) -> AdditionAdvice:
    """Return whether anything may be added to a system's water; every animal that shares it counts, boxed or not."""
    rests = [
        (animal.key, healths[animal.key].rest) for animal in facts.household.living_in(system) if animal.key in healths
    ]
    return water_additions(rests, days_of(facts.now))


def open_cases(facts: Facts, system: str) -> list[CaseState]:
    """Return the growth cases followed in a system."""
    return [
        one
        for one in facts.household.cases.values()
        if one.system == system and one.closed is None and one.opened <= facts.now
    ]


def addition_concerns(facts: Facts, healths: dict[str, AnimalHealth]) -> Iterator[Concern]:
    """Yield a concern for each system with a growth that tempts to a cure while an animal in its water must rest."""
    for system in facts.household.systems.values():
        cases = open_cases(facts, system.key)
        advice = addition_advice(facts, healths, system.key)
        if cases and not advice.allowed_now and advice.not_before_day is not None:
            yield _concern(facts, healths, system, cases, advice)


def _concern(
    facts: Facts,
    healths: dict[str, AnimalHealth],
    system: SystemState,
    cases: list[CaseState],
    advice: AdditionAdvice,
) -> Concern:
    day = short_day(at_days(advice.not_before_day or 0.0).astimezone(facts.zone).date())
    growths = listed([case.name.lower() for case in cases])
    said = []
    evidence = []
    for key, _rest in advice.because:
        health = healths[key]
        place = health.animal.place
        where = facts.household.place_name(place.system, place.compartment) if place else system.name
        words = [one.words for one in health.exposures[-3:]]
        said.append(f"{health.animal.name} in {where} shares this water: {listed(words)}.")
        evidence += [evidence_at_day(one.words, one.at_day, one.entry) for one in health.exposures[-3:]]
    said.append("Taking growth out by hand is fine; nothing goes into the water.")
    return Concern(
        key=f"add-nothing.{system.key}",
        about=about(system),
        title=f"{system.name}: add nothing for the {growths}",
        weight="today",
        weight_words=f"not before {day}",
        said=tuple(said),
        next_steps=tuple(NextStep(f"Open {case.name.lower()}", about=about(case)) for case in cases),
        evidence=(
            *evidence,
            *(evidence_at_day(f"{case.name} opened", days_of(case.opened), str(case.entry)) for case in cases),
        ),
        reasons=(
            reason("rest.after_move_days", "Days of quiet after a move before a calm baseline is assumed."),
            reason("rest.after_medicine_days", "Days of rest after a medicine."),
        ),
    )
