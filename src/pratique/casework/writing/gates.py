"""The forms with which a criterion is let count all the same, and with which an animal is cleared."""

from collections.abc import Iterable
from datetime import datetime

from pratique import knowledge
from pratique.casework.facts import Facts
from pratique.casework.gates import AtGate, clearance_of, criteria_at, gate_of, leg_of_animal
from pratique.casework.health import health_of
from pratique.casework.protocol_kept import protocol_of, protocols_known
from pratique.casework.words import day_words
from pratique.casework.writing.asked import Asked
from pratique.casework.writing.desk import Answers, Desk
from pratique.casework.writing.fields import Field, Option, Widget
from pratique.casework.writing.form import Form
from pratique.casework.writing.keys import meant
from pratique.casework.writing.lookups import find_animal, is_gone
from pratique.casework.writing.options import MOMENT, animal_options, first, with_initial
from pratique.knowledge import GateCriterion, Leg
from pratique.ledger.entries import NewEntry
from pratique.ledger.household import Household
from pratique.ledger.kinds.gates import Clearance, Override, ShownCriterion
from pratique.ledger.states import AnimalState, BatchState
from pratique.science.passage.gates import FREE_OF, Finding

# A reason of fewer letters tells nobody later why.
_FEWEST_LETTERS = 15
_LONGEST_TITLE = 80


def _in_passage(household: Household) -> list[AnimalState]:
    """Return the living animals that came with a batch and belong to a scale a gate can judge."""
    return [
        one
        for one in household.living
        if one.batch in household.batches and not knowledge.species_or_unknown(one.species).is_invertebrate
    ]


def _animal_field(household: Household) -> Field:
    options = animal_options(household, _in_passage(household))
    return Field(name="animal", label="Animal", widget=Widget.CHOICE, required=True, options=options)


def override_fields(household: Household, answers: Answers, now: datetime) -> tuple[Field, ...]:
    """Return the questions; the criteria are those of the animal's gate where it is chosen, else all there are."""
    options = {one.key: Option(one.key, one.words) for one in _criteria(household, answers, now)}
    criterion = Field(
        name="criterion",
        label="What is let count",
        widget=Widget.CHOICE,
        required=True,
        options=tuple(options.values()),
    )
    words = Field(
        name="words",
        label="Why",
        widget=Widget.LONG_TEXT,
        required=True,
        hint="The ledger keeps these words beside what was not met.",
    )
    return with_initial((_animal_field(household), criterion, words, MOMENT), answers)


def _criteria(household: Household, answers: Answers, now: datetime) -> Iterable[GateCriterion]:
    names = {one.key: one.name for one in _in_passage(household)}
    animal = household.animals.get(meant(first(answers, "animal"), names) or "")
    batch = household.batches.get(animal.batch or "") if animal is not None else None
    if animal is not None and batch is not None:
        leg = leg_of_animal(Facts(household, now), batch, animal)
        return criteria_at(protocol_of(household, batch.protocol), leg)
    return [
        criterion
        for protocol in protocols_known(household)
        for leg in protocol.legs
        for criterion in criteria_at(protocol, leg)
    ]


def write_override(desk: Desk, answers: Answers) -> list[NewEntry]:
    """Return that a criterion is let count. Raises Problems and Doubts."""
    asked = Asked(desk, answers, override_fields(desk.household, answers, desk.now))
    animal, batch = _find(asked)
    criterion = asked.choice("criterion", "Choose what is let count.")
    words = asked.text("words", "Write why it counts all the same.")
    if words and len(words) < _FEWEST_LETTERS:
        asked.problem("words", "Write it so that somebody else understands it in a month: in a sentence.")
    here = _gate(asked, batch, animal) if animal is not None and batch is not None else None
    finding = next((one for one in here.gate.findings if one.key == criterion), None) if here is not None else None
    if criterion and animal is not None and here is not None and (finding is None or finding.status == "met"):
        what = "does not ask for this" if finding is None else "counts this as met already"
        asked.problem("criterion", f"{animal.name}'s gate {what}; choose one that keeps it shut.")
    confirmed = asked.settle()
    if animal is None or batch is None or here is None or finding is None:
        return []
    shown = _shown(here, finding, is_counted=False)
    return asked.entries(
        Override(animal=animal.key, batch=batch.key, leg=here.leg.key, shown=shown, words=words, confirmed=confirmed)
    )


