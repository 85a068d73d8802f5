"""The household, its systems, compartments, methods and stock solutions."""

import pytest
from tests.writing.conftest import NOW, desk, doubts_of, problems_of

from pratique.casework.methods import methods_of
from pratique.casework.writing.forms import FORMS, write_form
from pratique.ledger.household import load_household
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
