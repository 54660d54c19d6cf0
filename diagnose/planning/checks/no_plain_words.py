"""no-plain-words: a finding that nobody can find by the words they use.

Operators describe what they see; 'also-called' leads from their words to the finding.

Bad:
    findings:
      drain:
        ask: What comes from the casing drain?
        how: Look from a metre away.
        values: {nothing: normal, water: abnormal}
        source: common practice
    rules:
      - rule: drain-water
        symptom: {drain: water}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    findings:
      drain:
        ask: What comes from the casing drain?
        how: Look from a metre away.
        values: {nothing: normal, water: abnormal}
        also-called: [drain drips, water out of the bottom]
        source: common practice
    rules:
      - rule: drain-water
        symptom: {drain: water}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Add 'also-called' with the words an operator would use.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.values.problem import Problem

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.planning.rule_base import RuleBase

__all__ = ["CODE", "LEVEL", "check"]

CODE, LEVEL = "no-plain-words", "note"


def check(base: RuleBase) -> Iterator[Problem]:
    """Give a note for each finding of an operator's without other names."""
    for finding in base.knowledge.findings.values():
        if not finding.concluded and finding.who == "operator" and not finding.also_called:
            says = f"'{finding.id}' has no 'also-called'."
            yield Problem(finding.place, CODE, says, "Add the words an operator would use.")
