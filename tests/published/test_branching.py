"""Chances of extinction against the closed forms of the textbooks, and against the simulation.

Harris 1963, The Theory of Branching Processes, I.7 (linear fractional), and Feller 1968, An Introduction to Probability
Theory, XII (both recalled): P(Z_n = 0) = q(p^n − q^n)/(p^(n+1) − q^(n+1)) for geometric offspring p_k = q p^k, n/(n+1)
where p = q; the smallest root of s = exp(m(s − 1)) for Poisson offspring, by Lambert's W (scipy).
"""

import numpy as np
import pytest
from scipy.special import lambertw

from pratique.science.health.parasites.clearance import p_clear
from pratique.science.health.parasites.generating import by_generating
from pratique.science.health.parasites.hazard import Days, hazards_of
from pratique.science.health.parasites.isolate import Belief, Isolates

LONE = Days(100.0, 1)
GENERATION = 2


def of_one_step(mean: float, *, clumping: float) -> Isolates:
    """An isolate that is a step on the fish and a step off it: a Galton-Watson process with two steps a generation."""
    one, at_once = np.ones(1), np.array([[0.0, 1.0]])
    return Isolates(
        host_cdf=at_once,
        off_cdf=at_once,
        viable=one,
        settling=one * mean,
        clumping=one * clumping,
        alive_steps=np.zeros(1, np.int64),
        eggs_per_step=-one,
        adult_survival=one,
        burden=one,
        seeing=one,
        copper_half_kill=one,
        copper_slope=one,
        resists_low_salinity=np.zeros(1, bool),
        carried=np.zeros(1),
        bath_survival=one,
    )


def extinct(isolates: Isolates, generations: list[int]) -> np.ndarray:
    """The chance that the line of one parasite has ended by each generation."""
    hazards = hazards_of(LONE, Belief(1.0, isolates, cap_per_animal=1e9))
    return by_generating(hazards, isolates, np.array(generations, np.int64) * GENERATION + 1)[0]


@pytest.mark.parametrize("mean", [0.5, 0.9, 1.0, 1.3, 2.0])
def test_geometric_offspring_end_as_harris_has_it(mean):
    """By the first, second, fifth and twentieth generation, to 1e-9."""
    generations = [1, 2, 5, 20]
    p, q = mean / (1.0 + mean), 1.0 / (1.0 + mean)
    expected = [n / (n + 1) if p == q else q * (p**n - q**n) / (p ** (n + 1) - q ** (n + 1)) for n in generations]
    assert extinct(of_one_step(mean, clumping=1.0), generations) == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize("mean", [0.7, 1.2, 1.5, 2.0, 3.0])
def test_poisson_offspring_end_in_the_smallest_root(mean):
    """2 gives 0.2032 and 1.5 gives 0.4172 (Feller, recalled), to 1e-3 after 100 generations."""
    root = 1.0 if mean <= 1.0 else float(np.real(-lambertw(-mean * np.exp(-mean)) / mean))
    assert extinct(of_one_step(mean, clumping=0.0), [100])[0] == pytest.approx(root, abs=1e-3)
    assert {1.5: 0.4172, 2.0: 0.2032}.get(mean, root) == pytest.approx(root, abs=1e-4)


@pytest.mark.parametrize("clumping", [0.0, 1.0, 3.0])
def test_the_simulation_ends_as_often(clumping):
    """20,000 lines, by generation 1, 3 and 10: within four standard errors of the generating function."""
    isolates = of_one_step(1.1, clumping=clumping)
    belief = Belief(1.0, isolates, cap_per_animal=1e6)
    # Looks that see nothing at all leave the chances as they are, and have them counted in the simulation.
    blind = Belief(1.0, Isolates(**{**vars(isolates), "seeing": np.zeros(1)}), cap_per_animal=1e6)
    days = Days(6.0, 1, clean_looks=(0.25,))
    counted = p_clear(days, blind, replicates=20_000, seed=3)
    exact = p_clear(Days(6.0, 1), belief)
    error = np.sqrt(exact.probability * (1.0 - exact.probability) / 20_000)
    assert np.all(np.abs(counted.probability - exact.probability) <= 4.0 * error + 1e-12)
    assert 0.2 < exact.probability[3] < 0.9
