"""Passages compared: what must get better or worse when one thing is changed, whatever the figures are."""

from dataclasses import replace

import numpy as np
import pytest

from pratique import knowledge
from pratique.knowledge import Protocol
from pratique.science.chemistry.domain import DomainError
from pratique.science.health.fasting import fasting_loss_per_day, resting_oxygen_clarke1999
from pratique.science.passage.compare import Batch, Beliefs, all_looked, beliefs_of, compared, released
from pratique.science.passage.compare_clear import after_looks, clear_by_day
from pratique.science.passage.compare_days import (
    cleared_on,
    copper_paths,
    covered,
    days_medicated,
    days_of,
    handled_on,
    looks_of,
)
from pratique.science.passage.compare_fitness import Borne, fitness_of
from pratique.science.passage.legs import Plan, lay_out, longer_recovery, without_recovery

TEMPERATURE_C = 26.0
TANG = Borne(fasting_loss_per_day(20.0, TEMPERATURE_C), "medium")
ANGELFISH = replace(TANG, copper_caution="high")
BATCH = Batch(2, TEMPERATURE_C, {"tang": TANG})
NAMES = ("copper-30", "copper-14-recover", "tank-transfer", "lowered-salinity", "observation")


def plan(name: str) -> Plan:
    """A shipped protocol on its days."""
    return lay_out(knowledge.protocol(name), TEMPERATURE_C)


def moved_every(hours: float) -> Plan:
    """Tank transfer with its moves so many hours apart, by hand: planning itself lets none be late."""
    found = plan("tank-transfer")
    leg = found.leg("treat")
    assert leg is not None
    late = replace(leg, moves=tuple(leg.starts + n * hours / 24.0 for n in range(len(leg.moves))))
    return replace(found, legs=tuple(late if one is leg else one for one in found.legs))


def without_copper(protocol: Protocol) -> Protocol:
    """The same legs and days without their copper."""
    legs = tuple(
        replace(leg, courses=tuple(one for one in leg.courses if one.agent != "copper")) for leg in protocol.legs
    )
    return replace(protocol, legs=legs)


@pytest.fixture(scope="module")
def beliefs() -> Beliefs:
    """White spot alone, in a batch of two."""
    return beliefs_of(("white_spot",), BATCH)


def clear(found: Plan, beliefs: Beliefs) -> float:
    """The chance of being clear at clearance."""
    return clear_by_day(found, beliefs.by_day, animals=2, seed=0)[0].at_end[0]


@pytest.mark.parametrize("name", NAMES)
def test_every_shipped_passage_is_reckoned_until_clearance(name, beliefs):
    """Chances lie between 0 and 1, never fall, and end on the day of clearance; ranges hold the middle."""
    found = compared(plan(name), beliefs, BATCH)
    chance = found.clear.probability
    assert found.clear.days[-1] == cleared_on(found.plan)
    assert np.all((chance >= 0.0) & (chance <= 1.0))
    assert np.all(np.diff(chance) >= -1e-9)
    assert np.all((found.clear.low <= chance) & (chance <= found.clear.high))


def test_moving_every_72_hours_is_clearer_than_every_96(beliefs):
    """Nothing hatches before day 3 (Colorni 1985), so a move a day later lets some settle again."""
    assert clear(moved_every(72.0), beliefs) > clear(moved_every(96.0), beliefs) + 0.005


def test_copper_is_clearer_than_the_same_days_without_it(beliefs):
    """Only the copper differs."""
    protocol = knowledge.protocol("copper-30")
    assert clear(plan("copper-30"), beliefs) > clear(lay_out(without_copper(protocol), TEMPERATURE_C), beliefs)


def test_a_clean_tank_after_copper_is_clearer_than_staying_in_the_old_one(beliefs):
    """What waits on the bottom is left behind."""
    protocol = knowledge.protocol("copper-14-recover")
    stays = replace(protocol, legs=tuple(replace(leg, is_clean_move=False) for leg in protocol.legs))
    assert clear(plan("copper-14-recover"), beliefs) >= clear(lay_out(stays, TEMPERATURE_C), beliefs) - 1e-6


def test_more_animals_are_less_likely_to_be_clear(beliefs):
    """Each may bring it."""
    few = clear(plan("observation"), beliefs)
    many = Batch(6, TEMPERATURE_C, BATCH.kinds)
    found = clear_by_day(plan("observation"), beliefs_of(("white_spot",), many).by_day, animals=6, seed=0)[0]
    assert found.at_end[0] < few


def test_a_second_parasite_can_only_make_it_less_likely_to_be_clear(beliefs):
    """Clear of both is clear of one and of the other, independently."""
    both = beliefs_of(("white_spot", "velvet"), BATCH)
    joined, each = clear_by_day(plan("copper-30"), both.by_day, animals=2, seed=0)
    assert joined.at_end[0] == pytest.approx(each["white_spot"].at_end[0] * each["velvet"].at_end[0])
    assert joined.at_end[0] < min(one.at_end[0] for one in each.values())


@pytest.mark.parametrize("name", NAMES)
def test_a_batch_without_parasites_is_clear_whatever_is_done(name, beliefs):
    """Treatment never makes a parasite-free batch worse in the disease number."""
    free = {key: replace(one, carried_in=0.0) for key, one in beliefs.by_day.items()}
    assert np.all(clear_by_day(plan(name), free, animals=2, seed=0)[0].probability == 1.0)


def test_a_bath_against_flukes_does_nothing_to_velvet():
    """What loosens flukes is told of flukes: the shipped baths are against them alone."""
    found = plan("tank-transfer")
    velvet = beliefs_of(("velvet",), BATCH).by_day
    bare = replace(
        found,
        legs=tuple(
            replace(leg, courses=tuple(one for one in leg.courses if one.course.agent != "bath")) for leg in found.legs
        ),
    )
    assert found.baths_against("flukes")
    assert clear_by_day(found, velvet, animals=2, seed=0)[0].at_end == (
        clear_by_day(bare, velvet, animals=2, seed=0)[0].at_end
    )


