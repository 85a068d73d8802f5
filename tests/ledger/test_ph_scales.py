"""A pH in the ledger has a scale; where nothing is said it is NBS, and the entry is as it always was."""

import pytest
from pydantic import ValidationError
from tests.ledger.builders import an_entry

from pratique.ledger.append import append
from pratique.ledger.kinds.registry import read_payload
from pratique.ledger.kinds.water import Reading
from pratique.ledger.queries import entry_by_id


def test_an_entry_of_before_reads_as_nbs() -> None:
    """A hobby meter set in ordinary buffers reads NBS (common practice, no source)."""
    before = read_payload("reading", 1, {"constituent": "ph", "system": "lazaret", "value": 8.1})
    assert isinstance(before, Reading)
    assert before.scale == "nbs"


@pytest.mark.django_db
def test_a_ph_on_nbs_is_written_as_it_always_was() -> None:
    """The same text and the same version, whether the scale was said or not: no digest and no import id changes."""
    for reading in (
        Reading(system="lazaret", constituent="ph", value=8.1),
        Reading(system="lazaret", constituent="ph", value=8.1, scale="nbs"),
    ):
        stored = append([an_entry(reading)])[0].entry
        assert stored.payload_text == '{"constituent":"ph","system":"lazaret","value":8.1}'
        assert stored.version == 1


@pytest.mark.django_db
@pytest.mark.parametrize("scale", ["total", "free"])
def test_another_scale_is_kept(scale: str) -> None:
    """It is written into the entry, as of a version that an older program does not take for NBS."""
    reading = Reading.model_validate({"system": "lazaret", "constituent": "ph", "value": 8.05, "scale": scale})
    stored = append([an_entry(reading)])[0].entry
    found = entry_by_id(stored.id)
    assert found is not None
    assert found.payload == reading
    assert (found.raw["scale"], found.version) == (scale, 2)


def test_only_ph_has_a_scale() -> None:
    """A temperature on the total scale means nothing."""
    with pytest.raises(ValidationError, match="only pH has a scale"):
        Reading(system="lazaret", constituent="temperature", value=25.0, scale="total")
