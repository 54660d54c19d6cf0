"""unused-finding: a finding that no rule, condition or cause uses.

Nobody will ever be asked it, and an answer would change nothing.

Bad:
    findings:
      paint-colour:
        ask: What colour is the casing?
        how: Look at it.
        values: {grey: normal, blue: abnormal}
        also-called: [paint]
        source: common practice
Good:
    findings:
      paint-colour:
        ask: Has the paint of the casing changed colour?
        how: Look at it.
        values: {as-ever: normal, scorched: abnormal}
        also-called: [burnt paint]
        source: common practice
    rules:
      - rule: paint-scorched
        symptom: {paint-colour: scorched}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Write the rule that it is for, or delete it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.values.problem import Problem

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.planning.rule_base import RuleBase

__all__ = ["CODE", "LEVEL", "check"]

CODE, LEVEL = "unused-finding", "warning"


def check(base: RuleBase) -> Iterator[Problem]:
    """Give a problem for each finding without a use."""
    for finding in base.knowledge.findings.values():
        if not finding.concluded and finding.id not in base.uses and finding.id not in base.judging:
            says = f"Nothing uses the finding '{finding.id}'."
            yield Problem(finding.place, CODE, says, "Write the rule that it is for, or delete it.")
