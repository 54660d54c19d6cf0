"""unused-conclusion: a condition that rules conclude and nothing reads.

No rule waits for it, no cause is tied to it: concluding it changes nothing for anybody.

Bad:
    conditions:
      oil-in-danger: {title: The oil is in danger, source: common practice}
    rules:
      - rule: oil-danger
        when: [{oil-level: low}]
        conclude: {oil-in-danger: true}
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
Mend: Use the condition in a rule, or delete it and the rules that conclude it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.values.problem import Problem

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.planning.rule_base import RuleBase

__all__ = ["CODE", "LEVEL", "check"]

CODE, LEVEL = "unused-conclusion", "warning"


def check(base: RuleBase) -> Iterator[Problem]:
    """Give a problem for each condition that is concluded and never used."""
    concluded = {condition for condition, _ in base.concluded}
    for condition in sorted(concluded - base.uses.keys()):
        finding = base.knowledge.findings[condition]
        says = f"Rules conclude '{condition}' and nothing reads it."
        yield Problem(finding.place, CODE, says, "Use it in a rule, or delete it.")
