"""How the cover of a growth goes, on its page: a chart of every photo, its rate, and what has given way to what."""

import re
from collections.abc import Sequence

import pytest
from tests.casework.dust import CASE, page, write

from pratique.casework.sheets import Chart
from pratique.demo.drawn import PICTURES, sand, sha256_of
from pratique.ledger.kinds.care import TaskDone, Withdrawal
from pratique.ledger.kinds.measured import Cover, CoverShare
from pratique.ledger.queries import entries_about

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("harbour_row")]

GATHERED = "That is faster than any published growth: cells have gathered again."
PATCH = "red-patch"


def cover(case: str = PATCH, give_or_take: float = 0.01, **kinds: float) -> Cover:
    """Return a cover by eye of the red patch unless said otherwise, each kind give or take a hundredth."""
    shares = tuple(
        CoverShare(name=name, fraction=one, low=max(0.0, one - give_or_take), high=one + give_or_take)
        for name, one in kinds.items()
    )
    return Cover(case=case, by="eye", shares=shares)


def took_it_out(*, hours_ago: float) -> None:
    """Write down that the red patch was lifted off."""
    write(TaskDone(task="Siphoned", subjects=(f"case/{PATCH}",)), hours_ago=hours_ago)


def said(case: str = PATCH) -> Sequence[str]:
    """Return what the page says of the course, its thin spaces plain."""
    return tuple(one.replace("\u202f", " ") for one in page(case).course_said)


def chart_of(kind: str, case: str = PATCH) -> Chart:
    """Return the chart of one kind."""
    (found,) = (one for one in page(case).charts if one.title == f"Cover: {kind}")
    return found


def test_the_chart_holds_every_photo_with_its_interval():
    """The demo's photos on which the brown film was measured, in per cent, each leading to its entry."""
    measured = [name for name in PICTURES if name in sand().shares]
    chart = chart_of("brown", CASE)
    assert len(chart.readings) == len(measured) == 4
    for reading, name in zip(chart.readings, measured, strict=True):
        (share,) = (one for one in sand().shares[name] if one.name == "brown")
        found = (reading.low, reading.centre, reading.high)
        assert found == pytest.approx((100 * share.low, 100 * share.fraction, 100 * share.high))
        assert reading.shape == "bar"
    entries = [one.id for one in entries_about(f"case/{CASE}", ["cover"])]
    assert [one.entry for one in chart.readings] == entries


def test_each_photo_says_how_much_was_measured_on_it():
    """The newest has not been measured yet; what it grows on is not counted as growth."""
    shown = {one.sha256: one.cover.replace("\u202f", " ") for one in page().photos}
    assert {name: shown[sha256_of(name)] for name in PICTURES} == {
        "first": "brown 22 %",
        "spread": "brown 32 %",
        "siphoned": "brown 4 %",
        "back": "brown 24 %",
        "newest": "",
    }


def test_what_comes_back_faster_than_anything_grows_has_gathered_again():
    """From 4 to 24 of a hundred within a day of siphoning; the fastest published growth takes 3.9 days for tenfold."""
    (line,) = said(CASE)
    assert line.startswith("Brown grows at 2.10 a day")
    assert "by 2 photos since it was taken out on 6 Mar." in line
    assert line.endswith(GATHERED)


def test_what_comes_back_slowly_has_grown():
    """ln of the odds' ratio, 13 to 87 over 10 to 90, in a day: 0.30, within what Ostreopsis does (0.59 at most)."""
    took_it_out(hours_ago=50)
    write(cover(red=0.10), hours_ago=25)
    write(cover(red=0.13), hours_ago=1)
    (line,) = said()
    assert line.startswith("Red grows at 0.30 a day (")
    assert "twice the cover in 2.3 days, by 2 photos since it was taken out on 9 Mar." in line
    assert GATHERED not in line


def test_a_growth_that_goes_back_is_said_to_recede():
    """Half of the cover in so many days."""
    write(cover(red=0.40), hours_ago=49)
    write(cover(red=0.25), hours_ago=1)
    (line,) = said()
    assert re.match(r"Red recedes at 0\.35 a day \(0\.\d+ to 0\.\d+ a day\)", line)
    assert "half the cover in 2.0 days" in line


def test_a_change_within_the_intervals_is_not_told():
    """From 20 to 21 of a hundred, each give or take five."""
    write(cover(give_or_take=0.05, red=0.20), hours_ago=49)
    write(cover(give_or_take=0.05, red=0.21), hours_ago=1)
    (line,) = said()
    assert line.startswith("Whether red grows or recedes is not told yet by 2 photos")


def test_only_photos_since_it_was_last_taken_out_tell_its_rate():
    """One alone tells none; those before stay on the chart."""
    write(cover(red=0.40), hours_ago=40)
    took_it_out(hours_ago=30)
    write(cover(red=0.10), hours_ago=25)
    assert said() == ()
    assert len(chart_of("red").readings) == 2


def test_one_kind_giving_way_to_another_is_said():
    """Red falls from 40 to 4 of a hundred and green rises from 2 to 30: a look anew is asked for."""
    write(cover(sand=0.58, red=0.40, green=0.02), hours_ago=49)
    write(cover(sand=0.66, red=0.04, green=0.30), hours_ago=1)
    assert "Red has given way to green: look anew, this may be another growth." in said()
    assert [one.title for one in page(PATCH).charts] == ["Cover: red", "Cover: green"]


@pytest.mark.parametrize(
    ("first", "last"),
    [
        ({"sand": 0.30, "red": 0.60}, {"sand": 0.80, "red": 0.10}),
        ({"red": 0.40, "green": 0.02}, {"red": 0.35, "green": 0.30}),
        ({"red": 0.300, "green": 0.295}, {"red": 0.295, "green": 0.300}),
    ],
    ids=["the sand is no growth", "red still leads", "no more than the intervals"],
)
def test_nothing_has_given_way_where_the_leading_growth_is_the_same(first, last):
    """What it grows on never leads, and a change must be more than is known of it."""
    write(cover(**first), hours_ago=49)
    write(cover(**last), hours_ago=1)
    assert not [one for one in said() if "given way" in one]


def test_what_it_grows_on_has_neither_chart_nor_rate():
    """Sand shrinks where a growth spreads."""
    for hours_ago, red in ((49, 0.1), (1, 0.3)):
        write(cover(sand=0.95 - red, red=red), hours_ago=hours_ago)
    assert [one.title for one in page(PATCH).charts] == ["Cover: red"]
    assert len(said()) == 1


def test_one_cover_alone_makes_no_chart():
    """There is no course yet."""
    write(cover(red=0.4), hours_ago=1)
    assert page(PATCH).charts == ()
    assert said() == ()


def test_a_withdrawn_cover_leaves_chart_and_rate():
    """As if it had never been measured."""
    before = page()
    wrong = write(cover(CASE, brown=0.9), hours_ago=1)
    assert len(chart_of("brown", CASE).readings) == 5
    write(Withdrawal(words="the wrong photo"), withdraws=wrong, hours_ago=0.5)
    assert page() == before
