"""caution-always: a caution that is raised whatever is seen.

A warning that is always there is soon no warning. Something seen, read or concluded must raise it.

Bad:
    rules:
      - rule: always-warn
        phases: [loaded]
        when: [{not: {oil-level: low}}]
        caution: water-in-oil
        source: common practice
Good:
    rules:
      - rule: warn-at-low-level
        phases: [loaded]
        symptom: {oil-level: low}
        caution: water-in-oil
        source: common practice
Mend: Add the symptom or the condition that is dangerous.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.values.problem import Problem

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.knowledge.model import Rule
    from diagnose.planning.rule_base import RuleBase

__all__ = ["CODE", "LEVEL", "check"]

CODE, LEVEL = "caution-always", "warning"


def check(base: RuleBase) -> Iterator[Problem]:
    """Give a problem for each rule that raises a caution without anything abnormal being known."""
    for rule in base.knowledge.rules.values():
        if rule.cautions and not rule.symptom and not any(_tells(base, rule)):
            says = f"The rule '{rule.id}' raises a caution though nothing has been seen."
            yield Problem(rule.place, CODE, says, "Add the symptom or the condition that is dangerous.")


def _tells(base: RuleBase, rule: Rule) -> Iterator[bool]:
    for mention in base.mentioned[rule.id]:
        finding = base.knowledge.findings.get(mention.attribute)
        if finding is not None and not mention.denied:
            yield not mention.values or any(not finding.values.get(value, False) for value in mention.values)
