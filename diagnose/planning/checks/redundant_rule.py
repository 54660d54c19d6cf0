"""redundant-rule: two rules say the same.

A change to one would be forgotten in the other.

Bad:
    rules:
      - rule: level-low
        symptom: {oil-level: low}
        caution: water-in-oil
        source: common practice
      - rule: level-low-again
        when: [{oil-level: low}]
        caution: water-in-oil
        source: common practice
Good:
    rules:
      - rule: level-low
        symptom: {oil-level: low}
        caution: water-in-oil
        source: common practice
Mend: Delete one of the two.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.planning.pairs import conditional, effects
from diagnose.values.problem import Problem

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.knowledge.model import Rule
    from diagnose.planning.rule_base import RuleBase

__all__ = ["CODE", "LEVEL", "check"]

CODE, LEVEL = "redundant-rule", "warning"


def check(base: RuleBase) -> Iterator[Problem]:
    """Give a problem at the later of two rules with the same demands and the same effects."""
    first: dict[object, Rule] = {}
    for rule in base.knowledge.rules.values():
        if rule.links or not effects(rule):
            continue
        before = first.setdefault((conditional(rule), effects(rule)), rule)
        if before is not rule:
            says = f"The rule '{rule.id}' says the same as '{before.id}'."
            yield Problem(rule.place, CODE, says, "Delete one of the two.")
