"""Animals that take a protocol badly. Groups: Noga and Yanong FA165 (recalled), common practice."""

from pratique.knowledge import protocol, species
from pratique.science.passage.sensitive import cautions_of


def test_a_pygmy_angelfish_is_told_of_under_copper_and_not_in_a_transfer():
    """Centropyge is on every list of fishes that take copper badly."""
    angel = species("two_spined_angelfish")
    (found,) = cautions_of(protocol("copper-30"), [angel])
    assert (found.agent, found.instead) == ("copper", ("tank_transfer", "observation"))
    assert not cautions_of(protocol("tank-transfer"), [angel])


def test_what_is_told_instead_leaves_the_agent_out():
    """No alternative brings back what it was to spare."""
    for name in ("copper-30", "copper-14-recover", "lowered-salinity"):
        for found in cautions_of(protocol(name), [species("two_spined_angelfish")]):
            for key in found.instead:
                assert found.agent not in {c.agent for leg in protocol(key).legs for c in leg.courses}


def test_a_damsel_is_not_warned_of():
    """Low caution: nothing to tell."""
    assert not cautions_of(protocol("copper-30"), [species("royal_gramma")])
