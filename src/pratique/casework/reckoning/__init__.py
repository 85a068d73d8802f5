"""A case of one constituent, from a file, reckoned and answered."""
