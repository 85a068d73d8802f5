"""What the history says of a dose and of a pH."""

import pytest
from tests.ledger.importing.sheets import harbour_row_in_memory

from pratique.ledger.kinds.water import Dose, PhScale, Reading
from pratique.web.entries.water_words import SAYINGS


@pytest.mark.parametrize(
    ("substance", "milligrams", "said"),
    [
        ("copper_ionic", 254.5, "of ionic copper (copper sulfate) dosed, which carries 254.5 mg of copper"),
        ("potassium_nitrate", 613.3, "of potassium nitrate dosed, which carries 613.3 mg of nitrate"),
        ("ammonium_chloride", 261.9, "of ammonium chloride dosed, which carries 261.9 mg of nitrogen"),
        ("potassium_iodide", 764.5, "of potassium iodide dosed, which carries 764.5 mg of iodine"),
        ("sodium_bicarbonate", 595.2, "of sodium bicarbonate dosed, which carries 595.2 mg of alkalinity as CaCO3"),
        ("calcium_chloride", None, "of calcium chloride (water in it not stated) dosed"),
    ],
)
def test_a_dose_says_what_its_milligrams_are_of(substance: str, milligrams: float | None, said: str) -> None:
    """Of the calcium, the nitrate, the alkalinity: not of the salt."""
    dose = Dose(system="lazaret", substance=substance, amount_g=1.0, amount_mg=milligrams)
    sentence = SAYINGS[Dose](dose, harbour_row_in_memory()).replace("\u202f", " ")
    assert sentence == f"Lazaret: 1.00 g {said}"


@pytest.mark.parametrize(
    ("scale", "end"), [("nbs", ""), ("total", " on the total scale"), ("free", " on the free scale")]
)
def test_a_ph_says_its_scale_where_it_is_not_nbs(scale: PhScale, end: str) -> None:
    """NBS goes without saying."""
    reading = Reading(system="lazaret", constituent="ph", value=8.05, scale=scale, method="ph_meter")
    # ± 95 % of what a pocket meter is good for: 0.05 and a last digit of 0.01 (common practice, no source).
    said = f"Lazaret: pH 8.05 ± 0.10{end}, by pH meter, two-point calibrated"
    assert SAYINGS[Reading](reading, harbour_row_in_memory()) == said
