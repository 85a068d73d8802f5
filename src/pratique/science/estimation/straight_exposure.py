"""How long a target level was held: the clock of a treatment, and the dips that restart it.

Hours are those of the track. "Held" means at or above the lower target. An instant below counts only where a reading
saw it; a water change made good by a dose at the same moment is no dip. Where the level is not known it counts as held
only if the least it can be is enough, and is never a dip.
"""

import math
from dataclasses import dataclass, replace

from pratique.science.chemistry.domain import DomainError
from pratique.science.estimation.mass_balance import Step, Track

_HOURS_PER_DAY = 24.0
_ROUNDING = 1e-9


@dataclass(frozen=True)
class Run:
    """An unbroken stretch of hours at or above the lower target."""

    start: float
    end: float

    @property
    def hours(self) -> float:
        """Return the length of the run in hours."""
        return self.end - self.start

    @property
    def whole_days(self) -> int:
        """Return the whole days of 24 hours in the run."""
        return math.floor(self.hours / _HOURS_PER_DAY + _ROUNDING)


@dataclass(frozen=True)
class Dip:
    """A stretch below the lower target after it had been reached, its lowest level and the entries behind it."""

    start: float
    end: float
    lowest: float
    entries: tuple[str, ...]


@dataclass(frozen=True)
class DayMark:
    """One day of 24 hours from the start: whether it was held throughout, and for what part it was not.

    `is_known` is False for a day that is neither: for a part of it nothing tells the level, the rest was held.
    """

    day_index: int
    held: bool
    lowest: float
    part_of_day_below: float
    is_known: bool = True


@dataclass(frozen=True)
class Exposure:
    """What a course has been credited with by its end, and what it lost on the way."""

    days_credited: int
    hours_held: float
    dips: tuple[Dip, ...]
    days_lost: int
    runs: tuple[Run, ...]
    hours_above_upper: float
    day_marks: tuple[DayMark, ...]


def exposure(
    track: Track, *, lower: float, hard_upper: float, start: float, end: float, known_until: float | None = None
) -> Exposure:
    """Return the exposure between `start` and `end` hours; levels, `lower` and `hard_upper` in mg/L.

    Days credited are the whole days of the run that still stands at `end`, or at `known_until` hours if that comes
    first: what lies beyond is neither credited nor lost. A dip restarts the clock, and the whole days of every earlier
    run are lost. Time before the target is first reached is no dip. Raises DomainError if the end lies before the
    start.
    """
    if end < start:
        raise DomainError("A course cannot end before it starts.")
    seen = end if known_until is None else max(start, min(end, known_until))
    pieces = _pieces(track, lower, start, seen)
    runs = _runs(pieces, lower)
    stands = bool(runs) and runs[-1].end >= seen and not _seen_below(pieces, lower, seen)
    lost = runs[:-1] if stands else runs
    return Exposure(
        days_credited=runs[-1].whole_days if stands else 0,
        hours_held=math.fsum(run.hours for run in runs),
        dips=_dips(pieces, lower, runs, seen),
        days_lost=sum(run.whole_days for run in lost),
        runs=runs,
        hours_above_upper=math.fsum(p.end - p.start for p in pieces if p.level > hard_upper + _ROUNDING),
        day_marks=_day_marks(pieces, lower, start, end),
    )


def _is_held(step: Step, lower: float) -> bool:
    return step.level >= lower - _ROUNDING


def _is_below(step: Step, lower: float) -> bool:
    return step.is_known and not _is_held(step, lower)


def _pieces(track: Track, lower: float, start: float, end: float) -> tuple[Step, ...]:
    """Return the steps cut to the course; of steps without length only a reading below the target stays."""
    cut = (
        replace(s, start=max(s.start, start), end=min(s.end, end))
        for s in track.steps
        if (s.end > start or s.start >= start) and s.start <= end
    )
    return tuple(p for p in cut if p.end > p.start or (p.cause == "reading" and _is_below(p, lower)))


def _seen_below(pieces: tuple[Step, ...], lower: float, hour: float) -> bool:
    """Return whether a reading of no length saw the level below the target at `hour`."""
    return any(p.start == p.end == hour and _is_below(p, lower) for p in pieces)


def _runs(pieces: tuple[Step, ...], lower: float) -> tuple[Run, ...]:
    """Return the unbroken stretches at or above the lower target."""
    runs: list[Run] = []
    is_open = False
    for piece in pieces:
        if not _is_held(piece, lower):
            is_open = False
        elif is_open and runs[-1].end == piece.start:
            runs[-1] = Run(runs[-1].start, piece.end)
        else:
            runs.append(Run(piece.start, piece.end))
            is_open = True
    return tuple(runs)


def _dips(pieces: tuple[Step, ...], lower: float, runs: tuple[Run, ...], end: float) -> tuple[Dip, ...]:
    """Return the stretches below the target that follow each run."""
    dips: list[Dip] = []
    for index, run in enumerate(runs):
        until = runs[index + 1].start if index + 1 < len(runs) else end
        below = [p for p in pieces if run.end <= p.start and p.end <= until and _is_below(p, lower)]
        if below:
            entries = tuple(dict.fromkeys(p.entry for p in below if p.entry is not None))
            dips.append(Dip(below[0].start, below[-1].end, min(p.level for p in below), entries))
    return tuple(dips)


def _day_marks(pieces: tuple[Step, ...], lower: float, start: float, end: float) -> tuple[DayMark, ...]:
    """Return one mark a day; the last day may be short, and hours that nothing tells of count as not held."""
    count = math.ceil((end - start) / _HOURS_PER_DAY - _ROUNDING)
    opens = [start + index * _HOURS_PER_DAY for index in range(count)]
    return tuple(
        _day_mark(index, pieces, lower, (hour, min(end, hour + _HOURS_PER_DAY))) for index, hour in enumerate(opens)
    )


def _day_mark(index: int, pieces: tuple[Step, ...], lower: float, day: tuple[float, float]) -> DayMark:
    opens, closes = day
    today = [p for p in pieces if (p.start < closes and p.end > opens) or opens <= p.start == p.end < closes]
    held = math.fsum(min(p.end, closes) - max(p.start, opens) for p in today if _is_held(p, lower))
    part = max(0.0, 1.0 - held / (closes - opens))
    part = part if part > _ROUNDING else 0.0
    is_below = any(_is_below(p, lower) for p in today)
    return DayMark(
        index,
        held=part == 0.0 and not is_below,
        lowest=min((p.level for p in today), default=0.0),
        part_of_day_below=part,
        is_known=part == 0.0 or is_below,
    )
