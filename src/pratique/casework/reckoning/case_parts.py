"""The parts of a case file: beliefs, methods, events and readings, each checked by itself."""

from itertools import pairwise
from math import isfinite
from typing import Annotated, Literal, Self

from pydantic import AwareDatetime, BaseModel, ConfigDict, Discriminator, Field, model_validator

from pratique.science.estimation import case as science
from pratique.science.estimation.reading import Method, Observed, reading_range

# A tank nobody measured: anything from a small box to a large display (our own; a guess, and the answer says so).
_UNKNOWN_MEDIAN_L = 100.0
_UNKNOWN_LOG_SD = 1.0

# Nothing in a tank is larger than this in any unit; beyond it sums of squares lose all their digits.
_MOST = 1e9
type Number = Annotated[float, Field(ge=-_MOST, le=_MOST, allow_inf_nan=False)]
type AtLeastZero = Annotated[float, Field(ge=0.0, le=_MOST, allow_inf_nan=False)]
type AboveZero = Annotated[float, Field(gt=0.0, le=_MOST, allow_inf_nan=False)]
type Words = Annotated[str, Field(min_length=1, max_length=60)]


class Strict(BaseModel):
    """What only takes what it names, each in its own kind."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)


class VolumeTold(Strict):
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


class LossTold(Strict):
    """First-order loss per day: lognormal."""

    median: AtLeastZero
    log_sd: AtLeastZero = 0.0


class SourceTold(Strict):
    """Net gain per day, and how it wanders."""

    mean: Number = 0.0
    sd: AtLeastZero = 0.0
    walk_sd_per_sqrt_day: AtLeastZero = 0.0


class NormalTold(Strict):
    """A normal belief."""

    mean: Number
    sd: AtLeastZero


class StrengthTold(Strict):
    """How far the stock's strength may be off, one for the case."""

    relative_sd: AtLeastZero


class MethodTold(Strict):
    """How a reading is taken: its errors and limits, or the marks of its chart."""

    absolute_sd: AtLeastZero = 0.0
    relative_sd: AtLeastZero = 0.0
    resolution: AtLeastZero = 0.0
    lower_limit: Number | None = None
    upper_limit: Number | None = None
    marks: Annotated[tuple[Number, ...], Field(min_length=2)] | None = None
    bias_sd: AtLeastZero = 0.0

    @model_validator(mode="after")
    def _has_errors(self) -> Self:
        if self.marks is not None:
            if any(not low < high for low, high in pairwise(self.marks)):
                raise ValueError("each of the marks must lie above the one before")
        elif self.absolute_sd == self.relative_sd == self.resolution == 0.0:
            raise ValueError("this method has no error model: give absolute_sd, relative_sd, resolution or marks")
        if self.lower_limit is not None and self.upper_limit is not None and self.lower_limit >= self.upper_limit:
            raise ValueError("lower_limit must lie under upper_limit")
        return self

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


class DoseTold(Strict):
    """A dose: mg of the constituent, with its own relative error."""

    kind: Literal["dose"]
    at: AwareDatetime
    amount_mg: AtLeastZero
    relative_sd: AtLeastZero = 0.0


class ChangeTold(Strict):
    """A water change."""

    kind: Literal["water_change"]
    at: AwareDatetime
    volume_l: AtLeastZero
    incoming: Number = 0.0
    incoming_sd: AtLeastZero = 0.0


class FeedingTold(Strict):
    """Food that releases mg of the constituent over some hours."""

    kind: Literal["feeding"]
    at: AwareDatetime
    amount_mg: AtLeastZero
    hours: AboveZero
    relative_sd: AtLeastZero = 0.0


class MediaTold(Strict):
    """Media put in (above 0) or taken out (below 0): a known jump of the loss per day."""

    kind: Literal["media"]
    at: AwareDatetime
    extra_loss_per_day: Number


type EventTold = Annotated[DoseTold | ChangeTold | FeedingTold | MediaTold, Discriminator("kind")]


class ReadingTold(Strict):
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

    def told(self, method: Method) -> Observed:
        """Return it as science takes it; a value off a chart stands for what lies nearest to it there."""
        low, high = self.between if self.between is not None else (None, None)
        if self.value is not None and method.marks:
            near = reading_range(method, Observed(value=self.value))
            return Observed(low=near.low, high=near.high) if isfinite(near.high) else Observed(above=near.low)
        return Observed(value=self.value, low=low, high=high, below=self.below, above=self.above)


class BandTold(Strict):
    """The level to hold, and how far advice may go: never above `hard_upper` (else `upper`)."""

    lower: Number
    upper: Number
    hard_upper: Number | None = None

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if not self.lower < self.upper:
            raise ValueError("lower must lie under upper")
        if self.hard_upper is not None and self.hard_upper < self.upper:
            raise ValueError("hard_upper cannot lie under upper")
        return self
