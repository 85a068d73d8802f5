"""Brown dust followed in a small household whose photos and clips lie in a folder of the test's own."""

from pathlib import Path

import pytest
from django.test import Client
from tests.web.measuring.case import CASE
from tests.web.writing.household import put, set_up

from pratique.ledger.kinds.care import GrowthCase
from pratique.settings import CONFIG


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Give the test a home of its own, so that its files are the only ones."""
    folder = tmp_path / "home"
    monkeypatch.setattr(CONFIG, "home", folder)
    return folder


@pytest.fixture
def keeper(db: None, home: Path, client: Client) -> Client:
    """Return a client over the household, with brown dust followed for twenty days."""
    set_up()
    put(GrowthCase(key=CASE, name="Brown dust", system="skerry"), days_ago=20)
    return client
