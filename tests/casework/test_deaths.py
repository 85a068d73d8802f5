"""A death is not passed over in silence, and a reading without a method is taken at its crudest."""

import pytest
from tests.casework.keeping import Keeper, at

from pratique.casework.methods import reading_words
from pratique.casework.rounds import rounds
from pratique.ledger.household import load_household
from pratique.ledger.kinds import animals
from pratique.ledger.kinds.water import Reading

pytestmark = pytest.mark.django_db


def test_a_death_among_others_is_an_urgent_concern_with_what_happened_before() -> None:
    """The others share its water, and the medicine put in the day before is named as coincidence."""
    keeper = Keeper()
    keeper.quarantine()
    keeper.write(-10, animals.Arrival(key="goby", name="Maiden goby", species="maiden_goby", system="lazaret"))
    keeper.dose(-1, 4.0)
    keeper.write(0, animals.Death(animal="goby"))
    found = {one.key: one for one in rounds(load_household(), now=at(0.5)).concerns}["death.goby"]
    assert found.weight == "now"
    assert "Royal gramma shares its water" in found.said[1]
    assert any("copper" in one.words for one in found.just_before)
    assert found.evidence
    assert "death.goby" not in {one.key for one in rounds(load_household(), now=at(8)).concerns}


@pytest.mark.parametrize(
    ("constituent", "value", "words"),
    [("temperature", 25.0, "25.0 ± 0.6 °C"), ("ph", 8.1, "8.10 ± 0.1")],
)
def test_a_reading_without_a_method_has_the_crudest_usual_error(constituent: str, value: float, words: str) -> None:
    """Thermometers are good to ±0.6 °C and pH papers to a tenth or two: common practice, no source."""
    reading = Reading(system="lazaret", constituent=constituent, value=value)
    assert reading_words(load_household(), reading).replace("\u202f", " ").startswith(words)
