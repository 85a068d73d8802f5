"""The gate of one animal as its page tells it: each criterion with its number, its doubts and its earliest day."""

from dataclasses import replace
from datetime import timedelta
from uuid import UUID

from pratique import knowledge
from pratique.casework.clearance_looks import is_seen_by_eye
from pratique.casework.concerns.pieces import about
from pratique.casework.evidence import evidence_of
from pratique.casework.facts import Facts
from pratique.casework.gates import AtGate, clearance_of, settled_ahead
from pratique.casework.health import AnimalHealth
from pratique.casework.people import appetite_words
from pratique.casework.sheets import AnimalGate, CriterionLine, NextStep, Reason
from pratique.casework.words import day_words, listed, percent, sentence_case, short_day, when
from pratique.knowledge import GateCriterion
from pratique.ledger.states import AnimalState, BatchState
from pratique.science.health.appetite_states import EATING
from pratique.science.passage.calendar_ahead import Ahead, all_ahead
from pratique.science.passage.clear import ClearChance
from pratique.science.passage.gates import FREE_OF, Finding

_DAY = timedelta(days=1)
_SURE = 0.995
_UNSEEN = "Looks by eye count for nothing here: they are seen only under a microscope, or after a fresh-water dip."
# Less than this shows in no whole per cent.
_NO_EFFECT = 0.0005


def animal_gate(
    facts: Facts, batch: BatchState, animal: AnimalState, here: AtGate, health: AnimalHealth | None
) -> AnimalGate:
    """Return the gate before an animal as its batch's page shows it."""
    found = zip(here.criteria, here.gate.findings, here.ahead, strict=True)
    return AnimalGate(
        about=about(animal),
        is_open=here.gate.is_open,
        criteria=tuple(_with_chance(_line(facts, animal, here, one), one[0].key, health) for one in found),
        standing=_standing(facts, animal, here),
        earliest=_earliest(facts, batch, here),
        look_for=look_for(here, health),
        steps=_steps(facts, animal, here),
    )


def _line(
    facts: Facts, animal: AnimalState, here: AtGate, found: tuple[GateCriterion, Finding, Ahead]
) -> CriterionLine:
    criterion, finding, ahead = found
    is_counted = finding.key in here.gate.overridden
    override = None
    if finding.status != "met" and not is_counted and criterion.key != knowledge.PROTOCOL_KNOWN:
        answers = (("animal", animal.key), ("criterion", criterion.key))
        override = NextStep("Let it count all the same", form="override", answers=answers)
    return CriterionLine(
        status=finding.status,
        title=criterion.words,
        words=finding.words.removeprefix(f"{criterion.words}: "),
        evidence=evidence_of(UUID(one) for one in finding.entries),
        how_to_know=finding.how_to_know,
        reason=Reason(_required_words(criterion), criterion.source, criterion.status.value),
        earliest="" if finding.status == "met" else _when(facts, ahead),
        override=_override_words(facts, here, finding.key) if is_counted else "",
        details=disease_details(here, finding.key),
        override_step=override,
    )


def _with_chance(line: CriterionLine, key: str, health: AnimalHealth | None) -> CriterionLine:
    """Return the line about eating with how likely it eats now; a run of days says nothing of today by itself."""
    chances = health.appetites.chances(health.animal.key) if health is not None and key == "days_eating" else None
    if chances is None:
        return line
    return replace(line, words=f"{line.words} That it eats now is {percent(float(chances[EATING]))} likely.")


def _required_words(criterion: GateCriterion) -> str:
    """Return what a gate asks for; days at target also with how sure they must be, which is our own figure."""
    if criterion.key.startswith(FREE_OF):
        return f"Counted as met from {percent(criterion.required)} on"
    words = f"Required: {criterion.required:g} {criterion.unit}"
    if criterion.key != "days_at_target":
        return words
    figure = knowledge.figure("gate.held_probability")
    return f"{words}; they count as met from {percent(figure.value)} on ({figure.status.value}, {figure.source})"


def _when(facts: Facts, ahead: Ahead) -> str:
    """Return the earliest day of a criterion in words."""
    if ahead.days is None:
        return f"{sentence_case(ahead.words)}."
    day = (facts.now + ahead.days * _DAY).astimezone(facts.zone).date()
    words = "today" if day == facts.now.astimezone(facts.zone).date() else f"on {day_words(day)}"
    return f"At the earliest {words}{f', {ahead.words}' if ahead.words else ', if all goes well'}."


def _override_words(facts: Facts, here: AtGate, key: str) -> str:
    entry = here.overrides[key]
    moment = when(entry.happened_at, facts.now, facts.zone)
    return f"Let count {moment} by {entry.author}: “{entry.raw.get('words', '')}”"


def disease_details(here: AtGate, key: str) -> tuple[str, ...]:
    """Return what the chance of being free of a parasite hangs on: the dip, guesses and looks, with their effect."""
    if not key.startswith(FREE_OF):
        return ()
    found = here.cleared.chances.get(key.removeprefix(FREE_OF))
    if found is None:
        return here.cleared.said
    looked = here.cleared.looked.get(key.removeprefix(FREE_OF), ())
    unseen = looked or (() if is_seen_by_eye(key.removeprefix(FREE_OF)) else (_UNSEEN,))
    return (*_dip_details(here, found), *_guess_details(found), *unseen, *here.cleared.said)


