"""Four points on a picture. They are in the address, so that a link holds them; nothing is written here."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from pratique.casework.outlines import outline_sheet
from pratique.ledger.kinds.care import Photo
from pratique.web.entries.photos import newest_entry_of
from pratique.web.frame import household_of


@require_safe
def outline_page(request: HttpRequest, sha256: str) -> HttpResponse:
    """Show a picture with its four points, and the depth over length they give."""
    entry = newest_entry_of(sha256)
    if entry is None or not isinstance(entry.payload, Photo):
        raise Http404
    given = {name: str(text) for name, text in request.GET.items()}
    sheet = outline_sheet(household_of(request), entry.payload, given, taken_at=entry.happened_at, now=timezone.now())
    return render(request, "pratique/outline/outline.html", {"sheet": sheet, "opened": "opened" in given})
