"""The bench: one-off calculations at the sink, each with its error, its working and its sources. No ledger here."""
