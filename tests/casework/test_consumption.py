"""What a system's page says of its uptake: the number, its trend, what balances it, or what would make it known."""

import re

import pytest
from tests.casework.keeping import Keeper, at

from pratique.casework.consumption import ConsumptionLine, consumption_lines
from pratique.casework.facts import Facts
from pratique.ledger.household import load_household
from pratique.ledger.kinds import places, water

pytestmark = pytest.mark.django_db


def skerry(keeper: Keeper, *, net_volume_l: float | None = 200.0) -> None:
    """Set up a display."""
    keeper.write(
        -20,
        places.System(
            key="skerry",
            name="Skerry",
            role="display",
            gross_volume_l=240,
            net_volume_l=net_volume_l,
            net_volume_plus_minus_l=10.0 if net_volume_l else None,
        ),
    )


def soda(keeper: Keeper) -> None:
    """Put a stock of sodium bicarbonate on the shelf: 50 mg/mL as CaCO3, which is 1 meq/mL; 1 meq/L is 2.8 dKH."""
    keeper.write(
        -20, places.Stock(key="soda", name="soda stock", substance="sodium_bicarbonate", strength_mg_per_ml=50.0)
    )


def read_falling(keeper: Keeper, *, per_day: float, every: float = 1.0, days: int = 10, start: float = 9.0) -> None:
    """Read an alkalinity that falls evenly."""
    for number in range(int(days / every) + 1):
        day = number * every
        keeper.read(day, "alkalinity", round(start - per_day * day, 2), "fine_drops", system="skerry")


def lines(day: float) -> dict[str, ConsumptionLine]:
    """What is said on a day, by constituent."""
    household = load_household()
    return {one.constituent: one for one in consumption_lines(Facts(household, at(day)), household.systems["skerry"])}


def fine_drops(keeper: Keeper) -> None:
    """Name a method finer than the built-in ones."""
    keeper.write(
        -20,
        places.Method(key="fine_drops", name="fine drops", constituents=["alkalinity", "calcium"], absolute_sd=0.05),
    )


@pytest.fixture
def keeper() -> Keeper:
    """A household with a display and a fine method."""
    found = Keeper()
    skerry(found)
    fine_drops(found)
    return found


def numbers(pattern: str, words: str) -> tuple[float, ...]:
    """The numbers a pattern finds in a sentence."""
    found = re.search(pattern, words)
    assert found is not None, words
    return tuple(float(one) for one in found.groups())


def test_an_even_fall_is_told_with_what_balances_it(keeper: Keeper) -> None:
    """0.3 dKH a day in 200 L are 0.3 / 2.8 × 200 = 21.4 meq: that many mL of a stock of 1 meq/mL, give or take the
    5 % of the volume and what is not known of the uptake. The cautions of the salt stand beside it.
    """
    soda(keeper)
    read_falling(keeper, per_day=0.3)
    line = lines(10.1)["alkalinity"]
    mean, error = numbers(r"^Skerry takes up ([\d.]+) ± ([\d.]+)\u202fdKH of alkalinity a day", line.words)
    assert mean == pytest.approx(0.3, abs=0.05)
    millilitres, spread = numbers(r"(\d+) ± (\d+)\u202fmL of soda stock a day balances it", line.words)
    assert millilitres == pytest.approx(0.3 / 2.8 * 200.0, abs=3.0)
    assert spread + 1.0 >= millilitres * error / mean
    assert line.cautions
    assert not line.is_withheld
    assert {one.status for one in line.reasons} == {"guess"}


def test_no_more_is_told_than_is_added_in_a_day(keeper: Keeper) -> None:
    """Of 2 dKH taken up a day 1 dKH is told, the most for a day: 1 / 2.8 × 200 = 71.4 mL of that stock."""
    soda(keeper)
    read_falling(keeper, per_day=2.0, every=0.25, days=3, start=13.0)
    line = lines(3.1)["alkalinity"]
    pattern = r"no more than (\d+)\u202fmL of soda stock a day, .*: it raises the water by ([\d.]+)\u202fdKH, the most"
    millilitres, most = numbers(pattern, line.words)
    assert most == 1.0
    assert millilitres == pytest.approx(71.4, abs=5.0)
    assert "a day balances it" not in line.words
    assert line.cautions
    assert any("is added in a day" in one.words for one in line.reasons)


def test_without_a_stock_the_salt_is_told_by_weight(keeper: Keeper) -> None:
    """60 dKH·litres a day; 3.000 g of sodium bicarbonate lift 100 L by 1 dKH (molar masses): 1.8 g."""
    read_falling(keeper, per_day=0.3)
    grams, _ = numbers(r"([\d.]+) ± ([\d.]+)\u202fg of baking soda a day balances it", lines(10.1)["alkalinity"].words)
    assert grams == pytest.approx(1.8, abs=0.25)


