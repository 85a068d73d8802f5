"""The household, its systems, compartments, methods and stock solutions."""

import pytest
from tests.writing.conftest import NOW, at, desk, doubts_of, problems_of, put

from pratique.casework.methods import methods_of
from pratique.casework.writing.forms import FORMS, answers_to_amend, write_form
from pratique.ledger.household import load_household
from pratique.ledger.kinds import places
from pratique.ledger.kinds.places import Stock

pytestmark = pytest.mark.usefixtures("harbour_row")


@pytest.mark.usefixtures("db")
def test_a_household_knows_its_zone() -> None:
    """Capitals do not matter; a slip is answered with the nearest zone."""
    assert "Did you mean Europe/London?" in problems_of("household", {"name": "Row", "zone": "Europe/Lundon"})["zone"]
    entry = write_form("household", desk(), {"name": "Row", "zone": "america/new_york", "people": "keeper\nhelper"})[0]
    assert (entry.raw["zone"], entry.zone) == ("America/New_York", "America/New_York")
    assert entry.raw["people"] == ["keeper", "helper"]


def test_what_is_left_out_of_a_change_stays_as_it_is() -> None:
    """Only the net volume is new."""
    write_form("system", desk(), {"key": "haven", "net-volume": "100"})
    haven = load_household().systems["haven"]
    assert (haven.name, haven.role, haven.gross_volume_l, haven.net_volume_l) == ("Haven", "recovery", 110, 100)


def test_a_page_of_a_system_opens_the_form_to_change_it() -> None:
    """Pages name a system `system`; here that is the one to be changed."""
    fields = {one.name: one for one in FORMS["system"].fields(load_household(), {"system": "haven"}, NOW)}
    assert (fields["key"].initial, fields["name"].initial) == ("haven", "Haven")


def test_a_new_system_gets_a_key_from_its_name() -> None:
    """A name that is there already is asked about."""
    write_form("system", desk(), {"name": "North cove", "role": "holding", "gross-volume": "60"})
    assert load_household().systems["north-cove"].net_volume_l is None
    again = {"name": "Haven", "role": "holding", "gross-volume": "60"}
    assert "There is a system called Haven already" in doubts_of("system", again)["name"]


def test_more_water_than_the_tank_is_asked_about_and_twice_as_much_is_refused() -> None:
    """A sump may hold some, but not as much again."""
    bay = {"name": "Bay", "role": "display", "gross-volume": "100"}
    assert "Does the sump hold the rest?" in doubts_of("system", bay | {"net-volume": "120"})["net-volume"]
    assert "more than twice" in problems_of("system", bay | {"net-volume": "1000"})["net-volume"]


def test_a_volume_with_a_wrong_unit_is_told_what_would_be_right() -> None:
    """Litres or gallons, not degrees."""
    problem = problems_of("system", {"name": "Bay", "role": "display", "gross-volume": "100 °C"})["gross-volume"]
    assert problem == "Volume is in litres or US gallons, not °C."


@pytest.fixture
def in_gallons(harbour_row: None) -> None:
    """The household writes volumes in US gallons; what is kept stays in litres."""
    put(places.Household(name="Harbour Row", zone="Europe/London", volume_unit="US gal"), at(2))


@pytest.mark.usefixtures("in_gallons")
def test_a_household_in_gallons_changes_a_system_in_gallons() -> None:
    """Haven's 110 L are shown as 29.06 US gal, and 21 is 21 US gal: 79.5 L (NIST Handbook 44: 231 cubic inches)."""
    fields = {one.name: one for one in FORMS["system"].fields(load_household(), {"system": "haven"}, NOW)}
    assert (fields["gross-volume"].units[0], fields["gross-volume"].initial) == ("US gal", "29.06")
    write_form("system", desk(), {"key": "haven", "net-volume": "21"})
    haven = load_household().systems["haven"]
    assert haven.net_volume_l == pytest.approx(21 * 231 * 0.0254**3 * 1000)
    assert haven.gross_volume_l == 110


@pytest.mark.usefixtures("in_gallons")
def test_volumes_sent_back_as_they_were_shown_stay_as_they_are() -> None:
    """A page sends every box; the rounding of what it showed changes nothing."""
    fields = FORMS["system"].fields(load_household(), {"system": "skerry"}, NOW)
    write_form("system", desk(), {one.name: one.initial for one in fields} | {"name": "Skerry reef"})
    skerry = load_household().systems["skerry"]
    kept = (skerry.name, skerry.gross_volume_l, skerry.net_volume_l, skerry.net_volume_plus_minus_l)
    assert kept == ("Skerry reef", 480, 390, 15)


@pytest.mark.usefixtures("in_gallons")
def test_a_system_is_amended_in_the_household_s_own_unit() -> None:
    """Left alone, its volumes stay exactly as they were."""
    entry = write_form("system", desk(), {"key": "haven", "net-volume": "100 L"})[0]
    before = answers_to_amend(FORMS["system"], desk(), entry.id)
    assert (before["net-volume"], before["net-volume_unit"]) == ("26.42", "US gal")
    write_form("system", desk(), {**before, "name": "Quiet haven"}, amends=entry.id)
    haven = load_household().systems["haven"]
    assert (haven.name, haven.gross_volume_l, haven.net_volume_l) == ("Quiet haven", 110, 100)


