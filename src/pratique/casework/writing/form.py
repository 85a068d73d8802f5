"""What a form is: its questions, what it writes, and how an entry turns back into its answers."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from pratique.casework.writing.desk import Answers, Desk
from pratique.casework.writing.fields import Field
from pratique.ledger.entries import NewEntry, Recorded
from pratique.ledger.household import Household

type Group = Literal["every day", "animals", "treatment", "growths", "set up"]


@dataclass(frozen=True, kw_only=True)
class Form:
    """One form. `answers_of` is None where what it writes cannot be amended through it.

    `fields` takes the household, answers given beforehand, and now; some questions depend on earlier answers, such as
    which animals to ask about on which system.
    """

    name: str
    title: str
    group: Group
    fields: Callable[[Household, Answers, datetime], tuple[Field, ...]]
    write: Callable[[Desk, Answers], list[NewEntry]]
    kinds: tuple[str, ...]
    answers_of: Callable[[Recorded, Household], Answers] | None = None
