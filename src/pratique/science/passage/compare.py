"""One planned passage reckoned before the first animal is bought: how surely it is clear, how fit it leaves them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from pratique.science.chemistry.domain import DomainError
from pratique.science.health.parasites.isolate import Belief
from pratique.science.health.parasites.isolates import belief_of
from pratique.science.passage.compare_clear import (
    ByDay,
    Effect,
    Looked,
    after_looks,
    clear_at_end,
    clear_by_day,
    effects_on,
)
from pratique.science.passage.compare_days import (
    clean_moves,
    cleared_on,
    days_medicated,
    handled_on,
    looks_of,
    recovers_from,
)
from pratique.science.passage.compare_fitness import Borne, Fitness, fitness_of
from pratique.science.passage.legs import Plan

ROWS = 64
_ROWS_OF_EFFECTS = 160
# So many more days of recovery are looked at for the day an animal is fit.
MORE_DAYS = 60.0


@dataclass(frozen=True)
class Batch:
    """How many animals are to come, the temperature in °C, and each kind of them as it bears a passage."""

    animals: int
    temperature_c: float
    kinds: Mapping[str, Borne]


@dataclass(frozen=True)
class Beliefs:
    """What is believed of each parasite, and the same by more isolates to tell what each unknown does."""

    by_day: Mapping[str, Belief]
    of_effects: Mapping[str, Belief]


@dataclass(frozen=True)
class Compared:
    """One passage reckoned: P(clear) together and by parasite, looks, unknowns, and each kind's fitness.

    `recovers_on` is the day recovery begins, None without one; `looked` is by parasite; `effects` are what the unknowns
    of each parasite do to P(clear) of that parasite at clearance.
    """

    plan: Plan
    clear: ByDay
    by_parasite: Mapping[str, ByDay]
    looked: Mapping[str, Looked]
    effects: Mapping[str, tuple[Effect, ...]]
    fitness: Mapping[str, Fitness]
    cleared: float
    recovers_on: float | None
    days_medicated: float
    transfers: int
    moves: int
    looks: int


def beliefs_of(parasites: Sequence[str], batch: Batch, *, seed: int = 0) -> Beliefs:
    """Return what is believed of each parasite in a batch.

    Raises KeyError for an unknown parasite, DomainError for none at all, no animals, or a temperature nothing lives at.
    """
    if not parasites:
        raise DomainError("Name at least one parasite to reckon with.")

    def believed(rows: int, later: int) -> dict[str, Belief]:
        return {
            key: belief_of(
                key, temperature_c=batch.temperature_c, animals=batch.animals, rows=rows, seed=seed + later + place
            )
            for place, key in enumerate(parasites)
        }

    return Beliefs(believed(ROWS, 0), believed(_ROWS_OF_EFFECTS, len(parasites)))


def compared(plan: Plan, beliefs: Beliefs, batch: Batch, *, seed: int = 0) -> Compared:
    """Return one planned passage reckoned; the same seed gives the same isolates, keepers and animals to each."""
    clear, by_parasite = clear_by_day(plan, beliefs.by_day, animals=batch.animals, seed=seed)
    looks = looks_of(plan)
    looked = {
        key: after_looks(plan, key, belief, animals=batch.animals, seed=seed)
        for key, belief in beliefs.by_day.items()
        if looks
    }
    return Compared(
        plan=plan,
        clear=clear,
        by_parasite=by_parasite,
        looked=looked,
        effects={
            key: effects_on(plan, key, belief, animals=batch.animals, seed=seed)
            for key, belief in beliefs.of_effects.items()
        },
        fitness={key: fitness_of(plan, one, seed=seed, more_days=MORE_DAYS) for key, one in batch.kinds.items()},
        cleared=cleared_on(plan),
        recovers_on=recovers_from(plan),
        days_medicated=days_medicated(plan),
        transfers=len(clean_moves(plan)),
        moves=len(handled_on(plan)) + 1,
        looks=len(looks),
    )


@dataclass(frozen=True)
class Released:
    """Animals let into the display on a day: P(clear) with its 90 % range; by kind the chance to be fit, the weight."""

    day: float
    clear: tuple[float, float, float]
    p_fit: Mapping[str, float]
    weight: Mapping[str, float]


def released(plan: Plan, beliefs: Beliefs, batch: Batch, *, seed: int = 0) -> Released:
    """Return what a passage gives on the day of its clearance; the same seed compares it with any other."""
    fitness = {key: fitness_of(plan, borne, seed=seed) for key, borne in batch.kinds.items()}
    return Released(
        day=cleared_on(plan),
        clear=clear_at_end(plan, beliefs.by_day, animals=batch.animals, seed=seed),
        p_fit={key: one.fit for key, one in fitness.items()},
        weight={key: one.weight_then[0] for key, one in fitness.items()},
    )


def all_looked(looked: Mapping[str, Looked]) -> Looked | None:
    """Return the looks of all parasites together, taken as independent; None where nobody looks."""
    if not looked:
        return None
    each = tuple(looked.values())
    return Looked(
        probability=float(np.prod([one.probability for one in each])),
        low=float(np.prod([one.low for one in each])),
        high=float(np.prod([one.high for one in each])),
        p_no_sign=float(np.prod([one.p_no_sign for one in each])),
        by_poor_eyes=float(np.prod([one.by_poor_eyes for one in each])),
        by_keen_eyes=float(np.prod([one.by_keen_eyes for one in each])),
    )
