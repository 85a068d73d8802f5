"""The story as a whole: the same again, moved with today, never in the future, and sound."""

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from tests.unit.demo.telling import DAY_0, NOW, TODAY, ZONE, moments_and, readings, standing, story

from pratique.demo.ids import bits_of
from pratique.demo.loading import demo_entries
from pratique.knowledge import constituent, finding_kind, food, method, protocol, species, substance
from pratique.ledger.entries import NewEntry
from pratique.ledger.kinds.animals import Arrival, Batch, Feeding
from pratique.ledger.kinds.care import Course, CourseStart, CourseStop, Finding, GrowthCase, TaskDone
from pratique.ledger.kinds.registry import KINDS
from pratique.ledger.kinds.water import Reading


def lines(entries: list[NewEntry]) -> list[tuple[object, ...]]:
    """Return everything of each entry that will be kept."""
    return [
        (one.id, one.payload.kind, one.payload_text(), one.happened_at, one.zone, one.author, one.source, one.amends)
        for one in entries
    ]


def test_the_same_seed_tells_the_same_story():
    """Told twice, every id and every byte is the same."""
    assert lines(demo_entries(TODAY, ZONE, NOW)) == lines(demo_entries(TODAY, ZONE, NOW))


def test_another_seed_tells_other_readings():
    """The seed reaches the readings and the ids."""
    other = demo_entries(TODAY, ZONE, NOW, seed=7)
    assert {one.id for one in other}.isdisjoint(one.id for one in story())
    assert [one.payload for one in other] != [one.payload for one in story()]


def test_the_story_moves_with_today():
    """A week later the same payloads happen a week later, by the same clock."""
    later = demo_entries(TODAY + timedelta(days=7), ZONE, NOW + timedelta(days=7))
    assert [one.payload for one in later] == [one.payload for one in story()]
    assert {b.happened_at - a.happened_at for a, b in zip(story(), later, strict=True)} == {timedelta(days=7)}
    assert [bits_of(one.id) for one in later] == [bits_of(one.id) for one in story()]


@pytest.mark.parametrize("clock", ["00:00:00", "00:00:30", "05:12:00", "07:39:59", "07:41:00", "23:59:59"])
def test_nothing_lies_in_the_future(clock):
    """Whenever the demo is opened, its last entry is behind, and everything stays in order."""
    now = datetime.fromisoformat(f"{TODAY}T{clock}").replace(tzinfo=ZONE)
    told = demo_entries(TODAY, ZONE, now)
    assert max(one.happened_at for one in told) <= now
    assert [one.payload for one in told] == [one.payload for one in story()]


@pytest.mark.parametrize("zone", ["UTC", "Pacific/Auckland", "America/Los_Angeles", "Asia/Kolkata"])
@pytest.mark.parametrize("today", [date(2026, 11, 25), date(2027, 4, 2), date(2028, 3, 1)])
def test_the_story_can_be_told_anywhere_on_any_day(zone, today):
    """Across summer time, leap days and the date line the story keeps the keeper's clock and its length."""
    there = ZoneInfo(zone)
    told = demo_entries(today, there, datetime.combine(today, datetime.min.time(), there) + timedelta(hours=12))
    days = {one.happened_at.astimezone(there).date() for one in told}
    assert days == {today - timedelta(days=back) for back in range(41)}
    assert all(one.zone == zone for one in told)


def test_ids_are_uuids_of_version_7():
    """RFC 9562 section 5.7: version 7, variant 10, and the moment it was written down in milliseconds."""
    assert {(one.id.version, one.id.variant) for one in story()} == {(7, "specified in RFC 4122")}
    assert len({one.id for one in story()}) == len(story())
    made = {one.id: one.id.int >> 80 for one in story()}
    assert all(made[one.id] >= int(one.happened_at.timestamp() * 1000) for one in story())


def test_every_name_in_the_story_is_known():
    """Species, foods, methods, constituents, substances, findings and protocols all come from knowledge."""
    for one in standing():
        match one.payload:
            case Arrival():
                assert species(one.payload.species)
            case Feeding():
                assert all(food(given.food) for given in one.payload.foods)
            case Reading():
                assert one.payload.constituent in method(str(one.payload.method)).constituents
                usual = constituent(one.payload.constituent)
                assert usual.usual_lower <= one.payload.centre <= usual.usual_upper
            case Finding():
                assert finding_kind(one.payload.finding)
            case Batch():
                assert protocol(one.payload.protocol)
            case Course():
                assert substance(one.payload.substance).is_medicine


def test_one_entry_was_amended_and_one_withdrawn():
    """A mistyped temperature and a feeding logged twice were put right, after they had been written."""
    amended = [one for one in story() if one.amends]
    withdrawn = [one for one in story() if one.withdraws]
    assert [one.payload.kind for one in amended] == ["reading"]
    assert [one.payload.kind for one in withdrawn] == ["withdrawal"]
    order = [one.id for one in story()]
    assert order.index(amended[0].amends) < order.index(amended[0].id)
    assert order.index(withdrawn[0].withdraws) < order.index(withdrawn[0].id)


def test_the_course_of_b2_is_planned_and_not_begun():
    """B1's course was started and stopped; B2's is on paper only."""
    assert {one.key: one.batch for _, one, _ in moments_and(Course)} == {"b1-copper": "b1", "b2-copper": "b2"}
    assert [one.course for _, one, _ in moments_and(CourseStart)] == ["b1-copper"]
    assert [one.course for _, one, _ in moments_and(CourseStop)] == ["b1-copper"]


def test_the_brown_dust_is_back_within_a_day_of_each_siphoning():
    """Each siphoning of the dust is followed within about a day by the finding that it is back."""
    siphoned = [day for day, one, _ in moments_and(TaskDone) if "case/brown-dust" in one.subjects]
    back = [day for day, one, _ in moments_and(Finding) if one.finding == "back_within_a_day"]
    assert len(siphoned) == len(back) == 4
    assert all(0 < returned - taken < 1 for taken, returned in zip(siphoned, back, strict=True))
    assert {one.key for _, one, _ in moments_and(GrowthCase)} == {"brown-dust", "red-patch"}


def test_skerry_keeps_invertebrates_and_was_disturbed_five_weeks_ago():
    """A third of the rock was replaced on day 3, 35 days before today."""
    rock = [day for day, one, _ in moments_and(TaskDone) if "rock" in one.task]
    assert [int(day) for day in rock] == [3]
    assert readings("skerry", "silicate")


def test_the_story_uses_only_kinds_the_ledger_knows():
    """Every payload is of a registered kind, and the story begins two days before B1."""
    assert {one.payload.kind for one in story()} <= set(KINDS)
    assert min(one.happened_at for one in story()) - DAY_0 > timedelta(days=-2)
