"""Whether each measure against a growth is allowed now, in this water, with these animals, and why not.

What stands against a measure is data (`knowledge`); here is only how each is judged. What nobody read is not known,
never taken as well.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from pratique.knowledge import figure
from pratique.knowledge.growth_measures import (
    GrowthBlock,
    GrowthMeasure,
    growth_block,
    growth_lines,
    growth_measures,
)

type MeasureState = Literal["now", "not before", "not known", "not here"]

# What outranks what where several stand against one measure; a care asks for nothing but care.
_RANKS: Mapping[str, int] = {"care": 0, "not known": 1, "not before": 2, "not here": 3}
_STATES: tuple[MeasureState, ...] = ("now", "not known", "not before", "not here")


@dataclass(frozen=True)
class WaterNow:
    """One water as it stands; days are counted from now, ahead in `resting` and back in all else.

    `resting` are animals still to rest with the days left; `inhabitants` names by group; `levels` holds fresh readings
    only (mg/L), so what is missing is not known; `since` are the days since each measure was last begun.
    """

    chances: Mapping[str, float]
    age_days: float
    resting: tuple[tuple[str, float], ...] = ()
    medicines: tuple[str, ...] = ()
    may_hold_copper: bool = False
    inhabitants: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    newest_light_keeper_days: float | None = None
    levels: Mapping[str, float] = field(default_factory=dict)
    since: Mapping[str, float] = field(default_factory=dict)
    by_hand_days: float | None = None


@dataclass(frozen=True)
class Objection:
    """One thing that stands against a measure; `days` from now until it no longer does, None where no day is known."""

    block: GrowthBlock
    is_unknown: bool = False
    days: float | None = None
    names: tuple[str, ...] = ()

    @property
    def rank(self) -> int:
        """Return how much it outranks: 0 a care, up to 3 where it forbids."""
        return _RANKS["not known" if self.is_unknown else self.block.verdict]


@dataclass(frozen=True)
class MeasureVerdict:
    """Whether a measure is allowed; `fit` is the chance that one it helps against is there, `against` one it feeds."""

    measure: GrowthMeasure
    state: MeasureState
    days: float | None
    objections: tuple[Objection, ...]
    fit: float
    against: float


def measure_verdicts(water: WaterNow) -> tuple[MeasureVerdict, ...]:
    """Return every measure worth telling, the lightest on the animals first, then the likeliest to help.

    A measure is told where a candidate it is for is likely enough; the last resort only after all others.
    """
    least = figure("growth.least_told").value
    found = [one for one in (_verdict(measure, water) for measure in growth_measures()) if one.fit >= least]
    return tuple(sorted(found, key=lambda one: (one.measure.is_last, one.measure.burden, -one.fit)))


def _verdict(measure: GrowthMeasure, water: WaterNow) -> MeasureVerdict:
    fit, against = _fit(measure, water.chances)
    objections = [one for key in measure.blocks if (one := _CHECKS[key](measure, water)) is not None]
    if measure.adds != "nothing" and against > 0.0 and against >= fit:
        objections.append(Objection(growth_block("works_against")))
    rank = max((one.rank for one in objections), default=0)
    waits = [one.days for one in objections if one.rank == _RANKS["not before"]]
    days = None if rank != _RANKS["not before"] or None in waits else max(one for one in waits if one is not None)
    ordered = tuple(sorted(objections, key=lambda one: -one.rank))
    return MeasureVerdict(measure, _STATES[rank], days, ordered, fit, against)


def _fit(measure: GrowthMeasure, chances: Mapping[str, float]) -> tuple[float, float]:
    """Return the chance of the likeliest candidate the measure is for, and of the likeliest it works against."""
    lines = growth_lines()
    helps = [chance for key, chance in chances.items() if measure.key in lines[key].first + lines[key].second]
    harms = [chance for key, chance in chances.items() if measure.key in lines[key].avoid]
    return max(helps, default=0.0), max(harms, default=0.0)


def _rest(_: GrowthMeasure, water: WaterNow) -> Objection | None:
    waiting = sorted((one for one in water.resting if one[1] > 0.0), key=lambda one: -one[1])
    if not waiting:
        return None
    return Objection(growth_block("rest"), days=waiting[0][1], names=tuple(name for name, _ in waiting))


def _medicine(_: GrowthMeasure, water: WaterNow) -> Objection | None:
    return Objection(growth_block("medicine"), names=water.medicines) if water.medicines else None


def _unsettled(key: str, figure_key: str) -> "Check":
    def check(measure: GrowthMeasure, water: WaterNow) -> Objection | None:
        is_settled = _fit(measure, water.chances)[0] >= figure(figure_key).value
        return None if is_settled else Objection(growth_block(key))

    return check


def _unlike(measure: GrowthMeasure, water: WaterNow) -> Objection | None:
    """Return the treatment last begun, where it was another and the gap is not over."""
    gap = figure("growth.gap_days").value
    begun = {one.key: one.name for one in growth_measures() if one.adds != "nothing" and one.key != measure.key}
    recent = [(days, begun[key]) for key, days in water.since.items() if key in begun and days < gap]
    if not recent:
        return None
    return Objection(growth_block("unlike"), days=gap - min(recent)[0], names=tuple(name for _, name in sorted(recent)))


def _others_first(_: GrowthMeasure, water: WaterNow) -> Objection | None:
    left = figure("growth.others_first_days").value - (water.by_hand_days or 0.0)
    return Objection(growth_block("others_first"), days=left) if left > 0.0 else None


def _young(_: GrowthMeasure, water: WaterNow) -> Objection | None:
    left = figure("growth.young_tank_days").value - water.age_days
    return Objection(growth_block("young_tank"), days=left) if left > 0.0 else None


def _new_corals(_: GrowthMeasure, water: WaterNow) -> Objection | None:
    if water.newest_light_keeper_days is None:
        return None
    left = figure("growth.new_corals_days").value - water.newest_light_keeper_days
    names = water.inhabitants.get("light_keepers", ())
    return Objection(growth_block("new_corals"), days=left, names=names) if left > 0.0 else None


def _nitrogen(_: GrowthMeasure, water: WaterNow) -> Objection | None:
    read = [water.levels.get(one) for one in ("total_ammonia", "nitrite")]
    absent = figure("growth.nitrogen_absent_mg_per_l").value
    if any(one is not None and one > absent for one in read):
        return Objection(growth_block("nitrogen"))
    return Objection(growth_block("nitrogen"), is_unknown=True) if None in read else None


def _oxygen(_: GrowthMeasure, water: WaterNow) -> Objection | None:
    read = water.levels.get("oxygen")
    if read is None:
        return Objection(growth_block("oxygen"), is_unknown=True)
    return Objection(growth_block("oxygen")) if read < figure("growth.oxygen_least_mg_per_l").value else None


def _nutrients_unknown(_: GrowthMeasure, water: WaterNow) -> Objection | None:
    is_known = {"nitrate", "phosphate"} <= set(water.levels)
    return None if is_known else Objection(growth_block("nutrients_unknown"), is_unknown=True)


def _nutrients_there(_: GrowthMeasure, water: WaterNow) -> Objection | None:
    is_there = all(
        water.levels.get(one, 0.0) >= figure(f"growth.{one}_there_mg_per_l").value for one in ("nitrate", "phosphate")
    )
    return Objection(growth_block("nutrients_there")) if is_there else None


def _silicate_unknown(_: GrowthMeasure, water: WaterNow) -> Objection | None:
    return None if "silicate" in water.levels else Objection(growth_block("silicate_unknown"), is_unknown=True)


def _copper(_: GrowthMeasure, water: WaterNow) -> Objection | None:
    return Objection(growth_block("copper_or_iron")) if water.may_hold_copper else None


def _living(block: str, group: str) -> "Check":
    """Return a check that objects where animals of a group live in the water."""

    def check(_: GrowthMeasure, water: WaterNow) -> Objection | None:
        names = water.inhabitants.get(group, ())
        return Objection(growth_block(block), names=names) if names else None

    return check


type Check = Callable[[GrowthMeasure, WaterNow], Objection | None]

_CHECKS: Mapping[str, Check] = {
    "rest": _rest,
    "medicine": _medicine,
    "unsettled": _unsettled("unsettled", "growth.settled"),
    "unsettled_last": _unsettled("unsettled_last", "growth.settled_last"),
    "others_first": _others_first,
    "unlike": _unlike,
    "moulting": _living("moulting", "crustaceans"),
    "peroxide_tender": _living("peroxide_tender", "peroxide_tender"),
    "macroalgae": _living("macroalgae", "macroalgae"),
    "copepod_eaters": _living("copepod_eaters", "copepod_eaters"),
    "filter_feeders": _living("filter_feeders", "filter_feeders"),
    "pale_corals": _living("pale_corals", "light_keepers"),
    "new_corals": _new_corals,
    "young_tank": _young,
    "nitrogen": _nitrogen,
    "oxygen": _oxygen,
    "nutrients_unknown": _nutrients_unknown,
    "nutrients_there": _nutrients_there,
    "silicate_unknown": _silicate_unknown,
    "copper_or_iron": _copper,
}
