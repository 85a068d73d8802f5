"""Protocols laid out over days. Stages: Colorni 1985 and the fluke papers; lengths: common practice, no source."""

from dataclasses import replace

import numpy as np
import pytest

from pratique.knowledge import CopperForm, copper_band, protocol, protocols
from pratique.science.chemistry.domain import DomainError
from pratique.science.passage.legs import (
    copper_level,
    lay_out,
    longer_recovery,
    salinity_level,
    without_recovery,
)

_WARM_C = 26.0


@pytest.mark.parametrize(
    "name",
    [
        "copper-30",
        "copper-30-chelated",
        "copper-30-amine",
        "copper-14-recover",
        "tank-transfer",
        "lowered-salinity",
        "observation",
    ],
)
def test_every_shipped_protocol_has_a_short_name_a_fluke_course_and_a_recovery(name):
    """Two doses against flukes in every pattern, and a recovery: common practice, no source."""
    plan = lay_out(protocol(name), _WARM_C)
    assert len(plan.baths_against("flukes")) == 2
    assert plan.leg("recover") is not None
    assert {one.short_name for one in protocols()} >= {name}


def test_tank_transfer_takes_four_moves_three_days_apart():
    """Trophont 7 days at most, first hatching after 3: ceil(7/3) + 1 = 4, last tank left on day 12 (Colorni 1985)."""
    plan = lay_out(protocol("tank-transfer"), _WARM_C)
    treat = plan.leg("treat")
    assert treat is not None
    assert [day - treat.starts for day in treat.moves] == [0.0, 3.0, 6.0, 9.0]
    assert treat.ends - treat.starts == 12.0
    assert plan.transfers == 4


def test_a_transfer_every_two_days_takes_more_moves():
    """ceil(7/2) + 1 = 5: the days on the fish must still be outlasted."""
    shipped = protocol("tank-transfer")
    treat = shipped.legs[1]
    faster = replace(treat, moves=(replace(treat.moves[0], every_hours=48.0),))
    plan = lay_out(replace(shipped, legs=(faster,)), _WARM_C)
    assert plan.moves == (0.0, 2.0, 4.0, 6.0, 8.0)


@pytest.mark.parametrize("name", ["copper-30", "tank-transfer", "observation"])
def test_the_second_fluke_dose_falls_between_the_last_hatching_and_the_first_laying(name):
    """At 25 °C not before day 8, before day 15 (worked from Bondad-Reantaso et al. 1995; the 8 carries a guess)."""
    first, second = lay_out(protocol(name), 25.0).baths_against("flukes")
    assert 8.0 <= second - first < 15.0


def test_copper_climbs_is_held_in_its_band_and_is_gone():
    """30 days at target inside 0.15 to 0.20 mg/L ionic copper (Yanong, recalled), none before and none after."""
    plan = lay_out(protocol("copper-30"), _WARM_C)
    (copper,) = [one for one in plan.courses if one.course.agent == "copper"]
    days = np.arange(0.0, plan.days_total, 0.25)
    level = copper_level(plan, days)
    band = copper_band(CopperForm.IONIC)
    held = (level >= band.target_lower) & (level <= band.target_upper)
    assert held.sum() * 0.25 == pytest.approx(30.0)
    assert level.max() < band.hard_upper
    assert not level[days < copper.starts].any()
    assert not level[days >= copper.ends].any()


@pytest.mark.parametrize(("name", "form"), [("copper-30-chelated", "chelated"), ("copper-30-amine", "amine")])
def test_each_form_is_held_in_its_own_band(name, form):
    """The three forms never share a band."""
    plan = lay_out(protocol(name), _WARM_C)
    band = copper_band(CopperForm(form))
    top = copper_level(plan, np.arange(0.0, plan.days_total)).max()
    assert band.target_lower <= top <= band.target_upper


def test_salinity_goes_down_is_held_and_comes_up_slowly():
    """14 PSU for 30 days; up by 2 to 3 PSU a day at most: common practice, no source."""
    plan = lay_out(protocol("lowered-salinity"), _WARM_C)
    psu = salinity_level(plan, np.arange(0.0, plan.days_total), usual_psu=35.0)
    assert (psu == 14.0).sum() == 31
    assert np.diff(psu).max() <= 3.0
    assert psu[-1] == 35.0
    assert not any(one.course.agent == "low_salinity" and one.course.substance for one in plan.courses)


def test_medicated_days_count_a_day_once():
    """Praziquantel inside the copper course adds no day; alone it is there 8 days, then 2 (Thomas et al. 2016)."""
    assert lay_out(protocol("copper-30"), _WARM_C).days_medicated == 33.0
    assert lay_out(protocol("observation"), _WARM_C).days_medicated == 10.0


def test_recovery_is_dropped_only_with_a_reason():
    """The reason is carried by the protocol."""
    with pytest.raises(DomainError, match="why the recovery is left out"):
        without_recovery(protocol("copper-30"), "because")
    shorter = without_recovery(protocol("copper-30"), "The display is empty and serves as the clean tank.")
    assert lay_out(shorter, _WARM_C).leg("recover") is None
    assert shorter.recovery_dropped.startswith("The display is empty")


def test_a_week_of_recovery_more_is_a_week_more_in_all():
    """What if a week of recovery were added."""
    plain = protocol("copper-14-recover")
    longer = longer_recovery(plain, 7.0)
    assert lay_out(longer, _WARM_C).days_total == lay_out(plain, _WARM_C).days_total + 7.0
    with pytest.raises(DomainError, match="no recovery"):
        longer_recovery(without_recovery(plain, "The display is empty and clean."), 7.0)
