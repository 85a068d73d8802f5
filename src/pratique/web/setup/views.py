"""More, settings, who writes, and the welcome of a new household."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_http_methods, require_safe

from pratique.casework.methods import methods_of
from pratique.casework.writing.forms import FORMS
from pratique.ledger.household import Household
from pratique.settings import CONFIG
from pratique.web.frame import BEHIND_MORE, author_of, household_of
from pratique.web.ways import safe_next
from pratique.web.writing.form_page import Page, answer
from pratique.web.writing.order import systems_in_order
from pratique.web.writing.sending import SeeOther

_LONGEST_NAME = 80


@require_safe
def more(request: HttpRequest) -> HttpResponse:
    """Show the ways to the pages the thumb bar has no room for."""
    return render(request, "pratique/setup/more.html", {"ways": BEHIND_MORE, "has_door": CONFIG.lan})


@require_safe
def settings_page(request: HttpRequest) -> HttpResponse:
    """Show what the household is made of, each with a way to change it."""
    household = household_of(request)
    methods = methods_of(household).values()
    context = {
        "systems": [(one, household.compartments_of(one.key)) for one in systems_in_order(household)],
        "stocks": list(household.stocks.values()),
        "methods": [(one, one.key in household.methods) for one in methods],
        "people": _people(request, household),
        "home": CONFIG.home,
        "has_door": CONFIG.lan,
    }
    return render(request, "pratique/setup/settings.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def author(request: HttpRequest) -> HttpResponse:
    """Choose who writes on this device."""
    after = safe_next(request, default="/")
    if request.method == "POST":
        chosen = request.POST.get("author", "").strip()[:_LONGEST_NAME]
        if chosen:
            request.session["author"] = chosen
        return SeeOther(after)
    context = {"people": _people(request, household_of(request)), "next": after}
    return render(request, "pratique/setup/author.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def welcome(request: HttpRequest) -> HttpResponse:
    """Lead a new household through its first steps: itself, its first system, and then the rest in any order."""
    household = household_of(request)
    step = "household" if household.state is None else "system" if not household.systems else ""
    if not step:
        return render(request, "pratique/setup/welcomed.html", {"first": systems_in_order(household)[0]})
    page = Page(
        form=FORMS[step],
        title="Welcome" if step == "household" else "The first system",
        household=household,
        next=request.path,
        template="pratique/setup/welcome.html",
        context={"step": step},
    )
    return answer(request, page)


def _people(request: HttpRequest, household: Household) -> list[tuple[str, bool]]:
    """Return everyone who may write here, and who of them writes on this device."""
    now = author_of(request)
    named = household.state.people if household.state else ()
    return [(one, one == now) for one in dict.fromkeys((*named, now))]
