"""The forms with which a planned course begins, and with which it ends."""

from datetime import datetime, timedelta

from pratique import knowledge
from pratique.casework.copper import course_copper
from pratique.casework.course_sureness import is_rough, is_surely_held
from pratique.casework.facts import Facts
from pratique.casework.words import day_words, days_words, percent
from pratique.casework.writing.asked import Asked
from pratique.casework.writing.combining import combining_question
from pratique.casework.writing.dangers import harm_question
from pratique.casework.writing.desk import Answers, Desk
from pratique.casework.writing.fields import Field, Widget
from pratique.casework.writing.form import Form
from pratique.casework.writing.lookups import find
from pratique.casework.writing.moments import told
from pratique.casework.writing.options import MOMENT, WORDS, states, with_initial
from pratique.ledger.entries import NewEntry, Recorded
from pratique.ledger.household import Household
from pratique.ledger.kinds.care import CourseStart, CourseStop
from pratique.ledger.states import CourseState

_DAY = timedelta(days=1)


def start_fields(household: Household, answers: Answers, _now: datetime) -> tuple[Field, ...]:
    """Return the questions about a course that begins."""
    return _fields(household, answers, "planned")


def stop_fields(household: Household, answers: Answers, _now: datetime) -> tuple[Field, ...]:
    """Return the questions about a course that ends."""
    return _fields(household, answers, "open")


def _fields(household: Household, answers: Answers, standing: str) -> tuple[Field, ...]:
    options = states(one for one in household.courses.values() if one.standing == standing)
    course = Field(
        name="course",
        label="Course",
        widget=Widget.CHOICE,
        required=True,
        options=options,
        initial=options[0].value if len(options) == 1 else "",
    )
    return with_initial((course, MOMENT, WORDS), answers)


def write_start(desk: Desk, answers: Answers) -> list[NewEntry]:
    """Return that a course began. It is only asked about, for it has happened. Raises Problems and Doubts."""
    asked = Asked(desk, answers, start_fields(desk.household, answers, desk.now))
    course = _course(asked)
    if course is not None:
        if course.started is not None:
            asked.problem("course", f"{course.name} began {_day(asked, course.started)}. Amend that entry instead.")
        _ask_at_start(asked, course)
    confirmed = asked.settle()
    if course is None:
        return []
    return asked.entries(CourseStart(course=course.key, system=course.system, words=asked.words, confirmed=confirmed))


def _ask_at_start(asked: Asked, course: CourseState) -> None:
    household, system = asked.household, asked.household.systems.get(course.system)
    others = [one for one in household.courses_of(course.system) if one.standing == "open" and one.key != course.key]
    if others:
        asked.doubt("course", f"{others[0].name} has not been stopped in the same water. Did this one really begin?")
    if system is None:
        return
    substance, animals = knowledge.substance_or_unknown(course.substance), household.living_in(system.key)
    met = combining_question(asked, system, substance, animals)
    if met is not None:
        asked.doubt("course", met)
    harm = harm_question(household, system, substance)
    if harm is not None:
        asked.doubt("course", harm)
    if system.net_volume_l is None:
        asked.doubt(
            "course",
            f"{system.name}'s net volume is not known: the level is reckoned from readings alone, and no dose is "
            "advised until it is written. Did the course begin all the same?",
        )


def write_stop(desk: Desk, answers: Answers) -> list[NewEntry]:
    """Return that a course ended. Raises Problems and Doubts."""
    asked = Asked(desk, answers, stop_fields(desk.household, answers, desk.now))
    course = _course(asked)
    if course is not None:
        if course.started is None:
            asked.problem("course", f"{course.name} has not begun. Write its beginning first, or withdraw the plan.")
        elif course.stopped is not None:
            asked.problem("course", f"{course.name} ended {_day(asked, course.stopped)}. Amend that entry instead.")
        elif asked.at <= course.started:
            asked.problem("moment", f"{course.name} began {_day(asked, course.started)}; write a later moment.")
        else:
            _ask_at_stop(asked, course, (asked.at - course.started) / _DAY)
    confirmed = asked.settle()
    if course is None:
        return []
    return asked.entries(CourseStop(course=course.key, system=course.system, words=asked.words, confirmed=confirmed))


def _ask_at_stop(asked: Asked, course: CourseState, days: float) -> None:
    needed = days_words(course.required_days)
    if days < course.required_days:
        asked.doubt(
            "course",
            f"{days_words(days)} have passed of the {needed} that {course.name} needs. Does it end all the same?",
        )
        return
    copper = course_copper(Facts(asked.household, asked.at), course)
    held = copper.exposure
    if not copper.is_reckoned or (held is not None and is_surely_held(held)):
        return
    if held is None or held.held is None or is_rough(held):
        asked.doubt(
            "course",
            f"{course.name} needs {needed} without a dip; what is written does not tell whether these were held. "
            "Does it end all the same?",
        )
        return
    asked.doubt(
        "course",
        f"{course.name} needs {needed} without a dip; by the ledger these were held with a chance of "
        f"{percent(held.held.value)}. Does it end all the same?",
    )


def _course(asked: Asked) -> CourseState | None:
    asked.text("course", "Choose the course.")
    return find(asked, "course", asked.household.courses, "course")


def _day(asked: Asked, moment: datetime) -> str:
    return f"on {day_words(moment.astimezone(asked.household.zone).date())}"


def answers_of(entry: Recorded, household: Household) -> Answers:
    """Return a beginning or an end as answers to its form."""
    turn = entry.payload
    if not isinstance(turn, CourseStart | CourseStop):
        return {}
    return {"course": turn.course, **told(entry, household, turn.words)}


COURSE_START = Form(
    name="course-start",
    title="Begin a course",
    group="treatment",
    fields=start_fields,
    write=write_start,
    kinds=("course-start",),
    answers_of=answers_of,
)
COURSE_STOP = Form(
    name="course-stop",
    title="Stop a course",
    group="treatment",
    fields=stop_fields,
    write=write_stop,
    kinds=("course-stop",),
    answers_of=answers_of,
)
