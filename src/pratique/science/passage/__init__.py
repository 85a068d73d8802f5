"""The gates between the legs of a passage."""
