"""Entries about treatment, growths, pictures and chores, in words."""

from collections.abc import Callable

from pratique import knowledge
from pratique.casework.words import amount, listed
from pratique.ledger.household import Household
from pratique.ledger.kinds import care
from pratique.ledger.kinds.payload import Payload
from pratique.web.entries.figure_names import known, substance_name
from pratique.web.entries.names import name_of


def _course(told: care.Course, household: Household) -> str:
    figure = known(knowledge.substance, told.substance)
    unit = knowledge.constituent(figure.constituent).unit if figure and figure.constituent else "mg/L"
    band = f"{amount(told.target_lower, 2)} to {amount(told.target_upper, 2, unit)}"
    system = name_of(household, f"system/{told.system}")
    limit = amount(told.hard_upper, 2, unit)
    days = amount(told.required_days, 0)
    aim = f"{substance_name(told.substance)} at {band}, never above {limit}, {days} days"
    return f"course {told.name} planned in {system}: {aim}"


def _course_start(told: care.CourseStart, household: Household) -> str:
    return f"course {name_of(household, f'course/{told.course}')} began"


def _course_stop(told: care.CourseStop, household: Household) -> str:
    return f"course {name_of(household, f'course/{told.course}')} ended"


def _growth_case(told: care.GrowthCase, household: Household) -> str:
    where = f", {told.where}" if told.where else ""
    return f"{told.name} is followed in {name_of(household, f'system/{told.system}')}{where}"


def _finding(told: care.Finding, household: Household) -> str:
    kind = known(knowledge.finding_kind, told.finding)
    words = kind.words.rstrip("?.") if kind else told.finding.replace("_", " ")
    state = {"present": "yes", "absent": "no"}.get(told.state, f"{told.grade:g}" if told.grade is not None else "")
    return f"{name_of(household, f'case/{told.case}')}, looked for: {words}: {state}"


def _case_closed(told: care.CaseClosed, household: Household) -> str:
    return f"{name_of(household, f'case/{told.case}')} is no longer followed"


def _about(subjects: tuple[str, ...], household: Household) -> str:
    return listed([name_of(household, subject) for subject in subjects])


def _photo(told: care.Photo, household: Household) -> str:
    of = _about(told.subjects, household)
    return f"a photo of {of}" if of else "a photo"


def _task_done(told: care.TaskDone, household: Household) -> str:
    of = _about(told.subjects, household)
    return f"{of}: {told.task}, done" if of else f"{told.task}, done"


def _note(told: care.Note, household: Household) -> str:
    of = _about(told.subjects, household)
    return f"a note about {of}" if of else "a note"


def _withdrawal(_told: care.Withdrawal, _household: Household) -> str:
    return "an earlier entry withdrawn"


SAYINGS: dict[type[Payload], Callable[..., str]] = {
    care.Course: _course,
    care.CourseStart: _course_start,
    care.CourseStop: _course_stop,
    care.GrowthCase: _growth_case,
    care.Finding: _finding,
    care.CaseClosed: _case_closed,
    care.Photo: _photo,
    care.TaskDone: _task_done,
    care.Note: _note,
    care.Withdrawal: _withdrawal,
}
