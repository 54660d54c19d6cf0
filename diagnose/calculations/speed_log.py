"""What a logged series of speed and load shows of the governing. Speeds in rpm, loads in % of rated load.

The definitions of NEMA SM 23 are for tests in which one thing changes at a time. A log is everyday running, so each
figure is taken from the stretch that comes nearest to its test, and is None where the log holds no such stretch.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import TYPE_CHECKING

from diagnose.calculations.baseline import median
from diagnose.calculations.spectrum import without_trend
from diagnose.calculations.trends import Trend, trend

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["LostLoad", "load_lost", "sag", "swing_width"]

_FEWEST = 30  # samples of a stretch from which a width is taken
_STEADY = 2.5  # % of rated load either side that still counts as one load
_STRAY = 0.005  # share at each end of the sorted samples that is left out as strays
_LEVELS, _SPAN = 40, 20.0  # loads averaged into at most so many levels, which must span so many % of rated load
_LOST, _WITHIN, _AFTER = 40.0, 3, 60  # % of rated load gone within so many samples; the peak comes within so many


@dataclass(frozen=True, slots=True)
class LostLoad:
    """The largest sudden loss of load in a log: how much (% of rated load), and the highest speed after it."""

    share: float
    peak: float


def swing_width(speeds: Sequence[float], loads: Sequence[float] = ()) -> float | None:
    """Return highest less lowest speed at one load, in rpm; None without a long enough stretch at one load.

    The longest stretch whose load stays within 2.5 % of rated of the stretch's first, its straight line taken out,
    half a per cent of strays left out at each end. Without loads the whole series is taken.

    >>> swing_width([3600 + (9 if at % 2 else -9) for at in range(400)])
    18.1
    """
    start, end = _steady(loads) if loads else (0, len(speeds))
    if end - start < _FEWEST:
        return None
    level, _ = without_trend(speeds[start:end])
    ordered = sorted(level)
    stray = int(len(ordered) * _STRAY)
    return round(ordered[-1 - stray] - ordered[stray], 1)


def sag(speeds: Sequence[float], loads: Sequence[float]) -> Trend | None:
    """Return rpm for each % of rated load, with Sen's 95 % interval; None when the load spans under 20 %.

    Regulation is -100 x slope x 100 / rated. Samples are averaged over their load first, so that a long time at one
    load weighs no more than a short one.

    >>> line = sag([3618 - 0.18 * load for load in range(0, 101)], list(range(0, 101)))
    >>> round(line.slope, 4)
    -0.18
    """
    if not loads or max(loads) - min(loads) < _SPAN:
        return None
    lowest, step = min(loads), (max(loads) - min(loads)) / _LEVELS
    levels: dict[int, list[tuple[float, float]]] = {}
    for speed, load in zip(speeds, loads, strict=True):
        levels.setdefault(ceil((load - lowest) / step), []).append((load, speed))
    points = [(sum(x for x, _ in level) / len(level), median([y for _, y in level])) for level in levels.values()]
    points.sort()
    return trend([x for x, _ in points], [y for _, y in points])


def load_lost(speeds: Sequence[float], loads: Sequence[float]) -> LostLoad | None:
    """Return the largest loss of 40 % of rated load or more within three samples; None when there was none.

    >>> load_lost([3600.0] * 10 + [3700.0, 3750.0, 3620.0], [90.0] * 10 + [5.0] * 3)
    LostLoad(share=85.0, peak=3750.0)
    """
    falls = [(loads[at - _WITHIN] - loads[at], at) for at in range(_WITHIN, len(loads))]
    share, at = max(falls, default=(0.0, 0))
    if share < _LOST:
        return None
    return LostLoad(share, max(speeds[at - _WITHIN : at + _AFTER]))


def _steady(loads: Sequence[float]) -> tuple[int, int]:
    """Return where the longest stretch at one load begins and ends."""
    best, start = (0, 0), 0
    for at, load in enumerate(loads):
        if abs(load - loads[start]) > _STEADY:
            start = at
        if at + 1 - start > best[1] - best[0]:
            best = (start, at + 1)
    return best
