"""The hub."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render


def hub(request: HttpRequest) -> HttpResponse:
    """Show every form."""
    return render(request, "pratique/write/hub.html")
