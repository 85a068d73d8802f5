"""The ledger read back: its history, single entries, their corrections and photos."""
