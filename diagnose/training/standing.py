"""Where a trainee stands after some cases: a mean with its interval, and a level only when there are enough.

The mark of one case hardly predicts that of the next, so no level is given from fewer than 20 (case specificity:
Elstein, Shulman and Sprafka 1978), and always with its interval.
"""

from __future__ import annotations

from math import sqrt
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["ENOUGH", "Standing", "correlation", "ranks", "standing"]

ENOUGH = 20
PASS_MARK = 60.0
_T_95 = {
    1: 12.706,
    2: 4.303,
    5: 2.571,
    9: 2.262,
    19: 2.093,
    24: 2.064,
    29: 2.045,
    39: 2.023,
    59: 2.001,
    119: 1.980,
}  # two-sided


class Standing(NamedTuple):
    """``level``: too-few, unsafe, not-passed, passed.

    The interval is that of the mean, 95 % (Student t); it is nothing with fewer than two cases.
    """

    cases: int
    mean: float
    low: float
    high: float
    unsafe: int
    level: str


def standing(marks: Sequence[tuple[float, bool]], pass_mark: float = PASS_MARK) -> Standing:
    """Return where (mark, unsafe) of each case put a trainee. Any unsafe case among the last 20 keeps him from passing.

    >>> standing([(80.0, False)] * 19).level
    'too-few'
    """
    n = len(marks)
    values = [mark for mark, _ in marks]
    mean = sum(values) / n if n else 0.0
    reach = _reach(values, mean)
    unsafe = sum(one for _, one in marks)
    if n < ENOUGH:
        level = "too-few"
    elif any(one for _, one in marks[-ENOUGH:]):
        level = "unsafe"
    else:
        level = "passed" if mean - reach >= pass_mark else "not-passed"
    return Standing(n, mean, max(0.0, mean - reach), min(100.0, mean + reach), unsafe, level)


def correlation(xs: Sequence[float], ys: Sequence[float]) -> float:
    """Reckon r = cov(x, y) / (s_x s_y) (Pearson); 0 when one of them does not vary. Over ranks it is Spearman's.

    >>> round(correlation([1, 2, 3], [2, 4, 7]), 4)
    0.9934
    """
    n = len(xs)
    if not n:
        return 0.0
    mean_x, mean_y = sum(xs) / n, sum(ys) / n
    xx = sum((x - mean_x) ** 2 for x in xs)
    yy = sum((y - mean_y) ** 2 for y in ys)
    xy = sum((x - mean_x) * (y - mean_y) for x, y in zip(xs, ys, strict=True))
    return xy / sqrt(xx * yy) if xx > 0 and yy > 0 else 0.0


def ranks(values: Sequence[float]) -> list[float]:
    """Return the rank of each value from 1; equal ones share the mean of theirs.

    >>> ranks([10, 30, 20, 20])
    [1.0, 4.0, 2.5, 2.5]
    """
    ordered = sorted(values)
    first = {value: at for at, value in reversed(list(enumerate(ordered, 1)))}
    last = {value: at for at, value in enumerate(ordered, 1)}
    return [(first[value] + last[value]) / 2 for value in values]


def _reach(values: Sequence[float], mean: float) -> float:
    n = len(values)
    if n < 2:  # noqa: PLR2004 - one value has no spread
        return 100.0
    spread = sqrt(sum((value - mean) ** 2 for value in values) / (n - 1))
    return _t(n - 1) * spread / sqrt(n)


def _t(freedom: int) -> float:
    """Return Student's t for the next smaller degrees of freedom in the table: the interval is never too narrow."""
    return next(t for least, t in reversed(_T_95.items()) if freedom >= least)
