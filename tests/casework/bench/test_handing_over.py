"""What a card hands on: the instrument to the ledger, each source once, and units and names as the keeper says them."""

import pytest
from tests.casework.bench.asking_it import ask, refusal

from pratique.casework.bench.cards import BENCH
from pratique.casework.bench.drawn import as_drawn
from pratique.knowledge import method

PAIR = {"reference": "25/25", "temperature": "25"}


@pytest.mark.parametrize(
    ("instrument", "answers"),
    [
        ("conductivity_meter", {"conductivity": "53.07", "temperature": "25"}),
        ("conductivity_meter", {"conductivity": "53.07", "compensation": "referred"}),
        ("hydrometer_glass", {"hydrometer": "1.0264", "material": "glass", **PAIR}),
        ("hydrometer_swing_arm", {"hydrometer": "1.0264", "material": "swing-arm", **PAIR}),
        ("refractometer", {"refractometer": "35", "scale": "seawater"}),
    ],
)
def test_the_ledger_is_told_the_instrument_that_was_read(instrument: str, answers: dict[str, str]):
    """The form would else propose the instrument used last, whose error is another."""
    entry = ask("salinity", **answers).entry
    assert entry is not None
    assert dict(entry.answers)["salinity_method"] == instrument
    assert "salinity" in method(instrument).constituents


def test_the_ledger_is_told_the_error_that_was_typed_and_no_instrument_where_none_was_named():
    """A specific gravity of 25/25 ± 0.0010 is ± 1.3 in salinity (0.000757 a unit, recomputed with gsw)."""
    entry = ask("salinity", specific_gravity="1.0264", specific_gravity_plus_minus="0.0010", reference="25/25").entry
    assert entry is not None
    sent = dict(entry.answers)
    assert sent["salinity_method"] == ""
    assert "± 1.3" in sent["words"]


@pytest.mark.parametrize("written", ["1,023", "1,0230", "1.023"])
def test_a_decimal_comma_in_a_specific_gravity_is_not_taken_for_thousands(written: str):
    """A hydrometer shows 0.98 to 1.06, never a thousand: 1,023 can only be 1.023 (common practice, no source)."""
    plain = ask("salinity", hydrometer="1.023", material="glass", **PAIR).value
    assert ask("salinity", hydrometer=written, material="glass", **PAIR).value == plain
    assert ask("salinity", specific_gravity=written, reference="25/25").value == pytest.approx(plain, abs=0.01)


def test_a_comma_that_may_part_thousands_is_refused_elsewhere():
    """1,023 kg/m³ may be either; 1,900 is no specific gravity either way."""
    assert "1.023" in refusal("salinity", density="1,023", temperature="25")["density"]
    assert "1.900" in refusal("salinity", specific_gravity="1,900", reference="25/25")["specific_gravity"]


def test_the_part_of_a_water_change_may_be_written_in_per_cent():
    """A quarter of 200 L is 50 L, and leaves three quarters of 40 mg/L (mass balance)."""
    water = {"level": "40 mg/L", "volume": "200"}
    found = ask("dilution", **water, changed_volume="25%")
    assert found.value == pytest.approx(30.0)
    assert found.entry is not None
    assert dict(found.entry.answers)["volume"] == "50"
    assert ask("dilution", **water, changed_volume="25", changed_volume_unit="%").value == pytest.approx(30.0)
    assert "all there is" in refusal("dilution", **water, changed_volume="125 %")["changed_volume"]
    # Again and again a quarter for a rise of 10: it settles at 40 before a change.
    again = {"rise": "10 mg/L", "incoming": "0", "volume": "200"}
    assert ask("dilution", way="routine", **again, changed_volume="25 %").value == pytest.approx(40.0)
    smaller = ask("dilution", **water, target="20", changed_volume="25 %")
    # 0.75 ** 3 is 0.42 and leaves 16.9: three changes fall below 20.
    assert any(one.words.startswith("Changes of 25") and one.value == 3 for one in smaller.more)


@pytest.mark.parametrize(
    ("everyday", "plain", "rise"),
    [("baking soda", "sodium bicarbonate", "1 dKH"), ("Epsom salt", "magnesium sulfate heptahydrate", "10 mg/L")],
)
def test_an_everyday_name_of_a_salt_is_understood(everyday: str, plain: str, rise: str):
    """Both are trade words of long standing (common practice, no source)."""
    water = {"volume": "100", "raise_": rise}
    assert ask("dose", substance=everyday, **water).words == ask("dose", substance=plain, **water).words
    options = next(one.options for one in BENCH["dose"].fields if one.name == "substance")
    drawn = as_drawn(BENCH["dose"].fields, {"substance": everyday})
    assert drawn["substance"] == plain.replace(" ", "_")
    assert any(everyday.casefold() in one.words.casefold() for one in options)


def test_each_source_stands_once():
    """Two temperatures without ± rest on the same thermometer: one source, and what was taken is not said again."""
    bare = {"refractometer": "35", "scale": "seawater", "correction": "none", "set_at": "20", "temperature": "25"}
    found = ask("salinity", **bare)
    sources = [one.source for one in found.sources]
    assert len(set(sources)) == len(sources)
    assert len(found.assumed) == 3
    assert not {one.words for one in found.sources} & set(found.assumed)


def test_who_writes_gallons_is_told_gallons():
    """50 US gal ± 10 % is ± 5 US gal; the first of three swaps is 9.01 L, 2.38 US gal (international definition)."""
    steps = {"way": "steps", "salinity": "35", "target": "30", "incoming": "0", "pace": "2"}
    found = ask("mix", **steps, volume="50 gallons")
    assert any("± 5\u202fUS gal is taken" in one for one in found.assumed)
    assert "2.38\u202fUS gal" in found.steps[0].words
    assert any(one.unit == "US gal" for one in found.more)
    litres = ask("mix", **steps, volume="189.27 L")
    assert "9.01\u202fL" in litres.steps[0].words
    assert not any("gal" in one for one in litres.assumed)
