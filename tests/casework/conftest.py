"""The demo household on a fixed day, loaded once for a module and rolled back after it."""

from collections.abc import Iterator
from datetime import UTC, datetime

import pytest
from django.db import transaction
from tests.builders.demo_rows import fill_with_demo

from pratique.casework.rounds import rounds
from pratique.casework.sheets import Concern, Rounds
from pratique.ledger.household import Household, load_household

NOW = datetime(2026, 3, 11, 20, 0, tzinfo=UTC)


@pytest.fixture(scope="module")
def harbour_row(django_db_setup: None, django_db_blocker) -> Iterator[Household]:
    """Return the demo household on the evening of 11 March 2026, day 38 of B1's passage."""
    with django_db_blocker.unblock(), transaction.atomic():
        fill_with_demo(NOW, zone="Europe/London")
        yield load_household()
        transaction.set_rollback(True)


@pytest.fixture(scope="module")
def walked(harbour_row: Household) -> Rounds:
    """Return the rounds of that evening."""
    return rounds(harbour_row, now=NOW)


@pytest.fixture
def concern(walked: Rounds):
    """Return a function that finds the one concern with a key."""

    def find(key: str) -> Concern:
        found = [one for one in walked.concerns if one.key == key]
        assert len(found) == 1, f"{key} among {[one.key for one in walked.concerns]}"
        return found[0]

    return find
