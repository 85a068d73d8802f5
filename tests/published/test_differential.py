"""What a growth is, held to worked examples of other fields, to brute force and to a general library.

Figures recalled, not seen, are named so; each is recomputed by the shipped code.
"""

from itertools import product

import numpy as np
import pytest
from tests.published.library import library_of

from pratique.science.growths.looks import doubt, entropy, expected_information, looks
from pratique.science.growths.network import Network, posterior

# Classes diatom, dinoflagellate, cyanobacteria, other; P(yes | class) of five tests. Invented likelihoods, exact sums.
PRIOR = np.array([0.4, 0.3, 0.2, 0.1])
TESTS = {
    "swimming cells": ((0.02, 0.95, 0.02, 0.50), 0.3470, 0.6606),
    "frustule survives bleach": ((0.95, 0.03, 0.03, 0.05), 0.4000, 0.7306),
    "disc threads": ((0.05, 0.02, 0.95, 0.02), 0.2180, 0.5281),
    "fades at night": ((0.50, 0.75, 0.20, 0.30), 0.4950, 0.1240),
    "peroxide fizz": ((0.80, 0.80, 0.90, 0.80), 0.8200, 0.0087),
}


def yes_no(likelihoods: tuple[float, ...]) -> np.ndarray:
    """Return P(answer | state), yes first."""
    yes = np.array(likelihoods)
    return np.stack([yes, 1.0 - yes], axis=1)


@pytest.mark.parametrize(
    ("prior", "sensitivity", "false_positive", "published"),
    [(0.01, 0.792, 0.096, 0.0769), (0.01, 0.80, 0.096, 0.0776), (0.001, 1.0, 0.05, 0.0196)],
    ids=["Eddy 1982, recalled", "Gigerenzer & Hoffrage 1995, recalled", "Casscells et al. 1978, recalled"],
)
def test_the_classic_screening_puzzles_come_out(prior, sensitivity, false_positive, published):
    """One cause, one test: the leak is the false positive, the link makes up the sensitivity."""
    link = 1.0 - (1.0 - sensitivity) / (1.0 - false_positive)
    network = Network(
        np.array([prior]), np.array([[link]]), np.array([false_positive]), np.array([-1]), cause_prior=0, cause_link=0
    )
    assert posterior(network, {0: True}).chances[0] == pytest.approx(published, abs=5e-5)


@pytest.mark.parametrize(
    ("pretest_odds", "ratio", "published"), [(0.31 / 0.69, 1.44, 0.393), (0.31 / 0.69, 0.24, 0.0973)]
)
def test_a_likelihood_ratio_moves_the_odds(pretest_odds, ratio, published):
    """Post-test chances of a university's calculator page, pretest 0.31: soft odds do the same."""
    chance = pretest_odds / (1.0 + pretest_odds)
    network = Network(
        np.array([chance]), np.zeros((1, 1)), np.array([0.5]), np.array([-1]), cause_prior=0, cause_link=0
    )
    assert posterior(network, {}, np.array([ratio])).chances[0] == pytest.approx(published, abs=5e-4)


def test_the_fourteen_days_give_the_published_gains():
    """Mitchell 1997 after Quinlan 1986: 9 yes and 5 no; gains 0.247 outlook, 0.152 humidity, 0.048 wind, 0.029 heat."""
    counts = {
        "outlook": (((2, 3), (4, 0), (3, 2)), 0.2467),
        "humidity": (((3, 4), (6, 1)), 0.1518),
        "wind": (((6, 2), (3, 3)), 0.0481),
        "temperature": (((2, 2), (4, 2), (3, 1)), 0.0292),
    }
    assert entropy(np.array([9, 5]) / 14) == pytest.approx(0.9403, abs=5e-5)
    for splits, published in counts.values():
        outcomes = np.array(splits).T / np.array([[9], [5]])
        assert expected_information(np.array([9.0, 5.0]), outcomes) == pytest.approx(published, abs=5e-5)


def test_the_twelve_restaurants_give_the_published_gains():
    """Russell & Norvig's lecture: patrons 0.5409 bits, type none."""
    patrons = np.array([[0, 4, 2], [2, 0, 4]]) / 6
    even = np.array([[1, 1, 2, 2], [1, 1, 2, 2]]) / 6
    assert expected_information(np.ones(2), patrons) == pytest.approx(0.5409, abs=5e-5)
    assert expected_information(np.ones(2), even) == pytest.approx(0.0, abs=1e-12)


