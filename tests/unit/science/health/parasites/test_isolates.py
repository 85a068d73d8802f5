"""The isolates drawn from what is known, and what the model says of the trade's courses with them."""

import numpy as np
import pytest

from pratique import knowledge
from pratique.science.chemistry.domain import DomainError
from pratique.science.health.parasites.clearance import chance_at_end
from pratique.science.health.parasites.hazard import Days
from pratique.science.health.parasites.isolates import belief_of, unknowns_of

SPAN = 46.0
DAY = np.arange(Days(SPAN, 1).steps) / 4.0
AT_TARGET = np.where((DAY >= 2.0) & (DAY < 32.0), 1.2, 0.0)[None, :]
DIPPED = np.where((DAY >= 12.0) & (DAY < 14.0), 0.3, AT_TARGET)


def clear(parasite: str, **days: object) -> float:
    """The chance that a batch of two which had the parasite is clear after 46 days at 26 °C."""
    belief = belief_of(parasite, temperature_c=26.0, animals=2, rows=60)
    chance = chance_at_end(Days(**{"days": SPAN, "animals": 2, **days}), belief)
    return 1.0 - float((1.0 - chance.mean()) / belief.carried_in)


def test_one_seed_gives_the_same_isolates():
    """And another one others."""
    first, same, other = (belief_of("white_spot", temperature_c=26.0, seed=seed).isolates for seed in (1, 1, 2))
    assert np.array_equal(first.settling, same.settling)
    assert not np.array_equal(first.settling, other.settling)


def test_a_larger_batch_carries_it_more_likely():
    """Three animals with a chance of p each: 1 - (1 - p)^3; the expected burden of the batch grows with them."""
    chance = knowledge.parasite("white_spot").initially_infected_probability.value
    one, three = (belief_of("white_spot", temperature_c=26.0, animals=count) for count in (1, 3))
    assert one.carried_in == pytest.approx(chance)
    assert three.carried_in == pytest.approx(1.0 - (1.0 - chance) ** 3)
    assert three.carried_in * three.isolates.burden.mean() * 3 == pytest.approx(
        3.0 * one.carried_in * one.isolates.burden.mean()
    )


@pytest.mark.parametrize("parasite", ["white_spot", "velvet", "flukes"])
def test_every_chance_lies_between_nothing_and_certainty(parasite):
    """In every row, at a usual temperature and at its edges."""
    for temperature in (16.0, 26.0, 30.0):
        isolates = belief_of(parasite, temperature_c=temperature).isolates
        for chances in (isolates.viable, isolates.carried, isolates.bath_survival, isolates.adult_survival):
            assert np.all((chances >= 0.0) & (chances <= 1.0))
        assert np.all(isolates.settling > 0.0)
        assert np.all(isolates.host_cdf[:, -1] == pytest.approx(1.0))
        assert len(unknowns_of(isolates)[0][1]) == len(isolates) == 200


def test_moves_every_three_days_clear_white_spot():
    """Colorni 1985: four moves at three days broke the cycle; what is left of doubt is what a wet net carries."""
    assert clear("white_spot", moves=(0, 3, 6, 9)) > 0.98
    assert clear("white_spot", moves=(0, 4, 8, 12)) < clear("white_spot", moves=(0, 3, 6, 9))


def test_moves_alone_do_not_clear_flukes_and_baths_in_the_window_help():
    """Adults stay on the fish through every move: inferred from Bondad-Reantaso et al. 1995."""
    assert clear("flukes", moves=(0, 3, 6, 9)) < 0.2
    assert clear("flukes", moves=(0, 3, 6, 9), baths=(1.0, 10.0)) > clear("flukes", moves=(0, 3, 6, 9), baths=(1.0,))


def test_copper_does_nothing_to_flukes():
    """Custom of the trade."""
    assert clear("flukes", copper_part=AT_TARGET) == pytest.approx(clear("flukes"), abs=1e-3)


def test_low_salinity_clears_white_spot_but_not_velvet():
    """Cysts of white spot burst at 16 or less (Cheung et al. 1979); velvet lives from about 3 to 45 PSU (recalled)."""
    low = np.where((DAY >= 2.0) & (DAY < 30.0), 14.0, 35.0)
    assert clear("white_spot", salinity_psu=low) > 0.9
    assert clear("velvet", salinity_psu=low) == pytest.approx(clear("velvet"), abs=1e-9)


@pytest.mark.parametrize("parasite", ["white_spot", "velvet"])
def test_a_dip_of_two_days_costs_whatever_the_isolate(parasite):
    """Copper held, copper with the dip, no copper: in this order for every isolate."""
    belief = belief_of(parasite, temperature_c=26.0, animals=2, rows=60)
    held, dipped, none = (
        chance_at_end(Days(SPAN, 2, copper_part=copper), belief) for copper in (AT_TARGET, DIPPED, None)
    )
    assert np.all(held >= dipped)
    assert np.all(dipped >= none)
    assert held.mean() > dipped.mean() + 0.01


def test_a_batch_without_animals_is_refused():
    """In a sentence."""
    with pytest.raises(DomainError, match="at least one animal"):
        belief_of("white_spot", temperature_c=26.0, animals=0)
