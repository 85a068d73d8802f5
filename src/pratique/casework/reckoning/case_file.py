"""A case written down in a file: one constituent, one water, everything the reckoning needs and nothing of a ledger.

Times are aware; days are counted from `start`. A number that cannot be, or a name that is not known, is told with its
place in the file.
"""

import json
from collections.abc import Sequence
from datetime import datetime, timedelta

from pydantic import AwareDatetime, Field, ValidationError

from pratique.casework.reckoning.case_parts import (
    AboveZero,
    AtLeastZero,
    BandTold,
    ChangeTold,
    DoseTold,
    EventTold,
    FeedingTold,
    LossTold,
    MediaTold,
    MethodTold,
    NormalTold,
    ReadingTold,
    SourceTold,
    StrengthTold,
    Strict,
    VolumeTold,
    Words,
)
from pratique.science.chemistry.domain import DomainError
from pratique.science.estimation import case as science

_SECONDS_PER_DAY = 86400.0
_HOURS_PER_DAY = 24.0
_MOST_CHARACTERS = 20_000_000
# Trajectories are held whole: 50 million levels are 400 MB.
_MOST_LEVELS = 50_000_000


class CaseRefused(ValueError):
    """A case file that cannot be read or reckoned, in sentences."""


class CaseFile(Strict):
    """One self-contained case; see docs/reckoning.md."""

    constituent: Words
    unit: Words
    start: AwareDatetime
    end: AwareDatetime
    grid_hours: AboveZero = 1.0
    volume_l: VolumeTold = VolumeTold(unknown=True)
    loss_per_day: LossTold = LossTold(median=0.0)
    source_per_day: SourceTold = SourceTold()
    level_walk_sd_per_sqrt_day: AtLeastZero = 0.0
    initial: NormalTold
    stock_strength: StrengthTold = StrengthTold(relative_sd=0.0)
    methods: dict[str, MethodTold] = Field(default_factory=dict)
    events: tuple[EventTold, ...] = ()
    readings: tuple[ReadingTold, ...] = ()
    band: BandTold | None = None
    required_days: AtLeastZero | None = None
    rise_limit_per_day: AtLeastZero | None = None
    seed: int = Field(default=0, ge=0)
    draws: int = Field(default=4000, ge=100, le=50_000)

    def told(self) -> science.Case:
        """Return it as science takes it."""
        methods = {key: method.told() for key, method in self.methods.items()}
        return science.Case(
            constituent=self.constituent,
            unit=self.unit,
            span_days=self._day(self.end),
            grid_hours=self.grid_hours,
            initial=science.Initial(self.initial.mean, self.initial.sd),
            volume=self.volume_l.told(),
            loss=science.Loss(self.loss_per_day.median, self.loss_per_day.log_sd),
            source=science.Source(
                self.source_per_day.mean, self.source_per_day.sd, self.source_per_day.walk_sd_per_sqrt_day
            ),
            level_walk_sd_per_sqrt_day=self.level_walk_sd_per_sqrt_day,
            stock_strength_relative_sd=self.stock_strength.relative_sd,
            methods=methods,
            events=tuple(self._event(event) for event in self.events),
            readings=tuple(
                science.Reading(self._day(one.at), one.method, one.told(methods[one.method])) for one in self.readings
            ),
            band=science.Band(self.band.lower, self.band.upper) if self.band is not None else None,
            required_days=self.required_days,
            seed=self.seed,
            draws=self.draws,
        )

    def moment(self, day: float) -> datetime:
        """Return the moment a day of the case stands for."""
        return self.start + timedelta(days=day)

    def require_in_order(self) -> None:
        """Raise CaseRefused, naming the place, for what lies outside the case, out of order or past a method."""
        problems = []
        if self.end <= self.start:
            problems.append("end: it must lie after the start.")
        problems += self._misplaced("events", [event.at for event in self.events])
        problems += self._misplaced("readings", [reading.at for reading in self.readings])
        for number, reading in enumerate(self.readings):
            wrong = self._beyond(reading)
            if wrong:
                problems.append(f"readings[{number}]: {wrong}")
        if self._day(self.end) * _HOURS_PER_DAY / self.grid_hours * self.draws > _MOST_LEVELS:
            problems.append("grid_hours: this is too fine for so long a case; take a wider step, or fewer draws.")
        if problems:
            raise CaseRefused("\n".join(problems))

    def _misplaced(self, name: str, moments: Sequence[datetime]) -> Sequence[str]:
        found = []
        before = self.start
        for number, at in enumerate(moments):
            where = ""
            if at < self.start:
                where = "lies before the start of the case"
            elif at > self.end:
                where = "lies after the end of the case"
            elif at < before:
                where = "lies before the one above it; put them in order"
            if where:
                found.append(f"{name}[{number}]: {at.isoformat()} {where}.")
            before = max(before, at)
        return found

    def _beyond(self, reading: ReadingTold) -> str:
        """Return what a reading says that its method cannot, or nothing."""
        method = self.methods.get(reading.method)
        if method is None:
            return f"the method {reading.method} is not under methods; describe its errors or its marks there."
        if reading.value is None or method.marks:
            return ""
        for side, limit in (("below", method.lower_limit), ("above", method.upper_limit)):
            if limit is not None and (reading.value < limit if side == "below" else reading.value > limit):
                return f"{reading.method} cannot show {reading.value:g}; write it as {side} {limit:g}."
        return ""

    def _day(self, at: datetime) -> float:
        return (at - self.start).total_seconds() / _SECONDS_PER_DAY

    def _event(self, event: DoseTold | ChangeTold | FeedingTold | MediaTold) -> science.Event:
        day = self._day(event.at)
        match event:
            case DoseTold():
                return science.Dose(day, event.amount_mg, event.relative_sd)
            case ChangeTold():
                return science.Change(day, event.volume_l, event.incoming, event.incoming_sd)
            case FeedingTold():
                return science.Pulse(day, event.amount_mg, event.hours, event.relative_sd)
            case MediaTold():
                return science.Media(day, event.extra_loss_per_day)


