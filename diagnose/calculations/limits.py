"""How far a gauge may be from the truth."""

from __future__ import annotations

from math import sqrt

__all__ = ["standard_error"]


def standard_error(largest: float) -> float:
    """U = a / sqrt(3): standard uncertainty of a gauge that errs by a at most, every error within as likely.

    A gauge of class 1.6 (EN 837-1) from 0 to 25 bar errs by 1.6 % of its span, 0.4 bar. Source: JCGM 100:2008, 4.3.7.

    >>> round(standard_error(0.4), 3)
    0.231
    """
    return largest / sqrt(3)
