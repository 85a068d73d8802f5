"""What is told of a body. The curves are those of the figures (Froese, Thorson & Reyes 2014); limits are our own."""

import pytest
from tests.casework.conftest import NOW
from tests.casework.keeping import Keeper, at

from pratique import knowledge
from pratique.casework.animals import animal_sheet
from pratique.ledger.household import Household, load_household
from pratique.ledger.kinds.animals import Arrival, Observation
from pratique.units import THIN_SPACE

FISH = "two-bar"


@pytest.fixture
def keeper(db) -> Keeper:
    """A household with Lazaret, and in it a clownfish of 6 cm that came on day 0."""
    keeper = Keeper()
    keeper.quarantine()
    keeper.write(0, Arrival(key=FISH, name="Two-bar", species="ocellaris_clownfish", system="lazaret", length_cm=6.0))
    return keeper


def lines(day: float, animal: str = FISH) -> dict[str, str]:
    """Return what the animal's page tells of its body, with plain spaces."""
    body = animal_sheet(load_household(), animal, now=at(day)).body
    return {what: words.replace(THIN_SPACE, " ") for what, words in body.lines}


def key_of(kind: knowledge.Species) -> str:
    """Return a key an animal of a kind may have."""
    return kind.key.replace("_", "-")


def test_weight_is_told_from_length_alone_with_its_range(keeper):
    """0.0257·6^2.95 = 5.08 g (by hand); the range covers the curve's own spread and one animal's."""
    found = lines(1)
    assert found["Length"] == "6.0 ± 0.6 cm, yesterday 12:00"
    assert found["Weight"].startswith("about 5.1 g from its length alone, 2.")
    assert found["Weight"].endswith("by the curve of clownfish")
    assert "Against its shape" not in found


def test_a_weighed_fish_is_set_against_its_shape(keeper):
    """4.06 g is 0.80 times the curve's 5.08; K = 100·4.06/216 = 1.88, on the curve 2.35."""
    keeper.write(2, Observation(animal=FISH, weight_g=4.06))
    found = lines(3)
    assert found["Weight"] == "4.06 ± 0.24 g, weighed yesterday 12:00"
    assert found["Against its shape"].startswith("0.80 times what clownfish of its length weigh (0.")
    assert (
        "50 % likely to be light, under 0.8 times. Its condition factor 100·W/L³ is 1.88, on the curve 2.35."
        in found["Against its shape"]
    )
    assert "Its own pictures over weeks" in found["Against its shape"]


def test_a_newer_length_takes_the_place_of_that_at_arrival(keeper):
    """It grew."""
    keeper.write(5, Observation(animal=FISH, length_cm=7.0))
    assert lines(6)["Length"].startswith("7.0 ±")


def test_where_nothing_is_known_it_is_said_how_to_make_it_known(keeper):
    """The gramma came without a length, and no picture of it was measured."""
    found = lines(1, "gramma")
    assert found["Length"].startswith("not known. Write its whole length")
    assert found["Weight"].startswith("not known")
    assert found["Days without loss"].startswith("not known. Photograph it side-on on two days")


def test_a_level_body_has_its_days_counted(keeper):
    """Four pictures over fifteen days at 0.42 ± 0.004."""
    for day in (1, 6, 11, 16):
        keeper.write(day, Observation(animal=FISH, depth_over_length=0.42, depth_over_length_plus_minus=0.004))
    found = lines(17)
    assert found["Depth over length"] == "0.420 ± 0.004, yesterday 12:00"
    assert found["Days without loss"].startswith("15 days, up to the newest picture yesterday 12:00: ")
    assert found["Days without loss"].endswith("50 % that it lost nothing.")


def test_the_printed_depth_of_a_kind_stands_beside_its_own(keeper):
    """Acanthurus triostegus: 0.53 to 0.56 (published)."""
    keeper.write(0, Arrival(key="convict", name="Convict", species="convict_tang", system="lazaret"))
    keeper.write(1, Observation(animal="convict", depth_over_length=0.5, depth_over_length_plus_minus=0.02))
    assert lines(2, "convict")["Depth over length"].endswith("; 0.53 to 0.56 in print for its kind")


def test_every_figure_behind_it_shows_its_status(keeper):
    """The curve is published, the errors of length are guesses."""
    keeper.write(2, Observation(animal=FISH, weight_g=4.0))
    found = animal_sheet(load_household(), FISH, now=at(3)).body.reasons
    assert {one.status for one in found} == {"published", "guess"}
    assert all(one.source for one in found)


def test_every_kind_of_fish_has_a_page_that_opens(keeper):
    """Whatever its shape, weighed and measured; a kind without a curve says so."""
    kinds = [one for one in knowledge.all_species() if not one.is_invertebrate]
    for kind in kinds:
        keeper.write(0, Arrival(key=key_of(kind), name=kind.name, species=kind.key, system="lazaret", length_cm=8.0))
    for kind in (kinds[0], next(one for one in kinds if knowledge.body_shape_of(one) is None)):
        keeper.write(1, Observation(animal=key_of(kind), weight_g=9.0))
        found = lines(2, key_of(kind))
        has_curve = knowledge.body_shape_of(kind) is not None
        assert found["Against its shape"].startswith("not known: no curve fits it.") != has_curve


def test_an_invertebrate_has_no_body_of_a_fish(keeper):
    """No curve of a fish fits a shrimp."""
    shrimp = next(one for one in knowledge.all_species() if one.is_invertebrate)
    keeper.write(0, Arrival(key="shrimp", name="Shrimp", species=shrimp.key, system="lazaret"))
    assert animal_sheet(load_household(), "shrimp", now=at(1)).body is None


def test_the_wrasse_that_thins_has_not_held_a_day(harbour_row: Household):
    """In the demo household it eats, yet its pictures fall."""
    body = animal_sheet(harbour_row, "six-line-wrasse", now=NOW).body
    assert dict(body.lines)["Days without loss"].startswith("none shown, up to the newest picture today")
