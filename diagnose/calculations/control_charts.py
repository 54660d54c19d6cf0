"""A chart that notices a small lasting change, set by how rarely it may cry wolf.

The values charted are z: (value - expected) / spread of one block (a day's rounds), taken as independent and normal
while all is well. The average run length is how many blocks pass on average before a false alarm.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import exp
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

__all__ = ["Alarm", "cusum", "cusum_run_length", "limit_for"]

_REFINEMENTS = 60
_SIEGMUND = 1.166  # the overshoot of a normal walk, both ends


@dataclass(frozen=True, slots=True)
class Alarm:
    """Where a chart went over its limit, where the change most likely began (both block numbers), and which way."""

    at: int
    since: int
    upward: bool


def cusum(scores: Iterable[float], limit: float, slack: float = 0.5) -> Alarm | None:
    """C+ = max(0, C+ + z - k), C- = max(0, C- - z - k); alarm over h. Return the first alarm, or None.

    ``slack`` k is half the shift to be noticed, ``limit`` h from ``limit_for``. The change is dated to where the
    sum last left zero. Source: Page, Biometrika 41 (1954); Montgomery, Statistical quality control, chapter 9.

    >>> cusum([0.0, 0.0, 2.5, 2.5, 2.5], limit=5.0)
    Alarm(at=4, since=2, upward=True)
    """
    up = down = 0.0
    up_since = down_since = 0
    for at, score in enumerate(scores):
        up += score - slack
        if up <= 0.0:
            up, up_since = 0.0, at + 1
        elif up > limit:
            return Alarm(at, up_since, upward=True)
        down -= score + slack
        if down <= 0.0:
            down, down_since = 0.0, at + 1
        elif down > limit:
            return Alarm(at, down_since, upward=False)
    return None


def cusum_run_length(limit: float, slack: float = 0.5, shift: float = 0.0) -> float:
    """Average run length of the two-sided chart: 1 / (1/L+ + 1/L-), L = (exp(-2 D b) + 2 D b - 1) / (2 D^2).

    D = shift - k upward and -shift - k downward, b = h + 1.166. Source: Siegmund, Sequential analysis (1985).

    >>> round(cusum_run_length(5.0)), round(cusum_run_length(4.0))  # exact 465 and 168
    (469, 169)
    """
    return 1 / sum(1 / _one_sided(limit, side - slack) for side in (shift, -shift))


@cache
def limit_for(run_length: float, slack: float = 0.5) -> float:
    """Return the CUSUM limit h that gives this average run length without a change.

    >>> round(limit_for(465.0), 1)
    5.0
    """
    return _where(lambda limit: cusum_run_length(limit, slack), run_length)


def _one_sided(limit: float, drift: float) -> float:
    b = limit + _SIEGMUND
    if abs(drift) < 1e-9:  # noqa: PLR2004
        return b * b
    return (exp(-2 * drift * b) + 2 * drift * b - 1) / (2 * drift * drift)


def _where(rising: Callable[[float], float], wanted: float) -> float:
    low, high = 0.1, 20.0
    for _ in range(_REFINEMENTS):
        middle = (low + high) / 2
        low, high = (middle, high) if rising(middle) < wanted else (low, middle)
        if high - low < 1e-6:  # noqa: PLR2004
            break
    return (low + high) / 2
