"""What many scored tanks say together: coverage, uniform ranks, forecasts against outcomes, and Brier scores."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.stats import chisquare
from tests.calibration.ranks import Score

type Array = NDArray[np.float64]

MIDDLE_INTERVALS = (0.5, 0.8, 0.95)
RIBBONS = (0.5, 0.95)
INTERVAL_QUANTITIES = ("level", "volume", "loss")
DAY_COUNTS = ("longest", "credited")
RANK_BARS = 20
BINS = 10
LEAST_IN_BIN = 50


@dataclass(frozen=True)
class Bin:
    """Tanks whose forecasts are alike: the mean forecast, the part that was held, and its standard error."""

    low: float
    high: float
    count: int
    forecast: float
    outcome: float
    standard_error: float

    @property
    def errors_off(self) -> float:
        """Return how many standard errors forecast and outcome lie apart."""
        return abs(self.forecast - self.outcome) / self.standard_error


@dataclass(frozen=True)
class Brier:
    """Mean squared distance of forecast and outcome; 0 is perfect.

    `paper` takes straight lines at their word; `paper_tuned` lets them say how often each of their two answers was
    right among these very tanks, which no keeper can know; `base_rate` says the same for every tank.
    """

    reckoning: float
    paper: float
    paper_tuned: float
    base_rate: float


def ranks_of(scored: Sequence[Score], quantity: str) -> Array:
    """Return the ranks of one quantity."""
    return np.array([one.ranks[quantity] for one in scored])


def coverage(ranks: Array) -> tuple[float, ...]:
    """Return the part of truths inside the middle 50, 80 and 95 %."""
    return tuple(float(np.mean(np.abs(ranks - 0.5) <= 0.5 * part)) for part in MIDDLE_INTERVALS)


def ribbon_coverage(scored: Sequence[Score]) -> tuple[float, ...]:
    """Return the part of levels inside the 50 and 95 % ribbon a page shows at the random hour."""
    return tuple(float(part) for part in np.mean([one.ribbon for one in scored], axis=0))


def rank_counts(ranks: Array) -> Array:
    """Return how many ranks fall in each of the twenty equal bars."""
    return np.bincount(np.minimum((ranks * RANK_BARS).astype(int), RANK_BARS - 1), minlength=RANK_BARS).astype(float)


def uniform_p(ranks: Array) -> float:
    """Return the chance of ranks at least this uneven if they are uniform (χ² of twenty bars)."""
    return float(chisquare(rank_counts(ranks)).pvalue)


def bins_of(scored: Sequence[Score]) -> list[Bin]:
    """Return the ten bins of the forecast that the course was held, empty ones left out.

    The standard error is that of the outcome if the forecasts hold; a forecast of 0 or 1 from n trajectories is taken
    as half a trajectory away from it.
    """
    forecasts = np.array([one.forecast for one in scored])
    outcomes = np.array([one.held for one in scored], dtype=float)
    sizes = np.array([one.effective_sample for one in scored])
    soft = (forecasts * sizes + 0.5) / (sizes + 1.0)
    return binned(forecasts, outcomes, soft)


def binned(forecasts: Array, outcomes: Array, soft: Array) -> list[Bin]:
    """Return the ten bins of any forecasts, empty ones left out; errors are of the forecasts as `soft` holds them."""
    places = np.minimum((forecasts * BINS).astype(int), BINS - 1)
    found = []
    for place in range(BINS):
        here = places == place
        if (count := int(here.sum())) == 0:
            continue
        error = float(np.sqrt(np.sum(soft[here] * (1.0 - soft[here]))) / count)
        mean, held = float(forecasts[here].mean()), float(outcomes[here].mean())
        found.append(Bin(place / BINS, (place + 1) / BINS, count, mean, held, error))
    return found


def brier(scored: Sequence[Score]) -> Brier:
    """Return the Brier scores of the reckoning, of straight lines, and of saying the same for all."""
    forecasts = np.array([one.forecast for one in scored])
    outcomes = np.array([one.held for one in scored], dtype=float)
    paper = np.array([one.paper for one in scored], dtype=float)
    tuned = np.empty_like(paper)
    for answer in np.unique(paper):
        tuned[paper == answer] = outcomes[paper == answer].mean()
    return Brier(*(float(np.mean((said - outcomes) ** 2)) for said in (forecasts, paper, tuned, outcomes.mean())))
