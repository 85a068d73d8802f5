"""Tanks drawn from the prior and followed through a fortnight or a month, with kits and gaps as keepers have them.

The model the reckoning assumes, written again from its equations: level and source are walked in quarter-hour steps,
every dose and change acts at its moment, a limit is tested on what is perceived, and then it is rounded. Nothing is
clipped.
"""

import math
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pratique.science.estimation.case import Band, Case, Change, Dose, Event, Initial, Loss, Reading, Source, Volume
from pratique.science.estimation.reading import Method, Observed

type Array = NDArray[np.float64]
type Chance = np.random.Generator

CHART_MARKS = (0.0, 0.1, 0.2, 0.3, 0.5, 0.8, 1.0)
METHODS = {
    "photometer": Method(resolution=0.01, absolute_sd=0.02, relative_sd=0.05, lower_limit=0.02, upper_limit=5.0),
    "drops": Method(resolution=0.05, absolute_sd=0.03, relative_sd=0.0),
    "chart": Method(resolution=0.0, absolute_sd=0.0, relative_sd=0.0, marks=CHART_MARKS),
}
KITS = (*METHODS, "mixed")
BAND = Band(0.15, 0.25)
VOLUME = Volume(80.0, 8.0)
LOSS = Loss(0.04, 0.8)
SOURCE = Source(0.0, 0.005, 0.002)
INITIAL = Initial(0.0, 0.01)

# A fifth of the smallest step, which is what a case without an eye error of its own is reckoned with.
_CHART_EYE_SD = 0.02
_METHOD_BIAS_SD = 0.015
_STRENGTH_SD = 0.05
_MOMENT_DAYS = 1e-6
_GAP_DAYS = 3.0
_LONGEST_STEP_DAYS = 1.0 / 96.0
# The reckoning draws its trajectories from another stream than the one that made the tank.
_OWN_CHANCE = 2_000_000_000


@dataclass(frozen=True)
class Tank:
    """One simulated tank: the case its keeper could write down, and the truth behind it.

    `levels` are those of every hour, mg/L.
    """

    case: Case
    kit: str
    levels: Array
    volume_l: float
    loss_per_day: float


@dataclass(frozen=True)
class Truth:
    """What is one number for the whole case and not known to the keeper."""

    volume_l: float
    loss_per_day: float
    stock_strength: float
    biases: dict[str, float]


def tank(seed: int) -> Tank:
    """Return the tank of one seed: plan, kit, gaps, truth and readings."""
    chance = np.random.default_rng(seed)
    span = float(chance.integers(10, 33))
    events = _plan(chance, span)
    bias_sd = _METHOD_BIAS_SD if chance.random() < 0.3 else 0.0
    case = replace(
        _believed(span, bias_sd=bias_sd),
        events=events,
        required_days=_required_days(chance, events, span),
        stock_strength_relative_sd=_STRENGTH_SD if chance.random() < 0.5 else 0.0,
        seed=_OWN_CHANCE + seed,
    )
    truth = _truth(chance, case)
    kit, moments = str(chance.choice(KITS)), _moments(chance, span)
    levels, readings = _follow(chance, case, truth, [(day, _method(chance, kit)) for day in moments])
    return Tank(replace(case, readings=readings), kit, levels, truth.volume_l, truth.loss_per_day)


def untreated_tank(seed: int) -> tuple[Case, Truth]:
    """Return a tank in which nothing was done yet, as its keeper believes it, and the truth about it.

    Its case ends a moment after its start. Seeds count for themselves: it is not the start of `tank(seed)`.
    """
    chance = np.random.default_rng(seed)
    bias_sd = _METHOD_BIAS_SD if chance.random() < 0.3 else 0.0
    strength_sd = _STRENGTH_SD if chance.random() < 0.5 else 0.0
    case = replace(_believed(_MOMENT_DAYS, bias_sd=bias_sd), stock_strength_relative_sd=strength_sd)
    return case, _truth(chance, case)


