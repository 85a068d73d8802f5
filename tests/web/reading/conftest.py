"""The demo household on a fixed evening, and a client that asks for its pages that evening."""

from collections.abc import Iterator
from datetime import UTC, datetime

import pytest
import time_machine
from django.db import transaction
from django.test import Client
from tests.builders.demo_rows import fill_with_demo

from pratique.ledger.household import Household, load_household

NOW = datetime(2026, 3, 11, 20, 0, tzinfo=UTC)


@pytest.fixture(scope="module")
def harbour_row(django_db_setup: None, django_db_blocker) -> Iterator[Household]:
    """Return the demo household on the evening of 11 March 2026, loaded once for a module and rolled back after it."""
    with django_db_blocker.unblock(), transaction.atomic():
        fill_with_demo(NOW, zone="Europe/London")
        yield load_household()
        transaction.set_rollback(True)


@pytest.fixture
def read(harbour_row: Household, client: Client) -> Iterator[Client]:
    """Return a client whose requests reach the pages on that evening."""
    with time_machine.travel(NOW, tick=False):
        yield client
