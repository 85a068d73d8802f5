"""Fixtures for every test: households of their own for the processes a test starts."""

import os
import uuid
from collections.abc import Iterator
from pathlib import Path

import psycopg
import pytest
from psycopg import sql


@pytest.fixture
def own_household(tmp_path: Path) -> Iterator[dict[str, str]]:
    """Return the environment of a process with an empty household of its own, on the database of this test run."""
    environment = os.environ | {"PRATIQUE_HOME": str(tmp_path / "household")}
    cluster_url = environment.pop("PRATIQUE_DATABASE_URL", None)
    if cluster_url is None:
        yield environment
        return
    name = f"household_{uuid.uuid4().hex[:12]}"
    with psycopg.connect(cluster_url, autocommit=True) as connection:
        connection.execute(sql.SQL("create database {}").format(sql.Identifier(name)))
    yield environment | {"PRATIQUE_DATABASE_URL": cluster_url.rpartition("/")[0] + "/" + name}
    with psycopg.connect(cluster_url, autocommit=True) as connection:
        connection.execute(sql.SQL("drop database {} with (force)").format(sql.Identifier(name)))
