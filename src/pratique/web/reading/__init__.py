"""The pages that are read."""
