"""The shipped figures hold together. Expected values come from the trade's tables; each test names its source."""

import math
from collections import Counter

import pytest

from pratique import knowledge
from pratique.knowledge import CopperForm, Status
from pratique.knowledge.reckoning import belief
from pratique.science.chemistry.reagents import salt
from pratique.units import basis_of


def test_every_figure_carries_a_source_and_a_status():
    """Reading them all passes the loader, which refuses any without."""
    everything = [
        *knowledge.figures().values(),
        *(knowledge.copper_band(form) for form in CopperForm),
        *knowledge.substances(),
        *knowledge.constituents(),
        *knowledge.methods(),
        *knowledge.all_species(),
        *knowledge.foods(),
        *knowledge.protocols(),
        *knowledge.finding_kinds(),
        *knowledge.due_rules(),
        *knowledge.course_notes(),
        *knowledge.combinations(),
        *knowledge.close_looks(),
        *(one for way in knowledge.close_looks() for one in way.finds),
        *knowledge.alternatives(),
        *(c for s in knowledge.substances() for c in s.cautions),
    ]
    assert all(item.source and item.status in set(Status) for item in everything)


@pytest.mark.parametrize(
    ("look_up", "sentence"),
    [
        (knowledge.figure, "no figure"),
        (knowledge.substance, "no substance"),
        (knowledge.constituent, "no constituent"),
        (knowledge.method, "no method"),
        (knowledge.species, "no kind of animal"),
        (knowledge.food, "no food"),
        (knowledge.protocol, "no protocol"),
        (knowledge.finding_kind, "no finding"),
    ],
)
def test_an_unknown_key_gets_a_plain_sentence(look_up, sentence):
    """The sentence names what was asked for."""
    with pytest.raises(KeyError, match=sentence) as refused:
        look_up("unheard_of")
    assert "unheard_of" in str(refused.value)


def test_ionic_copper_is_held_between_its_three_figures():
    """0.15, 0.20 and 0.25 mg/L: Yanong (recalled) for the target, common practice for the upper limit."""
    band = knowledge.copper_band(CopperForm.IONIC)
    assert (band.target_lower, band.target_upper, band.hard_upper, band.unit) == (0.15, 0.20, 0.25, "mg/L")


def test_the_bands_of_the_three_forms_are_different_and_in_order():
    """Common practice, no source: chelated 1.5 to 2.5, amine-bound 0.25 to 0.5; our own limits say they are a guess."""
    bands = {form: knowledge.copper_band(form) for form in CopperForm}
    assert (bands[CopperForm.CHELATED].target_lower, bands[CopperForm.CHELATED].target_upper) == (1.5, 2.5)
    assert (bands[CopperForm.AMINE].target_lower, bands[CopperForm.AMINE].target_upper) == (0.25, 0.5)
    assert all(b.target_lower < b.target_upper < b.hard_upper for b in bands.values())
    assert bands[CopperForm.CHELATED].status == bands[CopperForm.AMINE].status == Status.GUESS


def test_no_medicine_stands_without_cautions():
    """A dose can never be shown bare, and each medicine defers to label, law and veterinarian."""
    for substance in knowledge.substances():
        assert substance.cautions, substance.key
        if substance.is_medicine:
            assert "label_and_vet" in {caution.key for caution in substance.cautions}, substance.key


def test_every_copper_says_what_it_does_to_invertebrates_and_to_binders():
    """First the animals that would die."""
    for form in CopperForm:
        copper = knowledge.substance(f"copper_{form}")
        keys = [caution.key for caution in copper.cautions]
        assert keys[0] == "copper_invertebrates"
        assert {"copper_binder", "copper_people", "copper_forms"} <= set(keys)
        assert (copper.constituent, copper.form, copper.harms_invertebrates) == ("copper", form, True)


def test_an_ammonia_binder_warns_of_copper():
    """Common practice: the pair can turn toxic at once."""
    assert "copper_binder" in {caution.key for caution in knowledge.cautions_for("ammonia_binder")}


def test_cautions_name_only_substances_that_exist():
    """A misspelt substance would leave a dose bare."""
    known = {substance.key for substance in knowledge.substances()}
    named = {s for substance in known for caution in knowledge.cautions_for(substance) for s in caution.substances}
    assert named <= known
    assert knowledge.cautions_for("tea") == ()


