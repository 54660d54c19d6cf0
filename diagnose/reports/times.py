"""Kept times, in UTC, as people at the plant read them."""

from __future__ import annotations

from datetime import datetime, tzinfo

__all__ = ["clock", "stamp"]


def stamp(at: str, zone: tzinfo | None) -> str:
    """Return date, time and offset from UTC in this zone (None: this computer's). What is no time is given back.

    >>> from datetime import timezone, timedelta
    >>> stamp("2026-03-02T11:05:09.120+00:00", timezone(timedelta(hours=1)))
    '2026-03-02 12:05 (UTC+01:00)'
    """
    moment = _moment(at, zone)
    return (
        f"{moment:%Y-%m-%d %H:%M} ({moment.tzname() if moment.tzname() == 'UTC' else _offset(moment)})"
        if moment
        else at
    )


def clock(at: str, zone: tzinfo | None) -> str:
    """Return the time of day with seconds.

    >>> from datetime import timezone
    >>> clock("2026-03-02T11:05:09.120+00:00", timezone.utc)
    '11:05:09'
    """
    moment = _moment(at, zone)
    return f"{moment:%H:%M:%S}" if moment else at


def _offset(moment: datetime) -> str:
    text = f"{moment:%z}"
    return f"UTC{text[:3]}:{text[3:5]}"


def _moment(at: str, zone: tzinfo | None) -> datetime | None:
    try:
        return datetime.fromisoformat(at).astimezone(zone)
    except (ValueError, OverflowError):
        return None