def test_what_is_dosed_is_counted_as_taken_up(keeper: Keeper) -> None:
    """A level held by 21 mL a day of that stock is one that takes them up."""
    soda(keeper)
    for day in range(11):
        keeper.read(day, "alkalinity", 8.0, "fine_drops", system="skerry")
        dose = water.Dose(
            system="skerry", substance="sodium_bicarbonate", stock="soda", amount_ml=21.4, amount_mg=21.4 * 50.0
        )
        keeper.write(day + 0.01, dose)
    mean, _ = numbers(r"takes up ([\d.]+) ± ([\d.]+)", lines(10.1)["alkalinity"].words)
    assert mean == pytest.approx(0.3, abs=0.05)


def test_an_uptake_that_grows_is_told_as_rising(keeper: Keeper) -> None:
    """0.1 a day in the first days and 0.06 more each day after: rising, by about 0.4 a day each week."""
    level = 14.0
    for number in range(29):
        keeper.read(number * 0.5, "alkalinity", round(level, 2), "fine_drops", system="skerry")
        level -= 0.5 * (0.1 + 0.03 * number)
    more, error = numbers(
        r"that is rising by ([\d.]+) ± ([\d.]+)\u202fdKH a day each week", lines(14.1)["alkalinity"].words
    )
    assert more == pytest.approx(0.42, abs=error + 0.02)


def test_one_reading_tells_what_would_make_an_uptake_known(keeper: Keeper) -> None:
    """One reading says nothing of an uptake: read again, and no dose is told."""
    keeper.read(0, "alkalinity", 8.0, "fine_drops", system="skerry")
    line = lines(0.2)["alkalinity"]
    assert line.is_withheld
    assert (
        line.words == "What Skerry takes up of alkalinity a day is not known: read it twice or more, some days apart."
    )


def test_two_readings_an_hour_apart_leave_an_uptake_unknown(keeper: Keeper) -> None:
    """The spread is told, and that readings every other day would help."""
    for hours in (0, 1):
        keeper.read(hours / 24, "alkalinity", 8.0, "fine_drops", system="skerry")
    line = lines(0.2)["alkalinity"]
    assert line.is_withheld
    assert "is not known well enough to say: somewhere from" in line.words
    assert "balances" not in line.words


def test_in_a_tank_of_unknown_volume_no_dose_balances_it() -> None:
    """The fall is told; what would balance it is not."""
    keeper = Keeper()
    skerry(keeper, net_volume_l=None)
    fine_drops(keeper)
    read_falling(keeper, per_day=0.3)
    line = lines(10.1)["alkalinity"]
    assert "What balances it is not said: Skerry's net volume is not known." in line.words
    assert line.cautions == ()


def test_nothing_is_added_where_the_level_is_above_what_is_usual(keeper: Keeper) -> None:
    """At 16 dKH falling by 0.3 a day the uptake is told, and that nothing is to be added."""
    read_falling(keeper, per_day=0.3, start=19.0)
    words = lines(10.1)["alkalinity"].words
    assert "Add nothing now: alkalinity is above what is usual" in words
    assert "balances it" not in words


def test_a_newest_reading_that_does_not_fit_withholds_the_dose(keeper: Keeper) -> None:
    """After ten readings falling evenly one of 12 is repeated first."""
    read_falling(keeper, per_day=0.3)
    keeper.read(10.5, "alkalinity", 12.0, "fine_drops", system="skerry")
    line = lines(10.6)["alkalinity"]
    assert "balances it" not in line.words


def test_an_old_newest_reading_withholds_the_dose(keeper: Keeper) -> None:
    """Alkalinity speaks for a week; nine days after the newest reading it is to be read again first."""
    read_falling(keeper, per_day=0.1, days=40, start=13.0)
    line = lines(49.1)["alkalinity"]
    assert "balances it, " not in line.words
    assert line.cautions == ()


def test_what_rises_of_itself_is_told_as_rising_and_nothing_balances_it(keeper: Keeper) -> None:
    """Calcium that rises by 5 a day, faster each day, as when rock or salt gives it off."""
    for day in range(15):
        keeper.read(day, "calcium", 380.0 + 3.0 * day + 0.2 * day * day, "fine_drops", system="skerry")
    words = lines(14.1)["calcium"].words
    rise, _ = numbers(r"^Calcium in Skerry rises by ([\d.]+) ± ([\d.]+)\u202fmg/L a day of itself", words)
    assert rise == pytest.approx(3.0 + 0.4 * 14.0, abs=1.5)
    more, _ = numbers(r"that is rising by ([\d.]+) ± ([\d.]+)\u202fmg/L a day each week", words)
    assert more == pytest.approx(2.8, abs=1.0)
    assert "balances" not in words


def test_what_does_not_change_is_told_as_no_uptake_that_can_be_told(keeper: Keeper) -> None:
    """Calcium read every other day at 420: what is taken up cannot be told from none, and nothing balances it."""
    for day in range(0, 21, 2):
        keeper.read(day, "calcium", 420.0, "fine_drops", system="skerry")
    words = lines(20.1)["calcium"].words
    assert words.startswith("What Skerry takes up of calcium cannot be told from none: ")
    assert "balances" not in words


def test_a_constituent_nobody_read_has_no_line(keeper: Keeper) -> None:
    """Nothing is said of what was not read, nor of what tanks do not take up."""
    keeper.read(0, "temperature", 25.0, None, system="skerry")
    assert lines(0.2) == {}
