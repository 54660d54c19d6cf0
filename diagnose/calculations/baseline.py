"""This machine's own normal: a robust centre and spread, with load and surroundings taken into account."""

from __future__ import annotations

from dataclasses import dataclass
from math import atanh, exp, sqrt, tanh
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["Baseline", "baseline", "huber", "median", "persistence", "persistence_at_most", "robust_spread", "widened"]

_TO_SIGMA = 1.4826  # the median absolute deviation of a normal distribution is 0.6745 sigma
_FENCE = 3.0  # residuals further out, in sigmas, weigh less (Huber) and then nothing
_ROUNDS = 4
_CORNER = 2.5  # sigmas beyond which a residual counts as if it lay there
_CORRECTED = 0.97757  # E[min(z^2, 2.5^2)] of a normal z, so that clipped residuals still give sigma
_STEPS = 20
_GROSS = 5.0  # sigmas beyond which a value is no part of the sample


@dataclass(frozen=True, slots=True)
class Baseline:
    """What is normal: ``centre`` at the usual load and surroundings, ``spread`` (one sigma) round it, from ``count``.

    ``slopes`` is the change for one unit of each of the things taken into account, ``usual`` their usual values.
    """

    centre: float
    spread: float
    count: int
    slopes: tuple[float, ...] = ()
    usual: tuple[float, ...] = ()

    def expected(self, given: Sequence[float] = ()) -> float:
        """Return the value to expect at this load and surroundings."""
        return self.centre + sum(
            slope * (value - usual) for slope, value, usual in zip(self.slopes, given, self.usual, strict=False)
        )

    def score(self, value: float, given: Sequence[float] = ()) -> float:
        """Z = (value - expected) / spread: robust z, in sigmas."""
        return (value - self.expected(given)) / self.spread


def median(values: Sequence[float]) -> float:
    """Return the middle value, or the mean of the middle two.

    >>> median([3.0, 1.0, 10.0]), median([1.0, 2.0, 3.0, 4.0])
    (3.0, 2.5)
    """
    ordered = sorted(values)
    middle = len(ordered) // 2
    return ordered[middle] if len(ordered) % 2 else (ordered[middle - 1] + ordered[middle]) / 2


def robust_spread(values: Sequence[float], centre: float | None = None) -> float:
    """1.4826 x median |x - centre|: sigma without the pull of outliers. Source: Hampel 1974; Iglewicz and Hoaglin 1993.

    >>> round(robust_spread([9.0, 10.0, 11.0, 12.0, 1000.0]), 4)
    1.4826
    """
    middle = median(values) if centre is None else centre
    return _TO_SIGMA * median([abs(value - middle) for value in values])


def huber(values: Sequence[float], fitted: int = 1) -> tuple[float, float]:
    """Return centre and sigma, values beyond 2.5 sigma pulled in to there and gross ones left out (Huber's proposal 2).

    Of a normal sample sigma is nearly as sure as the plain standard deviation, while the median of deviations throws
    two thirds of the sample away. Gross is what lies beyond 5 sigma by those (Hampel). Source: Huber, Annals of
    Mathematical Statistics 35 (1964), 73. ``fitted`` is how many numbers were fitted to these values, the centre with
    them. Raises ValueError when there are no values.

    >>> centre, sigma = huber([9.0, 10.0, 11.0, 12.0, 1000.0])
    >>> round(centre, 3), round(sigma, 1)
    (10.5, 1.3)
    """
    if not values:
        raise ValueError("There are no values.")
    centre = median(values)
    sigma = robust_spread(values, centre)
    if sigma:
        values = [value for value in values if abs(value - centre) <= _GROSS * sigma]
    else:
        sigma = _TO_SIGMA * sum(abs(value - centre) for value in values) / len(values)
    count = len(values)
    if count <= fitted or sigma == 0:
        return centre, sigma
    for _ in range(_STEPS):
        edge = _CORNER * sigma
        pulled = [max(-edge, min(edge, value - centre)) for value in values]
        shift = sum(pulled) / count
        before, centre = sigma, centre + shift
        sigma = sqrt(
            max(0.0, sum(map(_product, pulled, pulled)) - count * shift * shift) / ((count - fitted) * _CORRECTED)
        )
        if abs(sigma - before) <= 1e-4 * before and abs(shift) <= 1e-4 * before:
            break
    return centre, sigma


def persistence(residuals: Sequence[float]) -> float:
    """Give r = sum of e_t e_(t+1) / sum of e_t^2: how much of a deviation is still there at the next block, 0 to 0.95.

    The estimate from n blocks comes out low by about (1 + 3 r) / n, which is added. Source: Kendall, Biometrika 41
    (1954), 403.

    >>> persistence([1.0, -1.0] * 50), round(persistence([1.0] * 50 + [-1.0] * 50), 2)
    (0.0, 0.95)
    """
    count = len(residuals)
    whole = sum(map(_product, residuals, residuals))
    if count < 2 or whole == 0:  # noqa: PLR2004
        return 0.0
    found = sum(map(_product, residuals, residuals[1:])) / whole
    return float(min(0.95, max(0.0, found + (1 + 3 * found) / count)))


