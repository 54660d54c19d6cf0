"""A number near its limit is likelihood evidence, not a cliff.

The grading rules of a condition are evaluated at points spread over what the instrument may really have seen
(a normal distribution around the reading with the instrument's accuracy as its standard deviation); the share of
points that yield a value is the likelihood of that value.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING

from diagnose.knowledge import model
from diagnose.reasoning.compile import fits, limit_value

if TYPE_CHECKING:
    from diagnose.knowledge.model import Condition, Machine, Rule

__all__ = ["Known", "graded", "holds"]

Known = Callable[[str], frozenset[object]]  # attribute -> what is known of it on this machine

_POINTS = tuple((at + 0.5) / 33 for at in range(33))
_HOW: dict[str, Callable[[float, float], bool]] = {
    "above": lambda x, y: x > y,
    "below": lambda x, y: x < y,
    "at-least": lambda x, y: x >= y,
    "at-most": lambda x, y: x <= y,
}


def graded(
    condition: str, reading: str, number: float, accuracy: float, rules: Iterable[Rule], machine: Machine, known: Known
) -> dict[str, float]:
    """Return value -> likelihood for the condition, given the number read; empty when no rule can judge it."""
    judging = [
        rule
        for rule in rules
        if condition in rule.conclude
        and _mentions(rule.when, reading)
        and fits(rule.needs, rule.lacks, machine.features)
    ]
    from statistics import NormalDist  # slow to import, and only a number near a limit needs it

    spread = NormalDist(number, accuracy) if accuracy > 0 else None
    points = [spread.inv_cdf(share) for share in _POINTS] if spread else [number]
    weights: dict[str, float] = {}
    for point in points:
        values = {rule.conclude[condition] for rule in judging if _judges(rule, reading, point, machine, known)}
        for value in values:
            weights[value] = weights.get(value, 0.0) + 1.0 / (len(points) * len(values))
    return weights


def _judges(rule: Rule, reading: str, point: float, machine: Machine, known: Known) -> bool:
    def with_point(attribute: str) -> frozenset[object]:
        return frozenset([point]) if attribute == reading else known(attribute)

    return all(holds(condition, machine, with_point) for condition in rule.when)


def _mentions(conditions: Iterable[Condition], reading: str) -> bool:
    for condition in conditions:
        match condition:
            case model.Compare():
                if condition.reading == reading:
                    return True
            case model.AnyOf() | model.AllOf() | model.CountOf():
                if _mentions(condition.conditions, reading):
                    return True
            case model.Not():
                if _mentions((condition.condition,), reading):
                    return True
    return False


def holds(condition: Condition, machine: Machine, known: Known) -> bool:
    """Tell whether a condition holds on this machine by what is known; joins over machines are not judged here."""
    match condition:
        case model.Compare():
            limit = limit_value(condition.limit, machine)
            return limit is not None and any(
                isinstance(number, float) and _HOW[condition.how](number, limit) for number in known(condition.reading)
            )
        case model.Holds(attribute="feature"):
            return not machine.features.isdisjoint(condition.values)
        case model.Holds():
            return not known(condition.attribute).isdisjoint(condition.values)
        case model.Unknown():
            return not known(condition.attribute)
        case model.Not():
            return not holds(condition.condition, machine, known)
        case model.AnyOf():
            return any(holds(inner, machine, known) for inner in condition.conditions)
        case model.AllOf():
            return all(holds(inner, machine, known) for inner in condition.conditions)
        case model.CountOf():
            return sum(holds(inner, machine, known) for inner in condition.conditions) >= condition.at_least
        case _:
            return False
