"""What the page of a tank without fish shows, and a command prints. No HTML."""

from dataclasses import dataclass
from datetime import date

from pratique.casework.sheets.compare import DayChance, Likely
from pratique.casework.sheets.lines import About, Reason


@dataclass(frozen=True, slots=True, kw_only=True)
class FallowLine:
    """One parasite: its chance of being gone by day, and the days on which that is enough.

    Days are counted from the last fish. `now` is None before there is such a day. `light_day` is the day it would be
    enough had the infection been light. Without a curve, `words` say why nothing is known.
    """

    key: str
    name: str
    words: str
    curve: tuple[DayChance, ...] = ()
    now: Likely | None = None
    enough_day: float | None = None
    sure_day: float | None = None
    light_day: float | None = None
    longest_day: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FallowSheet:
    """How long a tank must stay without fish, told from its ledger or for a temperature alone."""

    system: About | None
    since: date | None
    day: float | None
    enough_on: date | None
    gist: str
    said: tuple[str, ...]
    temperature_c: float
    fishes: int
    counts_from: float
    lines: tuple[FallowLine, ...]
    reasons: tuple[Reason, ...]
    cautions: tuple[str, ...]
