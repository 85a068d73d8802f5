"""The bench's pages with plain requests: no script has run."""

import re
from html import unescape

import pytest
from django.test import Client
from tests.web.writing.household import ZONE, put

from pratique.casework.bench.cards import BENCH, by_question
from pratique.ledger.kinds.places import Household

COPPER = "/bench/dose/?substance=copper_ionic&volume=100&raise=0.2"


def _page(client: Client, address: str) -> str:
    answer = client.get(address)
    assert answer.status_code == 200
    return unescape(answer.content.decode())


def test_the_bench_groups_its_cards_by_the_keepers_question(keeper: Client):
    """Four questions, and every card under one of them."""
    page = _page(keeper, "/bench/")
    places = [page.index(f"<h2>{question}</h2>") for question, _ in by_question()]
    assert places == sorted(places)
    assert all(f'href="/bench/{name}/"' in page for name in BENCH)


@pytest.mark.parametrize("name", list(BENCH))
def test_an_empty_card_asks_and_complains_of_nothing(keeper: Client, name: str):
    """Every question of its first way is there, with a button that needs no script."""
    page = _page(keeper, f"/bench/{name}/")
    assert all(f'name="{one.name}"' in page for one in BENCH[name].ways[0].fields)
    assert "problem" not in page
    assert "Reckon" in page


@pytest.mark.parametrize(("name", "way"), [(card.name, way.key) for card in BENCH.values() for way in card.ways])
def test_every_way_of_every_card_can_be_opened(keeper: Client, name: str, way: str):
    """The questions are those of the way."""
    page = _page(keeper, f"/bench/{name}/?way={way}&redraw=way")
    wanted = next(one for one in BENCH[name].ways if one.key == way)
    assert all(f'name="{one.name}"' in page for one in wanted.fields)
    assert "problem" not in page


def test_a_link_holds_a_whole_calculation(keeper: Client):
    """The answer, its caution, its working and its sources stand on the page of the link."""
    page = _page(keeper, COPPER)
    assert "Dissolve 78.6 ± 7.9\u202fmg" in page
    assert "Copper harms or kills most corals" in page
    assert "Molar mass of CuSO4·5H2O" in page
    assert "molmass" in page
    assert 'value="100"' in page


def test_a_page_gives_a_link_without_what_is_empty(keeper: Client):
    """Short enough to be sent in a message; it opens at the answer, not at the questions above it."""
    page = _page(keeper, f"{COPPER}&formula=&ph=&raise_unit=mg%2FL&ph_unit=")
    link = re.search(r'href="(\?[^"]*)"[^>]*>A link that holds', page)
    assert link is not None
    assert link[1] == "?way=salt&substance=copper_ionic&volume=100&raise=0.2&raise_unit=mg%2FL#answer"


def test_a_problem_stands_at_its_field_and_everything_typed_is_kept(keeper: Client):
    """The number that is wrong is shown again, with what is wrong and what would be right."""
    page = _page(keeper, "/bench/salinity/?way=specific-gravity&specific_gravity=1.0264&temperature=warm")
    assert 'id="field-reference-problem"' in page
    assert "means little without its two temperatures" in page
    assert "“warm” is not a number" in page
    assert 'value="warm"' in page
    assert 'value="1.0264"' in page


def test_only_what_is_missing_is_named_without_scolding(keeper: Client):
    """A choice of another way redraws the questions; what is still empty is listed, not marked wrong."""
    page = _page(keeper, "/bench/salinity/?way=refractometer&refractometer=35&redraw=way")
    assert 'Still to fill in: <a href="#field-scale">Its scale is for</a>.' in page
    assert 'id="field-scale"' in page
    assert 'class="problem"' not in page


def test_another_way_does_not_scold_for_a_box_that_is_gone(keeper: Client):
    """What only the way before asked is left behind with its box; what both ask is kept."""
    page = _page(keeper, "/bench/stock/?way=make&substance=copper_ionic&weighed=2&balance=0.01&bottle=500&redraw=way")
    assert "is not used" not in page
    assert 'Still to fill in: <a href="#field-strength">Strength</a>.' in page
    assert 'value="500"' in page


def test_a_reading_can_be_written_into_the_ledger_of_each_system(keeper: Client):
    """One tap opens the form of readings for a system with the number filled in."""
    page = _page(keeper, "/bench/salinity/?refractometer=35&scale=seawater")
    links = re.findall(r'href="(/write/readings/\?[^"]*)"', page)
    assert len(links) >= 2
    form = _page(keeper, links[0])
    assert 'value="35.0"' in form


def test_a_dose_can_be_written_into_the_ledger(keeper: Client):
    """The form of doses comes filled in with the salt and its weight."""
    page = _page(keeper, COPPER)
    link = re.search(r'href="(/write/dose/\?[^"]*)"', page)
    assert link is not None
    form = _page(keeper, link[1])
    assert 'value="78.6"' in form
    assert re.search(r'value="copper_ionic"\s+(selected|checked)', form)


def test_a_household_of_gallons_and_fahrenheit_sees_them_first(keeper: Client):
    """The first unit is the one assumed, also where the address names none."""
    put(Household(name="Harbour Row", zone=ZONE, volume_unit="US gal", temperature_unit="°F"))
    page = _page(keeper, "/bench/mix/?volume=10&target=35&temperature=77")
    assert re.findall(r"<option\s*selected>([^<]*)</option>", page)[:3] == ["US gal", "PSU", "°F"]
    # 35.986 g a litre in 37.854 L (recomputed with gsw).
    assert "Dissolve 1.36 ±" in page


def test_an_unknown_card_is_not_found(keeper: Client):
    """No page, no fault."""
    assert keeper.get("/bench/alchemy/").status_code == 404


def test_nothing_is_written_from_the_bench(keeper: Client):
    """The pages only read: sending to them is refused."""
    assert keeper.post("/bench/dose/", {"volume": "100"}).status_code == 405


@pytest.mark.parametrize(
    "query", ["way=sideways", "volume=%00", "volume=" + "9" * 400, "substance=%F0%9F%90%A0", "volume=1&volume=2"]
)
def test_an_odd_address_gets_a_sentence(keeper: Client, query: str):
    """Whatever stands in the address, the page comes."""
    assert 'id="answer"' in _page(keeper, f"/bench/dose/?{query}")


def test_the_bench_is_behind_more_and_across_the_top(keeper: Client):
    """On a phone the bar keeps its five words; More leads to the bench."""
    page = _page(keeper, "/more/")
    bar = page.split('class="bar"')[1]
    assert 'href="/bench/"' in page
    assert 'href="/bench/"' not in bar


def test_a_formula_given_as_the_salt_is_kept_in_the_form(keeper: Client):
    """Pressing Reckon again asks the same question."""
    page = _page(keeper, "/bench/dose/?substance=CuSO4.5H2O&volume=100&raise=0.20")
    assert "78.6" in page
    assert 'value="CuSO4.5H2O"' in page
    page = _page(keeper, "/bench/dose/?substance=Sodium+bicarbonate&volume=100&raise=1&raise_unit=dKH")
    assert re.search(r'value="sodium_bicarbonate"[^>]*(selected|checked)', page)
