"""What the page of one constituent in a system shows: its level, and what would come of doses and changes. No HTML."""

from dataclasses import dataclass

from pratique.casework.sheets.chart import Chart
from pratique.casework.sheets.lines import About, NextStep, Reason


@dataclass(frozen=True, slots=True)
class DeedChoice:
    """Something one could do: the value a form sends, its words after an amount, and the step a drag changes it by."""

    value: str
    words: str
    step: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DeedRow:
    """One deed thought of, as it was typed, with what is wrong with it.

    `refused` says why a deed that is understood is not taken into the picture.
    """

    number: int
    what: str
    amount: str
    at: str
    amount_problem: str = ""
    at_problem: str = ""
    refused: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIfSheet:
    """One constituent in one system: the past two weeks, the coming days, and what is thought of for them.

    `first_at` and `last_at` are the moments a deed may lie between, as a form holds them; `outlook` are sentences on
    the days ahead with the deeds; `withheld` says why no dose is thought of, or nothing.
    """

    about: About
    constituent: str
    name: str
    gist: str
    chart: Chart | None
    outlook: tuple[str, ...] = ()
    withheld: str = ""
    choices: tuple[DeedChoice, ...] = ()
    rows: tuple[DeedRow, ...] = ()
    first_at: str = ""
    last_at: str = ""
    steps: tuple[NextStep, ...] = ()
    cautions: tuple[str, ...] = ()
    reasons: tuple[Reason, ...] = ()

    @property
    def is_faulty(self) -> bool:
        """Whether something that was typed could not be taken into the picture, for a reason of its own."""
        return any(row.amount_problem or row.at_problem or row.refused not in {"", self.withheld} for row in self.rows)
