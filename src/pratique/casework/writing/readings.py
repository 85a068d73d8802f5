"""The form for a round of readings in one system: one number for each constituent, all but one may stay empty."""

from datetime import datetime, timedelta

from pratique import knowledge
from pratique.casework.copper import CONSTITUENT
from pratique.casework.methods import method_of, methods_of
from pratique.casework.words import sentence_case
from pratique.casework.writing.asked import Asked
from pratique.casework.writing.dangers import open_courses
from pratique.casework.writing.desk import Answers, Desk
from pratique.casework.writing.fields import Field, Option, Widget
from pratique.casework.writing.form import Form
from pratique.casework.writing.keys import meant
from pratique.casework.writing.lookups import find_system
from pratique.casework.writing.moments import told
from pratique.casework.writing.numbers import doubtful, impossible, plain, result, units_of
from pratique.casework.writing.options import MOMENT, PH_SCALES, WORDS, first, system_field, with_initial
from pratique.knowledge import Constituent
from pratique.ledger.entries import NewEntry, Recorded
from pratique.ledger.household import Household
from pratique.ledger.kinds.water import Reading
from pratique.ledger.queries import entries_about
from pratique.ledger.states import SystemState

# What is commonly read in a system of each role, the usual order of a round; all others come after.
_QUARANTINE = ("copper", "total_ammonia", "ph", "temperature", "salinity", "nitrite", "oxygen")
_CLEAN = ("total_ammonia", "ph", "temperature", "salinity", "nitrite", "nitrate", "copper")
_DISPLAY = ("temperature", "salinity", "ph", "alkalinity", "calcium", "magnesium", "nitrate", "phosphate", "silicate")
_ROUNDS = {"quarantine": _QUARANTINE, "recovery": _CLEAN, "holding": _CLEAN, "display": _DISPLAY}
_METHODS_BACK = timedelta(days=45)
_BENCHES = {"salinity": "salinity"}
_PH = "ph"
_SCALE = "ph_scale"


def fields(household: Household, answers: Answers, now: datetime) -> tuple[Field, ...]:
    """Return the questions, those commonly read in this system first, each with the method used last."""
    choose = system_field(household)
    key = meant(first(answers, "system") or str(choose.initial), {one.value: one.words for one in choose.options})
    system = household.systems.get(key or "")
    used = _last_methods(system, now)
    asked = [choose]
    for constituent, group in _in_order(system):
        asked += _constituent_fields(household, constituent, group, used.get(constituent.key, ""))
    return with_initial((*asked, MOMENT, WORDS), answers)


def _in_order(system: SystemState | None) -> list[tuple[Constituent, str]]:
    usual = _ROUNDS[system.role] if system is not None else _QUARANTINE
    others = [one for one in knowledge.constituents() if one.key not in usual]
    return [(knowledge.constituent(key), "Readings") for key in usual] + [(one, "Seldom read here") for one in others]


def _constituent_fields(household: Household, constituent: Constituent, group: str, method: str) -> tuple[Field, ...]:
    fahrenheit = household.state is not None and household.state.temperature_unit == "°F"
    methods = [one for one in methods_of(household).values() if constituent.key in one.constituents]
    options = (Option("", "Method not named"), *(Option(one.key, sentence_case(one.name)) for one in methods))
    number = Field(
        name=constituent.key,
        label=sentence_case(constituent.name),
        widget=Widget.NUMBER,
        hint="Also <0.02, >5 or 0.1-0.2.",
        units=units_of(constituent, fahrenheit=fahrenheit),
        group=group,
        bench=_BENCHES.get(constituent.key, ""),
    )
    how = Field(
        name=f"{constituent.key}_method",
        label=f"Method for {constituent.name}",
        widget=Widget.CHOICE,
        options=options,
        initial=method if any(one.key == method for one in methods) else "",
        group=group,
    )
    return (number, how, _scale_field(group)) if constituent.key == _PH else (number, how)


def _scale_field(group: str) -> Field:
    return Field(
        name=_SCALE,
        label="Scale of pH",
        widget=Widget.CHOICE,
        options=PH_SCALES,
        initial=PH_SCALES[0].value,
        group=group,
    )


