"""What may be done about a growth, as its page tells it. No HTML here."""

from dataclasses import dataclass
from typing import Literal

from pratique.casework.sheets.lines import NextStep, Reason

type MeasureState = Literal["now", "not before", "not known", "not here"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ObjectionLine:
    """One thing that stands against a measure; `how_to_know` is empty unless nobody knows whether it does."""

    words: str
    how_to_know: str
    reason: Reason


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasureLine:
    """One measure: whether it is allowed, why not, and how it is done; `fit_words` says what it is for, how surely."""

    key: str
    name: str
    state: MeasureState
    state_words: str
    fit_words: str
    objections: tuple[ObjectionLine, ...]
    cares: tuple[ObjectionLine, ...]
    how: str
    dose_words: str
    course: str
    looks_for: str
    watch: tuple[str, ...]
    stop: tuple[str, ...]
    without: tuple[str, ...]
    alongside: tuple[str, ...]
    cautions: tuple[str, ...]
    reason: Reason
    step: NextStep | None