@pytest.mark.parametrize("constituent", knowledge.constituents(), ids=lambda c: c.key)
def test_what_is_usual_lies_within_what_is_possible(constituent):
    """Doubtful is asked once, impossible is refused; and every constituent can be read and grows old."""
    assert constituent.possible_lower <= constituent.usual_lower < constituent.usual_upper < constituent.possible_upper
    assert any(constituent.key in method.constituents for method in knowledge.methods())
    assert knowledge.figure(f"reading.stale_hours.{constituent.key}").value > 0


@pytest.mark.parametrize(("key", "value"), [("salinity", 350), ("copper", 20), ("ph", 82)])
def test_a_slip_of_the_finger_is_impossible(key, value):
    """A lost decimal point is refused, not asked."""
    assert value > knowledge.constituent(key).possible_upper


@pytest.mark.parametrize("method", knowledge.methods(), ids=lambda m: m.key)
def test_a_method_is_in_the_unit_of_what_it_reads(method):
    """Marks rise, limits are in order, and no error is without size."""
    for key in method.constituents:
        assert method.unit == knowledge.constituent(key).unit
    assert method.resolution > 0
    assert method.absolute_sd > 0
    if method.marks:
        assert list(method.marks) == sorted(set(method.marks))
        smallest = min(b - a for a, b in zip(method.marks, method.marks[1:], strict=False))
        assert method.absolute_sd == pytest.approx(smallest / 5)
    if method.lower_limit is not None and method.upper_limit is not None:
        assert method.lower_limit < method.upper_limit


def test_the_copper_photometer_is_read_as_ninety_five_percent():
    """Common practice: ±(0.02 to 0.05 + 5 %), so 0.20 reads ± about 0.03 and spans 0.17 to 0.23."""
    meter = knowledge.method("copper_photometer")
    half = 1.959964 * (meter.absolute_sd**2 + (meter.relative_sd * 0.2) ** 2) ** 0.5
    assert half == pytest.approx(0.03, abs=0.002)


def test_enough_kinds_of_animals_are_known():
    """At least sixty, the household's own among them."""
    assert len(knowledge.all_species()) >= 60
    assert knowledge.species("tomini_bristletooth").latin == "Ctenochaetus tominiensis"
    assert knowledge.species("maiden_goby").latin == "Valenciennea puellaris"
    for key in (
        "six_line_wrasse",
        "royal_gramma",
        "banggai_cardinalfish",
        "blue_green_chromis",
        "orchid_dottyback",
        "dottyback",
        "cleaner_shrimp",
        "peppermint_shrimp",
        "other_fish",
        "other_invertebrate",
    ):
        assert knowledge.species(key).key == key


@pytest.mark.parametrize(
    ("key", "caution"),
    [("two_spined_angelfish", "high"), ("maiden_goby", "medium"), ("royal_gramma", "low"), ("shark_or_ray", "high")],
)
def test_families_take_copper_differently(key, caution):
    """Noga (recalled) and common practice: dwarf angelfishes are sensitive, basslets are not."""
    assert knowledge.species(key).copper_caution == caution


def test_no_invertebrate_is_ever_safe_in_copper():
    """Yanong: most invertebrates are harmed."""
    invertebrates = [s for s in knowledge.all_species() if s.is_invertebrate]
    assert len(invertebrates) >= 20
    assert all(s.copper_caution == "high" and "Never in copper" in s.copper_note for s in invertebrates)


def test_lengths_are_ranges():
    """Smaller first."""
    assert all(s.adult_length_cm[0] < s.adult_length_cm[1] for s in knowledge.all_species() if s.adult_length_cm)


@pytest.mark.parametrize(
    ("key", "nitrogen_mg_per_g"),
    [
        ("frozen_brine_shrimp", 8.80),
        ("frozen_mysis", 16.74),
        ("nori", 55.20),
        ("marine_pellet", 76.80),
        ("flake", 73.60),
    ],
)
def test_foods_carry_the_nitrogen_of_their_protein(key, nitrogen_mg_per_g):
    """Protein is 6.25 × nitrogen: worked values recomputed from pack and supplier analyses."""
    assert 1000 * knowledge.food(key).protein_fraction / 6.25 == pytest.approx(nitrogen_mg_per_g, abs=0.01)


def test_every_protocol_walks_the_same_five_legs():
    """From arrival to settled, with a recovery in each."""
    for protocol in knowledge.protocols():
        assert [leg.key for leg in protocol.legs] == ["receive", "treat", "recover", "introduce", "settle"]
        assert all(leg.criteria for leg in protocol.legs)