def clearance_fields(household: Household, answers: Answers, _now: datetime) -> tuple[Field, ...]:
    """Return the questions about an animal that is cleared."""
    words = Field(name="words", label="Words", widget=Widget.LONG_TEXT, hint="Needed where its last gate is not open.")
    return with_initial((_animal_field(household), words, MOMENT), answers)


def write_clearance(desk: Desk, answers: Answers) -> list[NewEntry]:
    """Return that an animal is cleared, with what its last gate showed. Raises Problems and Doubts."""
    asked = Asked(desk, answers, clearance_fields(desk.household, answers, desk.now))
    animal, batch = _find(asked)
    here = None
    if animal is not None and batch is not None:
        here = _gate(asked, batch, animal, leg=protocol_of(asked.household, batch.protocol).legs[-1])
        _check_clearance(asked, animal, batch, here)
    confirmed = asked.settle()
    if animal is None or batch is None or here is None:
        return []
    chances = [one.value for one in here.gate.findings if one.key.startswith(FREE_OF) and one.value is not None]
    entry = Clearance(
        animal=animal.key,
        batch=batch.key,
        chance_clear=min(chances) if chances else None,
        shown=tuple(_shown(here, one, is_counted=one.key in here.gate.overridden) for one in here.gate.findings),
        words=asked.words,
        confirmed=confirmed,
    )
    return asked.entries(entry)


def _check_clearance(asked: Asked, animal: AnimalState, batch: BatchState, here: AtGate) -> None:
    """Refuse to clear past a shut gate, or over legs not lived, without words; ask about a second time."""
    facts = Facts(asked.household, asked.at)
    granted = clearance_of(facts, animal)
    if granted is not None:
        day = day_words(granted.happened_at.astimezone(asked.household.zone).date())
        asked.doubt("animal", f"{animal.name} was cleared on {day}. Is it cleared anew?")
    if asked.words:
        return
    legs = protocol_of(asked.household, batch.protocol).legs
    passed_over = [one.name for one in legs[legs.index(leg_of_animal(facts, batch, animal)) : -1]]
    wanting = [
        f"{one.words.rstrip('.')} ({one.status})"
        for one in here.gate.findings
        if one.status != "met" and one.key not in here.gate.overridden
    ]
    if passed_over:
        asked.problem("words", f"{animal.name} is still on “{passed_over[0]}”. Write why it is cleared before the end.")
    elif wanting:
        asked.problem("words", f"Its last gate is shut: {'; '.join(wanting)}. Write why it is cleared all the same.")


def _find(asked: Asked) -> tuple[AnimalState | None, BatchState | None]:
    asked.text("animal", "Choose the animal.")
    animal = find_animal(asked, "animal")
    batch = asked.household.batches.get(animal.batch or "") if animal is not None else None
    if animal is None:
        return None, None
    if batch is None or animal not in _in_passage(asked.household):
        asked.problem("animal", f"{animal.name} is on no passage whose gates could be judged; choose one that is.")
    elif is_gone(animal, asked):
        asked.problem("animal", f"{animal.name} was not there any more. Choose another, or an earlier moment.")
    else:
        return animal, batch
    return None, None


def _gate(asked: Asked, batch: BatchState, animal: AnimalState, *, leg: Leg | None = None) -> AtGate:
    facts = Facts(asked.household, asked.at)
    return gate_of(facts, batch, animal, health_of(facts), leg=leg)


def _shown(here: AtGate, finding: Finding, *, is_counted: bool) -> ShownCriterion:
    title = next(one.words for one in here.criteria if one.key == finding.key)
    status = "overridden" if is_counted else finding.status
    return ShownCriterion(key=finding.key, title=title[:_LONGEST_TITLE], status=status, words=finding.words)


OVERRIDE = Form(
    name="override",
    title="Let a criterion count",
    group="animals",
    fields=override_fields,
    write=write_override,
    kinds=("override",),
)
CLEARANCE = Form(
    name="clearance",
    title="Clear an animal",
    group="animals",
    fields=clearance_fields,
    write=write_clearance,
    kinds=("clearance",),
)
