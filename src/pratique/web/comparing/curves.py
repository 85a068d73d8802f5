"""Pictures of chances: of being clear, by day, told apart by stroke and end mark; and what each unknown does."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Protocol

from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe

from pratique.casework.sheets.compare import ComparedPassage, DayChance
from pratique.casework.words import percent

_STROKES = ("solid line", "long dashes", "dots", "dash and dot", "short dashes")
_MARKS = ("circle", "square", "triangle", "diamond", "cross")
_STEPS = (1, 2, 5, 7, 10, 14, 20, 28)


class Curve(Protocol):
    """What a line is drawn from: what it is of, and its chance by day."""

    @property
    def name(self) -> str:
        """What the line is of."""

    @property
    def curve(self) -> tuple[DayChance, ...]:
        """The chance at the end of each day."""


@dataclass(frozen=True, slots=True)
class _Ground:
    width: float
    height: float
    left: float
    right: float
    top: float
    bottom: float
    days: float

    def x(self, day: float) -> float:
        return self.left + (self.width - self.left - self.right) * day / self.days

    def y(self, chance: float) -> float:
        return self.top + (self.height - self.top - self.bottom) * (1.0 - chance)


def curve_legend(curves: Sequence[Curve]) -> tuple[tuple[str, str], ...]:
    """Return each line's name with how it is drawn, in words."""
    return tuple((one.name, f"{_STROKES[place]}, ends in a {_MARKS[place]}") for place, one in enumerate(curves))


def curves_svg(curves: Sequence[Curve], counts_from: float, *, title: str, is_phone: bool) -> SafeString:
    """Return chances by day as one SVG element; each line ends in its mark, with the range there."""
    days = max(one.curve[-1].day for one in curves)
    width, height = (328.0, 236.0) if is_phone else (600.0, 300.0)
    ground = _Ground(width, height, 42, 24, 20, 30, days)
    name = "for-phone" if is_phone else "for-desk"
    parts = [
        f'<svg class="chart curves {name}" viewBox="0 0 {width:g} {height:g}" role="img">',
        f"<title>{escape(title)}</title><desc>{escape(_described(curves))}</desc>",
        *_grid(ground, counts_from),
        *(part for place, one in enumerate(curves) for part in _curve(ground, one, place)),
        "</svg>",
    ]
    return mark_safe("".join(parts))  # noqa: S308 - every text in it was escaped


def _described(curves: Sequence[Curve]) -> str:
    ends = [f"{one.name}: {percent(one.curve[-1].chance.value)} on day {one.curve[-1].day:g}" for one in curves]
    return f"{'; '.join(ends)}. The table below says the same."


def _grid(ground: _Ground, counts_from: float) -> Iterator[str]:
    right, foot = ground.width - ground.right, ground.height - ground.bottom
    for tick in (0.0, 0.25, 0.5, 0.75, 1.0):
        y = ground.y(tick)
        yield f'<line class="grid" x1="{ground.left:g}" x2="{right:g}" y1="{y:.1f}" y2="{y:.1f}"/>'
        yield f'<text class="at-end" x="{ground.left - 5:g}" y="{y + 4:.1f}">{100 * tick:.0f} %</text>'
    step = next((one for one in _STEPS if ground.days / one <= 7), _STEPS[-1])
    for day in range(0, int(ground.days) + 1, step):
        x = ground.x(day)
        yield f'<line class="axis" x1="{x:.1f}" x2="{x:.1f}" y1="{foot:g}" y2="{foot + 4:g}"/>'
        yield f'<text class="at-middle" x="{x:.1f}" y="{foot + 17:g}">{day}</text>'
    yield f'<text class="at-end" x="{ground.width:g}" y="{ground.height - 2:g}">day</text>'
    y = ground.y(counts_from)
    yield f'<line class="bandline" x1="{ground.left:g}" x2="{right:g}" y1="{y:.1f}" y2="{y:.1f}"/>'
    yield f'<text x="{ground.left + 2:g}" y="{ground.top - 8:g}">counts as clear above the dashed line</text>'


def _curve(ground: _Ground, one: Curve, place: int) -> Iterator[str]:
    points = " ".join(f"{ground.x(at.day):.1f},{ground.y(at.chance.value):.1f}" for at in one.curve)
    yield f'<polyline class="curve stroke-{place}" points="{points}"/>'
    end = one.curve[-1]
    x, y = ground.x(end.day), ground.y(end.chance.value)
    low, high = ground.y(end.chance.low), ground.y(end.chance.high)
    yield f'<line class="spread" x1="{x:.1f}" x2="{x:.1f}" y1="{high:.1f}" y2="{low:.1f}"/>'
    yield f"<g><title>{escape(one.name)}</title>{_mark(x, y, place)}</g>"


def _mark(x: float, y: float, place: int) -> str:
    if place == 0:
        return f'<circle class="end" cx="{x:.1f}" cy="{y:.1f}" r="4"/>'
    outline = {
        1: f"M{x - 4:.1f} {y - 4:.1f}h8v8h-8z",
        2: f"M{x - 5:.1f} {y + 4:.1f}h10l-5 -9z",
        3: f"M{x:.1f} {y - 5.5:.1f}l5.5 5.5l-5.5 5.5l-5.5 -5.5z",
        4: f"M{x - 4:.1f} {y - 4:.1f}l8 8M{x + 4:.1f} {y - 4:.1f}l-8 8",
    }[place]
    return f'<path class="end{" crossed" if place == 4 else ""}" d="{outline}"/>'


def effects_svg(one: ComparedPassage) -> SafeString:
    """Return what each unknown does to P(clear): a bar from where it is lowest (ring) to where it is highest (disc)."""
    row, left, width = 34.0, 8.0, 440.0
    height = row * len(one.effects) + 26
    span = width - 2 * left
    title = f"What the chance of being clear hangs on: {one.name}"
    parts = [
        f'<svg class="chart effects" viewBox="0 0 {width:g} {height:g}" role="img">',
        f"<title>{escape(title)}</title><desc>The table below says the same.</desc>",
        *_effect_ticks(left, span, height),
    ]
    for place, effect in enumerate(one.effects):
        y = row * place + 26
        low, high = left + span * effect.at_low, left + span * effect.at_high
        parts.append(f'<text x="{left:g}" y="{y - 10:g}">{escape(effect.words)}</text>')
        parts.append(f'<line class="bar" x1="{low:.1f}" x2="{high:.1f}" y1="{y:g}" y2="{y:g}"/>')
        parts.append(f'<circle class="lowest" cx="{low:.1f}" cy="{y:g}" r="4"/>')
        parts.append(f'<circle class="end" cx="{high:.1f}" cy="{y:g}" r="4"/>')
    parts.append("</svg>")
    return mark_safe("".join(parts))  # noqa: S308 - every text in it was escaped


def _effect_ticks(left: float, span: float, height: float) -> Sequence[str]:
    places = [(tick, left + span * tick) for tick in (0.0, 0.5, 1.0)]
    leans = {0.0: "", 0.5: ' class="at-middle"', 1.0: ' class="at-end"'}
    lines = [f'<line class="grid" x1="{x:.1f}" x2="{x:.1f}" y1="4" y2="{height - 18:g}"/>' for _, x in places]
    return [
        *lines,
        *(f'<text{leans[tick]} x="{x:.1f}" y="{height - 4:g}">{100 * tick:.0f} %</text>' for tick, x in places),
    ]
