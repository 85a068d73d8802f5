"""Stored pictures: the file itself, and a page to look at it."""

import re
from pathlib import Path

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

# A number longer than this is no place in a file.
_RANGE = re.compile(r"bytes=(\d{1,18})-(\d{0,18})", re.ASCII)


@require_safe
def photo_file(request: HttpRequest, sha256: str) -> FileResponse | HttpResponse:
    """Give the stored file; its name is its content's hash, so it never changes."""
    path = photo_path(sha256) if re.fullmatch(r"[0-9a-f]{64}", sha256) else None
    if path is None:
        raise Http404
    response = _ranged(request, path) or FileResponse(path.open("rb"), content_type=_MEDIA_TYPES[path.suffix])
    response.headers["Cache-Control"] = "private, max-age=31536000, immutable"
    response.headers["Accept-Ranges"] = "bytes"
    return response


def _ranged(request: HttpRequest, path: Path) -> HttpResponse | None:
    """Give the one part of a file that was asked for (RFC 9110, 14.2): phones ask for clips in parts, or play none."""
    asked = _RANGE.fullmatch(request.headers.get("Range", ""))
    size = path.stat().st_size
    if asked is None:
        return None
    first, last = int(asked[1]), int(asked[2] or size)
    if last < first:  # no range at all, so the whole file is meant
        return None
    if first >= size:
        return HttpResponse(status=416, headers={"Content-Range": f"bytes */{size}"})
    last = min(last, size - 1)
    with path.open("rb") as file:
        file.seek(first)
        part = file.read(last - first + 1)
    response = HttpResponse(part, status=206, content_type=_MEDIA_TYPES[path.suffix])
    response.headers["Content-Range"] = f"bytes {first}-{last}/{size}"
    return response


@require_safe
def photo_page(request: HttpRequest, sha256: str) -> HttpResponse:
    """Show a picture large, with what was said about it."""
    entry = newest_entry_of(sha256)
    if entry is None:
        raise Http404
    return render(request, "pratique/entries/photo.html", {"told": told_of(entry, household_of(request))})


def newest_entry_of(sha256: str, kind: str = "photo") -> Recorded | None:
    """Return the entry that last spoke of a stored picture or clip, or None for one no entry speaks of."""
    rows = Entry.objects.filter(kind=kind, payload__contains=sha256).order_by("-seq")
    return next((one for row in rows if (one := Recorded.of(row)).raw.get("sha256") == sha256), None)
