"""What a dose or a change would do, before it is done: arithmetic a keeper can check, and every reason to refuse."""

import re

import pytest
from tests.casework.keeping import Keeper, at

from pratique.casework.sheets.what_if import WhatIfSheet
from pratique.casework.what_if import what_if_sheet
from pratique.ledger.household import load_household
from pratique.ledger.kinds import animals, places, water
from pratique.ledger.models import Entry

pytestmark = pytest.mark.django_db


@pytest.fixture
def keeper() -> Keeper:
    """A household with Lazaret, 80 L net, and a copper course whose level was read at 0.17 mg/L this morning."""
    keeper = Keeper()
    keeper.quarantine()
    keeper.course()
    keeper.dose(0.1, 4.0)
    keeper.dose(1.1, 4.0)
    keeper.dose(2.1, 4.0)
    keeper.dose(3.1, 2.0)
    for day, level in ((3.5, 0.17), (4.5, 0.17), (5.5, 0.17)):
        keeper.read(day, "copper", level, "copper_photometer")
    return keeper


def tried(*deeds: tuple[str, str, float], now: float = 5.6, constituent: str = "copper") -> WhatIfSheet:
    """Return the page of Lazaret's copper with deeds: what, how much, and on which day."""
    given = {}
    for number, (what, much, day) in enumerate(deeds, 1):
        given |= {f"what{number}": what, f"amount{number}": much, f"at{number}": f"{at(day):%Y-%m-%dT%H:%M}"}
    return what_if_sheet(load_household(), "lazaret", constituent, given, now=at(now))


def level_on(sheet: WhatIfSheet, day: float) -> float:
    """Return the median level drawn at the last point up to a day."""
    assert sheet.chart is not None
    return next(point.value for point in reversed(sheet.chart.line) if point.at <= at(day))


def test_a_dose_lifts_the_level_by_its_amount_over_the_water(keeper):
    """2 mL of a 1 mg/mL stock in 80 ± 4 L is 0.025 mg/L, by the conservation of mass."""
    without, found = tried(), tried(("stock-stock", "2", 7.5))
    assert level_on(found, 7.4) == pytest.approx(level_on(without, 7.4), abs=1e-6)
    assert level_on(found, 7.6) - level_on(without, 7.6) == pytest.approx(2.0 / 80.0, abs=0.002)


def test_a_dose_moved_to_another_day_lifts_the_level_there(keeper):
    """The ribbon moves with the dose, and the past does not move at all."""
    early, late = tried(("stock-stock", "2", 6.5)), tried(("stock-stock", "2", 9.5))
    assert early.chart is not None
    assert late.chart is not None
    assert early.chart.expected_from == late.chart.expected_from
    assert [one for one in early.chart.line if one.at < at(5.6)] == [one for one in late.chart.line if one.at < at(5.6)]
    assert level_on(early, 8.0) > level_on(late, 8.0) + 0.015


def test_a_change_takes_its_part_of_the_level_out(keeper):
    """20 L of 80 L with copper-free water leaves three quarters."""
    without, found = tried(), tried(("change", "20", 7.5))
    assert level_on(found, 7.55) == pytest.approx(0.75 * level_on(without, 7.55), rel=0.03)


def test_a_gallon_is_a_gallon(keeper):
    """A unit written behind the number counts: 5 US gal are 18.9 L."""
    assert tried(("change", "5 gal", 7.5)).steps[0].words == "Write 18.9270589\u202fL of water changed as done"


def test_it_says_how_long_the_band_is_kept_with_it_and_without(keeper):
    """Where the level falls by some hundredths a day, a dose in time keeps it inside for longer."""
    found = tried(("stock-stock", "1.5", 8.5))
    told = re.search("for ([0-9]+)\u202f% of the coming 7 days; with nothing done, ([0-9]+)\u202f%", found.outlook[0])
    assert told is not None, found.outlook
    assert int(told[1]) > int(told[2])
    assert "The chance of passing 0.25\u202fmg/L" in found.outlook[1]