def _believed(span: float, *, bias_sd: float) -> Case:
    """Return what is believed of every tank beforehand."""
    return Case(
        constituent="copper",
        unit="mg/L",
        span_days=span,
        initial=INITIAL,
        volume=VOLUME,
        loss=LOSS,
        source=SOURCE,
        methods={key: replace(method, bias_sd=bias_sd) for key, method in METHODS.items()},
        band=BAND,
        draws=1000,
    )


def _plan(chance: Chance, span: float) -> tuple[Event, ...]:
    """Return what is done: a first dose, a dose on about half of the days, now and then a change."""
    events: list[Event] = [Dose(chance.uniform(0.0, 0.2), chance.uniform(10.0, 16.0), 0.03)]
    for day in range(1, int(span)):
        if chance.random() < 0.5:
            events.append(Dose(day + chance.uniform(0.3, 0.7), chance.uniform(0.2, 2.0), 0.03))
        if chance.random() < 0.12:
            # Plain new water, or water made up with the medicine in it.
            incoming = 0.15 if chance.random() < 0.5 else 0.0
            events.append(Change(day + chance.uniform(0.3, 0.7), chance.uniform(5.0, 25.0), incoming, 0.01))
    return tuple(sorted(events, key=lambda event: event.day))


def _required_days(chance: Chance, events: tuple[Event, ...], span: float) -> float:
    """Return the days asked for: about what the plan would reach in a tank as believed, never looking at the truth."""
    level, now = INITIAL.mean, 0.0
    held_since, longest = math.inf, 0.0
    for event, after in pairwise((*events, Dose(span, 0.0))):
        level *= math.exp(-LOSS.median_per_day * (event.day - now))
        level = _after(event, level, VOLUME.mean_l, amount_part=1.0, incoming_off=0.0)
        now = event.day
        held_since = min(held_since, now) if level >= BAND.lower else math.inf
        until = min(after.day, now + math.log(max(level / BAND.lower, 1.0)) / LOSS.median_per_day)
        longest = max(longest, until - held_since)
        held_since = held_since if until == after.day else math.inf
    return float(np.clip(max(longest, 1.0) * chance.uniform(0.3, 1.1), 0.5, span))


def _truth(chance: Chance, case: Case) -> Truth:
    volume = -math.inf
    while volume <= case.largest_change_l:
        volume = chance.normal(case.volume.mean_l, case.volume.sd_l)
    return Truth(
        volume,
        case.loss.median_per_day * math.exp(case.loss.log_sd * chance.normal()),
        1.0 + case.stock_strength_relative_sd * chance.normal(),
        {key: method.bias_sd * chance.normal() for key, method in case.methods.items()},
    )


def _moments(chance: Chance, span: float) -> list[float]:
    """Return when readings are taken: at random, with a gap of three days somewhere."""
    # From one a fortnight to two a day, each rate as likely as its double.
    per_day = math.exp(chance.uniform(math.log(0.07), math.log(2.0)))
    count = chance.poisson(per_day * span)
    gap = chance.uniform(0.0, span)
    return [float(day) for day in np.sort(chance.uniform(0.0, span, count)) if not gap <= day <= gap + _GAP_DAYS]


def _method(chance: Chance, kit: str) -> str:
    return str(chance.choice(list(METHODS))) if kit == "mixed" else kit


def _follow(
    chance: Chance, case: Case, truth: Truth, plan: list[tuple[float, str]]
) -> tuple[Array, tuple[Reading, ...]]:
    """Return the level at every hour and the readings; at one moment readings come first, then changes, then doses."""
    acts: list[tuple[float, int, str | Event | None]] = [(day, 0, method) for day, method in plan]
    acts += [(event.day, 1 if isinstance(event, Change) else 2, event) for event in case.events]
    acts += [(hour / 24.0, 3, None) for hour in range(round(case.span_days * 24) + 1)]
    water, levels, readings = Water(chance, case, truth), [], []
    for day, _, act in sorted(acts, key=lambda one: one[:2]):
        water.wait_until(day)
        if act is None:
            levels.append(water.level)
        elif isinstance(act, str):
            readings.append(Reading(day, act, water.read_by(act)))
        else:
            water.take(act)
    return np.array(levels), tuple(readings)


