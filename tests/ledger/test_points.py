"""Numbers read past the entries themselves."""

from datetime import UTC, datetime, timedelta

import pytest
from tests.casework.keeping import Keeper, at

from pratique.ledger.entries import new_entry_id
from pratique.ledger.kinds.animals import Observation
from pratique.ledger.queries import first_points, points

pytestmark = pytest.mark.django_db


@pytest.fixture
def keeper() -> Keeper:
    """A household whose two fishes were counted now and then."""
    keeper = Keeper()
    for day, animal, beats in ((3, "goby", 90), (1, "goby", 80), (2, "goby", 85), (2, "wrasse", 100)):
        keeper.write(day, Observation(animal=animal, beats_per_min=beats))
    return keeper


def test_the_first_counts_of_each_subject_come_in_the_order_they_happened(keeper):
    """Two of the goby's three, whatever the order they were written in, and the wrasse's only one."""
    found = first_points(
        ["animal/goby", "animal/wrasse", "animal/nobody"], "observation", "beats", count=2, until=at(9)
    )
    assert [(one.subject, one.number, one.happened_at) for one in found] == [
        ("animal/goby", 80, at(1)),
        ("animal/goby", 85, at(2)),
        ("animal/wrasse", 100, at(2)),
    ]


def test_the_newest_count_of_each_subject(keeper):
    """The other end of the same line."""
    subjects = ["animal/goby", "animal/wrasse"]
    found = first_points(subjects, "observation", "beats", count=1, until=at(9), is_newest_first=True)
    assert [(one.subject, one.number) for one in found] == [("animal/goby", 90), ("animal/wrasse", 100)]
    before = first_points(subjects, "observation", "beats", count=1, until=at(2.5), is_newest_first=True)
    assert [one.number for one in before] == [85, 100]


def test_more_subjects_than_one_statement_takes(keeper):
    """The statement is cut into as many as are needed."""
    many = [f"animal/{new_entry_id()}" for _ in range(450)]
    assert len(first_points([*many, "animal/goby"], "observation", "beats", count=9, until=at(9))) == 3
    assert first_points([], "observation", "beats", count=9, until=at(9)) == []


def test_points_of_chosen_subjects_and_topics(keeper):
    """Without a beginning, the whole past counts."""
    found = points(["observation"], until=at(2.5), subjects=["animal/goby"], topics=["beats"])
    assert [one.number for one in found] == [80, 85]
    assert points(["observation"], since=at(1.5), until=at(2.5), subjects=["animal/wrasse"], topics=["spots"]) == []
    assert datetime(2026, 3, 1, 12, tzinfo=UTC) + timedelta(days=1) == found[0].happened_at
