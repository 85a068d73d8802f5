"""How long a parasite stays in each stage: chances by steps of 6 hours, one row per isolate it may be."""

from dataclasses import dataclass
from math import ceil
from typing import Final

import numpy as np
from numpy.typing import NDArray

from pratique import knowledge
from pratique.knowledge.parasites import EverHatching, Shape, Span
from pratique.science.chemistry.domain import DomainError
from pratique.science.health.parasites.limits import limits_of

type Array = NDArray[np.float64]
type Indices = NDArray[np.int64]

STEPS_PER_DAY: Final = 4
_HOURS_PER_STEP = 6.0
# A median as near to a limit as this, or beyond it, is put here: the limits were seen, the medians there are reckoned.
_NEAREST = 1.05
_MOST_STRAGGLERS = 0.25


@dataclass(frozen=True)
class StageDraws:
    """Rows are isolates, columns steps: column i is the chance that the stage is over within i steps.

    host_cdf: of leaving the fish (flukes: of beginning to lay). off_cdf: of having hatched after leaving the fish; the
    last is the fraction that ever does. infective_steps and alive_steps: how long what hatched can settle, and swim.
    """

    host_cdf: Array
    off_cdf: Array
    infective_steps: Indices
    alive_steps: Indices


def stage_draws(
    parasite: str, *, temperature_c: float, count: int, seed: int, off_host_shape: Shape | None = None
) -> StageDraws:
    """Return the stages of `count` isolates drawn from what is not known of them, at a temperature in °C.

    The same seed gives the same isolates at every temperature. `off_host_shape` replaces that of
    the knowledge. Raises KeyError for an unknown parasite, DomainError for
    a count below 1 and as `limits_of` does. Source: log-normal days within the limits seen, their medians exponential
    in temperature, as fitted in `hatching`.
    """
    if count < 1:
        raise DomainError("At least one isolate must be drawn.")
    known, limits = knowledge.parasite(parasite), limits_of(parasite, temperature_c)
    off_shape = off_host_shape or known.off_host_shape
    normals = np.random.default_rng(seed)
    host = _days_cdf(
        known.host_shape,
        temperature_c,
        (limits.shortest_on_host, np.full(count, limits.longest_on_host)),
        normals,
    )
    is_extreme = normals.random(count) < off_shape.chance_of_extreme
    latest = np.where(is_extreme, limits.latest_extreme, limits.latest_hatch)
    off = _days_cdf(off_shape, temperature_c, (limits.earliest_hatch, latest), normals)
    ever = _ever_hatching(known.ever_hatching, temperature_c, normals.random(count))
    infective = _steps(known.swimmer_infective_hours, normals.random(count))
    alive = np.maximum(_steps(known.swimmer_life_hours, normals.random(count)), infective)
    return StageDraws(host_cdf=host, off_cdf=off * ever[:, None], infective_steps=infective, alive_steps=alive)


def _days_cdf(shape: Shape, temperature_c: float, limits: tuple[float, Array], normals: np.random.Generator) -> Array:
    """Return (isolates, steps): a log-normal cut to the limits in days, and the stragglers before and after it."""
    from scipy.special import ndtr  # noqa: PLC0415 - a heavy import, used once a passage

    first, last = limits[0], limits[1][:, None]
    deviates = normals.standard_normal((4, len(last), 1))
    median = _median_days(shape, temperature_c) * np.exp(shape.median_between * deviates[0])
    median = np.clip(median, first * _NEAREST, last / _NEAREST)
    log_sd = shape.log_sd * np.exp(shape.log_sd_between * deviates[1])
    early, late = (
        np.minimum(share * np.exp(shape.shares_log_sd * deviate), _MOST_STRAGGLERS)
        for share, deviate in ((shape.early, deviates[2]), (shape.late, deviates[3]))
    )
    days = np.arange(ceil(float(last.max()) * STEPS_PER_DAY) + 1) / STEPS_PER_DAY
    within = np.clip(days[None, :], first, last)
    lowest, highest = ndtr(np.log(first / median) / log_sd), ndtr(np.log(last / median) / log_sd)
    usual = (ndtr(np.log(within / median) / log_sd) - lowest) / (highest - lowest)
    before = np.clip(np.log(within / first) / np.log(median / first), 0.0, 1.0)
    after = np.clip(np.log(within / median) / np.log(last / median), 0.0, 1.0)
    found: Array = (1.0 - early - late) * usual + early * before + late * after
    return np.clip(np.maximum.accumulate(found, axis=1), 0.0, 1.0)


def _median_days(shape: Shape, temperature_c: float) -> float:
    """Return the median of the middle isolate: exponential in temperature, steeper in the cold, level in the heat."""
    warm = min(temperature_c, shape.warmest_c)
    slower = shape.faster_per_c * (shape.at_c - warm) + shape.colder_per_c * max(shape.cold_below_c - warm, 0.0)
    return float(shape.median_days * np.exp(slower))


def _ever_hatching(kinds: tuple[EverHatching, ...], temperature_c: float, evens: Array) -> Array:
    """Return for each isolate the fraction that ever hatches, after the kind of isolate it is drawn to be."""
    curves = [np.array(kind.points, dtype=np.float64) for kind in kinds]
    fractions = np.array([np.interp(temperature_c, curve[:, 0], curve[:, 1]) for curve in curves])
    weights = np.cumsum([kind.weight for kind in kinds])
    found: Array = fractions[np.searchsorted(weights / weights[-1], evens, side="right")]
    return found


def _steps(span: Span, evens: Array) -> Indices:
    """Return whole steps, one at least, for hours drawn evenly from a span."""
    hours = span.low + (span.high - span.low) * evens
    return np.maximum(np.ceil(hours / _HOURS_PER_STEP), 1.0).astype(np.int64)
