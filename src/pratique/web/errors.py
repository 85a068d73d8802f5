"""Pages for when something is not there or went wrong, in words, with a way on."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.template.loader import render_to_string


def not_found(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:  # noqa: ARG001 - Django passes it
    """Say that there is no such page."""
    return render(request, "pratique/errors/not_found.html", status=404)


def broken(request: HttpRequest) -> HttpResponse:
    """Say that the program failed, without asking the ledger anything more."""
    return HttpResponse(render_to_string("pratique/errors/broken.html", {"path": request.path}), status=500)
