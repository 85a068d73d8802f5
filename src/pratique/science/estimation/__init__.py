"""Readings with their error, the mass balance between them, and the exposure it shows."""
