"""Point counts against published intervals, and their error against simulation on a real silhouette."""

import numpy as np
import pytest
from skimage.data import horse

from pratique.science.imaging.points import NoPoints, random_share, spread_points, spread_share, wilson

HORSE_PX = 43_412  # of 131,200, counted


@pytest.fixture(scope="module")
def silhouette():
    """The bundled horse of scikit-image, true on the animal."""
    picture = ~horse().astype(bool)
    return picture if picture.sum() == HORSE_PX else ~picture


# Newcombe 1998, from memory; computed anew.
@pytest.mark.parametrize(
    ("hits", "count", "low", "high"),
    [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0, 0.1611), (1, 29, 0.0061, 0.1718)],
)
def test_wilson_s_interval(hits, count, low, high):
    """To the four places printed."""
    assert wilson(hits, count) == pytest.approx((low, high), abs=5e-5)


# Binomial standard errors as handbooks table them.
@pytest.mark.parametrize(
    ("hits", "count", "error"), [(50, 100, 0.05), (20, 100, 0.04), (10, 100, 0.03), (5, 25, 0.08), (80, 400, 0.02)]
)
def test_the_error_of_points_at_random(hits, count, error):
    """The root of p(1 - p)/n."""
    assert random_share(hits, count).standard_error == pytest.approx(error, abs=5e-5)


def test_the_binomial_error_is_what_simulation_gives(silhouette):
    """100 points, 20,000 times: mean 0.331 and standard deviation 0.0471 by the formula."""
    drawn = np.random.default_rng(17).integers(0, silhouette.size, (20_000, 100))
    shares = silhouette.ravel()[drawn].mean(axis=1)
    assert shares.mean() == pytest.approx(0.331, abs=0.001)
    assert shares.std() == pytest.approx(0.0471, abs=0.001)
    assert random_share(33, 100).standard_error == pytest.approx(shares.std(), abs=0.001)


def test_spread_points_err_less_and_say_no_less_than_they_err(silhouette):
    """A jittered grid of 10 x 10 has 0.0283 on this picture; the told error is above the true one, intervals hold."""
    whole = np.ones_like(silhouette)
    told = []
    for seed in range(800):
        across, down = spread_points(whole, 100, seed).T
        told.append(spread_share(silhouette[down, across].tolist()))
    spread = np.std([one.fraction for one in told])
    assert np.mean([one.fraction for one in told]) == pytest.approx(HORSE_PX / 131_200, abs=0.003)
    assert spread == pytest.approx(0.0283, abs=0.002)
    assert spread < np.sqrt(np.mean([one.standard_error**2 for one in told])) < 0.0471
    assert np.mean([one.low <= HORSE_PX / 131_200 <= one.high for one in told]) >= 0.95


def test_points_lie_in_the_region_one_to_each_equal_piece():
    """A bent region of 5,000 pixels and 50 points: all inside, none twice."""
    region = np.zeros((100, 100), dtype=bool)
    region[:50] = True
    region[50:, :0] = True
    points = spread_points(region, 50, seed=3)
    assert region[points[:, 1], points[:, 0]].all()
    assert len({tuple(one) for one in points}) == 50


@pytest.mark.parametrize("count", [0, 1, 17])
def test_more_points_than_pixels_or_fewer_than_two_are_refused(count):
    """Sixteen pixels cannot hold seventeen."""
    with pytest.raises(NoPoints):
        spread_points(np.ones((4, 4), dtype=bool), count, seed=0)


def test_hits_beyond_the_points_are_refused():
    """Five hits of four."""
    with pytest.raises(NoPoints):
        wilson(5, 4)
    with pytest.raises(NoPoints):
        spread_share([True])
