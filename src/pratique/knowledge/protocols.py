"""Passages written down as data: legs, their courses, moves and readings, and what must stand before the next leg."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Literal

from pratique.knowledge.copper import CopperForm
from pratique.knowledge.loading import pick, read
from pratique.knowledge.status import Status

type Agent = Literal["copper", "bath", "low_salinity"]

_FOLDER = "protocols"


@dataclass(frozen=True)
class GateCriterion:
    """One criterion of the gate at a leg's end, in the keeper's words."""

    key: str
    words: str
    required: float
    unit: str
    source: str
    status: Status


@dataclass(frozen=True)
class CoursePlan:
    """One course of a leg, its days counted from the leg's first.

    `ramp_days` lead to the target, `days` are those at it, `leaving_days` lead back. A copper course without a band of
    its own has that of its form. A bath is given on `first_dose_day` and, where `second_dose_by` names a parasite, once
    more within the window of its stages; `present_days` says how long each dose stays in the water.
    """

    key: str
    name: str
    agent: Agent
    against: tuple[str, ...]
    source: str
    status: Status
    substance: str | None = None
    starts_day: float = 0.0
    ramp_days: float = 0.0
    days: float = 0.0
    leaving_days: float = 0.0
    target_lower: float | None = None
    target_upper: float | None = None
    hard_upper: float | None = None
    unit: str = ""
    second_dose_by: str | None = None
    present_days: tuple[float, ...] = ()


@dataclass(frozen=True)
class MovesPlan:
    """Moves into clean tanks, at most `every_hours` apart; their count follows from the stages of `parasite`."""

    every_hours: float
    parasite: str
    source: str
    status: Status


@dataclass(frozen=True)
class ReadingPlan:
    """A reading due in a leg, and every how many days."""

    constituent: str
    every_days: float
    source: str
    status: Status


@dataclass(frozen=True)
class Leg:
    """One leg: the role of the system it runs in, its least days, what is done in it, and the gate at its end.

    `is_clean_move` says that it begins with a move into a tank that never held the parasite.
    """

    key: str
    name: str
    system_role: str
    criteria: tuple[GateCriterion, ...]
    source: str
    status: Status
    days: float = 0.0
    feeding: str = ""
    is_clean_move: bool = False
    courses: tuple[CoursePlan, ...] = ()
    moves: tuple[MovesPlan, ...] = ()
    readings: tuple[ReadingPlan, ...] = ()


@dataclass(frozen=True)
class Protocol:
    """A whole passage; `copper_form` is None where no copper is used, `short_name` is what a command may call it."""

    key: str
    name: str
    words: str
    legs: tuple[Leg, ...]
    source: str
    status: Status
    copper_form: CopperForm | None = None
    short_name: str = ""
    recovery_dropped: str = ""
    place_in_list: float = 100.0


@cache
def _protocols() -> Mapping[str, Protocol]:
    folder = files("pratique.knowledge").joinpath("figures", _FOLDER)
    names = sorted(one.name for one in folder.iterdir() if one.name.endswith(".toml"))
    found = [one for name in names for one in read(f"{_FOLDER}/{name}", Protocol).values()]
    return {one.key: one for one in sorted(found, key=lambda one: one.place_in_list)}


def protocols() -> tuple[Protocol, ...]:
    """Return every shipped protocol."""
    return tuple(_protocols().values())


def protocol(key: str) -> Protocol:
    """Return one protocol by its key or short name; KeyError with a plain sentence for an unknown one."""
    by_short_name = {one.short_name: one for one in protocols() if one.short_name}
    return by_short_name.get(key) or pick(_protocols(), key, what="protocol")


def protocol_text(key: str) -> str:
    """Return the file of a shipped protocol, to be copied and changed; KeyError for an unknown key."""
    name = f"{protocol(key).key}.toml"
    return files("pratique.knowledge").joinpath("figures", _FOLDER, name).read_text(encoding="utf-8")
