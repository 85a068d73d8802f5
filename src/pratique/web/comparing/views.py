"""Compare passages, and wait for a tank without fish: what was asked is in the address, and nothing is written."""

from collections.abc import Sequence

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from pratique.casework.compare import compare
from pratique.casework.compare_asked import NotCompared, asked_of
from pratique.casework.compare_start import start_of
from pratique.casework.fallow import fallow_at, water_c
from pratique.casework.fallow_kept import fallow_of
from pratique.casework.protocol_kept import protocols_known
from pratique.casework.sheets.fallow import FallowSheet
from pratique.web.comparing.curves import Curve, curve_legend, curves_svg, effects_svg
from pratique.web.comparing.form import form_of
from pratique.web.frame import household_of


@require_safe
def compare_page(request: HttpRequest) -> HttpResponse:
    """Show the questions, and the passages side by side where the address holds enough for them."""
    household = household_of(request)
    start = start_of(household, request.GET.get("batch", ""))
    is_asked = "protocol" in request.GET or "species" in request.GET
    told = {
        "protocol": request.GET.getlist("protocol") if is_asked else list(start.protocols),
        "species": [one for one in request.GET.getlist("species") if one.strip()] if is_asked else list(start.species),
        "temperature": [request.GET.get("temperature", start.temperature)],
        "volume": [request.GET.get("volume", "")],
    }
    context: dict[str, object] = {"batch": start.batch, "opened": "opened" in request.GET}
    problems: dict[str, str] = {}
    if is_asked or start.batch:
        try:
            asked = asked_of(
                told["protocol"],
                told["species"],
                temperature=told["temperature"][0],
                volume=told["volume"][0],
                household=household,
            )
        except NotCompared as problem:
            problems = problem.fields
        else:
            found = compare(asked)
            context |= {
                "found": found,
                **_pictures(found.passages, found.counts_from, "Chance of being clear, by day"),
                "effects": [(one, effects_svg(one)) for one in found.passages if one.effects],
            }
    context["form"] = form_of(told, problems, protocols_known(household))
    return render(request, "pratique/comparing/compare.html", context)


@require_safe
def fallow_page(request: HttpRequest) -> HttpResponse:
    """Show how long a tank must stay without fish: one of the household's, or any at a temperature."""
    household = household_of(request)
    system, temperature = request.GET.get("system", ""), request.GET.get("temperature", "")
    context: dict[str, object] = {
        "systems": tuple(household.systems.values()),
        "system": system,
        "temperature": temperature,
        "opened": "opened" in request.GET,
    }
    try:
        if system in household.systems:
            context["sheet"] = fallow_of(household, system, now=timezone.now())
        elif system:
            context["problems"] = {"system": "There is no such system here. Choose one of these, or none."}
        elif temperature.strip():
            context["sheet"] = fallow_at(water_c(temperature))
    except ValueError as problem:
        context["problems"] = {"temperature": str(problem)}
    sheet = context.get("sheet")
    if isinstance(sheet, FallowSheet):
        drawn = [one for one in sheet.lines if one.curve]
        if drawn:
            context |= _pictures(drawn, sheet.counts_from, "Chance of being gone, by day without fish")
        context["drawn"] = drawn
    return render(request, "pratique/comparing/fallow.html", context)


def _pictures(curves: Sequence[Curve], counts_from: float, title: str) -> dict[str, object]:
    return {
        "phone": curves_svg(curves, counts_from, title=title, is_phone=True),
        "desk": curves_svg(curves, counts_from, title=title, is_phone=False),
        "legend": curve_legend(curves),
    }
