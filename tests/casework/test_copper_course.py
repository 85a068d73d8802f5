"""What a copper course is credited with, and what the rounds say of its level."""

from datetime import UTC, date, datetime, timedelta

import pytest
from tests.casework.keeping import Keeper, at

from pratique.casework.courses import course_sheet
from pratique.casework.rounds import rounds
from pratique.casework.sheets import Concern, CourseSheet
from pratique.ledger.append import append
from pratique.ledger.entries import NewEntry, new_entry_id
from pratique.ledger.household import load_household
from pratique.ledger.kinds import animals, care, places, water

pytestmark = pytest.mark.django_db


def concerns(day: float) -> dict[str, Concern]:
    """Return the concerns at a moment, by key."""
    return {one.key: one for one in rounds(load_household(), now=at(day)).concerns}


def sheet(day: float) -> CourseSheet:
    """Return the page of the course at a moment."""
    return course_sheet(load_household(), "copper", now=at(day))


@pytest.fixture
def keeper() -> Keeper:
    """A household with Lazaret, 80 L net, and a copper course begun at noon of 1 March."""
    keeper = Keeper()
    keeper.quarantine()
    keeper.course()
    return keeper


def test_credit_ends_a_day_and_a_half_after_the_newest_reading(keeper):
    """One reading on day 0.5, none since: of twenty days one counts, the rest is not known."""
    keeper.dose(0.1, 18.4)
    keeper.read(0.5, "copper", 0.23, "copper_photometer")
    found = sheet(20)
    assert found.days_credited == 1
    assert found.heading == "Held for 1 day so far, 14 needed"
    assert "last read on 2 March" in found.gist
    assert [cell.is_known for cell in found.days] == [True, True] + [False] * 18
    assert found.days[10].words.startswith("not known")


def test_a_course_nobody_reads_is_a_concern(keeper):
    """No fresh reading: the level is not known, and that stands on the rounds."""
    keeper.dose(0.1, 14.4)
    keeper.read(0.5, "copper", 0.18, "copper_photometer")
    assert "copper-unread.copper" not in concerns(1.9)
    found = concerns(2.1)["copper-unread.copper"]
    assert found.weight == "today"
    assert found.next_steps[0].form == "readings"


def test_a_course_never_read_is_a_concern_after_a_day_and_a_half(keeper):
    """Doses alone do not tell the level."""
    keeper.dose(0.1, 14.4)
    assert "copper-unread.copper" not in concerns(1)
    assert concerns(2)["copper-unread.copper"].title == "Lazaret: copper was never read"
    assert sheet(2).days_credited == 0


def test_copper_already_in_the_water_is_counted(keeper):
    """0.20 read on day -1.2, then 8 mg in 80 L on day 0: 0.30 less what a day takes, above the hard upper limit."""
    keeper.dose(-2, 16.0)
    keeper.read(-1.2, "copper", 0.20, "copper_photometer")
    keeper.dose(0.05, 8.0)
    found = concerns(0.1)["copper-high.copper"]
    assert found.said[0].startswith("Reckoned 0.29 ±")
    assert "likely" in found.said[0]


def test_before_any_reading_the_doses_alone_speak(keeper):
    """24 mg in 80 L are 0.30 mg/L on top of what nobody read; a first dose of 12 mg alone is no alarm."""
    keeper.dose(0.1, 12.0)
    assert "copper-high.copper" not in concerns(0.15)
    keeper.dose(0.2, 12.0)
    found = concerns(0.3)["copper-high.copper"]
    assert "by the doses alone about 0.30\u202fmg/L" in found.said[0]


def test_chelated_copper_adds_nothing_to_an_ionic_course(keeper):
    """Neither to its level nor to its days; the mixture is an urgent concern."""
    keeper.dose(0.1, 14.4)
    keeper.read(0.5, "copper", 0.18, "copper_photometer")
    keeper.write(1, water.Dose(system="lazaret", substance="copper_chelated", amount_mg=160.0))
    keeper.read(2, "copper", 0.18, "copper_photometer")
    found = concerns(2.1)["copper-mixed.lazaret"]
    assert found.weight == "now"
    assert found.cautions
    assert "copper-high.copper" not in concerns(2.1)
    assert sheet(2.1).days_credited == 0


def test_a_binder_in_a_copper_course_is_an_urgent_concern(keeper):
    """An ammonia binder may set copper toxic at once: common practice, no source."""
    keeper.dose(0.1, 14.4)
    keeper.read(0.5, "copper", 0.18, "copper_photometer")
    binder = keeper.write(1, water.Dose(system="lazaret", substance="ammonia_binder", amount_ml=5.0))
    found = concerns(1.1)["copper-binder.lazaret"]
    assert found.weight == "now"
    assert found.evidence[0].entry == binder
    assert "copper-binder.lazaret" not in concerns(5)


