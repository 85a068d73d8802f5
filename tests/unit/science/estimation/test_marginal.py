"""The quantiles of a mixture of normals, by the distribution they must give back."""

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.stats import norm

from pratique.science.estimation.marginal import PROBABILITIES, mixture_quantiles


def test_the_quantiles_of_a_mixture_give_its_distribution_back():
    """Three hundred mixtures of up to nine normals, near and far apart: each quantile against scipy's root finder."""
    chance = np.random.default_rng(3)
    for _ in range(300):
        parts = int(chance.integers(1, 10))
        means = chance.normal(0.2, 10.0 ** chance.uniform(-3, 0), (parts, 1))
        variances = 10.0 ** chance.uniform(-6, -1, (parts, 1))
        weights = chance.dirichlet(np.ones(parts))
        sds = np.sqrt(variances[:, 0])
        found = mixture_quantiles(means, variances, weights, np.array(PROBABILITIES))[:, 0]
        low, high = (means[:, 0] - 10 * sds).min(), (means[:, 0] + 10 * sds).max()
        for probability, ours in zip(PROBABILITIES, found, strict=True):
            exact = brentq(
                lambda x, p=probability, m=means[:, 0], s=sds, w=weights: w @ norm.cdf((x - m) / s) - p, low, high
            )
            assert weights @ norm.cdf((ours - means[:, 0]) / sds) == pytest.approx(probability, abs=1e-8)
            assert abs(ours - exact) < 1e-6 * (high - low) or weights @ norm.pdf((ours - means[:, 0]) / sds) < 1e-6
