"""The demo's only source of randomness: seeded, and one stream for each part of the story."""

import random

# With this one the keeper's readings tell the truth of the story: one dip, one peak, a steady climb at the end.
SEED = 24


def chance(seed: int, part: str) -> random.Random:
    """Return the random stream of one part, so that a change in one part leaves the others as they were."""
    return random.Random(f"{seed}/{part}")  # noqa: S311 - a story, not a secret
