"""The Django app that holds the ledger's tables."""

from django.apps import AppConfig


class LedgerConfig(AppConfig):
    """Registers the ledger's models and migrations."""

    name = "pratique.ledger"
    label = "ledger"
