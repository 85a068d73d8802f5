"""How likely an animal is free of a parasite now, how that would be without its dip, and when it may be sure enough."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from pratique.science.health.parasites.clearance import Belief, Clear, by_generating, p_clear
from pratique.science.health.parasites.hazard import STEPS_PER_DAY, Days, hazards_of, step_of
from pratique.science.health.parasites.isolate import Isolates
from pratique.science.health.parasites.isolates import unknowns_of
from pratique.science.health.parasites.sensitivity import sensitivities
from pratique.science.passage.clear import ClearChance

type Array = NDArray[np.float64]

_MOST_UNKNOWNS = 3
# How far the upper end of a chance told by few courses lies above it.
_STANDARD_ERRORS = 3.0


@dataclass(frozen=True)
class History:
    """What happened to an animal and all that shared its water, in days from its arrival, and on to a horizon.

    `copper_part` (paths, steps) is copper over the lower target of its form, and `steady_copper_part` the same had no
    dip been in it; both, and `salinity_psu`, reach to the horizon as all goes well. The rest ends at `now_day`.
    """

    now_day: float
    horizon_day: float
    animals: int
    moves: tuple[float, ...] = ()
    newcomers: Mapping[float, int] = field(default_factory=dict)
    baths: tuple[float, ...] = ()
    clean_looks: tuple[float, ...] = ()
    seen_looks: tuple[float, ...] = ()
    copper_part: Array | None = None
    steady_copper_part: Array | None = None
    salinity_psu: Array | None = None


def chance_clear(history: History, belief: Belief, *, needed: float, replicates: int, seed: int = 0) -> ClearChance:
    """Return how likely a history left its animals free of a parasite.

    The looks are weighed by simulation up to now; what lies ahead, and what a dip did, by generating functions with
    the chance of having come along that the looks leave. Raises DomainError as `hazards_of` does.
    """
    until_now = _days_of(history, history.now_day)
    has_looks = bool(history.clean_looks or history.seen_looks)
    seen = p_clear(until_now, belief, replicates=replicates, seed=seed) if has_looks else None
    carried = _carried_in(history, belief, seen)
    now = step_of(history.now_day)
    ahead = _by_isolate(_days_of(history, history.horizon_day), belief, first=now)
    chances = 1.0 - carried * (1.0 - ahead.mean(axis=0))
    if seen is not None and not seen.is_rough:
        probability, low, high = (float(one[-1]) for one in (seen.probability, seen.low, seen.high))
    else:
        probability = float(chances[0])
        low, high = (float(1.0 - carried * (1.0 - q)) for q in np.quantile(ahead[:, 0], (0.05, 0.95)))
    return ClearChance(
        probability=probability,
        low=min(low, probability),
        high=max(high, probability),
        unlooked=float(chances[0]),
        carried_in=carried,
        if_carried=float(ahead[:, 0].mean()),
        reached_in_days=0.0 if probability >= needed else _reached(chances[1:], needed),
        without_dip=_without_dip(history, belief, carried),
        hangs_on=_hangs_on(ahead[:, 0], belief.isolates),
        are_looks_counted=seen is None or not seen.is_rough or not history.seen_looks,
    )


def _days_of(history: History, until: float) -> Days:
    """Return the days until a moment, with nothing looked for after now."""
    days = Days(
        days=until,
        animals=history.animals,
        moves=history.moves,
        baths=history.baths,
        clean_looks=history.clean_looks,
        seen_looks=history.seen_looks,
        newcomers=dict(history.newcomers),
    )
    copper, salt = history.copper_part, history.salinity_psu
    return replace(
        days,
        copper_part=None if copper is None else np.ascontiguousarray(copper[:, : days.steps]),
        salinity_psu=None if salt is None else salt[: days.steps],
    )


def _carried_in(history: History, belief: Belief, seen: Clear | None) -> float:
    """Return the chance that the parasite came along: seen, it surely did; unseen, what the looks leave of it.

    Where few courses fit the looks, what they leave is taken at its upper end.
    """
    if history.seen_looks:
        return 1.0
    if seen is None:
        return belief.carried_in
    if not seen.is_rough or seen.carried_in >= 1.0:
        return seen.carried_in
    odds = seen.carried_in / (1.0 - seen.carried_in) * (1.0 + _STANDARD_ERRORS / math.sqrt(max(seen.effective, 1.0)))
    return min(odds / (1.0 + odds), belief.carried_in)


def _by_isolate(days: Days, belief: Belief, *, first: int) -> Array:
    """Return (isolates, days from the first step on) the chance of being clear had the parasite come along."""
    ends = np.arange(first, days.steps, STEPS_PER_DAY, dtype=np.int64)
    hazards = hazards_of(
        days, belief.isolates, lethal_below_psu=belief.lethal_below_psu, cap_per_animal=belief.cap_per_animal
    )
    return by_generating(hazards, belief.isolates, ends)


def _reached(chances: Array, needed: float) -> float | None:
    """Return the first day from now from which on the chance stays enough, None where it does not."""
    short = np.nonzero(chances < needed)[0]
    after = 0 if len(short) == 0 else int(short[-1]) + 1
    return float(after + 1) if after < len(chances) else None


def _without_dip(history: History, belief: Belief, carried: float) -> float | None:
    """Return the chance now had the copper been held throughout, None where it was or was none."""
    if history.steady_copper_part is None:
        return None
    steady = replace(history, copper_part=history.steady_copper_part)
    days = _days_of(steady, history.now_day)
    found = _by_isolate(days, belief, first=step_of(history.now_day))[:, 0].mean()
    return float(1.0 - carried * (1.0 - found))


def _hangs_on(chance: Array, isolates: Isolates) -> tuple[tuple[str, float], ...]:
    """Return the unknowns that explain most of the spread between isolates, the weightiest first."""
    shares = sensitivities(chance, unknowns_of(isolates))
    ranked = sorted(shares.items(), key=lambda one: -one[1])[:_MOST_UNKNOWNS]
    return tuple((name, share) for name, share in ranked if round(100.0 * share) > 0)
