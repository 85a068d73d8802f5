"""The desk at which entries are written: who writes, when, and what was asked and answered before."""

from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from uuid import UUID

from pratique.ledger.entries import Recorded
from pratique.ledger.household import Household

# One answer under each name; questions with many answers hold a sequence.
Answers = Mapping[str, str | Sequence[str] | bytes]


class Problems(Exception):
    """Answers that cannot be written down: for each field a sentence with what is wrong and what would be right.

    A sentence about the form as a whole stands under the empty name.
    """

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
    `amends` is the entry this writing corrects; `household` is then the household as it would be without it.
    """

    household: Household
    now: datetime
    author: str
    source: str
    entry_id: UUID
    confirmed: Container[str] = field(default_factory=frozenset)
    amends: Recorded | None = None
