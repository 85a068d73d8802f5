"""Where a level goes, and where it settles, under a routine that does not change.

Not here: single changes (`dilution`). Levels are in any one unit; rates are that unit per day.
"""

import math
from dataclasses import dataclass

from pratique.science.chemistry.domain import DomainError, require_at_least, require_finite


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
    require_finite("The rise", rise_per_period)
    require_finite("The incoming level", incoming)
    require_finite("The settled level", rise_per_period / fraction)
    return Sawtooth(incoming + rise_per_period / fraction, incoming + rise_per_period * (1.0 - fraction) / fraction)


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
        require_finite("The production", self.production)
        require_finite("The incoming level", self.incoming)
        require_finite("The uptake", self.uptake)
        require_at_least("The exchange", self.exchange, lower=0.0)
        require_at_least("The loss", self.loss, lower=0.0)

    def settles_at(self) -> float | None:
        """Return the level it all comes to, or None where nothing holds it and it rises or falls on and on."""
        pull = self.exchange + self.loss
        settled = self._inflow() / pull if pull > 0.0 else math.inf
        return settled if math.isfinite(settled) else None

    def level_after(self, days: float, *, start: float) -> float:
        """Return the level after this many days (closed form); below zero means: used up before then."""
        require_at_least("Days", days, lower=0.0)
        require_finite("The level at the start", start)
        pull = self.exchange + self.loss
        # Written so that no digits are lost where next to nothing holds the level.
        lasting = -math.expm1(-pull * days) / pull if pull > 0.0 else days
        return start * math.exp(-pull * days) + self._inflow() * lasting

    def _inflow(self) -> float:
        """Return what comes in by the day, whatever the level."""
        return self.production - self.uptake + self.exchange * self.incoming


def _require_fraction(fraction: float) -> None:
    if not 0.0 < fraction <= 1.0:
        raise DomainError(f"The changed fraction must lie above 0 and up to 1; this was {fraction:g}.")
