"""Certificates."""

from pathlib import Path

from pratique.settings import CONFIG


def authority_file() -> Path:
    """Return where this home keeps the certificate of its own authority."""
    return CONFIG.home / "certificates" / "household-ca.crt"
