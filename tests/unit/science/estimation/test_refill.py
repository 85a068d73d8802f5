"""All water let out and new water filled in: nothing of the level before is left, and nothing after tells of it."""

from dataclasses import replace

import numpy as np
import pytest

from pratique.science.chemistry.domain import DomainError
from pratique.science.estimation.case import Case, Change, Dose, Initial, Loss, Reading, Refill, Source, Volume
from pratique.science.estimation.posterior import Posterior, reckon
from pratique.science.estimation.reading import Method, Observed
from pratique.science.estimation.running import append, running_from

METER = Method(0.0, 0.02, 0.0)
CASE = Case(
    "copper",
    "mg/L",
    6.0,
    Initial(0.1, 0.2),
    volume=Volume(80.0, 4.0),
    loss=Loss(0.05, 0.5),
    methods={"meter": METER},
    events=(Dose(0.5, 16.0), Refill(3.0, 0.1, 0.04), Dose(4.0, 8.0)),
    readings=(Reading(1.0, "meter", Observed(value=0.3)), Reading(2.0, "meter", Observed(value=0.28))),
    draws=500,
)


def at(found: Posterior, day: float) -> tuple[float, float]:
    """Mean and sd of the level at a point of the grid."""
    place = int(np.argmin(abs(found.days - day)))
    return float(found.mean[place]), float(found.sd[place])


def test_the_level_becomes_that_of_the_new_water():
    """0.1 ± 0.04 just after, whatever had been read."""
    assert at(reckon(CASE), 3.0) == pytest.approx((0.1, 0.04), abs=1e-9)


def test_a_reading_after_it_weighs_with_the_new_water_alone():
    """Two normals of the same level: precisions add up, and the mean is weighted by them (conjugate normal)."""
    known = replace(CASE, loss=Loss(), events=CASE.events[:2])
    found = reckon(replace(known, readings=(*known.readings, Reading(4.0, "meter", Observed(value=0.16)))))
    precision = 1.0 / 0.04**2 + 1.0 / 0.02**2
    mean = (0.1 / 0.04**2 + 0.16 / 0.02**2) / precision
    assert at(found, 5.0) == pytest.approx((mean, precision**-0.5), rel=1e-6)


def test_what_is_read_after_it_says_nothing_of_before():
    """Where the volume and the loss are known, nothing else could carry it back."""
    known = replace(CASE, volume=Volume(80.0, 0.0), loss=Loss(0.05, 0.0))
    more = replace(known, readings=(*known.readings, Reading(5.0, "meter", Observed(value=0.5))))
    assert at(reckon(more), 2.5) == pytest.approx(at(reckon(known), 2.5), rel=1e-9)


def test_the_source_learned_before_is_forgotten():
    """Where volume and loss are known, the days after are those of a tank that begins with the new water."""
    known = replace(CASE, volume=Volume(80.0, 0.0), loss=Loss(0.05, 0.0), source=Source(0.001, 0.01, 0.004))
    rising = (*known.readings, Reading(2.5, "meter", Observed(value=0.9)), Reading(2.9, "meter", Observed(value=1.4)))
    later = Reading(5.0, "meter", Observed(value=0.25))
    whole = replace(known, readings=(*rising, later))
    fresh = replace(
        known,
        span_days=3.0,
        initial=Initial(0.1, 0.04),
        events=(Dose(1.0, 8.0),),
        readings=(replace(later, day=2.0),),
    )
    for day in (3.0, 4.5, 6.0):
        assert at(reckon(whole), day) == pytest.approx(at(reckon(fresh), day - 3.0), rel=1e-9)
    drawn = reckon(replace(whole, draws=8000))
    weights = drawn.trajectories.weights
    last = drawn.trajectories.levels[:, -1]
    mean, sd = at(reckon(fresh), 3.0)
    assert float(weights @ last) == pytest.approx(mean, abs=4.0 * sd / 8000**0.5)
    assert float(weights @ (last - mean) ** 2) ** 0.5 == pytest.approx(sd, rel=0.05)