@pytest.mark.parametrize(("key", "days"), [("copper_ionic_30", 30), ("copper_ionic_14_move", 14)])
def test_copper_asks_for_its_days_at_target(key, days):
    """Common practice: 30 days, or 14 and a move; both longer than the 7 days on the fish (Colorni 1985)."""
    protocol = knowledge.protocol(key)
    treat = protocol.legs[1]
    assert {c.key: c.required for c in treat.criteria}["days_at_target"] == days > 7
    assert protocol.copper_form == CopperForm.IONIC


def test_the_short_course_asks_for_a_clean_move():
    """Fourteen days are enough only with a tank that never held the parasite."""
    recover = knowledge.protocol("copper_ionic_14_move").legs[2]
    assert "clean_move" in {c.key for c in recover.criteria}


def test_there_are_forty_two_findings_each_answered_yes_or_no():
    """What to look for, by tool and by minutes."""
    kinds = knowledge.finding_kinds()
    assert len(kinds) == 42
    assert all(kind.grade == "yes_no" and kind.minutes >= 0 for kind in kinds)
    assert Counter(kind.tool for kind in kinds)["microscope"] >= 15


def test_what_is_due_can_be_done():
    """Each rule names a constituent, a feeding, or a breathing count."""
    known = {c.key for c in knowledge.constituents()} | {"feeding", "breathing"}
    assert all(rule.constituent in known and rule.every_hours > 0 for rule in knowledge.due_rules())


@pytest.mark.parametrize(
    ("rising", "unit"),
    [
        (("ammonia.watch_mg_n_per_l", "ammonia.act_mg_n_per_l", "ammonia.urgent_mg_n_per_l"), "mg/L NH3-N"),
        (("nitrite.watch_mg_per_l", "nitrite.act_mg_per_l"), "mg/L NO2"),
        (("oxygen.urgent_mg_per_l", "oxygen.watch_mg_per_l", "oxygen.good_mg_per_l"), "mg/L"),
        (("breathing.raised_per_min", "breathing.distress_per_min"), "beats a minute"),
        (("temperature.safe_lower_c", "temperature.lower_c", "temperature.upper_c", "temperature.safe_upper_c"), "°C"),
        (("salinity.safe_lower_psu", "salinity.lower_psu", "salinity.upper_psu", "salinity.safe_upper_psu"), "PSU"),
        (("rest.minimum_days", "rest.after_medicine_days", "rest.after_move_days"), "days"),
    ],
)
def test_limits_of_one_kind_rise_in_one_unit(rising, unit):
    """Watch comes before act, act before urgent."""
    figures = [knowledge.figure(key) for key in rising]
    assert [f.value for f in figures] == sorted({f.value for f in figures})
    assert {f.unit for f in figures} == {unit}


def test_nitrite_limits_are_converted_from_nitrogen():
    """5 and 15 mg/L as nitrogen; NO2 is 3.284 × N (molar masses, recomputed)."""
    assert knowledge.figure("nitrite.watch_mg_per_l").value == pytest.approx(5 * 3.2844, abs=0.05)
    assert knowledge.figure("nitrite.act_mg_per_l").value == pytest.approx(15 * 3.2844, abs=0.05)


def test_the_salt_holds_a_quarter_of_copper():
    """Copper in its sulfate pentahydrate: 63.546 of 249.685 g/mol, from standard atomic masses (IUPAC 2021)."""
    molar_mass = 63.546 + 32.06 + 4 * 15.999 + 5 * (2 * 1.008 + 15.999)
    assert knowledge.substance("copper_ionic").fraction_of_salt == pytest.approx(63.546 / molar_mass, rel=1e-3)
    assert knowledge.substance("copper_chelated").fraction_of_salt is None


