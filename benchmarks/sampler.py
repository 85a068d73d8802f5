"""A whole course by the reckoning and by a general sampler, on the same model. Needs `tools/add_sampler.sh`.

The sampler draws as many paths as the reckoning, after the usual thousand steps to warm up.
"""

from collections.abc import Callable
from dataclasses import replace
from importlib.util import find_spec

import numpy as np

from benchmarks.duels import Duel, run_all
from benchmarks.reckoning import course
from pratique.science.estimation.case import Band, Case
from pratique.science.estimation.posterior import reckon

WARM_UP, DRAWS = 1000, 4000
_EYE_MG_PER_L = 0.02
_SEED = 11


def _asked() -> Case:
    """Return the 32-day course, its chart read by an eye that errs: a sampler needs a likelihood without edges."""
    told = course()
    chart = replace(told.methods["chart"], absolute_sd=_EYE_MG_PER_L)
    return replace(told, methods={**told.methods, "chart": chart}, band=Band(0.15, 0.25), required_days=14.0)


def against_a_sampler() -> Duel:
    """The 32-day course with 80 readings by us and by NumPyro's No-U-Turn sampler."""
    from tests.sampler.sampling import run, sampler  # noqa: PLC0415 - a sampler starts slowly, and may be missing

    case = _asked()
    # The same sampler runs again and again, so that it compiles in the first run only, which is not timed.
    ready, kept = sampler(case, chains=1, warm_up=WARM_UP, draws=DRAWS), {}

    def theirs() -> None:
        kept["levels"] = run(ready, case, _SEED)["levels"][0]

    def apart() -> str:
        drawn, found = kept["levels"], reckon(case)
        off = np.abs(drawn.mean(axis=0) - found.mean) / found.sd
        return f"level means lie at most {np.max(off):.2f} sd apart, by {DRAWS:,} draws of the sampler's"

    return Duel(
        what="a 32-day course: 80 readings, hourly grid, 289 nodes, 4,000 trajectories",
        peer=f"NumPyro's No-U-Turn sampler, one chain, {WARM_UP:,} steps to warm up and {DRAWS:,} draws, compiled",
        bar="at least 100 times as fast",
        ours=lambda: reckon(case),
        theirs=theirs,
        rounds=1,
        apart=apart,
    )


def duels() -> tuple[Callable[[], Duel], ...]:
    """Return the duel, or none, with a line that says how to get it, where the sampler is not installed."""
    if find_spec("numpyro") is None:
        print("The duel with a sampler is left out: run tools/add_sampler.sh for it (some 400 MB).")
        return ()
    return (against_a_sampler,)


if __name__ == "__main__":
    run_all(duels())