class Water:
    """One tank's water as it really is, from its start on; what is done and read in it moves by chance."""

    def __init__(self, chance: Chance, case: Case, truth: Truth) -> None:
        self._chance, self._methods, self._truth = chance, case.methods, truth
        self.level = chance.normal(case.initial.mean, case.initial.sd)
        self._source = chance.normal(case.source.mean_per_day, case.source.sd_per_day)
        self.day = 0.0

    def wait_until(self, day: float) -> None:
        """Let the water be until a day."""
        loss = self._truth.loss_per_day
        self.level, self._source = walked(self._chance, self.level, self._source, day - self.day, loss)
        self.day = day

    def read_by(self, method: str) -> Observed:
        """Return what a keeper writes down who reads it now."""
        return report(method, _perceived(self._chance, self._methods[method], self.level, self._truth.biases[method]))

    def take(self, event: Event) -> None:
        """Do a dose or a change now."""
        part = self._truth.stock_strength + getattr(event, "relative_sd", 0.0) * self._chance.normal()
        off = getattr(event, "incoming_sd", 0.0) * self._chance.normal()
        self.level = _after(event, self.level, self._truth.volume_l, amount_part=part, incoming_off=off)


def walked(chance: Chance, level: float, source: float, days: float, loss: float) -> tuple[float, float]:
    """Return level and source after some days, in equal steps of a quarter of an hour at most.

    In each the source is held at the middle of its two ends; what that leaves out is under 1e-6 mg/L a step.
    """
    if days <= 0.0:
        return level, source
    steps = math.ceil(days / _LONGEST_STEP_DAYS)
    length = days / steps
    kept = math.exp(-loss * length)
    gained = -math.expm1(-loss * length) / loss
    for move in SOURCE.walk_sd_per_sqrt_day * math.sqrt(length) * chance.standard_normal(steps):
        level = kept * level + gained * (source + 0.5 * move)
        source += move
    return level, source


def _after(event: Event, level: float, volume_l: float, *, amount_part: float, incoming_off: float) -> float:
    """Return the level after a dose or a change."""
    if isinstance(event, Dose):
        return level + event.amount_mg * amount_part / volume_l
    if isinstance(event, Change):
        return level + event.volume_l / volume_l * (event.incoming + incoming_off - level)
    raise TypeError(f"No tank here has {event}.")


def _perceived(chance: Chance, method: Method, level: float, bias: float) -> float:
    absolute_sd = _CHART_EYE_SD if method.marks else method.absolute_sd
    return level + bias + math.hypot(absolute_sd, method.relative_sd * level) * chance.normal()


def report(key: str, seen: float) -> Observed:
    """Return what is written down when `seen` mg/L is perceived."""
    method = METHODS[key]
    if method.marks:
        return _on_the_chart(method.marks, seen)
    if method.lower_limit is not None and seen < method.lower_limit:
        return Observed(below=method.lower_limit)
    if method.upper_limit is not None and seen > method.upper_limit:
        return Observed(above=method.upper_limit)
    return Observed(value=round(round(seen / method.resolution) * method.resolution, 9))


def _on_the_chart(marks: tuple[float, ...], seen: float) -> Observed:
    if seen < marks[0]:
        return Observed(below=marks[0])
    if seen >= marks[-1]:
        return Observed(above=marks[-1])
    low, high = next((low, high) for low, high in pairwise(marks) if low <= seen < high)
    return Observed(low=low, high=high)
