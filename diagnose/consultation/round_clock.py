"""Times on round sheets: read in any usual order of day and month, and what is odd about their sequence."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from typing import NamedTuple

__all__ = ["Clock", "Oddity", "minutes", "stamp"]

_WRITTEN = re.compile(
    r"(\d{1,4})[-/. ](\d{1,2})[-/. ](\d{1,4})"
    r"(?:[T ,]+(\d{1,2})[:.h](\d{2})(?:[:.](\d{2}(?:[.,]\d+)?))?\s*([AaPp][Mm])?)?",
    re.ASCII,
)
_PLACES = {"year-first": (0, 1, 2), "day-first": (2, 1, 0), "month-first": (2, 0, 1)}
_EPOCH = datetime(1970, 1, 1)  # noqa: DTZ001  sheets carry the plant's own clock
_HOUR = 60.0
_GAP = 3.0  # usual steps
_LEARNT = 25  # steps from which the usual one is taken
_HALF_DAY, _CENTURY = 12, 100


class Oddity(NamedTuple):
    """Something odd between a row and the one before it: a code and its size in minutes."""

    code: str  # gap | twice | set-back | set-forward
    size: float


def minutes(text: str, order: str = "year-first") -> float | None:
    """Read a time as minutes since 1970 by the plant's clock; None when it cannot be one.

    ISO 8601 is always read (an offset or Z brings it to UTC); other dates by ``order``.

    >>> minutes("1970-01-02 01:00"), minutes("02.01.1970 01:00", "day-first"), minutes("1/2/1970 1 AM", "month-first")
    (1500.0, 1500.0, None)
    """
    text = text.strip().strip('"')
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        moment = _by_order(text, order)  # type: ignore[assignment]
        if moment is None:
            return None
    if moment.tzinfo is not None:
        moment = moment.astimezone(UTC).replace(tzinfo=None)
    return (moment - _EPOCH).total_seconds() / 60


def stamp(at: float) -> str:
    """Give minutes since 1970 as ``2026-01-31 08:00``.

    >>> stamp(1500.0)
    '1970-01-02 01:00'
    """
    from datetime import timedelta

    return (_EPOCH + timedelta(minutes=at)).isoformat(" ", "minutes")


def _by_order(text: str, order: str) -> datetime | None:
    found = _WRITTEN.fullmatch(text)
    if not found:
        return None
    parts = [int(found[at]) for at in (1, 2, 3)]
    places = (0, 1, 2) if parts[0] >= _CENTURY else _PLACES[order]
    year, month, day = (parts[at] for at in places)
    hour, minute = int(found[4] or 0), int(found[5] or 0)
    if found[7]:
        hour = hour % _HALF_DAY + (_HALF_DAY if found[7].lower() == "pm" else 0)
    try:
        moment = datetime(year + (2000 if year < _CENTURY else 0), month, day, hour, minute)  # noqa: DTZ001
    except ValueError:
        return None
    seconds = float((found[6] or "0").replace(",", "."))
    return moment.replace(second=int(seconds)) if seconds < _HOUR else None


class Clock:
    """Watches the times of one machine's rows as they come; newest-first files are told by their first step."""

    __slots__ = ("_learnt", "direction", "last", "step")

    def __init__(self) -> None:
        self.last: float | None = None
        self.step = 0.0  # usual step in minutes, 0 until learnt
        self.direction = 1.0
        self._learnt: list[float] = []

    def odd(self, at: float) -> Oddity | None:
        """Take the next time; return what is odd about it, if anything. A row that comes twice is not taken."""
        last = self.last
        if last is None:
            self.last = at
            return None
        if at == last:
            return Oddity("twice", 0.0)
        self.last = at
        if not self._learnt and at < last:
            self.direction = -1.0
        passed = (at - last) * self.direction
        self._learn(passed)
        if passed < 0:
            return Oddity("set-back", -passed)
        if self.step and passed > _GAP * self.step:
            return Oddity("gap", passed)
        if self.step and self.step <= _HOUR and passed == self.step + _HOUR:
            return Oddity("set-forward", _HOUR)
        return None

    def _learn(self, passed: float) -> None:
        if len(self._learnt) < _LEARNT:
            self._learnt.append(abs(passed))
            if len(self._learnt) >= 3:  # noqa: PLR2004  fewer do not show what is usual
                self.step = sorted(self._learnt)[len(self._learnt) // 2]
