"""The demo household as the ledger holds it, loaded once for all tests here."""

from collections.abc import Iterator
from datetime import timedelta

import pytest
from django.db import transaction
from PIL import Image
from pytest_django.plugin import DjangoDbBlocker
from tests.unit.demo.telling import NOW, ZONE, story

from pratique.casework.measuring.cover import measure_cover
from pratique.casework.measuring.cover_marks import read_marks
from pratique.demo.drawn import PICTURES, picture, sand
from pratique.demo.loading import load_demo
from pratique.ledger.append import append
from pratique.ledger.entries import NewEntry, new_entry_id
from pratique.ledger.household import load_household
from pratique.ledger.kinds.care import Note, Photo
from pratique.ledger.models import Entry
from pratique.ledger.photos import photo_path
from pratique.ledger.queries import entries_about

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module", autouse=True)
def loaded(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[int]:
    """Load the story once, and take it out again after the last test here; gives how many entries went in."""
    with django_db_blocker.unblock(), transaction.atomic():
        yield load_demo(NOW, zone=ZONE)
        transaction.set_rollback(True)


def test_the_whole_story_goes_in_once(loaded):
    """The first load adds every entry, the second none."""
    assert loaded == len(story()) == Entry.objects.count()
    assert load_demo(NOW + timedelta(hours=2), zone=ZONE) == 0


def test_the_household_stands_as_the_story_says():
    """Who lives where, which course is planned and which cases are open, as the ledger folds them."""
    household = load_household()
    assert household.state is not None
    assert household.state.name == "Harbour Row"
    places = {one.key: household.place_name(one.place.system, one.place.compartment) for one in household.living}
    assert places["tomini-bristletooth"] == "Creel in Skerry"
    assert places["maiden-goby"] == places["six-line-wrasse"] == "Haven"
    assert {places[key] for key in ("royal-gramma", "two-spined-angelfish", "banggai-pair")} == {"Lazaret"}
    assert household.courses["b1-copper"].standing == "finished"
    assert household.courses["b2-copper"].standing == "planned"
    assert [leg.leg for leg in household.batches["b1"].legs] == ["receive", "treat", "recover"]
    assert [leg.leg for leg in household.batches["b2"].legs] == ["receive"]
    assert {case.closed for case in household.cases.values()} == {None}


def test_each_entry_is_recorded_soon_after_it_happened():
    """History looks as if it had been lived: within the hour, and never before the event."""
    delays = [row.recorded_at - row.happened_at for row in Entry.objects.all()]
    assert min(delays) >= timedelta()
    assert max(delays) < timedelta(hours=2)


def test_entries_of_the_one_who_tries_it_out_do_not_stop_it():
    """Whoever wrote into the demo may open it again the same day."""
    note = Note(words="Ours.")
    append([NewEntry(id=new_entry_id(), payload=note, happened_at=NOW, zone="UTC", author="keeper", source="web")])
    assert load_demo(NOW, zone=ZONE) == 0


def test_the_pictures_are_in_the_store_and_say_what_they_are():
    """Each was drawn by the simulator, its caption says so, and its file opens at the size told."""
    entries = entries_about("case/brown-dust", ["photo"])
    assert len(entries) == len(PICTURES)
    for entry in entries:
        photo = entry.payload
        assert isinstance(photo, Photo)
        assert "Drawn by the simulator" in photo.words
        path = photo_path(photo.sha256)
        assert path is not None
        with Image.open(path) as shown:
            assert (shown.width, shown.height, shown.format) == (photo.width_px, photo.height_px, "JPEG")


def test_the_cover_written_down_is_what_the_pictures_give():
    """Measured anew by the marks of the first picture, to a tenth of a per cent; the newest is left to the visitor."""
    marks = read_marks(sand().marks)
    for name, shares in sand().shares.items():
        found = measure_cover(picture(name), marks, None if name == "first" else picture("first")).found.shares
        for one in shares:
            told = found[one.name]
            assert (one.low, one.fraction, one.high) == pytest.approx((told.low, told.fraction, told.high), abs=0.001)
    assert set(PICTURES) - set(sand().shares) == {"newest"}
