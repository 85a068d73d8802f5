"""Gill beats against the animal's own baseline.

The baseline is the median of the lower half of its first ten counts: an animal arrives frightened and breathes fast, so
the quieter half says more about rest. A count is good to ±1 beat, and the animal itself varies from count to count.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from statistics import median
from typing import Literal

from pratique.knowledge import figure
from pratique.science.estimation.reading import NORMAL_95

type BreathingState = Literal["normal", "raised", "distress", "unknown"]

# So many counts from the animal's arrival on make its baseline.
FIRST_COUNTS = 10
_FEWEST_COUNTS = 3
_MAD_TO_SD = 1.4826
_MEDIAN_TO_MEAN_SD = 1.2533


@dataclass(frozen=True)
class Count:
    """Gill beats a minute, from a count over `counted_s` seconds."""

    at_day: float
    beats_per_min: float
    counted_s: float
    entry: str


@dataclass(frozen=True)
class BreathingLimits:
    """When breathing is raised or in distress, as a ratio and in beats a minute; a count is old after `stale_days`."""

    raised_ratio: float
    distress_ratio: float
    raised_per_min: float
    distress_per_min: float
    stale_days: float

    @classmethod
    def shipped(cls) -> "BreathingLimits":
        """Return the limits that `knowledge` ships."""
        return cls(
            raised_ratio=figure("breathing.raised_ratio").value,
            distress_ratio=figure("breathing.distress_ratio").value,
            raised_per_min=figure("breathing.raised_per_min").value,
            distress_per_min=figure("breathing.distress_per_min").value,
            stale_days=figure("breathing.stale_days").value,
        )


@dataclass(frozen=True)
class Breathing:
    """The newest count against the baseline, all ± 95 %.

    `state` is "unknown" where the newest count is old; `latest_state` is what that count said when it was taken, and
    `since` the first count of the raised run that ends with it.
    """

    baseline: float | None
    baseline_plus_minus: float | None
    latest: Count | None
    ratio: float | None
    ratio_low: float | None
    ratio_high: float | None
    state: BreathingState
    latest_state: BreathingState
    since: Count | None
    baseline_counts: int


@dataclass(frozen=True)
class _Rest:
    """The animal at rest: its rate, the error of that rate, and its spread from count to count (both one sd)."""

    rate: float
    rate_sd: float
    spread: float
    counts: int


def breathing(counts: Iterable[Count], now: float, *, limits: BreathingLimits | None = None) -> Breathing:
    """Return the animal's breathing at day `now`.

    With fewer than three counts before the newest there is no baseline: only the limits in beats a minute can speak,
    and a count below them is "unknown", not "normal". So is a newest count older than the limits allow.
    """
    limits = limits or BreathingLimits.shipped()
    ordered = sorted((c for c in counts if c.at_day <= now), key=lambda c: c.at_day)
    if not ordered:
        return Breathing(None, None, None, None, None, None, "unknown", "unknown", None, 0)
    latest = ordered[-1]
    rest = _at_rest(ordered[:-1])
    then = _state(latest, rest, limits)
    state: BreathingState = "unknown" if now - latest.at_day > limits.stale_days else then
    since = _raised_since(ordered, rest, limits) if then in {"raised", "distress"} else None
    if rest is None:
        return Breathing(None, None, latest, None, None, None, state, then, since, 0)
    ratio = latest.beats_per_min / rest.rate
    latest_sd = math.hypot(count_sd(latest), rest.spread)
    half = NORMAL_95 * math.hypot(latest_sd / rest.rate, ratio * rest.rate_sd / rest.rate)
    return Breathing(
        baseline=rest.rate,
        baseline_plus_minus=NORMAL_95 * rest.rate_sd,
        latest=latest,
        ratio=ratio,
        ratio_low=max(0.0, ratio - half),
        ratio_high=ratio + half,
        state=state,
        latest_state=then,
        since=since,
        baseline_counts=rest.counts,
    )


def count_sd(count: Count) -> float:
    """Return one sd, in beats a minute, of a count that is good to ±1 beat with 95 %."""
    return 60.0 / count.counted_s / NORMAL_95


def _at_rest(earlier: Sequence[Count]) -> _Rest | None:
    """Return the baseline from the first counts, or None with too few."""
    first = sorted(earlier[:FIRST_COUNTS], key=lambda c: c.beats_per_min)
    if len(first) < _FEWEST_COUNTS:
        return None
    quiet = first[: (len(first) + 1) // 2]
    rate = median(c.beats_per_min for c in quiet)
    if rate <= 0.0:
        return None
    middle = median(c.beats_per_min for c in first)
    spread = _MAD_TO_SD * median(abs(c.beats_per_min - middle) for c in first)
    one_count = math.hypot(spread, median(count_sd(c) for c in quiet))
    return _Rest(rate, _MEDIAN_TO_MEAN_SD * one_count / math.sqrt(len(quiet)), spread, len(quiet))


def _state(count: Count, rest: _Rest | None, limits: BreathingLimits) -> BreathingState:
    ratio = count.beats_per_min / rest.rate if rest else 0.0
    if ratio >= limits.distress_ratio or count.beats_per_min >= limits.distress_per_min:
        return "distress"
    if ratio >= limits.raised_ratio or count.beats_per_min >= limits.raised_per_min:
        return "raised"
    return "normal" if rest else "unknown"


def _raised_since(ordered: Sequence[Count], rest: _Rest | None, limits: BreathingLimits) -> Count:
    """Return the first count of the unbroken run of raised counts that reaches the newest."""
    since = ordered[-1]
    for count in reversed(ordered):
        if _state(count, rest, limits) not in {"raised", "distress"}:
            break
        since = count
    return since
