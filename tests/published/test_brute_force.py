"""Small cases by brute force: every unknown on a dense grid, the likelihood of each report written out again here.

Without walks a case is a known curve of four unknowns (loss, volume, starting level, source), so its posterior is a
sum over a grid. Nothing of the reckoning is used for that but the case itself. Bars: means within 0.05 sd, sds within
5 %, log evidence within 0.05.
"""

from dataclasses import dataclass, replace

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.special import ndtr
from scipy.stats import norm

from pratique.science.estimation.case import Case, Change, Dose, Initial, Loss, Reading, Source, Volume
from pratique.science.estimation.posterior import reckon
from pratique.science.estimation.reading import Method, Observed

type Array = NDArray[np.float64]

PHOTOMETER = Method(resolution=0.01, absolute_sd=0.02, relative_sd=0.05, lower_limit=0.0, upper_limit=5.0)
PLAIN = Method(resolution=0.0, absolute_sd=0.02, relative_sd=0.0)
STEEP = Method(resolution=0.0, absolute_sd=0.005, relative_sd=0.25)
CHART = Method(resolution=0.0, absolute_sd=0.0, relative_sd=0.0, marks=(0.0, 0.1, 0.2, 0.3, 0.5, 0.8, 1.0))
METHODS = {"photometer": PHOTOMETER, "plain": PLAIN, "steep": STEEP, "chart": CHART}
REACH = 5.0


@dataclass
class Truth:
    """The brute-force answer: mean and sd of the level at the end, of volume and loss, and the log evidence."""

    level: tuple[float, float]
    volume: tuple[float, float]
    loss: tuple[float, float]
    log_evidence: float


def _axis(mean: float, sd: float, *, points: int = 31, least: float = -np.inf) -> tuple[Array, Array]:
    """Return midpoints and prior weights of a normal unknown, above `least` only."""
    edges = np.linspace(max(least, mean - REACH * sd), mean + REACH * sd, points + 1)
    mass = np.diff(ndtr((edges - mean) / sd))
    return (edges[1:] + edges[:-1]) / 2.0, mass / mass.sum()


def _brute(case: Case) -> Truth:
    loss_x, loss_w = _axis(np.log(case.loss.median_per_day), case.loss.log_sd)
    volume_x, volume_w = _axis(case.volume.mean_l, case.volume.sd_l, points=45, least=case.largest_change_l)
    start_x, start_w = _axis(case.initial.mean, case.initial.sd, points=401 if case.initial.sd > 0.1 else 31)
    source_x, source_w = _axis(case.source.mean_per_day, case.source.sd_per_day, points=15)
    loss, volume, level, source = np.meshgrid(np.exp(loss_x), volume_x, start_x, source_x, indexing="ij")
    log_weight = np.log(np.einsum("i,j,k,l->ijkl", loss_w, volume_w, start_w, source_w) + 1e-300)
    now = 0.0
    acts = [(r.day, 0, r) for r in case.readings] + [(e.day, 1 if isinstance(e, Change) else 2, e) for e in case.events]
    for day, _, act in sorted(acts, key=lambda one: one[:2]):
        level = _decayed(level, loss, source, day - now)
        now = day
        if isinstance(act, Dose):
            level = level + act.amount_mg / volume
        elif isinstance(act, Change):
            level = level + act.volume_l / volume * (act.incoming - level)
        else:
            log_weight = log_weight + _log_likelihood(case.methods[act.method], act.observed, level)
    level = _decayed(level, loss, source, case.span_days - now)
    top = log_weight.max()
    weight = np.exp(log_weight - top)
    total = weight.sum()

    def moments(values: Array) -> tuple[float, float]:
        mean = float((weight * values).sum() / total)
        return mean, float(np.sqrt((weight * (values - mean) ** 2).sum() / total))

    return Truth(moments(level), moments(volume), moments(loss), float(top + np.log(total)))


def _decayed(level: Array, loss: Array, source: Array, days: float) -> Array:
    kept = np.exp(-loss * days)
    return level * kept + source * (1.0 - kept) / loss


