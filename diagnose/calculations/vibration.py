"""Vibration severity: conversions at one frequency, zones on the bearing housing, limits on the shaft.

Housing: velocity in mm/s rms, 10 to 1000 Hz. Shaft: displacement in um peak to peak. Speeds in rpm.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sqrt

__all__ = [
    "CLASSES",
    "Zones",
    "changed",
    "displacement",
    "hint",
    "housing_zones",
    "shaft_purchase_limit",
    "shaft_zones",
    "velocity",
]


@dataclass(frozen=True, slots=True)
class Zones:
    """Where zone A (new), B (long-term), C (short-term only) and D (damaging) meet."""

    ab: float
    bc: float
    cd: float

    def zone(self, value: float) -> str:
        """Return the letter of the zone a value lies in; a boundary belongs to the better zone."""
        return "A" if value <= self.ab else "B" if value <= self.bc else "C" if value <= self.cd else "D"


_PART_3 = {  # (over 300 kW, flexible support)
    (True, False): Zones(2.3, 4.5, 7.1),
    (True, True): Zones(3.5, 7.1, 11.0),
    (False, False): Zones(1.4, 2.8, 4.5),
    (False, True): Zones(2.3, 4.5, 7.1),
}
CLASSES = {  # ISO 10816-1, annex B: machines outside part 3
    "I": Zones(0.71, 1.8, 4.5),
    "II": Zones(1.12, 2.8, 7.1),
    "III": Zones(1.8, 4.5, 11.2),
    "IV": Zones(2.8, 7.1, 18.0),
}
_SMALLEST, _DIVISION = 15.0, 300.0  # kW


def housing_zones(power: float, *, flexible: bool) -> Zones:
    """Return the zones for a machine's power in kW and its support.

    Over 300 kW group 1, else group 2; below 15 kW class I of the general part. ``flexible``: the lowest natural
    frequency of machine on support is less than 25 % above the running frequency. Source: ISO 20816-3:2022 and
    ISO 10816-3:2009 tables A.1 and A.2, from memory; the general part ISO 10816-1:1995, annex B.

    >>> housing_zones(220, flexible=False).zone(3.0), housing_zones(650, flexible=False).zone(3.0)
    ('C', 'B')
    """
    return CLASSES["I"] if power < _SMALLEST else _PART_3[power > _DIVISION, flexible]


def shaft_zones(speed: float) -> Zones:
    """A/B 4800 / sqrt(N), B/C 9000 / sqrt(N), C/D 13200 / sqrt(N), um p-p. Source: ISO 7919-3, from memory.

    >>> [round(one) for one in (shaft_zones(3600).ab, shaft_zones(3600).bc, shaft_zones(3600).cd)]
    [80, 150, 220]
    """
    root = sqrt(speed)
    return Zones(4800 / root, 9000 / root, 13200 / root)


def shaft_purchase_limit(speed: float) -> float:
    """25.4 sqrt(12000 / N), at most 50.8 um p-p: what a new machine shows in the shop. Source: API 611, from memory.

    >>> round(shaft_purchase_limit(3600), 1), shaft_purchase_limit(1800)
    (46.4, 50.8)
    """
    return min(50.8, 25.4 * sqrt(12000 / speed))


def velocity(peak_to_peak: float, speed: float) -> float:
    """Give pi f D / sqrt(2): mm/s rms of a sine of D um peak to peak at a frequency given in cycles a minute.

    >>> round(velocity(50.8, 3600), 2)  # 2 mil at 3600 rpm
    6.77
    """
    return pi * speed / 60 * peak_to_peak / 1000 / sqrt(2)


def displacement(rms: float, speed: float) -> float:
    """D = sqrt(2) v / (pi f): um peak to peak of a sine of v mm/s rms; the inverse of ``velocity``.

    >>> round(displacement(velocity(50.8, 3600), 3600), 6)
    50.8
    """
    return rms * sqrt(2) * 60 * 1000 / (pi * speed)


def changed(now: float, usual: float, zones: Zones) -> bool:
    """Tell whether a change, up or down, is over 25 % of the B/C boundary: worth a look even inside A or B.

    Source: ISO 20816-3, criterion II, from memory.

    >>> changed(2.2, 1.4, housing_zones(220, flexible=False)), changed(1.7, 1.4, housing_zones(220, flexible=False))
    (True, False)
    """
    return abs(now - usual) > 0.25 * zones.bc


def hint(frequency: float, speed: float, vanes: int = 0, blades: int = 0) -> str:
    """Name what a peak at a frequency (Hz) most often means at this speed: a hint for maintenance, never a verdict.

    ``half-or-under`` (0.40 to 0.49 x), ``half`` (a rub or looseness), ``once``, ``twice``, ``vane-pass``,
    ``blade-pass`` or ``other``. Source: textbook vibration charts, common practice.

    >>> hint(27.0, 3600), hint(60.0, 3600), hint(300.5, 3600, vanes=5)
    ('half-or-under', 'once', 'vane-pass')
    """
    order = frequency * 60 / speed
    if 0.40 <= order < 0.49:  # noqa: PLR2004
        return "half-or-under"
    named = {"half": 0.5, "once": 1.0, "twice": 2.0, "vane-pass": float(vanes), "blade-pass": float(blades)}
    near = {name: abs(order / at - 1) for name, at in named.items() if at}
    best = min(near, key=lambda name: near[name])
    return best if near[best] <= 0.02 else "other"  # noqa: PLR2004
