"""The reckoning against its peers, and against itself as a case grows.

Runs alone as `python -m benchmarks.reckoning`, and at the end of `make bench`.
"""

from collections.abc import Callable

import numpy as np
from statsmodels.tsa.statespace.mlemodel import MLEModel

from benchmarks.duels import Duel, run_all
from pratique.science.estimation.case import Case, Change, Dose, Event, Initial, Loss, Reading, Source, Volume
from pratique.science.estimation.posterior import reckon
from pratique.science.estimation.reading import Method, Observed
from pratique.science.estimation.running import append, running_from
from pratique.science.estimation.two_state import smooth_two_state

STOPS = 10_000
METHODS = {
    "photometer": Method(resolution=0.01, absolute_sd=0.02, relative_sd=0.05, lower_limit=0.0, upper_limit=5.0),
    "chart": Method(resolution=0.0, absolute_sd=0.0, relative_sd=0.0, marks=(0.0, 0.1, 0.2, 0.3, 0.5, 0.8, 1.0)),
}


def _irregular() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Return steps at irregular gaps, a reading at every stop, and what is known before."""
    chance = np.random.default_rng(31)
    days, loss, walk = chance.gamma(2.0, 0.5, STOPS), 0.05, 0.1
    kept = np.exp(-loss * days)
    weight = (1.0 - kept) / loss
    own = (days - 2.0 * weight + (1.0 - kept * kept) / (2.0 * loss)) / loss**2
    nothing = np.zeros(STOPS)
    steps = np.column_stack(
        [
            kept,
            weight,
            nothing,
            nothing,
            walk**2 * own,
            walk**2 * (days - weight) / loss,
            walk**2 * days,
            nothing + 1.0,
            nothing,
        ]
    )
    sites = np.column_stack([chance.normal(0.0, 3.0, STOPS), np.full(STOPS, 0.5)])
    return steps, sites, np.array([0.0, 0.0, 1.0, 0.0, 1.0])


def _statsmodels(steps: np.ndarray, sites: np.ndarray) -> MLEModel:
    """Return the same series for statsmodels, which starts at the first reading."""
    first = np.array([[steps[0, 0], steps[0, 1]], [0.0, 1.0]])
    noise = np.array([[steps[:, 4], steps[:, 5]], [steps[:, 5], steps[:, 6]]])
    model = MLEModel(
        sites[:, 0],
        k_states=2,
        k_posdef=2,
        initialization="known",
        initial_state=np.zeros(2),
        initial_state_cov=first @ first.T + noise[:, :, 0],
    )
    transition = np.zeros((2, 2, STOPS))
    transition[0, 0], transition[0, 1], transition[1, 1] = steps[:, 0], steps[:, 1], 1.0
    model["design"], model["obs_cov"], model["selection"] = np.array([[1.0, 0.0]]), np.array([[0.5]]), np.eye(2)
    model["transition"], model["state_cov"] = np.roll(transition, -1, axis=2), np.roll(noise, -1, axis=2)
    return model


def smoother() -> Duel:
    """Filter and smoother of two states over ten thousand irregular stops."""
    steps, sites, prior = _irregular()
    means, covariances, gains = np.empty((STOPS, 2)), np.empty((STOPS, 3)), np.empty((STOPS, 2))
    peer = _statsmodels(steps, sites)

    def ours() -> object:
        return smooth_two_state(steps, sites, prior, means, covariances, gains)

    def apart() -> str:
        total, smoothed = ours(), peer.ssm.smooth()
        off = float(np.max(np.abs(smoothed.smoothed_state.T - means)))
        return f"log-likelihood {total - smoothed.llf:+.1e}, largest difference of a smoothed mean {off:.1e}"

    return Duel(
        what=f"two-state filter and smoother at {STOPS:,} irregular stops",
        peer="statsmodels' default smoother, the same series",
        bar="at least 80 times as fast",
        ours=ours,
        theirs=peer.ssm.smooth,
        rounds=15,
        calls=20,
        apart=apart,
    )


def smoother_beside_memory() -> Duel:
    """The same beside the bare traffic of its inputs and outputs: what no program could beat."""
    steps, sites, prior = _irregular()
    means, covariances, gains = np.empty((STOPS, 2)), np.empty((STOPS, 3)), np.empty((STOPS, 2))
    arrays = (steps, sites, means, covariances, gains)
    copies = [np.empty_like(one) for one in arrays]

    def theirs() -> None:
        for copy, one in zip(copies, arrays, strict=True):
            np.copyto(copy, one)

    return Duel(
        what=f"two-state filter and smoother at {STOPS:,} irregular stops",
        peer="copying its inputs and outputs once",
        bar="no bar: how far from the limit of memory",
        ours=lambda: smooth_two_state(steps, sites, prior, means, covariances, gains),
        theirs=theirs,
        rounds=15,
        calls=20,
        their_calls=200,
    )


def course(*, days: int = 32, readings: int = 80) -> Case:
    """Return a course of copper with a dose a day, a change a week, and rounded or chart readings. Invented."""
    chance = np.random.default_rng(5)
    events: list[Event] = [Dose(0.04, 12.0, 0.03), *(Dose(day + 0.4, 0.8, 0.03) for day in range(1, days))]
    events += [Change(day + 0.4, 20.0) for day in range(8, days, 8)]
    moments = np.sort(chance.uniform(0.1, days - 0.1, readings))
    taken = []
    for number, day in enumerate(moments):
        if number % 2:
            seen = Observed(value=round(0.16 + 0.02 * float(chance.normal()), 2))
            taken.append(Reading(float(day), "photometer", seen))
        else:
            taken.append(Reading(float(day), "chart", Observed(low=0.1, high=0.2)))
    return Case(
        constituent="copper",
        unit="mg/L",
        span_days=float(days),
        initial=Initial(0.0, 0.01),
        volume=Volume(80.0, 8.0),
        loss=Loss(0.04, 0.8),
        source=Source(0.0, 0.005, 0.002),
        methods=METHODS,
        events=tuple(sorted(events, key=lambda event: event.day)),
        readings=tuple(taken),
    )


def _growth(what: str, bar: str, large: Case, small: Case) -> Duel:
    """The larger case as ours, the smaller as its peer: the ratio says how the cost grows."""
    return Duel(
        what=what, peer="the smaller one", bar=bar, ours=lambda: reckon(large), theirs=lambda: reckon(small), rounds=5
    )


def one_course() -> Duel:
    """The whole reckoning of a 32-day course beside one that is half as long with half the readings."""
    return _growth(
        "a 32-day course: 80 readings, hourly grid, 289 nodes, 4,000 trajectories, beside 16 days and 40 readings",
        "at most 400 ms; not under 0.5 times as fast",
        course(),
        course(days=16, readings=40),
    )


def more_readings() -> Duel:
    """Four times the readings over the same days."""
    return _growth(
        "32 days with 320 readings, beside 80", "not under 0.25 times as fast", course(readings=320), course()
    )


def append_one() -> Duel:
    """One reading more on a year of daily readings, beside reckoning where that year has led."""
    year = course(days=365, readings=365)
    running = running_from(year)
    reading = Reading(366.0, "photometer", Observed(value=0.16))
    return Duel(
        what="one reading more on a year of 365 readings",
        peer="the year anew",
        bar="at most 20 ms",
        ours=lambda: append(running, day=366.0, readings=(reading,)),
        theirs=lambda: running_from(year),
        rounds=5,
        calls=5,
    )


DUELS: tuple[Callable[[], Duel], ...] = (smoother, smoother_beside_memory, one_course, more_readings, append_one)

if __name__ == "__main__":
    run_all(DUELS)
