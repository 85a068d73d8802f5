"""What a card hands on: the instrument to the ledger, each source once, and units and names as the keeper says them."""

import pytest
from tests.casework.bench.asking_it import ask, refusal

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
