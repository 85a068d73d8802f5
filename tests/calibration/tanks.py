"""Tanks drawn from the prior and followed hour by hour, with the kits, gaps and slips of a real fortnight or month.

Exactly the model the reckoning assumes, written again: level and source move by the exact law of their step, every
dose and change acts at its moment, limits are tested on what is perceived, then it is rounded; nothing is clipped.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pratique.science.estimation.case import (
    Band,
    Case,
    Change,
    Dose,
    Event,
    Initial,
    Loss,
    Reading,
    Source,
    Volume,
)
from pratique.science.estimation.reading import Method, Observed

type Array = NDArray[np.float64]

CHART_MARKS = (0.0, 0.1, 0.2, 0.3, 0.5, 0.8, 1.0)
METHODS = {
    "photometer": Method(resolution=0.01, absolute_sd=0.02, relative_sd=0.05, lower_limit=0.02, upper_limit=5.0),
    "drops": Method(resolution=0.05, absolute_sd=0.03, relative_sd=0.0),
    "chart": Method(resolution=0.0, absolute_sd=0.0, relative_sd=0.0, marks=CHART_MARKS),
}
_CHART_EYE = 0.02
_HOUR = 1.0 / 24.0


@dataclass(frozen=True)
class Tank:
    """One simulated tank: what a keeper would know of it, and the truth."""

    case: Case
    levels: Array
    volume_l: float
    loss_per_day: float


def tank(seed: int, *, days: int | None = None) -> Tank:
    """Return one tank drawn from the prior, its plan and kit by chance too."""
    chance = np.random.default_rng(seed)
    span = float(days if days is not None else chance.integers(10, 33))
    volume = Volume(80.0, 8.0)
    events = _plan(chance, span)
    largest = max((e.volume_l for e in events if isinstance(e, Change)), default=0.0)
    case = Case(
        constituent="copper",
        unit="mg/L",
        span_days=span,
        grid_hours=1.0,
        initial=Initial(0.0, 0.01),
        volume=volume,
        loss=Loss(0.04, 0.8),
        source=Source(0.0, 0.005, 0.002),
        methods=METHODS,
        events=events,
        band=Band(0.15, 0.25),
        required_days=float(chance.uniform(1.0, span)),
        stock_strength_relative_sd=0.05 if chance.random() < 0.5 else 0.0,
        seed=seed,
        draws=1000,
    )
    true_volume = -1.0
    while true_volume <= largest:
        true_volume = chance.normal(volume.mean_l, volume.sd_l)
    loss = case.loss.median_per_day * math.exp(case.loss.log_sd * chance.normal())
    levels, readings = _follow(chance, case, true_volume, loss)
    from dataclasses import replace

    return Tank(replace(case, readings=readings), levels, true_volume, loss)


def _plan(chance: np.random.Generator, span: float) -> tuple[Event, ...]:
    """Return doses and changes: a first dose, top-ups on most days, a change now and then."""
    events: list[Event] = [Dose(chance.uniform(0.0, 0.2), chance.uniform(6.0, 16.0), 0.03)]
    for day in range(1, int(span)):
        if chance.random() < 0.5:
            events.append(Dose(day + chance.uniform(0.3, 0.7), chance.uniform(0.2, 2.0), 0.03))
        if chance.random() < 0.12:
            events.append(Change(day + chance.uniform(0.3, 0.7), chance.uniform(5.0, 25.0)))
    return tuple(sorted(events, key=lambda e: e.day))


def _follow(chance: np.random.Generator, case: Case, volume: float, loss: float) -> tuple[Array, tuple[Reading, ...]]:
    """Return the level at every hour and the readings taken on the way."""
    kit = chance.choice(["photometer", "chart", "drops", "mixed"])
    per_day = chance.uniform(0.3, 2.5)
    moments = np.sort(chance.uniform(0.0, case.span_days, chance.poisson(per_day * case.span_days)))
    gap = chance.uniform(0.0, case.span_days)
    moments = moments[(moments < gap) | (moments > gap + 3.0)]
    strength = 1.0 + case.stock_strength_relative_sd * chance.normal()
    level = case.initial.mean + case.initial.sd * chance.normal()
    source = case.source.mean_per_day + case.source.sd_per_day * chance.normal()
    hours = np.arange(round(case.span_days * 24) + 1) / 24.0
    acts = [(float(day), 0, "read") for day in moments]
    acts += [(e.day, 1 if isinstance(e, Change) else 2, e) for e in case.events]
    acts += [(float(day), 3, "hour") for day in hours]
    now, levels, readings = 0.0, [], []
    for day, _, act in sorted(acts, key=lambda one: one[:2]):
        level, source = _moved(chance, level, source, day - now, loss, case.source.walk_sd_per_sqrt_day)
        now = day
        if act == "hour":
            levels.append(level)
        elif act == "read":
            method = str(chance.choice(["photometer", "chart", "drops"])) if kit == "mixed" else str(kit)
            readings.append(Reading(day, method, _report(chance, method, level)))
        elif isinstance(act, Dose):
            level += act.amount_mg * (strength + act.relative_sd * chance.normal()) / volume
        else:
            level += act.volume_l / volume * (act.incoming - level)
    return np.array(levels), tuple(readings)


def _moved(
    chance: np.random.Generator, level: float, source: float, days: float, loss: float, walk: float
) -> tuple[float, float]:
    """Return level and source after some days, in ten equal pieces with the source's walk held within each."""
    if days <= 0.0:
        return level, source
    pieces = max(1, math.ceil(days / _HOUR * 4.0))
    step = days / pieces
    kept = math.exp(-loss * step)
    for _ in range(pieces):
        after = source + walk * math.sqrt(step) * chance.normal()
        middle = 0.5 * (source + after)
        level = kept * level + (1.0 - kept) / loss * middle
        source = after
    return level, source


def _report(chance: np.random.Generator, key: str, level: float) -> Observed:
    method = METHODS[key]
    sd = _CHART_EYE if method.marks else math.hypot(method.absolute_sd, method.relative_sd * level)
    seen = level + sd * chance.normal()
    if method.marks:
        if seen < method.marks[0]:
            return Observed(below=method.marks[0])
        if seen >= method.marks[-1]:
            return Observed(above=method.marks[-1])
        at = int(np.searchsorted(method.marks, seen, side="right"))
        return Observed(low=method.marks[at - 1], high=method.marks[at])
    if method.lower_limit is not None and seen < method.lower_limit:
        return Observed(below=method.lower_limit)
    if method.upper_limit is not None and seen > method.upper_limit:
        return Observed(above=method.upper_limit)
    return Observed(value=round(round(seen / method.resolution) * method.resolution, 9))
