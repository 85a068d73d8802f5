"""What is measured, and the peer each is held against: the same rows by a bare query and a bare template."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from django.db import connection, transaction
from django.template import engines
from django.test import Client

from benchmarks.five_years import ZONE
from pratique.casework.facts import LOOK_BACK
from pratique.ledger.append import append
from pratique.ledger.entries import NewEntry, new_entry_id
from pratique.ledger.kinds.water import Reading
from pratique.web.serving.memory import settle_memory


@dataclass(frozen=True)
class Words:
    """What a measure is called, its target, and what its peer does."""

    what: str
    target_ms: int
    peer: str


type Measure = tuple[Callable[[], object], Callable[[], object], Words]


def rounds_page() -> Measure:
    """The whole rounds page through every middleware, against all its rows by bare SQL in a bare template."""
    client = Client(headers={"host": "127.0.0.1"})
    client.get("/")
    # As the server does once it is up.
    settle_memory()

    def ours() -> None:
        answer = client.get("/")
        assert answer.status_code == 200, answer.status_code  # noqa: S101

    template = engines["django"].from_string(
        "<ul>{% for row in rows %}<li>{{ row.0 }} {{ row.1 }}</li>{% endfor %}</ul>"
    )

    def peer() -> None:
        since = datetime.now(UTC) - LOOK_BACK
        with connection.cursor() as cursor:
            cursor.execute(
                "SELECT kind, payload FROM entry WHERE happened_at >= %s ORDER BY happened_at",
                [since if connection.vendor == "postgresql" else since.strftime("%Y-%m-%d %H:%M:%S")],
            )
            rows = cursor.fetchall()
        template.render({"rows": rows})

    return ours, peer, Words("rounds page, server time", 150, "the entries of the same 60 days, bare SQL and template")


def append_one() -> Measure:
    """One reading appended with all that follows from it, against one bare insert in a table of its own."""
    system = "display"

    def ours() -> None:
        append(
            [
                NewEntry(
                    id=new_entry_id(),
                    payload=Reading(system=system, constituent="ph", value=8.1, method="ph_meter"),
                    happened_at=datetime.now(UTC) - timedelta(seconds=1),
                    zone=ZONE,
                    author="keeper",
                    source="cli",
                )
            ]
        )

    with connection.cursor() as cursor:
        cursor.execute("CREATE TABLE peer_entry (id varchar(36) PRIMARY KEY, kind text, payload text, at text)")

    def peer() -> None:
        with transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(
                "INSERT INTO peer_entry (id, kind, payload, at) VALUES (%s, %s, %s, %s)",
                [str(new_entry_id()), "reading", '{"system":"display","value":8.1}', datetime.now(UTC).isoformat()],
            )

    return ours, peer, Words("append of one reading at 100,000 entries", 10, "one bare insert, committed")
