"""A reading against a limit, with the instrument's accuracy: a chance, not a cliff."""

from __future__ import annotations

from math import erf, sqrt

__all__ = ["chance_above", "chance_below", "standard_error"]


def standard_error(accuracy_class: float, span: float) -> float:
    """U = (class / 100) x span / sqrt(3): standard uncertainty of a gauge of an accuracy class.

    The class of EN 837-1 is the largest error in per cent of the span; within it every error is taken as equally
    likely. Source: JCGM 100:2008, 4.3.7.

    >>> round(standard_error(1.6, 25.0), 3)  # class 1.6, 0 to 25 bar: 0.4 bar at most
    0.231
    """
    return accuracy_class / 100 * span / sqrt(3)


def chance_above(reading: float, limit: float, error: float) -> float:
    """Phi((reading - limit) / error): how likely the true value is above the limit.

    >>> chance_above(2.6, 2.6, 0.1), round(chance_above(2.7, 2.6, 0.1), 3), chance_above(2.7, 2.6, 0.0)
    (0.5, 0.841, 1.0)
    """
    if error <= 0:
        return 0.5 if reading == limit else float(reading > limit)
    return (1 + erf((reading - limit) / error / sqrt(2))) / 2


def chance_below(reading: float, limit: float, error: float) -> float:
    """1 - chance above.

    >>> round(chance_below(0.45, 0.5, 0.05), 3)
    0.841
    """
    return 1 - chance_above(reading, limit, error)
