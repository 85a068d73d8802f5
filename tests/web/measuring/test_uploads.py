"""`/write/photo/` and `/write/clip/`: what is kept of a growth, and files that are not what their name says."""

from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from tests.builders.clips import a_clip
from tests.ledger.pictures import a_picture
from tests.unit.casework.measuring.test_decoding import a_bomb
from tests.web.measuring.case import CASE, SUBJECTS, Page, sent_from, shown
from tests.web.writing.household import newest, written_since

from pratique.ledger.entries import new_entry_id
from pratique.ledger.photos import photo_path
from pratique.ledger.queries import entry_count

EXAMPLES = Path(__file__).parents[3] / "examples"
WORDS = "Brown on the sand, left of the rock."
NO_PICTURE = "This file is not a picture; choose a JPEG, PNG or WebP file."
NO_CLIP = "This file is not a clip that can be read; choose an MP4, MOV, WebM, MKV or AVI file."


def sent(client, form: str, name: str, content: bytes):
    """Send a file of this name from the form, about the brown dust and with words to it."""
    boxes = sent_from(shown(client, f"/write/{form}/?subjects={SUBJECTS[0]}"))
    answers = {**boxes, "entry_id": str(new_entry_id()), "words": WORDS, "file": SimpleUploadedFile(name, content)}
    return client.post(f"/write/{form}/?subjects={SUBJECTS[0]}", answers)


def files_in(home: Path) -> list[Path]:
    """Return every file that is kept."""
    return [path for path in (home / "photos").rglob("*") if path.is_file()]


@pytest.mark.parametrize(
    ("form", "name", "content", "sentence"),
    [
        ("photo", "sand.jpg", b"brown dust on the sand", NO_PICTURE),
        ("photo", "sand.jpg", a_picture("JPEG")[:300], "This picture is damaged and cannot be read"),
        ("photo", "sand.jpg", a_picture("GIF"), NO_PICTURE),
        ("photo", "sand.jpg", a_clip([0, 40, 80]), NO_PICTURE),
        ("photo", "sand.png", a_bomb(10_000, 10_000), "up to 80 million pixels can be kept. Make it smaller first."),
        ("photo", "sand.png", a_bomb(50_000, 50_000), "up to 80 million pixels can be kept. Make it smaller first."),
        ("clip", "boats.mp4", a_picture("JPEG"), NO_CLIP),
        ("clip", "boats.mp4", b"boats that glide", NO_CLIP),
        ("clip", "boats.mp4", a_clip([0, 40, 80])[:300], NO_CLIP),
        ("clip", "boats.mp4", a_bomb(10_000, 10_000), NO_CLIP),
        ("clip", "boats.m3u8", b"#EXTM3U\n#EXTINF:10,\nfile:///etc/hostname\n#EXT-X-ENDLIST\n", NO_CLIP),
    ],
    ids=[
        "a text as a photo",
        "half a photo",
        "another kind of picture",
        "a clip as a photo",
        "100 million pixels",
        "2,500 million pixels",
        "a picture as a clip",
        "a text as a clip",
        "half a clip",
        "a picture too large as a clip",
        "a list of other files",
    ],
)
def test_a_file_that_is_not_what_its_name_says_is_refused_in_a_sentence(keeper, home, form, name, content, sentence):
    """Nothing is kept, and what was typed beside it stays; the file alone must be chosen again."""
    before = entry_count()
    response = sent(keeper, form, name, content)
    page = Page(response.content.decode())
    assert response.status_code == 422
    assert sentence in page
    assert 'id="field-file-problem"' in page
    assert "the file must be chosen again" in page
    assert sent_from(page)["words"] == [WORDS]
    assert SUBJECTS[0] in sent_from(page)["subjects"]
    assert entry_count() == before
    assert files_in(home) == []


@pytest.mark.parametrize("form", ["photo", "clip"])
def test_without_a_file_the_form_asks_for_one(keeper, form):
    """An empty file is none."""
    before = entry_count()
    response = sent(keeper, form, "nothing.bin", b"")
    assert response.status_code == 422
    assert "Choose a " in Page(response.content.decode())
    assert written_since(before) == 0


def test_a_clip_is_kept_for_the_growth_and_its_page_opens(keeper):
    """With its size and how long it is; the way on leads to the growth, and from there to its cells."""
    response = sent(keeper, "clip", "boats.mp4", (EXAMPLES / "gliding.mp4").read_bytes())
    assert response.status_code == 303
    assert response.headers["Location"] == f"/growths/{CASE}/"
    clip = newest()[0].payload
    assert (clip.media_type, clip.subjects, clip.words) == ("video/mp4", SUBJECTS, WORDS)
    assert clip.seconds == pytest.approx(4.0, abs=0.1)
    assert f"/clips/{clip.sha256}/" in shown(keeper, f"/growths/{CASE}/")
    assert "Follow cells" in shown(keeper, f"/clips/{clip.sha256}/")


def test_sound_and_place_are_not_kept_of_a_clip(keeper):
    """What a phone wrote beside the pictures is nowhere in the stored file; the place is in a box named `loci`."""
    filmed = a_clip([0, 40, 80, 200], words={"location": "+50.3660-004.1430/", "comment": "a maker"}, with_sound=True)
    assert all(one in filmed for one in (b"loci", b"a maker", b"soun"))
    assert sent(keeper, "clip", "boats.mp4", filmed).status_code == 303
    kept = photo_path(newest()[0].raw["sha256"]).read_bytes()
    assert not any(one in kept for one in (b"loci", b"a maker", b"soun"))


def test_words_of_a_kept_clip_are_amended_without_choosing_it_again(keeper):
    """Its file stays; both versions stay readable."""
    sent(keeper, "clip", "boats.mp4", (EXAMPLES / "spinning.mp4").read_bytes())
    first = newest()[0]
    address = f"/entries/{first.id}/amend/"
    boxes = sent_from(shown(keeper, address))
    answers = {**boxes, "entry_id": str(new_entry_id()), "words": "On the rock, not on the sand."}
    assert keeper.post(address, answers).status_code == 303
    amended = newest()[0]
    assert amended.amends == first.id
    assert (amended.payload.sha256, amended.payload.words) == (first.payload.sha256, "On the rock, not on the sand.")
