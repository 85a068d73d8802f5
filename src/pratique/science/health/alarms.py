"""Tabular cumulative sums: a small lasting shift found sooner than by single readings (Page 1954).

Where the level and spread at rest are themselves known from few readings only, each new one is first turned into a
standard normal score against all before it (Hawkins 1987, self-starting sums): the run lengths of the sums then hold.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from scipy.special import ndtri, stdtr

# A spread needs two readings; a score needs a third.
_FEWEST_BEFORE = 2
# A score further out says nothing more, and its logarithm would run over.
_FURTHEST = 8.0


@dataclass(frozen=True)
class Cusum:
    """The two sums after each reading, in the readings' unit.

    `signal` is the first reading over the limit, `change_from` the first after that sum was last nought (both counted
    from 0), and `shifted_mean` what the readings since then say of the new level; all None without a signal.
    """

    upper: tuple[float, ...]
    lower: tuple[float, ...]
    signal: int | None
    change_from: int | None
    shifted_mean: float | None


def cusum(readings: Sequence[float], *, target: float, sd: float, k: float = 0.5, h: float = 5.0) -> Cusum:
    """Return the sums against a target level, with allowance `k` and limit `h` in sd (Montgomery's tabular form).

    ValueError unless the sd is above nought.
    """
    if sd <= 0.0:
        raise ValueError("The spread of the readings must be above nought.")
    upper = _sums([one - target - k * sd for one in readings])
    lower = _sums([target - one - k * sd for one in readings])
    over = [index for index in range(len(readings)) if max(upper[index], lower[index]) > h * sd]
    if not over:
        return Cusum(tuple(upper), tuple(lower), None, None, None)
    signal = over[0]
    is_up = upper[signal] > h * sd
    sums = upper if is_up else lower
    change_from = next((index + 1 for index in range(signal, -1, -1) if sums[index] == 0.0), 0)
    shift = k * sd + sums[signal] / (signal + 1 - change_from)
    return Cusum(tuple(upper), tuple(lower), signal, change_from, target + (shift if is_up else -shift))


def self_starting_scores(readings: Sequence[float], *, least_sd: float) -> list[float]:
    """Return each reading as a standard normal score against those before it; nought for the first two.

    Independent and standard normal for readings that are independent and normal about a level that holds, whatever
    the level and the spread. A spread under `least_sd`, the error of a single reading, is not believed.
    """
    scores, mean, squares = [], 0.0, 0.0
    for count, reading in enumerate(readings):
        score = 0.0
        if count >= _FEWEST_BEFORE:
            spread = max(math.sqrt(squares / (count - 1)), least_sd)
            at = math.sqrt(count / (count + 1)) * (reading - mean) / spread
            score = float(ndtri(stdtr(count - 1, at)))
        scores.append(min(max(score, -_FURTHEST), _FURTHEST))
        away = reading - mean
        mean += away / (count + 1)
        squares += away * (reading - mean)
    return scores


def _sums(steps: Sequence[float]) -> list[float]:
    sums, total = [], 0.0
    for step in steps:
        total = max(0.0, total + step)
        sums.append(total)
    return sums
