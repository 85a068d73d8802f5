"""What the pass shows: the one page that hands an animal over. No HTML here."""

from dataclasses import dataclass

from pratique.casework.sheets.lines import About


@dataclass(frozen=True, slots=True, kw_only=True)
class PassSheet:
    """One animal handed over: what it went through, how it is, what is not known, and what to watch.

    `standing` says first of all whether it was cleared; `stays` are spans of days with the place.
    """

    about: About
    species_words: str
    latin: str
    batch: About | None
    household: str
    made_words: str
    is_cleared: bool
    standing: str
    stays: tuple[tuple[str, str], ...]
    courses: tuple[str, ...]
    disease: tuple[str, ...]
    condition: tuple[str, ...]
    doubts: tuple[str, ...]
    cautions: tuple[str, ...]
    watch: tuple[str, ...]
