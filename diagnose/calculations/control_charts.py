"""Charts that notice a small lasting change, each set by how rarely it may cry wolf.

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

__all__ = ["Alarm", "cusum", "cusum_run_length", "ewma", "ewma_run_length", "interval_for", "limit_for"]

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


def ewma(scores: Iterable[float], limit: float, weight: float = 0.1) -> Alarm | None:
    """E = w z + (1 - w) E; alarm over L sqrt(w / (2 - w)). Return the first alarm, or None.

    The change is dated to where E last crossed zero. Source: Roberts, Technometrics 1 (1959); Lucas and Saccucci,
    Technometrics 32 (1990).

    >>> ewma([3.0] * 4, limit=2.7)
    Alarm(at=2, since=0, upward=True)
    """
    bound = limit * float((weight / (2 - weight)) ** 0.5)
    level, since = 0.0, 0
    for at, score in enumerate(scores):
        before, level = level, weight * score + (1 - weight) * level
        if before * level <= 0:
            since = at
        if abs(level) > bound:
            return Alarm(at, since, upward=level > 0)
    return None


def cusum_run_length(limit: float, slack: float = 0.5, shift: float = 0.0) -> float:
    """Average run length of the two-sided chart: 1 / (1/L+ + 1/L-), L = (exp(-2 D b) + 2 D b - 1) / (2 D^2).

    D = shift - k upward and -shift - k downward, b = h + 1.166. Source: Siegmund, Sequential analysis (1985).

    >>> round(cusum_run_length(5.0)), round(cusum_run_length(4.0))  # exact 465 and 168
    (469, 169)
    """
    return 1 / sum(1 / _one_sided(limit, side - slack) for side in (shift, -shift))


def ewma_run_length(limit: float, weight: float = 0.1, shift: float = 0.0, states: int = 61) -> float:
    """Average run length from zero, by a Markov chain over ``states`` bands between the limits.

    Source: Brook and Evans, Biometrika 59 (1972); Lucas and Saccucci 1990, table 1.

    >>> round(ewma_run_length(2.814, 0.1) / 500, 1)  # table: 500 for w = 0.10, L = 2.814
    1.0
    """
    from statistics import NormalDist  # slow to import

    chance = NormalDist(shift, 1.0).cdf
    bound = limit * (weight / (2 - weight)) ** 0.5
    width = 2 * bound / states
    middles = [-bound + (at + 0.5) * width for at in range(states)]

    def between(start: float, end: float) -> float:
        kept = (1 - weight) * start
        return chance((end + width / 2 - kept) / weight) - chance((end - width / 2 - kept) / weight)

    rows = [[(start == end) - between(start, end) for end in middles] + [1.0] for start in middles]
    return _solved(rows)[states // 2]


@cache
def limit_for(run_length: float, slack: float = 0.5) -> float:
    """Return the CUSUM limit h that gives this average run length without a change.

    >>> round(limit_for(465.0), 1)
    5.0
    """
    return _where(lambda limit: cusum_run_length(limit, slack), run_length)


@cache
def interval_for(run_length: float, weight: float = 0.1) -> float:
    """Return the EWMA limit L that gives this average run length without a change.

    >>> round(interval_for(500.0), 1)
    2.8
    """
    return _where(lambda limit: ewma_run_length(limit, weight, states=41), run_length)


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


def _solved(rows: list[list[float]]) -> list[float]:
    """Solve a linear system given as rows with the right side last; the diagonal leads (a transient chain)."""
    size = len(rows)
    for at in range(size):
        lead = rows[at][at]
        rows[at] = [value / lead for value in rows[at]]
        for other in range(size):
            share = rows[other][at]
            if other != at and share:
                rows[other] = [x - share * y for x, y in zip(rows[other], rows[at], strict=True)]
    return [row[size] for row in rows]
