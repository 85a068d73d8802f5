"""When something happened, by the household's clock."""

from datetime import UTC, datetime

import pytest
from tests.writing.conftest import NOW, at, desk, doubts_of

from pratique.casework.writing.desk import Doubts, Problems
from pratique.casework.writing.forms import write_form
from pratique.casework.writing.moments import NoSuchMoment, moment_of
from pratique.ledger.household import load_household

pytestmark = pytest.mark.usefixtures("harbour_row")


def _moment(text: str, now: datetime = NOW) -> datetime:
    return moment_of(text, desk(now=now))


@pytest.mark.parametrize(
    ("text", "moment"),
    [
        ("", NOW),
        ("2026-11-25T08:05", at(25, 8, 5)),
        ("2026-11-24 08:05", at(24, 8, 5)),
        ("08:05", at(25, 8, 5)),
        ("yesterday 18:30", at(24, 18, 30)),
        ("2026-10-20T12:00", at(20, 11, month=10)),
        ("2026-11-25T08:05+01:00", at(25, 7, 5)),
    ],
)
def test_a_moment_is_read_by_the_household_s_clock(text: str, moment: datetime) -> None:
    """London's clocks stood an hour ahead of UTC on 20 October; a zone that is written wins."""
    assert load_household().zone.key == "Europe/London"
    assert _moment(text) == moment


def test_the_future_is_refused() -> None:
    """What has not happened cannot be written down; a phone two minutes ahead is let through."""
    assert _moment("18:32") == at(25, 18, 32)
    with pytest.raises(NoSuchMoment, match=r"This is in the future\. Write it when it has happened\."):
        _moment("18:33")


def test_a_time_the_clocks_left_out_is_named_with_its_neighbours() -> None:
    """Summer time begins on the last Sunday of March at 01:00 UTC (Directive 2000/84/EC, as in British law)."""
    after = datetime(2026, 4, 1, 12, tzinfo=UTC)
    with pytest.raises(NoSuchMoment, match=r"On 29 March .* 01:30 did not come; write 00:30 or 02:30"):
        _moment("2026-03-29T01:30", after)


def test_a_time_that_came_twice_is_asked_about_once() -> None:
    """Summer time ends on the last Sunday of October; 01:30 came first at 00:30 UTC, then at 01:30 UTC."""
    answers = {"words": "Up in the night.", "moment": "2026-10-25T01:30"}
    question = doubts_of("note", answers)["moment"]
    assert question == (
        "On 25 October the clocks were put back and 01:30 came twice. This takes the first; the second would be "
        "2026-10-25T01:30+00:00. Is it the first?"
    )
    noted = write_form("note", desk(question), answers)[0]
    assert noted.happened_at == datetime(2026, 10, 25, 0, 30, tzinfo=UTC)
    assert noted.raw["confirmed"] == [question]


def test_the_second_of_a_time_that_came_twice_is_written_with_its_zone() -> None:
    """As the question says; then nothing is asked."""
    noted = write_form("note", desk(), {"words": "Up in the night.", "moment": "2026-10-25T01:30+00:00"})[0]
    assert noted.happened_at == datetime(2026, 10, 25, 1, 30, tzinfo=UTC)


def test_in_the_first_of_the_two_hours_nothing_is_asked() -> None:
    """At 01:40 by summer time the second 01:30 has not come; and 02:30 came once."""
    now = datetime(2026, 10, 25, 0, 40, tzinfo=UTC)
    noted = write_form("note", desk(now=now), {"words": "Up in the night.", "moment": "01:30"})[0]
    assert noted.happened_at == datetime(2026, 10, 25, 0, 30, tzinfo=UTC)
    assert write_form("note", desk(), {"words": "Still up.", "moment": "2026-10-25T02:30"})


def test_an_amendment_that_leaves_such_a_time_as_it_was_is_not_asked_about_it() -> None:
    """The very moment is kept, be it the first or the second."""
    noted = write_form("note", desk(), {"words": "Up.", "moment": "2026-10-25T01:30+00:00"})[0]
    amended = write_form("note", desk(), {"words": "Up late.", "moment": "2026-10-25T01:30"}, amends=noted.id)[0]
    assert amended.happened_at == noted.happened_at


@pytest.mark.parametrize("text", ["soon", "2026-11-25", "25:00", "9999-12-31T23:59", "2026-13-01 10:00"])
def test_what_is_no_moment_is_a_problem_at_its_field(text: str) -> None:
    """A date without a time, a slip, or a day that is not: the sentence stands at the moment."""
    with pytest.raises(Problems) as caught:
        write_form("note", desk(), {"words": "Fed late.", "moment": text})
    assert set(caught.value.fields) == {"moment"}


def test_a_reading_from_before_its_system_is_asked_about() -> None:
    """A spreadsheet's day may lie before the system was written down; it is asked once and kept with the question."""
    answers = {"system": "lazaret", "ph": "8.1", "moment": "2026-09-01T08:00"}
    with pytest.raises(Doubts) as caught:
        write_form("readings", desk(), answers)
    question = caught.value.fields["moment"]
    assert question == "Lazaret is in the ledger only since 1 October; this is dated before. Is it right?"
    assert write_form("readings", desk(question), answers)[0].raw["confirmed"] == [question]


def test_a_move_from_before_the_animal_came_is_refused() -> None:
    """An animal cannot move before it came."""
    with pytest.raises(Problems) as caught:
        write_form("move", desk(), {"animals": "maiden-goby", "place": "haven", "moment": "2026-10-17T08:00"})
    assert caught.value.fields == {
        "moment": "Maiden goby came on 18 October; this is dated before. Write a later moment."
    }
