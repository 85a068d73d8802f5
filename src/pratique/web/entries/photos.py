"""Stored pictures: the file itself, and a page to look at it."""

import re

from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from pratique.ledger.entries import Recorded
from pratique.ledger.models import Entry
from pratique.ledger.photos import CLIP_EXTENSIONS, photo_path
from pratique.web.entries.rows import told_of
from pratique.web.frame import household_of

_MEDIA_TYPES = {
    ".jpg": "image/jpeg",
    ".jpeg": "image/jpeg",
    ".png": "image/png",
    ".webp": "image/webp",
    **{f".{extension}": media_type for media_type, extension in CLIP_EXTENSIONS.items()},
}


@require_safe
def photo_file(request: HttpRequest, sha256: str) -> FileResponse:  # noqa: ARG001 - Django passes it
    """Give the stored file; its name is its content's hash, so it never changes."""
    path = photo_path(sha256) if re.fullmatch(r"[0-9a-f]{64}", sha256) else None
    if path is None:
        raise Http404
    response = FileResponse(path.open("rb"), content_type=_MEDIA_TYPES[path.suffix])
    response.headers["Cache-Control"] = "private, max-age=31536000, immutable"
    return response


@require_safe
def photo_page(request: HttpRequest, sha256: str) -> HttpResponse:
    """Show a picture large, with what was said about it."""
    entry = newest_entry_of(sha256)
    if entry is None:
        raise Http404
    return render(request, "pratique/entries/photo.html", {"told": told_of(entry, household_of(request))})


def newest_entry_of(sha256: str) -> Recorded | None:
    """Return the entry that last spoke of a stored picture, or None for one no entry speaks of."""
    rows = Entry.objects.filter(kind="photo", payload__contains=sha256).order_by("-seq")
    return next((one for row in rows if (one := Recorded.of(row)).raw.get("sha256") == sha256), None)
