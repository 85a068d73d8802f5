"""The forms for a growth that is followed: that it began to be, what was found on it, and that it is over."""

from datetime import datetime

from pratique import knowledge
from pratique.casework.words import day_words
from pratique.casework.writing.asked import Asked
from pratique.casework.writing.desk import Answers, Desk
from pratique.casework.writing.fields import Field, Option, Widget
from pratique.casework.writing.form import Form
from pratique.casework.writing.keys import key_from
from pratique.casework.writing.lookups import find, find_system
from pratique.casework.writing.moments import told
from pratique.casework.writing.numbers import plain
from pratique.casework.writing.options import MOMENT, WORDS, states, system_field, with_initial
from pratique.ledger.entries import NewEntry, Recorded
from pratique.ledger.household import Household
from pratique.ledger.kinds.care import CaseClosed, Finding, GrowthCase
from pratique.ledger.states import CaseState

_GRADED = "graded"
STATES = (
    Option("present", "Seen"),
    Option("absent", "Looked for, not there"),
    Option(_GRADED, "Graded by a number"),
)


def case_fields(household: Household, answers: Answers, _now: datetime) -> tuple[Field, ...]:
    """Return the questions about a growth to be followed."""
    asked = (
        Field(name="name", label="What it looks like", hint="Such as: Brown dust on the new rock.", required=True),
        system_field(household),
        Field(name="where", label="Where in the tank"),
        MOMENT,
        WORDS,
    )
    return with_initial(asked, answers)


def write_case(desk: Desk, answers: Answers) -> list[NewEntry]:
    """Return the growth case. Raises Problems and Doubts."""
    asked = Asked(desk, answers, case_fields(desk.household, answers, desk.now))
    name = asked.line("name", "Write in a few words what it looks like.")
    system = find_system(asked)
    alike = [
        one for one in asked.household.cases.values() if one.closed is None and one.name.casefold() == name.casefold()
    ]
    if alike:
        asked.doubt("name", f"{alike[0].name} is followed already. Is this another growth?")
    confirmed = asked.settle()
    if system is None:
        return []
    before = asked.desk.amends
    case = GrowthCase(
        key=before.raw["key"] if before else key_from(name, asked.household.cases),
        name=name,
        system=system.key,
        where=asked.text("where"),
        words=asked.words,
        confirmed=confirmed,
    )
    return asked.entries(case)


def answers_of_case(entry: Recorded, household: Household) -> Answers:
    """Return a growth case as answers to its form."""
    case = entry.payload
    if not isinstance(case, GrowthCase):
        return {}
    answers = {"name": case.name, "system": case.system, "where": case.where}
    return answers | told(entry, household, case.words)


def case_field(household: Household) -> Field:
    """Return the question which growth is meant, among those still followed."""
    options = states(one for one in household.cases.values() if one.closed is None)
    return Field(
        name="case",
        label="Growth",
        widget=Widget.CHOICE,
        required=True,
        options=options,
        initial=options[0].value if len(options) == 1 else "",
    )


def finding_fields(household: Household, answers: Answers, _now: datetime) -> tuple[Field, ...]:
    """Return the questions about one thing looked for on a growth."""
    kinds = tuple(Option(one.key, one.words, f"{one.group}: {one.tool}") for one in knowledge.finding_kinds())
    asked = (
        case_field(household),
        Field(name="finding", label="What was looked for", widget=Widget.CHOICE, required=True, options=kinds),
        Field(name="state", label="Was it there", widget=Widget.CHOICE, required=True, options=STATES),
        Field(name="grade", label="Number", widget=Widget.NUMBER, hint="Only where it is graded."),
        MOMENT,
        WORDS,
    )
    return with_initial(asked, answers)


def write_finding(desk: Desk, answers: Answers) -> list[NewEntry]:
    """Return the finding. Raises Problems and Doubts."""
    asked = Asked(desk, answers, finding_fields(desk.household, answers, desk.now))
    case = open_case(asked)
    finding = asked.choice("finding", "Choose what was looked for.")
    state = asked.choice("state", "Choose whether it was there.")
    grade = asked.number("grade")
    if state == _GRADED and not asked.given("grade"):
        asked.problem("grade", "Write the number, or choose that it was seen or not there.")
    if state in {"present", "absent"} and asked.given("grade"):
        asked.problem("grade", "A number goes only with “Graded by a number”. Take it away, or choose that.")
    confirmed = asked.settle()
    if case is None:
        return []
    found = Finding.model_validate(
        {
            "case": case.key,
            "finding": finding,
            "state": state,
            "grade": grade,
            "words": asked.words,
            "confirmed": confirmed,
        }
    )
    return asked.entries(found)


def open_case(asked: Asked) -> CaseState | None:
    """Return the growth that was chosen; one that was closed by then is asked about once."""
    asked.text("case", "Choose the growth.")
    case = find(asked, "case", asked.household.cases, "growth")
    if case is not None and case.closed is not None and case.closed <= asked.at:
        day = day_words(case.closed.astimezone(asked.household.zone).date())
        asked.doubt("case", f"{case.name} was closed on {day}. Write it all the same?")
    return case


def answers_of_finding(entry: Recorded, household: Household) -> Answers:
    """Return a finding as answers to its form."""
    found = entry.payload
    if not isinstance(found, Finding):
        return {}
    grade = plain(found.grade) if found.grade is not None else ""
    answers = {"case": found.case, "finding": found.finding, "state": str(found.state), "grade": grade}
    return answers | told(entry, household, found.words)


def closed_fields(household: Household, answers: Answers, _now: datetime) -> tuple[Field, ...]:
    """Return the questions about a growth that is over."""
    return with_initial((case_field(household), MOMENT, WORDS), answers)


def write_closed(desk: Desk, answers: Answers) -> list[NewEntry]:
    """Return that a growth is no longer followed. Raises Problems and Doubts."""
    asked = Asked(desk, answers, closed_fields(desk.household, answers, desk.now))
    case = open_case(asked)
    if case is not None and asked.at < case.opened:
        day = day_words(case.opened.astimezone(asked.household.zone).date())
        asked.problem("moment", f"{case.name} is followed since {day}; write a later moment.")
    confirmed = asked.settle()
    return [] if case is None else asked.entries(CaseClosed(case=case.key, words=asked.words, confirmed=confirmed))


def answers_of_closed(entry: Recorded, household: Household) -> Answers:
    """Return the end of a growth case as answers to its form."""
    closed = entry.payload
    if not isinstance(closed, CaseClosed):
        return {}
    return {"case": closed.case, **told(entry, household, closed.words)}


GROWTH_CASE = Form(
    name="growth-case",
    title="Follow a growth",
    group="growths",
    fields=case_fields,
    write=write_case,
    kinds=("growth-case",),
    answers_of=answers_of_case,
)
FINDING = Form(
    name="finding",
    title="A finding on a growth",
    group="growths",
    fields=finding_fields,
    write=write_finding,
    kinds=("finding",),
    answers_of=answers_of_finding,
)
CASE_CLOSED = Form(
    name="case-closed",
    title="A growth is over",
    group="growths",
    fields=closed_fields,
    write=write_closed,
    kinds=("case-closed",),
    answers_of=answers_of_closed,
)
