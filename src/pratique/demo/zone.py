"""The time zone of this machine, by its IANA name."""

from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import tzlocal


def local_zone() -> ZoneInfo:
    """Return the machine's own zone, or UTC where it has no IANA name."""
    try:
        return ZoneInfo(tzlocal.get_localzone_name())
    except (ZoneInfoNotFoundError, ValueError, TypeError):
        return ZoneInfo("UTC")
