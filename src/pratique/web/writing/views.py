"""The hub and the forms."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_http_methods, require_safe

from pratique.casework.writing.form import Form
from pratique.casework.writing.forms import FORMS
from pratique.ledger.household import Household
from pratique.web.frame import household_of
from pratique.web.ways import safe_next
from pratique.web.writing.feeding_round import feed_everyone
from pratique.web.writing.form_page import Page, answer
from pratique.web.writing.hub import feeding_ways, other_ways, reading_ways
from pratique.web.writing.layouts import LAYOUTS
from pratique.web.writing.order import systems_in_order
from pratique.web.writing.posted import answers_in


@require_safe
def hub(request: HttpRequest) -> HttpResponse:
    """Show every form in big words."""
    household = household_of(request)
    context = {
        "feeding": feeding_ways(household),
        "readings": reading_ways(household),
        "groups": other_ways(),
    }
    return render(request, "pratique/write/hub.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def form_page(request: HttpRequest, name: str) -> HttpResponse:
    """Show one form, filled in with what the address says, or write what was sent from it."""
    if name not in FORMS:
        raise Http404
    household = household_of(request)
    form = FORMS[name]
    initial = answers_in(request.POST if request.method == "POST" else request.GET)
    place = str(initial.get("system", ""))
    if name in LAYOUTS and not _place_name(household, place):
        if name == "feeding":
            return feed_everyone(request, household)
        return render(
            request, "pratique/write/where.html", {"title": form.title, "systems": systems_in_order(household)}
        )
    title = _title(form, _place_name(household, place)) if name in LAYOUTS else form.title
    page = Page(form=form, title=title, household=household, initial=initial, next=safe_next(request, default=""))
    return answer(request, page)


def _title(form: Form, place: str) -> str:
    return f"Feed in {place}" if form.name == "feeding" else f"{form.title} in {place}"


def _place_name(household: Household, place: str) -> str:
    """Return a place's name, empty for one that is not kept."""
    system, _, inner = place.partition("/")
    compartment = household.compartments.get(inner)
    if system not in household.systems or (inner and (compartment is None or compartment.system != system)):
        return ""
    return household.place_name(system, inner or None)
