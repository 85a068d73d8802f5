"""The present state of everything the household keeps, as typed values."""

from datetime import datetime
from typing import Literal
from uuid import UUID

from pydantic import BaseModel, ConfigDict

from pratique.ledger.kinds.places import SystemRole


class State(BaseModel):
    """A state folded from entries; `entry` is the newest entry that shaped it."""

    model_config = ConfigDict(frozen=True)

    key: str
    name: str
    entry: UUID


class HouseholdState(State):
    """The household itself."""

    zone: str
    people: tuple[str, ...] = ()
    volume_unit: str = "L"
    temperature_unit: str = "°C"


class SystemState(State):
    """A system with its gross and net volume; `since` is when it was first set up."""

    role: SystemRole
    gross_volume_l: float
    net_volume_l: float | None
    net_volume_plus_minus_l: float | None
    keeps_invertebrates: bool
    words: str
    since: datetime


class CompartmentState(State):
    """A compartment of a system."""

    system: str
    form: str


class MethodState(State):
    """A method of reading the household made or edited."""

    constituents: tuple[str, ...]
    resolution: float | None
    absolute_sd: float
    relative_sd: float
    lower_limit: float | None
    upper_limit: float | None
    marks: tuple[float, ...] | None


class StockState(State):
    """A stock solution on the shelf."""

    substance: str
    strength_mg_per_ml: float
    strength_plus_minus_percent: float


class ProtocolState(State):
    """A protocol of the keeper's own: its file's text as it now counts, and since when where it was changed."""

    text: str
    changed: datetime | None


class BegunLeg(BaseModel):
    """A leg of a passage that was begun, when, and by which entry."""

    model_config = ConfigDict(frozen=True)

    leg: str
    began: datetime
    words: str
    entry: UUID


class BatchState(State):
    """A batch, the protocol it follows, its animals and the legs begun."""

    protocol: str
    animals: tuple[str, ...]
    arrived: datetime | None
    legs: tuple[BegunLeg, ...]


class Stay(BaseModel):
    """A time an animal spent in one place; `until` is None while it lasts."""

    model_config = ConfigDict(frozen=True)

    system: str
    compartment: str | None
    since: datetime
    until: datetime | None
    entry: UUID


class AnimalState(State):
    """An animal or group: what it is, where it is and was, and whether it lives."""

    species: str
    count: int | None
    batch: str | None
    length_cm: float | None
    life: Literal["alive", "missing", "dead"]
    ended: datetime | None
    stays: tuple[Stay, ...]

    @property
    def place(self) -> Stay | None:
        """Return where the animal is now, or None once it is gone."""
        return self.stays[-1] if self.stays and self.stays[-1].until is None else None


class CourseState(State):
    """A course of treatment: planned until it is started, open until it is stopped."""

    system: str
    substance: str
    stock: str | None
    target_lower: float
    target_upper: float
    hard_upper: float
    required_days: float
    batch: str | None
    planned: datetime
    started: datetime | None
    stopped: datetime | None

    @property
    def standing(self) -> Literal["planned", "open", "finished"]:
        """Return how far the course has come."""
        if self.started is None:
            return "planned"
        return "open" if self.stopped is None else "finished"


class CaseState(State):
    """A growth case."""

    system: str
    where: str
    opened: datetime
    closed: datetime | None


STATE_TYPES: dict[str, type[State]] = {
    "household": HouseholdState,
    "system": SystemState,
    "compartment": CompartmentState,
    "method": MethodState,
    "stock": StockState,
    "protocol": ProtocolState,
    "batch": BatchState,
    "animal": AnimalState,
    "course": CourseState,
    "case": CaseState,
}
