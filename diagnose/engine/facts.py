"""Facts, variables and tests on values: what everything else in this package is made of.

Values are compared as Python compares them, so ``1``, ``1.0`` and ``True`` are one value.
"""

from __future__ import annotations

import operator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable

__all__ = ["COMPARISONS", "BadFact", "Fact", "Test", "Var", "checked"]


class BadFact(ValueError):  # noqa: N818 -- said of the fact
    """A fact that cannot be kept: no fact at all, not hashable, or not equal to itself."""


class Fact(NamedTuple):
    """One statement: this entity has this value of this attribute. Any hashable things will do."""

    entity: Hashable
    attribute: Hashable
    value: Hashable


class Var(NamedTuple):
    """A variable of a rule: wherever its name stands in one rule, the same thing is meant."""

    name: str


def checked(fact: Fact) -> Fact:
    """Return the fact, or raise BadFact with the reason why it cannot be kept."""
    if not isinstance(fact, Fact):
        raise BadFact(f"{fact!r} is not a Fact(entity, attribute, value)")
    try:
        hash(fact)
    except TypeError as error:
        raise BadFact(f"{fact!r} cannot be kept: {error}") from None
    if fact.value != fact.value:  # not-a-number and its like could be told but never taken back
        raise BadFact(f"{fact!r} cannot be kept: its value is not equal to itself")
    if any(isinstance(part, Var) for part in fact):
        raise BadFact(f"{fact!r} cannot be kept: a fact has no variables")
    return fact


def _is_number(thing: object) -> bool:
    return isinstance(thing, (int, float)) and not isinstance(thing, bool)


def _ordered(compare: Callable[[Any, Any], bool]) -> Callable[[Any, Any], bool]:
    """Compare numbers with numbers and texts with texts; for anything else the comparison does not hold."""

    def holds(left: Any, right: Any) -> bool:  # noqa: ANN401 -- values are opaque
        alike = (_is_number(left) and _is_number(right)) or (isinstance(left, str) and isinstance(right, str))
        return alike and compare(left, right)

    return holds


COMPARISONS: dict[str, Callable[[Any, Any], bool]] = {
    "above": _ordered(operator.gt),
    "below": _ordered(operator.lt),
    "at-least": _ordered(operator.ge),
    "at-most": _ordered(operator.le),
    "equals": operator.eq,
    "differs": operator.ne,
}
"""How two values may be compared, by name."""

_GROUPED = ("one-of", "between")


@dataclass(frozen=True, slots=True, init=False)
class Test:
    """A test on a value.

    ``above``, ``below``, ``at-least``, ``at-most``, ``equals`` and ``differs`` take one value to compare with, and
    ``between`` the lowest and the highest value that pass, ``one-of`` any number of values.

    >>> Test("between", 3, 5).passes(5), Test("one-of", "red", "green").passes("blue"), Test("above", 3).passes("four")
    (True, False, False)
    """

    __test__ = False  # pytest would take the name for one of its own

    how: str
    operands: tuple[Hashable, ...]

    def __init__(self, how: str, *operands: Any) -> None:  # noqa: ANN401 -- values are opaque
        if how in _GROUPED and len(operands) == 1 and isinstance(operands[0], (tuple, list, set, frozenset)):
            operands = tuple(operands[0])
        object.__setattr__(self, "how", how)
        object.__setattr__(self, "operands", operands)
        self._check()

    def _check(self) -> None:
        if self.how not in COMPARISONS and self.how not in _GROUPED:
            raise ValueError(f"there is no test {self.how!r}; there are {', '.join([*COMPARISONS, *_GROUPED])}")
        wanted = {"one-of": max(len(self.operands), 1), "between": 2}.get(self.how, 1)
        if len(self.operands) != wanted:
            raise ValueError(f"test {self.how!r} takes {wanted} operand(s), not {len(self.operands)}")

    def passes(self, value: Hashable) -> bool:
        """Say whether the value passes. A value of another kind than the operand never passes an ordering."""
        if self.how == "one-of":
            return value in self.operands
        if self.how == "between":
            low, high = self.operands
            return COMPARISONS["at-least"](value, low) and COMPARISONS["at-most"](value, high)
        return COMPARISONS[self.how](value, self.operands[0])