def test_nothing_is_written_into_the_ledger(keeper):
    """Thinking of a dose is not giving one."""
    before = Entry.objects.count()
    tried(("stock-stock", "2", 7.5))
    assert Entry.objects.count() == before


def test_what_is_tried_opens_the_form_filled_in(keeper):
    """The form that writes it down asks only when it was done."""
    dose, change = tried(("stock-stock", "2.1", 7.5), ("change", "20", 8.5)).steps
    assert (dose.form, dose.answers) == (
        "dose",
        (("system", "lazaret"), ("stock", "stock"), ("amount", "2.1"), ("amount_unit", "mL")),
    )
    assert (change.form, change.answers) == (
        "water-change",
        (("system", "lazaret"), ("volume", "20"), ("volume_unit", "L")),
    )


def test_a_dose_that_may_pass_the_upper_limit_is_refused_and_not_clipped(keeper):
    """From some 0.20 mg/L up by 3.9/80 is too near to 0.25: it is left out, and no smaller one is put in its place."""
    keeper.read(5.55, "copper", 0.21, "copper_photometer")
    found = tried(("stock-stock", "3.9", 5.7))
    assert "would lie above 0.25\u202fmg/L with a chance of" in found.rows[0].refused
    assert found.rows[0].amount == "3.9"
    assert found.steps == ()
    assert level_on(found, 6) == pytest.approx(level_on(tried(), 6))


def test_a_later_dose_is_judged_with_the_doubt_of_now(keeper):
    """Six days ahead nobody knows the level well; what is planned there is judged at the level expected then.

    Two doses that lead from an expected 0.17 to 0.25 mg/L and above are refused there as here.
    """
    assert tried(("stock-stock", "2", 11.5)).rows[0].refused == ""
    many = tried(*(("stock-stock", "3.9", day) for day in (7.0, 8.5, 10.0, 11.5)))
    assert "would lie above" in many.rows[3].refused


def test_more_than_the_daily_step_is_refused(keeper):
    """0.05 mg/L a day in 80 L is 4 mL (common practice, no source); two doses of 2.5 mL within a day are more."""
    once = tried(("stock-stock", "2.5", 6.5))
    twice = tried(("stock-stock", "2.5", 6.5), ("stock-stock", "2.5", 7.0))
    assert once.rows[0].refused == ""
    assert twice.rows[0].refused == ""
    assert "more than 0.05\u202fmg/L in a day is refused" in twice.rows[1].refused


def test_what_a_change_takes_out_may_be_put_back(keeper):
    """After 40 of 80 L the level is halved; 5 mL put back what went out and raise nothing."""
    found = tried(("change", "40", 6.5), ("stock-stock", "5", 6.6))
    assert [row.refused for row in found.rows] == ["", "", ""]


def test_copper_is_never_planned_where_invertebrates_live(keeper):
    """The cleaner shrimp shares the water: no dose at all, a change as one likes."""
    keeper.write(5, animals.Arrival(key="shrimp", name="Cleaner shrimp", species="cleaner_shrimp", system="lazaret"))
    found = tried(("stock-stock", "0.1", 6.5), ("change", "10", 6.5))
    assert "Copper kills invertebrates" in found.withheld
    assert "Cleaner shrimp" in found.withheld
    assert found.rows[0].refused == found.withheld
    assert [step.form for step in found.steps] == ["water-change"]


def test_without_a_net_volume_no_dose_is_planned():
    """The level is told from its readings all the same."""
    keeper = Keeper()
    keeper.quarantine(net_volume_l=None)
    keeper.course()
    keeper.read(5.5, "copper", 0.17, "copper_photometer")
    found = tried(("stock-stock", "1", 6.5))
    assert "net volume is not known" in found.withheld
    assert found.chart is not None
    assert found.chart.line


def test_after_an_old_reading_no_dose_is_planned(keeper):
    """What was read days ago does not speak for today."""
    assert "is old" in tried(("stock-stock", "1", 9.0), now=8.6).withheld


