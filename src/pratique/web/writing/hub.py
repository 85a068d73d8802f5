"""The hub: every form in big words, in the order of the day, with the place filled in where that saves a tap."""

from dataclasses import dataclass
from itertools import groupby
from urllib.parse import urlencode

from django.urls import reverse

from pratique.casework.writing.forms import FORMS
from pratique.ledger.household import Household
from pratique.web.writing.feeding_page import places_fed
from pratique.web.writing.order import systems_in_order

_BY_PLACE = frozenset({"feeding", "readings"})


@dataclass(frozen=True, slots=True)
class Way:
    """A form to go to."""

    words: str
    address: str


@dataclass(frozen=True, slots=True)
class Ways:
    """Forms under one heading."""

    title: str
    ways: tuple[Way, ...]


def feeding_ways(household: Household) -> list[Way]:
    """Return the ways to feed: everyone at once where there are several places, then each place."""
    places = places_fed(household)
    ways = [Way(f"Feed in {name}", form_address("feeding", system=place)) for place, name in places.items()]
    everyone = [Way("Feed everyone", form_address("feeding"))] if len(places) > 1 else []
    return everyone + ways


def reading_ways(household: Household) -> list[Way]:
    """Return the way to a round of readings in each system."""
    return [
        Way(f"Readings in {one.name}", form_address("readings", system=one.key)) for one in systems_in_order(household)
    ]


def other_ways() -> list[Ways]:
    """Return every other form, by group."""
    rest = [form for form in FORMS.values() if form.name not in _BY_PLACE]
    return [
        Ways(group, tuple(Way(form.title, form_address(form.name)) for form in some))
        for group, some in groupby(rest, key=lambda form: form.group)
    ]


def form_address(name: str, **answers: str) -> str:
    """Return the address of a form with some answers filled in."""
    query = f"?{urlencode(answers)}" if answers else ""
    return f"{reverse('form', args=[name])}{query}"
