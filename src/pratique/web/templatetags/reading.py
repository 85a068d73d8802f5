"""Filters and tags of the pages that are read: where a line leads, and the pictures."""

import json
from collections.abc import Sequence
from typing import Any
from urllib.parse import urlencode
from uuid import UUID

from django import template
from django.urls import reverse
from django.utils import timezone
from django.utils.safestring import SafeString

from pratique.casework.sheets import About, Chart, CriterionLine, DayCell, FeedMark, NextStep
from pratique.casework.sheets.growth import CandidateLine
from pratique.casework.sheets.what_if import WhatIfSheet
from pratique.casework.words import percent
from pratique.web.charts.chances import chances_svg
from pratique.web.charts.days import DayPicture, day_pictures
from pratique.web.charts.feeding import Strip, feeding_strip, feeding_strips, key_svg
from pratique.web.charts.feeding import step_words as words_of_step
from pratique.web.charts.layout import DESK, PHONE, has_picture
from pratique.web.charts.legend import legend, limits, signs
from pratique.web.charts.plot_data import plot_data
from pratique.web.charts.rows import happenings, levels
from pratique.web.charts.svg import chart_svg

register = template.Library()

_PAGE_OF = {
    "system": "system",
    "animal": "animal",
    "batch": "passage",
    "course": "course",
    "case": "growth",
}
_MARK_OF = {"met": ("met", "✓"), "not met": ("unmet", "✕"), "not known": ("unknown", "?")}


@register.filter
def about_url(about: About) -> str:
    """Return the page of what a line is about; the household's own page is the rounds."""
    page = _PAGE_OF.get(about.type)
    return reverse(page, args=[about.key]) if page else reverse("rounds")


@register.filter
def step_url(step: NextStep) -> str:
    """Return where a next step leads: its form filled in, or the page of what it is about."""
    if step.form:
        filled_in = f"?{urlencode(step.answers)}" if step.answers else ""
        return f"{reverse('write')}{step.form}/{filled_in}"
    return about_url(step.about) if step.about else reverse("rounds")


@register.filter
def chances_picture(lines: Sequence[CandidateLine]) -> SafeString:
    """Return what a growth may be as bars."""
    return chances_svg(lines)


@register.filter
def cover_picture(lines: Sequence[CandidateLine]) -> SafeString:
    """Return how much each kind covers as bars."""
    return chances_svg(lines, "How much each kind covers", shown_from=0.0)


@register.filter
def percents(chance: float) -> str:
    """Return a chance in whole per cent."""
    return percent(chance)


@register.filter
def entry_url(entry: UUID) -> str:
    """Return the page of an entry."""
    return f"/entries/{entry}/"


@register.filter
def mark(line: CriterionLine) -> dict[str, str]:
    """Return how a criterion is marked: the class, and the sign that says the same without colour."""
    name, sign = _MARK_OF[line.status]
    return {"name": name, "sign": sign}


@register.filter
def step_words(step: int | None) -> str:
    """Return a feeding step in words; None is not seen."""
    return words_of_step(step)


@register.simple_tag
def strip(feeds: tuple[FeedMark, ...]) -> Strip | None:
    """Return the newest feedings as one strip, None without any."""
    return feeding_strip(feeds, timezone.get_current_timezone())


@register.simple_tag
def strips(feeds: tuple[FeedMark, ...]) -> tuple[Strip, ...]:
    """Return all feedings as strips, the newest strip first."""
    return feeding_strips(feeds, timezone.get_current_timezone())


@register.simple_tag
def feeding_key() -> SafeString:
    """Return the key to a feeding strip: one bar of each height with its word."""
    return key_svg()


@register.filter
def day_cells(days: tuple[DayCell, ...]) -> tuple[DayPicture, ...]:
    """Return the days of a course as cells."""
    return day_pictures(days)


@register.inclusion_tag("pratique/reading/parts/chart.html", takes_context=True)
def chart(context: template.Context, chart: Chart, *, is_later: int = 0) -> dict[str, Any]:
    """Draw a chart for a phone and for a desk, with its table under it; without data, say so.

    Under the later charts of a page the signs are folded away: the first chart has told most of them.
    """
    return _drawn(context, chart) | {"is_later": bool(is_later)}


@register.inclusion_tag("pratique/reading/parts/tried_chart.html", takes_context=True)
def tried_chart(context: template.Context, sheet: WhatIfSheet) -> dict[str, Any]:
    """Draw the chart of what is tried, with what comes of it right under the drawing."""
    return _drawn(context, sheet.chart) | {"sheet": sheet} if sheet.chart is not None else {}


def _drawn(context: template.Context, chart: Chart) -> dict[str, Any]:
    found: dict[str, Any] = {"chart": chart, "is_drawn": has_picture(chart), "opened": context.get("opened", False)}
    if not found["is_drawn"]:
        return found
    zone = timezone.get_current_timezone()
    rows, step = levels(chart)
    return found | {
        "phone": chart_svg(chart, zone, PHONE, name="for-phone"),
        "desk": chart_svg(chart, zone, DESK, name="for-desk"),
        "legend": legend(chart),
        "signs": signs(chart),
        "limits": limits(chart),
        "happenings": happenings(chart),
        "levels": rows,
        "has_inner": any(row.inner for row in rows),
        "step": step,
        "plot": json.dumps(plot_data(chart, zone), separators=(",", ":"), ensure_ascii=False),
    }