def test_after_a_reading_that_does_not_fit_no_dose_is_planned(keeper):
    """0.02 mg/L where everything tells of 0.17: read it again first."""
    keeper.read(5.55, "copper", 0.02, "copper_photometer")
    assert "does not fit" in tried(("stock-stock", "1", 6.5)).withheld


def test_only_copper_of_the_form_in_the_water_is_offered(keeper):
    """A chelated stock on the shelf is no way to hold an ionic course."""
    keeper.write(
        1, places.Stock(key="other", name="chelated stock", substance="copper_chelated", strength_mg_per_ml=5.0)
    )
    assert [one.value for one in tried().choices] == ["stock-stock", "salt-copper_ionic", "change"]


def test_every_dose_brings_its_cautions(keeper):
    """The label, the law and the vet come first, also for what has no other caution; a change alone has none."""
    assert any("veterinarian" in one for one in tried(("stock-stock", "1", 6.5)).cautions)
    assert tried(("change", "10", 6.5)).cautions == ()


@pytest.mark.parametrize(
    ("what", "much", "when", "said"),
    [
        ("stock-stock", "a little", "2026-03-08T08:00", "a little"),
        ("stock-stock", "-1", "2026-03-08T08:00", "more than 0"),
        ("stock-stock", "1,234", "2026-03-08T08:00", "1,234"),
        ("stock-stock", "3 dKH", "2026-03-08T08:00", "dKH"),
        ("nothing", "1", "2026-03-08T08:00", "Choose what would be done"),
        ("change", "500", "2026-03-08T08:00", "may hold no more than"),
        ("stock-stock", "1", "2026-03-02T08:00", "This has passed"),
        ("stock-stock", "1", "2026-04-02T08:00", "too far ahead"),
        ("stock-stock", "1", "soon", "is not a moment"),
    ],
)
def test_what_cannot_be_understood_gets_a_sentence_and_stays_typed(keeper, what, much, when, said):
    """What is wrong is said at the row, and everything typed is kept."""
    given = {"what1": what, "amount1": much, "at1": when}
    found = what_if_sheet(load_household(), "lazaret", "copper", given, now=at(5.6))
    row = found.rows[0]
    assert said in row.amount_problem + row.at_problem + row.refused
    assert (row.what, row.amount, row.at) == (what, much, when)
    assert found.is_faulty
    assert found.steps == ()


def test_what_no_litres_move_has_nothing_to_try(keeper):
    """Nobody doses warmth: the page tells the coming days, and asks nothing."""
    for day in range(1, 6):
        keeper.read(day, "temperature", 25.5, "thermometer")
    found = tried(constituent="temperature")
    assert found.choices == ()
    assert found.rows == ()
    assert "usual 24.0 to 27.0\u202f°C" in found.outlook[0]


def test_where_nothing_was_read_it_says_so(keeper):
    """An empty page is a sentence."""
    found = tried(constituent="nitrate")
    assert found.chart is None
    assert found.gist.startswith("Nothing tells of nitrate in Lazaret yet.")


@pytest.mark.parametrize(("key", "constituent"), [("nowhere", "copper"), ("lazaret", "gold")])
def test_an_unknown_water_or_constituent_is_not_found(keeper, key, constituent):
    """The page answers a missing name with a missing key, which the web says as not found."""
    with pytest.raises(KeyError):
        what_if_sheet(load_household(), key, constituent, {}, now=at(5.6))


def test_copper_is_not_thought_of_the_day_after_formalin():
    """The gap is common practice, no source; where copper is in the water already, what remains is its own course."""
    keeper = Keeper()
    keeper.quarantine()
    keeper.plan()
    keeper.read(5.0, "copper", 0.0, "copper_photometer")
    keeper.write(5.1, water.Dose(system="lazaret", substance="formalin", amount_ml=1.0))
    words = tried(("stock-stock", "2", 6.5)).rows[0].refused
    assert words.startswith("Formalin must not meet copper.")
    assert "No dose is planned here: from 8 March on." in words
