"""The compiled loops of the reckoning made ready: what takes some twenty seconds on a machine that never reckoned."""

from dataclasses import replace
from pathlib import Path

import numpy as np

from pratique.science.estimation.advice import Means, advise
from pratique.science.estimation.case import Band, Case, Change, Dose, Initial, Loss, Reading, Source, Volume
from pratique.science.estimation.draws import draw
from pratique.science.estimation.exposure import exposure_of
from pratique.science.estimation.posterior import reckon
from pratique.science.estimation.reading import Method, Observed
from pratique.science.estimation.running import running_from
from pratique.science.estimation.surprises import fits_of
from pratique.science.health.parasites.isolates import belief_of
from pratique.science.passage.clearing import History, chance_clear

_BAND = Band(0.15, 0.25)
_MEANS = Means(1.0, 0.1, 0.03, 0.1, 0.25, 0.025)
# The smallest case that runs through every loop: a dose, a change, a plain reading and one between two marks.
_CASE = Case(
    constituent="copper",
    unit="mg/L",
    span_days=1.0,
    initial=Initial(0.0, 0.1),
    volume=Volume(80.0, 4.0),
    loss=Loss(0.04, 0.8),
    source=Source(0.0, 0.005, 0.002),
    methods={"meter": Method(0.0, 0.02, 0.05), "chart": Method(0.1, 0.02, 0.0, marks=(0.0, 0.1, 0.2))},
    events=(Dose(0.1, 14.0, 0.03), Change(0.5, 10.0)),
    readings=(Reading(0.3, "meter", Observed(value=0.17)), Reading(0.8, "chart", Observed(low=0.1, high=0.2))),
    draws=20,
)


def is_warm() -> bool:
    """Return whether the loops were compiled on this machine before."""
    kept = draw.stats.cache_path
    return kept is not None and any(Path(kept).glob("draws.draw-*.nbi"))


def warm_up() -> None:
    """Compile every loop, or read what was compiled before; a stock of uncertain strength takes loops of its own."""
    for case in (_CASE, replace(_CASE, stock_strength_relative_sd=0.05)):
        with np.errstate(all="ignore"):
            found = reckon(case)
            fits_of(case, found.nodes)
            exposure_of(found.trajectories, found.days, _BAND, start_day=0.0, end_day=1.0, required_days=1.0)
            advise(running_from(case, found.nodes), _BAND, _MEANS, until_day=2.0)
    _warm_up_parasites()


def _warm_up_parasites() -> None:
    """Follow one batch for two days: once by a parasite that leaves the fish, once by one that lays on it."""
    history = History(now_day=1.0, horizon_day=2.0, animals=1, clean_looks=(0.5,))
    for parasite in ("white_spot", "flukes"):
        belief = belief_of(parasite, temperature_c=25.0, rows=16)
        chance_clear(history, belief, needed=0.95)
