"""Where a level goes, and where it settles, under a routine that does not change.

Not here: single changes (`dilution`). Levels are in any one unit; rates are that unit per day.
"""

import math
from dataclasses import dataclass

from pratique.science.chemistry.domain import DomainError, require_at_least


@dataclass(frozen=True)
class Sawtooth:
    """The highest level, just before each change, and the lowest, just after it, once a routine has settled."""

    peak: float
    trough: float


def sawtooth(rise_per_period: float, fraction: float, *, incoming: float = 0.0) -> Sawtooth:
    """Return where a level settles that rises by so much between changes of `fraction` of the water.

    Peak = incoming + rise / f, trough = incoming + rise (1 - f) / f. Raises DomainError unless 0 < f <= 1.
    """
    _require_fraction(fraction)
    return Sawtooth(incoming + rise_per_period / fraction, incoming + rise_per_period * (1.0 - fraction) / fraction)


def changes_to_settle(fraction: float, *, within: float) -> int:
    """Return the changes after which no more than the part `within` (0 to 1) of the way to the settled level is left.

    Raises DomainError unless both lie between 0 and 1.
    """
    _require_fraction(fraction)
    if not 0.0 < within < 1.0:
        raise DomainError(f"What may be left must lie between 0 and 1; this was {within:g}.")
    if fraction == 1.0:
        return 1
    return math.ceil(math.log(within) / math.log(1.0 - fraction) - 1e-12)


@dataclass(frozen=True)
class Routine:
    """What acts on a level all the time: dC/dt = production + exchange (incoming - C) - loss C - uptake.

    `production` and `uptake` per day in the level's unit, `exchange` in tank volumes a day, `loss` as a part of the
    level a day. Raises DomainError for an exchange or loss below zero.
    """

    production: float = 0.0
    exchange: float = 0.0
    incoming: float = 0.0
    loss: float = 0.0
    uptake: float = 0.0

    def __post_init__(self) -> None:
        require_at_least("The exchange", self.exchange, lower=0.0)
        require_at_least("The loss", self.loss, lower=0.0)

    def settles_at(self) -> float | None:
        """Return the level it all comes to, or None where nothing holds it and it rises or falls on and on."""
        pull = self.exchange + self.loss
        return (self._push() + self.exchange * self.incoming) / pull if pull > 0.0 else None

    def level_after(self, days: float, *, start: float) -> float:
        """Return the level after this many days (closed form); below zero means: used up before then."""
        require_at_least("Days", days, lower=0.0)
        settled = self.settles_at()
        if settled is None:
            return start + self._push() * days
        return settled + (start - settled) * math.exp(-(self.exchange + self.loss) * days)

    def _push(self) -> float:
        return self.production - self.uptake


def _require_fraction(fraction: float) -> None:
    if not 0.0 < fraction <= 1.0:
        raise DomainError(f"The changed fraction must lie above 0 and up to 1; this was {fraction:g}.")
