"""The desk at which entries are written: who writes, when, and what was asked and answered before."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from uuid import UUID

from pratique.ledger.household import Household

# One answer under each name; questions with many answers hold a sequence.
Answers = Mapping[str, str | Sequence[str] | bytes]


class Problems(Exception):
    """Answers that cannot be written down: for each field a sentence with what is wrong and what would be right."""

    def __init__(self, fields: Mapping[str, str]) -> None:
        super().__init__("; ".join(fields.values()))
        self.fields = dict(fields)


class Doubts(Exception):
    """Answers that are possible but surprising: asked about once, then written with the question kept.

    `fields` maps a field to the sentence that is asked. Writing goes on when the same sentences come back as
    confirmed.
    """

    def __init__(self, fields: Mapping[str, str]) -> None:
        super().__init__("; ".join(fields.values()))
        self.fields = dict(fields)


@dataclass(frozen=True, kw_only=True)
class Desk:
    """Everything a form needs besides its answers.

    `entry_id` is the UUIDv7 made where the entry was made; a form that writes several entries derives the others
    from it, so sending the form twice writes nothing new. `confirmed` holds the sentences already answered with yes.
    """

    household: Household
    now: datetime
    author: str
    source: str
    entry_id: UUID
    confirmed: frozenset[str] = field(default_factory=frozenset)
