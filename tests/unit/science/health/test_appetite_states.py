"""Hidden states of appetite, held against a general library, against all paths, and on simulated animals."""

import itertools

import numpy as np
import pytest
from hmmlearn.hmm import CategoricalHMM

from pratique.knowledge.appetite import appetite_figure
from pratique.science.health.appetite_alarm import (
    NEVER,
    chance_refusing,
    first_day,
    is_alarming,
    missed_in_row,
    simulated,
)
from pratique.science.health.appetite_states import (
    EATING,
    REFUSING,
    AppetiteModel,
    DayFed,
    appetite_states,
    seen_chances,
)

STOPS_ON = 10
# How often a feed shows each kind of symbol to the library: the usual food, another, not seen.
KINDS = (0.65, 0.20, 0.15)


def symbols(feeds: list[DayFed]) -> list[int]:
    """Return one symbol a day: 0–4 the usual food, 5–9 another, 10 not seen."""
    return [10 if one.step is None else one.step + 5 * one.is_other_food for one in feeds]


def library(model: AppetiteModel) -> CategoricalHMM:
    """Return the library's model with the same parameters; a feed not seen is a symbol alike in every state."""
    theirs = CategoricalHMM(n_components=3, n_features=11)
    theirs.startprob_, theirs.transmat_ = model.start, model.change
    theirs.emissionprob_ = np.hstack(
        [KINDS[0] * model.steps, KINDS[1] * model.steps_of_other_food, np.full((3, 1), KINDS[2])]
    )
    return theirs


def drawn(days: int, seed: int) -> list[DayFed]:
    """Return one feed a day at random, some of another food, some not seen."""
    random = np.random.default_rng(seed)
    return [
        DayFed(day, None if random.random() < 0.2 else int(random.integers(5)), bool(random.random() < 0.3))
        for day in range(days)
    ]


