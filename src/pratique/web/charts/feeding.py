"""A feeding strip: one bar a feeding, as high as the animal fed; a dashed box where it was not seen."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import tzinfo

from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe

from pratique.casework.sheets import FeedMark

STEP_WORDS = ("ignored", "looked or spat", "took a few", "steady", "eager")
_KEY_WORDS = ("ignored", "spat", "a few", "steady", "eager", "not seen")
_MOST = 28
_PITCH = 11
_WIDTH = 8
_HEIGHT = 36
_STUB = 4


@dataclass(frozen=True, slots=True)
class Strip:
    """A run of feedings drawn as one strip, with the same in words."""

    svg: SafeString
    words: str


def feeding_strip(feeds: Sequence[FeedMark], zone: tzinfo) -> Strip | None:
    """Return the newest feedings as a strip, None without any."""
    newest = sorted(feeds, key=lambda feed: feed.happened_at)[-_MOST:]
    if not newest:
        return None
    return Strip(_svg(newest, zone), strip_words(newest, zone))


def feeding_strips(feeds: Sequence[FeedMark], zone: tzinfo) -> tuple[Strip, ...]:
    """Return all feedings as strips, the newest strip first; each reads from left to right."""
    by_time = sorted(feeds, key=lambda feed: feed.happened_at)
    rows = [by_time[max(end - _MOST, 0) : end] for end in range(len(by_time), 0, -_MOST)]
    return tuple(Strip(_svg(row, zone), strip_words(row, zone)) for row in rows)


def step_words(step: int | None) -> str:
    """Return a feeding step in words; None is not seen."""
    return "not seen" if step is None else STEP_WORDS[_inside(step)]


def strip_words(feeds: Sequence[FeedMark], zone: tzinfo) -> str:
    """Return the strip in words: `28 feedings, 12 to 25 Nov: 20 eager, 4 steady, 4 not seen.`"""
    first, last = (feeds[place].happened_at.astimezone(zone) for place in (0, -1))
    days = f"{last.day} {last:%b}" if first.date() == last.date() else f"{first.day} {first:%b} to {last.day} {last:%b}"
    counted = [(step_words(step), sum(feed.step == step for feed in feeds)) for step in (4, 3, 2, 1, 0, None)]
    listed = ", ".join(f"{count} {words}" for words, count in counted if count)
    return f"{len(feeds)} feeding{'' if len(feeds) == 1 else 's'}, {days}: {listed}."


def key_svg() -> SafeString:
    """Return one bar of each height with its word under it."""
    steps: tuple[int | None, ...] = (0, 1, 2, 3, 4, None)
    pitch = 54
    parts = [f'<svg class="feeds feeds-key" viewBox="0 0 {len(steps) * pitch} 52" width="324" height="52" role="img">']
    parts.append("<title>How each bar of a feeding strip is read</title>")
    for place, step in enumerate(steps):
        middle = place * pitch + pitch / 2
        parts.append(_bar(step, middle - _WIDTH / 2))
        parts.append(f'<text class="at-middle" x="{middle:g}" y="49">{_KEY_WORDS[place]}</text>')
    return mark_safe("".join([*parts, "</svg>"]))  # noqa: S308 - made of constants only


def _svg(feeds: Sequence[FeedMark], zone: tzinfo) -> SafeString:
    width = len(feeds) * _PITCH
    spoken = escape(strip_words(feeds, zone))
    parts = [
        f'<svg class="feeds" viewBox="0 0 {width} {_HEIGHT}" width="{width}" height="{_HEIGHT}" role="img">',
        f"<title>{spoken}</title>",
        f'<line class="axis" x1="0" x2="{width}" y1="{_HEIGHT - 0.5}" y2="{_HEIGHT - 0.5}"/>',
    ]
    for place, feed in enumerate(feeds):
        at = feed.happened_at.astimezone(zone)
        said = f"{at.day} {at:%b} {at:%H:%M}: {step_words(feed.step)}"
        parts.append(_bar(feed.step, place * _PITCH + (_PITCH - _WIDTH) / 2, said))
    return mark_safe("".join([*parts, "</svg>"]))  # noqa: S308 - every text in it was escaped


def _bar(step: int | None, x: float, said: str = "") -> str:
    """Return one feeding's bar with its upper left corner at `x`."""
    ground = _HEIGHT - 1
    title = f"<title>{escape(said)}</title>" if said else ""
    if step is None:
        top, name = 1.0, "unseen-feed"
    else:
        top = ground - _STUB - (ground - _STUB) * _inside(step) / 4
        name = "ignored" if step <= 0 else "poor" if step == 1 else "fed"
    return f'<rect class="{name}" x="{x:g}" y="{top:g}" width="{_WIDTH}" height="{ground - top:g}">{title}</rect>'


def _inside(step: int) -> int:
    return min(max(step, 0), len(STEP_WORDS) - 1)
