"""Entries as the history and their own pages show them: a sentence, when and by whom, and what corrects them."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pratique.casework.writing.forms import form_that_amends
from pratique.ledger.entries import Recorded
from pratique.ledger.household import Household
from pratique.ledger.queries import corrections_of, entries_by_id, fallen
from pratique.web.entries.sentences import entry_sentence

SOURCES = {
    "web": "on the page",
    "cli": "at the command line",
    "import": "brought in from a file",
    "probe": "by a probe",
    "api": "through the interface",
}


@dataclass(frozen=True, slots=True)
class Row:
    """One entry in a list. `target` is the entry it corrects."""

    entry: Recorded
    sentence: str
    stands: bool
    words: str
    target: Recorded | None

    @property
    def standing(self) -> str:
        """What has become of it, empty for one that stands."""
        return "" if self.stands else "no longer stands"

    @property
    def correction(self) -> str:
        """What it does to another entry, empty for most."""
        return "Amends" if self.entry.amends else "Withdraws" if self.entry.withdraws else ""


def rows_of(entries: Sequence[Recorded], household: Household) -> list[Row]:
    """Return the entries as rows, in their order."""
    gone = fallen(entry.seq for entry in entries)
    targets = entries_by_id(target for entry in entries if (target := entry.amends or entry.withdraws))
    return [
        Row(
            entry=entry,
            sentence=entry_sentence(entry, household),
            stands=entry.seq not in gone,
            words=str(entry.raw.get("words", "")),
            target=targets.get(target) if (target := entry.amends or entry.withdraws) else None,
        )
        for entry in entries
    ]


@dataclass(frozen=True, slots=True)
class Told:
    """One entry on its own page, with what corrects it and what it corrects."""

    row: Row
    corrected_by: tuple[Row, ...]
    corrects: Row | None
    can_amend: bool
    can_withdraw: bool

    @property
    def source(self) -> str:
        """How the entry came into the ledger, in words."""
        return SOURCES.get(self.row.entry.source, self.row.entry.source)

    @property
    def fields(self) -> list[tuple[str, str]]:
        """Everything the entry holds, as it is stored."""
        return list(_flat(self.row.entry.raw))

    @property
    def confirmed(self) -> list[str]:
        """The questions that were answered with yes when it was written."""
        return [str(sentence) for sentence in self.row.entry.raw.get("confirmed", ())]


def told_of(entry: Recorded, household: Household) -> Told:
    """Return an entry with its corrections both ways."""
    row, *corrections = rows_of([entry, *corrections_of([entry.id])], household)
    corrects = rows_of([row.target], household)[0] if row.target else None
    is_open = row.stands and entry.withdraws is None
    return Told(
        row=row,
        corrected_by=tuple(corrections),
        corrects=corrects,
        can_amend=is_open and form_that_amends(entry) is not None,
        can_withdraw=row.stands,
    )


def _flat(value: object, name: str = "") -> Iterator[tuple[str, str]]:
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from _flat(inner, f"{name} {key}".strip())
    elif isinstance(value, list):
        for number, inner in enumerate(value, start=1):
            yield from _flat(inner, f"{name} {number}" if len(value) > 1 else name)
    else:
        words = str(value) if not isinstance(value, bool) else "yes" if value else "no"
        yield name.replace("_", " "), words
