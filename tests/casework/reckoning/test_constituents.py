"""Every constituent out of the ledger: salts by their formula, food by what it releases, new water as told."""

import pytest
from tests.casework.keeping import Keeper
from tests.casework.reckoning.asking import found, told

from pratique import knowledge
from pratique.casework.reckoning.dosed import dosed_mg
from pratique.casework.reckoning.feeding import released_mg_per_g
from pratique.knowledge.reckoning import belief, beliefs
from pratique.ledger.kinds import animals, water
from pratique.science.estimation.case import Change, Dose, Pulse, Refill, Unlogged

pytestmark = pytest.mark.django_db


@pytest.fixture
def keeper() -> Keeper:
    """Harbour Row with Lazaret, 80 L net ± 4."""
    keeper = Keeper()
    keeper.quarantine()
    return keeper


def test_every_constituent_that_can_be_read_has_a_belief_in_its_own_unit():
    """With a source and a status each, copper once for each form; an unknown one gets a sentence."""
    for one in knowledge.constituents():
        assert belief(one.key).unit == one.unit
    assert all(one.source and one.status for one in beliefs())
    with pytest.raises(KeyError, match="no belief of a constituent called “gold”"):
        belief("gold")


@pytest.mark.parametrize("constituent", [one.key for one in knowledge.constituents()])
def test_every_constituent_is_reckoned_from_two_readings(keeper, constituent):
    """A middling value read twice is where the level is, within what the readings leave open."""
    one = knowledge.constituent(constituent)
    middle = one.usual_lower + 0.4 * (one.usual_upper - one.usual_lower)
    value = {"copper": 0.2, "ph": 8.2, "salinity": 35.0}.get(constituent, middle)
    for day in (0, 0.9):
        keeper.read(day, constituent, value, None)
    reckoned = found(1, constituent)
    assert reckoned is not None
    assert reckoned.problem == ""
    assert reckoned.now.low <= value <= reckoned.now.high


@pytest.mark.parametrize(
    ("substance", "grams", "constituent", "litres_times_unit"),
    [
        # 3.0002 g in 100 L raise it by 1 dKH (stoichiometry, IUPAC weights; periodictable and molmass).
        ("sodium_bicarbonate", 3.0002, "alkalinity", 100.0),
        # Ca is 40.078 of 74.092 g/mol of Ca(OH)2, and 2 meq of alkalinity, 5.6 dKH, come with each mmol.
        ("calcium_hydroxide", 1.0, "calcium", 1000.0 * 40.078 / 74.092),
        ("calcium_hydroxide", 1.0, "alkalinity", 5.6 * 1000.0 / 74.092),
        # NO3 is 62.004 of 84.994 g/mol of NaNO3 (IUPAC weights).
        ("sodium_nitrate", 2.0, "nitrate", 2000.0 * 62.004 / 84.994),
    ],
)
def test_a_weighed_salt_counts_by_its_formula(substance, grams, constituent, litres_times_unit):
    """In the constituent's own unit times litres, also of what it raises besides the first."""
    dose = water.Dose(system="lazaret", substance=substance, amount_g=grams)
    assert dosed_mg(dose, constituent) == pytest.approx(litres_times_unit, rel=1e-3)


def test_a_salt_that_does_not_say_what_it_is_moves_the_level_by_nobody_knows_how_much(keeper):
    """Calcium chloride is sold with and without water."""
    keeper.read(0, "calcium", 420.0, None)
    keeper.write(0.5, water.Dose(system="lazaret", substance="calcium_chloride", amount_g=5.0))
    keeper.write(0.6, water.Dose(system="lazaret", substance="calcium_chloride_dihydrate", amount_g=5.0))
    assert [type(one) for one in told(1, "calcium").case.events] == [Unlogged, Dose]