def test_carbon_in_a_course_leaves_the_level_not_known_until_it_is_read(keeper):
    """It takes copper out, nobody knows how much: no day after it is sure. Common practice, no source."""
    keeper.dose(0.1, 14.4)
    keeper.read(0.5, "copper", 0.18, "copper_photometer")
    carbon = keeper.write(1, water.Dose(system="lazaret", substance="activated_carbon", amount_g=100.0))
    found = concerns(1.5)
    assert "copper-binder.lazaret" not in found
    said = found["copper-taken-out.lazaret"]
    assert said.weight == "today"
    assert said.evidence[0].entry == carbon
    assert "toxic" not in " ".join((said.title, *said.said))
    held = sheet(1.5)
    assert held.advice is not None
    assert held.advice.is_withheld
    assert "Activated carbon went in" in held.advice.words
    assert held.days[-1].probability is not None
    assert held.days[-1].probability < 0.8
    keeper.read(1.6, "copper", 0.17, "copper_photometer")
    assert "copper-taken-out.lazaret" not in concerns(1.7)
    assert "Activated carbon" not in sheet(1.7).advice.words


def test_a_course_that_never_reaches_its_band_is_a_concern_past_the_ramp(keeper):
    """0.10 for days: nothing counts. The target is reached on day 2 to 4: common practice, no source."""
    keeper.dose(0.1, 8.0)
    for day in range(1, 11):
        keeper.read(day, "copper", 0.10, "copper_photometer")
    assert "copper-not-reached.copper" not in concerns(3.1)
    found = concerns(10.1)["copper-not-reached.copper"]
    assert found.title == "Lazaret: copper has not reached the band after 10 days"
    assert sheet(10.1).gist.startswith("It has not been at the band for a whole day yet.")


def test_an_open_course_beside_a_shrimp_is_an_urgent_concern_before_any_dose(keeper):
    """A shrimp moved into Lazaret while the course is open."""
    keeper.write(0.5, animals.Arrival(key="shrimp", name="Cleaner shrimp", species="cleaner_shrimp", system="lazaret"))
    found = concerns(0.6)["copper-invertebrates.lazaret"]
    assert found.weight == "now"
    assert any("Cleaner shrimp shares this water" in said for said in found.said)


def test_a_planned_course_beside_a_boxed_shrimp_is_a_concern():
    """A compartment shares its system's water."""
    keeper = Keeper()
    keeper.quarantine()
    keeper.write(-5, places.Compartment(key="niche", name="Niche", system="lazaret", form="box"))
    shrimp = animals.Arrival(
        key="shrimp", name="Cleaner shrimp", species="cleaner_shrimp", system="lazaret", compartment="niche"
    )
    keeper.write(-4, shrimp)
    keeper.plan()
    found = concerns(0)["harmed.copper"]
    assert found.weight_words == "before the course"
    assert "Cleaner shrimp in Niche" in found.said[0]


def test_an_open_course_of_another_medicine_beside_invertebrates_is_a_concern():
    """Praziquantel harms worms and some corals: custom of the trade."""
    keeper = Keeper()
    keeper.quarantine()
    keeper.course(substance="praziquantel", stock=None, band=(2.0, 2.5, 3.0))
    keeper.write(0.5, animals.Arrival(key="shrimp", name="Cleaner shrimp", species="cleaner_shrimp", system="lazaret"))
    found = concerns(0.6)
    assert found["harmed.copper"].weight == "now"
    assert not any(key.startswith("copper") for key in found)


def test_the_rest_after_a_medicine_is_said_with_the_day_it_ends():
    """Medicine ended 6 days ago, the rest is 7: not before tomorrow, never a day that has passed."""
    keeper = Keeper()
    keeper.quarantine()
    keeper.course(substance="praziquantel", stock=None, band=(2.0, 2.5, 3.0))
    keeper.write(2, care.CourseStop(course="copper", system="lazaret"))
    keeper.plan(key="second", day=7)
    assert concerns(8)["not-rested.second"].weight_words == "not before 10 Mar"
    assert "not-rested.second" not in concerns(9.1)


def test_each_day_of_a_course_has_its_own_date():
    """A course begun at 00:10 in the week the clocks go back: no date twice."""
    began = datetime(2026, 10, 22, 23, 10, tzinfo=UTC)
    keeper = Keeper()
    keeper.quarantine()
    keeper.write(0, places.Household(name="Harbour Row", zone="Europe/London"))
    keeper.plan(day=100)
    keeper.read(235, "copper", 0.18, "copper_photometer")
    start = NewEntry(
        id=new_entry_id(),
        payload=care.CourseStart(course="copper", system="lazaret"),
        happened_at=began,
        zone="Europe/London",
        author="keeper",
        source="cli",
    )
    append([start], now=began)
    found = course_sheet(load_household(), "copper", now=began + timedelta(days=5))
    assert [cell.date for cell in found.days] == [date(2026, 10, 23) + timedelta(days=index) for index in range(5)]


def test_the_chart_of_a_course_begins_with_it_however_old_what_it_rests_on(keeper):
    """Emptied twenty days before: the level rests on that, the picture does not show the empty weeks."""
    keeper.write(-19, water.WaterChange(system="lazaret", emptied=True))
    keeper.dose(-2, 4.0)
    keeper.dose(0.1, 10.4)
    keeper.read(1, "copper", 0.18, "copper_photometer")
    chart = sheet(1.1).chart
    assert chart is not None
    assert chart.start == at(-2)
    assert chart.line[0].value == pytest.approx(0.05, abs=0.02)
    assert [mark.kind for mark in chart.marks] == ["dose", "dose"]
