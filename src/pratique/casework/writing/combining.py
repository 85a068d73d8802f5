"""What a course, a dose or a move would meet that it must not: refused in planning, asked once where it happened."""

from collections.abc import Container, Iterable

from pratique import knowledge
from pratique.casework.combining import Against, against, in_water, lived_in, meetings, name_of, wash_out_words
from pratique.casework.facts import Facts
from pratique.casework.medicines import Medicines
from pratique.casework.words import amount, clock, day_words, days_words, when
from pratique.casework.writing.asked import Asked
from pratique.knowledge import Substance
from pratique.ledger.states import AnimalState, SystemState

LOW_SALINITY = "low_salinity"
# Too few letters to say why.
MIN_OVERRIDE_LETTERS = 15


def check_combining(asked: Asked, system: SystemState, substance: Substance, animals: Iterable[AnimalState]) -> None:
    """Refuse a course beside, or too soon after, what it must not meet: with the reason and the earliest day.

    In the keeper's own words it can be planned all the same, but never what reacts so that a person may be hurt.
    """
    facts = Facts(asked.household, asked.at)
    is_told_why = len(asked.text("override")) >= MIN_OVERRIDE_LETTERS
    for found in against(facts, system, substance, animals):
        words = f"{_stands(facts, system, found)} {found.pair.words}"
        if found.pair.is_violent:
            asked.problem("substance", f"{words} {_earliest(facts, found)}")
        elif is_told_why:
            asked.doubt("substance", f"{words} Keep it in your words, beside what stands against it?")
        else:
            asked.problem(
                "substance",
                f"{words} {_earliest(facts, found)} Or say under “Why it is planned all the same” what makes it "
                "necessary.",
            )
    _check_salinity(asked, facts, system, substance)


def combining_question(
    asked: Asked,
    system: SystemState,
    substance: Substance,
    animals: Iterable[AnimalState],
    *,
    besides: Container[str] = (),
) -> str | None:
    """Return the urgent question about what went in beside what it must not meet, or None.

    `besides` are the pairs that are asked about elsewhere.
    """
    facts = Facts(asked.household, asked.at)
    found = [one for one in against(facts, system, substance, animals) if one.pair.key not in besides]
    if not found:
        return None
    words = [f"{_stands(facts, system, one)} {one.pair.words} {_apart(one)}" for one in found]
    return f"Urgent: {' '.join(words)} Watch how they breathe and be ready to move them. Did it really go in?"


def meeting_question(asked: Asked, system: SystemState, animals: Iterable[AnimalState]) -> str | None:
    """Return the urgent question about animals moved into water that must not meet what they were in, or None."""
    facts = Facts(asked.household, asked.at)
    medicines = Medicines(facts)
    there = in_water(facts, medicines, system)
    told: dict[str, None] = {}
    for animal in animals:
        own = [one for key, one in lived_in(facts, medicines, animal) if key != system.key]
        for met in meetings([*there, *own], facts.now):
            ends = {met.earlier.where, met.later.where}
            if ends == {system.name, f"{animal.name}'s water"}:
                names = f"{name_of(met.earlier)} and {met.later.name}"
                told[f"{names} must not follow each other in {animal.name}. {met.pair.words}"] = None
    if not told:
        return None
    return f"Urgent: {' '.join(told)} Did it really go into {system.name}?"


def _stands(facts: Facts, system: SystemState, found: Against) -> str:
    met = found.met
    if found.free_at is None:
        return f"{name_of(met)} is still in {system.name}."
    if met.until is None:
        return f"{name_of(met)} is in {met.where} still."
    moment = when(met.until, facts.now, facts.zone).removeprefix("on ")
    return f"{name_of(met)} was in {met.where} until {moment}."


def _apart(found: Against) -> str:
    return f"Usually {days_words(found.pair.days_apart)} lie between them ({found.pair.status})."


def _earliest(facts: Facts, found: Against) -> str:
    if found.free_at is None:
        days = days_words(found.pair.days_apart)
        return f"{wash_out_words(found)} The earliest day is {days} after that ({found.pair.status})."
    at = found.free_at.astimezone(facts.zone)
    return f"{_apart(found)} The earliest is {day_words(at.date())}, {clock(found.free_at, facts.zone)}."


def _check_salinity(asked: Asked, facts: Facts, system: SystemState, substance: Substance) -> None:
    """Ask about a course that lowered salinity stands against, where the newest reading is below the safe band."""
    found = knowledge.combination_of(substance.key, LOW_SALINITY)
    readings = facts.read_of(system.key, "salinity")
    if found is None or not readings or readings[-1].number is None:
        return
    newest = readings[-1].number
    if newest < knowledge.figure("salinity.safe_lower_psu").value:
        level = amount(newest, 1, "PSU")
        asked.doubt(
            "substance",
            f"{system.name} was read at {level} of salinity. {found.words} ({found.status}). Plan it all the same?",
        )
