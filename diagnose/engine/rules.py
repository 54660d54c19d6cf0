"""Rules, and what makes one well formed."""

from __future__ import annotations

from dataclasses import dataclass

from .conditions import (
    AllOf,
    AnyOf,
    Condition,
    Count,
    CountDistinct,
    Guard,
    Match,
    Not,
    Unknown,
    binds,
    conjuncts,
    variables,
)
from .facts import COMPARISONS, Fact, Test, Var

__all__ = ["BadRule", "Rule", "check_conditions"]

_KINDS = (Match, Unknown, Guard, AllOf, AnyOf, Not, Count, CountDistinct)


class BadRule(ValueError):  # noqa: N818 -- said of the rule
    """A rule that is not well formed; the message begins with its id."""


@dataclass(frozen=True, slots=True)
class Rule:
    """Where all the conditions hold, the facts hold too.

    ``then`` gives facts in which entity and value may be variables that ``when`` binds, so a rule never makes up a new
    thing. A higher ``rank`` fires first, then more conditions, then a lower ``order``; the conclusions do not depend on
    any of these. Raises BadRule.
    """

    id: str
    when: tuple[Condition, ...]
    then: tuple[Fact, ...]
    rank: int = 0
    order: int = 0

    def __post_init__(self) -> None:
        object.__setattr__(self, "when", tuple(self.when))
        object.__setattr__(self, "then", tuple(self.then))
        try:
            _check_heads(self.then, check_conditions(self.when))
        except (ValueError, TypeError) as error:
            raise BadRule(f"rule {self.id!r}: {error}") from None

    @property
    def is_ground(self) -> bool:
        """Whether the rule has no variable anywhere."""
        return not any(map(variables, self.when)) and not any(
            isinstance(part, Var) for head in self.then for part in head
        )

    @property
    def conditions(self) -> tuple[Condition, ...]:
        """The conditions with each AllOf among them laid open."""
        return tuple(conjuncts(self.when))


def check_conditions(conditions: tuple[Condition, ...]) -> set[str]:
    """Return the variables that the conditions bind. Raises ValueError or TypeError if they are not well formed."""
    for condition in conditions:
        if not isinstance(condition, _KINDS):
            raise TypeError(f"{condition!r} is not a condition")
    bound: set[str] = set().union(*map(binds, conditions))
    _check_together(conditions, bound)
    return bound


def _check_heads(heads: tuple[Fact, ...], bound: set[str]) -> None:
    if not heads:
        raise ValueError("it concludes nothing")
    for head in heads:
        if not isinstance(head, Fact):
            raise TypeError(f"{head!r} is concluded but is not a Fact")
        if isinstance(head.attribute, Var) or any(isinstance(part, Test) for part in head):
            raise ValueError(f"{head!r}: an attribute is a constant, and no test can be concluded")
        hash(head)
        for part in (head.entity, head.value):
            if isinstance(part, Var) and part.name not in bound:
                raise ValueError(f"{head!r} uses the variable {part.name!r}, which no match binds")


def _check_together(conditions: tuple[Condition, ...], bound: set[str]) -> None:
    """Check conditions that are to hold together, with the variables that have a value when they do."""
    for condition in conditions:
        if not isinstance(condition, _KINDS):
            raise TypeError(f"{condition!r} is not a condition")
        if isinstance(condition, (Match, Unknown)):
            _check_pattern(condition)
        elif isinstance(condition, Guard):
            _check_guard(condition, bound)
        else:
            _check_nested(condition, bound)
    _check_alternatives(tuple(conjuncts(conditions)))


def _check_alternatives(conditions: tuple[Condition, ...]) -> None:
    """Refuse alternatives that share a variable which one of them binds always and another only sometimes."""
    by_match = set().union(*(binds(each) for each in conditions if isinstance(each, Match)))
    choices = [each for each in conditions if isinstance(each, AnyOf)]
    for one in choices:
        for other in choices:
            unsettled = (variables(one) - binds(one)) & (binds(other) - by_match)
            if unsettled:
                raise ValueError(
                    f"one AnyOf uses the variable {min(unsettled)!r}, which only another AnyOf binds; match it"
                )


def _check_pattern(pattern: Match | Unknown) -> None:
    hash(pattern)
    if isinstance(pattern.attribute, (Var, Test)) or isinstance(pattern.entity, Test):
        raise ValueError(f"{pattern!r}: an attribute is a constant, and only a value can be tested")  # noqa: TRY004


def _check_guard(guard: Guard, bound: set[str]) -> None:
    if guard.how not in COMPARISONS:
        raise ValueError(f"there is no comparison {guard.how!r}; there are {', '.join(COMPARISONS)}")
    for side in (guard.left, guard.right):
        if isinstance(side, Var) and side.name not in bound:
            raise ValueError(f"{guard!r} compares the variable {side.name!r}, which no match binds")


def _check_limits(count: Count | CountDistinct) -> None:
    if count.at_least < 0 or (count.at_most is not None and count.at_most < count.at_least):
        raise ValueError(f"a count from {count.at_least} to {count.at_most} can never be met")


def _check_nested(condition: AllOf | AnyOf | Not | Count | CountDistinct, bound: set[str]) -> None:
    if not condition.conditions:
        raise ValueError(f"{type(condition).__name__} without conditions")
    if isinstance(condition, (Count, CountDistinct)):
        _check_limits(condition)
    if isinstance(condition, (AnyOf, Count)):  # each stands alone
        for each in condition.conditions:
            _check_together((each,), bound | binds(each))
        return
    inner = set().union(*map(binds, condition.conditions))
    if isinstance(condition, CountDistinct) and condition.var.name not in inner:
        raise ValueError(f"the variable {condition.var.name!r} is counted, but no match inside binds it")
    _check_together(condition.conditions, bound | inner)
