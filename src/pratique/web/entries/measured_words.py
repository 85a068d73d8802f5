"""Entries about what was measured of a growth, in words."""

from collections.abc import Callable
from statistics import median

from pratique.casework.words import amount, listed, percent
from pratique.ledger.household import Household
from pratique.ledger.kinds import measured
from pratique.ledger.kinds.payload import Payload
from pratique.web.entries.names import name_of

_BY = {"dabs": "measured on a photo", "points": "judged by points", "eye": "judged by eye"}


def _cover(told: measured.Cover, household: Household) -> str:
    shares = [f"{one.name} {percent(one.fraction)}" for one in told.shares]
    return f"{name_of(household, f'case/{told.case}')}, cover {_BY[told.by]}: {listed(shares)}"


def _cells(told: measured.Cells, household: Household) -> str:
    count = len(told.lengths_um)
    many = "1 cell" if count == 1 else f"{count} cells, the middle one"
    return f"{name_of(household, f'case/{told.case}')}: {many} {amount(median(told.lengths_um), 1, 'µm')} long"


def _motion(told: measured.Motion, household: Household) -> str:
    speed = f", {amount(told.median_um_per_s, 1, 'µm/s')}" if told.median_um_per_s is not None else ""
    manner = "movement not told" if told.manner == "not told" else f"cells {told.manner}"
    return f"{name_of(household, f'case/{told.case}')}: {manner}{speed}"


def _clip(told: measured.Clip, household: Household) -> str:
    of = listed([name_of(household, subject) for subject in told.subjects])
    return f"a clip of {of}, {amount(told.seconds, 0)} seconds" if of else f"a clip, {amount(told.seconds, 0)} seconds"


SAYINGS: dict[type[Payload], Callable[..., str]] = {
    measured.Cover: _cover,
    measured.Cells: _cells,
    measured.Motion: _motion,
    measured.Clip: _clip,
}
