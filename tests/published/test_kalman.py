"""The filter and smoother against statsmodels, and against the Nile's published local level.

Sources: statsmodels 0.15, its default smoother, as the peer. Nile flows 1871-1970 as statsmodels ships them; variances
15099 and 1469.1 of Durbin & Koopman 2012, chapter 2 (recalled), their log-likelihood −632.5 (recalled), recomputed
with statsmodels as said at each line.
"""

import numpy as np
import pytest
from numpy.typing import NDArray
from statsmodels.datasets import nile
from statsmodels.tsa.statespace.mlemodel import MLEModel

from pratique.science.estimation.many_state import filter_forward, smooth_backward
from pratique.science.estimation.script import STEP_WIDTH
from pratique.science.estimation.two_state import smooth_two_state

type Array = NDArray[np.float64]

EPSILON, ETA = 15099.0, 1469.1


def _steps(days: Array, loss: float, walk: float, dose: Array) -> Array:
    """Return rows (a, f, g, d, q11, q12, q22, r, e) of a level with loss and a source, by closed forms."""
    a = np.exp(-loss * days)
    f = (1.0 - a) / loss
    own = (days - 2.0 * f + (1.0 - a * a) / (2.0 * loss)) / loss**2
    kept, added = np.ones_like(a), np.zeros_like(a)
    # Every fortieth step forgets the source, as new water does.
    kept[39::40], added[39::40] = 0.0, 0.2
    rows: Array = np.column_stack(
        [a, f, 0.1 * dose, dose, walk**2 * own, walk**2 * (days - f) / loss, walk**2 * days, kept, added]
    )
    return rows


def _series(size: int) -> tuple[Array, Array]:
    """Return irregular steps and readings, one in four of them missing."""
    chance = np.random.default_rng(11)
    days = chance.gamma(2.0, 0.5, size)
    steps = _steps(days, 0.3, 0.05, np.where(chance.random(size) < 0.2, 0.5, 0.0))
    sites = np.column_stack([chance.normal(1.0, 0.5, size), chance.uniform(0.01, 0.3, size)])
    sites[chance.random(size) < 0.25, 1] = -1.0
    return steps, sites


def _peer(steps: Array, sites: Array, columns: Array, mean: Array, covariance: Array) -> MLEModel:
    """Return the same model for statsmodels, whose first state is that of the first stop."""
    size, count = len(mean), len(steps)
    transition = np.zeros((size, size, count))
    for j in range(size):
        transition[j, j] = 1.0
    transition[0, 0], transition[0, 1], transition[1, 1] = steps[:, 0], steps[:, 1], steps[:, 7]
    if size > 2:
        transition[0, 2] = steps[:, 2]
    noise = np.zeros((size, size, count))
    noise[0, 0], noise[0, 1], noise[1, 0], noise[1, 1] = steps[:, 4], steps[:, 5], steps[:, 5], steps[:, 6]
    offset = np.zeros((size, count))
    offset[0], offset[1] = steps[:, 3], steps[:, 8]
    model = MLEModel(
        np.where(sites[:, 1] >= 0.0, sites[:, 0], np.nan), k_states=size, k_posdef=size, initialization="known",
        initial_state=transition[..., 0] @ mean + offset[:, 0],
        initial_state_cov=transition[..., 0] @ covariance @ transition[..., 0].T + noise[..., 0],
    )  # fmt: skip
    design = np.zeros((1, size, count))
    design[0, 0] = 1.0
    for n, column in enumerate(columns):
        if column:
            design[0, int(column), n] = 1.0
    model["design"], model["obs_cov"] = design, sites[:, 1].clip(0.0)[None, None]
    model["transition"], model["state_cov"] = np.roll(transition, -1, axis=2), np.roll(noise, -1, axis=2)
    model["state_intercept"], model["selection"] = np.roll(offset, -1, axis=1), np.eye(size)
    return model


def _two(steps: Array, sites: Array, prior: Array) -> tuple[float, Array, Array]:
    count = len(steps)
    means, covariances = np.empty((count, 2)), np.empty((count, 3))
    total = smooth_two_state(steps, sites, prior, means, covariances, np.empty((count, 2)))
    return total, means, covariances


def test_two_states_at_irregular_times_equal_statsmodels() -> None:
    """Log-likelihood, smoothed means and covariances agree to 1e-8, doses and missing readings included."""
    steps, sites = _series(400)
    total, means, covariances = _two(steps, sites, np.array([0.8, 0.1, 0.5, 0.0, 0.2]))
    peer = _peer(steps, sites, np.zeros(400), np.array([0.8, 0.1]), np.diag([0.5, 0.2])).ssm.smooth()

    assert total == pytest.approx(peer.llf, rel=1e-8)
    np.testing.assert_allclose(means, peer.smoothed_state.T, atol=1e-8)
    np.testing.assert_allclose(covariances[:, 0], peer.smoothed_state_cov[0, 0], atol=1e-8)
    np.testing.assert_allclose(covariances[:, 1], peer.smoothed_state_cov[0, 1], atol=1e-8)
    np.testing.assert_allclose(covariances[:, 2], peer.smoothed_state_cov[1, 1], atol=1e-8)


