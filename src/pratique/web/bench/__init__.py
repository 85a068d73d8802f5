"""The bench: its cards by the keeper's question, and one page for each."""