@pytest.mark.parametrize(
    ("food", "released", "mg_per_l"),
    [
        # 1 g into 100 L; 0.092 of the protein is ammonia nitrogen (recalled from Timmons & Ebeling, recomputed).
        ("frozen_mysis", "prompt nitrogen", 0.0962),
        ("marine_pellet", "prompt nitrogen", 0.4416),
        # All nitrogen as NO3: protein / 6.25 × 4.4268 (IUPAC weights).
        ("frozen_mysis", "nitrogen", 0.7409),
        # All phosphorus as PO4: × 3.0662 (IUPAC weights).
        ("flake", "phosphorus", 0.3066),
    ],
)
def test_a_gram_of_food_releases_what_its_protein_and_phosphorus_hold(food, released, mg_per_l):
    """Worked by hand from the shares as fed."""
    assert released_mg_per_g(food, released) / 100.0 == pytest.approx(mg_per_l, rel=2e-3)


def test_five_grams_of_flake_are_four_tenths_of_phosphate_in_a_hundred_gallons():
    """A worked example of the hobby's chemistry writing: 1 % phosphorus, 378.541 L, about 0.4 mg/L (seen there)."""
    assert 5.0 * released_mg_per_g("flake", "phosphorus") / 378.541 == pytest.approx(0.4, abs=0.01)


def test_feedings_are_pulses_of_ammonia_and_say_nothing_of_calcium(keeper):
    """2 g of mysis as weighed; a feeding nobody weighed is one portion, far less sure."""
    keeper.read(0, "total_ammonia", 0.3, None)
    keeper.read(0, "calcium", 420.0, None)
    weighed = animals.FoodGiven(food="frozen_mysis", amount_g=2.0)
    for day, food in ((0.2, weighed), (0.4, animals.FoodGiven(food="frozen_mysis"))):
        keeper.write(day, animals.Feeding(system="lazaret", foods=(food,)))
    first, second = told(1, "total_ammonia").case.events
    assert isinstance(first, Pulse)
    assert first.amount_mg == pytest.approx(2.0 * 9.62, rel=2e-3)
    assert second.relative_sd > first.relative_sd
    assert told(1, "calcium").case.events == ()


def test_new_water_counts_as_told_and_else_as_new_water_usually_is(keeper):
    """Told 12 mg/L of nitrate it holds 12, closely; untold it holds hardly any."""
    keeper.read(0, "nitrate", 40.0, None)
    keeper.write(0.5, water.WaterChange(system="lazaret", volume_l=20, incoming_mg_per_l={"nitrate": 12.0}))
    keeper.write(0.6, water.WaterChange(system="lazaret", volume_l=20))
    as_told, usual = told(1, "nitrate").case.events
    assert isinstance(as_told, Change)
    assert as_told.incoming == 12.0
    assert (usual.incoming, usual.incoming_sd) == (0.5, 0.5)


def test_new_water_is_made_to_match_the_salinity_of_the_tank(keeper):
    """In a tank held at 14 a change with untold water does not pull it towards 35; it only makes it less sure."""
    keeper.read(0, "salinity", 14.0, "refractometer")
    keeper.write(0.5, water.WaterChange(system="lazaret", volume_l=40))
    assert [type(one) for one in told(1, "salinity").case.events] == [Unlogged]
    reckoned = found(1, "salinity")
    assert reckoned is not None
    assert reckoned.now.median == pytest.approx(14.0, abs=0.5)


def test_temperature_ph_and_oxygen_only_wander(keeper):
    """Doses and changes are not counted; a tank filled anew begins anew."""
    keeper.read(0, "temperature", 22.0, None)
    keeper.dose(0.2, 16.0)
    keeper.write(0.4, water.WaterChange(system="lazaret", volume_l=20))
    keeper.write(0.6, water.WaterChange(system="lazaret", emptied=True))
    assert [type(one) for one in told(1, "temperature").case.events] == [Refill]
    assert told(1, "temperature").case.level_walk_sd_per_sqrt_day > 0.0


def test_a_ph_is_moved_to_the_scale_of_a_hobby_meter(keeper):
    """NBS is 0.137 above total at salinity 35 and 25 °C (GEOSECS fit of Takahashi et al. 1982, recalled, PyCO2SYS)."""
    keeper.read(0, "temperature", 25.0, None)
    keeper.read(0, "salinity", 35.0, None)
    keeper.write(0.1, water.Reading(system="lazaret", constituent="ph", value=8.05, scale="total", method="ph_meter"))
    case = told(1, "ph").case
    assert case.readings[0].observed.value == pytest.approx(8.187, abs=0.003)
    assert list(case.methods) == ["ph_meter, total scale"]
