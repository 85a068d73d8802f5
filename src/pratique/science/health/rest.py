"""How long an animal should be left alone after a move, a medicine or ammonia."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

type ExposureKind = Literal["move", "medicine_end", "medicine", "ammonia"]


@dataclass(frozen=True)
class Exposed:
    """Something an animal went through, in words for the keeper, with the ledger entry behind it."""

    at_day: float
    kind: ExposureKind
    words: str
    entry: str


@dataclass(frozen=True)
class Rest:
    """The day an animal counts as rested, and the exposure that day hangs on (None if there was none)."""

    clear_on_day: float
    binding: Exposed | None
    is_rested: bool


def rest_until(exposures: Iterable[Exposed], *, now: float, after_move_days: float, after_medicine_days: float) -> Rest:
    """Return when the animal is rested: the latest of each exposure's day plus its rest.

    Ammonia rests like a medicine: both burn gills. What lies after day `now` has not happened and is left out. Without
    any exposure the animal is rested now.
    """
    gaps = {"move": after_move_days}
    past = [e for e in exposures if e.at_day <= now]
    if not past:
        return Rest(now, None, is_rested=True)
    binding = max(past, key=lambda e: e.at_day + gaps.get(e.kind, after_medicine_days))
    clear = binding.at_day + gaps.get(binding.kind, after_medicine_days)
    return Rest(clear, binding, is_rested=clear <= now)


@dataclass(frozen=True)
class Owed:
    """The rest an animal owes: the days left if its rests are taken one after another, and what they are owed for."""

    days: float
    exposures: tuple[Exposed, ...]


def rest_owed(exposures: Iterable[Exposed], *, now: float, after_move_days: float, after_medicine_days: float) -> Owed:
    """Return an animal's budget of rest: what each exposure adds, less the quiet days since.

    `rest_until` takes the longest of overlapping rests; here they add up, which is our own guess of what several
    exposures in a row ask of an animal. A medicine that goes on now adds its rest once.
    """
    owed, reached = 0.0, float("-inf")
    behind: list[Exposed] = []
    for one in sorted((e for e in exposures if e.at_day <= now), key=lambda e: e.at_day):
        owed = max(owed - (one.at_day - reached), 0.0)
        behind = [*behind, one] if owed > 0.0 else [one]
        owed += after_move_days if one.kind == "move" else after_medicine_days
        reached = one.at_day
    left = max(owed - (now - reached), 0.0) if behind else 0.0
    return Owed(left, tuple(behind) if left > 0.0 else ())
