"""A reckoning that goes on, against one made anew over the whole record."""

from dataclasses import replace

import numpy as np
import pytest

from pratique.science.chemistry.domain import DomainError
from pratique.science.estimation.case import (
    Case,
    Change,
    Dose,
    Initial,
    Loss,
    Media,
    Pulse,
    Reading,
    Source,
    Unlogged,
    Volume,
)
from pratique.science.estimation.posterior import reckon
from pratique.science.estimation.reading import Method, Observed
from pratique.science.estimation.running import append, running_from

METHODS = {
    "plain": Method(resolution=0.0, absolute_sd=0.02, relative_sd=0.0),
    "photometer": Method(resolution=0.01, absolute_sd=0.02, relative_sd=0.05, lower_limit=0.02),
    "biased": Method(resolution=0.0, absolute_sd=0.01, relative_sd=0.0, bias_sd=0.02),
}
# The levels of the readings follow one tank by and large: 80 L, 0.04 lost a day.
SEEN = {1: 0.17, 2: 0.16, 4: 0.15, 6: 0.18, 7: 0.17, 9: 0.14, 11: 0.13, 13: 0.19}


def read(day, method="plain", value=None):
    """What was read on a day."""
    return Reading(day, method, Observed(value=SEEN[int(day)] if value is None else value))


def case(events, readings, *, span=14.0, **beliefs):
    """Fourteen days of copper in about 80 L."""
    plain = Case(
        constituent="copper",
        unit="mg/L",
        span_days=span,
        grid_hours=24.0,
        initial=Initial(0.0, 0.01),
        volume=Volume(80.0, 8.0),
        loss=Loss(0.04, 0.8),
        source=Source(0.0, 0.005, 0.002),
        methods=METHODS,
        events=tuple(events),
        readings=tuple(readings),
        draws=2,
    )
    return replace(plain, **beliefs)


DOSES = (Dose(0.1, 14.0, 0.03), Dose(5.0, 4.0, 0.03), Change(8.0, 15.0), Dose(12.0, 5.0, 0.03))
READINGS = tuple(read(float(day)) for day in SEEN)


def split(whole, day):
    """The same case up to a day, and what comes after."""
    begun = replace(
        whole,
        span_days=day,
        events=tuple(e for e in whole.events if e.day <= day),
        readings=tuple(r for r in whole.readings if r.day <= day),
    )
    events = [e for e in whole.events if e.day > day]
    return begun, events, [r for r in whole.readings if r.day > day]


def gone_on(whole, day):
    """The case reckoned up to a day, and everything after appended one entry at a time."""
    begun, events, readings = split(whole, day)
    running = running_from(begun)
    for entry in sorted((*readings, *events), key=lambda one: one.day):
        if isinstance(entry, Reading):
            running = append(running, day=entry.day, readings=[entry])
        else:
            running = append(running, day=entry.day, events=[entry])
    return append(running, day=whole.span_days)


def in_sds(running, whole):
    """How far mean and sd of the level lie from a full reckoning, in its sds; and its volume."""
    found = reckon(whole)
    mean, sd = running.level
    return (
        (mean - found.mean[-1]) / found.sd[-1],
        sd / found.sd[-1] - 1.0,
        (running.volume_mean - found.volume_l.mean) / found.volume_l.sd,
    )


@pytest.mark.parametrize(
    "extra",
    [
        (),
        (Media(2.5, 0.05), Media(11.5, -0.03)),
        (Pulse(4.5, 3.0, 72.0, 0.1), Pulse(12.5, 2.0, 48.0)),
        (Unlogged(10.0, 0.05),),
        (Pulse(6.5, 3.0, 12.0, 0.1), Media(6.5, 0.02)),
    ],
)
def test_what_is_appended_entry_by_entry_is_what_a_full_reckoning_finds(extra):
    """Plain readings: within a thousandth of an sd; media go on acting and a pulse under way goes on being released."""
    whole = case(sorted((*DOSES, *extra), key=lambda event: event.day), READINGS)
    mean, spread, volume = in_sds(gone_on(whole, 6.5), whole)
    assert abs(mean) < 1e-3
    assert abs(spread) < 1e-3
    assert abs(volume) < 0.01


def test_a_full_reckoning_of_everything_at_once_is_where_a_running_one_begins():
    """Nothing appended: the same mean and sd at the end, rounded readings and an unknown strength too."""
    readings = [read(float(day), "photometer") for day in SEEN]
    whole = case(DOSES, readings, stock_strength_relative_sd=0.05)
    mean, spread, _ = in_sds(running_from(whole), whole)
    assert abs(mean) < 1e-3
    assert abs(spread) < 1e-3


def test_a_known_bias_goes_on_being_learned():
    """A method met before the break is read after it: its bias is carried on."""
    readings = [read(float(day), "biased" if day % 2 else "plain") for day in SEEN]
    whole = case(DOSES, readings, stock_strength_relative_sd=0.05)
    mean, spread, _ = in_sds(gone_on(whole, 7.5), whole)
    assert abs(mean) < 1e-3
    assert abs(spread) < 1e-3


def test_rounded_readings_appended_come_close_to_a_full_reckoning():
    """They enter once, at what was predicted: within a twentieth of an sd here."""
    whole = case(DOSES, [read(float(day), "photometer") for day in SEEN])
    mean, spread, _ = in_sds(gone_on(whole, 6.5), whole)
    assert abs(mean) < 0.05
    assert abs(spread) < 0.05


def test_the_quantiles_of_a_level_stand_in_order_about_its_mean():
    """Seven of them; the outer two hold 95 %."""
    running = running_from(case(DOSES, READINGS))
    mean, sd = running.level
    quantiles = running.level_quantiles()
    assert np.all(np.diff(quantiles) > 0)
    assert quantiles[0] == pytest.approx(mean - 1.96 * sd, abs=0.15 * sd)
    assert quantiles[-1] == pytest.approx(mean + 1.96 * sd, abs=0.15 * sd)


def test_a_level_known_exactly_takes_a_reading_without_learning():
    """No spread anywhere: the reading changes nothing and nothing becomes NaN."""
    sure = case((), (), initial=Initial(0.2, 0.0), loss=Loss(), source=Source(), volume=Volume(80.0, 0.0))
    running = append(running_from(sure), day=20.0, readings=[Reading(16.0, "plain", Observed(value=0.25))])
    assert running.level == pytest.approx((0.2, 0.0))


def test_what_is_appended_before_where_it_stands_is_refused():
    """The reckoning stands on day 14; an entry of day 3 needs a full one."""
    running = running_from(case(DOSES, READINGS))
    with pytest.raises(DomainError, match="between where the reckoning stands"):
        append(running, day=15.0, readings=[read(13.0)])
    with pytest.raises(DomainError, match="between where the reckoning stands"):
        append(running, day=13.0)


def test_a_method_with_a_bias_not_met_before_asks_for_a_full_reckoning():
    """Its bias has no place in what is carried."""
    running = running_from(case(DOSES, READINGS))
    with pytest.raises(DomainError, match="full reckoning"):
        append(running, day=15.0, readings=[Reading(15.0, "biased", Observed(value=0.2))])
