"""One line of a spreadsheet into entries: all of it, or none with every reason why not."""

import hashlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from pydantic import ValidationError

from pratique.ledger.canonical import canonical_json, moment_text
from pratique.ledger.entries import NewEntry
from pratique.ledger.household import Household
from pratique.ledger.importing.mapping import Mapping, Target
from pratique.ledger.importing.moments import MomentRefused, read_moment
from pratique.ledger.importing.payloads import Cell, Place, payload_of
from pratique.ledger.importing.table import DAMAGED, Line, Table
from pratique.ledger.kinds.payload import Payload


@dataclass(frozen=True, slots=True)
class Trouble:
    """Why a line is kept aside: the column (empty for the line as a whole) and a sentence."""

    column: str
    reason: str


@dataclass(frozen=True, slots=True)
class ReadLine:
    """A line as it was understood: its entries, or its troubles, or neither where it is blank."""

    line: Line
    entries: tuple[NewEntry, ...] = ()
    troubles: tuple[Trouble, ...] = ()


@dataclass(frozen=True, slots=True)
class LineReader:
    """Reads lines of one table by one mapping, for one household. `now` is the latest moment that can have been.

    `reckoned` adds to an entry what science makes of it. An entry's id is made before that, of what the line says, so
    that a better figure does not make another entry of the same line.
    """

    table: Table
    mapping: Mapping
    household: Household
    author: str
    now: datetime
    reckoned: Callable[[Payload], Payload]

    def read(self, line: Line) -> ReadLine:
        """Return what a line holds; one trouble keeps the whole line aside."""
        if line.cells is None:
            return ReadLine(line, troubles=(Trouble("", DAMAGED),))
        if not any(cell.strip() for cell in line.cells):
            return ReadLine(line)
        if any(cell.strip() for cell in line.cells[len(self.table.columns) :]):
            reason = "There are more cells than columns; a decimal comma may need quotation marks around the number."
            return ReadLine(line, troubles=(Trouble("", reason),))
        cells = dict.fromkeys(self.table.columns, "") | dict(
            zip(self.table.columns, map(str.strip, line.cells), strict=False)
        )
        return self._read_cells(line, cells)

    def _read_cells(self, line: Line, cells: dict[str, str]) -> ReadLine:
        troubles: list[Trouble] = []
        moment = self._moment(cells, troubles)
        place = self._place(cells, troubles)
        payloads = list(self._payloads(cells, place, troubles)) if place is not None else []
        if not troubles and not payloads:
            troubles.append(Trouble("", "There is nothing to record in this line."))
        if troubles or moment is None:
            return ReadLine(line, troubles=tuple(troubles))
        return ReadLine(line, entries=tuple(self._entry(payload, *moment) for payload in payloads))

    def _moment(self, cells: dict[str, str], troubles: list[Trouble]) -> tuple[datetime, str] | None:
        clock = cells[self.mapping.time] if self.mapping.time is not None else ""
        try:
            happened_at, zone = read_moment(cells[self.mapping.date], clock, self.mapping.moment_rules)
            if happened_at > self.now:
                raise MomentRefused("This is in the future; import it when it has happened.")
            if happened_at.timestamp() < 0:
                raise MomentRefused("This is before 1970; look at the year again.")
        except (MomentRefused, OverflowError) as error:
            reason = str(error) if isinstance(error, MomentRefused) else "This moment is out of all reach."
            troubles.append(Trouble(self.mapping.date, reason))
            return None
        return happened_at, zone

    def _place(self, cells: dict[str, str], troubles: list[Trouble]) -> Place | None:
        """Return the place; one without a system where the line names none; None where it names an unknown one."""
        said = cells[self.mapping.system] if self.mapping.system is not None else ""
        key = self._place_key(said) if said else self.mapping.only_system
        if said and key is None:
            names = ", ".join(state.name for state in self.household.systems.values())
            reason = f"“{said}” is not a system of this household ({names}); say what it means under [systems]."
            troubles.append(Trouble(str(self.mapping.system), reason))
            return None
        system, _, compartment = (key or "").partition("/")
        return Place(system or None, compartment or None)

    def _place_key(self, said: str) -> str | None:
        known = {word.casefold(): key for word, key in self.mapping.systems.items()}
        own = {word.casefold(): key for key, one in self.household.systems.items() for word in (key, one.name)}
        return (own | known).get(said.casefold())

    def _payloads(self, cells: dict[str, str], place: Place, troubles: list[Trouble]) -> Iterator[Payload]:
        for column, target, text, unit in self._told(cells, troubles):
            cell = Cell(text=text, unit=unit, place=place, decimal_mark=self.mapping.decimal_mark)
            try:
                yield payload_of(cell, target, self.household)
            except ValidationError as error:
                troubles.append(Trouble(column, f"{error.errors()[0]['msg'].removeprefix('Value error, ')}."))
            except ValueError as error:
                troubles.append(Trouble(column, str(error)))

    def _told(self, cells: dict[str, str], troubles: list[Trouble]) -> Iterator[tuple[str, Target, str, str | None]]:
        """Yield every cell with something in it: its column, what it holds, its text, and the unit beside it."""
        for column, target in self.mapping.columns.items():
            if target.holds != "ignore" and self._says_something(cells[column]):
                yield column, target, cells[column], None
        long = self.mapping.long
        if long is None or not self._says_something(cells[long.value]):
            return
        things = {thing.casefold(): target for thing, target in self.mapping.things.items()}
        thing = things.get(cells[long.what].casefold())
        if thing is None:
            reason = f"“{cells[long.what]}” is not in the mapping; say what it holds under [things]."
            troubles.append(Trouble(long.what, reason))
        elif thing.holds != "ignore":
            yield long.value, thing, cells[long.value], (cells[long.unit] or None) if long.unit is not None else None

    def _says_something(self, text: str) -> bool:
        return bool(text) and text.casefold() not in {word.casefold() for word in self.mapping.nothing}

    def _entry(self, payload: Payload, happened_at: datetime, zone: str) -> NewEntry:
        return NewEntry(
            id=import_id(payload, happened_at),
            payload=self.reckoned(payload),
            happened_at=happened_at,
            zone=zone,
            author=self.author,
            source="import",
        )


def import_id(payload: Payload, happened_at: datetime) -> UUID:
    """Return a UUIDv7 (RFC 9562) made of when it happened and of what it says: the same line gives the same id.

    The words kept about a doubt are left out, so that a later wording does not make another entry of it.
    """
    said = payload.model_dump(mode="json", exclude_defaults=True, exclude={"confirmed"})
    content = canonical_json([payload.kind, payload.written_version, moment_text(happened_at), said])
    random_bits = int.from_bytes(hashlib.sha256(content.encode()).digest()[:10])
    milliseconds = int(happened_at.timestamp() * 1000) & (1 << 48) - 1
    rand_a, rand_b = random_bits >> 62 & 0xFFF, random_bits & (1 << 62) - 1
    return UUID(int=milliseconds << 80 | 7 << 76 | rand_a << 64 | 0b10 << 62 | rand_b)
