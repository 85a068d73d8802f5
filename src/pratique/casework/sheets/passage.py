"""What the page of a passage shows: its legs, and the gates between them. No HTML here."""

from dataclasses import dataclass
from typing import Literal

from pratique.casework.sheets.concern import Concern
from pratique.casework.sheets.lines import About, Evidence, NextStep, Reason
from pratique.casework.sheets.system import Resident


@dataclass(frozen=True, slots=True, kw_only=True)
class CriterionLine:
    """One criterion of a gate: met, not met or not known, with its number, evidence and how to make it known.

    `earliest` says when it can be met if all goes well, `override` that the keeper lets it count, in whose words;
    `details` what a number hangs on. `override_step` opens the form for that.
    """

    status: Literal["met", "not met", "not known"]
    title: str
    words: str
    evidence: tuple[Evidence, ...]
    how_to_know: str
    reason: Reason
    earliest: str = ""
    override: str = ""
    details: tuple[str, ...] = ()
    override_step: NextStep | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class AnimalGate:
    """The gate of one leg for one animal, when it can open and all gates be passed, and what to look for.

    `standing` says in a word or two whether it is fit and free of disease, or that it was cleared.
    """

    about: About
    is_open: bool
    criteria: tuple[CriterionLine, ...]
    standing: str = ""
    earliest: str = ""
    look_for: tuple[str, ...] = ()
    steps: tuple[NextStep, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TroubleLine:
    """What went another way than the plan, what follows from it, and the entries behind it."""

    words: str
    follows: str
    evidence: tuple[Evidence, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LegLine:
    """One leg of a passage: done, now or ahead; its gates stand for the leg under way and those ahead."""

    key: str
    name: str
    standing: Literal["done", "now", "ahead"]
    when_words: str
    role_words: str
    gates: tuple[AnimalGate, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PassageSheet:
    """The way of one batch from arrival to settled."""

    about: About
    protocol_name: str
    protocol_words: str
    day: int | None
    gist: str
    legs: tuple[LegLine, ...]
    animals: tuple[Resident, ...]
    courses: tuple[tuple[About, str], ...]
    concerns: tuple[Concern, ...]
    reasons: tuple[Reason, ...]
    steps: tuple[NextStep, ...]
    troubles: tuple[TroubleLine, ...] = ()
