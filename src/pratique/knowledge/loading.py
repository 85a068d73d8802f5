"""Read the shipped TOML files, refusing any entry that does not say where it comes from."""

import tomllib
from collections.abc import Mapping
from dataclasses import fields as fields_of
from importlib.resources import files
from types import MappingProxyType
from typing import Any

from pydantic import TypeAdapter, ValidationError

from pratique.knowledge.status import Status


class FigureRefused(ValueError):
    """A shipped file holds an entry that cannot be trusted; names the file and the key."""


def read[T](file_name: str, kind: type[T]) -> Mapping[str, T]:
    """Return every entry of a shipped file by its key; raises FigureRefused as `parse` does."""
    text = files("pratique.knowledge").joinpath("figures", file_name).read_text(encoding="utf-8")
    return parse(text, kind, file_name=file_name)


def parse[T](text: str, kind: type[T], *, file_name: str) -> Mapping[str, T]:
    """Return the entries of a TOML text by key.

    `kind` is a dataclass with a `key`. Raises FigureRefused for an entry, at any depth, without `source` or with a
    `status` that is not one of ours, and for one that does not fit its kind.
    """
    adapter = TypeAdapter(kind)
    known = {field.name for field in fields_of(kind)}  # type: ignore[arg-type]
    found: dict[str, T] = {}
    for key, fields in tomllib.loads(text).items():
        _require_source(fields, key, file_name)
        if strange := set(fields) - known:
            raise FigureRefused(f"{file_name}: the entry “{key}” has a field “{min(strange)}” that means nothing here.")
        try:
            found[key] = adapter.validate_python({"key": key, **fields})
        except ValidationError as error:
            raise FigureRefused(f"{file_name}: the entry “{key}” does not fit: {error}") from error
    return MappingProxyType(found)


def pick[T](entries: Mapping[str, T], key: str, *, what: str) -> T:
    """Return the entry under a key; KeyError with a plain sentence for a key that is not there."""
    try:
        return entries[key]
    except KeyError:
        raise KeyError(f"There is no {what} called “{key}”.") from None


def _require_source(fields: Any, key: str, file_name: str) -> None:
    """Raise FigureRefused unless the entry and every table listed inside it carry a source and a status."""
    if not isinstance(fields, dict):
        raise FigureRefused(f"{file_name}: “{key}” is not an entry with a source and a status.")
    if not str(fields.get("source", "")).strip():
        raise FigureRefused(f"{file_name}: the entry “{key}” lacks a source.")
    if fields.get("status") not in set(Status):
        allowed = ", ".join(Status)
        raise FigureRefused(f"{file_name}: the entry “{key}” lacks a status; it must be one of {allowed}.")
    for name, value in fields.items():
        if isinstance(value, list) and any(isinstance(item, dict) for item in value):
            for index, item in enumerate(value):
                _require_source(item, f"{key}.{name}[{index}]", file_name)
