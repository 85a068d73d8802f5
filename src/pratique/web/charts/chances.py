"""Bars of chances: what a growth may be, with the range that doubt leaves."""

from collections.abc import Sequence

from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe

from pratique.casework.sheets.growth import CandidateLine
from pratique.casework.words import percent

_ROW, _WIDTH, _LEFT, _NUMBER = 34.0, 340.0, 4.0, 62.0
_SHOWN_FROM = 0.02


def chances_svg(
    lines: Sequence[CandidateLine], title: str = "What it may be", shown_from: float = _SHOWN_FROM
) -> SafeString:
    """Return one bar a candidate, those under two in a hundred left to the table."""
    shown = [one for one in lines if one.chance >= shown_from]
    height, span = _ROW * len(shown) + 4, _WIDTH - _LEFT - _NUMBER
    parts = [
        f'<svg class="chart chances" viewBox="0 0 {_WIDTH:g} {height:g}" role="img">',
        f"<title>{escape(title)}</title><desc>The table below says the same.</desc>",
    ]
    for place, one in enumerate(shown):
        top = _ROW * place
        mid = top + 24
        parts.append(f'<text x="{_LEFT:g}" y="{top + 14:g}">{escape(one.name)}</text>')
        parts.append(f'<rect class="rest" x="{_LEFT:g}" y="{mid - 5:g}" width="{span:g}" height="10"/>')
        parts.append(
            f'<rect class="chance" x="{_LEFT:g}" y="{mid - 5:g}" width="{span * one.chance:.1f}" height="10"/>'
        )
        low, high = _LEFT + span * one.low, _LEFT + span * one.high
        ends = f"M{low:.1f} {mid - 4:g}v8M{high:.1f} {mid - 4:g}v8"
        parts.append(f'<path class="spread" d="M{low:.1f} {mid:g}H{high:.1f}{ends}"/>')
        parts.append(f'<text class="at-end" x="{_WIDTH:g}" y="{mid + 5:g}">{percent(one.chance)}</text>')
    parts.append("</svg>")
    return mark_safe("".join(parts))  # noqa: S308 - every text in it was escaped
