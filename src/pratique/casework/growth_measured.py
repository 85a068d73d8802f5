"""What was measured of a growth, on its page: evidence from cells and movement, and the course of its cover."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from statistics import median

from pratique.casework.facts import Facts
from pratique.casework.sheets import Chart, ChartReading
from pratique.casework.sheets.growth import WhyLine
from pratique.casework.timeline import hours_of
from pratique.casework.words import amount, listed, percent, short_day
from pratique.knowledge import figure
from pratique.knowledge.candidates import candidates
from pratique.ledger.entries import Recorded
from pratique.ledger.kinds.measured import Cells, Cover, CoverShare, Motion
from pratique.science.growths.course import CoverAt, Rate, given_way, growth_rate
from pratique.science.growths.measured import is_enough, manner_answers, size_odds, speed_odds

# What is no growth but what it grows on, by the names the pages offer.
GROUND = frozenset({"sand", "rock", "glass", "gravel", "ground"})
_LEAST_TOLD = 0.3
_MOST_CHARTS = 3


@dataclass(frozen=True)
class Measured:
    """The newest cells and the newest movement as evidence: odds of candidates, answers, and each as a line of why."""

    odds: Mapping[str, float] = field(default_factory=dict)
    answers: Mapping[str, bool] = field(default_factory=dict)
    motion: Recorded | None = None
    why: tuple[WhyLine, ...] = ()


def measured_of(entries: Sequence[Recorded]) -> Measured:
    """Return the evidence of the newest measurement of each sort; a withdrawn one is not among the entries."""
    cells = next((one for one in reversed(entries) if isinstance(one.payload, Cells)), None)
    moved = next((one for one in reversed(entries) if isinstance(one.payload, Motion)), None)
    odds: dict[str, float] = {}
    why = []
    answers: Mapping[str, bool] = {}
    if cells is not None and isinstance(cells.payload, Cells):
        odds = dict(size_odds(cells.payload.lengths_um))
        why.append(WhyLine(words=_cells_words(cells.payload), says=_says(odds), entry=cells.id))
    if moved is not None and isinstance(moved.payload, Motion):
        told = moved.payload
        answers = manner_answers(told.manner, tracks=told.tracks, minutes_old=told.minutes_old)
        by_speed = speed_odds(told.median_um_per_s, told.manner) if told.median_um_per_s and answers else {}
        odds |= {key: one * odds.get(key, 1.0) for key, one in by_speed.items()}
        why.append(WhyLine(words=_motion_words(told), says=_motion_says(told, answers, by_speed), entry=moved.id))
    return Measured(odds, answers, moved, tuple(why))


def _cells_words(told: Cells) -> str:
    count = len(told.lengths_um)
    many = "One cell measured," if count == 1 else f"{count} cells measured, the middle one"
    ratio = ""
    if told.widths_um:
        middle = median(long / wide for long, wide in zip(told.lengths_um, told.widths_um, strict=True))
        ratio = f" and {amount(middle, 1)} times as long as wide"
    return f"{many} {amount(median(told.lengths_um), 1, 'µm')} long{ratio}"


def _motion_words(told: Motion) -> str:
    manner = {"still": "do not move", "gliding": "glide", "swimming": "swim", "spinning": "spin on one point"}
    words = f"Cells {manner[told.manner]}" if told.manner in manner else "How cells move could not be told"
    speed = f", the middle one at {amount(told.median_um_per_s, 1, 'µm/s')}" if told.median_um_per_s is not None else ""
    return f"{words}{speed}{f', {told.tracks} followed' if told.tracks else ''}"


def _motion_says(told: Motion, answers: Mapping[str, bool], odds: Mapping[str, float]) -> str:
    if told.manner == "not told":
        return "Says nothing."
    if not answers and not is_enough(told.tracks):
        return "Says nothing: too few cells were followed."
    if not answers:
        return (
            "Says nothing yet: cold or stale cells stop moving. Only a sample under "
            "30 minutes old, at the tank's temperature, would."
        )
    speaks = _says(odds)
    told_of = "It answers what moves under the microscope, below."
    return told_of if speaks == _NOTHING else f"{told_of} By its speed it speaks {speaks[len('Speaks ') :]}"


_NOTHING = "Says nearly nothing."


def _says(odds: Mapping[str, float]) -> str:
    """Return which candidates a measurement speaks for and against."""
    moves = {key: math.log(one) for key, one in odds.items()}
    up = sorted((key for key, move in moves.items() if move >= _LEAST_TOLD), key=lambda key: -moves[key])[:3]
    down = sorted((key for key, move in moves.items() if move <= -_LEAST_TOLD), key=lambda key: moves[key])[:3]
    said = [
        f"{side} {listed([candidates()[key].name for key in some])}"
        for side, some in (("for", up), ("against", down))
        if some
    ]
    return f"Speaks {', and '.join(said)}." if said else _NOTHING


@dataclass(frozen=True)
class CoverCourse:
    """The cover of a growth over time: its charts, and what they say in words."""

    charts: tuple[Chart, ...] = ()
    said: tuple[str, ...] = ()
    of_photo: Mapping[str, str] = field(default_factory=dict)


def cover_course(facts: Facts, name: str, entries: Sequence[Recorded], removed: Sequence[datetime]) -> CoverCourse:
    """Return how the cover went; `removed` are the moments at which some of it was taken out."""
    covers = [(one, one.payload) for one in entries if isinstance(one.payload, Cover)]
    if not covers:
        return CoverCourse()
    kinds = _growths(covers)
    return CoverCourse(
        charts=tuple(_chart(facts, name, kind, covers) for kind in kinds[:_MOST_CHARTS]) if len(covers) > 1 else (),
        said=(*_rates(facts, kinds, covers, removed), *_shift(covers)),
        of_photo={told.photo: _in_short(told) for _, told in covers if told.photo},
    )


type _Covers = Sequence[tuple[Recorded, Cover]]


def _growths(covers: _Covers) -> list[str]:
    """Return the kinds that grow, the one that ever covered most first."""
    most: dict[str, float] = {}
    for _, told in covers:
        for one in told.shares:
            if one.name.casefold() not in GROUND:
                most[one.name] = max(most.get(one.name, 0.0), one.fraction)
    return sorted(most, key=lambda kind: -most[kind])


def _in_short(told: Cover) -> str:
    shown = [f"{one.name} {percent(one.fraction)}" for one in told.shares if one.name.casefold() not in GROUND]
    return listed(shown) or "no growth"


def _chart(facts: Facts, name: str, kind: str, covers: _Covers) -> Chart:
    readings = [
        ChartReading(
            one.happened_at,
            100.0 * share.low,
            100.0 * share.fraction,
            100.0 * share.high,
            "bar",
            f"{percent(share.fraction)} ({percent(share.low)} to {percent(share.high)})",
            one.id,
        )
        for one, told in covers
        for share in told.shares
        if share.name == kind
    ]
    return Chart(
        title=f"Cover: {kind}",
        description=f"{name}: how much of the region marked is {kind}, in per cent, with each photo's 95 % interval.",
        unit="%",
        decimals=0,
        start=covers[0][0].happened_at,
        end=facts.now,
        readings=tuple(readings),
    )


def _rates(facts: Facts, kinds: Sequence[str], covers: _Covers, removed: Sequence[datetime]) -> tuple[str, ...]:
    """Return how fast each kind grows since it was last taken out."""
    since = max((one for one in removed if one < covers[-1][0].happened_at), default=None)
    after = [(one, told) for one, told in covers if since is None or one.happened_at >= since]
    said = []
    for kind in kinds[:_MOST_CHARTS]:
        series = [_at(one, share) for one, told in after for share in told.shares if share.name == kind]
        rate = growth_rate(series)
        if rate is not None:
            said.append(_rate_words(kind, rate, since, facts))
    return tuple(said)


def _at(one: Recorded, share: CoverShare) -> CoverAt:
    return CoverAt(hours_of(one.happened_at) / 24.0, share.fraction, share.low, share.high)


def _rate_words(kind: str, rate: Rate, since: datetime | None, facts: Facts) -> str:
    span = f"{amount(rate.low, 2)} to {amount(rate.high, 2)} a day"
    if rate.high < 0.0:  # said by the verb already
        span = f"{amount(-rate.high, 2)} to {amount(-rate.low, 2)} a day"
    of = f"by {rate.count} photos"
    if since is not None:
        of += f" since it was taken out on {short_day(since.astimezone(facts.zone).date())}"
    if not rate.is_settled:
        return f"Whether {kind} grows or recedes is not told yet {of}: rate {amount(rate.per_day, 2)} ({span})."
    verb, twice = ("grows", "twice") if rate.per_day > 0 else ("recedes", "half")
    fastest = figure("growth.fastest_rate_per_day").value
    too_fast = " That is faster than any published growth: cells have gathered again." if rate.low > fastest else ""
    return (
        f"{kind.capitalize()} {verb} at {amount(abs(rate.per_day), 2)} a day ({span}), {twice} the cover in "
        f"{amount(rate.doubling_days, 1)} days, {of}.{too_fast}"
    )


def _shift(covers: _Covers) -> tuple[str, ...]:
    first, last = ({share.name: _at(one, share) for share in told.shares} for one, told in (covers[0], covers[-1]))
    found = given_way(first, last, GROUND)
    if found is None:
        return ()
    return (f"{found[0].capitalize()} has given way to {found[1]}: look anew, this may be another growth.",)
