"""The pages on which entries are written."""