def test_a_volume_that_changes_more_than_half_as_much_again_is_asked_about_once() -> None:
    """Gallons typed as litres show themselves so: 24 for 90."""
    question = doubts_of("system", {"key": "lazaret", "gross-volume": "24", "net-volume": "21"})
    assert question["gross-volume"].replace("\u202f", " ") == "Until now it was 90 L; this is 24 L. Is it right?"
    assert question["net-volume"].replace("\u202f", " ") == "Until now it was 80 L; this is 21 L. Is it right?"
    write_form("system", desk(*question.values()), {"key": "lazaret", "gross-volume": "24", "net-volume": "21"})
    write_form("system", desk(), {"key": "lazaret", "gross-volume": "30", "net-volume": "25"})
    assert load_household().systems["lazaret"].gross_volume_l == 30


@pytest.mark.parametrize("written", ["copper_sulfate", "copper sulphate", "copper sulfat", "coppersulfate"])
def test_copper_sulfate_is_answered_with_ionic_copper(written: str) -> None:
    """By the words of its name, in either spelling."""
    problem = problems_of("stock", {"name": "Fresh", "substance": written, "strength": "1"})["substance"]
    assert "id you mean copper_ionic?" in problem


@pytest.mark.parametrize("written", ["copper", "coppr", "copper_citrate", "Sulfate"])
def test_another_form_of_copper_is_never_suggested(written: str) -> None:
    """Forms of copper have different bands; where the words name none, all choices are listed."""
    problem = problems_of("stock", {"name": "Fresh", "substance": written, "strength": "1"})["substance"]
    assert "mean" not in problem
    assert "copper_ionic, copper_chelated, copper_amine" in problem


def test_a_compartment_shares_a_system_s_water() -> None:
    """And does not carry the name of a system."""
    write_form("compartment", desk(), {"name": "Niche", "system": "Haven", "form": "box"})
    assert load_household().compartments["niche"].system == "haven"
    assert "another one" in problems_of("compartment", {"name": "Haven", "system": "skerry", "form": "box"})["name"]


def test_a_built_in_method_is_edited_under_its_own_key() -> None:
    """The keeper's own meter is better, or worse, than the figure; ± is 95 %, 1.96 standard deviations."""
    write_form("method", desk(), {"key": "copper_photometer", "plus-minus": "0.0392"})
    edited = methods_of(load_household())["copper_photometer"]
    assert edited.error.absolute_sd == pytest.approx(0.02, rel=1e-3)
    assert edited.error.resolution == 0.01
    assert edited.name == "pocket photometer, copper"


def test_a_chart_s_own_error_is_a_fifth_of_its_smallest_step() -> None:
    """Where the keeper writes none."""
    answers = {"name": "Old chart", "constituents": "nitrate", "marks": "0 2,5 5 10"}
    method = write_form("method", desk(), answers)[0].raw
    assert method["key"] == "old-chart"
    assert method["marks"] == [0.0, 2.5, 5.0, 10.0]
    assert method["absolute_sd"] == pytest.approx(0.5)


def test_a_chart_goes_upwards_and_a_method_says_how_sure_it_is() -> None:
    """Marks fall out of order, or nothing is said of the error."""
    chart = {"name": "Old chart", "constituents": "nitrate"}
    assert "marks" in problems_of("method", chart | {"marks": "5; 2"})
    assert "how sure" in problems_of("method", chart)["plus-minus"]


def test_a_stock_s_strength_comes_from_its_salt() -> None:
    """3.93 g of CuSO4·5H2O a litre hold 1 mg of copper a mL (recalled from the stock table, recomputed)."""
    answers = {"name": "Fresh", "substance": "copper_ionic", "salt": "3.93", "made-up-to": "1 L"}
    assert write_form("stock", desk(), answers)[0].raw["strength_mg_per_ml"] == pytest.approx(1.0, rel=1e-3)


def test_a_strength_in_grams_a_litre_is_the_same_in_milligrams_a_millilitre() -> None:
    """1 g/L is 1 mg/mL."""
    answers = {"name": "Fresh", "substance": "copper_amine", "strength": "2.5 g/L"}
    stock = write_form("stock", desk(), answers)[0].payload
    assert stock == Stock(key="fresh", name="Fresh", substance="copper_amine", strength_mg_per_ml=2.5)


def test_a_bottle_does_not_change_what_it_holds() -> None:
    """Courses are bound to a form of copper through their bottle."""
    problem = problems_of("stock", {"key": "blue-bottle", "substance": "copper_chelated"})["substance"]
    assert problem.startswith("Blue bottle holds ionic copper")


def test_a_stock_needs_a_strength() -> None:
    """Written, or from the salt and the volume it was made up to."""
    bottle = {"name": "Fresh", "substance": "copper_ionic"}
    assert "strength" in problems_of("stock", bottle)
    assert "made-up-to" in problems_of("stock", bottle | {"salt": "3.93"})
    assert (
        "Only for ionic copper"
        in problems_of("stock", bottle | {"substance": "formalin", "salt": "3", "made-up-to": "1"})["salt"]
    )
