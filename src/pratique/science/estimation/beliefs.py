"""The two static unknowns of a case, loss and volume, as axes for a grid: where they may lie and how likely."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pratique.science.estimation.case import Case

type Array = NDArray[np.float64]

_REACH = 6.0


@dataclass(frozen=True)
class Axis:
    """One static unknown as a normal coordinate `x`: itself, or its logarithm; cut below at `least`.

    An unknown that is known, or on which nothing depends, has `sd` 0 and a single node.
    """

    mean: float
    sd: float
    is_log: bool
    least: float = -math.inf

    @property
    def is_open(self) -> bool:
        """Return whether anything is to be learned about it."""
        return self.sd > 0.0

    def values(self, x: Array) -> Array:
        """Return the unknown itself at coordinates `x`."""
        return np.exp(x) if self.is_log else x

    def log_density(self, x: Array) -> Array:
        """Return the log prior density in the coordinate, normalised over what the cut leaves."""
        if not self.is_open:
            return np.zeros_like(x)
        z = (x - self.mean) / self.sd
        left = 0.5 * math.erfc((self.least - self.mean) / (self.sd * math.sqrt(2.0)))
        density = -0.5 * z * z - math.log(self.sd * math.sqrt(2.0 * math.pi) * left)
        return np.where(x > self.least, density, -np.inf)

    def span(self) -> tuple[float, float]:
        """Return where the prior can lie at all."""
        return max(self.least, self.mean - _REACH * self.sd), self.mean + _REACH * self.sd


def loss_axis(case: Case) -> Axis:
    """Return the axis of the loss per day, by its logarithm; none where the loss is none."""
    if case.loss.median_per_day == 0.0:
        return Axis(0.0, 0.0, is_log=False)
    return Axis(math.log(case.loss.median_per_day), case.loss.log_sd, is_log=True)


def volume_axis(case: Case) -> Axis:
    """Return the axis of the net volume, cut at the largest change; a single node where nothing depends on it."""
    least, volume = case.largest_change_l, case.volume
    if volume.is_lognormal:
        cut = math.log(least) if least > 0.0 else -math.inf
        return Axis(math.log(volume.mean_l), volume.sd_l if case.needs_volume else 0.0, is_log=True, least=cut)
    # A volume cannot be below 0, however wide the belief.
    return Axis(volume.mean_l, volume.sd_l if case.needs_volume else 0.0, is_log=False, least=max(least, 0.0))
