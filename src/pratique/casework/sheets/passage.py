"""What the page of a passage shows: its legs, and the gates between them. No HTML here."""

from dataclasses import dataclass
from typing import Literal

from pratique.casework.sheets.concern import Concern
from pratique.casework.sheets.lines import About, Evidence, NextStep, Reason
from pratique.casework.sheets.system import Resident


@dataclass(frozen=True, slots=True, kw_only=True)
class CriterionLine:
    """One criterion of a gate: met, not met or not known, with its number, evidence and how to make it known."""

    status: Literal["met", "not met", "not known"]
    title: str
    words: str
    evidence: tuple[Evidence, ...]
    how_to_know: str
    reason: Reason


@dataclass(frozen=True, slots=True, kw_only=True)
class AnimalGate:
    """The gate of one leg for one animal."""

    about: About
    is_open: bool
    criteria: tuple[CriterionLine, ...]


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
