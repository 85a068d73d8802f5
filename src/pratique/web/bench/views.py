"""The bench's pages. What was typed is in the address, so that a link holds a calculation; nothing is written here."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from pratique.casework.bench.cards import BENCH, by_question
from pratique.web.bench.page import card_page
from pratique.web.frame import household_of


@require_safe
def bench(request: HttpRequest) -> HttpResponse:
    """Show the cards under the keeper's questions."""
    return render(request, "pratique/bench/bench.html", {"questions": by_question()})


@require_safe
def card(request: HttpRequest, name: str) -> HttpResponse:
    """Show one card, with its answer where the address holds enough for one."""
    if name not in BENCH:
        raise Http404
    given = {key: str(value) for key, value in request.GET.items()}
    page = card_page(BENCH[name], given, household_of(request), is_redrawn="redraw" in given)
    return render(request, "pratique/bench/card.html", {"page": page, "opened": "opened" in given})
