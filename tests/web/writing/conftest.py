"""A household and a browser's place, for the pages on which entries are written."""

import pytest
from django.core.cache import cache
from django.test import Client
from tests.web.writing.household import set_up

from pratique.settings import CONFIG
from pratique.web import door

PASSPHRASE = " ".join(("seven", "sleepy", "snails"))


@pytest.fixture
def harbour_row(db: None) -> None:
    """Set the household up."""
    set_up()


@pytest.fixture
def keeper(harbour_row: None, client: Client) -> Client:
    """Return a client over the household, on this machine alone."""
    return client


@pytest.fixture(scope="session")
def passphrase_hash() -> str:
    """Return the kept form of the passphrase, made once: argon2 is slow on purpose."""
    door.set_passphrase(PASSPHRASE)
    return door.passphrase_file().read_text()


@pytest.fixture
def on_the_lan(harbour_row: None, passphrase_hash: str, monkeypatch: pytest.MonkeyPatch, client: Client) -> Client:
    """Return a client over the household as it is served to the home network, behind its passphrase."""
    monkeypatch.setattr(CONFIG, "lan", True)
    door.passphrase_file().write_text(passphrase_hash)
    cache.clear()
    return client
