"""How long a tank must stay without fish until no living stage of a parasite is likely left in it."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pratique.science.chemistry.domain import DomainError
from pratique.science.health.parasites.hazard import STEPS_PER_DAY
from pratique.science.health.parasites.isolate import Isolates
from pratique.science.health.parasites.isolates import belief_of
from pratique.science.health.parasites.limits import fallow_days, limits_of

type Array = NDArray[np.float64]


@dataclass(frozen=True)
class Fallow:
    """The chance at the end of each day without fish that no stage lives in the tank, over all isolates it may be.

    `low` to `high` holds 90 % of the isolates. `longest_days` is when the longest wait ever reported is over.
    """

    days: Array
    probability: Array
    low: Array
    high: Array
    longest_days: float

    def day_reached(self, chance: float) -> float | None:
        """Return the first day from which on the chance is enough; None where it is not within the days looked at."""
        short = np.flatnonzero(self.probability < chance)
        after = 0 if len(short) == 0 else int(short[-1]) + 1
        return float(self.days[after]) if after < len(self.days) else None


def fallow(
    parasite: str,
    *,
    temperature_c: float,
    on_the_fish: float,
    days: int,
    rows: int = 200,
    seed: int = 0,
) -> Fallow:
    """Return how surely a tank is rid of a parasite by days since its last fish left, at a temperature in °C.

    Until then `on_the_fish` parasites lived on all fish together, their number steady: as many left the fish, or laid,
    on every day before. All fish leave at once and take along what is on them; nothing comes in. What waits is
    independent, so how many live is Poisson, and exact for each isolate.

    Raises KeyError for an unknown parasite and DomainError for no parasites, no days, and water in which nothing
    hatches or what waits may sleep.
    """
    if on_the_fish <= 0.0 or days < 1:
        raise DomainError("A fallow period needs parasites to wait for, and at least one day.")
    limits = limits_of(parasite, temperature_c)
    isolates = belief_of(parasite, temperature_c=temperature_c, rows=rows, seed=seed).isolates
    chances = np.exp(-living(isolates, on_the_fish, days))
    low, high = np.quantile(chances, (0.05, 0.95), axis=0)
    return Fallow(np.arange(days + 1.0), chances.mean(axis=0), low, high, fallow_days(limits))


def living(isolates: Isolates, on_the_fish: float, days: int) -> Array:
    """Return (rows, days + 1): the mean number that wait or swim at the end of each day after the fish left."""
    steps = days * STEPS_PER_DAY
    waiting = isolates.off_cdf[:, -1:] - isolates.off_cdf
    # What began so many steps before the fish left, or earlier still: all that wait for longer than a time.
    later = np.cumsum(waiting[:, ::-1], axis=1)[:, ::-1]
    padded = np.pad(later, ((0, 0), (0, max(steps + 1 - later.shape[1], 0))))
    at = np.arange(0, steps + 1, STEPS_PER_DAY)
    # A swimmer lives on for some steps after it hatched: then it is as if the tank were that much earlier.
    earlier = at[None, :] - isolates.alive_steps[:, None]
    waits = np.take_along_axis(padded, np.maximum(earlier, 0), axis=1)
    # Before that much time has passed, all that hatched since the fish left swim too.
    hatched = np.maximum(-earlier, 0) * isolates.off_cdf[:, -1:]
    return np.asarray(_begun_per_step(isolates, on_the_fish)[:, None] * (waits + hatched), dtype=np.float64)


def _begun_per_step(isolates: Isolates, on_the_fish: float) -> Array:
    """Return how many stages that live begin to wait in each step while the fish are there."""
    if isolates.lays_eggs:
        begun = on_the_fish * isolates.eggs_per_step
    else:
        # Each stays on the fish for its mean time, the sum of the chances of being there still.
        begun = on_the_fish / (1.0 - isolates.host_cdf).sum(axis=1)
    return np.asarray(begun * isolates.viable, dtype=np.float64)
