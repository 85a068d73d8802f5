"""A tank without fish: held to the worked example, to a simulation of our own, and to what must be so."""

import numpy as np
import pytest

from pratique.science.chemistry.domain import DomainError
from pratique.science.health.parasites.hazard import STEPS_PER_DAY
from pratique.science.health.parasites.isolates import belief_of
from pratique.science.passage.fallow import Fallow, fallow, living


def waited(parasite: str = "white_spot", *, temperature_c: float = 26.0, on_the_fish: float = 1_000.0) -> Fallow:
    """Return the chances over 120 days of a tank that held so many parasites."""
    return fallow(parasite, temperature_c=temperature_c, on_the_fish=on_the_fish, days=120, rows=80)


def test_the_longest_wait_is_the_worked_example():
    """72 days for the slowest cyst ever told of (Colorni & Burgess 1997, recalled) and 2 of swimming: 74 days."""
    found = waited(on_the_fish=1e6)
    assert found.longest_days == pytest.approx(74.0)
    assert found.day_reached(1.0 - 1e-9) == pytest.approx(74.0, abs=1.0)


def test_the_usual_custom_lies_between_the_chance_and_the_longest_wait():
    """42 days accept a small risk, 76 are cautious (common practice, no source): so do 42 and 76 here."""
    found = waited(on_the_fish=10_000.0)
    assert 0.8 < found.probability[42] < 0.99
    assert found.probability[76] > 0.999


def test_it_never_falls_and_fewer_parasites_are_gone_sooner():
    """Whatever the day; and the interval lies about the mean."""
    many, few = waited(on_the_fish=10_000.0), waited(on_the_fish=10.0)
    for found in (many, few):
        assert np.all(np.diff(found.probability) >= -1e-12)
        assert np.all(found.low <= found.high)
    assert np.all(few.probability >= many.probability - 1e-12)
    assert few.day_reached(0.95) < many.day_reached(0.95)


@pytest.mark.parametrize("parasite", ["white_spot", "velvet", "flukes"])
def test_warmth_shortens_it(parasite):
    """From 22 to 28 °C, within what is known of each."""
    days = [waited(parasite, temperature_c=one).day_reached(0.95) for one in (22.0, 25.0, 28.0)]
    assert days[0] >= days[1] >= days[2]
    assert days[0] > days[2]


def test_what_lives_is_what_a_simulation_of_the_same_tank_finds():
    """Cysts begun one by one over 200 days, each with its own wait and swim: their mean number, within its error."""
    isolates = belief_of("white_spot", temperature_c=26.0, rows=1, seed=3).isolates
    random = np.random.default_rng(20261126)
    on_the_fish, runs, before = 40.0, 300, 200 * STEPS_PER_DAY
    per_step = on_the_fish / (1.0 - isolates.host_cdf[0]).sum()
    expected = living(isolates, on_the_fish, 20)[0]
    counts = np.zeros((runs, 21))
    for run in range(runs):
        begun = np.repeat(np.arange(-before, 0), random.poisson(per_step, before))
        begun = begun[random.random(len(begun)) < isolates.viable[0]]
        wait = np.searchsorted(isolates.off_cdf[0], random.random(len(begun)), side="left")
        ends = begun + 1 + wait + int(isolates.alive_steps[0])
        ends = ends[wait < isolates.off_cdf.shape[1]]
        counts[run] = [(ends > day * STEPS_PER_DAY).sum() for day in range(21)]
    error = counts.std(axis=0) / np.sqrt(runs)
    assert np.all(np.abs(counts.mean(axis=0) - expected) <= 4.5 * error + 0.02)


@pytest.mark.parametrize(("parasite", "cold"), [("white_spot", 12.0), ("velvet", 15.0), ("flukes", 8.0)])
def test_what_sleeps_in_the_cold_is_never_told_as_gone(parasite, cold):
    """White spot lived for months at 12 °C (Dan et al. 2009, recalled), velvet 12 weeks at 15 °C (Bower & Turner)."""
    with pytest.raises(DomainError, match="sleep for months"):
        waited(parasite, temperature_c=cold)
    with pytest.raises(DomainError, match="sleep for months"):
        belief_of(parasite, temperature_c=cold)


def test_heat_in_which_nothing_hatches_is_not_taken_for_an_end():
    """None hatches at 37 °C (Cheung, Nigrelli & Ruggieri 1979); that those waiting are dead was not seen."""
    with pytest.raises(DomainError, match="nothing hatches"):
        waited(temperature_c=37.5)
    with pytest.raises(DomainError, match="nothing hatches"):
        belief_of("white_spot", temperature_c=37.0)
    with pytest.raises(DomainError, match="at least one day"):
        fallow("white_spot", temperature_c=26.0, on_the_fish=0.0, days=10)
