"""The whole ledger out of the program and back: one JSON line for each entry, and the pictures beside them."""

import hashlib
import json
import os
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import batched
from pathlib import Path
from typing import Annotated, Any
from uuid import UUID
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from django.db import transaction
from pydantic import AwareDatetime, BaseModel, ConfigDict, Field, ValidationError

from pratique.ledger.append import lock_head
from pratique.ledger.canonical import GENESIS, canonical_json, chained_digest, entry_line
from pratique.ledger.entries import Recorded
from pratique.ledger.kinds.registry import is_sound, read_payload
from pratique.ledger.models import Entry
from pratique.ledger.photos import KEPT_AS, photos_folder, store
from pratique.ledger.projections import rebuild
from pratique.ledger.snapshots import one_view

ENTRIES_FILE, PHOTOS_FOLDER = "entries.jsonl", "photos"
CHUNK = 1000
type Progress = Callable[[int], None]


class ExportRefused(ValueError):
    """The folder cannot take an export; the sentence says why."""


class RestoreRefused(ValueError):
    """The export cannot be restored here; the sentence names the line or file. Nothing was restored."""


@dataclass(frozen=True, slots=True)
class ExportReport:
    """What an export wrote."""

    entries: int
    photos: int


@dataclass(frozen=True, slots=True)
class RestoreReport:
    """What a restore brought back; `unknown` entries are of kinds this version does not know, kept as they came."""

    entries: int
    photos: int
    unknown: int


class _Envelope(BaseModel):
    """An entry's line as it is exported: the fields every version has, and no others."""

    model_config = ConfigDict(extra="forbid")

    id: UUID
    kind: Annotated[str, Field(min_length=1, max_length=40)]
    version: Annotated[int, Field(ge=1, le=32767, strict=True)]
    happened_at: AwareDatetime
    zone: Annotated[str, Field(max_length=64)]
    recorded_at: AwareDatetime
    author: Annotated[str, Field(max_length=80)]
    source: Annotated[str, Field(max_length=10)]
    amends: UUID | None = None
    withdraws: UUID | None = None
    payload: dict[str, Any]


def export(folder: Path, *, progress: Progress | None = None) -> ExportReport:
    """Write every entry and picture into a folder: the same ledger always gives the same bytes.

    `progress` is told after each chunk how many entries have been written. Raises ExportRefused.
    """
    _check_folder(folder, {path.name for path in _pictures()})
    (folder / PHOTOS_FOLDER).mkdir(parents=True, exist_ok=True)
    count = 0

    def lines() -> Iterator[bytes]:
        nonlocal count
        rows = Entry.objects.order_by("seq").iterator(chunk_size=CHUNK)
        for chunk in batched(rows, CHUNK):
            yield "".join(_exported_line(Recorded.of(row)) for row in chunk).encode()
            count += len(chunk)
            if progress is not None:
                progress(count)

    with one_view():
        _write(folder / ENTRIES_FILE, lines())
    # A picture is kept before its entry is written; so pictures are looked for after the entries, and none is missed.
    pictures = _pictures()
    for path in pictures:
        _write(folder / PHOTOS_FOLDER / path.name, [path.read_bytes()])
    return ExportReport(entries=count, photos=len(pictures))


def restore(folder: Path, *, progress: Progress | None = None) -> RestoreReport:
    """Bring an export back into an empty ledger, all of it or nothing; raises RestoreRefused.

    Every line must be exactly what an export writes, and its digest must follow from the line before.
    """
    path = folder / ENTRIES_FILE
    if not path.is_file():
        raise RestoreRefused(f"There is no {ENTRIES_FILE} in {folder}; give the folder that an export wrote.")
    with transaction.atomic():
        head = lock_head()
        if head.count or Entry.objects.exists():
            raise RestoreRefused("This ledger holds entries already; restore only into an empty household.")
        reader = _Reader()
        for rows in batched(reader.rows(path), CHUNK):
            Entry.objects.bulk_create(rows)
            if progress is not None:
                progress(reader.count)
        head.digest, head.count = reader.digest, reader.count
        head.save()
        rebuild()
        photos = _restore_pictures(folder / PHOTOS_FOLDER)
    return RestoreReport(entries=reader.count, photos=photos, unknown=reader.unknown)


