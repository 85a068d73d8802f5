"""What every page of measuring asks the ledger: the file itself, the growth it is about, and the usual scale."""

from collections.abc import Mapping, Sequence

from pratique.casework.measuring.decoding import NotDecoded
from pratique.casework.writing.numbers import plain
from pratique.ledger.household import Household
from pratique.ledger.kinds.measured import Cells, Motion
from pratique.ledger.photos import photo_path
from pratique.ledger.queries import entries_about


def content_of(sha256: str) -> bytes:
    """Return a stored photo or clip. Raises NotDecoded where its file is gone."""
    path = photo_path(sha256)
    if path is None:
        raise NotDecoded("The file is missing from this home; restore it from an export.")
    return path.read_bytes()


def case_asked(household: Household, subjects: Sequence[str], given: Mapping[str, str]) -> str:
    """Return the growth a page was opened for, or the one its picture is about; empty where there is none."""
    asked = given.get("case", "")
    if asked in household.cases:
        return asked
    about = (one.removeprefix("case/") for one in subjects if one.startswith("case/"))
    return next((one for one in about if one in household.cases), "")


def about(case: str, source: str, sha256: str, moment: str) -> tuple[tuple[str, str], ...]:
    """Return the answers to the form every measurement begins with: the growth, the photo or clip, and when."""
    return (("case", case), (source, sha256), ("moment", moment))


def usual_scale(case: str) -> str:
    """Return the scale last used for a growth, as text to begin with; a microscope seldom changes."""
    if not case:
        return ""
    for one in reversed(entries_about(f"case/{case}", ["cells", "motion"])):
        if isinstance(one.payload, Cells | Motion) and one.payload.um_per_px is not None:
            return plain(one.payload.um_per_px)
    return ""
