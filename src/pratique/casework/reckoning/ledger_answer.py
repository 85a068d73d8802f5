"""The answer to what the ledger tells of one constituent in one system, in the same shape as that of a case file."""

from dataclasses import dataclass
from datetime import datetime

from pratique import knowledge
from pratique.casework.copper import CONSTITUENT as COPPER
from pratique.casework.copper import course_copper
from pratique.casework.copper_water import course_in, form_in, is_open
from pratique.casework.dosing import advice_for
from pratique.casework.facts import Facts
from pratique.casework.reckoning.case_answer import ExposureAnswer, Learned, Surprise
from pratique.casework.reckoning.reckoned import Reckoned, reckoned
from pratique.ledger.household import Household
from pratique.ledger.states import CourseState, SystemState


class NothingToAnswer(ValueError):
    """What was asked for is not there, or cannot be reckoned; the message says so in a sentence."""


@dataclass(frozen=True)
class JudgedBy:
    """The open course an exposure is judged by: its band (`hard_upper` is what hours above count), and what it needs.

    Days after `known_until` are not known, neither credited nor lost; None where it was never read.
    """

    key: str
    name: str
    started: datetime
    target_lower: float
    target_upper: float
    hard_upper: float
    required_days: float
    known_until: datetime | None


@dataclass(frozen=True)
class NotCounted:
    """An entry that is not counted, and why."""

    entry: str
    at: datetime
    why: str


@dataclass(frozen=True)
class LedgerAdvice:
    """What the page of the course advises, or why it advises nothing."""

    title: str
    words: str
    is_withheld: bool
    cautions: tuple[str, ...]


@dataclass(frozen=True)
class LedgerAnswer:
    """Everything the ledger gives of one constituent; names as in the answer to a case, and what it was judged by.

    `ends_early` says why nothing is known after the last of the `times`, or is empty.
    """

    system: str
    constituent: str
    unit: str
    times: tuple[datetime, ...]
    mean: tuple[float, ...]
    sd: tuple[float, ...]
    quantiles: dict[str, tuple[float, ...]]
    volume_l: Learned
    loss_per_day: Learned
    log_evidence: float
    surprising_readings: tuple[Surprise, ...]
    course: JudgedBy | None
    exposure: ExposureAnswer | None
    advice: LedgerAdvice | None
    effective_sample: float
    assumed: tuple[str, ...]
    left_out: tuple[NotCounted, ...]
    ends_early: str


def answer_ledger(household: Household, system: str, constituent: str, *, now: datetime) -> LedgerAnswer:
    """Return what the ledger tells of a constituent in a system; raises NothingToAnswer in a sentence where nothing."""
    facts = Facts(household, now)
    body = _system(household, system)
    if constituent not in {one.key for one in knowledge.constituents()}:
        known = ", ".join(one.key for one in knowledge.constituents())
        raise NothingToAnswer(f"“{constituent}” is not reckoned here; these are: {known}.")
    course = _course(facts, body, constituent)
    found = _found(facts, body, constituent, course)
    if found is None:
        name = knowledge.constituent(constituent).name
        raise NothingToAnswer(f"Nothing in the ledger tells of {name} in {body.name}: nobody read or dosed it lately.")
    if found.problem:
        raise NothingToAnswer(found.problem)
    return _answered(facts, found, course)


def _system(household: Household, key: str) -> SystemState:
    if key in household.systems:
        return household.systems[key]
    named = ", ".join(household.systems) or "none is set up yet"
    raise NothingToAnswer(f"There is no system “{key}”; there are: {named}.")


def _course(facts: Facts, system: SystemState, constituent: str) -> CourseState | None:
    """Return the open course that holds a constituent in a system; only copper's is reckoned."""
    course = course_in(facts, system.key) if constituent == COPPER else None
    return course if course is not None and is_open(facts, course) else None


def _found(facts: Facts, system: SystemState, constituent: str, course: CourseState | None) -> Reckoned | None:
    if course is not None:
        return course_copper(facts, course).reckoned
    form = form_in(facts, system) if constituent == COPPER else None
    return reckoned(facts, system, constituent, form=form)


def _answered(facts: Facts, found: Reckoned, course: CourseState | None) -> LedgerAnswer:
    from pratique.casework.reckoning.answer_parts import (  # noqa: PLC0415 - loads the compiled loops
        KEYS,
        exposure_answer,
        few_words,
        learned,
        numbers,
    )

    ledger, posterior = found.ledger, found.posterior
    if posterior is None:
        raise NothingToAnswer(found.problem)
    copper = course_copper(facts, course) if course is not None else None
    exposure = copper.exposure if copper is not None else None
    return LedgerAnswer(
        system=ledger.system.key,
        constituent=ledger.constituent,
        unit=ledger.case.unit,
        times=tuple(ledger.moment_of(float(day)) for day in posterior.days),
        mean=numbers(posterior.mean),
        sd=numbers(posterior.sd),
        quantiles={key: numbers(row) for key, row in zip(KEYS, posterior.quantiles, strict=True)},
        volume_l=learned(posterior.volume_l),
        loss_per_day=learned(posterior.loss_per_day),
        log_evidence=posterior.log_evidence,
        surprising_readings=_surprises(found),
        course=_judged_by(course, copper.known_until) if course is not None and copper is not None else None,
        exposure=exposure_answer(exposure, ledger.moment_of) if exposure is not None else None,
        advice=_advice(facts, course) if course is not None else None,
        effective_sample=found.effective_sample,
        assumed=(*ledger.assumed, *(few_words(found.effective_sample) if exposure is not None else ())),
        left_out=tuple(NotCounted(str(one.entry.id), one.entry.happened_at, one.why) for one in ledger.left_out),
        ends_early=ledger.ends_early,
    )


def _judged_by(course: CourseState, known_until: datetime | None) -> JudgedBy:
    return JudgedBy(
        key=course.key,
        name=course.name,
        started=course.started or course.planned,
        target_lower=course.target_lower,
        target_upper=course.target_upper,
        hard_upper=course.hard_upper,
        required_days=course.required_days,
        known_until=known_until,
    )


def _advice(facts: Facts, course: CourseState) -> LedgerAdvice:
    found = advice_for(facts, course_copper(facts, course))
    return LedgerAdvice(found.title, found.words, found.is_withheld, found.cautions)


def _surprises(found: Reckoned) -> tuple[Surprise, ...]:
    """Return the readings that do not fit, numbered from 0 among those the case rests on."""
    numbers = {one.entry: number for number, one in enumerate(found.ledger.case.readings)}
    return tuple(
        Surprise(
            reading=numbers[str(one.entry.id)],
            at=one.entry.happened_at,
            expected=one.expected,
            plus_minus=one.plus_minus,
            tail_probability=one.tail,
            causes=dict(one.causes),
        )
        for one in found.surprises
    )
