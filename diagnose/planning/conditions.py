"""Conditions in words, as a planner would say them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.knowledge.model import AllOf, AnyOf, Compare, CountOf, Holds, MachineHolds, Not, Unknown

if TYPE_CHECKING:
    from diagnose.knowledge.model import Condition, Limit

__all__ = ["worded"]


def worded(condition: Condition) -> str:
    """Say one condition in a line."""
    match condition:
        case Compare():
            return f"{condition.reading} {condition.how.replace('-', ' ')} {_limit(condition.limit)}"
        case Holds():
            return f"{condition.attribute} is {' or '.join(condition.values)}"
        case Unknown():
            return f"{condition.attribute} is not known"
        case Not():
            return f"not ({worded(condition.condition)})"
        case AnyOf():
            return f"any of ({'; '.join(map(worded, condition.conditions))})"
        case AllOf():
            return f"all of ({'; '.join(map(worded, condition.conditions))})"
        case CountOf():
            return f"at least {condition.at_least} of ({'; '.join(map(worded, condition.conditions))})"
        case MachineHolds():
            pairs = [f"{name} is {value}" for name, value in condition.values.items()]
            other = f", another machine than {' and '.join(condition.other_than)}" if condition.other_than else ""
            return f"machine {condition.machine}: {' and '.join(pairs)}{other}"


def _limit(limit: Limit) -> str:
    if limit.quantity:
        return f"{limit.quantity.value:g} {limit.quantity.unit}"
    share = f"{limit.factor * 100:g} % of " if limit.factor != 1 else ""
    offset = f" {'+' if limit.offset > 0 else '-'} {abs(limit.offset):g}" if limit.offset else ""
    return f"{share}the machine's {limit.machine}{offset}"
