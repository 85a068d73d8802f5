"""What must hold of the stages of any parasite at any temperature."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from pratique.science.health.parasites.limits import limits_of
from pratique.science.health.parasites.stages import STEPS_PER_DAY, stage_draws

PARASITES = st.sampled_from(["white_spot", "velvet", "flukes"])
SEEDS = st.integers(0, 2**31)


@settings(max_examples=60, deadline=None)
@given(parasite=PARASITES, temperature_c=st.floats(0.0, 45.0), seed=SEEDS)
def test_chances_only_rise_and_begin_no_earlier_than_the_limit(parasite: str, temperature_c: float, seed: int):
    """Both stages, between 0 and 1."""
    draws, limits = (
        stage_draws(parasite, temperature_c=temperature_c, count=20, seed=seed),
        limits_of(parasite, temperature_c),
    )
    for rows, first in ((draws.host_cdf, limits.shortest_on_host), (draws.off_cdf, limits.earliest_hatch)):
        assert np.all(np.diff(rows, axis=1) >= 0.0)
        assert np.all((rows >= 0.0) & (rows <= 1.0))
        assert not rows[:, : int(first * STEPS_PER_DAY) + 1].any()
    assert np.allclose(draws.host_cdf[:, -1], 1.0)
    assert np.all((draws.infective_steps >= 1) & (draws.alive_steps >= draws.infective_steps))


@settings(max_examples=60, deadline=None)
@given(
    parasite=st.sampled_from(["white_spot", "velvet"]),
    cold_c=st.floats(16.0, 30.0),
    more=st.floats(0.0, 14.0),
    seed=SEEDS,
)
def test_warmer_is_not_slower_while_it_does_no_harm(parasite: str, cold_c: float, more: float, seed: int):
    """The same isolates, up to 30 °C."""
    cold, warm = (
        stage_draws(parasite, temperature_c=t, count=20, seed=seed) for t in (cold_c, min(cold_c + more, 30.0))
    )
    for slow, fast in ((cold.host_cdf, warm.host_cdf), (cold.off_cdf, warm.off_cdf)):
        steps = min(slow.shape[1], fast.shape[1])
        assert np.all(fast[:, :steps] >= slow[:, :steps] - 1e-9)
