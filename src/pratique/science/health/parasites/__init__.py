"""Parasites of reef fishes: what is known of their stages, and the chance that none is left."""
