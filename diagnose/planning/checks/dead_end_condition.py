"""dead-end-condition: a rule waits for a value that nothing can give.

The condition is neither asked of anybody nor concluded by any rule with this value.

Bad:
    conditions:
      oil-in-danger: {title: The oil is in danger, source: common practice}
    rules:
      - rule: oil-danger-told
        when: [{oil-in-danger: true}]
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    conditions:
      oil-in-danger: {title: The oil is in danger, source: common practice}
    rules:
      - rule: oil-danger
        when: [{oil-level: low}]
        conclude: {oil-in-danger: true}
        source: common practice
      - rule: oil-danger-told
        when: [{oil-in-danger: true}]
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Write a rule that concludes it, or list under 'judged-from' what settles it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.values.problem import Problem

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.planning.rule_base import RuleBase

__all__ = ["CODE", "LEVEL", "check"]

CODE, LEVEL = "dead-end-condition", "warning"


def check(base: RuleBase) -> Iterator[Problem]:
    """Give a problem for each rule that waits for what nothing gives."""
    for rule in base.knowledge.rules.values():
        wanted = [(one.attribute, one.values) for one in base.mentioned[rule.id] if not one.denied]
        for attribute, values in [*wanted, *([(rule.symptom[0], rule.symptom[1:])] if rule.symptom else [])]:
            finding = base.knowledge.findings.get(attribute)
            if finding is None or base.can_be_said(finding) or not values:
                continue
            if not any((attribute, value) in base.concluded for value in values):
                says = f"The rule '{rule.id}' waits for '{attribute}: {values[0]}', which nothing concludes."
                yield Problem(rule.place, CODE, says, "Write a rule that concludes it.")
