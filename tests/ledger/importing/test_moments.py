"""When it happened: every common way of writing it is read, and what can be meant in two ways is not guessed."""

from contextlib import suppress
from datetime import UTC, datetime, time, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pratique.ledger.importing.moments import MomentRefused, MomentRules, read_moment

LONDON = MomentRules(zone="Europe/London", time_of_day=time(20))


@pytest.mark.parametrize(
    ("day", "clock"),
    [
        ("2026-11-03", "18:30"),
        ("2026/11/3", "18:30"),
        ("2026-11-03T18:30", ""),
        ("2026-11-03 18:30:00", ""),
        ("03.11.2026", "6:30 pm"),
        ("3.11.2026 18.30", ""),
        ("3 Nov 2026", "6:30pm"),
        ("3rd November 2026", "18:30"),
        ("3-Nov-2026", "18:30"),
        ("Nov 3, 2026", "18:30"),
        ("Tue 3 Nov 2026", "18:30"),
        ("Tuesday, 3 Nov 2026, 18:30", ""),
        ("2026-11-03T18:30Z", ""),
        ("2026-11-03 19:30+01:00", ""),
        ("2026-11-03", "13:30 -0500"),
    ],
)
def test_one_evening_is_the_same_evening_however_it_is_written(day: str, clock: str) -> None:
    """In winter London's clocks show UTC."""
    assert read_moment(day, clock, LONDON) == (datetime(2026, 11, 3, 18, 30, tzinfo=UTC), "Europe/London")


def test_the_day_and_the_hour_are_the_keepers_own() -> None:
    """Half past six in New York is half past eleven in UTC."""
    rules = MomentRules(zone="America/New_York")
    assert read_moment("3 Nov 2026", "18:30", rules)[0] == datetime(2026, 11, 3, 23, 30, tzinfo=UTC)


@pytest.mark.parametrize(
    ("text", "month", "day"),
    [("11/25/2026", 11, 25), ("25/11/2026", 11, 25), ("03/03/2026", 3, 3), ("25-11-2026", 11, 25)],
)
def test_a_date_that_can_only_be_one_way_needs_no_order(text: str, month: int, day: int) -> None:
    """There is no twenty-fifth month, and the third of March is the same both ways."""
    assert read_moment(text, "12:00", LONDON)[0] == datetime(2026, month, day, 12, tzinfo=UTC)


def test_a_date_with_two_readings_is_not_guessed() -> None:
    """The sentence names both; the mapping's word settles it."""
    with pytest.raises(MomentRefused, match="can be read as 3 April or as 4 March; say `date_order`"):
        read_moment("03/04/2026", "12:00", LONDON)
    day_first = MomentRules(zone="UTC", date_order="day first")
    month_first = MomentRules(zone="UTC", date_order="month first")
    assert read_moment("03/04/2026", "12:00", day_first)[0].month == 4
    assert read_moment("03/04/2026", "12:00", month_first)[0].month == 3


def test_a_missing_zone_is_not_guessed() -> None:
    """Not even the household's own: the sheet may have been kept somewhere else."""
    with pytest.raises(MomentRefused, match="time zone is not known"):
        read_moment("2026-11-03", "18:30", MomentRules())


def test_an_offset_in_the_cell_is_a_zone_of_its_own() -> None:
    """Whole hours have a name; half hours need the mapping's word."""
    assert read_moment("2026-11-03T18:30Z", "", MomentRules())[1] == "UTC"
    assert read_moment("2026-11-03T18:30-05:00", "", MomentRules())[1] == "Etc/GMT+5"
    with pytest.raises(MomentRefused, match="not known by name"):
        read_moment("2026-11-03T18:30+05:30", "", MomentRules())


def test_a_missing_time_of_day_is_not_guessed() -> None:
    """Unless the mapping says when such lines were usually written."""
    assert read_moment("2026-11-03", "", LONDON)[0].hour == 20
    with pytest.raises(MomentRefused, match="There is no time of day"):
        read_moment("2026-11-03", "", MomentRules(zone="UTC"))


def test_an_hour_that_happened_twice_is_not_guessed() -> None:
    """Unless the offset stands beside it."""
    with pytest.raises(MomentRefused, match="happened twice"):
        read_moment("2026-10-25", "01:30", LONDON)
    assert read_moment("2026-10-25", "01:30+01:00", LONDON)[0] == datetime(2026, 10, 25, 0, 30, tzinfo=UTC)


@pytest.mark.parametrize(
    ("day", "clock", "sentence"),
    [
        ("2026-03-29", "01:30", "did not exist .* the clocks went forward"),
        ("", "18:30", "There is no date"),
        ("yesterday", "18:30", "is not a date; write it like"),
        ("2026-02-30", "18:30", "There is no such day"),
        ("31.09.2026", "18:30", "There is no such day"),
        ("13/13/2026", "18:30", "There is no such day"),
        ("3/11/26", "18:30", "year of two digits"),
        ("3 Foo 2026", "18:30", "not the name of a month"),
        ("2026-11-03", "25:10", "is not a time of day"),
        ("2026-11-03", "18", "is not a time of day"),
        ("2026-11-03", "13 pm", "is not a time of day"),
        ("2026-11-03", "evening", "is not a time of day"),
        ("2026-11-03", "18:30+99:00", "is not a time of day"),
    ],
)
def test_a_senseless_moment_gets_a_sentence(day: str, clock: str, sentence: str) -> None:
    """What is wrong, and how to write it."""
    with pytest.raises(MomentRefused, match=sentence):
        read_moment(day, clock, LONDON)


@given(st.datetimes(min_value=datetime(2000, 1, 1), max_value=datetime(2099, 12, 31)))  # noqa: DTZ001 - by the clock
def test_every_plain_moment_is_read_back(moment: datetime) -> None:
    """ISO, dotted and named dates agree with each other and with the moment they were made from."""
    rules = MomentRules(zone="UTC")
    expected = moment.replace(second=0, microsecond=0, tzinfo=UTC)
    for form in ("%Y-%m-%d", "%d.%m.%Y", "%d %b %Y", "%B %d, %Y"):
        assert read_moment(moment.strftime(form), moment.strftime("%H:%M"), rules)[0] == expected
    assert expected - moment.replace(tzinfo=UTC) < timedelta(minutes=1)


@given(st.text(max_size=25), st.text(max_size=12))
def test_any_text_is_a_moment_or_a_sentence(day: str, clock: str) -> None:
    """Nothing a cell can hold breaks the reading."""
    with suppress(MomentRefused):
        moment, zone = read_moment(day, clock, LONDON)
        assert moment.tzinfo is not None
        assert zone == "Europe/London"