def persistence_at_most(found: float, count: int, sureness: float) -> float:
    """Return the persistence so many standard errors above what n blocks showed, at most 0.95.

    Reckoned in z = artanh r, whose standard error is 1 / sqrt(n (1 - r^2)) (Fisher; Bartlett 1946 for an AR(1)).

    >>> round(persistence_at_most(0.0, 100, 1.0), 2), round(persistence_at_most(0.5, 100, 1.0), 2)
    (0.1, 0.58)
    """
    return min(0.95, tanh(atanh(found) + sureness / sqrt(count * (1 - found * found))))


def widened(lasting: float, count: int, sureness: float) -> float:
    """Return by how much lasting scatter widens a chart: sqrt((1 + r) / (1 - r)) exp(c s).

    The first factor is what a persistence r makes of the noise of sums (Johnson and Bagshaw, Technometrics 16 (1974),
    103). The second allows for sigma being known only from the n blocks of the history: s = sqrt((1 + r^2) / (1 - r^2)
    / (2 n)) is the relative standard error of sigma under that persistence (Bartlett 1946), c how many of them.

    >>> round(widened(0.0, 60, 0.0), 3), round(widened(0.5, 60, 0.0), 3), round(widened(0.0, 50, 2.0), 3)
    (1.0, 1.732, 1.221)
    """
    error = sqrt((1 + lasting * lasting) / (1 - lasting * lasting) / (2 * count))
    return sqrt((1 + lasting) / (1 - lasting)) * exp(sureness * error)


def baseline(values: Sequence[float], given: Sequence[Sequence[float]] = (), *, least_spread: float = 0.0) -> Baseline:
    """Fit what is normal to good history; ``given`` holds one series a thing to be taken into account (load, ambient).

    Least squares with residuals beyond 3 sigma weighed down (Huber 1964), so a few bad readings do not bend it. A
    thing that hardly moved in the history is left out: nothing is known of its effect. ``least_spread`` is the
    resolution or accuracy of the instrument. Raises ValueError when there are no values.

    >>> fit = baseline([50.0, 52.0, 54.0, 56.0, 58.0, 60.0], [[0.0, 1.0, 2.0, 3.0, 4.0, 5.0]], least_spread=0.1)
    >>> round(fit.expected([10.0]), 6)
    70.0
    """
    if not values:
        raise ValueError("There is no history.")
    usual = tuple(median(one) for one in given)
    moved = [[value - middle for value in one] for one, middle in zip(given, usual, strict=True)]
    weights = [1.0] * len(values)
    if not moved:
        centre, sigma = huber(values)
        return Baseline(centre, max(sigma, least_spread) or 1e-12, len(values))
    centre, slopes = median(values), (0.0,) * len(usual)
    residuals: Sequence[float] = [value - centre for value in values]
    for _ in range(_ROUNDS):
        centre, slopes = _least_squares(values, moved, weights)
        residuals = _residuals(values, moved, centre, slopes)
        sigma = max(robust_spread(residuals, 0.0), least_spread, 1e-12)
        weights = [min(1.0, _FENCE * sigma / abs(one)) if one else 1.0 for one in residuals]
    spread = max(huber(residuals, 1 + len(slopes))[1], least_spread)
    return Baseline(centre, spread or 1e-12, len(values), slopes, usual)


def _residuals(
    values: Sequence[float], moved: Sequence[Sequence[float]], centre: float, slopes: Sequence[float]
) -> list[float]:
    if len(moved) == 1:
        slope = slopes[0]
        return [value - centre - slope * x for value, x in zip(values, moved[0], strict=True)]
    return [
        value - centre - sum(slope * x for slope, x in zip(slopes, row, strict=True))
        for value, *row in zip(values, *moved, strict=True)
    ]


def _least_squares(
    values: Sequence[float], moved: Sequence[Sequence[float]], weights: Sequence[float]
) -> tuple[float, tuple[float, ...]]:
    """Solve the weighted normal equations by elimination; a thing that did not move gets the slope 0."""
    columns: list[Sequence[float]] = [[1.0] * len(values), *moved]
    weighted = [[w * x for w, x in zip(weights, column, strict=True)] for column in columns]
    rows = [
        [*(sum(map(_product, one, other)) for other in columns), sum(map(_product, one, values))] for one in weighted
    ]
    size = len(rows)
    for at in range(size):
        if rows[at][at] <= 1e-9 * (1 + abs(rows[0][0])):
            rows[at] = [0.0] * at + [1.0] + [0.0] * (size - at)
        for below in range(at + 1, size):
            share = rows[below][at] / rows[at][at]
            rows[below] = [x - share * y for x, y in zip(rows[below], rows[at], strict=True)]
    solved = [0.0] * size
    for at in reversed(range(size)):
        known = sum(rows[at][later] * solved[later] for later in range(at + 1, size))
        solved[at] = (rows[at][size] - known) / rows[at][at]
    return solved[0], tuple(solved[1:])


def _product(x: float, y: float) -> float:
    return x * y
