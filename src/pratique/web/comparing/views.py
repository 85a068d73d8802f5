"""Compare passages: what was asked is in the address, and nothing is written into the ledger."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from pratique.casework.compare import compare
from pratique.casework.compare_asked import NotCompared, asked_of
from pratique.casework.compare_start import start_of
from pratique.casework.protocol_kept import protocols_known
from pratique.web.comparing.curves import curve_legend, curves_svg, effects_svg
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
                "phone": curves_svg(found, is_phone=True),
                "desk": curves_svg(found, is_phone=False),
                "legend": curve_legend(found),
                "effects": [(one, effects_svg(one)) for one in found.passages if one.effects],
            }
    context["form"] = form_of(told, problems, protocols_known(household))
    return render(request, "pratique/comparing/compare.html", context)
