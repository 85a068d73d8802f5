"""Keys this version does not know, as a ledger restored from a newer one may hold."""

import pytest

from pratique import knowledge


def test_a_kind_that_is_not_known_is_taken_to_bear_no_copper():
    """The caution is the highest there is, and the name says that the kind is not known."""
    kind = knowledge.species_or_unknown("glass_goby_of_2031")
    assert kind.copper_caution == "high"
    assert kind.name == "glass goby of 2031 (a kind not known to this version)"


def test_a_substance_that_is_not_known_counts_as_a_medicine_that_harms_invertebrates():
    """Which constituent it raises is not known, so nothing is reckoned of it."""
    substance = knowledge.substance_or_unknown("powder_of_2031")
    assert substance.harms_invertebrates
    assert substance.is_medicine
    assert substance.constituent is None


def test_a_protocol_that_is_not_known_has_one_leg_and_a_criterion_no_fact_answers():
    """So that its gate stays shut."""
    legs = knowledge.protocol_or_unknown("passage_of_2031").legs
    assert [[one.key for one in leg.criteria] for leg in legs] == [[knowledge.PROTOCOL_KNOWN]]


@pytest.mark.parametrize(
    ("look_up", "known", "key"),
    [
        (knowledge.species_or_unknown, knowledge.species, "royal_gramma"),
        (knowledge.substance_or_unknown, knowledge.substance, "copper_ionic"),
        (knowledge.protocol_or_unknown, knowledge.protocol, "observation"),
        (knowledge.constituent_or_unknown, knowledge.constituent, "ph"),
    ],
)
def test_what_is_known_is_found_as_it_is(look_up, known, key):
    """A stand-in never takes the place of a figure."""
    assert look_up(key) is known(key)
