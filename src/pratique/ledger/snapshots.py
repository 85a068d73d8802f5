"""One unchanging view of the ledger for long reading, without holding up who writes."""

from collections.abc import Iterator
from contextlib import contextmanager

from django.db import connection, transaction


@contextmanager
def one_view() -> Iterator[None]:
    """Let every query inside see the ledger as it was at the first one; nothing can be written meanwhile."""
    if connection.in_atomic_block:
        yield
    elif connection.vendor == "sqlite":
        # Django's own transactions take the write lock at once (see the settings), and so would hold up the keeper.
        connection.cursor().execute("BEGIN DEFERRED")
        try:
            yield
        finally:
            connection.cursor().execute("ROLLBACK")
    else:
        with transaction.atomic():
            connection.cursor().execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
            yield
