"""What a keeper wrote in one cell becomes one entry in our units, or the line is kept aside with the reason."""

from dataclasses import replace
from typing import Any

import pytest
from tests.ledger.importing.sheets import WIDE, a_reader, one_cell, read_sheet

COPPER = 'holds = "reading"\nconstituent = "copper"\nunit = "mg/L"'
NITRATE_N = 'holds = "reading"\nconstituent = "nitrate"\nunit = "ppm NO3-N"'
TEMPERATURE_F = 'holds = "reading"\nconstituent = "temperature"\nunit = "°F"'
WATER_CHANGE = 'holds = "water-change"\nunit = "US gal"'
DOSE = 'holds = "dose"\nstock = "copper-stock"\nunit = "mL"'


def _payload(text: str, target: str, **more: str) -> dict[str, Any]:
    line = one_cell(text, target, **more)
    assert line.troubles == ()
    return line.entries[0].payload.model_dump(exclude_defaults=True)


def _reason(text: str, target: str, **more: str) -> str:
    line = one_cell(text, target, **more)
    assert line.entries == ()
    return " ".join(trouble.reason for trouble in line.troubles)


@pytest.mark.parametrize(
    ("text", "numbers"),
    [
        ("0,18", {"value": 0.18}),
        ("0.18", {"value": 0.18}),
        ("0.18 mg/L", {"value": 0.18}),
        ("180 ppb", {"value": 0.18}),
        ("<0.02", {"below": 0.02}),
        ("< 0,02 ppm", {"below": 0.02}),
        (">5", {"above": 5.0}),
        ("0.1-0.2", {"low": 0.1, "high": 0.2}),
        ("0,1 – 0,2 mg/L", {"low": 0.1, "high": 0.2}),
        ("0.1 to 0.2", {"low": 0.1, "high": 0.2}),
    ],
)
def test_a_reading_may_be_a_number_an_interval_or_beyond_the_test(text: str, numbers: dict[str, float]) -> None:
    """As the test kit showed it."""
    found = _payload(text, COPPER)
    assert {field: found[field] for field in numbers} == numbers
    assert set(found) - set(numbers) - {"confirmed"} == {"system", "constituent"}


def test_nitrate_as_nitrogen_becomes_nitrate() -> None:
    """5 mg/L NO3-N is 22.13 mg/L NO3 (molar masses, IUPAC 2021)."""
    assert _payload("5", NITRATE_N)["value"] == pytest.approx(5 * 62.004 / 14.007, rel=1e-5)


def test_a_unit_in_the_cell_wins_over_the_columns() -> None:
    """One odd line in a column of NO3-N, and a bare ppm that keeps the column's basis."""
    assert _payload("22 mg/L NO3", NITRATE_N)["value"] == 22.0
    assert _payload("5 mg/L", NITRATE_N)["value"] == _payload("5", NITRATE_N)["value"]


def test_fahrenheit_becomes_celsius() -> None:
    """78.8 °F is 26 °C by definition."""
    assert _payload("78,8", TEMPERATURE_F)["value"] == 26.0
    assert _payload("25.5 °C", TEMPERATURE_F)["value"] == 25.5


def test_gallons_become_litres() -> None:
    """A US gallon is 3.785411784 L (NIST Handbook 44, appendix C)."""
    assert _payload("6", WATER_CHANGE)["volume_l"] == pytest.approx(22.7125, abs=1e-4)
    assert _payload("12 L", WATER_CHANGE)["volume_l"] == 12.0


def test_a_dose_of_stock_counts_its_copper() -> None:
    """2.5 mL of a stock with 1 mg of copper in each mL."""
    found = _payload("2,5", DOSE)
    assert (found["amount_ml"], found["amount_mg"], found["substance"]) == (2.5, 2.5, "copper_ionic")


def test_weighed_copper_sulfate_counts_its_copper() -> None:
    """3.929 mg of CuSO4·5H2O hold 1 mg of copper (recalled from the reagent table, recomputed from atomic masses)."""
    found = _payload("39.29 mg", 'holds = "dose"\nsubstance = "copper_ionic"\nunit = "g"')
    assert found["amount_mg"] == pytest.approx(10.0, rel=1e-3)
    assert "amount_mg" not in _payload("39.29 mg", 'holds = "dose"\nsubstance = "copper_chelated"\nunit = "g"')


def test_a_dose_of_dry_salt_counts_by_its_formula() -> None:
    """0.3668 g of CaCl2·2H2O lift 100 L by 1 mg/L of calcium (recalled from the reagent table, recomputed)."""
    found = _payload("366.8 mg", 'holds = "dose"\nsubstance = "calcium_chloride_dihydrate"\nunit = "g"')
    assert found["amount_g"] == 0.3668
    assert found["amount_mg"] == pytest.approx(100.0, rel=5e-4)


