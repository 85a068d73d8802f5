"""How far a figure can be trusted."""

from enum import StrEnum


class Status(StrEnum):
    """Where a figure comes from: seen in print, recalled, a custom of the trade, or nobody's but ours."""

    PUBLISHED = "published"
    FROM_MEMORY = "from memory"
    COMMON_PRACTICE = "common practice"
    GUESS = "guess"
