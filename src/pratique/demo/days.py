"""The story's clock: days counted from the arrival of B1, and minutes since midnight of that day."""

from pratique.demo.tank import MINUTES_PER_DAY

TODAY = 38
FIRST_DAY = -2
# The story's last minute, 07:40; a demo opened earlier in the day has its last morning drawn together.
LAST_MINUTE = TODAY * MINUTES_PER_DAY + 7 * 60 + 40


def at(day: int, clock: str) -> int:
    """Return a moment as minutes since midnight of day 0, by the keeper's clock: `at(11, "18:00")`."""
    hours, minutes = clock.split(":")
    return day * MINUTES_PER_DAY + int(hours) * 60 + int(minutes)