def test_what_a_salt_holds_is_not_guessed() -> None:
    """Where its water is not stated, the grams are kept and nothing is counted."""
    found = _payload("500 mg", 'holds = "dose"\nsubstance = "calcium_chloride"\nunit = "g"')
    assert found["amount_g"] == 0.5
    assert "amount_mg" not in found


def test_what_science_reckons_from_a_line_does_not_make_another_entry_of_it() -> None:
    """Imported again after a better molar mass, the same line is still the same entry."""
    sheet = "date;tank;it\n2026-11-03;lazaret;5 g\n"
    reader = a_reader(sheet, f'{WIDE}\n[columns.it]\nholds = "dose"\nsubstance = "potassium_nitrate"\nunit = "g"')
    bare = replace(reader, reckoned=lambda payload: payload)
    ours, theirs = (one.read(reader.table.lines[0]).entries[0] for one in (reader, bare))
    assert ours.id == theirs.id
    assert ours.payload != theirs.payload


def test_a_better_figure_for_copper_does_not_make_another_dose_of_a_line() -> None:
    """What the salt holds is added after the entry has its id, for copper as for any other salt."""
    sheet = "date;tank;it\n2026-11-03;lazaret;39.29 mg\n"
    reader = a_reader(sheet, f'{WIDE}\n[columns.it]\nholds = "dose"\nsubstance = "copper_ionic"\nunit = "g"')
    bare = replace(reader, reckoned=lambda payload: payload)
    ours, theirs = (one.read(reader.table.lines[0]).entries[0] for one in (reader, bare))
    assert ours.id == theirs.id
    assert ours.payload.model_dump()["amount_mg"] == pytest.approx(10.0, rel=1e-3)
    assert theirs.payload.model_dump()["amount_mg"] is None


def test_a_column_of_ph_may_be_on_another_scale() -> None:
    """The mapping says so; where it says nothing a pH is NBS, as a hobby meter reads it (common practice)."""
    ph = 'holds = "reading"\nconstituent = "ph"'
    assert "scale" not in _payload("8.1", ph)
    assert "scale" not in _payload("8.1", f'{ph}\nscale = "nbs"')
    assert _payload("8.05", f'{ph}\nscale = "total"')["scale"] == "total"


def test_a_feeding_in_portions_is_in_grams() -> None:
    """Two cubes of frozen mysis; a tick says only that there was some; without a food the cell is words."""
    mysis = 'holds = "feeding"\nfood = "frozen_mysis"\nunit = "portions"'
    assert _payload("2", mysis)["foods"] == ({"food": "frozen_mysis", "amount_g": 6.6},)
    assert _payload("x", mysis)["foods"] == ({"food": "frozen_mysis"},)
    assert _payload("a bit of nori", 'holds = "feeding"')["words"] == "a bit of nori"


def test_words_become_a_note_about_the_system() -> None:
    """With everything that was written."""
    assert _payload('"murky"; 25 °C', 'holds = "note"') == {"words": '"murky"; 25 °C', "subjects": ("system/lazaret",)}


def test_a_top_off_is_in_litres() -> None:
    """Milliliters come to litres too."""
    assert _payload("500 mL", 'holds = "top-off"\nunit = "L"') == {"system": "lazaret", "volume_l": 0.5}


@pytest.mark.parametrize(
    ("text", "target", "sentence"),
    [
        ("1,234", COPPER, "“1,234” can be read as 1234 or as 1.234"),
        ("1.350", COPPER, "“1.350” can be read as 1350 or as 1.350; say `decimal_mark` in the mapping"),
        ("about 1", COPPER, "is not a number"),
        ("0.2-0.1", COPPER, "an interval needs a low end that is not above its high end"),
        ("20", COPPER, "20\u202fmg/L of copper cannot be: it lies between 0 and 10\u202fmg/L"),
        ("-0.1", COPPER, "cannot be"),
        ("0.18 °C", COPPER, "Concentration is in mg/L"),
        ("350", 'holds = "reading"\nconstituent = "salinity"\nunit = "PSU"', "cannot be: it lies between 0 and 50"),
        (
            "1.02",
            'holds = "reading"\nconstituent = "salinity"\nunit = "PSU"',
            "1.02 looks like a specific gravity; salinity is in PSU here. The bench turns one into the other",
        ),
        ("1.02 SG", 'holds = "reading"\nconstituent = "salinity"\nunit = "PSU"', "not specific gravity"),
        ("30 %", WATER_CHANGE, "A share of the tank is not a volume"),
        ("0", WATER_CHANGE, "more than nothing"),
        ("20 °C", WATER_CHANGE, "Volume is in litres or US gallons, not °C"),
        ("-2", DOSE, "more than nothing"),
        ("2 °C", DOSE, "not °C"),
        ("w" * 4001, 'holds = "note"', "longer than 4000 characters"),
    ],
)
def test_what_cannot_be_is_kept_aside_with_the_reason(text: str, target: str, sentence: str) -> None:
    """A sentence says what is wrong and what would be right."""
    assert sentence in _reason(text, target)


