"""The form for how much a growth covers; typed by hand or filled in by the page where it was measured."""

import re
from collections.abc import Sequence
from datetime import datetime

from pydantic import ValidationError

from pratique.casework.measuring.cover_marks import MarksRefused, read_marks
from pratique.casework.measuring.marks_text import marks_of, text_of, whole_marks
from pratique.casework.writing.asked import Asked
from pratique.casework.writing.desk import Answers, Desk
from pratique.casework.writing.fields import Field, Option, Widget
from pratique.casework.writing.form import Form
from pratique.casework.writing.growths import case_field, open_case
from pratique.casework.writing.measured import source_field, stored
from pratique.casework.writing.moments import told
from pratique.casework.writing.numbers import plain
from pratique.casework.writing.options import MOMENT, WORDS, with_initial
from pratique.ledger.entries import NewEntry, Recorded
from pratique.ledger.household import Household
from pratique.ledger.kinds.measured import Cover, CoverShare, is_within_whole
from pratique.units import parse_number

_BY = (Option("dabs", "By dabs on a photo"), Option("points", "By points on a photo"), Option("eye", "By eye"))
_NUMBER = r"\s*([\d.,]+)\s*%?\s*"
_SHARE = re.compile(rf"([^:]{{1,80}}):{_NUMBER}\({_NUMBER}to{_NUMBER}\)")
_LIKE_THIS = "Write each kind on a line of its own, with per cent and range: brown: 23 (19 to 27)."
# A tenth of a per cent is finer than any photograph tells.
_DECIMALS = 3
_MOST_KINDS = 12


def cover_fields(household: Household, answers: Answers, _now: datetime) -> tuple[Field, ...]:
    """Return the questions about how much a growth covers."""
    asked = (
        case_field(household),
        Field(
            name="shares", label="How much each kind covers", widget=Widget.LONG_TEXT, required=True, hint=_LIKE_THIS
        ),
        Field(name="by", label="How it was told", widget=Widget.CHOICE, options=_BY, initial="eye"),
        source_field("photo", "Photo", "Where from"),
        Field(name="marks", label="Marks", widget=Widget.LONG_TEXT, group="Where from", is_tucked=True),
        MOMENT,
        WORDS,
    )
    return with_initial(asked, answers)


def write_cover(desk: Desk, answers: Answers) -> list[NewEntry]:
    """Return the cover. Raises Problems and Doubts."""
    asked = Asked(desk, answers, cover_fields(desk.household, answers, desk.now))
    case = open_case(asked)
    shares = _shares(asked)
    by, photo = asked.choice("by"), stored(asked, "photo")
    marks = _marks(asked)
    confirmed = asked.settle()
    if case is None:
        return []
    found = {"case": case.key, "photo": photo, "by": by, "shares": shares, "marks": marks}
    return asked.entries(Cover.model_validate({**found, "words": asked.words, "confirmed": confirmed}))


def _marks(asked: Asked) -> str:
    """Return marks as they are kept, from lines as the page that measures writes them."""
    text = asked.text("marks", longest=20_000)
    try:
        return whole_marks(marks_of(text)).model_dump_json() if text else ""
    except MarksRefused as refused:
        asked.problem("marks", f"{refused} The page where cover is measured fills this in; else leave it empty.")
        return ""


def _mark_lines(kept: str) -> str:
    try:
        return text_of(read_marks(kept)) if kept else ""
    except MarksRefused:  # kept by a version that checked them less
        return kept


def _shares(asked: Asked) -> tuple[CoverShare, ...]:
    text = asked.text("shares", _LIKE_THIS)
    found = []
    for line in filter(None, (one.strip() for one in text.splitlines())):
        share = _share(line)
        if share is None:
            asked.problem("shares", f"“{line[:60]}” cannot be read. {_LIKE_THIS}")
            return ()
        found.append(share)
    names = [one.name for one in found]
    if len(set(names)) < len(names):
        asked.problem("shares", "Each kind stands once.")
    if not is_within_whole(found):
        asked.problem("shares", "Together these cover more than the whole region; they may come to 100 at most.")
    if len(found) > _MOST_KINDS:
        asked.problem("shares", "At most twelve kinds are kept.")
    return tuple(found)


def _share(line: str) -> CoverShare | None:
    read = _SHARE.fullmatch(line)
    if read is None:
        return None
    try:
        fraction, low, high = (parse_number(one) / 100.0 for one in read.groups()[1:])
        return rounded_share(read[1].strip(), fraction, low, high)
    except (ValueError, ValidationError):
        return None


def _percent(part: float) -> str:
    return plain(round(100.0 * part, _DECIMALS - 2))


def rounded_share(name: str, fraction: float, low: float, high: float) -> CoverShare:
    """Return a measured share as it is kept."""
    kept = (round(one, _DECIMALS) for one in (fraction, low, high))
    return CoverShare(name=name, **dict(zip(("fraction", "low", "high"), kept, strict=True)))


def share_lines(shares: Sequence[CoverShare]) -> str:
    """Return shares as the form holds them."""
    return "\n".join(
        f"{one.name}: {_percent(one.fraction)} ({_percent(one.low)} to {_percent(one.high)})" for one in shares
    )


def answers_of_cover(entry: Recorded, household: Household) -> Answers:
    """Return a cover as answers to its form."""
    found = entry.payload
    if not isinstance(found, Cover):
        return {}
    answers = {"case": found.case, "photo": found.photo or "", "by": str(found.by), "marks": _mark_lines(found.marks)}
    return {**answers, "shares": share_lines(found.shares), **told(entry, household, found.words)}


COVER = Form(
    name="cover",
    title="How much a growth covers",
    group="growths",
    fields=cover_fields,
    write=write_cover,
    kinds=("cover",),
    answers_of=answers_of_cover,
)
