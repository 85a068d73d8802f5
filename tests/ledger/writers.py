"""Two writers and the one who kills them: run as a program of its own by the power-cut test.

`python -m tests.ledger.writers kill KILLS SEED` keeps two processes appending and kills one of them with SIGKILL, at a
random moment, KILLS times; it prints every id a writer was told is in the ledger. `… check` prints, from a process
that has seen none of this, which ids are in the ledger and what the proof says.
"""

import json
import os
import random
import signal
import sys
import time
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import NoReturn

# How long a writer may go on before it is killed, in seconds: from before its first entry to after dozens.
SHORTEST, LONGEST = 0.01, 0.12


@dataclass(frozen=True)
class Writer:
    """A forked process and the end of its pipe where acknowledged ids come out."""

    pid: int
    pipe: int


def kill(kills: int, seed: int) -> None:
    """Keep two writers going, kill one after another, and print what they were told."""
    chance = random.Random(seed)  # noqa: S311 - moments, not secrets
    _set_up()
    told: list[str] = []
    writers = [_start(seed * 1000 + number) for number in range(2)]
    for number in range(kills):
        time.sleep(chance.uniform(SHORTEST, LONGEST))
        victim = chance.randrange(2)
        told += _kill(writers[victim])
        writers[victim] = _start(seed * 1000 + 2 + number)
    for writer in writers:
        told += _kill(writer)
    sys.stdout.write(json.dumps(told))


def check() -> None:
    """Print the ids in the ledger, the proof's report, and how surely this database writes."""
    _open()
    from django.db import connection  # noqa: PLC0415 - Django is set up first

    from pratique.ledger.models import Entry  # noqa: PLC0415
    from pratique.ledger.verify import verify  # noqa: PLC0415

    report = verify()
    cursor = connection.cursor()
    cursor.execute("PRAGMA synchronous" if connection.vendor == "sqlite" else "SHOW synchronous_commit")
    told = {
        "present": [str(one) for one in Entry.objects.values_list("id", flat=True)],
        "entries": report.entries,
        "problems": report.problems,
        "synchronous": str(cursor.fetchone()[0]),
    }
    sys.stdout.write(json.dumps(told))


def _open() -> None:
    import django  # noqa: PLC0415 - only this program sets Django up

    os.environ["DJANGO_SETTINGS_MODULE"] = "pratique.settings"
    django.setup()


def _set_up() -> None:
    _open()
    from django.core.management import call_command  # noqa: PLC0415
    from django.db import connections  # noqa: PLC0415
    from tests.ledger.builders import harbour_row  # noqa: PLC0415

    from pratique.ledger.append import append  # noqa: PLC0415

    call_command("migrate", verbosity=0)
    append(harbour_row())
    # A connection must not be shared with a child; and a process that imports once forks quickly.
    connections.close_all()


def _start(seed: int) -> Writer:
    pipe, childs_end = os.pipe()
    pid = os.fork()
    if pid == 0:
        os.close(pipe)
        _write_for_ever(seed, childs_end)
    os.close(childs_end)
    return Writer(pid, pipe)


def _kill(writer: Writer) -> list[str]:
    os.kill(writer.pid, signal.SIGKILL)
    with os.fdopen(writer.pipe) as pipe:
        told = pipe.read().split()
    _, status = os.waitpid(writer.pid, 0)
    if os.waitstatus_to_exitcode(status) != -signal.SIGKILL:
        sys.exit("a writer ended by itself; see its error above")
    return told


def _write_for_ever(seed: int, pipe: int) -> NoReturn:
    """Append single entries, several at once, moves and withdrawals; say each id only after append has returned."""
    from tests.ledger.builders import a_move, a_reading, a_withdrawal_of, an_entry  # noqa: PLC0415

    from pratique.ledger.append import append  # noqa: PLC0415
    from pratique.ledger.entries import NewEntry, Recorded  # noqa: PLC0415

    chance = random.Random(seed)  # noqa: S311 - content, not secrets
    last: Recorded | None = None
    hours = (datetime.now(UTC) - datetime(2026, 11, 3, tzinfo=UTC)) / timedelta(hours=1)
    try:
        while True:
            hours += 0.01
            step = chance.randrange(4)
            entries: list[NewEntry] = [an_entry(a_reading(chance.random()), hours=hours)]
            if step == 1:
                entries = [an_entry(a_reading(chance.random()), hours=hours) for _ in range(5)]
            elif step == 2:
                entries = [an_entry(a_move(chance.choice(["haven", "skerry", "lazaret"])), hours=hours)]
            elif step == 3 and last is not None:
                entries = [a_withdrawal_of(last, hours=hours)]
            outcomes = append(entries)
            last = outcomes[-1].entry
            os.write(pipe, "".join(f"{outcome.entry.id}\n" for outcome in outcomes).encode())
    except Exception as error:
        os.write(2, repr(error).encode())
        os._exit(1)


if __name__ == "__main__":
    if sys.argv[1] == "kill":
        kill(int(sys.argv[2]), int(sys.argv[3]))
    else:
        check()
