"""A pH on the total or the free scale counts as what a hobby meter would have read in the same water.

NBS is 0.137 above total and 0.029 above free at salinity 35 and 25 °C, 0.139 above total at salinity 33 (recalled from
the GEOSECS fit of Takahashi et al. 1982, recomputed with PyCO2SYS 1.8.3).
"""

import pytest
from tests.casework.keeping import Keeper, at

from pratique.casework.ammonia import AmmoniaAt, ammonia_at
from pratique.casework.facts import Facts
from pratique.casework.rounds import rounds
from pratique.casework.systems import system_sheet
from pratique.ledger.household import load_household
from pratique.ledger.kinds.water import PhScale, Reading

pytestmark = pytest.mark.django_db


@pytest.fixture
def keeper() -> Keeper:
    """A household with Lazaret and a royal gramma in it, at salinity 35 and 25 °C."""
    keeper = Keeper()
    keeper.quarantine()
    keeper.read(0, "temperature", 25.0, "thermometer")
    keeper.read(0, "salinity", 35.0, "refractometer")
    return keeper


def read_ph(keeper: Keeper, day: float, value: float, scale: PhScale = "nbs") -> None:
    """Read the pH by a meter, on a scale."""
    keeper.write(day, Reading(system="lazaret", constituent="ph", value=value, scale=scale, method="ph_meter"))


def ammonia_of(keeper: Keeper, day: float) -> AmmoniaAt:
    """Read 1 mg/L of total ammonia and return what of it is un-ionised."""
    keeper.read(day, "total_ammonia", 1.0, "ammonia_photometer")
    facts = Facts(load_household(), at(day))
    newest = facts.newest_reading("lazaret", "total_ammonia")
    assert newest is not None
    return ammonia_at(facts, "lazaret", facts.recent_readings, newest)


@pytest.mark.parametrize(("scale", "below_nbs"), [("total", 0.137), ("free", 0.029)])
def test_un_ionised_ammonia_is_the_same_by_whatever_scale_the_ph_was_told(
    keeper: Keeper, scale: PhScale, below_nbs: float
) -> None:
    """One water, one answer."""
    read_ph(keeper, 0, 8.2)
    by_nbs = ammonia_of(keeper, 0.01)
    read_ph(keeper, 0.1, 8.2 - below_nbs, scale)
    by_other = ammonia_of(keeper, 0.11)
    assert by_other.value == pytest.approx(by_nbs.value, rel=0.005)
    assert by_other.worst == pytest.approx(by_nbs.worst, rel=0.03)


def test_the_worst_plausible_ammonia_takes_the_scale_too(keeper: Keeper) -> None:
    """With the salinity and the temperature grown old, a pH of 8.2 on the total scale is worse than 8.2 on NBS."""
    read_ph(keeper, 9, 8.2)
    by_nbs = ammonia_of(keeper, 9.01)
    read_ph(keeper, 9.1, 8.2, "total")
    by_total = ammonia_of(keeper, 9.11)
    assert by_nbs.value is None
    assert by_total.value is None
    # A tenth of pH is 24 % more un-ionised ammonia (recomputed); 0.14 to 0.15 in warm, dilute water about 34 %.
    assert by_total.worst / by_nbs.worst == pytest.approx(1.34, abs=0.04)


def test_a_limit_on_ph_is_held_against_nbs(keeper: Keeper) -> None:
    """7.75 on the total scale is 7.89 on NBS, above the floor of 7.8; 7.75 on NBS is below it."""
    read_ph(keeper, 0.1, 7.75, "total")
    titles = [one.title for one in rounds(load_household(), now=at(0.2)).concerns]
    assert "Lazaret: pH is low" not in titles
    read_ph(keeper, 0.3, 7.75)
    assert "Lazaret: pH is low" in [one.title for one in rounds(load_household(), now=at(0.4)).concerns]


def test_a_concern_says_the_scale_and_the_number_the_limit_is_held_against(keeper: Keeper) -> None:
    """So that the keeper is not left wondering how 7.6 and 7.8 were compared."""
    read_ph(keeper, 0.1, 7.6, "total")
    found = {one.key: one for one in rounds(load_household(), now=at(0.2)).concerns}["water.lazaret.ph"]
    said = " ".join(found.said)
    assert "on the total scale" in said
    assert "as a hobby meter reads it (NBS) 7.74" in said


def test_a_page_shows_the_scale_where_it_is_not_nbs(keeper: Keeper) -> None:
    """NBS goes without saying, as before."""
    read_ph(keeper, 0.1, 8.05, "total")
    words = {one.constituent: one.words for one in system_sheet(load_household(), "lazaret", now=at(0.2)).levels}
    assert words["ph"].endswith(" on the total scale")
    read_ph(keeper, 0.3, 8.2)
    words = {one.constituent: one.words for one in system_sheet(load_household(), "lazaret", now=at(0.4)).levels}
    assert "scale" not in words["ph"]


def test_a_chart_of_ph_has_one_scale(keeper: Keeper) -> None:
    """Readings of one water on three scales stand at one height, and a note says why."""
    for day, value, scale in ((0.1, 8.2, "nbs"), (0.2, 8.063, "total"), (0.3, 8.171, "free")):
        read_ph(keeper, day, value, scale)
    chart = next(
        one for one in system_sheet(load_household(), "lazaret", now=at(0.4)).charts if one.title == "pH in Lazaret"
    )
    assert [one.centre for one in chart.readings] == pytest.approx([8.2] * 3, abs=0.003)
    assert "on the total scale" in chart.readings[1].words
    assert "NBS" in chart.note


def test_without_salinity_or_temperature_a_ph_is_judged_as_of_usual_seawater() -> None:
    """The difference between the scales moves by 0.02 at most over all the water a reef fish lives in."""
    keeper = Keeper()
    keeper.quarantine()
    read_ph(keeper, 0.1, 7.6, "total")
    found = {one.key: one for one in rounds(load_household(), now=at(0.2)).concerns}["water.lazaret.ph"]
    assert "(NBS) 7.74" in " ".join(found.said)
