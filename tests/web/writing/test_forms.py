"""`/write/<form>/`: every other form, drawn question by question."""

from datetime import timedelta
from io import BytesIO

from django.test import Client
from django.utils import timezone
from PIL import Image
from tests.web.writing.household import body, newest, put, written_since

from pratique.ledger.entries import new_entry_id
from pratique.ledger.kinds.animals import Death
from pratique.ledger.queries import entry_count


def _sent(**answers: str) -> dict[str, str]:
    return {"entry_id": str(new_entry_id()), **answers}


def test_a_moment_in_the_future_is_refused_at_its_field(keeper: Client):
    """What has not happened cannot be written, and the words typed stay."""
    tomorrow = (timezone.now() + timedelta(days=1)).strftime("%Y-%m-%dT%H:%M")
    response = keeper.post("/write/note/", _sent(words="a quiet evening", moment=tomorrow))
    shown = body(response)
    assert response.status_code == 422
    assert 'id="field-moment-problem"' in shown
    assert "in the future" in shown
    assert "a quiet evening" in shown
    assert f'value="{tomorrow}"' in shown


def test_the_summary_leads_to_the_field(keeper: Client):
    """The sentence at the top is a link to where it belongs, and takes the focus."""
    shown = body(keeper.post("/write/top-off/", _sent(system="lazaret", volume="some")))
    assert 'role="alert"' in shown
    assert "autofocus" in shown
    assert 'href="#field-volume"' in shown
    assert "Nothing was written." in shown


def test_a_dead_animal_cannot_be_moved(keeper: Client):
    """The sentence names the animal and the day."""
    put(Death(animal="maiden-goby"))
    before = entry_count()
    response = keeper.post("/write/move/", _sent(animals="maiden-goby", place="lazaret"))
    assert response.status_code == 422
    assert written_since(before) == 0
    assert "Maiden goby died on" in body(response)


def test_an_animal_moves_into_a_box_of_another_system(keeper: Client):
    """The place may be a compartment."""
    assert keeper.post("/write/move/", _sent(animals="maiden-goby", place="skerry/creel")).status_code == 303
    assert newest()[0].raw["compartment"] == "creel"


def test_a_dose_shows_its_cautions(keeper: Client):
    """Where something is put into water, what can hurt stands beside it."""
    shown = body(keeper.get("/write/dose/?stock=copper-stock"))
    assert "aquatic veterinarian" in shown
    assert "Copper" in shown.partition("Care.")[2].partition("</div>")[0]


def test_a_changed_answer_draws_the_form_anew(keeper: Client):
    """Without script a button does it; nothing is written, and what still holds stays."""
    before = entry_count()
    response = keeper.post(
        "/write/dose/", _sent(system="lazaret", stock="copper-stock", amount="4.6", amount_unit="g", redraw="stock")
    )
    assert response.status_code == 200
    assert written_since(before) == 0
    questions = {one.name: one for one in response.context["sheet"].questions}
    assert questions["amount"].value == "4.6"
    assert questions["amount"].unit == "mL"


def test_a_picture_is_kept_and_a_lost_one_is_named(keeper: Client):
    """A file cannot be put back into a page, so the page says that it must be chosen again."""
    file = BytesIO()
    Image.new("RGB", (40, 30), "teal").save(file, "JPEG")
    future = (timezone.now() + timedelta(days=1)).strftime("%Y-%m-%dT%H:%M")
    file.seek(0)
    file.name = "sand.jpg"
    refused = keeper.post("/write/photo/", {**_sent(moment=future), "file": file})
    assert refused.status_code == 422
    assert "the file must be chosen again" in body(refused)
    file.seek(0)
    kept = keeper.post("/write/photo/", {**_sent(), "subjects": ["", "system/skerry"], "file": file})
    assert kept.status_code == 303
    sha256 = newest()[0].raw["sha256"]
    stored = keeper.get(f"/photos/{sha256}")
    assert stored["Content-Type"] == "image/jpeg"
    assert "private" in stored["Cache-Control"]
    assert b"".join(stored.streaming_content).startswith(b"\xff\xd8")
    assert sha256 in body(keeper.get(f"/photos/{sha256}/"))


def test_a_note_leads_on_to_the_page_of_what_it_is_about(keeper: Client):
    """Also where the entry names it among its subjects only, or is what sets it up."""
    assert keeper.post("/write/note/", _sent(words="cloudy", subjects="system/haven"))["Location"] == "/systems/haven/"
    assert keeper.post("/write/note/", _sent(words="a quiet evening"))["Location"] == "/"
    frag = _sent(name="Frag tank", role="holding", **{"gross-volume": "60"})
    assert keeper.post("/write/system/", frag)["Location"] == "/systems/frag-tank/"


def test_a_received_batch_leads_on_to_its_passage(keeper: Client):
    """Its animals are many and its first leg has begun: the passage shows all of it."""
    batch = _sent(name="B7", protocol="observation", system="lazaret", **{"animal-1-species": "neon_goby"})
    assert keeper.post("/write/batch/", batch)["Location"] == "/passages/b7/"


def test_a_file_that_is_no_picture_is_refused_at_its_field(keeper: Client):
    """In words that say what would be right."""
    file = BytesIO(b"not a picture")
    file.name = "notes.txt"
    response = keeper.post("/write/photo/", {**_sent(), "file": file})
    assert response.status_code == 422
    assert 'id="field-file-problem"' in body(response)


def test_an_id_that_is_none_does_not_lose_what_was_typed(keeper: Client):
    """The entry gets a fresh UUIDv7 (RFC 9562) in its stead."""
    for strange in ("", "mine", "00000000-0000-4000-8000-000000000000"):
        assert keeper.post("/write/note/", {"entry_id": strange, "words": "a \0 quiet evening"}).status_code == 303
        assert newest()[0].id.version == 7
        assert newest()[0].raw["words"] == "a  quiet evening"


def test_a_photo_that_is_not_kept_is_not_found(keeper: Client):
    """Neither a strange hash nor a strange path reads a file."""
    assert keeper.get(f"/photos/{'0' * 64}").status_code == 404
    assert keeper.get("/photos/passphrase").status_code == 404
    assert keeper.get(f"/photos/{'0' * 64}/").status_code == 404


def test_an_address_fills_the_form_in(keeper: Client):
    """A next step on another page opens the form with what is known."""
    shown = body(keeper.get("/write/water-change/?system=lazaret&volume=24"))
    assert 'value="24"' in shown
    assert 'value="lazaret" checked' in shown


def test_what_a_page_sends_is_checked_for_where_it_comes_from(harbour_row: None):
    """A form without the page's own token is turned away in words."""
    strict = Client(enforce_csrf_checks=True)
    response = strict.post("/write/note/", _sent(words="from elsewhere"))
    assert response.status_code == 403
    assert "Nothing was written" in body(response)
