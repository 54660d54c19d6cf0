"""Whether the numbers of a case can stand beside each other on one machine."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from diagnose.calculations import steam

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

__all__ = ["impossible"]

_ATMOSPHERE = 1.01325  # bar
_WET = 5.0  # K below the boiling point that two gauges' errors explain


def impossible(readings: Mapping[str, float], *, running: bool) -> list[str]:
    """Return why readings (id -> number in its canonical unit) cannot all be true: codes, none when they can.

    Steam flows from a higher to a lower pressure, and superheated or wet steam is never colder than its boiling point.
    """
    return list(_faults(readings, running=running))


def _faults(readings: Mapping[str, float], *, running: bool) -> Iterator[str]:
    inlet, chest, exhaust = (readings.get(f"{name}-pressure") for name in ("inlet", "steam-chest", "exhaust"))
    falling = [pressure for pressure in (inlet, chest, exhaust) if pressure is not None]
    if running and any(first < then for first, then in pairwise(falling)):
        yield "pressure-rises-along-the-steam"
    for name, pressure in (("inlet", inlet), ("exhaust", exhaust)):
        temperature = readings.get(f"{name}-temperature")
        if running and temperature is not None and pressure is not None and _colder(temperature, pressure):
            yield f"{name}-steam-below-boiling-point"


def _colder(temperature: float, gauge_pressure: float) -> bool:
    try:
        return steam.superheat(gauge_pressure + _ATMOSPHERE, temperature) < -_WET
    except (ValueError, steam.SteamRangeError):
        return True
