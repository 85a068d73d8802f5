"""The story in a ledger: loaded once, finished if cut off, refused by every other ledger."""

from datetime import timedelta

import pytest
from tests.unit.demo.telling import NOW, TODAY, ZONE, story

from pratique.demo import loading
from pratique.demo.loading import NotADemo, load_demo
from pratique.demo.story.telling import tell
from pratique.ledger.append import append
from pratique.ledger.entries import NewEntry, new_entry_id
from pratique.ledger.household import load_household
from pratique.ledger.kinds.care import Note
from pratique.ledger.models import Entry

pytestmark = pytest.mark.django_db


def a_note() -> NewEntry:
    """Return an entry as a keeper would write it."""
    return NewEntry(
        id=new_entry_id(), payload=Note(words="Ours."), happened_at=NOW, zone=ZONE.key, author="keeper", source="web"
    )


def test_the_whole_story_goes_in_once():
    """The first load adds every entry, the second none."""
    assert load_demo(NOW, zone=ZONE) == len(story()) == Entry.objects.count()
    assert load_demo(NOW + timedelta(hours=2), zone=ZONE) == 0


def test_the_household_stands_as_the_story_says():
    """Who lives where, which course is planned and which cases are open, as the ledger folds them."""
    load_demo(NOW, zone=ZONE)
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
    load_demo(NOW, zone=ZONE)
    delays = [row.recorded_at - row.happened_at for row in Entry.objects.all()]
    assert min(delays) >= timedelta()
    assert max(delays) < timedelta(hours=2)


def test_a_load_that_was_cut_off_is_finished_by_the_next():
    """What is there stays, and the rest is added."""
    append([told.entry for told in tell(loading.SEED, TODAY, ZONE, NOW)[:200]], now=NOW)
    assert load_demo(NOW, zone=ZONE) == len(story()) - 200
    assert Entry.objects.count() == len(story())


def test_a_load_cut_off_before_dawn_can_be_finished_by_day():
    """The last morning is drawn together before 07:40; what was loaded then is not loaded twice."""
    early = NOW.replace(hour=3)
    assert load_demo(early, zone=ZONE) == len(story())
    assert load_demo(NOW, zone=ZONE) == 0


def test_entries_of_the_one_who_tries_it_out_do_not_stop_it():
    """Whoever wrote into the demo may open it again the same day."""
    load_demo(NOW, zone=ZONE)
    append([a_note()])
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


def test_it_tells_how_far_it_has_come():
    """Progress grows to the whole."""
    told: list[tuple[int, int]] = []
    load_demo(NOW, zone=ZONE, progress=lambda done, total: told.append((done, total)))
    assert told[-1] == (len(story()), len(story()))
    assert [done for done, _ in told] == sorted({done for done, _ in told})