def test_new_water_keeps_a_quiet_source_until_it_is_dosed():
    """Undosed it wanders as told; from the next dose on it is the case's own again, taken in at once or later."""
    known = replace(CASE, volume=Volume(80.0, 0.0), loss=Loss(), source=Source(0.0, 0.05, 0.02), span_days=12.0)
    quiet = Refill(3.0, 0.0, 0.0, source=Source(0.0, 0.001, 0.0))
    undosed = replace(known, events=(CASE.events[0], quiet))
    assert at(reckon(undosed), 9.0)[1] == pytest.approx(6.0 * 0.001, rel=1e-9)
    dosed = replace(known, events=(*undosed.events, Dose(9.0, 8.0)))
    at_dose, walked = 6.0 * 0.001, 0.02**2 * 3.0**3 / 3.0
    assert at(reckon(dosed), 12.0)[1] == pytest.approx((at_dose**2 + (0.05 * 3.0) ** 2 + walked) ** 0.5, rel=1e-9)
    for until in (5.0, 10.0):
        cut = replace(dosed, events=tuple(e for e in dosed.events if e.day <= until), span_days=until)
        later = append(running_from(cut), day=12.0, events=tuple(e for e in dosed.events if e.day > until))
        assert later.level == pytest.approx(running_from(dosed).level, rel=1e-6)


def test_a_dose_at_the_moment_of_the_refill_is_one_into_the_new_water():
    """Changes come before doses, whichever was written first: the source is the case's own again."""
    known = replace(CASE, volume=Volume(80.0, 0.0), loss=Loss(), source=Source(0.0, 0.05, 0.0))
    quiet, dose = Refill(3.0, 0.0, 0.0, source=Source(0.0, 0.001, 0.0)), Dose(3.0, 8.0)
    for events in ((quiet, dose), (dose, quiet)):
        case = replace(known, events=events)
        assert at(reckon(case), 6.0) == pytest.approx((0.1, 3.0 * 0.05), rel=1e-9)
        cut = running_from(replace(case, span_days=3.5, readings=known.readings))
        assert append(cut, day=6.0).level == pytest.approx((0.1, 3.0 * 0.05), rel=1e-6)


def test_it_is_a_change_of_all_the_water_where_there_is_no_source():
    """Where the volume is known to be 80 L, a change of just under 80 L comes to the same."""
    known = replace(CASE, volume=Volume(80.0, 0.0), source=Source(0.0, 0.0, 0.0))
    changed = replace(known, events=(CASE.events[0], Change(3.0, 80.0 * (1.0 - 1e-12), 0.1, 0.04), CASE.events[2]))
    one, other = reckon(known), reckon(changed)
    assert one.mean == pytest.approx(other.mean, abs=1e-9)
    assert one.sd == pytest.approx(other.sd, abs=1e-6)


def test_the_volume_learned_before_stays_learned():
    """A dose into clean water read closely tells the volume; after the refill the same dose rises by as much."""
    close = Method(0.0, 0.002, 0.0)
    case = replace(CASE, initial=Initial(0.0, 0.0), loss=Loss(), methods={"meter": close})
    case = replace(case, events=(Dose(0.5, 16.0), Refill(3.0, 0.0, 0.0)))
    case = replace(case, readings=(Reading(1.0, "meter", Observed(value=0.22)),))
    found = reckon(replace(case, events=(*case.events, Dose(4.0, 16.0))))
    assert at(found, 5.0)[0] == pytest.approx(0.22, abs=0.002)


def test_trajectories_and_the_running_reckoning_agree_with_it():
    """Drawn levels have its mean and sd; taken in afterwards it gives what a full reckoning gives."""
    found = reckon(replace(CASE, draws=4000))
    after = found.trajectories.levels[:, int(np.argmin(abs(found.days - 3.0)))]
    weights = found.trajectories.weights
    mean = float(weights @ after)
    assert mean == pytest.approx(0.1, abs=0.003)
    assert float(weights @ (after - mean) ** 2) ** 0.5 == pytest.approx(0.04, rel=0.06)
    before = running_from(replace(CASE, events=CASE.events[:1], span_days=2.5))
    later = append(before, day=6.0, events=CASE.events[1:])
    assert later.level == pytest.approx(running_from(CASE).level, rel=1e-3)


def test_new_water_without_a_number_is_refused():
    """In a sentence."""
    with pytest.raises(DomainError, match="level of the new water must be a number"):
        reckon(replace(CASE, events=(Refill(3.0, float("nan"), 0.0),)))