def test_a_strength_and_two_biases_equal_statsmodels() -> None:
    """With static unknowns beside the level the general filter and smoother agree to 1e-8 too."""
    steps, sites = _series(300)
    columns = np.random.default_rng(3).choice([0, 3, 4], 300).astype(np.int64)
    mean, covariance = np.array([0.8, 0.1, 0.0, 0.0, 0.0]), np.diag([0.5, 0.2, 0.3, 0.05, 0.1])
    means, covariances = np.empty((300, 5)), np.empty((300, 5, 5))
    total = filter_forward(steps, sites, columns, mean, covariance, means, covariances)
    smooth_backward(steps, sites, columns, means, covariances)
    peer = _peer(steps, sites, columns, mean, covariance).ssm.smooth()

    assert total == pytest.approx(peer.llf, rel=1e-8)
    np.testing.assert_allclose(means, peer.smoothed_state.T, atol=1e-8)
    np.testing.assert_allclose(covariances, np.moveaxis(peer.smoothed_state_cov, 2, 0), atol=1e-8)


def _local_level(
    values: Array, *, gaps: Array, walk: float, noise: float, prior: tuple[float, float]
) -> tuple[float, Array, Array]:
    """Return log-likelihood, smoothed means and variances of a local level; NaN is a missing reading."""
    steps = np.zeros((len(values), STEP_WIDTH))
    steps[:, 0], steps[:, 4], steps[:, 7] = 1.0, walk * gaps, 1.0
    sites = np.column_stack([np.nan_to_num(values), np.where(np.isnan(values), -1.0, noise)])
    total, means, covariances = _two(steps, sites, np.array([prior[0], 0.0, prior[1], 0.0, 0.0]))
    return total, means[:, 0], covariances[:, 0]


def _nile() -> Array:
    flows: Array = nile.load_pandas().data["volume"].to_numpy(dtype=float).copy()
    return flows


def test_the_nile_gives_the_published_log_likelihood() -> None:
    """First observation dropped, start at it with its variance: −632.5456 (published, recalled: −632.5)."""
    flows = _nile()
    total, _, _ = _local_level(flows[1:], gaps=np.ones(99), walk=ETA, noise=EPSILON, prior=(flows[0], EPSILON))

    assert total == pytest.approx(-632.5456251157, abs=1e-6)
    assert round(total, 1) == -632.5


def test_the_nile_is_smoothed_as_the_exact_diffuse_start_does() -> None:
    """Smoothed flows and variances of 1871, 1898, 1899 and 1970, recomputed with statsmodels' exact diffuse start."""
    flows = _nile()
    # A start at the first flow with its variance is the exact diffuse filter after its first observation.
    _, means, variances = _local_level(
        np.concatenate([[flows[0]], flows[1:]]), gaps=np.concatenate([[0.0], np.ones(99)]), walk=ETA, noise=EPSILON,
        prior=(flows[0], 1e12),
    )  # fmt: skip
    published = {
        1871: (1111.6683, 4032.1579),
        1898: (999.5852, 2326.7570),
        1899: (950.9301, 2326.7569),
        1970: (798.3703, 4032.1579),
    }
    for year, (mean, variance) in published.items():
        assert means[year - 1871] == pytest.approx(mean, abs=2e-3)
        assert variances[year - 1871] == pytest.approx(variance, abs=2e-2)


def test_the_nile_with_two_gaps_is_bridged() -> None:
    """Observations 21-40 and 61-80 missing: smoothed at the 30th 903.4211 with variance 9715.0059 (statsmodels)."""
    flows = _nile()
    flows[20:40], flows[60:80] = np.nan, np.nan
    _, means, variances = _local_level(
        flows, gaps=np.concatenate([[0.0], np.ones(99)]), walk=ETA, noise=EPSILON, prior=(1120.0, 1e12)
    )

    assert means[29] == pytest.approx(903.4211, abs=2e-3)
    assert variances[29] == pytest.approx(9715.0059, abs=2e-2)


def test_five_readings_at_irregular_gaps_equal_a_dense_solve() -> None:
    """A random walk read at gaps of 1, 1, 2 and 1, one reading missing: our own RTS, statsmodels and a dense solve."""
    values = np.array([1.0, 1.6, 0.7, np.nan, 2.1])
    total, means, variances = _local_level(
        values, gaps=np.array([0.0, 1.0, 1.0, 2.0, 1.0]), walk=0.25, noise=0.5, prior=(0.0, 1.0)
    )

    assert total == pytest.approx(-5.4304536745, abs=1e-9)
    np.testing.assert_allclose(means, [0.94169279, 1.14796238, 1.12821317, 1.51692790, 1.71128527], atol=1e-8)
    np.testing.assert_allclose(variances, [0.20376176, 0.18652038, 0.21159875, 0.37617555, 0.33385580], atol=1e-8)
