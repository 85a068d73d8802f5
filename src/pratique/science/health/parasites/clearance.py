"""The chance that a batch is clear: that no stage lives on the animals, or in the water that is moved with them."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pratique.science.health.parasites.generating import by_generating
from pratique.science.health.parasites.hazard import STEPS_PER_DAY, Arrivals, Days, Hazards, hazards_of
from pratique.science.health.parasites.isolate import Belief
from pratique.science.health.parasites.laying import follow_laying
from pratique.science.health.parasites.lineage import follow

type Array = NDArray[np.float64]

_FEW = 100.0


@dataclass(frozen=True)
class Clear:
    """Chances at the end of each day from day 0 on.

    `probability` that no stage lives on the animals or in water moved with them, over all isolates it may be.
    `off_animals` is the chance that none is on the animals. `burden` is the mean number on all the animals,
    `burden_high` that which 5 % pass. `carried_in` is the chance, after all looks, that any group that came had it;
    `effective` how many of the replicates the looks leave: below a hundred the numbers are rough, and `is_rough`.
    """

    days: Array
    probability: Array
    monte_carlo_error: Array
    off_animals: Array
    burden: Array
    burden_high: Array
    carried_in: float
    effective: float

    @property
    def is_rough(self) -> bool:
        """Return whether too few replicates fit what was seen."""
        return self.effective < _FEW

    def day_reached(self, chance: float) -> float | None:
        """Return the first day from which on the batch is clear with this chance; None where it is not reached."""
        short = np.nonzero(self.probability < chance)[0]
        after = 0 if len(short) == 0 else int(short[-1]) + 1
        return float(self.days[after]) if after < len(self.days) else None


@dataclass(frozen=True)
class _Followed:
    is_living: NDArray[np.bool_]
    on_animals: NDArray[np.int64]
    log_weights: Array


def p_clear(days: Days, belief: Belief, *, replicates: int = 10_000, seed: int = 0) -> Clear:
    """Return the chance that the batch is clear at the end of each day, given what was looked for and seen.

    Replicates that had the parasite are followed and weighed by the looks; those without it need no following. Where
    nobody looked the chance is that of the generating functions, without Monte Carlo error.

    Raises DomainError as `hazards_of` does.
    """
    hazards = hazards_of(days, belief)
    ends = _ends_of_days(days)
    followed = _followed(days, hazards, belief, replicates, seed)
    weights, heard, effective = _weighed(followed.log_weights)
    carried_in = _carried_in(1.0 - hazards.arrivals.none, heard, bool(np.any(hazards.looks < 0.0)))
    if np.any(hazards.looks):
        clear = weights @ ~followed.is_living[:, ends]
        probability = _with(carried_in, clear)
        error = carried_in * np.sqrt(clear * (1.0 - clear) / max(effective, 1.0))
    else:
        probability, error = by_generating(hazards, belief.isolates, ends).mean(axis=0), np.zeros(len(ends))
    burdens = followed.on_animals[:, ends]
    return Clear(
        days=np.arange(len(ends), dtype=np.float64),
        probability=probability,
        monte_carlo_error=error,
        off_animals=_with(carried_in, weights @ (burdens == 0)),
        burden=carried_in * (weights @ burdens),
        burden_high=_upper(burdens, weights, carried_in),
        carried_in=carried_in,
        effective=effective,
    )


def chance_at_end(days: Days, belief: Belief) -> Array:
    """Return for each isolate the chance of being clear at the end of the days, where nobody looked."""
    at_end = np.array([days.steps - 1], dtype=np.int64)
    return by_generating(hazards_of(days, belief), belief.isolates, at_end)[:, 0]


def _ends_of_days(days: Days) -> NDArray[np.int64]:
    """Return the step that ends each day: the moment of arrival is that of day 0."""
    return np.arange(0, days.steps, STEPS_PER_DAY, dtype=np.int64)


def _followed(days: Days, hazards: Hazards, belief: Belief, replicates: int, seed: int) -> _Followed:
    isolates, normals = belief.isolates, np.random.default_rng(seed)
    found = _Followed(
        np.empty((replicates, days.steps), bool), np.empty((replicates, days.steps), np.int64), np.empty(replicates)
    )
    came = _brought(hazards.arrivals, replicates, normals)
    met = (
        hazards.settling, isolates.clumping, isolates.alive_steps, hazards.off_survival, hazards.host_survival,
        hazards.arrivals.steps, came, hazards.cap, isolates.seeing, hazards.looks, normals, found.on_animals,
        found.is_living, found.log_weights,
    )  # fmt: skip
    if isolates.lays_eggs:
        follow_laying(
            isolates.host_cdf, isolates.off_cdf, isolates.viable, isolates.eggs_per_step, isolates.adult_survival, *met
        )
    else:
        follow(isolates.host_cdf, isolates.off_cdf, isolates.viable, *met)
    return found


def _brought(arrivals: Arrivals, replicates: int, normals: np.random.Generator) -> NDArray[np.int64]:
    """Return (replicates, groups) how many parasites each group brings, one group at least bringing some.

    The first group that has it is drawn, then each later one by itself.
    """
    before = np.cumprod(np.append(1.0, 1.0 - arrivals.chances[:-1]))
    first = before * arrivals.chances if arrivals.none < 1.0 else np.eye(len(arrivals.chances))[0]
    drawn = normals.choice(len(first), size=replicates, p=first / first.sum())[:, None]
    place = np.arange(len(first))[None, :]
    has_it = (place == drawn) | ((place > drawn) & (normals.random((replicates, len(first))) < arrivals.chances))
    means = arrivals.means[np.arange(replicates) % len(arrivals.means)]
    return np.where(has_it, 1 + normals.poisson(means - 1.0), 0).astype(np.int64)


def _weighed(log_weights: Array) -> tuple[Array, float, float]:
    """Return the weights, summing to 1; the mean chance of what was seen; how many replicates they are worth."""
    most = float(log_weights.max())
    if not np.isfinite(most):
        # Signs were seen where no replicate has one left: nothing told here can weigh them.
        return np.full(len(log_weights), 1.0 / len(log_weights)), 0.0, 0.0
    raw = np.exp(log_weights - most)
    return raw / raw.sum(), float(raw.mean() * np.exp(most)), float(raw.sum() ** 2 / (raw @ raw))


def _carried_in(before: float, heard: float, was_seen: bool) -> float:
    """Return the chance that the batch had the parasite, after the looks; signs are taken as its own."""
    if was_seen:
        return 1.0
    return before * heard / (before * heard + 1.0 - before) if before < 1.0 else 1.0


def _with(carried_in: float, clear: Array) -> Array:
    found: Array = 1.0 - carried_in * (1.0 - clear)
    return found


def _upper(burdens: NDArray[np.int64], weights: Array, carried_in: float) -> Array:
    """Return the burden that 5 % pass, those without the parasite counted in."""
    rank = 1.0 - 0.05 / carried_in if carried_in > 0.05 else 0.0
    if rank <= 0.0:
        return np.zeros(burdens.shape[1])
    order = np.argsort(burdens, axis=0)
    heaped = np.cumsum(weights[order], axis=0)
    place = np.minimum((heaped < rank).sum(axis=0), len(weights) - 1)
    found: Array = np.take_along_axis(burdens, order, axis=0)[place, np.arange(burdens.shape[1])].astype(np.float64)
    return found
