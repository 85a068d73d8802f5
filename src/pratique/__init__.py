"""Pratique: the ledger and the reckoning behind a saltwater keeper's daily decisions."""
