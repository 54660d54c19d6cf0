"""What a rule may ask of the facts: matches, comparisons, absence, alternatives and counts.

A variable that the conditions around a ``Not``, ``Count``, ``CountDistinct`` or ``AnyOf`` bind is shared with it; any
other variable inside stands for "some thing or other" and is not seen outside. An ``AnyOf`` binds what each of its
alternatives binds.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, NamedTuple, TypeAlias

from .facts import COMPARISONS, Var

if TYPE_CHECKING:
    from collections.abc import Hashable, Iterable, Iterator, Mapping

__all__ = [
    "AllOf",
    "AnyOf",
    "Condition",
    "Count",
    "CountDistinct",
    "Guard",
    "Leaf",
    "Match",
    "Not",
    "Unknown",
    "binds",
    "conjuncts",
    "leaves",
    "substituted",
    "variables",
]


@dataclass(frozen=True, slots=True)
class Match:
    """Some fact has this entity and attribute and a value that is equal, or passes the Test.

    Entity and value may be a Var.
    """

    entity: Hashable
    attribute: Hashable
    value: Hashable


@dataclass(frozen=True, slots=True)
class Unknown:
    """No fact at all has this entity and attribute."""

    entity: Hashable
    attribute: Hashable


@dataclass(frozen=True, slots=True)
class Guard:
    """``left how (right * factor + offset)``; both sides are constants or variables bound by a match."""

    left: Hashable
    how: str
    right: Hashable
    factor: float = 1.0
    offset: float = 0.0

    def holds(self, left: Any, right: Any) -> bool:  # noqa: ANN401 -- values are opaque
        """Compare two values; scaling anything but a number makes the guard not hold."""
        if self.factor != 1.0 or self.offset != 0.0:
            if isinstance(right, bool) or not isinstance(right, (int, float)):
                return False
            right = right * self.factor + self.offset
        return COMPARISONS[self.how](left, right)


@dataclass(frozen=True, slots=True, init=False)
class _Group:
    conditions: tuple[Condition, ...]

    def __init__(self, *conditions: Condition) -> None:
        object.__setattr__(self, "conditions", conditions)


class AllOf(_Group):
    """All of the conditions hold together."""

    __slots__ = ()


class AnyOf(_Group):
    """At least one of the conditions holds."""

    __slots__ = ()


class Not(_Group):
    """The conditions do not all hold together, whatever their own variables stand for."""

    __slots__ = ()


@dataclass(frozen=True, slots=True)
class Count:
    """At least, and perhaps at most, so many of the listed conditions hold. Each counts once."""

    conditions: tuple[Condition, ...]
    at_least: int = 0
    at_most: int | None = None


@dataclass(frozen=True, slots=True)
class CountDistinct:
    """At least, and perhaps at most, so many different things can stand for the variable in the conditions."""

    var: Var
    conditions: tuple[Condition, ...]
    at_least: int = 0
    at_most: int | None = None


Condition: TypeAlias = Match | Unknown | Guard | AllOf | AnyOf | Not | Count | CountDistinct


class Leaf(NamedTuple):
    """A pattern inside conditions and what a fact that fits it can do to them."""

    pattern: Match | Unknown
    rising: bool  # the coming of a fact may make the conditions hold
    falling: bool  # the coming of a fact may stop the conditions from holding
    strict: bool  # the conditions rest on an absence here


def conjuncts(conditions: Iterable[Condition]) -> Iterator[Condition]:
    """Yield the conditions with each AllOf among them laid open."""
    for condition in conditions:
        if isinstance(condition, AllOf):
            yield from conjuncts(condition.conditions)
        else:
            yield condition


def binds(condition: Condition) -> set[str]:
    """Return the names of the variables which have a value wherever this condition holds."""
    if isinstance(condition, Match):
        return {part.name for part in (condition.entity, condition.value) if isinstance(part, Var)}
    if isinstance(condition, AllOf):
        return set().union(*map(binds, condition.conditions))
    if isinstance(condition, AnyOf) and condition.conditions:
        return set.intersection(*map(binds, condition.conditions))
    return set()


def variables(condition: Condition) -> set[str]:
    """Return the names of all variables anywhere in the condition."""
    if isinstance(condition, (Match, Unknown)):
        parts = (condition.entity, condition.value) if isinstance(condition, Match) else (condition.entity,)
    elif isinstance(condition, Guard):
        parts = (condition.left, condition.right)
    else:
        own = {condition.var.name} if isinstance(condition, CountDistinct) else set()
        return own.union(*map(variables, condition.conditions))
    return {part.name for part in parts if isinstance(part, Var)}


def leaves(
    conditions: Iterable[Condition], *, strict: bool = False, flips: tuple[bool, bool] = (True, False)
) -> Iterator[Leaf]:
    """Yield every pattern in the conditions with the effect that facts which fit it may have."""
    rising, falling = flips
    for condition in conditions:
        if isinstance(condition, Match):
            yield Leaf(condition, rising, falling, strict)
        elif isinstance(condition, Unknown):
            yield Leaf(condition, falling, rising, strict=True)
        elif isinstance(condition, Not):
            yield from leaves(condition.conditions, strict=True, flips=(falling, rising))
        elif isinstance(condition, (Count, CountDistinct)) and condition.at_most is not None:
            yield from leaves(condition.conditions, strict=True, flips=(True, True))
        elif not isinstance(condition, Guard):
            yield from leaves(condition.conditions, strict=strict, flips=flips)


def substituted(condition: Condition, binding: Mapping[str, Hashable]) -> Condition:
    """Return the condition with the variables that have a value replaced by it."""

    def put(part: Hashable) -> Hashable:
        return binding.get(part.name, part) if isinstance(part, Var) else part

    if isinstance(condition, Match):
        return Match(put(condition.entity), condition.attribute, put(condition.value))
    if isinstance(condition, Unknown):
        return Unknown(put(condition.entity), condition.attribute)
    if isinstance(condition, Guard):
        return replace(condition, left=put(condition.left), right=put(condition.right))
    inner = tuple(substituted(each, binding) for each in condition.conditions)
    return type(condition)(*inner) if isinstance(condition, _Group) else replace(condition, conditions=inner)
