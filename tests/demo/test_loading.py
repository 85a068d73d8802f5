"""The story on its way into a ledger: finished if cut off, refused by every other ledger."""

from datetime import timedelta

import pytest
from tests.unit.demo.telling import NOW, TODAY, ZONE, story

from pratique.demo.chance import SEED
from pratique.demo.loading import NotADemo, load_demo
from pratique.demo.story.telling import tell
from pratique.ledger.append import append
from pratique.ledger.entries import NewEntry, new_entry_id
from pratique.ledger.kinds.care import Note
from pratique.ledger.models import Entry

pytestmark = pytest.mark.django_db


def a_note() -> NewEntry:
    """Return an entry as a keeper would write it."""
    return NewEntry(
        id=new_entry_id(), payload=Note(words="Ours."), happened_at=NOW, zone=ZONE.key, author="keeper", source="web"
    )


def test_a_load_that_was_cut_off_is_finished_by_the_next():
    """What is there stays, the rest is added, and progress counts what was missing."""
    append([told.entry for told in tell(SEED, TODAY, ZONE, NOW)[:200]], now=NOW)
    seen: list[tuple[int, int]] = []
    missing = len(story()) - 200
    assert load_demo(NOW, zone=ZONE, progress=lambda done, total: seen.append((done, total))) == missing
    assert Entry.objects.count() == len(story())
    assert seen[-1] == (missing, missing)
    assert [done for done, _ in seen] == sorted({done for done, _ in seen})


def test_a_load_cut_off_before_dawn_can_be_finished_by_day():
    """The last morning is drawn together before 07:40; what was loaded then is not loaded twice."""
    early = NOW.replace(hour=3)
    assert load_demo(early, zone=ZONE) == len(story())
    assert load_demo(NOW, zone=ZONE) == 0


def test_a_real_ledger_refuses_the_demo():
    """One entry of a keeper's own is enough: nothing is added."""
    append([a_note()])
    with pytest.raises(NotADemo, match="real one"):
        load_demo(NOW, zone=ZONE)
    assert Entry.objects.count() == 1


def test_yesterdays_demo_refuses_todays_story():
    """Two stories never mix in one ledger."""
    load_demo(NOW - timedelta(days=1), zone=ZONE)
    with pytest.raises(NotADemo, match="fresh home"):
        load_demo(NOW, zone=ZONE)
    assert Entry.objects.count() == len(story())
