"""What is in a system's water by the ledger, with its spread, as pages, rounds and commands ask for it."""

from collections.abc import Container
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cached_property
from typing import TYPE_CHECKING
from uuid import UUID

from pratique import knowledge
from pratique.casework.facts import Facts
from pratique.casework.reckoning.ledger_case import LedgerCase, ledger_case
from pratique.casework.reckoning.memory import causes_in, exposure_in, fits_in, posterior_of, running_of
from pratique.casework.reckoning.settling import level_spread_in, settled
from pratique.knowledge import CopperForm
from pratique.ledger.entries import Recorded
from pratique.ledger.states import SystemState
from pratique.science.chemistry.domain import DomainError
from pratique.science.estimation.case import Band

# The compiled loops take a second to load: only what really reckons loads them.
if TYPE_CHECKING:
    from pratique.science.estimation.exposure import Exposure
    from pratique.science.estimation.marginal import Marginal
    from pratique.science.estimation.posterior import Posterior
    from pratique.science.estimation.running import Running
    from pratique.science.estimation.surprises import Fit

_SLACK_DAYS = 1e-9


@dataclass(frozen=True)
class Level:
    """A level with its spread, in the constituent's unit: 95 % lie between low and high, half between the inner two.

    Beliefs may reach below what a constituent can be; these stop there.
    """

    mean: float
    sd: float
    low: float
    high: float
    inner_low: float
    inner_high: float
    median: float


@dataclass(frozen=True)
class Surprise:
    """A reading that does not fit the rest: what they expected of it (± 95 %), how far off, and what may lie behind.

    `causes` are (key, probability), the likeliest first; empty for all but the oddest few, which alone are looked into.
    """

    entry: Recorded
    expected: float
    plus_minus: float
    residual: float
    tail: float
    causes: tuple[tuple[str, float], ...]


