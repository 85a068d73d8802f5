"""How a growth's cover goes: its rate with an interval, and whether one kind has given way to another."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np

_Z95 = NormalDist().inv_cdf(0.975)
# Shares nearer to nothing or all than this are beyond what a photograph tells.
_LEAST = 0.002


@dataclass(frozen=True)
class CoverAt:
    """A share of a region, with its 95 % interval, `days` after any beginning."""

    days: float
    fraction: float
    low: float
    high: float


@dataclass(frozen=True)
class Rate:
    """A specific growth rate (per day, natural logarithm) with its 95 % interval; below 0 the growth recedes."""

    per_day: float
    low: float
    high: float
    count: int

    @property
    def is_settled(self) -> bool:
        """Say whether the interval tells growing from receding."""
        return self.low > 0.0 or self.high < 0.0

    @property
    def doubling_days(self) -> float:
        """Return the days to twice the cover at this rate, or to half of it."""
        return math.log(2.0) / abs(self.per_day) if self.per_day else math.inf


def growth_rate(covers: Sequence[CoverAt]) -> Rate | None:
    """Return the rate at which a cover grows, or None where it was measured less than twice or all at one time.

    A line through the log-odds of the cover against time, weighted by their intervals: for growth that slows as room
    runs out (logistic) its slope is the rate at small cover (Richards 1959). Scatter beyond the intervals widens the
    answer (Birge 1932); with n points the interval is that of Student's t with n - 2 degrees of freedom.
    """
    days = np.array([one.days for one in covers])
    if len(covers) < 2 or days.max() - days.min() <= 0.0:
        return None
    held = [np.clip([one.low, one.fraction, one.high], _LEAST, 1.0 - _LEAST) for one in covers]
    log_odds = np.array([np.log(one / (1.0 - one)) for one in held])
    sd = np.maximum((log_odds[:, 2] - log_odds[:, 0]) / (2.0 * _Z95), 0.02)
    weight = sd**-2.0
    middle = np.average(days, weights=weight)
    spread = float((weight * (days - middle) ** 2).sum())
    slope = float((weight * (days - middle) * log_odds[:, 1]).sum() / spread)
    off = log_odds[:, 1] - np.average(log_odds[:, 1], weights=weight) - slope * (days - middle)
    freedom = len(covers) - 2
    scatter = max(1.0, float((weight * off**2).sum()) / freedom) if freedom else 1.0
    half = (_student(freedom) if scatter > 1.0 else _Z95) * math.sqrt(scatter / spread)
    return Rate(slope, slope - half, slope + half, len(covers))


def _student(freedom: int) -> float:
    from scipy.stats import t  # noqa: PLC0415 - slow to load, and seldom needed

    return float(t.ppf(0.975, freedom))


def given_way(
    before: Mapping[str, CoverAt], after: Mapping[str, CoverAt], ground: frozenset[str]
) -> tuple[str, str] | None:
    """Return the kind that led before and the one that leads now, where both changed beyond their intervals.

    Kinds named in `ground` are no growth. A kind that is missing on one side has no cover there.
    """
    led, leads = (_leading(some, ground) for some in (before, after))
    if led is None or leads is None or led == leads:
        return None
    nothing = CoverAt(0.0, 0.0, 0.0, 0.0)
    has_shrunk = after.get(led, nothing).high < before[led].low
    has_grown = before.get(leads, nothing).high < after[leads].low
    return (led, leads) if has_shrunk and has_grown else None


def _leading(covers: Mapping[str, CoverAt], ground: frozenset[str]) -> str | None:
    growths = {name: one.fraction for name, one in covers.items() if name not in ground and one.fraction > 0.0}
    return max(growths, key=lambda name: growths[name]) if growths else None
