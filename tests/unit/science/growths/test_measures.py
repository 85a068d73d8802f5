"""What may be done about a growth: rules of custom and print, each with its source in `knowledge`."""

import itertools
from dataclasses import replace

import pytest

from pratique.knowledge.growth_measures import growth_block, growth_lines, growth_measures
from pratique.science.growths.measures import MeasureVerdict, WaterNow, measure_verdicts

KEYS = [one.key for one in growth_measures()]


def sure(candidate: str) -> dict[str, float]:
    """Return chances with one candidate nearly sure."""
    return {key: 0.96 if key == candidate else 0.02 for key in growth_lines()}


def water(candidate: str = "cyanobacteria", **given) -> WaterNow:
    """Return an old, rested tank read this morning, with nothing against anything."""
    levels = {"total_ammonia": 0.0, "nitrite": 0.0, "oxygen": 6.5, "nitrate": 0.0, "phosphate": 0.0, "silicate": 0.1}
    usual = {"chances": sure(candidate), "age_days": 400.0, "levels": levels, "by_hand_days": 30.0}
    return WaterNow(**(usual | given))


def verdict(measure: str, at: WaterNow) -> MeasureVerdict:
    """Return what is said of one measure."""
    return next(one for one in measure_verdicts(at) if one.measure.key == measure)


def against(found: MeasureVerdict) -> set[str]:
    """Return what stands against it."""
    return {one.block.key for one in found.objections if one.rank}


def test_every_name_in_the_data_is_known():
    """Blocks, candidates' lines and measures name each other."""
    for measure in growth_measures():
        assert [growth_block(key).key for key in measure.blocks] == list(measure.blocks)
    for lines in growth_lines().values():
        assert set(lines.first + lines.second + lines.avoid) <= set(KEYS)


@pytest.mark.parametrize("candidate", growth_lines())
def test_an_antibiotic_is_never_the_first_answer(candidate):
    """It is in no first line, comes after everything else, and is told for cyanobacteria only."""
    assert "antibiotic" not in growth_lines()[candidate].first
    found = [one.measure.key for one in measure_verdicts(water(candidate))]
    assert ("antibiotic" in found) == (candidate == "cyanobacteria")
    if "antibiotic" in found:
        assert found[-1] == "antibiotic"
        assert found[0] == "take_out"


def test_in_a_rested_old_tank_read_today_peroxide_is_allowed():
    """Nothing stands against it; shrimps are a care, with the dose named."""
    assert verdict("peroxide", water()).state == "now"
    kept = verdict("peroxide", water(inhabitants={"crustaceans": ("Cleaner shrimps",)}))
    assert kept.state == "now"
    assert [one.block.key for one in kept.objections] == ["moulting"]
    assert kept.measure.most_mg_per_l == 2.0


def test_animals_that_rest_set_the_day_and_are_named():
    """The one that rests longest sets it; taking it out by hand is always allowed."""
    found = measure_verdicts(water(resting=(("Goby", 2.0), ("Bristletooth", 6.0))))
    for one in found:
        if "rest" in one.measure.blocks:
            assert one.state == "not before"
            assert one.days is not None
            assert one.days >= 6.0
            assert next(x for x in one.objections if x.block.key == "rest").names == ("Bristletooth", "Goby")
        if one.measure.adds == "nothing":
            assert one.state == "now"


def test_what_nobody_read_is_not_known_and_never_well():
    """Without oxygen, ammonia and nitrite an antibiotic waits for them; with ammonia it is refused."""
    blind = verdict("antibiotic", water(levels={}))
    assert blind.state == "not known"
    assert {"nitrogen", "oxygen"} <= against(blind)
    half = verdict("antibiotic", water(levels={"total_ammonia": 0.4, "oxygen": 6.5}))
    assert half.state == "not here"


