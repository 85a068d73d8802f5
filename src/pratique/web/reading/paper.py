"""A page made into a PDF, where the optional library for that is there; nothing is fetched to make it."""

from functools import cache
from importlib.util import find_spec
from io import BytesIO
from pathlib import Path
from typing import NoReturn

from django.template.loader import render_to_string
from PIL import ImageFile

from pratique.casework.sheets.pass_sheet import PassSheet

_STYLE = Path(__file__).resolve().parents[1] / "static" / "pratique" / "pass_paper.css"
_SIZES = ("plain", "small", "smallest")


class NoPaper(Exception):
    """No PDF can be made here; the message says what to do instead."""


@cache
def can_make_pdf() -> bool:
    """Return whether the library is installed, without loading it."""
    return find_spec("weasyprint") is not None


def pass_pdf(sheet: PassSheet) -> bytes:
    """Return the pass as a PDF, in the largest letters with which it fits one page; raises NoPaper."""
    try:
        from weasyprint import CSS, HTML  # noqa: PLC0415 - optional, and slow to load
    except (ImportError, OSError) as problem:
        # The library looks for the system's text layout when it is loaded, and that may be missing.
        raise NoPaper("No PDF can be made on this machine: print the page to a file instead.") from problem
    # Loading the library lets half a picture pass for a whole one everywhere in this process; ours are looked at whole.
    ImageFile.LOAD_TRUNCATED_IMAGES = False
    style = CSS(string=_STYLE.read_text(encoding="utf-8"), url_fetcher=_refused)
    out = BytesIO()
    for size in _SIZES:
        text = render_to_string("pratique/reading/pass_paper.html", {"sheet": sheet, "size": size})
        document = HTML(string=text, url_fetcher=_refused).render(stylesheets=[style])
        if len(document.pages) == 1 or size == _SIZES[-1]:
            document.write_pdf(out)
            break
    return out.getvalue()


def _refused(url: str, *_: object, **__: object) -> NoReturn:
    raise ValueError(f"A pass is made without looking anything up, not even {url}.")
