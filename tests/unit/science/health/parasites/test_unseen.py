"""Looks that find nothing, by generating functions: the same as replicates weighed by the looks, without a draw."""

from itertools import pairwise

import numpy as np
import pytest
from tests.unit.science.health.parasites.drawn import believed, flukes, spots

from pratique.science.health.parasites.clearance import p_clear
from pratique.science.health.parasites.generating import chances, chances_unseen
from pratique.science.health.parasites.hazard import Days, Hazards, hazards_of, step_of
from pratique.science.health.parasites.isolate import Isolates

LOOKS = (20.0, 24.0, 28.0, 30.0)
DAYS = Days(31.0, 2, moves=(6.0, 22.0), baths=(8.0, 17.0))


def _chance(isolates: Isolates, *, living: float, looks: tuple[float, ...] = LOOKS) -> float:
    hazards = hazards_of(DAYS, isolates, lethal_below_psu=None, cap_per_animal=5000.0)
    unseen = np.ones_like(hazards.arriving)
    for day in looks:
        unseen[:, step_of(day)] = np.exp(-isolates.seeing)
    found = np.empty((1, 1))
    chances_unseen(*_told(isolates, hazards), unseen, living, found)
    return float(found[0, 0])


def _told(isolates: Isolates, hazards: Hazards) -> tuple[object, ...]:
    return (
        np.array([DAYS.steps - 1]), isolates.host_cdf, isolates.off_cdf, isolates.viable, isolates.eggs_per_step,
        isolates.adult_survival, hazards.settling, isolates.clumping, isolates.alive_steps, hazards.off_survival,
        hazards.host_survival, hazards.arriving,
    )  # fmt: skip


@pytest.mark.parametrize("isolates", [spots(settling=1.2, carried=0.2), flukes()], ids=["white spot", "flukes"])
def test_clean_looks_say_the_same_by_generating_functions_as_by_replicates(isolates):
    """P(clear | no sign) is the ratio of two generating functions; 20,000 weighed replicates agree."""
    exact = _chance(isolates, living=0.0) / _chance(isolates, living=1.0)
    looked = Days(DAYS.days, DAYS.animals, moves=DAYS.moves, baths=DAYS.baths, clean_looks=LOOKS)
    drawn = p_clear(looked, believed(isolates), replicates=20_000, seed=3)
    assert not drawn.is_rough
    assert abs(drawn.probability[-1] - exact) < 4.0 * drawn.monte_carlo_error[-1] + 1e-3


@pytest.mark.parametrize("isolates", [spots(settling=1.2), flukes()], ids=["white spot", "flukes"])
def test_without_a_look_nothing_is_seen_and_the_chance_is_the_plain_one(isolates):
    """The chance that no look sees a sign is 1 without looks, and that of being clear is that of `chances`."""
    hazards = hazards_of(DAYS, isolates, lethal_below_psu=None, cap_per_animal=5000.0)
    plain = np.empty((1, 1))
    chances(*_told(isolates, hazards), plain)
    assert _chance(isolates, living=1.0, looks=()) == pytest.approx(1.0, abs=1e-12)
    assert _chance(isolates, living=0.0, looks=()) == pytest.approx(plain[0, 0], abs=1e-15)


def test_more_looks_are_less_likely_to_see_nothing():
    """Each further look can only see more."""
    isolates = spots(settling=1.2)
    chances_of_none = [_chance(isolates, living=1.0, looks=LOOKS[:count]) for count in range(len(LOOKS) + 1)]
    assert all(after < before for before, after in pairwise(chances_of_none))
