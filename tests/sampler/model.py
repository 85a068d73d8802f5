"""The model of a case for NumPyro, nothing marginalised: every error of a dose, every step of the walks, every bias.

Time steps are those of the case (its readings, events and grid), and each step is exact: the noise a walk leaves over a
step is a pair of normals with the covariance of its integrals, which are taken by quadrature here. Unknowns are unit
normals (non-centred); readings have their exact likelihood at what was perceived.
"""

import jax.numpy as jnp
import numpy as np
import numpyro
import numpyro.distributions as dist
from jax import Array
from jax.scipy.special import log_ndtr
from jax.scipy.stats import norm
from tests.sampler.telling import Telling, biased

from pratique.science.estimation.case import Case

numpyro.enable_x64()

_POINTS, _WEIGHTS = np.polynomial.legendre.leggauss(8)


def model(case: Case, telling: Telling) -> None:
    """Sample one case; `levels` (over the grid), `volume_l`, `loss_per_day` and `source_end` are recorded."""
    volume = _volume(case)
    loss = numpyro.deterministic("loss_per_day", _loss(case))
    fallen, levels_noise, source, gained = _stretches(case, telling, loss)
    released = telling.release_mg_per_day @ (
        1.0 + telling.pulse_relative_sd * _units("pulse", telling.pulse_relative_sd)
    )
    part = telling.change_l / volume
    coming = telling.incoming + _errors("incoming", telling.incoming_sd)
    strength = case.stock_strength_relative_sd * _unit("strength", case.stock_strength_relative_sd)
    dosed = (telling.dose_mg * (1.0 + strength) + _errors("dose", telling.dose_sd_mg)) / volume
    kept = fallen * (1.0 - part)
    added = gained * (source + released / volume) + levels_noise
    added = added * (1.0 - part) + part * coming + dosed + _errors("jolt", telling.jolt_sd)
    start = case.initial.mean + case.initial.sd * _unit("initial", case.initial.sd)
    so_far = jnp.exp(jnp.cumsum(jnp.log(kept)))
    path = jnp.concatenate([start[None], so_far * (start + jnp.cumsum(added / so_far))])
    numpyro.deterministic("levels", path[telling.grid_at])
    numpyro.factor("readings", _log_likelihood(case, telling, path[telling.reading_at]))


def _unit(name: str, sd: float) -> Array:
    return numpyro.sample(name, dist.Normal()) if sd else jnp.array(0.0)


def _units(name: str, sds: np.ndarray) -> Array:
    return numpyro.sample(name, dist.Normal().expand([len(sds)]).to_event(1)) if len(sds) else jnp.zeros(0)


def _errors(name: str, sds: np.ndarray) -> Array:
    """Return a normal error where there is one, 0 elsewhere."""
    where = np.flatnonzero(sds)
    return jnp.zeros(len(sds)).at[where].set(sds[where] * _units(name, where))


def _volume(case: Case) -> Array:
    least, told = case.largest_change_l, case.volume
    if told.is_lognormal:
        low = np.log(least) if least else None
        log = numpyro.sample("log_volume", dist.TruncatedNormal(np.log(told.mean_l), told.sd_l, low=low))
        return numpyro.deterministic("volume_l", jnp.exp(log))
    return numpyro.sample("volume_l", dist.TruncatedNormal(told.mean_l, told.sd_l, low=least))


def _loss(case: Case) -> Array:
    return case.loss.median_per_day * jnp.exp(case.loss.log_sd * _unit("log_loss", case.loss.log_sd))


def _stretches(case: Case, telling: Telling, loss: Array) -> tuple[Array, Array, Array, Array]:
    """Return for each happening what is kept of the level, its noise, the source before it, and the source's weight."""
    where = np.flatnonzero(telling.days)
    kinds, kind_of = np.unique(
        np.stack([telling.days[where], telling.extra_loss_per_day[where]]), axis=1, return_inverse=True
    )
    days, rate = kinds[0], loss + kinds[1]
    root, cross, rest, level_root = (one[kind_of] for one in _noise(days, rate))
    start = case.source.mean_per_day + case.source.sd_per_day * _unit("source", case.source.sd_per_day)
    steps, noise = jnp.zeros(len(where)), jnp.zeros(len(where))
    if walk := case.source.walk_sd_per_sqrt_day:
        first, second = _units("walk", where), _units("walk_rest", where)
        steps, noise = walk * (cross * first + rest * second), walk * root * first
    if case.level_walk_sd_per_sqrt_day:
        noise += case.level_walk_sd_per_sqrt_day * level_root * _units("level_walk", where)
    sources = start + jnp.concatenate([jnp.zeros(1), jnp.cumsum(steps)])
    numpyro.deterministic("source_end", sources[-1])
    nothing, count = jnp.zeros(len(telling.days)), len(telling.days)
    return (
        jnp.ones(count).at[where].set(jnp.exp(-rate * days)[kind_of]),
        nothing.at[where].set(noise),
        nothing.at[where].set(sources[:-1]),
        nothing.at[where].set((-jnp.expm1(-rate * days) / rate)[kind_of]),
    )


def _noise(days: np.ndarray, rate: Array) -> tuple[Array, Array, Array, Array]:
    """Return what unit walks leave over a stretch: the level's sd by the source's walk, the source's own noise that
    goes with it and that does not, and the level's sd by its own walk.
    """
    back = days[:, None] * (_POINTS + 1.0) / 2.0
    weights = days[:, None] * _WEIGHTS / 2.0
    decay = rate[:, None] * back
    # What a unit step of the source does to the level within `back` days.
    reached = -jnp.expm1(-decay) / rate[:, None]
    root = jnp.sqrt((weights * reached**2).sum(axis=1))
    cross = (weights * reached).sum(axis=1) / root
    return root, cross, jnp.sqrt(days - cross**2), jnp.sqrt((weights * jnp.exp(-2.0 * decay)).sum(axis=1))


def _log_likelihood(case: Case, telling: Telling, level: Array) -> Array:
    biases = np.array([case.methods[key].bias_sd for key in biased(case)])
    bias = jnp.concatenate([biases * _units("bias", biases), jnp.zeros(1)])[telling.bias_of.astype(np.int64)]
    seen, sd = level + bias, jnp.sqrt(telling.absolute_sd**2 + (telling.relative_sd * level) ** 2)
    is_plain = telling.low == telling.high
    high = np.where(is_plain, telling.low + 1.0, telling.high)
    plain = norm.logpdf(telling.low, seen, sd)
    return jnp.where(is_plain, plain, _log_between((telling.low - seen) / sd, (high - seen) / sd)).sum()


def _log_between(low: Array, high: Array) -> Array:
    """Return the log of the normal's mass between two points, taken in the lower tail, where it keeps its digits."""
    is_upper = low + high > 0.0
    low, high = jnp.where(is_upper, -high, low), jnp.where(is_upper, -low, high)
    return log_ndtr(high) + jnp.log1p(-jnp.exp(log_ndtr(low) - log_ndtr(high)))
