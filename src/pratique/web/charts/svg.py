"""Draw a laid-out chart as SVG: classes and attributes only, so that a strict content security policy lets it be."""

from collections.abc import Iterable, Iterator
from datetime import tzinfo

from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe

from pratique.casework.sheets import Chart
from pratique.web.charts.layout import PHONE, Canvas, Picture, Sign, Stretch, Tick, lay_out


def chart_svg(chart: Chart, zone: tzinfo, canvas: Canvas, *, name: str) -> SafeString:
    """Return the chart as one SVG element; `name` is a class that says at which widths it is shown."""
    picture = lay_out(chart, zone, canvas)
    # Where time begins and ends in the drawing, and its ceiling and ground, for a script that lays something over it.
    ends = (
        f'data-left="{canvas.left:g}" data-right="{canvas.width - canvas.right:g}" '
        f'data-top="{canvas.top:g}" data-foot="{canvas.height - canvas.bottom:g}"'
    )
    parts = [
        f'<svg class="chart {escape(name)}" viewBox="0 0 {canvas.width:g} {canvas.height:g}" {ends} role="img">',
        f"<title>{escape(chart.title)}</title><desc>{escape(chart.description)}</desc>",
        *_ground(picture, chart.unit),
        *_levels(picture),
        *(_reading(sign, _said(sign, canvas)) for sign in picture.readings),
        *(_mark(sign, _said(sign, canvas)) for sign in picture.marks),
        "</svg>",
    ]
    return mark_safe("".join(parts))  # noqa: S308 - every text in it was escaped


def _ground(picture: Picture, unit: str) -> Iterator[str]:
    canvas = picture.canvas
    left, right = canvas.left, canvas.width - canvas.right
    if picture.band:
        top, foot = picture.band
        yield f'<rect class="inband" x="{left:g}" y="{top:.1f}" width="{right - left:g}" height="{foot - top:.1f}"/>'
    for tick in picture.values:
        yield f'<line class="grid" x1="{left:g}" x2="{right:g}" y1="{tick.at:.1f}" y2="{tick.at:.1f}"/>'
        yield f'<text class="at-end" x="{left - 5:g}" y="{tick.at + 4:.1f}">{escape(tick.words)}</text>'
    yield f'<text x="0" y="{canvas.top - 12:g}">{escape(unit)}</text>'
    yield from (_day(tick, picture) for tick in picture.days)
    for edge in picture.band or ():
        yield f'<line class="bandline" x1="{left:g}" x2="{right:g}" y1="{edge:.1f}" y2="{edge:.1f}"/>'
    if picture.hard_upper is not None:
        at = f"{picture.hard_upper:.1f}"
        yield f'<line class="hard-upper" x1="{left:g}" x2="{right:g}" y1="{at}" y2="{at}"/>'


def _day(tick: Tick, picture: Picture) -> str:
    canvas = picture.canvas
    ground = canvas.height - canvas.bottom
    # Words at the very edge lean inwards, so that nothing hangs over.
    lean = "at-end" if tick.at > canvas.width - 20 else "at-middle"
    return (
        f'<line class="axis" x1="{tick.at:.1f}" x2="{tick.at:.1f}" y1="{ground:g}" y2="{ground + 4:g}"/>'
        f'<text class="{lean}" x="{tick.at:.1f}" y="{ground + 17:g}">{escape(tick.words)}</text>'
    )


def _levels(picture: Picture) -> Iterator[str]:
    for stretch in picture.stretches:
        yield from _ranges(stretch)
    for x, before, after in picture.leaps:
        yield f'<line class="leap" x1="{x:.1f}" x2="{x:.1f}" y1="{before:.1f}" y2="{after:.1f}"/>'
    for stretch in picture.stretches:
        yield f'<polyline class="reckoned{_expected(stretch)}" points="{_points(stretch.line)}"/>'
    yield from _now(picture)


def _ranges(stretch: Stretch) -> Iterator[str]:
    """Draw the 95 % range between dotted edges, and the 50 % range in it without any: told apart without colour."""
    if len(stretch.line) < 2:
        return
    expected = _expected(stretch)
    for name, (lower, upper) in (("ribbon95", stretch.outer), ("ribbon50", stretch.inner)):
        if lower:
            yield f'<polygon class="{name}{expected}" points="{_points((*upper, *reversed(lower)))}"/>'
    if stretch.inner[0]:
        for edge in stretch.outer:
            yield f'<polyline class="edge95{expected}" points="{_points(edge)}"/>'


def _expected(stretch: Stretch) -> str:
    return " expected" if stretch.is_expected else ""


def _now(picture: Picture) -> Iterator[str]:
    if picture.expected_from is None:
        return
    canvas, x = picture.canvas, f"{picture.expected_from:.1f}"
    foot, right = canvas.height - canvas.bottom, canvas.width - canvas.right
    yield f'<line class="now" x1="{x}" x2="{x}" y1="{canvas.top - 6:g}" y2="{foot:g}"/>'
    yield f'<text class="at-end" x="{right:g}" y="{canvas.top - 12:g}">to be expected</text>'


def _points(points: Iterable[tuple[float, float]]) -> str:
    return " ".join(f"{x:.1f},{y:.1f}" for x, y in points)


def _said(sign: Sign, canvas: Canvas) -> str:
    """Return the words a pointer brings up; a phone has no pointer, and its table says the same."""
    return "" if canvas is PHONE else f"<title>{escape(sign.words)}</title>"


def _reading(sign: Sign, said: str) -> str:
    if sign.shape == "box":
        height = max(sign.foot - sign.top, 2)
        return (
            f'<rect class="between" x="{sign.x - 3:.1f}" y="{sign.top:.1f}" width="6" height="{height:.1f}" rx="1">'
            f"{said}</rect>"
        )
    if sign.shape in {"below", "above"}:
        begin, tip, back = (sign.top, sign.foot, -4) if sign.shape == "below" else (sign.foot, sign.top, 4)
        head = f"M{sign.x - 3:.1f} {tip + back:.1f}L{sign.x:.1f} {tip:.1f}L{sign.x + 3:.1f} {tip + back:.1f}"
        shaft = f"M{sign.x - 3:.1f} {begin:.1f}h6M{sign.x:.1f} {begin:.1f}V{tip:.1f}"
        return f'<path class="beyond" d="{shaft}{head}">{said}</path>'
    return (
        f'<g><line class="reading" x1="{sign.x:.1f}" x2="{sign.x:.1f}" y1="{sign.top:.1f}" y2="{sign.foot:.1f}"/>'
        f'<circle class="read" cx="{sign.x:.1f}" cy="{sign.centre:.1f}" r="2.2"/>{said}</g>'
    )


def _mark(sign: Sign, said: str) -> str:
    outline = {
        "dose": f"M{sign.x - 3.6:.1f} {sign.foot:.1f}h7.2l-3.6 -7z",
        "change": f"M{sign.x - 3.6:.1f} {sign.top:.1f}h7.2l-3.6 7z",
        "move": f"M{sign.x:.1f} {sign.top:.1f}l3.6 3.5l-3.6 3.5l-3.6 -3.5z",
        "note": f"M{sign.x:.1f} {sign.top:.1f}v7",
    }[sign.shape]
    planned = " planned" if sign.is_planned else ""
    return f'<path class="mark-{sign.shape}{planned}" d="{outline}">{said}</path>'
