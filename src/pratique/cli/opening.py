"""Open this home for a command: Django is set up and the tables are brought up to date."""

from pathlib import Path


def open_home() -> None:
    """Set Django up and bring the tables of this home up to date."""
    import django  # noqa: PLC0415 - a command that only prints its help should not pay for it

    django.setup()
    from django.core.management import call_command  # noqa: PLC0415

    call_command("migrate", verbosity=0)


def home() -> Path:
    """Return the folder this home keeps its things in."""
    from pratique.settings import CONFIG  # noqa: PLC0415

    return CONFIG.home
