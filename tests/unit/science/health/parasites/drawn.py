"""Isolates like white spot and flukes for the tests of the simulation: one row, invented figures."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from scipy.stats import gamma

from pratique.science.health.parasites.isolate import Belief, Isolates


def stage(mean_days: float, sd_days: float, *, first: int, steps: int) -> NDArray[np.float64]:
    """A cumulative row of gamma stays, none before the first step."""
    found = gamma.cdf(np.arange(steps) / 4.0, (mean_days / sd_days) ** 2, scale=sd_days**2 / mean_days)
    found[:first] = 0.0
    return (found / found[-1])[None, :]


def spots(**changed: float) -> Isolates:
    """On the fish for 3 to 7 days, off it for 3 to 28, as Colorni 1985 has it; the rest invented."""
    one = np.ones(1)
    found = Isolates(
        host_cdf=stage(5.0, 1.0, first=12, steps=29),
        off_cdf=stage(8.5, 2.5, first=12, steps=113),
        viable=one * 0.7,
        settling=one * 14.0,
        clumping=one,
        alive_steps=np.full(1, 6),
        eggs_per_step=-one,
        adult_survival=one,
        burden=one * 13.0,
        seeing=one * 0.1,
        copper_half_kill=one * 0.5,
        copper_slope=one * 6.0,
        resists_low_salinity=np.zeros(1, bool),
        carried=np.zeros(1),
        bath_survival=one,
    )
    return replace(found, **{name: np.full(1, value) for name, value in changed.items()})


def flukes() -> Isolates:
    """Egg-laying, mature after 5 to 8 days; a bath leaves 2 % of those on the fish and all eggs."""
    one = np.ones(1)
    return replace(
        spots(settling=0.02, eggs_per_step=10.0, adult_survival=0.99, bath_survival=0.02, viable=0.9),
        host_cdf=stage(6.0, 0.7, first=20, steps=33),
        off_cdf=stage(6.0, 0.8, first=16, steps=41),
        seeing=one * 0.02,
    )


def believed(isolates: Isolates, *, carried_in: float = 1.0) -> Belief:
    """A batch that had it for certain, unless said."""
    return Belief(carried_in, isolates, cap_per_animal=5000.0, lethal_below_psu=16.0)
