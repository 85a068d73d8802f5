"""A household and a browser's place, for the pages of the bench."""

import pytest
from django.test import Client
from tests.web.writing.household import set_up


@pytest.fixture
def keeper(db: None, client: Client) -> Client:
    """Return a client over a household with its systems."""
    set_up()
    return client
