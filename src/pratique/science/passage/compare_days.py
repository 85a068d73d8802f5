"""What a planned passage does to the animals and to their parasites, in days from arrival, if all goes well."""

from collections.abc import Iterable
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from pratique import knowledge
from pratique.knowledge.passages_ahead import expectation
from pratique.science.chemistry.domain import DomainError
from pratique.science.health.parasites.hazard import STEPS_PER_DAY, Days
from pratique.science.passage.legs import RECOVERY, Plan, PlannedCourse, band_of, copper_level, salinity_level

type Array = NDArray[np.float64]
type Spans = tuple[tuple[float, float], ...]

_IN_QUARANTINE = frozenset({"quarantine", "clean"})
_LOOKED = "days_without_signs"


def cleared_on(plan: Plan) -> float:
    """Return the day of clearance: the last gate before the display's water, a box in it included.

    Raises DomainError for a plan whose animals never are in water of their own.
    """
    ends = [leg.ends for leg in plan.legs if leg.leg.system_role in _IN_QUARANTINE]
    if not ends or max(ends) <= 0.0:
        raise DomainError("A passage needs some days in water of its own before the display.")
    return max(ends)


def recovers_from(plan: Plan) -> float | None:
    """Return the day recovery begins, None where that leg is left out or nothing comes before it."""
    leg = plan.leg(RECOVERY)
    return leg.starts if leg is not None and leg.starts > 0.0 else None


def clean_moves(plan: Plan) -> tuple[float, ...]:
    """Return the days of moves into tanks that never held the parasites, until clearance."""
    cleared = cleared_on(plan)
    return tuple(day for day in plan.moves if day < cleared)


def handled_on(plan: Plan) -> tuple[float, ...]:
    """Return the days the animals are netted until clearance, arrival left out; a leg elsewhere begins with a move."""
    roles = [leg.leg.system_role for leg in plan.legs]
    elsewhere = {leg.starts for leg, before, now in zip(plan.legs[1:], roles, roles[1:], strict=False) if before != now}
    return tuple(sorted(day for day in elsewhere | set(plan.moves) if 0.0 < day < cleared_on(plan)))


def doses_of(plan: Plan) -> tuple[float, ...]:
    """Return the days of all single doses until clearance."""
    cleared = cleared_on(plan)
    return tuple(sorted(day for one in plan.courses for day in one.doses if day < cleared))


def copper_of(plan: Plan) -> tuple[PlannedCourse, ...]:
    """Return the courses of copper."""
    return tuple(one for one in plan.courses if one.course.agent == "copper")


def low_salinity_of(plan: Plan) -> Spans:
    """Return the days on which salinity is lowered, on the way down and up included."""
    return tuple((one.starts, one.ends) for one in plan.courses if one.course.agent == "low_salinity")


def medicated(plan: Plan) -> Spans:
    """Return the days on which a medicine is in their water, cut where they are moved into clean water."""
    return tuple(_cut(span, clean_moves(plan)) for one in plan.courses if one.course.substance for span in one.spans)


def _cut(span: tuple[float, float], moves: Iterable[float]) -> tuple[float, float]:
    begins, ends = span
    return begins, min((day for day in moves if begins < day < ends), default=ends)


def days_medicated(plan: Plan) -> float:
    """Return the days of the passage on which any medicine is in their water."""
    return covered((begins, min(until, cleared_on(plan))) for begins, until in medicated(plan))


def covered(spans: Iterable[tuple[float, float]]) -> float:
    """Return the days that at least one span covers."""
    total, reached = 0.0, float("-inf")
    for begins, until in sorted(spans):
        total += max(0.0, until - max(begins, reached))
        reached = max(reached, until)
    return total


def looks_of(plan: Plan) -> tuple[float, ...]:
    """Return the days on which a gate before clearance wants all to have been looked at without a sign."""
    found: set[float] = set()
    for leg in plan.legs:
        if leg.leg.system_role not in _IN_QUARANTINE:
            continue
        for criterion in leg.leg.criteria:
            if criterion.key == _LOOKED:
                first = max(0.0, leg.ends - criterion.required)
                found |= {float(day) for day in np.arange(np.ceil(first), leg.ends)}
    return tuple(sorted(found))


def days_of(plan: Plan, parasite: str, *, animals: int, paths: int, seed: int) -> Days:
    """Return what the days until clearance do to a parasite, copper by so many courses of it as keepers hold it.

    Clearance is itself a move: what is in the tank's water then stays there.
    """
    cleared = cleared_on(plan)
    bare = Days(cleared, animals)
    at = np.arange(bare.steps) / STEPS_PER_DAY
    is_copper, is_low = bool(copper_of(plan)), bool(low_salinity_of(plan))
    usual_psu = knowledge.figure("salinity.usual_psu").value
    return replace(
        bare,
        # On day 0 they come into a clean tank with what is on them, and nothing of theirs is in its water yet.
        moves=tuple(sorted({day for day in (*clean_moves(plan), cleared) if day > 0.0})),
        # A bath against one parasite does nothing known to another.
        baths=tuple(day for day in plan.baths_against(parasite) if day < cleared),
        copper_part=copper_paths(plan, at, paths=paths, seed=seed) if is_copper else None,
        salinity_psu=salinity_level(plan, at, usual_psu=usual_psu) if is_low else None,
    )


def copper_paths(plan: Plan, at: Array, *, paths: int, seed: int) -> Array:
    """Return (paths, moments) copper over its lower target, as keepers hold it: each tank a little off, each day too.

    Log-normal about the plan's level, with a part that stays and one that is forgotten over some days (a Gaussian
    process with an exponential memory); the spreads are our own guesses.
    """
    drawn = np.random.default_rng([seed, 7])
    between, within = expectation("copper.between_tanks").value, expectation("copper.within_tank").value
    kept = np.exp(-np.diff(at, prepend=at[0]) / expectation("copper.days_remembered").value)
    # The tank's own part is drawn first, so that a longer passage begins with the same keepers as a shorter one.
    own = np.exp(between * drawn.standard_normal((paths, 1)))
    off = np.empty((paths, len(at)))
    off[:, 0] = drawn.standard_normal(paths)
    for step in range(1, len(at)):
        off[:, step] = kept[step] * off[:, step - 1] + np.sqrt(1.0 - kept[step] ** 2) * drawn.standard_normal(paths)
    lower, _, _ = band_of(copper_of(plan)[0].course)
    level: Array = copper_level(plan, at) / lower
    found: Array = level * own * np.exp(within * off)
    return found
