"""Gauge and absolute pressure. Pressures in bar."""

from __future__ import annotations

__all__ = ["STANDARD_ATMOSPHERE", "absolute", "gauge"]

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
