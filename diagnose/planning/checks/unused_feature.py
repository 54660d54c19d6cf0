"""unused-feature: a feature that nothing needs or lacks.

Bad:
    features:
      brass-plate: {title: Brass name plate}
Good:
    features:
      brass-plate: {title: Brass name plate}
    rules:
      - rule: plate-knocks
        lacks: [brass-plate]
        symptom: {noise: knocking}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Use it under 'needs' or 'lacks', or delete it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.values.problem import Problem

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.planning.rule_base import RuleBase

__all__ = ["CODE", "LEVEL", "check"]

CODE, LEVEL = "unused-feature", "note"


def check(base: RuleBase) -> Iterator[Problem]:
    """Give a note for each feature without a use."""
    knowledge = base.knowledge
    used: set[str] = set()
    for items in (knowledge.findings, knowledge.causes, knowledge.rules, knowledge.checks):
        for item in items.values():
            used |= item.needs | item.lacks
    used |= {value for use in base.uses.get("feature", ()) for value in use.values}
    for feature in knowledge.features.values():
        if feature.id not in used:
            says = f"Nothing needs or lacks the feature '{feature.id}'."
            yield Problem(feature.place, CODE, says, "Use it under 'needs' or 'lacks', or delete it.")