def _last_methods(system: SystemState | None, now: datetime) -> dict[str, str]:
    if system is None:
        return {}
    recent = entries_about(f"system/{system.key}", ["reading"], since=now - _METHODS_BACK, until=now)
    return {one.raw["constituent"]: one.raw["method"] for one in recent if one.raw.get("method")}


def write(desk: Desk, answers: Answers) -> list[NewEntry]:
    """Return one reading for each number given. Raises Problems and Doubts."""
    asked = Asked(desk, answers, fields(desk.household, answers, desk.now))
    system = find_system(asked)
    taken = [one for one in knowledge.constituents() if asked.text(one.key)]
    if not taken:
        asked.problem("", "Write at least one number.")
    shapes = {one.key: _shape(asked, one, system) for one in taken}
    asked.settle()
    if system is None:
        return []
    return asked.entries(
        *(
            Reading(system=system.key, words=asked.words, confirmed=asked.answered(key, "moment"), **shape)
            for key, shape in shapes.items()
        )
    )


def _shape(asked: Asked, constituent: Constituent, system: SystemState | None) -> dict[str, str | float | None]:
    """Return what was read as a reading's own fields; empty, with a problem kept, where it cannot be."""
    key = constituent.key
    method = asked.choice(f"{key}_method")
    try:
        shown = result(asked.text(key), asked.unit(key), constituent)
    except ValueError as error:
        asked.problem(key, str(error))
        return {}
    for number in shown.numbers:
        wrong = impossible(constituent, number, unit=shown.unit)
        if wrong is not None:
            asked.problem(key, wrong)
            return {}
    upper = _course_upper(asked, key, system)
    doubts = [doubtful(constituent, number, usual_upper=upper, unit=shown.unit) for number in shown.numbers]
    if key == CONSTITUENT and system is not None:
        _check_form(asked, method, system)
    question = next((doubt for doubt in doubts if doubt is not None), None)
    if question is not None and shown.below is None:
        asked.doubt(key, question)
    given = {name: getattr(shown, name) for name in ("value", "low", "high", "below", "above")}
    scale = {"scale": asked.choice(_SCALE) or PH_SCALES[0].value} if key == _PH else {}
    return {"constituent": key, "method": method or None} | scale | given


def _check_form(asked: Asked, method: str, system: SystemState) -> None:
    """Ask about a copper reading by a method that does not read the form of copper in the water."""
    named = method_of(asked.household, method or None, CONSTITUENT)
    for course in open_courses(asked.household, system.key, constituent=CONSTITUENT):
        form = knowledge.substance_or_unknown(course.substance).form
        if form is not None and not named.reads(form):
            asked.doubt(
                f"{CONSTITUENT}_method",
                f"{sentence_case(named.name)} does not read {form.value} copper, which is what {system.name} holds. "
                "Was it really read with this?",
            )


def _course_upper(asked: Asked, constituent: str, system: SystemState | None) -> float | None:
    """Return the upper limit of an open course of this constituent: up to there a reading is no surprise."""
    if system is None:
        return None
    uppers = [course.hard_upper for course in open_courses(asked.household, system.key, constituent=constituent)]
    return max(uppers, default=None)


def answers_of(entry: Recorded, household: Household) -> Answers:
    """Return a reading as answers to this form."""
    reading = entry.payload
    if not isinstance(reading, Reading):
        return {}
    name, figure = reading.constituent, knowledge.constituent_or_unknown(reading.constituent)
    return {
        "system": reading.system,
        name: _text(reading),
        f"{name}_unit": figure.unit,
        f"{name}_method": reading.method or "",
        **({_SCALE: reading.scale} if name == _PH else {}),
        **told(entry, household, reading.words),
    }


def _text(reading: Reading) -> str:
    if reading.below is not None:
        return f"<{plain(reading.below)}"
    if reading.above is not None:
        return f">{plain(reading.above)}"
    if reading.low is not None and reading.high is not None:
        return f"{plain(reading.low)}-{plain(reading.high)}"
    return plain(reading.centre)


READINGS = Form(
    name="readings",
    title="Readings",
    group="every day",
    fields=fields,
    write=write,
    kinds=("reading",),
    answers_of=answers_of,
)
