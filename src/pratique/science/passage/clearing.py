"""How likely an animal is free of a parasite now, how that would be without its dip, and when it may be sure enough."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from pratique.science.health.parasites.generating import by_generating, had_it
from pratique.science.health.parasites.hazard import STEPS_PER_DAY, Days, Hazards, hazards_of, step_of
from pratique.science.health.parasites.isolate import Belief, Isolates
from pratique.science.health.parasites.isolates import unknowns_of
from pratique.science.health.parasites.looked import after_looks
from pratique.science.health.parasites.sensitivity import sensitivities
from pratique.science.passage.clear import ClearChance

type Array = NDArray[np.float64]

_MOST_UNKNOWNS = 3


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
    keenness: tuple[tuple[float, float], ...] = ()
    copper_part: Array | None = None
    steady_copper_part: Array | None = None
    salinity_psu: Array | None = None


def chance_clear(history: History, belief: Belief, *, needed: float) -> ClearChance:
    """Return how likely a history left its animals free of a parasite, now and from now on.

    All of it is exact for each isolate, the looks included. What was seen and cannot be, by what is believed, leaves
    the looks out, but for that the parasite surely came along. Raises DomainError as `hazards_of` does.
    """
    hazards = hazards_of(_days_of(history, history.horizon_day), belief)
    ends = np.arange(step_of(history.now_day), hazards.settling.shape[1], STEPS_PER_DAY, dtype=np.int64)
    told = after_looks(hazards, belief.isolates, ends[:1])
    if_carried = had_it(by_generating(hazards, belief.isolates, ends[:1])[:, 0], hazards)
    carried = _carried_in(history, hazards, float(told.heard.mean()))

    def on_day(ahead: int) -> float:
        at = ends[ahead : ahead + 1]
        if told.is_possible:
            return float(after_looks(hazards, belief.isolates, at).clear[0])
        return float(had_it(by_generating(hazards, belief.isolates, at), hazards).mean())

    probability = on_day(0)
    low, high = told.range_at(0) if told.is_possible else np.quantile(if_carried, (0.05, 0.95))
    return ClearChance(
        probability=probability,
        low=min(float(low), probability),
        high=max(float(high), probability),
        unlooked=1.0 - carried * (1.0 - float(if_carried.mean())),
        carried_in=carried,
        if_carried=float(if_carried.mean()),
        reached_in_days=0.0 if probability >= needed else _reached(on_day, len(ends) - 1, needed),
        without_dip=_without_dip(history, belief, carried),
        hangs_on=_hangs_on(if_carried, belief.isolates),
        are_looks_counted=told.is_possible,
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
        keenness=dict(history.keenness),
        newcomers=dict(history.newcomers),
    )
    copper, salt = history.copper_part, history.salinity_psu
    return replace(
        days,
        copper_part=None if copper is None else np.ascontiguousarray(copper[:, : days.steps]),
        salinity_psu=None if salt is None else salt[: days.steps],
    )


def _carried_in(history: History, hazards: Hazards, heard: float) -> float:
    """Return the chance that the parasite came along: seen, it surely did; unseen, what the looks leave of it."""
    if history.seen_looks:
        return 1.0
    return 1.0 - min(hazards.arrivals.none / heard, 1.0) if heard > 0.0 else 1.0


def _reached(on_day: Callable[[int], float], last: int, needed: float) -> float | None:
    """Return the first day ahead on which the chance is enough, by halving: it never falls, for the clear stay clear.

    None where it is not enough on the last day, which is looked at first.
    """
    short, enough = 0, last
    if last < 1 or on_day(last) < needed:
        return None
    while enough - short > 1:
        middle = (short + enough) // 2
        short, enough = (short, middle) if on_day(middle) >= needed else (middle, enough)
    return float(enough)


def _without_dip(history: History, belief: Belief, carried: float) -> float | None:
    """Return the chance now had the copper been held throughout, None where it was or was none."""
    if history.steady_copper_part is None:
        return None
    steady = replace(history, copper_part=history.steady_copper_part)
    hazards, end = hazards_of(_days_of(steady, history.now_day), belief), np.array([step_of(history.now_day)])
    found = had_it(by_generating(hazards, belief.isolates, end)[:, 0], hazards).mean()
    return float(1.0 - carried * (1.0 - found))


def _hangs_on(chance: Array, isolates: Isolates) -> tuple[tuple[str, float], ...]:
    """Return the unknowns that explain most of the spread between isolates, the weightiest first."""
    shares = sensitivities(chance, unknowns_of(isolates))
    ranked = sorted(shares.items(), key=lambda one: -one[1])[:_MOST_UNKNOWNS]
    return tuple((name, share) for name, share in ranked if round(100.0 * share) > 0)
