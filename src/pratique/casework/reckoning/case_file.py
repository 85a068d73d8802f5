"""A case written down in a file: one constituent, one water, everything the reckoning needs and nothing of a ledger.

Times are aware; days are counted from `start`. A number that cannot be, or a name that is not known, is told with its
place in the file.
"""

import json
from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Annotated, Literal, Self

from pydantic import AwareDatetime, BaseModel, ConfigDict, Discriminator, Field, ValidationError, model_validator

from pratique.science.chemistry.domain import DomainError
from pratique.science.estimation import case as science
from pratique.science.estimation.reading import Method, Observed

_SECONDS_PER_DAY = 86400.0
# A tank nobody measured: anything from a small box to a large display (our own; a guess, and the answer says so).
_UNKNOWN_MEDIAN_L = 100.0
_UNKNOWN_LOG_SD = 1.0
_MOST_BYTES = 20_000_000

type Number = Annotated[float, Field(allow_inf_nan=False)]
type AtLeastZero = Annotated[float, Field(ge=0.0, allow_inf_nan=False)]
type AboveZero = Annotated[float, Field(gt=0.0, allow_inf_nan=False)]


class CaseRefused(ValueError):
    """A case file that cannot be read or reckoned, in sentences."""


class _Strict(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class VolumeTold(_Strict):
    """Net volume in litres: mean and sd, or median and log_sd, or that it is not known."""

    mean: AboveZero | None = None
    sd: AtLeastZero | None = None
    median: AboveZero | None = None
    log_sd: AtLeastZero | None = None
    unknown: bool = False

    @model_validator(mode="after")
    def _one_way(self) -> Self:
        normal, log = self.mean is not None and self.sd is not None, self.median is not None and self.log_sd is not None
        if normal + log + self.unknown != 1:
            raise ValueError("give mean and sd, or median and log_sd, or unknown: true")
        return self

    def told(self) -> science.Volume:
        """Return it as science takes it."""
        if self.mean is not None and self.sd is not None:
            return science.Volume(self.mean, self.sd)
        if self.median is not None and self.log_sd is not None:
            return science.Volume(self.median, self.log_sd, is_lognormal=True)
        return science.Volume(_UNKNOWN_MEDIAN_L, _UNKNOWN_LOG_SD, is_lognormal=True)


class LossTold(_Strict):
    """First-order loss per day: lognormal."""

    median: AtLeastZero
    log_sd: AtLeastZero = 0.0


class SourceTold(_Strict):
    """Net gain per day, and how it wanders."""

    mean: Number = 0.0
    sd: AtLeastZero = 0.0
    walk_sd_per_sqrt_day: AtLeastZero = 0.0


class NormalTold(_Strict):
    """A normal belief."""

    mean: Number
    sd: AtLeastZero


class StrengthTold(_Strict):
    """How far the stock's strength may be off, one for the case."""

    relative_sd: AtLeastZero


class MethodTold(_Strict):
    """How a reading is taken: its errors and limits, or the marks of its chart."""

    absolute_sd: AtLeastZero = 0.0
    relative_sd: AtLeastZero = 0.0
    resolution: AtLeastZero = 0.0
    lower_limit: Number | None = None
    upper_limit: Number | None = None
    marks: tuple[Number, ...] | None = None
    bias_sd: AtLeastZero = 0.0

    def told(self) -> Method:
        """Return it as science takes it."""
        return Method(
            self.resolution,
            self.absolute_sd,
            self.relative_sd,
            self.lower_limit,
            self.upper_limit,
            self.marks,
            self.bias_sd,
        )


class DoseTold(_Strict):
    """A dose: mg of the constituent, with its own relative error."""

    kind: Literal["dose"]
    at: AwareDatetime
    amount_mg: AtLeastZero
    relative_sd: AtLeastZero = 0.0


class ChangeTold(_Strict):
    """A water change."""

    kind: Literal["water_change"]
    at: AwareDatetime
    volume_l: AtLeastZero
    incoming: Number = 0.0
    incoming_sd: AtLeastZero = 0.0


class FeedingTold(_Strict):
    """Food that releases mg of the constituent over some hours."""

    kind: Literal["feeding"]
    at: AwareDatetime
    amount_mg: AtLeastZero
    hours: AboveZero
    relative_sd: AtLeastZero = 0.0


class MediaTold(_Strict):
    """Media put in (above 0) or taken out (below 0): a known jump of the loss per day."""

    kind: Literal["media"]
    at: AwareDatetime
    extra_loss_per_day: Number


type EventTold = Annotated[DoseTold | ChangeTold | FeedingTold | MediaTold, Discriminator("kind")]


class ReadingTold(_Strict):
    """A reading: a value, between two marks, below a limit, or above one."""

    at: AwareDatetime
    method: str
    value: Number | None = None
    between: tuple[Number, Number] | None = None
    below: Number | None = None
    above: Number | None = None

    @model_validator(mode="after")
    def _one_result(self) -> Self:
        given = [name for name in ("value", "between", "below", "above") if getattr(self, name) is not None]
        if len(given) != 1:
            raise ValueError("give exactly one of value, between, below and above")
        if self.between is not None and not self.between[0] < self.between[1]:
            raise ValueError("the two marks of between must be the lower and then the upper")
        return self

    def told(self) -> Observed:
        """Return it as science takes it."""
        low, high = self.between if self.between is not None else (None, None)
        return Observed(value=self.value, low=low, high=high, below=self.below, above=self.above)


class BandTold(_Strict):
    """The level to hold."""

    lower: Number
    upper: Number


class CaseFile(_Strict):
    """One self-contained case; see docs/reckoning.md."""

    constituent: str
    unit: str
    start: AwareDatetime
    end: AwareDatetime
    grid_hours: AboveZero = 1.0
    volume_l: VolumeTold
    loss_per_day: LossTold = LossTold(median=0.0)
    source_per_day: SourceTold = SourceTold()
    level_walk_sd_per_sqrt_day: AtLeastZero = 0.0
    initial: NormalTold
    stock_strength: StrengthTold = StrengthTold(relative_sd=0.0)
    methods: dict[str, MethodTold]
    events: tuple[EventTold, ...] = ()
    readings: tuple[ReadingTold, ...] = ()
    band: BandTold | None = None
    required_days: AtLeastZero | None = None
    seed: int = Field(default=0, ge=0)
    draws: int = Field(default=4000, ge=100, le=50_000)

    def told(self) -> science.Case:
        """Return it as science takes it; raises CaseRefused for a moment out of place."""
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
            methods={key: method.told() for key, method in self.methods.items()},
            events=tuple(self._event(event) for event in self.events),
            readings=tuple(science.Reading(self._day(one.at), one.method, one.told()) for one in self.readings),
            band=science.Band(self.band.lower, self.band.upper) if self.band is not None else None,
            required_days=self.required_days,
            seed=self.seed,
            draws=self.draws,
        )

    def moment(self, day: float) -> datetime:
        """Return the moment a day of the case stands for."""
        return self.start + timedelta(days=day)

    def require_in_order(self) -> None:
        """Raise CaseRefused, naming the line, for what lies outside the case or out of order."""
        problems = []
        if self.end <= self.start:
            problems.append("end: it must lie after the start.")
        for name, moments in (("events", [e.at for e in self.events]), ("readings", [r.at for r in self.readings])):
            before = self.start
            for number, at in enumerate(moments):
                if at < self.start:
                    problems.append(f"{name}[{number}]: {at.isoformat()} lies before the start of the case.")
                elif at > self.end:
                    problems.append(f"{name}[{number}]: {at.isoformat()} lies after the end of the case.")
                elif at < before:
                    problems.append(
                        f"{name}[{number}]: {at.isoformat()} lies before the one above it; put them in order."
                    )
                before = max(before, at)
        problems += [
            f"readings[{number}]: the method {one.method} is not under methods; describe its errors or its marks there."
            for number, one in enumerate(self.readings)
            if one.method not in self.methods
        ]
        if problems:
            raise CaseRefused("\n".join(problems))

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
    if len(text) > _MOST_BYTES:
        raise CaseRefused("This file is too long for one case: 20 MB at most.")
    try:
        told = CaseFile.model_validate(json.loads(text))
    except json.JSONDecodeError as problem:
        raise CaseRefused(f"line {problem.lineno}: this is not JSON ({problem.msg}).") from None
    except RecursionError:
        raise CaseRefused("This file is nested too deeply to be a case.") from None
    except ValidationError as problem:
        raise CaseRefused("\n".join(_sentences(problem))) from None
    told.require_in_order()
    return told


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
        "union_tag_invalid": "kind must be dose, water_change, feeding or media",
        "union_tag_not_found": "kind is missing: dose, water_change, feeding or media",
    }
    plain = words.get(kind, message.removeprefix("Value error, "))
    return plain[0].lower() + plain[1:].rstrip(".")
