"""What a planned course would meet in its water or its animals that it must not be combined with."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from pratique import knowledge
from pratique.casework.copper import CONSTITUENT
from pratique.casework.facts import Facts
from pratique.casework.medicines import Medicines
from pratique.casework.words import amount, days_words, sentence_case, when
from pratique.casework.writing.asked import Asked
from pratique.knowledge import Combination, Substance
from pratique.ledger.states import AnimalState, SystemState

LOW_SALINITY = "low_salinity"
# Any form stands for copper whose form is not written: what is not a form of copper meets all of them alike.
_SOME_COPPER = "copper_ionic"


@dataclass(frozen=True)
class _Met:
    """A substance that was in the water until a moment, or is in it still (None), and whom it touched."""

    substance: str
    until: datetime | None
    where: str


def check_combining(asked: Asked, system: SystemState, substance: Substance, animals: Iterable[AnimalState]) -> None:
    """Refuse a course beside what its water still holds and must not meet, and ask where the gap is too short."""
    facts = Facts(asked.household, asked.at)
    told: set[str] = set()
    for met in _met(facts, system, animals):
        found = _combination(substance, met.substance)
        if found is None or met.substance in told:
            continue
        if met.until is None:
            told.add(met.substance)
            asked.problem("substance", f"{_name(met)} is still in {met.where}. {_wash_out(found, met)}")
        elif facts.now - met.until < timedelta(days=found.days_apart):
            told.add(met.substance)
            moment = when(met.until, facts.now, facts.zone).removeprefix("on ")
            asked.doubt(
                "substance",
                f"{_name(met)} was in {met.where} until {moment}. {found.words} Usually {days_words(found.days_apart)} "
                f"lie between them ({found.status}). Plan it all the same?",
            )
    _check_salinity(asked, facts, system, substance)


def _met(facts: Facts, system: SystemState, animals: Iterable[AnimalState]) -> Iterator[_Met]:
    """Yield what was in the system's water, then what was in the water the animals lived in before."""
    medicines = Medicines(facts)
    for span in medicines.spans(system.key):
        yield _Met(span.substance, span.ended, system.name)
    for dose in facts.doses_of(system.key):
        if not knowledge.substance_or_unknown(dose.topic).is_medicine:
            yield _Met(dose.topic, dose.happened_at, system.name)
    for animal in animals:
        for stay in animal.stays:
            if stay.system == system.key or stay.since > facts.now:
                continue
            left = min(stay.until or facts.now, facts.now)
            for span in medicines.spans(stay.system):
                ended = min(span.ended or left, left)
                if span.began <= left and ended >= stay.since:
                    yield _Met(span.substance, ended, f"{animal.name}'s water")


def _combination(substance: Substance, met: str) -> Combination | None:
    other = met if met != CONSTITUENT else _SOME_COPPER
    if met == CONSTITUENT and substance.constituent == CONSTITUENT:
        return None
    return knowledge.combination_of(substance.key, other)


def _name(met: _Met) -> str:
    is_copper = met.substance == CONSTITUENT
    return sentence_case("copper" if is_copper else knowledge.substance_or_unknown(met.substance).name)


def _wash_out(found: Combination, met: _Met) -> str:
    key = _SOME_COPPER if met.substance == CONSTITUENT else met.substance
    notes = [one.words for one in knowledge.notes_for(key) if one.kind == "wash_out"]
    return " ".join(
        [found.words, "Wash it out first.", *notes, "Then write the reading, or that the tank was emptied."]
    )


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