def test_a_named_decimal_mark_settles_thousands() -> None:
    """The mapping's word is enough."""
    magnesium = 'holds = "reading"\nconstituent = "magnesium"\nunit = "mg/L"'
    assert _payload("1.350", magnesium, settings='decimal_mark = ","')["value"] == 1350.0
    assert _payload("1,350", magnesium, settings='decimal_mark = "."')["value"] == 1350.0


def test_a_doubtful_value_goes_in_with_the_doubt() -> None:
    """Nobody could be asked, and the entry says so."""
    assert _payload("0.62", COPPER)["confirmed"] == (
        "Imported without being asked about: copper 0.62\u202fmg/L is outside the usual 0 to 0.6.",
    )
    assert "confirmed" not in _payload("0.18", COPPER)


def test_copper_among_invertebrates_goes_in_with_the_doubt() -> None:
    """What happened is recorded, and never without the warning."""
    assert "which keeps invertebrates" in _payload("2", DOSE, tank="skerry")["confirmed"][0]


def test_a_change_larger_than_the_tank_goes_in_with_the_doubt() -> None:
    """It may have been done twice over."""
    assert "is more than Lazaret holds (90\u202fL)" in _payload("30", WATER_CHANGE)["confirmed"][0]


def test_systems_are_known_by_key_by_name_and_by_the_mappings_words() -> None:
    """A compartment may be named too; an unknown place is not guessed."""
    words = '\n[systems]\n"QT" = "lazaret"\n"box" = "skerry/creel"'
    for tank, system in (("lazaret", "lazaret"), ("Lazaret", "lazaret"), ("qt", "lazaret"), ("Box", "skerry")):
        assert _payload("0.18", COPPER, tank=tank, settings=words)["system"] == system
    assert _payload("0.18", COPPER, tank="box", settings=words)["compartment"] == "creel"
    assert "“Nano” is not a system of this household" in _reason("0.18", COPPER, tank="Nano", settings=words)
    assert "There is no system in this line" in _reason("0.18", COPPER, tank="")


def test_one_bad_cell_keeps_the_whole_line_aside() -> None:
    """Half a line is never recorded; every reason is named with its column."""
    sheet = "date;tank;cu;t\n2026-11-03;lazaret;20;hot\n"
    targets = f"{WIDE}[columns.cu]\n{COPPER}\n[columns.t]\n{TEMPERATURE_F}"
    line = read_sheet(sheet, targets)[0]
    assert [trouble.column for trouble in line.troubles] == ["cu", "t"]


def test_a_line_without_anything_to_record_is_kept_aside() -> None:
    """Words that stand for nothing are the keeper's own to name."""
    assert "is not a number" in _reason("-", COPPER)
    assert "nothing to record" in _reason("-", COPPER, settings='nothing = ["-"]')


LONG = """\
date = "when"
zone = "Europe/London"
only_system = "lazaret"
[long]
what = "what"
value = "value"
unit = "unit"
[things]
Cu = {holds = "reading", constituent = "copper", method = "copper_photometer"}
Nitrate = {holds = "reading", constituent = "nitrate"}
Change = {holds = "water-change"}
Sun = {holds = "ignore"}
"""


def test_a_long_table_has_one_thing_on_each_line() -> None:
    """What, value and unit side by side."""
    sheet = "when,what,value,unit\n2026-11-03 08:00,cu,0.18,ppm\n2026-11-03 09:00,Change,5,gal\n"
    copper, change = (line.entries[0].payload for line in read_sheet(sheet, LONG))
    assert copper.model_dump(exclude_defaults=True) == {
        "system": "lazaret",
        "constituent": "copper",
        "value": 0.18,
        "method": "copper_photometer",
    }
    assert change.model_dump(exclude_defaults=True) == {"system": "lazaret", "volume_l": 18.9271}


@pytest.mark.parametrize(
    ("line", "sentence"),
    [
        ("2026-11-03 08:00,Iodine,0.06,ppm", "“Iodine” is not in the mapping"),
        ("2026-11-03 08:00,Cu,0.18,", "There is no unit; write one such as mg/L"),
        ("2026-11-03 08:00,Nitrate,5,ppm", "ppm of what? Write the unit with its basis, such as mg/L NO3"),
        ("2026-11-03 08:00,Sun,5,h", "nothing to record"),
        ("2026-11-03 08:00,Cu,,ppm", "nothing to record"),
    ],
)
def test_a_long_table_is_not_guessed_either(line: str, sentence: str) -> None:
    """An unknown thing, a missing unit and a missing basis are kept aside."""
    read = read_sheet(f"when,what,value,unit\n{line}\n", LONG)[0]
    assert read.entries == ()
    assert sentence in read.troubles[0].reason
