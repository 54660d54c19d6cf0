"""Speed governing: what each governor class allows, and what readings amount to. Speeds in rpm, shares in %.

Formulas and classes: NEMA SM 23, steam turbines for mechanical drive, governor classes A to D. Trip settings of
classes A and B also API 611. The speed rise of class B is given as 7 % and as 10 %; the smaller is used.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = [
    "CLASSES",
    "GovernorClass",
    "classes_met",
    "expected_speed",
    "regulation",
    "rise",
    "trip_margin",
    "trip_share",
    "trip_test",
    "variation",
]


@dataclass(frozen=True, slots=True)
class GovernorClass:
    """The most that a class allows, each in % of rated speed, and where its trip stands."""

    regulation: float
    variation: float  # plus and minus
    rise: float
    trip: float


CLASSES = {
    "A": GovernorClass(10.0, 0.75, 13.0, 115.0),
    "B": GovernorClass(6.0, 0.50, 7.0, 110.0),
    "C": GovernorClass(4.0, 0.25, 7.0, 110.0),
    "D": GovernorClass(0.50, 0.25, 7.0, 110.0),
}


def regulation(no_load: float, full_load: float, rated: float) -> float:
    """100 (N0 - N1) / Nr: how far the speed sags from no load to rated load, setting unchanged, load changed slowly.

    >>> regulation(3618, 3600, 3600)
    0.5
    """
    return 100 * (no_load - full_load) / rated


def variation(highest: float, lowest: float, rated: float) -> float:
    """+-100 (Nmax - Nmin) / (2 Nr): half the width of the swing at one load and setting.

    >>> variation(3609, 3591, 3600)
    0.25
    """
    return 100 * (highest - lowest) / (2 * rated)


def rise(peak: float, rated: float) -> float:
    """100 (Npeak - Nr) / Nr: how far the speed shoots up when full load is lost at once.

    >>> round(rise(3852, 3600), 6)
    7.0
    """
    return 100 * (peak - rated) / rated


def trip_share(trip: float, rated: float) -> float:
    """100 Ntrip / Nr.

    >>> round(trip_share(3960, 3600), 6)
    110.0
    """
    return 100 * trip / rated


def trip_margin(trip: float, peak: float, rated: float) -> float:
    """100 (Ntrip - Npeak) / Nr: must be above zero, or losing the load trips the machine.

    >>> trip_margin(3960, 3852, 3600)
    3.0
    """
    return 100 * (trip - peak) / rated


def expected_speed(no_load: float, droop: float, rated: float, load: float) -> float:
    """N(L) = N0 - (R / 100) Nr L, with the load L as a share of rated load.

    >>> expected_speed(3780, 10.0, 3600, 0.5)
    3600.0
    """
    return no_load - droop / 100 * rated * load


def classes_met(
    *, regulated: float | None = None, varied: float | None = None, risen: float | None = None
) -> tuple[str, ...]:
    """Return the classes whose limits hold what was measured (%); what was not measured is left out.

    >>> classes_met(varied=0.4), classes_met(regulated=0.4, varied=0.2)
    (('A', 'B'), ('A', 'B', 'C', 'D'))
    """
    measured = {"regulation": regulated, "variation": varied, "rise": risen}
    return tuple(
        name
        for name, allowed in CLASSES.items()
        if all(value is None or value <= getattr(allowed, what) for what, value in measured.items())
    )


def trip_test(speeds: Sequence[float], setting: float, tolerance: float = 1.0) -> str:
    """Judge three successive trips: ``good``, ``outside`` the tolerance (% of the setting), or a ``trend``.

    Results that climb or fall at every trial, by half the tolerance or more in all, show a sticking mechanism even
    inside the tolerance. ``too-few`` below three. Source: API 611; the tolerance of 1 % from memory.

    >>> trip_test([3955, 3962, 3958], 3960), trip_test([3935, 3950, 3970], 3960), trip_test([3960, 4010, 3950], 3960)
    ('good', 'trend', 'outside')
    """
    enough = 3
    if len(speeds) < enough:
        return "too-few"
    allowed = setting * tolerance / 100
    if any(abs(speed - setting) > allowed for speed in speeds):
        return "outside"
    steps = [later - earlier for earlier, later in itertools.pairwise(speeds)]
    one_way = all(step > 0 for step in steps) or all(step < 0 for step in steps)
    return "trend" if one_way and abs(speeds[-1] - speeds[0]) >= allowed / 2 else "good"
