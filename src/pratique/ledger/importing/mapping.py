"""The keeper's word on what each column of a spreadsheet means, as a small TOML file."""

import datetime
import tomllib
from collections.abc import Collection
from difflib import get_close_matches
from typing import Literal
from zoneinfo import ZoneInfo

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from pratique.knowledge.constituents import constituent, constituents
from pratique.knowledge.foods import foods
from pratique.knowledge.methods import methods
from pratique.knowledge.substances import substances
from pratique.ledger.household import Household
from pratique.ledger.importing.moments import DateOrder, MomentRules
from pratique.ledger.kinds.water import PhScale
from pratique.units import WrongUnit, basis_of, to_canonical

Holds = Literal["reading", "water-change", "top-off", "dose", "feeding", "note", "ignore"]


class MappingRefused(ValueError):
    """The mapping does not fit; `problems` holds a sentence for everything that is wrong with it."""

    def __init__(self, problems: list[str]) -> None:
        super().__init__("\n".join(problems))
        self.problems = tuple(problems)


class Target(BaseModel):
    """What one column, or one word of a long table, holds."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    holds: Holds
    constituent: str | None = None
    unit: str | None = None
    method: str | None = None
    # Of pH only; where nothing is said it is NBS, as a hobby meter reads it (common practice, no source).
    scale: PhScale | None = None
    substance: str | None = None
    stock: str | None = None
    food: str | None = None


class Long(BaseModel):
    """The columns of a long table: what was read or done, its value and perhaps its unit."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    what: str
    value: str
    unit: str | None = None