class _Reader:
    """Reads exported lines in order, holding each against the one before."""

    def __init__(self) -> None:
        self.count = 0
        self.unknown = 0
        self.digest = GENESIS
        self.ids: set[UUID] = set()

    def rows(self, path: Path) -> Iterator[Entry]:
        """Yield each line as a row to store; raises RestoreRefused with the line's number."""
        with path.open("rb") as file:
            for number, line in enumerate(file, start=1):
                try:
                    yield self._row(line)
                except (ValueError, KeyError, TypeError, RecursionError) as error:
                    reason = str(error) if isinstance(error, _Damage) else "it is not a line that an export writes"
                    raise RestoreRefused(f"Line {number} of {path.name}: {reason}. Nothing was restored.") from error

    def _row(self, line: bytes) -> Entry:
        told = json.loads(line)
        try:
            envelope = _Envelope.model_validate(told["entry"])
        except ValidationError as error:
            field = ".".join(str(part) for part in error.errors()[0]["loc"])
            raise _Damage(f"its “{field}” is missing, does not fit, or is not known to this version") from error
        fields = {name: getattr(envelope, name) for name in _Envelope.model_fields}
        fields["payload"] = canonical_json(told["entry"]["payload"])
        text = entry_line(**fields)
        if _with_digest(told["digest"], text).encode() != line:
            raise _Damage("it was changed: it is not written the way an export writes it")
        if chained_digest(self.digest, text) != told["digest"]:
            raise _Damage("its digest does not follow from the line before; it was changed, or a line is missing")
        self._check(envelope)
        self.digest = told["digest"]
        self.count += 1
        self.ids.add(envelope.id)
        return Entry(**fields, digest=self.digest)

    def _check(self, envelope: _Envelope) -> None:
        if envelope.id in self.ids:
            raise _Damage("an entry with this id came before")
        for target in (envelope.amends, envelope.withdraws):
            if target is not None and target not in self.ids:
                raise _Damage("it corrects an entry that does not come before it")
        try:
            ZoneInfo(envelope.zone)
        except (ZoneInfoNotFoundError, ValueError, OSError) as error:
            raise _Damage(f"the time zone “{envelope.zone}” is not known") from error
        if not is_sound(envelope.kind, envelope.version, envelope.payload):
            raise _Damage(f"it does not hold what a {envelope.kind} must hold")
        self.unknown += _is_unknown(envelope)


class _Damage(ValueError):
    """What is wrong with one line."""


def _is_unknown(envelope: _Envelope) -> bool:
    return read_payload(envelope.kind, envelope.version, envelope.payload) is None


def _exported_line(entry: Recorded) -> str:
    return _with_digest(entry.digest, entry.line())


def _with_digest(digest: str, line: str) -> str:
    # The canonical line stays whole inside, so that any tool can hash it again.
    return f'{{"digest":"{digest}","entry":{line}}}\n'


def _pictures() -> list[Path]:
    return [path for path in sorted(photos_folder().glob("??/*")) if not path.name.startswith(".")]


def _check_folder(folder: Path, picture_names: set[str]) -> None:
    if folder.exists() and not folder.is_dir():
        raise ExportRefused(f"{folder} is a file; give a folder that is empty or does not exist yet.")
    found = {path.name for path in folder.iterdir()} if folder.exists() else set()
    strange = found - {ENTRIES_FILE, PHOTOS_FOLDER}
    inner = folder / PHOTOS_FOLDER
    if inner.is_dir():
        strange |= {f"{PHOTOS_FOLDER}/{path.name}" for path in inner.iterdir() if path.name not in picture_names}
    if strange:
        raise ExportRefused(
            f"{folder} holds other things (such as {min(strange)}); give a folder that is empty, does not exist yet, "
            "or holds an earlier export of this ledger."
        )


def _write(path: Path, parts: Iterator[bytes] | list[bytes]) -> None:
    """Write a file wholly or not at all, on disk before it takes its name."""
    draft = path.with_name(f".{path.name}.part")
    with draft.open("wb") as file:
        file.writelines(parts)
        file.flush()
        os.fsync(file.fileno())
    draft.replace(path)


def _restore_pictures(folder: Path) -> int:
    paths = sorted(folder.iterdir()) if folder.is_dir() else []
    for path in paths:
        content = path.read_bytes()
        named = re.fullmatch(rf"([0-9a-f]{{64}})\.({'|'.join(KEPT_AS)})", path.name)
        if named is None or hashlib.sha256(content).hexdigest() != named[1]:
            raise RestoreRefused(
                f"{PHOTOS_FOLDER}/{path.name} is not the picture its name says; it was changed. Nothing was restored."
            )
        store(content, named[2])
    return len(paths)