# Grams that lift 100 L by 1 mg/L of what is named, or by 1 dKH: the reagent table, recomputed with molmass 2026.8.
GRAMS_PER_100_L = {
    "copper_ionic": ("Cu", 0.3929),
    "ammonium_chloride": ("N", 0.3819),
    "sodium_bicarbonate": ("alkalinity", 3.0002),
    "sodium_carbonate": ("alkalinity", 1.8927),
    "calcium_hydroxide": ("alkalinity", 1.3231),
    "calcium_chloride_dihydrate": ("Ca", 0.3668),
    "calcium_chloride_anhydrous": ("Ca", 0.2769),
    "magnesium_chloride_hexahydrate": ("Mg", 0.8365),
    "magnesium_sulfate_heptahydrate": ("Mg", 1.0141),
    "strontium_chloride_hexahydrate": ("Sr", 0.3043),
    "potassium_iodide": ("I", 0.1308),
    "potassium_nitrate": ("NO3", 0.1631),
    "sodium_nitrate": ("NO3", 0.1371),
    "monopotassium_phosphate": ("PO4", 0.1433),
    "sodium_silicate_pentahydrate": ("SiO2", 0.3531),
}


def test_the_formula_of_every_salt_gives_the_grams_of_the_reagent_table():
    """Each salt with a formula is in the table, and what it raises first is what the table counts."""
    found = {}
    for one in knowledge.substances():
        if one.formula is not None:
            per_gram = salt(one.formula).per_gram(one.raises[0])
            wanted = 1 / 2.8 if one.raises[0] == "alkalinity" else 1.0
            found[one.key] = (one.raises[0], pytest.approx(100 * wanted / per_gram, rel=5e-4))
    assert found == GRAMS_PER_100_L


def test_a_salt_raises_what_its_formula_holds():
    """Nothing is promised that the salt does not bring, and the calcium of limewater is not forgotten."""
    for one in knowledge.substances():
        held = salt(one.formula).targets() if one.formula else ()
        assert set(one.raises) <= set(held), one.key
    assert knowledge.substance("calcium_hydroxide").raises == ("alkalinity", "Ca")


def test_what_a_salt_counts_as_is_the_unit_its_constituent_is_read_in():
    """Nitrate as NO3, total ammonia as N: a dose and a reading can be added up."""
    for one in knowledge.substances():
        if one.raises and one.constituent not in {None, "alkalinity"}:
            unit = knowledge.constituent(one.constituent).unit
            assert one.raises[0] == (basis_of(unit) or knowledge.constituent(one.constituent).symbol), one.key


def test_a_salt_whose_water_is_not_stated_counts_as_nothing_and_names_what_it_may_be():
    """Calcium chloride with and without its water differ by a third: asked for, never assumed."""
    for key in ("calcium_chloride", "magnesium_chloride", "sodium_silicate"):
        found = knowledge.substance(key)
        assert found.formula is None
        assert found.may_be
        assert all(knowledge.substance(one).formula for one in found.may_be)


def test_what_must_never_meet_copper_is_known_by_its_caution():
    """An ammonia binder and a reducing dechlorinator; copper itself is none: common practice, no source."""
    binders = {one.key for one in knowledge.substances() if one.binds_copper}
    assert binders == {"ammonia_binder", "dechlorinator"}


def test_carbon_takes_copper_out_and_makes_nothing_toxic():
    """It is no binder: copper does not turn toxic, but the level falls: common practice, no source."""
    removers = {one.key for one in knowledge.substances() if one.takes_up_copper}
    assert removers == {"activated_carbon"}
    assert not any(one.takes_up_copper and one.binds_copper for one in knowledge.substances())


def test_every_form_of_copper_has_a_daily_step_that_reaches_its_band_in_the_ramp_days():
    """0.05 mg/L a day for ionic copper is common practice, no source; the others' steps are our own."""
    days = knowledge.figure("copper.ramp_days").value
    for form in CopperForm:
        step = knowledge.figure(f"copper.ramp_step_mg_per_l_per_day.{form}").value
        band = knowledge.copper_band(form)
        assert band.target_lower <= days * step <= band.target_upper


@pytest.mark.parametrize("form", CopperForm)
def test_an_emptied_tank_does_not_come_near_a_treatment_by_itself_in_a_week(form):
    """New water's own spread, a gain held for seven days and its walk, in quadrature (JCGM 100:2008; a walk's integral
    has variance w² t³ / 3): 95 % of what is believed stays under a fifth of the band's lower end, without any loss.
    """
    held = belief("copper", form=form)
    gained = 7.0 * held.emptied_source_sd_per_day
    walked = held.emptied_source_walk_sd_per_sqrt_day * (7.0**3 / 3.0) ** 0.5
    assert 1.96 * math.hypot(held.emptied_sd, gained, walked) < knowledge.copper_band(form).target_lower / 5.0
