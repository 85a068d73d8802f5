"""Fit the days to hatching to the fractions that were seen: how the hatching figures of the knowledge were made."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pratique.knowledge.parasites import HatchingSeen

# A fraction seen as 0 or 1 was rounded to whole per cent.
_LEAST, _MOST = 0.005, 0.995


@dataclass(frozen=True)
class HatchingFit:
    """The median days at `at_c`, the fall of their logarithm a degree, the spread within a temperature and its own."""

    median_days: float
    at_c: float
    faster_per_c: float
    log_sd: float
    log_sd_between: float


def fitted_hatching(seen: Sequence[HatchingSeen], *, at_c: float = 25.0) -> HatchingFit:
    """Return the fit to fractions seen on two or more days at each of two or more temperatures.

    At each temperature a straight line of the logarithm of the day on the probit of the fraction gives the median and
    the spread; a straight line through the logarithms of the medians gives the law. Source: probit analysis, Finney
    1971 (recalled); the two steps are our own, since the spreads differ too much between temperatures to be one.
    """
    from scipy.special import ndtri  # noqa: PLC0415 - a heavy import, used once a fit

    temperatures = sorted({one.temperature_c for one in seen})
    lines = []
    for temperature in temperatures:
        here = [one for one in seen if one.temperature_c == temperature]
        probits = ndtri(np.clip([one.fraction for one in here], _LEAST, _MOST))
        lines.append(np.polyfit(probits, np.log([one.day for one in here]), 1))
    log_sds, log_medians = np.log([line[0] for line in lines]), [line[1] for line in lines]
    slope, log_median = np.polyfit(np.array(temperatures) - at_c, log_medians, 1)
    return HatchingFit(
        float(np.exp(log_median)), at_c, -float(slope), float(np.exp(log_sds.mean())), float(log_sds.std(ddof=1))
    )