def read_case(text: str) -> CaseFile:
    """Return the case a file tells; raises CaseRefused with one sentence a problem, each with its place."""
    if len(text) > _MOST_CHARACTERS:
        raise CaseRefused("This file is too long for one case: 20 MB at most.")
    try:
        json.loads(text, object_pairs_hook=_once_each)
        told = CaseFile.model_validate_json(text)
    except json.JSONDecodeError as problem:
        raise CaseRefused(f"line {problem.lineno}: this is not JSON ({problem.msg}).") from None
    except RecursionError:
        raise CaseRefused("This file is nested too deeply to be a case.") from None
    except ValidationError as problem:
        raise CaseRefused("\n".join(_sentences(problem))) from None
    except ValueError as problem:
        raise CaseRefused(f"This file cannot be read as a case: {problem}.") from None
    told.require_in_order()
    return told


def _once_each(pairs: list[tuple[str, object]]) -> dict[str, object]:
    """Refuse a name that stands twice: only the last would count."""
    names = [name for name, _ in pairs]
    twice = next((name for name in names if names.count(name) > 1), None) if len(set(names)) < len(names) else None
    if twice is not None:
        raise CaseRefused(f"{twice}: this stands twice in one place.")
    return dict(pairs)


def reckonable(told: CaseFile) -> science.Case:
    """Return the case as science takes it; raises CaseRefused where it cannot be reckoned."""
    from pratique.science.estimation.validate import require_reckonable  # noqa: PLC0415 - beside the reckoning

    try:
        case = told.told()
        require_reckonable(case)
    except (DomainError, ValueError) as problem:
        raise CaseRefused(str(problem)) from None
    return case


def _sentences(problem: ValidationError) -> Sequence[str]:
    found = []
    for error in problem.errors(include_url=False, include_context=False, include_input=False):
        place = ""
        for part in error["loc"]:
            if isinstance(part, int):
                place += f"[{part}]"
            elif part not in {"dose", "water_change", "feeding", "media"} or not place.startswith("events"):
                place += f".{part}" if place else str(part)
        found.append(f"{place or 'the file'}: {_plain(error['type'], error['msg'])}.")
    return found


def _plain(kind: str, message: str) -> str:
    words = {
        "missing": "this is missing",
        "extra_forbidden": "nothing of this name belongs here",
        "timezone_aware": "write the moment with its zone, like 2026-03-01T09:00:00Z",
        "datetime_from_date_parsing": "write the moment like 2026-03-01T09:00:00Z",
        "datetime_parsing": "write the moment like 2026-03-01T09:00:00Z",
        "finite_number": "this must be a finite number",
        "model_type": "this must be an object in braces with names and values",
        "float_type": "this must be a number, like 0.18",
        "int_type": "this must be a whole number",
        "string_type": "this must be words in quotation marks",
        "datetime_type": "write the moment like 2026-03-01T09:00:00Z",
        "datetime_object_invalid": "write the moment like 2026-03-01T09:00:00Z",
        "json_invalid": "this is not JSON",
        "union_tag_invalid": "kind must be dose, water_change, feeding or media",
        "union_tag_not_found": "kind is missing: dose, water_change, feeding or media",
    }
    plain = words.get(kind, message.removeprefix("Value error, ").replace("Input should", "this must"))
    return plain[0].lower() + plain[1:].rstrip(".")
