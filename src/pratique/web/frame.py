"""What every page's frame needs: the household's name, the day, who is writing, and which page this is."""

from functools import cache
from pathlib import Path
from typing import NamedTuple, cast

from django.http import HttpRequest
from django.utils import timezone

from pratique.ledger.household import Household
from pratique.settings import CONFIG
from pratique.web.door import is_inside

_SCRIPT = Path(__file__).parent / "static" / "pratique" / "built" / "pratique.js"


class Page(NamedTuple):
    """One of the pages the frame leads to; `section` is the first part of the addresses below it."""

    section: str
    words: str
    address: str


_ROUNDS = Page("rounds", "Rounds", "/")
_SYSTEMS = Page("systems", "Systems", "/systems/")
_WRITE = Page("write", "Write", "/write/")
_ANIMALS = Page("animals", "Animals", "/animals/")
BEHIND_MORE = (
    Page("bench", "Bench", "/bench/"),
    Page("growths", "Growths", "/growths/"),
    Page("passages", "Passages", "/passages/"),
    Page("ledger", "Ledger", "/ledger/"),
    Page("settings", "Settings", "/settings/"),
)
ON_THE_BAR = (_ROUNDS, _SYSTEMS, _WRITE, _ANIMALS, Page("more", "More", "/more/"))
ACROSS_THE_TOP = (_ROUNDS, _SYSTEMS, _ANIMALS, *BEHIND_MORE, _WRITE)
# Pages whose address does not begin with the name of the section they belong to.
_SECTION_OF = {"": "rounds", "courses": "systems", "entries": "ledger", "photos": "ledger"}


def page_frame(request: HttpRequest) -> dict[str, object]:
    """Return the template context that every page shares."""
    household: Household | None = getattr(request, "household", None)
    section = _section(request.path)
    return {
        "household": household.state if household else None,
        "today": timezone.localdate(),
        "author": author_of(request),
        "section": section,
        "is_more": section not in {page.section for page in ON_THE_BAR},
        "bar": ON_THE_BAR,
        "pages": ACROSS_THE_TOP,
        "is_inside": is_inside(request),
        "has_script": _has_script(),
        "is_plain_http_on_lan": CONFIG.lan and CONFIG.plain_http,
    }


def household_of(request: HttpRequest) -> Household:
    """Return the household that was loaded for this request."""
    return cast("Household", request.household)  # type: ignore[attr-defined]


def author_of(request: HttpRequest) -> str:
    """Return who is writing: the person chosen on this device, or the first the household names."""
    chosen: str | None = request.session.get("author") if hasattr(request, "session") else None
    household: Household | None = getattr(request, "household", None)
    people = household.state.people if household and household.state else ()
    if chosen and (chosen in people or not people):
        return chosen
    return people[0] if people else "keeper"


def _section(path: str) -> str:
    first = path.strip("/").split("/")[0]
    return _SECTION_OF.get(first, first)


@cache
def _has_script() -> bool:
    """Return whether the bundle was built; without it the pages work with a few more taps."""
    return _SCRIPT.exists()
