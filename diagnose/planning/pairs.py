"""What rules demand as sets of plain demands, so that rules can be compared with each other."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from diagnose.knowledge.model import PHASES, AllOf

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from diagnose.knowledge.model import Condition, Rule

__all__ = ["Demands", "conditional", "effects"]


class Demands(NamedTuple):
    """When a rule holds: the phases allowed, and all else that must be so, as comparable texts."""

    phases: frozenset[str]
    others: frozenset[str]

    def as_narrow_as(self, wider: Demands) -> bool:
        """Tell whether whenever these hold, the wider ones do."""
        return self.phases <= wider.phases and self.others >= wider.others


def conditional(rule: Rule) -> Demands:
    """Return what a rule demands; the order in which it was written does not matter."""
    phases = rule.phases & frozenset(PHASES)
    others = {f"has {one}" for one in rule.needs} | {f"lacks {one}" for one in rule.lacks}
    others |= {repr(_sorted(one)) for one in _flat(rule.when)}
    if rule.symptom:
        others.add(repr(("Holds", rule.symptom[0], rule.symptom[1:])))
    return Demands(phases, frozenset(others))


def effects(rule: Rule) -> frozenset[str]:
    """Return what a rule does, apart from its causes, as comparable texts."""
    concluded = {f"conclude {pair}" for pair in rule.conclude.items()}
    raised = {f"caution {one}" for one in rule.cautions}
    told = {f"action {one.who} {one.do}" for one in rule.actions}
    return frozenset(concluded | raised | told)


def _flat(when: Iterable[Condition]) -> Iterator[Condition]:
    for condition in when:
        if isinstance(condition, AllOf):
            yield from _flat(condition.conditions)
        else:
            yield condition


def _sorted(condition: Condition) -> object:
    values = getattr(condition, "values", None)
    if isinstance(values, tuple):
        return (type(condition).__name__, getattr(condition, "attribute", ""), tuple(sorted(values)))
    return condition
