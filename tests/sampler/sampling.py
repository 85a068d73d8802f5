"""Ask NumPyro's No-U-Turn sampler (Hoffman & Gelman 2014) what the reckoning is asked. Needs `tools/add_sampler.sh`."""

from collections.abc import Iterator
from dataclasses import dataclass

import jax
import numpy as np
from numpy.typing import NDArray
from numpyro.diagnostics import effective_sample_size, split_gelman_rubin
from numpyro.infer import MCMC, NUTS
from tests.sampler.model import model
from tests.sampler.telling import told
from tests.sampler.verdict import HELD, Answer, moments_asked

from pratique.science.estimation.case import Case

type Array = NDArray[np.float64]

CHAINS, WARM_UP, DRAWS = 4, 1000, 4000
_SAME_MOMENT_DAYS = 1e-9
_MOST_R_HAT = 1.01


@dataclass(frozen=True)
class Sampled(Answer):
    """An answer of the sampler's: what its mean and its sd are worth in independent draws, and whether chains agree."""

    effective_sample: float
    effective_sample_of_sd: float
    split_r_hat: float


def sampler(case: Case, *, chains: int = CHAINS, warm_up: int = WARM_UP, draws: int = DRAWS) -> MCMC:
    """Return a sampler for cases like this one; the unknowns that bind everything else share a dense mass matrix."""
    volume = "log_volume" if case.volume.is_lognormal else "volume_l"
    kernel = NUTS(model, dense_mass=[(volume, "log_loss", "source")])
    return MCMC(
        kernel,
        num_warmup=warm_up,
        num_samples=draws,
        num_chains=chains,
        chain_method="sequential",
        progress_bar=False,
    )


def run(asked: MCMC, case: Case, seed: int) -> dict[str, Array]:
    """Return the draws (chain, draw, …) of one case; the first run of a sampler compiles."""
    asked.run(jax.random.PRNGKey(seed), case, told(case), extra_fields=("diverging",))
    return {key: np.asarray(values) for key, values in asked.get_samples(group_by_chain=True).items()}


def sampled_answers(case: Case, seed: int) -> dict[str, Sampled]:
    """Return the sampler's answers to what the reckoning is asked.

    Raises AssertionError where a step diverged or the chains do not agree.
    """
    asked = sampler(case)
    drawn = run(asked, case, seed)
    assert not np.asarray(asked.get_extra_fields()["diverging"]).any()
    levels = drawn["levels"]
    quantities = {key: drawn[key] for key in ("volume_l", "loss_per_day", "source_end")}
    quantities |= {key: levels[:, :, point] for key, point in moments_asked(case).items()}
    quantities[HELD] = held(case, levels)
    answers = {key: _answer(values) for key, values in quantities.items()}
    assert max(one.split_r_hat for one in answers.values()) < _MOST_R_HAT
    return answers


def _answer(values: Array) -> Sampled:
    squares = (values - values.mean()) ** 2
    is_chance = np.isin(values, (0.0, 1.0)).all()
    return Sampled(
        float(values.mean()),
        float(values.std()),
        float(effective_sample_size(values)),
        float(effective_sample_size(values if is_chance else squares)),
        float(split_gelman_rubin(values)),
    )


def held(case: Case, levels: Array) -> Array:
    """Return 1 for each draw (chain, draw) that stayed at or above the lower bound for the days required, else 0."""
    assert case.band is not None
    assert case.required_days is not None
    days = told(case).grid_days
    return np.array(
        [
            [float(max(_runs(path, days)) >= case.required_days - _SAME_MOMENT_DAYS) for path in chain]
            for chain in levels >= case.band.lower
        ]
    )


def _runs(above: NDArray[np.bool_], days: Array) -> Iterator[float]:
    """Yield the days of every unbroken run: one of n points lasts n - 1 steps."""
    yield 0.0
    edges = np.flatnonzero(np.diff(np.concatenate([[False], above, [False]]).astype(np.int8)))
    for first, after in zip(edges[::2], edges[1::2], strict=True):
        yield float(days[after - 1] - days[first])