def _log_likelihood(method: Method, seen: Observed, level: Array) -> Array:
    """Write the report's likelihood out: rounding, limits, marks, and an error that grows with the level."""
    absolute = method.absolute_sd if not method.marks else 0.2 * 0.1
    sd = np.sqrt(absolute**2 + (method.relative_sd * level) ** 2)
    if seen.value is not None and method.resolution == 0.0:
        return np.asarray(norm.logpdf(seen.value, level, sd))
    low, high = -np.inf, np.inf
    if seen.value is not None:
        low = max(
            seen.value - method.resolution / 2.0, method.lower_limit if method.lower_limit is not None else -np.inf
        )
        high = seen.value + method.resolution / 2.0
    elif seen.low is not None and seen.high is not None:
        low, high = seen.low, seen.high
    elif seen.below is not None:
        high = seen.below
    else:
        low = float(seen.above or 0.0)
    return np.asarray(np.log(ndtr((high - level) / sd) - ndtr((low - level) / sd) + 1e-300))


def _read(day: float, method: str, **seen: float) -> Reading:
    return Reading(day, method, Observed(**seen))


BASE = Case(
    constituent="copper",
    unit="mg/L",
    span_days=6.0,
    grid_hours=24.0,
    initial=Initial(0.05, 0.03),
    volume=Volume(80.0, 8.0),
    loss=Loss(0.05, 0.6),
    source=Source(0.0, 0.004),
    methods=METHODS,
    events=(Dose(0.5, 12.0),),
    draws=2000,
)
CASES = {
    "rounded readings by a photometer": replace(
        BASE,
        readings=(
            _read(1.0, "photometer", value=0.19),
            _read(3.0, "photometer", value=0.18),
            _read(5.0, "photometer", value=0.13),
        ),
    ),
    "between two marks of a chart": replace(
        BASE, readings=(_read(1.0, "chart", low=0.2, high=0.3), _read(4.0, "chart", low=0.1, high=0.2))
    ),
    "below a limit, then above another": replace(
        BASE, readings=(_read(0.2, "photometer", below=0.02), _read(2.0, "chart", above=0.1))
    ),
    "an error that grows with the level": replace(
        BASE,
        readings=(_read(1.0, "steep", value=0.24), _read(3.5, "steep", value=0.12), _read(5.5, "steep", value=0.15)),
    ),
    "a start nobody knows, then a sharp reading": replace(
        BASE,
        initial=Initial(0.5, 0.5),
        readings=(_read(0.2, "photometer", value=0.06), _read(2.0, "photometer", value=0.2)),
    ),
    "a change and a dose at the moment of a reading": replace(
        BASE,
        events=(Dose(0.5, 12.0), Change(3.0, 20.0, incoming=0.01), Dose(3.0, 4.0)),
        readings=(_read(3.0, "photometer", value=0.16), _read(5.0, "chart", low=0.1, high=0.2)),
    ),
    "a volume cut close to its middle": replace(
        BASE,
        volume=Volume(30.0, 8.0),
        events=(Dose(0.5, 5.0), Change(2.0, 20.0)),
        readings=(_read(1.0, "photometer", value=0.22), _read(3.0, "photometer", value=0.08)),
    ),
    "a reading that does not fit": replace(
        BASE, readings=(_read(1.0, "photometer", value=0.2), _read(2.0, "photometer", value=0.32))
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_a_small_case_equals_its_integral(name: str) -> None:
    """Level at the end, volume, loss and evidence agree with the sum over a dense grid."""
    case = CASES[name]
    truth, found = _brute(case), reckon(case)

    for ours, (mean, sd) in (
        ((found.mean[-1], found.sd[-1]), truth.level),
        ((found.volume_l.mean, found.volume_l.sd), truth.volume),
        ((found.loss_per_day.mean, found.loss_per_day.sd), truth.loss),
    ):
        assert ours[0] == pytest.approx(mean, abs=0.05 * sd)
        assert ours[1] == pytest.approx(sd, rel=0.05)
    assert found.log_evidence == pytest.approx(truth.log_evidence, abs=0.05)


@pytest.mark.parametrize("name", CASES)
def test_trajectories_weighed_exactly_agree_with_the_integral(name: str) -> None:
    """The mean level of the drawn trajectories lies within four Monte Carlo errors of the integral's."""
    truth, draws = _brute(CASES[name]), reckon(CASES[name]).trajectories
    mean = draws.weights @ draws.levels[:, -1]

    assert draws.effective_sample > 1000
    assert mean == pytest.approx(
        truth.level[0], abs=4.0 * truth.level[1] / np.sqrt(draws.effective_sample) + 0.01 * truth.level[1]
    )