@pytest.mark.parametrize(
    ("given", "measure", "block", "state"),
    [
        ({"age_days": 60.0}, "antibiotic", "young_tank", "not before"),
        ({"by_hand_days": 3.0}, "antibiotic", "others_first", "not before"),
        ({"by_hand_days": None}, "antibiotic", "others_first", "not before"),
        ({"medicines": ("ionic copper",)}, "peroxide", "medicine", "not before"),
        ({"may_hold_copper": True}, "peroxide", "copper_or_iron", "not here"),
        ({"since": {"silicate": 2.0}}, "peroxide", "unlike", "not before"),
        ({"inhabitants": {"macroalgae": ("Sea lettuce",)}}, "peroxide", "macroalgae", "not here"),
        ({"inhabitants": {"peroxide_tender": ("Feather duster",)}}, "peroxide", "peroxide_tender", "not here"),
    ],
)
def test_each_thing_stands_against_its_measure(given, measure, block, state):
    """One at a time, in a tank where else nothing would."""
    found = verdict(measure, water(**given))
    assert against(found) == {block}
    assert found.state == state


def test_a_blackout_waits_for_new_corals_and_low_oxygen_forbids_it():
    """Photosynthesis makes no oxygen in the dark; shipped corals are spared their first month."""
    young = water("ostreopsis", newest_light_keeper_days=10.0, inhabitants={"light_keepers": ("Stony corals",)})
    found = verdict("blackout", young)
    assert found.state == "not before"
    assert found.days == pytest.approx(20.0)
    assert verdict("blackout", water("ostreopsis", levels={"oxygen": 4.5})).state == "not here"


def test_nutrients_are_raised_only_where_both_were_read_and_are_low():
    """Nitrate alone makes corals bleach more (Wiedenmann et al. 2012): both or neither."""
    assert verdict("raise_nutrients", water("ostreopsis")).state == "now"
    assert verdict("raise_nutrients", water("ostreopsis", levels={"nitrate": 0.0})).state == "not known"
    rich = water("ostreopsis", levels={"nitrate": 8.0, "phosphate": 0.08})
    assert verdict("raise_nutrients", rich).state == "not here"


def test_between_diatoms_and_amphidinium_nothing_goes_into_the_water():
    """Silicate feeds the one and fights the other: as likely as not is not settled."""
    torn = dict.fromkeys(growth_lines(), 0.02) | {"pennate_diatoms": 0.6, "small_amphidinium": 0.6}
    for key in ("silicate", "adsorber"):
        found = verdict(key, water(chances=torn))
        assert found.state == "not known"
        assert "works_against" in against(found)
    assert verdict("take_out", water(chances=torn)).state == "now"


def test_the_same_treatment_going_on_does_not_stand_against_itself():
    """The second day of peroxide follows the first."""
    assert verdict("peroxide", water(since={"peroxide": 1.0})).state == "now"


@pytest.mark.parametrize("candidate", growth_lines())
def test_one_more_objection_never_makes_a_measure_more_allowed(candidate):
    """Metamorphic: a worse water is never judged better, whatever grows in it."""
    order = {"now": 0, "not known": 1, "not before": 2, "not here": 3}
    worse = [
        {"resting": (("Goby", 3.0),)},
        {"medicines": ("ionic copper",), "may_hold_copper": True},
        {"levels": {"oxygen": 3.0}},
        {"age_days": 20.0},
        {"inhabitants": {"macroalgae": ("Sea lettuce",)}},
    ]
    good = {one.measure.key: order[one.state] for one in measure_verdicts(water(candidate))}
    for first, second in itertools.combinations(worse, 2):
        bad = measure_verdicts(replace(water(candidate), **(first | second)))
        assert all(order[one.state] >= good[one.measure.key] for one in bad)


def test_without_any_finding_only_what_adds_nothing_is_allowed():
    """At the prior nothing is settled."""
    found = measure_verdicts(water(chances=dict.fromkeys(growth_lines(), 0.1)))
    assert {one.measure.adds for one in found if one.state == "now"} <= {"nothing", "light", "media"}
    assert all(
        one.measure.key in {"less_light", "carbon"}
        for one in found
        if one.state == "now" and one.measure.adds != "nothing"
    )
