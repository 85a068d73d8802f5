"""More, settings and the welcome of a new household."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render


def more(request: HttpRequest) -> HttpResponse:
    """Show the ways to the pages the thumb bar has no room for."""
    return render(request, "pratique/setup/more.html")


def settings_page(request: HttpRequest) -> HttpResponse:
    """Show what the household is made of, each with a way to change it."""
    return render(request, "pratique/setup/settings.html")


def welcome(request: HttpRequest) -> HttpResponse:
    """Lead a new household through its first steps."""
    return render(request, "pratique/setup/welcome.html")
