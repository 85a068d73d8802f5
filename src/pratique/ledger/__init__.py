"""The ledger: what was written, never changed, and what follows from it."""
