"""A keeper's own protocol, read from a file: every mistake is told with its line and what would be right."""

import difflib
import math
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import MISSING, Field, dataclass, fields, is_dataclass
from enum import StrEnum
from typing import Any, Literal, TypeAliasType, get_args, get_origin, get_type_hints

from pydantic import TypeAdapter

from pratique.casework.protocol_lines import Path, line_at, line_told, lines_of
from pratique.casework.protocol_rules import mistakes_of
from pratique.knowledge import Protocol, Status

# What the file need not say: a keeper's own figures are the keeper's own.
_OWN: Mapping[str, str] = {"source": "the keeper's own", "status": Status.GUESS.value}
LONGEST_TEXT = 100_000


@dataclass(frozen=True)
class Mistake:
    """One mistake: its line, counted from 1, and a sentence with what would be right."""

    line: int
    words: str


class ProtocolRefused(ValueError):
    """A file that is no protocol; `mistakes` are all that were found, in the order of their lines."""

    def __init__(self, mistakes: list[Mistake]) -> None:
        self.mistakes = tuple(sorted(mistakes, key=lambda one: one.line))
        super().__init__(" ".join(f"Line {one.line}: {one.words}" for one in self.mistakes))


def read_protocol(text: str) -> Protocol:
    """Return the protocol a TOML text holds; raises ProtocolRefused with every mistake and its line."""
    if len(text) > LONGEST_TEXT:
        raise ProtocolRefused([Mistake(1, "This is far too long for a protocol.")])
    try:
        raw = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        line = line_told(str(error))
        words = "this line cannot be read. Write a number plain, such as 30, and words in quotes, such as “clean”"
        raise ProtocolRefused([Mistake(line, f"{words} ({error}).")]) from None
    lines = lines_of(text)
    if len(raw) != 1 or not isinstance(next(iter(raw.values())), dict):
        words = "a file holds one protocol: begin it with its key in brackets, such as [my_copper_30]."
        raise ProtocolRefused([Mistake(_second_table(raw, lines), words)])
    ((key, table),) = raw.items()
    # The keys of a protocol lie below its own; the key itself is no field of the file.
    found = [
        Mistake(line_at(lines, (key, *path)), words)
        for path, words in _wrong_table(Protocol, table, (), unsaid=frozenset({"key"}))
    ]
    if found:
        raise ProtocolRefused(found)
    protocol = TypeAdapter(Protocol).validate_python({"key": key, **_with_own(Protocol, table)})
    found = [Mistake(line_at(lines, (key, *path)), words) for path, words in mistakes_of(protocol)]
    if found:
        raise ProtocolRefused(found)
    return protocol


def line_of(text: str, *path: str) -> int:
    """Return the line of a table or key of a text that is sound, or of the nearest table around it."""
    return line_at(lines_of(text), path)


def _second_table(raw: dict[str, Any], lines: Mapping[Path, int]) -> int:
    return line_at(lines, (list(raw)[1],)) if len(raw) > 1 else 1


def _with_own(kind: type, table: dict[str, Any]) -> dict[str, Any]:
    """Return a table with what a keeper's file need not say, at every depth."""
    hints = _hints(kind)
    filled: dict[str, Any] = {**_OWN, **table} if "source" in hints else dict(table)
    for name, value in table.items():
        if (inner := _inner(hints[name])) is not None:
            filled[name] = [_with_own(inner, one) for one in value]
    return filled


def _wrong_table(
    kind: type, table: dict[str, Any], path: Path, *, unsaid: frozenset[str] = frozenset()
) -> Iterator[tuple[Path, str]]:
    """Yield the unknown keys of a table, the missing, and those that hold something else than they should."""
    hints = _hints(kind)
    known = [name for name in hints if name not in unsaid]
    for name in table:
        if name not in known:
            near = difflib.get_close_matches(name, known, n=1)
            right = f"Did you mean “{near[0]}”?" if near else f"What can stand here: {', '.join(known)}."
            yield (*path, name), f"“{name}” means nothing here. {right}"
    for field in fields(kind):
        if field.name in table:
            if field.name in known:
                yield from _wrong_value(field.name, hints[field.name], table[field.name], (*path, field.name))
        elif field.name in known and field.name not in _OWN and _is_needed(field):
            yield path, f"“{field.name}” is missing here: {_right(field.name, hints[field.name])}."


def _wrong_value(name: str, hint: Any, value: Any, path: Path) -> Iterator[tuple[Path, str]]:
    inner = _inner(hint)
    if inner is not None and isinstance(value, list) and all(isinstance(one, dict) for one in value):
        for index, one in enumerate(value):
            yield from _wrong_table(inner, one, (*path, index))
    elif inner is not None or not _fits(hint, value):
        yield path, f"“{name}” does not fit: {_right(name, hint)}."


def _hints(kind: type) -> dict[str, Any]:
    return {name: _plain(hint) for name, hint in get_type_hints(kind).items()}


def _plain(hint: Any) -> Any:
    """Return a type without its alias and without the None it may also be."""
    if isinstance(hint, TypeAliasType):
        return _plain(hint.__value__)
    parts = [one for one in get_args(hint) if one is not type(None)]
    return parts[0] if type(None) in get_args(hint) else hint


def _inner(hint: Any) -> type | None:
    """Return the dataclass a list is of, or None."""
    inner = get_args(hint)[0] if get_origin(hint) is tuple else None
    return inner if isinstance(inner, type) and is_dataclass(inner) else None


def _is_needed(field: "Field[Any]") -> bool:
    return field.default is MISSING and field.default_factory is MISSING


def _fits(hint: Any, value: Any) -> bool:
    if hint is float:
        is_number = isinstance(value, int | float) and not isinstance(value, bool)
        return is_number and math.isfinite(value) and value >= 0.0
    if get_origin(hint) is tuple:
        return isinstance(value, list) and all(_fits(get_args(hint)[0], one) for one in value)
    if (choices := _choices(hint)) is not None:
        return value in choices
    return isinstance(value, hint)


def _choices(hint: Any) -> tuple[str, ...] | None:
    if get_origin(hint) is Literal:
        return get_args(hint)
    is_enum = isinstance(hint, type) and issubclass(hint, StrEnum)
    return tuple(one.value for one in hint) if is_enum else None


def _right(name: str, hint: Any) -> str:
    """Return what would be right for a key."""
    if (choices := _choices(hint)) is not None:
        return f"write one of {', '.join(f'"{one}"' for one in choices)}"
    if hint is float:
        return f"write a number, 0 or more, such as {name} = 14"
    if hint is bool:
        return "write true or false"
    if (inner := _inner(hint)) is not None:
        return f"write each as a table of its own, headed [[… .{name}]], with {', '.join(_needed(inner))}"
    if get_origin(hint) is tuple:
        return f"write a list, such as {name} = {'[8, 2]' if get_args(hint)[0] is float else '["white_spot"]'}"
    return f'write words in quotes, such as {name} = "…"'


def _needed(kind: type) -> list[str]:
    return [one.name for one in fields(kind) if _is_needed(one) and one.name not in _OWN]
