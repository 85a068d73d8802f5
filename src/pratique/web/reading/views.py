"""The pages that are read: each asks casework for one sheet and draws it. No rule of husbandry lives here."""

from collections.abc import Callable
from datetime import datetime
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.text import slugify
from django.views.decorators.http import require_safe

from pratique.casework.animals import animal_list, animal_sheet
from pratique.casework.courses import course_sheet
from pratique.casework.growths import growth_list, growth_sheet
from pratique.casework.introduction import introduction_sheet
from pratique.casework.pass_sheet import pass_sheet
from pratique.casework.passages import passage_list, passage_sheet
from pratique.casework.rounds import rounds
from pratique.casework.sheets import ListGroup
from pratique.casework.sheets.introduction import IntroductionSheet
from pratique.casework.sheets.pass_sheet import PassSheet
from pratique.casework.sheets.what_if import WhatIfSheet
from pratique.casework.systems import system_list, system_sheet
from pratique.casework.what_if import what_if_sheet
from pratique.ledger.household import Household, load_household_at
from pratique.web.frame import household_of
from pratique.web.reading.asked import NoSuchDay, asked_of
from pratique.web.reading.lists import ANIMALS, GROWTHS, PASSAGES, SYSTEMS, ListPage, list_gist
from pratique.web.reading.paper import NoPaper, can_make_pdf, pass_pdf

type SheetOf = Callable[[Household, datetime], Any]


@require_safe
def rounds_page(request: HttpRequest) -> HttpResponse:
    """Show the day's walk past every system and animal."""
    return _sheet_page(request, "rounds", lambda household, now: rounds(household, now=now))


@require_safe
def systems_page(request: HttpRequest) -> HttpResponse:
    """List the systems."""
    return _list_page(request, SYSTEMS, lambda household, now: system_list(household, now=now))


@require_safe
def system_page(request: HttpRequest, key: str) -> HttpResponse:
    """Show one system."""
    return _sheet_page(request, "system", lambda household, now: system_sheet(household, key, now=now))


@require_safe
def constituent_page(request: HttpRequest, key: str, constituent: str) -> HttpResponse:
    """Show one constituent of one system, and what the doses and changes in the address would make of it."""
    given = {name: str(text) for name, text in request.GET.items()}

    def sheet_of(household: Household, now: datetime) -> WhatIfSheet:
        return what_if_sheet(household, key, constituent, given, now=now)

    return _sheet_page(request, "what_if", sheet_of)


@require_safe
def animals_page(request: HttpRequest) -> HttpResponse:
    """List the animals."""
    return _list_page(request, ANIMALS, lambda household, now: animal_list(household, now=now))


@require_safe
def animal_page(request: HttpRequest, key: str) -> HttpResponse:
    """Show one animal."""
    return _sheet_page(request, "animal", lambda household, now: animal_sheet(household, key, now=now))


@require_safe
def introduction_page(request: HttpRequest, key: str) -> HttpResponse:
    """Show how to let an animal into the system in the address, or into the display."""
    system = request.GET.get("system", "")

    def sheet_of(household: Household, now: datetime) -> IntroductionSheet:
        return introduction_sheet(household, key, system, now=now)

    return _sheet_page(request, "introduction", sheet_of)


@require_safe
def pass_page(request: HttpRequest, key: str) -> HttpResponse:
    """Show the one page that hands an animal over."""
    return _pass_page(request, key)


@require_safe
def pass_file(request: HttpRequest, key: str) -> HttpResponse:
    """Give that page as a PDF; where none can be made, the page itself with what to do instead."""
    sheet: PassSheet | None = None

    def keep_sheet(household: Household, now: datetime) -> dict[str, Any]:
        nonlocal sheet
        sheet = pass_sheet(household, key, now=now)
        return _pass_context(sheet)

    page = _page(request, "pass", keep_sheet)
    if sheet is None:
        return page
    try:
        made = pass_pdf(sheet)
    except NoPaper as problem:
        return _pass_page(request, key, no_pdf=str(problem))
    name = f'attachment; filename="pass-{slugify(key)}.pdf"'
    return HttpResponse(made, content_type="application/pdf", headers={"Content-Disposition": name})


@require_safe
def passages_page(request: HttpRequest) -> HttpResponse:
    """List the passages."""
    return _list_page(request, PASSAGES, lambda household, now: passage_list(household, now=now))


@require_safe
def passage_page(request: HttpRequest, key: str) -> HttpResponse:
    """Show the passage of one batch."""
    return _sheet_page(request, "passage", lambda household, now: passage_sheet(household, key, now=now))


@require_safe
def course_page(request: HttpRequest, key: str) -> HttpResponse:
    """Show one course of treatment."""
    return _sheet_page(request, "course", lambda household, now: course_sheet(household, key, now=now))


@require_safe
def growths_page(request: HttpRequest) -> HttpResponse:
    """List the growth cases."""
    return _list_page(request, GROWTHS, lambda household, now: growth_list(household, now=now))


@require_safe
def growth_page(request: HttpRequest, key: str) -> HttpResponse:
    """Show one growth case."""
    return _sheet_page(request, "growth", lambda household, now: growth_sheet(household, key, now=now))


def _sheet_page(request: HttpRequest, template: str, sheet_of: SheetOf) -> HttpResponse:
    return _page(request, template, lambda household, now: {"sheet": sheet_of(household, now)})


def _pass_page(request: HttpRequest, key: str, *, no_pdf: str = "") -> HttpResponse:
    return _page(
        request, "pass", lambda household, now: _pass_context(pass_sheet(household, key, now=now)) | {"no_pdf": no_pdf}
    )


def _pass_context(sheet: PassSheet) -> dict[str, Any]:
    return {"sheet": sheet, "can_make_pdf": can_make_pdf()}


def _list_page(
    request: HttpRequest, page: ListPage, groups_of: Callable[[Household, datetime], tuple[ListGroup, ...]]
) -> HttpResponse:
    def context(household: Household, now: datetime) -> dict[str, Any]:
        groups = groups_of(household, now)
        return {"page": page, "groups": groups, "gist": list_gist(groups, page)}

    return _page(request, "list", context)


def _page(
    request: HttpRequest, template: str, context_of: Callable[[Household, datetime], dict[str, Any]]
) -> HttpResponse:
    """Answer with a page as of the day asked for; a key the household does not have is not found."""
    try:
        asked = asked_of(request)
    except NoSuchDay as problem:
        return render(request, "pratique/reading/no_such_day.html", {"sentence": str(problem)}, status=404)
    # A past day is judged by the household of that day: courses open then, animals where they were.
    household = load_household_at(asked.now) if asked.is_past else household_of(request)
    try:
        context = context_of(household, asked.now)
    except KeyError as unknown:
        # Only what the address names may be unknown; any other missing key is a fault of ours.
        named = request.resolver_match.kwargs.values() if request.resolver_match else ()
        if unknown.args not in {(one,) for one in named}:
            raise
        if asked.is_past:
            sentence = f"At the end of {asked.words} nothing of this was written down yet."
            return render(request, "pratique/reading/no_such_day.html", {"sentence": sentence}, status=404)
        raise Http404(unknown.args[0]) from None
    shared = {"asked": asked, "on": asked.query, "opened": "opened" in request.GET}
    return render(request, f"pratique/reading/{template}.html", shared | context)
