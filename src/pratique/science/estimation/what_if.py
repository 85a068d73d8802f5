"""What would come of doses and changes that nobody has given yet: the days ahead, fast enough to drag them about.

The past is not reckoned anew: nodes and weights stay as they were found, and only the days ahead are gone over again.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pratique.science.estimation.case import Band, Event
from pratique.science.estimation.exposure import Chance
from pratique.science.estimation.forecast import Ahead, ahead_of, crossing_of
from pratique.science.estimation.running import Running

type Array = NDArray[np.float64]

_NEGLIGIBLE = 1e-4
_DRAWS = 2000


@dataclass(frozen=True)
class Limits:
    """What the days ahead are judged by: the band to hold, and the level never to pass; None where there is none."""

    band: Band | None = None
    hard_upper: float | None = None


@dataclass(frozen=True)
class Outlook:
    """The days ahead with what is planned: quantiles (probability, day) at PROBABILITIES, and what they mean.

    `inside` is the share of the time to be expected inside the band, `ever_above` the chance of passing the hard upper
    limit at any hour; None without a band or a limit.
    """

    days: Array
    quantiles: Array
    inside: float | None
    ever_above: Chance | None


def outlook(running: Running, limits: Limits, *, until_day: float, events: Sequence[Event] = ()) -> Outlook:
    """Return what comes of the events planned from where a reckoning stands to `until_day`, hour by hour.

    Raises DomainError if the end, or an event, lies before where it stands.
    """
    light = lightened(running)
    ahead = ahead_of(light, until_day=until_day, events=events)
    return Outlook(
        ahead.days,
        ahead.quantiles(),
        _inside(ahead, limits.band),
        _ever_above(light, limits.hard_upper, until_day, events),
    )


def most_above(
    running: Running, hard_upper: float, *, from_day: float, until_day: float, events: Sequence[Event] = ()
) -> float:
    """Return the greatest chance, at any one hour from `from_day` on, of lying above the hard upper limit.

    Raises DomainError as `outlook` does.
    """
    ahead = ahead_of(running, until_day=until_day, events=events)
    above = 1.0 - ahead.probability_below(hard_upper)
    return float(np.max(above[ahead.days >= min(from_day, ahead.days[-1])]))


def lightened(running: Running) -> Running:
    """Return the reckoning without the nodes that weigh next to nothing: a drag asks for it many times a second."""
    held = running.weights > _NEGLIGIBLE * running.weights.max()
    weights = running.weights[held]
    return replace(
        running,
        losses=running.losses[held],
        volumes=running.volumes[held],
        weights=weights / weights.sum(),
        means=running.means[held],
        covariances=running.covariances[held],
    )


def _inside(ahead: Ahead, band: Band | None) -> float | None:
    if band is None:
        return None
    return float(np.mean(ahead.probability_within(band.lower, band.upper)))


def _ever_above(running: Running, hard_upper: float | None, until_day: float, events: Sequence[Event]) -> Chance | None:
    if hard_upper is None:
        return None
    found = crossing_of(running, limit=hard_upper, upwards=True, until_day=until_day, events=events, draws=_DRAWS)
    return found.by_the_end
