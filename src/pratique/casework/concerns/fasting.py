"""What is said of an animal that refuses food while copper is in its water."""

from dataclasses import dataclass

from pratique import knowledge
from pratique.casework.concerns.pieces import about, reason
from pratique.casework.copper import CONSTITUENT
from pratique.casework.facts import Facts
from pratique.casework.health import AnimalHealth
from pratique.casework.sheets import NextStep, Reason
from pratique.casework.timeline import days_of
from pratique.casework.words import days_words
from pratique.ledger.states import CourseState
from pratique.units import THIN_SPACE


@dataclass(frozen=True)
class Fasting:
    """The open copper course an animal refuses food in, and for how many days it has under that copper."""

    course: CourseState
    days: float

    @property
    def is_warning(self) -> bool:
        """Return whether it has gone without food for so long that the course is in question."""
        return self.days >= knowledge.figure("copper.appetite_warn_days").value

    @property
    def is_too_long(self) -> bool:
        """Return whether the course should be lowered or stopped."""
        return self.days >= knowledge.figure("copper.appetite_stop_days").value


def fasting_under_copper(facts: Facts, health: AnimalHealth) -> Fasting | None:
    """Return the fast of an animal that refuses food in the water of an open copper course."""
    found, place = health.appetite, health.animal.place
    if found.state != "refusing" or found.refusal_began is None or place is None:
        return None
    for course in facts.household.courses_of(place.system):
        is_copper = knowledge.substance_or_unknown(course.substance).constituent == CONSTITUENT
        if is_copper and course.standing == "open" and course.started is not None and course.started <= facts.now:
            began = max(found.refusal_began.at_day, days_of(course.started), days_of(place.since))
            return Fasting(course, days_of(facts.now) - began)
    return None


def copper_said(fasting: Fasting | None) -> tuple[str, ...]:
    """Return the sentences about the course."""
    if fasting is None:
        return ()
    under = f"It refuses while {fasting.course.name} is open, for {days_words(fasting.days)} under copper"
    stop = days_words(knowledge.figure("copper.appetite_stop_days").value)
    if fasting.is_too_long:
        return (
            f"{under}: lower or stop the course. Lower by changing water, a little at a time; "
            "days under the band do not count.",
        )
    if fasting.is_warning:
        return (f"{under}: hold the copper at the lower end of the band; after {stop}, lower or stop the course.",)
    return (f"{under}; after {stop} without food, lower or stop the course.",)


def copper_steps(fasting: Fasting | None) -> tuple[NextStep, ...]:
    """Return the step that comes before feeding once it has fasted too long."""
    if fasting is None or not fasting.is_too_long:
        return ()
    return (NextStep("Lower or stop the course", about=about(fasting.course)),)


def copper_reasons(fasting: Fasting | None) -> tuple[Reason, ...]:
    """Return the figures behind it."""
    if fasting is None:
        return ()
    warn, stop = (knowledge.figure(f"copper.appetite_{what}_days").value for what in ("warn", "stop"))
    return (
        reason("copper.appetite_warn_days", f"Without food under copper for {warn:g}{THIN_SPACE}days: a warning."),
        reason("copper.appetite_stop_days", f"For {stop:g}{THIN_SPACE}days: lower or stop the course."),
    )


def copper_cautions(fasting: Fasting | None) -> tuple[str, ...]:
    """Return the cautions that stand wherever copper is spoken of."""
    if fasting is None:
        return ()
    return tuple(one.text for one in knowledge.cautions_for(fasting.course.substance))
