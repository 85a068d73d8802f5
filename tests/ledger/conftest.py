"""Fixtures for the ledger's tests."""

from pathlib import Path

import pytest

from pratique.settings import CONFIG


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Give the test a home of its own, so that its pictures are the only ones."""
    folder = tmp_path / "home"
    monkeypatch.setattr(CONFIG, "home", folder)
    return folder