def test_four_against_four_is_the_best_first_weighing():
    """MacKay 2003, section 4.1 (recalled): 24 hypotheses, log2 24 bits, and at the best weighing log2 3."""

    def outcome(ball: int, heavy: bool, on_each: int) -> int:
        side = 0 if ball < on_each else 1 if ball < 2 * on_each else 2
        return 2 if side == 2 else side if heavy else 1 - side

    gains = []
    for on_each in range(1, 7):
        outcomes = np.zeros((24, 3))
        for row, (ball, heavy) in enumerate(product(range(12), (True, False))):
            outcomes[row, outcome(ball, heavy, on_each)] = 1.0
        gains.append(expected_information(np.ones(24), outcomes))
    assert gains == pytest.approx([0.817, 1.252, 1.500, 1.585, 1.483, 1.000], abs=5e-4)
    assert entropy(np.full(24, 1 / 24)) == pytest.approx(4.585, abs=5e-4)


@pytest.mark.parametrize("name", TESTS)
def test_the_derived_table_of_looks_comes_out_to_its_digits(name):
    """Prior doubt 1.8464 bits; each test's chance of a yes and its information."""
    likelihoods, yes, bits = TESTS[name]
    assert entropy(PRIOR) == pytest.approx(1.8464, abs=5e-5)
    assert PRIOR @ np.array(likelihoods) == pytest.approx(yes, abs=5e-5)
    assert expected_information(PRIOR, yes_no(likelihoods)) == pytest.approx(bits, abs=5e-5)


def drawn(seed: int) -> tuple[Network, dict[int, bool]]:
    """Return a random network of four candidates and six findings, two of them with a hidden cause, and answers."""
    random = np.random.default_rng(seed)
    network = Network(
        priors=random.uniform(0.05, 0.5, 4),
        links=random.uniform(0.0, 0.9, (6, 4)) * (random.random((6, 4)) < 0.7),
        leaks=random.uniform(0.05, 0.3, 6),
        group=np.array([-1, -1, 0, 0, 0, -1]),
        cause_prior=0.045,
        cause_link=0.9,
    )
    return network, {one: bool(random.random() < 0.5) for one in random.permutation(6)[:4].tolist()}


def by_brute_force(network: Network, evidence: dict[int, bool]) -> np.ndarray:
    """Return the chances by the plain sum over every candidate and the hidden cause."""
    own, total, found = network.own_leaks(), 0.0, np.zeros(len(network.priors))
    for state in product((0, 1), repeat=len(network.priors)):
        for cause in (0, 1):
            weight = network.cause_prior if cause else 1.0 - network.cause_prior
            for one, prior in zip(state, network.priors, strict=True):
                weight *= prior if one else 1.0 - prior
            for finding, yes in evidence.items():
                no = 1.0 - own[finding]
                for one, link in zip(state, network.links[finding], strict=True):
                    no *= 1.0 - link * one
                if cause and network.group[finding] >= 0:
                    no *= 1.0 - network.cause_link
                weight *= 1.0 - no if yes else no
            total += weight
            found += weight * np.array(state)
    return found / total


def by_library(network: Network, evidence: dict[int, bool]) -> list[float]:
    """Return the chances by pgmpy's variable elimination over the same tables."""
    asked, told = library_of(network, evidence), {f"f{one}": int(yes) for one, yes in evidence.items()}
    return [float(asked.query([f"c{one}"], told, show_progress=False).values[1]) for one in range(len(network.priors))]


@pytest.mark.filterwarnings("ignore::FutureWarning", "ignore::DeprecationWarning")
@pytest.mark.parametrize("seed", range(10))
def test_the_posterior_is_that_of_brute_force_and_of_the_library(seed):
    """Ten random networks with a hidden common cause, to 1e-9."""
    network, evidence = drawn(seed)
    found = posterior(network, evidence).chances
    assert found == pytest.approx(by_brute_force(network, evidence), abs=1e-9)
    assert found == pytest.approx(by_library(network, evidence), abs=1e-9)


@pytest.mark.parametrize("seed", range(10))
def test_what_a_look_tells_is_what_asking_it_both_ways_tells(seed):
    """Chance of a yes, chances after either answer and bits, by conditioning anew; looks of a group included."""
    network, evidence = drawn(seed)
    known = posterior(network, evidence)
    waiting = [one for one in range(6) if one not in evidence]
    for look in looks(network, known, evidence, waiting, np.array([0, 0, 1, 2])):
        yes, no = (posterior(network, evidence | {look.finding: answer}) for answer in (True, False))
        assert look.yes == pytest.approx(np.exp(yes.log_evidence - known.log_evidence), abs=1e-9)
        assert look.after_yes == pytest.approx(yes.chances, abs=1e-9)
        assert look.after_no == pytest.approx(no.chances, abs=1e-9)
        left = look.yes * doubt(yes.chances) + (1.0 - look.yes) * doubt(no.chances)
        assert look.bits == pytest.approx(float(doubt(known.chances) - left), abs=1e-9)
        assert look.bits >= 0.0
