"""Marks and scales are in the address, so that a link holds them; nothing is written here."""

import re

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from pratique.casework.measuring.cells_page import cells_sheet
from pratique.casework.measuring.clip_page import clip_sheet
from pratique.casework.measuring.cover_page import cover_overlay, cover_sheet
from pratique.casework.measuring.points_page import points_sheet
from pratique.ledger.entries import Recorded
from pratique.ledger.kinds.care import Photo
from pratique.ledger.kinds.measured import Clip
from pratique.web.entries.photos import newest_entry_of
from pratique.web.frame import household_of


def _given(request: HttpRequest) -> dict[str, str]:
    return {name: str(text).replace("\0", "") for name, text in request.GET.items()}


def _photo(sha256: str) -> tuple[Recorded, Photo]:
    entry = newest_entry_of(sha256)
    if entry is None or not isinstance(entry.payload, Photo):
        raise Http404
    return entry, entry.payload


@require_safe
def cover_page(request: HttpRequest, sha256: str) -> HttpResponse:
    """Show a photo with its marks, and the cover they give."""
    entry, photo = _photo(sha256)
    given = _given(request)
    sheet = cover_sheet(household_of(request), photo, given, taken_at=entry.happened_at, now=timezone.now())
    return render(request, "pratique/measuring/cover.html", {"sheet": sheet, "opened": "opened" in given})


@require_safe
def cover_seen(request: HttpRequest, sha256: str) -> HttpResponse:
    """Give the photo with one kind outlined, to check by eye."""
    _, photo = _photo(sha256)
    picture = cover_overlay(household_of(request), photo, _given(request), now=timezone.now())
    if picture is None:
        raise Http404
    response = HttpResponse(picture, content_type="image/jpeg")
    response.headers["Cache-Control"] = "private, max-age=3600"
    return response


@require_safe
def cells_page(request: HttpRequest, sha256: str) -> HttpResponse:
    """Show a microscope still with its scale, the cells found on it, and their sizes."""
    entry, photo = _photo(sha256)
    rejected = [int(one) for one in request.GET.getlist("rejected") if re.fullmatch(r"\d{1,6}", one)]
    sheet = cells_sheet(household_of(request), photo, _given(request), taken_at=entry.happened_at, rejected=rejected)
    return render(request, "pratique/measuring/cells.html", {"sheet": sheet})


@require_safe
def clip_page(request: HttpRequest, sha256: str) -> HttpResponse:
    """Show a microscope clip, and how its cells move once its scale is given."""
    entry = newest_entry_of(sha256, kind="clip")
    if entry is None or not isinstance(entry.payload, Clip):
        raise Http404
    sheet = clip_sheet(household_of(request), entry.payload, _given(request), taken_at=entry.happened_at)
    return render(request, "pratique/measuring/clip.html", {"sheet": sheet})


@require_safe
def points_page(request: HttpRequest, sha256: str) -> HttpResponse:
    """Show one point of a photo, enlarged; every answer goes along in the address."""
    entry, photo = _photo(sha256)
    sheet = points_sheet(household_of(request), photo, _given(request), taken_at=entry.happened_at)
    return render(request, "pratique/measuring/points.html", {"sheet": sheet})
