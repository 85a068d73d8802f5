"""The page that keeps a protocol of the keeper's own: typed or from a file, and nothing typed is lost."""

from io import BytesIO
from pathlib import Path

from django.test import Client
from tests.web.writing.household import body, newest, written_since

from pratique.ledger.entries import new_entry_id
from pratique.ledger.queries import entry_count

EXAMPLES = Path(__file__).parents[3] / "examples"
OWN = (EXAMPLES / "harbour_row_copper.toml").read_text(encoding="utf-8")


def _sent(**answers: object) -> dict[str, object]:
    return {"entry_id": str(new_entry_id()), "text": "", "start": "", "moment": "", "words": "", **answers}


def _file(content: bytes, name: str = "ours.toml") -> BytesIO:
    file = BytesIO(content)
    file.name = name
    return file


def test_a_file_is_kept_and_the_batch_form_lists_it(keeper: Client):
    """Then a batch can follow it, and it can be compared."""
    assert keeper.post("/write/protocol/", _sent(file=_file(OWN.encode()))).status_code == 303
    assert newest()[0].raw["text"] == OWN
    name = "Harbour Row: copper, and three weeks of recovery"
    assert name in body(keeper.get("/write/batch/"))
    assert name in body(keeper.get("/passages/compare/"))
    assert "The protocol “Harbour Row" in body(keeper.get(f"/entries/{newest()[0].id}/"))


def test_a_file_with_a_mistake_stands_in_the_box_to_be_put_right(keeper: Client):
    """The line is named, the file's text is there, and nothing was written."""
    before = entry_count()
    wrong = (EXAMPLES / "harbour_row_transfer_with_a_mistake.toml").read_bytes()
    refused = keeper.post("/write/protocol/", _sent(words="For tangs.", file=_file(wrong)))
    assert (refused.status_code, written_since(before)) == (422, 0)
    questions = {one.name: one for one in refused.context["sheet"].questions}
    assert questions["text"].value.encode() == wrong
    assert questions["words"].value == "For tangs."
    assert "“every_hours = 96.0”: moves 96 hours apart" in body(refused)
    assert "must be chosen again" not in body(refused)


def test_a_file_that_is_no_text_gets_a_sentence(keeper: Client):
    """And has to be chosen again."""
    refused = keeper.post("/write/protocol/", _sent(text=OWN, file=_file(b"\xff\xfe\x00\x80")))
    assert "This file cannot be read as text" in body(refused)
    assert "the file must be chosen again" in body(refused)
    assert next(one for one in refused.context["sheet"].questions if one.name == "text").value == OWN


def test_a_worked_example_is_put_into_the_box(keeper: Client):
    """Chosen on the page, also without script; it passes as it is, with the line ends a page sends."""
    drawn = keeper.post("/write/protocol/", _sent(start="tank_transfer", redraw="start"))
    text = next(one for one in drawn.context["sheet"].questions if one.name == "text").value
    assert "[our_tank_transfer]" in text
    assert keeper.post("/write/protocol/", _sent(text=text.replace("\n", "\r\n"))).status_code == 303
    assert newest()[0].raw["text"] == text


def test_a_kept_protocol_is_amended_on_its_page(keeper: Client):
    """Its text is in the box; what it said before stays readable."""
    keeper.post("/write/protocol/", _sent(text=OWN))
    entry = newest()[0]
    page = keeper.get(f"/entries/{entry.id}/amend/")
    assert next(one for one in page.context["sheet"].questions if one.name == "text").value == OWN
    longer = OWN.replace("days = 33.0", "days = 40.0")
    assert keeper.post(f"/entries/{entry.id}/amend/", _sent(text=longer)).status_code == 303
    assert (newest()[0].amends, newest()[0].raw["text"]) == (entry.id, longer)