class Mapping(BaseModel):
    """How to read one spreadsheet. What is left out is not guessed: such lines are kept aside."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    date: str
    time: str | None = None
    system: str | None = None
    only_system: str | None = None
    zone: str | None = None
    date_order: DateOrder | None = None
    time_of_day: datetime.time | None = None
    decimal_mark: Literal[".", ","] | None = None
    # Words that keepers write where nothing was read, such as "-".
    nothing: tuple[str, ...] = ()
    systems: dict[str, str] = Field(default_factory=dict)
    columns: dict[str, Target] = Field(default_factory=dict)
    long: Long | None = None
    things: dict[str, Target] = Field(default_factory=dict)

    @property
    def moment_rules(self) -> MomentRules:
        """Return what is said about dates."""
        return MomentRules(zone=self.zone, date_order=self.date_order, time_of_day=self.time_of_day)

    def named_columns(self) -> list[str]:
        """Return every column the mapping speaks of."""
        named = [self.date, self.time, self.system, *self.columns]
        if self.long is not None:
            named += [self.long.what, self.long.value, self.long.unit]
        return [name for name in named if name is not None]


def read_mapping(text: str) -> Mapping:
    """Return the mapping in a TOML text; raises MappingRefused."""
    try:
        return Mapping.model_validate(tomllib.loads(text))
    except tomllib.TOMLDecodeError as error:
        raise MappingRefused([f"The mapping is not readable TOML: {error}."]) from error
    except ValidationError as error:
        raise MappingRefused([_sentence(one["loc"], one["type"], one["msg"]) for one in error.errors()]) from error


def check_mapping(mapping: Mapping, columns: tuple[str, ...], household: Household) -> None:
    """Raise MappingRefused unless everything the mapping names is in the file, the household or the knowledge."""
    problems = [
        f"The mapping speaks of a column “{name}”, which the file does not have{_nearest(name, columns)}."
        for name in mapping.named_columns()
        if name not in columns
    ]
    if mapping.zone is not None and not _is_zone(mapping.zone):
        problems.append(f"“{mapping.zone}” is not a time zone; write it like Europe/London.")
    if mapping.only_system is not None:
        problems += _place_problems(mapping.only_system, household)
    for place in mapping.systems.values():
        problems += _place_problems(place, household)
    if mapping.things and mapping.long is None:
        problems.append("The mapping has [things], and no [long] that says which column names them.")
    has_units = mapping.long is not None and mapping.long.unit is not None
    for column, target in mapping.columns.items():
        problems += [f"Column “{column}”: {one}" for one in _target_problems(target, household, needs_unit=True)]
    for thing, target in mapping.things.items():
        problems += [f"“{thing}”: {one}" for one in _target_problems(target, household, needs_unit=not has_units)]
    if problems:
        raise MappingRefused(problems)


def _sentence(where: tuple[int | str, ...], kind: str, message: str) -> str:
    path = ".".join(str(part) for part in where)
    if kind == "missing":
        return f"The mapping does not say “{path}”."
    if kind == "extra_forbidden":
        return f"The mapping says “{path}”, which means nothing here."
    return f"The mapping's “{path}” does not fit: {message[0].lower()}{message[1:]}."


def _nearest(name: str, names: tuple[str, ...] | list[str]) -> str:
    near = get_close_matches(name, names, n=1)
    return f"; did you mean “{near[0]}”?" if near else ""


def _there(names: Collection[str]) -> str:
    if not names:
        return "there is none yet"
    return f"there {'is' if len(names) == 1 else 'are'} {', '.join(names)}"


def _is_zone(name: str) -> bool:
    try:
        ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        return False
    return True


def _place_problems(place: str, household: Household) -> list[str]:
    system, _, compartment = place.partition("/")
    if system not in household.systems:
        return [f"There is no system “{system}” in this household{_nearest(system, list(household.systems))}."]
    if compartment and compartment not in {one.key for one in household.compartments_of(system)}:
        return [f"There is no compartment “{compartment}” in {system}."]
    return []


def _target_problems(target: Target, household: Household, *, needs_unit: bool) -> list[str]:
    checks = {"reading": _reading_problems, "dose": _dose_problems}
    problems = checks[target.holds](target, household) if target.holds in checks else []
    # pH is a plain number; its scale is said by `scale`.
    has_unit = target.unit is not None or target.constituent == "ph"
    if needs_unit and not has_unit and target.holds in {"reading", "water-change", "top-off", "dose"}:
        problems.append(f"a {target.holds} needs a `unit`.")
    if target.holds in {"water-change", "top-off"} and target.unit is not None:
        problems += _unit_problems(target.unit, "L")
    if target.food is not None and target.food not in {food.key for food in foods()}:
        problems.append(f"there is no food “{target.food}”{_nearest(target.food, [food.key for food in foods()])}.")
    return problems


def _reading_problems(target: Target, household: Household) -> list[str]:
    keys = [one.key for one in constituents()]
    if target.constituent not in keys:
        return [f"there is no constituent “{target.constituent}”{_nearest(str(target.constituent), keys)}."]
    problems = []
    if target.scale is not None and target.constituent != "ph":
        problems.append(f"only pH has a `scale`, not {target.constituent}.")
    known_methods = {one.key for one in methods()} | set(household.methods)
    if target.method is not None and target.method not in known_methods:
        problems.append(f"there is no method “{target.method}”{_nearest(target.method, sorted(known_methods))}.")
    if target.unit is not None:
        canonical = constituent(target.constituent).unit
        problems += _unit_problems(target.unit, canonical)
        if basis_of(canonical) is not None and basis_of(target.unit) is None and not problems:
            problems.append(f"{target.unit} of what? Write `unit` with its basis, such as {canonical}.")
    return problems


def _dose_problems(target: Target, household: Household) -> list[str]:
    problems = []
    keys = [one.key for one in substances()]
    stock = household.stocks.get(target.stock) if target.stock is not None else None
    if target.stock is not None and stock is None:
        problems.append(f"there is no stock solution “{target.stock}” in this household; {_there(household.stocks)}.")
    if target.substance is not None and target.substance not in keys:
        # None is guessed: names of copper are alike, and their doses are not.
        problems.append(f"there is no substance “{target.substance}”; {_there(keys)}.")
    if target.substance is None and target.stock is None:
        problems.append("a dose needs a `substance` or a `stock`.")
    if stock is not None and target.substance not in {None, stock.substance}:
        problems.append(f"the stock solution “{target.stock}” holds {stock.substance}, not {target.substance}.")
    return problems


def _unit_problems(unit: str, canonical: str) -> list[str]:
    try:
        to_canonical(1.0, unit, canonical)
    except WrongUnit as error:
        return [str(error)]
    return []