@pytest.mark.parametrize("seed", range(6))
def test_the_states_equal_those_of_a_general_library(seed: int) -> None:
    """Filtered, smoothed and the likelihood equal hmmlearn's on the same parameters to 1e-8."""
    model, feeds = AppetiteModel.shipped(), drawn(40, seed)
    ours = appetite_states(feeds, days=40)
    seen = np.array(symbols(feeds))[:, None]
    log_likelihood, smoothed = library(model).score_samples(seen)
    constant = sum(np.log(KINDS[min(one // 5, 2)]) for one in seen[:, 0])
    assert ours.smoothed == pytest.approx(smoothed, abs=1e-8)
    assert ours.log_likelihood == pytest.approx(log_likelihood - constant, abs=1e-8)
    for day in (0, 7, 23, 39):
        assert ours.filtered[day] == pytest.approx(library(model).predict_proba(seen[: day + 1])[-1], abs=1e-8)


def test_the_day_of_change_equals_the_sum_over_all_paths() -> None:
    """Every path of six days is written out; the chance that the spell began on a day is the share of its paths."""
    model, feeds = AppetiteModel.shipped(), [DayFed(0, 4), DayFed(1, 3), DayFed(2, 1), DayFed(4, 0), DayFed(5, 1, True)]
    seen = seen_chances(feeds, days=6, model=model)
    began, total = np.zeros(6), 0.0
    for path in itertools.product(range(3), repeat=6):
        chance = model.start[path[0]] * seen[0, path[0]]
        for day in range(1, 6):
            chance *= model.change[path[day - 1], path[day]] * seen[day, path[day]]
        total += chance
        if path[-1] != EATING:
            began[max((day + 1 for day in range(6) if path[day] == EATING), default=0)] += chance
    ours = appetite_states(feeds, days=6)
    assert ours.began == pytest.approx(began / total, abs=1e-12)
    assert ours.began.sum() == pytest.approx(1.0 - ours.now["eating"], abs=1e-12)


def test_an_animal_that_stops_is_found_with_its_day_and_its_last_meal() -> None:
    """Eager for ten days, then nothing for four: refusing, since day ten, last certain meal on day nine."""
    feeds = [DayFed(day, 4 if day < STOPS_ON else 0) for day in range(14)]
    found = appetite_states(feeds, days=14)
    assert found.now["refusing"] > 0.95
    assert int(found.began.argmax()) == STOPS_ON
    assert found.last_certain_meal == STOPS_ON - 1
    assert is_alarming(found)


def test_another_food_passed_over_says_less() -> None:
    """The same refused meal weighs less where it was another food, and nothing where it was not seen."""
    good = [DayFed(day, 4) for day in range(6)]
    usual = appetite_states([*good, DayFed(6, 0)], days=7).now["refusing"]
    other = appetite_states([*good, DayFed(6, 0, True)], days=7).now["refusing"]
    unseen = appetite_states([*good, DayFed(6, None)], days=7)
    assert usual > other > unseen.now["refusing"]
    assert unseen.filtered[-1] == pytest.approx(unseen.filtered[-2] @ AppetiteModel.shipped().change)


def test_a_feed_outside_the_days_or_the_scale_is_refused() -> None:
    """A day or a step that cannot be is named."""
    with pytest.raises(ValueError, match="outside"):
        appetite_states([DayFed(3, 4)], days=3)
    with pytest.raises(ValueError, match="step from 0 to 4"):
        appetite_states([DayFed(0, 5)], days=3)
    with pytest.raises(ValueError, match="at least one day"):
        appetite_states([], days=0)


def test_every_row_of_chances_adds_up_to_one() -> None:
    """The shipped chances are chances."""
    model = AppetiteModel.shipped()
    for rows in (model.start[None], model.change, model.steps, model.steps_of_other_food):
        assert rows.sum(axis=1) == pytest.approx(np.ones(len(rows)))


def delays(is_over: np.ndarray) -> np.ndarray:
    """Return the days from the first refused meal to the alarm, of animals not alarmed over before."""
    first = first_day(is_over, after=STOPS_ON)
    return first[(first != NEVER) & ~is_over[:, :STOPS_ON].any(axis=1)] - STOPS_ON


@pytest.mark.parametrize(
    ("animals", "seed"), [(1_000, 20261126), pytest.param(100_000, 20261127, marks=pytest.mark.prove)]
)
def test_the_alarm_keeps_its_stated_rate_and_is_sooner_than_three_missed_meals(animals: int, seed: int) -> None:
    """Animals that do not stop and as many that do, at equal false alarms; the seeds were fixed beforehand."""
    model = AppetiteModel.shipped()
    well = simulated(model, animals=animals, days=30, seed=seed)
    ill = simulated(model, animals=animals, days=30, seed=seed + 1, stops_on=STOPS_ON)
    highest, stopped = chance_refusing(well, model).max(axis=1), chance_refusing(ill, model)
    stated, level = appetite_figure("false_alarms").values[0], appetite_figure("alarm").values[0]
    error = 3.0 * np.sqrt(stated * (1.0 - stated) / animals) + 0.003
    assert float((highest >= level).mean()) == pytest.approx(stated, abs=error)
    assert np.median(delays(stopped >= level)) <= 1.5
    missed = missed_in_row(well).max(axis=1) >= 3
    equal = float(np.quantile(highest, 1.0 - missed.mean()))
    ours, theirs = delays(stopped >= equal), delays(missed_in_row(ill) >= 3)
    # A feed a day makes medians whole days, so the means decide: sooner by more than three standard errors.
    sooner = 3.0 * np.hypot(ours.std() / np.sqrt(len(ours)), theirs.std() / np.sqrt(len(theirs)))
    assert np.median(ours) <= np.median(theirs)
    assert ours.mean() < theirs.mean() - sooner


def test_an_animal_kept_simulated_well_never_refuses() -> None:
    """The comparison's animals that do not stop only eat or hesitate: most of their meals are good."""
    fed = simulated(AppetiteModel.shipped(), animals=500, days=30, seed=3)
    seen = fed.steps[fed.steps >= 0]
    assert (seen >= 3).mean() > 0.7
    assert REFUSING == 2