@dataclass(frozen=True)
class Reckoned:
    """One constituent in one system, reckoned from the ledger when first asked.

    Where the case cannot be reckoned `problem` says why, and everything asked for is None or empty.
    """

    ledger: LedgerCase

    @cached_property
    def _found(self) -> "Posterior | str":
        try:
            return posterior_of(self.ledger.case)
        except DomainError as problem:
            return str(problem)

    @property
    def problem(self) -> str:
        """Return a sentence where the case cannot be reckoned at all, else nothing."""
        return self._found if isinstance(self._found, str) else ""

    @property
    def posterior(self) -> "Posterior | None":
        """Return the posterior of the case."""
        return None if isinstance(self._found, str) else self._found

    @property
    def running(self) -> "Running | None":
        """Return where the case has led, for what is to come."""
        return None if self.problem else running_of(self.ledger.case)

    @property
    def volume(self) -> "Marginal | None":
        """Return what is known of the net volume, L."""
        return self.posterior.volume_l if self.posterior is not None else None

    @property
    def loss(self) -> "Marginal | None":
        """Return what is known of the loss per day."""
        return self.posterior.loss_per_day if self.posterior is not None else None

    @property
    def effective_sample(self) -> float:
        """Return how many equally weighted trajectories the exposure rests on; 0 where nothing could be reckoned."""
        return self.posterior.trajectories.effective_sample if self.posterior is not None else 0.0

    @property
    def now(self) -> Level | None:
        """Return the level at the case's end; None where nothing is known any more since then."""
        return None if self.ledger.ends_early else self.level_at(self.ledger.end)

    def level_at(self, moment: datetime) -> Level | None:
        """Return the level after all that had happened at the last step of the grid before a moment; None outside."""
        day = self.ledger.day_of(moment)
        if self.posterior is None or not -_SLACK_DAYS <= day <= self.ledger.case.span_days + _SLACK_DAYS:
            return None
        place = int(self.posterior.days.searchsorted(day + _SLACK_DAYS, side="right")) - 1
        return self._level(self.posterior, place)

    def ribbon(self, since: datetime, until: datetime) -> tuple[tuple[datetime, Level], ...]:
        """Return the level at every step of the grid between two moments."""
        found = self.posterior
        if found is None:
            return ()
        first, last = self.ledger.day_of(since) - _SLACK_DAYS, self.ledger.day_of(until) + _SLACK_DAYS
        places = (n for n, day in enumerate(found.days) if first <= day <= last)
        return tuple((self.ledger.moment_of(float(found.days[n])), self._level(found, n)) for n in places)

    def _level(self, found: "Posterior", place: int) -> Level:
        least = knowledge.constituent(self.ledger.constituent).possible_lower
        low, _, inner_low, median, inner_high, _, high = (max(least, float(one)) for one in found.quantiles[:, place])
        mean, sd = max(least, float(found.mean[place])), float(found.sd[place])
        return Level(mean, sd, low, high, inner_low, inner_high, median)

    def exposure(
        self, *, lower: float, upper: float, start: datetime, end: datetime, required_days: float | None
    ) -> "Exposure | None":
        """Return the exposure between two moments, each taken to the nearest step of the grid; `upper` is the hard one.

        None where nothing could be reckoned, or the stretch lies outside the case.
        """
        found = self.posterior
        if found is None or end < start or end < self.ledger.start or start > self.ledger.end:
            return None
        days = self._nearest(found, start), self._nearest(found, end)
        return exposure_in(self.ledger.case, Band(lower, upper), days, required_days)

    def _nearest(self, found: "Posterior", moment: datetime) -> float:
        return float(found.days[abs(found.days - self.ledger.day_of(moment)).argmin()])

    @property
    def newest_reading(self) -> Recorded | None:
        """Return the newest reading the case rests on."""
        return next((one for one in reversed(self.ledger.entries) if one.kind == "reading"), None)

    @property
    def is_newest_surprising(self) -> bool:
        """Return whether the newest reading lies too far in the tail of what the others expect."""
        newest = self.newest_reading
        return newest is not None and any(entry.id == newest.id for entry, _ in self._odd)

    @cached_property
    def surprises(self) -> tuple[Surprise, ...]:
        """Return the readings that do not fit the others, the oldest first, with what may lie behind the oddest."""
        most = int(knowledge.figure("reckoning.most_explained").value)
        oddest = sorted((fit for _, fit in self._odd), key=lambda fit: fit.tail)[:most]
        return tuple(self._looked_into(entry, fit, is_oddest=fit in oddest) for entry, fit in self._odd)

    def _looked_into(self, entry: Recorded, fit: "Fit", *, is_oddest: bool) -> Surprise:
        expected = self._expected(fit) if is_oddest else fit.expected
        causes = self._causes(fit) if is_oddest else ()
        return Surprise(entry, expected, fit.plus_minus, fit.residual, fit.tail, causes)

    def _expected(self, fit: "Fit") -> float:
        """Return what is expected of a reading without it: one very far off pulls even what is expected of itself."""
        case = self.ledger.case
        others = tuple(one for number, one in enumerate(case.readings) if number != fit.number)
        try:
            found = posterior_of(replace(case, readings=others))
        except DomainError:
            return fit.expected
        place = int(found.days.searchsorted(case.readings[fit.number].day + _SLACK_DAYS, side="right")) - 1
        return float(found.mean[place])

    @cached_property
    def _odd(self) -> "tuple[tuple[Recorded, Fit], ...]":
        if self.problem:
            return ()
        tail, case = knowledge.figure("reckoning.surprising_tail").value, self.ledger.case
        found = ((self.ledger.entry(case.readings[fit.number].entry), fit) for fit in fits_in(case) if fit.tail < tail)
        return tuple((entry, fit) for entry, fit in found if entry is not None)

    def _causes(self, fit: "Fit") -> tuple[tuple[str, float], ...]:
        case = self.ledger.case
        causes = causes_in(case, fit.number, level_spread=level_spread_in(case))
        return tuple((cause.key, cause.probability) for cause in causes)


def reckoned(  # noqa: PLR0913 - what, where, from when to when, and what to leave out
    facts: Facts,
    system: SystemState,
    constituent: str,
    *,
    since: datetime | None = None,
    until: datetime | None = None,
    form: CopperForm | None = None,
    without: Container[UUID] | None = None,
) -> Reckoned | None:
    """Return what the ledger tells of a constituent in a system until a moment (now), or None where nothing does.

    `form` is that of copper, ionic unless told; `without` leaves entries out, as if nobody had written them.
    """
    case = ledger_case(facts, system, constituent, since=since, until=until or facts.now, form=form, without=without)
    return Reckoned(settled(case, zone=facts.zone)) if case is not None else None
