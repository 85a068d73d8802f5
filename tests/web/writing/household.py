"""Harbour Row for the pages: set up a month ago, with six fishes in three places."""

import re
from datetime import UTC, datetime, timedelta

from django.http import HttpResponse

from pratique.ledger.append import append
from pratique.ledger.entries import NewEntry, Recorded, new_entry_id
from pratique.ledger.kinds import animals, places
from pratique.ledger.kinds.payload import Payload
from pratique.ledger.queries import entry_count, history

ZONE = "Europe/London"
_FISHES = {
    "royal-gramma": ("Royal gramma", "royal_gramma", "lazaret", None),
    "two-spined-angelfish": ("Two-spined angelfish", "two_spined_angelfish", "lazaret", None),
    "banggai-pair": ("Banggai pair", "banggai_cardinalfish", "lazaret", None),
    "maiden-goby": ("Maiden goby", "maiden_goby", "haven", None),
    "six-line-wrasse": ("Six-line wrasse", "six_line_wrasse", "haven", None),
    "tomini-bristletooth": ("Tomini bristletooth", "tomini_bristletooth", "skerry", "creel"),
}


def put(payload: Payload, *, days_ago: float = 0.5) -> Recorded:
    """Put an entry straight into the ledger."""
    return append([_entry(payload, days_ago)])[0].entry


def _entry(payload: Payload, days_ago: float) -> NewEntry:
    moment = datetime.now(UTC) - timedelta(days=days_ago)
    return NewEntry(id=new_entry_id(), payload=payload, happened_at=moment, zone=ZONE, author="keeper", source="cli")


def set_up() -> None:
    """Set up three systems, a box, a stock solution, and the fishes, all at once."""
    things: list[Payload] = [places.Household(name="Harbour Row", zone=ZONE, people=("keeper", "helper"))]
    for key, role, gross in (("skerry", "display", 480), ("lazaret", "quarantine", 90), ("haven", "recovery", 110)):
        system = places.System(
            key=key,
            name=key.capitalize(),
            role=role,
            gross_volume_l=gross,
            net_volume_l=gross * 0.85,
            keeps_invertebrates=key == "skerry",
        )
        things.append(system)
    things.append(places.Compartment(key="creel", name="Creel", system="skerry", form="box"))
    stock = places.Stock(key="copper-stock", name="Copper stock", substance="copper_ionic", strength_mg_per_ml=1.0)
    things.append(stock)
    for key, (name, species, system_key, compartment) in _FISHES.items():
        things.append(animals.Arrival(key=key, name=name, species=species, system=system_key, compartment=compartment))
    append([_entry(thing, 30) for thing in things])


def body(response: HttpResponse) -> str:
    """Return the page as text, its line ends and indents made single spaces."""
    return re.sub(r"[ \n]+", " ", response.content.decode())


def newest(count: int = 1) -> list[Recorded]:
    """Return the entries recorded last, the last first."""
    return history(limit=count)


def written_since(before: int) -> int:
    """Return how many entries were added since there were so many."""
    return entry_count() - before
