"""The parasites of a batch followed over 76 days: how long, beside a plain event loop of NumPy, and beside no draws."""

from dataclasses import replace

import numpy as np

from benchmarks.duels import Duel
from pratique.science.health.parasites.clearance import p_clear
from pratique.science.health.parasites.generating import by_generating
from pratique.science.health.parasites.hazard import Days, hazards_of
from pratique.science.health.parasites.isolate import Belief
from pratique.science.health.parasites.isolates import belief_of

DAYS = 76.0
REPLICATES = 10_000
FEW = 300


def _passage() -> Days:
    """Copper from day 2 to day 32, then clean water; a look on arrival has the draws told, not the functions."""
    steps = Days(DAYS, 1).steps
    day = np.arange(steps) / 4.0
    return Days(DAYS, 2, copper_part=np.where((day >= 2.0) & (day < 32.0), 1.15, 0.0)[None, :], clean_looks=(0.0,))


def _belief() -> Belief:
    found = belief_of("white_spot", temperature_c=26.0, animals=2, rows=200, seed=1)
    # The look sees nothing, so that the chances are those of no look at all.
    return replace(found, lethal_below_psu=None, isolates=replace(found.isolates, seeing=np.zeros(200)))


def _event_loop(days: Days, belief: Belief, replicates: int) -> float:
    """Return the share of replicates clear at the end: events in order, every draw of a batch at once by NumPy."""
    isolates, steps = belief.isolates, days.steps
    hazards = hazards_of(days, belief)
    rng = np.random.default_rng(5)
    clear = 0
    for replicate in range(replicates):
        k = replicate % len(isolates)
        begun = 1 + rng.poisson(hazards.arrivals.means[k, 0] - 1.0)
        stays = np.searchsorted(isolates.host_cdf[k], rng.random(begun))
        leaving = list(np.maximum((stays * rng.random(begun)).astype(int), 1))
        hatching: list[int] = []
        swim_until, now = -1, 0
        while leaving or hatching:
            now = min(leaving + hatching)
            if now >= steps:
                break
            hatched, left = hatching.count(now), leaving.count(now)
            hatching = [step for step in hatching if step != now]
            leaving = [step for step in leaving if step != now]
            if hatched:
                swim_until = now + int(isolates.alive_steps[k])
                mean = hazards.settling[k, now] * isolates.clumping[k]
                settle = rng.poisson(rng.gamma(hatched / isolates.clumping[k]) * mean)
                settle = min(settle, max(int(hazards.cap[now]) - len(leaving), 0))
                leaving += list(now + np.maximum(np.searchsorted(isolates.host_cdf[k], rng.random(settle)), 1))
            if left:
                waits = np.searchsorted(isolates.off_cdf[k], rng.random(rng.binomial(left, isolates.viable[k])))
                hatching += list(now + np.maximum(waits[waits < isolates.off_cdf.shape[1]], 1))
        clear += not leaving and not hatching and swim_until < steps - 1
    return clear / replicates


def followed() -> Duel:
    """10,000 replicates of a passage of 76 days, beside the generating functions of the same 200 isolates."""
    days, belief = _passage(), _belief()
    hazards = hazards_of(days, belief)
    ends = np.arange(0, days.steps, 4, dtype=np.int64)

    def ours() -> object:
        return p_clear(days, belief, replicates=REPLICATES, seed=2)

    def apart() -> str:
        drawn = p_clear(days, belief, replicates=REPLICATES, seed=2)
        exact = by_generating(hazards, belief.isolates, ends).mean(axis=0)
        return f"largest difference of a day's chance {np.max(np.abs(drawn.probability - exact)):.4f}"

    return Duel(
        what=f"a batch with white spot over {DAYS:g} days, {REPLICATES:,} replicates",
        peer="the same chances by generating functions, 200 isolates, every day",
        bar="at most 2,000 ms; no bar for the ratio",
        ours=ours,
        theirs=lambda: by_generating(hazards, belief.isolates, ends),
        rounds=3,
        apart=apart,
    )


def beside_event_loop() -> Duel:
    """Fewer replicates, beside a plain event loop."""
    days, belief = _passage(), _belief()

    def apart() -> str:
        loop = _event_loop(days, belief, FEW)
        ours = 1.0 - (1.0 - p_clear(days, belief, replicates=REPLICATES).probability[-1]) / belief.carried_in
        return f"clear at the end {ours:.3f}, by the loop {loop:.3f} ± {2.0 * (ours * (1.0 - ours) / FEW) ** 0.5:.3f}"

    return Duel(
        what=f"the same with {FEW} replicates",
        peer="a plain event loop of NumPy",
        bar="at least 30 times as fast",
        ours=lambda: p_clear(days, belief, replicates=FEW),
        theirs=lambda: _event_loop(days, belief, FEW),
        rounds=3,
        apart=apart,
    )


DUELS = (followed, beside_event_loop)
