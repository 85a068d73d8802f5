"""Entries about what was measured of a growth: cover on a photo, cells on a microscope still, movement on a clip."""

from collections.abc import Iterator, Sequence
from typing import Annotated, ClassVar, Literal, Self

from pydantic import BaseModel, ConfigDict, Field, model_validator

from pratique.ledger.kinds.payload import Key, Link, Name, NotNegative, Payload, Positive, Text

Sha256 = Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]
Part = Annotated[float, Field(ge=0, le=1, allow_inf_nan=False)]

# Half of the last place of a tenth of a per cent.
_ROUNDING = 0.0005

type Manner = Literal["still", "gliding", "swimming", "spinning", "not told"]


class CoverShare(BaseModel):
    """The share of the region that one kind covers, with its 95 % interval."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    name: Name
    fraction: Part
    low: Part
    high: Part

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if not self.low <= self.fraction <= self.high:
            message = "an interval holds the share it is of"
            raise ValueError(message)
        return self


def is_within_whole(shares: Sequence[CoverShare]) -> bool:
    """Say whether shares are parts of one region; each may be rounded, so together they may come to a little more."""
    return sum(one.fraction for one in shares) <= 1.0 + _ROUNDING * len(shares)


class Cover(Payload):
    """How much of a region each kind covers: by dabs on a photo, by points judged one at a time, or by eye.

    `marks` are the region and dabs as JSON, so that a later photo can be measured by them.
    """

    kind: ClassVar[str] = "cover"

    case: Key
    photo: Sha256 | None = None
    by: Literal["dabs", "points", "eye"]
    shares: Annotated[tuple[CoverShare, ...], Field(min_length=1, max_length=12)]
    marks: Annotated[str, Field(max_length=20_000)] = ""
    words: Text = ""

    @model_validator(mode="after")
    def _of_one_region(self) -> Self:
        names = [one.name for one in self.shares]
        if len(set(names)) < len(names) or not is_within_whole(self.shares):
            message = "each kind covers its own part of one region"
            raise ValueError(message)
        return self

    def links(self) -> Iterator[Link]:
        """Speak of the case, by kind."""
        yield from (Link(f"case/{self.case}", f"cover: {one.name}"[:80], one.fraction) for one in self.shares)


class Cells(Payload):
    """Cells measured under the microscope, each by its length and, where taken, its width (µm)."""

    kind: ClassVar[str] = "cells"

    case: Key
    photo: Sha256 | None = None
    lengths_um: Annotated[tuple[Positive, ...], Field(min_length=1, max_length=2000)]
    widths_um: Annotated[tuple[Positive, ...], Field(max_length=2000)] = ()
    um_per_px: Positive | None = None
    words: Text = ""

    @model_validator(mode="after")
    def _a_width_to_each_length(self) -> Self:
        if self.widths_um and len(self.widths_um) != len(self.lengths_um):
            message = "there are as many widths as lengths, or none"
            raise ValueError(message)
        return self

    def links(self) -> Iterator[Link]:
        """Speak of the case."""
        yield Link(f"case/{self.case}", "cells", float(len(self.lengths_um)))


class Motion(Payload):
    """How cells of a growth move: the manner, and the speeds where they were measured (µm/s).

    `minutes_old` is how long the sample lay before it was filmed: cold or stale cells stop moving.
    """

    kind: ClassVar[str] = "motion"

    case: Key
    clip: Sha256 | None = None
    manner: Manner
    median_um_per_s: NotNegative | None = None
    q05_um_per_s: NotNegative | None = None
    q95_um_per_s: NotNegative | None = None
    moving_fraction: Part | None = None
    tracks: Annotated[int, Field(ge=1)] | None = None
    um_per_px: Positive | None = None
    minutes_old: NotNegative | None = None
    words: Text = ""

    @model_validator(mode="after")
    def _speeds_in_order(self) -> Self:
        known = [one for one in (self.q05_um_per_s, self.median_um_per_s, self.q95_um_per_s) if one is not None]
        if known != sorted(known):
            message = "the median lies between the slowest and the fastest twentieth"
            raise ValueError(message)
        return self

    def links(self) -> Iterator[Link]:
        """Speak of the case."""
        yield Link(f"case/{self.case}", f"motion: {self.manner}", self.median_um_per_s)


class Clip(Payload):
    """A stored clip: its content's SHA-256 names the file. Sound, place and maker are never kept."""

    kind: ClassVar[str] = "clip"

    sha256: Sha256
    media_type: Literal["video/mp4", "video/x-matroska"]
    width_px: Annotated[int, Field(gt=0)]
    height_px: Annotated[int, Field(gt=0)]
    seconds: NotNegative
    subjects: tuple[str, ...] = ()
    words: Text = ""

    def links(self) -> Iterator[Link]:
        """Speak of everything the clip shows."""
        yield from (Link(subject, "clip") for subject in self.subjects or ("household",))
