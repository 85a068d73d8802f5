"""Between the ledger's aware moments and the plain numbers of hours and days that science counts in."""

from datetime import UTC, datetime, timedelta

_EPOCH = datetime(2000, 1, 1, tzinfo=UTC)


def hours_of(moment: datetime) -> float:
    """Return a moment as hours since one fixed moment."""
    return (moment - _EPOCH).total_seconds() / 3600


def days_of(moment: datetime) -> float:
    """Return a moment as days since one fixed moment."""
    return (moment - _EPOCH).total_seconds() / 86400


def at_hours(hours: float) -> datetime:
    """Return the moment so many hours after the fixed one."""
    return _EPOCH + timedelta(hours=hours)


def at_days(days: float) -> datetime:
    """Return the moment so many days after the fixed one."""
    return _EPOCH + timedelta(days=days)
