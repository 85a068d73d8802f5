"""What looks at the animals say, exact for each isolate: signs seen at some, none at others."""

from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from pratique.science.health.parasites.generating import by_generating
from pratique.science.health.parasites.hazard import Hazards
from pratique.science.health.parasites.isolate import Isolates

type Array = NDArray[np.float64]

# Each look that saw signs doubles the work: of more than these the last are counted, which tell most of what is left.
_MOST_SEEN = 3
_LEAST = 1e-300
# What is less likely than this is lost in rounding where chances near 1 are taken from one another.
_ROUNDING = 1e-12


@dataclass(frozen=True)
class Told:
    """For each isolate: the chance of what was seen, `heard` (rows), and of that with no stage left (rows, ends)."""

    gone: Array
    heard: Array

    @property
    def is_possible(self) -> bool:
        """Return whether what was seen can be at all, by what is believed."""
        return float(self.heard.mean()) > _ROUNDING

    @property
    def clear(self) -> Array:
        """Return the chance of being clear at each end after the looks, each isolate weighed by what was seen."""
        found: Array = np.clip(self.gone.mean(axis=0) / max(float(self.heard.mean()), _LEAST), 0.0, 1.0)
        return found

    def range_at(self, end: int) -> tuple[float, float]:
        """Return the 90 % range between isolates of the chance at one end."""
        each = np.clip(self.gone[:, end] / np.maximum(self.heard, _LEAST), 0.0, 1.0)
        order = np.argsort(each)
        heaped = np.cumsum(self.heard[order]) / max(float(self.heard.sum()), _LEAST)
        low, high = (each[order][min(int(np.searchsorted(heaped, at)), len(each) - 1)] for at in (0.05, 0.95))
        return float(low), float(high)


def after_looks(hazards: Hazards, isolates: Isolates, ends: NDArray[np.int64]) -> Told:
    """Return what the looks among the hazards say of each end, which must not lie before the last look.

    A look that saw signs is every chance less that of a look that saw none: with several, by inclusion and exclusion.
    """
    looks = hazards.looks
    clean, seen = np.nonzero(looks > 0.0)[0], np.nonzero(looks < 0.0)[0][-_MOST_SEEN:]
    last = np.array([np.nonzero(looks)[0].max(initial=0)], dtype=np.int64)
    gone, heard = np.zeros((len(isolates), len(ends))), np.zeros(len(isolates))
    for count in range(len(seen) + 1):
        for missed in combinations(seen, count):
            unseen = np.ones_like(hazards.settling)
            steps = [*clean, *missed]
            unseen[:, steps] = np.exp(-isolates.seeing[:, None] * np.abs(looks[steps]))
            sign = (-1.0) ** count
            gone += sign * by_generating(hazards, isolates, ends, unseen=unseen)
            heard += sign * by_generating(hazards, isolates, last, unseen=unseen, living=1.0)[:, 0]
    return Told(np.maximum(gone, 0.0), np.maximum(heard, 0.0))
