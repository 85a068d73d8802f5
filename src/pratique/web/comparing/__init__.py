"""The page that compares passages before the first fish is bought."""
