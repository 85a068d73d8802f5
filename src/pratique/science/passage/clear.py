"""What is told of an animal's chance to be free of a parasite."""

from dataclasses import dataclass


@dataclass(frozen=True)
class ClearChance:
    """The chance that no stage lives on the animals or in water moved with them, and what it hangs on.

    `low` to `high` holds 90 % of the isolates it may be. `unlooked` is the chance with clean looks left out but for
    whether it came along at all. `if_carried` is the chance had the parasite surely come along,
    `without_dip` that had the copper been held throughout; `reached_in_days` is the first day from now on which the
    chance is enough, None where that does not come before the horizon. `hangs_on` names the unknowns that move the
    chance most, with their share of its spread. `are_looks_counted` is False where the signs seen cannot be, by what is
    believed.
    """

    probability: float
    low: float
    high: float
    unlooked: float
    carried_in: float
    if_carried: float
    reached_in_days: float | None
    without_dip: float | None = None
    hangs_on: tuple[tuple[str, float], ...] = ()
    are_looks_counted: bool = True
