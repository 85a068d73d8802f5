"""Casework: the only place where the ledger and the science meet."""
