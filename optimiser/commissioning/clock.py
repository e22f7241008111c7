"""Times as people and monitors write them, on the clock of a case."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

EXPECTED = "a time as 2027-01-14T09:30, from 2000 to 2099"
_YEARS = range(2000, 2100)


def clock_time(text: str, utc_offset_h: float) -> datetime:
    """An ISO time on the clock of the case; one with an offset of its own is moved to it.

    Raises
    ------
    ValueError
        If it is no such time.
    """
    found = datetime.fromisoformat(text)
    if found.year not in _YEARS:
        raise ValueError(f"year {found.year}")
    if found.tzinfo is None:
        return found
    return (found.astimezone(UTC) + timedelta(hours=utc_offset_h)).replace(tzinfo=None)
