"""Gauge and absolute pressure, and what is left to a limit. Pressures in bar."""

from __future__ import annotations

__all__ = ["STANDARD_ATMOSPHERE", "absolute", "gauge", "margin_left"]

STANDARD_ATMOSPHERE = 1.01325  # bar, ISO 2533


def absolute(gauge_pressure: float, atmosphere: float = STANDARD_ATMOSPHERE) -> float:
    """p_abs = p_gauge + atmosphere.

    >>> absolute(17.0)
    18.01325
    """
    return gauge_pressure + atmosphere


def gauge(absolute_pressure: float, atmosphere: float = STANDARD_ATMOSPHERE) -> float:
    """p_gauge = p_abs - atmosphere.

    >>> round(gauge(3.01325), 6)
    2.0
    """
    return absolute_pressure - atmosphere


def margin_left(reading: float, usual: float, limit: float) -> float:
    """(limit - reading) / (limit - usual): 1 at the usual value, 0 at the limit, below 0 beyond it.

    Works for an upper and for a lower limit. Raises ValueError when usual and limit are the same.

    >>> round(margin_left(2.3, usual=2.0, limit=2.6), 2)
    0.5
    """
    if usual == limit:
        raise ValueError("The usual value stands at the limit.")
    return (limit - reading) / (limit - usual)
