"""Which home the demo uses: its own, or one that was named and is empty or a demo already.

Settled before Django reads its settings, so nothing here needs Django.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import platformdirs

from pratique.demo.ledgers import sqlite_holds, url_holds

MARKER = "demo.json"
_LEDGER = "ledger.sqlite3"
_MADE_BY_OPENING = {"signing.key", _LEDGER, f"{_LEDGER}-wal", f"{_LEDGER}-shm"}


class NoRoomForDemo(ValueError):
    """Even the demo's own folder holds something else."""


@dataclass(frozen=True)
class Choice:
    """The folder and the database address (empty: SQLite in that folder), and what to tell the keeper about them."""

    home: Path
    database_url: str
    notices: tuple[str, ...]


def choose(environment: Mapping[str, str], today: date) -> Choice:
    """Return where today's demo goes; raises NoRoomForDemo where its own folder is taken by something else."""
    notices: list[str] = []
    named, url = environment.get("PRATIQUE_HOME", ""), environment.get("PRATIQUE_DATABASE_URL", "")
    if url and not url_holds(url).takes(today):
        # A home named beside a real database belongs to it, though its folder may look empty.
        named = url = ""
        notices.append(
            "PRATIQUE_DATABASE_URL names a ledger that is not today's demo: it and its home were left alone."
        )
    home = _named_home(named, today, notices)
    if home is None:
        home = Path(platformdirs.user_data_dir("pratique-demo", appauthor=False)) / today.isoformat()
        if not _may_enter(home, today):
            raise NoRoomForDemo(f"{home} holds something that is not today's demo. Move it away and run this again.")
    return Choice(home, url, tuple(notices))


def mark(home: Path, today: date) -> None:
    """Write down that this home is the demo of a day."""
    home.mkdir(parents=True, exist_ok=True, mode=0o700)
    (home / MARKER).write_text(json.dumps({"household": "Harbour Row", "day": today.isoformat()}) + "\n")


def _named_home(named: str, today: date, notices: list[str]) -> Path | None:
    """Return the named home, a fresh folder inside it if it is an older day's demo, or None."""
    if not named:
        return None
    home = Path(named)
    if _may_enter(home, today):
        return home
    if _is_older_demo(home, today) and _may_enter(home / today.isoformat(), today):
        return home / today.isoformat()
    notices.append(f"PRATIQUE_HOME names {home}, which is a home of its own: it was left alone.")
    return None


def _may_enter(home: Path, today: date) -> bool:
    holds = sqlite_holds(home / _LEDGER)
    if not home.exists():
        return True
    if not home.is_dir() or not holds.takes(today):
        return False
    marked = _marked_day(home)
    return marked == today if marked else holds.is_empty and {one.name for one in home.iterdir()} <= _MADE_BY_OPENING


def _is_older_demo(home: Path, today: date) -> bool:
    holds = sqlite_holds(home / _LEDGER)
    marked = _marked_day(home)
    return marked is not None and marked != today and (holds.is_empty or holds.story_of is not None)


def _marked_day(home: Path) -> date | None:
    marker = home / MARKER
    if not marker.is_file():
        return None
    try:
        return date.fromisoformat(json.loads(marker.read_text())["day"])
    except (ValueError, KeyError, TypeError):
        return None
