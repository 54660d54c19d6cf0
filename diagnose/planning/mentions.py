"""What conditions speak of: every finding, condition, feature or phase in them, with the values wanted."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from diagnose.knowledge.model import AllOf, AnyOf, Compare, CountOf, Holds, MachineHolds, Not, Unknown

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from diagnose.knowledge.model import Condition

__all__ = ["Mention", "certain", "mentions"]


class Mention(NamedTuple):
    """One attribute in a condition. No values: any number, or any value; ``denied``: inside ``not``."""

    attribute: str
    values: tuple[str, ...]
    denied: bool = False


def mentions(conditions: Iterable[Condition], *, denied: bool = False) -> Iterator[Mention]:
    """Give all that the conditions speak of, in order, however deep it stands."""
    for condition in conditions:
        match condition:
            case Holds():
                yield Mention(condition.attribute, condition.values, denied)
            case Compare():
                yield Mention(condition.reading, (), denied)
            case Unknown():
                yield Mention(condition.attribute, (), denied)
            case MachineHolds():
                for attribute, value in condition.values.items():
                    yield Mention(attribute, () if value.startswith("$") else (value,), denied)
            case Not():
                yield from mentions((condition.condition,), denied=not denied)
            case AnyOf() | AllOf() | CountOf():
                yield from mentions(condition.conditions, denied=denied)


def certain(conditions: Iterable[Condition]) -> Iterator[Mention]:
    """Give only what must hold whenever all the conditions hold: nothing out of ``not``, ``any-of`` or ``count``."""
    for condition in conditions:
        if isinstance(condition, Holds | Compare | MachineHolds):
            yield from mentions((condition,))
        elif isinstance(condition, AllOf):
            yield from certain(condition.conditions)
