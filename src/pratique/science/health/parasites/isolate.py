"""What is not known of the parasites of a batch: one row of parameters per isolate they may be."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

type Array = NDArray[np.float64]
type Indices = NDArray[np.int64]


@dataclass(frozen=True)
class Isolates:
    """One row per isolate drawn; all steps are of 6 hours.

    host_cdf: (rows, host steps) cumulative chance of having left the fish (flukes: of laying) by each step. off_cdf:
    (rows, off steps) that of having hatched; the last is the fraction that ever does. viable: chance that one that
    left, or an egg, lives to wait. settling: mean number that settle out of one hatching in a tank with fish and
    nothing against them. clumping: 0 for Poisson, above it negative binomial. alive_steps: how long they can swim.
    eggs_per_step: below 0 where none are laid; adult_survival per step then. burden: mean number on each animal of a
    first batch that has it, those free of it counted in. seeing: 1 - exp(-seeing n) is the chance that a look sees n.
    copper_half_kill, copper_slope:
    log-logistic fall of settling with copper as a part of the form's lower target. resists_low_salinity: whether low
    salinity leaves its off-host stages alive. carried: chance that one off the fish moves with the animals.
    bath_survival: chance of one on the fish of living through a bath.
    """

    host_cdf: Array
    off_cdf: Array
    viable: Array
    settling: Array
    clumping: Array
    alive_steps: Indices
    eggs_per_step: Array
    adult_survival: Array
    burden: Array
    seeing: Array
    copper_half_kill: Array
    copper_slope: Array
    resists_low_salinity: NDArray[np.bool_]
    carried: Array
    bath_survival: Array

    def __len__(self) -> int:
        return len(self.viable)

    @property
    def lays_eggs(self) -> bool:
        """Return whether adults stay on the fish and lay."""
        return bool(self.eggs_per_step[0] >= 0.0)


@dataclass(frozen=True)
class Belief:
    """What is believed of a batch: the chance that it came with the parasite, which isolates, the room on an animal.

    `carried_in` is that at least one of those that came on the first day has it; a newcomer is as likely to have it as
    any one of them, by itself. `lethal_below_psu` is the salinity at or below which what waits in the water dies; None
    where none helps.
    """

    carried_in: float
    isolates: Isolates
    cap_per_animal: float
    lethal_below_psu: float | None = None
