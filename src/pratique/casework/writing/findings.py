"""The form for what is seen of a growth: every finding by its picture, answered by a tap; each becomes one entry."""

from datetime import datetime

from pratique import knowledge
from pratique.casework.writing.asked import Asked
from pratique.casework.writing.desk import Answers, Desk
from pratique.casework.writing.fields import Field, Option, Widget
from pratique.casework.writing.form import Form
from pratique.casework.writing.growths import case_field, open_case
from pratique.casework.writing.options import MOMENT, WORDS, with_initial
from pratique.knowledge.findings import FindingKind
from pratique.ledger.entries import NewEntry
from pratique.ledger.household import Household
from pratique.ledger.kinds.care import Finding

_ANSWERS = (Option("", "Not looked for"), Option("absent", "No"), Option("present", "Yes"))
_HEADINGS = {
    "colour": "Its colour, under white light",
    "form": "How it looks and feels",
    "place": "Where it sits",
    "animals": "The animals that graze on it",
    "return": "After it was taken out",
    "day and night": "Evening and morning",
    "kitchen test": "With a jar, a filter and a drop",
    "motion": "Under the microscope: what moves",
    "shape": "Under the microscope: shapes",
    "stain": "Under the microscope: stained",
}
_AT_HAND = ("eye",)


def fields(household: Household, answers: Answers, _now: datetime) -> tuple[Field, ...]:
    """Return the questions: the growth, and each finding in the order of the tools it takes."""
    kinds = [one for one in knowledge.finding_kinds() if one.group in _HEADINGS]
    ordered = sorted(kinds, key=lambda one: list(_HEADINGS).index(one.group))
    asked = (case_field(household), *(_field(one) for one in ordered), MOMENT, WORDS)
    return with_initial(asked, answers)


def _field(kind: FindingKind) -> Field:
    return Field(
        name=kind.key,
        label=kind.words,
        widget=Widget.CHOICE,
        options=_ANSWERS,
        group=_HEADINGS[kind.group],
        picture=kind.key,
        # What needs a tool is opened by whoever has it.
        is_tucked=kind.tool not in _AT_HAND,
    )


def write(desk: Desk, answers: Answers) -> list[NewEntry]:
    """Return one entry for each finding that was answered. Raises Problems and Doubts."""
    asked_fields = fields(desk.household, answers, desk.now)
    asked = Asked(desk, answers, asked_fields)
    case = open_case(asked)
    keys = [one.name for one in asked_fields if one.picture]
    states = {key: asked.choice(key) for key in keys}
    if not any(states.values()):
        asked.problem(keys[0], "Answer at least one of these: a plain no is a finding too.")
    confirmed = asked.settle()
    if case is None:
        return []
    found = [
        Finding.model_validate(
            {"case": case.key, "finding": key, "state": state, "words": asked.words, "confirmed": confirmed}
        )
        for key, state in states.items()
        if state
    ]
    return asked.entries(*found)


FINDINGS = Form(
    name="findings",
    title="What you see of a growth",
    group="growths",
    fields=fields,
    write=write,
    kinds=("finding",),
)
