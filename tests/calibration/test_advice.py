"""Following the advice keeps true tanks inside the band, and better than dosing by the last reading alone does.

The seeds were fixed before these tanks were kept, and none is left out; the advice was set up on seeds 500 to 599. The
bar is the hours from the lower target to the hard upper limit after day 5, over all tanks: 95 %. Their part varies from
tank to tank with a standard deviation of some 11 %, so that 36 tanks lie within 4 % of what 300 would show, and 300
within 1.3 % (two standard errors).
"""

import numpy as np
import pytest
from tests.calibration.keepers import DAYS, Kept, Pair, hours_judged, pairs
from tests.calibration.tanks import untreated_tank

SMALL_SEEDS = range(40_000, 40_036)
FULL_SEEDS = range(41_000, 41_300)
LEAST_INSIDE = 0.95


def _complaints(kept: list[Pair]) -> list[str]:
    """Return a sentence for everything that is not as it should be."""
    inside, target, above = (
        [float(np.mean([getattr(kept_by, name) for kept_by in some])) for some in _sides(kept)]
        for name in ("inside", "in_target", "hours_above_hard")
    )
    found = []
    if inside[0] < LEAST_INSIDE:
        found.append(f"Advice keeps {inside[0]:.1%} of hours inside.")
    if inside[0] <= inside[1] or target[0] <= target[1]:
        found.append(f"Advice is no better than the last reading: inside {inside}, in the target {target}.")
    if above[0] > above[1]:
        found.append(f"Advice spends {above[0]:.1f} h above the hard limit, the last reading {above[1]:.1f} h.")
    return found


def _sides(kept: list[Pair]) -> tuple[list[Kept], list[Kept]]:
    return [one.advised for one in kept], [one.by_last_reading for one in kept]


def test_over_36_tanks_advice_holds_the_band_and_beats_the_last_reading() -> None:
    """At least 95 % of hours inside, more than by the last reading, and no more hours above the hard limit."""
    kept = pairs(SMALL_SEEDS)
    assert len(kept) == len(SMALL_SEEDS)
    assert _complaints(kept) == []


@pytest.mark.prove
def test_over_300_tanks_advice_holds_the_band_and_beats_the_last_reading() -> None:
    """The same over 300 tanks."""
    kept = pairs(FULL_SEEDS, processes=2)
    assert len(kept) == len(FULL_SEEDS)
    assert _complaints(kept) == []


def test_hours_are_judged_by_the_band_from_day_five_on() -> None:
    """Of four hours below, in the target, above it, and above the hard limit, two are inside and one in the target."""
    levels = np.full(DAYS * 24, 0.1)
    levels[5 * 24 :] = np.tile([0.149, 0.15, 0.21, 0.251], (DAYS - 5) * 6)
    assert hours_judged(levels) == Kept(0.5, 0.25, (DAYS - 5) * 6.0, (DAYS - 5) * 6.0)


def test_an_untreated_tank_holds_nothing_that_was_done_or_read() -> None:
    """A seed gives one tank, with no event, no reading, and a volume that can give the weekly change."""
    case, truth = untreated_tank(40_000)
    assert (case, truth) == untreated_tank(40_000)
    assert case.events == ()
    assert case.readings == ()
    assert truth.volume_l > 20.0
