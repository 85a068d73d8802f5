"""The chance that a planned passage is clear, day by day: no living stage on the animals or in water moved with them.

The chances are those of the generating functions, exact for each isolate, also after looks without a sign.
Parasites are taken as independent of one another.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pratique.science.health.parasites.clearance import chance_at_end
from pratique.science.health.parasites.generating import by_generating
from pratique.science.health.parasites.hazard import STEPS_PER_DAY, Days, hazards_of
from pratique.science.health.parasites.isolate import Belief
from pratique.science.health.parasites.isolates import unknowns_of
from pratique.science.health.parasites.looked import after_looks as told_by_looks
from pratique.science.health.parasites.sensitivity import sensitivities
from pratique.science.passage.compare_days import cleared_on, days_of, looks_of
from pratique.science.passage.legs import Plan

type Array = NDArray[np.float64]

# Between two days as near as this nothing is reckoned anew: P(clear) never falls, so that what lies between is known.
_NEAR = 0.006
_PARTS = 3
_LEAST = 1e-300


@dataclass(frozen=True)
class ByDay:
    """P(clear) at the end of each day from day 0 on, with the 90 % range of the isolates it may be."""

    days: Array
    probability: Array
    low: Array
    high: Array

    @property
    def at_end(self) -> tuple[float, float, float]:
        """Return the chance on the last day, and its range."""
        return float(self.probability[-1]), float(self.low[-1]), float(self.high[-1])

    def day_reached(self, chance: float) -> float | None:
        """Return the first day from which on it is clear with this chance; None where that is never."""
        short = np.nonzero(self.probability < chance)[0]
        after = 0 if len(short) == 0 else int(short[-1]) + 1
        return float(self.days[after]) if after < len(self.days) else None


@dataclass(frozen=True)
class Looked:
    """P(clear) at clearance where no sign was seen at any look, and how likely it is that none is seen.

    `by_poor_eyes` and `by_keen_eyes` are the same where a look finds parasites with a chance in its lowest and its
    highest third.
    """

    probability: float
    low: float
    high: float
    p_no_sign: float
    by_poor_eyes: float
    by_keen_eyes: float


@dataclass(frozen=True)
class Effect:
    """What one unknown does to P(clear): its mean where the unknown is in its lowest and its highest third.

    `share` is how much of the spread between isolates it explains by itself.
    """

    words: str
    at_low: float
    at_high: float
    share: float


def clear_by_day(
    plan: Plan, beliefs: Mapping[str, Belief], *, animals: int, seed: int
) -> tuple[ByDay, dict[str, ByDay]]:
    """Return P(clear) of all parasites together, and of each, by day until clearance."""
    found = {
        key: _chances(_days(plan, key, belief, animals=animals, seed=seed), plan, belief)
        for key, belief in beliefs.items()
    }
    rows = min(len(one) for one in found.values())
    joined: Array = np.prod([one[:rows] for one in found.values()], axis=0)
    mean: Array = np.prod([one.mean(axis=0) for one in found.values()], axis=0)
    return _by_day(joined, mean), {key: _by_day(one, one.mean(axis=0)) for key, one in found.items()}


def _by_day(rows: Array, mean: Array) -> ByDay:
    low, high = np.quantile(rows, (0.05, 0.95), axis=0)
    return ByDay(np.arange(rows.shape[1], dtype=np.float64), mean, np.minimum(low, mean), np.maximum(high, mean))


def _days(plan: Plan, parasite: str, belief: Belief, *, animals: int, seed: int) -> Days:
    return days_of(plan, parasite, animals=animals, paths=len(belief.isolates), seed=seed)


def _chances(days: Days, plan: Plan, belief: Belief) -> Array:
    """Return (isolates, days) the chance of being clear at the end of each day; the last is clearance."""
    hazards = hazards_of(days, belief)
    count = int(np.floor(cleared_on(plan) + 1e-9)) + 1
    ends = np.minimum(np.arange(count) * STEPS_PER_DAY, days.steps - 1)
    if ends[-1] < days.steps - 1:
        ends = np.append(ends, days.steps - 1)

    def chances_at(places: Sequence[int]) -> Array:
        at = np.array([ends[place] for place in places], dtype=np.int64)
        return by_generating(hazards, belief.isolates, at)

    return _filled(chances_at, len(ends))


def clear_at_end(plan: Plan, beliefs: Mapping[str, Belief], *, animals: int, seed: int) -> tuple[float, float, float]:
    """Return P(clear) of all parasites together at clearance, with its 90 % range."""
    found = [
        chance_at_end(_days(plan, key, belief, animals=animals, seed=seed), belief) for key, belief in beliefs.items()
    ]
    mean, joined = float(np.prod([one.mean() for one in found])), np.prod(found, axis=0)
    low, high = np.quantile(joined, (0.05, 0.95))
    return mean, min(float(low), mean), max(float(high), mean)


def _filled(chances_at: Callable[[Sequence[int]], Array], count: int) -> Array:
    """Return every column, halving what lies between two that differ, and drawing a line between two that do not."""
    known = dict(zip((0, count - 1), chances_at((0, count - 1)).T, strict=True))
    open_spans = [(0, count - 1)]
    while open_spans:
        wanted = [(low, high) for low, high in open_spans if high - low > 1 and _differ(known[low], known[high])]
        middles = sorted({(low + high) // 2 for low, high in wanted})
        known |= dict(zip(middles, chances_at(middles).T, strict=True)) if middles else {}
        open_spans = [half for low, high in wanted for half in ((low, (low + high) // 2), ((low + high) // 2, high))]
    places = sorted(known)
    columns = np.stack([known[place] for place in places])
    every = np.arange(count)
    return np.stack([np.interp(every, places, row) for row in columns.T])


def _differ(one: Array, other: Array) -> bool:
    return abs(float(other.mean() - one.mean())) > _NEAR


def after_looks(plan: Plan, parasite: str, belief: Belief, *, animals: int, seed: int) -> Looked:
    """Return P(clear) of one parasite at clearance where every look found nothing, exact for each isolate."""
    days = replace(_days(plan, parasite, belief, animals=animals, seed=seed), clean_looks=looks_of(plan))
    told = told_by_looks(hazards_of(days, belief), belief.isolates, np.array([days.steps - 1], dtype=np.int64))
    gone, heard = told.gone[:, 0], told.heard
    parts = np.array_split(np.argsort(belief.isolates.seeing, kind="stable"), _PARTS)
    poor, keen = (float(gone[part].mean() / max(heard[part].mean(), _LEAST)) for part in (parts[0], parts[-1]))
    low, high = told.range_at(0)
    return Looked(float(told.clear[0]), low, high, float(heard.mean()), by_poor_eyes=poor, by_keen_eyes=keen)


def effects_on(plan: Plan, parasite: str, belief: Belief, *, animals: int, seed: int) -> tuple[Effect, ...]:
    """Return what each unknown of one parasite does to P(clear) at clearance, the one that matters most first."""
    chance = chance_at_end(_days(plan, parasite, belief, animals=animals, seed=seed), belief)
    unknowns = unknowns_of(belief.isolates)
    shares = sensitivities(chance, unknowns)
    found = [_effect(words, values, chance, shares[words]) for words, values in unknowns if np.ptp(values) > 0.0]
    return tuple(sorted(found, key=lambda one: abs(one.at_high - one.at_low), reverse=True))


def _effect(words: str, values: Array, chance: Array, share: float) -> Effect:
    ordered = chance[np.argsort(values, kind="stable")]
    parts = np.array_split(ordered, _PARTS)
    return Effect(words, float(parts[0].mean()), float(parts[-1].mean()), share)
