"""`/write/readings/?system=…`: a round of readings."""

from django.test import Client
from tests.web.writing.household import body, newest, written_since

from pratique.ledger.entries import new_entry_id
from pratique.ledger.queries import entry_count

PLACE = "/write/readings/?system=lazaret"


def _sent(**answers: str) -> dict[str, str]:
    return {"entry_id": str(new_entry_id()), "system": "lazaret", **answers}


def test_it_asks_for_the_place_first(keeper: Client):
    """Without a system the page offers them, one tap each."""
    shown = body(keeper.get("/write/readings/"))
    assert "In which system?" in shown
    assert "?system=lazaret" in shown


def test_three_numbers_make_three_readings(keeper: Client):
    """Each number filled in becomes an entry; the page leads on to the system."""
    before = entry_count()
    response = keeper.post(PLACE, _sent(copper="0.18", ph="8,1", temperature="25"))
    assert response.status_code == 303
    assert response["Location"] == "/systems/lazaret/"
    assert written_since(before) == 3
    assert {entry.raw["constituent"]: entry.raw["value"] for entry in newest(3)} == {
        "copper": 0.18,
        "ph": 8.1,
        "temperature": 25.0,
    }


def test_it_keeps_what_was_typed(keeper: Client):
    """A number that cannot be gets its sentence at the field, and all else stays as it was."""
    before = entry_count()
    response = keeper.post(PLACE, _sent(salinity="350", ph="8.1", words="after the change"))
    shown = body(response)
    assert response.status_code == 422
    assert written_since(before) == 0
    assert "Salinity of 350 cannot be" in shown
    assert 'id="field-salinity-problem"' in shown
    assert 'aria-describedby="field-salinity-problem"' in shown
    assert 'value="350"' in shown
    assert 'value="8.1"' in shown
    assert "after the change" in shown


def test_it_asks_once_about_a_doubtful_number(keeper: Client):
    """A possible but unusual number is asked about; yes writes it, and the entry keeps the question."""
    before = entry_count()
    answers = _sent(copper="0.9")
    asked = keeper.post(PLACE, answers)
    assert asked.status_code == 422
    assert written_since(before) == 0
    sentences = [said.sentence for said in asked.context["sheet"].doubts]
    assert len(sentences) == 1
    assert "Yes, write it" in body(asked)
    written = keeper.post(PLACE, {**answers, "asked": sentences, "yes": "yes"})
    assert written.status_code == 303
    assert newest()[0].raw["confirmed"] == sentences


def test_keep_alone_does_not_say_yes(keeper: Client):
    """Sending the same number again without the yes is asked again, not taken as consent."""
    answers = _sent(copper="0.9")
    sentences = [said.sentence for said in keeper.post(PLACE, answers).context["sheet"].doubts]
    again = keeper.post(PLACE, {**answers, "asked": sentences})
    assert again.status_code == 422


def test_below_the_limit_can_be_said_without_a_less_than_key(keeper: Client):
    """A phone's number pad has no such key, so the row offers the words."""
    keeper.post(PLACE, _sent(copper="0.02", copper_is="<"))
    assert newest()[0].raw["below"] == 0.02


def test_a_range_between_two_marks_has_a_box_of_its_own(keeper: Client):
    """The second number of an interval stands in its own box."""
    keeper.post(PLACE, _sent(nitrate="5", nitrate_to="10"))
    assert (newest()[0].raw["low"], newest()[0].raw["high"]) == (5.0, 10.0)


def test_a_double_tap_writes_one_entry(keeper: Client):
    """The same form sent twice with one id is in the ledger once, and both times leads on."""
    answers = _sent(copper="0.18")
    before = entry_count()
    first, second = keeper.post(PLACE, answers), keeper.post(PLACE, answers)
    assert (first.status_code, second.status_code) == (303, 303)
    assert written_since(before) == 1


def test_a_page_sent_before_with_other_answers_can_still_be_kept(keeper: Client):
    """After the back button the old entry stays, the page says so, and a fresh id lets the new numbers in."""
    answers = _sent(copper="0.18")
    keeper.post(PLACE, answers)
    before = entry_count()
    again = keeper.post(PLACE, {**answers, "copper": "0.20"})
    assert again.status_code == 409
    assert "sent before, with other answers" in body(again)
    fresh = str(again.context["sheet"].entry_id)
    assert fresh != answers["entry_id"]
    assert keeper.post(PLACE, {**answers, "copper": "0.20", "entry_id": fresh}).status_code == 303
    assert written_since(before) == 1


def test_the_method_used_last_is_filled_in(keeper: Client):
    """Who reads with a photometer every day says so once."""
    keeper.post(PLACE, _sent(copper="0.18", copper_method="copper_photometer"))
    shown = body(keeper.get(PLACE))
    assert '<option value="copper_photometer" selected>' in shown


def test_it_leads_back_where_it_came_from_but_never_elsewhere(keeper: Client):
    """`next` is followed inside this household only."""
    inside = keeper.post(PLACE, _sent(copper="0.18", next="/animals/"))
    assert inside["Location"] == "/animals/"
    for elsewhere in ("https://example.org/", "//example.org/", "javascript:alert(1)"):
        response = keeper.post(PLACE, _sent(copper="0.18", next=elsewhere))
        assert response["Location"] == "/systems/lazaret/"


def test_ph_and_nothing_else_has_a_scale_to_choose(keeper: Client):
    """A hobby meter's is chosen beforehand and goes without saying; another one is said under the name."""
    shown = body(keeper.get(PLACE))
    assert shown.count('_scale"') == 1
    assert "As a hobby meter reads it (NBS)" in shown
    keeper.post(PLACE, _sent(ph="8.05", ph_scale="total"))
    entry = newest(1)[0]
    assert (entry.raw["value"], entry.raw["scale"]) == (8.05, "total")
    again = body(keeper.get(f"/entries/{entry.id}/amend/"))
    assert '<span data-how="how it was read">Total scale' in again


def test_a_specific_gravity_leads_to_the_bench(keeper: Client):
    """The sentence at the field has the way on beside it, and what was typed stays."""
    shown = body(keeper.post(PLACE, _sent(salinity="1.025")))
    problem = shown.partition('id="field-salinity-problem"')[2].partition("</p>")[0]
    assert "1.025 looks like a specific gravity" in problem
    assert '<a href="/bench/salinity/">' in problem
    assert keeper.get("/bench/salinity/").status_code == 200
    assert 'value="1.025"' in shown
