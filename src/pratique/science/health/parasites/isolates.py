"""The isolates a batch may carry, drawn from what is not known of a parasite."""

import numpy as np
from numpy.typing import NDArray

from pratique import knowledge
from pratique.knowledge.copper import CopperForm, copper_band
from pratique.knowledge.parasites import Parasite, Uncertain
from pratique.science.chemistry.domain import DomainError
from pratique.science.health.parasites.isolate import Belief, Isolates
from pratique.science.health.parasites.limits import limits_of
from pratique.science.health.parasites.stages import STEPS_PER_DAY, StageDraws, stage_draws

type Array = NDArray[np.float64]

_LOOKED_AT = 10.0


def belief_of(parasite: str, *, temperature_c: float, animals: int = 1, rows: int = 200, seed: int = 0) -> Belief:
    """Return what is believed of a batch of so many animals at a temperature in °C, by `rows` isolates.

    That the batch carries it is the chance that at least one of its animals does; its burden is spread over all of
    them. Raises KeyError for an unknown parasite; DomainError for no animals, for water so cold that what waits off the
    fish may sleep, and as `stage_draws` does.
    """
    if animals < 1:
        raise DomainError("A batch needs at least one animal.")
    limits = limits_of(parasite, temperature_c)
    if not limits.develops and not limits.may_sleep:
        raise DomainError(f"At {temperature_c:g} °C nothing hatches, and what waits may still live: no end is known.")
    if limits.may_sleep:
        raise DomainError(
            f"At {temperature_c:g} °C what waits off the fish may sleep for months: its end is not known."
        )
    known = knowledge.parasite(parasite)
    infected = known.initially_infected_probability.value
    carried_in = 1.0 - (1.0 - infected) ** animals
    stages = stage_draws(parasite, temperature_c=temperature_c, count=rows, seed=seed)
    return Belief(
        carried_in=carried_in,
        isolates=_isolates(known, stages, infected / carried_in, np.random.default_rng([seed, 1])),
        cap_per_animal=known.burden_cap.value,
        lethal_below_psu=known.lethal_psu.value if known.lethal_psu is not None else None,
    )


def _isolates(known: Parasite, stages: StageDraws, infected: float, normals: np.random.Generator) -> Isolates:
    rows = len(stages.alive_steps)

    def drawn(figure: Uncertain) -> Array:
        return np.asarray(figure.value * np.exp(figure.log_sd * normals.standard_normal(rows)), dtype=np.float64)

    def fraction(figure: Uncertain) -> Array:
        return _fraction(figure, normals.standard_normal(rows))

    eggs, life = known.eggs_per_adult_per_day, known.adult_life_days
    none_laid = np.full(rows, -1.0)
    return Isolates(
        host_cdf=np.ascontiguousarray(stages.host_cdf),
        off_cdf=np.ascontiguousarray(stages.off_cdf),
        viable=fraction(known.off_host_fraction),
        settling=drawn(known.swimmers_per_off_host) * drawn(known.infection_probability),
        clumping=drawn(known.clumping),
        alive_steps=stages.alive_steps,
        eggs_per_step=drawn(eggs) / STEPS_PER_DAY if eggs is not None else none_laid,
        adult_survival=np.exp(-1.0 / (drawn(life) * STEPS_PER_DAY)) if life is not None else -none_laid,
        burden=drawn(known.initial_burden) * infected,
        seeing=-np.log1p(-fraction(known.detection_at_burden_10)) / _LOOKED_AT,
        copper_half_kill=drawn(known.copper_half_kill_mg_per_l) / copper_band(CopperForm.IONIC).target_lower,
        copper_slope=drawn(known.copper_slope),
        resists_low_salinity=normals.random(rows) < known.low_salinity_strain_probability.value,
        carried=np.minimum(drawn(known.carried_on_move), 1.0),
        bath_survival=1.0 - fraction(known.bath_kill_fraction),
    )


def _fraction(figure: Uncertain, deviates: Array) -> Array:
    """Return a fraction between 0 and 1: normal in its logit, with the spread its ends have there; 0 and 1 stay."""
    if figure.low >= figure.high:
        return np.full(len(deviates), figure.value)
    low, middle, high = (float(np.log(one / (1.0 - one))) for one in (figure.low, figure.value, figure.high))
    spread = np.where(deviates < 0.0, middle - low, high - middle) / 1.6449
    return np.asarray(1.0 / (1.0 + np.exp(-(middle + spread * deviates))), dtype=np.float64)


def unknowns_of(isolates: Isolates) -> list[tuple[str, Array]]:
    """Return what differs between the isolates, in words, for `sensitivities`."""
    return [
        ("how long it stays on the fish", _median_step(isolates.host_cdf)),
        ("how long it waits off the fish", _median_step(isolates.off_cdf)),
        ("the longest wait off the fish", _last_step(isolates.off_cdf)),
        ("how many settle out of one hatching", isolates.settling),
        ("how unevenly they settle", isolates.clumping),
        ("how many came along", isolates.burden),
        ("how much copper keeps them from settling", isolates.copper_half_kill),
        ("how steeply copper acts", isolates.copper_slope),
        ("whether it bears low salinity", isolates.resists_low_salinity.astype(np.float64)),
        ("how many are carried along in a move", isolates.carried),
        ("how many live through a bath", isolates.bath_survival),
    ]


def _median_step(rows: Array) -> Array:
    """Return the step by which half of those that ever pass have passed, between steps."""
    ends = np.maximum(rows[:, -1:], 1e-12)
    return np.asarray((rows / ends < 0.5).sum(axis=1) + (rows / ends).mean(axis=1) * 1e-3, dtype=np.float64)


def _last_step(rows: Array) -> Array:
    """Return the step by which 99.9 % of those that ever pass have passed."""
    ends = np.maximum(rows[:, -1:], 1e-12)
    return np.asarray((rows / ends < 0.999).sum(axis=1), dtype=np.float64)