def _dip_details(here: AtGate, found: ClearChance) -> list[str]:
    if found.without_dip is None or abs(found.without_dip - found.unlooked) < _NO_EFFECT:
        return []
    now, without = percent(found.unlooked), percent(found.without_dip)
    changed = f"{now} with it, {without} without" if now != without else f"{now} with it and hardly more without"
    return [f"What the dip of {listed(list(here.cleared.dipped))} did: {changed}, looks aside."]


def _guess_details(found: ClearChance) -> list[str]:
    carried = "It surely came along, for its signs were seen"
    if found.carried_in < _SURE:
        carried = f"That it came along at all is taken at {percent(found.carried_in)}"
    said = [f"{carried}; had it surely, the chance of being free would be {percent(found.if_carried)}."]
    if not found.are_looks_counted:
        said.append(
            "The looks are left out: by what is believed of it, the signs could not have shown when they were seen."
        )
    if found.hangs_on:
        shares = listed([f"{name} ({percent(share)} of the spread)" for name, share in found.hangs_on])
        said.append(f"Most uncertain in it: {shares}.")
    said.append(
        "How many came along, what a look finds, how well a swimmer settles and what copper does to it are guesses, "
        "and that fish grow immune is left out."
    )
    return said


def _standing(facts: Facts, animal: AnimalState, here: AtGate) -> str:
    """Return the two answers apart: free of disease, and fit; or that it was cleared."""
    granted = clearance_of(facts, animal)
    if granted is not None:
        return f"Cleared {when(granted.happened_at, facts.now, facts.zone)} by {granted.author}."
    parts = []
    for words, is_disease in (("free of disease", True), ("fit", False)):
        some = [one for one in here.gate.findings if one.key.startswith(FREE_OF) == is_disease]
        if some:
            parts.append(f"{words}: {_together(some)}")
    text = "; ".join(parts)
    return f"{text[:1].upper()}{text[1:]}." if parts else ""


def _together(findings: list[Finding]) -> str:
    """Return how several criteria stand as one: what is not met weighs more than what is not known."""
    statuses = {one.status for one in findings}
    if "not met" in statuses:
        return "not yet"
    return "not known" if "not known" in statuses else "yes"


def _earliest(facts: Facts, batch: BatchState, here: AtGate) -> str:
    """Return when the gate can open, and the last one after it; fitness and disease apart where one has no day."""
    opens, settled = here.opens, settled_ahead(facts.household, batch, here)
    if opens.days is None:
        return " ".join(_apart(facts, here))
    first = f"This gate can open on {_day(facts, opens.days)} at the earliest, {opens.words or 'if all goes well'}."
    if here.gate.is_open:
        first = "This gate is open."
    later = settled.days is not None and settled.days > opens.days
    return f"{first} The last one then on {_day(facts, settled.days or 0.0)}." if later else first


def _apart(facts: Facts, here: AtGate) -> list[str]:
    """Return the earliest day of fitness, and that of freedom from disease, each by itself."""
    waiting = [
        (criterion.key.startswith(FREE_OF), one)
        for criterion, one in zip(here.criteria, here.ahead, strict=True)
        if criterion.key not in here.gate.overridden
    ]
    said = []
    for words, wanted in (("Fit", False), ("Free of disease", True)):
        found = all_ahead(one for is_disease, one in waiting if is_disease == wanted)
        if found.days is None:
            said.append(f"{words}: {found.words}.")
        elif found.days > 0.0:
            said.append(f"{words} on {_day(facts, found.days)} at the earliest, {found.words or 'if all goes well'}.")
    return said


def _day(facts: Facts, days: float) -> str:
    return short_day((facts.now + days * _DAY).astimezone(facts.zone).date())


def look_for(here: AtGate, health: AnimalHealth | None) -> tuple[str, ...]:
    """Return what to look for where an animal is not fit: what each shut criterion most often goes with."""
    if health is None:
        return ()
    shut = {one.key for one in here.gate.findings if one.status == "not met"}
    found = []
    if "condition_holding" in shut and health.appetite.state == "eating":
        found.append(
            "It eats, yet grows thin. Look for flukes (a fresh-water dip over a dark bowl, skin and gills under a "
            "microscope), for worms in its droppings, for others that take its food, and at what it is fed."
        )
    elif "condition_holding" in shut:
        found.append("It grows thin. Look at how it feeds first: too little, too seldom, or food it does not take.")
    if "days_eating" in shut and health.appetite.state != "eating":
        spell = sentence_case(appetite_words(health))
        found.append(f"{spell}. Offer what it took last, in small meals, with the light low.")
    if "breathing_normal" in shut:
        found.append("It breathes fast. Read ammonia, pH and temperature, and look at its gills for flukes or velvet.")
    return tuple(found)


def _steps(facts: Facts, animal: AnimalState, here: AtGate) -> tuple[NextStep, ...]:
    """Return that it may be cleared, once it is on its last leg."""
    if here.leg.system_role != "display" or clearance_of(facts, animal) is not None:
        return ()
    words = f"Clear {animal.name}" if here.gate.is_open else f"Clear {animal.name} although its last gate is shut"
    return (NextStep(words, form="clearance", answers=(("animal", animal.key),)),)
