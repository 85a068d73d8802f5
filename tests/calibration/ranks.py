"""How the truth of a simulated tank ranks in its reckoning, and what the reckoning said of the course beforehand.

If the reckoning is right, ranks are uniform (Talts et al. 2018) and a probability said is a frequency seen. Day counts
have lumps (nought, the whole span), so ties are broken by chance.
"""

import multiprocessing
from collections.abc import Iterable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from tests.calibration.tanks import BAND, Tank, tank

from pratique.science.estimation.case import Reading
from pratique.science.estimation.exposure import exposure_of, runs
from pratique.science.estimation.marginal import PROBABILITIES
from pratique.science.estimation.posterior import Posterior, reckon

type Array = NDArray[np.float64]

_SAME = 1e-9
_OWN_CHANCE = 1_000_000_000


@dataclass(frozen=True)
class Score:
    """One tank: the rank of each truth between 0 and 1, and the forecast that the course was held beside what was.

    `ribbon` says whether the level at the random hour lay in the page's 50 and 95 % ribbon; `paper` is what straight
    lines between the readings say; `effective_sample` is that of the trajectories.
    """

    seed: int
    kit: str
    ranks: dict[str, float]
    ribbon: tuple[bool, bool]
    forecast: float
    paper: bool
    held: bool
    effective_sample: float


def scores(seeds: Iterable[int], *, processes: int = 1) -> list[Score]:
    """Return the score of every seed, none left out, in order."""
    if processes == 1:
        return [score(seed) for seed in seeds]
    with ProcessPoolExecutor(processes, multiprocessing.get_context("spawn")) as pool:
        return list(pool.map(score, seeds, chunksize=10))


def score(seed: int) -> Score:
    """Simulate one tank, reckon it, and rank its truth."""
    simulated = tank(seed)
    posterior = reckon(simulated.case)
    # Which hour, and how ties fall, is chance of its own: no number of the simulation is used twice.
    chance = np.random.default_rng(_OWN_CHANCE + seed)
    hour = int(chance.integers(len(posterior.days)))
    true_days = _days_held(simulated.levels, posterior.days)
    paper_days = _days_held(paper_levels(simulated.case.readings, posterior.days), posterior.days)
    required = float(simulated.case.required_days or 0.0) - _SAME
    return Score(
        seed,
        simulated.kit,
        _ranks(simulated, posterior, hour, true_days, chance),
        _in_ribbon(posterior.quantiles[:, hour], simulated.levels[hour]),
        _forecast(simulated, posterior),
        bool(paper_days[0] >= required),
        bool(true_days[0] >= required),
        posterior.trajectories.effective_sample,
    )


def _ranks(
    simulated: Tank, posterior: Posterior, hour: int, true_days: tuple[float, float], chance: np.random.Generator
) -> dict[str, float]:
    drawn = posterior.trajectories
    longest, credited, _ = runs(drawn.levels >= BAND.lower, posterior.days)
    return {
        "level": randomised_rank(drawn.levels[:, hour], drawn.weights, simulated.levels[hour], chance),
        "volume": posterior.volume_l.probability_below(simulated.volume_l),
        "loss": posterior.loss_per_day.probability_below(simulated.loss_per_day),
        "longest": randomised_rank(longest, drawn.weights, true_days[0], chance),
        "credited": randomised_rank(credited, drawn.weights, true_days[1], chance),
    }


def _in_ribbon(quantiles: Array, truth: float) -> tuple[bool, bool]:
    at = dict(zip(PROBABILITIES, quantiles, strict=True))
    return bool(at[0.25] <= truth <= at[0.75]), bool(at[0.025] <= truth <= at[0.975])


def _forecast(simulated: Tank, posterior: Posterior) -> float:
    case = simulated.case
    exposure = exposure_of(
        posterior.trajectories,
        posterior.days,
        BAND,
        start_day=0.0,
        end_day=case.span_days,
        required_days=case.required_days,
    )
    return exposure.held.value if exposure.held else 0.0


def _days_held(levels: Array, days: Array) -> tuple[float, float]:
    """Return the longest run at or above the target, and the run that stands at the end, in days."""
    longest, standing, _ = runs((levels >= BAND.lower)[None], days)
    return float(longest[0]), float(standing[0])


def randomised_rank(values: Array, weights: Array, truth: float, chance: np.random.Generator) -> float:
    """Return where `truth` ranks among weighted draws, between 0 and 1; it ties with itself, as one draw more."""
    size = 1.0 / float(np.sum(weights**2))
    below = float(weights @ (values < truth - _SAME))
    level_with = float(weights @ (np.abs(values - truth) <= _SAME))
    return (size * below + chance.random() * (size * level_with + 1.0)) / (size + 1.0)


def paper_levels(readings: Sequence[Reading], days: Array) -> Array:
    """Return straight lines between the readings, flat beyond them, as a careful person draws them on paper.

    An interval is drawn at its middle, a result below a limit at half of it, one above at the limit. Without readings
    nothing shows that anything was held: nought.
    """
    if not readings:
        return np.zeros_like(days)
    return np.interp(days, [reading.day for reading in readings], [_drawn_at(reading) for reading in readings])


def _drawn_at(reading: Reading) -> float:
    seen = reading.observed
    if seen.low is not None and seen.high is not None:
        return 0.5 * (seen.low + seen.high)
    if seen.below is not None:
        return 0.5 * seen.below
    at = seen.above if seen.value is None else seen.value
    return float(at if at is not None else 0.0)
