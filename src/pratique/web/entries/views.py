"""History."""

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.views.decorators.http import require_POST


def history_page(request: HttpRequest) -> HttpResponse:
    """Show what was written, the newest first."""
    return render(request, "pratique/entries/history.html")


@require_POST
def undo(request: HttpRequest) -> HttpResponse:  # noqa: ARG001
    """Withdraw what was just written."""
    return HttpResponseRedirect("/")
