"""dead-end-goal: a condition that no rule concludes.

Either a rule is missing, or the condition is one that an operator can see and should be a finding.

Bad:
    conditions:
      pump-starved: {title: The pump is starved, source: common practice}
Good:
    conditions:
      pump-starved: {title: The pump is starved, source: common practice}
    rules:
      - rule: pump-starves
        when: [{noise: knocking}]
        conclude: {pump-starved: true}
        source: common practice
      - rule: pump-starved-told
        when: [{pump-starved: true}]
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Write the rule that concludes it, make it a finding, or delete it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.values.problem import Problem

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.planning.rule_base import RuleBase

__all__ = ["CODE", "LEVEL", "check"]

CODE, LEVEL = "dead-end-goal", "warning"


def check(base: RuleBase) -> Iterator[Problem]:
    """Give a problem for each condition that nothing concludes."""
    concluded = {condition for condition, _ in base.concluded}
    for finding in base.knowledge.findings.values():
        if finding.concluded and finding.id not in concluded:
            says = f"No rule concludes the condition '{finding.id}'."
            yield Problem(finding.place, CODE, says, "Write the rule that concludes it, or make it a finding.")
