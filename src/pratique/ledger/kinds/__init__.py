"""The kinds of entry, each a frozen pydantic model with a stable name and a version."""
