"""How fast a reading moves, with an interval, and how long until it meets a limit."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import TYPE_CHECKING

from diagnose.calculations.baseline import median

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["Trend", "Until", "time_to", "trend"]

_TWO_SIDED_95 = 1.959964
_FEWEST = 4


@dataclass(frozen=True, slots=True)
class Trend:
    """Slope per unit of time with its 95 % interval, and the level of the line at the last time."""

    slope: float
    low: float
    high: float
    level: float

    @property
    def moves(self) -> bool:
        """Whether the interval leaves out standing still."""
        return self.low > 0 or self.high < 0


@dataclass(frozen=True, slots=True)
class Until:
    """Time to the limit at the slope found, soonest and latest by its interval; None where it is never met."""

    expected: float | None
    soonest: float | None
    latest: float | None


def trend(times: Sequence[float], values: Sequence[float]) -> Trend | None:
    """Median of the slopes of all pairs, with Sen's interval; None with fewer than four points or one time only.

    A share of bad readings up to 29 % does not break it. The interval takes the scatter as independent from point to
    point. Source: Theil 1950; Sen, Journal of the American Statistical Association 63 (1968), 1379.

    >>> line = trend([0, 1, 2, 3, 4, 5], [10, 12, 14, 16, 18, 20])
    >>> line.slope, line.level, line.moves
    (2.0, 20.0, True)
    """
    count = len(times)
    slopes = sorted(
        (values[late] - values[early]) / (times[late] - times[early])
        for late in range(count)
        for early in range(late)
        if times[late] != times[early]
    )
    if count < _FEWEST or not slopes:
        return None
    slope = median(slopes)
    spread = _TWO_SIDED_95 * sqrt(count * (count - 1) * (2 * count + 5) / 18)
    lowest = max(0, round((len(slopes) - spread) / 2) - 1)
    highest = min(len(slopes) - 1, round((len(slopes) + spread) / 2))
    level = median([value - slope * time for time, value in zip(times, values, strict=True)]) + slope * times[-1]
    return Trend(slope, slopes[lowest], slopes[highest], level)


def time_to(limit: float, line: Trend, *, upper: bool = True) -> Until:
    """(limit - level) / slope, for the slope and the ends of its interval, in the unit of time of the trend.

    A limit that the level has met gives 0; a slope away from the limit never meets it.

    >>> time_to(82.0, Trend(slope=0.5, low=0.25, high=1.0, level=72.0))
    Until(expected=20.0, soonest=10.0, latest=40.0)
    >>> time_to(62.0, Trend(slope=-0.5, low=-1.0, high=0.1, level=72.0), upper=False)
    Until(expected=20.0, soonest=10.0, latest=None)
    """
    side = 1.0 if upper else -1.0
    left = side * (limit - line.level)
    if left <= 0:
        return Until(0.0, 0.0, 0.0)
    slowest, fastest = sorted((side * line.low, side * line.high))
    return Until(_after(left, side * line.slope), _after(left, fastest), _after(left, slowest))


def _after(left: float, pace: float) -> float | None:
    return left / pace if pace > 0 else None
