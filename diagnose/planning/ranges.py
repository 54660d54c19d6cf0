"""Whether comparisons of one reading with fixed numbers can hold together, and whether one implies the other."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.knowledge.model import AllOf, Compare

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from diagnose.knowledge.model import Condition

__all__ = ["apart", "implies"]

_UP = ("above", "at-least")


def apart(first: Iterable[Condition], second: Iterable[Condition]) -> bool:
    """Tell whether some reading cannot satisfy both lists."""
    theirs = list(_fixed(second))
    return any(one.reading == other.reading and _apart(one, other) for one in _fixed(first) for other in theirs)


def implies(narrow: Compare, wide: Compare) -> bool:
    """Tell whether every number that satisfies the first satisfies the second."""
    if narrow.reading != wide.reading or (narrow.how in _UP) != (wide.how in _UP):
        return False
    mine, its = _number(narrow), _number(wide)
    if mine is None or its is None:
        return False
    if mine == its:
        return narrow.how == wide.how or narrow.how in ("above", "below")
    return mine > its if narrow.how in _UP else mine < its


def _apart(one: Compare, other: Compare) -> bool:
    if (one.how in _UP) == (other.how in _UP):
        return False
    low, high = (one, other) if one.how in _UP else (other, one)
    if (
        low.limit.machine == high.limit.machine
        and low.limit.factor == high.limit.factor
        and low.limit.quantity is None
        and high.limit.quantity is None
    ):
        least, most = low.limit.offset, high.limit.offset
    else:
        numbers = _number(low), _number(high)
        if numbers[0] is None or numbers[1] is None:
            return False
        least, most = numbers[0], numbers[1]
    return least > most or (least == most and (low.how == "above" or high.how == "below"))


def _number(compare: Compare) -> float | None:
    return compare.limit.quantity.value if compare.limit.quantity else None


def _fixed(conditions: Iterable[Condition]) -> Iterator[Compare]:
    for condition in conditions:
        if isinstance(condition, Compare):
            yield condition
        elif isinstance(condition, AllOf):
            yield from _fixed(condition.conditions)