def test_a_batch_without_parasites_is_worse_for_treatment_in_the_fitness_number():
    """The same days without copper leave it heavier and fitter."""
    treated = fitness_of(plan("copper-30"), ANGELFISH)
    spared = fitness_of(lay_out(without_copper(knowledge.protocol("copper-30")), TEMPERATURE_C), ANGELFISH)
    assert treated.weight_then[0] < spared.weight_then[0] - 0.02
    assert treated.fit < spared.fit


def test_a_kind_that_takes_copper_badly_comes_out_worse():
    """Cautions high, medium and low in order."""
    weights = [
        fitness_of(plan("copper-30"), replace(TANG, copper_caution=caution)).weight_then[0]
        for caution in ("high", "medium", "low")
    ]
    assert weights == sorted(weights)
    assert weights[0] < weights[-1]


def test_a_week_more_of_recovery_leaves_it_fitter():
    """It goes on eating in clean water."""
    longer = lay_out(longer_recovery(knowledge.protocol("copper-30"), 7.0), TEMPERATURE_C)
    assert fitness_of(longer, TANG).fit > fitness_of(plan("copper-30"), TANG).fit
    assert fitness_of(longer, TANG).weight_then[0] > fitness_of(plan("copper-30"), TANG).weight_then[0]


def test_without_recovery_nobody_is_fit_straight_out_of_medicine(beliefs):
    """Days without medicine and of eating are asked of an animal that counts as fit."""
    protocol = without_recovery(knowledge.protocol("copper-30"), "for the comparison only")
    early = released(lay_out(protocol, TEMPERATURE_C), beliefs, BATCH)
    assert early.day == 35.0
    assert early.p_fit["tang"] == 0.0


def test_clean_looks_make_it_surer_and_poor_eyes_less_so(beliefs):
    """A look that finds nothing says more where looks find more."""
    found = after_looks(plan("copper-14-recover"), "white_spot", beliefs.by_day["white_spot"], animals=2, seed=0)
    assert found.probability > clear(plan("copper-14-recover"), beliefs)
    assert found.by_keen_eyes > found.by_poor_eyes
    assert 0.0 < found.p_no_sign < 1.0
    assert all_looked({"one": found, "other": found}).probability == pytest.approx(found.probability**2)


def test_lost_weight_is_regained_as_a_rockfish_does():
    """A loss of five days or fewer is made good within 35 of feeding: black rockfish (Fisheries Science 2008)."""
    found = fitness_of(plan("observation"), TANG)
    lowest = int(np.argmin(found.weight))
    assert lowest <= 4
    assert np.any(found.weight[lowest + 1 : lowest + 36] >= found.weight[0])


def test_the_days_of_a_transfer_are_those_of_its_plan():
    """Four moves (Colorni 1985), a bath left behind with its water, looks on the last 14 days."""
    found = plan("tank-transfer")
    days = days_of(found, "white_spot", animals=1, paths=3, seed=0)
    assert days.moves == (1.0, 4.0, 7.0, 10.0, 27.0)
    assert handled_on(found) == (1.0, 4.0, 7.0, 10.0, 13.0)
    assert looks_of(found) == tuple(float(day) for day in range(13, 27))
    assert days.copper_part is None
    assert days_medicated(found) < 10.0


def test_medicine_that_overlaps_is_counted_once():
    """Days 0 to 5 and 3 to 8 are eight days."""
    assert covered([(3.0, 8.0), (0.0, 5.0)]) == 8.0
    assert days_medicated(plan("copper-30")) == 33.0


def test_copper_paths_lie_about_the_middle_of_the_band():
    """0.175 over 0.15 mg/L for the ionic form, none before the first dose nor after the last day."""
    at = np.arange(0.0, 49.0, 0.25)
    found = copper_paths(plan("copper-30"), at, paths=400, seed=1)
    held = (at > 6.0) & (at < 34.0)
    assert np.median(found[:, held]) == pytest.approx(0.175 / 0.15, rel=0.02)
    assert np.all(found[:, (at < 2.0) | (at >= 35.0)] == 0.0)


@pytest.mark.parametrize(
    ("weight_g", "loss_percent"), [(1, 2.72), (3, 2.18), (5, 1.97), (10, 1.71), (20, 1.49), (50, 1.24)]
)
def test_fasting_loss_follows_the_resting_rate(weight_g, loss_percent):
    """Percent a day at 25 °C, by plain arithmetic from Clarke & Johnston 1999 and Lupatsch et al. 2013."""
    assert 100.0 * fasting_loss_per_day(weight_g, 25.0) == pytest.approx(loss_percent, abs=0.01)


def test_the_resting_rate_reproduces_the_published_ratio():
    """A fish of 50 g uses 10.263 mg of oxygen an hour at 25 °C; between 0 and 30 °C six times more (their abstract)."""
    assert resting_oxygen_clarke1999(50.0, 25.0) == pytest.approx(10.263, abs=0.002)
    assert resting_oxygen_clarke1999(50.0, 30.0) / resting_oxygen_clarke1999(50.0, 0.0) == pytest.approx(6.16, abs=0.01)


def test_what_cannot_be_compared_says_so():
    """No parasite named, and a loss that is no part of the weight."""
    with pytest.raises(DomainError, match="at least one parasite"):
        beliefs_of((), BATCH)
    with pytest.raises(DomainError, match="part of the weight"):
        fitness_of(plan("observation"), Borne(1.5, "low"))
