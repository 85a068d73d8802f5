"""How sure a count of cells is, and how sure the median of their sizes.

A count of cells that lie independently of each other is a Poisson count. Cells that stick together are not: count
the clumps then, or say that the error is larger than this.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from scipy.special import bdtr, gammaincinv

from pratique.science.chemistry.domain import DomainError, require_within


@dataclass(frozen=True)
class CountInterval:
    """A count and the interval in which the number expected in such a sample lies, both ends in cells."""

    count: int
    lower: float
    upper: float
    confidence: float


@dataclass(frozen=True)
class MedianInterval:
    """The median of n sizes, in their unit; its interval, and how sure that is (at least what was asked for).

    Without enough sizes no interval can be as sure as asked: both ends are then None and so is the sureness.
    """

    n: int
    median: float
    lower: float | None
    upper: float | None
    confidence: float | None


def relative_error_of_count(count: int) -> float:
    """Return the 95 % error of a count as a part of it: 2/√n, of the normal approximation (Lund et al. 1958).

    For a count below some 25 the interval of `count_interval` is far from even, and should be told instead. Raises
    DomainError for a count of none or below.
    """
    if count < 1:
        raise DomainError("No cell was counted, so the count has no error in percent: tell its upper bound instead.")
    return 2.0 / math.sqrt(count)


def count_interval(count: int, *, confidence: float = 0.95) -> CountInterval:
    """Return the exact Poisson interval of a count (Garwood 1936); a count of 0 bounds from above only.

    With chi-squared quantiles: χ²(α/2; 2n)/2 to χ²(1 − α/2; 2n + 2)/2. Raises DomainError for a negative count.
    """
    if count < 0:
        raise DomainError(f"A count cannot be below 0; this was {count}.")
    require_within("How sure the interval is to be", confidence, lower=0.5, upper=0.9999)
    tail = (1.0 - confidence) / 2.0
    # Half a chi-squared quantile with 2n degrees is the gamma quantile with shape n.
    lower = float(gammaincinv(count, tail)) if count else 0.0
    return CountInterval(count, lower, float(gammaincinv(count + 1, 1.0 - tail)), confidence)


def median_interval(sizes: Sequence[float], *, confidence: float = 0.95) -> MedianInterval:
    """Return the median of sizes with an interval between two of them in order, whatever shape the sizes have.

    The ranks come from the binomial distribution with a half (order statistics; any textbook of rank methods), so the
    interval is at least as sure as asked for. Raises DomainError for no size, or one that is no positive number.
    """
    if not sizes:
        raise DomainError("There is no median without a size: accept at least one cell.")
    if not all(0.0 < size < math.inf for size in sizes):
        raise DomainError("Every size must be a number above 0.")
    require_within("How sure the interval is to be", confidence, lower=0.5, upper=0.9999)
    ordered = sorted(sizes)
    n = len(ordered)
    median = (ordered[(n - 1) // 2] + ordered[n // 2]) / 2.0
    below = _ranks_cut_off(n, (1.0 - confidence) / 2.0)
    if below == 0:
        return MedianInterval(n, median, None, None, None)
    reached = 1.0 - 2.0 * float(bdtr(below - 1, n, 0.5))
    return MedianInterval(n, median, ordered[below - 1], ordered[n - below], reached)


def _ranks_cut_off(n: int, tail: float) -> int:
    """Return the largest k with P(fewer than k of n sizes lie below the median) at most `tail`; 0 if there is none."""
    k = 0
    while k < n // 2 and float(bdtr(k, n, 0.5)) <= tail:
        k += 1
    return k
