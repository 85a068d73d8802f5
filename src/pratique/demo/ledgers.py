"""A look into a ledger from outside, before Django is set up: is it empty, a story of ours, or a real one."""

import sqlite3
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any
from uuid import UUID

import dj_database_url
import psycopg

from pratique.demo.ids import story_day
from pratique.demo.zone import local_zone

_FIRST = "select id, happened_at from entry order by seq limit 1"


class LedgerUnreachable(ValueError):
    """A database that was named does not answer."""


@dataclass(frozen=True)
class Holding:
    """What a ledger holds: nothing, or the story of a day (None where it is no story of ours)."""

    is_empty: bool
    story_of: date | None

    def takes(self, today: date) -> bool:
        """Return whether today's story may go in, or is there already."""
        return self.is_empty or self.story_of == today


_EMPTY = Holding(is_empty=True, story_of=None)


def url_holds(url: str) -> Holding:
    """Return what the database at an address holds; raises LedgerUnreachable."""
    settings = dj_database_url.parse(url)
    if "sqlite" in settings["ENGINE"]:
        return sqlite_holds(Path(str(settings["NAME"])))
    try:
        with psycopg.connect(
            dbname=settings["NAME"],
            user=settings["USER"] or None,
            password=settings["PASSWORD"] or None,
            host=settings["HOST"] or None,
            port=settings["PORT"] or None,
        ) as connection:
            if connection.execute("select to_regclass('entry')").fetchone() == (None,):
                return _EMPTY
            return _holding(connection.execute(_FIRST).fetchone())
    except psycopg.OperationalError as problem:
        raise LedgerUnreachable(f"The database in PRATIQUE_DATABASE_URL does not answer: {problem}") from None


def sqlite_holds(path: Path) -> Holding:
    """Return what a SQLite ledger holds; a file that is none counts as a real ledger, so that it is left alone."""
    if not path.exists():
        return _EMPTY
    try:
        with closing(sqlite3.connect(path)) as connection:
            has_table = connection.execute("select 1 from sqlite_master where name = 'entry'").fetchone()
            return _holding(connection.execute(_FIRST).fetchone()) if has_table else _EMPTY
    except sqlite3.Error:
        return Holding(is_empty=False, story_of=None)


def _holding(first: tuple[Any, ...] | None) -> Holding:
    if first is None:
        return _EMPTY
    happened_at = first[1] if isinstance(first[1], datetime) else datetime.fromisoformat(first[1]).replace(tzinfo=UTC)
    return Holding(is_empty=False, story_of=story_day(UUID(str(first[0])), happened_at, local_zone()))
